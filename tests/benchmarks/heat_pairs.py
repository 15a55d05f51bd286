"""Published pairs "same food, two oven temperatures" against our times and against simpler rules, side by side.

    pytest -m benchmark tests/benchmarks/test_heat_pairs.py -s        or        python tests/benchmarks/heat_pairs.py

An error is predicted minutes over the middle of the published minutes, less 1. Rows marked "fitted" are fitted anew
for each series, without that series. The noise floor is the half-width of the printed ranges themselves.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np
import yaml

from converter.heat.clock import clock_minutes
from converter.heat.errors import HeatError
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


@dataclass(frozen=True)
class Pair:
    """One food at the recipe's oven (1) and at another (2): °C, minutes, and the printed range of the second."""

    series: str
    food_class: str
    grade: str
    start_c: float
    core_c: float
    c1: float
    c2: float
    minutes1: float
    minutes2: float
    printed: tuple[float, float]
    half_width: float


@dataclass(frozen=True)
class HotStart:
    """A chain against a single oven: legs in °C and minutes, printed minutes of both."""

    series: str
    food_class: str
    start_c: float
    core_c: float
    from_c: float
    minutes: float
    legs: tuple[tuple[float, float | None], ...]
    total: float


def _load(name: str) -> Any:
    return yaml.safe_load((DATA / name).read_text(encoding="utf-8"))


def pairs(*, ends: str = "core") -> list[Pair]:
    """The pairs of one oven each: every other point of a series against its recipe point."""
    found = []
    for one in _load("oven_pairs.yaml")["series"]:
        if one["ends"] != ends:
            continue
        rows = {row[0]: (float(row[1]), float(row[2])) for row in one["points"]}
        low1, high1 = rows[one["recipe_f"]]
        for oven_f, (low, high) in rows.items():
            if oven_f == one["recipe_f"]:
                continue
            middle = 0.5 * (low + high)
            found.append(
                Pair(
                    one["id"], CLASSES.get(one["food_class"], one["food_class"]), one["grade"], one["start_c"],
                    one["core_c"], celsius(one["recipe_f"]), celsius(oven_f), 0.5 * (low1 + high1), middle,
                    (low, high), 0.5 * (high - low) / middle,
                )
            )  # fmt: skip
    return found


def hot_starts() -> list[HotStart]:
    """The series that print a hot start beside one oven, done at a core temperature."""
    found = []
    for one in _load("oven_pairs.yaml")["series"]:
        if "hot_start" not in one or one["ends"] != "core":
            continue
        rows = {row[0]: 0.5 * (row[1] + row[2]) for row in one["points"]}
        hot = one["hot_start"]
        legs = tuple((celsius(oven_f), minutes) for oven_f, minutes in hot["legs"])
        found.append(
            HotStart(
                one["id"], CLASSES[one["food_class"]], one["start_c"], one["core_c"], celsius(one["recipe_f"]),
                rows[one["recipe_f"]], legs, 0.5 * sum(hot["minutes"]),
            )
        )  # fmt: skip
    return found


def ours(pair: Pair, *, slope: float | None = None, measured: bool = True) -> Estimate:
    return estimate(
        food_class=pair.food_class, recipe_minutes=pair.minutes1, from_c=pair.c1, zone_c=pair.c2,
        core_c=pair.core_c, start_c=pair.start_c, measured_recently=measured, slope=slope,
    )  # fmt: skip


def conduction_alone(pair: Pair) -> float:
    """Minutes by conduction with the table's wetness: the model without the clock."""
    from converter.heat.conduction import size_from_time, time_to_core
    from converter.heat.materials import material
    from converter.heat.surfaces import Surroundings, film

    kind = material(pair.food_class)
    law1, law2 = (film(Surroundings(c), start_c=pair.start_c, wetness=kind.wetness) for c in (pair.c1, pair.c2))
    body = size_from_time(
        law1, shape=kind.shape, time_s=60 * pair.minutes1, start_c=pair.start_c, core_c=pair.core_c,
        k_w_mk=kind.k_w_mk, alpha_m2_s=kind.alpha_m2_s,
    )  # fmt: skip
    return time_to_core(body, law2, start_c=pair.start_c, core_c=pair.core_c) / 60


