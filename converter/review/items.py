"""One flagged line as it is put before the cook."""

from __future__ import annotations

from dataclasses import dataclass

from converter.ledger import Decision, KeptFlag, line_span
from converter.model import Flag, Move, Reading
from converter.write import phrases

_MOST_SIGNS = 200


@dataclass(frozen=True, slots=True)
class Choice:
    """A numbered way: the id it is kept by, its words with zone, height and time, and what it would be flagged for."""

    number: int
    code: str
    words: str
    moves: tuple[Move, ...]
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Item:
    """An open flag with all that a decision needs.

    ``proposal`` is the converter's own placing in words, "" where the flag is not about one; ``code`` is what taking
    it is kept by. ``also`` are the other flags of the same stretch of heat that are settled with it. ``hints`` are
    ways in words alone. ``seen`` is the change of the decision that stands, 0 for none; ``suggestion`` what was
    decided before the words changed; ``like`` counts the open flags of the same rule and class of food.
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
    suggestion: Decision | None
    seen: int
    like: int


def stays(moves: tuple[Move, ...]) -> str:
    """Return "in the hot oven, on a low shelf, for about 20–25 minutes (look at 15), then in the low oven ..."."""
    return ", then ".join(_stay(move) for move in moves)


def _stay(move: Move) -> str:
    words = phrases.spot(move)
    if move.minutes is None:
        return words
    return f"{words}{',' if ',' in words else ''} for {phrases.stay(move.minutes)}"


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
