"""Converts the recipes that a ledger keeps, and writes their outputs again after a decision."""

from __future__ import annotations

import threading
from collections.abc import Callable, Iterable
from dataclasses import replace
from pathlib import Path

from converter.folder.work import CONVERTED, Setup, converted, minutes, output_bytes, stamp, stamped, zones
from converter.folder.writing import Folder, Outside
from converter.ledger import Entry, Ledger, kept_flags
from converter.model import Result
from converter.read.lines import NoMethod
from converter.read.text import NotReadable

_KEPT_RESULTS = 32
_ROUNDS = 8
_LATER = "the decision is kept, and undial folder writes it"


class Outputs:
    """The written recipes of one folder. Safe between threads."""

    def __init__(self, dest: Path) -> None:
        self._folder = Folder(dest)
        self._lock = threading.Lock()
        self._results: dict[tuple[int, str, str], tuple[Setup, Result]] = {}

    def proposed(self, entry: Entry, setup: Setup) -> Result:
        """Return the conversion of a recipe without any decision; the last ones are kept."""
        key = (id(setup), entry.source, entry.text)
        with self._lock:
            found = self._results.get(key)
        if found is not None and found[0] is setup:
            return found[1]
        result = converted(entry.text, entry.source, setup=setup)
        with self._lock:
            while len(self._results) >= _KEPT_RESULTS:
                del self._results[next(iter(self._results))]
            self._results[key] = setup, result
        return result

    def rewrite(
        self,
        ledger: Ledger,
        keys: Iterable[str],
        *,
        setup: Setup,
        told: Callable[[int, int], None] = lambda done, total: None,
    ) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Write the outputs of the recipes that have these flags again.

        Returns the posix paths below DEST, and a sentence for each that could not be written. `told` is called with
        the recipes done and all recipes.
        """
        recipes = sorted({(flag.source, flag.number) for key in keys for flag in ledger.same_words(key)})
        base = stamp(setup)
        made: list[str] = []
        trouble: list[str] = []
        for done, (source, number) in enumerate(recipes, start=1):
            try:
                made += self._rewrite(ledger, source, number, setup=setup, base=base)
            except (OSError, Outside, NotReadable, NoMethod) as error:
                trouble.append(f"{source}: its output cannot be written ({_why(error)}); {_LATER}")
            told(done, len(recipes))
        return tuple(made), tuple(trouble)

    def _rewrite(self, ledger: Ledger, source: str, number: int, *, setup: Setup, base: str) -> list[str]:
        entry = ledger.entry(source, number)
        keys = tuple(flag.key for flag in entry.flags) if entry is not None else ()
        decisions = ledger.decisions(keys)
        for _ in range(_ROUNDS):
            if entry is None or entry.status != CONVERTED:
                return []
            result = converted(entry.text, entry.source, setup=setup, decisions=decisions)
            flags = kept_flags(result)
            keys = tuple(flag.key for flag in flags)
            # Other flags than before may have other decisions; and another reviewer may have decided meanwhile.
            now = ledger.decisions(keys)
            if now.stamp(keys) != decisions.stamp(keys):
                decisions = now
                continue
            if entry.output:
                self._put(entry.output, output_bytes(result, setup))
            about = stamped(base, decisions, keys)
            ledger.keep(replace(entry, stamp=about, zones=zones(result), minutes=minutes(result), flags=flags))
            now = ledger.decisions(keys)
            if now.stamp(keys) == decisions.stamp(keys):
                return [entry.output] if entry.output else []
            decisions, entry = now, ledger.entry(source, number)
        return []

    def _put(self, output: str, data: bytes) -> None:
        with self._lock:
            self._folder.put(output, data)


def _why(error: Exception) -> str:
    if isinstance(error, Outside):
        return f"its place leads through a link, {error}"
    return str(getattr(error, "strerror", None) or error).lower()
