"""What the words of a command mean: temperatures, times, weights, days, zones and heights. Imports nothing heavy."""

from __future__ import annotations

import re
from datetime import date
from typing import TYPE_CHECKING

from converter import cli_parts
from converter.cli_parts import WrongUse

if TYPE_CHECKING:
    from converter.place.cookers import Cooker, Zone

# So that -5 is a figure and no option: it is then refused with its unit.
FIGURES = {"ignore_unknown_options": True}

_FIGURE = r"-?\d+(?:[.,]\d+)?"
_DEGREES = re.compile(rf"({_FIGURE})\s*(?:°|º)?\s*([cCfF]?)")
_BARE = re.compile(rf"({_FIGURE})\s*((?:c\s*)?fan)?", re.IGNORECASE)
_MINUTES = re.compile(_FIGURE)
_WEIGHT = re.compile(r"(-?\d+(?:[.,]\d+)?)\s*([a-z]+)\s*", re.IGNORECASE)
_MASS = {"g": "gram", "gram": "gram", "grams": "gram", "kg": "kilogram", "kilo": "kilogram", "kilos": "kilogram",
         "lb": "pound", "lbs": "pound", "pound": "pound", "pounds": "pound", "oz": "ounce"}  # fmt: skip


def _float(words: str) -> float:
    return float(words.replace(",", "."))


def celsius(words: str, name: str) -> float:
    """Return °C from "108", "108 °C" or "225F"; raises ``WrongUse``."""
    from converter.units import to_celsius

    match = _DEGREES.fullmatch(words.strip())
    if not match:
        raise WrongUse(f"{name} must be a temperature in °C such as 108, or in °F such as 225F, not '{words}'")
    value = _float(match[1])
    return round(to_celsius(value), 1) if match[2] in ("f", "F") else value


def oven_c(words: str, name: str) -> float:
    """Return °C of a conventional oven from "180", "350F", "gas 4" or "160 fan"; raises ``WrongUse``."""
    from converter.read.quantities import find

    plain = " ".join(words.split())
    if match := _BARE.fullmatch(plain):
        if not match[2]:  # any figure, as the reader takes only those of an oven; the model refuses the others
            return _float(match[1])
        plain = f"{match[1]}°C fan"
    found = [one for one in find(plain, 0, len(plain)) if one.kind == "temperature"]
    if len(found) != 1 or found[0].value[0] != found[0].value[1]:
        raise WrongUse(
            f"{name} must be the recipe's oven in °C such as 180, or 350F, gas 4 or '160 fan', not '{words}'"
        )
    return round(found[0].value[0], 1)


def minutes(words: str, name: str) -> float:
    """Return minutes from "90", "1h30" or "1 hour 30 minutes"; raises ``WrongUse``."""
    from converter.read.quantities import find

    plain = words.strip()
    if _MINUTES.fullmatch(plain):
        return _float(plain)
    found = [one for one in find(plain, 0, len(plain)) if one.kind == "duration"]
    if len(found) != 1 or found[0].value[0] != found[0].value[1]:
        raise WrongUse(f"{name} must be minutes such as 90, or 1h30, not '{words}'")
    return found[0].value[0] / 60.0


def grams(words: str, name: str) -> float:
    """Return grams from "2kg", "1500 g", "4lb 8oz"; raises ``WrongUse``."""
    from converter.units import kilograms

    plain, total, at = words.strip(), 0.0, 0
    for match in _WEIGHT.finditer(plain):
        unit = _MASS.get(match[2].casefold())
        if match.start() != at or unit is None:
            break
        total += 1000.0 * _float(match[1]) * kilograms(unit)
        at = match.end()
    if not plain or at != len(plain):
        raise WrongUse(f"{name} must be a weight with its unit such as 2kg, 800g or 4lb, not '{words}'")
    return total


def day(words: str | None) -> date:
    """Return a day, today for None; raises ``WrongUse`` for words that are none and for a day to come."""
    if words is None:
        return date.today()
    try:
        made = date.fromisoformat(words.strip())
    except ValueError:
        raise WrongUse(f"the date must be a day such as 2026-01-31, not '{words}'") from None
    if made > date.today():
        raise WrongUse(f"the date {made.isoformat()} has not come yet")
    return made


def zone(cooker: Cooker, words: str) -> Zone:
    """Return the one zone of a cooker that is meant by its id, kind or label; raises ``WrongUse``."""
    from converter.place.own_cooker import zone_named

    found = zone_named(cooker, words)
    if len(found) == 1:
        return found[0]
    idents = [one.id for one in cooker.zones]
    if found:
        raise WrongUse(f"{cooker.name} has several zones '{words}': {', '.join(one.id for one in found)}")
    near = cli_parts.near(words, idents, limit=1)
    hint = f"; did you mean {near[0]}?" if near else ""
    raise WrongUse(f"{cooker.name} has no zone '{words}'; it has {', '.join(idents)}{hint}")


def height(place: Zone, words: str) -> str:
    """Return the height in a zone, ``any`` on a plate; raises ``WrongUse``."""
    plain = words.strip().casefold()
    if not place.is_oven:
        if plain not in ("any", "-", "surface"):
            raise WrongUse(f"the {place.label} is a plate and has no heights; write 'any'")
        return "any"
    if plain in ("", "any"):
        return "middle"
    if plain not in place.heights:
        raise WrongUse(f"the {place.label} has no height '{words}'; it has {', '.join(place.heights)}")
    return plain


def stay(cooker: Cooker, words: str) -> tuple[Zone, str, float | None]:
    """Return zone, height and minutes from "hot-oven middle 20", "low-oven" or "low oven roof 1h30".

    Minutes are ``None`` where none are given. Raises ``WrongUse``.
    """
    from converter.place.cookers import OVEN_HEIGHTS
    from converter.place.own_cooker import zone_named

    parts = words.split()
    if not parts:
        raise WrongUse("--zone needs a zone, such as 'hot-oven middle 20'")
    split = next((at for at in range(len(parts), 0, -1) if zone_named(cooker, " ".join(parts[:at]))), 1)
    place = zone(cooker, " ".join(parts[:split]))
    rest = parts[split:]
    at = "middle"
    if rest and rest[0].casefold() in (*OVEN_HEIGHTS, "any"):
        at = rest.pop(0)
    if not place.is_oven:
        raise WrongUse(f"the {place.label} is a plate; only ovens are computed, and a pan is looked at")
    length = minutes(" ".join(rest), f"the minutes in '{words}'") if rest else None
    return place, height(place, at), length
