"""What the output forms share: number words, units, header lines, the lines of the lists, the closing words."""

from __future__ import annotations

import re
from typing import NamedTuple

from converter.model import Flag, Header, Ingredient, Range, Recipe, Result, WrittenStep
from converter.units import to_celsius, to_fahrenheit

CLOSING = (
    "Plates, lids and doors are hot at all times. Minutes are estimates: the sign in the step or the thermometer "
    "decides. The cooker's handbook and local food-safety rules come first."
)
INGREDIENTS = "Ingredients"
METHOD = "Method"
OWN_NOTES = "Notes of the recipe"
JUDGEMENT = "Lines for your judgement"
CAUTIONS = "Cautions"
NOTES = "Notes"
NONE = "none"
UNNAMED = "Recipe"

COOKER_LABEL = "Cooker"
ZONES_LABEL = "Zones"
TIMERS_LABEL = "Timers (food in an oven is neither seen nor smelt)"
LID_UP_LABEL = "Lid up"
HAVE_READY_LABEL = "Have ready"
OWN_TIMES_LABEL = "Our own times"
AS_GIVEN_LABEL = "As the recipe gives it"

LONGEST_QUOTE = 160  # characters of the original words that a line of the lists repeats

_BREAKS = re.compile(r"[ \t]*[\r\n\v\f\x1c-\x1f\x85\u2028\u2029][ \t\r\n\v\f\x1c-\x1f\x85\u2028\u2029]*|\t")
TURNS = re.compile("[\u202a-\u202e\u2066-\u2069]")  # signs that turn the direction of the words after them
_HEADING_MARKS = re.compile(r"^[\s#*_=]+|[\s#*_=:]+$")
_INGREDIENTS_WORD = re.compile(r"(?:the )?ingredients?\b[^a-z]*(?:list)?$", re.IGNORECASE)
_QUARTERS = {0.25: "¼", 0.5: "½", 0.75: "¾"}


class Line(NamedTuple):
    """One line of the lists: ``Step 4``, the original words (may be empty), what was done and why."""

    where: str
    quote: str
    said: str


def one_line(text: str) -> str:
    """Return `text` with its line breaks and tabs as single spaces, ends trimmed."""
    return text.strip() if text.isprintable() else _BREAKS.sub(" ", text).strip()


def straight(text: str) -> str:
    """Return `text` on one line without signs that turn the direction of what stands after it."""
    return one_line(text if text.isascii() else TURNS.sub("", text))


def whole(value: float) -> int | float:
    """Return `value` as an int where it is a whole number."""
    return int(value) if value == int(value) else value


def pair(value: Range | None) -> list[int | float] | None:
    """Return a range as a list of two numbers, whole ones as ints."""
    return None if value is None else [whole(value[0]), whole(value[1])]


def number_words(value: float) -> str:
    """Return 90 as ``90``, 1.5 as ``1½``, 0.75 as ``¾``, anything else with at most one decimal."""
    count = int(value)
    rest = value - count
    if rest in _QUARTERS:
        return f"{count or ''}{_QUARTERS[rest]}"
    return str(count) if rest == 0 else f"{value:.1f}".removesuffix(".0")


def minute_words(minutes: Range) -> str:
    """Return ``8–12 min``, or hours (``1½–2 h``) where both ends are quarter hours and the stay is over 70 minutes."""
    low, high = minutes
    unit = "min"
    if high > 70 and low >= 45 and low % 15 == 0 and high % 15 == 0:
        low, high, unit = low / 60, high / 60, "h"
    first, last = number_words(low), number_words(high)
    return f"{first} {unit}" if first == last else f"{first}–{last} {unit}"


# --- temperatures in our own sentences ------------------------------------------------------------

