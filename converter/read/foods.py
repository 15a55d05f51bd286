"""Foods and dishes: ties words of a step to the ingredients, tells what the recipe makes.

The words are found by converter/read/food_scan.py; classes and attributes come
from lexicon/foods.yaml, dishes.yaml and food_words.yaml.
"""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from converter.model import Ingredient
from converter.read.food_scan import JOINS, SKIP, FoodHit, find, hits_in, scan
from converter.read.food_words import FORMS, KINDS, TOKENS, attributes, fold, kind_of, words

__all__ = [
    "FORMS", "KINDS", "FoodHit", "PhaseFood", "attributes", "dish_of", "find", "kind_of", "phase_food", "tie",
]  # fmt: skip

_ASIDE = re.compile(r"\(([^)]*)\)")
_SAVOURY = frozenset((
    "onion", "mince", "poultry-mince", "poultry-pieces", "beef-pieces", "beef-tough", "fish", "shellfish", "bacon",
    "sausage", "ham", "mushroom", "stock", "lamb-pieces", "lamb-tough", "pork-pieces", "potato",
))  # fmt: skip
_RISING = frozenset(("raising-agent",))
_BAKED = frozenset(("sponge", "pie", "tart", "loaf-cake", "brownie", "cupcake", "cheesecake", "fruit-cake"))
_NO_BAKE = re.compile(r"\b(?:no|non|un)[- ]?baked?\b")
_DOUGH = frozenset(("flour", "grain", "yeast", "oats"))
_GRIDDLE = re.compile(r"\b(?:griddle|skillet|ladle|frying|flip|[Ff]ry)\b")
_OVEN = re.compile(r"\b(?:[Oo]ven|[Bb]ak(?:e[ds]?|ing))\b")
_NO_CUSTARD = frozenset((
    "fruit", "dried-fruit", "potato", "mince", "beef-pieces", "beef-tough", "poultry-pieces", "lamb-pieces", "fish",
    "pork-pieces", "steak", "gelling", "cold-dessert",
))  # fmt: skip
_MINOR = frozenset(("spice", "fat", "liquid", "rises", "dairy"))
_MINOR_CLASSES = frozenset(("sugar", "flour", "herbs", "gelling", "egg", "onion", "crumbs", "chocolate"))
_JOINT_GRAMS = 700.0  # common practice, no source
_ROAST = re.compile(r"\broast", re.IGNORECASE)
_WET = re.compile(r"\b(?:simmer|boil)", re.IGNORECASE)
_UNTIL = re.compile(r"\b(?:until|till)\b", re.IGNORECASE)
_ALONE = re.compile(r"\b(?:roast|toast|grill|broil|brown|boil|fry|steam|poach)", re.IGNORECASE)


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
    return frozenset(singular(word) for word in TOKENS.findall(fold(name)) if word not in SKIP and word != "the")


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
    hits = hits_in(phrase, verbs=False)
    named = [item for item in ingredients if asked <= _name_words(item.name)]
    if named:
        food = hits[-1].food if hits else None
        like = attributes(food) if food else frozenset()
        return min(
            named,
            key=lambda item: (
                item.food != food,
                not item.food or like.isdisjoint(attributes(item.food)),
                len(_name_words(item.name)),
                -_weight(item),
            ),
        )
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


def _blank(match: re.Match[str]) -> str:
    return "," + " " * (len(match[0]) - 1)


def _title_dish(title: str) -> str | None:
    """Return the dish that a title names, read to the first "with", "in", "for"; ``None`` where it names none."""
    cues, makes = words().cues, words().makes
    bare = _ASIDE.sub(_blank, title)
    made: str | None = None
    for text in (bare, *(match[1] for match in _ASIDE.finditer(title))):
        parts, found = scan(fold(text), verbs=False)
        ended = False
        last: str | None = None
        at = 1
        for first, after, entry in found:
            between = parts[at:first:2]
            ended = ended or (at > 1 and any(word in cues["ends"] for word in between))
            at = after
            if entry.kind != "dish":
                if not ended and entry.food in makes:
                    made = makes[entry.food]
                continue
            tail = parts[after : after + 3 : 2] if parts[after - 1] in JOINS else []
            if tail and tail[0] in cues["marks"] and (len(tail) < 2 or tail[1] not in cues["ends"]):
                continue
            if ended:
                if last is None and entry.food in cues["wraps"]:
                    return entry.food
                break
            if last is None or (between[-1:] == ["and"] and entry.food in cues["joint"]):
                last = entry.food
        if last is not None:
            return last
        if len(parts) > 1 and (dish := words().titles.get(parts[-2])) is not None:
            return dish
    return made


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


def _corrected(dish: str, title: str, has: set[str], steps_text: str) -> str | None:
    if not has:
        return dish
    low = title.lower()
    sweet = "sugar" in has
    if dish in _BAKED and _NO_BAKE.search(low):
        return "cold-dessert"
    if dish == "rolls" and not has & _DOUGH:
        return None
    if dish == "bread" and "yeast" not in has:
        if has & {"mince", "poultry-mince", "game"}:
            return "meatloaf"
        if sweet and "egg" in has:
            return "loaf-cake"
        if not has & _DOUGH:
            return dish if _OVEN.search(steps_text) else None
    if dish in ("bread", "rolls") and not _OVEN.search(steps_text):
        return "flatbread" if "fry" in steps_text or "griddle" in steps_text or "skillet" in steps_text else dish
    if dish == "bread" and "yeast" not in has and "raising-agent" in has:
        return "quick-bread"
    if dish == "sponge" and "cookies" in steps_text and "cake" not in steps_text:
        return "biscuit"
    if dish == "pancake" and _OVEN.search(steps_text) and not _GRIDDLE.search(steps_text):
        return "yorkshire"
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


