"""Finds the line ends that are only the edge of a page or a window, and the words cut there."""

from __future__ import annotations

import re

from converter.read.shapes import MARKER, QUANTITY, meta, opening, section, words

Edit = tuple[int, int, str]

MAY_WRAP = re.compile(r"\n(?<=[^\n]{18}\n)(?=[ \t]*[^\W\d_(\"'“‘]|[ ]*[\d½¼¾⅓⅔⅛]+(?![.)\d])|[(\"'“‘])")
"""A line of some length with text right below it that is no list item: reason to look closer."""

_LAST_WORD = re.compile(r"([^\W\d_]+)-$")
_FIRST_WORD = re.compile(r"[^\W\d_]+")
_OPEN_END = re.compile(
    r"(?:,|[&/–—]|\b(?i:and|or|the|a|an|of|with|for|to|in|into|until|about|at|on|from|over|then|by|plus|"
    r"is|are|it|your|each|per|between|as|mark|gas))$"
)
_DIGIT_END = re.compile(r"\d[-–]$")
_STOPS = (".", "!", "?", ":", ".”", '."', ".)", ".’")


def _starts(line: str) -> bool:
    """Whether a line begins something new whatever stands above it."""
    if line.startswith(("#", "---", "===", "***", "|", ">")):
        return True
    found = MARKER.match(line)
    if found is not None and found.lastgroup is not None:
        return True
    if line[0].islower() and not line.startswith(("method:", "ingredients:", "directions:", "instructions:")):
        return meta(line) is not None and any(sign.isdigit() for sign in line)
    return meta(line) is not None or section(line) is not None or opening(line) is not None


def _ends(line: str) -> bool:
    """Whether nothing can follow on a line: a heading, a rule, a line of the header."""
    if line.startswith("#") or (line.startswith("**") and line.endswith("**")):
        return True
    if line.endswith(":") and len(line) < 60:
        return True
    if section(line) is not None or meta(line) is not None:
        return True
    found = MARKER.match(line)
    return found is not None and found.lastgroup == "rule"


def _hyphen(above: str, below: str) -> str:
    """Return what stands between two halves that a hyphen at a line's end leaves: nothing, or the hyphen."""
    last, first = _LAST_WORD.search(above), _FIRST_WORD.match(below)
    if last is None or first is None or not first[0][0].islower():
        return "-"
    kept = words()
    if last[1].lower() in kept.hyphen_before or first[0].lower() in kept.hyphen_after:
        return "-"
    return ""


def joins(text: str) -> list[Edit]:
    """Return the edits (start, end, words) that join the wrapped lines of `text`."""
    lines = text.split("\n")
    if len(lines) < 2:
        return []
    plain = [line.strip() for line in lines]
    first = 0
    if plain[0] == "---" and "---" in plain[1:60]:
        first = plain.index("---", 1) + 1
    width = _width(plain, first)
    edits: list[Edit] = []
    at = sum(len(line) + 1 for line in lines[:first])
    where: str | None = None
    item, listed = False, False
    for number in range(first, len(lines) - 1):
        here, below = plain[number], plain[number + 1]
        end = at + len(lines[number])
        next_at = end + 1
        if not here:
            item = listed = False
        elif not edits or edits[-1][1] < at:
            above = number > first and plain[number - 1] != ""
            opened = section(here) if len(here) < 60 and not (above and here[0].islower()) else None
            if opened is not None:
                where, item, listed = opened, False, False
            else:
                found = MARKER.match(lines[number])
                kind = None if found is None else found.lastgroup
                item = kind in ("number", "bullet")
                if kind == "number" and where != "ingredients":
                    where = "method"
                listed = kind != "number" and (
                    where == "ingredients" or (where != "method" and QUANTITY.match(here) is not None)
                )
        if here and below:
            indent = len(lines[number + 1]) - len(lines[number + 1].lstrip(" "))
            made = _between(here, below, item=item, listed=listed, width=width, indent=indent)
            if made is not None and not _starts(below) and not _ends(here):
                start = at + len(lines[number].rstrip(" "))
                if made == "":
                    start -= 1
                edits.append((start, next_at + indent, "" if made == "-" else made))
        at = next_at
    return edits


def _width(plain: list[str], first: int) -> int:
    """Return the length of the longest line that breaks off in mid-sentence; 0 where none does."""
    width = 0
    for number in range(first, len(plain) - 1):
        here, below = plain[number], plain[number + 1]
        if (
            len(here) > max(width, 29)
            and below[:1].islower()
            and not here.endswith(_STOPS)
            and (QUANTITY.match(here) is None or _OPEN_END.search(here))
        ):
            width = len(here)
    return width


def _between(here: str, below: str, *, item: bool, listed: bool, width: int, indent: int) -> str | None:
    """Return what joins two lines: a space, a hyphen, nothing ("") to drop a hyphen, or ``None`` to keep them apart."""
    lower = below[0].islower()
    if here.endswith("-") and not here.endswith(" -") and (lower or (below[0].isdigit() and _DIGIT_END.search(here))):
        return _hyphen(here, below) if lower else "-"
    if here.endswith("–") and _DIGIT_END.search(here) and below[0].isdigit():
        return "-"
    if item and indent >= 2:
        return " "
    quantity = QUANTITY.match(below) is not None
    open_end = len(here) >= 12 and _OPEN_END.search(here) is not None
    fills = width > 0 and len(here) + 1 + len(below.split(" ", 1)[0]) > width
    if listed and not item:
        return " " if not quantity and (open_end or (fills and lower)) else None
    if item and listed:
        return " " if open_end or (not quantity and (lower or fills)) else None
    if lower and not here.endswith((".", "!", "?", ":")) and (item or len(here) >= 25):
        return " "
    if open_end:
        return " "
    if fills and (item or len(here) >= 25):
        return " "
    return None
