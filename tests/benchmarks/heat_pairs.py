"""Published pairs "same food, two oven temperatures" against our times and against simpler rules, side by side.

    pytest -m benchmark tests/benchmarks/test_heat_pairs.py -s        or        python tests/benchmarks/heat_pairs.py

An error is predicted minutes over the middle of the published minutes, less 1. Rows marked "fitted" are fitted anew
for each series, without that series. The noise floor is the half-width of the printed ranges themselves.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import yaml

from converter.heat.clock import clock_minutes
from converter.heat.conduction import size_from_time, time_to_core
from converter.heat.errors import HeatError
from converter.heat.materials import material
from converter.heat.surfaces import Surroundings, film
from converter.heat.times import Estimate, estimate, hot_start
from converter.heat.weight import minutes_for_weight

DATA = Path(__file__).resolve().parents[1] / "heat" / "data"
CLASSES = {
    "redmeat": "red-meat",
    "foilveg": "foil-vegetable",
    **{same: same for same in ("potato", "cake", "mince", "poultry", "pieces", "fish")},
}


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


Legs = tuple[tuple[float, float | None], ...]


@dataclass(frozen=True)
class Pair:
    """One food at the recipe's oven, and in the stays of `legs` (°C, minutes; None: until done). Minutes as printed.

    ``minutes2`` is the middle of the printed range of the second, the whole of it for a hot start.
    """

    series: str
    food_class: str
    grade: str
    start_c: float
    core_c: float
    from_c: float
    minutes1: float
    legs: Legs
    printed: tuple[float, float]

    @property
    def minutes2(self) -> float:
        return 0.5 * sum(self.printed)

    @property
    def hot(self) -> bool:
        return len(self.legs) > 1

    @property
    def change(self) -> float:
        """How much hotter the last stay is than the recipe's oven [K]."""
        return self.legs[-1][0] - self.from_c


def _load(name: str) -> Any:
    return yaml.safe_load((DATA / name).read_text(encoding="utf-8"))


def pairs(*, ends: str = "core") -> list[Pair]:
    """Every other oven of a series, and every hot start, against the series' recipe."""
    found = []
    for one in _load("oven_pairs.yaml")["series"]:
        if one["ends"] != ends:
            continue
        rows = {row[0]: (float(row[1]), float(row[2])) for row in one["points"]}
        others: list[tuple[Legs, tuple[float, float]]] = [
            (((celsius(oven_f), None),), printed) for oven_f, printed in rows.items() if oven_f != one["recipe_f"]
        ]
        if "hot_start" in one:
            hot = one["hot_start"]
            low, high = hot["minutes"]
            others.append((tuple((celsius(oven_f), minutes) for oven_f, minutes in hot["legs"]), (low, high)))
        head = (one["id"], CLASSES.get(one["food_class"], one["food_class"]), one["grade"], one["start_c"])
        base = (one["core_c"], celsius(one["recipe_f"]), 0.5 * sum(rows[one["recipe_f"]]))
        found += [Pair(*head, *base, legs, printed) for legs, printed in others]
    return found


Rule = Callable[[Pair, float], float]


def carried(rule: Rule, pair: Pair) -> float:
    """Minutes of the whole by a rule for the time alone in each zone: the shares of the stays add up to 1."""
    passed = share = 0.0
    for zone_c, minutes in pair.legs:
        if minutes is None:
            return passed + (1.0 - share) * rule(pair, zone_c)
        passed, share = passed + minutes, share + minutes / rule(pair, zone_c)
    raise AssertionError("the last stay is open")


def ours(pair: Pair, *, slope: float | None = None, measured: bool = True) -> Estimate:
    usual: dict[str, Any] = {
        "food_class": pair.food_class, "recipe_minutes": pair.minutes1, "from_c": pair.from_c,
        "core_c": pair.core_c, "start_c": pair.start_c, "measured_recently": measured, "slope": slope,
    }  # fmt: skip
    if pair.hot:
        return hot_start(legs=pair.legs, **usual)
    return estimate(zone_c=pair.legs[0][0], **usual)


