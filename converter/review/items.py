"""The values of a review: one flagged line as it is put before the cook, the answers, and what came of them."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import TYPE_CHECKING

from converter.ledger import Decision, KeptFlag, line_span
from converter.model import Flag, Move, Placement, Reading
from converter.pipeline import proposals
from converter.write import phrases

if TYPE_CHECKING:
    from converter.folder.work import Setup

_MOST_SIGNS = 200
_HOT_THROUGH = "reheat"  # the caution about food that must be hot right through
_ONLY_WARM = ("warm-plate", "holding-oven")


@dataclass(frozen=True, slots=True)
class Choice:
    """A numbered way: the id it is kept by, its words with zone, height and time, and what it would be flagged for."""

    number: int
    code: str
    words: str
    moves: tuple[Move, ...]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Answer:
    """What a cook says to a line: `kind` as in ``ledger.KINDS``, the `code` of a choice, or own `words`."""

    kind: str
    code: str = ""
    words: str = ""


@dataclass(frozen=True, slots=True)
class Item:
    """A flag with all that a decision needs.

    ``proposal`` is the converter's own placing in words, "" where the flag is not about one; ``code`` is what taking
    it is kept by. ``choices`` are the other ways, ``hints`` ways in words alone. ``also`` are the other open flags of
    the same stretch of heat, which are settled with it. ``standing`` is the decision that holds now, ``suggestion``
    what was decided before the words changed; ``like`` counts the open flags of the same name, rule and class of food.
    ``output`` is the posix path of the recipe below DEST. ``mark`` says what was shown: an answer that brings it back
    is refused where the line was decided or is proposed otherwise since.
    """

    flag: KeptFlag
    title: str
    before: str
    line: str
    after: str
    proposal: str
    code: str
    choices: tuple[Choice, ...]
    hints: tuple[str, ...]
    also: tuple[KeptFlag, ...]
    standing: Decision | None
    suggestion: Decision | None
    like: int
    output: str
    mark: str


@dataclass(frozen=True, slots=True)
class Left:
    """How many flags have no decision, by level; ``later`` of the first two were put off."""

    cautions: int
    judgements: int
    notes: int
    later: int

    @property
    def total(self) -> int:
        """Return how many wait for the cook; notes need no answer."""
        return self.cautions + self.judgements


@dataclass(frozen=True, slots=True)
class Page:
    """A part of the open lines, from the place ``start`` of ``total``."""

    lines: tuple[KeptFlag, ...]
    total: int
    start: int


@dataclass(frozen=True, slots=True)
class Alike:
    """What the same answer for all would be about: ``count`` open lines of this name, rule and food, some of them."""

    count: int
    examples: tuple[KeptFlag, ...]
    name: str
    rule: str
    food: str


@dataclass(frozen=True, slots=True)
class Done:
    """What came of an answer or of taking one back.

    ``act`` numbers it for `Desk.undo`. ``lines`` are the flags decided, ``outputs`` the posix paths below DEST that
    were written again; ``trouble`` has a sentence for each that could not be, though the decision is kept. ``skipped``
    counts lines alike that stay open, because their recipe or this cooker has not that way.
    """

    act: int
    lines: int
    outputs: tuple[str, ...] = ()
    trouble: tuple[str, ...] = ()
    skipped: int = 0

    @property
    def recipes(self) -> int:
        """Return how many recipes were written again."""
        return len(self.outputs)


@dataclass(frozen=True, slots=True)
class Stale:
    """An answer that was not kept, because the line is not as it was shown.

    ``why`` is ``decided`` (``standing`` says how), ``taken-back``, ``changed`` (its words, rule or proposal) or
    ``gone``; ``message`` is the sentence for the cook.
    """

    why: str
    message: str
    standing: Decision | None = None


def stays(moves: tuple[Move, ...]) -> str:
    """Return "in the hot oven, on a low shelf, for about 20–25 minutes (look at 15), then in the low oven ..."."""
    return ", then ".join(_stay(move) for move in moves)


def _stay(move: Move) -> str:
    words = phrases.spot(move)
    if move.minutes is None:
        return words
    return f"{words}{',' if ',' in words else ''} for {phrases.stay(move.minutes)}"


def choices_of(
    reading: Reading, placement: Placement, setup: Setup, *, flags: Iterable[Flag] = ()
) -> tuple[Choice, ...]:
    """Return the other ways to place a phase, each worked out as the proposal is.

    A way that one of the recipe's `flags` forbids is none.
    """
    ways = proposals(reading, placement, cooker=setup.cooker, slope=setup.slope, measured=setup.measured)
    if any(flag.phase == placement.phase and flag.name == _HOT_THROUGH for flag in flags):
        ways = tuple(way for way in ways if any(move.zone not in _ONLY_WARM for move in way.placement.moves))
    return tuple(
        Choice(
            number, way.code, stays(way.placement.moves), way.placement.moves,
            tuple(made.message for made in way.flags if made.level != "note"),
        )
        for number, way in enumerate(ways, start=1)
    )  # fmt: skip


def neighbours(reading: Reading, flag: Flag) -> tuple[str, str, str]:
    """Return the words before the line, the line and the words after it, each on one line."""
    text = reading.recipe.document.text
    span = line_span(reading, flag)
    steps = reading.recipe.steps
    at = next((n for n, step in enumerate(steps) if step.number == flag.step), None)
    line = " ".join(text[span.start : span.end].split())
    if at is None or not steps[at].span.start <= span.start <= steps[at].span.end:
        return "", line, ""
    before = text[steps[at].span.start : span.start].strip() or (steps[at - 1].text if at else "")
    after = text[span.end : steps[at].span.end].strip() or (steps[at + 1].text if at + 1 < len(steps) else "")
    before, after = " ".join(before.split()), " ".join(after.split())
    if len(before) > _MOST_SIGNS:
        before = "… " + before[-_MOST_SIGNS:].partition(" ")[2]
    if len(after) > _MOST_SIGNS:
        after = after[:_MOST_SIGNS].rpartition(" ")[0] + " …"
    return before, line, after
