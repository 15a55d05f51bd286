"""The predicted core temperature of a roast along its stays, and its band.

The food's size comes of the recipe's own oven and time, or of its weight; the
curve and its band are built by ``core_curve.py``. Formulas, validity and
errors: converter/heat/conduction.py and times.py. NumPy is imported with the
first roast.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING

from converter.model import Curve, Move, Phase, Placement, Range, Reading
from converter.place.estimates import LONGEST_MINUTES, short_minutes, soft_c
from converter.place.heat_classes import HeatClass, heat_class

if TYPE_CHECKING:
    from converter.heat.conduction import Curve as Path
    from converter.place.cookers import Cooker

# At rest after the oven, for the sums of kill [min].
_REST_MINUTES = 20.0
# What a roast may have begun with; after any other heat its core is not known.
_DRY = ("roast", "bake")


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


@lru_cache(maxsize=512)
def draw(one: Roast) -> Drawn | None:
    """Return the curve of a roast, ``None`` where the model says that the core is never reached."""
    from converter.heat.errors import HeatError
    from converter.heat.materials import material
    from converter.place.core_curve import Chain, Planned, body_of

    kind = material(one.material)
    stays = tuple(Planned("", zone_c, length) for zone_c, length in one.legs)
    if one.latest <= sum(length for _, length in one.legs[:-1]) or one.look <= 0:
        return None
    try:
        made = body_of(
            kind, core_c=one.core_c, start_c=kind.start_c, minutes=one.minutes, from_c=one.oven_c, grams=one.grams
        )
        if made is None:
            return None
        chain = Chain(*made, kind.start_c, one.core_c, stays)
        band = chain.band(look=one.look, expect=one.expect, latest=one.latest)
        if not band.reached:
            return None
        rested = chain.rested(band, _REST_MINUTES)
    except HeatError:
        return None
    return Drawn(band.middle, band.slow, band.fast, rested, band.rise.rise_kelvin, band.rise.seconds / 60.0)


def curves(reading: Reading, placements: Sequence[Placement], cooker: Cooker) -> tuple[Curve, ...]:
    """Return a curve for each roast that has a core advised and a known time or weight.

    `cooker` gives its words for the zones. A roast that began in another heat
    of the oven is drawn from there. Roasts whose core the model does not reach
    have none.
    """
    labels = {zone.kind: zone.label for zone in reversed(cooker.zones)}
    made: list[Curve] = []
    phases = {phase.number: phase for phase in reading.phases}
    placed = {placement.phase: placement for placement in placements}
    for placement in placements:
        if placement.core is None:
            continue
        phase = phases[placement.phase]
        kind = heat_class(phase.food_class)
        parts = _parts(phases, phase)
        if any(part.method not in _DRY or not placed[part.number].moves for part in parts[:-1]):
            continue
        moves = [move for part in parts for move in placed[part.number].moves]
        oven_c, minutes = _own_heat(parts)
        one = roast(
            kind,
            moves,
            core_c=placement.core.pull_c,
            oven_c=oven_c,
            minutes=minutes,
            grams=next((part.grams[0] for part in reversed(parts) if part.grams is not None), None),
        )
        drawn = None if one is None else draw(one)
        if one is None or drawn is None:
            continue
        from converter.place.core_curve import Planned, as_curve

        stays = [
            Planned(labels.get(move.zone, move.label), zone_c, length)
            for move, (zone_c, length) in zip(moves, one.legs, strict=True)
        ]
        made.append(
            as_curve(
                (drawn.middle, drawn.slow, drawn.fast),
                stays,
                target_c=placement.core.pull_c,
                title=phase.food or (phase.food_class or "roast").replace("-", " "),
                phase=phase.number,
                step=phase.step,
            )
        )
    return tuple(made)


def _parts(phases: Mapping[int, Phase], phase: Phase) -> list[Phase]:
    """Return the heats of the oven that the food goes through, `phase` the last; its core is cold before the first."""
    parts = [phase]
    before = phases.get(phase.number - 1)
    while before is not None and before.environment == "oven" and before.food_class == phase.food_class:
        parts.insert(0, before)
        before = phases.get(before.number - 1)
    return parts


def _own_heat(parts: Sequence[Phase]) -> tuple[float | None, Range | None]:
    """Return the recipe's oven [°C], the mean over the time of its parts, and its minutes in all.

    Both ``None`` where a part does not tell one of them. Size follows from heat and time together, and weakly: the
    drawn times are those of the placing in any case.
    """
    low = high = heat = 0.0
    for part in parts:
        if not part.seconds or not part.seconds[1] or part.celsius is None:
            return None, None
        low, high = low + part.seconds[0] / 60, high + part.seconds[1] / 60
        heat += sum(part.celsius) / 2 * sum(part.seconds) / 120
    return heat / ((low + high) / 2), (low, high)
