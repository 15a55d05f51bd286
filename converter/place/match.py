"""Says of a phase what the conditions of a rule ask, and finds the rule that wins."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from converter.model import Phase, Recipe
from converter.place.cookers import Cooker
from converter.place.rules import RANGES, Rule, RuleTable

_SIGN = {
    "thick": re.compile(r"\b(?:thick(?:ens?|ened|er)?|syrupy|jammy|coats? (?:the|a))\b"),
    "reduced": re.compile(r"\b(?:reduced?|evaporat\w+|absorbed|boiled down|dry)\b"),
    "brown": re.compile(r"\bbrown(?:ed|s)?\b"),
    "golden": re.compile(r"\bgold(?:en)?\b"),
    "tender": re.compile(r"\b(?:tender|soft(?:ened)?|falls? (?:off|apart)|cooked through)\b"),
    "set": re.compile(r"\b(?:set|firm|wobbl\w+|knife)\b"),
}


@dataclass(frozen=True, slots=True)
class Situation:
    """The facts of one phase, by the keys of the rule table."""

    facts: dict[str, Any]
    celsius: float | None
    minutes: tuple[float, float] | None


def situation(phase: Phase, recipe: Recipe, attributes: frozenset[str]) -> Situation:
    """Return the facts of a phase; `attributes` are those of its foods."""
    celsius = None if phase.celsius is None else (phase.celsius[0] + phase.celsius[1]) / 2
    minutes = None if phase.seconds is None else (phase.seconds[0] / 60, phase.seconds[1] / 60)
    text = phase.text.lower()
    facts: dict[str, Any] = {
        "environment": (phase.environment,),
        "method": (phase.method,),
        "lid": (phase.lid,),
        "attended": ("yes" if phase.attended else "no",),
        "time": ("none" if minutes is None else "given",),
        "heat": (phase.heat or "none",),
        "height": (phase.height or "none",),
        "marks": phase.marks,
        "appliance": (phase.appliance,) if phase.appliance else (),
        "dish": (phase.dish,) if phase.dish else (),
        "food": (phase.food_class,) if phase.food_class else (),
        "with": frozenset((*phase.foods, *attributes)),
        "forms": phase.forms,
        "sign": tuple(name for name, pattern in _SIGN.items() if pattern.search(text)),
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
