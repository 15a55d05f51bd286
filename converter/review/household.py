"""How a folder is converted now: as its last run was, with what the household has told of cooker and rules since."""

from __future__ import annotations

import os
import threading
from datetime import date
from pathlib import Path

from converter.folder.work import Setup
from converter.ledger import LedgerError, Settings


class Household:
    """Makes the ``Setup`` of a folder and keeps it until one of the files behind it changes. Safe between threads."""

    def __init__(self, user_rules: Path | None) -> None:
        self.user_rules = user_rules
        self._lock = threading.Lock()
        self._made: tuple[object, Setup, tuple[str, ...]] | None = None

    def setup(self, settings: Settings) -> tuple[Setup, tuple[str, ...]]:
        """Return the setup and remarks about readings that are not used.

        Raises ``LedgerError`` where cooker, readings or rules cannot be used, with what is wrong in which file.
        """
        from converter.data import DataError

        with self._lock:
            try:
                return self._setup(settings)
            except DataError as error:
                raise LedgerError(str(error)) from None
            except OSError as error:
                raise LedgerError(f"{error.filename or 'a table'}: {error.strerror or error}") from None

    def _setup(self, settings: Settings) -> tuple[Setup, tuple[str, ...]]:
        from converter.place import cookers, own_cooker, rules

        name = settings.cooker or cookers.default_name()
        profile = cookers.load(name)
        own, today = self.user_rules, date.today()
        files = (own, own_cooker.path_of(profile))
        behind = (settings, profile, today, *(_age(path) for path in files))
        if self._made is not None and self._made[0] == behind:
            return self._made[1], self._made[2]
        if self._made is not None:
            rules.load.cache_clear()
        applied = own_cooker.apply(profile, today)
        setup = Setup(
            applied.cooker,
            rules.load(own if own is not None and own.is_file() else None),
            form=settings.form,
            units=settings.units,
            slope=applied.slope,
            measured=own_cooker.read_lately(applied.cooker, today),
        )
        self._made = behind, setup, applied.remarks
        return setup, applied.remarks


def _age(path: Path | None) -> tuple[int, int] | None:
    try:
        about = os.stat(path) if path is not None else None
    except OSError:
        return None
    return (about.st_mtime_ns, about.st_size) if about is not None else None
