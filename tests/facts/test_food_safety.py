"""The limits of the safety pass against the published rows that they rest on.

``data/food_safety.yaml`` holds the rows as published, each with its source;
the figures of ``rules/safety_limits.yaml`` must be those, or stricter.
"""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
import yaml

from converter.data import DataError, parse
from converter.model import Document, Ingredient, Reading, Recipe, Span, Step
from converter.place.safety import cautions
from converter.place.safety_table import (
    AT_LEAST,
    AT_MOST,
    caution_texts,
    limits,
    parse_cautions,
    parse_limits,
    parse_words,
)

ROWS: dict[str, Any] = yaml.safe_load((Path(__file__).parent / "data" / "food_safety.yaml").read_text("utf-8"))["rows"]


def fahrenheit(row: str, key: str = "core_F") -> float:
    return float((ROWS[row]["values"][key] - 32) / 1.8)


# limit of the pass, row, figure in the unit of the limit
PUBLISHED: list[tuple[str, str, float]] = [
    ("poultry-core", "us-core-poultry", fahrenheit("us-core-poultry")),
    ("poultry-core", "us-core-ground-poultry", fahrenheit("us-core-ground-poultry")),
    ("mince-core", "us-core-ground-meat", fahrenheit("us-core-ground-meat")),
    ("whole-core", "us-core-steaks-roasts-chops", fahrenheit("us-core-steaks-roasts-chops")),
    ("whole-rest", "us-core-steaks-roasts-chops", ROWS["us-core-steaks-roasts-chops"]["values"]["rest_min"]),
    ("fish-core", "us-core-fish", fahrenheit("us-core-fish")),
    ("egg-core", "us-core-egg-dishes", fahrenheit("us-core-egg-dishes")),
    ("leftover-core", "us-core-leftovers", fahrenheit("us-core-leftovers")),
    ("leftover-core", "slow-no-reheat", fahrenheit("slow-no-reheat", "reheat_F")),
    ("stuffing-core", "us-core-stuffing", fahrenheit("us-core-stuffing")),
    ("stuffing-core", "stuffing-us", fahrenheit("stuffing-us")),
    ("stuffed-core", "us-foodcode-165", fahrenheit("us-foodcode-165")),
    ("uk-core", "uk-core-70", ROWS["uk-core-70"]["values"]["core_C"]),
    ("uk-hold", "uk-core-70", ROWS["uk-core-70"]["values"]["hold_s"] / 60),
    ("uk-core-75", "uk-core-75", ROWS["uk-core-75"]["values"]["core_C"]),
    ("uk-hold-75", "uk-core-75", ROWS["uk-core-75"]["values"]["hold_s"] / 60),
    ("uk-core-80", "uk-core-80", ROWS["uk-core-80"]["values"]["core_C"]),
    ("uk-hold-80", "uk-core-80", ROWS["uk-core-80"]["values"]["hold_s"] / 60),
    ("uk-core-65", "uk-core-ecoli-65", ROWS["uk-core-ecoli-65"]["values"]["core_C"]),
    ("uk-hold-65", "uk-core-ecoli-65", ROWS["uk-core-ecoli-65"]["values"]["hold_s"] / 60),
    ("uk-core-60", "uk-core-ecoli-60", ROWS["uk-core-ecoli-60"]["values"]["core_C"]),
    ("uk-hold-60", "uk-core-ecoli-60", ROWS["uk-core-ecoli-60"]["values"]["hold_s"] / 60),
    ("meat-oven", "us-min-oven", fahrenheit("us-min-oven", "oven_F")),
    ("roast-oven", "us-roast-oven-still-dry", (250 - 32) / 1.8),
    ("hot-hold", "uk-hot-hold-63", ROWS["uk-hot-hold-63"]["values"]["hold_C"]),
    ("hot-hold-us", "us-hot-hold", fahrenheit("us-hot-hold", "hold_F")),
    ("hot-hold-time", "uk-hot-hold-2h", ROWS["uk-hot-hold-2h"]["values"]["allow_h"]),
    ("room-time", "two-hour-rule", ROWS["two-hour-rule"]["values"]["room_h"]),
    ("cool-first-to", "us-cool-stage1", ROWS["us-cool-stage1"]["values"]["to_C"]),
    ("cool-first", "us-cool-stage1", ROWS["us-cool-stage1"]["values"]["within_h"]),
    ("cool-last-to", "us-cool-total", ROWS["us-cool-total"]["values"]["to_C"]),
    ("cool-all", "us-cool-total", ROWS["us-cool-total"]["values"]["within_h"]),
    ("rice-cool", "rice-cool", ROWS["rice-cool"]["values"]["cool_h"]),
    ("rice-keep", "rice-ni", ROWS["rice-ni"]["values"]["keep_h"]),
    ("bean-boil", "bean-boil-uk", ROWS["bean-boil-uk"]["values"]["boil_min"]),
    ("bean-boil", "bean-slow-cooker-au", ROWS["bean-slow-cooker-au"]["values"]["boil_min"]),
    ("bean-boil-us", "bean-boil-us", ROWS["bean-boil-us"]["values"]["boil_min"]),
    ("bean-soak", "bean-soak", ROWS["bean-soak"]["values"]["soak_h"]),
    ("burn-cool", "burn-cool-kent", ROWS["burn-cool-kent"]["values"]["cool_min"]),
]


