"""Core temperatures: which raw meats a recipe holds, what core it states, what it leaves open."""

from __future__ import annotations

import re
from typing import NamedTuple

from converter.place.safety_table import limits, pattern
from converter.place.safety_text import Piece, View, durations, longest, temperatures


class Hit(NamedTuple):
    """A caution at words of the text. ``step`` 0 is outside of the method."""

    name: str
    step: int
    start: int
    end: int


class Stated(NamedTuple):
    """A core temperature that the recipe states [°C], with the shortest stay at it [min]."""

    piece: Piece
    start: int
    end: int
    low: float
    hold: float


NOT_AFTER = r"(?!-)(?!(?:\s*(?:,|/|\bor\b|\band\b|&)\s*\w+){0,3}[\s-]+<not-meat-after>)"
RAW: dict[str, str] = {
    "poultry": r"(?<!cream of )(?<!bombay )(?<!mock )<poultry>" + NOT_AFTER
    + r"(?!\s+(?:bacon|ham|pastrami|bologna|sausages?|mince|fried\s+steak|nuggets|parts for))",
    "pork": r"(?<!ground )(?<!minced )(?<!salt )(?<!salted )(?<!cured )(?<!roast )<pork>" + NOT_AFTER
    + r"(?!\s+(?:sausages?|mince|and beans|pies?\b))(?!,?\s+(?:minced|ground))|\bfresh ham\b",
    "mince": r"(?:\b(?:ground|minced)\s+(?:lean\s+|raw\s+|fresh\s+)?<minceable>|<minceable>,?\s+(?:\w+\s+){0,2}(?:mince|minced|ground)\b"
    r"|(?<!veggie )(?<!bean )<mince-noun>(?!-)(?!\s+(?:buns?|rolls?|seasoning|pastry|casings?|sauce|spice)\b)|\bsausage\s?meat\b"
    r"|\bmeat\s?loaf\b|\blean mince\b)",
    "red": r"<red-meat>" + NOT_AFTER + r"|\b(?:rib|rump|chuck|round|pot|prime)\s+roast\b|\btri[- ]tip\b",
    "fish": r"<fish>" + NOT_AFTER,
}  # fmt: skip
SCREEN: dict[str, tuple[str, ...]] = {
    "poultry": ("poultry",), "pork": ("pork",), "mince": ("minceable", "mince-noun", "meat"), "red": ("red-meat",),
    "fish": ("fish",),
}  # fmt: skip
CLASSES: dict[str, str] = {"poultry": "poultry", "pork": "pork", "mince": "mince", "red": "beef", "fish": "fish"}
_ABROAD = re.compile(r"(?:in|from|of|across|throughout|and|modern|southern|eastern)\s+$")
_SERVED = re.compile(r"\b(?:serve|served|serving|goes|accompan\w+|accompaniment|alongside|such as|instead|substitute|like)\b")
_STRONG = re.compile(
    r"(?:juices?\b[^.]{0,30}\b(?:clear|yellow)\b|(?:no longer|not|isn't|no sign of) pink|(?:cooked|done) (?:all the way )?through"
    r"|pink is gone|loses? (?:its|their) (?:pink|red|raw) colou?r|(?:fully|completely|thoroughly) cooked)"
)
_COOKS = re.compile(
    r"\b(?:bake|roast|fry|saut[eé]|sear|brown|grill|broil|cook|simmer|braise|boil|stew|poach|steam|barbecue|smoke|microwave)(?:s|ing)?\b"
    r"(?!\s+(?:spray|oil|time|liquid|juices|rack|sherry|wine|water))|\b(?:frying|saut[eé]ing|baking|braising|sim{1,2}ering)\b(?!\s+(?:pan|dish|sheet|tray|powder|paper|rack|soda))"
)
_NOT_COOKING = re.compile(
    r"\b(?:marinat|marinade|refrigerat|garnish|carve|room temperature|preheat|cooked (?:chicken|turkey|duck|pork|meat|beef|sausage))"
)
_MEAT_WORDS = frozenset({"meat", "meats", "bird", "breast", "breasts", "thighs", "thigh", "wings", "legs", "chops", "patties", "meatballs", "loaf"})
_OTHERS = re.compile(r"\b(?:potato(?:es)?|rice|pasta|noodles|vegetables|carrots?|onions?|shallots?|garlic|peppers?|crust|bread|beans|eggs?|sauce|spaghetti|tortillas?)\b")
_WEAK = re.compile(r"\b(?:golden(?: brown)?|browned|brown|tender|done|opaque|falls? off|falling off|cooked|crisp)\b")
_CORE = re.compile(
    r"internal|\bcore\b|thermometer|\bprobe|thickest|cent(?:re|er) (?:of|reaches)|temperature (?:of|reaches|registers|doneness|reads)"
    r"|\breach(?:es|ed)?\b|registers|doneness|(?:cook|roast|bak|grill)(?:e|ed|ing)? (?:\w+ ){0,4}to\b"
)
_NOT_CORE = frozenset({"oil", "candy", "sugar", "syrup", "water", "milk", "yeast", "chocolate", "bath", "caramel", "smoker"})
_RISES = re.compile(r"\b(?:ris(?:e|es|ing)|climb|carry|coast|increase)")
_STOCK = re.compile(r"\b(?:stock|broth|bouillon)\b\s*(?:\(|$)")
_WITH = re.compile(r"\b(?:in|with|and)\b")
_LONG_WET = re.compile(r"simmer|boil|brais|stew|pressure|liquid|cover|slow cook")
_NOT_HEAT = re.compile(r"marinat|refrigerat|chill|soak|brine|cure|rest\b|freez|before")


