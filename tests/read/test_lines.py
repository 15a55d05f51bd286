"""A recipe by its parts: title, header, ingredients, method, notes."""

from __future__ import annotations

import contextlib
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from converter.model import Recipe
from converter.read.lines import NoMethod, layout
from converter.read.text import NotReadable, document

KINDS = {"title", "intro", "heading", "ingredient", "step", "note", "meta"}


def recipe(source: str) -> Recipe:
    made = layout(document(source, name="card"))
    check(made)
    return made


def check(made: Recipe) -> None:
    text = made.document.text
    at = 0
    for kind, span in made.layout:
        assert kind in KINDS
        assert at <= span.start < span.end <= len(text)
        at = span.end
    assert [step.number for step in made.steps] == list(range(1, len(made.steps) + 1))
    for thing in (*made.steps, *made.ingredients):
        assert text[thing.span.start : thing.span.end] == thing.text
        assert thing.text == thing.text.strip() != ""
    spans = dict.fromkeys(KINDS, ())
    for kind in KINDS:
        spans[kind] = tuple(span for named, span in made.layout if named == kind)
    assert spans["step"] == tuple(step.span for step in made.steps)
    assert spans["ingredient"] == tuple(item.span for item in made.ingredients)
    assert spans["note"] == made.notes


def steps(source: str) -> list[str]:
    return [step.text for step in recipe(source).steps]


def items(source: str) -> list[str]:
    return [item.text for item in recipe(source).ingredients]


def notes(made: Recipe) -> list[str]:
    return [made.document.text[span.start : span.end] for span in made.notes]


HEAD = "Oat bars\n\nIngredients\n\n- 100 g oats\n\n"


def test_the_usual_card() -> None:
    made = recipe(
        "Oat bars\n\nServes: 8\nTime: 40 minutes\n\nIngredients\n\n- 100 g oats\n- 50 g butter\n\n"
        "Method\n\n1. Melt the butter.\n2. Bake.\n"
    )
    assert (made.title, made.servings, made.stated_times) == ("Oat bars", "8", ("40 minutes",))
    assert [item.text for item in made.ingredients] == ["100 g oats", "50 g butter"]
    assert [item.name for item in made.ingredients] == ["100 g oats", "50 g butter"]
    assert [step.text for step in made.steps] == ["Melt the butter.", "Bake."]
    assert [kind for kind, _ in made.layout] == [
        "title", "meta", "meta", "heading", "ingredient", "ingredient", "heading", "step", "step",
    ]  # fmt: skip


@pytest.mark.parametrize(
    "heading",
    ["Method", "METHOD:", "## Directions", "**Instructions**", "Preparation", "To make", "How to make it", "Procedure:",
     "__Method__", "Method\n------", "### What to do", "Steps:", "Directions (serves 4)", "How to cook"],
)  # fmt: skip
def test_headings_of_the_method(heading: str) -> None:
    made = recipe(f"{HEAD}{heading}\n\nMelt the butter.\n\nBake for 20 minutes.\n")
    assert [step.text for step in made.steps] == ["Melt the butter.", "Bake for 20 minutes."]
    assert len(made.ingredients) == 1
    assert "Method" not in made.steps[0].text


@pytest.mark.parametrize(
    "heading",
    ["Ingredients", "INGREDIENTS:", "# Ingredients", "You will need", "What you need:", "You'll need", "You’ll need:",
     "**Ingredients:**", "Shopping list", "Ingredients (for 4)", "Ingredients for the bars"],
)  # fmt: skip
def test_headings_of_the_ingredients(heading: str) -> None:
    assert items(f"Bars\n\n{heading}\noats\nbutter\n\nMethod\nBake.\n") == ["oats", "butter"]


@pytest.mark.parametrize(
    "marks",
    [("1. ", "2. "), ("1) ", "2) "), ("(1) ", "(2) "), ("Step 1: ", "Step 2: "), ("STEP ONE - ",
     "STEP TWO - "), ("1.", "2."),
     ("- ", "- "), ("* ", "* "), ("• ", "• "), ("1 ", "2 "), ("1\n", "2\n"), ("Step 1\n", "Step 2\n"),
     ("**1.** ", "**2.** "),
     ("1️⃣ ", "2️⃣ "), ("1. ", "1. "), ("", "")],
)  # fmt: skip
def test_marks_of_steps(marks: tuple[str, str]) -> None:
    assert steps(f"{HEAD}Method\n\n{marks[0]}Melt the butter.\n{marks[1]}Bake the bars.\n") == [
        "Melt the butter.",
        "Bake the bars.",
    ]


