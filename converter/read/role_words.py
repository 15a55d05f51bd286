"""The verbs, places and sentences around a time or a temperature. All text is lower case.

The words stand in ``lexicon/roles.yaml``.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from functools import cache
from typing import Any

from converter import data

WORD = re.compile(r"[a-zà-ÿ][a-zà-ÿ'’-]*")
_STOP = re.compile(r"[.!?](?=[)\]\"”’' ]|$)|;")
_SHORT = tuple(
    f"{before}{word}"
    for before in (" ", "-", "(", "/", *"0123456789")
    for word in [
        "min",
        "mins",
        "approx",
        "hr",
        "hrs",
        "sec",
        "secs",
        "lb",
        "lbs",
        "oz",
        "tsp",
        "tbsp",
        "e.g",
        "i.e",
        "c",
        "f",
        "°c",
        "°f",
        "deg",
        "degs",
        "no",
        "in",
        "vs",
        "ca",
        "wk",
        "wks",
        "pkg",
    ]
) + ("°",)
_BE = frozenset(
    [
        "be",
        "is",
        "are",
        "was",
        "were",
        "been",
        "being",
        "has",
        "have",
        "had",
        "get",
        "gets",
        "keep",
        "kept",
        "stay",
        "stays",
        "remain",
        "fully",
        "completely",
        "lightly",
        "until",
        "not",
        "well",
        "partially",
        "stored",
        "it's",
        "they're",
        "left",
        "thoroughly",
        "once",
    ]
)
_ONWARD = frozenset(["continue", "continues", "keep", "start", "begin", "finish", "stop", "carry"])


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
    "verbs",
    "participles",
    "places",
    "phrases",
    "off_heat",
    "heat_named",
    "noun_before",
    "noun_after",
    "temperature",
)


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
    for role, bases in root["verbs"].items():
        for base in bases:
            verbs[base] = (role, "b")
    places = {word: role for role, some in root["places"].items() for word in some}
    roles = {word: role for role, some in root["temperature"].items() for word in some}
    return Words(
        verbs,
        {word: role for word, role in places.items() if " " not in word},
        {word: role for word, role in places.items() if " " in word},
        {phrase: role for role, some in root["phrases"].items() for phrase in some},
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
    """Return role and offset of the verb that governs a time which begins at `start`."""
    listed = words()
    found, found_at = "", begin
    previous = ""
    until = False
    tokens = list(WORD.finditer(low, begin, start))
    for n, token in enumerate(tokens):
        word = token[0]
        pair = f"{previous} {word}"
        phrase = listed.phrases.get(pair)
        if word in ("until", "till"):
            until = True
        elif until and (word == "then" or (word == "and" and low[token.start() - 2 : token.start()] == ", ")):
            until = False
        elif phrase and not (phrase == "cook" and found):
            found, found_at = phrase, token.start()
        elif word in listed.verbs:
            role, form = listed.verbs[word]
            following = tokens[n + 1][0] if n + 1 < len(tokens) else ""
            if _is_verb(low, token, form, previous, following, bool(found), listed, until):
                if (
                    (until and found and role != "prove")
                    or (role == "put" and found)
                    or (role == "leave" and found in ("prove",))
                    or (role == "stir" and found == "cook" and _manner(low, token, form))
                ):
                    pass
                else:
                    found, found_at = role, token.start()
        previous = word
    return found, found_at


def _manner(low: str, token: re.Match[str], form: str) -> bool:
    """Tell whether stirring only says how the cooking is done: "cook and stir", "cook, stir occasionally"."""
    before = low[max(0, token.start() - 5) : token.start()]
    return form == "g" or before.endswith(("and ", ", "))


def _is_verb(
    low: str, token: re.Match[str], form: str, previous: str, following: str, had: bool, listed: Words, until: bool
) -> bool:
    if form == "g":
        if following in listed.noun_after and low[token.end() : token.end() + 1] == " ":
            return False
        if previous in ("the", "a", "your") or (had and previous not in _ONWARD and not previous == "by"):
            return False
        return True
    touching = low[token.start() - 1 : token.start()] == " " and low[token.start() - 2 : token.start() - 1] not in (
        ",",
        ".",
        ";",
        ":",
        "(",
    )
    if form == "d":
        return (touching and previous in _BE) or previous == ""
    if touching and previous in listed.noun_before:
        return False
    return not (
        following in ("water", "oil", "place", "spot", "pan", "temperature", "plate", "milk", "cream")
        and token[0] in ("warm", "cool", "fry", "cream", "brown")
    )


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
    for first, last in reversed(list(zip(stops, stops[1:], strict=False))):
        role, _ = verb(step.low, first, last)
        if role and role != "put":
            return role
    return ""
