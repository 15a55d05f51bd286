"""Says what is being cooked in a phase: its words, food class, forms and weight."""

from __future__ import annotations

import re
from functools import cached_property, lru_cache
from typing import NamedTuple

from converter.model import Ingredient, Range, Recipe
from converter.read.foods import FoodHit, attributes, dish_of, find
from converter.read.phase_cues import ROUX
from converter.read.phases import Open

# Dishes that are made in an oven: the dish names what bakes, whatever the clause says.
OVEN_DISHES = frozenset((
    "sponge", "loaf-cake", "fruit-cake", "cupcake", "brownie", "biscuit", "shortbread", "scone", "quick-bread",
    "bread", "rolls", "flatbread", "pizza", "pastry", "puff-pastry", "pie", "tart", "quiche", "choux", "custard",
    "cheesecake", "meringue", "pavlova", "souffle", "crumble", "gratin", "pasta-bake", "casserole", "pudding",
    "yorkshire", "traybake", "granola", "meatloaf", "meatballs", "rice-pudding", "burger", "stuffing", "croutons",
    "jerky", "omelette",
))  # fmt: skip
_EGGY = frozenset(("egg", "milk", "cream", "custard", "dessert", "coconut-milk"))
_MEDIUM = frozenset(("oil", "fat", "butter", "water", "salt"))
# What never names a phase by itself.
_PASSING = frozenset((
    "water", "salt", "spices", "herbs", "oil", "fat", "butter", "sugar", "flour", "raising-agent", "gelling",
    "yeast", "condiment", "juice", "wine", "egg", "milk", "cream",
))  # fmt: skip
_DRY = frozenset(("fry", "saute", "brown", "sear", "sweat", "toast", "shallow-fry", "deep-fry", "melt"))
# In a pan the first of these that is in it decides how the pan is treated.
_WET_ORDER = (
    "kidney-bean", "pulse", "pasta", "noodles", "rice", "dumplings", "grain", "oats", "jam", "caramel", "custard",
    "stockpot", "poultry-whole", "poultry-pieces", "poultry-mince", "beef-tough", "lamb-tough", "pork-tough",
    "ribs", "beef-joint", "lamb-joint", "pork-joint", "pork-belly", "ham", "game", "offal", "beef-pieces",
    "lamb-pieces", "pork-pieces", "meat", "mince", "meatballs", "sausage", "bacon", "fish", "fish-whole",
    "shellfish", "potato", "root", "squash", "greens", "cauliflower", "vegetable", "aubergine", "pepper", "tomato",
    "mushroom", "onion", "fruit", "dried-fruit", "stock", "chocolate", "cheese", "syrup", "sauce", "soup", "stew",
    "cream", "milk", "egg", "sugar", "butter", "water",
)  # fmt: skip
_RANK = {name: n for n, name in enumerate(_WET_ORDER)}
_TOAST = frozenset((
    "nuts", "seeds", "spices", "crumbs", "croutons", "toast", "sandwich", "bread", "oats", "grain",
))  # fmt: skip
_CRUST = re.compile(r"\b(?:crusts?|pie shell|pastry (?:case|shell)|tart shell|pie case)\b")
_FILLED = re.compile(r"\b(?:fill|filling|pour|over)\w*\b")
_SIGN = re.compile(r"\b(?:until|till)\b[^.;]*")
_ASIDE = re.compile(r"\([^)]*\)")
_STUFFED = re.compile(r"\b(?:stuffed|rolled)\b", re.IGNORECASE)
_STUFF = re.compile(
    r"\bstuff\w*\s+(?:the\s+|each\s+|your\s+|into\s+)*(?:\w+\s+){0,2}?(?:roast|loin|joint|beef|pork|lamb|meat|tenderloin|flank|shoulder|leg|round|brisket)\b",
    re.IGNORECASE,
)
_WRAPPED = re.compile(
    r"\b(?:cabbage|lettuce|chard|beef|chicken|turkey|pork|veal|fish|ham|egg|spring|aubergine|eggplant|courgette)\W+rolls?\b",
    re.IGNORECASE,
)
_MERINGUE = re.compile(r"\bmeringue\W+(?:cookie|kiss|nest|biscuit|drop|bite|mushroom)", re.IGNORECASE)
_LEADS = ("while ", "whilst ", "when ", "once ", "after ", "as ")
_LEADING = re.compile(r"^\W*(?:while|whilst|when|once|after|as)\b(?! well)[^,;.]*,\s*")
_AT_ONCE = re.compile(
    r"^\W*(?:then |and |or,? )?(?:you (?:may|can) )?(?:bake|roast|cook|toast)\s+"
    r"(?:the |all |your |both )?(?:\w+ ){0,2}$"
)
_PUDDINGS = re.compile(r"\b(?:yorkshires?|popovers?)\b", re.IGNORECASE)
_SENTENCE_END = re.compile(r"(?<=[.!?;])\s+")
_WITH_MEAT = re.compile(
    r"\b(?:add|around|round|surround|scatter|return|back|beside|alongside|under|over|on top|another|more|further|"
    r"longer|remaining|meat|joint|bird|everything|all|stuff\w*|fill\w*)\b"
)
_FLESH = frozenset(("meat", "poultry", "fish", "shellfish", "game"))
# What is baked by itself before it goes into a dish.
_APART = frozenset((
    "potato", "root", "squash", "aubergine", "pepper", "tomato", "bacon", "sausage", "nuts", "seeds", "pork-belly",
    "poultry-pieces", "poultry-whole",
))  # fmt: skip
_TOPPINGS = frozenset((
    "stock", "cheese", "crumbs", "chile", "herbs", "yoghurt", "coconut-milk", "chocolate",
))  # fmt: skip
_WET_DISHES = frozenset(("casserole", "stew", "curry", "chilli", "soup"))
_GRILL_DISHES = frozenset(("kebab", "burger", "meatballs", "sandwich", "toast", "gratin", "pasta-bake"))
_POT_DISHES = frozenset(("jam", "risotto", "custard", "caramel", "steamed-pudding", "porridge", "syrup"))
# What is cooked by itself for one of those dishes, before it goes into it.
_BESIDE_DRY = frozenset((
    "onion", "pepper", "tomato", "mushroom", "greens", "bacon", "sausage", "vegetable", "aubergine",
    "root", "nuts", "flatbread",
))  # fmt: skip
_BESIDE_WET = frozenset(("fish", "shellfish", "beef-pieces", "poultry-pieces", "pork-pieces", "lamb-pieces", "meat"))
_DISH_MEANT = re.compile(
    r"\b(?:batter|mix(?:ture)?|dough|balls?|patt(?:y|ies)|cakes?|spoon(?:ful)?s?|ladle|dollops?|drops?|rounds?|discs?)\b"
)
_THEM = re.compile(r"\b(?:them|it)\b")
# "fry them in butter together with the bay leaf": what fries was named before.
_THEM_WITH = re.compile(r"\b(?:them|it)\b[^.;]*\b(?:with|together)\b")
_GROUND_SHELLS = ("crayfish", "crawfish", "shrimp", "prawn")
_GROUND = re.compile(r"\b(?:ground(?:ed)?|gr[ao]und|powder(?:ed)?|dry|dried|blended|milled|grated|pounded)\b")
_SYRUP = re.compile(r"\bsyrup\b")
_CUT_UP = frozenset(("chopped", "sliced"))
_JOINT_GRAMS = 700.0  # common practice, no source
_WORD = re.compile(r"[a-zé'-]+")


