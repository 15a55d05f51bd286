"""The plain-text form."""

from __future__ import annotations

import re

import pytest
from builder import Page, bare, messy_results, recipe_of, result_of, sunday_pie
from hypothesis import HealthCheck, given, settings

from converter.model import Document, Ingredient, Recipe, Result
from converter.write.forms import render
from converter.write.parts import (
    LONGEST_QUOTE,
    as_given,
    ingredient_parts,
    minute_words,
    number_words,
    quoted,
    source_names,
)
from converter.write.plain import _UNIT, COLUMNS, wrapped


def test_the_parts_stand_in_their_order() -> None:
    words = render(sunday_pie(), "text")
    marks = [
        "Hen and Leek Pie for a Wet Sunday\n====", "\nCooker: ", "\nZones: ", "\nTimers (", "\nLid up: ",
        "\nHave ready: ", "\nOur own times: ", "\nAs the recipe gives it: ",
        "\nIngredients\n-----------\nFor the filling\n- 600 g",
        "\nMethod\n------\nFilling\n1. Melt", "\nLid\n4. Nothing", "\nNotes of the recipe\n",
        "\nLines for your judgement\n", "\nCautions\n", "\nNotes\n", "\nPlates, lids and doors",
    ]  # fmt: skip
    places = [words.index(mark) for mark in marks]
    assert places == sorted(places)


def test_later_lines_hang_under_the_first() -> None:
    steps = tuple((None, f"Stir pot {number} " + "gently and slowly " * 6) for number in range(1, 13))
    words = render(result_of(recipe_of(steps=steps)), "text")
    assert "\n1.  Stir pot 1 gently" in words
    assert "\n12. Stir pot 12 gently" in words
    method = words.split("\nMethod\n------\n")[1].split("\n\n")[0].split("\n")
    assert len(method) == 24  # each step takes two lines
    assert all(line.startswith("    ") and line[4] != " " for line in method[1::2])


def test_a_figure_keeps_its_unit() -> None:
    for lead in range(60, COLUMNS):
        lines = wrapped("x" * lead + " to 74 °C for 20 minutes and 1½ hours at most").split("\n")
        assert not any(line.endswith(("74", "20", "1½")) for line in lines)


def test_a_long_word_stays_whole() -> None:
    word = "https://a.example/" + "x" * 90
    assert word in render(result_of(recipe_of(steps=((None, f"See {word} first."),))), "text")


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(messy_results())
def test_any_text_is_there_within_the_columns(result: Result) -> None:
    words = render(result, "text")
    for line in words.split("\n"):
        body = re.sub(r"^(?:- |\d+\. +| +)", "", line)
        assert len(line) <= COLUMNS or " " not in _UNIT.sub("", body)  # only a word that cannot be broken is longer
        assert "\x1f" not in line
    whole = "".join(words.split())
    for text in [item.text for item in result.reading.recipe.ingredients] + [step.rewritten for step in result.steps]:
        assert "".join(text.split()) in whole
    assert bare("Our own times: none") in whole


@pytest.mark.parametrize(
    ("minutes", "words"),
    [
        ((8, 12), "8–12 min"), ((0, 0), "0 min"), ((5, 5), "5 min"), ((50, 65), "50–65 min"), ((57, 86), "57–86 min"),
        ((60, 90), "1–1½ h"), ((165, 210), "2¾–3½ h"), ((45, 75), "¾–1¼ h"), ((2.5, 4), "2½–4 min"),
        ((120, 120), "2 h"),
    ],
)  # fmt: skip
def test_minutes_in_words(minutes: tuple[float, float], words: str) -> None:
    assert minute_words(minutes) == words


@pytest.mark.parametrize(
    ("value", "words"), [(3, "3"), (0, "0"), (0.5, "½"), (1.75, "1¾"), (2.3, "2.3"), (12.04, "12"), (90.0, "90")]
)
def test_numbers_in_words(value: float, words: str) -> None:
    assert number_words(value) == words


def parts_of(*blocks: tuple[str, str]) -> list[tuple[str | None, list[str]]]:
    page = Page()
    layout = tuple((kind, page.add(words)) for kind, words in blocks)
    found = tuple(
        Ingredient(span, page.text[span.start : span.end], "") for kind, span in layout if kind == "ingredient"
    )
    recipe = Recipe(Document("x", page.text, page.text), "Cake", ingredients=found, layout=layout)
    return [(name, [item.text for item in items]) for name, items in ingredient_parts(recipe)]


def test_parts_of_the_ingredients_follow_the_headings() -> None:
    one, two = ("ingredient", "200 g flour"), ("ingredient", "1 lemon")
    head, cake, icing = ("heading", "Ingredients:"), ("heading", "For the cake:"), ("heading", "## Icing")
    method, step = ("heading", "Method"), ("step", "Bake.")
    both = [("For the cake", ["200 g flour"]), ("Icing", ["1 lemon"])]
    assert parts_of(head, cake, one, icing, two, method, step) == both
    assert parts_of(cake, one, icing, two, method, step) == both
    assert parts_of(cake, head, one, method, step, icing, head, two, method, step) == both
    assert parts_of(head, one, icing, two, method, step) == [(None, ["200 g flour"]), ("Icing", ["1 lemon"])]
    assert parts_of(head, cake, one, method, step, head, two) == [
        ("For the cake", ["200 g flour"]),
        (None, ["1 lemon"]),
    ]


def test_a_plain_list_has_no_parts() -> None:
    one, two = ("ingredient", "200 g flour"), ("ingredient", "1 lemon")
    whole = [(None, ["200 g flour", "1 lemon"])]
    assert parts_of(("heading", "Ingredients"), one, two, ("heading", "Method")) == whole
    assert parts_of(("heading", "What goes in"), one, two, ("heading", "Method")) == whole
    assert parts_of(one, two) == whole
    assert parts_of() == []


def test_bare_figures_of_the_recipe_get_a_word() -> None:
    recipe = recipe_of(servings="4", stated_times=("20 minutes", "Prep: 1 hour"))
    assert as_given(recipe) == ("serves 4", "time 20 minutes", "Prep: 1 hour")
    assert as_given(recipe_of(servings="Makes 12", stated_times=())) == ("Makes 12",)


def test_the_lists_name_who_published_a_figure() -> None:
    assert source_names("Office A (UK): Cooking your food (times); Office B: A Chart, 2024; Office B: More") == (
        "Office A (UK); Office B"
    )


def test_a_long_quote_loses_its_middle() -> None:
    words = "Stir " + "and stir again " * 40 + "until done"
    short = quoted(words)
    assert len(short) <= LONGEST_QUOTE + 3
    assert short.startswith("Stir and stir again")
    assert short.endswith("until done")
    assert " … " in short
    assert quoted("at 180°C") == "at 180°C"
