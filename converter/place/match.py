"""Says of a phase what the conditions of a rule ask, and finds the rule that wins."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Any

from converter import data
from converter.model import Phase, Recipe
from converter.place.cookers import Cooker
from converter.place.rates import rated
from converter.place.rules import RANGES, Rule, RuleTable
from converter.place.signs import signs, stir_fried


@cache
def _oven_words() -> tuple[re.Pattern[str], dict[str, float]]:
    """Return the pattern of "a moderately hot oven" and the °C that each setting word stands for."""
    usual: dict[str, float] = {}
    for item in data.lexicon("settings")["oven_words"]:
        for word in item["words"]:
            usual.setdefault(word, (item["celsius"][0] + item["celsius"][1]) / 2)
    words = "|".join(re.escape(word) for word in sorted(usual, key=len, reverse=True))
    return re.compile(rf"\b({words})[ -](?:\w+ )?oven\b(?! (?:rack|shelf|dish|proof|safe))"), usual


def worded_c(text: str) -> float | None:
    """Return the °C that words such as "in a slow oven" in lower-case `text` stand for, ``None`` without such words."""
    if "oven" not in text:
        return None
    pattern, usual = _oven_words()
    match = pattern.search(text)
    return usual[match[1]] if match else None


@dataclass(frozen=True, slots=True)
class Situation:
    """The facts of one phase, by the keys of the rule table."""

    facts: dict[str, Any]
    celsius: float | None
    minutes: tuple[float, float] | None


def situation(phase: Phase, recipe: Recipe, attributes: frozenset[str], *, before: Phase | None = None) -> Situation:
    """Return the facts of a phase; `attributes` are those of its foods, `before` is the phase ahead of it.

    ``heat`` of an oven is ``set`` or ``none``, whether by figures or by words.
    Adds the marks ``again`` where the same food was in the oven just before, and ``stir-fry`` where the words say so.
    """
    celsius = None if phase.celsius is None else (phase.celsius[0] + phase.celsius[1]) / 2
    minutes = rated(phase) if phase.seconds is None else (phase.seconds[0] / 60, phase.seconds[1] / 60)
    text = phase.text.lower()
    marks = phase.marks
    if phase.environment == "oven":
        if celsius is None and "hold" not in marks:
            celsius = worded_c(text)
        if before is not None and before.environment == "oven" and before.food_class == phase.food_class and before.step <= phase.step:
            marks = (*marks, "again")
    heat = phase.heat or "none"
    if phase.environment == "oven":
        heat = "none" if celsius is None else "set"
    warmed = phase.environment == "oven" and phase.method in ("warm", "melt")
    if phase.environment == "hob" and stir_fried(text):
        marks = (*marks, "stir-fry")
    facts: dict[str, Any] = {
        "environment": (phase.environment,),
        "method": (phase.method,),
        "lid": (phase.lid,),
        "attended": ("yes" if phase.attended else "no",),
        "time": ("none" if minutes is None else "given",),
        "heat": (heat,),
        "height": (phase.height or "none",),
        "marks": marks,
        "appliance": (phase.appliance,) if phase.appliance else (),
        "dish": (phase.dish,) if phase.dish and not warmed else (),
        "food": (phase.food_class,) if phase.food_class and not warmed else (),
        "with": frozenset((*phase.foods, *attributes)),
        "forms": phase.forms,
        "sign": signs(text, phase.marks),
        "celsius": celsius,
        "minutes": None if minutes is None else minutes[0],
        "grams": None if phase.grams is None else phase.grams[0],
    }
    return Situation(facts, celsius, minutes)


def fits(rule: Rule, facts: dict[str, Any]) -> bool:
    """Tell whether every condition but the cooker's holds."""
    for key, wanted in rule.when.items():
        if key == "cooker":
            continue
        have = facts[key]
        if key in RANGES:
            if have is None or not wanted[0] <= have < wanted[1]:
                return False
        elif wanted.isdisjoint(have):
            return False
    return True


@lru_cache(maxsize=32)
def rules_for(table_key: int, kinds: frozenset[str], environment: str) -> tuple[Rule, ...]:
    """Return the rules that can fire on a cooker with these zones, in an environment, the strongest first."""
    table = _TABLES[table_key]
    out = []
    for rule in table.rules:
        has, lacks = rule.when.get("cooker", (frozenset(), frozenset()))
        wanted = rule.when.get("environment")
        if has <= kinds and not lacks & kinds and (wanted is None or environment in wanted):
            out.append(rule)
    return tuple(out)


_TABLES: dict[int, RuleTable] = {}


def winner(table: RuleTable, cooker: Cooker, facts: dict[str, Any]) -> Rule | None:
    """Return the rule that wins for these facts on this cooker, or ``None`` where none fits."""
    key = id(table)
    if key not in _TABLES:
        _TABLES[key] = table
    for rule in rules_for(key, cooker.kinds, facts["environment"][0]):
        if fits(rule, facts):
            return rule
    return None
