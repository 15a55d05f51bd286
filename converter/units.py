"""Kitchen units: plain factors for the hot path, checked by pint.

pint holds the definitions in a small registry of our own. It is built on first
use and only the factors leave this module. A temperature and a difference of
temperature are two types that do not mix.

Sources: SI Brochure (BIPM, 9th ed.) for kelvin, degree Celsius, minute, hour,
day and litre; NIST SP 811 (2008), appendix B for pound, ounce, US gallon, pint,
cup, tablespoon, teaspoon, fluid ounce and the Fahrenheit scale; Weights and
Measures Act 1985 (UK), schedule 1 for gallon, pint and fluid ounce; a month of
30 days and a year of 365 are common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

SECOND = 1.0
MINUTE = 60.0
HOUR = 3600.0
DAY = 86400.0
WEEK = 604800.0
MONTH = 2592000.0
YEAR = 31536000.0

_DEFINITIONS = """
second = [time] = s = _ = sec
minute = 60 * second = min
hour = 60 * minute = h = _ = hr
day = 24 * hour
week = 7 * day
month = 30 * day
year = 365 * day
kilogram = [mass] = kg
gram = kilogram / 1000 = g
pound = 0.45359237 * kilogram = lb
ounce = pound / 16 = oz
stone = 14 * pound = st
metre = [length] = m
litre = metre ** 3 / 1000 = l = _ = liter
millilitre = litre / 1000 = ml = _ = milliliter
centilitre = litre / 100 = cl
decilitre = litre / 10 = dl
inch = 0.0254 * metre
us_gallon = 231 * inch ** 3
us_quart = us_gallon / 4
us_pint = us_gallon / 8
us_cup = us_gallon / 16
us_fluid_ounce = us_gallon / 128
us_tablespoon = us_gallon / 256
us_teaspoon = us_gallon / 768
uk_gallon = 4.54609 * litre
uk_quart = uk_gallon / 4
uk_pint = uk_gallon / 8
uk_fluid_ounce = uk_gallon / 160
metric_cup = 250 * millilitre
metric_tablespoon = 15 * millilitre
metric_teaspoon = 5 * millilitre
kelvin = [temperature] = K
degree_celsius = kelvin; offset: 273.15 = degC
degree_fahrenheit = 5 / 9 * kelvin; offset: 233.15 + 200 / 9 = degF
delta_degree_celsius = kelvin
delta_degree_fahrenheit = 5 / 9 * kelvin
"""

_BASES = {"time": "second", "mass": "kilogram", "volume": "litre"}


@cache
def registry() -> Any:
    """Return the pint registry of kitchen units, built on first use."""
    import pint

    made: Any = pint.UnitRegistry(None, autoconvert_offset_to_baseunit=False)
    for line in _DEFINITIONS.strip().splitlines():
        if not line.startswith("delta_"):  # pint makes these itself for units with an offset
            made.define(line)
    return made


@cache
def factor(unit: str, *, quantity: str) -> float:
    """Return how many seconds, kilograms or litres one `unit` is.

    `quantity` is ``time``, ``mass`` or ``volume``. Raises ``KeyError`` for
    another quantity and ``ValueError`` for a unit that does not measure it.
    """
    base = _BASES[quantity]
    import pint

    try:
        return float(registry().Quantity(1.0, unit).to(base).magnitude)
    except (pint.UndefinedUnitError, pint.DimensionalityError) as error:
        raise ValueError(f"'{unit}' is not a unit of {quantity}: {error}") from None


def seconds(unit: str) -> float:
    """Return the seconds in one `unit` of time."""
    return factor(unit, quantity="time")


def kilograms(unit: str) -> float:
    """Return the kilograms in one `unit` of weight."""
    return factor(unit, quantity="mass")


def litres(unit: str) -> float:
    """Return the litres in one `unit` of volume; pints, cups and spoons are named us_, uk_ or metric_."""
    return factor(unit, quantity="volume")


def to_celsius(fahrenheit_f: float) -> float:
    """Return the temperature in °C (NIST SP 811 B.8: t/°C = (t/°F - 32) / 1.8)."""
    return (fahrenheit_f - 32.0) / 1.8


def to_fahrenheit(celsius_c: float) -> float:
    """Return the temperature in °F."""
    return celsius_c * 1.8 + 32.0


@dataclass(frozen=True, slots=True, order=True)
class Difference:
    """A rise or fall of temperature in kelvin; never a temperature."""

    kelvin: float

    @classmethod
    def of_fahrenheit(cls, degrees_f: float) -> Difference:
        """Return a difference given in Fahrenheit degrees (1 °F step = 5/9 K)."""
        return cls(degrees_f / 1.8)

    def __neg__(self) -> Difference:
        return Difference(-self.kelvin)

    def __add__(self, other: Difference) -> Difference:
        if not isinstance(other, Difference):
            return NotImplemented
        return Difference(self.kelvin + other.kelvin)


@dataclass(frozen=True, slots=True, order=True)
class Temperature:
    """A temperature in °C. Two of them cannot be added; their difference is a `Difference`."""

    celsius: float

    @classmethod
    def of_fahrenheit(cls, fahrenheit_f: float) -> Temperature:
        """Return a temperature given in °F."""
        return cls(to_celsius(fahrenheit_f))

    def __add__(self, other: Difference) -> Temperature:
        if not isinstance(other, Difference):
            return NotImplemented
        return Temperature(self.celsius + other.kelvin)

    def __sub__(self, other: Temperature) -> Difference:
        if not isinstance(other, Temperature):
            return NotImplemented
        return Difference(self.celsius - other.celsius)
