"""The tables of the safety pass: limits with their sources, texts of the cautions, word lists.

``rules/safety_limits.yaml``, ``safety_cautions.yaml`` and ``safety_words.yaml``.
The published figures stand here a second time: a table that is laxer stops
the load, so that no edit of the data can weaken the pass unseen.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from functools import cache
from typing import Any

from converter.data import DataError, Node, expect_keys, folder, read

UNITS: tuple[str, ...] = ("C", "min", "h", "percent")
STATUSES: tuple[str, ...] = ("sourced", "reported", "from-memory", "common-practice")

# Figures as published (sources in safety_limits.yaml): no lower value is taken for these ...
AT_LEAST: dict[str, float] = {
    "poultry-core": 73.9, "mince-core": 71.1, "whole-core": 62.8, "whole-rest": 3, "fish-core": 62.8, "egg-core": 71.1,
    "leftover-core": 73.9, "stuffing-core": 73.9, "stuffed-core": 73.9, "uk-core": 70, "uk-hold": 2, "uk-core-75": 75,
    "uk-hold-75": 0.5, "uk-core-80": 80, "uk-hold-80": 0.1, "uk-core-65": 65, "uk-hold-65": 14, "uk-core-60": 60,
    "uk-hold-60": 93, "roast-oven": 121.1, "meat-oven": 162.8, "hot-hold": 63, "hot-hold-us": 57.2, "bean-boil": 10,
    "bean-boil-us": 30, "bean-soak": 5, "jerky-core": 71.1, "frozen-longer": 50, "burn-cool": 20,
}  # fmt: skip
# ... and no higher one for these.
AT_MOST: dict[str, float] = {
    "hot-hold-time": 2, "room-time": 2, "cool-first-to": 21.1, "cool-first": 2, "cool-last-to": 5, "cool-all": 6,
    "rice-cool": 1, "rice-keep": 24,
}  # fmt: skip
CAUTIONS: tuple[str, ...] = (
    "poultry-core", "mince-core", "pork-core", "rolled-core", "stuffing-core", "core-below-advised",
    "core-below-choice",
    "pink-inside", "slow-poultry", "slow-mince", "slow-joint", "slow-start", "from-frozen", "kidney-beans", "kept-warm",
    "left-out", "marinate-warm", "thawed-warm", "slow-cooling", "rice-left", "reheat", "marinade-reused",
    "washed-poultry", "dried-meat", "raw-egg", "raw-dough", "deep-fat", "oil-alone", "water-on-fat", "sugar-burn",
    "jam-boil-over", "flambe", "charcoal-indoors", "plastic-heated", "closed-tin", "home-canning", "garlic-oil",
    "cooling-oven", "overnight-oven", "door-ajar",
)  # fmt: skip
_SLOT = re.compile(r"\{([^{}]*)\}")
_NAMED = re.compile(r"<([a-z-]+(?:\|[a-z-]+)*)>")
_LIST = re.compile(r"[a-z]+(?:-[a-z]+)*")


class Late:
    """A regular expression that is compiled when it is first used; hundreds of them would slow the start."""

    search: Callable[..., re.Match[str] | None]
    fullmatch: Callable[..., re.Match[str] | None]
    finditer: Callable[..., Iterator[re.Match[str]]]

    def __init__(self, text: str) -> None:
        self._text = text

    def __getattr__(self, name: str) -> Any:
        if name not in ("search", "fullmatch", "finditer"):
            raise AttributeError(name)
        compiled = re.compile(self._text)
        self.search, self.fullmatch, self.finditer = compiled.search, compiled.fullmatch, compiled.finditer
        return getattr(compiled, name)


@dataclass(frozen=True, slots=True)
class Caution:
    """The texts of one caution, figures filled in; ``source`` names publisher and title."""

    name: str
    message: str
    why: str
    choices: tuple[str, ...]
    source: str


@dataclass(frozen=True, slots=True)
class Limit:
    """One figure. ``unit`` is C, min, h or percent; ``source`` an id of the table of sources."""

    value: float
    unit: str
    source: str

    @property
    def words(self) -> str:
        """The figure with its unit as a cook reads it."""
        if self.unit == "C":
            return f"{round(self.value)} °C/{round(self.value * 1.8 + 32)} °F"
        if self.unit == "percent":
            return f"{self.value:g} %"
        if self.unit == "min" and self.value < 1:
            return f"{round(self.value * 60)} seconds"
        noun = {"min": "minute", "h": "hour"}[self.unit]
        return f"{self.value:g} {noun}" + ("" if self.value == 1 else "s")


def _words(node: Node, key: str) -> str:
    value = node[key]
    if not isinstance(value, str) or not value.strip():
        raise DataError(node.at(key), f"'{key}' must be a text")
    return value


def _open(node: Any, where: str) -> Node:
    if not isinstance(node, Node):
        raise DataError(where, "expected a mapping")
    return node


def parse_limits(tree: Any, name: str) -> tuple[dict[str, Limit], dict[str, str]]:
    """Return limits by id and printed source by id; raises ``DataError`` for any other shape or a laxer figure."""
    expect_keys(tree, required=("sources", "limits"), where=name)
    sources: dict[str, str] = {}
    for key, node in _open(tree["sources"], name).items():
        expect_keys(node, required=("publisher", "title", "year", "url", "status"), optional=("read_at",), where=name)
        if node["status"] not in STATUSES:
            raise DataError(node.at("status"), f"unknown status '{node['status']}'; allowed are {', '.join(STATUSES)}")
        if not node["url"] and node["status"] != "common-practice":
            raise DataError(node.at("url"), "a source needs an address unless it is common practice")
        _words(node, "year")
        sources[key] = f"{_words(node, 'publisher')}: {_words(node, 'title')}"
    limits: dict[str, Limit] = {}
    table = expect_keys(tree["limits"], required=(*AT_LEAST, *AT_MOST), where=name)
    for key, node in table.items():
        expect_keys(node, required=("value", "unit", "source"), where=table.at(key))
        value, unit, source = node["value"], node["unit"], node["source"]
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise DataError(node.at("value"), "a limit must be a number")
        if unit not in UNITS:
            raise DataError(node.at("unit"), f"unknown unit '{unit}'; allowed are {', '.join(UNITS)}")
        if source not in sources:
            raise DataError(node.at("source"), f"unknown source '{source}'")
        if value < AT_LEAST.get(key, value) or value > AT_MOST.get(key, value):
            raise DataError(node.at("value"), f"'{key}' is laxer than the published figure")
        limits[key] = Limit(float(value), unit, source)
    return limits, sources


def parse_cautions(tree: Any, limits: dict[str, Limit], sources: dict[str, str], name: str) -> dict[str, Caution]:
    """Return the cautions by name, figures filled in; raises ``DataError`` for any other shape."""
    expect_keys(tree, required=("cautions",), where=name)
    table = expect_keys(tree["cautions"], required=CAUTIONS, where=name)
    made: dict[str, Caution] = {}
    for key, node in table.items():
        expect_keys(node, required=("message", "why", "choices", "source"), where=table.at(key))
        for field in ("choices", "source"):
            if not isinstance(node[field], list) or not node[field]:
                raise DataError(node.at(field), f"'{field}' must be a list with at least one entry")
        for source in node["source"]:
            if source not in sources:
                raise DataError(node.at("source"), f"unknown source '{source}'")
        texts = [_words(node, "message"), _words(node, "why"), *(str(choice) for choice in node["choices"])]
        for text in texts:
            for slot in _SLOT.findall(text):
                if slot not in limits:
                    raise DataError(node.where, f"unknown limit '{slot}'")
        message, why, *choices = (_SLOT.sub(lambda match: limits[match[1]].words, text) for text in texts)
        made[key] = Caution(key, message, why, tuple(choices), "; ".join(sources[s] for s in node["source"]))
    return made


def parse_words(tree: Any, name: str) -> dict[str, tuple[str, ...]]:
    """Return the word lists by name; raises ``DataError`` for any other shape or an upper-case word."""
    expect_keys(tree, required=("words",), where=name)
    lists: dict[str, tuple[str, ...]] = {}
    for key, words in _open(tree["words"], name).items():
        where = tree["words"].at(key)
        if not _LIST.fullmatch(key) or not isinstance(words, list) or not words:
            raise DataError(where, f"'{key}' must be a list of words")
        made = tuple(str(word) for word in words)
        if any(word != word.lower() or word != word.strip() for word in made):
            raise DataError(where, "words are written in lower case")
        lists[key] = made
    return lists


@cache
def _limits() -> tuple[dict[str, Limit], dict[str, str]]:
    return parse_limits(read(folder("rules") / "safety_limits.yaml"), "safety_limits.yaml")


def limits() -> dict[str, Limit]:
    """Return the limits by id, read once."""
    return _limits()[0]


def limit_source(name: str) -> str:
    """Return publisher and title of the source of one limit."""
    found, sources = _limits()
    return sources[found[name].source]


@cache
def caution_texts() -> dict[str, Caution]:
    """Return the cautions by name, read once."""
    return parse_cautions(read(folder("rules") / "safety_cautions.yaml"), *_limits(), "safety_cautions.yaml")


@cache
def word_lists() -> dict[str, tuple[str, ...]]:
    """Return the word lists by name, read once."""
    return parse_words(read(folder("rules") / "safety_words.yaml"), "safety_words.yaml")


@cache
def singles(name: str) -> frozenset[str]:
    """Return the words of a list that are one word."""
    return frozenset(word for word in word_lists()[name] if " " not in word and "-" not in word)


@cache
def phrases(name: str) -> tuple[str, ...]:
    """Return the entries of a list that are several words or hyphened."""
    return tuple(word for word in word_lists()[name] if " " in word or "-" in word)


@cache
def one_of(*names: str) -> str:
    """Return a bracketed pattern between word breaks that takes any entry of the lists, for lowered text."""
    words = sorted({word for name in names for word in word_lists()[name]}, key=lambda word: (-len(word), word))
    return r"\b(?:" + "|".join(re.escape(word).replace(r"\ ", r"\s+") for word in words) + r")\b"


@cache
def pattern(text: str) -> re.Pattern[str]:
    """Return `text` compiled; ``<list-name>`` in it stands for the words of a list."""
    return re.compile(_NAMED.sub(lambda match: one_of(*match[1].split("|")), text))
