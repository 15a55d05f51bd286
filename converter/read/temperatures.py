"""Temperatures in lower-case text: degrees in any sign, gas marks, fan figures, all of one setting as one.

`scan` gives one `Heat` for one setting, in however many units it is written.
"""

from __future__ import annotations

import re

from converter.read import numbers
from converter.read.one_setting import Heat, Part, guess, resolve
from converter.units import to_celsius

_D = f"[{numbers.DASH}]"
_SIGN = r"(?:[°º˚∘⁰ᵒ*]|(?<=\d\d)o(?=[cf](?![a-z]))|degrees?(?![a-z])|degs?(?![a-z])\.?|deg(?=[cf](?![a-z])))"
_UNIT = (
    r"(?:fah?r[ae]n?h?ei?[gt]?h?ei?t|farenheit|fahrenheit|fahr\.?|cel[sc]iu?o?u?s|centigrade|cent\.|[fc])(?![a-z0-9])"
)
_TAIL = (
    rf"(?:[ -]?{_SIGN}(?:[ ]?(?:\({_UNIT}\)|{_UNIT}))?(?:\.(?=[ ]?[(/,;])|[ ]?degrees?(?![a-z]))?"
    rf"|[ ]?{_UNIT}(?:\.(?=[ ]?[(/,;])|[ ]degrees?(?![a-z]))?|[ ]?[℉℃])"
)
_FIGURE = r"(?:1,\d{3}|\d{1,3}(?:\.\d{1,2})?)(?!\d)"
_SEP = rf"(?:[ ]?{_D}{{1,2}}[ ]?|[ ]?/[ ]?|[ ]?to[ ]|[ ](?:and|or)[ ])"
_MARK = rf"(?:1/[24](?!\d)|[¼½]|(?:10|[1-9])(?:[ ]?[½¼]|[ ]1/2)?(?!\d)|{numbers.WORDS})"
_GAS = (
    r"(?:gas[ -]?marks?|gas(?=[ .]?(?:no\.? ?)?[\d½¼])|gm(?=[ ]?\d)|regulo(?:[ ]mark)?|"
    r"mark(?=[ ]\d{1,2}(?:[ ]?(?:[-–½,.;:)/(]|$|\n|oven|for[ ]|until[ ]))))"
)
_FAN_WORD = r"(?:fan[ -]?(?:forced|assisted|bake|oven)?|convection(?:[ ]oven)?|forced[ -]air)(?![a-z])"
_PLAIN_WORD = r"(?:conventional|static|no[ -]fan|non[ -]fan|without fan|regular)(?:[ ]ovens?)?(?![a-z])"

