"""What a single line of a recipe looks like: its marker, its heading, its quantity, its verb.

The words stand in ``lexicon/layout.yaml``.
"""

from __future__ import annotations

import re
from functools import cache, lru_cache
from typing import NamedTuple

from converter import data

_FRACTION = "½¼¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"

MARKER = re.compile(
    r"[ >]*+(?:(?P<number>\*{0,2}(?:"
    r"\(?\d{1,2}[.)](?:\*\*)?(?:[ ]+|(?=[^\W\d_])|$)|\d\ufe0f?\u20e3[ ]*|[①-⑳][ ]*"
    r"|(?i:step)[ ]+(?:\d{1,2}|(?i:one|two|three|four|five|six|seven|eight|nine|ten))\b"
    r"(?:\*\*)?[ ]*(?:[:.)–—-]+(?:\*\*)?[ ]*|$)))"
    r"|(?P<rule>[-=_*~#+|: ]{3,}+$)"
    r"|(?P<hash>\#{1,6}[ ]*)"
    r"|(?P<bullet>(?:[•◦‣▪●○✓·▢☐□–—*+|]|-(?!-)|\u2010|\u2011)(?<!\*(?=\*))[ ]*"
    r"(?:\[[ xX]?\][ ]*|[☐▢□•*][ ]+)?(?=[^ *]|\*\*|$)))"
)
"""Number, bullet, heading mark or rule at the start of a line; the text begins at the end of the match."""

QUANTITY = re.compile(
    rf"[~≈]?[ ]?(?:(?i:about|approx\.?|approximately|a|an|one|two|three|four|five|six|half|"
    rf"few|handful|pinch|dash|knob|(?:splash|drizzle|squeeze|juice|zest) of|grated zest|sprigs?)[ ]|[\d{_FRACTION}])"
)
"""The start of an ingredient line that says how much."""

AMOUNT = re.compile(
    rf"(?:\d|[{_FRACTION}])[ ]?(?i:g|kg|mg|ml|cl|dl|l|oz|lb|lbs|tsp|tbsp|tbs|cups?|ounces?|pounds?|pints?|teaspoons?|"
    rf"tablespoons?|litres?|liters?|grams?|cloves?|tins?|cans?|slices?|sticks?|large|medium|small|eggs?|packets?)\b"
)

_KEYS = ("headings", "parts", "verbs", "leads", "hyphen_before", "hyphen_after", "tellers")
SECTIONS = ("ingredients", "method", "notes", "meta", "intro")


class Words(NamedTuple):
    """The word lists of lexicon/layout.yaml; ``headings`` gives the section that a heading opens."""

    headings: dict[str, str]
    parts: frozenset[str]
    verbs: frozenset[str]
    leads: frozenset[str]
    hyphen_before: frozenset[str]
    hyphen_after: frozenset[str]
    tellers: frozenset[str]


@cache
def words() -> Words:
    """Return the word lists; raises ``DataError`` where the file has another shape."""
    table = data.expect_keys(data.lexicon("layout"), required=_KEYS, where="lexicon/layout.yaml")
    named = data.expect_keys(table["headings"], required=SECTIONS)
    headings: dict[str, str] = {}
    for kind in SECTIONS:
        for heading in named[kind]:
            if not isinstance(heading, str) or heading in headings:
                raise data.DataError(named.at(kind), f"'{heading}' is no text or is listed twice")
            headings[heading] = kind
    lists: list[frozenset[str]] = []
    for key in _KEYS[1:]:
        if not isinstance(table[key], list) or not all(isinstance(word, str) for word in table[key]):
            raise data.DataError(table.at(key), f"'{key}' must be a list of words")
        lists.append(frozenset(table[key]))
    return Words(headings, *lists)


HEAT = re.compile(
    r"\d\s?(?:°|º|˚|degrees?\b|[CF]\b)|(?i:\bgas (?:mark )?\d|\boven\b|\bsimmer|\b(?:pre)?heat\b|\bboil"
    r"|\bbak(?:e|ed|ing)\b|\bfry\b|\broast\b|\bgrill\b|\bpan\b|\bhob\b|\bstir\b"
    r"|\bcook (?:for|until|over|on|in|it|the|them|at|gently|slowly)\b|\b\d+ ?(?:min|minutes?|mins|hours?|hrs?)\b)"
)
"""Words or figures of heating: what a method has and a letter has not."""

