"""Finds the words of foods and dishes in a text, with the forms told beside them.

In a run of words that touch, the last one names the food ("egg noodles" are
noodles, "chicken stock" is stock); a vessel at the end makes it none ("rice
cooker").
"""

from __future__ import annotations

import re
from typing import NamedTuple

from converter.model import Span
from converter.read.food_words import TOKENS, Entry, attributes, fold, words

JOINS = frozenset((" ", "-", "\u2010", "\u2011", "\n", "\u00a0", " '", "' "))
_BREAK = re.compile(r"[.;:,!?()\[\]]|\n\s*\n")
_AFTER_VERB = frozenset((
    "the", "your", "them", "it", "each", "together", "a", "an", "this", "that", "these", "those",
))  # fmt: skip
_AFTER_FIRST_VERB = _AFTER_VERB | frozenset((
    "for", "until", "till", "in", "on", "under", "over", "with", "lightly", "gently", "well", "if",
))  # fmt: skip
_BEFORE_VERB = frozenset((
    "and", "then", "to", "or", "lightly", "gently", "generously", "evenly", "thinly", "now", "also", "roughly",
    "finely",
))  # fmt: skip
SKIP = frozenset((
    "of", "and", "or", "large", "small", "medium", "big", "thin", "thick", "fat", "ripe", "good", "plain", "extra",
    "finely", "coarsely", "roughly", "thinly", "freshly", "lightly", "well", "very",
))  # fmt: skip
_PLAIN_MEAT = {
    "beef-pieces": "mince", "lamb-pieces": "mince", "pork-pieces": "mince", "poultry-pieces": "poultry-mince",
    "meat": "mince", "poultry-whole": "poultry-mince", "steak": "mince", "game": "mince", "beef-tough": "mince",
    "lamb-tough": "mince", "pork-tough": "mince",
}  # fmt: skip


class FoodHit(NamedTuple):
    """A food word in a text: where, the words in lower case, the class, its kind and the forms told beside it."""

    span: Span
    word: str
    food: str
    kind: str
    forms: tuple[str, ...] = ()


def _is_verb(parts: list[str], at: int, end: int, strong: bool) -> bool:
    """Whether the words from `at` to `end` are what the cook does.

    A verb stands at the head of a clause with "the", "it", "until" behind it.
    `strong` ones are nouns only behind "the", "a" or in the middle of a phrase.
    """
    gap = parts[at - 1]
    before = "" if at == 1 or _BREAK.search(gap) else parts[at - 2]
    if strong and (not before or before in _BEFORE_VERB):
        return True
    if end >= len(parts) or parts[end - 1].strip():
        return False
    after = parts[end]
    return after in _AFTER_VERB if before in _BEFORE_VERB else not before and after in _AFTER_FIRST_VERB


def scan(low: str, *, verbs: bool) -> tuple[list[str], list[tuple[int, int, Entry]]]:
    """Return the words and gaps of folded text and the hits as (first part, part after the last, entry).

    Parts of even number are gaps, of odd number words.
    """
    index = words().by_first
    parts = TOKENS.split(low)
    hits: list[tuple[int, int, Entry]] = []
    last, done = len(parts), 0
    for at in [at for at in range(1, last, 2) if parts[at] in index]:
        if at < done:
            continue
        for entry in index[parts[at]]:
            rest = entry.rest
            end = at + 2
            if rest:
                end += 2 * len(rest)
                if end > last or parts[at + 2] != rest[0] or tuple(parts[at + 2 : end : 2]) != rest:
                    continue
                if not JOINS.issuperset(parts[at + 1 : end - 1 : 2]):
                    continue
            if verbs and entry.verb and _is_verb(parts, at, end, entry.verb == 2):
                break
            begin = at
            if hits and hits[-1][1] == at and parts[at - 1] in JOINS:
                begin, _, before = hits.pop()
                if entry.weak and before.food:
                    entry = before
            if entry.kind != "vessel" or begin < at:
                hits.append((begin, end, entry))
            done = end
            break
    return parts, [hit for hit in hits if hit[2].food]


def _forms_before(parts: list[str], first: int, food: str) -> list[str]:
    """Return the forms told by the words straight before a hit ("boneless, skinless", "a tin of")."""
    lexicon_ = words()
    out: list[str] = []
    at = first - 2
    for _ in range(5):
        if at < 1 or parts[at + 1].strip(" ,-\n"):
            break
        word = parts[at]
        if word not in lexicon_.forms:
            if word in SKIP:
                at -= 2
                continue
            break
        for rest, form in lexicon_.forms[word]:
            if rest and tuple(parts[at + 2 : at + 2 + 2 * len(rest) : 2]) != rest:
                continue
            if word in ("can", "cans", "tin", "tins") and parts[at + 2] != "of":
                continue
            if fits(form, food):
                out.append(form)
                break
        at -= 2
    return out[::-1]


def fits(form: str, food: str) -> bool:
    """Whether a form can be said of a class ("whole milk" is not a whole piece)."""
    only = words().form_of[form]
    return not only or bool(only & attributes(food))


def settle(food: str, forms: tuple[str, ...]) -> tuple[str, tuple[str, ...]]:
    """Return class and forms once the forms have been weighed: minced beef is mince, a minced onion is chopped."""
    if "minced" in forms and food in _PLAIN_MEAT:
        food = _PLAIN_MEAT[food]
    elif "whole" in forms and food == "poultry-pieces":
        food = "poultry-whole"
    elif "whole" in forms and food == "fish":
        food = "fish-whole"
    return food, forms


def hits_in(text: str, *, verbs: bool = True) -> list[FoodHit]:
    """Return the foods of a whole text; `verbs` leaves out words used as verbs ("butter the tin")."""
    return find(text, 0, len(text), verbs=verbs)


def find(text: str, start: int, end: int, *, verbs: bool = True) -> list[FoodHit]:
    """Return the foods and dishes between two offsets of `text`, longest match first, in order, without overlaps.

    Spans are offsets of `text`. A word used as a verb at the head of a clause
    is left out; a list of ingredients has none and passes ``verbs=False``.
    """
    low = fold(text[start:end])
    parts, found = scan(low, verbs=verbs)
    if not found:
        return []
    out: list[FoodHit] = []
    at, part = start, 0
    classes, forms_known = words().classes, words().forms
    for first, after, entry in found:
        at += sum(map(len, parts[part:first]))
        word = "".join(parts[first : after - 1])
        food = entry.food
        forms: tuple[str, ...] = ()
        if first > 1 and (parts[first - 2] in forms_known or parts[first - 2] in SKIP):
            forms = tuple(_forms_before(parts, first, food))
            food, forms = settle(food, forms)
        out.append(FoodHit(Span(at, at + len(word)), word, food, classes[food][0], forms))
        part = first
    return out
