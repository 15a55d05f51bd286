"""An answer for many lines at once, kept in a thread of its own so that the page can say how far it is."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from typing import TYPE_CHECKING, Final

from fastapi import Request

from converter.ledger import LedgerError
from converter.serve.shared import shared

if TYPE_CHECKING:
    from converter.review import Done, Stale

_MOST: Final = 50
Told = Callable[[int, int], None]


class Spread:
    """One answer on its way into many recipes. ``key`` is the line that it was given to, ``kind`` that of the answer.

    ``written`` of ``total`` recipes are written; ``total`` 0 says that the lines are still being looked through.
    """

    def __init__(self, number: int, key: str, kind: str, work: Callable[[Told], Done | Stale]) -> None:
        self.number, self.key, self.kind = number, key, kind
        self.written = self.total = 0
        self._work = work
        self._over = threading.Event()
        self._came: Done | Stale | LedgerError | None = None
        # No daemon: what is begun is finished, also where the page is ended meanwhile.
        threading.Thread(target=self._run, name=f"undial-spread-{number}").start()

    def _run(self) -> None:
        try:
            self._came = self._work(self._told)
        except LedgerError as error:
            self._came = error
        finally:
            self._over.set()

    def _told(self, written: int, total: int) -> None:
        self.written, self.total = written, total

    def wait(self, seconds: float) -> bool:
        """Wait until it is over, at most so long; say whether it is."""
        return self._over.wait(seconds)

    def came(self) -> Done | Stale:
        """Return what came of it once it is over. Raises ``LedgerError`` with the reason where nothing was kept."""
        if isinstance(self._came, LedgerError):
            raise self._came
        if self._came is None:
            raise LedgerError("it could not be finished; look at the line as it is now")
        return self._came

    @property
    def told(self) -> str:
        """Return the state in a sentence."""
        if not self.total:
            return "Looking which of the lines can have it …"
        return f"{self.written:,} of {self.total:,} recipes are written."


class Spreads:
    """The last of them by number, from 1. Safe between threads."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._kept: OrderedDict[int, Spread] = OrderedDict()
        self._count = 0

    def begin(self, key: str, kind: str, work: Callable[[Told], Done | Stale]) -> Spread:
        """Begin one and return it."""
        with self._lock:
            self._count += 1
            made = self._kept[self._count] = Spread(self._count, key, kind, work)
            while len(self._kept) > _MOST:
                self._kept.popitem(last=False)
            return made

    def find(self, number: int) -> Spread | None:
        """Return the one of a number, ``None`` where it is long over or was begun before this start of the page."""
        with self._lock:
            return self._kept.get(number)


def spreads(request: Request) -> Spreads:
    """Return those of this page."""
    return shared(request.app, "spreads", Spreads, Spreads)
