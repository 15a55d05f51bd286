"""Finds words that only make sense on a cooker with a dial. Shares no word list and no code with the converter.

Knows no zones and reads no tables: it is the outsider's eye on a rewritten
step. Core, oil, syrup, water and room temperatures are no dial words, nor is
the name of a zone with its own article ("the low oven").
"""

from __future__ import annotations

import re
from typing import NamedTuple


class Leftover(NamedTuple):
    """Dial words in a step: what kind, and where."""

    kind: str
    words: str
    start: int
    end: int


_LEVEL = (
    r"(?:(?:very|fairly|quite)\s+)?(?:low|medium|moderate|high|gentle|brisk|strong|full|maximum|max"
    r"|lowest(?:\s+possible)?|highest(?:\s+possible)?)"
)
_LEVELS = rf"{_LEVEL}(?:\s*(?:-|–|to|or|/)\s*{_LEVEL})?"
_FIRE = r"(?:heat|flame|fire|setting|gas|temperature|temp)"
_FLAME = r"(?:heat|flame|fire|setting|gas)"

_PATTERNS = {
    "preheat": r"\bpre-?\s?heat\w*\b(?!\s+(?:the\s+|your\s+)?(?:\w+\s+)?(?:oil|fat|lard|pan|skillet)\b)"
    r"(?=[^.;\n]{0,60}\b(?:oven|broiler|grill|stove|\d{3}|gas\s+mark|degrees)|[^.;\n]{0,3}$)"
    r"|\bpre-?\s?heated\s+(?:\w+\s+){0,2}(?:oven|grill|broiler)\b"
    r"|\b(?:heat|warm)\s+(?:up\s+)?(?:the|your|an)\s+oven\b",
    "heat level": rf"\b{_LEVELS}[-\s]+{_FLAME}\b|\b(?:at|on|over|to|with)\s+(?:a\s+)?{_LEVELS}[-\s]+temp(?:erature)?\b"
    rf"|\b(?:heat|flame|fire|burner|stove|hob)\s+(?:is\s+)?(?:on|at|to|set\s+(?:on|to|at))\s+(?:a\s+)?{_LEVELS}\b"
    rf"|\b(?:cook|simmer|heat|fry|boil|saut[eé]|keep|set|stir|brown|roast|bake|broil|grill)\w*\b[^.;\n]{{0,40}}?"
    rf"\s(?:on|over)\s+(?:a\s+)?{_LEVELS}(?=\s*(?:[.,;)]|$|for\b|until\b|till\b|and\b|while\b))",
    "turn it up or down": r"\b(?:turn|turning|turned|crank|dial|bring)\s+(?:the\s+|your\s+|it\s+|its\s+)?"
    rf"(?:oven\s+|burner\s+)?{_FIRE}?\s*(?:up|down)\b(?!\s+(?:the\s+)?(?:edges?|sides?|corners?|side|to\s+(?:coat|cover)))"
    rf"|\bturn\w*\s+(?:down|up|off)\s+(?:the\s+|your\s+)?(?:oven|burner|stove|{_FIRE})\b"
    rf"|\bturn\w*\s+(?:the\s+|your\s+)?(?:oven|burner|stove|{_FIRE})\s+(?:up|down|off|on|to)\b"
    rf"|\b(?:switch|shut)\w*\s+off\s+(?:the\s+)?(?:oven|burner|stove|{_FIRE})\b"
    rf"|\b(?:reduc|lower|decreas|increas|rais|adjust)\w*\s+(?:the\s+|your\s+)?(?:oven(?:'s)?\s*)?(?:{_FIRE}|oven)\b"
    rf"|\b{_FIRE}\s+(?:is\s+)?(?:reduced|lowered|increased|raised|turned)\b",
    "gas mark": r"\bgas\s*(?:mark|mk\.?|no\.?)?\s*[¼½¾]?\d{0,2}(?:\s*[-–/]\s*\d)?(?<=[\d¼½¾])|\bregulo\b",
    "burner": r"\bburners?\b|\bstove\s*-?tops?\s+(?:on|at|set)\b"
    r"|\b(?:setting|number|notch|level)\s+(?:of\s+)?\d\b[^.;\n]{0,20}\b(?:dial|hob|stove)\b"
    r"|\b(?:hob|stove|oven|burner)\s+(?:dial|knob|setting)s?\b|\b(?:convection|fan)\s+(?:setting|mode)\b",
    "grill element": r"\b(?:under|beneath)\s+(?:(?:a|the|your)\s+)?"
    r"(?:(?:very|pre-?heated|hot|medium|high)\s+)*(?:grill|broiler)\b"
    r"|\bbroiler\s+(?:on|to|setting)\b",
    "oven by its heat": r"\b(?:a|an)\s+(?:(?:very|fairly|quite|pre-?heated)\s+)*"
    r"(?:hot|moderate|medium|slow|cool|warm|low|quick|brisk)(?:\s+(?:hot|slow))?\s+oven\b"
    r"|\b(?:slow|medium|quick|brisk|very\s+hot|fast)\s+oven\b",
}
_FINDERS = [(kind, re.compile(pattern, re.IGNORECASE)) for kind, pattern in _PATTERNS.items()]

