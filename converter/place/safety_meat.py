"""Raw meat in slow heat, from frozen, rolled, stuffed, left pink, washed, dried."""

from __future__ import annotations

import re

from converter.model import Phase
from converter.place.safety_raw import CLASSES, FLESH, RAW, Hit, advised, holds, is_safe, stated_cores
from converter.place.safety_table import Late, limits, pattern
from converter.place.safety_text import Piece, View, longest, temperatures

_PINK = Late(
    r"(?:\bstill|\bslightly|\bremain\w*|\ba (?:little|bit|touch)|\bquite|\brosy|\bjust|\bbe|\bis|\bare"
    r"|\bleave (?:it|them)|\bfairly)"
    r"\s+(?:\w+\s+)?(?:pink|rosy)\b|\bpink\s+(?:in|inside|at|on the inside|cent(?:re|er)|middle)\b"
    r"|\bpinkish\b|\bmedium[ -]rare\b|\brare\b"
)
_PINK_WORDS = frozenset({"pink", "pinkish", "rosy", "rare"})
_FROZEN_WORDS = frozenset({"frozen", "thaw", "thawing", "defrost", "defrosting", "freezer"})
_STUFF_WORDS = frozenset({
    "stuff", "stuffed", "stuffing", "restuff", "fill", "pack", "packing", "cavity", "cavities", "roll", "rolled",
    "rolls", "roulades", "braciole", "rouladen", "olives",
})  # fmt: skip
_DRY_WORDS = frozenset({
    "dehydrate", "dehydrated", "dehydrator", "dehydrating", "dry", "dried", "drying", "hang",
})  # fmt: skip
_LONG_WORDS = frozenset({"simmer", "braise", "stew", "boil", "cook", "cover", "bake"})
_RISES = Late(r"\bcarry[- ]?over\b")
_NO_PINK = Late(r"\b(?:no|not|never|without|isn't|aren't|until no|lose|loses|gone|avoid|don't|if|disappear\w*|any)\b")
_LOW_WORDS = Late(
    r"\b(?:very (?:low|slow|cool) oven|(?:low|cool|warming) oven|oven (?:on|at|to) (?:its |the )?lowest"
    r"|lowest (?:oven )?setting"
    r"|gas (?:mark )?(?:¼|½|1/4|1/2)(?!\d))"
)
_OTHER_FOOD = Late(
    r"\b(?:keep|kept|warm|plates?|bread|breadcrumbs|toast|crackers?|croutons|tomato(?:es)?|meringues?|cake|rest"
    r"|yogh?urt|milk|dough|rise|dehydrat\w+|dry|dried|smoker|grill|charcoal|bacon|fruit|oil|syrup"
    r"|cool(?! oven)|water|nuts|chips|drying)\b"
)
_PROBED = Late(r"\b(?:thermometer|internal|core|probe|reach(?:es)?|register\w*)\b")
_BOILED = Late(r"\b(?:boil|simmer)\w*\b")
_BROWNED = Late(r"\b(?:sear|brown|fry|seal)\w*\b")
_JOINT = Late(
    r"\b(?:roast|joint|brisket|shoulder|leg|rib|ribs|loin|rump|topside|silverside|round|butt|prime|beef"
    r"|lamb|pork|veal|venison|mutton)\b"
)
_FROM_FROZEN = Late(
    r"\bfrom frozen\b|\bstill[- ]frozen\b|\bwithout (?:thawing|defrosting)\b|\bno need to (?:thaw|defrost)\b"
    r"|\b(?:do not|don't|needn't) (?:thaw|defrost)\b|\bstraight from the freezer\b"
)
_FROZEN_MEAT = (
    r"\bfrozen,?\s+(?:\w+[\s,-]+){0,3}?<poultry|pork|red-meat|mince-noun>|<poultry|pork|red-meat"
    r"|mince-noun>\s*(?:\w+\s+){0,2},?\s*\(?frozen\b"
)
_PARTLY = Late(
    r"\b(?:partially|partly|semi|half|slightly|nearly|almost|lightly)[- ]frozen|frozen (?:works|is fine)|(?:or"
    r"|and) frozen|frozen or|easier to (?:slice|cut)|\bthaw(?:ed|ing)?\b|\bdefrost(?:ed|ing)?\b"
)
_STUFF = (
    r"\b(?:re)?stuff(?:ed|ing)?\s+(?:the\s+|your\s+|each\s+|a\s+|inside\s+|into\s+|loosely\s+|in\s+|of\s+"
    r"|both\s+|body\s+|main\s+|whole\s+){0,4}"
    r"(?:<poultry>|birds?\b|cavit(?:y|ies)\b|neck\b)"
    r"|\b(?:fill|pack)\w*\s+(?:the\s+)?(?:\w+\s+){0,2}(?:<poultry>|bird|cavity)\b[^.]{0,15}\bwith\b"
    r"|\bstuffing\b[^.]{0,40}\b(?:into|in|inside)\b[^.]{0,25}(?:<poultry>|\bbird|\bcavity)"
    r"|\bcavity\b[^.]{0,30}\bstuffing\b|<poultry>[^.,]{0,20}\bwith the stuffing\b"
)
_AROMATIC = Late(
    r"\b(?:lemons?|onions?|herbs?|garlic|thyme|rosemary|sage|apples?|oranges?|limes?|lemongrass|celery"
    r"|ginger)\b"
)
_REAL_STUFFING = Late(r"\b(?:stuffing|rice|bread|breadcrumbs|mixture|meat|sausage|cheese|dressing|filling|forcemeat)\b")
_ROLLED = (
    r"\bstuff(?:ed)?\s+(?:the\s+|a\s+|each\s+|whole\s+|boned\s+){0,2}(?:\w+\s+){0,2}?(?:loin|tenderloin"
    r"|flank|shoulder|leg of|breast of|saddle|chops?|joint|roast)\b"
    r"|\b(?:boned and rolled|rolled and tied|rolled (?:joint|roast|shoulder|loin|leg|rib|breast))\b"
    r"|\broll\w*\s+(?:up\s+)?(?:the\s+|each\s+)?(?:meat|beef|pork|veal|lamb|steaks?|loin|flank|roast"
    r"|slices?)\b[^.]{0,60}\b(?:tie|twine|string|toothpicks?|skewer|secure)"
    r"|\broll(?:ed)?\b(?![^.]{0,40}\b(?:dough|pastry|leaf|leaves|paper|cabbage|noodle|tortilla|fish"
    r"|wrapper)\b)[^.]{0,30}"
    r"\b(?:tie|tied|twine|string)\b"
    r"|\bmeat roulades?\b|\bbraciole\b|\brouladen\b|\bbeef olives\b"
)
_WASH = (
    r"\b(?:wash|washed|washing|rinse|rinsed|rinsing)\s+(?:and\s+\w+\s+)?(?:(?!hand|knife|knives|board|utensil"
    r"|surface|bean|rice)\w+[\s,]+){0,4}?<poultry>"
)
_WASHED = r"<poultry>[^.;]{0,40}\b(?:washed|rinsed?|wash)\b"
_WASH_INSIDE = r"\b(?:wash|rinse)\b\s+(?:it\s+|the bird\s+|them\s+|well\s+)?(?:inside|out)\b"
_DRYING = Late(
    r"\bdehydrat\w+|\b(?:air|sun|oven)[- ]?(?:dry|dried|drying)\b|\bhang\w*\b[^.]{0,40}\bdry\b"
    r"|\bdry (?:the )?(?:meat|strips|beef)\b|\buntil (?:it is |they are )?dry\b"
)