def clock(pair: Pair, zone_c: float, *, slope: float | None = None) -> float:
    return clock_minutes(pair.minutes1, from_c=pair.from_c, to_c=zone_c, slope=slope)


def expected(pair: Pair, *, slope: float | None = None) -> float:
    """Our minutes; where ours says that the zone does not finish, the clock's, so that the pair still counts."""
    made = ours(pair, slope=slope)
    return made.expect_minutes if made.finishes else carried(lambda p, c: clock(p, c, slope=slope), pair)


def conduction_alone(pair: Pair, zone_c: float) -> float:
    """Minutes by conduction with the table's wetness, the clock's where it never finishes: the model alone."""
    kind = material(pair.food_class)
    law1, law2 = (film(Surroundings(c), start_c=pair.start_c, wetness=kind.wetness) for c in (pair.from_c, zone_c))
    body = size_from_time(
        law1, shape=kind.shape, time_s=60 * pair.minutes1, start_c=pair.start_c, core_c=pair.core_c,
        k_w_mk=kind.k_w_mk, alpha_m2_s=kind.alpha_m2_s,
    )  # fmt: skip
    minutes = time_to_core(body, law2, start_c=pair.start_c, core_c=pair.core_c) / 60
    return clock(pair, zone_c) if minutes > 3.5 * pair.minutes1 else minutes


def _lumped(pair: Pair, zone_c: float) -> float:
    def needs(air_c: float) -> float:
        return math.log((air_c - pair.start_c) / (air_c - pair.core_c))

    return pair.minutes1 * needs(zone_c) / needs(pair.from_c)


def best_slope(rule: Callable[[Pair, float, float], float], train: list[Pair]) -> float:
    """The slope [1/K] of a rule with the least mean absolute log error over the pairs."""

    def loss(slope: float) -> float:
        return sum(abs(math.log(carried(lambda p, c: rule(p, c, slope), p) / p.minutes2)) for p in train)

    return min((step / 10000 for step in range(80, 141)), key=loss)


def left_out(rule: Callable[[Pair, float, float], float], all_pairs: list[Pair]) -> dict[str, float]:
    """The slope of a rule for each series, fitted to the pairs of the others."""
    names = {p.series for p in all_pairs}
    return {name: best_slope(rule, [p for p in all_pairs if p.series != name]) for name in names}


def _plain(pair: Pair, zone_c: float, slope: float = 0.01) -> float:
    return pair.minutes1 * math.exp(-slope * (zone_c - pair.from_c))


NAIVE: dict[str, Rule] = {
    "no change": lambda p, c: p.minutes1,
    "(T1-T0)/(T2-T0)": lambda p, c: p.minutes1 * (p.from_c - p.start_c) / (c - p.start_c),
    "lumped log": _lumped,
    "1 % per K": _plain,
    "conduction alone": conduction_alone,
    "clock alone": clock,
}


def predictions(all_pairs: list[Pair]) -> dict[str, list[float]]:
    """Minutes of the second by each rule, in the order of the pairs."""
    plain = left_out(_plain, all_pairs)
    slopes = left_out(lambda p, c, slope: clock(p, c, slope=slope), all_pairs)
    found = {name: [carried(rule, p) for p in all_pairs] for name, rule in NAIVE.items()}
    found["1 slope, fitted"] = [carried(lambda q, c: _plain(q, c, plain[q.series]), p) for p in all_pairs]
    found["ours"] = [expected(p) for p in all_pairs]
    found["ours, fitted"] = [expected(p, slope=slopes[p.series]) for p in all_pairs]
    return found


@dataclass(frozen=True)
class Score:
    """Mean absolute error, 90th percentile of it, bias, in percent."""

    mean: float
    p90: float
    bias: float
    good: float


