"""Finds the phrases that name a place of heat: "in a 325°F oven", "over medium heat", "under the broiler".

Works on the method in lower case with temperatures and times blanked out
(`mask`): figures then never confuse a phrase, and offsets stay as they are.
"""

from __future__ import annotations

import re
from typing import NamedTuple

from converter.model import Mention, Span

HOT = "\x01"
TIME = "\x02"


class Place(NamedTuple):
    """A phrase about heat.

    ``kind``: oven, rack, grill, hob, change, out ("from the oven") or at (a
    bare "at 180 °C"). ``heat`` is a level of the hob (`level`), simmer, or the
    word of an oven ("moderate"). ``noun`` is what a change turns, or stove
    where a hob phrase names the stove itself.
    """

    span: Span
    kind: str
    heat: str | None = None
    height: str | None = None
    noun: str | None = None
    direction: str | None = None


def mask(text: str, mentions: tuple[Mention, ...]) -> str:
    """Return `text` in lower case, every temperature as ``\\x01`` and every time as ``\\x02``, same length."""
    low = text.lower()
    if len(low) != len(text):
        low = "".join(c if len(c.lower()) != 1 else c.lower() for c in text)
    low = low.replace("\n", " ")
    if not mentions:
        return low
    parts: list[str] = []
    at = 0
    for mention in mentions:
        start, end = mention.span
        if start < at:
            continue
        parts.append(low[at:start])
        parts.append((HOT if mention.kind == "temperature" else TIME) * (end - start))
        at = end
    parts.append(low[at:])
    return "".join(parts)