@pytest.mark.parametrize("bullet", ["- ", "* ", "•", "– ", "- [ ] ", "▢ ", "· ", "-"])
def test_bullets_of_ingredients(bullet: str) -> None:
    assert items(f"Bars\n\nIngredients\n\n{bullet}½ cup oats\n{bullet}salt\n\nMethod\nBake.\n") == [
        "½ cup oats",
        "salt",
    ]


def test_a_line_below_a_numbered_item_is_not_a_step() -> None:
    assert steps(f"{HEAD}Method\n1. Melt the butter.\nDo not let it brown.\n   - stir it\n2. Bake.\n") == [
        "Melt the butter.\nDo not let it brown.\n   - stir it",
        "Bake.",
    ]


def test_a_break_inside_an_item_is_not_a_step() -> None:
    assert steps(f"{HEAD}Method\n1. Melt the butter.<br>Stir in the oats.\n2. Bake.\n") == [
        "Melt the butter.\nStir in the oats.",
        "Bake.",
    ]


def test_a_paragraph_between_numbers_belongs_to_the_item_above_and_one_after_them_is_a_note() -> None:
    made = recipe(f"{HEAD}Method\n\n1. Melt.\n\nLet it cool.\n\n2. Bake.\n\nThe bars keep for a week.\n")
    assert [step.text for step in made.steps] == ["Melt.\n\nLet it cool.", "Bake."]
    assert notes(made) == ["The bars keep for a week."]


def test_an_instruction_above_the_first_number_is_read() -> None:
    assert steps(f"{HEAD}Method\nPreheat the oven to 180C.\n\n1. Melt.\n2. Bake.\n") == [
        "Preheat the oven to 180C.",
        "Melt.",
        "Bake.",
    ]


def test_parts_are_headings_and_name_their_steps() -> None:
    made = recipe(
        "Crumble\n\nIngredients\nFor the filling:\n4 apples\nTopping\n100 g flour\n\nMethod\n\nFor the filling:\n"
        "1. Stew the apples.\n\n### Topping\n1. Rub in the butter.\n2. Bake.\n\nTo serve\n1. Pour cream over.\n"
    )
    assert [(step.part, step.text) for step in made.steps] == [
        ("For the filling", "Stew the apples."),
        ("Topping", "Rub in the butter."),
        ("Topping", "Bake."),
        ("To serve", "Pour cream over."),
    ]
    assert [item.text for item in made.ingredients] == ["4 apples", "100 g flour"]


def test_notes_after_the_method_are_kept() -> None:
    made = recipe(f"{HEAD}Method\n1. Bake.\n\nNotes\n\n1. Reheat for 10 minutes.\n- Freeze.\n\nTip: use fresh oats.\n")
    assert [step.text for step in made.steps] == ["Bake."]
    assert notes(made) == ["Reheat for 10 minutes.", "Freeze.", "Tip: use fresh oats."]


def test_a_tip_in_the_middle_does_not_end_the_method() -> None:
    made = recipe(f"{HEAD}Method\n1. Melt.\n\nTip: watch it.\n\n2. Bake.\n")
    assert [step.text for step in made.steps] == ["Melt.", "Bake."]
    assert notes(made) == ["Tip: watch it."]


def test_no_headings_at_all() -> None:
    made = recipe("Scones\n\n8 oz flour\n2 oz butter\na pinch of salt\nmilk\n\nRub in the butter.\n\nBake at 220C.\n")
    assert [item.text for item in made.ingredients] == ["8 oz flour", "2 oz butter", "a pinch of salt", "milk"]
    assert [step.text for step in made.steps] == ["Rub in the butter.", "Bake at 220C."]
    assert made.title == "Scones"


def test_method_before_the_ingredients() -> None:
    made = recipe("# Soup\n\n## Method\n1. Fry the onion.\n2. Simmer.\n\n## Ingredients\n- 1 onion\n- stock\n")
    assert [step.text for step in made.steps] == ["Fry the onion.", "Simmer."]
    assert [item.text for item in made.ingredients] == ["1 onion", "stock"]


@pytest.mark.parametrize(
    ("source", "title"),
    [
        ("Boil the beans for ten minutes, then simmer for an hour.", ""),
        ("Baked apples\n\nCore 4 apples, fill with sultanas and bake in a moderate oven for 40 minutes.",
        "Baked apples"),
        ("Seed cake\nTake a pound of flour, six eggs and some seeds. Beat well and bake an hour and a half.",
        "Seed cake"),
    ],
)  # fmt: skip
def test_one_paragraph_is_a_method(source: str, title: str) -> None:
    made = recipe(source)
    assert (made.title, len(made.steps), made.ingredients) == (title, 1, ())


