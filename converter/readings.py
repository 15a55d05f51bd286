"""Changes what is kept of a cooker: under a lock, whole or not at all, so that two writers lose nothing."""

from __future__ import annotations

import contextlib
import sys
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO

from converter.files import FileTrouble, trouble, write_whole
from converter.place import own_cooker, own_file
from converter.place.cookers import Cooker
from converter.place.own_cooker import OwnRecord

PATIENCE_SECONDS = 20.0

if sys.platform == "win32":
    import msvcrt

    def _take(stream: IO[bytes]) -> None:
        msvcrt.locking(stream.fileno(), msvcrt.LK_NBLCK, 1)
else:
    import fcntl

    def _take(stream: IO[bytes]) -> None:
        fcntl.flock(stream.fileno(), fcntl.LOCK_EX | fcntl.LOCK_NB)


@contextlib.contextmanager
def _locked(path: Path, patience_seconds: float) -> Iterator[None]:
    """Hold a lock beside `path`; the system frees it even if the process dies. Raises ``FileTrouble``."""
    with open(path.with_suffix(".lock"), "ab") as stream:
        until = time.monotonic() + patience_seconds
        while True:
            try:
                _take(stream)
                break
            except (BlockingIOError, PermissionError):
                if time.monotonic() > until:
                    raise FileTrouble(
                        str(path), f"another undial has been writing here for {patience_seconds:g} seconds; try again"
                    ) from None
                time.sleep(0.01)
        yield


def change(
    cooker: Cooker, edit: Callable[[OwnRecord], OwnRecord], *, patience_seconds: float = PATIENCE_SECONDS
) -> OwnRecord:
    """Read the record of a cooker, `edit` it and write it again; returns the new one.

    Two writers wait for one another, so that none undoes the other's work. Raises ``RecordError`` where the file as
    it stands cannot be used (it is then left alone) and ``FileTrouble`` where it cannot be written.
    """
    path = own_cooker.path_of(cooker)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        with _locked(path, patience_seconds):
            before = own_cooker.load(cooker)
            after = edit(before)
            if after != before:
                write_whole(path, own_file.dump(after), force=True)
    except OSError as error:
        raise trouble(str(error.filename or path), error) from None
    return after