_DET = r"(?:(?:an?|the|your|this|that|same|another|its)\s+)*"
_OVEN_WORD = (
    r"(?:(?:very|rather|fairly|moderately)\s+)?"
    r"(?:moderate|medium|slow|quick|brisk|cool|warm|hot|low|gentle|sharp|fierce)(?:ly)?"
)
_STATE = (
    r"(?:(?:pre-?heated|pre heated|heated|very|moderate(?:ly)?|medium|slow|quick|brisk|cool|warm|hot|low|high|fairly|"
    r"gentle|cold|rather|cooling|sharp|fierce|good|fan|conventional|convection|electric|gas|regular|ordinary|kitchen|"
    r"toaster|already|still|the|\x01+|\(\x01+\))[\s,-]+)*"
)
_NOT_OVEN = r"(?!(?:[\s-]*(?:proof|safe|dish|tray|bag|mitts?|gloves?|cloth|rings?|ready))\b)"
_HEIGHT = (
    r"(?:very\s+)?(?P<h>top|upper|topmost|highest|middle|centre|center|mid|lower|bottom|lowest|base|floor|medium)"
    r"(?:[\s-]+(?:third|half|part|middle|most))?(?:[\s-]+(?:oven\s+)?(?:shelf|rack|position|level|rung)s?)?"
)
_OVEN = re.compile(
    r"(?:(?P<rack>\b(?:on|in|at|to|near|towards?|into|from|using)\s+"
    rf"{_DET}(?:oven['’]s\s+)?{_HEIGHT}\s+(?:of\s+)?{_DET}{_STATE}oven\b{_NOT_OVEN})"
    r"|(?P<in>(?:\b(?:back|straight|directly)\s+)?\b(?:in(?:to|side)?|to|from|inside|using|with)\s+(?:to\s+)?"
    rf"{_DET}{_STATE}oven\b{_NOT_OVEN})"
    r"|(?P<shelf>\b(?:on|in|at|to|near|towards?)\s+"
    rf"{_DET}(?:oven['’]s\s+)?(?:oven\s+)?"
    r"(?P<hs>top|upper|topmost|highest|high|middle|centre|center|lower|low|bottom|lowest)(?:[\s-]+(?:third|half|middle))?"
    r"[\s-]+(?:oven\s+)?(?:shelf|rack|third|position)\b))"
    r"(?:\s*,?\s*(?:(?:that|which)\s+(?:has been|is|was)\s+)?(?:already\s+)?(?:pre-?heated|heated|set|turned)\b)?"
    r"(?:[\s,]*(?:\(?(?:at|to|on|of|set at|set to)\s+)?(?:a temperature of\s+|about\s+)?\(?\x01+\)?)?"
)
_AT = re.compile(
    r"\b(?:at|in|on|to)\s+(?:an?\s+|the\s+)?(?:oven\s+)?(?:temperature\s+(?:of\s+)?)?(?:about\s+)?\x01+"
    r"(?:\s+(?:oven|heat|temperature))?|\(\x01+\)|\x01+(?:\s+oven)?"
)
_GRILL = re.compile(
    r"\b(?:under|below|beneath|on|in|over|onto|to|with)\s+"
    rf"{_DET}(?:(?:\w+er\s+|\w+est\s+|high\s+|cool\s+|hot\s+)?(?:part|side|area|section|zone)\s+of\s+{_DET})?"
    r"(?:(?:pre-?heated|(?:high|low|medium)[\s-]heat|hot|very|medium(?:[\s-]+(?:hot|high|low))?|oven|high|low|overhead|red-hot|gas|well-heated|"
    r"moderate|outdoor|indoor|lit|oiled|greased|prepared)[\s,-]+)*"
    r"(?:grill|broiler|salamander)s?\b(?!\s*(?:pan|plate|rack|basket|marks|grate))"
    r"(?:\s+(?:on|at|to)\s+(?:high|medium|low)(?:[\s-]high)?(?:\s+heat)?)?"
    r"(?:\s+(?:set|preheated)\s+(?:to|on|at)\s+(?:high|medium(?:-high)?))?"
)
_LEVEL = (
    r"(?:(?:very|fairly|moderately|really|quite|extremely|as)\s+)?(?:high|low|medium|med\.?|moderate|gentle|slow|brisk|"
    r"strong|fierce|hot|full|lowest|highest|low(?:er)?|minimum|maximum|mild|soft|lively|intense|moderately|steady|direct)"
    r"(?:(?:\s*(?:-|–|/)\s*|\s+(?:to|or)\s+|\s+)(?:very\s+)?(?:high|low|medium|moderate|hot|heat(?=\s+heat)))*"
)
_HEAT_NOUN = r"(?:heat|flame|fire|setting|burner|hob|gas|stove|element)s?"
_SHORT_LEVEL = r"(?:medium|high|low|med)(?:\s*(?:-|–|/)?\s*(?:to\s+)?(?:high|low|medium))?"
_WITH_NOUN = (
    rf"(?P<l>\b{_LEVEL})[\s-]+{_HEAT_NOUN}\b(?:\s+(?:setting|level))?"
    r"(?:\s+(?:of|on)\s+(?:the|your)\s+(?:stove(?:top)?|hob))?"
)
_LEVEL_ALONE = re.compile(_WITH_NOUN)
_HOB = re.compile(
    r"\b(?:over|on top of|on|onto|at|with|under|using|in|to|above|upon)\s+(?:"
    rf"(?:\d\s+)?(?:burners?\s+set\s+(?:on|at|to)\s+)?(?:(?:an?|the|your)\s+)?{_WITH_NOUN}"
    rf"|(?<=[nto]\s)(?:the\s+)?(?P<l2>{_SHORT_LEVEL})\b"
    r"(?!\s*(?:speed|power|setting for|until stiff|shelf|rack|in |side|oven|mixer|pressure|part|[a-z]+\s+speed|grill))"
    r"|(?:to\s+)?(?:an?\s+|the\s+|your\s+)?(?:side of\s+the\s+|back of\s+the\s+)?(?:direct\s+|open\s+|same\s+)?"
    r"(?P<l3>(?:(?:sauce)?pan|pot) of (?:\w+ ){0,2}(?:simmering|boiling|hot) water|"
    r"(?<!pour over )(?:simmering|hot) water|"
    r"heat|stove[\s-]?top|stove|hob|cooktop|burner|flame|fire|ring|range)\b"
    r"(?!\s+(?:oven|proof|up\b|settings?|sources?|tolerance|levels?|preference)))"
)
_CHANGE_VERB = (
    r"reduc(?:e|ing)|lower(?:ing)?|decreas(?:e|ing)|drop(?:ping)?|turn(?:ing)?(?:\s+(?:down|up))?|increas(?:e|ing)|"
    r"rais(?:e|ing)|bring|crank(?:\s+up)?|set|adjust|switch|put|up|move|change|keep|maintain|regulate"
)
_CHANGE_NOUN = r"heat|flame|temperature|temp|oven|fire|gas|burner|stove|hob|grill|broiler"
_SIMMER = r"(?:bare|gentle|low|slow|very low|medium|light|soft)?\s*"
_CHANGE = re.compile(
    rf"\b(?P<v>{_CHANGE_VERB})\s+(?:down\s+|up\s+)?{_DET}(?:oven|cooking|burner|stove)?\s*['’s]*\s*"
    rf"(?P<n>{_CHANGE_NOUN})s?\b(?!\s*(?:proof|-proof|off\b))"
    r"(?:\s+(?:down|up|back)\b)?(?:\s+setting|\s+temperature)?"
    r"(?P<to>\s*(?:back\s+)?(?:down\s+|up\s+)?(?:to|at|on)\s+(?:(?:an?|the|about)\s+)*"
    rf"(?:(?P<l>{_LEVEL})\b(?:[\s-]+{_HEAT_NOUN}\b)?(?!\s+(?:boil|simmer))|\x01+|(?P<s>{_SIMMER}(?:simmer|boil)\b)))?"
    r"|\b(?P<v2>reduc(?:e|ing)|lower(?:ing)?|turn(?:ing)?(?:\s+(?:down|up))?|increas(?:e|ing)|drop|switch(?:ing)?)\s+"
    r"(?:down\s+|it\s+down\s+|it\s+|them\s+|the\s+\w+\s+)?to\s+(?:an?\s+)?"
    r"(?:(?P<l4>(?:very\s+)?(?:medium|low|high)(?:\s*-?\s*(?:low|high|medium))?)(?:\s+heat)?\b(?!\s+simmer)|\x01+|"
    rf"(?P<s2>{_SIMMER}simmer\b))"
    r"|\b(?:turn)\s+(?:it\s+)?(?P<v3>down|up)\b(?:\s+(?:the\s+)?(?:heat|oven|flame|gas))?"
    r"(?:\s+to\s+\x01+|\s+a\s+(?:little|bit))?"
)
BOIL = re.compile(
    r"(?P<not>\b(?:not|never|\w+n['’]t)\s+(?:(?:let|allow|bring)\s+)?(?:(?:it|them|the\s+\w+)\s+)?(?:come\s+)?)?"
    r"\bto\s+(?P<under>(?:just\s+|almost\s+)?(?:below|under|short of|near)\s+)?(?:an?\s+|the\s+)?"
    r"(?:(?:rolling|full|hard|rapid|gentle|slow|slight|quick|good|brisk|fast|low|vigorous|"
    r"strong|light|rapidly|bare|steady|small|very|soft|mild|roaring)[\s,]+)*(?P<k>boil|boiling(?:\s+point)?|simmer)\b"
)
_LEVELS = (
    ("very-low", re.compile(r"very low|lowest|minimum|very gentle")),
    (
        "medium-high",
        re.compile(
            r"(?:medium|moderate|med\.?)\W*(?:to\s+|or\s+)?(?:very\s+)?(?:high|hot)|moderately\W+(?:high|hot)|brisk"
        ),
    ),
    (
        "medium-low",
        re.compile(
            r"(?:medium|moderate|med\.?)\W*(?:to\s+|or\s+)?low|low\W+(?:to\s+|or\s+)?(?:medium|moderate)|moderately low"
        ),
    ),
    ("high", re.compile(r"high|fierce|strong|full|maximum|intense|lively|hot")),
    ("low", re.compile(r"low|gentle|slow|mild|soft")),
    ("medium", re.compile(r"medium|moderate|med|steady")),
)
_WORD_OF_OVEN = re.compile(rf"\b(?P<w>{_OVEN_WORD})[\s,-]+(?:\w+\s+)?oven\b|\boven\b.*\bto\s+(?P<w2>{_OVEN_WORD})\b")
_HEIGHTS = {
    "top": "high", "upper": "high", "topmost": "high", "highest": "high", "high": "high", "middle": "middle",
    "centre": "middle", "center": "middle", "mid": "middle", "medium": "middle", "lower": "low", "low": "low",
    "bottom": "floor", "lowest": "floor", "base": "floor", "floor": "floor",
}  # fmt: skip
_UP = ("increas", "rais", "crank", "up")
_DOWN = ("reduc", "lower", "decreas", "drop", "down", "bring")
_NEED_GOAL = ("bring", "put", "move", "set", "adjust", "keep", "maintain", "regulate", "switch", "change", "up")
_NOT_ON = ("at", "with", "under", "using", "in ")
_TURNABLE = ("heat", "flame", "simmer", "oven", "fire", "temp", "turn", " to ")


