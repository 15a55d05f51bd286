"""How the safety pass looks at a recipe: its lowered sentences and lines, temperatures, lengths of time.

It reads the words itself, so that a phase that the reader missed cannot
silence a caution. Offsets are those of ``Document.text``.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

from converter.model import Phase, Placement, Reading, Span
from converter.place.safety_table import phrases, singles

_WORD = re.compile(r"[a-zß-öø-ÿœ]+")
_BREAK = re.compile(r"[.!?;:](?=\s)\s+|\n+")
_UNIT = r"(?:(?:°|º|degrees?|deg\b\.?)\s*(c|f|celsius|fahrenheit|centigrade)?(?![a-z])|(c|f)\b)"
_TEMPERATURE = re.compile(
    r"(?<![\d.,/])(\d{2,3}(?:\.\d+)?)\s*(?:(?:°|º|degrees?)?\s*(?:-|–|—|to|or"
    r"|and)\s*(\d{2,3}(?:\.\d+)?)\s*)?" + _UNIT + r"(?!\s*angle)"
)
_FIGURE = re.compile(r"\d\s*(?:°|º|deg|[cf]\b)")
_NUMBERS = {
    "a": 1.0, "an": 1.0, "one": 1.0, "two": 2.0, "three": 3.0, "four": 4.0, "five": 5.0, "six": 6.0, "seven": 7.0,
    "eight": 8.0, "ten": 10.0, "twelve": 12.0, "fifteen": 15.0, "twenty": 20.0, "thirty": 30.0, "half": 0.5,
    "several": 3.0, "few": 3.0, "couple": 2.0, "½": 0.5, "¼": 0.25, "¾": 0.75,
}  # fmt: skip
_COUNT = r"(\d+(?:\.\d+)?|½|¼|¾|\b(?:" + "|".join(word for word in _NUMBERS if word.isalpha()) + r")\b)"
_DURATION = re.compile(
    _COUNT
    + r"\s*(½|¼|¾)?(?:\s*(?:-|–|—|to|or)\s*"
    + _COUNT
    + r"\s*(½|¼|¾)?)?\s*(?:more\s+|full\s+|good\s+|solid\s+|an?\s+|of\s+)*"
    r"(seconds?|secs?|minutes?|mins?|hours?|hrs?|h|days?|weeks?)\b|\b(overnight|all day|all night)\b"
)
_MINUTES = {"s": 1 / 60, "m": 1.0, "h": 60.0, "d": 1440.0, "w": 10080.0}
OVERNIGHT_MIN = 480.0


def lowered(text: str) -> str:
    """Return `text` in lower case with every character where it was."""
    low = text.lower()
    if len(low) == len(text):
        return low
    return "".join(small if len(small := char.lower()) == 1 else char for char in text)


class Piece:
    """One sentence of the method or the notes, or one ingredient line, lowered. ``step`` 0 is outside of the method."""

    __slots__ = ("_words", "end", "start", "step", "text")

    def __init__(self, text: str, start: int, end: int, step: int) -> None:
        self.text, self.start, self.end, self.step = text, start, end, step
        self._words: frozenset[str] | None = None

    @property
    def words(self) -> frozenset[str]:
        """The words of the sentence."""
        if self._words is None:
            self._words = frozenset(_WORD.findall(self.text))
        return self._words

    def has(self, *names: str) -> bool:
        """Is there a word of the lists?"""
        for name in names:
            if not singles(name).isdisjoint(self.words):
                return True
            for phrase in phrases(name):
                if phrase in self.text:
                    return True
        return False


class View:
    """A recipe as the safety pass sees it. ``words`` are those of the whole document."""

    def __init__(self, reading: Reading, placements: tuple[Placement, ...]) -> None:
        recipe = reading.recipe
        self.reading = reading
        self.placements = placements
        self.low = lowered(recipe.document.text)
        self.title = lowered(recipe.title)
        self.words = set(_WORD.findall(self.low))
        self.words.update(_WORD.findall(self.title))
        self._sentences: tuple[Piece, ...] | None = None
        self._lines: tuple[Piece, ...] | None = None
        self.memo: dict[str, object] = {}

    def any_of(self, *names: str) -> bool:
        """Does a word of the lists stand anywhere in the document?"""
        for name in names:
            if not singles(name).isdisjoint(self.words):
                return True
            if any(phrase in self.low for phrase in phrases(name)):
                return True
        return False

    @property
    def sentences(self) -> tuple[Piece, ...]:
        """The sentences of the method, then of the notes; of the whole text, as step 0, if there is no method."""
        if self._sentences is None:
            recipe = self.reading.recipe
            made: list[Piece] = []
            for step in recipe.steps:
                made.extend(self._split(step.span, step.number))
            if not made:
                made.extend(self._split(Span(0, len(self.low)), 0))
            for note in recipe.notes:
                made.extend(self._split(note, 0))
            self._sentences = tuple(made)
        return self._sentences

    @property
    def lines(self) -> tuple[Piece, ...]:
        """The ingredient lines."""
        if self._lines is None:
            self._lines = tuple(
                Piece(self.low[start:end], start, end, 0)
                for start, end in (self._clamp(item.span) for item in self.reading.recipe.ingredients)
            )
        return self._lines

    def _clamp(self, span: Span) -> tuple[int, int]:
        start = min(max(span.start, 0), len(self.low))
        return start, min(max(span.end, start), len(self.low))

    def _split(self, span: Span, step: int) -> Iterator[Piece]:
        start, stop = self._clamp(span)
        at = start
        for mark in _BREAK.finditer(self.low, start, stop):
            if mark.start() > at:
                yield Piece(self.low[at : mark.start() + 1].rstrip(), at, mark.start() + 1, step)
            at = mark.end()
        if stop > at:
            yield Piece(self.low[at:stop], at, stop, step)

    def with_word(self, wanted: frozenset[str]) -> Iterator[Piece]:
        """The sentences that hold one of the words."""
        if wanted.isdisjoint(self.words):
            return
        for piece in self.sentences:
            if not wanted.isdisjoint(piece.words):
                yield piece

    def phase_at(self, step: int, start: int, end: int) -> Phase | None:
        """The phase that the words belong to: the one that overlaps them, else the only one of the step."""
        same = [phase for phase in self.reading.phases if phase.step == step]
        for phase in same:
            if phase.span.start < end and start < phase.span.end:
                return phase
        return same[0] if len(same) == 1 else None


def temperatures(text: str) -> list[tuple[int, int, float, float, bool]]:
    """Return (start, end, low [°C], high [°C], unit is written) of each temperature of lowered `text`.

    Without a unit a figure of 120 or more is °F; the caller decides whether it trusts that.
    """
    if not _FIGURE.search(text):
        return []
    found = []
    for match in _TEMPERATURE.finditer(text):
        unit = (match[3] or match[4] or "")[:1]
        low = float(match[1])
        high = float(match[2]) if match[2] else low
        if high < low:
            high = low
        if unit == "f" or (not unit and low >= 120):
            low, high = (low - 32) / 1.8, (high - 32) / 1.8
        found.append((match.start(), match.end(), low, high, bool(unit)))
    return found


def _count(word: str | None, part: str | None) -> float:
    if not word:
        return 0.0
    value = _NUMBERS[word] if word in _NUMBERS else min(float(word), 1e6)
    return value + (_NUMBERS[part] if part else 0.0)


def durations(text: str) -> list[tuple[int, int, float, float]]:
    """Return (start, end, low [min], high [min]) of each length of time of lowered `text`."""
    found = []
    for match in _DURATION.finditer(text):
        if match[6]:
            found.append((match.start(), match.end(), OVERNIGHT_MIN, OVERNIGHT_MIN))
            continue
        scale = _MINUTES[match[5][0]]
        low = _count(match[1], match[2])
        high = _count(match[3], match[4]) or low
        found.append((match.start(), match.end(), low * scale, max(low, high) * scale))
    return found


def longest(text: str) -> float:
    """Return the longest time [min] that `text` names, 0 where it names none."""
    return max((high for _, _, _, high in durations(text)), default=0.0)
