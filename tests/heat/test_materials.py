"""The table of foods: figures typed again from their sources, ranges, consistency, and what the loader refuses."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from converter import data, heat
from converter.heat.materials import LIMITS, PROPERTIES, load

TYPED: dict[str, Any] = yaml.safe_load((Path(__file__).parent / "data/properties.yaml").read_text("utf-8"))
NAMES = tuple(heat.materials())
SCALE = {"alpha_mm2_s": 1e6, "cp_j_kgk": 1.0, "k_w_mk": 1.0}


def test_the_classes_that_the_model_is_for_are_there() -> None:
    wanted = "red-meat poultry mince fish pieces potato root foil-vegetable cake bread egg-custard"
    assert set(wanted.split()) <= set(NAMES)


@pytest.mark.parametrize("name", NAMES)
def test_every_value_lies_in_its_range_and_says_where_it_is_from(name: str) -> None:
    food = heat.material(name)
    assert set(PROPERTIES) <= set(food.behind)
    for key, value in food.behind.items():
        assert value.low <= value.value <= value.high, key
        assert value.low < value.high, f"{key}: a range of no width"
        if value.status in ("sourced", "computed"):
            assert value.source, key


@pytest.mark.parametrize("name", NAMES)
def test_diffusivity_is_what_the_other_three_give(name: str) -> None:
    """alpha = k / (rho cp): the four figures come from different tables and must not contradict one another."""
    food = heat.material(name)
    assert food.k_w_mk / (food.density_kg_m3 * food.cp_j_kgk) == pytest.approx(food.alpha_m2_s, rel=0.06)


@pytest.mark.parametrize("row", TYPED["properties"], ids=lambda row: f"{row['food']} {row['key']}")
def test_published_figures_lie_in_the_range_of_their_class(row: dict[str, Any]) -> None:
    value = heat.material(row["class"]).behind[row["key"]]
    for figure in row["figures"]:
        assert value.low <= figure <= value.high
    if row.get("used"):
        assert value.value == pytest.approx(sum(row["figures"]) / len(row["figures"]), rel=row["used"])


@pytest.mark.parametrize("row", TYPED["end_points"], ids=lambda row: f"{row['class']} {row['point']}")
def test_end_points_against_their_sources(row: dict[str, Any]) -> None:
    """Printed °F brought to °C; quality figures are ranges and ours lies in them."""
    low_c, high_c = ((figure - 32.0) / 1.8 for figure in row["fahrenheit"])
    ours = heat.material(row["class"]).end_point_c(row["point"])
    assert low_c - 0.5 <= ours <= high_c + 0.5


@pytest.mark.parametrize("row", TYPED["safety"], ids=lambda row: f"{row['class']} {row['point']}")
def test_safe_cores_are_those_of_the_source(row: dict[str, Any]) -> None:
    ours = heat.material(row["class"]).end_point_c(row["point"])
    assert ours == pytest.approx((row["fahrenheit"] - 32.0) / 1.8, abs=0.25)
    assert heat.material(row["class"]).behind[f"core_c.{row['point']}"].low >= ours, (
        "its range goes below the safe core"
    )


@pytest.mark.parametrize("name", ["poultry", "mince", "fish", "pieces"])
def test_the_usual_end_point_is_the_safe_one(name: str) -> None:
    food = heat.material(name)
    assert food.end_point_c() == max(food.core_c.values())


def test_components_give_the_conductivity_of_lean_meat() -> None:
    """k by parallel mixing of the component equations at 60 °C, written out again; composition from memory."""
    at = 60.0
    k = {
        "water": 0.57109 + 0.0017625 * at - 6.7036e-6 * at**2,
        "protein": 0.17881 + 0.0011958 * at - 2.7178e-6 * at**2,
        "fat": 0.18071 - 0.00027604 * at - 1.7749e-7 * at**2,
    }
    density = {"water": 997.18 + 0.0031439 * at - 0.0037574 * at**2, "protein": 1329.9 - 0.5184 * at}
    density["fat"] = 925.59 - 0.41757 * at
    share = {"water": 0.7411, "protein": 0.2056, "fat": 0.0451}  # leg of lamb
    volume = {part: share[part] / density[part] for part in share}
    mixed = sum(k[part] * volume[part] for part in share) / sum(volume.values())
    assert mixed == pytest.approx(0.5587, rel=0.02)
    value = heat.material("red-meat").behind["k_w_mk"]
    assert value.low <= mixed <= value.high


def test_an_unknown_class_and_an_unknown_end_point_are_refused() -> None:
    with pytest.raises(heat.HeatError, match="no class of food is named 'pizza'"):
        heat.material("pizza")
    with pytest.raises(heat.HeatError, match="no end point 'rare'; it has safe"):
        heat.material("poultry").end_point_c("rare")


TABLE = """
sources: {book: A book}
classes:
  food:
    summary: a food
    shape: slab
    cover: none
    density_kg_m3: {is: 1000, range: [900, 1100], status: assumed}
    cp_j_kgk: {is: 3500, range: [3000, 4000], status: assumed}
    k_w_mk: {is: 0.5, range: [0.4, 0.6], status: sourced, source: book}
    alpha_mm2_s: {is: 0.14, range: [0.12, 0.16], status: assumed}
    wetness: {is: 0.1, range: [0, 0.3], status: assumed}
    start_c: {is: 5, range: [2, 20], status: assumed}
    core_c:
      done: {is: 60, range: [55, 65], status: assumed}
    usual: done
"""


def test_the_small_table_of_these_tests_loads() -> None:
    (food,) = load(data.parse(TABLE, "table.yaml")).values()
    assert (food.shape, food.k_w_mk, food.alpha_m2_s) == ("slab", 0.5, pytest.approx(1.4e-7))
    assert food.body(0.03).half_m == 0.03
    assert food.behind["k_w_mk"].source == "book"


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("is: 0.5, range: [0.4, 0.6]", "is: 0.7, range: [0.4, 0.6]", "table.yaml:10: 0.7 lies outside its own range"),
        ("is: 0.5, range: [0.4, 0.6]", "is: 65.0, range: [40, 80]", "goes beyond any food"),
        ("status: sourced, source: book", "status: sourced", "table.yaml:10: a value that is sourced needs a source"),
        ("source: book}", "source: page}", "unknown source 'page'"),
        ("status: sourced,", "status: certain,", "unknown status 'certain'"),
        ("    wetness: {is: 0.1", "    dampness: {is: 0.1", "table.yaml:12: unknown key 'dampness'"),
        ("shape: slab", "shape: cube", "table.yaml:6: shape must be one of slab, cylinder, sphere"),
        ("usual: done", "usual: cooked", "usual must be one of done"),
        ("{is: 60, range", "{is: sixty, range", "expected a number, found 'sixty'"),
        ("range: [55, 65]", "range: 55-65", "range must be"),
        ("    start_c: {is: 5, range: [2, 20], status: assumed}\n", "", "the key 'start_c' is missing"),
        ("sources: {book: A book}", "sources: {}", "sources must be a mapping"),
    ],
)
def test_a_wrong_table_is_refused_with_its_line(old: str, new: str, says: str) -> None:
    assert old in TABLE
    with pytest.raises(data.DataError) as caught:
        load(data.parse(TABLE.replace(old, new), "table.yaml"))
    assert says in str(caught.value)


def test_limits_are_wide_enough_for_the_table_and_no_wider_than_food() -> None:
    for key, (low, high) in LIMITS.items():
        assert low < high, key
    assert LIMITS["k_w_mk"][1] < 1.0, "a metal would pass for food"
