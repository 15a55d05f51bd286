"""How much longer a braise or a simmer takes where its liquid is cooler: the dose of the LIQUID's temperature.

    dose = integral exp(-Ea/R (1/T - 1/373.15 K)) dt,   the same dose is equally soft

T is the liquid's temperature in kelvin, never above 100 °C, from the energy balance of `pot`; the oven's own
temperature does not enter otherwise. Ea 80 to 160 kJ/mol, 120 expected: vegetables 54-171 (Lee, Food Eng. Prog.
21(4), 2017, table 1); for collagen no source that can be used as it is. Validity: pots of 0.5 to 10 kg that go in at
the boil, liquid of 80 to 100 °C. Error: the span of Ea is the error, 1.5 to 2.4 where 1.9 is expected; published
pairs end at softness and are off by 7-50 %. "Tender or not" decides.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from math import exp, inf

from converter.heat.clock import minutes_of
from converter.heat.constants import value
from converter.heat.errors import NeverDone
from converter.heat.pot import Course, Pot, course, rest
from converter.heat.surfaces import BOILING_C, KELVIN

GAS_J_MOL_K = 8.314
LONGEST = 8.0  # factors beyond are no cooking times
SETTLED_MINUTES = 720.0  # after half a day in one zone a pot is at rest


@dataclass(frozen=True, slots=True)
class Softening:
    """Factors on the recipe's time for weak, usual and strong dependence on temperature, and the pot at rest [°C].

    ``simmers`` says that the pot has heat to spare; ``safe`` that it rests above the hot-holding limit of 60 °C.
    A factor is infinite where the food does not get soft within eight times the recipe's time.
    """

    low: float
    expect: float
    high: float
    liquid_c: float
    simmers: bool
    safe: bool


def softening_rate(liquid_c: float, *, ea_kj_mol: float) -> float:
    """Return the speed of softening against that at 100 °C [-]; the liquid never counts as more than 100 °C."""
    kelvin = min(liquid_c, BOILING_C) + KELVIN
    return exp(-ea_kj_mol * 1000.0 / GAS_J_MOL_K * (1.0 / kelvin - 1.0 / (BOILING_C + KELVIN)))


def _long_course(pot: Pot, *, zone_c: float, start_c: float, minutes: float) -> Course:
    path = course(pot, zone_c=zone_c, start_c=start_c, minutes=min(minutes, SETTLED_MINUTES))
    if minutes <= SETTLED_MINUTES:
        return path
    return Course((*path.minutes, minutes), (*path.liquid_c, path.liquid_c[-1]))


def _dose(path: Course, *, ea_kj_mol: float) -> list[float]:
    """Sums of the dose [min at 100 °C] at each step of a course."""
    rates = [softening_rate(level, ea_kj_mol=ea_kj_mol) for level in path.liquid_c]
    sums = [0.0]
    for index in range(1, len(rates)):
        span = path.minutes[index] - path.minutes[index - 1]
        sums.append(sums[-1] + 0.5 * span * (rates[index] + rates[index - 1]))
    return sums


def _factor(path: Course, minutes: float, wanted: float, *, ea_kj_mol: float) -> float:
    sums = _dose(path, ea_kj_mol=ea_kj_mol)
    if sums[-1] < wanted:
        return inf
    at = bisect_left(sums, wanted)
    if at == 0:
        return 0.0
    part = (wanted - sums[at - 1]) / (sums[at] - sums[at - 1])
    return (path.minutes[at - 1] + part * (path.minutes[at] - path.minutes[at - 1])) / minutes


def softening_factor(
    *,
    zone_c: float,
    recipe_minutes: float = 150.0,
    from_c: float | None = None,
    pot: Pot | None = None,
    start_c: float | None = None,
) -> Softening:
    """Return the factors on a recipe's time for a pot moved into a zone of `zone_c` [°C, as read].

    `from_c` is the recipe's oven [°C], where the pot stands at its own rest; without it the recipe simmers on the hob
    at 98 °C. `start_c` is the liquid as it goes into the zone, 100 °C (boiled first) where not given. The same pot
    serves both, 3 kg lidded where not given. Formula, validity, error: module head.
    Raises ``BadValue`` for absurd values.
    """
    vessel = Pot(3000.0) if pot is None else pot
    minutes = minutes_of(recipe_minutes)
    begin = value("softening.boil_first") if start_c is None else start_c
    path = _long_course(vessel, zone_c=zone_c, start_c=begin, minutes=LONGEST * minutes)
    before = None
    if from_c is not None:
        before = _long_course(vessel, zone_c=from_c, start_c=value("softening.boil_first"), minutes=minutes)
    factors = []
    for name in ("softening.ea_least", "softening.ea", "softening.ea_most"):
        ea = value(name)
        wanted = minutes * softening_rate(value("softening.simmer"), ea_kj_mol=ea)
        if before is not None:
            wanted = _dose(before, ea_kj_mol=ea)[-1]
        factors.append(_factor(path, minutes, wanted, ea_kj_mol=ea))
    end = rest(vessel, zone_c=zone_c)
    return Softening(
        min(factors), factors[1], max(factors), end.liquid_c, end.simmers, end.liquid_c >= value("softening.flag_below")
    )


def softening_minutes(recipe_minutes: float, *, factor: Softening) -> tuple[float, float, float]:
    """Return when to look, to expect and at the latest [min]: 0.9, 1 and 1.5 times the expected factor.

    Range: common practice, no source. Raises ``NeverDone`` where the pot is too cool to soften its food.
    """
    if factor.expect == inf:
        raise NeverDone(
            f"a pot that rests at {factor.liquid_c:.0f} °C is not tender within {LONGEST:g} times the recipe's time"
        )
    expect = minutes_of(recipe_minutes) * factor.expect
    return value("softening.tender_early") * expect, expect, value("softening.tender_late") * expect