def _lumped(pair: Pair) -> float:
    def needs(air_c: float) -> float:
        return math.log((air_c - pair.start_c) / (air_c - pair.core_c))

    return pair.minutes1 * needs(pair.c2) / needs(pair.c1)


def one_percent(train: Iterable[Pair]) -> float:
    """Least-squares slope [1/K] of ln(minutes2 / minutes1) through the pairs."""
    x = np.array([pair.c1 - pair.c2 for pair in train])
    y = np.array([math.log(pair.minutes2 / pair.minutes1) for pair in train])
    return float(x @ y / (x @ x))


def best_slope(train: list[Pair]) -> float:
    """The clock's slope at 60 minutes [1/K] with the least mean absolute log error over the pairs."""
    def loss(slope: float) -> float:
        return sum(
            abs(math.log(clock_minutes(p.minutes1, from_c=p.c1, to_c=p.c2, slope=slope) / p.minutes2)) for p in train
        )

    return min((step / 20000 for step in range(160, 281)), key=loss)


def left_out(all_pairs: list[Pair], fit: Callable[[list[Pair]], float]) -> dict[str, float]:
    """A fitted figure for each series, fitted to the pairs of the others."""
    return {name: fit([p for p in all_pairs if p.series != name]) for name in {p.series for p in all_pairs}}


def predictions(all_pairs: list[Pair]) -> dict[str, list[float]]:
    """Minutes at the second oven by each rule, in the order of the pairs."""
    plain, slopes = left_out(all_pairs, one_percent), left_out(all_pairs, best_slope)
    return {
        "no change": [p.minutes1 for p in all_pairs],
        "(T1-T0)/(T2-T0)": [p.minutes1 * (p.c1 - p.start_c) / (p.c2 - p.start_c) for p in all_pairs],
        "lumped log": [_lumped(p) for p in all_pairs],
        "1 % per K": [p.minutes1 * math.exp(-0.01 * (p.c2 - p.c1)) for p in all_pairs],
        "one slope, fitted": [p.minutes1 * math.exp(-plain[p.series] * (p.c2 - p.c1)) for p in all_pairs],
        "conduction alone": [conduction_alone(p) for p in all_pairs],
        "clock alone": [clock_minutes(p.minutes1, from_c=p.c1, to_c=p.c2) for p in all_pairs],
        "ours": [ours(p).expect_minutes for p in all_pairs],
        "ours, slope fitted": [ours(p, slope=slopes[p.series]).expect_minutes for p in all_pairs],
    }


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
    """Shares [%] of published mids that lie in the range, of printed ranges that meet it, and its median width."""

    holds: float
    meets: float
    width: float


def range_score(all_pairs: list[Pair], *, measured: bool = True) -> Range:
    made = [(ours(p, measured=measured), p) for p in all_pairs]
    holds = [e.look_minutes <= p.minutes2 <= e.latest_minutes for e, p in made]
    meets = [e.look_minutes <= p.printed[1] and p.printed[0] <= e.latest_minutes for e, p in made]
    widths = [e.latest_minutes / e.look_minutes for e, _ in made]
    return Range(100 * float(np.mean(holds)), 100 * float(np.mean(meets)), float(np.median(widths)))


def hot_estimate(case: HotStart) -> Estimate:
    return hot_start(
        food_class=case.food_class, recipe_minutes=case.minutes, from_c=case.from_c, legs=case.legs,
        core_c=case.core_c, start_c=case.start_c, measured_recently=True,
    )  # fmt: skip


@dataclass(frozen=True)
class Step:
    """One step of a weight chart: from the lightest to a heavier piece of the same cut in the same oven."""

    chart: str
    food_class: str
    grams1: float
    grams2: float
    minutes1: float
    minutes2: float


