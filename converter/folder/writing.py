"""Writes into DEST: whole files or none, never through a link, and away with what a killed run left."""

from __future__ import annotations

import contextlib
import os
import re
import stat
import sys
import tempfile
from collections.abc import Iterator, Sequence
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import IO

LOCK = ".undial-lock"
_PREFIX = ".undial-"
_WRITERS = 4
"""A disk takes several waiting writes in one go; more than four gained nothing when measured."""
_STRAY = re.compile(r"\.undial-[a-z0-9_]{8}")

if sys.platform == "win32":
    import msvcrt

    def _take(stream: IO[bytes]) -> None:
        msvcrt.locking(stream.fileno(), msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _take(stream: IO[bytes]) -> None:
        fcntl.flock(stream.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)


class Busy(Exception):
    """Another run holds the folder."""


class Outside(Exception):
    """A path below DEST that leads through a link; the text is the path."""


@contextlib.contextmanager
def held(dest: Path) -> Iterator[None]:
    """Hold `dest` for one run; the system lets go even if the process dies. Raises ``Busy`` and ``OSError``."""
    flags = os.O_RDWR | os.O_CREAT | getattr(os, "O_NOFOLLOW", 0)
    try:
        handle = os.open(dest / LOCK, flags, 0o666)
    except OSError as error:
        raise OSError(error.errno, error.strerror, str(dest)) from None
    with os.fdopen(handle, "r+b", buffering=0) as stream:
        try:
            _take(stream)
        except (BlockingIOError, PermissionError):
            raise Busy from None
        yield


class Folder:
    """DEST, an absolute path without links. Not to be shared between threads."""

    def __init__(self, dest: Path) -> None:
        self.dest = dest
        self._writers = ThreadPoolExecutor(_WRITERS, thread_name_prefix="undial-writer")
        mask = os.umask(0)
        os.umask(mask)
        self._mode = 0o666 & ~mask
        self._sound: set[Path] = {dest}

    def path(self, relative: str) -> Path:
        """Return a path below DEST. Raises ``Outside`` for one that is not."""
        made = self.dest.joinpath(*relative.split("/"))
        if ".." in made.parts or not made.is_relative_to(self.dest):
            raise Outside(relative)
        return made

    def _parent(self, target: Path, *, make: bool) -> Path:
        parent = target.parent
        if parent not in self._sound:
            if make:
                self._parent(parent, make=True)
                with contextlib.suppress(FileExistsError):
                    parent.mkdir()
            if os.path.realpath(parent) != str(parent):
                raise Outside(parent.relative_to(self.dest).as_posix())
            if make:
                self._sound.add(parent)
        return parent

    def put(self, relative: str, data: bytes) -> None:
        """Write `data` to a path below DEST, whole or not at all. Raises ``Outside`` and ``OSError``."""
        _sync(self._put(relative, data))

    def put_all(self, files: Sequence[tuple[str, bytes]]) -> list[Outside | OSError | None]:
        """Write several files as `put` does, their waits for the disk side by side; return what went wrong with each.

        All that went right is safe on the disk when this returns.
        """

        def one(file: tuple[str, bytes]) -> Path | Outside | OSError:
            try:
                return self._put(*file)
            except (Outside, OSError) as error:
                return error

        made = list(self._writers.map(one, files))
        for parent in {one for one in made if isinstance(one, Path)}:
            _sync(parent)
        return [None if isinstance(one, Path) else one for one in made]

    def close(self) -> None:
        """Let the writers go."""
        self._writers.shutdown()

    def _put(self, relative: str, data: bytes) -> Path:
        target = self.path(relative)
        parent = self._parent(target, make=True)
        handle, name = tempfile.mkstemp(prefix=_PREFIX, dir=parent)
        try:
            with os.fdopen(handle, "wb") as stream:
                stream.write(data)
                stream.flush()
                os.fsync(stream.fileno())
            os.chmod(name, self._mode)
            os.replace(name, target)
        except BaseException:
            with contextlib.suppress(OSError):
                os.unlink(name)
            raise
        return parent

    def put_if_new(self, relative: str, data: bytes) -> None:
        """Write as `put` does, unless the file holds these bytes already."""
        target = self.path(relative)
        try:
            if target.is_symlink() or target.read_bytes() != data:
                raise FileNotFoundError
        except OSError:
            self.put(relative, data)

    def has(self, relative: str) -> bool:
        """Say whether a plain file stands at this path below DEST."""
        parts = relative.split("/")  # asked for every recipe there is, so without the slower Path
        if ".." in parts or os.path.isabs(relative):
            return False
        try:
            return stat.S_ISREG(os.lstat(os.path.join(self.dest, *parts)).st_mode)
        except OSError:
            return False

    def remove(self, relative: str) -> None:
        """Remove a file below DEST and the folders that this leaves empty; a link in the way is left alone."""
        try:
            target = self.path(relative)
            self._parent(target, make=False)
            target.unlink(missing_ok=True)
            parent = target.parent
            while parent != self.dest:
                parent.rmdir()
                self._sound.discard(parent)
                parent = parent.parent
        except (OSError, Outside):
            return

    def tidy(self, ledger_name: str) -> int:
        """Remove the temporaries that a killed run left below DEST; returns how many.

        `ledger_name` is the name of a file in DEST whose half-made copies, which end in a number, go too.
        """
        half = re.compile(rf"{re.escape(ledger_name)}\..*\.\d+")
        gone = 0
        for folder, below, files in os.walk(self.dest):
            below[:] = [name for name in below if not name.startswith(".")]
            for name in files:
                if _STRAY.fullmatch(name) or (half.fullmatch(name) and folder == str(self.dest)):
                    with contextlib.suppress(OSError):
                        os.unlink(os.path.join(folder, name))
                        gone += 1
        return gone


def _sync(folder: Path) -> None:
    # A rename is safe on disk once the folder is; Windows cannot open folders.
    with contextlib.suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
