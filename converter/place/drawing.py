"""Draws a cooker in plain characters: the plates from above, the ovens from the front."""

from __future__ import annotations

from collections.abc import Iterable
from unicodedata import combining, east_asian_width

from converter.place.cookers import Cooker, Zone
from converter.place.profiles import LEVELS, SIDES

NARROWEST = 16
WIDEST = 24

_WHERE = {
    "far-left": "far left",
    "left": "left",
    "middle": "middle",
    "right": "right",
    "far-right": "far right",
}


def where(zone: Zone) -> str:
    """Return where a zone stands in words, such as "top, left" or "front, lower right"."""
    side = _WHERE[zone.side]
    if not zone.is_oven:
        return f"top, {side}"
    level = "" if zone.level == "middle" and zone.side == "middle" else f"{zone.level} "
    return f"front, {level}{side}"


def heat(zone: Zone) -> str:
    """Return the temperatures of a zone on one line, such as "190 °C" or "110–122 °C"."""
    low, high = min(zone.celsius.values()), max(zone.celsius.values())
    return f"{low:.0f} °C" if round(low) == round(high) else f"{low:.0f}–{high:.0f} °C"


def drawing(cooker: Cooker) -> str:
    """Return the cooker as lines of text without a final newline.

    One row for the plates, one for each level of ovens; an empty box is
    where the cooker has no zone. No line is wider than 24 characters a column.
    """
    plates = grid(cooker.plates, LEVELS[:1])
    ovens = grid(cooker.ovens, LEVELS[1:])
    columns = max(len(plates[0]) if plates else 1, len(ovens[0]) if ovens else 1)
    texts = [_lines(zone, WIDEST - 2) for zone in cooker.zones]
    cell = max([NARROWEST, *(_width(line) + 2 for lines in texts for line in lines)])
    inner = columns * (cell + 1) - 1
    out: list[str] = []
    for title, rows in (("plates, seen from above", plates), ("ovens, seen from the front", ovens)):
        if not rows:
            continue
        widths = _split(inner, len(rows[0]))
        rule = "+" + "+".join("-" * width for width in widths) + "+"
        out += [title, rule]
        for row in rows:
            out += [*_row(row, widths), rule]
    return "\n".join(out)


def grid(zones: Iterable[Zone], levels: tuple[str, ...]) -> list[list[Zone | None]]:
    """Return the zones as rows from the top, each from the left; ``None`` is a place without a zone."""
    placed = {(zone.level, zone.side): zone for zone in zones}
    used_levels = [level for level in levels if any(at == level for at, _ in placed)]
    used_sides = [side for side in SIDES if any(at == side for _, at in placed)]
    return [[placed.get((level, side)) for side in used_sides] for level in used_levels]


def _split(inner: int, count: int) -> list[int]:
    free = inner - (count - 1)
    return [free // count + (index < free % count) for index in range(count)]


def _row(row: list[Zone | None], widths: list[int]) -> list[str]:
    cells = [_lines(zone, width - 2) if zone else [] for zone, width in zip(row, widths, strict=True)]
    height = max(len(lines) for lines in cells)
    out = []
    for index in range(height):
        parts = [
            _centred(lines[index] if index < len(lines) else "", width)
            for lines, width in zip(cells, widths, strict=True)
        ]
        out.append("|" + "|".join(parts) + "|")
    return out


def _lines(zone: Zone, width: int) -> list[str]:
    """Return the label, wrapped to `width` columns, and the heat."""
    lines: list[str] = []
    for word in zone.label.split():
        if lines and _width(lines[-1]) + 1 + _width(word) <= width:
            lines[-1] += f" {word}"
            continue
        while _width(word) > width:
            cut = next(index for index in range(len(word), 0, -1) if _width(word[:index]) <= width)
            lines.append(word[:cut])
            word = word[cut:]
        lines.append(word)
    return [*lines, heat(zone)]


def _width(text: str) -> int:
    """Return the columns that `text` takes on a terminal."""
    return sum(0 if combining(char) else 2 if east_asian_width(char) in "WF" else 1 for char in text)


def _centred(text: str, width: int) -> str:
    free = width - _width(text)
    return " " * (free // 2) + text + " " * (free - free // 2)