def _raw(view: View, kind: str, text: str, start: int = 0) -> tuple[int, int] | None:
    for match in pattern(RAW[kind]).finditer(text):
        if match[0] == "turkey":
            at = start + match.start()
            original = view.reading.recipe.document.text[at : at + 6]
            if original == "Turkey" and _ABROAD.search(text, 0, match.start()):
                continue
        return match.start(), match.end()
    return None


def raw_places(view: View, kind: str) -> list[tuple[Piece, int, int]] | None:
    """Return where the method names the raw meat of `kind`, ``None`` if the recipe holds none.

    Ingredient lines decide where they name that meat; an empty list means
    that only the ingredients do.
    """
    key = "raw-" + kind
    if key not in view.memo:
        view.memo[key] = _find_raw(view, kind)
    found = view.memo[key]
    assert found is None or isinstance(found, list)
    return found


def _find_raw(view: View, kind: str) -> list[tuple[Piece, int, int]] | None:
    named, raw = False, False
    if view.any_of(*SCREEN[kind]):
        for line in view.lines:
            if not line.has(*SCREEN[kind]):
                continue
            found = _raw(view, kind, line.text, line.start)
            minced = kind in ("poultry", "pork", "red") and _raw(view, "mince", line.text) is not None
            named = named or found is not None or kind == "pork" or minced
            if found and not minced and not line.has("not-raw") and not (kind == "mince" and line.has("cured-sausage")):
                raw = True
                if kind == "mince" and line.has("poultry"):
                    view.memo["poultry-mince"] = True
    elif not any((item.food or "").startswith(CLASSES[kind]) for item in view.reading.recipe.ingredients):
        return None
    for item in view.reading.recipe.ingredients:
        if not named and (item.food or "").startswith(CLASSES[kind]) and not {"cooked", "tinned"} & set(item.forms):
            raw = True
    if (named and not raw) or (kind == "mince" and not raw and len(view.lines) > 2 and not _flesh_line(view)):
        return None
    places = []
    for piece in view.sentences:
        if piece.has(*SCREEN[kind]):
            found = _raw(view, kind, piece.text, piece.start)
            if found and (raw or _stands_alone(piece, found[0])):
                places.append((piece, *found))
    return places if raw or any(piece.has("heat-verb") for piece, _, _ in places) else None


def _flesh_line(view: View) -> bool:
    return any(line.has("meat") and not line.has("not-raw") for line in view.lines)


def _stands_alone(piece: Piece, at: int) -> bool:
    return not _SERVED.search(piece.text) and not (pattern("<not-raw>").search(piece.text, max(0, at - 20), at))


def stated_cores(view: View) -> list[Stated]:
    """Return the core temperatures that the recipe states in method and notes."""
    if "cores" not in view.memo:
        view.memo["cores"] = [found for piece in view.sentences if "cool" not in piece.words for found in _cores(piece)]
    found = view.memo["cores"]
    assert isinstance(found, list)
    return found


def _cores(piece: Piece) -> list[Stated]:
    if not _CORE.search(piece.text):
        return []
    sure = "internal" in piece.words or "thickest" in piece.words
    if not sure and not _NOT_CORE.isdisjoint(piece.words):
        return []
    made = []
    for start, end, low, _, written in temperatures(piece.text):
        before = piece.text[max(0, start - 12) : start]
        near = _CORE.search(piece.text, max(0, start - 90), start) or _CORE.search(piece.text, end, end + 40)
        if not 38 <= low <= 100 or not near or before.endswith("at ") or "oven" in before or "oven" in piece.text[end : end + 7]:
            continue
        if not written and not (120 <= low * 1.8 + 32 <= 212 or low <= 95):
            continue
        hold = min((stay for at, _, stay, _ in durations(piece.text) if end <= at <= end + 30), default=0.0)
        made.append(Stated(piece, piece.start + start, piece.start + end, low, hold))
    return made


def is_safe(stated: Stated, core_c: float) -> bool:
    """Is the stated core the advised one, or one of the published equivalents with its time?"""
    table = limits()
    if stated.low >= core_c - 0.6:
        return True
    for step in ("-80", "-75", "", "-65", "-60"):
        if stated.low >= table["uk-core" + step].value:
            return stated.hold >= table["uk-hold" + step].value
    return False


