"""One line on a terminal: a bar, the count, the rate and the time left."""

from __future__ import annotations

import time
from collections import deque
from collections.abc import Callable
from datetime import timedelta
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from rich.console import Console, ConsoleOptions, RenderResult

_WINDOW_SECONDS = 15.0
"""The rate is that of the time just past: what is unchanged goes much faster. A round figure, by judgement."""
_FIRST_SECONDS = 1.0
_KEPT_FREE = 3
"""Signs at the end of the line, so that the ^C that a terminal writes does not begin a new one."""
_BAR_MOST, _BAR_LEAST = 40, 8


class Progress:
    """A line for ``rich.live.Live`` that fits the terminal; `clock` gives seconds."""

    def __init__(self, *, clock: Callable[[], float] = time.monotonic) -> None:
        self._clock = clock
        self._done = self._total = 0
        self._past: deque[tuple[float, int]] = deque()

    def told(self, done: int, total: int) -> None:
        """Take over how many files are done, and of how many."""
        self._done, self._total = done, total
        if not done:  # the time until the workers have started says nothing of the rest
            return
        now = self._clock()
        if not self._past or now - self._past[-1][0] >= 0.25:
            self._past.append((now, done))
        while now - self._past[0][0] > _WINDOW_SECONDS and len(self._past) > 1:
            self._past.popleft()

    def rate(self) -> float | None:
        """Return files a second, ``None`` before it can be told."""
        if not self._past:
            return None
        since, done = self._past[0]
        seconds = self._clock() - since
        return (self._done - done) / seconds if seconds >= _FIRST_SECONDS else None

    def words(self, width: int) -> str:
        """Return what the line says in at most `width` signs: less where there is less room."""
        if not self._total:
            return "looking through the folders"[:width]
        count, rate = f"{self._done}/{self._total}", self.rate()
        long, short = f"{count} files", count
        if rate:
            speed = f"{rate:.0f}" if rate >= 9.5 else f"{rate:.1f}"
            left = timedelta(seconds=round((self._total - self._done) / rate))
            long, short = f"{long}, {speed} a second, {left} left", f"{short}, {speed}/s, {left} left"
        return next((words for words in (long, short, count) if len(words) <= width), count[:width])

    def __rich_console__(self, console: Console, options: ConsoleOptions) -> RenderResult:
        from rich.progress_bar import ProgressBar
        from rich.table import Table
        from rich.text import Text

        width = max(1, options.max_width - _KEPT_FREE)
        words = Text(self.words(width), no_wrap=True)
        bar = min(_BAR_MOST, width - 1 - len(words))
        if not self._total or bar < _BAR_LEAST:
            yield words
            return
        line = Table.grid(padding=(0, 1, 0, 0))
        line.add_row(ProgressBar(total=self._total, completed=self._done, width=bar), words)
        yield line
