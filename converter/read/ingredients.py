"""Reads the ingredient lines: name, weight, class of food, forms.

A weight comes from the line itself: a weight in any unit, or the volume of a
liquid (1 ml of it counts as 1 g: common practice, no source). A count ("4
potatoes") gives no weight.
"""

from __future__ import annotations

import re
from dataclasses import replace
from functools import lru_cache

from converter.model import Ingredient, Range
from converter.read.food_scan import FoodHit, find, fits, settle
from converter.read.food_words import TOKENS, attributes, fold, words
from converter.read.numbers import DASH, NUMBER, WORDS, value

# Grams. Pound: 453.59237 g exactly (international pound, 1959; NIST SP 811 B.8); ounce: pound / 16.
_WEIGHT = {"kg": 1000.0, "g": 1.0, "lb": 453.59237, "oz": 28.349523125, "stone": 6350.29318}
# Millilitres, low and high where the same word names two measures. US pint 473.176473, quart, gallon, cup
# and fluid ounce: NIST SP 811 B.8; imperial pint 568.26125 and fluid ounce: Weights and Measures Act 1985 (UK),
# schedule 1; metric cup 250.
_VOLUME = {
    "ml": (1.0, 1.0), "cl": (10.0, 10.0), "dl": (100.0, 100.0), "l": (1000.0, 1000.0), "cup": (236.588237, 250.0),
    "pint": (473.176473, 568.26125), "quart": (946.352946, 1136.5225), "gallon": (3785.411784, 4546.09),
    "floz": (28.4130625, 29.5735296),
}  # fmt: skip
_LIQUIDS = frozenset(("water", "stock", "milk", "wine", "cream", "juice", "coconut-milk"))
_SPELLINGS = {
    "kg": "kgs?|kilos?|kilogram(?:me)?s?",
    "g": "g|gms?|gr|gram(?:me)?s?",
    "floz": r"fl\.? ?oz|fluid ounces?",
    "oz": "oz|ozs|ounces?",
    "lb": "lbs?|pounds?",
    "stone": "stone",
    "ml": "mls?|millilit(?:er|re)s?|cc",
    "cl": "cl|centilit(?:er|re)s?",
    "dl": "dl|decilit(?:er|re)s?",
    "l": "l|lit(?:er|re)s?",
    "cup": "cups?",
    "pint": "pints?|pt",
    "quart": "quarts?|qts?",
    "gallon": "gallons?|gal",
}
_UNITS = "|".join(f"(?P<{unit}>{pattern})" for unit, pattern in _SPELLINGS.items())
_AMOUNT = re.compile(
    rf"(?<![\d.,/a-z])(?:(?P<times>\d{{1,3}})[ ]?[x×][ ]?)?"
    rf"(?P<low>{NUMBER})(?:[ ]?(?:[{DASH}]|to|or)[ ]?(?P<high>{NUMBER}))?[ \u00a0]?-?[ \u00a0]?(?:{_UNITS})\b\.?"
)
_OUNCES = re.compile(rf"[ ]?(?:and[ ])?(?P<low>{NUMBER})[ \u00a0]?-?(?:oz|ounces?)\b")
_SPELT = re.compile(rf"(?:(?P<low>{WORDS})|(?P<half>half )?an?)[ ]?-?(?:{_UNITS})\b")
_COUNT = re.compile(
    rf"\s*(?P<count>{NUMBER})(?:[ ]?(?:[{DASH}]|to|or)[ ]?(?P<to>{NUMBER}))?\s*"
    r"(?:large|small|medium)?\s*"
)
_HOLDER = re.compile(
    r"[\s)\]\-]*(?:cans?|tins?|packages?|packets?|pkgs?|packs?|jars?|bottles?|boxe?s?|cartons?|bags?|tubs?|blocks?|sticks?|each|"
    r"containers?|pouch(?:es)?|slabs?|envelopes?)\b"
)
_EACH = re.compile(r"[^,;]{0,24}\beach\b")
_LEAD = re.compile(
    rf"(?:[\s•*·]|{NUMBER}|[{DASH}+~/×&.,]|x(?=[ ])|\([^()]*\)|"
    rf"(?:about|approx(?:\.|imately)?|around|up to|at least|plus|a few|few|"
    rf"an?|one|two|three|four|five|six|half|dozen|to|or|and|of|the|each|ea|heaped|heaping|level|rounded|scant|generous|packed|good|"
    rf"large|small|medium(?:[ -]sized?)?|big|thick|thin|ripe|"
    rf"{'|'.join(_SPELLINGS.values())}|tbsps?|tsps?|tablespoons?|teaspoons?|tbs|tb|dessertspoons?|spoons?|spoonfuls?|"
    rf"cans?|tins?|packages?|packets?|pkgs?|packs?|jars?|bottles?|box(?:es)?|cartons?|bags?|tubs?|sticks?|bunch(?:es)?|"
    rf"handfuls?|pinch(?:es)?|dash(?:es)?|drops?|knobs?|splash(?:es)?|"
    rf"sprigs?|slices?|pieces?|stalks?|heads?|cloves?(?=[ ](?:of|garlic|shallot))|"
    rf"sheets?|inch(?:es)?|cm|strips?|rashers?|cubes?|parts?|some|enough)\b\.?)+"
)
_NAME_END = re.compile(r"[,;(:]|\s[–—-]\s|\bto taste\b|\bfor (?:the )?\w+ing\b|\s/\s|<")