_START = re.compile(
    rf"(?<![\w.,/⁄])(?P<a>{_FIGURE})(?:{_TAIL}|{_SEP}{_FIGURE}{_TAIL})"
    rf"|(?<![a-z]){_GAS}[ .:]?[ ]?(?:no\.?|number)?[ ]?(?={_MARK}(?!\w))"
)
_BARE_FIGURE = re.compile(r"[1-5]\d[05](?![\d°º˚*])")
_BARE_OVEN = re.compile(
    r"(?:oven(?: temperature| heat)?(?: is| set| up| down)?(?: to| at| of)|(?:bake|baked|baking|roast|roasted|"
    r"preheat|pre-heat|preheated|heat|cook)(?: it| them)?(?: the oven| oven)?(?: covered| uncovered)?(?: to| at)|"
    r"(?:to|of|the) temp(?:erature|\.)?(?: to| of)?)"
    r"[ ](?:about |around |approximately )?(?P<a>[1-5]\d[05])"
    r"(?![\d.,]?\d|[ ]?(?:g|kg|ml|l|watts?|w|grams?|mins?|minutes?|hours?|psi|%|[°º˚*℉℃]|degrees?|[fc]\b))"
    r"|(?<![\w.,/])(?P<b>[1-5]\d[05])(?=[ -](?:degree[ -])?oven|,? for (?:about )?[\d½¼¾]+[^.;]{0,10}(?:min|hour|hr))"
    r"|(?:minutes|hours?|mins?\.?|hrs?\.?) (?:in the oven )?at (?P<c>[1-5]\d[05])(?![\d.,]?\d|[ ]?[a-z%°º˚*℉℃])"
)
_ITEM = re.compile(
    rf"(?:(?P<gas>{_GAS})[ .:]?[ ]?(?:no\.?[ ]?|number[ ])?(?P<m1>{_MARK})(?!\w)"
    rf"(?:[ ]?(?:{_D}|to|or)[ ]?(?P<m2>{_MARK})(?![\w%]|[ ]?(?:min|hour|hr)))?"
    rf"|(?P<pre>(?:{_FAN_WORD}|{_PLAIN_WORD}):?[ ](?:oven |at )?)?(?P<sign>[-−–](?=\d))?"
    rf"(?P<n>{_FIGURE})(?P<tail>{_TAIL})?)"
)
_AFTER_ITEM = re.compile(rf"[ ]?[(]?(?:in a |for |on )?(?P<word>{_FAN_WORD}|{_PLAIN_WORD})[)]?(?![ ]?:?[ ]?\d)")
_GLUE = re.compile(
    rf"\*?[ ]?(?P<glue>\)?[ ]?(?:,?[ ]?\([ ]?|[/|;,][ ]?|=[ ]?|{_D}{{1,2}}[ ]?|\[[ ]?)?)"
    rf"(?P<word>(?:(?:or|to|and|about|ca\.|approx\.)[ ])?)[~≈]?"
)
_RANGE_AHEAD = re.compile(rf"{_SEP}{_FIGURE}{_TAIL}")
_CLOSE = re.compile(r"[ ]?\.?[)\]]")
_ANGLE_BEFORE = re.compile(
    r"(?:rotat\w*|twist\w*|tilt\w*|pivot\w*|swivel\w*|spin|angle[sd]?|"
    r"turn(?:s|ed|ing)?(?! (?:the )?(?:oven|heat|temp|up|down|on)))[^.;]{0,32}$"
)
_ANGLE_AFTER = re.compile(r"[ -](?:angles?|turns?|clockwise|anti|counter|bend|rotation|wedge|twist)")
_DIFFERENCE_BEFORE = re.compile(
    r"\b(?:by(?: about| around| approximately)?|another|last|within|each|every|additional|extra|further|"
    r"(?:rise|climb|drop|fall|increase|go up)s?(?: about| another)?)[ ](?:the )?$"
)
_DIFFERENCE_AFTER = re.compile(
    r"[ ](?:lower|higher|less|more|hotter|cooler|warmer|difference|"
    r"(?:below|above|before|under|over|short)[ ](?:the|your|that|this|desired|target|done))"
)
_OTHER_DEGREE = re.compile(r"[ ]?(?:brix|baum|plato|proof|oechsle|alcohol)")
_CHANGE = re.compile(r"(?:from|raise|reduce|lower|increase|drop|turn)[^.;]{0,40}$")


def scan(low: str, start: int, end: int) -> list[Heat]:
    """Return the temperatures in ``low[start:end]`` (lower-case text), in order, not overlapping."""
    found: list[Heat] = []
    at = start
    while match := _START.search(low, at, end):
        heat, at = _setting(low, match, floor=max(at, start), end=end)
        if heat is not None:
            found.append(heat)
    if _BARE_FIGURE.search(low, start, end):
        found += _bare(low, start, end, found)
        found.sort(key=lambda heat: heat.start)
    return found


def _bare(low: str, start: int, end: int, found: list[Heat]) -> list[Heat]:
    bare = []
    for match in _BARE_OVEN.finditer(low, start, end):
        group = match.lastgroup or "a"
        begin, stop = match.span(group)
        if any(heat.start < stop and begin < heat.end for heat in found):
            continue
        figure = float(match[group])
        unit = guess(low, figure)
        if (unit == "f" and figure >= 150) or (unit == "c" and figure <= 260):
            celsius = figure if unit == "c" else to_celsius(figure)
            bare.append(Heat(begin, stop, (celsius, celsius), unit_guessed=True))
    return bare


def _prefix(low: str, start: int, floor: int) -> tuple[int, bool | None]:
    """Return where a setting begins with "fan" or "conventional" before its first figure, and which it was."""
    window = low[max(floor, start - 24) : start]
    match = _PREFIX.search(window)
    if match is None:
        return start, None
    return start - len(window) + match.start(), not match["plain"]


_PREFIX = re.compile(rf"(?<![a-z])(?:(?P<plain>{_PLAIN_WORD})|{_FAN_WORD}):?[ ]?(?:at |to )?$")


def _setting(low: str, match: re.Match[str], *, floor: int, end: int) -> tuple[Heat | None, int]:
    start = match.start()
    begin, fan = _prefix(low, start, floor)
    if begin < start and match["a"] is None:
        begin, fan = start, None
    if low[start - 1 : start] in ("-", "−", "–") and match["a"] and not low[start - 2 : start - 1].strip(" (\n"):
        start -= 1
        begin = min(begin, start)
    parts, stop = _parts(low, start, floor, end)
    if not parts:
        return None, match.end()
    if fan is not None and parts[0].fan is None:
        parts[0].fan = fan
    if all(part.unit in ("", "?") for part in parts) and _not_heat(low, start, stop, floor, parts):
        return None, stop
    if _is_difference(low, start, stop, floor):
        return None, stop
    heat = resolve(low, parts, begin, stop)
    return heat, stop


