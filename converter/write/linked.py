"""A converted recipe as linked data: a schema.org ``Recipe`` in JSON-LD, one object on one line.

Source of the names: schema.org/Recipe, /HowToStep, /HowToSection, /HowToTip
and /HowToTool (names from memory, version not checked).
"""

from __future__ import annotations

import re
from typing import Any

from converter.model import Result, WrittenStep
from converter.write import parts
from converter.write.record import one_line_json

_DURATION = re.compile(r"\bP(?:\d+D)?(?:T(?=\d)(?:\d+H)?(?:\d+M)?(?:\d+S)?)\b")
# The cooking time of the recipe is that of the dial oven, so it is not handed on.
_TIMES = ((re.compile("total", re.I), "totalTime"), (re.compile("prep", re.I), "prepTime"))
_TOOLS = (
    (re.compile(r"\b(?:shield|baking tray)\b"), "cold plain baking tray as a shield"),
    (re.compile(r"\bthermometer\b"), "thermometer"),
)


def _tips(result: Result) -> dict[int, list[str]]:
    """Return the lines of the lists by step; 0 holds those that belong to no step that is there."""
    numbers = {step.number for step in result.steps}
    tips: dict[int, list[str]] = {}
    for level, word in (("caution", "Caution"), ("judgement", "For your judgement"), ("note", "Note")):
        for flag in parts.flags_of(result, level):
            line = parts.line_words(parts.flag_line(flag, result.units))
            tips.setdefault(flag.step if flag.step in numbers else 0, []).append(f"{word}. {line}")
    return tips


def _tip(text: str) -> dict[str, Any]:
    return {"@type": "HowToTip", "text": text}


def _step(step: WrittenStep, tips: list[str]) -> dict[str, Any]:
    made: dict[str, Any] = {"@type": "HowToStep", "position": step.number, "text": step.rewritten}
    if tips:
        made["itemListElement"] = [_tip(text) for text in tips]
    return made


def _times(stated: tuple[str, ...]) -> dict[str, str]:
    """Return the times that the recipe itself gives as an ISO 8601 duration."""
    found: dict[str, str] = {}
    for text in stated:
        duration = _DURATION.search(text)
        if duration is None:
            continue
        for label, key in _TIMES:
            if label.search(text):
                found.setdefault(key, duration[0])
    return found


def as_object(result: Result) -> dict[str, Any]:
    """Return the schema.org ``Recipe``: no time that the recipe does not give itself, cautions as tips."""
    recipe = result.reading.recipe
    tips = _tips(result)
    loose = tips.get(0, []) + parts.further_notes(result)
    instructions: list[dict[str, Any]] = []
    for name, steps in parts.step_parts(result.steps):
        made = [_step(step, tips.get(step.number, [])) for step in steps]
        if name is None:
            instructions += made
        else:
            instructions.append({"@type": "HowToSection", "name": name, "itemListElement": made})
    instructions += [_tip(text) for text in (*loose, *parts.own_notes(recipe), parts.CLOSING)]
    lines = parts.header_lines(result.header, result.units)
    about = [f"{label}: {parts.joined(label, entries)}." for label, entries in lines]
    found: dict[str, Any] = {
        "@context": "https://schema.org",
        "@type": "Recipe",
        "name": parts.title_of(result),
        "inLanguage": "en",
        "description": "Rewritten for a heat-storage range. " + " ".join(about),
        **_times(recipe.stated_times),
        "recipeIngredient": [item.text for item in recipe.ingredients],
        "recipeInstructions": instructions,
    }
    if recipe.servings:
        found["recipeYield"] = recipe.servings
    ready = " · ".join(result.header.have_ready)
    tools = [{"@type": "HowToTool", "name": name} for sign, name in _TOOLS if sign.search(ready)]
    if tools:
        found["tool"] = tools
    return found


def render(result: Result) -> str:
    """Return the JSON-LD; ``<`` is spelt out so that the object can stand in a page."""
    return one_line_json(as_object(result)).replace("<", "\\u003c")