_FIGURE = r"(?<![\d.–-])(?:(?<![^\s(])[-−])?\d{1,3}(?:\.\d)?"
_HEAT = re.compile(
    rf"(?P<low>{_FIGURE})(?:(?P<dash>\s?[–-]\s?| to )(?P<high>\d{{1,3}}(?:\.\d)?))?\s?°\s?(?P<unit>[CF])\b"
    rf"(?P<second>\s?(?:\(|/\s?)(?:about )?(?P<low2>\d{{1,3}})(?:\s?(?:[–-]|to)\s?(?P<high2>\d{{1,3}}))?"
    r"\s?°\s?(?P<unit2>[CF])\)?)?"
    r"(?P<apart>\s(?:hotter|cooler|warmer|colder|higher|lower|more|less|above|below|over|under|away|apart)\b)?"
)
_COARSE_C = 120.0  # oven heats are written to 5 degrees, cooler ones (cores, water) to the degree


def _turn(value: float, to: str, *, apart: bool) -> str:
    """Return °C as °F or the reverse; `apart` marks a difference of temperatures."""
    if apart:
        turned = value * 1.8 if to == "F" else value / 1.8
    else:
        turned = to_fahrenheit(value) if to == "F" else to_celsius(value)
    celsius = value if to == "F" else turned
    coarse = not apart and celsius >= _COARSE_C
    return str(5 * round(turned / 5) if coarse else round(turned))


def in_units(text: str, units: str) -> str:
    """Return one of our own sentences with its temperatures in `units` (``c``, ``f`` or ``both``).

    A temperature that is there in both units already keeps its own figures;
    where one has to be worked out, 120 °C and more is rounded to 5 degrees,
    less to the degree. "20 °C hotter" is a difference and is turned as one.
    """
    if "°" not in text:
        return text

    def show(found: re.Match[str]) -> str:
        unit = found["unit"]
        other = "F" if unit == "C" else "C"
        apart = found["apart"] is not None
        ends = [found["low"]] + ([found["high"]] if found["high"] else [])
        dash = found["dash"] or "–"
        mine = dash.join(ends) + f" °{unit}"
        pair_given = found["second"] is not None and found["unit2"] == other
        if found["second"] is not None and not pair_given:
            return found[0]
        if pair_given:
            turned = [found["low2"]] + ([found["high2"]] if found["high2"] else [])
        else:
            turned = [_turn(float(end.replace("−", "-")), other, apart=apart) for end in ends]
        theirs = (dash.join(turned) if turned[0] != turned[-1] else turned[0]) + f" °{other}"
        tail = found["apart"] or ""
        if units == "both":
            return found[0] if pair_given else f"{mine} ({theirs}){tail}"
        return (mine if unit == units.upper() else theirs) + tail

    return _HEAT.sub(show, text)


# --- header -----------------------------------------------------------------------------------------


def header_lines(header: Header, units: str) -> list[tuple[str, tuple[str, ...]]]:
    """Return label and entries of each header line in the order in which they always stand."""

    def shown(entries: tuple[str, ...]) -> tuple[str, ...]:
        return tuple(in_units(one_line(entry), units) for entry in entries) or (NONE,)

    lines = [
        (COOKER_LABEL, (one_line(header.cooker),)),
        (ZONES_LABEL, shown(header.zones)),
        (TIMERS_LABEL, shown(header.timers)),
        (LID_UP_LABEL, (minute_words(header.lid_up_minutes),)),
    ]
    if header.have_ready:
        lines.append((HAVE_READY_LABEL, shown(header.have_ready)))
    lines.append((OWN_TIMES_LABEL, shown(header.own_times)))
    return lines


def joined(label: str, entries: tuple[str, ...]) -> str:
    """Return the entries of a header line as one line of text."""
    return ("; " if label == TIMERS_LABEL else ", " if label == OWN_TIMES_LABEL else " · ").join(entries)


def as_given(recipe: Recipe) -> tuple[str, ...]:
    """Return servings and times as they stand in the recipe; they are its own, not ours."""
    servings = one_line(recipe.servings or "")
    if servings and not any(sign.isalpha() for sign in servings):
        servings = f"serves {servings}"
    times = [f"time {time}" if time[:1].isdigit() else time for time in map(one_line, recipe.stated_times)]
    return tuple(entry for entry in (servings, *times) if entry)


def title_of(result: Result) -> str:
    """Return the title, or a plain word where the recipe has none."""
    return one_line(result.reading.recipe.title) or UNNAMED