def pink_hits(view: View) -> list[Hit]:
    """Poultry, pork or minced meat that the recipe leaves pink."""
    kinds = ("poultry", "pork", "mince")
    for piece in view.with_word(_PINK_WORDS):
        match = _PINK.search(piece.text)
        if not match or _NO_PINK.search(piece.text, max(0, match.start() - 25), match.end()):
            continue
        named = any(pattern_of(kind).search(piece.text) for kind in kinds)
        other = not named and (piece.has("red-meat", "fish") or holds(view, "red", "fish"))
        if other or ("rare" in match[0] and not named and "well" in piece.words):
            continue
        done = any(
            is_safe(one, advised(kind, view)) for kind in kinds if holds(view, kind) for one in stated_cores(view)
        )
        if holds(view, *kinds) and not done and not _RISES.search(view.low):
            return [Hit("pink-inside", piece.step, piece.start + match.start(), piece.start + match.end())]
    return []


def pattern_of(kind: str) -> re.Pattern[str]:
    """Return the pattern of a raw meat of `kind`."""

    return pattern(RAW[kind])


def _slow_name(view: View, piece: Piece | None) -> str | None:
    for kind, name in (("poultry", "slow-poultry"), ("mince", "slow-mince")):
        other = piece is not None and piece.has("red-meat", "pork") and not pattern_of(kind).search(piece.text)
        if holds(view, kind) and not other:
            return name
    if holds(view, "pork", "red"):
        rolled = any(pattern(_ROLLED).search(one.text) for one in (*view.lines, *view.sentences))
        return "slow-mince" if rolled else "slow-joint"
    return None


