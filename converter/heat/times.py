"""When to look, what to expect and the latest time, for one zone or for a chain of zones.

The recipe's own oven and time are the measurement: they give the size of the food by conduction, and the base of the
empirical clock. Then

    expect = clock^(1-w) x conduction^w,  w = 0 up to 28 K between the ovens, 1/2 from 40 K, straight between
    look   = min(clock, conduction) / 1.12,   latest = max(clock, conduction) x 1.12   (1.2 where the zone was not
             read with a thermometer within a day)

Units: minutes, °C of the air of a still oven (for a fan recipe add 20 °C first). Validity: food done at a core
temperature, 15 minutes to 5 hours, ovens of 65 to 260 °C; not braises (`softening`), meringues, grilling, frozen
food. Error on 57 published pairs: about 7 %, nine in ten within 15 %; the range holds about 87 % of the printed mids
(tests/benchmarks/heat_pairs.py prints both beside simpler rules). Large birds come out 8-16 % short over 30 K.
Source: own study of published pairs; constants and their sources in lexicon/heat.yaml.
"""

from __future__ import annotations

from collections.abc import Sequence
from contextlib import suppress
from dataclasses import dataclass
from math import inf

from converter.heat.clock import clock_minutes, minutes_of, oven_c
from converter.heat.conduction import Leg, chain_to_core, size_from_time, time_to_core
from converter.heat.constants import value
from converter.heat.errors import BadValue, NeverDone, OutOfReach, food_c
from converter.heat.materials import Material, material
from converter.heat.shapes import Body
from converter.heat.surfaces import Film, Surroundings, equilibrium_c, film

# What decides in classes of food whose end is not, or not only, a core temperature.
BY_CLASS = {
    "poultry": "poultry: plan by the latest time and go by a probe in the thickest part",
    "mince": "minced meat: plan by the latest time and go by a probe in the middle",
    "pork": "pork: plan by the latest time and go by a probe in the middle",
    "bread": "bread: colour and crust decide; keep to the zone nearest the recipe",
    "egg-custard": "custard: its water bath sets the pace, not the oven; go by the wobble",
    "root": "vegetables in pieces: softness and colour decide; go by a knife",
    "gratin": "dish with a top: it must be hot in the middle and coloured on top; look at both",
}

NOT_READ = "the zone was not read with a thermometer today, so that the range is wider"
TENDER_C = 85.0  # a core asked for in red meat or pork from here on means soft, not done
TENDER = "done when soft, not at a core temperature: a fork decides, and the time is a rule of thumb"


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


def _too_close(zone_c: float, level_c: float, core_c: float) -> str:
    return (
        f"will not finish here: a zone of {zone_c:.0f} °C takes this food towards {level_c:.0f} °C, "
        f"too close to its {core_c:.0f} °C"
    )


def never(zone_c: float, level_c: float, core_c: float) -> Estimate:
    """Return the answer for a zone whose equilibrium lies too close to the core wanted (all °C)."""
    return _unfinished(_too_close(zone_c, level_c, core_c))


@dataclass(frozen=True, slots=True)
class _Dish:
    """A recipe as a measurement: what it is, and the body that its time gives (None where there is none)."""

    material: Material
    minutes: float
    from_c: float
    start_c: float
    core_c: float
    body: Body | None
    slope: float | None


@dataclass(frozen=True, slots=True)
class _Alone:
    """One dish in one zone: minutes by the clock, by conduction (None where there is none), and expected."""

    clock: float
    conduction: float | None
    expect: float
    film: Film | None
    no: str | None


def _film(dish_material: Material, zone_c: float, start_c: float) -> Film:
    return film(Surroundings(zone_c), start_c=start_c, wetness=dish_material.wetness)


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
    body: Body | None = None  # stays so where the recipe's own oven lies outside the model: the clock stands alone
    with suppress(NeverDone, OutOfReach):
        body = size_from_time(
            _film(kind, oven, start),
            shape=kind.shape,
            time_s=minutes * 60.0,
            start_c=start,
            core_c=core,
            k_w_mk=kind.k_w_mk,
            alpha_m2_s=kind.alpha_m2_s,
        )
    return _Dish(kind, minutes, oven, start, core, body, slope)


def _share_of_conduction(change: float) -> float:
    """The weight w of conduction in the expected time, for a change of oven in K."""
    near, far = value("clock.near"), value("clock.far")
    return 0.5 * min(max((abs(change) - near) / (far - near), 0.0), 1.0)


def _alone(dish: _Dish, zone_c: float) -> _Alone:
    zone = oven_c(zone_c, "the zone")
    clock = clock_minutes(dish.minutes, from_c=dish.from_c, to_c=zone, slope=dish.slope)
    level = equilibrium_c(Surroundings(zone), wetness=dish.material.wetness)
    if level < dish.core_c + value("estimate.core_margin"):
        law = _film(dish.material, zone, dish.start_c) if abs(level - dish.start_c) > 1.0 else None
        return _Alone(clock, None, inf, law, _too_close(zone, level, dish.core_c))
    law = _film(dish.material, zone, dish.start_c)
    if dish.body is None:
        return _Alone(clock, None, clock, law, None)
    conduction = time_to_core(dish.body, law, start_c=dish.start_c, core_c=dish.core_c) / 60.0
    if conduction > value("estimate.longest") * dish.minutes:
        no = (
            f"will not finish here in reasonable time: about {conduction / dish.minutes:.1f} times "
            f"the recipe's {dish.minutes:g} minutes"
        )
        return _Alone(clock, conduction, inf, law, no)
    weight = _share_of_conduction(zone - dish.from_c)
    return _Alone(clock, conduction, clock ** (1.0 - weight) * conduction**weight, law, None)


def _pad(dish: _Dish, measured_recently: bool) -> float:
    return value("estimate.pad" if measured_recently and dish.body is not None else "estimate.pad_unmeasured")


def _reasons(dish: _Dish, furthest: float, measured_recently: bool) -> list[str]:
    found = []
    name = dish.material.name
    if name in BY_CLASS:
        found.append(BY_CLASS[name])
    if dish.minutes < value("clock.short"):
        found.append("under a quarter of an hour door, tray and skin decide: stay by it and go by eye")
    if abs(furthest) > value("clock.far"):
        found.append(
            f"{abs(furthest):.0f} °C from the recipe's oven: no published figure supports one time; "
            "two stays or a nearer zone are safer"
        )
    if dish.body is None:
        found.append("the recipe's own oven and time do not fit this kind of food; the time is by rule of thumb only")
    if not measured_recently:
        found.append(NOT_READ)
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
    [1/K at 60 minutes] is this cooker's own clock. Where the zone's equilibrium lies less than 6 K over the core, or
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
    legs = []
    for alone, minutes in stays:
        if alone.film is None:
            return None
        paced = alone.conduction is not None and alone.expect < inf
        pace = min(max(alone.conduction / alone.expect, least), most) if paced and alone.conduction else 1.0
        legs.append(Leg(alone.film, minutes * 60.0, pace))
    try:
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
    of the two. Error: five published hot starts, mean about 6 %; with a low finish (93 °C) one published time is 30 %
    over the chain, so that the stored heat is credited only as "look".
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
        reasons.append("the heat of the hot start may carry it on sooner: look early, and go by a probe")
    spread = 1.0 + value("estimate.hot_start_spread")
    look = min(times[1], additive / value("estimate.pad"))
    return Estimate(look, additive, max(times) * spread, True, tuple(reasons))
