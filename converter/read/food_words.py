"""The lexicon of foods, dishes, forms and guards, made ready to look up.

One dictionary by the first word of a phrase; plurals are made here. Tables:
lexicon/foods.yaml, dishes.yaml, food_words.yaml.
"""

from __future__ import annotations

import re
import unicodedata
from functools import cache, lru_cache
from typing import Any, NamedTuple

from converter.data import DataError, expect_keys, lexicon

KINDS = ("food", "dish")
FORMS = (
    "minced", "tinned", "dried", "frozen", "rolled", "stuffed", "whole", "bone-in", "boneless", "skinless", "cooked",
    "raw", "fresh", "chopped", "sliced", "smoked", "melted", "grated",
)  # fmt: skip
TOKENS = re.compile(r"([a-z]+(?:'[a-z]+)?)")
_ACCENTED = re.compile(r"[^\x00-\x7f°½¼¾–—⅓⅔⅛×]")


class Entry(NamedTuple):
    """One phrase of the lexicon; ``kind`` is food, dish, vessel or nothing.

    ``verb``: 0 never a verb, 1 at the head of a clause, 2 nearly always one.
    """

    rest: tuple[str, ...]
    food: str
    kind: str
    verb: int
    weak: bool


class Words(NamedTuple):
    """The lexicon, ready to look up."""

    by_first: dict[str, tuple[Entry, ...]]
    classes: dict[str, tuple[str, frozenset[str]]]
    forms: dict[str, tuple[tuple[tuple[str, ...], str], ...]]
    form_of: dict[str, frozenset[str]]
    loose: dict[str, tuple[str, ...]]
    cues: dict[str, frozenset[str]]
    makes: dict[str, str]
    titles: dict[str, str]
    families: dict[str, frozenset[str]]


def fold(text: str) -> str:
    """Return `text` in lower case without accents; every character keeps its place."""
    low = text.lower()
    if len(low) != len(text):
        low = "".join(char.lower() if len(char.lower()) == 1 else char for char in text)
    return low if low.isascii() else _ACCENTED.sub(_plain_match, low)


def _plain_match(match: re.Match[str]) -> str:
    return _plain(match[0])


@lru_cache(maxsize=1024)
def _plain(char: str) -> str:
    if char in "’‘ʼ":
        return "'"
    base = unicodedata.normalize("NFD", char)[:1]
    return base if base.isascii() and base.isalpha() else char


def plurals(phrase: str) -> tuple[str, ...]:
    """Return the plural forms of a phrase: of the last word, or of the word before "of"."""
    head, of, tail = phrase.partition(" of ")
    tail = of + tail
    end = head[-1:]
    if end in "sxz" or head.endswith(("ch", "sh")):
        return (head + "es" + tail,)
    if end == "y" and head[-2:-1] not in "aeou":
        return head[:-1] + "ies" + tail, head + "s" + tail
    if end == "o":
        return head + "es" + tail, head + "s" + tail
    if end == "f" and head[-2:-1] not in "fe":
        return head[:-1] + "ves" + tail, head + "s" + tail
    if end == "e" and head.endswith("fe"):
        return (head[:-2] + "ves" + tail,)
    if end == "t" and head.endswith("foot"):
        return (head[:-4] + "feet" + tail,)
    if end == "n" and head.endswith("man"):
        return (head[:-3] + "men" + tail,)
    return (head + "s" + tail,)


def _class_words(words: Any) -> list[tuple[str, str, str]]:
    """Return (phrase, class, where) for every written phrase, cuts included, and check the tables."""
    allowed = words["attributes"]
    out: list[tuple[str, str, str]] = []
    seen: dict[str, Any] = {}
    for name in ("foods", "dishes"):
        table = expect_keys(lexicon(name), required=("kind", "classes"))
        if table["kind"] not in KINDS:
            raise DataError(table.at("kind"), f"unknown kind '{table['kind']}'; allowed are {', '.join(KINDS)}")
        for food, node in table["classes"].items():
            expect_keys(node, required=("attributes", "words"), optional=("exact",), where=f"{name}: {food}")
            for attribute in node["attributes"]:
                if attribute not in allowed:
                    raise DataError(node.at("attributes"), f"unknown attribute '{attribute}'")
            if food in seen:
                raise DataError(node.where, f"the class '{food}' is given twice")
            seen[food] = node
            out += [(str(word), food, node.at("words")) for word in node["words"]]
            out += [("=" + word, food, node.at("exact")) for word in node.get("exact", ())]
    for food, node in words["cuts"].items():
        expect_keys(node, required=("animals", "cuts"), where=f"cuts: {food}")
        if food not in seen:
            raise DataError(words["cuts"].at(food), f"unknown class '{food}'")
        for animal in node["animals"]:
            for cut in node["cuts"]:
                out += [(f"{animal} {cut}", food, ""), (f"{cut} of {animal}", food, "")]
    return out