SERVINGS = re.compile(
    r"(?i)(?:(?:serves|servings?|yields?|makes|portions?|quantity|serving size)\b"
    r"(?:[ ]*[:=–—-][ ]*|[ ]+(?=(?:(?:about|approximately|approx\.?|around|up to|at least) )?"
    rf"(?:[\d{_FRACTION}]|an? |one |two |three |four |five |six |eight |ten |twelve |enough )))(?P<value>.*\S)"
    r"|(?P<bare>for[ ]+\d+(?:[ ]*[-–][ ]*\d+)?[ ]+(?:people|persons?|servings|portions))[.]?$"
    r"|(?P<after>\d+(?:[ ]*[-–][ ]*\d+)?[ ]+(?:servings?|portions?))[.]?$)"
)
TIMES = re.compile(
    r"(?i)(?:(?P<plain>time|total time|total|time needed|time required)[ ]*[:=–—-][ ]*(?P<value>.*\S)"
    r"|(?:(?:prep(?:aration)?|cook(?:ing)?|baking|bake|active|resting|chilling|rising|proving|oven|hands[ -]on|total"
    r"|roasting|marinating|soaking|freezing)(?:[ ]+and[ ]+\w+)?(?:[ ]+time[ ]*[:=–—-]?|[ ]*:)"
    r"|(?:ready in|prep|total)[ ]*[:=–—-]?)[ ]*"
    r"(?=[~≈<> ]*(?:up to |about |approx\.? |approximately |under |an? |half |less than )?"
    rf"(?:[\d{_FRACTION}]|hour|few|overnight|half|none|varies|varied|time varies))(?:[^.]|[.](?=\S)){{1,120}}[.]?$)"
)
LENGTH = re.compile(rf"(?i)[~≈<> ]*[\d{_FRACTION}].*\b(?:minutes?|mins?|hours?|hrs?|days?)\b")
BOUGHT = re.compile(r"[^\W\d_]+(?:,| or | and | for (?!\d))")
"""Butter, flour, cream: words that are goods as well as verbs, with what shows the goods."""
_META_LINE = re.compile(
    r"(?i)(?:source|author|from|adapted from|by|category|cuisine|course|difficulty|tags?|keywords?|rating|calories"
    r"|energy|url|link|website|date|submitted by|recipe by|oven|level|diet)[ ]*:"
)
_INLINE = re.compile(
    r"[#*_ ]{0,9}(?P<name>[A-Za-z][A-Za-z' ]{2,28}?)[*_ ]{0,9}(?::[*_]{0,9}|[ ][–—-](?=[ ]))[*_ ]++(?=\S)"
)
_PART_LINE = re.compile(r"(?i)(?:for|to make|to serve|to finish|to assemble|making|preparing|assembling)\b")
_FOR_ING = re.compile(r"(?i)ingredients (?:for|\()|(?:you(?:'ll| will)? )need for\b")
_WORD = re.compile(r"[^\W\d_]+(?:[-'’][^\W\d_]+)*")


def bare(line: str) -> str:
    """Return a heading without its marks."""
    return line.lstrip(" \n#*_=~>").rstrip(" \n#*_=~:.")


def section(line: str) -> str | None:
    """Return the section that a heading opens: ingredients, method, notes, meta or intro."""
    return _section(line) if len(line) < 80 else None


@lru_cache(maxsize=512)
def _section(line: str) -> str | None:
    if line.endswith("."):
        return None
    plain = bare(line).replace("’", "'")
    key = plain.lower()
    kind = words().headings.get(key)
    if kind is not None:
        return kind
    cut = re.sub(r"\s*(?:\([^()]*\)|[–—:-]\s*(?:serves|makes|for)\b.*)$", "", key)
    if cut != key and cut:
        return section(cut)
    if _FOR_ING.match(key) and len(key) < 60:
        return "ingredients"
    return None


def opening(line: str) -> tuple[str, int] | None:
    """Return section and offset of the words behind a heading that shares their line ("Method: heat ...")."""
    found = _INLINE.match(line)
    if found is None:
        return None
    kind = section(found["name"])
    return None if kind is None else (kind, found.end())


def instruction(text: str) -> bool:
    """Whether a line or paragraph tells the cook to do something."""
    said = _WORD.findall(text[:200].lower())
    if not said or (len(said) == 1 and text.isalpha()):
        return False
    verbs, leads = words()[2:4]
    first = said[0]
    if first in verbs:
        return True
    return (first.endswith("ly") or first in leads) and any(word in verbs for word in said[1:14])


def tells(text: str) -> bool:
    """Whether a paragraph begins like a story or a remark."""
    found = _WORD.search(text)
    return found is None or found[0].lower() in words().tellers or not text.endswith((".", "!"))


def instructs(text: str) -> bool:
    """Whether some sentence of a paragraph is an instruction, or it speaks of heating."""
    if instruction(text) or HEAT.search(text):
        return True
    return any(instruction(part) for part in re.split(r"[.;!?]\s+", text[:4000])[1:])


def ingredient(text: str) -> bool:
    """Whether a line that stands by itself has the shape of an ingredient."""
    if len(text) > 140:
        return False
    if QUANTITY.match(text):
        return not text.endswith((".", "!")) or len(text) < 50 or AMOUNT.match(text) is not None
    if text.endswith((".", "!", "?")) or len(text) > 90:
        return False
    return BOUGHT.match(text) is not None or (len(text) < 45 and not instruction(text))


def part(line: str, *, marked: bool) -> str | None:
    """Return the name of a part of the recipe if the line is such a sub-heading.

    `marked`: the line carries a heading mark or is set in bold.
    """
    if len(line) > 120:
        return None
    text = line.strip()
    name = bare(text)
    if not name or len(name) > 70 or "\n" in name:
        return None
    if marked:
        return name
    if text.endswith(":") and len(name) <= 60 and ". " not in name:
        return name
    if text[-1] in ".,;!?" or len(name) > 40 or any(sign.isdigit() for sign in name):
        return None
    said, parts = name.lower().split(), words().parts
    if _PART_LINE.match(name) and len(said) <= 6:
        return name
    verb = said[0] in words().verbs and said[0] not in parts
    return name if len(said) <= 4 and not verb and said[-1] in parts and name[0].isupper() else None


def meta(line: str) -> str | None:
    """Return what a line of the header states: servings, time, or other."""
    if len(line) > 160:
        return None
    if SERVINGS.match(line) and len(line) < 80:
        return "servings"
    if TIMES.match(line):
        return "time"
    return "other" if _META_LINE.match(line) else None
