"""The JSON object against its schema, and what a reader of it relies on."""

from __future__ import annotations

import copy
import json
from collections.abc import Callable
from typing import Any

import pytest
from builder import flag_of, messy_results, recipe_of, result_of, sunday_pie
from hypothesis import HealthCheck, given, settings
from jsonschema import Draft202012Validator

from converter import __version__
from converter.model import (
    APPLIANCES,
    DURATION_ROLES,
    ENVIRONMENTS,
    HEIGHTS,
    LEVELS,
    METHODS,
    TEMPERATURE_ROLES,
    ZONES,
    Mention,
    Minutes,
    Move,
    Phase,
    Placement,
    Result,
    Span,
)
from converter.write.forms import render
from converter.write.parts import in_units
from converter.write.record import schema


def problems(value: Any) -> list[str]:
    return [error.message for error in Draft202012Validator(schema()).iter_errors(value)]


def read(result: Result) -> dict[str, Any]:
    found = json.loads(render(result, "json"))
    assert isinstance(found, dict)
    return found


def test_the_schema_is_a_schema_and_explains_itself() -> None:
    Draft202012Validator.check_schema(schema())
    assert schema()["$schema"] == "https://json-schema.org/draft/2020-12/schema"
    for name, part in schema()["properties"].items():
        assert part.get("description") or part.get("$ref"), name
    unexplained = [
        f"{kind}.{key}"
        for kind, part in schema()["$defs"].items()
        for key, value in part.get("properties", {}).items()
        if "description" not in value and set(value) not in ({"const"}, {"enum"}) and value.get("type") is None
    ]
    assert unexplained == []


def test_the_schema_knows_the_words_of_the_model() -> None:
    kinds = schema()["$defs"]
    assert tuple(kinds["move"]["properties"]["zone"]["enum"]) == ZONES
    assert tuple(kinds["move"]["properties"]["height"]["enum"]) == (*HEIGHTS, None)
    assert tuple(kinds["temperature"]["properties"]["role"]["enum"]) == TEMPERATURE_ROLES
    assert tuple(kinds["duration"]["properties"]["role"]["enum"]) == DURATION_ROLES
    assert tuple(kinds["phase"]["properties"]["environment"]["enum"]) == ENVIRONMENTS
    assert tuple(kinds["flag"]["properties"]["level"]["enum"]) == LEVELS
    named = Draft202012Validator(kinds["phase"]["properties"]["method"])
    assert all(named.is_valid(word) for word in (*METHODS, *APPLIANCES))


def test_a_whole_recipe() -> None:
    found = read(sunday_pie())
    assert problems(found) == []
    assert list(found) == [
        "undial", "source", "title", "cooker", "mentions", "phases", "placements", "flags", "steps", "header",
        "curves",
    ]  # fmt: skip
    assert found["undial"] == __version__
    assert found["source"] == "hen pie.txt"
    assert found["cooker"] == "two-oven"
    assert found["mentions"] == [
        {"step": 7, "kind": "temperature", "text": "180°C", "role": "oven", "celsius": [180, 180], "fan": False},
        {"step": 7, "kind": "duration", "text": "25 minutes", "role": "cook", "seconds": [1500, 1500], "fan": False},
    ]
    assert found["steps"][3] == {
        "number": 4,
        "part": "Lid",
        "original": "Preheat the oven to 190°C (375°F).",
        "rewritten": "Nothing to do: the hot oven is always ready.",
    }
    assert [flag["level"] for flag in found["flags"]] == ["judgement", "caution", "note"]


def test_whole_numbers_are_whole_and_plates_have_no_height() -> None:
    moves = (
        Move("hot-plate", "hot plate", height="any", minutes=Minutes(2.0, 3.5, look=1.5), cover=False),
        Move("low-oven", "low oven", height="any", cover=True, shield=False),
    )
    placement = Placement(1, moves, flag=False, rule="hob/simmer", why="left alone", choices=("stay",))
    words = render(result_of(placements=(placement,)), "json")
    assert '"minutes": [2, 3.5]' in words
    assert json.loads(words)["placements"] == [
        {
            "phase": 1,
            "moves": [
                {
                    "zone": "hot-plate",
                    "height": None,
                    "minutes": [2, 3.5],
                    "shield": False,
                    "cover": False,
                    "look": 1.5,
                },
                {"zone": "low-oven", "height": "any", "minutes": None, "shield": False, "cover": True, "look": None},
            ],
            "flag": False,
            "rule": "hob/simmer",
            "why": "left alone",
            "choices": ["stay"],
        }
    ]
    assert problems(json.loads(words)) == []


def test_unknown_is_null_and_an_appliance_is_the_method() -> None:
    span = Span(0, 0)
    outside = Phase(1, 1, span, "smoke it", "smoke", "none", None, None, "ribs", "on", appliance="smoker")
    inside = Phase(2, 1, span, "bake it", "bake", "oven", None, None, "ribs", "none", appliance="smoker")
    mentions = (
        Mention(1, "temperature", span, span, "hot", "oven"),
        Mention(1, "duration", span, span, "long", "cook"),
    )
    placements = (Placement(1, (), flag=True, rule="none/smoker", why="not on this cooker"),)
    found = read(result_of(phases=(outside, inside), mentions=mentions, placements=placements))
    assert problems(found) == []
    assert [phase["method"] for phase in found["phases"]] == ["smoker", "bake"]
    assert found["phases"][0]["celsius"] is None
    assert found["phases"][0]["seconds"] is None
    assert found["mentions"][0]["celsius"] is None
    assert found["mentions"][1]["seconds"] is None
    assert found["placements"][0]["moves"] == []


