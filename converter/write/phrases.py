"""The phrases of the rewritten sentences: where, covered how, for how long."""

from __future__ import annotations

from converter.model import Minutes, Move
from converter.write.parts import number_words

_HEIGHT = {
    "roof": "on the highest shelf, under the roof", "high": "on a high shelf", "middle": "on the middle shelf",
    "low": "on a low shelf", "floor": "on the floor", "any": "",
}  # fmt: skip
_PLATES = ("hot-plate", "gentle-plate", "warm-plate")


def is_plate(move: Move) -> bool:
    """Tell a plate from an oven."""
    return move.zone in _PLATES


def place(move: Move, *, motion: bool = False) -> str:
    """Return "in the hot oven, on a low shelf" or "on the hot plate"; with `motion`, into and to."""
    if is_plate(move):
        return f"{'to' if motion else 'on'} the {move.label}"
    words = f"{'into' if motion else 'in'} the {move.label}"
    height = _HEIGHT.get(move.height or "", "")
    return f"{words}, {height}" if height and move.zone in ("hot-oven", "moderate-oven") else words


def cover(move: Move, *, said: bool) -> str:
    """Return the words about shield and lid that the source does not say already."""
    if move.shield:
        return "under a shield"
    if said or move.cover is None:
        return ""
    return "lid on" if move.cover else "lid off"


def spot(move: Move, *, said: bool = False, motion: bool = False, dish: bool = False) -> str:
    """Return place and cover, between commas; `dish` is for what has no lid of its own."""
    extra = cover(move, said=said)
    if dish and extra in ("lid on", "lid off"):
        extra = "covered" if extra == "lid on" else ""
    return f"{place(move, motion=motion)}, {extra}" if extra else place(move, motion=motion)


def _in_hours(low: float, high: float) -> bool:
    return high > 70 and low >= 45 and low % 15 == 0 and high % 15 == 0


def span_words(low: float, high: float) -> str:
    """Return ``8–12 minutes``, ``1½–2 hours``, ``30–60 seconds``."""
    if high < 1:
        return (
            f"{number_words(low * 60)}–{number_words(high * 60)} seconds"
            if low != high
            else f"{number_words(low * 60)} seconds"
        )
    unit = "minutes"
    if _in_hours(low, high):
        low, high, unit = low / 60, high / 60, "hours"
    first, last = number_words(low), number_words(high)
    if first == last:
        return f"{first} {unit if high > 1 else unit[:-1]}"
    return f"{first}–{last} {unit if high > 1 else unit[:-1]}"


def look_words(minutes: Minutes) -> str:
    """Return ``look at 45`` with a unit of its own where it differs."""
    look = minutes.look
    if look is None or look <= 0:
        return ""
    if _in_hours(minutes.low, minutes.high):
        if look % 15 == 0 and look >= 60:
            return f"look at {number_words(look / 60)}"
        return f"look at {number_words(look)} minutes"
    if minutes.high < 1 or look < 1:
        return ""
    return f"look at {number_words(look)}"


def stay(minutes: Minutes, *, more: bool = False, each: str = "", last: bool = False) -> str:
    """Return ``about 50–65 minutes (look at 40)``; with `last` the look follows a semicolon."""
    words = f"about {span_words(minutes.low, minutes.high)}"
    if more:
        words += " more"
    if each:
        words += f" {each}"
    look = look_words(minutes)
    if not look:
        return words
    return f"{words}; {look}" if last else f"{words} ({look})"


def brief(minutes: Minutes | None) -> str:
    """Return ``(about 5–6 minutes)``, for what is seen on a plate."""
    return f"(about {span_words(minutes.low, minutes.high)})" if minutes else ""
