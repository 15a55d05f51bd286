"""The predicted core temperature of a roast along its stays, and its band.

The food's size comes of the recipe's own oven and time, or of its weight. The
curve is paced so that the core is done at the expected time; the band is the
same curve paced to be done at the look time and at the latest. Formulas,
validity and errors: converter/heat/conduction.py and times.py. NumPy is
imported with the first roast.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache
from math import inf
from typing import TYPE_CHECKING

from converter.model import Curve, Move, Phase, Placement, Range, Reading
from converter.place.estimates import LONGEST_MINUTES, short_minutes, soft_c
from converter.place.heat_classes import HeatClass, heat_class

if TYPE_CHECKING:
    from converter.heat.conduction import Curve as Path
    from converter.heat.materials import Material
    from converter.heat.shapes import Array, Body
    from converter.place.cookers import Cooker

# Points of a curve in each stay.
POINTS = 24
# At rest after the oven, for the sums of kill [s].
_REST_S = 20 * 60.0


@dataclass(frozen=True, slots=True)
class Roast:
    """What a curve is drawn of: a material, the core wanted [°C], and the recipe's oven [°C] and minutes or the grams.

    ``legs`` are the stays, (zone [°C], minutes); the last one's minutes are
    ignored. ``look``, ``expect`` and ``latest`` count from the first stay.
    """

    material: str
    core_c: float
    oven_c: float | None
    minutes: float | None
    grams: float | None
    legs: tuple[tuple[float, float], ...]
    look: float
    expect: float
    latest: float


@dataclass(frozen=True, slots=True)
class Drawn:
    """A curve, the fastest and the slowest of its band, and the rise at rest [K] with its time [min].

    Each curve runs to the latest time; ``rested`` is the middle one to the
    expected time and 20 minutes in the room.
    """

    middle: Path
    slow: Path
    fast: Path
    rested: Path
    rise_kelvin: float
    rise_minutes: float


def roast(
    kind: HeatClass,
    moves: Sequence[Move],
    *,
    core_c: float,
    oven_c: float | None,
    minutes: Range | None,
    grams: float | None,
) -> Roast | None:
    """Return what a curve is drawn of, ``None`` where a stay has no time, the core means soft or nothing gives a size.

    `minutes` and `oven_c` are the recipe's, `grams` the weight of one piece.
    """
    stays = [(move.zone_c, move.minutes) for move in moves]
    if not stays or kind.material is None or core_c >= soft_c():
        return None
    timed = minutes is not None and oven_c is not None and short_minutes() <= minutes[0] <= LONGEST_MINUTES
    if not timed and grams is None:
        return None
    legs: list[tuple[float, float]] = []
    for zone_c, stay in stays:
        if zone_c is None or stay is None:
            return None
        legs.append((float(round(zone_c)), (stay.low + stay.high) / 2))
    spent = sum(length for _, length in legs[:-1])
    last = moves[-1].minutes
    assert last is not None
    look = spent + (last.low if last.look is None else last.look)
    return Roast(
        kind.material, core_c, oven_c if timed else None, minutes[0] if timed and minutes else None,
        None if timed else grams, tuple(legs), look, spent + last.low, spent + last.high,
    )  # fmt: skip


def _body(one: Roast, kind: Material) -> tuple[Body, float] | None:
    """The body and the wetness of its surface, as `converter.heat.times` takes them."""
    from converter.heat.conduction import size_from_time
    from converter.heat.constants import value
    from converter.heat.errors import HeatError
    from converter.heat.shapes import Body, half_of_weight
    from converter.heat.surfaces import Surroundings, equilibrium_c, film

    if one.oven_c is None or one.minutes is None:
        if one.grams is None:
            return None
        ratio = value("weight.length_to_diameter")
        half_m = half_of_weight(shape="cylinder", grams=one.grams, density_kg_m3=kind.density_kg_m3, length_ratio=ratio)
        return Body("cylinder", half_m, kind.k_w_mk, kind.alpha_m2_s), kind.wetness
    margin = value("estimate.core_margin")
    wet = kind.wetness
    try:
        zone = Surroundings(one.oven_c)
        if equilibrium_c(zone, wetness=wet) < one.core_c + margin:
            wet = kind.behind["wetness"].low
        law = film(zone, start_c=kind.start_c, wetness=wet)
        body = size_from_time(
            law, shape=kind.shape, time_s=one.minutes * 60.0, start_c=kind.start_c, core_c=one.core_c,
            k_w_mk=kind.k_w_mk, alpha_m2_s=kind.alpha_m2_s,
        )  # fmt: skip
    except HeatError:
        return None
    return body, wet


@lru_cache(maxsize=512)
def draw(one: Roast) -> Drawn | None:
    """Return the curve of a roast, ``None`` where the model says that the core is never reached."""
    from converter.heat.conduction import Leg, chain_to_core, core_curve, profile_after
    from converter.heat.errors import HeatError
    from converter.heat.materials import material
    from converter.heat.stays import Stay, legs_of, rest_in_room
    from converter.heat.surfaces import Surroundings, film, room

    kind = material(one.material)
    found = _body(one, kind)
    if found is None or one.expect <= 0:
        return None
    body, wet = found
    zones = [Surroundings(zone_c) for zone_c, _ in one.legs]
    spent = sum(length for _, length in one.legs[:-1])

    def legs(pace: float, until: float) -> tuple[Leg, ...]:
        lengths = [length for _, length in one.legs[:-1]] + [max(until - spent, 1.0)]
        stays = [Stay(zone, length * 60.0, pace) for zone, length in zip(zones, lengths, strict=True)]
        return legs_of(body, stays, start_c=kind.start_c, wetness=wet)

    def pace_for(minutes: float) -> float:
        pace = 1.0
        for _ in range(6):
            chain = [*legs(pace, 10000.0)]
            there = chain_to_core(body, chain, start_c=kind.start_c, core_c=one.core_c) / 60.0
            if abs(there - minutes) <= 0.01 * minutes:
                break
            pace = min(max(pace * there / minutes, 0.1), 10.0)
        return pace

    try:
        middle, fast, slow = pace_for(one.expect), pace_for(one.look), pace_for(one.latest)
        ends = legs(middle, one.expect)
        profile = profile_after(body, ends, start_c=kind.start_c)
        rise = rest_in_room(body, profile, wetness=wet)
        rest = Leg(film(room(), start_c=profile.surface_c, wetness=wet), _REST_S)
        lines = [
            core_curve(body, legs(pace, one.latest), start_c=kind.start_c, points=POINTS)
            for pace in (middle, slow, fast)
        ]
        rested = core_curve(body, (*ends, rest), start_c=kind.start_c, points=POINTS)
        return Drawn(lines[0], lines[1], lines[2], rested, rise.rise_kelvin, rise.seconds / 60.0)
    except HeatError:
        return None


def curves(reading: Reading, placements: Sequence[Placement], cooker: Cooker) -> tuple[Curve, ...]:
    """Return a curve for each roast that has a core advised and a known time or weight.

    `cooker` gives its words for the zones. Roasts whose core the model does
    not reach have none.
    """
    labels = {zone.kind: zone.label for zone in reversed(cooker.zones)}
    made: list[Curve] = []
    phases = {phase.number: phase for phase in reading.phases}
    for placement in placements:
        if placement.core is None:
            continue
        phase = phases[placement.phase]
        kind = heat_class(phase.food_class)
        one = roast(
            kind,
            placement.moves,
            core_c=placement.core.pull_c,
            oven_c=None if phase.celsius is None else (phase.celsius[0] + phase.celsius[1]) / 2,
            minutes=None if phase.seconds is None else (phase.seconds[0] / 60, phase.seconds[1] / 60),
            grams=None if phase.grams is None else phase.grams[0],
        )
        drawn = None if one is None or _goes_on(phases.get(phase.number - 1), phase) else draw(one)
        if one is None or drawn is None:
            continue
        begins, at = [], 0.0
        for move, (_, length) in zip(placement.moves, one.legs, strict=True):
            begins.append((labels.get(move.zone, move.label), at))
            at += length
        # The water of the food boils; conduction knows no such limit.
        from converter.heat.surfaces import BOILING_C

        made.append(
            Curve(
                phase=phase.number,
                step=phase.step,
                title=phase.food or (phase.food_class or "roast").replace("-", " "),
                minutes=_tenths(drawn.middle.seconds / 60.0),
                core_c=_tenths(drawn.middle.core_c, most=BOILING_C),
                low_c=_tenths(drawn.slow.core_c, most=BOILING_C),
                high_c=_tenths(drawn.fast.core_c, most=BOILING_C),
                target_c=placement.core.pull_c,
                stays=tuple(begins),
            )
        )
    return tuple(made)


def _goes_on(before: Phase | None, phase: Phase) -> bool:
    """Tell whether the food comes out of another heat, so that its core is not cold at the start."""
    return before is not None and before.environment == "oven" and before.food_class == phase.food_class


def _tenths(values: Array, *, most: float = inf) -> tuple[float, ...]:
    return tuple(round(min(float(one), most), 1) for one in values)