def test_one_object_a_line_for_every_reader_of_lines() -> None:
    result = result_of(
        recipe_of(title="Pie\u2028of\x85the\r\nday\u2029\x1d", steps=((None, "Bake.\n\nServe \ud800."),))
    )
    words = render(result, "json")
    assert len(words.splitlines()) == 1
    assert words.encode("utf-8")
    assert json.loads(words)["title"] == result.reading.recipe.title
    assert "½ tsp, 180°C" in render(result_of(recipe_of(title="½ tsp, 180°C")), "json")


DAMAGE: tuple[tuple[str, Callable[[dict[str, Any]], Any]], ...] = (
    ("a plate with a height", lambda a: a["placements"][0]["moves"][1].update(height="low")),
    ("an unknown zone", lambda a: a["placements"][0]["moves"][0].update(zone="attic")),
    ("an unknown height", lambda a: a["placements"][0]["moves"][0].update(height="top")),
    ("one minute only", lambda a: a["placements"][0]["moves"][0].update(minutes=[5])),
    ("three minutes", lambda a: a["placements"][0]["moves"][0].update(minutes=[5, 6, 7])),
    ("a flag that is a word", lambda a: a["placements"][0].update(flag="yes")),
    ("seconds of a temperature", lambda a: a["mentions"][0].update(seconds=[1, 2])),
    ("a temperature without celsius", lambda a: a["mentions"][0].pop("celsius")),
    ("a role of the other kind", lambda a: a["mentions"][1].update(role="oven")),
    ("a step from 0", lambda a: a["steps"][0].update(number=0)),
    ("a phase from 0", lambda a: a["placements"][0].update(phase=0)),
    ("an unknown place", lambda a: a["phases"][0].update(environment="cellar")),
    ("a lid that is a yes", lambda a: a["phases"][0].update(lid=True)),
    ("an unknown level", lambda a: a["flags"][0].update(level="fatal")),
    ("no cooker", lambda a: a.pop("cooker")),
    ("a key of nobody", lambda a: a.update(colour="red")),
    ("a header without timers", lambda a: a["header"].pop("timers")),
)


@pytest.mark.parametrize("change", [change for _, change in DAMAGE], ids=[name for name, _ in DAMAGE])
def test_the_schema_refuses(change: Callable[[dict[str, Any]], Any]) -> None:
    value = copy.deepcopy(read(sunday_pie()))
    assert problems(value) == []
    change(value)
    assert problems(value) != []


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(messy_results())
def test_any_text_gives_a_valid_object_with_that_text(result: Result) -> None:
    words = render(result, "json")
    assert len(words.splitlines()) == 1
    found = json.loads(words)
    assert problems(found) == []
    recipe = result.reading.recipe
    assert found["title"] == recipe.title
    assert found["source"] == recipe.document.name
    assert [step["original"] for step in found["steps"]] == [step.original for step in result.steps]
    assert [step["rewritten"] for step in found["steps"]] == [step.rewritten for step in result.steps]
    assert [step["part"] for step in found["steps"]] == [step.part for step in result.steps]
    assert [flag["text"] for flag in found["flags"]] == [flag.text for flag in result.flags]


# Expected figures worked by hand: °F = °C × 1.8 + 32; differences without the 32; to 5 degrees from 120 °C up.
@pytest.mark.parametrize(
    ("words", "c", "f", "both"),
    [
        ("keep above 63 °C.", "keep above 63 °C.", "keep above 145 °F.", "keep above 63 °C (145 °F)."),
        ("cook to 145°F now", "cook to 63 °C now", "cook to 145 °F now", "cook to 145 °F (63 °C) now"),
        ("at 180 °C", "at 180 °C", "at 355 °F", "at 180 °C (355 °F)"),
        ("at 350 °F", "at 175 °C", "at 350 °F", "at 350 °F (175 °C)"),
        ("220–250 °C", "220–250 °C", "430–480 °F", "220–250 °C (430–480 °F)"),
        ("60 to 85 °C", "60 to 85 °C", "140 to 185 °F", "60 to 85 °C (140 to 185 °F)"),
        ("74 °C (165 °F), resting", "74 °C, resting", "165 °F, resting", "74 °C (165 °F), resting"),
        ("165°F/74°C", "74 °C", "165 °F", "165°F/74°C"),
        (
            "40 °C hotter than asked",
            "40 °C hotter than asked",
            "72 °F hotter than asked",
            "40 °C (72 °F) hotter than asked",
        ),
        ("frozen at -18 °C", "frozen at -18 °C", "frozen at 0 °F", "frozen at -18 °C (0 °F)"),
        (
            "for 20–30 minutes, step 7",
            "for 20–30 minutes, step 7",
            "for 20–30 minutes, step 7",
            "for 20–30 minutes, step 7",
        ),
        ("180°C or 200°C", "180 °C or 200 °C", "355 °F or 390 °F", "180 °C (355 °F) or 200 °C (390 °F)"),
    ],
)
def test_our_own_sentences_in_the_units_asked_for(words: str, c: str, f: str, both: str) -> None:
    assert in_units(words, "c") == c
    assert in_units(words, "f") == f
    assert in_units(words, "both") == both


def test_units_reach_flags_and_header_but_not_the_words_of_the_recipe() -> None:
    flag = flag_of("caution", text="at 350°F", message="kept at 74 °C", why="under 63 °C", choices=("to 71 °C",))
    found = read(result_of(flags=(flag,), units="f"))["flags"][0]
    assert (found["text"], found["message"], found["why"], found["choices"]) == (
        "at 350°F", "kept at 165 °F", "under 145 °F", ["to 160 °F"],
    )  # fmt: skip
    words = render(result_of(flags=(flag,), units="c"), "text")
    assert 'Step 2, "at 350°F" → kept at 74 °C; under 63 °C; or: to 71 °C.' in words