def grams_of(text: str, *, liquid: bool) -> Range | None:
    """Return the weight [low, high] in grams that a line of the ingredient list gives; ``None`` where it gives none.

    `liquid` says that a volume may be read as a weight. Of several amounts the
    first that can be used counts; "2 x 400 g tins" and "2 (14 oz) cans" are
    multiplied out.
    """
    low = text.lower()
    volume: Range | None = None
    for match in _AMOUNT.finditer(low):
        unit = match.lastgroup or ""
        first = value(match["low"])
        second = value(match["high"]) if match["high"] else first
        if first is None or second is None or unit not in _SPELLINGS:
            continue
        if unit in _WEIGHT:
            rate = (_WEIGHT[unit], _WEIGHT[unit])
        elif liquid and volume is None:
            rate = _VOLUME[unit]
        else:
            continue
        small, large = sorted((first, second))
        grams = (small * rate[0], large * rate[1])
        end = match.end()
        if unit == "lb" and (more := _OUNCES.match(low, end)):
            extra = (value(more["low"]) or 0.0) * _WEIGHT["oz"]
            grams, end = (grams[0] + extra, grams[1] + extra), more.end()
        times = value(match["times"]) if match["times"] else None
        if times is None:
            times = _per_piece(low, match.start(), end)
        grams = (round(grams[0] * times, 1), round(grams[1] * times, 1))
        if unit in _WEIGHT:
            return grams
        volume = grams
    return volume or _spelt(low, liquid=liquid)


def _spelt(low: str, *, liquid: bool) -> Range | None:
    """Read an amount in words ("half a pound", "two litres") at the head of a line."""
    match = _SPELT.match(low)
    if match is None or match.lastgroup is None:
        return None
    amount = value(match["low"]) if match["low"] else 0.5 if match["half"] else 1.0
    unit = match.lastgroup
    rate = (_WEIGHT[unit], _WEIGHT[unit]) if unit in _WEIGHT else _VOLUME.get(unit)
    if amount is None or rate is None or (unit in _VOLUME and not liquid):
        return None
    return round(amount * rate[0], 1), round(amount * rate[1], 1)


def _per_piece(low: str, start: int, end: int) -> float:
    count = _COUNT.match(low)
    if count is None or count.end() > start:
        return 1.0
    number = value(count["to"] or count["count"])
    if number is None:
        return 1.0
    between = low[count.end() : start].strip()
    if between in ("of a", "of an", "of one"):
        return number
    if between in ("", "(", "-") and (between == "(" or _HOLDER.match(low, end) or low[end - 1 : end] != " "):
        return number
    return number if _EACH.match(low, end) else 1.0


