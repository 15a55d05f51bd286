"""Roasting rules of the kind "20 minutes per 450 g plus 20": from weight to minutes.

Arithmetic alone: no rule is chosen here, no words are read and no units are
guessed.
"""

from __future__ import annotations

from math import isfinite

from converter.model import Phase


class RateError(ValueError):
    """A weight, a rate or a fixed part that no kitchen can mean."""


def _positive(name: str, value: float) -> None:
    if not (isfinite(value) and value > 0):
        raise RateError(f"{name} must be a finite number above 0, not {value}")


def _rising(name: str, pair: tuple[float, float]) -> None:
    low, high = pair
    _positive(name, low)
    _positive(name, high)
    if low > high:
        raise RateError(f"{name} must run from low to high, not {low} to {high}")


def total_minutes(
    *, weight_g: tuple[float, float], minutes: tuple[float, float], per_kg: float, plus: float = 0.0
) -> tuple[float, float]:
    """Return the whole time (low, high) in minutes, not rounded.

    Parameters
    ----------
    weight_g : weight of the joint or bird, (low, high) [g]
    minutes : minutes for each `per_kg` of weight, (low, high) [min]
    per_kg : the weight that `minutes` is given for [kg]: 0.45 for "per 450 g",
        0.5 for "per 500 g", 0.45359237 for "per lb", 1 for "per kg"
    plus : the fixed part added once [min]; 0 where the rule has none

    total = minutes · weight / per_kg + plus, at both ends.

    Raises ``RateError`` for a figure that is not finite, for a weight, rate
    or `per_kg` that is not above 0, for a negative `plus`, for a pair that
    falls and for a total too large to hold.
    Source: the form of the rule is common; charts that print it, and their
    own totals, are in tests/facts/data/roasting_times.yaml.

    >>> total_minutes(weight_g=(1800, 1800), minutes=(20, 20), per_kg=0.45, plus=20)
    (100.0, 100.0)
    """
    _rising("weight_g", weight_g)
    _rising("minutes", minutes)
    _positive("per_kg", per_kg)
    if not (isfinite(plus) and plus >= 0):
        raise RateError(f"plus must be a finite number, 0 or more, not {plus}")
    # Grams of the rule first: 450 g is a whole number, 0.45 kg is not one in binary.
    per_g = per_kg * 1000.0
    low = minutes[0] * weight_g[0] / per_g + plus
    high = minutes[1] * weight_g[1] / per_g + plus
    if not (isfinite(low) and isfinite(high)):
        raise RateError("the whole time is too large to be a number")
    return low, high


def total_minutes_either(
    *, weight_g: tuple[float, float], minutes: tuple[float, float], per_kg: tuple[float, float], plus: float = 0.0
) -> tuple[float, float]:
    """Return the time (low, high) in minutes that covers both readings of a rule with two weights.

    For "per 500 g (1 lb)", which prints two weights as one: 1 lb is 453.6 g,
    so the part that grows with weight is 10 % longer by the pound. `per_kg`
    is the two weights [kg] in either order; the rest and the errors are those
    of `total_minutes`.

    >>> low, high = total_minutes_either(
    ...     weight_g=(2000, 2000), minutes=(15, 15), per_kg=(0.5, 0.45359237), plus=15)
    >>> round(low, 1), round(high, 1)
    (75.0, 81.1)
    """
    first, second = (total_minutes(weight_g=weight_g, minutes=minutes, per_kg=one, plus=plus) for one in per_kg)
    return min(first[0], second[0]), max(first[1], second[1])


def rated(phase: Phase) -> tuple[float, float] | None:
    """Return the minutes of a phase that gives a time per weight, from the weight in the ingredients; else ``None``."""
    if phase.grams is None:
        return None
    for clause in phase.clauses:
        for mention in clause.times:
            if mention.role == "rate" and mention.per_kg and mention.seconds:
                low, high = mention.seconds
                fixed = (mention.plus or 0.0) / 60
                return total_minutes(
                    weight_g=phase.grams, minutes=(low / 60, high / 60), per_kg=mention.per_kg, plus=fixed
                )
    return None
