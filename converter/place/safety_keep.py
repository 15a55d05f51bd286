"""Food that is kept, cooled, reheated, marinated or left: time in the danger zone."""

from __future__ import annotations

import re

from converter.place.safety_raw import FLESH, Hit, holds, is_stock
from converter.place.safety_table import Late, limits, pattern
from converter.place.safety_text import Piece, View, durations, longest, temperatures

_KEEP = Late(
    r"\b(?:keep|keeps|kept|keeping|hold|held|holding|stay|stays|remain)\b(?!\s+\w+ing)[^.]{0,40}?\b(?:warm"
    r"|hot)\b(?!,?\s+(?:water|broth|stock|oil|place|spot|milk|pan|skillet|sauce|area|room|corner|liquid))"
    r"|\bwarm(?:ing)? setting\b|\bholding oven\b"
    r"|\bhold (?:it |them )?(?:in|at)\b"
)
_ROOM = Late(
    r"\broom[- ]temp(?:erature|\.)?|\b(?:on|at) (?:the |a |your )?(?:kitchen )?(?:counter|countertop"
    r"|worktop|work surface|bench|sideboard)\b"
    r"|\bunrefrigerated\b|\b(?:left|leave|sit|stand|set) (?:\w+ )?out\b(?! of)|\bout of the (?:fridge"
    r"|refrigerator)\b|\ba warm place\b|\bon the table\b"
)
_LEAVE = Late(r"\b(?:leave|left|stand|standing|sit|sitting|set|keep|kept|store|stored|stores|rest|hang|stays?|hold)\b")
_COLD = Late(r"\b(?:refrigerat\w+|fridge|chill\w*|cold|icebox|freez\w*|ice)\b")
_TO_ROOM = Late(
    r"\b(?:to|come to|comes to|reach(?:es)?|until|back to|up to|down to|at about)\s+(?:near(?:ly)?\s+"
    r"|about\s+)?room[- ]temp"
)
_SOAKS = Late(
    r"\b(?:soak\w*|proof\w*|ris(?:e|es|ing)|prov(?:e|ing)|ferment\w*|sprout\w*|germinat\w*|dissolv\w*|dry"
    r"|dried|infus\w*|steep\w*)\b"
)
_COOL = Late(
    r"\b(?:cool(?!,?\s+(?:(?!to\b|in\b|at\b|on\b)\w+,?\s+){0,2}(?:place|spot|cellar|water|oven|area|whip))"
    r"|cools|cooled|cooling|cool down)\b"
)
_SLOWLY = Late(
    r"\broom[- ]temp|\bovernight\b|\bslowly\b|\bcompletely\b|\bcounter\b|\bin (?:the|its) (?:pot|pan|liquid"
    r"|broth|stock|own juice)\b"
)
_RICE = Late(
    r"(?<![-\w])rice\b(?!\s*(?:flour|wine|vinegar|noodles?|paper|vermicelli|powder|bran|milk|syrup|crisp\w*"
    r"|krisp\w*|pudding|cooker\b(?! on)))"
)
_RICE_RAW = Late(
    r"\b(?:soak\w*|wash\w*|rins\w*|drain\w*|uncooked|raw|grind|ferment\w*|flour|vinegar|batter"
    r"|before cooking)\b"
)
_RICE_LEFT = Late(
    r"\b(?:left-?\s?over|day[- ]old|yesterday's|previous day's|cooked the (?:night"
    r"|day) before)\b[^.,;]{0,25}\brice\b|\brice\b[^.;]{0,30}\b(?:left-?\s?over|day[- ]old)\b"
)
_REHEAT = Late(r"\bre-?heat(?:ed|ing|s)?\b|\brewarm(?:ed|ing|s)?\b|\bwarm(?:ed)? (?:it |them |the \w+ )?up again\b")
_NO_BOIL = Late(r"\b(?:not|don't|without|never|before)\b[^.]{0,30}\b(?:boil|simmer)")
_STORED = Late(
    r"\b(?:refrigerat|fridge|chill|next day|day before|following day|left-?over|freez|frozen|overnight"
    r"|store|made? (?:it )?ahead"
    r"|in advance|later|cool)"
)
_MARINATE = Late(r"\bmarinat\w*|\bmarinade\b")
_AGAIN = Late(
    r"\b(?:bast|brush|mop|drizzl|glaz|spoon|pour|serv|dip)\w*\b[^.]{0,50}\b(?:remaining|reserved"
    r"|left-?\s?over|excess|rest of (?:the|this)|used)\s+(?:of the )?marinade"
    r"|\b(?:remaining|reserved|left-?\s?over|excess|rest of the) marinade\b[^.]{0,50}\b(?:bast|brush|over"
    r"|sauce|serv|dip|drizzl)"
    r"|\b(?:while|during|frequently|often|occasionally|turn\w*|last|grill|cook)\b[^.]{0,50}\b(?:bast|brush"
    r"|mop)\w*\b[^.]{0,30}\b(?:with|in|using)\s+(?:the |some |more |its )?marinade\b"
    r"|\b(?:bast\w*|brushing)\s+(?:\w+\s+){0,4}?(?:with|in|using)\s+(?:the |some |more |its )?marinade\b"
)
_BOILED = Late(
    r"\b(?:boil\w*|simmer\w*|reduc\w*|bring|cook the marinade|discard\w*|saucepan|heat (?:the |it)|thicken\w*"
    r"|throw)\b"
)
_SET_ASIDE = Late(
    r"\b(?:reserv|set aside|save|keep)\w*[^.]{0,45}\bmarinade\b|\bmarinade\b[^.]{0,20}\b(?:aside|reserve)"
)
_TAKEN_OUT = Late(r"\b(?:remove|drain|take|lift|discard|shake|wipe)\w*\b")
_OFF = Late(
    r"\b(?:turn|switch|shut)\w*\s+off\s+(?:the |your )?(?:oven|heat)\b|\b(?:turn|switch|shut)\w*\s+(?:the "
    r"|your )?(?:oven|heat|it)?\s*off\b|\bcooling oven\b"
    r"|\b(?:oven|heat) (?:is )?(?:turned |switched )?off\b|\bturned[- ]off oven\b"
)
_LEFT_IN = Late(r"\b(?:leave|left|let|stand|sit|rest|remain|keep|stay|cool)\w*\b")
_STAYS = Late(r"\b(?:in|inside) (?:the |a |your |it|closed|turned-off|cooling)|\boven\b")
_NIGHT = Late(r"\bovernight\b|\ball night\b|\bthrough the night\b")
_NOT_NIGHT = Late(r"\b(?:refrigerat\w+|fridge|chill\w*|marinat\w*|soak\w*|brine|rise|proof|freez\w*|salt\w*|cold)\b")
_AJAR = Late(
    r"\bajar\b|\bdoor (?:slightly |partly |partially |propped |a little |left |half )+open\b|\b(?:prop|wedge"
    r"|crack)\w*\b[^.]{0,20}\b(?:oven )?door\b|\bdoor cracked\b"
)