def score(found: list[float], all_pairs: list[Pair]) -> Score:
    """The errors of one rule; `good` is the mean over the pairs of grade A and B alone."""
    error = np.array([100 * (minutes / p.minutes2 - 1) for minutes, p in zip(found, all_pairs, strict=True)])
    best = np.array([p.grade in "AB" for p in all_pairs])
    return Score(
        float(np.mean(np.abs(error))), float(np.quantile(np.abs(error), 0.9)), float(np.mean(error)),
        float(np.mean(np.abs(error[best]))),
    )  # fmt: skip


def scores(all_pairs: list[Pair]) -> dict[str, Score]:
    return {rule: score(found, all_pairs) for rule, found in predictions(all_pairs).items()}


@dataclass(frozen=True)
class Range:
    """Shares [%] of published mids in the range, of printed ranges that meet it; median width; zones refused."""

    holds: float
    meets: float
    width: float
    refused: int


def range_score(all_pairs: list[Pair], *, measured: bool = True) -> Range:
    made = [(ours(p, measured=measured), p) for p in all_pairs]
    given = [(e, p) for e, p in made if e.finishes]
    holds = [e.look_minutes <= p.minutes2 <= e.latest_minutes for e, p in given]
    meets = [e.look_minutes <= p.printed[1] and p.printed[0] <= e.latest_minutes for e, p in given]
    widths = [e.latest_minutes / e.look_minutes for e, _ in given]
    shares = (100 * float(np.mean(holds)), 100 * float(np.mean(meets)))
    return Range(*shares, float(np.median(widths)), len(made) - len(given))


@dataclass(frozen=True)
class Step:
    """One step of a weight chart: from one weight to another of the same cut in the same oven."""

    chart: str
    food_class: str
    grams1: float
    grams2: float
    minutes1: float
    minutes2: float


def _first(count: int) -> list[tuple[int, int]]:
    return [(0, other) for other in range(1, count)]


def _next(count: int) -> list[tuple[int, int]]:
    return [(other - 1, other) for other in range(1, count)]


