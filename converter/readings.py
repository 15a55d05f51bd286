"""Changes what is kept of a cooker: under a lock, whole or not at all, so that two writers lose nothing."""

from __future__ import annotations

import contextlib
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import IO

from converter.files import FileTrouble, trouble, write_whole
from converter.place import own_cooker, own_file
from converter.place.cookers import Cooker, Zone
from converter.place.own_cooker import Cooked, OwnRecord, ZoneReading

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


class Impossible(Exception):
    """A temperature that a zone cannot have; ``fahrenheit`` says that it could, were the figure °F."""

    def __init__(self, reason: str, *, fahrenheit: bool) -> None:
        super().__init__(reason)
        self.reason = reason
        self.fahrenheit = fahrenheit


def keep_reading(cooker: Cooker, zone: Zone, height: str, *, celsius: float, day: date, by: str = "") -> OwnRecord:
    """Keep what a thermometer said at a height of a zone of `cooker`; `by` says what with. Returns the new record.

    Raises ``Impossible`` for a temperature that the zone cannot have, and as `change`.
    """
    if reason := own_cooker.impossible(zone, height, celsius):
        turned = (celsius - 32) / 1.8
        raise Impossible(reason, fahrenheit=own_cooker.impossible(zone, height, turned) is None)
    new = ZoneReading(zone.id, height, celsius, day, by)
    return change(cooker, lambda old: replace(old, readings=(*old.readings, new)))


def remove_reading(cooker: Cooker, gone: ZoneReading) -> OwnRecord:
    """Remove the reading that equals `gone`, of several the last; another writer may have added some since."""

    def edit(old: OwnRecord) -> OwnRecord:
        kept = list(old.readings)
        for at in range(len(kept) - 1, -1, -1):
            if kept[at] == gone:
                del kept[at]
                break
        return replace(old, readings=tuple(kept))

    return change(cooker, edit)


def keep_log(
    cooker: Cooker, zone: Zone, height: str, *, dish: str, dial_c: float, minutes: float, took: float, day: date
) -> tuple[OwnRecord, Cooked]:
    """Keep what a dish took in an oven of `cooker`, the one of the profile; returns the new record and the log.

    `minutes` at `dial_c` [°C, no fan] are the recipe's, `took` those until it was done. Raises ``RecordError`` for
    what the clock cannot learn from, and as `change`.
    """
    kept: list[Cooked] = []

    def add(old: OwnRecord) -> OwnRecord:
        zone_c, read = own_cooker.zone_c_for_log(cooker, zone.id, height, record=old, day=day)
        new = Cooked(dish, zone.id, height, zone_c, read, dial_c, minutes, took, day)
        kept[:] = [own_file.checked(new, where=dish)]
        return replace(old, cooked=(*old.cooked, new))

    return change(cooker, add), kept[0]


def remove_log(cooker: Cooker, gone: Cooked) -> OwnRecord:
    """Remove the first log that equals `gone`."""

    def edit(old: OwnRecord) -> OwnRecord:
        at = old.cooked.index(gone) if gone in old.cooked else len(old.cooked)
        return replace(old, cooked=old.cooked[:at] + old.cooked[at + 1 :])

    return change(cooker, edit)
