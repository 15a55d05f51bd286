"""Puts the figures of one setting together: units left out, fan figures, gas marks, misprints."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from converter.model import Range
from converter.read import numbers, settings
from converter.units import to_celsius

BARE_F_ABOVE = 260.0  # a bare figure above this can only be °F
PAIR_SLACK_K = 12.0  # °C and rounded °F of one setting lie this close; wider is a misprint
MARK_SLACK_K = 8.0  # a figure this far outside the printed range of its gas mark is a misprint

_METRIC = re.compile(r"\d ?(?:°|º|˚|degrees?) ?c\b|\d{3} ?c\b|celsius|gas mark|\d ?(?:g|ml|kg|grams?|litres?)\b")
_AMERICAN = re.compile(
    r"\d ?(?:°|º|˚|degrees?) ?f\b|\d{3} ?f\b|fahrenheit|\bcups?\b|\blbs?\b|\bpounds?\b|\bounces?\b|\boz\b"
)


@dataclass(slots=True)
class Heat:
    """One setting: offsets of all its figures, °C [low, high] of the conventional oven."""

    start: int
    end: int
    celsius: Range
    fan: bool = False
    fan_c: Range | None = None
    disagrees: bool = False
    unit_guessed: bool = False
    gas_only: bool = False


@dataclass(slots=True)
class Part:
    """One figure or range of a setting, as written, and what stood before it."""

    low: float
    high: float
    unit: str  # c, f, g, "?" for a bare degree, "" for a bare number
    fan: bool | None
    end: int
    glue: str = ""


def guess(low: str, figure: float) -> str:
    """Return the unit of a bare figure, by its size and then by the language of the page."""
    if figure > BARE_F_ABOVE:
        return "f"
    metric, american = _page(low)
    if metric != american:
        return "c" if metric > american else "f"
    return "f" if figure > 230 or figure < 100 else "c"


@lru_cache(maxsize=2)
def _page(low: str) -> tuple[int, int]:
    """Count words of metric and of American recipes in the whole text."""
    return len(_METRIC.findall(low)), len(_AMERICAN.findall(low))


def resolve(low: str, parts: list[Part], begin: int, stop: int) -> Heat | None:
    """Return the setting that `parts` write, with units, fan figures and misprints settled; ``None`` for none."""
    guessed = False
    known = [part.unit for part in parts if part.unit in ("c", "f")]
    for at, part in enumerate(parts):
        if part.unit in ("", "?"):
            near = [p.unit for p in parts[at + 1 :] if p.unit in ("c", "f")] or list(reversed(known))
            ranged = at + 1 < len(parts) and is_range(parts[at + 1].glue)
            if part.unit == "?" and known and not ranged and not is_range(part.glue) and len(set(known)) == 1:
                other = "f" if known[0] == "c" else "c"
                part.unit = _nearer(part.low, [p for p in parts if p.unit == known[0]], known[0], other)
            elif near:
                part.unit = near[0]
            elif any(p.unit == "g" for p in parts):
                part.unit = "f" if part.low > BARE_F_ABOVE else guess(low, part.low)
                guessed = part.low <= BARE_F_ABOVE
            else:
                part.unit, guessed = guess(low, part.low), True
    _mark_fans(parts)
    plain_c = [p for p in parts if p.unit == "c" and not p.fan]
    fan_c = [p for p in parts if p.unit == "c" and p.fan]
    plain_f = [p for p in parts if p.unit == "f" and not p.fan]
    fan_f = [p for p in parts if p.unit == "f" and p.fan]
    gas = [p for p in parts if p.unit == "g"]
    if fan_c and plain_f and all(p.fan is None for p in plain_f):
        nearest_fan = min(abs(to_celsius(p.low) - q.low) for p in plain_f for q in fan_c)
        if nearest_fan <= 6 and (plain_c or not gas):
            fan_f, plain_f = fan_f + plain_f, []
    values = _celsius(plain_c) + _celsius(plain_f)
    fans = _celsius(fan_c) + _celsius(fan_f)
    marks = [(settings.gas_celsius(p.low), settings.gas_celsius(p.high)) for p in gas]
    disagrees = _disagrees(plain_c, plain_f, fans, gas)
    fan_only = False
    if not values and marks:
        values = (
            marks
            if not fans
            else [(settings.conventional_celsius(a), settings.conventional_celsius(b)) for a, b in fans]
        )
    elif not values and fans:
        values, fan_only = [(settings.conventional_celsius(a), settings.conventional_celsius(b)) for a, b in fans], True
    if not values:
        return None
    celsius = (min(a for a, _ in values), max(b for _, b in values))
    if not -60 <= celsius[0] <= 1200:
        return None
    fan_range = (min(a for a, _ in fans), max(b for _, b in fans)) if fans else None
    gas_only = bool(gas) and not (plain_c or plain_f or fans)
    return Heat(begin, stop, celsius, fan_only, fan_range, disagrees, guessed, gas_only)


def is_range(glue: str) -> bool:
    return glue in ("to", "and", "or") or (bool(glue.strip()) and not glue.strip(numbers.DASH))


def _nearer(figure: float, others: list[Part], unit: str, other: str) -> str:
    """Return the unit that makes a bare figure agree with the known ones."""
    known = sum(p.low for p in others) / len(others)
    known_c = known if unit == "c" else to_celsius(known)
    as_c = abs(figure - known_c)
    as_f = abs(to_celsius(figure) - known_c)
    better = "c" if as_c < as_f else "f"
    return better if min(as_c, as_f) <= PAIR_SLACK_K * 2 else other if other == better else unit


def _mark_fans(parts: list[Part]) -> None:
    """Name the fan figure where the word is left out: the second of two is about 20 °C (25–50 °F) lower."""
    for unit, least, most in (("c", 15, 25), ("f", 25, 50)):
        same = [p for p in parts if p.unit == unit]
        if len(same) == 2 and all(p.fan is None for p in same) and not is_range(same[1].glue):
            step = same[0].low - same[1].low
            if least <= step <= most:
                same[1].fan = True


def _celsius(parts: list[Part]) -> list[Range]:
    return [(p.low, p.high) if p.unit == "c" else (to_celsius(p.low), to_celsius(p.high)) for p in parts]


def _disagrees(plain_c: list[Part], plain_f: list[Part], fans: list[Range], gas: list[Part]) -> bool:
    if plain_c and plain_f:
        low_gap = abs(min(p.low for p in plain_c) - to_celsius(min(p.low for p in plain_f)))
        high_gap = abs(max(p.high for p in plain_c) - to_celsius(max(p.high for p in plain_f)))
        if max(low_gap, high_gap) > PAIR_SLACK_K:
            return True
    values = _celsius(plain_c) or _celsius(plain_f)
    if fans and not values:
        values = [(settings.conventional_celsius(a), settings.conventional_celsius(b)) for a, b in fans]
    elif fans and values:
        step = max(b for _, b in values) - max(b for _, b in fans)
        if not 5 <= step <= 35:
            return True
    if gas and values:
        low = min(settings.gas_range(p.low)[0] for p in gas) - MARK_SLACK_K
        high = max(settings.gas_range(p.high)[1] for p in gas) + MARK_SLACK_K
        if max(b for _, b in values) < low or min(a for a, _ in values) > high:
            return True
    return False