def steps() -> list[Step]:
    found = []
    for chart in _load("weights.yaml")["weights"]:
        first, *rest = chart["rows"]
        for pounds, low, high in rest:
            found.append(
                Step(
                    chart["id"], CLASSES[chart["food_class"]], 453.6 * first[0], 453.6 * pounds,
                    0.5 * (first[1] + first[2]), 0.5 * (low + high),
                )
            )  # fmt: skip
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
    return {name: float(np.mean([abs(rule(s) / s.minutes2 - 1) for s in all_steps])) * 100 for name, rule in rules.items()}


def chart_powers(all_steps: list[Step]) -> dict[str, float]:
    """The power of the weight that each chart itself grows with, through its lightest and heaviest piece."""
    last = {step.chart: step for step in all_steps}
    return {name: math.log(s.minutes2 / s.minutes1) / math.log(s.grams2 / s.grams1) for name, s in last.items()}


def report() -> list[str]:
    """The whole table in lines."""
    core = pairs()
    lines = [f"{len(core)} pairs of {len({p.series for p in core})} series, done at a core temperature"]
    noise = [p.half_width for p in core if p.half_width > 0]
    lines.append(f"half-width of the printed ranges: {100 * float(np.mean(noise)):.1f} %")
    lines.append(f"{'rule':<20}{'mean':>7}{'p90':>7}{'bias':>7}{'A+B':>7}   (absolute error of the minutes, %)")
    for rule, one in scores(core).items():
        lines.append(f"{rule:<20}{one.mean:7.1f}{one.p90:7.1f}{one.bias:+7.1f}{one.good:7.1f}")
    by_class: dict[str, list[float]] = {}
    for pair in core:
        by_class.setdefault(pair.food_class, []).append(100 * (ours(pair).expect_minutes / pair.minutes2 - 1))
    lines.append("ours by class (n, mean, bias): " + "; ".join(
        f"{name} {len(e)}, {np.mean(np.abs(e)):.1f}, {np.mean(e):+.0f}" for name, e in by_class.items()))
    far = [p for p in core if abs(p.c2 - p.c1) > 30]
    lines.append(f"over 30 K ({len(far)}): " + ", ".join(f"{rule} {one.mean:.1f}" for rule, one in scores(far).items()))
    for measured in (True, False):
        span = range_score(core, measured=measured)
        lines.append(
            f"range, zone {'read today' if measured else 'not read'}: holds {span.holds:.0f} % of the mids, "
            f"meets {span.meets:.0f} % of the printed ranges, median width x{span.width:.2f}"
        )
    lines.append("hot starts: printed, look, expect, latest, as shares of the single oven's time")
    for case in hot_starts():
        made = hot_estimate(case)
        shares = [m / case.minutes for m in (case.total, made.look_minutes, made.expect_minutes, made.latest_minutes)]
        lines.append(f"  {case.series:<18}" + " ".join(f"{share:.2f}" for share in shares))
    tender = pairs(ends="tender")
    lines.append("not served, done when tender: " + ", ".join(
        f"{p.series} {p.minutes2 / p.minutes1:.2f} (clock {clock_minutes(p.minutes1, from_c=p.c1, to_c=p.c2) / p.minutes1:.2f})"
        for p in tender))
    grown = steps()
    lines.append(f"weight, {len(grown)} steps of {len(chart_powers(grown))} charts, mean error %: " + ", ".join(
        f"{rule} {error:.1f}" for rule, error in weight_scores(grown).items()))
    lines.append("the charts' own powers of the weight: " + ", ".join(
        f"{name} {power:.2f}" for name, power in chart_powers(grown).items()))
    return lines


def worst(all_pairs: list[Pair], *, count: int = 6) -> list[str]:
    """The pairs that lie furthest off."""
    off = sorted(all_pairs, key=lambda p: -abs(ours(p).expect_minutes / p.minutes2 - 1))
    return [
        f"{p.series} {p.c1:.0f} to {p.c2:.0f} °C: printed x{p.minutes2 / p.minutes1:.2f}, "
        f"ours x{ours(p).expect_minutes / p.minutes1:.2f}" for p in off[:count]
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
