"""The predicted core temperature in plain characters: a drawing for the eye, a small table for every reader."""

from __future__ import annotations

from math import ceil, floor
from textwrap import wrap

from converter.model import Curve
from converter.write.curve import STEPS_MINUTES, core_at, rows, step_of

LEAST_COLUMNS, MOST_COLUMNS, MOST_LINES = 40, 110, 19
_STEPS_DEGREES = (1, 2, 5, 10, 20, 50)
_MARGIN = 6
KEY = "* expected   : how much it may differ   - out   | into the next zone"


def drawing(curve: Curve, *, columns: int) -> list[str]:
    """Return the curve in at most `columns` (from 40) plain characters a line, with axes and a key."""
    width = min(max(columns, LEAST_COLUMNS), MOST_COLUMNS) - _MARGIN - 5
    end = curve.minutes[-1]
    coolest, hottest = min(*curve.low_c, curve.target_c), max(*curve.high_c, curve.target_c)
    per_line = step_of(max(hottest - coolest, 1.0), MOST_LINES - 3, _STEPS_DEGREES)
    lowest, highest = per_line * floor(coolest / per_line), per_line * ceil(hottest / per_line)

    def line_of(celsius: float) -> int:
        return round((highest - celsius) / per_line)

    field = [[" "] * width for _ in range(line_of(lowest) + 1)]
    field[line_of(curve.target_c)] = ["-"] * width
    for _, begins in curve.stays[1:]:
        for row in field:
            row[min(int(begins / end * (width - 1)), width - 1)] = "|"
    for column in range(width):
        minute = end * column / (width - 1)
        low, core, high = (core_at(curve, line, minute) for line in (curve.low_c, curve.core_c, curve.high_c))
        for at in range(line_of(high), line_of(low) + 1):
            field[at][column] = ":"
        field[line_of(core)][column] = "*"
    out = [f"{'°C':>{_MARGIN - 2}} ^"]
    for at, row in enumerate(field):
        degrees = highest - at * per_line
        label = str(degrees) if degrees % (2 * per_line) == 0 else ""
        out.append(f"{label:>{_MARGIN - 2}} |{''.join(row).rstrip()}")
    out.append(f"{'':>{_MARGIN - 2}} +{'-' * width}> min")
    out.append(_minutes_line(end, width))
    return [*out, *wrap(KEY, width=max(columns, LEAST_COLUMNS), break_on_hyphens=False)]


def _minutes_line(end: float, width: int) -> str:
    """The figures under the axis, each beginning under its minute, as many as have room."""
    cells = [" "] * (width + 5)
    step = step_of(end, max(width // 10, 2), STEPS_MINUTES)
    for count in range(int(end / step) + 1):
        at = int(count * step / end * (width - 1))
        cells[at : at + len(str(count * step))] = str(count * step)
    return " " * _MARGIN + "".join(cells).rstrip()


def table(curve: Curve) -> list[str]:
    """Return the curve as a small table of minutes and °C, one line for each time, read from left to right."""
    out = ["minutes   if slow   expected   if fast   (°C in the middle)"]
    out += [
        f"{row.minutes:>7.0f}   {row.slow_c:>7.0f}   {row.core_c:>8.0f}   {row.fast_c:>7.0f}" for row in rows(curve)
    ]
    begins = [f"{label} from minute {at:.0f}" for label, at in curve.stays]
    return [*out, f"Zones: {'; '.join(begins)}."]
