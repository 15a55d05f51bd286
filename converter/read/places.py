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
    """A phrase about heat. ``kind``: oven, rack, grill, hob, change, out ("from the oven") or at (a bare
    "at 180 °C")."""

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
_STATE = (
    r"(?:(?:pre-?heated|pre heated|heated|very|moderate(?:ly)?|medium|slow|quick|brisk|cool|warm|hot|low|high|fairly|gentle|cold|"
    r"rather|cooling|fan|conventional|convection|electric|gas|regular|ordinary|kitchen|toaster|already|still|the|\x01+|\(\x01+\))[\s,-]+)*"
)
_HEIGHT = (
    r"(?:very\s+)?(?P<h>top|upper|topmost|highest|middle|centre|center|mid|lower|bottom|lowest|base|floor|medium)"
    r"(?:[\s-]+(?:third|half|part|middle|most))?(?:[\s-]+(?:oven\s+)?(?:shelf|rack|position|level|rung)s?)?"
)
_OVEN = re.compile(
    r"(?:(?P<rack>\b(?:on|in|at|to|near|towards?|into|from|using)\s+" + _DET + r"(?:oven['’]s\s+)?" + _HEIGHT + r"\s+(?:of\s+)?" + _DET + _STATE + r"oven\b)"
    r"|(?P<in>(?:\b(?:back|straight|directly)\s+)?\b(?:in(?:to|side)?|to|from|inside|using|with)\s+(?:to\s+)?" + _DET + _STATE + r"oven\b)"
    r"|(?P<shelf>\b(?:on|in|at|to|near|towards?)\s+" + _DET + r"(?:oven['’]s\s+)?(?:oven\s+)?"
    r"(?P<hs>top|upper|topmost|highest|middle|centre|center|lower|bottom|lowest)(?:[\s-]+(?:third|half|middle))?[\s-]+(?:oven\s+)?(?:shelf|rack|third|position)\b))"
    r"(?:\s*,?\s*(?:(?:that|which)\s+(?:has been|is|was)\s+)?(?:already\s+)?(?:pre-?heated|heated|set|turned)\b)?"
    r"(?:[\s,]*(?:\(?(?:at|to|on|of|set at|set to)\s+)?(?:a temperature of\s+|about\s+)?\(?\x01+\)?)?"
)
_AT = re.compile(r"\b(?:at|in|on|to)\s+(?:an?\s+|the\s+)?(?:oven\s+)?(?:temperature\s+(?:of\s+)?)?(?:about\s+)?\x01+(?:\s+(?:oven|heat|temperature))?|\(\x01+\)|\x01+(?:\s+oven)?")
_GRILL = re.compile(
    r"\b(?:under|below|beneath|on|in|over|onto|to|with)\s+" + _DET + r"(?:(?:pre-?heated|hot|very|medium(?:[\s-]+(?:hot|high|low))?|oven|high|low|overhead|red-hot|gas|well-heated|moderate|outdoor|indoor|lit)[\s,-]+)*"
    r"(?:grill|broiler|salamander)s?\b(?!\s*(?:pan|plate|rack|basket|marks|grate))(?:\s+(?:on|at|to)\s+(?:high|medium|low)(?:[\s-]high)?(?:\s+heat)?)?(?:\s+(?:set|preheated)\s+(?:to|on|at)\s+(?:high|medium(?:-high)?))?"
)
_LEVEL = (
    r"(?:(?:very|fairly|moderately|really|quite|extremely|as)\s+)?(?:high|low|medium|med\.?|moderate|gentle|slow|brisk|strong|fierce|hot|full|lowest|highest|low(?:er)?|minimum|maximum|"
    r"mild|soft|lively|intense|moderately|steady|direct)"
    r"(?:(?:\s*(?:-|–|/)\s*|\s+(?:to|or)\s+|\s+)(?:very\s+)?(?:high|low|medium|moderate|hot|heat(?=\s+heat)))*"
)
_HEAT_NOUN = r"(?:heat|flame|fire|setting|burner|hob|gas|stove|element)s?"
_HOB = re.compile(
    r"(?:\b(?:over|on|at|with|under|using|in|to)\s+)?(?:\d\s+)?(?:burners?\s+set\s+(?:on|at|to)\s+)?" + r"(?:(?:an?|the|your)\s+)?(?P<l>\b" + _LEVEL + r")[\s-]+(?:possible\s+|available\s+)?" + _HEAT_NOUN + r"\b(?:\s+(?:setting|level))?(?:\s+(?:of|on)\s+(?:the|your)\s+(?:stove(?:top)?|hob))?"
    r"|\b(?:on|at|to)\s+(?:the\s+)?(?P<l2>(?:medium|high|low|med)(?:\s*(?:-|–|/)?\s*(?:to\s+)?(?:high|low|medium))?)\b(?!\s*(?:speed|power|setting for|until stiff|shelf|rack|rack|in |side|oven|mixer|pressure|[a-z]+\s+speed|grill))"
    r"|\b(?:(?:over|on|onto|on to|above)\s+(?:an?\s+|the\s+|your\s+)?|to\s+(?:the|an?|your)\s+)(?:direct\s+|open\s+|same\s+)?(?P<l3>heat|stove[\s-]?top|stove|hob|cooktop|burner|flame|fire|ring|range)\b(?!\s+(?:oven|proof))"
)
_CHANGE = re.compile(
    r"\b(?P<v>reduc(?:e|ing)|lower(?:ing)?|decreas(?:e|ing)|drop(?:ping)?|turn(?:ing)?(?:\s+(?:down|up))?|increas(?:e|ing)|rais(?:e|ing)|bring|crank(?:\s+up)?|set|adjust|switch|put|up|move|change|keep|maintain|regulate)"
    r"\s+(?:down\s+|up\s+)?" + _DET + r"(?:oven|cooking|burner|stove)?\s*['’s]*\s*(?P<n>heat|flame|temperature|temp|oven|fire|gas|burner|stove|hob|grill|broiler)s?\b(?!\s*(?:proof|-proof|off\b))"
    r"(?:\s+(?:down|up|back)\b)?(?:\s+setting|\s+temperature)?(?:\s+as\s+(?:low|high)\s+as\s+(?:it\s+will\s+go|it\s+goes|possible|you\s+can))?"
    r"(?P<to>\s*(?:back\s+)?(?:down\s+|up\s+)?(?:to|at|on)\s+(?:(?:an?|the|about)\s+)*(?:(?P<l>" + _LEVEL + r")\b(?:[\s-]+" + _HEAT_NOUN + r"\b)?(?!\s+(?:boil|simmer))|\x01+|(?P<s>(?:bare|gentle|low|slow|very low|medium|light|soft)?\s*(?:simmer|boil)\b)))?"
    r"|\b(?P<v2>reduc(?:e|ing)|lower(?:ing)?|turn(?:ing)?(?:\s+(?:down|up))?|increas(?:e|ing)|drop)\s+(?:down\s+|it\s+down\s+|it\s+|them\s+|the\s+\w+\s+)?to\s+(?:an?\s+)?(?:(?P<l4>(?:very\s+)?(?:medium|low|high)(?:\s*-?\s*(?:low|high|medium))?)(?:\s+heat)?\b(?!\s+simmer)|\x01+|(?P<s2>(?:bare|gentle|low|slow|very low|medium|light|soft)?\s*simmer\b))"
    r"|\b(?:turn)\s+(?:it\s+)?(?P<v3>down|up)\b(?:\s+(?:the\s+)?(?:heat|oven|flame|gas))?(?:\s+to\s+\x01+|\s+a\s+(?:little|bit))?"
)
BOIL = re.compile(r"\bto\s+(?:an?\s+|the\s+)?(?:(?:rolling|full|hard|rapid|gentle|slow|slight|quick|good|brisk|fast|low|vigorous|strong|light|rapidly)[\s,]+)*(?P<k>boil|boiling(?:\s+point)?|simmer)\b")
_LEVELS = (
    ("very-low", re.compile(r"very low|lowest|minimum|very gentle")),
    ("medium-high", re.compile(r"(?:medium|moderate|med\.?)\W*(?:to\s+|or\s+)?(?:very\s+)?(?:high|hot)|moderately\W+(?:high|hot)|brisk")),
    ("medium-low", re.compile(r"(?:medium|moderate|med\.?)\W*(?:to\s+|or\s+)?low|low\W+(?:to\s+|or\s+)?(?:medium|moderate)|moderately low")),
    ("high", re.compile(r"high|fierce|strong|full|maximum|intense|lively|hot")),
    ("low", re.compile(r"low|gentle|slow|mild|soft")),
    ("medium", re.compile(r"medium|moderate|med|steady")),
)  # fmt: skip
_HEIGHTS = {
    "top": "high", "upper": "high", "topmost": "high", "highest": "high", "middle": "middle", "centre": "middle",
    "center": "middle", "mid": "middle", "medium": "middle", "lower": "low", "bottom": "floor", "lowest": "floor",
    "base": "floor", "floor": "floor",
}  # fmt: skip
_UP = ("increas", "rais", "crank", "up")


