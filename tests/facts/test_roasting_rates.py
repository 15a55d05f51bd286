"""Published roasting rules against ``converter/place/rates.py``.

The expected totals are those that the charts print themselves, never our own
output. The international pound is 0.45359237 kg exactly (agreement of 1959).
"""

from __future__ import annotations

import math
from functools import cache
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from converter import data
from converter.data import Node, expect_keys
from converter.place.rates import RateError, total_minutes, total_minutes_either

FILE = Path(__file__).parent / "data" / "roasting_times.yaml"
KG_PER_POUND = 0.45359237
PER_KG = {"lb": KG_PER_POUND, "kg": 1.0, "450 g": 0.45, "500 g": 0.5}
BOTH_AS_ONE = "500 g or 1 lb"


@cache
def chart() -> Node:
    table = expect_keys(
        data.read(FILE), required=("sources", "rules", "totals", "both", "bands"), where="roasting_times.yaml"
    )
    for source in table["sources"].values():
        expect_keys(source, required=("title", "publisher", "year"), optional=("url", "read_at"))
    shapes = {
        "rules": (("id", "food", "minutes", "per", "plus", "source"), ("note",)),
        "totals": (("rule", "weight", "unit", "total", "within", "agrees"), ("note",)),
        "both": (("rule", "per_lb", "per_kg", "source"), ()),
        "bands": (("weight_lb", "total", "source"), ()),
    }
    for name, (required, optional) in shapes.items():
        for row in table[name]:
            expect_keys(row, required=required, optional=optional)
    return table


def rules() -> dict[str, Node]:
    return {row["id"]: row for row in chart()["rules"]}


def grams(weight: list[float], unit: str) -> tuple[float, float]:
    per = {"kg": 1000.0, "lb": KG_PER_POUND * 1000.0}[unit]
    return weight[0] * per, weight[1] * per


def by_rule(rule: Node, weight_g: tuple[float, float]) -> tuple[float, float]:
    return total_minutes(
        weight_g=weight_g, minutes=tuple(rule["minutes"]), per_kg=PER_KG[rule["per"]], plus=rule["plus"]
    )


def per_kilogram(rule: Node) -> tuple[float, float]:
    per = KG_PER_POUND if rule["per"] == BOTH_AS_ONE else PER_KG[rule["per"]]
    return rule["minutes"][0] / per, rule["minutes"][1] / per


# The table itself


def test_every_row_names_its_source_once() -> None:
    table = chart()
    assert len(rules()) == len(table["rules"]), "an id is used twice"
    named = {row["source"] for name in ("rules", "both", "bands") for row in table[name]}
    assert named == set(table["sources"]), "a source is unknown, or is named by no row"
    assert {row["rule"] for row in table["totals"]} <= set(rules())
    assert {row["rule"] for row in table["both"]} <= set(rules())


def test_rates_are_plausible() -> None:
    for rule in chart()["rules"]:
        low, high = per_kilogram(rule)
        # From rare ribs of 1895 before a fierce oven (8 min/lb) to pork shoulder at 177 °C (45 min/lb).
        assert 17 <= low <= high <= 100, f"{rule.where}: {low:.0f} to {high:.0f} min/kg"
        assert 0 <= rule["plus"] <= 105, rule.where
        assert rule["per"] in PER_KG or rule["per"] == BOTH_AS_ONE, rule.where


# Typed a second time from the sources, against misprints in the table.
@pytest.mark.parametrize(
    ("rule", "minutes", "per", "plus"),
    [
        ("us-now-beef-rib-bone", [23, 25], "lb", 0),
        ("us-now-pork-butt", [45, 45], "lb", 0),
        ("us-2011-ham-spiral", [10, 18], "lb", 0),
        ("us-older-chicken-4-8", [20, 30], "lb", 0),
        ("uk-turkey-under-4kg", [20, 20], "kg", 70),
        ("uk-turkey-over-4kg", [20, 20], "kg", 90),
        ("uk-turkey-school-large", [15, 15], "450 g", 15),
        ("uk-butcher-a-pork-well", [35, 35], "lb", 30),
        ("uk-blog-lamb-quick", [25, 25], "500 g", 20),
        ("ie-pork", [30, 30], BOTH_AS_ONE, 30),
        ("uk-twostage-medium-big", [24, 24], "kg", 40),
        ("us-1895-beef-ribs-rare", [8, 10], "lb", 0),
    ],
)
def test_row_as_printed(rule: str, minutes: list[int], per: str, plus: int) -> None:
    row = rules()[rule]
    assert (row["minutes"], row["per"], row["plus"]) == (minutes, per, plus), row.where


