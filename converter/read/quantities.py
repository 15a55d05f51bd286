"""Temperatures and lengths of time in running text, with exact offsets.

`find` reads one stretch of text; `Quantity` says what was written there.
"""

from __future__ import annotations

import re
from dataclasses import dataclass

from converter.model import Kind, Range, Span
from converter.read import durations, numbers, temperatures
from converter.read.one_setting import Heat

_FIGURE = re.compile(rf"[\d{numbers.SIGNS}]")
_TIME_WORDS = ("minut", "hour", "night", "second", "day", "week", "month", "gas mark")
_HEAT = re.compile(r"[°º˚∘⁰ᵒ℃℉]|\d ?(?:[*fo]|c(?![a-z])|deg|cel|cent)|gas|mark|regulo|[1-5]\d[05](?!\d)")

_DOUBT = frozenset((
    "about", "around", "approximately", "approx", "approx.", "roughly", "circa", "c.", "ca", "ca.", "like", "nearly",
    "almost", "maybe", "perhaps", "say", "some", "only", "just", "over", "under", "exactly", "another", "additional",
    "further", "extra", "between", "from", "anywhere", "maximum", "minimum", "max", "max.", "min.", "quite", "rather",
    "~", "≈", "±", "+-", "+", "the", "first", "last", "final", "next", "full", "entire", "whole", "remaining",
    "barely", "scarcely",
))  # fmt: skip
_DOUBT_PAIRS = frozenset((
    "up to", "at least", "at most", "no more", "not more", "more than", "less than", "no less", "not less",
    "no longer", "longer than", "a further", "an additional", "an extra", "a good", "a full", "a maximum",
    "a minimum", "maximum of", "minimum of", "as much", "the last", "the first", "the final", "just over",
    "just under", "not quite", "rather more", "a total", "total of", "or so", "yet another", "something like",
))  # fmt: skip
_DOUBT_LAST = frozenset(pair.split()[-1] for pair in _DOUBT_PAIRS)
_MORE_BEFORE = re.compile(r"(?:another|further|additional|extra)(?: about| approximately| around)?[ ]*$")
_LAST_BEFORE = re.compile(r"(?:last|final)(?: about| approximately| around)?[ ]*$")
_AFTER = re.compile(
    r"(?:,?[ ]or[ ](?:so|more|longer|less)\b|[ ](?:more|longer|further|extra|additional(?:ly)?)\b"
    r"|[ ](?:at least|at most|at the most|at the least|or thereabouts|approximately|approx\b\.?|"
    r"max\b\.?|maximum|minimum|tops)\b"
    r"|[ ]\((?:at least|or more|or longer|approximately|or so|approx\.?|maximum|minimum)\))+"
)
_MORE_AFTER = re.compile(r"more|longer|further|extra|additional")
_PER = re.compile(
    r"(?:\.?[ ]?(?:/[ ]?|(?:per|a|to(?: the)?(?: each| every)?|for (?:each|every)|each|every|the)[ ]))"
    rf"(?P<n>{numbers.NUMBER})?[ -]?(?P<u>kilogram(?:me)?s?|kilos?|kgs?|grams?|grammes?|g|"
    r"lbs?|pounds?|pds?|oz|ounces?)\b(?:\.(?=[ ]?[(,;+]))?"
    r"(?:[ ]?\((?:about |or )?[^()]{1,14}\))?"
)
_PLUS = re.compile(
    r"[ ]?,?[ ]?(?:\+|plus|and|with)[ ](?:an? )?(?:extra |additional |further |another )?$|[ ]?,?[ ]?\+[ ]?$"
)
_NOT_PLUS = re.compile(r"[ ](?:of )?(?:rest|resting|to rest|standing|to stand|cooling)\b")
_SIDES = re.compile(r"[ ](?:per|on each|for each|each|a|on every|every)[ ](?:side|batch)\b|[ ](?:intervals?)\b")
_KG = {"k": 1.0, "g": 0.001, "l": 0.45359237, "p": 0.45359237, "o": 0.028349523125}


@dataclass(frozen=True, slots=True)
class Quantity:
    """One temperature [°C] or length of time [s].

    ``core`` covers figures and units, ``span`` the words of doubt and addition
    as well. ``fan_c`` is the fan figure where one is written; `value` is then
    still the conventional one. ``per_kg`` [kg] and ``plus`` [s] belong to a rate.
    """

    kind: Kind
    span: Span
    core: Span
    value: Range
    fan: bool = False
    fan_c: Range | None = None
    more: bool = False
    last: bool = False
    per_kg: float | None = None
    plus: float | None = None
    disagrees: bool = False
    unit_guessed: bool = False
    night: bool = False


