"""Beans, eggs, raw dough, bottling, garlic in oil."""

from __future__ import annotations

import re

from converter.place.safety_raw import Hit, is_safe, stated_cores
from converter.place.safety_table import Late, limits, pattern
from converter.place.safety_text import Piece, View, durations, temperatures

_NOT_SOAKED_DONE = Late(r"\b(?:drained|rinsed)\b")
_BOIL = Late(r"\bboil(?:s|ed|ing)?\b|\brolling boil\b")
_ANY_DRIED = Late(r"\b(?:dried|dry) beans?\b|\bbeans?, (?:dried|dry|soaked)\b")
_BOIL_SOFT = Late(r"\bboil(?!\s+(?:and|over|then|,))[^.,]{0,60}\buntil\b[^.]{0,40}\b(?:soft|tender|cooked)\b")
_SIMMER = Late(
    r"\bsimmer|\breduce|\blower|\bturn down|\bmedium\b|\blow\b|\b(?:sit|stand|rest|off the heat|remove|after|before)\b"
)
_OF_BOILING = Late(r"(?:\s+(?:of|at|a|full|hard|rolling|brisk|rapid|fast))+\s+")
_TIN_SIZE = Late(
    r"\b\d+(?:\.\d+)?[- ]?(?:oz|ounces?|g|ml)\.?\)?\s*(?:cans?|tins?|jars?)\b|\([^)]*\b(?:can|tin)\b[^)]*\)"
)
_LONG_SLOW = Late(r"\b(?:low oven|slow oven)\b")
_RUNNY = Late(
    r"\bsoft[- ]boil\w*|\bsoft[- ]cooked eggs?\b|\bsunny[- ]side|\bover[- ]easy\b|\bcoddled?\b"
    r"|\brunny\b[^.]{0,12}\byolks?\b"
    r"|\byolks?\s+(?:(?:is|are|remain|remains|stay|stays|still|a|bit|little|should|be|but"
    r"|slightly)\s+)*(?:runny|liquid|soft|wet)\b|\bmollet\b"
)
_RAW_EGG = Late(r"\braw (?:egg|yolk|white)s?\b(?!\s*wash)|\buncooked eggs?\b(?![^.]{0,30}\b(?:cook|run|flow|set))")
_EGG_HEATED = Late(
    r"\beggs?\b|\byolks?\b|\bcustard\b|\bwhites\b|\bmixture\b|\bbatter\b|\bsauce\b|\bmousse\b|\bpie\b"
    r"|\bcream\b"
)
_NEGATED = Late(r"\b(?:no|not|never|avoid|don't|until no|isn't|too|contains?|without|if)\b")
_SOFT_WORDS = frozenset({
    "raw", "uncooked", "soft", "runny", "sunny", "easy", "coddle", "coddled", "yolk", "yolks", "mollet",
})  # fmt: skip
_EATEN = frozenset({
    "eat", "eaten", "eating", "taste", "tasting", "lick", "licking", "try", "sample", "snack", "nibble", "enjoy",
})  # fmt: skip
_TASTE = Late(
    r"\b(?:eat|taste|lick|try|sample|snack on|nibble|enjoy)\w*\s+(?:the\s+|some\s+|a\s+|of\s+|bit\s+"
    r"|raw\s+|your\s+|this\s+|cookie\s+|cake\s+|little\s+|leftover\s+|as\s+){0,5}(?:dough|batter)\b"
    r"|\b(?:dough|batter)\b[^.]{0,20}\b(?:can be|may be|is) eaten raw\b"
    r"|\beat(?:en)? (?:it )?raw\b[^.]{0,30}\b(?:dough|batter)\b|\blick\w* (?:the |out the )?(?:bowl|spoon"
    r"|beaters?)\b"
)
_EDIBLE = Late(r"\b(?:edible|raw|no[- ]bake)\b[^.]{0,12}\b(?:cookie dough|dough|brownie batter|cake batter)\b")
_TREATED = Late(r"\bheat[- ]treat\w*|\btoast\w* (?:the )?flour|\bflour\b[^.]{0,40}\b(?:oven|microwave|toast|heat)")
_BAKES = frozenset({
    "bake", "baked", "baking", "oven", "fry", "fried", "boil", "steam", "cook", "grill", "roast", "griddle",
    "skillet", "pan",
})  # fmt: skip
_BOTTLED = Late(
    r"\bprocess\b[^.]{0,60}\b(?:jars?|bath|canner|minutes)\b|\b(?:pressure|water[- ]bath"
    r"|boiling[- ]water) cann?\w*|\bcanner\b|\bjars?\b[^.]{0,80}\b(?:water[- ]bath|boiling[- ]water bath)"
    r"|\b(?:hot |boiling )?water[- ]bath\b[^.]{0,60}\bjars?\b|\bjars?\b[^.]{0,60}\b(?:in|into) (?:the|a"
    r"|an) (?:\w+ )?oven\b"
)
_JARS = frozenset({"jar", "jars", "canner", "canning", "process"})
_FLOUR = frozenset({"flour", "dough"})
_OVEN = frozenset({"oven"})
_EMPTY_JARS = Late(r"\bsterili[sz]\w*\b|\bcanning salt\b|\bclean\b|\bwarm (?:the )?jars?\b|\bdry\b")
_OIL_KEPT = Late(
    r"\b(?:room temperature|cupboard|pantry|shelf|dark place|dry place|cool place|cool,|(?:\d+|several|few"
    r"|two|three|four|six) (?:weeks|months)|counter|indefinitely|(?:\d+|two|three) days? or more)\b"
)
_KEEPING = frozenset({
    "store", "stored", "storing", "stores", "keep", "keeps", "kept", "last", "lasts", "leave", "left", "steep",
    "infuse", "sit", "stand", "bottle",
})  # fmt: skip
_OIL_COLD = Late(r"\b(?:refrigerat\w+|fridge|freez\w+|vinegar)\b")
_INFUSED = Late(
    r"\b(?:infus\w+|flavou?red|garlic|chil[il]i?|herb\w*|confit)\b[^.]{0,20}\boil\b"
    r"|\boil\b[^.]{0,40}\b(?:infus|steep)|\bconfit\b"
)