_DEGREES = re.compile(
    r"(?P<low>\d{2,3})(?:\s*(?:-|–|to)\s*(?P<high>\d{2,3}))?\s*"
    r"(?:(?P<sign>°|º|˚|degrees?\b|deg\b\.?)\s*(?P<unit>fahrenheit|celsius|centigrade|[fc]\b)?"
    r"|(?P<bare>fahrenheit\b|celsius\b|[FC]\b))",
    re.IGNORECASE,
)
_BARE_OVEN = re.compile(
    r"\b(?:oven|bake|roast)\w*\b[^.;\n]{0,25}?\b(?:at|to)\s+(?:about\s+|around\s+)?(?P<low>[1-5]\d[05])\b(?!\s*(?:g|ml|kg|oz|lb|°|º|d|f|c)\b)",
    re.IGNORECASE,
)
_OTHER_HEAT = re.compile(
    r"\b(?:internal|inside|core|centre|center|thermometer|probe|oil|fat|lard|deep|fry\w*|syrup|sugar|candy|caramel|water|milk"
    r"|lukewarm|liquid|room|fridge|refrigerat\w*|freez\w*|stage|meat|reach\w*|register\w*|reads?|yeast|mixture|custard|jam"
    r"|brine|chocolate|temper\w*|wort|mash|done(?:ness)?|rare|degrees?\s+hotter)\b",
    re.IGNORECASE,
)
_OVEN_HEAT = re.compile(
    r"\b(?:oven|bak(?:e|ed|ing)|roast(?:ed|ing)?|broil\w*|grill\w*|pre-?heat\w*|smoker)\b", re.IGNORECASE
)
# A stop after a shortened unit ends no sentence.
_SENTENCE = re.compile(r"(?<!\bmins)(?<!\bmin)(?<!\bapprox)[.!?;]+(?=\s|$)|\n")

BOILING_C = 100.0


def sentence_of(text: str, start: int) -> tuple[int, int]:
    """Return where the sentence around the character `start` begins and ends."""
    begin = 0
    for stop in _SENTENCE.finditer(text):
        if stop.end() > start:
            return begin, stop.end()
        begin = stop.end()
    return begin, len(text)


def _celsius(figure: float, unit: str) -> float:
    return figure if unit[:1].lower() == "c" else (figure - 32) / 1.8


def _oven_degrees(text: str) -> list[Leftover]:
    """Degrees that belong to an oven: the nearest word about heat before or after them decides."""
    found = []
    for match in _DEGREES.finditer(text):
        unit = match["unit"] or match["bare"] or ("f" if int(match["low"]) > 260 else "c")
        hottest = _celsius(float(match["high"] or match["low"]), unit)
        begin, end = sentence_of(text, match.start())
        before, after = text[begin : match.start()], text[match.end() : end]
        ours = [len(before) - word.end() for word in _OVEN_HEAT.finditer(before)]
        ours += [word.start() for word in _OVEN_HEAT.finditer(after)]
        theirs = [len(before) - word.end() for word in _OTHER_HEAT.finditer(before)]
        theirs += [word.start() for word in _OTHER_HEAT.finditer(after)]
        if hottest <= BOILING_C and not re.search(r"\boven\b[^.;]{0,20}$", before, re.IGNORECASE):
            continue  # nothing but food, drink and rooms is asked to be so cool, except in an oven that is named
        if not ours and not theirs:  # "Heat to 180 °C." goes on about what the sentences before it heat
            earlier = text[:begin]
            ours = [len(earlier) - word.end() for word in _OVEN_HEAT.finditer(earlier)]
            theirs = [len(earlier) - word.end() for word in _OTHER_HEAT.finditer(earlier)]
        if theirs and min(theirs) <= min(ours, default=len(text)):
            continue
        found.append(Leftover("oven degrees", match.group(), match.start(), match.end()))
    covered = [(one.start, one.end) for one in found]
    for match in _BARE_OVEN.finditer(text):
        start, end = match.span("low")
        if not any(low <= start < high for low, high in covered):
            found.append(Leftover("oven degrees", match["low"], start, end))
    return found


def leftovers(text: str) -> list[Leftover]:
    """Return the dial words of a step in the order of the text."""
    found = _oven_degrees(text)
    for kind, finder in _FINDERS:
        found += [Leftover(kind, match.group(), match.start(), match.end()) for match in finder.finditer(text)]
    return sorted(found, key=lambda one: (one.start, one.end))