def level(words: str | None) -> str | None:
    """Return very-low, low, medium-low, medium, medium-high or high for words of heat, else ``None``."""
    if not words:
        return None
    for name, pattern in _LEVELS:
        if pattern.search(words):
            return name
    return None


def oven_word(words: str) -> str | None:
    """Return the word of an oven's heat ("moderate", "very hot") in a phrase about an oven, else ``None``."""
    match = _WORD_OF_OVEN.search(words)
    return (match.group("w") or match.group("w2")) if match else None


def find(low: str) -> list[Place]:
    """Return the places in a masked text, in order, longest first where they meet."""
    found: list[Place] = []
    if any(word in low for word in _TURNABLE):
        found.extend(place for match in _CHANGE.finditer(low) if (place := _change(match)))
    if "oven" in low or "shelf" in low or "rack" in low or "third" in low:
        found.extend(_oven(match) for match in _OVEN.finditer(low))
    if "grill" in low or "broiler" in low or "salamander" in low:
        found.extend(Place(Span(*m.span()), "grill", level(m.group(0))) for m in _GRILL.finditer(low))
    for m in _HOB.finditer(low):
        noun = "stove" if m.group("l3") and not m.group(0).startswith(_NOT_ON) else None
        if noun or not m.group("l3"):
            found.append(Place(Span(*m.span()), "hob", level(m.group("l") or m.group("l2")), noun=noun))
    found.extend(Place(Span(*m.span()), "hob", level(m.group("l"))) for m in _LEVEL_ALONE.finditer(low))
    if HOT in low:
        found.extend(Place(Span(*m.span()), "at") for m in _AT.finditer(low))
    return _longest(found)