@cache
def words() -> Words:
    """Return the lexicon of foods and dishes, read and checked once.

    Raises ``DataError`` for an unknown key, attribute, class or form and for a
    phrase that is written under two classes.
    """
    # fmt: off
    table = expect_keys(
        lexicon("food_words"),
        required=(
            "attributes",
            "forms",
            "cuts",
            "vessels",
            "nothing",
            "verbs",
            "actions",
            "weak",
            "loose",
            "cues",
            "families",
        ),
    )
    # fmt: on
    cues = expect_keys(table["cues"], required=("ends", "wraps", "marks", "joint", "makes", "titles"))
    classes: dict[str, tuple[str, frozenset[str]]] = {}
    for name in ("foods", "dishes"):
        for food, node in lexicon(name)["classes"].items():
            classes[food] = (lexicon(name)["kind"], frozenset(node["attributes"]))
    verbs = dict.fromkeys(table["verbs"], 1) | dict.fromkeys(table["actions"], 2)
    weak = frozenset(table["weak"])
    written: dict[str, tuple[str, str]] = {}
    plural: dict[str, tuple[str, str]] = {}
    for kind in ("nothing", "vessels"):
        value = ("", kind.removesuffix("s"))
        for phrase in table[kind]:
            written[phrase] = value
            for form in plurals(phrase):
                plural.setdefault(form, value)
    for phrase, food, where in _class_words(table):
        value = (food, classes[food][0])
        exact = phrase[0] == "="
        phrase = fold(phrase[1:] if exact else phrase)
        old = written.setdefault(phrase, value)
        if old != value and where:
            raise DataError(where, f"'{phrase}' is already a word of '{old[0] or old[1]}'")
        if not exact:
            for form in plurals(phrase):
                plural.setdefault(form, value)
    index: dict[str, list[Entry]] = {}
    for phrase, (food, kind) in (plural | written).items():
        first, *rest = phrase.split()
        index.setdefault(first, []).append(Entry(tuple(rest), food, kind, verbs.get(phrase, 0), phrase in weak))
    forms: dict[str, list[tuple[tuple[str, ...], str]]] = {}
    form_of: dict[str, frozenset[str]] = {}
    for form, node in table["forms"].items():
        expect_keys(node, required=("words",), optional=("of",), where=f"forms: {form}")
        if form not in FORMS:
            raise DataError(table["forms"].at(form), f"unknown form '{form}'; allowed are {', '.join(FORMS)}")
        form_of[form] = frozenset(node.get("of", ()))
        for phrase in node["words"]:
            first, *rest = phrase.split()
            forms.setdefault(first, []).append((tuple(rest), form))
    for name in ("families", "cues"):
        for key, many in table[name].items():
            if name == "families" or key in ("wraps", "joint", "makes", "titles"):
                for food in many.values() if key == "titles" else (*many, *many.values()) if key == "makes" else many:
                    if food not in classes:
                        raise DataError(table[name].at(key), f"unknown class '{food}'")
    for word, kinds in table["loose"].items():
        for attribute in kinds:
            if attribute not in table["attributes"]:
                raise DataError(table["loose"].at(word), f"unknown attribute '{attribute}'")
    return Words(
        by_first={first: tuple(sorted(many, key=lambda entry: -len(entry.rest))) for first, many in index.items()},
        classes=classes,
        forms={first: tuple(sorted(many, key=lambda item: -len(item[0]))) for first, many in forms.items()},
        form_of=form_of,
        loose={word: tuple(kinds) for word, kinds in table["loose"].items()},
        cues={name: frozenset(cues[name]) for name in ("ends", "wraps", "marks", "joint")},
        makes=dict(cues["makes"]),
        titles=dict(cues["titles"]),
        families={name: frozenset(many) for name, many in table["families"].items()},
    )


def attributes(food_class: str) -> frozenset[str]:
    """Return the attributes of a class. Raises ``KeyError`` for a word that is no class."""
    return words().classes[food_class][1]


def kind_of(food_class: str) -> str:
    """Return food or dish. Raises ``KeyError`` for a word that is no class."""
    return words().classes[food_class][0]
