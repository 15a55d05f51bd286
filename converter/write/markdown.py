"""A converted recipe as Markdown (CommonMark).

Words of the recipe are escaped only where a reader of Markdown would take
them for something else: a heading, a list, emphasis, a link, HTML.
"""

from __future__ import annotations

import re

from converter.model import Result
from converter.write import curve, parts

_SIGNS = re.compile(r"[\\`*_<&\]~]")
# One pass; each branch is a sign that would act as markup where it stands.
_ACTIVE = re.compile(
    r"\\(?=[!-/:-@\[-`{-~])"  # would escape the sign after it
    r"|`"
    r"|\*(?!(?<=[ ]\*)[ ])"  # "2 * 3" is no emphasis
    r"|(?<![^\W_])_|_(?![^\W_])"  # "a_b" is no emphasis
    r"|<(?=[A-Za-z/!?]|\S*@)"  # tag, comment or address; "< 5" is none
    r"|&(?=#\d|#[xX][0-9A-Fa-f]|[A-Za-z][A-Za-z0-9]*;)"
    r"|\](?=\()"
    r"|(?<=\S)~|~(?=~)"
)
# Signs that open a block: heading, quote, list, rule, box to tick, definition of a link.
_OPENING = re.compile(r"#{1,6}(?=\s|$)|>|[-+](?=\s|$)|-{3,}\s*$|\[(?=[ xX]\]|.*\]:)")
_NUMBERED = re.compile(r"(\d{1,9})([.)])(?=\s|$)")
_CLOSING_MARKS = re.compile(r"(?:(?<=\s)|^)#(?=#*$)")


def inline(text: str) -> str:
    """Return words of the recipe so that they stay words in the middle of a line."""
    words = parts.one_line(text)
    return _ACTIVE.sub(r"\\\g<0>", words) if _SIGNS.search(words) else words


def block(text: str) -> str:
    """Return words of the recipe so that they stay words at the start of a paragraph or item."""
    words = inline(text)
    if _OPENING.match(words):
        return "\\" + words
    return _NUMBERED.sub(r"\1\\\2", words, count=1) if _NUMBERED.match(words) else words


def _heading(text: str) -> str:
    return _CLOSING_MARKS.sub(r"\\#", inline(text))


def _lines(lines: list[parts.Line]) -> list[str]:
    out = []
    for line in lines:
        words = f', "{inline(line.quote)}"' if line.quote else ""
        out.append(f"- {line.where}{words} → {inline(line.said)}")
    return out


def _section(out: list[str], heading: str, items: list[str]) -> None:
    if items:
        out += [f"## {heading}", "", *items, ""]


def render(result: Result) -> str:
    """Return the recipe as Markdown: one ``#`` heading, sections under ``##``, parts under ``###``."""
    recipe = result.reading.recipe
    out = [f"# {_heading(parts.title_of(result))}", ""]
    for label, entries in parts.header_lines(result.header, result.units):
        out.append(f"- **{label}:** {inline(parts.joined(label, entries))}")
    out.append("")
    given = parts.as_given(recipe)
    if given:
        out += [f"{parts.AS_GIVEN_LABEL}: {inline(' · '.join(given))}", ""]
    if recipe.ingredients:
        out += [f"## {parts.INGREDIENTS}", ""]
        for name, items in parts.ingredient_parts(recipe):
            if name is not None:
                out += [f"### {_heading(name)}", ""]
            out += [f"- {block(item.text)}" for item in items]
            out.append("")
    out += [f"## {parts.METHOD}", ""]
    for name, steps in parts.step_parts(result.steps):
        if name is not None:
            out += [f"### {_heading(name)}", ""]
        out += [f"{step.number}. {block(step.rewritten)}" for step in steps]
        out.append("")
    for said in curve.lines(result):
        out += [block(said), ""]
    _section(out, parts.OWN_NOTES, [f"- {block(note)}" for note in parts.own_notes(recipe)])
    judgement = parts.lines_of(result, "judgement")
    if judgement:
        _section(out, parts.JUDGEMENT, _lines(judgement))
    else:
        out += [f"{parts.JUDGEMENT}: {parts.NONE}.", ""]
    _section(out, parts.CAUTIONS, _lines(parts.lines_of(result, "caution")))
    remarks = [f"- {block(note)}" for note in parts.further_notes(result)]
    _section(out, parts.NOTES, _lines(parts.lines_of(result, "note")) + remarks)
    out += [parts.CLOSING, ""]
    return "\n".join(out)