def level(words: str | None) -> str | None:
    """Return very-low, low, medium-low, medium, medium-high or high for words of heat, else ``None``."""
    if not words:
        return None
    for name, pattern in _LEVELS:
        if pattern.search(words):
            return name
    return None


def _direction(match: re.Match[str]) -> str | None:
    verb = match.group("v") or match.group("v2") or match.group("v3") or ""
    words = match.group(0)
    if verb.startswith(_UP) or re.search(r"\bup\b", words):
        return "up"
    if verb.startswith(("reduc", "lower", "decreas", "drop", "down", "bring")) or re.search(r"\bdown\b", words):
        return "down"
    return None


def find(low: str) -> list[Place]:
    """Return the places in a masked text, in order, longest first where they meet."""
    found: list[Place] = []
    if "heat" in low or "flame" in low or "simmer" in low or "oven" in low or "fire" in low or "temp" in low or "turn" in low or " to " in low:
        for m in _CHANGE.finditer(low):
            verb = m.group("v") or ""
            if verb in ("bring", "put", "move", "set", "adjust", "keep", "maintain", "regulate", "switch", "change", "up") and not m.group("to"):
                continue
            if m.group("n") == "oven" and verb in ("put", "move", "bring"):
                continue
            heat = level(m.group("l") or m.group("l4")) or ("simmer" if m.group("s") or m.group("s2") else None)
            found.append(Place(Span(m.start(), m.end()), "change", heat, None, m.group("n"), _direction(m)))
    if "oven" in low or "shelf" in low or "rack" in low or "third" in low:
        for m in _OVEN.finditer(low):
            word = m.group("h") or m.group("hs")
            kind = "rack" if m.group("shelf") and HOT not in m.group(0) else "oven"
            if m.group(0).startswith("from"):
                kind = "out"
            found.append(Place(Span(m.start(), m.end()), kind, None, _HEIGHTS.get(word) if word else None))
    if "grill" in low or "broiler" in low or "salamander" in low:
        found.extend(Place(Span(m.start(), m.end()), "grill", level(m.group(0))) for m in _GRILL.finditer(low))
    for m in _HOB.finditer(low):
        words = m.group("l") or m.group("l2")
        heat = level(words) if words else None
        found.append(Place(Span(m.start(), m.end()), "hob", heat))
    if HOT in low:
        found.extend(Place(Span(m.start(), m.end()), "at") for m in _AT.finditer(low))
    found.sort(key=lambda p: (p.span.start, -p.span.end))
    kept: list[Place] = []
    for place in found:
        if kept and place.span.start < kept[-1].span.end:
            if place.span.end > kept[-1].span.end and place.kind != "at":
                # the longer of two that overlap wins; a change always wins
                if kept[-1].kind != "change" and place.span.end - place.span.start > kept[-1].span.end - kept[-1].span.start:
                    kept[-1] = place
            continue
        kept.append(place)
    return kept