# Our arithmetic against totals that the charts print


def totals(agrees: str) -> list[object]:
    return [
        pytest.param(row, id=f"{row['rule']}-{row['weight'][0]}{row['unit']}-line{row.line}")
        for row in chart()["totals"]
        if row["agrees"] == agrees
    ]


def distance(row: Node) -> float:
    low, high = by_rule(rules()[row["rule"]], grams(row["weight"], row["unit"]))
    return max(abs(low - row["total"][0]), abs(high - row["total"][1]))


@pytest.mark.parametrize("row", totals("yes"))
def test_total_printed_by_the_chart(row: Node) -> None:
    assert distance(row) <= row["within"] + 1e-9, row.where


@pytest.mark.parametrize("row", totals("no"))
def test_chart_that_breaks_its_own_rule_still_does(row: Node) -> None:
    assert distance(row) > row["within"] + 5, f"{row.where}: agrees now, so the mark has to go"


@pytest.mark.parametrize("row", chart()["both"], ids=lambda row: row["rule"])
def test_rate_printed_by_pound_and_by_kilogram(row: Node) -> None:
    """One kilogram by the pound rule comes to the printed rate per kilogram, which is rounded to 5 minutes."""
    low, high = total_minutes(weight_g=(1000, 1000), minutes=tuple(row["per_lb"]), per_kg=KG_PER_POUND)
    assert abs(low - row["per_kg"][0]) < 3, row.where
    assert abs(high - row["per_kg"][1]) < 3, row.where
    assert rules()[row["rule"]]["minutes"] == row["per_lb"], row.where


@pytest.mark.parametrize("band", chart()["bands"], ids=lambda band: f"{band['weight_lb']}lb")
def test_british_turkey_rule_meets_the_american_table(band: Node) -> None:
    """Two publishers, two forms: 20 min/kg + 90 (+ 70 below 4 kg) runs into every band of the US table.

    The ovens differ (190 °C against 163 °C), so the spans need to meet, not to be the same.
    """
    weight = grams(band["weight_lb"], "lb")
    name = "uk-turkey-under-4kg" if weight[1] < 4000 else "uk-turkey-over-4kg"
    low, high = by_rule(rules()[name], weight)
    assert max(low, band["total"][0]) < min(high, band["total"][1]), band.where
    middle = (low + high) / 2
    assert middle == pytest.approx(sum(band["total"]) / 2, rel=0.1), band.where


def test_thirty_minutes_a_pound_is_no_rule_for_turkeys() -> None:
    """The older chart's rate runs at least half as long again as the same office's table: never a cross-check."""
    for band in chart()["bands"]:
        low, high = by_rule(rules()["us-older-turkey-per-lb"], grams(band["weight_lb"], "lb"))
        assert (low + high) > 1.5 * sum(band["total"]), band.where


def test_turkey_school_rule_drops_at_its_own_border() -> None:
    """A rule in two rates need not join: 6.75 kg is 320 min by the lower and 240 min by the upper rule."""
    weight = (6750.0, 6750.0)
    assert by_rule(rules()["uk-turkey-school"], weight) == (320.0, 320.0)
    assert by_rule(rules()["uk-turkey-school-large"], weight) == (240.0, 240.0)


# 500 g and 1 lb printed as one


@pytest.mark.parametrize("rule", [row for row in chart()["rules"] if row["per"] == BOTH_AS_ONE], ids=lambda r: r["id"])
def test_500_g_and_1_lb_printed_as_one(rule: Node) -> None:
    weight, minutes, plus = (2000.0, 2000.0), tuple(rule["minutes"]), rule["plus"]
    metric = total_minutes(weight_g=weight, minutes=minutes, per_kg=0.5, plus=plus)
    pounds = total_minutes(weight_g=weight, minutes=minutes, per_kg=KG_PER_POUND, plus=plus)
    assert metric == (4 * minutes[0] + plus, 4 * minutes[1] + plus)
    # 2 kg is 4.409 lb: the part that grows with weight is 10.2 % longer by the pound, the fixed part is not.
    assert (pounds[0] - plus) / (metric[0] - plus) == pytest.approx(1.1023, abs=1e-4)
    assert total_minutes_either(weight_g=weight, minutes=minutes, per_kg=(0.5, KG_PER_POUND), plus=plus) == (
        metric[0],
        pounds[1],
    )


