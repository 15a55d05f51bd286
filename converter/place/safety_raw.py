"""Which raw meats a recipe holds, and what core temperatures it states."""

from __future__ import annotations

from typing import NamedTuple

from converter.place.safety_table import Late, limits, pattern
from converter.place.safety_text import Piece, View, durations, lowered, temperatures


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
    "mince": r"(?:\b(?:ground|minced)\s+(?:lean\s+|raw\s+|fresh\s+)?<minceable>"
        r"|<minceable>,?\s+(?:\w+\s+){0,2}(?:mince|minced|ground)\b"
    r"|(?<!veggie )(?<!bean )<mince-noun>(?!-)(?!\s+(?:buns?|rolls?|seasoning|pastry|casings?|sauce"
        r"|spice)\b)|\bsausage\s?meat\b"
    r"|\bmeat\s?loaf\b|\blean mince\b)",
    "red": r"(?<!tuna )(?<!salmon )(?<!swordfish )(?<!halibut )(?<!fish )(?<!pork )(?<!ham )(?<!turkey )<red-meat>"
    + NOT_AFTER + r"|\b(?:rib|rump|chuck|round|pot|prime)\s+roast\b|\btri[- ]tip\b",
    "fish": r"<fish>" + NOT_AFTER,
}  # fmt: skip
SCREEN: dict[str, tuple[str, ...]] = {
    "poultry": ("poultry",), "pork": ("pork",), "mince": ("minceable", "mince-noun", "meat"), "red": ("red-meat",),
    "fish": ("fish",),
}  # fmt: skip
# How the food classes of the reader begin, for what its lexicon knows and the words above do not.
CLASSES: dict[str, tuple[str, ...]] = {
    "poultry": ("poultry",), "pork": ("pork",), "mince": ("mince", "poultry-mince", "sausage"),
    "red": ("beef", "lamb", "steak"), "fish": ("fish",),
}  # fmt: skip
FLESH: tuple[str, ...] = ("poultry", "pork", "mince", "red")
_ABROAD = Late(r"(?:in|from|of|across|throughout|and|modern|southern|eastern)\s+$")
_SERVED = Late(r"\b(?:serve|served|serving|goes|accompan\w+|accompaniment|alongside|such as|instead|substitute|like)\b")
_MINCE_WORDS = frozenset({"ground", "minced", "mince", "sausagemeat", "loaf"})
_CORE = Late(
    r"internal|\bcore\b|thermometer|\bprobe|thickest|cent(?:re|er) (?:of|reaches)|temperature (?:of"
    r"|reaches|registers|doneness|reads)"
    r"|\breach(?:es|ed)?\b|registers|doneness|(?:cook|roast|bak|grill)(?:e|ed|ing)? (?:\w+ ){0,4}to\b"
)
_NOT_CORE = frozenset(
    {"oil", "candy", "sugar", "syrup", "water", "milk", "yeast", "chocolate", "bath", "caramel", "smoker"}
)
_NO_MEAT = Late(r"\b(?:vegan|vegetarian|veggie|meatless|meat-free|beans?|lentils?|tofu|seitan|mushrooms?)\b")
_CHOICE = Late(r"\b(?:or|use|like|prefer|instead)\b[^,;]{0,25}$")
_DONE = frozenset({"cooked", "tinned", "smoked", "cured"})
_TURNS = Late(r"\b(?:rotat|turn|angle)")
_WHOLE_BIRD = r"\b(?:roast|truss|carve|stuff|rinse|wash|joint)\s+(?:the\s+)?(?:whole\s+)?<poultry>"
_STOCK = Late(r"\b(?:stock|broth|bouillon)\b\s*(?:\(|$)|^(?:bone\s+)?(?:stock|broth)\s+for\b")
_WITH = Late(r"\b(?:in|with|and)\b")