def _from_pattern(has: set[str], said: frozenset[str]) -> str | None:
    """Return the dish that ingredients and the words of the method point to together."""
    baked = bool(said & {"bake", "baked", "baking", "oven"})
    fat = bool(has & {"butter", "fat", "oil"})
    sweet = bool(has & {"sugar", "dried-fruit", "chocolate"})
    if "flour" in has and "yeast" in has:
        return _from_yeast(said, baked)
    if not baked:
        if "flour" in has and "egg" in has and "milk" in has and "batter" in said and not has & _SAVOURY:
            if "waffle" in said:
                return "waffle"
            return "pancake" if said & {"griddle", "ladle", "flip", "pancake"} else None
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
    if said & {"rolls", "buns"}:
        return "rolls"
    if said & {"loaf", "loaves", "bread"} or {"knead", "dough"} <= said:
        return "bread"
    return None


class PhaseFood(NamedTuple):
    """What is heated in a stretch: its words, its class, and the ingredient where it is one of them."""

    words: str
    food: str | None
    ingredient: Ingredient | None = None


def _settled(hit: FoodHit, dish: str | None) -> str:
    """Return the class of a dish word; the recipe's own dish where the word is a loose one for it ("the cake")."""
    if dish is not None and any({hit.food, dish} <= members for members in words().families.values()):
        return dish
    return hit.food


def _is_bought(hit: FoodHit, dish: str | None, ingredients: tuple[Ingredient, ...]) -> bool:
    """Whether a dish word means an ingredient ("toast the bread", "the chillies"), not what is made."""
    if hit.food == dish or _settled(hit, dish) == dish:
        return False
    asked = "chile" if hit.food == "chilli" else hit.food
    return any(item.food == asked for item in ingredients)


def _as_joint(item: Ingredient, text: str) -> str | None:
    """Return the class; a heavy piece of plain beef, pork or lamb that is roasted is a joint."""
    whole = not {"chopped", "sliced"} & set(item.forms) and (item.grams is None or item.grams[0] >= _JOINT_GRAMS)
    plain = item.food in ("beef-pieces", "pork-pieces", "lamb-pieces") and item.name.endswith(("beef", "pork", "lamb"))
    if item.food and whole and plain and _ROAST.search(text):
        return item.food.replace("pieces", "joint")
    return item.food


def phase_food(
    text: str, dish: str | None, *, ingredients: tuple[Ingredient, ...], environment: str, title: str = ""
) -> PhaseFood:
    """Return what the words of one stretch of heating heat.

    `dish` is what `dish_of` gave for the recipe. In an oven the dish itself is
    meant unless the words name another dish or something that is roasted or
    toasted on its own; on a plate the foods named come first.
    """
    hits = find(text, 0, len(text))
    foods: list[FoodHit] = []
    sign = _UNTIL.search(text)
    until = sign.start() if sign else len(text)
    for hit in hits:
        if hit.kind == "food" or _is_bought(hit, dish, ingredients):
            foods.append(hit)
        elif hit.span.start > until and (dish is None or _settled(hit, dish) != dish):
            continue
        elif "side" not in attributes(hit.food) or hit.food == dish:
            return PhaseFood(hit.word, _settled(hit, dish))
    main = [hit for hit in foods if not attributes(hit.food) & _MINOR and hit.food not in _MINOR_CLASSES]
    if dish is not None:
        baked = environment == "oven" and "baked" in attributes(dish)
        alone = any(hit.span.start < until for hit in main) and _ALONE.search(text)
        told = any(hit.span.start < until for hit in foods)
        wet = not main and "liquid" in attributes(dish) and _WET.search(text)
        if (baked and not alone) or (environment == "hob" and (wet or not told)):
            return PhaseFood(dish.replace("-", " "), dish)
    early = [hit for hit in main if hit.span.start < until]
    late = [hit for hit in main if hit.span.start > until]
    for hit in early or ([] if late else foods):
        item = tie(hit.word, ingredients)
        if item is not None and item.food is not None:
            return PhaseFood(item.name if item.name.count(" ") < 3 else hit.word, _as_joint(item, text), item)
        if early:
            return PhaseFood(hit.word, hit.food)
    loose = words().loose
    for word in TOKENS.findall(fold(text[:until])):
        if singular(word) in loose:
            item = tie(word, ingredients)
            if item is not None:
                return PhaseFood(item.name, item.food, item)
    if dish is not None:
        return PhaseFood(dish.replace("-", " "), dish)
    titled = [hit for hit in hits_in(title, verbs=False) if not attributes(hit.food) & _MINOR] or late
    item = tie(titled[0].word, ingredients) if titled else tie("meat", ingredients)
    if item is not None:
        return PhaseFood(item.name, item.food, item)
    if titled:
        return PhaseFood(titled[0].word, titled[0].food)
    return PhaseFood(hits[0].word, hits[0].food) if hits else PhaseFood("", None)
