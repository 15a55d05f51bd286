"""The minutes of a move: named laws that a rule points to.

Every figure of heat comes from converter/heat; the laws here choose the model
by the class of food (lexicon/heat_classes.yaml) and round as a cook would.
`Minutes` are: look at ``look``, expect it at ``low``, at the latest ``high``.

``clock`` and ``core``: the model's time where the class is served with a time
or a probe; the plain clock, a rule of thumb, for everything else, for under a
quarter of an hour, for over five hours, in liquid, and for food that has been
in another zone before. ``first-leg`` and ``remainder``: a hot start and a
finish, the shares of the time alone in each zone adding up to 1.

``factor``: what softens in the low oven. Physics and trade disagree: the
liquid's own temperature says that a zone of 105 °C or more takes the recipe's
time, practice says a quarter to a half more (the rule's own figures), which is
right for a zone that sags below 100 °C. The range covers both: look at 0.9 of
the model's time, expect the later of the model and the start of practice, wait
until the end of practice or 1.2 of the model's time. So a pot in a cool low
oven gets longer by the model, and nothing gets shorter than practice has it.

Classes with a probe are planned by the late side: expect the later of clock
and conduction, where a class with a time gets the mean of the two.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from converter.model import Minutes, Range
from converter.place import estimates
from converter.place.heat_classes import RULE_OF_THUMB, HeatClass

FIRST_SHARE = 0.75
# Minutes up to which a cook counts in this unit.
_TENS_TO = 180.0
_UNITS = ((20.0, 1.0), (100.0, 5.0), (_TENS_TO, 10.0), (math.inf, 15.0))
JOINT_GRAMS = 1500.0
# Least minutes to the boil of a filled pot, and of one that is hot already (common practice, no source).
_FULL_POT, _HOT_POT, _FROM_COLD = (3.0, 5.0), (2.0, 3.0), 2.0
# The end of a hot start, where its own time is not told by the model (common practice, no source).
_REST_PAD = 1.3


class Timed(NamedTuple):
    """The minutes of a stay, the reason for ``undial trace``, and why the zone does not finish the food, if so."""

    minutes: Minutes | None
    reason: str = ""
    unfinished: str = ""


@dataclass(frozen=True, slots=True)
class Stay:
    """What a law works from.

    The recipe's minutes and °C, the zone's °C, the weight [g], the share of
    the cooking done by the stays before and those stays themselves, (°C,
    minutes) each; ``kind`` is how the model serves the food, ``core_c`` the
    recipe's own core temperature, ``slope`` this cooker's own clock [1/K];
    ``measured`` says that the zone was read with a thermometer within a day.
    """

    minutes: Range | None
    oven_c: float | None
    zone_c: float
    grams: float | None = None
    spent_share: float = 0.0
    legs: tuple[tuple[float, float], ...] = ()
    kind: HeatClass = RULE_OF_THUMB
    core_c: float | None = None
    slope: float | None = None
    measured: bool = False


def whole(minutes: float, *, up: bool | None) -> float:
    """Round as a cook would: whole minutes to 20, fives to 100, tens to three hours, quarter hours above.

    `up` True rounds up, False down, ``None`` to the nearest; at least 1, or
    half minutes below 2.
    """
    if minutes < 2:
        return max(0.5, math.ceil(minutes * 2 - 1e-9) / 2 if up else math.floor(minutes * 2 + 1e-9) / 2 or 0.5)
    unit = next(unit for end, unit in _UNITS if minutes <= end)
    steps = minutes / unit
    turned = math.ceil(steps - 1e-6) if up else (math.floor(steps + 1e-6) if up is False else math.floor(steps + 0.5))
    return max(1.0, turned * unit)


def rounded(low: float, high: float, *, look: float, own: bool = False, padded: bool = True) -> Minutes:
    """Return the stay in whole kitchen minutes; the high end never below the low one.

    A padded high end is rounded up to an hour, all else to the nearest.
    """
    first = whole(low, up=None)
    up = True if padded and high - low >= 0.15 * high and high <= 60 else None
    last = max(whole(high, up=up), first)
    if last > _TENS_TO:
        first = min(15.0 * math.floor(first / 15 + 0.5), last)
    seen = min(whole(look, up=False), first)
    return Minutes(first, last, seen, own)


def _by_model(stay: Stay) -> bool:
    """Tell whether the model gives the time: a class that it serves, from a quarter of an hour to five hours."""
    return (
        stay.minutes is not None
        and stay.oven_c is not None
        and stay.kind.by_model
        and estimates.short_minutes() <= stay.minutes[0]
        and stay.minutes[1] <= estimates.LONGEST_MINUTES
    )


def _thumb(stay: Stay, minutes: float) -> estimates.Span:
    oven_c, pad = stay.oven_c, estimates.pad()
    if oven_c is None:
        early = 0.8 if minutes < estimates.short_minutes() else 1.0 / pad
        return estimates.Span(early * minutes, minutes, pad * minutes, f"{minutes:g} min as written, no heat given")
    return estimates.thumb(
        minutes, float(round(oven_c)), float(round(stay.zone_c)), slope=stay.slope, material=stay.kind.material,
        measured=stay.measured,
    )  # fmt: skip


def _model(stay: Stay, minutes: float) -> estimates.Span | None:
    if stay.oven_c is None or stay.kind.material is None:
        return None
    made = estimates.served(
        stay.kind.material, minutes, float(round(stay.oven_c)), float(round(stay.zone_c)),
        core_c=stay.core_c, slope=stay.slope, measured=stay.measured,
    )  # fmt: skip
    if made is not None and made.finishes and stay.kind.serve == "probe":
        said = f", by the late side {made.later:.0f}" if made.later - made.expect >= 0.5 else ""
        return made._replace(expect=made.later, reason=made.reason + said)
    return made


def expected(stay: Stay) -> Range | None:
    """Return the minutes [low, high] in this zone alone, before any padding; the rule of thumb where it never ends."""
    if stay.minutes is None:
        return None
    low, high = stay.minutes
    return _thumb(stay, low).expect, _thumb(stay, high).expect


def by_clock(stay: Stay) -> Timed:
    """The recipe's time carried to the zone: by the model where it serves the class, else by the plain clock."""
    if stay.minutes is None:
        return Timed(None)
    low, high = stay.minutes
    first = _model(stay, low) if _by_model(stay) else None
    unfinished = "" if first is None or first.finishes else first.reason
    if first is None or unfinished:
        first, end = _thumb(stay, low), _thumb(stay, high).expect
    else:
        last = _model(stay, high)
        end = last.expect if last is not None and last.finishes else first.latest
    minutes = rounded(first.expect, max(end, first.latest), look=first.look, padded=end < first.latest)
    return Timed(minutes, first.reason, unfinished)