def lowered(text: str) -> str:
    """Return `text` in lower case with every character at its old offset."""
    low = text.lower()
    if len(low) != len(text):
        low = "".join(char if len(char.lower()) != 1 else char.lower() for char in text)
    return low.replace("\u00a0", " ").replace("\u202f", " ").replace("\u2009", " ").replace("\n", " ")


def time_words(low: str) -> tuple[str, ...]:
    """Return the words of time without a figure that a lowered text holds at all, to read many stretches of it."""
    return tuple(word for word in _TIME_WORDS if word in low)


def find(text: str, start: int, end: int) -> list[Quantity]:
    """Return the temperatures and times in ``text[start:end]`` in reading order, with offsets into `text`."""
    low = lowered(text)
    return find_lowered(low, start, end, time_words(low))


def find_lowered(low: str, start: int, end: int, known: tuple[str, ...]) -> list[Quantity]:
    """As `find`, for text that `lowered` has made; `known` are its `time_words`."""
    piece = low[start:end]
    if not _FIGURE.search(piece) and not any(word in piece for word in known):
        return []
    heats: list[Heat] = []
    if _HEAT.search(piece):
        heats = temperatures.scan(low, start, end)
    stretches = durations.scan(low, start, end)
    if heats:
        stretches = [s for s in stretches if not any(h.start < s.end and s.start < h.end for h in heats)]
    found = [_temperature(low, heat, start) for heat in heats]
    skip = -1
    for at, stretch in enumerate(stretches):
        if at == skip:
            continue
        follower = stretches[at + 1] if at + 1 < len(stretches) else None
        quantity, used = _duration(low, stretch, follower, start, end)
        found.append(quantity)
        if used:
            skip = at + 1
    if heats:
        found.sort(key=lambda quantity: quantity.core.start)
    return found


def _temperature(low: str, heat: Heat, floor: int) -> Quantity:
    core = Span(heat.start, heat.end)
    span = Span(_doubt_before(low, heat.start, floor), heat.end)
    return Quantity(
        "temperature", span, core, heat.celsius, fan=heat.fan, fan_c=heat.fan_c,
        disagrees=heat.disagrees, unit_guessed=heat.unit_guessed,
    )  # fmt: skip


def _duration(
    low: str, stretch: durations.Stretch, follower: durations.Stretch | None, floor: int, end: int
) -> tuple[Quantity, bool]:
    core = Span(stretch.start, stretch.end)
    begin = _doubt_before(low, stretch.start, floor)
    stop = stretch.end
    if stretch.night:
        return Quantity("duration", Span(begin, stop), core, (stretch.low, stretch.high), night=True), False
    before = low[begin : stretch.start]
    more = "more" in low[stretch.start : stretch.end] or bool(before and _MORE_BEFORE.search(before))
    last = bool(before and _LAST_BEFORE.search(before))
    if after := _AFTER.match(low, stop, end):
        stop = after.end()
        words = after[0]
        more = more or ("or " not in words and bool(_MORE_AFTER.search(words)))
    per_kg: float | None = None
    plus: float | None = None
    used = False
    if rate := _PER.match(low, stop, end):
        per_kg = _weight(rate)
        stop = rate.end()
        if (
            follower is not None
            and _PLUS.match(low[stop : follower.start])
            and not _NOT_PLUS.match(low, follower.end, end)
        ):
            plus, stop, used = follower.high, follower.end, True
    elif sides := _SIDES.match(low, stop, end):
        stop = sides.end()
    quantity = Quantity(
        "duration", Span(begin, stop), core, (stretch.low, stretch.high),
        more=more, last=last, per_kg=per_kg, plus=plus,
    )  # fmt: skip
    return quantity, used


def _weight(rate: re.Match[str]) -> float:
    figure = numbers.value(rate["n"]) if rate["n"] else 1.0
    return (figure or 1.0) * _KG[rate["u"][0]]


def _doubt_before(low: str, start: int, floor: int) -> int:
    """Return where the words of doubt before a quantity begin; `start` where there are none."""
    at = start
    for _ in range(5):
        stop = at
        while stop > floor and low[stop - 1] == " ":
            stop -= 1
        if low[stop - 1 : stop] in ("~", "≈", "±") and stop > floor:
            at = stop - 1
            continue
        begin = max(low.rfind(" ", floor, stop), low.rfind("(", floor, stop), floor - 1) + 1
        word = low[begin:stop]
        if not word or stop == floor:
            break
        earlier = max(low.rfind(" ", floor, max(begin - 1, floor)), floor - 1) + 1
        if word in _DOUBT_LAST and low[earlier:stop] in _DOUBT_PAIRS:
            at = earlier
            continue
        if word in _DOUBT or (word in ("no", "not") and low.startswith(("more", "less", "longer", "quite"), at)):
            at = begin
            continue
        break
    return at