def _middle(count: int) -> list[tuple[int, int]]:
    return [(count // 2, other) for other in range(count) if other != count // 2]


STARTS = {"middle weight to each": _middle, "each to the next": _next, "lightest to each": _first}


def steps(start: str = "middle weight to each") -> list[Step]:
    """The steps of the weight charts, from the weights that `start` names."""
    found = []
    for chart in _load("weights.yaml")["weights"]:
        rows = [(453.6 * pounds, 0.5 * (low + high)) for pounds, low, high in chart["rows"]]
        for one, other in STARTS[start](len(rows)):
            (grams1, minutes1), (grams2, minutes2) = rows[one], rows[other]
            found.append(Step(chart["id"], CLASSES[chart["food_class"]], grams1, grams2, minutes1, minutes2))
    return found


def weight_scores(all_steps: list[Step]) -> dict[str, float]:
    """Mean absolute error in percent of each way to carry a time from one weight to another."""
    rules: dict[str, Callable[[Step], float]] = {
        "minutes per pound": lambda s: s.minutes1 * s.grams2 / s.grams1,
        "power 2/3": lambda s: s.minutes1 * (s.grams2 / s.grams1) ** (2 / 3),
        "power 1/2": lambda s: s.minutes1 * (s.grams2 / s.grams1) ** 0.5,
        "same time": lambda s: s.minutes1,
        "ours": lambda s: minutes_for_weight(ref_minutes=s.minutes1, ref_grams=s.grams1, grams=s.grams2),
    }
    off = {name: [abs(rule(s) / s.minutes2 - 1) for s in all_steps] for name, rule in rules.items()}
    return {name: 100 * float(np.mean(errors)) for name, errors in off.items()}


def chart_powers(all_steps: list[Step]) -> dict[str, float]:
    """The power of the weight that each chart itself grows with, through its lightest and heaviest piece."""
    last = {step.chart: step for step in all_steps}  # the heaviest comes last
    return {name: math.log(s.minutes2 / s.minutes1) / math.log(s.grams2 / s.grams1) for name, s in last.items()}


def report() -> list[str]:
    """The whole table in lines."""
    core = pairs()
    hot = sum(p.hot for p in core)
    lines = [f"{len(core)} pairs of {len({p.series for p in core})} series, done at a core; {hot} are hot starts"]
    noise = [(p.printed[1] - p.printed[0]) / (2 * p.minutes2) for p in core]
    lines.append(f"half-width of the printed ranges: {100 * float(np.mean(noise)):.1f} %")
    lines.append(f"{'rule':<20}{'mean':>7}{'p90':>7}{'bias':>7}{'A+B':>7}   (absolute error of the minutes, %)")
    for rule, one in scores(core).items():
        lines.append(f"{rule:<20}{one.mean:7.1f}{one.p90:7.1f}{one.bias:+7.1f}{one.good:7.1f}")
    by_class: dict[str, list[float]] = {}
    for pair in core:
        by_class.setdefault(pair.food_class, []).append(100 * (expected(pair) / pair.minutes2 - 1))
    told = (f"{name} {len(e)}, {np.mean(np.abs(e)):.1f}, {np.mean(e):+.0f}" for name, e in by_class.items())
    lines.append("ours by class (n, mean, bias): " + "; ".join(told))
    far = [p for p in core if not p.hot and abs(p.change) > 30]
    told = (f"{rule} {one.mean:.1f}" for rule, one in scores(far).items())
    lines.append(f"over 30 K ({len(far)}): " + ", ".join(told))
    for measured in (True, False):
        span = range_score(core, measured=measured)
        lines.append(
            f"range, zone {'read today' if measured else 'not read'}: holds {span.holds:.0f} % of the mids, "
            f"meets {span.meets:.0f} % of the printed ranges, median width x{span.width:.2f}; {span.refused} refused"
        )
    lines.append("hot starts: printed, look, expect, latest, as shares of the single oven's time")
    for case in (p for p in core if p.hot):
        made = ours(case)
        times = (case.minutes2, made.look_minutes, made.expect_minutes, made.latest_minutes)
        lines.append(f"  {case.series:<18}" + " ".join(f"{minutes / case.minutes1:.2f}" for minutes in times))
    told = (
        f"{p.series} {p.minutes2 / p.minutes1:.2f} (clock {carried(clock, p) / p.minutes1:.2f})"
        for p in pairs(ends="tender")
    )
    lines.append("not served, done when tender: " + ", ".join(told))
    for start in STARTS:
        grown = steps(start)
        told = (f"{rule} {error:.1f}" for rule, error in weight_scores(grown).items())
        lines.append(f"weight, {start}, {len(grown)} steps, mean error %: " + ", ".join(told))
    told = (f"{name} {power:.2f}" for name, power in chart_powers(steps("lightest to each")).items())
    lines.append("the charts disagree; their own powers of the weight: " + ", ".join(told))
    return lines


def worst(all_pairs: list[Pair], *, count: int = 6) -> list[str]:
    """The pairs that lie furthest off."""
    off = sorted(all_pairs, key=lambda p: -abs(expected(p) / p.minutes2 - 1))
    return [
        f"{p.series} {p.from_c:.0f} to {p.legs[-1][0]:.0f} °C: printed x{p.minutes2 / p.minutes1:.2f}, "
        f"ours x{expected(p) / p.minutes1:.2f}"
        for p in off[:count]
    ]


def main() -> int:
    try:
        print("\n".join([*report(), "furthest off:", *("  " + line for line in worst(pairs()))]))
    except HeatError as error:
        print(f"refused: {error}")
        return 1
    return 0


if __name__ == "__main__":
    raise SystemExit(main())