def test_everything_on_one_line() -> None:
    made = recipe(
        "Bars. Ingredients: 100 g oats (rolled, not cut), 50 g butter. Method: Melt the butter and bake at 180C."
    )
    assert [item.text for item in made.ingredients] == ["100 g oats (rolled, not cut)", "50 g butter."]
    assert [step.text for step in made.steps] == ["Melt the butter and bake at 180C."]


def test_an_introduction_is_no_step() -> None:
    made = recipe(
        "Dal\n\nPrep time: 10 minutes\nReady in 40 minutes\nMakes about 2 litres\n\nWe bake bread and boil this every "
        "week in winter.\n\nIngredients\n200 g lentils\n\nMethod\nBoil the lentils.\n"
    )
    assert [step.text for step in made.steps] == ["Boil the lentils."]
    assert made.servings == "about 2 litres"
    assert made.stated_times == ("Prep time: 10 minutes", "Ready in 40 minutes")


def test_front_matter() -> None:
    made = recipe(
        "---\ntitle: Pea soup\nservings: 4\ncook_time: 20 min\ntags: [a, b]\n---\n\nBoil the peas.\n\nServe.\n"
    )
    assert (made.title, made.servings, made.stated_times) == ("Pea soup", "4", ("20 min",))
    assert [step.text for step in made.steps] == ["Boil the peas.", "Serve."]


@pytest.mark.parametrize("broken", ["title: [", "title: 'x", "a: &a [*a]", "? {x: y}", "title: !!python/object:x {}"])
def test_broken_front_matter_is_passed_over(broken: str) -> None:
    made = recipe(f"---\n{broken}: \n---\n# Soup\n\nMethod\n1. Boil it.\n")
    assert [step.text for step in made.steps] == ["Boil it."]
    assert made.title in ("Soup", "x")


@pytest.mark.parametrize(
    "source",
    [
        "Dear Ann,\n\nThe weather is fine here and the garden is green.\n\nLove, Joan\n",
        "Ingredients\n\n- 2 eggs\n- 1 onion\n",
        "Ingredients\n2 eggs\n\nMethod\n\n",
        "x",
        "***\n---\n",
    ],
)
def test_what_has_no_method_is_no_recipe(source: str) -> None:
    with pytest.raises(NoMethod, match=r"card: this is not a recipe: no method was found\."):
        recipe(source)


LINES = st.sampled_from(
    ["Oat bars", "Ingredients", "Ingredients:", "Method", "## Method", "Notes", "Serves 4", "Time: 20 minutes",
     "- 2 eggs",
     "200 g flour", "salt", "1. Bake it.", "2) Stir.", "Step 3", "3", "1 Mix", "For the sauce:", "Topping",
     "Mix the eggs.",
     "   - stir", "Simmer for 20 minutes until it is thick and glossy and", "done", "Tip: taste it", "", "",
     "---", "title: x",
     "**Bold**", "# ", "| a | b |", "-", "*", "1.", ":", "Method: Boil; stir.", "Ingredients: a, b (c, d); e",
     "****", "__"]
)  # fmt: skip


@settings(max_examples=500, deadline=None)
@given(
    st.one_of(
        st.lists(LINES, max_size=25).map("\n".join), st.text(), st.text(alphabet="#*-_ 1.:\nMethodab|>", max_size=80)
    )
)
def test_any_text_has_a_sound_layout_or_none(source: str) -> None:
    try:
        made = recipe(source)
    except NotReadable:
        return
    assert made == recipe(source)


@settings(max_examples=200, deadline=None)
@given(
    st.lists(
        st.from_regex(r"(Bake|Stir|Simmer|Fold in) the [a-z]{2,9}( [a-z]{2,9}){0,6}\.", fullmatch=True), min_size=1
    )
)
def test_every_numbered_item_is_one_step(said: list[str]) -> None:
    numbered = "\n".join(f"{number}. {words}" for number, words in enumerate(said[:99], 1))
    assert steps(f"{HEAD}Method\n\n{numbered}\n") == said[:99]


@pytest.mark.parametrize(
    "line",
    ["Ingredients: " + "a, (" * 200_000, "Serves" + " " * 500_000 + "x",
     "- " * 400_000, "Method" + " " * 500_000 + ": x",
     "#" * 500_000, "x. Method: " * 20_000, "**" * 300_000, "Prep time" + " " * 300_000, "a: " * 300_000,
     "1. " * 300_000],
    ids=["commas", "serves", "dashes", "method", "hashes", "inside", "stars", "prep", "colons", "numbers"],
)  # fmt: skip
def test_long_lines_take_no_longer_than_their_length(line: str) -> None:
    before = time.process_time()
    with contextlib.suppress(NotReadable):
        recipe(f"Card\n\n{line}\n\nMethod\n1. Bake.\n")
    assert time.process_time() - before < 5
