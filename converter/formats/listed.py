"""Lists of goods that stand in columns on a page whose other text runs across it."""

from __future__ import annotations

import re
from itertools import pairwise
from typing import TYPE_CHECKING

from converter.formats.rows import Row, line_of, said, stretches
from converter.read import shapes

if TYPE_CHECKING:
    from converter.formats.paragraphs import Line

QUANTITY_CELL = re.compile(r"[\d½¼¾⅓⅔⅛⅜⅝⅞./ –-]+\s*[A-Za-z.]{0,12}(?:\s*\([^)]{0,30}\))?$")
_NUMBERED = re.compile(r"\(?\d{1,2}[.)](?!\d)")
_LEAD = re.compile(r"[•◦‣▪●○·\uf0b7\uf0a7☐□*–-]\s*")
_EVEN = 4.0
"""How far [points] the cells of a column may begin from one another."""


def with_lists(rows: list[Row]) -> list[Line]:
    """Return the lines of a page without gutters; a list of goods in columns is read down each of them."""
    made: list[Line] = []
    at = 0
    while at < len(rows):
        end, edges = _listed(rows, at)
        if end == at:
            made.append(line_of(rows[at], 0))
            at += 1
            continue
        for number, edge in enumerate(edges, 1):
            until = edges[number] if number < len(edges) else float("inf")
            for row in rows[at:end]:
                cell = [word for word in row if edge - _EVEN <= word.left < until - _EVEN]
                if cell:
                    made.append(line_of(cell, number))
        at = end
    return made


def lists_in_columns(rows: list[Row]) -> bool:
    """Whether a page without gutters has a list of goods in columns."""
    return any(_listed(rows, at)[0] > at for at in range(len(rows)))


def side_by_side(rows: list[Row]) -> bool:
    """Whether words stand far apart in some row that is no row of a table of amounts: columns may be mixed."""
    for row in rows:
        parts = stretches(row)
        for (_, right), (left, _) in pairwise(parts):
            if left - right < 2.5 * row[0].size:
                continue
            cells = said([word for word in row if word.left < left]), said([word for word in row if word.left >= left])
            if not any(QUANTITY_CELL.match(cell) for cell in cells):
                return True
    return False


def _listed(rows: list[Row], first: int) -> tuple[int, list[float]]:
    """Return the row after a list of goods in columns that begins on row `first`, and the edges of its columns."""
    edges = [left for left, _ in stretches(rows[first])]
    if len(edges) < 2:
        return first, []
    end, full = first, 0
    cells: list[str] = []
    while end < len(rows):
        begins = [left for left, _ in stretches(rows[end])]
        if len(begins) > len(edges) or not all(any(abs(left - edge) < _EVEN for edge in edges) for left in begins):
            break
        if len(begins) == 1 and end > first and rows[end - 1][0].base - rows[end][0].base > 2.0 * rows[end][0].size:
            break
        full += len(begins) > 1
        for number, left in enumerate(begins):
            until = begins[number + 1] if number + 1 < len(begins) else float("inf")
            cells.append(said([word for word in rows[end] if left - 0.1 <= word.left < until - 0.1]))
        end += 1
    amounts = [
        cell for cell in cells
        if shapes.QUANTITY.match(_LEAD.sub("", cell)) and not QUANTITY_CELL.match(cell) and not _NUMBERED.match(cell)
    ]  # fmt: skip
    if full < 2 or len(amounts) < 0.5 * len(cells):
        return first, []
    return end, edges
