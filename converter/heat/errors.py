"""What the heat model refuses, in words that carry their units, and the checks that refuse it."""

from __future__ import annotations

import math
from numbers import Real

# Air and walls: from a cold larder to the hottest bread oven. Food: thawed, up to a dry crust.
SURROUNDINGS_C = (-40.0, 550.0)
FOOD_C = (-2.0, 300.0)


class HeatError(ValueError):
    """A question that the heat model cannot answer; the message names the value, its unit and what is allowed."""


class BadValue(HeatError):
    """A value that is not a number, has the wrong sign, or is outside what a kitchen can hold."""


class NeverDone(HeatError):
    """The zone, or the chain of zones, never brings the core to its end point."""


class OutOfReach(HeatError):
    """The answer exists but lies outside the sizes that the model covers."""


def number(value: float, name: str, unit: str, *, low: float, high: float) -> float:
    """Return `value` as a float if it is finite and low <= value <= high.

    `name` and `unit` are for the message. Raises ``BadValue``.
    """
    if type(value) is float and low <= value <= high:  # the usual case, quickly
        return value
    if isinstance(value, bool) or not isinstance(value, Real):  # NumPy's scalars are Real too
        raise BadValue(f"{name} must be a number in {unit}, not {value!r}")
    if math.isnan(value):
        raise BadValue(f"{name} is not a number; it must be from {low:g} to {high:g} {unit}")
    if not low <= value <= high:
        raise BadValue(f"{name} of {value:g} {unit} cannot be; it must be from {low:g} to {high:g} {unit}")
    return float(value)


def surroundings_c(value: float, name: str) -> float:
    """Return a temperature of air or walls [°C]; raises ``BadValue`` outside -40 to 550 °C."""
    return number(value, name, "°C", low=SURROUNDINGS_C[0], high=SURROUNDINGS_C[1])


def food_c(value: float, name: str) -> float:
    """Return a temperature of food [°C]; raises ``BadValue`` outside -2 to 300 °C. Frozen food is not modelled."""
    if isinstance(value, float | int | Real) and -273.15 <= value < FOOD_C[0]:
        raise BadValue(f"{name} of {value:g} °C is frozen food, which the model does not cover; thaw it first")
    return number(value, name, "°C", low=FOOD_C[0], high=FOOD_C[1])


def seconds(value: float, name: str = "time") -> float:
    """Return a length of time [s]; raises ``BadValue`` outside 0 to 30 days."""
    return number(value, name, "s", low=0.0, high=30 * 86400.0)
