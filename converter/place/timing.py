"""The minutes of a move: named laws that a rule points to.

The clock is the one-line empirical law t2 = t1·exp(-β·(T2 - T1)) with
β = 0.0105 - 0.0015·ln(t1/60 min), held in 0.007..0.0125 per K. Source: our
own study of published pairs "same food, two oven temperatures" (mean error
about 7 %, single moves up to 40 K). Factors of the other laws are those of
the rule that names them, common practice.

Under a quarter of an hour door, tray and skin decide, so that the clock never
takes more than a fifth off and never adds more than one (the limits widen
until they are gone at 25 minutes), and a zone within 15 K keeps the minutes.
Of a distance over 40 K the part beyond counts half, which is near the geometric
mean of clock and conduction. What must be done to
the core (potatoes, joints) is taken half way, in proportion, between the clock
and the recipe's own time: conduction changes less with the oven than the clock.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from converter.model import Minutes, Range

BETA_60 = 0.0105
BETA_SLOPE = 0.0015
BETA_LIMITS = (0.007, 0.0125)
SHORT_MINUTES = 15.0
FAR_KELVIN = 40.0
FAR_SHARE = 0.5
NEAR_KELVIN = 15.0
PAD = 1.2
SHORT_LIMITS = (0.8, 1.2)
WIDENING = 10.0
FIRST_SHARE = 0.75
JOINT_POWER = 0.58
JOINT_KILOGRAMS = 1.5


@dataclass(frozen=True, slots=True)
class Stay:
    """What a law works from: the recipe's minutes and °C, the zone's °C, the first stay's share."""

    minutes: Range | None
    oven_c: float | None
    zone_c: float
    grams: float | None = None
    spent_share: float = 0.0


def beta(minutes: float) -> float:
    """Return β [1/K] of the clock for a recipe time in minutes."""
    value = BETA_60 - BETA_SLOPE * math.log(max(minutes, 1.0) / 60.0)
    return min(max(value, BETA_LIMITS[0]), BETA_LIMITS[1])


def clock(minutes: float, *, from_c: float, to_c: float) -> float:
    """Return the minutes at `to_c` for a recipe time at `from_c` (°C of air, conventional oven)."""
    gap = to_c - from_c
    far = max(0.0, abs(gap) - FAR_KELVIN)
    factor = math.exp(-beta(minutes) * (gap - math.copysign(far * FAR_SHARE, gap)))
    over = max(0.0, minutes - SHORT_MINUTES)
    if over < WIDENING:
        factor = min(max(factor, SHORT_LIMITS[0] - 0.03 * over), SHORT_LIMITS[1] + 0.05 * over)
    return minutes * factor


def whole(minutes: float, *, up: bool | None) -> float:
    """Round as a cook would: whole minutes to 20, fives to 70, quarter hours above.

    `up` True rounds up, False down, ``None`` to the nearest; at least 1, or
    half minutes below 2.
    """
    if minutes < 2:
        return max(0.5, math.ceil(minutes * 2 - 1e-9) / 2 if up else math.floor(minutes * 2 + 1e-9) / 2 or 0.5)
    unit = 1.0 if minutes <= 20 else (5.0 if minutes <= 70 else 15.0)
    steps = minutes / unit
    turned = math.ceil(steps - 1e-6) if up else (math.floor(steps + 1e-6) if up is False else math.floor(steps + 0.5))
    return max(1.0, turned * unit)


def rounded(low: float, high: float, *, look: float, own: bool = False, padded: bool = True) -> Minutes:
    """Return the stay in whole kitchen minutes; the high end never below the low one.

    A padded high end is rounded up, the recipe's own to the nearest.
    """
    first = whole(low, up=None)
    last = max(whole(high, up=True if padded and high - low >= 0.15 * high else None), first)
    if last > 70 and first >= 45:
        first = min(15.0 * math.floor(first / 15 + 0.5), last)
    seen = min(whole(look, up=False), first)
    return Minutes(first, last, seen, own)


def expected(stay: Stay) -> Range | None:
    """Return the minutes [low, high] in the zone by the clock, before any padding."""
    if stay.minutes is None:
        return None
    low, high = stay.minutes
    if stay.oven_c is None:
        return low, high
    return clock(low, from_c=stay.oven_c, to_c=stay.zone_c), clock(high, from_c=stay.oven_c, to_c=stay.zone_c)