def _is_difference(low: str, start: int, stop: int, floor: int) -> bool:
    before = low[max(floor, start - 28) : start]
    return bool(_DIFFERENCE_BEFORE.search(before) or _DIFFERENCE_AFTER.match(low, stop))


def _not_heat(low: str, start: int, stop: int, floor: int, parts: list[Part]) -> bool:
    if _ANGLE_AFTER.match(low, stop) or _OTHER_DEGREE.match(low, stop):
        return True
    if parts[-1].high <= 360 and _ANGLE_BEFORE.search(low[max(floor, start - 44) : start]):
        return True
    return parts[-1].high < 25 or ("*" in low[start:stop] and parts[-1].high < 100)


def _parts(low: str, start: int, floor: int, end: int) -> tuple[list[Part], int]:
    """Read figure after figure as long as they belong to one setting."""
    parts: list[Part] = []
    at = stop = start
    glue = ""
    opened = 0
    while len(parts) < 12 and (item := _ITEM.match(low, at, end)):
        part = _part(low, item, end)
        if part is None or (parts and not _belongs(low, parts, part, glue, start, floor)):
            break
        part.glue = glue
        parts.append(part)
        at = stop = part.end
        if opened > 0 and (close := _CLOSE.match(low, at, end)):
            at = stop = close.end()
            opened -= 1
            if after := _AFTER_ITEM.match(low, at, end):
                part.fan = not re.match(_PLAIN_WORD, after["word"])
                at = stop = after.end()
        bridge = _GLUE.match(low, at, end)
        if bridge is None or bridge.end() == at:
            break
        glue = (bridge["glue"] + bridge["word"]).strip() or " "
        opened += bridge["glue"].count("(") + bridge["glue"].count("[")
        at = bridge.end()
    while parts and parts[-1].unit == "" and (len(parts) == 1 or parts[-1].fan is None):
        last = parts.pop()
        if last.glue in ("/",) and parts and parts[0].unit:
            parts.append(last)
            break
        stop = parts[-1].end if parts else start
    return parts, stop


def _part(low: str, item: re.Match[str], end: int) -> Part | None:
    if item["gas"]:
        first = numbers.value(item["m1"])
        second = numbers.value(item["m2"]) if item["m2"] else first
        stop = item.end()
        if first is not None and (second is None or second > 10 or second < first):
            second, stop = first, item.end("m1")
        if first is None or second is None or not 0 < first <= 10:
            return None
        return Part(max(first, 0.25), max(second, 0.25), "g", None, stop)
    tail = (item["tail"] or "").strip()
    figure = float(item["n"].replace(",", "")) * (-1 if item["sign"] else 1)
    unit = _unit(tail)
    if tail in ("c", "f") and item["tail"] and not _plain_letter(low, item, figure, tail):
        return None
    fan: bool | None = None
    stop = item.end()
    if item["pre"]:
        fan = not re.match(_PLAIN_WORD, item["pre"].strip())
    elif after := _AFTER_ITEM.match(low, stop, end):
        fan = not re.match(_PLAIN_WORD, after["word"])
        stop = after.end()
    return Part(figure, figure, unit, fan, stop)


def _plain_letter(low: str, item: re.Match[str], figure: float, letter: str) -> bool:
    """Tell "180 c" from "2 c flour": a letter without a degree sign needs a figure of some size."""
    return figure >= 32 if letter == "f" else 30 <= figure <= 320


def _unit(tail: str) -> str:
    if not tail:
        return ""
    letters = tail.replace("degrees", "").replace("degree", "").replace("deg", "").strip(" .()°º˚∘⁰ᵒ*s")
    letters = letters.removeprefix("o")
    if letters.startswith(("c", "℃")) or "℃" in tail:
        return "c"
    if letters.startswith(("f", "℉")) or "℉" in tail:
        return "f"
    return "?"


def _belongs(low: str, parts: list[Part], part: Part, glue: str, start: int, floor: int) -> bool:
    """Tell whether a figure is another way of writing the setting before it, or the end of its range."""
    last = parts[-1]
    if glue.endswith("and"):
        return low[max(floor, start - 10) : start].endswith("between ") and part.unit != "g"
    if part.unit == "g" or last.unit == "g":
        return part.unit != last.unit
    if glue.endswith("to") or glue.strip(numbers.DASH) == "":
        if glue == " " or not glue:
            return part.unit not in ("", last.unit) or (part.unit == "" and part.fan is not None)
        if part.unit == "":
            return False
        if glue.endswith("to") and _CHANGE.search(low[max(floor, start - 48) : start]):
            return False
        return part.low >= last.low - 40
    if part.unit == "" and part.fan is None:
        if _RANGE_AHEAD.match(low, part.end):
            return True
        return glue == "/" and last.unit != "" and 100 <= part.low <= 600
    return not ("," in glue and part.unit == last.unit and part.fan is None)
