"""What a zone does to the surface of food: convection, radiation and evaporation.

The law is q(Ts) = hc (Ta - Ts) + eps sigma (Tw^4 - Ts^4) - w hc b (ps(min(Ts, 100)) - pv), in W/m2. It is made
linear, q = h (Teq - Ts), for the exact solutions of `conduction`.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import lru_cache
from math import exp

from converter.heat.errors import food_c, number, surroundings_c

STEFAN_BOLTZMANN = 5.670374419e-8  # W/(m2 K4), CODATA 2018
KELVIN = 273.15
# 0.622 hfg / (p cp Le^(2/3)) of water in air at 1 atm [K/Pa]; from memory, re-derived in the tests: 0.0150-0.0163.
LEWIS_K_PA = 0.01625
# Spheres and lying cylinders of 6-20 cm, surface 40-90 °C, air 110-220 °C, by the correlations of Churchill and of
# Churchill and Chu: 3.7-9.1, mean 6.3 (tests/heat/test_surfaces.py).
STILL_AIR_W_M2K = 7.0
FAN_AIR_W_M2K = 18.0  # from memory: 12-25
OVEN_VAPOUR_PA = 5000.0  # assumed: a closed oven keeps some of the food's steam
ROOM_VAPOUR_PA = 1200.0  # air of 20 °C, half saturated
ROOM_AIR_W_M2K = 5.0  # food of 50-90 °C in a room, by the same correlations: 4.5-7.6
BOILING_C = 100.0


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What food stands in: air, the walls that it sees, and the moisture of the air.

    Parameters
    ----------
    air_c : air [°C]
    wall_c : walls that radiate on the food [°C]; the air's temperature where not given
    convection_w_m2k : film coefficient of convection alone [W/(m2 K)]; 7 still oven, 18 fan oven, 300-1500 water
    emissivity : effective emissivity between food and walls [-]; 0.9 for moist food in a closed oven, 0 in water
    vapour_pa : partial pressure of water in the air [Pa]

    Raises ``BadValue`` for values that no kitchen holds.
    Source: emissivity of food 0.85-0.97 from memory; convection see `STILL_AIR_W_M2K`.
    """

    air_c: float
    wall_c: float | None = None
    convection_w_m2k: float = STILL_AIR_W_M2K
    emissivity: float = 0.9
    vapour_pa: float = OVEN_VAPOUR_PA

    def __post_init__(self) -> None:
        surroundings_c(self.air_c, "air temperature")
        if self.wall_c is not None:
            surroundings_c(self.wall_c, "wall temperature")
        number(self.convection_w_m2k, "film coefficient", "W/(m2 K)", low=0.5, high=1e5)
        number(self.emissivity, "emissivity", "(0 to 1)", low=0.0, high=1.0)
        number(self.vapour_pa, "vapour pressure", "Pa", low=0.0, high=101325.0)

    @property
    def walls_c(self) -> float:
        """Temperature of the walls [°C]."""
        return self.air_c if self.wall_c is None else self.wall_c


def room(air_c: float = 20.0) -> Surroundings:
    """Return the air of a room of `air_c` [°C], for food that rests; raises ``BadValue``."""
    return Surroundings(air_c, convection_w_m2k=ROOM_AIR_W_M2K, vapour_pa=ROOM_VAPOUR_PA)


@dataclass(frozen=True, slots=True)
class Film:
    """A linear surface law, q = h (Teq - Ts): total coefficient [W/(m2 K)] and equilibrium temperature [°C]."""

    h_w_m2k: float
    equilibrium_c: float

    def __post_init__(self) -> None:
        number(self.h_w_m2k, "film coefficient", "W/(m2 K)", low=0.01, high=1e6)
        surroundings_c(self.equilibrium_c, "equilibrium temperature")


def saturation_pa(celsius: float) -> float:
    """Return the pressure of saturated steam over water [Pa] at `celsius` [°C].

    ps = 610.94 exp(17.625 T / (T + 243.04)), the Magnus form. Valid -40 to 100 °C; raises ``BadValue`` outside.
    Error: 0.4 % to 60 °C, 2.7 % at 100 °C, against steam tables.
    Source: Alduchov and Eskridge, J. Appl. Meteorology 35, 1996, coefficients from memory.
    """
    number(celsius, "water temperature", "°C", low=-40.0, high=BOILING_C)
    return _saturation_pa(celsius)


def _saturation_pa(celsius: float) -> float:
    return 610.94 * exp(17.625 * celsius / (celsius + 243.04))