def _beans(view: View) -> tuple[str, Piece, re.Match[str]] | None:
    """Return how the recipe's beans are bought (dry, open) and where it says so."""
    bean = pattern(r"<bean>")
    found: tuple[str, Piece, re.Match[str]] | None = None
    tinned = False
    for piece in view.lines:
        match = bean.search(piece.text) or _ANY_DRIED.search(piece.text)
        if not match:
            continue
        dry = piece.has("bean-dry")
        done = piece.has("bean-done") or _TIN_SIZE.search(piece.text)
        if dry and not re.search(r"\b(?:can|cans|canned|tin|tinned|cooked)\b", piece.text):
            return "dry", piece, match
        if done:
            tinned = True
        elif found is None and not re.search(r"green beans?|bean sprouts|chili powder", match[0]):
            found = ("open", piece, match)
    if tinned and found is None:
        return None
    for piece in view.sentences:
        match = bean.search(piece.text) or (re.search(r"\bbeans\b", piece.text) if found else None)
        if not match or re.search(r"(?:green|string|fava|broad|soy|coffee|vanilla|cocoa|jelly) beans", piece.text):
            continue
        if "soak" in piece.text or "dried" in piece.words:
            if piece.has("bean-done") and "soak" not in piece.text:
                continue
            return "dry", piece, match
    return found


def bean_hits(view: View) -> list[Hit]:
    """Dried kidney beans and their kin without the boil that destroys their poison."""
    beans = _beans(view)
    if beans is None or view.any_of("pressure"):
        return []
    kind, where, match = beans
    slow = view.any_of("slow-cooker") or bool(_LONG_SLOW.search(view.low)) or _low_oven(view)
    if kind == "open" and not (slow and pattern("<bean-open>").search(match[0])):
        return []
    if any(_hard_boil(piece) for piece in view.sentences):
        return []
    for piece in view.sentences:
        named = pattern(r"<bean>|\bbeans\b").search(piece.text)
        if named and piece.has("heat-verb", "slow-cooker"):
            return [Hit("kidney-beans", piece.step, piece.start + named.start(), piece.start + named.end())]
    for piece in view.sentences:
        verb = re.search(r"\b(?:boil|simmer|cook|bake|steam)\b", piece.text)
        if verb:
            return [Hit("kidney-beans", piece.step, piece.start + verb.start(), piece.start + verb.end())]
    return [Hit("kidney-beans", where.step, where.start + match.start(), where.start + match.end())]


def _low_oven(view: View) -> bool:
    floor = limits()["roast-oven"].value
    return any(
        written and 55 <= low < floor + 20
        for piece in view.with_word(_OVEN)
        for _, _, low, _, written in temperatures(piece.text)
    )