def slow_hits(view: View) -> list[Hit]:
    """Raw meat in an oven below the food-code floor, in a low zone or in a slow cooker."""
    if _slow_name(view, None) is None:
        return []
    hits: list[Hit] = []
    hot, boiled, browned = False, -9, False
    for index, piece in enumerate(view.sentences):
        hot, found = _low_setting(view, piece, hot)
        if _BOILED.search(piece.text):
            boiled = index
        browned = browned or bool(_BROWNED.search(piece.text))
        if found and not any(hit.name != "slow-start" for hit in hits):
            name = _slow_name(view, piece)
            heated = hot or index - boiled <= 2 or (name == "slow-joint" and browned)
            if name and not heated and (name != "slow-joint" or _JOINT.search(view.low)):
                hits.append(Hit(name, piece.step, piece.start + found[0], piece.start + found[1]))
        cooker = pattern("<slow-cooker>").search(piece.text) if piece.has("slow-cooker") else None
        hot_start = any("boil" in one.text for one in view.sentences[max(0, index - 3) : index + 1])
        if cooker and not hot_start and not any(hit.name == "slow-start" for hit in hits):
            hits.append(Hit("slow-start", piece.step, piece.start + cooker.start(), piece.start + cooker.end()))
    return hits or _slow_moves(view)


def _low_setting(view: View, piece: Piece, hot: bool) -> tuple[bool, tuple[int, int] | None]:
    """Return whether the oven was hot by the end of the sentence, and the low setting for meat that it names first."""
    text = piece.text
    found: tuple[int, int] | None = None
    if not piece.words.isdisjoint(_OVEN_WORK) or " cook at " in text:
        cores = {(one.start - piece.start, one.end - piece.start) for one in stated_cores(view)}
        low_oven = limits()["roast-oven"].value - 0.2
        for start, end, low, _, written in temperatures(text):
            hot = hot or (written and low >= 160)
            if (
                not written
                or not 55 <= low < low_oven
                or found
                or hot
                or (start, end) in cores
                or _OTHER_FOOD.search(text)
            ):
                continue
            setting = text[:start].endswith(("at ", "to ", "a ")) or text[end : end + 5] == " oven"
            kept = "preheat" in piece.words and _KEPT.search(view.low)
            if not kept and (setting or not _PROBED.search(text)):
                found = (start, end)
    if found is None and not piece.words.isdisjoint(("oven", "gas", "lowest")) and not _OTHER_FOOD.search(text):
        match = _LOW_WORDS.search(text)
        found = match.span() if match else None
    return hot, found


_OVEN_WORK = frozenset({"oven", "roast", "roasting", "bake", "baking", "slow", "preheat", "braise"})
_KEPT = Late(r"\b(?:keep|kept|hold|stay|keeping)\b[^.]{0,40}\bwarm\b|\bwarm\b[^.]{0,20}\boven\b")


def _raw_phase(view: View, phase: Phase) -> str | None:
    for kind, start in CLASSES.items():
        if kind != "fish" and (phase.food_class or "").startswith(start):
            return {"poultry": "slow-poultry", "mince": "slow-mince"}.get(kind, "slow-joint")
    return None


def _slow_moves(view: View) -> list[Hit]:
    """Raw meat whose first stay of all is in a low or holding oven."""
    heated: set[str] = set()
    moves = {placement.phase: placement.moves for placement in view.placements}
    for phase in view.reading.phases:
        name = _raw_phase(view, phase)
        stays = moves.get(phase.number, ())
        if name and stays and "cooked" not in phase.forms:
            cold = stays[0].zone in ("low-oven", "holding-oven") and not stays[0].boil
            if cold and phase.food_class not in heated and phase.method not in ("warm", "melt"):
                return [Hit(name, phase.step, phase.span.start, phase.span.end)]
            heated.add(phase.food_class or "")
    return []


