"""Questions to the heat model, remembered: the inputs of recipes and zones are few.

Each answer is a `Span` of minutes with the reason for ``undial trace``. The
heat model (and NumPy with it) is imported when the first question is asked.
"""

from __future__ import annotations

import math
from functools import lru_cache
from typing import TYPE_CHECKING, NamedTuple

if TYPE_CHECKING:
    from converter.heat.times import Estimate

# The clock is read out to no more than this far in full: of the part beyond it half is counted (see `thumb`).
_BEYOND = 0.5
# A recipe as short as this keeps its minutes in a zone this near: nobody tells 9 minutes from 10 (common practice).
NEAR_KELVIN = 15.0
# What conduction was held against; nothing longer is timed by it.
LONGEST_MINUTES = 300.0
# Pots are told apart in steps of this factor of time: the softening changes less than 2 % within one.
_POT_STEP = math.sqrt(2.0)


class Span(NamedTuple):
    """Minutes after which to look, to expect the food, and by which it is done; ``finishes`` as in heat.times.

    ``later`` is the later of clock and conduction, where both stand.
    """

    look: float
    expect: float
    latest: float
    reason: str
    finishes: bool = True
    later: float = 0.0


def short_minutes() -> float:
    """Return the recipe time under which door, tray and skin decide [min]."""
    from converter.heat.constants import value

    return value("clock.short")


def far_kelvin() -> float:
    """Return the change of heat that no published pair supports by the clock alone [K]."""
    from converter.heat.constants import value

    return value("clock.far")


def pad(*, measured: bool = False) -> float:
    """Return the ratio of the latest to the expected time, less where the zone was `measured` within a day."""
    from converter.heat.constants import value

    return value("estimate.pad" if measured else "estimate.pad_unmeasured")


def soft_c() -> float:
    """Return the core [°C] from which on meat is done when soft, not at a temperature."""
    from converter.heat.words import TENDER_C

    return TENDER_C


def weight_power() -> float:
    """Return the power of the weight that the time of a joint grows with."""
    from converter.heat.constants import value

    return value("weight.power")


def _words(minutes: float, from_c: float, zone_c: float, clock: float) -> str:
    return f"clock: {minutes:g} min at {from_c:.0f} °C -> {clock:.0f} min at {zone_c:.0f} °C"


def _told(made: Estimate, minutes: float, from_c: float, zone_c: float, clock: float) -> str:
    """The reason of an estimate. look x latest = clock x conduction, as both are padded alike."""
    said = _words(minutes, from_c, zone_c, clock)
    conduction = made.look_minutes * made.latest_minutes / clock
    if abs(conduction - clock) > 0.5:
        said += f"; conduction {conduction:.0f}"
    return f"{said}; expect {made.expect_minutes:.0f}"


@lru_cache(maxsize=4096)
def served(
    material: str,
    minutes: float,
    from_c: float,
    zone_c: float,
    *,
    core_c: float | None,
    slope: float | None,
    measured: bool = False,
) -> Span | None:
    """Return the time of `minutes` at `from_c` in a zone of `zone_c` [°C] by the model, ``None`` where it refuses.

    Validity and error: converter/heat/times.py. A core at or above the zone does not finish.
    """
    from converter.heat.clock import clock_minutes
    from converter.heat.errors import HeatError
    from converter.heat.times import estimate

    if core_c is not None and core_c >= zone_c:
        reason = f"will not finish here: the core wanted, {core_c:.0f} °C, is not below the zone's {zone_c:.0f} °C"
        return Span(math.inf, math.inf, math.inf, reason, False)
    try:
        made = estimate(
            food_class=material, recipe_minutes=minutes, from_c=from_c, zone_c=zone_c, core_c=core_c,
            measured_recently=measured, slope=slope,
        )  # fmt: skip
        clock = clock_minutes(minutes, from_c=from_c, to_c=zone_c, slope=slope)
    except HeatError:
        return None
    if not made.finishes:
        return Span(math.inf, math.inf, math.inf, made.reasons[0], False)
    later = max(clock, made.look_minutes * made.latest_minutes / clock)
    reason = _told(made, minutes, from_c, zone_c, clock)
    return Span(made.look_minutes, made.expect_minutes, made.latest_minutes, reason, later=later)