def _hard_boil(piece: Piece) -> bool:
    """Does the sentence boil for the published time ("boil hard for 10 minutes", "10 minutes of boiling")?"""
    if _BOIL_SOFT.search(piece.text):
        return True
    stays = [stay for stay in durations(piece.text) if stay[3] >= limits()["bean-boil"].value]
    for boil in _BOIL.finditer(piece.text):
        for start, end, _, _ in stays:
            after = boil.end() <= start < boil.end() + 50 and not _SIMMER.search(piece.text, boil.end(), start)
            if after or _OF_BOILING.fullmatch(piece.text[end : max(end, boil.start())]):
                return True
    return False


def egg_hits(view: View) -> list[Hit]:
    """Eggs eaten raw or soft."""
    if not view.any_of("egg"):
        return []
    raw = [line for line in view.lines if line.has("egg")]
    if (
        (raw and all(line.has("egg-safe") for line in raw))
        or "pasteurized" in view.words
        or "pasteurised" in view.words
    ):
        return []
    for piece in view.with_word(_SOFT_WORDS):
        match = _RAW_EGG.search(piece.text) or (_RUNNY.search(piece.text) if piece.has("egg") else None)
        if match and not _NEGATED.search(piece.text, max(0, match.start() - 25), match.end()):
            return [Hit("raw-egg", piece.step, piece.start + match.start(), piece.start + match.end())]
    dish = pattern("<egg-dish>").search(view.title)
    if dish and dish[0] not in ("carbonara",) and any("mayonnaise" in line.words for line in view.lines):
        return []
    if (
        not dish
        or (view.lines and not raw)
        or any(is_safe(one, limits()["egg-core"].value) for one in stated_cores(view))
    ):
        return []
    eggs = pattern(r"<egg>(?!\s*(?:plant|noodle|roll|shell))")
    first: Hit | None = None
    for piece in view.sentences:
        egg = eggs.search(piece.text)
        if _EGG_HEATED.search(piece.text) and piece.has("egg-cooked") and dish[0] != "carbonara":
            return []
        if egg and first is None:
            first = Hit("raw-egg", piece.step, piece.start + egg.start(), piece.start + egg.end())
    return [first] if first else []


def dough_hits(view: View) -> list[Hit]:
    """Dough or batter eaten raw."""
    if _TREATED.search(view.low):
        return []
    for piece in view.with_word(_EATEN):
        match = _TASTE.search(piece.text)
        if match and not _NEGATED.search(piece.text, 0, match.end()) and "to taste" not in piece.text:
            return [Hit("raw-dough", piece.step, piece.start + match.start(), piece.start + match.end())]
    flour = next(
        (line for line in view.lines if "flour" in line.words and not {"almond", "oat", "coconut"} & line.words), None
    )
    edible = _EDIBLE.search(view.title) or ("dough" in view.title and "cookie" in view.title and "flour" in view.words)
    if edible and flour is not None and view.words.isdisjoint(_BAKES):
        for piece in view.with_word(_FLOUR):
            match = re.search(r"\b(?:flour|dough)\b", piece.text)
            if match:
                return [Hit("raw-dough", piece.step, piece.start + match.start(), piece.start + match.end())]
    return []


def bottling_hits(view: View) -> list[Hit]:
    """Low-acid food bottled in boiling water or in the oven."""
    if pattern("<acid>").search(view.title):
        return []
    low = any(line.has("low-acid") for line in view.lines) or pattern("<low-acid>").search(view.title)
    acid = any(line.has("acid") for line in view.lines)
    for piece in view.with_word(_JARS):
        match = _BOTTLED.search(piece.text)
        if not match or ("jar" not in view.low and "canner" not in view.low) or _EMPTY_JARS.search(piece.text):
            continue
        if "pressure" in piece.words and "canner" in piece.words:
            continue
        if ("oven" in match[0] and "jar" in match[0]) or (low and not acid):
            return [Hit("home-canning", piece.step, piece.start + match.start(), piece.start + match.end())]
    return []


def garlic_oil_hits(view: View) -> list[Hit]:
    """Garlic or herbs kept in oil at room temperature."""
    titled = _INFUSED.search(view.title)
    for piece in view.with_word(_KEEPING):
        oily = titled or ("oil" in piece.words and ("garlic" in piece.words or _INFUSED.search(piece.text)))
        if not oily or _OIL_COLD.search(piece.text) or _OIL_COLD.search(view.title):
            continue
        match = _OIL_KEPT.search(piece.text)
        if match and re.search(r"\b(?:stor|keep|kept|last|leav|steep|infus|sit|stand|bottle)", piece.text):
            return [Hit("garlic-oil", piece.step, piece.start + match.start(), piece.start + match.end())]
    return []
