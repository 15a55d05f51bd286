"""A pot or an open tin of liquid in an oven: where it comes to rest, how long it takes, what it boils away.

    C dT/dt = hc (Ta - T) (A - Aw) + radiation on A - Aw, and on the free surface Aw or the lid the same
              less leak x hc_w b (ps(T) - pv) Aw;   T never above 100 °C, surplus heat leaves as steam

T is the liquid's temperature, taken as well mixed. The vessel is an upright cylinder, filled. Units: °C, minutes,
g. Validity: 0.2 to 15 kg in still air of 60 to 260 °C at sea level; liquids thin enough to mix (not a solid stew).
Error: open water baths come to rest within the published 80-87 °C for tins of the usual width (McGee, On Food and
Cooking, 2004); minutes from cold are within about 15 % of the film chosen. Source: module constants in
lexicon/heat.yaml, film and evaporation as in `surfaces`.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache

from converter.heat.constants import value
from converter.heat.errors import BadValue, NeverDone, number
from converter.heat.surfaces import (
    BOILING_C,
    LEWIS_K_PA,
    STILL_AIR_W_M2K,
    Surroundings,
    saturation_pa,
    surface_flux,
)

LATENT_J_KG = 2.257e6  # steam at 100 °C, steam tables
DENSITY = 1000.0
STEP_S = (1.0, 120.0)


@dataclass(frozen=True, slots=True)
class Pot:
    """A filled upright cylinder.

    Parameters
    ----------
    grams : liquid and food [g]
    lidded : a lid that fits; False leaves the whole surface free
    depth_to_diameter : depth of the filling over its diameter [-]
    pan_to_water : heated area of tin and walls over the free surface [-]; from the shape where not given

    Raises ``BadValue``.
    """

    grams: float
    lidded: bool = True
    depth_to_diameter: float | None = None
    pan_to_water: float | None = None

    def __post_init__(self) -> None:
        number(self.grams, "filling of the pot", "g", low=50.0, high=40000.0)
        if self.depth_to_diameter is not None:
            number(self.depth_to_diameter, "depth over diameter", "(ratio)", low=0.05, high=4.0)
        if self.pan_to_water is not None:
            number(self.pan_to_water, "tin area over water area", "(ratio)", low=0.1, high=20.0)

    @property
    def _slender(self) -> float:
        return value("pot.depth_to_diameter") if self.depth_to_diameter is None else self.depth_to_diameter

    @property
    def water_m2(self) -> float:
        """The free surface, or the lid's [m2]."""
        diameter = (4.0 * self.grams / 1000.0 / DENSITY / (math.pi * self._slender)) ** (1.0 / 3.0)
        return float(math.pi * diameter**2 / 4.0)

    @property
    def pan_m2(self) -> float:
        """Bottom and walls [m2]."""
        ratio = 1.0 + 4.0 * self._slender if self.pan_to_water is None else self.pan_to_water
        return ratio * self.water_m2

    @property
    def heat_j_k(self) -> float:
        """Heat capacity of filling and vessel [J/K]."""
        return self.grams * value("pot.food_heat") * (1.0 + value("pot.vessel_share"))

    @property
    def step_s(self) -> float:
        """A step of time [s] that is short against the fastest change: a fifteenth of C / (dq/dT), 1 to 120 s."""
        free = 20.0 if self.lidded else 300.0  # W/m2K near the boil
        steepest = free * self.water_m2 + 20.0 * self.pan_m2
        return min(max(self.heat_j_k / steepest / 15.0, STEP_S[0]), STEP_S[1])


@dataclass(frozen=True, slots=True)
class Rest:
    """Where a pot comes to rest: liquid [°C], steam lost [g/h], and whether it simmers (100 °C, heat to spare)."""

    liquid_c: float
    steam_g_h: float
    simmers: bool


@lru_cache(maxsize=512)
def _around(air_c: float, lidded: bool) -> tuple[Surroundings, Surroundings]:
    """What bottom and walls stand in, and what the top stands in."""
    top = STILL_AIR_W_M2K if lidded else value("pot.hc_water")
    return Surroundings(air_c, convection_w_m2k=STILL_AIR_W_M2K), Surroundings(air_c, convection_w_m2k=top)


def _watts(pot: Pot, liquid_c: float, air_c: float) -> tuple[float, float]:
    """Heat taken up without evaporation, and heat that evaporation takes away [W]."""
    at = min(liquid_c, BOILING_C)
    side, top = _around(air_c, pot.lidded)
    water_m2 = pot.water_m2
    dry = surface_flux(at, side, wetness=0.0) * pot.pan_m2 + surface_flux(at, top, wetness=0.0) * water_m2
    share = value("pot.leak") if pot.lidded else 1.0
    free = value("pot.hc_water") * LEWIS_K_PA * (saturation_pa(at) - top.vapour_pa) * water_m2
    return dry, share * free


def _air(zone_c: float) -> float:
    return number(zone_c, "air of the oven", "°C", low=40.0, high=400.0)


