"""What came of the last answers, kept in memory so that the page after an answer can say it."""

from __future__ import annotations

import threading
from collections import OrderedDict
from dataclasses import dataclass

from fastapi import Request

from converter.review import Done
from converter.serve.shared import shared

_MOST = 500


@dataclass(frozen=True, slots=True)
class Kept:
    """What came of an answer to the line `key`; ``kind`` is that of the answer."""

    key: str
    done: Done
    kind: str = ""
    undone: bool = False


class Remembered:
    """The last answers by the number of their act, and sentences by a number of their own. Safe between threads."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._kept: OrderedDict[int, Kept] = OrderedDict()
        self._said: OrderedDict[int, str] = OrderedDict()
        self._count = 0

    def keep(self, kept: Kept) -> None:
        """Remember what came of an answer; the oldest of very many is forgotten."""
        with self._lock:
            self._kept[kept.done.act] = kept
            while len(self._kept) > _MOST:
                self._kept.popitem(last=False)

    def find(self, act: int) -> Kept | None:
        """Return what came of an act, ``None`` where it was done elsewhere or before this start of the page."""
        with self._lock:
            return self._kept.get(act)

    def say(self, words: str) -> int:
        """Remember a sentence and return its number, from 1."""
        with self._lock:
            self._count += 1
            self._said[self._count] = words
            while len(self._said) > _MOST:
                self._said.popitem(last=False)
            return self._count

    def said(self, number: int) -> str:
        """Return the sentence of a number, "" without one."""
        with self._lock:
            return self._said.get(number, "")


def remembered(request: Request) -> Remembered:
    """Return what this page remembers."""
    return shared(request.app, "remembered", Remembered, Remembered)
