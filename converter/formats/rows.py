"""The words of a set page in rows, without page heads and feet."""

from __future__ import annotations

import re
from collections import Counter
from dataclasses import dataclass, field
from typing import NamedTuple

from converter.formats.paragraphs import Line

_MARGIN = 0.085
"""Part of the page's height at its edges where page heads and feet stand."""
_PAGE_NUMBER = re.compile(r"(?i)[-–—\s]*(?:page\s*)?\d{1,4}(?:\s*(?:of|/)\s*\d{1,4})?[-–—\s]*$")
_MARK = re.compile(r"(?:[•◦‣▪●○·\uf0b7\uf0a7☐□*–-]|\(?\d{1,2}[.)])$")


class Word(NamedTuple):
    """One word: left and right edge, base line and size in points; y counts upwards."""

    left: float
    right: float
    base: float
    size: float
    text: str
    bold: bool = False
    hyphen: bool = False
    """The line breaks inside this word."""


@dataclass(slots=True)
class Page:
    """The words of one page, in the order in which they are drawn."""

    width: float
    height: float
    words: list[Word] = field(default_factory=list)


Row = list[Word]



def rows_of(words: list[Word]) -> list[Row]:
    """Return the words by their base lines, from the top of the page, each row from left to right."""
    rows: list[Row] = []
    base = 0.0
    for word in sorted(words, key=lambda word: -word.base):
        if rows and base - word.base < 0.45 * min(word.size, rows[-1][0].size):
            rows[-1].append(word)
        else:
            rows.append([word])
            base = word.base
    for row in rows:
        row.sort(key=lambda word: word.left)
    return rows


def said(row: Row) -> str:
    """Return the words of a row."""
    return " ".join(word.text for word in row)


def bodies(pages: list[Page], body: float) -> list[list[Row]]:
    """Return the rows of each page without page heads and feet."""
    rowed = [rows_of(page.words) for page in pages]
    seen: Counter[str] = Counter()
    for page, rows in zip(pages, rowed, strict=True):
        seen.update({_counted(said(row)) for row in rows if _edge(row, page)})
    made: list[list[Row]] = []
    for page, rows in zip(pages, rowed, strict=True):
        made.append([row for row in rows if not (_edge(row, page) and _outside(row, body, seen, len(pages)))])
    return made


def _edge(row: Row, page: Page) -> bool:
    return row[0].base < _MARGIN * page.height or row[0].base > (1 - _MARGIN) * page.height


def _counted(words: str) -> str:
    return re.sub(r"\d+", "#", words)


def _outside(row: Row, body: float, seen: Counter[str], pages: int) -> bool:
    words = said(row)
    if _PAGE_NUMBER.match(words) or max(word.size for word in row) < 0.92 * body:
        return True
    return pages > 1 and seen[_counted(words)] > max(1, pages // 2) and max(word.size for word in row) < 1.2 * body


def stretches(row: Row) -> list[tuple[float, float]]:
    """Return the parts of a row with no wide gap in them: (left, right). A list mark belongs to what follows it."""
    made: list[tuple[float, float]] = []
    for at, word in enumerate(row):
        marked = bool(made) and row[at - 1].left == made[-1][0] and _MARK.match(row[at - 1].text) is not None
        if made and word.left - made[-1][1] < (3.0 if marked else 0.75) * word.size:
            made[-1] = (made[-1][0], max(made[-1][1], word.right))
        else:
            made.append((word.left, word.right))
    return made


def line_of(row: Row, column: int) -> Line:
    hyphen = row[-1].hyphen
    heavy = sum(len(word.text) for word in row if word.bold) > 0.9 * sum(len(word.text) for word in row)
    return Line(
        said(row), row[0].left, max(word.right for word in row), row[0].base, max(word.size for word in row),
        row[0].right - row[0].left, column, heavy, hyphen,
    )  # fmt: skip
