"""The schema.org form."""

from __future__ import annotations

import json
from typing import Any

from builder import flag_of, messy_results, recipe_of, result_of, sunday_pie
from hypothesis import HealthCheck, given, settings

from converter.model import Header, Result
from converter.write.forms import render
from converter.write.parts import CLOSING

_TYPES = {"Recipe", "HowToStep", "HowToSection", "HowToTip", "HowToTool"}


def read(result: Result) -> dict[str, Any]:
    found = json.loads(render(result, "jsonld"))
    assert isinstance(found, dict)
    return found


def walk(value: Any) -> list[dict[str, Any]]:
    if isinstance(value, dict):
        return [value, *(found for item in value.values() for found in walk(item))]
    if isinstance(value, list):
        return [found for item in value for found in walk(item)]
    return []


def steps_of(found: dict[str, Any]) -> list[dict[str, Any]]:
    return [item for item in walk(found) if item.get("@type") == "HowToStep"]


def test_a_recipe_with_parts() -> None:
    found = read(sunday_pie())
    assert found["@context"] == "https://schema.org"
    assert found["@type"] == "Recipe"
    assert found["name"] == "Hen and Leek Pie for a Wet Sunday"
    assert found["recipeYield"] == "Serves 4 to 6"
    assert found["recipeIngredient"][0] == "600 g cooked hen, in pieces"
    assert len(found["recipeIngredient"]) == 8
    sections = [item for item in found["recipeInstructions"] if item["@type"] == "HowToSection"]
    assert [section["name"] for section in sections] == ["Filling", "Lid"]
    assert [step["position"] for step in sections[1]["itemListElement"]] == [4, 5, 6, 7]
    assert [tool["name"] for tool in found["tool"]] == ["cold plain baking tray as a shield", "thermometer"]
    assert {item["@type"] for item in walk(found)} == _TYPES


def test_steps_without_parts_stand_alone() -> None:
    result = result_of(header=Header(cooker="two-oven"))
    found = read(result)
    kinds = [item["@type"] for item in found["recipeInstructions"]]
    assert kinds == ["HowToStep", "HowToStep", "HowToTip", "HowToTip"]
    assert [step["text"] for step in steps_of(found)] == [step.rewritten for step in result.steps]
    assert "tool" not in found


def test_cautions_are_tips_of_their_step() -> None:
    found = read(sunday_pie())
    sixth = next(step for step in steps_of(found) if step["position"] == 6)
    assert [tip["@type"] for tip in sixth["itemListElement"]] == ["HowToTip", "HowToTip"]
    assert sixth["itemListElement"][0]["text"].startswith('Caution. Step 6, "the filling bubbles" → kept; ')
    assert found["recipeInstructions"][-1] == {"@type": "HowToTip", "text": CLOSING}


def test_a_caution_without_a_step_is_not_lost() -> None:
    found = read(result_of(flags=(flag_of("caution", step=0), flag_of("caution", step=99, why="far out"))))
    tips = [item["text"] for item in found["recipeInstructions"] if item["@type"] == "HowToTip"]
    assert sum(text.startswith("Caution. ") for text in tips) == 2


def test_no_time_is_invented() -> None:
    words = render(sunday_pie(), "jsonld")
    assert not {"totalTime", "cookTime", "prepTime", "performTime"} & set(json.loads(words))


def test_times_of_the_recipe_itself_are_handed_on_but_for_cooking() -> None:
    stated = ("Total time: PT1H30M", "prepTime PT20M", "Cooking: PT1H10M", "Total: 2 hours", "Total: PT")
    found = read(result_of(recipe_of(stated_times=stated)))
    assert found["totalTime"] == "PT1H30M"
    assert found["prepTime"] == "PT20M"
    assert "cookTime" not in found


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(messy_results())
def test_any_text_can_be_read_back(result: Result) -> None:
    words = render(result, "jsonld")
    assert len(words.splitlines()) == 1
    assert "<" not in words
    found = json.loads(words)
    recipe = result.reading.recipe
    assert found["recipeIngredient"] == [item.text for item in recipe.ingredients]
    assert [step["text"] for step in steps_of(found)] == [step.rewritten for step in result.steps]
    assert {item["@type"] for item in walk(found)} <= _TYPES
