"""Says what is being cooked in a phase: its words, food class, forms and weight."""

from __future__ import annotations

import re
from typing import NamedTuple

from converter.model import Ingredient, Range, Recipe
from converter.read.foods import FoodHit, attributes, dish_of, find, kind_of
from converter.read.phases import Open

# Dishes that are made in an oven: the dish names what bakes, whatever the clause says.
OVEN_DISHES = frozenset(
    "sponge loaf-cake fruit-cake cupcake brownie biscuit shortbread scone quick-bread bread rolls flatbread pizza pastry puff-pastry "
    "pie tart quiche choux custard cheesecake meringue pavlova souffle crumble gratin pasta-bake casserole pudding yorkshire traybake "
    "granola meatloaf meatballs rice-pudding burger stuffing croutons jerky omelette".split()
)
# What never names a phase by itself.
_PASSING = frozenset("water salt spices herbs oil fat butter sugar flour raising-agent gelling yeast condiment juice wine egg milk cream".split())
# In a pan the first of these that is in it decides how the pan is treated.
_WET_ORDER = (
    "kidney-bean", "pulse", "pasta", "noodles", "rice", "dumplings", "grain", "oats", "jam", "caramel", "custard", "stockpot",
    "poultry-whole", "poultry-pieces", "poultry-mince", "beef-tough", "lamb-tough", "pork-tough", "ribs", "beef-joint", "lamb-joint", "pork-joint",
    "pork-belly", "ham", "game", "offal", "beef-pieces", "lamb-pieces", "pork-pieces", "meat", "mince", "meatballs", "sausage", "bacon",
    "fish", "fish-whole", "shellfish", "potato", "root", "squash", "greens", "cauliflower", "vegetable", "aubergine", "pepper", "tomato",
    "mushroom", "onion", "fruit", "dried-fruit", "stock", "chocolate", "cheese", "syrup", "sauce", "soup", "stew", "cream", "milk", "egg", "sugar", "butter", "water",
)  # fmt: skip
_RANK = {name: n for n, name in enumerate(_WET_ORDER)}
_TOAST = frozenset("nuts seeds spices crumbs croutons toast sandwich bread oats grain".split())
_CRUST = re.compile(r"\b(?:crusts?|pie shell|pastry (?:case|shell)|tart shell|pie case)\b")
_WORD = re.compile(r"[a-zé'-]+")


class Named(NamedTuple):
    """What a phase cooks."""

    words: str
    main: str | None
    classes: tuple[str, ...]
    forms: tuple[str, ...]
    grams: Range | None


class Namer:
    """Names the phases of one recipe."""

    def __init__(self, recipe: Recipe, method: str) -> None:
        self.recipe = recipe
        self.dish = dish_of(recipe.title, recipe.ingredients, method)
        self.text = recipe.document.text

    def name(self, opened: Open) -> Named:
        """Return the names for one phase."""
        words = " ".join(opened.words)
        hits = find(words, 0, len(words))
        if not hits or all(hit.food in _PASSING for hit in hits):
            hits = self._before(opened) + hits
        main = self._oven(opened, words, hits) if opened.environment in ("oven", "grill") else self._hob(opened, hits)
        classes = tuple(dict.fromkeys(hit.food for hit in hits))
        hit = next((h for h in hits if h.food == main), None)
        item = self._ingredient(main, hit)
        forms = tuple(dict.fromkeys((*(hit.forms if hit else ()), *(item.forms if item else ()))))
        if main is not None and main not in classes:
            classes = (main, *classes)
        label = hit.word if hit else (main or "").replace("-", " ") or self.recipe.title.lower()
        return Named(label, main, classes, forms, item.grams if item else None)

    def _before(self, opened: Open) -> list[FoodHit]:
        """Food words of the step and the two before it: what "it" or nothing at all stands for."""
        first = opened.drafts[0]
        steps = [s for s in self.recipe.steps if first.step - 2 <= s.number <= first.step]
        start = steps[0].span.start if steps else first.start
        return [hit for hit in find(self.text, start, first.start) if hit.food not in _PASSING][-6:]

    def _ingredient(self, main: str | None, hit: FoodHit | None) -> Ingredient | None:
        if main is None:
            return None
        same = [item for item in self.recipe.ingredients if item.food == main]
        if hit is not None and len(same) > 1:
            wanted = set(_WORD.findall(hit.word))
            named = [item for item in same if wanted & set(_WORD.findall(item.name.lower()))]
            same = named or same
        weighed = [item for item in same if item.grams]
        return (weighed or same or [None])[0]

    def _oven(self, opened: Open, words: str, hits: list[FoodHit]) -> str | None:
        foods = [hit.food for hit in hits if hit.food not in _PASSING]
        own = [hit for hit in find(words, 0, len(words)) if hit.food not in _PASSING]
        if _CRUST.search(words) and opened.method in ("bake", "blind-bake") and not re.search(r"\b(?:fill|filling|pour|over)\w*\b", words):
            return "pastry"
        if opened.method in ("toast", "roast") and own:
            return own[0].food
        for hit in own:
            if hit.food in _TOAST and opened.method != "bake":
                return hit.food
        dishes = [hit.food for hit in own if hit.kind == "dish" and hit.food in OVEN_DISHES]
        if self.dish in OVEN_DISHES and opened.environment == "oven":
            if dishes and dishes[-1] in ("pie", "tart") and self.dish in ("quiche", "custard"):
                return self.dish
            return self.dish
        if dishes:
            return dishes[-1]
        if own:
            return own[0].food
        if self.dish is not None and kind_of(self.dish) == "dish":
            meats = [item.food for item in self.recipe.ingredients if item.food and "meat" in attributes(item.food)]
            return meats[0] if meats and opened.method == "roast" else self.dish
        return foods[0] if foods else None

    def _hob(self, opened: Open, hits: list[FoodHit]) -> str | None:
        dry = opened.method in ("fry", "saute", "brown", "sear", "sweat", "toast", "shallow-fry", "deep-fry", "melt")
        dish = self.dish
        if not dry and dish in ("jam", "risotto", "custard", "caramel", "steamed-pudding", "porridge", "syrup") and opened.method != "melt":
            if not any(hit.food in ("pasta", "noodles", "rice") for hit in hits) or dish == "risotto":
                return dish
        if dry and dish in ("pancake", "doughnut", "omelette", "flatbread", "burger", "popcorn"):
            return dish
        found = [hit.food for hit in hits]
        if dry:
            kept = [food for food in found if food not in _PASSING]
            return kept[0] if kept else (found[0] if found else None)
        ranked = sorted((food for food in found if food in _RANK), key=_RANK.__getitem__)
        if ranked:
            return ranked[0]
        return found[0] if found else None
