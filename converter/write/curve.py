"""The predicted core temperature of a roast: one line of words, a short table, and an inline SVG picture.

The picture tells its lines apart by their strokes, takes its only colour from the text around it, and has title,
description and a table of the same figures beside it. Temperatures are °C; `units` (c, f, both) is what is shown.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from html import escape
from typing import NamedTuple

from converter.model import Curve, Result
from converter.units import to_fahrenheit
from converter.write.parts import in_units, one_line

HEADING = "Core of the roast, predicted"
ROWS = 9  # of the table, about
_WIDTH, _HEIGHT = 400, 200  # narrow: its words stay legible on a phone
_LEFT, _RIGHT, _BELOW, _LINE = 46, 16, 66, 18
STEPS_MINUTES = (1, 2, 5, 10, 15, 30, 60, 120, 240, 480, 960, 1920)
_STEPS_DEGREES = (2, 5, 10, 20, 25, 50, 100)
_FAST, _SLOW, _OUT, _STAY = "7 3", "2 3", "9 3 2 3", "1 3"


class Times(NamedTuple):
    """Minutes at which the fast edge, the middle and the slow edge of the band come to the target, None if never."""

    look: float | None
    expect: float | None
    latest: float | None


class Row(NamedTuple):
    """One row of the table: minutes, and the core [°C] if it goes slowly, as expected, fast."""

    minutes: float
    slow_c: float
    core_c: float
    fast_c: float


def _crossing(minutes: Sequence[float], core_c: Sequence[float], target_c: float) -> float | None:
    """The first minute at which a line comes up to the target; the last point may fall short of it by rounding."""
    for at, celsius in enumerate(core_c):
        slack = 0.1 if at == len(core_c) - 1 else 0.0
        if celsius >= target_c - slack:
            if at == 0 or celsius <= target_c:
                return minutes[at]
            share = (target_c - core_c[at - 1]) / (celsius - core_c[at - 1])
            return minutes[at - 1] + share * (minutes[at] - minutes[at - 1])
    return None


def times(curve: Curve) -> Times:
    """Return when each line of the curve comes to ``target_c``."""
    return Times(
        *(_crossing(curve.minutes, line, curve.target_c) for line in (curve.high_c, curve.core_c, curve.low_c))
    )


def kitchen_minutes(minutes: float, *, up: bool | None) -> int:
    """Return minutes as a cook would say them: whole to 20, then fives; `up` rounds up, False down, None to nearest."""
    unit = 1 if minutes <= 20 else 5
    steps = minutes / unit
    turned = math.ceil(steps - 1e-6) if up else math.floor(steps + (0.5 if up is None else 1e-6))
    return max(1, turned * unit)


def time_words(minutes: float) -> str:
    """Return 55 as ``55 min`` and 110 as ``1 h 50``."""
    hours, rest = divmod(round(minutes), 60)
    return f"{rest} min" if not hours else (f"{hours} h {rest:02d}" if rest else f"{hours} h")


def rows(curve: Curve, *, most: int = ROWS) -> list[Row]:
    """Return about `most` rows at even steps, the start and the end among them."""
    if not curve.minutes:
        return []
    end = curve.minutes[-1]
    step = step_of(end, most - 1, STEPS_MINUTES)
    marks = [float(step * count) for count in range(int(end / step) + 1)]
    if end - marks[-1] > 0.25 * step:
        marks.append(end)
    return [Row(at, *(core_at(curve, line, at) for line in (curve.low_c, curve.core_c, curve.high_c))) for at in marks]


def core_at(curve: Curve, line: Sequence[float], minute: float) -> float:
    """Return one line of the curve [°C] at a minute, straight between its points."""
    for at in range(1, len(curve.minutes)):
        if curve.minutes[at] >= minute:
            before, after = curve.minutes[at - 1], curve.minutes[at]
            share = (minute - before) / (after - before) if after > before else 1.0
            return line[at - 1] + share * (line[at] - line[at - 1])
    return line[-1]


def step_of(span: float, most: int, steps: Sequence[int]) -> int:
    """Return the smallest of the steps that cuts `span` into at most `most` parts, else the last."""
    return next((step for step in steps if span / step <= most), steps[-1])


def line(curve: Curve, units: str) -> str:
    """Return the curve in one sentence, for the forms that have no picture."""
    when = times(curve)
    target = f"{curve.target_c:.0f} °C"
    if when.expect is None:
        top = max(curve.core_c, default=curve.target_c)
        end = curve.minutes[-1] if curve.minutes else 0.0
        said = f"about {top:.0f} °C after {time_words(end)}, so it does not come to {target}"
    else:
        said = f"{target} after about {time_words(kitchen_minutes(when.expect, up=None))}"
        if when.look is not None:
            said += f", perhaps from {time_words(kitchen_minutes(when.look, up=False))}"
        if when.latest is not None:
            said += f", at the latest after {time_words(kitchen_minutes(when.latest, up=True))}"
    name = f"{curve.title}, " if curve.title.strip() else ""
    return f"step {curve.step}, {name}{in_units(said, units)}"


# --- the picture ------------------------------------------------------------------------------------------


def _words(text: str) -> str:
    return escape("".join(sign if sign.isprintable() else "\ufffd" for sign in one_line(text)))


def _shown(celsius: float, units: str) -> float:
    return to_fahrenheit(celsius) if units == "f" else celsius


class _Field(NamedTuple):
    """Where minutes and degrees (as shown) lie in the picture."""

    end: float
    bottom: float
    top: float
    above: float

    def x(self, minutes: float) -> float:
        return _LEFT + (_WIDTH - _LEFT - _RIGHT) * minutes / self.end

    def y(self, degrees: float) -> float:
        return self.above + _HEIGHT * (self.top - degrees) / (self.top - self.bottom)


def _path(field: _Field, minutes: Sequence[float], degrees: Sequence[float], *, back: bool = False) -> str:
    points = [f"{field.x(at):.1f},{field.y(heat):.1f}" for at, heat in zip(minutes, degrees, strict=True)]
    return " ".join(reversed(points)) if back else " ".join(points)


def _stroke(points: str, width: float, dash: str = "", *, opacity: float = 1.0) -> str:
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    dashes += "" if opacity == 1.0 else f' stroke-opacity="{opacity:g}"'
    return f'<polyline points="{points}" fill="none" stroke="currentColor" stroke-width="{width:g}"{dashes}/>'


def _text(x: float, y: float, words: str, anchor: str = "start") -> str:
    return f'<text x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}" fill="currentColor">{_words(words)}</text>'


def svg(curve: Curve, *, name: str, units: str) -> list[str]:
    """Return the picture of a curve as lines of SVG; `name` begins the ids of its title and description."""
    degrees = [[_shown(c, units) for c in part] for part in (curve.core_c, curve.low_c, curve.high_c)]
    core, low, high = degrees
    target = _shown(curve.target_c, units)
    lowest, highest = min(*low, *core, target), max(*high, *core, target)
    step = step_of(highest - lowest, 7, _STEPS_DEGREES)
    bottom, top = step * math.floor(lowest / step), step * math.ceil(highest / step + 0.1)
    field = _Field(max(curve.minutes[-1], 1.0), bottom, top, 14 + _LINE * len(curve.stays))
    base, right, unit = field.y(bottom), _WIDTH - _RIGHT, "°F" if units == "f" else "°C"
    title = f"{HEADING}: {curve.title}" if curve.title.strip() else HEADING
    out = [
        f'<svg role="img" aria-labelledby="{name}-title {name}-desc" viewBox="0 0 {_WIDTH} {base + _BELOW:.0f}" '
        'font-size="16">',
        f'<title id="{name}-title">{_words(title)}</title>',
        f'<desc id="{name}-desc">{_words(_described(curve, units))}</desc>',
        f'<polygon points="{_path(field, curve.minutes, high)} {_path(field, curve.minutes, low, back=True)}" '
        'fill="currentColor" fill-opacity="0.1"/>',
    ]
    for mark in range(round(bottom), round(top) + 1, step):
        out.append(_stroke(f"{_LEFT},{field.y(mark):.1f} {right},{field.y(mark):.1f}", 0.75, opacity=0.25))
        out.append(_text(_LEFT - 6, field.y(mark) + 5, str(mark), "end"))
    tick = step_of(field.end, 6, STEPS_MINUTES)
    for count in range(int(field.end / tick) + 1):
        x = field.x(count * tick)
        out.append(_stroke(f"{x:.1f},{base:.1f} {x:.1f},{base + 5:.1f}", 1))
        out.append(_text(x, base + 20, str(count * tick), "middle"))
    out.append(_text(_LEFT - 6, field.above - 8, unit, "end"))
    out.append(_text(right, base + 39, "minutes", "end"))
    for row, (label, begins) in enumerate(curve.stays):
        x, y = field.x(begins), 13 + _LINE * row
        out.append(_stroke(f"{x:.1f},{y - 11:.1f} {x:.1f},{base:.1f}", 1, _STAY))
        reach = 8.0 * len(label)
        if x + 4 + reach < _WIDTH:
            out.append(_text(x + 4, y, label))
        elif x - 4 > reach:
            out.append(_text(x - 4, y, label, "end"))
        else:  # too long for either side of its line
            out.append(_text(max(2.0, _WIDTH - reach), y, label))
    out += [
        _stroke(f"{_LEFT},{base:.1f} {right},{base:.1f}", 1),
        _stroke(f"{_LEFT},{field.y(target):.1f} {right},{field.y(target):.1f}", 1.25, _OUT),
        _text(_LEFT + 6, field.y(target) - 5, f"out at {target:.0f} {unit}"),
        _stroke(_path(field, curve.minutes, low), 1.25, _SLOW),
        _stroke(_path(field, curve.minutes, high), 1.25, _FAST),
        _stroke(_path(field, curve.minutes, core), 2.5),
    ]
    x = float(_LEFT)
    for words, width, dash in (("expected", 2.5, ""), ("if fast", 1.25, _FAST), ("if slow", 1.25, _SLOW)):
        out.append(_stroke(f"{x:.1f},{base + 53:.1f} {x + 34:.1f},{base + 53:.1f}", width, dash))
        out.append(_text(x + 40, base + 58, words))
        x += 54 + 9 * len(words)
    return [*out, "</svg>"]


def _described(curve: Curve, units: str) -> str:
    stays = "; ".join(f"{label} from minute {begins:.0f}" for label, begins in curve.stays)
    starts = in_units(f"The middle starts at {curve.core_c[0]:.0f} °C", units)
    return f"{starts}; {line(curve, units)}. {stays}. A band shows how much sooner or later it may be.".replace(
        ". .", "."
    )


def _table(curve: Curve, units: str) -> list[str]:
    unit = {"c": "°C", "f": "°F", "both": "°C (°F)"}[units]
    heads = ("minutes", "if slow", "expected", "if fast")
    out = [f"<table><caption>The same in figures, {unit}</caption>", "<thead><tr>"]
    out += [f'<th scope="col">{head}</th>' for head in heads]
    out.append("</tr></thead>")
    out.append("<tbody>")
    for row in rows(curve):
        cells = "".join(f"<td>{_figure(celsius, units)}</td>" for celsius in row[1:])
        out.append(f'<tr><th scope="row">{row.minutes:.0f}</th>{cells}</tr>')
    return [*out, "</tbody></table>"]


def _figure(celsius: float, units: str) -> str:
    shown = f"{_shown(celsius, units):.0f}"
    return f"{shown} ({to_fahrenheit(celsius):.0f})" if units == "both" else shown


def section(result: Result) -> list[str]:
    """Return the part of the page with all curves of a result: for each a sentence, picture and table."""
    drawn = [curve for curve in result.curves if len(curve.minutes) > 1]
    if not drawn:
        return []
    out = ['<section class="curves">', f"<h2>{HEADING}</h2>"]
    for count, curve in enumerate(drawn, start=1):
        said = line(curve, result.units)
        out += [
            "<figure>",
            f"<figcaption>{_words(said[:1].upper() + said[1:])}. A thermometer decides.</figcaption>",
            *svg(curve, name=f"curve-{count}", units=result.units),
            *_table(curve, result.units),
            "</figure>",
        ]
    return [*out, "</section>"]


def lines(result: Result) -> list[str]:
    """Return one sentence for each curve, for Markdown and plain text."""
    return [f"{HEADING}: {line(curve, result.units)}." for curve in result.curves if curve.minutes]
