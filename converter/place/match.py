"""Says of a phase what the conditions of a rule ask, and finds the rule that wins."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import cache
from typing import Any, NamedTuple

from converter import data
from converter.model import Phase, Recipe
from converter.place.cookers import Cooker
from converter.place.rates import rated
from converter.place.rules import RANGES, Rule, RuleTable
from converter.place.signs import signs, stir_fried

_BATH = re.compile(r"\b(?:water[- ]bath|bain[- ]marie|(?:half ?way|part ?way) up the sides)\b")
_MELTS = re.compile(
    r"\buntil (?:the |all )?(?:\w+ )?cheese (?:\w+ )?(?:melts?|melted|bubbles|bubbly)\b|\bto melt the cheese\b"
)
_PLATES = re.compile(r"\b(?:warm|heat)\w* (?:the |your |some |up )?(?:\w+ )?(?:plates|dishes|platters?|bowls)\b")


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


def _told(phase: Phase, recipe: Recipe, text: str) -> str:
    """Return the words that hold the signs: on a hob without a time also those of the later sentences of the phase."""
    if phase.environment != "hob" or phase.seconds is not None or len(phase.clauses) < 2:
        return text
    whole = recipe.document.text
    return " ".join(whole[clause.span.start : clause.span.end] for clause in phase.clauses).lower()


def situation(phase: Phase, recipe: Recipe, attributes: frozenset[str], *, before: Phase | None = None) -> Situation:
    """Return the facts of a phase; `attributes` are those of its foods, `before` is the phase ahead of it.

    ``heat`` of an oven is ``set`` or ``none``, whether by figures or by words.
    Adds the marks ``plates`` where dishes are warmed, ``again`` where the
    same food was in the oven just before, ``melting`` where it goes back to
    melt the cheese on it, ``water-bath`` and ``stir-fry`` where the words
    say so. What is only warmed or melted in an oven counts as no food.
    """
    celsius = None if phase.celsius is None else (phase.celsius[0] + phase.celsius[1]) / 2
    minutes = rated(phase) if phase.seconds is None else (phase.seconds[0] / 60, phase.seconds[1] / 60)
    text = phase.text.lower()
    marks = phase.marks
    if phase.environment == "oven":
        if celsius is None and "hold" not in marks:
            celsius = worded_c(text)
        if before is not None and before.environment == "oven" and before.food_class == phase.food_class:
            marks = (*marks, "again")
        if before is not None and before.environment == "oven" and phase.core_c is None and _MELTS.search(text):
            marks = (*marks, "melting")
        if _BATH.search(text):
            marks = (*marks, "water-bath")
    from_oven = before is not None and before.environment == "oven" and before.food_class == phase.food_class
    if phase.environment == "grill" and from_oven:
        marks = (*marks, "again")
    heat = phase.heat or "none"
    if phase.environment == "oven":
        heat = "none" if celsius is None else "set"
    warmed = phase.environment == "oven" and phase.method in ("warm", "melt")
    if warmed and _PLATES.search(text):
        marks = (*marks, "plates")
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
        "sign": signs(_told(phase, recipe, text), phase.marks),
        "celsius": celsius,
        "minutes": None if minutes is None else minutes[0],
        "grams": None if phase.grams is None else phase.grams[0],
    }
    return Situation(facts, celsius, minutes)


# Conditions that the index has already seen to.
_INDEXED = frozenset(("environment", "cooker", "food", "dish", "method"))


class _Row(NamedTuple):
    """A rule by its place in the table; ``ranges`` and ``words`` are the conditions left to check."""

    place: int
    rule: Rule
    words: tuple[tuple[str, frozenset[str]], ...]
    ranges: tuple[tuple[str, float, float], ...]


class _Index:
    """The rules that can fire on one cooker in one environment, by the food or dish that they ask for."""

    __slots__ = ("_by_dish", "_by_food", "_found", "_general")

    def __init__(self, table: RuleTable, kinds: frozenset[str], environment: str) -> None:
        self._by_food: dict[str, list[_Row]] = {}
        self._by_dish: dict[str, list[_Row]] = {}
        self._general: list[_Row] = []
        self._found: dict[tuple[Any, Any, str], tuple[_Row, ...]] = {}
        for place, rule in enumerate(table.rules):
            has, lacks = rule.when.get("cooker", (frozenset(), frozenset()))
            wanted = rule.when.get("environment")
            if not (has <= kinds and not lacks & kinds and (wanted is None or environment in wanted)):
                continue
            row = _Row(
                place, rule,
                tuple((key, value) for key, value in rule.when.items() if key not in _INDEXED and key not in RANGES),
                tuple((key, *value) for key, value in rule.when.items() if key in RANGES),
            )  # fmt: skip
            if "dish" in rule.when:
                row = row._replace(words=(*row.words, ("food", rule.when["food"]))) if "food" in rule.when else row
                for dish in rule.when["dish"]:
                    self._by_dish.setdefault(dish, []).append(row)
            elif "food" in rule.when:
                for food in rule.when["food"]:
                    self._by_food.setdefault(food, []).append(row)
            else:
                self._general.append(row)

    def rows(self, food: tuple[str, ...], dish: tuple[str, ...], method: str) -> tuple[_Row, ...]:
        """Return the rules that ask for this food, this dish or neither and allow the method, the strongest first."""
        key = (food, dish, method)
        found = self._found.get(key)
        if found is None:
            rows = [*self._general]
            for name in food:
                rows += self._by_food.get(name, ())
            for name in dish:
                rows += self._by_dish.get(name, ())
            kept = (row for row in rows if method in row.rule.when.get("method", (method,)))
            found = self._found[key] = tuple(sorted(kept, key=lambda row: row.place))
        return found


def _fits(row: _Row, facts: dict[str, Any]) -> bool:
    for key, low, high in row.ranges:
        have = facts[key]
        if have is None or not low <= have < high:
            return False
    for key, wanted in row.words:  # noqa: SIM110 - a generator takes twice as long here
        if wanted.isdisjoint(facts[key]):
            return False
    return True


# By the identity of a table, which is kept alive here.
_INDEXES: dict[int, tuple[RuleTable, dict[tuple[frozenset[str], str], _Index]]] = {}


def winner(table: RuleTable, cooker: Cooker, facts: dict[str, Any]) -> Rule | None:
    """Return the rule that wins for these facts on this cooker, or ``None`` where none fits."""
    environment = facts["environment"][0]
    _, indexes = _INDEXES.setdefault(id(table), (table, {}))
    index = indexes.get((cooker.kinds, environment))
    if index is None:
        index = indexes[cooker.kinds, environment] = _Index(table, cooker.kinds, environment)
    for row in index.rows(facts["food"], facts["dish"], facts["method"][0]):
        if _fits(row, facts):
            return row.rule
    return None