@lru_cache(maxsize=512)
def rest(pot: Pot, *, zone_c: float) -> Rest:
    """Return where `pot` comes to rest in still air of `zone_c` [°C]. Formula, validity, error: module head.

    Raises ``BadValue`` for air outside 40 to 400 °C.
    """
    air_c = _air(zone_c)
    dry, lost = _watts(pot, BOILING_C, air_c)
    if dry >= lost:
        return Rest(BOILING_C, dry / LATENT_J_KG * 3.6e6, True)
    low, high = 0.0, BOILING_C
    for _ in range(50):
        middle = 0.5 * (low + high)
        dry, lost = _watts(pot, middle, air_c)
        low, high = (middle, high) if dry > lost else (low, middle)
    return Rest(middle, max(0.0, lost) / LATENT_J_KG * 3.6e6, False)


@dataclass(frozen=True, slots=True)
class Course:
    """The liquid's temperature over time: minutes and °C at equal steps."""

    minutes: tuple[float, ...]
    liquid_c: tuple[float, ...]

    def at(self, minutes: float) -> float:
        """Return the liquid's temperature [°C] after `minutes`, straight between the steps."""
        step = self.minutes[1] - self.minutes[0]
        place = min(max(minutes / step, 0.0), len(self.minutes) - 1.0)
        before = min(int(place), len(self.minutes) - 2)
        part = place - before
        return self.liquid_c[before] * (1.0 - part) + self.liquid_c[before + 1] * part


def course(pot: Pot, *, zone_c: float, start_c: float, minutes: float) -> Course:
    """Return the liquid's temperature over `minutes` from `start_c` [°C] in still air of `zone_c` [°C].

    Runge-Kutta of second order; the weight lost as steam does not change the pot. Raises ``BadValue``.
    """
    air_c = _air(zone_c)
    level = number(start_c, "start of the pot", "°C", low=0.0, high=BOILING_C)
    whole = number(minutes, "time in the oven", "minutes", low=0.1, high=4320.0)
    steps = max(20, math.ceil(whole * 60.0 / pot.step_s))
    span = whole * 60.0 / steps

    def rate(at: float) -> float:
        dry, lost = _watts(pot, max(at, 0.0), air_c)
        gained = dry - lost
        return 0.0 if at >= BOILING_C and gained > 0.0 else gained / pot.heat_j_k

    found = [level]
    for _ in range(steps):
        middle = level + 0.5 * span * rate(level)
        level = min(level + span * rate(middle), BOILING_C)
        found.append(level)
    return Course(tuple(whole * index / steps for index in range(steps + 1)), tuple(found))


def minutes_to(target_c: float, *, pot: Pot, zone_c: float, start_c: float = 20.0) -> float:
    """Return the minutes until the liquid reaches `target_c` [°C] in still air of `zone_c` [°C].

    Raises ``BadValue`` for a target below the start or above 100 °C, ``NeverDone`` where the pot comes to rest
    below the target. Formula, validity, error: module head.
    """
    target = number(target_c, "target of the liquid", "°C", low=0.0, high=BOILING_C)
    level = number(start_c, "start of the pot", "°C", low=0.0, high=BOILING_C)
    if target < level:
        raise BadValue(f"the pot starts at {level:g} °C, above the target of {target:g} °C")
    end = rest(pot, zone_c=zone_c)
    if end.liquid_c <= target and not (end.simmers and target == BOILING_C):
        raise NeverDone(
            f"a pot in air of {zone_c:g} °C comes to rest at {end.liquid_c:.0f} °C and never reaches {target:g} °C"
        )
    air_c, spent, step = _air(zone_c), 0.0, pot.step_s
    while level < target:
        dry, lost = _watts(pot, level, air_c)
        middle = min(level + 0.5 * step * (dry - lost) / pot.heat_j_k, BOILING_C)
        dry, lost = _watts(pot, middle, air_c)
        gain = step * (dry - lost) / pot.heat_j_k
        part = min(1.0, (target - level) / gain) if gain > 0.0 else 1.0
        level, spent = level + gain * part, spent + step * part
        if spent > 30 * 86400.0:
            raise NeverDone(f"the pot does not reach {target:g} °C within 30 days in air of {zone_c:g} °C")
        if target - level < 1e-9:
            break
    return spent / 60.0


def water_bath_c(*, zone_c: float, pan_to_water: float = 1.0, covered: bool = False) -> float:
    """Return where an open bath of water comes to rest in an oven of `zone_c` [°C].

    `pan_to_water` is the heated area of the tin over the water's free surface: 0.5 under a rack of dishes in a thin
    tin on a rail, 2 in a deep iron one. Published at 177 °C: thin steel 80-83, glass 83, iron 87, covered boils
    (McGee, On Food and Cooking, 2004). Raises ``BadValue``.
    """
    return rest(Pot(1000.0, lidded=covered, pan_to_water=pan_to_water), zone_c=zone_c).liquid_c
