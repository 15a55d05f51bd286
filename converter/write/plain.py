"""A converted recipe as plain text, 78 columns."""

from __future__ import annotations

import re
from textwrap import TextWrapper

from converter.model import Result
from converter.write import curve, parts

COLUMNS = 78

_UNIT = re.compile(r"(?<=[\d¼½¾]) (?=(?:°|min\b|h\b|hours?\b|minutes?\b|k?g\b|ml\b))")  # a figure keeps its unit
_BOUND = "\x1f"  # stands for a space that is no place to break; `one_line` leaves none in a text


def wrapped(words: str, *, first: str = "", rest: str | None = None) -> str:
    """Return `words` on lines of at most `COLUMNS`, the later ones under `rest`; a longer word stays whole."""
    hang = " " * len(first) if rest is None else rest
    words = parts.one_line(words)
    if len(first) + len(words) <= COLUMNS:
        return (first + words).rstrip()
    wrapper = TextWrapper(
        width=COLUMNS, initial_indent=first, subsequent_indent=hang, break_long_words=False, break_on_hyphens=False
    )
    return wrapper.fill(_UNIT.sub(_BOUND, words)).replace(_BOUND, " ")


def _underlined(words: str, sign: str) -> list[str]:
    head = wrapped(words)
    return [head, sign * max(len(line) for line in head.split("\n"))]


def _section(out: list[str], heading: str, items: list[str]) -> None:
    if items:
        out += [*_underlined(heading, "-"), *(wrapped(item, first="- ") for item in items), ""]


def _lines(result: Result, level: str) -> list[str]:
    return [parts.line_words(line) for line in parts.lines_of(result, level)]


def render(result: Result) -> str:
    """Return the recipe as plain text."""
    recipe = result.reading.recipe
    out = [*_underlined(parts.title_of(result), "="), ""]
    for label, entries in parts.header_lines(result.header, result.units):
        out.append(wrapped(f"{label}: {parts.joined(label, entries)}", rest="    "))
    out.append("")
    given = parts.as_given(recipe)
    if given:
        out += [wrapped(f"{parts.AS_GIVEN_LABEL}: {' · '.join(given)}", rest="    "), ""]
    if recipe.ingredients:
        out += _underlined(parts.INGREDIENTS, "-")
        for at, (name, items) in enumerate(parts.ingredient_parts(recipe)):
            if name is not None:
                out += [""] * (at > 0) + [wrapped(name)]
            out += [wrapped(item.text, first="- ") for item in items]
        out.append("")
    out += _underlined(parts.METHOD, "-")
    column = len(str(max((step.number for step in result.steps), default=1))) + 2
    for at, (name, steps) in enumerate(parts.step_parts(result.steps)):
        if name is not None:
            out += [""] * (at > 0) + [wrapped(name)]
        out += [wrapped(step.rewritten, first=f"{step.number}.".ljust(column)) for step in steps]
    out.append("")
    for said in curve.lines(result):
        out += [wrapped(said), ""]
    _section(out, parts.OWN_NOTES, parts.own_notes(recipe))
    judgement = _lines(result, "judgement")
    if judgement:
        _section(out, parts.JUDGEMENT, judgement)
    else:
        out += [f"{parts.JUDGEMENT}: {parts.NONE}.", ""]
    _section(out, parts.CAUTIONS, _lines(result, "caution"))
    _section(out, parts.NOTES, _lines(result, "note") + parts.further_notes(result))
    out += [wrapped(parts.CLOSING), ""]
    return "\n".join(out)