# --- ingredients, method, notes ---------------------------------------------------------------------


def ingredient_parts(recipe: Recipe) -> list[tuple[str | None, list[Ingredient]]]:
    """Return the ingredients under the sub-headings of their parts, in the order of the recipe.

    The sub-heading is the last heading above an ingredient that is more than
    the word "Ingredients"; steps and notes between end the part.
    """
    text = recipe.document.text
    above: dict[int, str | None] = {}  # start of an ingredient -> its part
    headed = False  # the block before was a heading
    name: str | None = None
    for kind, span in recipe.layout:
        if kind == "heading":
            words = _HEADING_MARKS.sub("", one_line(text[span.start : span.end]))
            if not _INGREDIENTS_WORD.match(words):
                name = words or None
            elif not headed:
                name = None
            headed = True
            continue
        headed = False
        if kind == "ingredient":
            above[span.start] = name
        else:
            name = None
    groups: list[tuple[str | None, list[Ingredient]]] = []
    for item in recipe.ingredients:
        part = above.get(item.span.start)
        if not groups or groups[-1][0] != part:
            groups.append((part, []))
        groups[-1][1].append(item)
    if len(groups) == 1:  # one heading over them all is the heading of the list, whatever its words
        return [(None, groups[0][1])]
    return groups


def step_parts(steps: tuple[WrittenStep, ...]) -> list[tuple[str | None, list[WrittenStep]]]:
    """Return the steps under the sub-headings of their parts."""
    groups: list[tuple[str | None, list[WrittenStep]]] = []
    for step in steps:
        name = (one_line(step.part) or None) if step.part else None
        if not groups or groups[-1][0] != name:
            groups.append((name, []))
        groups[-1][1].append(step)
    return groups


def own_notes(recipe: Recipe) -> list[str]:
    """Return the notes of the recipe as they stand in it."""
    text = recipe.document.text
    return [note for span in recipe.notes if (note := text[span.start : span.end].strip())]


# --- the lists --------------------------------------------------------------------------------------


def quoted(text: str) -> str:
    """Return original words for a line of the lists: one line, the middle of a long one left out."""
    text = straight(text)
    if len(text) <= LONGEST_QUOTE:
        return text
    half = LONGEST_QUOTE // 2
    head = text[:half].rsplit(" ", 1)[0]
    tail = text[-half:].split(" ", 1)[-1]
    return f"{head} … {tail}"


def source_names(source: str) -> str:
    """Return who published each source of a flag; the titles stand in the JSON form."""
    names = dict.fromkeys(entry.split(": ", 1)[0].strip() for entry in source.split("; "))
    return "; ".join(name for name in names if name)


def flag_line(flag: Flag, units: str) -> Line:
    """Return one line of the lists: where, the original words, then message; why (source); or: choices."""
    why = flag.why
    if flag.level == "caution" and flag.source:
        names = source_names(flag.source)
        if names not in why:
            why = f"{why} ({names})" if why else names
    said = [text for text in (flag.message, why) if text]
    said += [f"or: {choice}" for choice in flag.choices if choice]
    words = in_units(one_line("; ".join(said)), units)
    if words and words[-1] not in ".!?…":
        words += "."
    return Line(f"Step {flag.step}" if flag.step > 0 else "The recipe", quoted(flag.text), words)


def flags_of(result: Result, level: str) -> list[Flag]:
    """Return the flags of one level, in the order of the steps."""
    return sorted((flag for flag in result.flags if flag.level == level), key=lambda flag: (flag.step, flag.span))


def line_words(line: Line) -> str:
    """Return a line of the lists as plain text."""
    start = f'{line.where}, "{line.quote}"' if line.quote else line.where
    return f"{start} → {line.said}" if line.said else start


def lines_of(result: Result, level: str) -> list[Line]:
    """Return the lines of one level."""
    return [flag_line(flag, result.units) for flag in flags_of(result, level)]


def further_notes(result: Result) -> list[str]:
    """Return the notes that belong to no words of the recipe."""
    return [in_units(note, result.units) for text in result.notes if (note := one_line(text))]
