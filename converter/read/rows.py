"""Cuts a document into rows: lines with words on them, by marker, place and heading."""

from __future__ import annotations

import re
from typing import NamedTuple

from converter.read import shapes
from converter.read.text import NotReadable

_MARKS = frozenset("0123456789(-•◦‣▪●○✓·▢☐□–—*+|#=_~>Ss①②③④⑤⑥⑦⑧⑨⑩⑪⑫⑬⑭⑮⑯⑰⑱⑲⑳\u2010\u2011:")
_FRONT = re.compile(r"\s*---[ ]*\n(?P<yaml>.{0,4000}?)\n(?:---|\.\.\.)[ ]*(?:\n|$)", re.DOTALL)
_COUNTED = re.compile(r"(\d{1,2})(?:$|[ ]+(?=[A-Z][a-z]))")
_SECOND = re.compile(r"\n[ ]*2[ ]+[A-Z][a-z]")
_INSIDE = re.compile(r"(?<=[.;,!)] )(?:Ingredients|Method|Directions|Instructions|Procedure|Preparation)(?=[ ]?: )")
_PARTING = re.compile(r"[()]|[;•]|,(?=\s|$)")

MOST_ROWS = 200_000
"""Most lines with words on them; a round figure, by judgement."""


class Row(NamedTuple):
    """One line with words on it. ``start`` and ``end`` leave out marker and outer spaces."""

    kind: str
    start: int
    end: int
    indent: int
    gap: bool
    text: str
    section: str | None


def _counts(words: str, text: str, end: int) -> bool:
    """Tell a method that counts without full stops ("1 Heat ...", "2 Cut ...") from a list ("1 lemon")."""
    return bool(_COUNTED.match(words) and shapes.instruction(words[2:]) and _SECOND.search(text, end, end + 900))


def rows_of(text: str, at: int, name: str) -> list[Row]:
    rows: list[Row] = []
    gap = True
    marker, section = shapes.MARKER.match, shapes.section
    waiting: Row | None = None
    expected = ""  # the number of the next step, where a method counts without full stops
    for line in text[at:].split("\n"):
        after = at + len(line) + 1
        words = line.strip()
        if not words:
            gap = True
            at = after
            continue
        indent = line.index(words[0])
        start, end, kind = at + indent, at + indent + len(words), "plain"
        found = marker(words) if words[0] in _MARKS else None
        if found is not None and found.lastgroup is not None:
            kind = found.lastgroup
            if kind == "rule":
                gap = True
                at = after
                continue
            start += found.end()
            if start < end:
                words = text[start:end]
                if words[0] == " ":
                    words = words.lstrip()
                    start = end - len(words)
            else:
                words = ""
                start = end
            if line[indent] == "|" and words.endswith("|"):
                words = words[:-1].rstrip()
                end = start + len(words)
        if kind == "plain" and words.startswith(("**", "__")) and words.endswith(("**", "__", "**:", "__:")):
            kind = "hash"
        if not words:
            waiting = Row(kind, start, end, indent, gap, "", None) if kind == "number" else None
            at = after
            continue
        if not expected and gap and kind == "plain" and words.startswith("1 ") and _counts(words, text, end):
            expected = "1"
        if expected and kind == "plain" and (words[0] == expected[0] or words[0] == "1"):
            counted = _COUNTED.match(words)
            if counted is not None and int(counted[1]) in (1, int(expected)):
                expected = str(int(counted[1]) + 1)
                if counted.end() == len(words):
                    waiting = Row("number", end, end, indent, gap, "", None)
                    at = after
                    continue
                kind, start, words = "number", start + counted.end(), words[counted.end() :]
        if waiting is not None:
            if kind == "plain":
                kind, gap = "number", waiting.gap
            waiting = None
        named = section(words) if len(words) < 60 and (kind == "plain" or kind == "hash" or len(words) < 16) else None
        if named is not None:
            expected = "1" if named == "method" else ""
        elif kind == "plain" and len(words) > 60 and ":" in words:
            base = start
            for found in _INSIDE.finditer(words):
                before = text[start : base + found.start()].rstrip()
                rows.append(Row(kind, start, start + len(before), indent, gap, before, None))
                start, gap = base + found.start(), False
            words = text[start:end]
        rows.append(Row(kind, start, end, indent, gap, words, named))
        gap = False
        at = after
        if len(rows) > MOST_ROWS:
            raise NotReadable(f"{name} is too long for a recipe: more than {MOST_ROWS:,} lines.")
    return rows


def listed(text: str, start: int, end: int) -> list[tuple[int, int]]:
    """Return the items of a list on one line: parted by semicolons, else by commas outside brackets."""
    body = text[start:end]
    sign = ";" if ";" in body else "•" if "•" in body else ","
    pieces: list[tuple[int, int]] = []
    depth, first = 0, 0
    for found in _PARTING.finditer(body + sign):
        mark, at = found.group(), found.start()
        if mark == "(":
            depth += 1
        elif mark == ")":
            depth = max(0, depth - 1)
        elif mark[0] == sign and (not depth or at == len(body)):
            words = body[first:at].strip()
            if words:
                place = start + body.index(words[0], first)
                pieces.append((place, place + len(words)))
            first = found.end()
    return pieces


def front_matter(text: str) -> tuple[int, dict[str, str]]:
    """Return where the front matter ends and its plain values; broken front matter has none."""
    if not text.lstrip().startswith("---"):
        return 0, {}
    found = _FRONT.match(text)
    if found is None:
        return 0, {}
    import yaml

    try:
        made = yaml.load(found["yaml"], Loader=yaml.BaseLoader)
    except (yaml.YAMLError, ValueError, RecursionError):
        made = None
    values: dict[str, str] = {}
    if isinstance(made, dict):
        for key, value in made.items():
            if isinstance(key, str) and isinstance(value, str) and value.strip():
                values[key.strip().lower()] = " ".join(value.split())
    elif ":" not in found["yaml"]:
        return 0, {}
    return found.end(), values
