"""Draws a cooker as SVG: the plates from above, the ovens from the front, each height with its temperature.

The places are those of the drawing in plain characters. Colours come from the style sheet; what a thermometer said is
told from what the profile says by the shape of its mark and in the table beside the picture.
"""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from textwrap import wrap
from typing import NamedTuple

from markupsafe import Markup

from converter.place import drawing
from converter.place.cookers import Cooker, Zone
from converter.place.profiles import LEVELS
from converter.units import to_fahrenheit

READ, MOVED, PROFILE = "read", "moved", "profile"
MARKS: Mapping[str, str] = {
    READ: "read with a thermometer", MOVED: "worked out from a reading beside it", PROFILE: "from the profile",
}  # fmt: skip
_CELL, _GAP, _EDGE, _LINE, _LETTER = 136.0, 8.0, 10.0, 21.0, 7.8
_PLATE = 104.0

Marks = Mapping[tuple[str, str], str]


class _Box(NamedTuple):
    x: float
    y: float
    width: float
    height: float


def picture(cooker: Cooker, marks: Marks, *, units: str = "c") -> Markup:
    """Return the SVG of a cooker. `marks` say for (zone id, height) where its °C come from, `units` is c or f."""
    plates = drawing.grid(cooker.plates, LEVELS[:1])
    ovens = drawing.grid(cooker.ovens, LEVELS[1:])
    columns = max([len(rows[0]) for rows in (plates, ovens) if rows] or [1])
    inner = columns * _CELL + (columns - 1) * _GAP
    width = inner + 2 * _EDGE
    body: list[str] = []
    y = _EDGE
    if plates:
        body.append(f'<rect class="top-plate" x="2" y="2" width="{width - 4:.0f}" height="{_PLATE + _EDGE + 6:.0f}"/>')
        for x, step, zone in _cells(plates[0], inner):
            if zone is not None:
                body += _plate(zone, _Box(x, y, step, _PLATE), marks, units)
        y += _PLATE + _EDGE + 6
    front = y
    y += _EDGE
    for row in ovens:
        high = max(_oven_height(zone) for zone in row if zone is not None)
        for x, step, zone in _cells(row, inner):
            if zone is not None:
                body += _oven(zone, _Box(x, y, step, high), marks, units)
        y += high + _GAP
    bottom = y + _EDGE - _GAP
    case = f'<rect class="case" x="2" y="{front:.0f}" width="{width - 4:.0f}" height="{bottom - front:.0f}"/>'
    head = [
        f'<svg class="cooker" role="img" aria-labelledby="cooker-title" aria-describedby="cooker-desc" '
        f'viewBox="0 0 {width:.0f} {bottom + 2:.0f}" width="{width:.0f}" height="{bottom + 2:.0f}" font-size="15">',
        f'<title id="cooker-title">{_words(cooker.name)}: where its zones are and how hot</title>',
        f'<desc id="cooker-desc">{_words(_told(cooker, marks, units))}</desc>', case,
    ]  # fmt: skip
    return Markup("\n".join([*head, *body, "</svg>"]))  # every word is escaped


def _words(text: str) -> str:
    return escape("".join(sign if sign.isprintable() else "\ufffd" for sign in text))


def degrees(celsius: float, units: str) -> str:
    """Return °C as "108 °C", or as °F where `units` is f."""
    return f"{to_fahrenheit(celsius):.0f} °F" if units == "f" else f"{celsius:.0f} °C"


def _told(cooker: Cooker, marks: Marks, units: str) -> str:
    parts = []
    for zone in cooker.zones:
        heats = ", ".join(
            f"{'' if height == 'any' else height + ' '}{degrees(heat, units)} {MARKS[marks[zone.id, height]]}"
            for height, heat in zone.celsius.items()
        )
        parts.append(f"{zone.label}, {drawing.where(zone)}: {heats}.")
    return " ".join(parts)


def _cells(row: list[Zone | None], inner: float) -> list[tuple[float, float, Zone | None]]:
    """Left edge, width and zone of each place of a row; all rows are as wide as the cooker."""
    step = (inner - (len(row) - 1) * _GAP) / len(row)
    return [(_EDGE + count * (step + _GAP), step, zone) for count, zone in enumerate(row)]


def _label(zone: Zone, width: float) -> list[str]:
    return wrap(zone.label, max(8, int((width - 12) / _LETTER)), max_lines=3, placeholder="…")


def _text(x: float, y: float, words: str, *, name: str = "", anchor: str = "middle") -> str:
    mark = f' class="{name}"' if name else ""
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}"{mark}>{_words(words)}</text>'


def _mark(x: float, y: float, kind: str) -> str:
    """A full square for read, half a one for worked out, an empty one for the profile."""
    frame = f'<rect class="mark-box" x="{x:.1f}" y="{y - 10:.1f}" width="10" height="10"/>'
    if kind == READ:
        return frame + f'<rect class="mark-fill" x="{x:.1f}" y="{y - 10:.1f}" width="10" height="10"/>'
    if kind == MOVED:
        return frame + f'<path class="mark-fill" d="M{x:.1f} {y:.1f}h10v-10z"/>'
    return frame


def legend(kind: str) -> Markup:
    """Return the mark of a kind as a picture of its own, for the words under the drawing."""
    return Markup(  # figures alone
        f'<svg class="legend" viewBox="0 0 12 12" width="12" height="12" aria-hidden="true">{_mark(1, 11, kind)}</svg>'
    )


def _plate(zone: Zone, box: _Box, marks: Marks, units: str) -> list[str]:
    middle = box.x + box.width / 2
    out = [
        f'<ellipse class="plate" cx="{middle:.1f}" cy="{box.y + box.height / 2:.1f}" rx="{box.width / 2 - 2:.1f}" '
        f'ry="{box.height / 2:.1f}"/>'
    ]
    lines = _label(zone, box.width * 0.9)
    y = box.y + box.height / 2 - _LINE * len(lines) / 2 + 5
    for line in lines:
        out.append(_text(middle, y, line, name="label"))
        y += _LINE
    heat = degrees(zone.at(), units)
    out.append(_mark(middle - _LETTER * len(heat) / 2 - 9, y, marks[zone.id, "any"]))
    out.append(_text(middle + 6, y, heat))
    return out


def _oven_height(zone: Zone) -> float:
    return 14 + _LINE * (len(_label(zone, _CELL)) + len(zone.heights))


def _oven(zone: Zone, box: _Box, marks: Marks, units: str) -> list[str]:
    middle = box.x + box.width / 2
    out = [
        f'<rect class="door" x="{box.x:.1f}" y="{box.y:.1f}" width="{box.width:.1f}" height="{box.height:.1f}" rx="3"/>'
    ]
    y = box.y + 20
    for line in _label(zone, _CELL):
        out.append(_text(middle, y, line, name="label"))
        y += _LINE
    left, right = max(box.x + 8, middle - 60), min(box.x + box.width - 8, middle + 60)
    for height in zone.heights:
        out.append(f'<path class="shelf" d="M{left:.1f} {y - 15:.1f}H{right:.1f}"/>')
        out.append(_mark(left, y, marks[zone.id, height]))
        out.append(_text(left + 16, y, height, anchor="start"))
        out.append(_text(right, y, degrees(zone.at(height), units), anchor="end"))
        y += _LINE
    return out