def by_clock(stay: Stay) -> Minutes | None:
    """The recipe's time carried to the zone: expect the clock's time, look at 1/1.2 of it, wait until 1.2 of it."""
    span = expected(stay)
    if span is None or stay.minutes is None:
        return None
    low, high = span
    if stay.minutes[0] < SHORT_MINUTES:
        if stay.oven_c is not None and abs(stay.zone_c - stay.oven_c) <= NEAR_KELVIN:
            low, high = stay.minutes
        return rounded(low, max(high, low * PAD), look=0.8 * low, padded=high < low * PAD)
    return rounded(low, max(high, low * PAD), look=low / PAD, padded=high < low * PAD)


def to_core(stay: Stay, *, low: float, high: float) -> Minutes | None:
    """What must be done in the middle: half way between the clock and the recipe's own time.

    Without a time, from the weight: `low` to `high` are the minutes of 1 kg
    in this zone and grow with the power 0.58 of the weight (published charts:
    0.25 to 0.67); 1.5 kg where the weight is not known.
    """
    span = expected(stay)
    if span is None or stay.minutes is None:
        if low == high:
            return None
        kilograms = JOINT_KILOGRAMS if stay.grams is None else min(max(stay.grams / 1000.0, 0.3), 8.0)
        size = kilograms**JOINT_POWER
        return rounded(low * size, high * size, look=low * size / 1.5, own=True)
    first, last = math.sqrt(span[0] * stay.minutes[0]), math.sqrt(span[1] * stay.minutes[1])
    return rounded(first, max(last, first * PAD), look=first / PAD)


def as_written(stay: Stay) -> Minutes | None:
    """The recipe's own minutes."""
    if stay.minutes is None:
        return None
    low, high = stay.minutes
    return rounded(low, high, look=0.9 * low)


def attended(stay: Stay) -> Minutes | None:
    """Beside the cooker: from the recipe's time to 1.2 of it, look at 0.8."""
    if stay.minutes is None:
        return None
    low, high = stay.minutes
    return rounded(low, max(high, low * PAD), look=0.8 * low)


def by_factor(stay: Stay, *, low: float, high: float) -> Minutes | None:
    """The recipe's time times a range of factors (low oven from the boil)."""
    if stay.minutes is None:
        return None
    first, last = stay.minutes[0] * low, max(stay.minutes[1] * low, stay.minutes[0] * high)
    last = max(last, min(stay.minutes[1] * high, first * 1.6))
    return rounded(first, last, look=first / PAD)


def own(*, low: float, high: float, look: float | None) -> Minutes:
    """A time of ours, where the recipe has none: an estimate."""
    return rounded(low, high, look=0.8 * low if look is None else look, own=True)


def remainder(stay: Stay) -> Minutes | None:
    """The second of two stays, so that the shares of the time alone in each zone add up to 1."""
    span = expected(stay)
    if span is None:
        return None
    left = max(0.0, 1.0 - stay.spent_share)
    low, high = left * span[0], left * span[1]
    if low < 5:
        low, high = 5.0, max(10.0, high)
    return rounded(low, max(high, low * 1.3), look=low / PAD)


def boil_up(grams: Range | None, *, low: float, high: float, small: bool = False) -> Minutes:
    """Minutes to the boil on the hot plate: `low` to `high` a kilogram or litre, an estimate (common practice).

    A `small` pan, whose simmer is a matter of minutes, is taken as three quarters of a kilogram.
    """
    if small and grams is None:
        return rounded(2.0, 3.0, look=2.0, own=True)
    kilograms = 1.5 if grams is None else min(max(grams[1] / 1000 * 2, 1.0), 4.0)
    return rounded(max(2.0, low * kilograms), max(3.0, high * kilograms), look=low * kilograms, own=True)


def first_leg(stay: Stay, *, low: float, high: float, look: float | None) -> Minutes:
    """A first stay of set length (the life of a cold shield, a hot start), cut short for a short recipe."""
    span = expected(stay)
    if span is not None:
        most = FIRST_SHARE * span[0]
        if most < high:
            low, high = min(low, max(5.0, most * 0.8)), min(high, max(8.0, most))
    return rounded(low, high, look=0.8 * low if look is None else min(look, low))