@pytest.mark.parametrize(("limit", "row", "figure"), PUBLISHED)
def test_limit_is_the_published_figure(limit: str, row: str, figure: float) -> None:
    tolerance = 0.3 if limits()[limit].unit == "C" else 1e-9
    assert limits()[limit].value == pytest.approx(figure, abs=tolerance), ROWS[row]["title"]


def test_every_limit_rests_on_a_published_row_or_on_its_own_source() -> None:
    # The two that food_safety.yaml has no row for name their own source in rules/safety_limits.yaml.
    assert set(limits()) - {limit for limit, _, _ in PUBLISHED} == {"jerky-core", "frozen-longer"}


def test_the_row_of_the_oven_floor_says_250_fahrenheit() -> None:
    assert ROWS["us-roast-oven-still-dry"]["values"]["roast_4_5kg_or_more"].startswith("250 F")


def test_full_boil_of_the_beans_is_the_published_one() -> None:
    assert ROWS["bean-boil-uk"]["values"]["at_C"] == ROWS["bean-boil-us"]["values"]["at_C"] == 100


def test_fat_advice_is_the_published_third() -> None:
    assert ROWS["fat-third-kent"]["values"]["max_fill"] == 0.33
    assert "a third full" in caution_texts()["deep-fat"].why


@pytest.mark.parametrize(("name", "words"), [
    ("poultry-core", ["74 °C/165 °F", "FoodSafety.gov", "Food Standards Agency"]),
    ("mince-core", ["71 °C/160 °F", "FoodSafety.gov"]),
    ("core-below-choice", ["63 °C/145 °F", "3 minutes", "FoodSafety.gov"]),
    ("slow-joint", ["121 °C/250 °F", "Food Code 3-401.11(B)"]),
    ("kept-warm", ["63 °C/145 °F", "57 °C/135 °F", "2 hours", "legislation.gov.uk"]),
    ("slow-cooling", ["21 °C/70 °F", "5 °C/41 °F", "6 hours", "Food Code"]),
    ("rice-left", ["1 hour,", "24 hours", "Food Standards Agency"]),
    ("kidney-beans", ["10 minutes", "30 minutes", "Bad Bug Book"]),
    ("stuffing-core", ["74 °C/165 °F", "FoodSafety.gov"]),
])  # fmt: skip
def test_caution_carries_limit_and_source(name: str, words: list[str]) -> None:
    texts = caution_texts()[name]
    whole = " ".join((texts.message, texts.why, *texts.choices, texts.source))
    assert [word for word in words if word not in whole] == []


