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
    """One phrase of the lexicon; ``kind`` is food, dish, vessel or nothing."""

    rest: tuple[str, ...]
    food: str
    kind: str
    verb: bool
    written: bool


class Words(NamedTuple):
    """The lexicon, ready to look up."""

    index: dict[str, tuple[Entry, ...]]
    classes: dict[str, tuple[str, frozenset[str]]]
    forms: dict[str, tuple[tuple[tuple[str, ...], str], ...]]
    form_of: dict[str, frozenset[str]]
    loose: dict[str, tuple[str, ...]]
    cues: dict[str, frozenset[str]]


def fold(text: str) -> str:
    """Return `text` in lower case without accents; every character keeps its place."""
    low = text.lower()
    if len(low) != len(text):
        low = "".join(char.lower() if len(char.lower()) == 1 else char for char in text)
    if not low.isascii() and _ACCENTED.search(low):
        low = "".join(_plain(char) for char in low)
    return low


@lru_cache(maxsize=1024)
def _plain(char: str) -> str:
    if char in "’‘ʼ":
        return "'"
    base = unicodedata.normalize("NFD", char)[:1]
    return base if base.isascii() and base.isalpha() else char


def plurals(phrase: str) -> tuple[str, ...]:
    """Return the plural forms of a phrase: of the last word, or of the word before "of"."""
    words = phrase.split()
    at = words.index("of") - 1 if "of" in words[1:] else len(words) - 1
    word = words[at]
    if word.endswith(("s", "x", "z", "ch", "sh")):
        forms = [word + "es"]
    elif word.endswith("y") and word[-2:-1] not in ("a", "e", "o", "u"):
        forms = [word[:-1] + "ies", word + "s"]
    elif word.endswith("o"):
        forms = [word + "es", word + "s"]
    elif word.endswith("f") and not word.endswith(("ff", "ef")):
        forms = [word[:-1] + "ves", word + "s"]
    elif word.endswith("fe"):
        forms = [word[:-2] + "ves"]
    elif word.endswith("foot"):
        forms = [word[:-4] + "feet"]
    elif word.endswith("man"):
        forms = [word[:-3] + "men"]
    else:
        forms = [word + "s"]
    return tuple(" ".join((*words[:at], form, *words[at + 1 :])) for form in forms)


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
    table = expect_keys(
        lexicon("food_words"),
        required=("attributes", "forms", "cuts", "vessels", "nothing", "verbs", "loose", "cues"),
    )
    classes: dict[str, tuple[str, frozenset[str]]] = {}
    for name in ("foods", "dishes"):
        for food, node in lexicon(name)["classes"].items():
            classes[food] = (lexicon(name)["kind"], frozenset(node["attributes"]))
    verbs = frozenset(table["verbs"])
    found: dict[str, tuple[str, str, bool]] = {}  # phrase -> class, kind, written out

    def put(phrase: str, food: str, kind: str, written: bool, where: str) -> None:
        old = found.get(phrase)
        if old is None or (written and not old[2]):
            found[phrase] = (food, kind, written)
        elif written and where and old[0] != food:
            raise DataError(where, f"'{phrase}' is already a word of '{old[0] or old[1]}'")

    for phrase in table["nothing"]:
        put(fold(phrase), "", "nothing", True, table.at("nothing"))
    for phrase in table["vessels"]:
        put(phrase, "", "vessel", True, table.at("vessels"))
    made = _class_words(table)
    for phrase, food, where in made:
        put(fold(phrase.lstrip("=")), food, classes[food][0], True, where)
    for phrase in (*table["nothing"], *table["vessels"]):
        for plural in plurals(phrase):
            put(plural, *found[phrase][:2], False, "")
    for phrase, food, _ in made:
        if not phrase.startswith("="):
            for plural in plurals(fold(phrase)):
                put(plural, food, classes[food][0], False, "")

    index: dict[str, list[Entry]] = {}
    for phrase, (food, kind, written) in found.items():
        first, *rest = TOKENS.findall(phrase.replace("&", " "))
        index.setdefault(first, []).append(Entry(tuple(rest), food, kind, phrase in verbs, written))
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
    return Words(
        index={first: tuple(sorted(many, key=lambda entry: -len(entry.rest))) for first, many in index.items()},
        classes=classes,
        forms={first: tuple(sorted(many, key=lambda item: -len(item[0]))) for first, many in forms.items()},
        form_of=form_of,
        loose={word: tuple(kinds) for word, kinds in table["loose"].items()},
        cues={
            name: frozenset(many)
            for name, many in expect_keys(table["cues"], required=("ends", "wraps", "marks")).items()
        },
    )


def attributes(food_class: str) -> frozenset[str]:
    """Return the attributes of a class. Raises ``KeyError`` for a word that is no class."""
    return words().classes[food_class][1]


def kind_of(food_class: str) -> str:
    """Return food or dish. Raises ``KeyError`` for a word that is no class."""
    return words().classes[food_class][0]