@lru_cache(maxsize=4096)
def thumb(
    minutes: float,
    from_c: float,
    zone_c: float,
    *,
    slope: float | None,
    material: str | None = None,
    measured: bool = False,
) -> Span:
    """Return the time by the plain clock, with its limits for short times.

    Of a change over 40 K the part beyond counts half, which is near the
    geometric mean of clock and conduction; where the class has a material,
    that mean itself and both ends are taken. A time under a quarter of an
    hour stays as it is in a zone within 15 K.
    Formula, validity, source: converter/heat/clock.py.
    """
    from converter.heat.clock import clock_minutes

    wide = pad(measured=measured)
    gap = zone_c - from_c
    far = abs(gap) - far_kelvin()
    if minutes < short_minutes() and abs(gap) <= NEAR_KELVIN:
        return Span(0.8 * minutes, minutes, wide * minutes, f"{minutes:g} min kept: {abs(gap):.0f} °C from the recipe")
    if far > 0 and material is not None and short_minutes() <= minutes <= LONGEST_MINUTES:
        both = served(material, minutes, from_c, zone_c, core_c=None, slope=slope, measured=measured)
        if both is not None and both.finishes:
            return both
    counted = from_c + gap - math.copysign(_BEYOND * max(far, 0.0), gap)
    # Whatever a recipe writes: the clock takes 3 s to 3 days and 20 to 550 °C.
    taken = min(max(minutes, 0.05), 3 * 1440.0)
    first, last = (min(max(one, 20.0), 550.0) for one in (from_c, counted))
    clock = minutes / taken * clock_minutes(taken, from_c=first, to_c=last, slope=slope, short_limits=True)
    early = 0.8 if minutes < short_minutes() else 1.0 / wide
    reason = _words(minutes, from_c, zone_c, clock) + ", a rule of thumb"
    return Span(early * clock, clock, wide * clock, reason)


@lru_cache(maxsize=4096)
def chained(
    material: str,
    minutes: float,
    from_c: float,
    legs: tuple[tuple[float, float | None], ...],
    *,
    core_c: float | None,
    slope: float | None,
) -> Span | None:
    """Return the whole time of a chain of (zone [°C], minutes) by the model: look by the chain, expect by the shares.

    ``None`` where the model refuses. Validity and error: `converter.heat.times.hot_start`.
    """
    from converter.heat.errors import HeatError
    from converter.heat.times import hot_start

    try:
        made = hot_start(
            food_class=material, recipe_minutes=minutes, from_c=from_c, legs=legs, core_c=core_c, slope=slope
        )
    except HeatError:
        return None
    if not made.finishes:
        return Span(math.inf, math.inf, math.inf, made.reasons[0], False)
    stays = ", then ".join(f"{spent:.0f} min at {zone:.0f} °C" for zone, spent in legs if spent is not None)
    reason = (
        f"hot start: {minutes:g} min at {from_c:.0f} °C -> {stays}, then {legs[-1][0]:.0f} °C; "
        f"in all {made.expect_minutes:.0f} min, by the carried heat perhaps {made.look_minutes:.0f}"
    )
    return Span(made.look_minutes, made.expect_minutes, made.latest_minutes, reason)


@lru_cache(maxsize=1024)
def by_weight(material: str, grams: float, zone_c: float, *, core_c: float | None) -> Span | None:
    """Return a time from the weight [g] and the zone [°C] alone, ``None`` where the model refuses.

    Error: see `converter.heat.weight.minutes_from_weight`; a third on either side.
    """
    from converter.heat.errors import HeatError
    from converter.heat.weight import JOINTS, minutes_from_weight
    from converter.heat.words import TENDER_CLASSES

    soft = material in TENDER_CLASSES and core_c is not None and core_c >= soft_c()
    if material not in JOINTS or soft:
        return None
    try:
        made = minutes_from_weight(food_class=material, grams=grams, zone_c=zone_c, core_c=core_c)
    except HeatError:
        return None
    if not made.finishes:
        return Span(math.inf, math.inf, math.inf, made.reasons[0], False)
    reason = f"weight: {grams / 1000:g} kg at {zone_c:.0f} °C -> {made.expect_minutes:.0f} min by conduction"
    return Span(made.look_minutes, made.expect_minutes, made.latest_minutes, reason)


class Softened(NamedTuple):
    """Factors on a simmer's time in a covered pot: look, expect, latest; the liquid's own °C, and whether it ends."""

    look: float
    expect: float
    latest: float
    liquid_c: float
    finishes: bool


@lru_cache(maxsize=1024)
def _softened(minutes: float, from_c: float | None, zone_c: float) -> Softened:
    from converter.heat.constants import value
    from converter.heat.softening import softening_factor

    made = softening_factor(zone_c=zone_c, recipe_minutes=minutes, from_c=from_c)
    factor = max(made.expect, 1.0)
    early, late = value("softening.tender_early"), value("softening.tender_late")
    return Softened(early * factor, factor, late * factor, made.liquid_c, factor < math.inf)


def softened(minutes: float, *, from_c: float | None, zone_c: float) -> Softened:
    """Return the factors on a simmer's time in a zone of `zone_c` [°C], the expected one at least 1.

    `from_c` is the recipe's oven, ``None`` on the hob. A pot that is too cool
    to soften its food does not finish. A liquid at the boil counts as no
    quicker than the recipe's: whether that simmered at 98 or at 100 °C nobody
    knows. Formula, error, source: converter/heat/softening.py.
    """
    step = round(math.log(min(max(minutes, 10.0), 720.0)) / math.log(_POT_STEP))
    # From 140 °C on a lidded pot boils, whatever the oven.
    oven = None if from_c is None else 10.0 * round(min(max(from_c, 60.0), 140.0) / 10.0)
    return _softened(float(round(_POT_STEP**step)), oven, float(round(zone_c)))