def frozen_hits(view: View) -> list[Hit]:
    """Meat that goes in frozen."""
    if not holds(view, *FLESH):
        return []
    for piece in view.with_word(_FROZEN_WORDS):
        match = _FROM_FROZEN.search(piece.text)
        if match and (
            piece.has("meat")
            or not re.search(r"pea|vegetable|fruit|berr|pastry|dough|fish|shrimp|prawn|corn", piece.text)
        ):
            return [Hit("from-frozen", piece.step, piece.start + match.start(), piece.start + match.end())]
    if _PARTLY.search(view.low):
        return []
    frozen = pattern(_FROZEN_MEAT)
    for piece in (*view.sentences, *view.lines):
        if "frozen" in piece.words and (match := frozen.search(piece.text)) and not piece.has("not-raw"):
            return [Hit("from-frozen", piece.step, piece.start + match.start(), piece.start + match.end())]
    return []


def stuffed_hits(view: View) -> list[Hit]:
    """Stuffing inside a bird; rolled or stuffed joints."""
    hits: list[Hit] = []
    safe = any(is_safe(one, limits()["stuffing-core"].value) for one in stated_cores(view))
    birds = holds(view, "poultry")
    joints = holds(view, "pork", "red")
    named = any(
        "stuffing" in one.piece.words and is_safe(one, limits()["stuffing-core"].value) for one in stated_cores(view)
    )
    if not birds and not joints:
        return []
    for piece in view.with_word(_STUFF_WORDS):
        text = piece.text
        if birds and not named and not any(hit.name == "stuffing-core" for hit in hits):
            match = pattern(_STUFF).search(text)
            aromatic = _AROMATIC.search(text) and not _REAL_STUFFING.search(text)
            if match and not aromatic and not re.search(r"\b(?:never|don't|do not|not) stuff", text):
                hits.append(Hit("stuffing-core", piece.step, piece.start + match.start(), piece.start + match.end()))
        if joints and not safe and not any(hit.name == "rolled-core" for hit in hits):
            match = pattern(_ROLLED).search(text)
            if match and not longest_wet(view):
                hits.append(Hit("rolled-core", piece.step, piece.start + match.start(), piece.start + match.end()))
    return hits


def longest_wet(view: View) -> bool:
    """Is something simmered, braised or stewed for an hour or more?"""
    return any(longest(piece.text) >= 60 for piece in view.with_word(_LONG_WORDS))


def wash_hits(view: View) -> list[Hit]:
    """Raw poultry that is washed."""
    if not holds(view, "poultry"):
        return []
    for piece in (*view.sentences, *view.lines):
        if piece.words.isdisjoint(("wash", "washed", "washing", "rinse", "rinsed", "rinsing")):
            continue
        match = pattern(_WASH).search(piece.text) or pattern(_WASHED).search(piece.text)
        match = match or re.search(_WASH_INSIDE, piece.text)
        if match and not re.search(
            r"\b(?:hands?|boards?|knife|knives|utensils|cooked|beans|rice|vegetables|lettuce|herbs|leaves"
            r"|spinach|noodles|do not|don't|never)\b",
            piece.text,
        ):
            return [Hit("washed-poultry", piece.step, piece.start + match.start(), piece.start + match.end())]
    return []


def dried_hits(view: View) -> list[Hit]:
    """Meat dried without a heat step."""
    product = re.search(r"\b(?:jerky|biltong|droëwors|charqui|pemmican)\b", view.title)
    if (not product and not view.any_of("red-meat")) or any(
        is_safe(one, limits()["jerky-core"].value) for one in stated_cores(view)
    ):
        return []
    for piece in view.with_word(_DRY_WORDS):
        match = _DRYING.search(piece.text)
        if match and (product or piece.has("red-meat")) and not re.search(r"\bpat\b|paper towel", piece.text):
            if not product and piece.has("heat-verb"):
                continue
            return [Hit("dried-meat", piece.step, piece.start + match.start(), piece.start + match.end())]
    return []