def _change(match: re.Match[str]) -> Place | None:
    verb, noun = match.group("v") or "", match.group("n")
    if verb in _NEED_GOAL and not match.group("to"):
        return None
    if noun == "oven" and verb in ("put", "move", "bring"):
        return None
    heat = level(match.group("l") or match.group("l4"))
    if heat is None and (match.group("s") or match.group("s2")):
        heat = "simmer"
    return Place(Span(*match.span()), "change", heat, None, noun, _direction(match))


def _direction(match: re.Match[str]) -> str | None:
    verb = match.group("v") or match.group("v2") or match.group("v3") or ""
    words = match.group(0).split()
    if verb.startswith(_UP) or "up" in words:
        return "up"
    return "down" if verb.startswith(_DOWN) or "down" in words else None


def _oven(match: re.Match[str]) -> Place:
    words = match.group(0)
    height = match.group("h") or match.group("hs")
    kind = "rack" if match.group("shelf") and HOT not in words else "oven"
    if words.startswith("from"):
        kind = "out"
    named = _HEIGHTS.get(height) if height else None
    if named == "floor" and ("rack" in words or "shelf" in words or "third" in words):
        named = "low"
    return Place(Span(*match.span()), kind, oven_word(words), named)


def _longest(found: list[Place]) -> list[Place]:
    """Return the places in order; where two overlap the longer stays, and a change always does."""
    found.sort(key=lambda p: (p.span.start, -p.span.end))
    kept: list[Place] = []
    for place in found:
        last = kept[-1] if kept else None
        if last is None or place.span.start >= last.span.end:
            kept.append(place)
        elif (
            place.span.end > last.span.end
            and place.kind != "at"
            and last.kind != "change"
            and _length(place) > _length(last)
        ):
            kept[-1] = place
    return kept


def _length(place: Place) -> int:
    return place.span.end - place.span.start
