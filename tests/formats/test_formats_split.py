"""Several recipes in one text: where each begins, what its title is, and what is no cut."""

from __future__ import annotations

import papers
import pytest

from converter.formats import read_bytes
from converter.formats.lift import lift
from converter.formats.split import split
from converter.read.lines import layout
from converter.read.text import document

SECOND = (
    "Oat Loaf", ["300 g oats", "2 eggs", "1 tsp salt"], ["Mix all of it in a bowl.", "Bake at 170°C for 40 minutes."],
)  # fmt: skip
THREE = [(papers.TITLE, papers.GOODS, papers.STEPS), papers.OTHER, SECOND]


def card(recipe: tuple[str, list[str], list[str]], form: str) -> str:
    title, goods, steps = recipe
    numbered = [f"{number}. {step}" for number, step in enumerate(steps, 1)]
    starred = [f"* {item}" for item in goods]
    forms = {
        "headed": [title, "", "Ingredients", "", *(f"- {item}" for item in goods), "", "Method", "", *numbered],
        "tight": [title.upper(), "Serves 4", "INGREDIENTS", *goods, "METHOD", *steps],
        "bare": [title, "", *goods, "", "\n\n".join(steps)],
        "label": [f"Title: {title}", "", *goods, "", *steps],
        "marked": [f"## {title}", "", "### Ingredients", "", *starred, "", "### Method", "", *numbered],
        "told": [title, "", "Nice to have on a cold night.", "", "Ingredients", *goods, "", "Method", *steps],
    }  # fmt: skip
    return "\n".join(forms[form])


def parts(text: str) -> tuple[list[str], list[str]]:
    recipe = layout(document(text, name="it"))
    return [row.text for row in recipe.ingredients], [step.text for step in recipe.steps]


@pytest.mark.parametrize(
    ("form", "between"),
    [("headed", "\n\n\n"), ("headed", "\n\n"), ("tight", "\n\n"), ("tight", "\n"), ("bare", "\n\n\n"),
     ("bare", "\n\n"), ("bare", "\n\n-------------\n\n"), ("bare", "\n\n* * *\n\n"), ("bare", "\n\f"),
     ("label", "\n\n"), ("marked", "\n\n"), ("told", "\n\n\n"), ("told", "\n\n")],
)  # fmt: skip
@pytest.mark.parametrize("front", ["", "The kitchen book\n\n\n"])
def test_three_recipes_are_three(form: str, between: str, front: str) -> None:
    if front and (form, between) in (("bare", "\n\n"), ("bare", "\n\f")):
        pytest.skip("a title of the book right over a card without headings cannot be told from a recipe's")
    text = front + between.join(card(recipe, form) for recipe in THREE) + "\n"
    found, warnings = split(text)
    assert [title.lower() if title else None for title, _ in found] == [recipe[0].lower() for recipe in THREE]
    assert [parts(body) for _, body in found] == [recipe[1:] for recipe in THREE]
    assert warnings == []


@pytest.mark.parametrize(
    "text",
    [
        card(THREE[0], "headed"),
        # Two lists in one recipe.
        "Pie\n\nIngredients for the base\n100 g oats\n50 g butter\n\nIngredients for the filling\n2 eggs\n"
        "300 ml milk\n\nMethod\n1. Bake the base for 10 minutes.\n2. Pour in the filling and bake for 30 minutes.\n",
        # Parts with their own list and method.
        "Pie\n\nFor the base\n\nIngredients\n100 g oats\n50 g butter\n\nMethod\n1. Bake the base for 10 minutes.\n\n"
        "For the filling\n\nIngredients\n2 eggs\n300 ml milk\n\nMethod\n1. Whisk both.\n2. Bake for 30 minutes.\n",
        # Rules between the parts of one recipe.
        "Pie\n-----\n\n100 g oats\n50 g butter\n\n-----\n\n1. Bake for 10 minutes.\n2. Serve.\n\n-----\n\n"
        "Notes\n\nGood cold.\n",
        # Headings of the first level for the sections.
        "# Pie\n\n# Ingredients\n\n- 100 g oats\n- 50 g butter\n\n# Method\n\n1. Bake for 10 minutes.\n\n"
        "# Notes\n\nGood cold.\n",
    ],
)
def test_one_recipe_stays_one(text: str) -> None:
    found, _ = split(text)
    assert len(found) == 1
    assert found[0][1] == text


def test_a_title_that_goes_on_in_the_next_line_is_one_title() -> None:
    long = card(("Barley and Leeks with a Crust of Cheese and\nBreadcrumbs", *THREE[0][1:]), "headed")
    found, _ = split(long + "\n\n\n" + card(THREE[1], "headed") + "\n")
    assert found[0][0] == "Barley and Leeks with a Crust of Cheese and Breadcrumbs"


def test_nothing_with_steps_is_lost_before_the_first_cut() -> None:
    bare = "Milk Pot\n\nmilk\nhoney\n\nWarm the milk in a pan.\n\nStir in the honey.\n\nSimmer for 5 minutes."
    text = bare + "\n\n\n" + "\n\n\n".join(card(recipe, "bare") for recipe in THREE)
    assert "Warm the milk" in "".join(body for _, body in split(text)[0])


def test_headings_and_lists_that_disagree_are_told() -> None:
    lines = "\n\n".join(card(recipe, "headed") for recipe in THREE).split("\n")
    heads = {at: 1 for at, line in enumerate(lines) if line in (THREE[0][0], THREE[1][0])}
    found, warnings = split("\n".join(lines), heads=heads)
    assert len(found) == 3
    assert warnings == ["its headings part it into 2 recipes, its lists of ingredients into 3; please check"]


def test_lift_keeps_title_and_notes_and_drops_what_stands_around() -> None:
    text = "Hello,\n\n" + card(THREE[0], "headed") + "\n\nNotes\n\nGood cold as well.\n\nSee you soon\n\nM\n"
    made = lift(text)
    assert made.startswith(papers.TITLE)
    assert "Good cold as well." in made
    assert "See you" not in made


def test_front_matter_is_told_in_lines() -> None:
    front = f"---\ntitle: {papers.TITLE}\nservings: 4\ncook_time: 25 minutes\ntags: [leek]\n---\n\n"
    text = front + card(THREE[0], "marked")
    found = read_bytes(text.encode(), "a.md").recipes
    assert "tags" not in found[0][1]
    assert "Serves: 4" in found[0][1]
    assert layout(document(found[0][1], name="it")).servings == "4"


def test_signs_misread_by_a_machine_are_mended_where_one_reading_is_possible() -> None:
    text = "Pie\n\nIngredients\nV2 cup milk\n1V4 cups oats\n\nMethod\n"
    text += "1. Heat to 35O°F.\n2. Bake at 325*F for l0 rninutes.\n"
    found = read_bytes(text.encode(), "a.txt")
    goods, steps = parts(found.recipes[0][1])
    assert goods == ["½ cup milk", "1¼ cups oats"]
    assert steps == ["Heat to 350°F.", "Bake at 325°F for 10 minutes."]
    assert "6 signs were put right" in found.warnings[0]
    sound = "Pie\n\nIngredients\n1 V2A steel tin\n2 eggs\n\nMethod\n1. Bake with 5 * F of cheese for 10 minutes.\n"
    assert read_bytes(sound.encode(), "a.txt").warnings == ()
