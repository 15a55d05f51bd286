"""Finds the recipe files of a folder, in the order of their names. Opens none of them and follows no link."""

from __future__ import annotations

import errno
import os
import stat
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from pathlib import Path

from converter.folder import names
from converter.formats.sniff import READ_SUFFIXES, suffix

_SILENT = frozenset(("thumbs.db", "desktop.ini"))
_CHUNK = 1 << 20


@dataclass(frozen=True, slots=True)
class Found:
    """A file to read: `source` is its path below SRC, `base` that below DEST without ending, both with ``/``."""

    source: str
    path: str
    base: str

    @property
    def renamed(self) -> bool:
        """Say whether the name in DEST is not the file's own."""
        return self.base != names.stem(self.source)


@dataclass(frozen=True, slots=True)
class Passed:
    """What is not read, and why; `failed` where a recipe may be lost by it, as in a folder that cannot be opened."""

    source: str
    code: str
    sentence: str
    failed: bool


def find(src: Path, *, ending: str, taken: Iterable[str] = ()) -> Iterator[Found | Passed]:
    """Return the files below `src`, an absolute path without links, folder by folder.

    `ending` is that of the outputs; `taken` are names in the top folder of
    DEST that are not given away. Hidden files are left out and not named.
    Raises ``OSError`` where `src` itself cannot be listed.
    """
    kept = tuple(taken)
    waiting: list[tuple[str, str, str]] = [(str(src), "", "")]
    while waiting:
        path, source, base = waiting.pop()
        try:
            with os.scandir(path) as entries:
                found = sorted(entries, key=lambda entry: names.shown(entry.name))
        except OSError as error:
            if not source:
                raise
            yield Passed(source.rstrip("/"), *_closed(error), failed=True)
            continue
        folders: list[os.DirEntry[str]] = []
        files: list[os.DirEntry[str]] = []
        for entry in found:
            if entry.name.startswith((".", "~$")) or entry.name.lower() in _SILENT:
                continue
            try:
                mode = entry.stat(follow_symlinks=False).st_mode
            except OSError as error:
                yield Passed(source + names.shown(entry.name), *_closed(error), failed=True)
                continue
            if stat.S_ISLNK(mode):
                yield _link(src, entry.path, source + names.shown(entry.name))
            elif stat.S_ISDIR(mode):
                folders.append(entry)
            elif suffix(entry.name) not in READ_SUFFIXES:
                yield Passed(source + names.shown(entry.name), "other-kind", "no kind of file that is read", False)
            elif stat.S_ISREG(mode):
                files.append(entry)
            else:
                sentence = "it is no plain file but a pipe, a device or the like"
                yield Passed(source + names.shown(entry.name), "not-a-file", sentence, True)
        top = () if source else kept
        below = names.folder_names((entry.name for entry in folders), taken=top)
        beside = names.file_names(
            (entry.name for entry in files), ending=ending, folders=below.values(),
            taken=[names.stem(name) if name.endswith(ending) else name for name in top],
        )  # fmt: skip
        told = _told([entry.name for entry in (*files, *folders)])
        for entry in files:
            yield Found(source + told[entry.name], entry.path, base + beside[entry.name])
        for entry in reversed(folders):
            waiting.append((entry.path, f"{source}{told[entry.name]}/", f"{base}{below[entry.name]}/"))


def _told(entries: list[str]) -> dict[str, str]:
    """Return the names as they are stored; two that would be stored alike are told apart."""
    made: dict[str, str] = {}
    used: set[str] = set()
    for name in sorted(entries, key=lambda name: (names.shown(name) != name, name)):
        words = names.shown(name)
        while words in used:
            words += "_"
        used.add(words)
        made[name] = words
    return made


def _closed(error: OSError) -> tuple[str, str]:
    if error.errno in (errno.EACCES, errno.EPERM):
        return "no-permission", "there is no permission to open it"
    if error.errno == errno.ENAMETOOLONG:
        return "name", "its path is longer than the system can open"
    if error.errno in (errno.ENOENT, errno.ENOTDIR):
        return "missing", "it is gone"
    return "broken", f"it cannot be read from the disk: {(error.strerror or 'unknown fault').lower()}"


def _link(src: Path, path: str, source: str) -> Passed:
    try:
        os.stat(path)
        target = Path(os.path.realpath(path))
    except OSError as error:
        if error.errno == errno.ELOOP:
            return Passed(source, "link-loop", "the links lead round in a circle", True)
        if error.errno in (errno.ENOENT, errno.ENOTDIR):
            return Passed(source, "link", "it is a link that leads nowhere", True)
        return Passed(source, *_closed(error), failed=True)
    if Path(path).is_relative_to(target):
        return Passed(source, "link-loop", "it is a link to a folder that holds it", True)
    if target.is_relative_to(src):
        return Passed(source, "link", "it is a link; what it leads to is read where it lies", False)
    return Passed(source, "link", "it is a link that leads out of the folder, and is not followed", True)


def digest(path: str, *, most_bytes: int) -> str:
    """Return the SHA-256 of a plain file, of its size and date where it has more than `most_bytes`.

    Raises ``OSError``; never waits on a pipe.
    """
    import hashlib

    flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
    handle = os.open(path, flags)
    with os.fdopen(handle, "rb", buffering=0) as stream:
        about = os.fstat(handle)
        made = hashlib.sha256()
        if about.st_size > most_bytes or not stat.S_ISREG(about.st_mode):
            made.update(f"{about.st_size} {about.st_mtime_ns}".encode())
            return made.hexdigest()
        while piece := stream.read(_CHUNK):
            made.update(piece)
    return made.hexdigest()