def to_core(stay: Stay, *, low: float, high: float) -> Timed:
    """What must be done in the middle: as `by_clock` with a time, from the weight without one.

    `low` to `high` are the rule's minutes of 1 kg in this zone; they grow with
    the weight as the model says; expect the geometric mean of model and practice,
    wait until the end of practice or 1.2 of the model's time. 1.5 kg where the
    weight is not known. Where the model does not answer they stand alone.
    """
    if stay.minutes is not None:
        return by_clock(stay)
    if low == high:
        return Timed(None)
    grams = JOINT_GRAMS if stay.grams is None else min(max(stay.grams, 300.0), 8000.0)
    size = (grams / 1000.0) ** estimates.weight_power()
    early, first, last = low * size / 1.5, low * size, high * size
    reason = f"weight: {grams / 1000:g} kg -> {first:.0f}-{last:.0f} min, common practice"
    made = None
    if stay.kind.by_model and stay.kind.material is not None:
        made = estimates.by_weight(stay.kind.material, grams, float(round(stay.zone_c)), core_c=stay.core_c)
    if made is None or not made.finishes:
        unfinished = "" if made is None else made.reason
        return Timed(rounded(first, last, look=early, own=True), reason, unfinished)
    expect, end = math.sqrt(made.expect * first), max(made.expect * estimates.pad(), last)
    minutes = rounded(expect, end, look=min(expect / estimates.pad(), first), own=True)
    return Timed(minutes, f"{made.reason}; {reason}; expect {expect:.0f}")


def as_written(stay: Stay) -> Timed:
    """The recipe's own minutes."""
    if stay.minutes is None:
        return Timed(None)
    low, high = stay.minutes
    return Timed(rounded(low, high, look=0.9 * low), "as written")


def attended(stay: Stay) -> Timed:
    """Beside the cooker: from the recipe's time to 1.2 of it, look at 0.8."""
    if stay.minutes is None:
        return Timed(None)
    low, high = stay.minutes
    return Timed(rounded(low, max(high, low * estimates.pad()), look=0.8 * low), "as written, watched")