def advised(kind: str, view: View) -> float:
    """Return the advised core [°C] for a kind of meat."""
    table = limits()
    if kind == "poultry" or (kind == "mince" and raw_places(view, "mince") is not None and "poultry-mince" in view.memo):
        return table["poultry-core"].value
    return table[{"mince": "mince-core", "fish": "fish-core"}.get(kind, "whole-core")].value


def core_hits(view: View) -> list[Hit]:
    """Cautions about cores that are not stated, or stated below the advised one."""
    hits: list[Hit] = []
    stated = stated_cores(view)
    kinds = [kind for kind in ("poultry", "mince", "pork") if raw_places(view, kind) is not None]
    for kind in kinds:
        places = raw_places(view, kind) or []
        if any(is_safe(one, advised(kind, view)) for one in stated) or _exempt(view, kind):
            continue
        hit = _decisive(view, kind, places)
        if hit:
            hits.append(hit)
    low = _below(view, stated, kinds)
    if low:
        hits.append(low)
    return hits


def is_stock(view: View) -> bool:
    """Is the recipe for a stock, so that the meat itself is not eaten?"""
    return bool(_STOCK.search(view.title)) and not _WITH.search(view.title)


def _exempt(view: View, kind: str) -> bool:
    if kind == "poultry":
        return is_stock(view)
    if kind != "pork":
        return False
    for piece in view.sentences:
        if piece.has("heat-verb") and not _NOT_HEAT.search(piece.text):
            stay = longest(piece.text)
            if stay >= 120 or (stay >= 60 and _LONG_WET.search(piece.text)):
                return True
    return False


def _decisive(view: View, kind: str, places: list[tuple[Piece, int, int]]) -> Hit | None:
    at = {piece.start: (start, end) for piece, start, end in places}
    first = min(at, default=-1)
    best: tuple[int, int] = (0, 0)
    found: Hit | None = None
    for piece in view.sentences:
        verb = _COOKS.search(piece.text) if piece.start >= first else None
        strong = _STRONG.search(piece.text)
        if piece.start < first or not (verb or strong):
            continue
        weak = _WEAK.search(piece.text)
        about = piece.start in at or not piece.words.isdisjoint(_MEAT_WORDS)
        score = (4 if about else 2) * bool(strong) + bool(weak) + 3 * about + 2 * (longest(piece.text) >= 8) + bool(verb)
        score -= 6 * bool(_NOT_COOKING.search(piece.text)) + 2 * bool(not about and _OTHERS.search(piece.text))
        if (score, piece.start) < best or score <= 0:
            continue
        best = (score, piece.start)
        if strong:
            span = strong.span()
        elif piece.start in at:
            span = at[piece.start]
        else:
            mark = weak or verb
            span = mark.span() if mark else (0, len(piece.text))
        found = Hit(f"{kind}-core", piece.step, piece.start + span[0], piece.start + span[1])
    if found is None and places:
        piece, start, end = places[-1]
        found = Hit(f"{kind}-core", piece.step, piece.start + start, piece.start + end)
    return found


def _below(view: View, stated: list[Stated], kinds: list[str]) -> Hit | None:
    for one in stated:
        kind = _kind_of(view, one.piece, kinds)
        if kind is None or is_safe(one, advised(kind, view)) or _goes_on(view, one, advised(kind, view)):
            continue
        name = "core-below-choice" if kind in ("red", "fish") else "core-below-advised"
        return Hit(name, one.piece.step, one.start, one.end)
    for phase in view.reading.phases:
        if phase.core_c is None or not phase.food_class:
            continue
        for kind, start in CLASSES.items():
            if phase.food_class.startswith(start) and 38 <= phase.core_c[0] < advised(kind, view) - 0.6 and not stated:
                name = "core-below-choice" if kind in ("red", "fish") else "core-below-advised"
                return Hit(name, phase.step, phase.span.start, phase.span.end)
    return None


def _goes_on(view: View, one: Stated, core_c: float) -> bool:
    """Does the core rise further by the recipe's own words, or is it the other unit of a safe one?"""
    after = next((piece.text for piece in view.sentences if piece.start > one.piece.start), "")
    if _RISES.search(one.piece.text) or _RISES.search(after):
        return True
    pair = (two for two in stated_cores(view) if two.piece is one.piece and abs(two.start - one.end) < 25 or two.end < one.start)
    return any(is_safe(two, core_c) and two.piece is one.piece and abs(two.low - one.low) < 3 for two in pair)


def _kind_of(view: View, piece: Piece, kinds: list[str]) -> str | None:
    for kind in ("poultry", "mince", "pork", "red", "fish"):
        if piece.has(*SCREEN[kind]) and _raw(view, kind, piece.text, piece.start):
            return kind
    present = [*kinds, *(kind for kind in ("red", "fish") if raw_places(view, kind) is not None)]
    return present[0] if len(present) == 1 else None
