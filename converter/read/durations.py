"""Lengths of time in lower-case text, in every notation of the recipe trade.

`scan` gives one `Stretch` for one length of time: a compound ("1 hr 30 mins"),
a range ("20–25 mins", "1 hr-1 hr 15 mins") or a vague length ("a few minutes")
is one. Times are seconds.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from converter import units
from converter.read import numbers

NIGHT = (28800.0, 43200.0)  # 8 to 12 hours
FEW = (2.0, 5.0)

_UNIT_WORDS: tuple[tuple[float, str], ...] = (
    (units.SECOND, r"seconds?|secs?|secounds?"),
    (units.MINUTE, r"minutes?|mins?|minuets?|minuts?|minuites?|minites?|mintues?|mintutes?|mintes?|miutes?|mn"),
    (units.HOUR, r"hours?|hrs?|houres?|huors?|hors"),
    (units.DAY, r"days?"),
    (units.WEEK, r"weeks?|wks?"),
    (units.MONTH, r"months?|mths?"),
    (units.YEAR, r"years?|yrs?"),
)
_LETTERS = {"s": units.SECOND, "m": units.MINUTE, "h": units.HOUR}
_BY_INITIAL = (
    ("sec", units.SECOND), ("mo", units.MONTH), ("mt", units.MONTH), ("m", units.MINUTE), ("h", units.HOUR),
    ("d", units.DAY), ("w", units.WEEK), ("y", units.YEAR),
)  # fmt: skip

_UNITS = "|".join(pattern for _, pattern in _UNIT_WORDS)
_NUMBER = rf"(?:{numbers.NUMBER}|{numbers.WORDS})"
_D = f"[{numbers.DASH}]"
_SEP = rf"(?:[ ]?{_D}{{1,2}}[ ]?|[ ]?/[ ]?|[ ]?to[ ]|[ ](?:and|or|til|till|until)[ ]|[ ]?~[ ]?)"
_EXTRA = (
    r"(?:more|additional|extra|further|full|good|whole|long|short|solid|odd|consecutive|or so|or more|or less|"
    r"to|of|other|active|total|such)"
)
_VAGUE = (
    r"(?:one[ -])?half(?:[ -]of)?[ -]an?|(?:an?|one)[ -]half|half|"
    r"(?:an?[ -]|one[ -])?quarter[ -](?:of[ -])?an|(?:an?|one)[ -]quarter|"
    r"three[ -]quarters?[ -](?:of[ -])?an|three[ -]quarter|(?:1/4|3/4|1/2|¼|¾|½)[ -](?:of[ -])?an|"
    r"(?:an?[ -])?couple(?:[ -]of)?|(?:an?[ -])?few|(?:an?[ -])?handful(?:[ -]of)?|several|"
    r"another(?= [mhdw])|every(?= (?:other )?[mhdw])|(?:the )?(?:first|last|final)(?= [mhdw])|an|a"
)
_ALONE = ("another", "every", "first", "last", "final")
_ATOM = re.compile(
    rf"(?<![\w.,/⁄°])(?:(?=[achoqstefl¼½¾13])(?P<v>{_VAGUE})"
    rf"|(?=[\d{numbers.SIGNS}(efnost])\(?(?P<a>{_NUMBER})(?:(?P<s>{_SEP})(?P<b>{_NUMBER}|an?))?"
    r"(?:(?<=\d)\)(?=[ ](?:min|hour|day)))?)"
    rf"(?:[ -]{{1,2}}(?P<x>{_EXTRA}))?"
    rf"(?P<g>[ \n]{{0,2}}-?[ \n]?)"
    rf"(?P<u>(?:{_UNITS})(?![a-z])|(?<=\d)[smh](?![\w'’])|(?<=\d )h(?![\w'’])|(?<=\d)h(?=[0-5]\d(?!\d)))"
    r"|(?<![a-z])(?P<n>overnight|over night|all night|through the night)(?![a-z])"
)
_REACH = 44  # characters between a number and its unit, at most
_TIME_WORD = re.compile(
    r"(?:min|hour|hr|sec|day|week|wk|night|month|mth|year|yr|hu|hor|m[iu]?[nu]?t)|(?<=\d)[ -]?(?:[smh](?![a-z])|mn|h\d)"
)
_AND_A_HALF = re.compile(
    r"[ -]and[ -](?:a[ -]|one[ -])?(half|quarter|three[ -]quarters|[½¼¾]|1/2|1/4|3/4)"
    r"(?![ -]?(?:min|hour|cup|sec|day|tea|tab))"
)
_OR_TWO = re.compile(r" (?:or|to) (two|three|four|2|3)(?! ?[a-z°º]{3,}| [a-z]{3,}\w* (?:later|more))(?!\w|\.\d)")
_OR_NUMBER = re.compile(
    rf"[ ]?\([^()\d]{{2,24}}\)[ ]?(?:or|to)[ ](?P<b>{numbers.NUMBER}|{numbers.WORDS})(?=[ ]\([^()\d]{{2,24}}\))"
)
_JOIN = re.compile(r"(?:\.?,?[ \n]?(?:and[ ]|&[ ]?|\+[ ]?)?)$")
_RANGE = re.compile(rf"\.?[ ]?(?:{_D}{{1,2}}[ ]?|to[ ]|or[ ]|til[l]?[ ]|until[ ])$")
_TAIL_MINUTES = re.compile(r"[ ]?([0-5]\d)(?![\d:/]|[ ]?[a-z°º]{2,})")
_TAIL_BARE = re.compile(r"[ ]([1-5][05])(?=[.,;)]|$|[ ](?:or|until|and|in|at|then)\b)")
_PART_TO = re.compile(r"(?<![a-z])((?:an? )?(?:half|quarter)) (?:to|or) (?:a )?$")
_SAME = re.compile(r"[ ]?[(/][ ]?(?:or |about |i\.e\.,? |= ?)?$")
_NOT_TIME = re.compile(
    r"[ -](?:steaks?|rice|tapioca|oats|oatmeal|meals?|recipes?)\b"
    r"|['’]s? (?:drive|walk|work|notice|flight|journey)|[ -]olds?\b"
)
_NOT_SECOND = re.compile(
    r"s?[ -](?:hand|portion|batch|side|time|rise|rising|coat|layer|half|bowl|pan|pot|piece|one|sheet|day|wash)"
)


@dataclass(slots=True)
class Stretch:
    """One length of time: offsets of figures and units, seconds [low, high]."""

    start: int
    end: int
    low: float
    high: float
    unit: float
    night: bool = False
    ranged: bool = False
    vague: bool = False


def scan(low: str, start: int, end: int) -> list[Stretch]:
    """Return the lengths of time in ``low[start:end]`` (lower-case text), in order, not overlapping."""
    atoms: list[Stretch] = []
    done = start
    for word in _TIME_WORD.finditer(low, start, end):
        if word.start() < done:
            continue
        stop = min(end, word.end() + _REACH)
        for match in _ATOM.finditer(low, max(done, word.start() - _REACH), stop):
            if match.end() == stop < end:
                break  # cut short; its own word of time comes next
            if atom := _atom(low, match, start, end):
                atoms.append(atom)
            done = match.end()
    return _merge(low, atoms) if atoms else []


def _unit(word: str) -> float:
    if len(word) == 1:
        return _LETTERS[word]
    for initial, size in _BY_INITIAL:
        if word.startswith(initial):
            return size
    return units.SECOND


def _vague(word: str) -> tuple[float, float]:
    if "few" in word or "handful" in word or word == "several":
        return FEW
    if "couple" in word:
        return 2.0, 2.0
    if "half" in word or "1/2" in word or "½" in word:
        return 0.5, 0.5
    if "three" in word or "3/4" in word or "¾" in word:
        return 0.75, 0.75
    if "quarter" in word or "1/4" in word or "¼" in word:
        return 0.25, 0.25
    return 1.0, 1.0


def _atom(low: str, match: re.Match[str], floor: int, end: int) -> Stretch | None:
    if match["n"]:
        return Stretch(match.start(), match.end(), *NIGHT, unit=units.HOUR, night=True)
    word = match["u"]
    unit = _unit(word)
    stop = match.end()
    if _NOT_TIME.match(low, stop, end):
        return None
    begin = match.start("v") if match["v"] is not None else match.start("a")
    if low[match.start()] == "(" and match["v"] is None and ")" in low[begin:stop]:
        begin = match.start()
    if match["v"] is not None:
        a, b = _vague(match["v"])
        if unit == units.SECOND and match["v"] in ("a", "an") and not low.startswith(" or two", stop):
            return None
        if match["v"].endswith(_ALONE):
            if not _stands_alone(match):
                return None
            begin = match.start("u")
        if match["v"] == "a" and unit == units.DAY and _per_day(low, begin, floor):
            return None
        if match["v"] in ("a", "an", "half") and match["x"] in ("to", "of", "other", "more"):
            return None
        made = Stretch(begin, stop, a * unit, b * unit, unit, vague=True)
        if a < 1 and (part := _PART_TO.search(low, max(floor, begin - 16), begin)):
            made.start, made.low, made.ranged = part.start(), _vague(part[1])[0] * unit, True
    else:
        first, second, separator = match["a"], match["b"], match["s"]
        if word == "second" and _NOT_SECOND.match(low, stop, end):
            return None
        both = numbers.pair(first)
        low_value: float | None
        high_value: float | None
        if both and second is None:
            low_value, high_value = both
        else:
            low_value = numbers.value(first)
            high_value = low_value if second is None else 1.0 if second in ("a", "an") else numbers.value(second)
        if low_value is None or high_value is None:
            return None
        if first == "2/3" and unit == units.MINUTE and second is None:
            low_value, high_value = 2.0, 3.0
        if second is not None and separator is not None:
            joined = separator.strip()
            between = low.startswith(("between ", "from "), max(floor, begin - 8)) or low.startswith(
                "from ", max(floor, begin - 5)
            )
            if (joined == "and" and not between) or high_value < low_value:
                begin, low_value = match.start("b"), high_value
        made = Stretch(begin, stop, low_value * unit, high_value * unit, unit, ranged=high_value != low_value)
    _lengthen(low, made, word, end)
    return made


def _stands_alone(match: re.Match[str]) -> bool:
    """Tell whether a unit without a number counts as one: "another minute", "every day", not "the last minutes"."""
    return (
        match["u"] not in ("second", "sec", "year") and not match["u"].endswith("s") and match["x"] in (None, "other")
    )


def _per_day(low: str, begin: int, floor: int) -> bool:
    return low[max(floor, begin - 8) : begin].rstrip(" ,").endswith(("once", "twice", "times"))


def _lengthen(low: str, made: Stretch, word: str, end: int) -> None:
    """Take in "and a half", "or two", "(medium) or 7 (well done)" and the minutes of "1h30"."""
    tail = _AND_A_HALF.match(low, made.end, end)
    if tail:
        part = _vague(tail[1])[0] * made.unit
        made.low += part
        made.high += part
        made.end = tail.end()
        return
    if made.low == made.high:
        unit_below = {units.HOUR: units.MINUTE, units.MINUTE: units.SECOND}.get(made.unit)
        if word == "h" and (tail := _TAIL_MINUTES.match(low, made.end, end)):
            made.low += int(tail[1]) * units.MINUTE
            made.high = made.low
            made.end = tail.end()
        elif unit_below and (tail := _TAIL_BARE.match(low, made.end, end)):
            made.low += int(tail[1]) * unit_below
            made.high = made.low
            made.end = tail.end()
        elif tail := _OR_NUMBER.match(low, made.end, end):
            high = numbers.value(tail["b"])
            if high is not None and high * made.unit > made.low:
                made.high, made.ranged, made.end = high * made.unit, True, tail.end("b")
        elif tail := _OR_TWO.match(low, made.end, end):
            high = numbers.value(tail[1])
            if high is not None and high * made.unit == made.low + made.unit:
                made.high, made.ranged, made.end = high * made.unit, True, tail.end()


def _merge(low: str, atoms: list[Stretch]) -> list[Stretch]:
    """Join "1 hr" and "15 mins", then "1 hr" and "to 90 mins"; the same time in other units is one."""
    merged: list[Stretch] = []
    for atom in atoms:
        last = merged[-1] if merged else None
        if last is None or not _is_compound(low, last, atom):
            merged.append(atom)
            continue
        if atom.ranged and not last.ranged:  # "1 hr 10–15 mins"
            last.low += atom.low
            last.ranged = True
        elif not last.ranged:
            last.low += atom.low
        last.high += atom.high
        last.end, last.unit = atom.end, atom.unit
    ranged: list[Stretch] = []
    for atom in merged:
        last = ranged[-1] if ranged else None
        gap = low[last.end : atom.start] if last else ""
        if last is None or len(gap) > 16 or atom.night or last.night:
            ranged.append(atom)
        elif _is_range(last, atom, gap):
            last.high, last.ranged, last.end, last.unit = atom.high, True, atom.end, atom.unit
        elif _SAME.match(gap) and (atom.low, atom.high) == (last.low, last.high):
            last.end = atom.end + (low.startswith(")", atom.end) and "(" in gap)
        else:
            ranged.append(atom)
    return ranged


def _is_compound(low: str, last: Stretch, atom: Stretch) -> bool:
    gap = low[last.end : atom.start]
    if len(gap) > 8 or atom.night or last.night or atom.unit >= last.unit or not _JOIN.match(gap):
        return False
    if "," in gap and low.startswith((" before", " prior"), atom.end):
        return False
    return not (last.vague and last.low != last.high)


def _is_range(last: Stretch, atom: Stretch, gap: str) -> bool:
    if last.ranged or atom.ranged or (last.vague and last.low != last.high) or not _RANGE.match(gap):
        return False
    return atom.high >= last.low and not (" or " in gap and atom.high > 4 * last.high)
