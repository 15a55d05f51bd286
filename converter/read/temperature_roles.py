"""What a temperature in the method is for, from the words around it. All text is lower case."""

from __future__ import annotations

import re

from converter.read.quantities import Quantity
from converter.read.role_words import StepText, words

CORE_MAX_C = 105.0  # nothing moist is hotter inside

_NOUN_AFTER = re.compile(
    r"[ )-]{0,2}(?:\([^()]{0,20}\) )?(?:(?:preheated|hot|charcoal|gas|"
    r"convection|fan|covered|fryer|vegetable|salted|sugar|"
    r"warm|electric|slow)[ -])*"
    r"(ovens?|smoker|grill|barbecue|bbq|oil|fat|water|milk|syrup|griddle|skillet|pan|broiler|internal|inside|core)\b"
)
_AFTER_ROLES = {
    "oven": "oven", "ovens": "oven", "smoker": "oven", "grill": "oven", "barbecue": "oven", "bbq": "oven",
    "broiler": "oven",
    "oil": "liquid", "fat": "liquid", "water": "liquid", "milk": "liquid", "syrup": "liquid", "griddle": "surface",
    "skillet": "surface", "pan": "surface", "internal": "core", "inside": "core", "core": "core",
}  # fmt: skip
_CORE_AFTER = re.compile(
    r"[ ,(]{1,2}(?:on|with|using|according to) (?:an? |the |your )?(?:instant|meat|probe|digital|food|cooking|"
    r"thermometer)|[ ,(]{1,2}(?:at|in) (?:the |its )?(?:cent(?:er|re)|thickest|middle|core|thigh|breast)"
    r"|[ ](?:internal|for (?:medium|rare|well|toast|poultry|chicken|pork|beef))"
)
_CORE_BEFORE = re.compile(
    r"\b(?:until|till|when|once|before) (?:the |its |their |your )?(?:very )?(?:middle|cent(?:er|re)|inside|core|"
    r"thickest (?:part|bit|point)|meat|joint|breast|thigh|fillet|roast|beef|lamb|pork|veal|chicken|turkey|duck|goose|"
    r"ham|salmon|fish|loaf)"
    r"(?: of (?:the |a |each )?\w+)? (?:is|are|shows|says|measures|has|gets|comes|goes|climbs|rises|stands)"
    r"(?: (?:at|to|about|around|just|up|over|above|roughly|nearly))*[ (]*$"
)
_CANDY_AFTER = re.compile(
    r"[ ,(]{1,2}(?:on|with|using) (?:an? |the |your )?(?:candy|sugar|jam|deep|frying)"
    r"|[ ,(]{1,3}(?:the )?(?:soft|hard|firm|thread|softball)[ -]"
)
_THE = re.compile(r"(?:the|of|a|your) $")
_WARMED = re.compile(r"\b(?:heat|bring|warm|cool|reduce)\w*\b")
_WEAK = frozenset(("reach", "reaches", "reached", "reaching", "reading", "reads", "done", "inside", "centre", "center"))


def of_temperature(step: StepText, quantity: Quantity, before_role: str) -> str:
    """Return the role of a temperature; `before_role` is the role of the temperature before it in the step, or ""."""
    low, floor = step.low, step.start
    start, stop = quantity.core
    begin, end = step.sentence(start)
    hottest = quantity.value[1]
    after = low[stop : min(end, stop + 60)]
    if noun := _NOUN_AFTER.match(after):
        return _AFTER_ROLES[noun[1]]
    if _CANDY_AFTER.match(after):
        return "liquid"
    if hottest <= CORE_MAX_C and _CORE_AFTER.match(after):
        return "core"
    if hottest <= CORE_MAX_C and _CORE_BEFORE.search(low, begin, start):
        return "core"
    role = _nearest(low, begin, start, hottest)
    if role in ("", "surface") and begin > floor:
        earlier = _nearest(low, floor, begin, hottest)
        if earlier not in ("", "core", "air", "storage") and not (role and earlier == "oven"):
            role = earlier
    if not role:
        later = words().temperature.search(low, stop, end)
        role = before_role or (words().temperature_roles[later[0]] if later else "")
        if not _possible(role, hottest):
            role = ""
    if not role:
        warmed = _WARMED.search(low, begin, start)
        role = "oven" if hottest >= 90 else "storage" if hottest <= 15 else "liquid" if warmed else "other"
    return role


def _possible(role: str, hottest: float) -> bool:
    """Tell whether a temperature [°C] can be that of an oven, a core, a room or a store."""
    if role == "core":
        return hottest <= CORE_MAX_C
    if role == "oven":
        return hottest >= 25
    if role == "air":
        return hottest <= 60
    return role != "storage" or hottest <= 25


def _nearest(low: str, begin: int, start: int, hottest: float) -> str:
    """Return the role of the cue nearest before a temperature, strong cues before weak ones."""
    listed = words()
    strong = weak = ""
    liquid = False
    for match in listed.temperature.finditer(low, begin, start):
        word = match[0]
        role = listed.temperature_roles[word]
        if not _possible(role, hottest):
            continue
        if word == "roast" and _THE.search(low, max(begin, match.start() - 5), match.start()):
            continue
        if role == "liquid":
            liquid = True
        if word in _WEAK:
            if not (liquid and strong == "liquid"):
                weak = role
                strong = strong if strong == "core" else "core"
        elif role == "surface":
            weak = role
        else:
            strong = role
    return strong or weak
