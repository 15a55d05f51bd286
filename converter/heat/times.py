"""When to look, what to expect and the latest time, for one zone or for a chain of zones.

The recipe's own oven and time are the measurement: they give the size of the food by conduction, and the base of the
empirical clock. Then

    expect = clock^(1-w) x conduction^w,  w = 0 up to 28 K between the ovens, 1/2 from 40 K, straight between
    look   = min(clock, conduction) / 1.12,   latest = max(clock, conduction) x 1.12   (1.2 where the zone was not
             read with a thermometer within a day)

Units: minutes, °C of the air of a still oven (for a fan recipe add 20 °C first). Validity: food done at a core
temperature, 15 minutes to 5 hours, ovens of 65 to 260 °C; not braises (`softening`), meringues, grilling, frozen
food. Error on 57 published pairs: about 7 %, nine in ten within 15 %; the range holds about 86 % of the printed mids
(tests/benchmarks/heat_pairs.py prints both beside simpler rules). Large birds come out 8-16 % short over 30 K; a rib
printed to finish at 66 °C is refused.
Source: own study of published pairs; constants and their sources in lexicon/heat.yaml.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from math import inf

from converter.heat import words
from converter.heat.clock import clock_minutes, minutes_of, oven_c
from converter.heat.conduction import chain_to_core, size_from_time, time_to_core
from converter.heat.constants import value
from converter.heat.errors import BadValue, NeverDone, OutOfReach, food_c
from converter.heat.materials import Material, material
from converter.heat.shapes import Body
from converter.heat.stays import Stay, legs_of
from converter.heat.surfaces import Surroundings, equilibrium_c, film


@dataclass(frozen=True, slots=True)
class Estimate:
    """A cooking time: minutes after which to look, to expect it done, and by which it is done at the latest.

    ``finishes`` False says that the food will not be done there; the three times are then infinite. ``reasons`` are
    lines for the cook. For a chain the minutes are those of the whole.
    """

    look_minutes: float
    expect_minutes: float
    latest_minutes: float
    finishes: bool
    reasons: tuple[str, ...]


def _unfinished(reason: str) -> Estimate:
    return Estimate(inf, inf, inf, False, (reason,))


def never(zone_c: float, level_c: float, core_c: float) -> Estimate:
    """Return the answer for a zone whose equilibrium lies too close to the core wanted (all °C)."""
    return _unfinished(words.too_close(zone_c, level_c, core_c))


@dataclass(frozen=True, slots=True)
class _Dish:
    """A recipe as a measurement: what it is, and the body that its time gives (None where there is none)."""

    material: Material
    minutes: float
    from_c: float
    start_c: float
    core_c: float
    wetness: float
    body: Body | None
    slope: float | None
    tender: bool


@dataclass(frozen=True, slots=True)
class _Alone:
    """One dish in one zone [°C]: minutes by the clock, by conduction (None where there is none), and expected."""

    zone_c: float
    clock: float
    conduction: float | None
    expect: float
    no: str | None


def _wetness(kind: Material, oven: float, core: float) -> float:
    """The class's wetness; the driest of its range where the recipe's own oven would not finish a wetter surface."""
    if equilibrium_c(Surroundings(oven), wetness=kind.wetness) < core + value("estimate.core_margin"):
        return kind.behind["wetness"].low
    return kind.wetness


def _dish(
    food_class: str,
    recipe_minutes: float,
    from_c: float,
    core_c: float | None,
    start_c: float | None,
    slope: float | None,
) -> _Dish:
    kind = material(food_class)
    minutes, oven = minutes_of(recipe_minutes), oven_c(from_c, "the recipe's oven")
    core = kind.end_point_c() if core_c is None else food_c(core_c, "core temperature")
    start = kind.start_c if start_c is None else food_c(start_c, "start temperature")
    if core >= oven:
        raise BadValue(f"a core of {core:g} °C cannot come of the recipe's oven of {oven:g} °C")
    if core <= start + 1.0:
        raise BadValue(f"the food starts at {start:g} °C; a core of {core:g} °C leaves nothing to cook")
    wetness = _wetness(kind, oven, core)
    tender = kind.name in words.TENDER_CLASSES and core >= words.TENDER_C
    if tender:
        return _Dish(kind, minutes, oven, start, core, wetness, None, slope, tender)
    body: Body | None = None  # stays so where the recipe's own oven lies outside the model: the clock stands alone
    with suppress(NeverDone, OutOfReach):
        body = size_from_time(
            film(Surroundings(oven), start_c=start, wetness=wetness),
            shape=kind.shape,
            time_s=minutes * 60.0,
            start_c=start,
            core_c=core,
            k_w_mk=kind.k_w_mk,
            alpha_m2_s=kind.alpha_m2_s,
        )
    return _Dish(kind, minutes, oven, start, core, wetness, body, slope, tender)


def _share_of_conduction(change: float) -> float:
    """The weight w of conduction in the expected time, for a change of oven in K."""
    near, far = value("clock.near"), value("clock.far")
    return 0.5 * min(max((abs(change) - near) / (far - near), 0.0), 1.0)


def _alone(dish: _Dish, zone_c: float) -> _Alone:
    zone = oven_c(zone_c, "the zone")
    clock = clock_minutes(dish.minutes, from_c=dish.from_c, to_c=zone, slope=dish.slope)
    # The recipe itself shows that its oven finishes the food; what gets soft over hours dries on the outside.
    shown = dish.tender or (dish.body is None and zone >= dish.from_c)
    level = zone if shown else equilibrium_c(Surroundings(zone), wetness=dish.wetness)
    if level < dish.core_c + value("estimate.core_margin"):
        return _Alone(zone, clock, None, inf, words.too_close(zone, level, dish.core_c))
    if dish.body is None:
        return _Alone(zone, clock, None, clock, None)
    law = film(Surroundings(zone), start_c=dish.start_c, wetness=dish.wetness)
    conduction = time_to_core(dish.body, law, start_c=dish.start_c, core_c=dish.core_c) / 60.0
    if conduction > value("estimate.longest") * dish.minutes:
        no = words.too_long(conduction / dish.minutes, dish.minutes)
        return _Alone(zone, clock, conduction, inf, no)
    weight = _share_of_conduction(zone - dish.from_c)
    return _Alone(zone, clock, conduction, clock ** (1.0 - weight) * conduction**weight, None)


def _pad(dish: _Dish, measured_recently: bool) -> float:
    if dish.tender:
        return value("softening.tender_late")
    return value("estimate.pad" if measured_recently and dish.body is not None else "estimate.pad_unmeasured")


def _reasons(dish: _Dish, furthest: float, measured_recently: bool) -> list[str]:
    name = dish.material.name
    found = [words.BY_CLASS[name]] if name in words.BY_CLASS and not dish.tender else []
    if dish.tender:
        found.append(words.TENDER)
    elif dish.body is None:
        found.append(words.NO_BODY)
    if dish.minutes < value("clock.short"):
        found.append(words.SHORT)
    if abs(furthest) > value("clock.far"):
        found.append(words.far(furthest))
    if not measured_recently:
        found.append(words.NOT_READ)
    return found


def estimate(
    *,
    food_class: str,
    recipe_minutes: float,
    from_c: float,
    zone_c: float,
    core_c: float | None = None,
    start_c: float | None = None,
    measured_recently: bool = False,
    slope: float | None = None,
) -> Estimate:
    """Return the minutes in a zone of `zone_c` [°C] of what the recipe gives `recipe_minutes` at `from_c` [°C].

    `food_class` is a class of lexicon/materials.yaml; core and start are its usual ones where not given. `slope`
    [1/K at 60 minutes] is this cooker's own clock. Red meat or pork to a core of 85 °C and more is done when soft: the
    clock alone, x/÷1.5. Where the zone's equilibrium lies less than 6 K over the core, or
    conduction asks for more than 3.5 recipe times, ``finishes`` is False. Formula, validity, error: module head.
    Raises ``BadValue`` for values that no kitchen holds and for a stated core at or above the zone.
    """
    dish = _dish(food_class, recipe_minutes, from_c, core_c, start_c, slope)
    if core_c is not None and core_c >= oven_c(zone_c, "the zone"):
        raise BadValue(f"a core of {core_c:g} °C lies above the zone of {zone_c:g} °C; choose a hotter zone")
    alone = _alone(dish, zone_c)
    if alone.no is not None:
        return _unfinished(alone.no)
    pad = _pad(dish, measured_recently)
    both = (alone.clock, alone.clock if alone.conduction is None else alone.conduction)
    reasons = _reasons(dish, zone_c - dish.from_c, measured_recently)
    return Estimate(min(both) / pad, alone.expect, max(both) * pad, True, tuple(reasons))


def _additive(stays: Sequence[tuple[_Alone, float]]) -> tuple[float, float]:
    """The minutes at which the shares time/time alone add up to 1 (infinite if never), and the share reached.

    The time alone is the clock's: the published hot starts bear it out for a hot first stay (clock 6 % off, half way
    to conduction 8 %). A zone that does not finish the food adds nothing.
    """
    passed = share = 0.0
    for alone, minutes in stays:
        whole = inf if alone.no is not None else alone.clock
        if whole < inf and share + minutes / whole >= 1.0:
            return passed + (1.0 - share) * whole, 1.0
        share += 0.0 if whole == inf else minutes / whole
        passed += minutes
    return inf, share


def _chain(dish: _Dish, stays: Sequence[tuple[_Alone, float]]) -> float | None:
    """The minutes by the carried-over profile, each zone paced to its own expected time; None where there are none."""
    if dish.body is None:
        return None
    least, most = value("estimate.scale_least"), value("estimate.scale_most")
    chain = []
    for alone, minutes in stays:
        pace = 1.0
        if alone.conduction is not None and alone.expect < inf:
            pace = min(max(alone.conduction / alone.expect, least), most)
        chain.append(Stay(Surroundings(alone.zone_c), minutes * 60.0, pace))
    try:
        legs = legs_of(dish.body, chain, start_c=dish.start_c, wetness=dish.wetness)
        return chain_to_core(dish.body, legs, start_c=dish.start_c, core_c=dish.core_c) / 60.0
    except NeverDone:
        return None


def hot_start(
    *,
    food_class: str,
    recipe_minutes: float,
    from_c: float,
    legs: Sequence[tuple[float, float | None]],
    core_c: float | None = None,
    start_c: float | None = None,
    measured_recently: bool = False,
    slope: float | None = None,
) -> Estimate:
    """Return the minutes of a whole chain of stays, each (zone [°C], minutes); ``None`` minutes: until done, last only.

    expect: the shares time in zone / time alone in zone add up to 1. look: the earlier of the chain (the exact profile
    carried from zone to zone, each paced 0.7-1.4 to its own expected time) and expect / 1.12. latest: 1.2 x the later
    of the two. Error: five published hot starts, mean about 6 %, 10 % at most; a rib finished at 93 °C, printed at
    about 200 minutes, 186 by the chain and 209 by the sum. So the stored heat is credited only as "look".
    Raises ``BadValue`` for no legs, for a leg of no length, and for an open leg that is not the last.
    """
    dish = _dish(food_class, recipe_minutes, from_c, core_c, start_c, slope)
    if not legs:
        raise BadValue("a chain needs at least one stay of (zone in °C, minutes)")
    if any(minutes is None for _, minutes in legs[:-1]):
        raise BadValue("only the last stay may be left open; give the others a length in minutes")
    stays = [
        (_alone(dish, zone), inf if minutes is None else minutes_of(minutes, "time of a stay"))
        for zone, minutes in legs
    ]
    additive, share = _additive(stays)
    if additive == inf:
        open_end = stays[-1][0].no if legs[-1][1] is None else None
        return _unfinished(open_end or f"not done at the end of these stays: about {100 * share:.0f} % of the way")
    chain = _chain(dish, stays)
    times = (additive, additive if chain is None else chain)
    furthest = max((zone - dish.from_c for zone, _ in legs), key=abs)
    reasons = _reasons(dish, furthest, measured_recently)
    if legs[-1][0] < dish.from_c:
        reasons.append(words.CARRIED)
    spread = 1.0 + value("estimate.hot_start_spread")
    look = min(times[1], additive / value("estimate.pad"))
    return Estimate(look, additive, max(times) * spread, True, tuple(reasons))
