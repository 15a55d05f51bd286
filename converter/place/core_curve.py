"""The predicted core temperature of food along its stays, with a band that agrees with look, expect and latest.

The middle line comes to the core wanted at the expected time, the upper edge of the band at the time to look, the
lower edge at the latest time. Each is the exact profile carried from zone to zone (``heat.conduction``), its whole
clock turned by one factor. Units: °C, minutes. An estimate, never a licence: a probe decides.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, inf, log

import numpy as np

from converter.heat import (
    Body,
    Leg,
    Material,
    NeverDone,
    OutOfReach,
    Stay,
    Surroundings,
    chain_to_core,
    core_curve,
    equilibrium_c,
    film,
    half_of_weight,
    legs_of,
    material,
    profile_after,
    rest_in_room,
    size_from_time,
)
from converter.heat.constants import value
from converter.heat.doses import minutes_between
from converter.heat.shapes import Array
from converter.heat.surfaces import BOILING_C
from converter.heat.times import Estimate, estimate, hot_start
from converter.model import Curve

POINTS = 61
UNDONE_SPAN = 3.0  # how many recipe times are drawn where the food never gets done
UNDONE_BAND = 1.2
_LOG_FACTORS = (log(0.2), log(5.0))


@dataclass(frozen=True, slots=True)
class Dish:
    """What is cooked: class of lexicon/materials.yaml, the recipe's minutes and oven, end point and start [°C]."""

    food_class: str
    minutes: float
    from_c: float
    core_c: float | None = None
    start_c: float | None = None
    grams: float | None = None

    @property
    def target_c(self) -> float:
        """The core temperature at which the food comes out [°C]."""
        return material(self.food_class).end_point_c() if self.core_c is None else self.core_c


@dataclass(frozen=True, slots=True)
class Planned:
    """One stay: the household's word for the place, its air [°C], its minutes (``None``: until done, the last only)."""

    label: str
    zone_c: float
    minutes: float | None = None


@dataclass(frozen=True, slots=True)
class Prediction:
    """Times, and where the body is known its curve, the rise at rest [K, minutes], minutes from 5 to 60 °C if slow."""

    times: Estimate
    curve: Curve | None = None
    rise_kelvin: float = 0.0
    rest_minutes: float = 0.0
    danger_minutes: float = 0.0


def times_of(
    dish: Dish, stays: Sequence[Planned], *, measured_recently: bool = False, slope: float | None = None
) -> Estimate:
    """Return look, expect and latest along the stays; raises ``BadValue`` as ``heat.times`` does."""
    if len(stays) == 1 and stays[0].minutes is None:
        return estimate(
            food_class=dish.food_class, recipe_minutes=dish.minutes, from_c=dish.from_c, zone_c=stays[0].zone_c,
            core_c=dish.core_c, start_c=dish.start_c, measured_recently=measured_recently, slope=slope,
        )  # fmt: skip
    return hot_start(
        food_class=dish.food_class, recipe_minutes=dish.minutes, from_c=dish.from_c,
        legs=[(stay.zone_c, stay.minutes) for stay in stays], core_c=dish.core_c, start_c=dish.start_c,
        measured_recently=measured_recently, slope=slope,
    )  # fmt: skip


def predict(
    dish: Dish,
    stays: Sequence[Planned],
    *,
    title: str,
    times: Estimate | None = None,
    measured_recently: bool = False,
    slope: float | None = None,
    phase: int = 1,
    step: int = 1,
) -> Prediction:
    """Return times and core curve of a dish along its stays.

    `times` overrides those of `times_of`. The curve is ``None`` where the recipe's own oven and time fit no body of
    this class, and for meat that is done when soft. Raises ``BadValue``.
    """
    found = times or times_of(dish, stays, measured_recently=measured_recently, slope=slope)
    made = _body(dish)
    if made is None:
        return Prediction(found)
    body, wetness = made
    chain = _Chain(dish, body, wetness, tuple(stays))
    if not found.finishes:
        end = sum(stay.minutes or 0.0 for stay in stays)
        end = end if stays[-1].minutes is not None else end + UNDONE_SPAN * dish.minutes
        lines = [chain.core_c(factor, end) for factor in (1.0, 1.0 / UNDONE_BAND, UNDONE_BAND)]
        return Prediction(found, _curve(dish, stays, end, lines, title=title, phase=phase, step=step))
    factors = [chain.factor(at) for at in (found.expect_minutes, found.latest_minutes, found.look_minutes)]
    lines = [chain.core_c(factor, found.latest_minutes) for factor in factors]
    curve = _curve(dish, stays, found.latest_minutes, lines, title=title, phase=phase, step=step)
    out = profile_after(body, chain.legs(factors[0], found.expect_minutes), start_c=chain.start_c)
    rise = rest_in_room(body, out, wetness=wetness)
    danger = minutes_between(core_curve(body, chain.legs(factors[1], found.latest_minutes), start_c=chain.start_c))
    return Prediction(found, curve, rise.rise_kelvin, rise.seconds / 60.0, danger)


