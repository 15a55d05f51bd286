"""First version: mentions with their roles."""

from __future__ import annotations

import re
from functools import cache

from converter import data
from converter.model import Mention, Range, Recipe, Span, Step
from converter.read import quantities
from converter.read.quantities import Quantity

_WORD = re.compile(r"[a-zà-ÿ][a-zà-ÿ'’-]*")
_SENTENCE = re.compile(r"[.!?](?=[ \n]+[^a-z]|[)\]\"”’]?[ \n]*$)|;|\n")


@cache
def _cues() -> tuple[dict[str, str], dict[str, str]]:
    root = data.expect_keys(
        data.lexicon("roles"), required=("verbs", "forms", "phrases"), optional=("nouns_not_verbs",), where="lexicon/roles.yaml"
    )
    words: dict[str, str] = {}
    for role, bases in root["verbs"].items():
        for base in bases:
            for form in _forms(base):
                words.setdefault(form, role)
    for role, forms in root["forms"].items():
        for form in forms:
            words[form] = role
    phrases = {phrase: role for role, some in root["phrases"].items() for phrase in some}
    return words, phrases


def _forms(base: str) -> tuple[str, ...]:
    if base.endswith("e"):
        return base, base + "s", base + "d", base[:-1] + "ing"
    if base.endswith("y") and base[-2] not in "aeiou":
        return base, base[:-1] + "ies", base[:-1] + "ied", base + "ing"
    if base[-1] not in "aeiouwyxh" and base[-2] in "aeiou" and base[-3:-2] not in "aeiou":
        return base, base + "s", base + base[-1] + "ed", base + base[-1] + "ing", base + "ed", base + "ing"
    if base.endswith(("s", "sh", "ch", "x")):
        return base, base + "es", base + "ed", base + "ing"
    return base, base + "s", base + "ed", base + "ing"


def mentions(recipe: Recipe) -> tuple[Mention, ...]:
    """Return the temperatures and times of the method in reading order, each with what it is for."""
    text = recipe.document.text
    found: list[Mention] = []
    low = ""
    for step in recipe.steps:
        if not quantities.may_hold(text, step.span.start, step.span.end):
            continue
        low = low or quantities.lowered(text)
        some = quantities.find_lowered(low, step.span.start, step.span.end)
        if some:
            found += _mentions(text, low, step, some)
    return tuple(found)


def _mentions(text: str, low: str, step: Step, some: list[Quantity]) -> list[Mention]:
    made = []
    for at, quantity in enumerate(some):
        role = _temperature_role(low, step, quantity) if quantity.kind == "temperature" else _duration_role(low, step, some, at)
        celsius = seconds = None
        if quantity.kind == "temperature":
            celsius = (float(round(quantity.value[0])), float(round(quantity.value[1])))
        else:
            seconds = quantity.value
        made.append(
            Mention(
                step.number, quantity.kind, quantity.span, quantity.core, text[quantity.span.start : quantity.span.end], role,
                celsius, seconds, fan=quantity.fan, more=quantity.more, last=quantity.last,
                per_kg=quantity.per_kg, plus=quantity.plus, disagrees=quantity.disagrees, unit_guessed=quantity.unit_guessed,
            )  # fmt: skip
        )
    return made


_EACH = re.compile(r"(?:[^a-z]*(?:on|per|for|a)?[ ]?(?:each|per|both|either|every)[ ](?:sides?|batch|half)|[ ](?:each|a side|per side|a batch)\b)")
_EACH_BEFORE = re.compile(r"(?:each|per|every) (?:side|batch)[^.;]{0,24}$")
_KEEP = re.compile(r"\b(?:keeps?|store[sd]?|lasts?|fresh|up to)\b")
_CORE = re.compile(r"internal|thermometer|core temp|probe|medium[- ]rare|well[- ]done|inside|centre reaches|center reaches|registers?|doneness")
_LIQUID = re.compile(r"\b(?:oil|fat|syrup|water|milk|deep[- ]?fry\w*|fryer|candy|caramel|jam|sugar|lard|soft[- ]ball|hard[- ]crack|lukewarm|shortening)\b")
_OVEN = re.compile(r"\b(?:ovens?|preheat\w*|pre-heat\w*|bak(?:e|ed|ing)|roast\w*|smoker|barbecue|grill|broiler|gas mark)\b")
_SURFACE = re.compile(r"\b(?:griddle|skillet|pan|hot ?plate|stone|iron)\b")
_AIR = re.compile(r"\b(?:room temp\w*|warm place|proof\w*|prov(?:e|ing)|rise|ferment\w*|ambient)\b")
_STORAGE = re.compile(r"\b(?:refrigerat\w*|fridge|freezer?|frozen|chill\w*|stor(?:e|age))\b")


def _sentence(low: str, step: Step, at: int) -> tuple[int, int]:
    begin = step.span.start
    for match in _SENTENCE.finditer(low, step.span.start, step.span.end):
        if match.end() <= at:
            begin = match.end()
        else:
            return begin, match.start()
    return begin, step.span.end


def _temperature_role(low: str, step: Step, quantity: Quantity) -> str:
    begin, end = _sentence(low, step, quantity.core.start)
    near = low[begin:end]
    if _CORE.search(near) and quantity.value[1] <= 105:
        return "core"
    best = ""
    best_at = -1
    for role, pattern in (("oven", _OVEN), ("liquid", _LIQUID), ("surface", _SURFACE), ("air", _AIR), ("storage", _STORAGE)):
        for match in pattern.finditer(low, begin, end):
            gap = quantity.core.start - match.start()
            score = -gap if gap >= 0 else gap * 2
            if best_at == -1 or score > best_at:
                best, best_at = role, score
    return best or ("oven" if quantity.value[0] >= 90 else "other")


def _duration_role(low: str, step: Step, some: list[Quantity], at: int) -> str:
    quantity = some[at]
    if quantity.per_kg is not None:
        return "rate"
    begin, end = _sentence(low, step, quantity.core.start)
    before = low[begin : quantity.span.start]
    tail = low[quantity.core.end : quantity.span.end] + low[quantity.span.end : min(end, quantity.span.end + 40)]
    if _EACH.match(tail) or _EACH_BEFORE.search(before[-40:]):
        return "each"
    if tail.lstrip().startswith("interval") or before.endswith(("every ", "every other ")):
        return "interval"
    if quantity.last:
        return "offset"
    words, phrases = _cues()
    role = ""
    previous = ""
    for match in _WORD.finditer(low, begin, quantity.span.start):
        word = match[0]
        cue = phrases.get(f"{previous} {word}") or words.get(word)
        previous = word
        if cue and not (word == "stirring" or word == "turning"):
            role = cue if not (cue == "leave" and role) else role
    if not role or role == "leave":
        for match in _WORD.finditer(low, quantity.span.end, end):
            if (cue := words.get(match[0])) and cue != "leave":
                role = cue
                break
    if role == "keep":
        return "other"
    if role in ("", "leave"):
        return "rest" if role else "cook"
    return role