def radiation_w_m2k(*, wall_c: float, surface_c: float, emissivity: float) -> float:
    """Return the coefficient of radiation [W/(m2 K)] between a surface and walls that enclose it.

    hr = eps sigma (Tw^2 + Ts^2) (Tw + Ts), T in K. Raises ``BadValue`` for absurd readings.
    Source: Stefan-Boltzmann law.
    """
    wall = surroundings_c(wall_c, "wall temperature") + KELVIN
    surface = surroundings_c(surface_c, "surface temperature") + KELVIN
    factor = number(emissivity, "emissivity", "(0 to 1)", low=0.0, high=1.0) * STEFAN_BOLTZMANN
    return factor * (wall * wall + surface * surface) * (wall + surface)


def surface_flux(surface_c: float, zone: Surroundings, *, wetness: float) -> float:
    """Return the heat that a surface of `surface_c` [°C] takes up [W/m2]; negative where it loses heat.

    The full law of the module's head. `wetness` [0..1] is the share of the surface that evaporates as free water.
    Above 100 °C the evaporation stays that of 100 °C. Raises ``BadValue``.
    Source: convection and radiation as in textbooks; evaporation by the Lewis relation.
    """
    surroundings_c(surface_c, "surface temperature")
    number(wetness, "wetness", "(0 to 1)", low=0.0, high=1.0)
    return _flux(surface_c, zone, wetness)


def _flux(surface_c: float, zone: Surroundings, wetness: float) -> float:
    convection = zone.convection_w_m2k
    wall_k, surface_k = zone.walls_c + KELVIN, surface_c + KELVIN
    flux = convection * (zone.air_c - surface_c)
    flux += zone.emissivity * STEFAN_BOLTZMANN * (wall_k**4 - surface_k**4)
    if wetness:
        water_pa = _saturation_pa(min(surface_c, BOILING_C))
        flux -= wetness * convection * LEWIS_K_PA * (water_pa - zone.vapour_pa)
    return flux


@lru_cache(maxsize=1024)
def equilibrium_c(zone: Surroundings, *, wetness: float) -> float:
    """Return the surface temperature [°C] at which the zone gives and takes no heat (a dry or wet bulb).

    Root of `surface_flux`, to 1e-9 °C. The law falls and bends down all the way, above and below 100 °C, so that
    Newton's steps from the hot side come down on the root without passing it.
    Raises ``BadValue`` for a wetness outside 0 to 1.
    """
    number(wetness, "wetness", "(0 to 1)", low=0.0, high=1.0)
    wet = wetness * zone.convection_w_m2k * LEWIS_K_PA
    surface_c = BOILING_C
    if _flux(surface_c, zone, wetness) > 0.0:
        surface_c = max(zone.air_c, zone.walls_c)
    for _ in range(100):
        slope = zone.convection_w_m2k + 4.0 * zone.emissivity * STEFAN_BOLTZMANN * (surface_c + KELVIN) ** 3
        if surface_c <= BOILING_C:
            slope += wet * _saturation_pa(surface_c) * 17.625 * 243.04 / (surface_c + 243.04) ** 2
        step = _flux(surface_c, zone, wetness) / slope
        surface_c += step
        if abs(step) < 1e-9:
            break
    return surface_c


@lru_cache(maxsize=1024)
def film(zone: Surroundings, *, start_c: float, wetness: float) -> Film:
    """Return the linear law of a zone for food whose surface starts at `start_c` [°C].

    Teq is where the full law gives no heat; h = q(T) / (Teq - T), the slope of the chord to Teq, taken as the mean of
    the chords from a quarter, half and three quarters of the way from `start_c` to Teq. For food that changes zone,
    `start_c` is its mean temperature at that moment. Food that is within 0.5 K of Teq gets the slope near Teq.
    Raises ``BadValue``.
    Error, against the full law by finite differences (333 cases, wetness 0-0.3, 120-235 °C, cores of 57 and 74 °C):
    time 3.3 % in the mean, 7.0 % at the 90th percentile; ratio of times in two zones 2.2 % and 5.1 %. The single
    chord from half way: 3.7 and 7.6, 2.8 and 6.7 %. Source: our own (tests/heat/test_full_law.py).
    """
    food_c(start_c, "start temperature")
    level_c = equilibrium_c(zone, wetness=wetness)
    way = level_c - start_c
    if abs(way) < 0.5:
        way = 0.5
        start_c = level_c - way
    chords = (_flux(start_c + share * way, zone, wetness) / ((1.0 - share) * way) for share in (0.25, 0.5, 0.75))
    return Film(sum(chords) / 3.0, level_c)