def _body(dish: Dish) -> tuple[Body, float] | None:
    """The body that the recipe's time, or without a time the weight, gives, and the wetness of its surface."""
    from converter.heat.words import TENDER_C, TENDER_CLASSES

    kind = material(dish.food_class)
    if kind.name in TENDER_CLASSES and dish.target_c >= TENDER_C:
        return None
    wetness = kind.wetness
    if equilibrium_c(Surroundings(dish.from_c), wetness=wetness) < dish.target_c + value("estimate.core_margin"):
        wetness = kind.behind["wetness"].low
    start_c = _start(dish, kind)
    try:
        if dish.grams is not None:
            ratio = value("weight.length_to_diameter")
            half_m = half_of_weight(
                shape="cylinder", grams=dish.grams, density_kg_m3=kind.density_kg_m3, length_ratio=ratio
            )
            return Body("cylinder", half_m, kind.k_w_mk, kind.alpha_m2_s), wetness
        law = film(Surroundings(dish.from_c), start_c=start_c, wetness=wetness)
        body = size_from_time(
            law, shape=kind.shape, time_s=60.0 * dish.minutes, start_c=start_c, core_c=dish.target_c,
            k_w_mk=kind.k_w_mk, alpha_m2_s=kind.alpha_m2_s,
        )  # fmt: skip
    except (NeverDone, OutOfReach):
        return None
    return body, wetness


def _start(dish: Dish, kind: Material) -> float:
    return kind.start_c if dish.start_c is None else dish.start_c


@dataclass(frozen=True, slots=True)
class _Chain:
    dish: Dish
    body: Body
    wetness: float
    stays: tuple[Planned, ...]

    @property
    def start_c(self) -> float:
        return _start(self.dish, material(self.dish.food_class))

    def legs(self, factor: float, end: float = inf) -> tuple[Leg, ...]:
        """The legs, all paced by `factor`, cut off at `end` minutes; the last one has no end otherwise."""
        made, passed = [], 0.0
        for stay in self.stays:
            length = inf if stay is self.stays[-1] else (stay.minutes or 0.0)
            length = min(length, end - passed)
            if length <= 0.0:
                break
            made.append(Stay(Surroundings(stay.zone_c), 60.0 * length, factor))
            passed += length
        return legs_of(self.body, made, start_c=self.start_c, wetness=self.wetness)

    def factor(self, minutes: float) -> float:
        """The factor at which the core comes to its end point after `minutes`; the nearest possible one."""
        low, high = _LOG_FACTORS
        for _ in range(30):
            middle = 0.5 * (low + high)
            try:
                seconds = chain_to_core(
                    self.body, self.legs(exp(middle)), start_c=self.start_c, core_c=self.dish.target_c
                )
            except NeverDone:
                seconds = inf
            low, high = (middle, high) if seconds > 60.0 * minutes else (low, middle)
        return exp(0.5 * (low + high))

    def core_c(self, factor: float, end: float) -> Array:
        """Core temperatures [°C] at `POINTS` even times from 0 to `end` minutes, (POINTS,)."""
        drawn = core_curve(self.body, self.legs(factor, end), start_c=self.start_c, points=120)
        cores = np.interp(np.linspace(0.0, 60.0 * end, POINTS), drawn.seconds, drawn.core_c)
        return np.minimum(cores, max(BOILING_C, self.dish.target_c))  # its water boils; conduction knows no such limit


def _curve(
    dish: Dish, stays: Sequence[Planned], end: float, lines: Sequence[Array], *, title: str, phase: int, step: int
) -> Curve:
    core, low, high = (tuple(round(float(celsius), 1) for celsius in line) for line in lines)
    begins, named = 0.0, []
    for stay in stays:
        if begins < end:
            named.append((stay.label, round(begins, 1)))
        begins += stay.minutes or 0.0
    minutes = tuple(round(float(at), 1) for at in np.linspace(0.0, end, POINTS))
    return Curve(phase, step, title, minutes, core, low, high, dish.target_c, tuple(named))
