"""Ties a flag to the words of its line: what is taken for the line, and the key made from it."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections.abc import Iterable, Sequence

from converter.ledger.values import KeptFlag
from converter.model import Flag, Placement, Reading, Result, Span

_WORDS = re.compile(r"\w+|[°%½¼¾]")
_SENTENCE = re.compile(r"(?<!\b[A-Z])[.!?][)\"”’']*\s+(?=[\"“‘'(]*[A-Z0-9])")


def normal(text: str) -> str:
    """Return the words of `text` in lower case without stops and spaces of any kind: what makes two lines the same."""
    return " ".join(_WORDS.findall(unicodedata.normalize("NFKC", text).casefold()))


def _short(*parts: str) -> str:
    return hashlib.blake2b("\0".join(parts).encode(), digest_size=9).hexdigest()


def line_span(reading: Reading, flag: Flag) -> Span:
    """Return the sentences of the step that hold the flag's words; the words themselves outside the method."""
    step = next((part for part in reading.recipe.steps if part.number == flag.step), None)
    if step is None or not step.span.start <= flag.span.start <= flag.span.end <= step.span.end:
        return flag.span
    text = reading.recipe.document.text
    start, end = step.span
    for stop in _SENTENCE.finditer(text, step.span.start, step.span.end):
        if stop.end() <= flag.span.start:
            start = stop.end()
        elif stop.start() + 1 >= flag.span.end:
            end = stop.start() + 1
            break
    return Span(start, end)


def recipe_mark(title: str, text: str) -> str:
    """Return what tells one recipe from another wherever its file lies: the title, without one the opening words."""
    return normal(title) or normal(text[:400])[:200]


def flags_with_keys(reading: Reading, placements: Sequence[Placement], flags: Iterable[Flag]) -> tuple[KeptFlag, ...]:
    """Return the flags of a recipe with their keys, in the order given.

    The second flag of one name on the same words gets a key of its own. Pure:
    the same recipe gives the same keys on every machine.
    """
    document = reading.recipe.document
    mark = recipe_mark(reading.recipe.title, document.text)
    rules = {placement.phase: placement.rule for placement in placements}
    foods = {phase.number: phase.food_class or "" for phase in reading.phases}
    seen: dict[tuple[str, str], int] = {}
    kept = []
    for flag in flags:
        span = line_span(reading, flag)
        line = " ".join(document.text[span.start : span.end].split()) or flag.text
        words = normal(line)
        count = seen[words, flag.name] = seen.get((words, flag.name), 0) + 1
        phase = flag.phase or 0
        rule = rules.get(phase, "")
        loose = _short(mark, words, flag.name, *([str(count)] if count > 1 else []))
        kept.append(
            KeptFlag(
                f"{loose}.{_short(rule)[:8]}",
                flag.name,
                flag.level,
                flag.step,
                flag.text,
                phase,
                rule,
                foods.get(phase, ""),
                flag.message,
                flag.why,
                line,
            )
        )
    return tuple(kept)


def kept_flags(result: Result) -> tuple[KeptFlag, ...]:
    """Return the flags of a conversion as the ledger keeps them, those that a decision has settled included."""
    return flags_with_keys(result.reading, result.placements, result.flags)
