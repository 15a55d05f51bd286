"""Mentions of whole recipes: values, roles, flags, spans."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from converter import data
from converter.data import Node
from converter.model import DURATION_ROLES, TEMPERATURE_ROLES, Document, Mention, Recipe, Span, Step
from converter.read.mentions import mentions

FILE = Path(__file__).parent / "data" / "mention_roles.yaml"
FLAGS = ("more", "last", "conditional", "fan", "disagrees", "unit_guessed")


def recipe(*steps: str, before: str = "") -> Recipe:
    """A recipe whose steps are the lines of a text, after `before`."""
    text = before + "\n".join(steps)
    at = len(before)
    made = []
    for number, step in enumerate(steps, 1):
        made.append(Step(number, Span(at, at + len(step)), step))
        at += len(step) + 1
    return Recipe(Document("test", text, text), "Test", steps=tuple(made))


def read(*steps: str, before: str = "") -> tuple[Mention, ...]:
    return mentions(recipe(*steps, before=before))


def _rows() -> list[Any]:
    table = data.read(FILE)
    return [pytest.param(row, id=f"{role}-{row.line}") for role, rows in table.items() for row in rows]


@pytest.mark.parametrize("row", _rows())
def test_role(row: Node) -> None:
    found = read(row["text"])
    said = ["+".join([m.role, *(flag for flag in FLAGS if getattr(m, flag))]) for m in found]
    assert said == row["say"]


def test_every_role_has_an_example() -> None:
    said = {word.split("+")[0] for row in _rows() for word in row.values[0]["say"]}
    assert said >= set(DURATION_ROLES)
    assert said >= set(TEMPERATURE_ROLES) - {"other"}


def test_a_mention_knows_its_step_its_words_and_its_numbers() -> None:
    oven, time = read("Sift the flour.", "Bake at about 350°F (180°C) for at least 20 minutes more.")
    assert (oven.step, oven.kind, oven.text, oven.celsius) == (2, "temperature", "about 350°F (180°C)", (177, 180))
    assert oven.seconds is None
    assert (time.text, time.seconds, time.celsius) == ("at least 20 minutes more", (1200, 1200), None)
    assert time.more
    assert time.core.start > time.span.start


@pytest.mark.parametrize(
    ("text", "celsius", "flags"),
    [
        ("Bake at 200C/180C fan/gas 6.", (200, 200), set()),
        ("Bake at 180°C fan.", (200, 200), {"fan"}),
        ("Bake at 200C/180C fan/gas 4.", (200, 200), {"disagrees"}),
        ("Bake at 425°F (210°C).", (210, 218), set()),
        ("Bake at gas mark 5.", (190, 190), set()),
        ("Bake with 200 g of butter at 180 degrees.", (180, 180), {"unit_guessed"}),
    ],
)
def test_celsius_runs_over_what_is_printed_for_a_conventional_oven(
    text: str, celsius: tuple[float, float], flags: set[str]
) -> None:
    (found,) = read(text)
    assert found.celsius == celsius
    assert {flag for flag in FLAGS if getattr(found, flag)} == flags


def test_a_rate_keeps_its_weight_and_its_fixed_part() -> None:
    (rate,) = read("Roast for 20 minutes per lb plus 25 minutes.")
    assert rate.role == "rate"
    assert rate.seconds == (1200, 1200)
    assert rate.per_kg == pytest.approx(0.45359237)
    assert rate.plus == 1500


@pytest.mark.parametrize(
    ("steps", "role"),
    [
        (("Fry the flour in the fat until golden.", "Mix in the broth, and continue stirring for 5 minutes."), "cook"),
        (("Fry the flour. Remove from the heat.", "Mix in the broth, and continue stirring for 5 minutes."), "prep"),
        (("Put the flour in a bowl.", "Mix in the milk, and continue stirring for 5 minutes."), "prep"),
    ],
)
def test_stirred_on_is_what_the_step_before_was(steps: tuple[str, ...], role: str) -> None:
    assert [m.role for m in read(*steps, before="Supper\n\nMethod\n\n")] == [role]


@pytest.mark.parametrize(
    ("ingredient", "minutes", "role"),
    [("10 g yeast", 60, "prove"), ("10 g yeast", 10, "rest"), ("nutritional yeast", 60, "rest"), ("salt", 60, "rest")],
)
def test_a_batter_with_yeast_that_stands_rises(ingredient: str, minutes: int, role: str) -> None:
    steps = ("Whisk to a thin batter.", f"Cover the bowl and let sit for {minutes} minutes.")
    assert [m.role for m in read(*steps, before=f"{ingredient}\n\n")] == [role]


def test_words_without_figures_and_differences_are_no_mentions() -> None:
    assert not read("Bake in a hot oven until golden.", "Take it out within 5 degrees of done.", "Cook over low heat.")


def test_only_the_method_is_read() -> None:
    found = read("Bake for 20 minutes.", before="Time: 1 hour\n2 minute steaks, 30 g of lard\n\n")
    assert [m.text for m in found] == ["20 minutes"]


PIECES = st.sampled_from(
    ["Bake", "bake", "at", "180°C", "for", "20 minutes", "until", "if", "not", "oil", "in the fridge", "keep", "warm",
     "overnight", ".", ";", "(", ")", ",", "stir", "every", "5 minutes", "per side", "per lb", "plus", "then", "leave",
     "gas mark", "4", "the last", "after", "before the end", "to", "rise", "yeast", "\n", "İ"]
)  # fmt: skip


@given(st.lists(st.one_of(st.lists(PIECES, max_size=14).map(" ".join), st.text(max_size=40)), max_size=4))
def test_any_recipe_is_survived(steps: list[str]) -> None:
    made = recipe(*steps)
    text = made.document.text
    for mention in mentions(made):
        step = made.steps[mention.step - 1]
        assert step.span.start <= mention.span.start <= mention.core.start
        assert mention.core.end <= mention.span.end <= step.span.end
        assert mention.text == text[mention.span.start : mention.span.end]
        assert mention.role in (TEMPERATURE_ROLES if mention.kind == "temperature" else DURATION_ROLES)
        assert (mention.celsius is None) is (mention.kind == "duration")