_CULTURE = frozenset(
    {"yogurt", "yoghurt", "culture", "kefir", "starter", "yeast", "natto", "tempeh", "ferment", "rennet"}
)
_WARM_WORDS = frozenset({"warm", "hot", "hold", "holding", "warming"})
_COOL_WORDS = frozenset({"cool", "cools", "cooled", "cooling", "rice"})
_MARINADE = frozenset({"marinade"})


def _hit(name: str, piece: Piece, match: re.Match[str]) -> Hit:
    return Hit(name, piece.step, piece.start + match.start(), piece.start + match.end())


def _perishable(view: View, piece: Piece) -> bool:
    """Is perishable food named in the sentence, or, where it names none, is it what the recipe is about?"""
    if piece.has("perishable"):
        return True
    if piece.has("ferment"):
        return False
    return holds(view, *FLESH, "fish")


def kept_warm_hits(view: View) -> list[Hit]:
    """Food kept warm below the limit, or longer than the limit allows."""
    table = limits()
    for piece in view.with_word(_WARM_WORDS):
        match = _KEEP.search(piece.text)
        if not match or (piece.has("ferment") and not piece.has("perishable")) or _SOAKS.search(piece.text):
            continue
        if not _CULTURE.isdisjoint(view.words) and not holds(view, *FLESH):
            continue
        cool = any(
            30 <= low < table["hot-hold"].value - 0.6 and written for _, _, low, _, written in temperatures(piece.text)
        )
        long_min = max((high for at, _, _, high in durations(piece.text) if at > match.start() - 25), default=0.0)
        if cool or long_min > table["hot-hold-time"].value * 60:
            return [_hit("kept-warm", piece, match)]
    moves = {placement.phase: placement.moves for placement in view.placements}
    for phase in view.reading.phases:
        for move in moves.get(phase.number, ()):
            low = move.zone == "warm-plate" or move.zone == "holding-oven"
            kept = move.minutes is not None and move.minutes.high > table["hot-hold-time"].value * 60
            if low and kept and phase.method == "warm":
                return [Hit("kept-warm", phase.step, phase.span.start, phase.span.end)]
    return []


