"""Recipes in from files and standard input, results out to files: whole or not at all."""

from __future__ import annotations

import contextlib
import errno
import os
import re
import stat
import sys
import tempfile
from pathlib import Path
from typing import TYPE_CHECKING, BinaryIO

if TYPE_CHECKING:
    from converter.model import Document

STDIN = "standard input"
# The longest of 3,129 recipes of an open cookbook has 3,156 bytes; a book pasted whole is a slip of the hand.
MOST_BYTES = 1_000_000


# A tokeniser takes quadratic time over one endless word; the longest in 3,129 recipes has 91 signs.
_ENDLESS = re.compile(r"\S{5000}")


class FileTrouble(Exception):
    """A file that cannot be read or written; the text is one sentence without the name."""

    def __init__(self, name: str, message: str) -> None:
        super().__init__(f"{name}: {message}")
        self.name = name
        self.message = message


def _reason(error: OSError) -> str:
    known = {
        errno.ENOENT: "there is no such file",
        errno.EISDIR: "this is a folder, not a file",
        errno.EACCES: "no permission to open it",
        errno.EPERM: "no permission to open it",
        errno.ENOTDIR: "a part of this path is a file, not a folder",
        errno.ENOSPC: "the disk is full",
        errno.EDQUOT: "your share of the disk is used up",
        errno.EROFS: "the disk can only be read",
        errno.ENAMETOOLONG: "the name is too long",
        errno.ELOOP: "the links lead round in a circle",
    }
    return known.get(error.errno or 0, (error.strerror or str(error) or type(error).__name__).lower())


def trouble(name: str, error: OSError) -> FileTrouble:
    """Return `error` of the operating system as one plain sentence about `name`."""
    return FileTrouble(name, _reason(error))


def _capped(stream: BinaryIO, name: str) -> bytes:
    data = stream.read(MOST_BYTES + 1)
    if len(data) > MOST_BYTES:
        raise FileTrouble(name, f"longer than {MOST_BYTES // 1_000_000} MB, so not one recipe; give each its own file")
    return data


def read_bytes(path: str) -> bytes:
    """Return the bytes of the file `path`, of standard input for ``-``.

    Raises ``FileTrouble`` where it cannot be opened or is longer than `MOST_BYTES` [bytes].
    """
    if path == "-":
        if sys.stdin is None:
            raise FileTrouble(STDIN, "it is closed")
        try:
            return _capped(sys.stdin.buffer, STDIN)
        except OSError as error:
            raise trouble(STDIN, error) from None
    try:
        with open(path, "rb") as stream:
            return _capped(stream, path)
    except OSError as error:
        raise trouble(path, error) from None
    except ValueError as error:  # a NUL in the name
        raise FileTrouble(path, str(error)) from None


def read_document(path: str) -> Document:
    """Return the recipe in `path` (``-`` = standard input) as a `Document`.

    Raises ``FileTrouble``, for text with a word of 5,000 signs too, and what
    ``converter.read.text.document`` raises for bytes that are not text.
    """
    name = STDIN if path == "-" else path
    return checked(read_bytes(path), name=name)


def checked(source: bytes | str, *, name: str) -> Document:
    """Return `source` as a `Document` called `name`; raises as `read_document`, never for opening a file."""
    from converter.read.text import document

    made = document(source, name=name)
    if _ENDLESS.search(made.text):
        raise FileTrouble(name, "it holds a word of 5,000 signs or more, as a picture put into text does; take it out")
    return made


def _mode_for(target: Path) -> int:
    """Permission bits: those of the file that is replaced, else those the user's mask leaves."""
    try:
        return stat.S_IMODE(target.stat().st_mode)
    except OSError:
        mask = os.umask(0)
        os.umask(mask)
        return 0o666 & ~mask


def _sync_folder(folder: Path) -> None:
    # A rename is safe on disk once the folder is; Windows cannot open folders.
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _put(made: Path, target: Path, *, name: str, force: bool) -> None:
    if force:
        os.replace(made, target)
        return
    exists = FileTrouble(name, "this file exists already; --force overwrites it")
    try:
        os.link(made, target)  # fails where the name is taken, so nothing slips in between
    except FileExistsError:
        raise exists from None
    except (OSError, AttributeError):  # a disk without hard links
        if os.path.lexists(target):
            raise exists from None
        os.replace(made, target)


def write_whole(path: Path, text: str, *, force: bool = False) -> None:
    """Write `text` to `path` as UTF-8, whole or not at all.

    A temporary file in the same folder is written, synced and renamed. An
    existing file is kept unless `force`; a device or pipe is written straight.
    Raises ``FileTrouble``.
    """
    name = str(path)
    data = text.encode("utf-8", errors="replace")
    made: Path | None = None
    try:
        target = path.resolve()
        if target.is_dir():
            raise FileTrouble(name, "this is a folder, not a file")
        if target.exists() and not target.is_file():
            target.write_bytes(data)
            return
        if os.path.lexists(target) and not force:
            raise FileTrouble(name, "this file exists already; --force overwrites it")
        if not target.parent.is_dir():
            raise FileTrouble(name, f"the folder {path.parent} does not exist")
        mode = _mode_for(target)
        handle, made_name = tempfile.mkstemp(prefix=".undial-", dir=target.parent)
        made = Path(made_name)
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        made.chmod(mode)
        _put(made, target, name=name, force=force)
        _sync_folder(target.parent)
    except OSError as error:
        raise trouble(name, error) from None
    except RuntimeError:  # what Path.resolve raises for links in a circle
        raise FileTrouble(name, "the links lead round in a circle") from None
    finally:
        if made is not None:
            with contextlib.suppress(OSError):
                made.unlink(missing_ok=True)


def same_file(one: str, other: Path) -> bool:
    """Say whether both names lead to one existing file."""
    try:
        return os.path.samefile(one, other)
    except OSError:
        return False
