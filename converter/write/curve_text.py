"""The predicted core temperature in plain characters: a drawing for the eye, a small table for every reader."""

from __future__ import annotations

from collections.abc import Sequence

from converter.model import Curve
from converter.write.curve import rows, time_words

LEAST_COLUMNS, MOST_COLUMNS, LINES = 40, 110, 15
_MARGIN = 6
KEY = "* expected   : how much it may differ   - out   | into the next zone"


def drawing(curve: Curve, *, columns: int) -> list[str]:
    """Return the curve in at most `columns` (from 40) plain characters a line, with axes and a key."""
    width = min(max(columns, LEAST_COLUMNS), MOST_COLUMNS) - _MARGIN - 1
    end = curve.minutes[-1]
    lowest = 10.0 * int(min(*curve.low_c, curve.target_c) // 10)
    highest = 10.0 * -int(-max(*curve.high_c, curve.target_c) // 10)
    highest = max(highest, lowest + 10.0)
    per_line = (highest - lowest) / (LINES - 1)

    def line_of(celsius: float) -> int:
        return round((highest - celsius) / per_line)

    field = [[" "] * width for _ in range(LINES)]
    field[line_of(curve.target_c)] = ["-"] * width
    for _, begins in curve.stays[1:]:
        for row in field:
            row[min(int(begins / end * (width - 1)), width - 1)] = "|"
    for column in range(width):
        minute = end * column / (width - 1)
        low, core, high = (_at(curve.minutes, line, minute) for line in (curve.low_c, curve.core_c, curve.high_c))
        for at in range(line_of(high), line_of(low) + 1):
            field[at][column] = ":"
        field[line_of(core)][column] = "*"
    out = [f"{'°C':>{_MARGIN - 2}} ^"]
    for at, row in enumerate(field):
        label = f"{highest - at * per_line:.0f}" if at % 2 == 0 else ""
        out.append(f"{label:>{_MARGIN - 2}} |{''.join(row).rstrip()}")
    out.append(f"{'':>{_MARGIN - 2}} +{'-' * width}>")
    out.append(_minutes_line(end, width))
    return [*out, KEY[: max(columns, LEAST_COLUMNS)]]


def _minutes_line(end: float, width: int) -> str:
    """The figures under the axis, each beginning under its minute, as many as have room."""
    cells = [" "] * (width + 8)
    for share in (0.0, 0.25, 0.5, 0.75, 1.0):
        words = time_words(end * share) if share else "0"
        at = min(int(share * (width - 1)), width - len(words))
        cells[at : at + len(words)] = words
    return " " * _MARGIN + "".join(cells).rstrip()


def _at(minutes: Sequence[float], line: Sequence[float], minute: float) -> float:
    for at in range(1, len(minutes)):
        if minutes[at] >= minute:
            share = (minute - minutes[at - 1]) / (minutes[at] - minutes[at - 1])
            return line[at - 1] + share * (line[at] - line[at - 1])
    return line[-1]


def table(curve: Curve) -> list[str]:
    """Return the curve as a small table of minutes and °C, one line for each time, read from left to right."""
    out = ["minutes   if slow   expected   if fast   (°C in the middle)"]
    out += [f"{row.minutes:>7.0f}   {row.slow_c:>7.0f}   {row.core_c:>8.0f}   {row.fast_c:>7.0f}" for row in rows(curve)]
    begins = [f"{label} from minute {at:.0f}" for label, at in curve.stays]
    return [*out, f"Zones: {'; '.join(begins)}."]
