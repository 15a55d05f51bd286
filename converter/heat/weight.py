"""Minutes and weight: carrying a time from one weight to another, and a time from a weight and an end point alone."""

from __future__ import annotations

from converter.heat.constants import value
from converter.heat.errors import number


def grams_of(grams: float, name: str = "weight") -> float:
    """Return a weight [g]; raises ``BadValue`` outside 10 g to 30 kg."""
    return number(grams, name, "g", low=10.0, high=30000.0)


def minutes_for_weight(*, ref_minutes: float, ref_grams: float, grams: float, power: float | None = None) -> float:
    p = value("weight.power") if power is None else power
    return ref_minutes * (grams_of(grams) / grams_of(ref_grams)) ** p
