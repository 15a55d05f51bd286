"""One rendering of a flag or an error for the terminal.

Quotes the line of the file as it was given, never what was made of it. Knows
nothing of streams: a `Style` says what the place it goes to can show.
"""

from __future__ import annotations

import codecs
import unicodedata
from collections import Counter
from dataclasses import dataclass
from textwrap import wrap
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from converter.model import Document, Flag, Result, Span

TAB = 4
_COLOURS = {"error": "1;31", "caution": "1;31", "judgement": "1;33", "note": "1;36"}
_ORDER = ("caution", "judgement", "note")
# Spelt out where the terminal's own encoding has no such sign.
_SPELT = {
    "–": "-", "—": "-", "−": "-", "×": "x", "°": "deg ", "½": "1/2", "⅓": "1/3", "⅔": "2/3", "¼": "1/4",
    "¾": "3/4", "’": "'", "‘": "'", "“": '"', "”": '"', "…": "...", "→": "->", "•": "*", "·": "-", "≤": "<=", "≥": ">=",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Style:
    """What the place that is printed to can show; `width` counts columns."""

    colour: bool = False
    drawn: bool = False
    width: int = 100
    encoding: str = "utf-8"


PLAIN = Style()


def style_of(*, tty: bool, environ: Mapping[str, str], encoding: str | None, width: int = 100) -> Style:
    """Return the style for a stream: plain off a terminal, under NO_COLOR and on a dumb one."""
    lively = tty and not environ.get("NO_COLOR") and environ.get("TERM", "") != "dumb"
    try:
        encoding = codecs.lookup(encoding or "ascii").name
    except LookupError:
        encoding = "ascii"
    return Style(
        colour=lively,
        drawn=lively and encoding == "utf-8",
        width=max(40, min(width, 120)),
        encoding=encoding,
    )


def spell(text: str, encoding: str) -> str:
    """Return `text` with signs that `encoding` lacks spelt out, and ``?`` for the rest."""
    try:
        text.encode(encoding)
        return text
    except UnicodeEncodeError as error:
        # One sign at a time is slow; it is done only for a text that needs it.
        first = error.start
    made = [text[:first]]
    for sign in text[first:]:
        try:
            sign.encode(encoding)
            made.append(sign)
        except UnicodeEncodeError:
            made.append(_SPELT.get(sign, "?"))
    return "".join(made)


def columns(sign: str) -> int:
    """Return how many columns of a terminal one character takes: 0, 1 or 2."""
    if unicodedata.combining(sign) or unicodedata.category(sign) in ("Mn", "Me", "Cf"):
        return 0
    return 2 if unicodedata.east_asian_width(sign) in "WF" else 1


def _shown(sign: str, at: int) -> str:
    """One character as it is safe to print: tabs to their stop, no terminal or direction controls."""
    if sign == "\t":
        return " " * (TAB - at % TAB)
    kind = unicodedata.category(sign)
    if kind in ("Cc", "Cs", "Zl", "Zp") or sign in "\u202a\u202b\u202c\u202d\u202e\u2066\u2067\u2068\u2069":
        return "?"
    return sign


def _steady(words: str) -> str:
    return words if words.isascii() and words.isprintable() else "".join(_shown(sign, 0) for sign in words)


def _cells(line: str) -> list[tuple[str, int]]:
    """The line as (what is printed, its columns) for each of its characters."""
    made: list[tuple[str, int]] = []
    at = 0
    for sign in line:
        shown = _shown(sign, at)
        size = len(shown) if sign == "\t" else columns(shown)
        made.append((shown, size))
        at += size
    return made


def _cut(cells: list[tuple[str, int]], start: int, end: int, room: int) -> tuple[int, int]:
    """The characters [first, last) around the words that fit in `room` columns."""
    first, last, used = start, start, 0
    while last < end and used + cells[last][1] <= room:
        used += cells[last][1]
        last += 1
    while True:
        before = first > 0 and used + cells[first - 1][1] <= room
        if before:
            first -= 1
            used += cells[first][1]
        after = last < len(cells) and used + cells[last][1] <= room
        if after:
            used += cells[last][1]
            last += 1
        if not before and not after:
            break
    # Whole words at both cuts.
    while 0 < first < start and cells[first - 1][0] != " ":
        first += 1
    while end < last < len(cells) and cells[last][0] != " ":
        last -= 1
    return first, last


def quote(document: Document, span: Span, *, style: Style = PLAIN, mark: str = "") -> list[str]:
    """Return the line of the file that `span` begins on and the row of marks under its words.

    A long line is cut around the words to `style.width` columns. `mark` is
    the colour of the marks, as a terminal code.
    """
    origin = document.origin(span)
    source = document.source
    begin = source.rfind("\n", 0, origin.start) + 1
    stop = source.find("\n", origin.start)
    line = source[begin : len(source) if stop < 0 else stop].rstrip("\r")
    number = str(source.count("\n", 0, origin.start) + 1)
    start = min(origin.start - begin, len(line))
    end = max(start, min(origin.end - begin, len(line)))
    cells = _cells(line)
    gutter = " " * 2
    room = style.width - len(gutter) - len(number) - 3
    first, last = 0, len(cells)
    if sum(size for _, size in cells) > room:
        first, last = _cut(cells, start, end, room - 8)
    head, tail = ("... " if first else ""), (" ..." if last < len(cells) else "")
    bar, under = ("│", "━") if style.drawn else ("|", "^")
    pad = len(head) + sum(size for _, size in cells[first:start])
    wide = max(1, sum(size for _, size in cells[start : min(end, last)]))
    text = head + "".join(shown for shown, _ in cells[first:last]) + tail
    return [
        f"{gutter}{number} {bar} {text}".rstrip(),
        f"{gutter}{' ' * len(number)} {bar} {' ' * pad}{paint(under * wide, mark, style)}",
    ]


def paint(text: str, code: str, style: Style) -> str:
    """Return `text` in a colour where `style` has colours."""
    return f"\x1b[{code}m{text}\x1b[0m" if style.colour and code else text


def _wrapped(text: str, width: int) -> list[str]:
    # A figure and its degree sign stay together.
    lines = wrap(" ".join(text.split()).replace(" °", "\xa0°"), width=width, break_long_words=False)
    return [line.replace("\xa0", " ") for line in lines] or [""]


def _tell(label: str, text: str, style: Style) -> list[str]:
    lines = _wrapped(text, style.width - 10)
    return [f"  {label:<8}{lines[0]}", *(f"{'':10}{line}" for line in lines[1:])]


def place_words(document: Document, span: Span) -> str:
    """Return ``file:line:column`` of the start of `span` in the file as it was given."""
    line, column = document.place(span)
    return f"{document.name}:{line}:{column}"


def flag_line(flag: Flag, document: Document, *, style: Style = PLAIN) -> str:
    """Return a flag as one line."""
    level = paint(f"{flag.level}[{flag.name}]", _COLOURS.get(flag.level, ""), style)
    return spell(f"{level} {place_words(document, flag.span)}: {' '.join(flag.message.split())}", style.encoding)


def flag_block(flag: Flag, document: Document, *, style: Style = PLAIN) -> str:
    """Return a flag with the line it is about, why, and what the cook can choose."""
    code = _COLOURS.get(flag.level, "")
    where = place_words(document, flag.span)
    lines = [
        f"{paint(f'{flag.level}[{flag.name}]', code, style)} {where} (step {flag.step})",
        *(f"  {line}" for line in _wrapped(flag.message, style.width - 2)),
        *quote(document, flag.span, style=style, mark=code),
    ]
    if flag.why:
        lines += _tell("why", flag.why, style)
    for choice in flag.choices:
        lines += _tell("choice", choice, style)
    if flag.source:
        lines += _tell("source", flag.source, style)
    lines += _tell("more", f"undial explain {flag.name}", style)
    return spell("\n".join(lines), style.encoding)


def error_line(message: str, *, style: Style = PLAIN) -> str:
    """Return an error as one line; what could steer the terminal, as in a name of a file, is a question mark."""
    words = _steady(" ".join(message.split()))
    return spell(f"{paint('error', _COLOURS['error'], style)}: {words}", style.encoding)


def by_level(flags: Iterable[Flag]) -> list[Flag]:
    """Return the flags, cautions first, each level in the order of the recipe."""
    return sorted(flags, key=lambda flag: (_ORDER.index(flag.level), flag.span.start, flag.name))


def _many(count: int, one: str, more: str) -> str:
    return f"{count} {one if count == 1 else more}"


def summary(result: Result) -> str:
    """Return one line: what was converted for which cooker, and how many flags."""
    name = _steady(result.reading.recipe.document.name)
    if not result.reading.phases:
        return f"{name}: no heat in this recipe; given back as it is"
    placed = sum(1 for placement in result.placements if placement.moves)
    own = sum(1 for placement in result.placements if placement.in_own_words)
    left = len(result.placements) - placed - own
    count = Counter(flag.level for flag in result.flags)
    parts = [f"{name}: {_many(placed, 'stretch', 'stretches')} of heat placed for {result.cooker}"]
    if own:
        parts.append(f"{own} in your own words or as it was")
    if left:
        parts.append(f"{left} that this cooker cannot do")
    if result.flags:
        parts.append(_many(count["caution"], "caution", "cautions"))
        parts.append(f"{count['judgement']} for your judgement")
        parts.append(_many(count["note"], "note", "notes"))
    else:
        parts.append("nothing flagged")
    return ", ".join(parts)