def find_raw(view: View, kind: str, text: str, start: int = 0) -> tuple[int, int] | None:
    """Return where `text` names raw meat of `kind`; `start` is its offset in the document."""
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
    if kind == "mince" and _MINCE_WORDS.isdisjoint(view.words) and not view.any_of("mince-noun"):
        return None
    if view.any_of(*SCREEN[kind]):
        for line in view.lines:
            if not line.has(*SCREEN[kind]):
                continue
            found = find_raw(view, kind, line.text, line.start)
            minced = kind in ("poultry", "pork", "red") and find_raw(view, "mince", line.text) is not None
            named = named or found is not None or kind == "pork" or minced
            if found and not minced and not not_raw(line.text) and not (kind == "mince" and line.has("cured-sausage")):
                raw = True
                view.memo.setdefault(
                    f"line-{kind}", Hit(f"{kind}-core", 0, line.start + found[0], line.start + found[1])
                )
                if kind == "mince" and line.has("poultry"):
                    view.memo["poultry-mince"] = True
    elif not any((item.food or "").startswith(CLASSES[kind]) for item in view.reading.recipe.ingredients):
        return None
    for item in view.reading.recipe.ingredients:
        if not named and (item.food or "").startswith(CLASSES[kind]) and not _DONE.intersection(item.forms):
            text = lowered(item.text)
            raw = raw or not (not_raw(text) or (kind == "mince" and pattern("<cured-sausage>").search(text)))
    if named and not raw and kind == "poultry":
        raw = any(pattern(_WHOLE_BIRD).search(piece.text) for piece in view.sentences)
    if (named and not raw) or (kind == "mince" and not raw and _meatless(view)):
        return None
    places = []
    for piece in view.sentences:
        if piece.has(*SCREEN[kind]):
            found = find_raw(view, kind, piece.text, piece.start)
            if found and (raw or _stands_alone(piece, found[0])):
                places.append((piece, *found))
    return places if raw or any(_heated(view, piece) for piece, _, _ in places) else None


def _heated(view: View, piece: Piece) -> bool:
    """Is the food of a sentence heated in it, or in what follows its colon?"""
    if piece.has("heat-verb"):
        return True
    after = next((other for other in view.sentences if other.start > piece.start), None)
    return piece.text.rstrip().endswith(":") and after is not None and after.has("heat-verb")


def not_raw(line: str) -> bool:
    """Is the meat of an ingredient line cooked, cured or no meat? A choice ("or leftover turkey") leaves it raw."""
    match = pattern("<not-raw>").search(line)
    return match is not None and not _CHOICE.search(line[: match.start()])


def holds(view: View, *kinds: str) -> bool:
    """Does the recipe hold raw meat of one of the kinds?"""
    return any(raw_places(view, kind) is not None for kind in kinds)


def _meatless(view: View) -> bool:
    if any(line.has("meat") and not not_raw(line.text) for line in view.lines):
        return False
    return len(view.lines) > 2 or bool(_NO_MEAT.search(view.title))


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
    warm = temperatures(piece.text)
    if not warm or not _CORE.search(piece.text):
        return []
    sure = not piece.words.isdisjoint(("internal", "thickest", "core"))
    if not sure and not _NOT_CORE.isdisjoint(piece.words):
        return []
    made = []
    for start, end, low, _, written in warm:
        before = piece.text[max(0, start - 12) : start]
        near = _CORE.search(piece.text, max(0, start - 90), start) or _CORE.search(piece.text, end, end + 40)
        if (
            not 38 <= low <= 100
            or not near
            or before.endswith("at ")
            or "oven" in before
            or "oven" in piece.text[end : end + 7]
        ):
            continue
        if not written and (_TURNS.search(piece.text) or low > 99):
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
    if kind == "poultry" or (
        kind == "mince" and raw_places(view, "mince") is not None and "poultry-mince" in view.memo
    ):
        return table["poultry-core"].value
    return table[{"mince": "mince-core", "fish": "fish-core"}.get(kind, "whole-core")].value


def is_stock(view: View) -> bool:
    """Is the recipe for a stock, so that the meat itself is not eaten?"""
    return bool(_STOCK.search(view.title)) and not _WITH.search(view.title)