def room_hits(view: View) -> list[Hit]:
    """Perishable food left, marinated or thawed at room temperature."""
    hits: dict[str, Hit] = {}
    for piece in view.sentences:
        if piece.words.isdisjoint(_ROOM_WORDS):
            continue
        text = piece.text
        room = _ROOM.search(text)
        if not room:
            continue
        stay = max((high for _, _, _, high in durations(text)), default=0.0)
        flesh = piece.has("meat", "fish")
        if "thaw" in text or "defrost" in text:
            if (flesh or _perishable(view, piece)) and not _SOAKS.search(text) and not piece.has("ferment"):
                hits.setdefault("thawed-warm", _hit("thawed-warm", piece, room))
        elif _MARINATE.search(text):
            raw = flesh or holds(view, *FLESH, "fish")
            if (
                raw
                and (stay == 0 or stay > 30)
                and not (_COLD.search(text) and stay < 60)
                and not _TO_ROOM.search(text)
            ):
                hits.setdefault("marinate-warm", _hit("marinate-warm", piece, room))
        elif _LEAVE.search(text) and stay > limits()["room-time"].value * 60 and not _SOAKS.search(text):
            before = text[: room.start()]
            if _perishable(view, piece) and not (piece.has("ferment") and not flesh) and not _COLD.search(before):
                hits.setdefault("left-out", _hit("left-out", piece, room))
    return list(hits.values())


_ROOM_WORDS = frozenset({
    "room", "counter", "countertop", "worktop", "surface", "bench", "sideboard", "unrefrigerated", "out", "warm",
    "table",
})  # fmt: skip


def cooling_hits(view: View) -> list[Hit]:
    """Stock, stew, rice or meat that cools slowly; rice that is left."""
    hits: dict[str, Hit] = {}
    stock = is_stock(view)
    for piece in view.with_word(_COOL_WORDS):
        text = piece.text
        cool = _COOL.search(text)
        if "rice" in piece.words and _RICE.search(text) and not _RICE_RAW.search(text) and "rice-left" not in hits:
            kept = _KEEP.search(text) if not _COLD.search(text) else None
            slow = (
                cool if cool and (_SLOWLY.search(text) or longest(text) > 60) and not piece.has("quick-cool") else None
            )
            old = _RICE_LEFT.search(text) if not _COLD.search(text) else None
            left = _LEAVE.search(text) if longest(text) > 60 and not _COLD.search(text) else None
            match = kept or slow or old or left
            if match and not re.search(r"\brice (?:cakes?|balls?|krispies)\b|sushi", text):
                hits["rice-left"] = _hit("rice-left", piece, match)
                continue
        if (
            not cool
            or piece.has("quick-cool")
            or "slow-cooling" in hits
            or re.search(r"cool (?:place|oven|water|whip)|cool enough|slightly|cooling rack", text)
        ):
            continue
        hours = longest(text[: cool.end() + 60]) > limits()["cool-first"].value * 60 and not _COLD.search(text)
        slow_words = _SLOWLY.search(text)
        if (
            (stock and not _COLD.search(text[: cool.start()]))
            or (piece.has("cooled") and (slow_words or hours))
            or ("overnight" in piece.words and not _COLD.search(text) and holds(view, *FLESH))
        ):
            if piece.has("ferment") and not piece.has("cooled"):
                continue
            hits["slow-cooling"] = _hit("slow-cooling", piece, cool)
    for line in view.lines:
        if "rice" in line.words and "rice-left" not in hits and not _COLD.search(line.text):
            old = _RICE_LEFT.search(line.text)
            if old:
                hits["rice-left"] = _hit("rice-left", line, old)
    return list(hits.values())