def by_factor(stay: Stay, *, low: float, high: float, soft: bool) -> Timed:
    """The recipe's time in a covered pot of the low oven; `low` to `high` are the factors of common practice.

    `soft` False leaves practice alone: dry heat, where no model serves. Module head.
    """
    if stay.minutes is None:
        return Timed(None)
    first, last = stay.minutes[0] * low, max(stay.minutes[1] * low, stay.minutes[0] * high)
    last = max(last, min(stay.minutes[1] * high, first * 1.6))
    practice = f"x{low:g}-{high:g} by practice"
    if not soft:
        return Timed(rounded(first, last, look=first / estimates.pad()), practice)
    pot = estimates.softened(stay.minutes[0], from_c=stay.oven_c, zone_c=stay.zone_c)
    said = f"a covered pot in {stay.zone_c:.0f} °C rests at {pot.liquid_c:.0f} °C"
    if not pot.finishes:
        unfinished = f"will not soften here: {said}"
        return Timed(rounded(first, last, look=first / estimates.pad()), f"{said}; {practice}", unfinished)
    expect, end = max(first, stay.minutes[0] * pot.expect), max(last, stay.minutes[0] * pot.expect * estimates.pad())
    look = min(stay.minutes[0] * pot.look, expect / estimates.pad())
    reason = f"softening: {said}, x{pot.expect:.2g} by the model; {practice}"
    return Timed(rounded(expect, end, look=look), reason)


def own(*, low: float, high: float, look: float | None) -> Timed:
    """A time of ours, where the recipe has none: an estimate."""
    return Timed(rounded(low, high, look=0.8 * low if look is None else look, own=True), "common practice")


def remainder(stay: Stay) -> Timed:
    """The last of several stays: by the model's hot start, else so that the shares of the time alone add up to 1."""
    span = expected(stay)
    if span is None or stay.minutes is None:
        return Timed(None)
    spent = sum(minutes for _, minutes in stay.legs)
    unfinished = ""
    if spent > 0 and _by_model(stay) and stay.kind.material is not None and stay.oven_c is not None:
        legs = (*((float(round(zone_c)), minutes) for zone_c, minutes in stay.legs), (float(round(stay.zone_c)), None))
        first, last = (
            estimates.chained(
                stay.kind.material, minutes, float(round(stay.oven_c)), legs, core_c=stay.core_c, slope=stay.slope
            )
            for minutes in stay.minutes
        )
        if first is not None and last is not None and first.finishes and last.finishes:
            low = max(first.expect - spent, 5.0)
            high = max(last.expect - spent, first.latest - spent, 10.0)
            return Timed(rounded(low, high, look=max(first.look - spent, 0.5 * low, 4.0)), first.reason)
        unfinished = "" if first is None or first.finishes else first.reason
    left = max(0.0, 1.0 - stay.spent_share)
    low, high = left * span[0], left * span[1]
    if low < 5:
        low, high = 5.0, max(10.0, high)
    reason = f"{100 * left:.0f} % of the cooking is left; alone {span[0]:.0f} min here by the clock"
    return Timed(rounded(low, max(high, low * _REST_PAD), look=low / estimates.pad()), reason, unfinished)


def boil_up(grams: Range | None, *, low: float, high: float, small: bool = False) -> Timed:
    """Minutes to the boil on the hot plate: `low` to `high` a kilogram or litre, an estimate (common practice).

    Not under `_FULL_POT` from cold: the cast iron gives a pan 2 to 3 kW and the pot itself takes some of it.
    A `small` pan, whose simmer is a matter of minutes, is taken as three quarters of a kilogram.
    """
    if small and grams is None:
        return Timed(rounded(2.0, 3.0, look=2.0, own=True))
    kilograms = 1.5 if grams is None else min(max(grams[1] / 1000 * 2, 1.0), 4.0)
    least, most = _FULL_POT if low >= _FROM_COLD else _HOT_POT
    return Timed(rounded(max(least, low * kilograms), max(most, high * kilograms), look=low * kilograms, own=True))


def first_leg(stay: Stay, *, low: float, high: float, look: float | None) -> Timed:
    """A first stay of set length (the life of a cold shield, a hot start), cut short for a short recipe."""
    span = expected(stay)
    if span is not None:
        most = FIRST_SHARE * span[0]
        if most < high:
            low, high = min(low, max(5.0, most * 0.8)), min(high, max(8.0, most))
    return Timed(rounded(low, high, look=0.8 * low if look is None else min(look, low)), "a start of set length")