CORES = [
    ("us-core-poultry", "chicken thighs", "poultry-core"),
    ("us-core-ground-meat", "minced beef", "mince-core"),
    ("us-core-ground-poultry", "minced turkey", "mince-core"),
    ("us-core-steaks-roasts-chops", "pork loin", "pork-core"),
]


def names_at(food: str, core_f: int) -> set[str]:
    lines = [food, f"Cook until the internal temperature reaches {core_f} °F."]
    text = "\n".join(lines)
    start = len(food) + 1
    recipe = Recipe(
        Document("case.txt", text, text),
        "Supper",
        (Ingredient(Span(0, len(food)), food, food),),
        (Step(1, Span(start, len(text)), lines[1]),),
    )
    return {flag.name for flag in cautions(Reading(recipe, (), (), ()), ())}


@pytest.mark.parametrize(("row", "food", "name"), CORES)
def test_published_core_is_enough_and_five_degrees_less_is_not(row: str, food: str, name: str) -> None:
    core_f = ROWS[row]["values"]["core_F"]
    assert names_at(food, core_f) == set()
    assert names_at(food, core_f - 5) == {"core-below-advised"}
    assert names_at(food, 350) == {name}


SHAPE = "sources:\n  a: {publisher: p, title: t, year: '1', url: 'https://x.example', status: sourced}\nlimits:\n"
FIGURES = {**AT_LEAST, **AT_MOST}


def table(**changed: str) -> str:
    rows = {key: f"{{value: {value}, unit: C, source: a}}" for key, value in FIGURES.items()}
    rows.update({key.replace("_", "-"): value for key, value in changed.items()})
    return SHAPE + "".join(f"  {key}: {row}\n" for key, row in rows.items())


def test_table_of_limits_loads_with_the_published_figures() -> None:
    made, sources = parse_limits(parse(table(), "t.yaml"), "t.yaml")
    assert made["poultry-core"].value == AT_LEAST["poultry-core"]
    assert sources == {"a": "p: t"}


@pytest.mark.parametrize(("change", "said"), [
    ({"poultry_core": "{value: 60, unit: C, source: a}"}, "laxer than the published figure"),
    ({"room_time": "{value: 6, unit: h, source: a}"}, "laxer than the published figure"),
    ({"bean_boil": "{value: ten, unit: min, source: a}"}, "must be a number"),
    ({"bean_boil": "{value: 10, unit: ages, source: a}"}, "unknown unit 'ages'"),
    ({"bean_boil": "{value: 10, unit: min, source: b}"}, "unknown source 'b'"),
    ({"bean_boil": "{value: 10, unit: min}"}, "the key 'source' is missing"),
    ({"bean_boil": "{value: 10, unit: min, source: a, skip: true}"}, "unknown key 'skip'"),
    ({"new_limit": "{value: 1, unit: C, source: a}"}, "unknown key 'new-limit'"),
])  # fmt: skip
def test_broken_table_of_limits_is_refused_with_its_place(change: dict[str, str], said: str) -> None:
    with pytest.raises(DataError, match=r"^t\.yaml:\d+: ") as error:
        parse_limits(parse(table(**change), "t.yaml"), "t.yaml")
    assert said in str(error.value)


def test_caution_that_is_taken_out_stops_the_load() -> None:
    with pytest.raises(DataError, match="the key 'poultry-core' is missing"):
        parse_cautions(parse("cautions: {}", "c.yaml"), {}, {}, "c.yaml")


@pytest.mark.parametrize(
    "text", ["words: {a: []}", "words: {a: [Upper]}", "words: []", "word: {a: [b]}", "words: {a b: [c]}"]
)
def test_broken_word_list_is_refused(text: str) -> None:
    with pytest.raises(DataError):
        parse_words(parse(text, "w.yaml"), "w.yaml")
