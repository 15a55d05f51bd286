"""Puts the words of PDF pages into reading order: rows, gutters between columns, page heads and feet."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from converter.formats.listed import QUANTITY_CELL, lists_in_columns, side_by_side, with_lists
from converter.formats.paragraphs import Line, join
from converter.formats.rows import Page, Row, bodies, line_of, said, stretches
from converter.read import shapes

if TYPE_CHECKING:
    from converter.formats.blocks import Block


_SLACK = 2.0
"""How far [points] a word may begin left of the edge of its column."""

Gutter = tuple[float, float]
"""The end of the text on the left, and the edge at which the column on the right begins."""


def blocks(pages: list[Page]) -> tuple[list[Block], list[int]]:
    """Return the paragraphs of a document, and the numbers of the pages whose columns were guessed."""
    sizes: Counter[float] = Counter()
    for page in pages:
        for word in page.words:
            sizes[round(word.size * 2) / 2] += len(word.text)
    if not sizes:
        return [], []
    body = sizes.most_common(1)[0][0]
    rowed = bodies(pages, body)
    found = [gutters(rows) for rows in rowed]
    known = max(found, key=len, default=[])
    lines: list[Line] = []
    guessed: list[int] = []
    for number, (rows, own) in enumerate(zip(rowed, found, strict=True), 1):
        used = own or [gutter for gutter in known if _free(rows, gutter)]
        if used or lists_in_columns(rows) or side_by_side(rows):
            guessed.append(number)
        first = len(lines)
        lines += ordered(rows, used, body)
        if len(lines) > first:
            lines[first].page = number > 1
    return join(lines, body), guessed


# ---------------------------------------------------------------- columns


def gutters(rows: list[Row]) -> list[Gutter]:
    """Return the empty strips between columns, from left to right."""
    if len(rows) < 4:
        return []
    parts = [stretches(row) for row in rows]
    size = sorted(word.size for row in rows for word in row)[sum(map(len, rows)) // 2]
    edges = Counter(round(left) for row in parts for left, _ in row)
    made: list[Gutter] = []
    before = float(min(edges))
    for edge in sorted(edges):
        # The edge of a column is where most of its lines begin; indents lie to the right of it.
        near = sum(edges[at] for at in range(edge - 1, edge + 2))
        if near < 2 or edge < before + 6 * size or any(edges[at] > near for at in range(edge, edge + 5)):
            continue
        clear = [part for part in parts if not _crosses(part, (0.0, edge))]
        ends = sorted(right for part in clear for left, right in part if before - 1 <= left < edge - 1)
        low = ends[int(0.95 * (len(ends) - 1))] if ends else float(edge)
        # Headings hang out to the left of the list below them.
        room = low + max(5.0, 0.6 * size)
        hung = [left for part in parts for left, right in part if room <= left < edge < right]
        strip = (low, min([float(edge), *hung]) - 0.5)
        if strip[1] - low >= max(5.0, 0.6 * size) and _parts_columns(rows, parts, (*strip, edge), before - 1, size):
            made.append(strip)
            before = strip[1]
    if made:
        # Columns are of one width: a last one of a single line is where the next would begin.
        last = made[-1][1]
        due = 2 * last - (made[-2][1] if len(made) > 1 else min(edges))
        begins = [left for row in parts for left, _ in row if abs(left - due) < 4.0]
        if begins and not any(_crosses(part, (0.0, min(begins))) for part in parts):
            made.append((min(begins) - size, min(begins) - 0.5))
    return made


def _crosses(part: list[tuple[float, float]], strip: Gutter) -> bool:
    edge = strip[1] - _SLACK
    return any(left < edge < right for left, right in part)


def _parts_columns(
    rows: list[Row],
    parts: list[list[tuple[float, float]]],
    place: tuple[float, float, float],
    before: float,
    size: float,
) -> bool:
    """Whether text on both sides of a strip runs down in columns, and is no table read across.

    `place` is the strip and where most lines on the right of it begin.
    """
    strip, edge = place[:2], place[2]
    right_rows: list[int] = []
    left_rows = crossing = 0
    cells: list[str] = []
    across: list[str] = []
    for at, part in enumerate(parts):
        if _crosses(part, strip):
            crossing += 1
            continue
        begins = any(strip[1] - 1 <= left < edge + 2.5 * size for left, _ in part)
        beside = any(before <= left < strip[0] for left, _ in part)
        left_rows += beside
        if begins:
            right_rows.append(at)
            if beside:
                cells.append(said([word for word in rows[at] if before <= word.left < strip[0]]))
                across.append(said([word for word in rows[at] if word.left >= strip[1] - 1]))
    if len(right_rows) < 2 or left_rows < 3:
        return False
    if crossing > 0.34 * len(rows) and crossing > len(right_rows):
        return False
    for side in (cells, across):  # a table of amounts and goods
        if side and sum(1 for cell in side if QUANTITY_CELL.match(cell)) >= 0.6 * len(side):
            return False
    span = range(right_rows[0], right_rows[-1] + 1)
    inside = sum(1 for at in span if _crosses(parts[at], strip))
    if len(right_rows) < 4 and (inside or strip[1] - strip[0] < 1.2 * size):
        return False
    return inside <= 0.34 * len(span)


def _free(rows: list[Row], gutter: Gutter) -> bool:
    parts = [stretches(row) for row in rows]
    beyond = sum(1 for part in parts for left, _ in part if abs(left - gutter[1]) < 12)
    return beyond > 0 and not any(_crosses(part, gutter) for part in parts)


def ordered(rows: list[Row], strips: list[Gutter], body: float) -> list[Line]:
    """Return the lines of a page in reading order: down each column, a row across all of them between."""
    if not strips:
        return with_lists(rows)
    made: list[Line] = []
    waiting: list[list[Row]] = [[] for _ in range(len(strips) + 1)]

    def flush() -> None:
        for at, column in enumerate(waiting):
            made.extend(line_of(row, at) for row in column)
            column.clear()

    parts = [stretches(row) for row in rows]
    for at, row in enumerate(rows):
        if any(_crosses(parts[at], strip) for strip in strips) and not _overflows(rows, parts, at, strips):
            flush()
            made.append(line_of(row, -1))
            continue
        if _opens_section(rows, at, strips, body) or _ends_columns(rows, parts, at, strips):
            flush()
        split: dict[int, Row] = {}
        for word in row:
            split.setdefault(sum(1 for strip in strips if word.left >= strip[1] - _SLACK), []).append(word)
        for column, words in split.items():
            waiting[column].append(words)
    flush()
    return made


def _overflows(rows: list[Row], parts: list[list[tuple[float, float]]], at: int, strips: list[Gutter]) -> bool:
    """Whether a row that crosses a gutter is only a word too long for its column: columns run on above and below it."""
    if at in (0, len(rows) - 1):
        return False
    pitch = 1.7 * rows[at][0].size
    for strip in strips:
        if not _crosses(parts[at], strip):
            continue
        for step in (-1, 1):
            sides = set()
            other = at + step
            while 0 <= other < len(rows) and abs(rows[other][0].base - rows[at][0].base) < pitch:
                if _crosses(parts[other], strip):
                    return False
                sides |= {left >= strip[1] - _SLACK for left, _ in parts[other]}
                other += step
            if len(sides) < 2:
                return False
    return True


def _ends_columns(
    rows: list[Row], parts: list[list[tuple[float, float]]], at: int, strips: list[Gutter]
) -> bool:
    """Whether the name of a section stands over text that runs across the page, with columns only above it."""
    if shapes.section(said(rows[at])) is None or rows[at][0].left >= strips[0][1] - _SLACK:
        return False
    wide = False
    for part in parts[at + 1 :]:
        crossed = any(_crosses(part, strip) for strip in strips)
        if not crossed and any(left >= strips[0][1] - _SLACK for left, _ in part):
            return False
        wide = wide or crossed
    return wide


def _opens_section(rows: list[Row], at: int, strips: list[Gutter], body: float) -> bool:
    """Whether a large heading stands alone across the page, with columns above and below it."""
    row = rows[at]
    if row[0].size < 1.15 * body or row[0].left > strips[0][0] or row[-1].right > strips[0][0] + 40:
        return False
    beside = [other for other in rows if abs(other[0].base - row[0].base) < 1.6 * row[0].size and other is not row]
    if any(word.left > strips[0][1] - 1 for other in beside for word in other):
        return False
    sides = [any(word.left > strips[0][1] - 1 for word in other) for other in rows]
    return any(sides[:at]) and any(sides[at + 1 :])