def _forms_in(low: str, food: str) -> tuple[str, ...]:
    """Return the forms that a whole line tells about its food, in the order of the lexicon's list."""
    table = words().forms
    tokens = TOKENS.findall(low)
    out: list[str] = []
    for at, token in enumerate(tokens):
        for rest, form in table.get(token, ()):
            if rest and tuple(tokens[at + 1 : at + 1 + len(rest)]) != rest:
                continue
            if token in ("can", "tin") and (tokens[at - 1 : at] in _NO_TIN or at > 6):
                break
            if fits(form, food):
                if form not in out:
                    out.append(form)
                break
    return tuple(out)


_HEADS = frozenset(("stock", "oil", "juice", "mince", "poultry-mince", "sausage", "flour", "milk"))
_BETWEEN = re.compile(r"[\s,/]*(?:\bor\b|/)?[\s,]*(?:an?\s)?[a-z]*\s?")


def _head(hits: list[FoodHit], low: str) -> FoodHit:
    """Return the hit that names the line: the first, or the last of "chicken or vegetable stock"."""
    first = hits[0]
    if first.food in _HEADS or first.kind != "food":
        return first
    end = first.span.end
    for hit in hits[1:]:
        if not _BETWEEN.fullmatch(low, end, hit.span.start):
            break
        if hit.food in _HEADS and " " in hit.word:
            return hit
        end = hit.span.end
    return first


_NO_TIN = (["you"], ["it"], ["they"], ["that"], ["which"], ["we"], ["i"], ["one"])
_PIECES = frozenset(("chopped", "sliced"))
_BIRD_WORDS = (
    "lbs?|pounds?|kg|g|kilos?|large|small|medium|about|of|fresh|oven|ready|free|range|corn|fed|roasting|frying|stewing|"
    "broiling|young|organic|to|or|entire"
)
_WHOLE_BIRD = re.compile(
    rf"\s*(?:{NUMBER}|an?\b|one\b)[^a-z]*(?:(?:{_BIRD_WORDS})\b[.\-]?|[^a-z])*"
    r"(?:chickens?|ducks?|hens?|fowl)\b(?!\s+\w+s\b)"
)
_ROAST = re.compile(r"\b(?:roast|roasting|joint)\b")


@lru_cache(maxsize=2048)
def _read(text: str) -> tuple[str, Range | None, str | None, tuple[str, ...]]:
    low = fold(text)
    lead = _LEAD.match(low)
    begin = lead.end() if lead else 0
    stop = _NAME_END.search(low, begin + 1) if begin < len(low) else None
    name = text[begin : stop.start() if stop else len(text)].strip(" .*\u00a0")
    if not name:
        begin, name = 0, text.strip()
    hits = find(text, begin, len(text), verbs=False) or (find(text, 0, len(text), verbs=False) if begin else [])
    if not hits:
        return name, grams_of(text, liquid=False), None, ()
    hit = _head(hits, low)
    if hit.span.start >= begin + len(name):
        name = text[hit.span.start : hit.span.end]
    food = "chile" if hit.food == "chilli" else hit.food
    forms = _forms_in(low, food)
    food, forms = settle(food, forms)
    if food == "poultry-pieces" and not _PIECES & set(forms) and _WHOLE_BIRD.match(low):
        food = "poultry-whole"
    if food in ("beef-pieces", "pork-pieces", "lamb-pieces") and not _PIECES & set(forms) and _ROAST.search(low):
        food = food.replace("pieces", "joint")
    liquid = food in _LIQUIDS or "liquid" in attributes(food)
    return name, grams_of(text, liquid=liquid), food, forms


def understand(ingredients: tuple[Ingredient, ...]) -> tuple[Ingredient, ...]:
    """Return the ingredients with name, grams [low, high], class of food and forms filled in from their text."""
    out = []
    for item in ingredients:
        name, grams, food, forms = _read(item.text)
        out.append(replace(item, name=name, grams=grams, food=food, forms=forms))
    return tuple(out)