def test_either_does_not_depend_on_the_order() -> None:
    one = total_minutes_either(weight_g=(1800, 2200), minutes=(15, 20), per_kg=(0.5, KG_PER_POUND), plus=15)
    other = total_minutes_either(weight_g=(1800, 2200), minutes=(15, 20), per_kg=(KG_PER_POUND, 0.5), plus=15)
    assert one == other
    assert one[0] == pytest.approx(69.0)  # 3.6 x 15 + 15
    assert one[1] == pytest.approx(112.0, abs=0.1)  # 4.850 lb x 20 + 15


# By hand, and errors


@pytest.mark.parametrize(
    ("weight_g", "minutes", "per_kg", "plus", "expected"),
    [
        ((1800, 1800), (20, 20), 0.45, 20, (100, 100)),
        ((2250, 2700), (25, 30), 0.45, 25, (150, 205)),
        ((1500, 1500), (20, 20), 0.5, 20, (80, 80)),
        ((453.59237, 453.59237), (15, 15), KG_PER_POUND, 15, (30, 30)),
        ((250, 250), (40, 40), 1.0, 0, (10, 10)),
    ],
)
def test_worked_by_hand(
    weight_g: tuple[float, float],
    minutes: tuple[float, float],
    per_kg: float,
    plus: float,
    expected: tuple[float, float],
) -> None:
    assert total_minutes(weight_g=weight_g, minutes=minutes, per_kg=per_kg, plus=plus) == pytest.approx(expected)


GOOD: dict[str, object] = {"weight_g": (1800, 1800), "minutes": (20, 20), "per_kg": 0.45, "plus": 20}
NONSENSE = (0.0, -1.0, math.nan, math.inf, -math.inf)


@pytest.mark.parametrize(
    ("name", "value"),
    [
        *[(name, (bad, 20.0)) for name in ("weight_g", "minutes") for bad in NONSENSE],
        *[(name, (20.0, bad)) for name in ("weight_g", "minutes") for bad in NONSENSE],
        ("weight_g", (2000, 1800)),
        ("minutes", (25, 20)),
        *[("per_kg", bad) for bad in NONSENSE],
        *[("plus", bad) for bad in NONSENSE if bad != 0],
    ],
)
def test_nonsense_is_refused_by_name(name: str, value: object) -> None:
    with pytest.raises(RateError, match=f"^{name} "):
        total_minutes(**{**GOOD, name: value})  # type: ignore[arg-type]


def test_either_refuses_nonsense_in_both_places() -> None:
    for pair in ((0.0, 0.5), (0.5, math.nan)):
        with pytest.raises(RateError, match=r"^per_kg "):
            total_minutes_either(weight_g=(1800, 1800), minutes=(20, 20), per_kg=pair)


def test_total_beyond_all_numbers_is_refused() -> None:
    with pytest.raises(RateError, match="too large"):
        total_minutes(weight_g=(1e300, 1e300), minutes=(1e300, 1e300), per_kg=1.0)


def test_rate_error_is_a_value_error() -> None:
    assert issubclass(RateError, ValueError)


# Laws that hold for any rule

WEIGHTS = st.floats(100, 15_000)
RATES = st.floats(5, 60)
PLUS = st.floats(0, 120)


@given(weight=WEIGHTS, more=st.floats(1, 5_000), rate=RATES, plus=PLUS)
def test_heavier_takes_longer_by_the_same_rate(weight: float, more: float, rate: float, plus: float) -> None:
    def minutes(grams: float) -> float:
        return total_minutes(weight_g=(grams, grams), minutes=(rate, rate), per_kg=0.45, plus=plus)[0]

    assert minutes(weight + more) - minutes(weight) == pytest.approx(rate * more / 450, rel=1e-6, abs=1e-6)


@given(weight=WEIGHTS, rate=RATES, plus=PLUS)
def test_rate_by_the_pound_or_its_kilogram_is_the_same(weight: float, rate: float, plus: float) -> None:
    pound = total_minutes(weight_g=(weight, weight), minutes=(rate, rate), per_kg=KG_PER_POUND, plus=plus)
    metric_rate = rate / KG_PER_POUND
    kilogram = total_minutes(weight_g=(weight, weight), minutes=(metric_rate, metric_rate), per_kg=1.0, plus=plus)
    assert pound == pytest.approx(kilogram)


@given(weights=st.tuples(WEIGHTS, WEIGHTS), rates=st.tuples(RATES, RATES), plus=PLUS)
def test_range_stays_a_range(weights: tuple[float, float], rates: tuple[float, float], plus: float) -> None:
    low, high = total_minutes(
        weight_g=(min(weights), max(weights)), minutes=(min(rates), max(rates)), per_kg=0.5, plus=plus
    )
    assert plus < low <= high