def reheat_hits(view: View) -> list[Hit]:
    """Food reheated with no sign that it gets hot right through."""
    for piece in view.sentences:
        if "warm" not in piece.text and "heat" not in piece.text:
            continue
        match = _REHEAT.search(piece.text)
        if not match or (piece.has("hot-through") and not _NO_BOIL.search(piece.text)):
            continue
        after = piece.text[match.end() : match.end() + 25]
        if pattern(r"^\W*(?:the |your |some |more )?(?:\w+ )?<dairy-free-heat>").search(after):
            continue
        about = holds(view, *FLESH, "fish")
        if piece.has("reheated") or (
            not piece.has("dairy-free-heat") and (about or pattern("<reheated>").search(view.title))
        ):
            return [_hit("reheat", piece, match)] if _STORED.search(view.low) else []
    return []


def marinade_hits(view: View) -> list[Hit]:
    """A marinade used again without boiling."""
    if not holds(view, *FLESH, "fish"):
        return []
    aside = False
    for piece in view.with_word(_MARINADE):
        aside = aside or bool(_SET_ASIDE.search(piece.text) and not _TAKEN_OUT.search(piece.text))
        match = _AGAIN.search(piece.text)
        if match and not aside and not _BOILED.search(piece.text):
            boiled = any(_BOILED.search(one.text) and "marinade" in one.words for one in view.sentences)
            if not boiled:
                return [_hit("marinade-reused", piece, match)]
    return []


def oven_left_hits(view: View) -> list[Hit]:
    """Perishable food in an oven that is off, or in an oven overnight; a door left ajar."""
    hits: dict[str, Hit] = {}
    turned: tuple[Piece, re.Match[str]] | None = None
    for piece in view.sentences:
        if piece.words.isdisjoint(_OVEN_WORDS):
            continue
        text = piece.text
        ajar = _AJAR.search(text)
        if ajar and "door" in piece.words:
            hits.setdefault("door-ajar", _hit("door-ajar", piece, ajar))
        oven = "oven" in piece.words
        off = _OFF.search(text)
        sweet = piece.has("ferment") or not piece.words.isdisjoint(_SWEET)
        stays = oven and _LEFT_IN.search(text) and (piece.has("perishable", "meat") or holds(view, *FLESH))
        left = stays and _STAYS.search(text) and not (sweet and not piece.has("meat"))
        if off and left:
            hits.setdefault("cooling-oven", _hit("cooling-oven", piece, off))
        elif turned and left and piece.start - turned[0].end < 5:
            hits.setdefault("cooling-oven", _hit("cooling-oven", *turned))
        turned = (piece, off) if off and oven else None
        night = _NIGHT.search(text)
        flesh = oven and (piece.has("perishable", "meat") or holds(view, *FLESH))
        if night and flesh and not sweet and not _NOT_NIGHT.search(text) and "cooling-oven" not in hits:
            hits.setdefault("overnight-oven", _hit("overnight-oven", piece, night))
    return list(hits.values())


_SWEET = frozenset({"meringue", "meringues", "cheesecake", "pavlova"})
_OVEN_WORDS = frozenset({"oven", "ajar", "door"})
