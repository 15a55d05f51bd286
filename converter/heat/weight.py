"""Minutes and weight: a time carried from one weight to another, and a time from a weight and an end point alone."""

from __future__ import annotations

from converter.heat.clock import minutes_of, oven_c
from converter.heat.conduction import time_to_core
from converter.heat.constants import value
from converter.heat.errors import BadValue, food_c, number
from converter.heat.materials import material
from converter.heat.shapes import Body, half_of_weight
from converter.heat.surfaces import Surroundings, equilibrium_c, film
from converter.heat.times import Estimate, never
from converter.heat.words import BY_CLASS, NOT_READ

JOINTS = ("red-meat", "pork", "poultry", "mince", "fish", "pieces")
POWERS = (0.2, 1.0)


def grams_of(grams: float, name: str = "weight") -> float:
    """Return a weight [g]; raises ``BadValue`` outside 10 g to 30 kg."""
    return number(grams, name, "g", low=10.0, high=30000.0)


def minutes_for_weight(*, ref_minutes: float, ref_grams: float, grams: float, power: float | None = None) -> float:
    """Return the minutes of a piece of `grams` where one of `ref_grams` takes `ref_minutes`, same cut and oven.

    t = t_ref (m / m_ref)^p, p = 0.57: conduction through a film gives 0.55-0.58, without one 2/3. Validity: pieces of
    one shape and end point, weights within five times of each other. Error on 22 steps of 8 printed charts, from the
    middle weight of each: 6.4 % (minutes per pound 18.7 %); the charts' own powers run from 0.25 to 0.72. A piece
    that is only cut shorter, such as half a fillet, keeps nearly its whole time: give `power` 0.2.
    Raises ``BadValue`` for a weight outside 10 g to 30 kg, a ratio over 20, a power outside 0.2 to 1.
    Source: own study; lexicon/heat.yaml, group weight.
    """
    minutes = minutes_of(ref_minutes, "time of the reference weight")
    one, other = grams_of(ref_grams, "reference weight"), grams_of(grams)
    if not 0.05 <= other / one <= 20.0:
        raise BadValue(f"{other:g} g and {one:g} g are too far apart for one rule; they must be within 20 times")
    at = value("weight.power") if power is None else number(power, "power of the weight", "", low=0.2, high=1.0)
    return float(minutes * (other / one) ** at)


def minutes_from_weight(
    *,
    food_class: str,
    grams: float,
    zone_c: float,
    core_c: float | None = None,
    start_c: float | None = None,
    length_to_diameter: float | None = None,
    measured_recently: bool = False,
) -> Estimate:
    """Return a time for a joint or a bird that has none: from its weight, the zone [°C] and the core [°C] alone.

    The piece is a cylinder of its weight, twice as long as thick (`length_to_diameter`; a whole fillet is nearer 5),
    heated by conduction. Nothing is fitted. Error against 58 government chart rows: median 1.09 of the printed time
    for red meat, 1.16 pork, 1.01 birds; half of the rows of meat lie within 20 %, cuts of one weight differ among
    themselves by a third. So the range is a third on either side (1.35), and a probe decides.
    Raises ``BadValue`` for a class that is no joint, bird or fish, an absurd value, and for a stated core at or above
    the zone; ``finishes`` is False where the zone's equilibrium lies less than 6 K over the core.
    Source: textbook conduction (`conduction`); properties in lexicon/materials.yaml.
    """
    if food_class not in JOINTS:
        raise BadValue(f"a time from the weight alone is for {', '.join(JOINTS)}, not for {food_class!r}")
    kind = material(food_class)
    mass, zone = grams_of(grams), oven_c(zone_c, "the zone")
    core = kind.end_point_c() if core_c is None else food_c(core_c, "core temperature")
    start = kind.start_c if start_c is None else food_c(start_c, "start temperature")
    if core <= start + 1.0:
        raise BadValue(f"the food starts at {start:g} °C; a core of {core:g} °C leaves nothing to cook")
    if core_c is not None and core >= zone:
        raise BadValue(f"a core of {core:g} °C lies above the zone of {zone:g} °C; choose a hotter zone")
    level = equilibrium_c(Surroundings(zone), wetness=kind.wetness)
    if level < core + value("estimate.core_margin"):
        return never(zone, level, core)
    ratio = value("weight.length_to_diameter") if length_to_diameter is None else length_to_diameter
    half_m = half_of_weight(shape="cylinder", grams=mass, density_kg_m3=kind.density_kg_m3, length_ratio=ratio)
    body = Body("cylinder", half_m, kind.k_w_mk, kind.alpha_m2_s)
    law = film(Surroundings(zone), start_c=start, wetness=kind.wetness)
    expect = time_to_core(body, law, start_c=start, core_c=core) / 60.0
    spread = 1.0 + value("weight.spread")
    reasons = ["from the weight alone: bone and shape can change it by a third; begin to probe at the earlier time"]
    if food_class in BY_CLASS:
        reasons.append(BY_CLASS[food_class])
    if not measured_recently:
        spread *= value("estimate.pad_unmeasured") / value("estimate.pad")
        reasons.append(NOT_READ)
    return Estimate(expect / spread, expect, expect * spread, True, tuple(reasons))
