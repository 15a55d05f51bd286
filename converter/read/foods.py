"""Foods and dishes: finds their words, tells the class, ties words of a step to the ingredients.

Classes, words, forms and guards come from lexicon/foods.yaml, dishes.yaml and
food_words.yaml. Everything is looked up in one dictionary by the first word of
a phrase. In a run of words that touch, the last one names the food ("egg
noodles" are noodles, "chicken stock" is stock).
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from converter.model import Ingredient, Span
from converter.read.food_words import FORMS, KINDS, TOKENS, Entry, attributes, fold, kind_of, words

__all__ = ["FORMS", "KINDS", "FoodHit", "attributes", "dish_of", "find", "kind_of", "tie"]

_JOINS = frozenset((" ", "-", "\u2010", "\u2011", "\n", "\u00a0"))
_BREAK = re.compile(r"[.;:,!?()\[\]]|\n\s*\n")
_AFTER_VERB = frozenset("the your them it each together a an this that these those".split())
_AFTER_FIRST_VERB = _AFTER_VERB | frozenset("for until till in on under over with lightly gently well if".split())
_BEFORE_VERB = frozenset("and then to or lightly gently generously evenly thinly now also roughly finely".split())
_SKIP = frozenset("of and or large small medium big thin thick fat ripe good plain extra the".split())
_FINE_SKIP = frozenset("finely coarsely roughly thinly freshly lightly well very".split())
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


def _is_verb(parts: list[str], at: int, single: bool) -> bool:
    """Whether the word at `at` is what the cook does: head of a clause and "the", "it", "until" behind it."""
    if not single or at + 2 >= len(parts):
        return False
    gap, after = parts[at - 1], parts[at + 2]
    if parts[at + 1].strip():
        return False
    if at == 1 or _BREAK.search(gap):
        return after in _AFTER_FIRST_VERB
    return parts[at - 2] in _BEFORE_VERB and after in _AFTER_VERB


def _scan(low: str, *, verbs: bool) -> tuple[list[str], list[tuple[int, int, Entry]]]:
    """Return the words and gaps of folded text and the hits as (first part, part after the last, entry).

    Parts of even number are gaps, of odd number words.
    """
    index = words().index
    parts = TOKENS.split(low)
    hits: list[tuple[int, int, Entry]] = []
    at, last = 1, len(parts)
    while at < last:
        many = index.get(parts[at])
        if many is None:
            at += 2
            continue
        for entry in many:
            rest = entry.rest
            if not rest:
                end = at + 2
            else:
                end = at + 2 * len(rest) + 2
                if end > last or tuple(parts[at + 2 : end : 2]) != rest:
                    continue
                if any(gap not in _JOINS for gap in parts[at + 1 : end - 1 : 2]):
                    continue
            if entry.verb and verbs and _is_verb(parts, at, not rest):
                break
            begin = at
            while hits and hits[-1][1] == begin and parts[begin - 1] in _JOINS:
                begin = hits.pop()[0]
            if entry.kind != "vessel" or begin < at:
                hits.append((begin, end, entry))
            at = end - 2
            break
        at += 2
    return parts, [hit for hit in hits if hit[2].food]


def _forms_before(parts: list[str], first: int, food: str) -> list[str]:
    """Return the forms told by the words straight before a hit ("boneless, skinless", "a tin of")."""
    lexicon_ = words()
    out: list[str] = []
    at = first - 2
    for _ in range(5):
        if at < 1 or parts[at + 1].strip(" ,-\n") or parts[at + 1] == "":
            break
        word = parts[at]
        if word not in lexicon_.forms:
            if word in _SKIP or word in _FINE_SKIP:
                at -= 2
                continue
            break
        for rest, form in lexicon_.forms[word]:
            if not rest or tuple(parts[at + 2 : at + 2 + 2 * len(rest) : 2]) == rest:
                if word in ("can", "cans", "tin", "tins") and parts[at + 2] != "of":
                    continue
                out.append(form)
                break
        at -= 2
    return [form for form in reversed(out) if fits(form, food)]


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
    parts, found = _scan(low, verbs=verbs)
    if not found:
        return []
    out: list[FoodHit] = []
    at, part = start, 0
    for first, after, entry in found:
        at += sum(map(len, parts[part:first]))
        word = "".join(parts[first : after - 1])
        forms = tuple(_forms_before(parts, first, entry.food))
        food, forms = settle(entry.food, forms) if forms else (entry.food, forms)
        out.append(FoodHit(Span(at, at + len(word)), word, food, words().classes[food][0], forms))
        part = first
    return out


def singular(word: str) -> str:
    """Return a plain singular of one lower-case word, good enough to compare two words."""
    if len(word) < 4 or not word.endswith("s") or word.endswith("ss"):
        return word
    if word.endswith("ies"):
        return word[:-3] + "y"
    if word.endswith("ves"):
        return word[:-3] + "f"
    if word.endswith(("oes", "shes", "ches", "xes", "sses")):
        return word[:-2]
    return word[:-1]


@lru_cache(maxsize=4096)
def _name_words(name: str) -> frozenset[str]:
    return frozenset(singular(word) for word in TOKENS.findall(fold(name)) if word not in _SKIP)


def _weight(ingredient: Ingredient) -> float:
    return ingredient.grams[1] if ingredient.grams else 0.0


def tie(phrase: str, ingredients: tuple[Ingredient, ...]) -> Ingredient | None:
    """Return the ingredient that the words of a step mean; ``None`` where none fits.

    In this order: the same words, the same class, a loose word ("the meat",
    "the bird"), a misspelling (rapidfuzz, 84 of 100 or better).
    """
    if not ingredients:
        return None
    asked = _name_words(phrase)
    if not asked:
        return None
    named = [item for item in ingredients if asked <= _name_words(item.name)]
    if named:
        return min(named, key=lambda item: (len(_name_words(item.name)), -_weight(item)))
    hits = hits_in(phrase, verbs=False)
    if hits:
        same = [item for item in ingredients if item.food == hits[-1].food]
        if same:
            return max(same, key=lambda item: (len(asked & _name_words(item.name)), _weight(item)))
        inside = [item for item in ingredients if item.food and _name_words(item.name) <= asked]
        if inside:
            return max(inside, key=lambda item: (len(_name_words(item.name)), _weight(item)))
    loose = words().loose
    for word in reversed(TOKENS.findall(fold(phrase))):
        kinds = loose.get(singular(word)) or loose.get(word)
        for kind in kinds or ():
            fitting = [item for item in ingredients if item.food and kind in attributes(item.food)]
            if fitting:
                return max(fitting, key=_weight)
    return None if hits else _misspelt(asked, ingredients)


def _misspelt(asked: frozenset[str], ingredients: tuple[Ingredient, ...]) -> Ingredient | None:
    from rapidfuzz import fuzz

    best: tuple[float, Ingredient] | None = None
    for item in ingredients:
        for name in _name_words(item.name):
            for word in asked:
                if len(word) > 3 and len(name) > 3 and word[0] == name[0]:
                    score = fuzz.ratio(word, name)
                    if score >= 84 and (best is None or score > best[0]):
                        best = (score, item)
    return best[1] if best else None


def _title_dish(title: str) -> str | None:
    """Return the dish that a title names, read to the first "with", "in", "for"; ``None`` where it names none."""
    cues = words().cues
    bare = re.sub(r"\([^)]*\)", lambda match: "," + " " * (len(match[0]) - 1), title)
    for text in (bare, *re.findall(r"\(([^)]*)\)", title)):
        parts, found = _scan(fold(text), verbs=False)
        ended = False
        last: str | None = None
        at = 1
        for first, after, entry in found:
            ended = ended or any(word in cues["ends"] for word in parts[at:first:2])
            at = after
            if entry.kind != "dish" or (after < len(parts) and parts[after - 1] in _JOINS and parts[after] in cues["marks"]):
                continue
            if ended:
                if entry.food in cues["wraps"]:
                    return entry.food
                break
            if last is None:
                last = entry.food
        if last is not None:
            return last
    return None


def dish_of(title: str, ingredients: tuple[Ingredient, ...], steps_text: str) -> str | None:
    """Return the class of dish that the whole recipe makes, or ``None`` where that is not sure.

    The title decides where it names a dish; what the ingredients rule out is
    then set right (a "bread" without yeast is a loaf cake or a quick bread).
    A title that names none is judged by the ingredients and by what the
    method calls the thing it makes.
    """
    has = {item.food for item in ingredients if item.food}
    named = _title_dish(title)
    if named is not None:
        return _corrected(named, title, has, steps_text)
    if "flour" not in has and "egg" not in has:
        return None
    return _from_pattern(has, frozenset(TOKENS.findall(fold(steps_text))))


_SAVOURY = frozenset((
    "onion", "mince", "poultry-mince", "poultry-pieces", "beef-pieces", "beef-tough", "fish", "shellfish", "bacon",
    "sausage", "ham", "mushroom", "stock", "lamb-pieces", "lamb-tough", "pork-pieces", "potato",
))  # fmt: skip
_RISING = frozenset(("raising-agent", "quick-bread"))


def _corrected(dish: str, title: str, has: set[str], steps_text: str) -> str:
    if not has:
        return dish
    low = title.lower()
    sweet = "sugar" in has
    if dish == "bread" and "yeast" not in has and "raising-agent" in has:
        return "loaf-cake" if sweet and "egg" in has else "quick-bread"
    if dish == "biscuit" and "biscuit" in low and "raising-agent" in has and not sweet and "flour" in has:
        return "scone"
    if dish == "sponge" and ("loaf tin" in steps_text or "loaf pan" in steps_text):
        return "loaf-cake"
    if dish in ("pie", "tart") and "egg" in has and has & {"cream", "milk", "cheese"} and not has & _NO_CUSTARD:
        return "quiche"
    if dish == "casserole" and has & {"pasta", "noodles"} and has & {"cheese", "milk", "cream", "soup"}:
        return "pasta-bake"
    if dish == "casserole" and "cheese" in has and "stock" not in has:
        return "gratin"
    return dish


_NO_CUSTARD = frozenset((
    "fruit", "dried-fruit", "potato", "mince", "beef-pieces", "beef-tough", "poultry-pieces", "lamb-pieces", "fish",
    "pork-pieces", "steak", "gelling", "cold-dessert",
))  # fmt: skip


def _from_pattern(has: set[str], said: frozenset[str]) -> str | None:
    """Return the dish that ingredients and the words of the method point to together."""
    baked = bool(said & {"bake", "baked", "baking", "oven"})
    fat = bool(has & {"butter", "fat", "oil"})
    sweet = bool(has & {"sugar", "dried-fruit", "chocolate"})
    if "flour" in has and "yeast" in has:
        return _from_yeast(said, baked)
    if not baked:
        if "flour" in has and "egg" in has and "milk" in has and "batter" in said and not has & _SAVOURY:
            return "waffle" if "waffle" in said else "pancake" if said & {"griddle", "ladle", "flip", "pancake"} else None
        return None
    if has & _SAVOURY:
        if said & {"pastry", "crust"} and "egg" in has and has & {"milk", "cream"}:
            return "quiche"
        return None
    if "flour" in has and sweet and fat:
        if said & {"cookies", "biscuits"}:
            return "biscuit"
        if "egg" in has and has & _RISING:
            if said & {"muffins", "cupcakes"}:
                return "cupcake"
            if said & {"loaf", "loaves"}:
                return "loaf-cake"
            if "batter" in said and said & {"cake", "tin", "pan", "springform", "bundt"}:
                return "sponge"
        if said & {"crust", "pastry"} and "pie" in said:
            return "pie"
        return None
    if sweet and "egg" in has and "flour" not in has:
        if said & {"meringue", "meringues"} or ("peaks" in said and "milk" not in has and "cream" not in has):
            return "meringue"
        if has & {"milk", "cream"} and said & {"custard", "ramekins"}:
            return "custard"
    return None


def _from_yeast(said: frozenset[str], baked: bool) -> str | None:
    if said & {"doughnut", "doughnuts", "donuts"}:
        return "doughnut"
    if not baked:
        return "flatbread" if "dough" in said and said & {"griddle", "skillet"} else None
    if "pizza" in said:
        return "pizza"
    if said & {"rolls", "buns"}:
        return "rolls"
    if said & {"loaf", "loaves", "bread"} or {"knead", "dough"} <= said:
        return "bread"
    return None
