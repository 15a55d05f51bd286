"""The verbs, places and sentences around a time or a temperature. All text is lower case.

The words stand in ``lexicon/roles.yaml``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Any

from converter import data

WORD = re.compile(r"[a-zà-ÿ][a-zà-ÿ'’-]*")
_STOP = re.compile(r"[.!?](?=[)\]\"”’' ]|$)|;")
_ABBREVIATIONS = (
    "min", "mins", "approx", "hr", "hrs", "sec", "secs", "lb", "lbs", "oz", "tsp", "tbsp", "e.g", "i.e", "c", "f",
    "°c", "°f", "deg", "degs", "no", "in", "vs", "ca", "wk", "wks", "pkg",
)  # fmt: skip
_SHORT = ("°", *(f"{before}{word}" for before in " -(/0123456789" for word in _ABBREVIATIONS))
_BE = frozenset(
    ("be", "is", "are", "was", "were", "been", "being", "has", "have", "had", "get", "gets", "keep", "kept", "stay",
     "stays", "remain", "fully", "completely", "lightly", "not", "well", "partially", "stored", "it's", "they're",
     "left", "thoroughly")
)  # fmt: skip
_UNTIL = frozenset(("until", "till", "'til", "til", "when", "once", "while", "as", "before"))
_ONWARD = frozenset(("continue", "continues", "keep", "start", "begin", "finish", "carry", "by", "of"))
_NO_VERB_BEFORE = frozenset(("water", "oil", "place", "spot", "pan", "temperature", "plate", "milk", "cream", "sugar"))
_OFTEN_NOUNS = frozenset(
    ("warm", "cool", "dry", "fry", "cream", "brown", "press", "process", "work", "roll", "crisp", "colour", "color",
     "fire", "foam", "pickle", "toast", "pop", "steam", "smoke", "double", "sour", "roast", "stew", "marinade", "brine",
     "cure", "bloom", "torch")
)  # fmt: skip
_BEFORE_VERB = frozenset(
    ("and", "or", "then", "to", "let", "it", "them", "gently", "lightly", "slowly", "well", "you", "can", "will",
     "should", "just", "not", "must", "quickly", "briefly", "now", "first", "next", "carefully", "thoroughly",
     "finally")
)  # fmt: skip
_OFTEN = frozenset(
    ("often", "occasionally", "frequently", "constantly", "regularly", "gently", "continuously", "now", "every",
     "from", "until", "once")
)  # fmt: skip
_STRONG = ("cook", "soak", "chill", "prove", "rest", "infuse")


@dataclass(frozen=True, slots=True)
class Words:
    verbs: dict[str, tuple[str, str]]  # word -> role, form: b base, g -ing, d -ed
    places: dict[str, str]
    place_pairs: dict[str, str]
    phrases: dict[str, str]
    noun_before: frozenset[str]
    noun_after: frozenset[str]
    off_heat: re.Pattern[str]
    heat_named: re.Pattern[str]
    temperature: re.Pattern[str]
    temperature_roles: dict[str, str]


_KEYS = (
    "verbs", "participles", "places", "phrases", "nouns", "off_heat", "heat_named", "noun_before", "noun_after",
    "temperature",
)  # fmt: skip


@cache
def words() -> Words:
    """Return the word lists, read once. Raises ``DataError`` for a list that breaks its shape."""
    root = data.expect_keys(data.lexicon("roles"), required=_KEYS, where="lexicon/roles.yaml")
    verbs: dict[str, tuple[str, str]] = {}
    for role, bases in root["verbs"].items():
        for base in bases:
            for form, kind in _forms(str(base)):
                verbs.setdefault(form, (role, kind))
    for role, some in root["participles"].items():
        for word in some:
            verbs[word] = (role, "d")
    del verbs["leaves"]  # of a plant
    for role, bases in root["verbs"].items():
        for base in bases:
            verbs[base] = (role, "b")
    places = {word: role for role, some in root["places"].items() for word in some}
    roles = {word: role for role, some in root["temperature"].items() for word in some}
    return Words(
        verbs,
        {word: role for word, role in places.items() if " " not in word},
        {word: role for word, role in places.items() if " " in word},
        {phrase: role for role, some in root["phrases"].items() for phrase in some} | dict.fromkeys(root["nouns"], ""),
        frozenset(root["noun_before"]),
        frozenset(root["noun_after"]),
        _alternatives(root["off_heat"]),
        re.compile("|".join(re.escape(word) for word in root["heat_named"])),
        _alternatives(roles),
        roles,
    )


def _alternatives(some: Iterable[Any]) -> re.Pattern[str]:
    ordered = sorted((re.escape(word) for word in some), key=len, reverse=True)
    return re.compile(rf"(?<![a-z])(?:{'|'.join(ordered)})(?![a-z])")


def _forms(base: str) -> list[tuple[str, str]]:
    if base.endswith("e"):
        return [(base + "s", "b"), (base + "d", "d"), (base[:-1] + "ing", "g"), (base + "ing", "g")]
    if base.endswith("y") and base[-2] not in "aeiou":
        return [(base[:-1] + "ies", "b"), (base[:-1] + "ied", "d"), (base + "ing", "g")]
    made = [(base + "s", "b"), (base + "es", "b"), (base + "ed", "d"), (base + "ing", "g")]
    if base[-1] not in "aeiouwyxh":
        made += [(base + base[-1] + "ed", "d"), (base + base[-1] + "ing", "g")]
    return made


@dataclass(frozen=True, slots=True)
class StepText:
    """The lowered text of a document and where one step and its sentences stand in it."""

    low: str
    start: int
    end: int
    stops: tuple[int, ...]  # offsets after each sentence, from ``start`` to ``end``

    def sentence(self, at: int) -> tuple[int, int]:
        """Return begin and end of the sentence that holds offset `at`; a semicolon ends one."""
        begin = self.start
        for stop in self.stops:
            if at < stop:
                return begin, stop
            begin = stop
        return begin, self.end


def step_text(low: str, start: int, end: int) -> StepText:
    """Return the step of ``low[start:end]`` with its sentences found."""
    stops = [
        match.end()
        for match in _STOP.finditer(low, start, end)
        if not (low[match.start()] == "." and low[max(start, match.start() - 7) : match.start()].endswith(_SHORT))
    ]
    return StepText(low, start, end, (*stops, end))


def verb(low: str, begin: int, start: int) -> tuple[str, int]:
    """Return role and offset of the verb that governs a time which begins at `start`.

    Verbs after "until", "when" and the like speak only where no other does; a
    telling verb is not overruled by one that says how, or what for.
    """
    listed = words()
    found, found_at = "", begin
    aside, aside_at = "", begin
    previous = ""
    until = False
    tokens = list(WORD.finditer(low, begin, start))
    for n, token in enumerate(tokens):
        word = token[0]
        before = low[token.start() - 2 : token.start()] if token.start() - 2 >= begin else ""
        if word in _UNTIL:
            until = True
        elif until and (word == "then" or before == ", "):
            until = word in listed.verbs and listed.verbs[word][1] == "g"
        role, form = listed.verbs.get(word, ("", ""))
        phrase = listed.phrases.get(f"{previous} {word}")
        if phrase is not None:
            role, form = phrase, "p"
        if role and not (form == "p" and role == "cook" and found):
            following = tokens[n + 1][0] if n + 1 < len(tokens) else ""
            if form == "p" or _is_verb(low, token, form, previous, following, before, found):
                if until:
                    if not (role == "prove" and found in ("rest", "leave", "put", "")):
                        aside, aside_at = aside or role, token.start()
                    else:
                        found, found_at = role, token.start()
                elif not _only_tells_how(role, form, found, previous, following, before):
                    found, found_at = role, token.start()
        previous = word
    if found in ("", "put") and aside:
        return aside, aside_at
    return found, found_at


def _only_tells_how(role: str, form: str, found: str, previous: str, following: str, before: str) -> bool:
    """Tell whether a verb leaves the one before it in force: "cook, stir often", "simmer to blend", "bake, covered"."""
    if role == "put":
        return bool(found)
    if role == "leave":
        return found == "prove"
    if role in ("stir", "prep", "cook") and found in _STRONG and previous == "to" and role != found:
        return True
    if role == "stir" and found in _STRONG:
        joined = before == ", " or previous == "and"
        return form == "g" or (joined and (found == "cook" or following in _OFTEN))
    return False


def _is_verb(low: str, token: re.Match[str], form: str, previous: str, following: str, before: str, found: str) -> bool:
    """Tell a verb from the noun or adjective of the same letters; `before` are the two characters before it."""
    listed = words()
    touching = before[1:] == " " and before[:1] not in (",", ".", ";", ":", "(")
    if form == "g":
        if following in listed.noun_after and low[token.end() : token.end() + 1] == " ":
            return False
        return not (touching and previous in ("the", "a", "your")) and (
            not found or previous in _ONWARD or previous in _BE
        )
    if form == "d":
        return (touching and previous in _BE) or previous == ""
    if touching and previous in listed.noun_before:
        return False
    if token[0] in _OFTEN_NOUNS:
        called = not touching or previous in _BEFORE_VERB or found == "leave"
        return called and following not in _NO_VERB_BEFORE
    return True


def place(low: str, begin: int, end: int, roles: tuple[str, ...]) -> str:
    """Return the role of the last place named in ``low[begin:end]`` that has one of these `roles`, or ""."""
    listed = words()
    previous = ""
    found = ""
    for token in WORD.finditer(low, begin, end):
        word = token[0]
        role = listed.place_pairs.get(f"{previous} {word}") or listed.places.get(word)
        if role in roles:
            found = role
        previous = word
    return found


def verb_before(step: StepText, begin: int) -> str:
    """Return the role of the last telling verb of the sentences before, in the same step."""
    stops = [step.start, *(stop for stop in step.stops if stop <= begin)]
    for first, last in reversed(list(pairwise(stops))):
        role, _ = verb(step.low, first, last)
        if role and role != "put":
            return role
    return ""
