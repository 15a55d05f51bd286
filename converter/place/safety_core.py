"""Core temperatures that a recipe leaves open or states too low."""

from __future__ import annotations

from converter.place.safety_raw import (
    CLASSES,
    FLESH,
    SCREEN,
    Hit,
    Stated,
    advised,
    find_raw,
    holds,
    is_safe,
    is_stock,
    raw_places,
    stated_cores,
)
from converter.place.safety_table import Late
from converter.place.safety_text import Piece, View, longest

_STRONG = Late(
    r"(?:juices?\b[^.]{0,30}\b(?:clear|yellow)\b|(?:no longer|not|isn't|no sign of) pink|(?:cooked"
    r"|done) (?:all the way )?through"
    r"|pink is gone|loses? (?:its|their) (?:pink|red|raw) colou?r|(?:fully|completely|thoroughly) cooked)"
)
_COOKS = Late(
    r"\b(?:bake|roast|fry|saut[eé]|sear|brown|grill|broil|cook|simmer|braise|boil|stew|poach|steam"
    r"|barbecue|smoke|microwave)(?:s|ing)?\b"
    r"(?!\s+(?:spray|oil|time|liquid|juices|rack|sherry|wine|water))|\b(?:frying|saut[eé]ing|baking"
    r"|braising|sim{1,2}ering)\b(?!\s+(?:pan|dish|sheet|tray|powder|paper|rack|soda))"
)
_NOT_COOKING = Late(
    r"\b(?:marinat|marinade|refrigerat|garnish|carve|room temperature|preheat(?!ed)|cooked (?:chicken|turkey"
    r"|duck|pork|meat|beef|sausage))"
)
_MEAT_WORDS = frozenset({
    "meat", "meats", "bird", "breast", "breasts", "thighs", "thigh", "wings", "legs", "chops", "patties",
    "meatballs", "loaf",
})  # fmt: skip
_OTHERS = Late(
    r"\b(?:potato(?:es)?|rice|pasta|noodles|vegetables|carrots?|onions?|shallots?|garlic|peppers?|crust|bread"
    r"|beans|eggs?|sauce|spaghetti|tortillas?)\b"
)
_WEAK = Late(r"\b(?:golden(?: brown)?|browned|brown|tender|done|opaque|falls? off|falling off|cooked|crisp)\b")
_RISES = Late(r"\b(?:ris(?:e|es|ing)|climb|carry|coast|increase)")
_LONG_WET = Late(r"simmer|boil|brais|stew|pressure|liquid|cover|slow cook")
_NOT_HEAT = Late(r"marinat|refrigerat|chill|soak|brine|cure|rest\b|freez|before")


def core_hits(view: View) -> list[Hit]:
    """Cautions about cores that are not stated, or stated below the advised one."""
    hits: list[Hit] = []
    stated = stated_cores(view)
    kinds = [kind for kind in ("poultry", "mince", "pork") if holds(view, kind)]
    low = _below(view, stated, kinds)
    for kind in kinds:
        places = raw_places(view, kind) or []
        if low and low[0] == kind:
            continue
        core_c = advised(kind, view)
        if any(is_safe(one, core_c) or (one.low > core_c - 6 and _goes_on(view, one, core_c)) for one in stated):
            continue
        if _exempt(view, kind):
            continue
        hit = _decisive(view, kind, places)
        if hit:
            hits.append(hit)
    if low:
        hits.append(low[1])
    return hits


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
    others = {
        piece.start for other in (*FLESH, "fish") if other != kind for piece, _, _ in raw_places(view, other) or []
    }
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
        score = (
            (4 if about else 2) * bool(strong) + bool(weak) + 3 * about + 2 * (longest(piece.text) >= 8) + bool(verb)
        )
        score -= 6 * bool(_NOT_COOKING.search(piece.text)) + 2 * bool(not about and _OTHERS.search(piece.text))
        score -= 5 * (piece.start not in at and piece.start in others)
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
    line = view.memo.get(f"line-{kind}")
    return found or (line if isinstance(line, Hit) else None)


def _below(view: View, stated: list[Stated], kinds: list[str]) -> tuple[str, Hit] | None:
    last: dict[str, Stated] = {}
    for one in stated:
        kind = _kind_of(view, one.piece, kinds)
        # The last sentence with a core decides; in it the first figure, for "135°F rare, 160°F well done".
        if kind and (kind not in last or last[kind].piece is not one.piece):
            last[kind] = one
    for kind, one in last.items():
        if is_safe(one, advised(kind, view)) or _goes_on(view, one, advised(kind, view)):
            continue
        name = "core-below-choice" if kind in ("red", "fish") else "core-below-advised"
        return kind, Hit(name, one.piece.step, one.start, one.end)
    for phase in view.reading.phases:
        if phase.core_c is None or not phase.food_class:
            continue
        for kind, start in CLASSES.items():
            if phase.food_class.startswith(start) and 38 <= phase.core_c[0] < advised(kind, view) - 0.6 and not stated:
                name = "core-below-choice" if kind in ("red", "fish") else "core-below-advised"
                return kind, Hit(name, phase.step, phase.span.start, phase.span.end)
    return None


def _goes_on(view: View, one: Stated, core_c: float) -> bool:
    """Does the core rise further by the recipe's own words, or is it the other unit of a safe one?"""
    after = next((piece.text for piece in view.sentences if piece.start > one.piece.start), "")
    if _RISES.search(one.piece.text) or _RISES.search(after):
        return True
    pair = (
        two
        for two in stated_cores(view)
        if (two.piece is one.piece and abs(two.start - one.end) < 25) or two.end < one.start
    )
    return any(is_safe(two, core_c) and two.piece is one.piece and abs(two.low - one.low) < 3 for two in pair)


def _kind_of(view: View, piece: Piece, kinds: list[str]) -> str | None:
    for kind in ("poultry", "mince", "pork", "red", "fish"):
        if piece.has(*SCREEN[kind]) and find_raw(view, kind, piece.text, piece.start):
            return kind
    present = [*kinds, *(kind for kind in ("red", "fish") if holds(view, kind))]
    return present[0] if len(present) == 1 or present == ["red", "fish"] else None