@lru_cache(maxsize=256)
def _hits(words: str) -> list[FoodHit]:
    """The foods of these words; the list is shared, nobody changes it."""
    return find(words, 0, len(words))


def _first(hits: list[FoodHit], *, small: bool = False) -> FoodHit | None:
    """The hit that decides: meat or fish before all else, unless small things are toasted; else the first."""
    if not hits:
        return None
    if not small:
        for hit in hits:
            if attributes(hit.food) & _FLESH and hit.food not in ("stock", "bacon"):
                return hit
        for hit in hits:
            if not _minor(hit.food):
                return hit
    return hits[0]


def _orders(piece: str) -> str:
    """The words of a clause without a "while the rice cooks," that leads it in."""
    return _LEADING.sub("", piece) if piece.startswith(_LEADS) else piece


def _minor(food: str) -> bool:
    """Whether a food only goes with another: a sauce, a topping, a flavouring."""
    return food in _TOPPINGS or "side" in attributes(food)


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
        self.wrapped = bool(_WRAPPED.search(recipe.title))
        if self.dish == "rolls" and self.wrapped:
            self.dish = None
        if self.dish == "biscuit" and _MERINGUE.search(recipe.title):
            self.dish = "meringue"
        self.text = recipe.document.text

    def name(self, opened: Open) -> Named:
        """Return the names for one phase."""
        words = " ".join(opened.words)
        hits = self._seasoned(_hits(" ".join(map(_orders, opened.words))) or _hits(words))
        aromatic = opened.method in _DRY and any(hit.food == "spices" for hit in hits) and not _THEM_WITH.search(words)
        if not aromatic and all(hit.food in _PASSING for hit in hits):
            hits = self._before(opened) + hits
        main = self._oven(opened, words, hits) if opened.environment in ("oven", "grill") else self._hob(opened, hits)
        classes = tuple(dict.fromkeys(hit.food for hit in hits))
        hit = next((h for h in hits if h.food == main), None)
        item = self._ingredient(main, hit)
        forms = tuple(dict.fromkeys((*(hit.forms if hit else ()), *(item.forms if item else ()))))
        if main is not None and main not in classes:
            classes = (main, *classes)
        if main is not None and self.stuffed and "stuffed" not in forms:
            kinds = attributes(main)
            if "meat" in kinds and "poultry" not in kinds:
                forms = (*forms, "stuffed")
        if main == "pastry" and opened.environment == "oven" and self._empty_case(opened, _SIGN.sub(" ", words)):
            forms = (*forms, "empty")
        if main == self.dish and opened.environment == "oven" and main in _WET_DISHES and self.meat is not None:
            classes = (*classes, self.meat.food or main)
        label = hit.word if hit else (main or "").replace("-", " ") or self.recipe.title.lower()
        return Named(label, main, classes, forms, item.grams if item else None)

    def _before(self, opened: Open) -> list[FoodHit]:
        """Food words of the step and the two before it: what "it" or nothing at all stands for."""
        first = opened.drafts[0]
        steps = [s for s in self.recipe.steps if first.step - 2 <= s.number <= first.step]
        start = steps[0].span.start if steps else first.start
        found = self._seasoned(find(self.text, start, first.start))
        return [hit for hit in found if hit.food not in _PASSING][-6:]

    @cached_property
    def ground(self) -> frozenset[str]:
        """The shellfish that the list has dried or ground: a seasoning. Common practice, no source."""
        lines = [item.text.lower() for item in self.recipe.ingredients if item.food in ("shellfish", "spices")]
        powders = {word for line in lines for word in _GROUND_SHELLS if word in line and _GROUND.search(line)}
        whole = {word for line in lines for word in powders if word in line and not _GROUND.search(line)}
        return frozenset(powders - whole)

    def _seasoned(self, hits: list[FoodHit]) -> list[FoodHit]:
        """Return the hits with shellfish that is only a ground seasoning classed as a spice."""
        if not any(hit.food == "shellfish" for hit in hits) or not self.ground:
            return hits
        return [
            hit._replace(food="spices") if hit.food == "shellfish" and any(w in hit.word for w in self.ground) else hit
            for hit in hits
        ]

    @cached_property
    def titled(self) -> FoodHit | None:
        """The food that the title names, the meat of it where it names several."""
        title = _ASIDE.sub(" ", self.recipe.title.lower())
        return _first([hit for hit in _hits(title) if hit.food not in _PASSING])

    @cached_property
    def meat(self) -> Ingredient | None:
        """The heaviest meat, poultry or fish of the ingredient list."""
        meats = [item for item in self.recipe.ingredients if item.food and attributes(item.food) & _FLESH]
        return max(meats, key=lambda item: item.grams[0] if item.grams else 0.0) if meats else None

    @cached_property
    def stuffed(self) -> bool:
        """Whether a piece of meat is stuffed or rolled round a filling."""
        return bool(_STUFFED.search(self.recipe.title) or _STUFF.search(self.text))

    def _ingredient(self, main: str | None, hit: FoodHit | None) -> Ingredient | None:
        if main is None:
            return None
        same = [item for item in self.recipe.ingredients if item.food == main]
        if hit is not None and len(same) > 1:
            wanted = set(_WORD.findall(hit.word))
            named = [item for item in same if wanted & set(_WORD.findall(item.name.lower()))]
            same = named or same
        weighed = [item for item in same if item.grams]
        return next(iter(weighed or same), None)

    def _oven(self, opened: Open, words: str, hits: list[FoodHit]) -> str | None:
        text = " ".join(_SIGN.sub(" ", word) for word in opened.words)
        own = [hit for hit in _hits(text) if hit.food not in _PASSING]
        if self.wrapped:
            own = [hit for hit in own if hit.food != "rolls"]
        if self._empty_case(opened, text):
            return "pastry"
        if opened.method in ("toast", "roast") and own:
            return self._joint(opened, _first(own, small=opened.method == "toast"))
        if own and own[0].food in _TOAST and opened.method != "bake":
            return own[0].food
        if self.dish in OVEN_DISHES and opened.environment == "oven":
            alone = own[0] if own and own[0].kind == "food" and not _minor(own[0].food) else None
            if alone is not None and alone.food in _APART and _AT_ONCE.match(text[: alone.span.start]):
                return alone.food
            return self.dish
        dishes = [hit.food for hit in own if hit.kind == "dish" and hit.food in OVEN_DISHES]
        if dishes:
            return dishes[-1]
        if own and not all(_minor(hit.food) for hit in own):
            return self._joint(opened, _first(own))
        if opened.environment == "grill" and self.dish in _GRILL_DISHES:
            return self.dish
        beside = self._beside_joint(opened, text)
        if beside is not None:
            return beside
        near = [hit for hit in hits if hit.food not in _PASSING]
        title = self.titled
        found = _first(near)
        if title is not None and title.kind == "food":
            named = any(hit.food == title.food for hit in near)
            if not near or named or attributes(title.food) & _FLESH:
                return self._joint(opened, title)
        if found is not None and attributes(found.food) & _FLESH:
            return self._joint(opened, found)
        if self.dish is not None and (self.dish in OVEN_DISHES or found is None or _minor(found.food)):
            meat = self.meat
            return meat.food if meat is not None and opened.method == "roast" else self.dish
        return found.food if found is not None else None

    def _beside_joint(self, opened: Open, text: str) -> str | None:
        """What goes in alone in a recipe for a joint: "put the potatoes in the oil and roast them", puddings."""
        before = _SENTENCE_END.split(opened.lead.strip())[-1]
        if self.dish not in OVEN_DISHES and "batter" in f"{before} {text}" and _PUDDINGS.search(self.text):
            return "yorkshire"
        if self.dish in OVEN_DISHES or _WITH_MEAT.search(f"{before} {text}"):
            return None
        led = [hit.food for hit in _hits(before) if hit.food not in _PASSING]
        alone = led and all(food in _APART and attributes(food).isdisjoint(_FLESH) for food in led)
        return led[0] if alone else None

    def _empty_case(self, opened: Open, text: str) -> bool:
        if opened.method == "blind-bake":
            return self.dish is None or "pastry" in attributes(self.dish)
        return opened.method == "bake" and bool(_CRUST.search(text)) and not _FILLED.search(text)

    def _joint(self, opened: Open, hit: FoodHit | None) -> str | None:
        """The class of a hit; "the meat" is the recipe's own meat, and a heavy piece that is roasted is a joint."""
        if hit is None:
            return None
        food = hit.food
        if food == "meat" and self.meat is not None and self.meat.food is not None:
            food = self.meat.food
        if opened.method == "roast" and food in ("beef-pieces", "pork-pieces", "lamb-pieces"):
            item = next((item for item in self.recipe.ingredients if item.food == food), None)
            cut = item is not None and not _CUT_UP.isdisjoint(item.forms)
            light = item is not None and item.grams is not None and item.grams[0] < _JOINT_GRAMS
            if not cut and not light:
                return food.replace("pieces", "joint")
        return food

    def _passing(self, opened: Open, found: list[str]) -> str | None:
        """What is in the pan where only small things are: the phase's own before those of the steps ahead."""
        words = " ".join(opened.words)
        own = [hit.food for hit in _hits(words)]
        return next((food for food in own if food not in _MEDIUM), found[0] if found else None)

    def _aromatics_first(self, opened: Open) -> bool:
        """Tell "fry the garlic in oil; add the tomatoes": only the garlic fries, what is added starts something new."""
        first = opened.drafts[0]
        if opened.seconds is not None or opened.signed or first.act not in ("heat", "add"):
            return False
        if sum(draft.act in ("heat", "begin") for draft in opened.drafts) > (first.act == "heat"):
            return False
        if _THEM_WITH.search(first.words):
            return False
        own = [hit.food for hit in _hits(first.words)]
        return "spices" in own and all(food in _PASSING for food in own)

    def _eggs(self, opened: Open) -> list[str]:
        """Return egg where the phase's own words fry one, beside nothing but seasoning."""
        return ["egg"] if any(hit.food == "egg" for hit in _hits(" ".join(opened.words))) else []

    def _beside_dish(self, opened: Open) -> bool:
        """Tell "fry the onions" in a recipe for an omelette: food of its own, and nothing that means the dish."""
        words = " ".join(opened.words)
        if _THEM.search(words) and all(hit.food in _PASSING for hit in _hits(words)):
            words = f"{opened.lead} {words}"
        if _DISH_MEANT.search(words):
            return False
        own = _hits(words)
        if any(hit.kind == "dish" or hit.food in ("egg", "potato") for hit in own):
            return False
        if opened.method not in _DRY and self.dish == "risotto":
            return False
        beside = _BESIDE_DRY if opened.method in _DRY else _BESIDE_WET
        return any(hit.food in beside for hit in own)

    def _hob(self, opened: Open, hits: list[FoodHit]) -> str | None:
        dry = opened.method in _DRY
        dish = self.dish
        found = [hit.food for hit in hits]
        if dish == "custard" and _EGGY.isdisjoint(found):
            dish = None
        if self._beside_dish(opened):
            dish = None
        if not dry and dish in _POT_DISHES:
            starch = any(hit.food in ("pasta", "noodles", "rice") for hit in hits)
            if not starch or dish == "risotto":
                return dish
        if dry and dish in ("pancake", "doughnut", "omelette", "flatbread", "burger", "popcorn"):
            return dish
        if dry:
            if self._aromatics_first(opened):
                return "spices"
            if "flour" in found and ROUX.search(" ".join(opened.words)):
                return "flour"
            kept = [food for food in found if food not in _PASSING]
            roux = ["flour"] if "flour" in found and any("flour" in words for words in opened.words) else []
            kept = kept or roux or self._eggs(opened) or [food for food in found if food == "spices"]
            return kept[0] if kept else self._passing(opened, found)
        own = [hit.food for hit in _hits(" ".join(opened.words))]
        if "sugar" in own and all(food in _PASSING for food in own) and _SYRUP.search(opened.lead):
            return "syrup"
        ranked = sorted((food for food in found if food in _RANK), key=_RANK.__getitem__)
        if dish is not None and dish != "jam" and any(food != "jam" for food in ranked):
            ranked = [food for food in ranked if food != "jam"]  # a spoonful of chutney in a stew
        if ranked:
            return ranked[0]
        return found[0] if found else None
