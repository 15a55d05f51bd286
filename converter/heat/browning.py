"""Colour at equal doneness: does it brown sooner or later in the zone than in the recipe's oven?

    browning ratio = exp(0.013 (T2 - T1)) for food cooked equally done at both, 0 in air under about 125 °C

Units: °C of the air. Validity: roasts and bakes of 40 minutes and more, 125 to 260 °C, recipe's oven 125 °C and more;
shorter times hang on when the skin dries and are not served. Sugar, milk and egg wash brown sooner (common practice).
Error: not measured on food. The rule is a reduction of first-order crust browning (Zanoni, Peri, Bruno, LWT 28:604-609,
1995) over a growing dry skin, which for 90 minutes at 180 °C gives 2.2 at 235, 0.8 at 170 and 0.4 at 150 °C where the
rule gives 2.0, 0.9 and 0.7: too kind to cool ovens, so that only the words are for the cook.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from converter.heat.clock import oven_c
from converter.heat.constants import value

DARK = "will colour before it is done: shield or foil, a lower shelf, or hot first and then move"
PALE = "stays pale: start or end in the hot oven, or under the roof"
ALIKE = "colours about as in the recipe"
NEVER = "does not brown at all in this zone: brown it in the hot oven or in a pan"


@dataclass(frozen=True, slots=True)
class Browning:
    """Colour in the zone over colour in the recipe's oven, and what that means in words."""

    ratio: float
    kind: str  # "dark", "alike", "pale" or "none"
    words: str


def browning_ratio(from_c: float, to_c: float) -> float:
    """Return how much browner than in the recipe's oven (`from_c`, °C) food is in the zone (`to_c`, °C), equally done.

    Formula, validity and error: module head. Raises ``BadValue`` for an oven outside 20 to 550 °C.
    """
    recipe, zone = oven_c(from_c, "the recipe's oven"), oven_c(to_c, "the zone")
    floor = value("browning.floor")
    if zone < floor:
        return 1.0 if recipe < floor else 0.0
    return math.exp(value("browning.slope") * (zone - max(recipe, floor)))


def browning(from_c: float, to_c: float) -> Browning:
    """Return `browning_ratio` with words: dark over 1.5 (+31 °C), pale under 0.7 (-28 °C), none under 125 °C."""
    ratio = browning_ratio(from_c, to_c)
    if ratio == 0.0:
        return Browning(ratio, "none", NEVER)
    if ratio > value("browning.dark"):
        return Browning(ratio, "dark", DARK)
    if ratio < value("browning.pale"):
        return Browning(ratio, "pale", PALE)
    return Browning(ratio, "alike", ALIKE)
