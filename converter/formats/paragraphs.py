"""Joins the lines of a set page into paragraphs, by their place, size and marks."""

from __future__ import annotations

import re
from dataclasses import dataclass
from itertools import pairwise

from converter.formats.blocks import Block, Shape
from converter.read import shapes

_BULLET = re.compile(r"[•◦‣▪●○·\uf0b7\uf0a7☐□*]\s*|[–-]\s+")
_NUMBER = re.compile(r"\(?\d{1,2}[.)](?:\s+|(?=[A-Z]))|(?i:step)\s+\d{1,2}\s*[:.]?\s+")
_LAST = re.compile(r"([^\W\d_]+)-$")
_FIRST = re.compile(r"[^\W\d_]+")


@dataclass(slots=True)
class Line:
    """One line of a column, in points; ``first`` is the width of its first word, ``column`` -1 across all columns."""

    text: str
    left: float
    right: float
    base: float
    size: float
    first: float
    column: int = 0
    bold: bool = False
    hyphen: bool = False
    page: bool = False


def shape_of(text: str) -> Shape:
    """Return whether a line begins an item of a list."""
    if _NUMBER.match(text):
        return "number"
    return "bullet" if _BULLET.match(text) else "text"


def joined(above: str, below: str) -> str:
    """Return two lines as one; a word cut at the line's end is made whole."""
    last, first = _LAST.search(above), _FIRST.match(below)
    if last is None or first is None or not first[0][0].islower():
        return f"{above}{below}" if re.search(r"\w[-–]$", above) else f"{above} {below}"
    kept = shapes.words()
    if last[1].lower() in kept.hyphen_before or first[0].lower() in kept.hyphen_after:
        return above + below
    return above[:-1] + below


def join(lines: list[Line], body: float) -> list[Block]:
    """Return the paragraphs of `lines`; `body` is the size of the running text [points]."""
    edge: dict[int, float] = {}
    for line in lines:
        if line.size < 1.15 * body:
            edge[line.column] = max(edge.get(line.column, 0.0), line.right)
    sizes = sorted({round(line.size) for line in lines if line.size >= 1.12 * body}, reverse=True)
    pitch = _pitch(lines, body)
    made: list[Block] = []
    section = ""
    above: Line | None = None
    for line in lines:
        large = line.size >= 1.12 * body
        named = shapes.section(line.text) if len(line.text) < 60 else None
        shape: Shape = shape_of(line.text)
        if named is not None and shape == "text":
            made.append(Block("heading", line.text, sizes.index(round(line.size)) + 1 if large else 0, line.page))
            section, above = named, line
            continue
        if (
            above is not None and made and shape == "text"
            and (made[-1].shape == "heading" or not (line.page and large))
            and _goes_on(above, line, made[-1], section=section, edge=edge, pitch=pitch, body=body)
        ):  # fmt: skip
            made[-1].text = joined(made[-1].text, line.text)
        elif large and shape == "text":
            made.append(Block("heading", line.text, sizes.index(round(line.size)) + 1, line.page))
            section = ""
        elif line.bold and shape == "text" and len(line.text) < 60 and not line.text.endswith((".", ",")):
            made.append(Block("heading", line.text, 0, line.page))
        else:
            made.append(Block(shape, line.text, 0, line.page))
        above = line
    return made


def _pitch(lines: list[Line], body: float) -> float:
    """The usual distance of two lines of running text."""
    steps = sorted(
        above.base - line.base
        for above, line in pairwise(lines)
        if above.column == line.column and 0.8 * body < above.base - line.base < 2.2 * body
    )
    return steps[len(steps) // 3] if steps else 1.25 * body


def _goes_on(
    above: Line, line: Line, block: Block, *, section: str, edge: dict[int, float], pitch: float, body: float
) -> bool:
    """Whether `line` goes on with the paragraph `block` that `above` is the last line of."""
    if abs(line.size - above.size) > 0.1 * body or line.bold != above.bold:
        return False
    room = edge.get(above.column, above.right) - above.right
    turned = line.column != above.column or line.base > above.base
    if block.shape == "heading":
        if shapes.section(block.text) is not None:
            return False
        if turned:  # a title that goes on in the next column
            return above.size >= 1.12 * body
        return above.base - line.base < 1.45 * line.size and above.size >= 1.12 * body
    if above.hyphen or _LAST.search(above.text):
        return True
    if line.page and above.text.endswith((".", "!", "?")) and line.text[:1].isupper():
        return False
    if not turned and above.base - line.base > 1.4 * pitch:
        return False
    if shapes.meta(line.text) is not None or (shapes.meta(above.text) is not None and block.text == above.text):
        return False
    if block.shape in ("bullet", "number"):
        if section == "ingredients" and block.shape == "bullet":
            return not turned or line.text[:1].islower() or above.right > 0.8 * edge.get(above.column, 0.0)
        # The last line of an item leaves room for the next word.
        ended = above.text.endswith((".", "!", "?")) and room >= line.first + 0.5 * line.size
        return not (turned and ended)
    if block.text.count("(") > block.text.count(")"):
        return True
    if section == "ingredients" and (shapes.QUANTITY.match(line.text) or not line.text[:1].islower()):
        return line.text[:1] == "("
    if section != "ingredients" and line.text[:1].islower() and not above.text.endswith((".", "!", "?", ":")):
        return True
    return room < line.first + 0.5 * line.size
