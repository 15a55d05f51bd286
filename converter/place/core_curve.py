"""The predicted core temperature of food along its stays, with a band that agrees with look, expect and latest.

The one builder of curves: `predict` for a question of its own, ``curves.py`` for the roasts of a recipe. The middle
line comes to the core wanted at the expected time, the upper edge of the band at the time to look, the lower edge at
the latest time. Each is the exact profile carried from zone to zone (``heat.conduction``), its whole clock turned by
one factor. Units: °C, minutes. An estimate, never a licence: a probe decides. Imports NumPy.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import exp, inf, log
from typing import NamedTuple

import numpy as np

from converter.heat import (
    Body,
    Leg,
    Material,
    NeverDone,
    OutOfReach,
    Rise,
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
from converter.heat.conduction import Curve as Path
from converter.heat.constants import value
from converter.heat.doses import minutes_between
from converter.heat.surfaces import BOILING_C, room
from converter.heat.times import Estimate, estimate, hot_start
from converter.model import Curve

POINTS = 61  # of a drawn curve
PATH_POINTS = 48  # worked out in each stay
UNDONE_SPAN = 3.0  # how many recipe times are drawn where the food never gets done
UNDONE_BAND = 1.2
_LOG_FACTORS = (log(0.1), log(10.0))
_CLOSE = 1e-3  # of the minutes wanted; a picture shows no more
_TRIES = 30


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
    chain = _chain(dish, stays)
    if chain is None:
        return Prediction(found)
    if not found.finishes:
        end = sum(stay.minutes or 0.0 for stay in stays)
        end = end if stays[-1].minutes is not None else end + UNDONE_SPAN * dish.minutes
        lines = [chain.path(factor, end) for factor in (1.0, 1.0 / UNDONE_BAND, UNDONE_BAND)]
        return Prediction(found, as_curve(lines, stays, target_c=dish.target_c, title=title, phase=phase, step=step))
    band = chain.band(look=found.look_minutes, expect=found.expect_minutes, latest=found.latest_minutes)
    lines = [band.middle, band.slow, band.fast]
    curve = as_curve(lines, stays, target_c=dish.target_c, title=title, phase=phase, step=step)
    return Prediction(found, curve, band.rise.rise_kelvin, band.rise.seconds / 60.0, minutes_between(band.slow))


def body_of(
    kind: Material,
    *,
    core_c: float,
    start_c: float,
    minutes: float | None = None,
    from_c: float | None = None,
    grams: float | None = None,
) -> tuple[Body, float] | None:
    """Return the body of a food and the wetness of its surface, as ``heat.times`` and ``heat.weight`` take them.

    By its weight [g], a cylinder twice as long as thick, else by the recipe's own time at `from_c`. ``None`` without
    either, where they fit no body of this class, and for meat that is done when soft. Raises ``BadValue``.
    """
    from converter.heat.words import TENDER_C, TENDER_CLASSES

    if kind.name in TENDER_CLASSES and core_c >= TENDER_C:
        return None
    if grams is not None:
        ratio = value("weight.length_to_diameter")
        half_m = half_of_weight(shape="cylinder", grams=grams, density_kg_m3=kind.density_kg_m3, length_ratio=ratio)
        return Body("cylinder", half_m, kind.k_w_mk, kind.alpha_m2_s), kind.wetness
    if minutes is None or from_c is None:
        return None
    wetness = kind.wetness
    if equilibrium_c(Surroundings(from_c), wetness=wetness) < core_c + value("estimate.core_margin"):
        wetness = kind.behind["wetness"].low
    try:
        body = size_from_time(
            film(Surroundings(from_c), start_c=start_c, wetness=wetness), shape=kind.shape, time_s=60.0 * minutes,
            start_c=start_c, core_c=core_c, k_w_mk=kind.k_w_mk, alpha_m2_s=kind.alpha_m2_s,
        )  # fmt: skip
    except (NeverDone, OutOfReach):
        return None
    return body, wetness


def _chain(dish: Dish, stays: Sequence[Planned]) -> Chain | None:
    kind = material(dish.food_class)
    start_c = kind.start_c if dish.start_c is None else dish.start_c
    made = body_of(
        kind, core_c=dish.target_c, start_c=start_c, minutes=dish.minutes, from_c=dish.from_c, grams=dish.grams
    )  # fmt: skip
    return None if made is None else Chain(*made, start_c, dish.target_c, tuple(stays))


class Band(NamedTuple):
    """The expected core curve, the slowest and the fastest, each to the latest time, and the rise at rest.

    ``out`` are the legs of the middle one to the expected time. ``reached`` False says that as computed, at pace 1,
    the core never gets there.
    """

    middle: Path
    slow: Path
    fast: Path
    rise: Rise
    out: tuple[Leg, ...]
    reached: bool


@dataclass(frozen=True, slots=True)
class Chain:
    """A body that goes through stays: start and core wanted [°C], wetness of its surface [0..1]."""

    body: Body
    wetness: float
    start_c: float
    target_c: float
    stays: tuple[Planned, ...]

    def legs(self, factor: float, end: float = inf) -> tuple[Leg, ...]:
        """Return the legs, all paced by `factor`, cut off at `end` minutes; the last one has no end otherwise."""
        made, passed = [], 0.0
        for stay in self.stays:
            length = inf if stay is self.stays[-1] else (stay.minutes or 0.0)
            length = min(length, end - passed)
            if length <= 0.0:
                break
            made.append(Stay(Surroundings(stay.zone_c), 60.0 * length, factor))
            passed += length
        return legs_of(self.body, made, start_c=self.start_c, wetness=self.wetness)

    def minutes(self, factor: float) -> float:
        """Return the minutes until the core comes to its end point at a pace; infinite if never."""
        try:
            return chain_to_core(self.body, self.legs(factor), start_c=self.start_c, core_c=self.target_c) / 60.0
        except NeverDone:
            return inf

    def factor(self, minutes: float) -> tuple[float, bool]:
        """Return the pace at which the core comes to its end point after `minutes`, and whether pace 1 gets there.

        The nearest possible one, 0.1 to 10. Secants in the logarithms, halving where one leads out of the bracket.
        """
        low, high = _LOG_FACTORS
        at, slope, reached = 0.0, -1.0, True
        before: tuple[float, float] | None = None
        for number in range(_TRIES):
            off = log(self.minutes(exp(at)) / minutes)
            reached = reached and (number > 0 or off < inf)
            if abs(off) <= _CLOSE or high - low <= _CLOSE:
                break
            low, high = (at, high) if off > 0.0 else (low, at)
            if off == inf:
                before = None
            else:
                if before is not None and abs(before[0] - at) > 1e-9:
                    slope = min((before[1] - off) / (before[0] - at), -1e-3)
                before = (at, off)
            guess = at - off / slope if off < inf else inf
            at = guess if low < guess < high else 0.5 * (low + high)
        return exp(at), reached

    def path(self, factor: float, end: float) -> Path:
        """Return the core [°C] from 0 to `end` minutes at a pace, `PATH_POINTS` in each stay."""
        return core_curve(self.body, self.legs(factor, end), start_c=self.start_c, points=PATH_POINTS)

    def band(self, *, look: float, expect: float, latest: float) -> Band:
        """Return the three curves that come to the core wanted after these minutes, and the rise after the middle."""
        (middle, reached), (fast, _), (slow, _) = (self.factor(minutes) for minutes in (expect, look, latest))
        out = self.legs(middle, expect)
        rise = rest_in_room(self.body, profile_after(self.body, out, start_c=self.start_c), wetness=self.wetness)
        lines = [self.path(factor, latest) for factor in (middle, slow, fast)]
        return Band(lines[0], lines[1], lines[2], rise, out, reached)

    def rested(self, band: Band, minutes: float) -> Path:
        """Return the middle curve to the expected time with `minutes` of rest in the room behind it."""
        profile = profile_after(self.body, band.out, start_c=self.start_c)
        rest = Leg(film(room(), start_c=profile.surface_c, wetness=self.wetness), 60.0 * minutes)
        return core_curve(self.body, (*band.out, rest), start_c=self.start_c, points=PATH_POINTS)


def as_curve(
    paths: Sequence[Path], stays: Sequence[Planned], *, target_c: float, title: str, phase: int, step: int
) -> Curve:
    """Return the middle, slow and fast path as a curve of `POINTS` even times that names each stay's beginning."""
    end = float(paths[0].seconds[-1])
    at_s = np.linspace(0.0, end, POINTS)
    most_c = max(BOILING_C, target_c)  # the water of the food boils; conduction knows no such limit
    core, low, high = (
        tuple(round(min(float(celsius), most_c), 1) for celsius in np.interp(at_s, path.seconds, path.core_c))
        for path in paths
    )
    begins, named = 0.0, []
    for stay in stays:
        if 60.0 * begins < end:
            named.append((stay.label, round(begins, 1)))
        begins += stay.minutes or 0.0
    minutes = tuple(round(float(at) / 60.0, 1) for at in at_s)
    return Curve(phase, step, title, minutes, core, low, high, target_c, tuple(named))
