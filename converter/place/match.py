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

_HEAT_WORDS = r"(?! (?:the |your |it to |to )?(?:\w+[- ])?(?:heat|flame|temperature|low|medium|simmer)\b)"
_SIGN = {
    "thick": re.compile(r"\b(?:thick(?:ens?|ened|ening|er)?|syrupy|jammy|coats? (?:the|a)|pulls? away|leaves the sides)\b(?! (?:slice|cut|piece|bottom|base|skillet|pan))"),
    "reduced": re.compile(rf"\b(?:reduc(?:es?|ed|ing){_HEAT_WORDS}|evaporat\w+|absorb(?:ed|s)?|(?:boil|cook)(?:ed|s)? (?:down|away|off)|(?:dr(?:y|ies|ied)) up|(?:almost|nearly|until) dry)\b"),
    "brown": re.compile(r"\bbrown(?:ed|s)?\b(?! (?:sugar|rice|bread|sauce|stock|gravy|mustard|lentil))"),
    "golden": re.compile(r"\bgold(?:en)?\b(?! (?:syrup|raisin))"),
    "tender": re.compile(r"\b(?:tender|soft(?:en(?:ed|s|ing)?)?|translucent|transparent|wilt(?:ed|s)?|limp|falls? (?:off|apart)|cooked through)\b"),
    "set": re.compile(r"\b(?:set(?! aside| over| on| to| the)|firm|wobbl\w+|knife)\b"),
    "rapid": re.compile(r"\b(?:(?:rapid|rolling|vigorous|hard|fast|full|high|strong)(?:ly)?[ ,-]+boil|boil(?:ing|ed)? (?:hard|rapidly|vigorously|briskly|fast|down))"),
    "gently": re.compile(r"\b(?:gent(?:ly|le)|slow(?:ly)?|softly|lightly|barely|just below|below (?:a|the) (?:boil|simmer)|without (?:letting it )?boil\w*|(?:not|never|n't) (?:let it )?(?:come to (?:a|the) )?boil)\b"),
    "stirred": re.compile(r"\b(?:(?:constant|continuous|continual|frequent|regular)(?:ly)?|all the time|the whole time|keep (?:on )?(?:stirring|whisking)|stirring often|often)\b"),
    "fragrant": re.compile(r"\b(?:fragrant|aroma\w*|fragrance|pop(?:ping)?|splutter\w*|sputter\w*|crackl\w+|raw smell|smell)\b"),
    "done": re.compile(r"\b(?:cooked (?:through|thoroughly)|(?:well|fully|completely) (?:cooked|done)|until (?:\w+ )?(?:cooked|done)|no longer pink|juices run clear|opaque|flak(?:es|y))\b"),
    "hot-through": re.compile(r"\b(?:heat(?:ed)? (?:it )?through\w*|warm(?:ed)? (?:it )?through\w*|piping hot|until (?:\w+ )?(?:hot|heated|warm(?:ed)?))\b"),
    "going-on": re.compile(r"\b(?:another|a further|continu(?:e|ing)|additional)\b|\b(?:minutes?|hours?|mins?) (?:more|longer)\b"),
    "drained": re.compile(r"\b(?:drain(?:ed)?|plenty of (?:\w+ )?water|large (?:pot|pan) of|boiling (?:\w+ )?water|salted water)\b"),
}
_STIR_FRY = re.compile(r"\bstir[- ]?fr(?:y|ies|ied|ying)\b")
_FAT = re.compile(r"\b(?:oil|fat|lard|fryer|deep)\b")
_FRYING = frozenset(("fry", "shallow-fry", "brown", "saute", "other"))
HOT_FAT_C = 150.0


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

    Adds the marks ``again`` where the same food was in the oven just before, ``stir-fry`` where the words say so
    and ``hot-fat`` where something is fried in fat of a stated heat.
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
    if phase.environment == "hob":
        if _STIR_FRY.search(text):
            marks = (*marks, "stir-fry")
        if celsius is not None and celsius >= HOT_FAT_C and phase.method in _FRYING and _FAT.search(text):
            marks = (*marks, "hot-fat")
    facts: dict[str, Any] = {
        "environment": (phase.environment,),
        "method": (phase.method,),
        "lid": (phase.lid,),
        "attended": ("yes" if phase.attended else "no",),
        "time": ("none" if minutes is None else "given",),
        "heat": (phase.heat or "none",),
        "height": (phase.height or "none",),
        "marks": marks,
        "appliance": (phase.appliance,) if phase.appliance else (),
        "dish": (phase.dish,) if phase.dish else (),
        "food": (phase.food_class,) if phase.food_class else (),
        "with": frozenset((*phase.foods, *attributes)),
        "forms": phase.forms,
        "sign": tuple(name for name, pattern in _SIGN.items() if pattern.search(text)) + (("to-boil",) if "from-boil" in phase.marks else ()),
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
