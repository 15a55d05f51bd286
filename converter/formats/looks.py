"""The lines of a text with what each looks like: a title, a heading, an item, how far it stands off."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from converter.read import shapes

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

RULE = re.compile(r"[ \t]*(?:[-=_*~#+.] ?){3,}[ \t]*$")
LABEL = re.compile(r"(?i)[ \t]*(?:#{1,3}[ ]*)?(?:title|recipe(?: name)?|name)[ ]*:[ ]*(?=\S)")
HASH = re.compile(r"[ ]{0,3}(#{1,6})[ ]+\S")
ITEM = re.compile(r"[ \t>]*(?:\(?\d{1,2}[.)](?=\s|[A-Za-z])|[-•◦‣▪●*+](?=\s)|(?i:step)\s+\d)")
_ORIGIN = re.compile(
    r"(?i)(?:from|by|adapted|source|recipe by|courtesy|via|thanks|page|photo|copyright|http|www\.)\b|[(©]"
)
_OPEN_END = re.compile(r"(?i)\b(?:and|with|of|in|on|the|a|for|or|&)$")
_SENTENCES = re.compile(r"[.!?] ")
FARAWAY = 14
"""Lines with words that a title may stand above its list of ingredients; a round figure, by judgement."""


class Parts:
    """The lines of a text with what each looks like."""

    def __init__(self, lines: list[str], heads: Mapping[int, int], pages: Collection[int]) -> None:
        self.lines = lines
        self.heads = heads
        self.pages = frozenset(pages)
        self.plain = [shapes.bare(line.replace("\f", " ")).strip() for line in lines]
        self.sections = [self.section(at) for at in range(len(lines))]
        self.anchored = sum(1 for kind in self.sections if kind == "ingredients")

    def section(self, at: int) -> str | None:
        line = self.plain[at]
        if not line or len(line) > 200:
            return None
        named = shapes.section(line) if len(line) < 60 else None
        if named is None and 0 < line.find(":") < 34:
            opened = shapes.opening(line)
            named = opened[0] if opened else None
        return named

    def over_list(self, at: int) -> bool:
        """Whether most lines below are goods with quantities, but for lines that state servings and times."""
        if shapes.QUANTITY.match(self.plain[at]):
            return False
        amounts = seen = 0
        for below in range(at + 1, min(at + 10, len(self.lines))):
            found = ITEM.match(self.lines[below])
            line = self.lines[below][found.end() :].strip() if found else self.plain[below]
            if not line or shapes.meta(line) is not None:
                continue
            seen += 1
            if shapes.QUANTITY.match(line) and shapes.ingredient(line):
                amounts += 1
            elif not shapes.ingredient(line) or len(line) > 60:
                return False
            if seen == 4 or amounts == 2:
                break
        return amounts >= 2

    # ------------------------------------------------------------ titles

    def titled(self, at: int) -> bool:
        """Whether a line may be a title by itself."""
        line, raw = self.plain[at], self.lines[at]
        if not 2 < len(line) <= 90 or self.sections[at] is not None or RULE.match(raw):
            return False
        if line.endswith((",", ";")) or (raw.rstrip().endswith((":", ".", "!")) and not self.marked(at)):
            return False
        if ITEM.match(raw) and not HASH.match(raw):
            return False
        if shapes.meta(line) is not None or _ORIGIN.match(line):
            return False
        if not (line[0].isupper() or line[0].isdigit() or line[0] in "\"'“‘¡¿"):
            return False
        if shapes.QUANTITY.match(line) and shapes.AMOUNT.search(line):
            return False
        told = shapes.HEAT.search(line) or _SENTENCES.search(line)
        return not (told and len(line) > 40 and shapes.instruction(line))

    def marked(self, at: int) -> bool:
        return at in self.heads or HASH.match(self.lines[at]) is not None

    def named_part(self, at: int) -> bool:
        """Whether a title-like line is the name of a part of a recipe: "For the icing"."""
        line = self.plain[at]
        said = line.lower().split()
        if not said or self.gap(at) == 2:
            return False
        return said[0] in ("for", "to", "the") or (len(said) == 1 and said[0] in shapes.words().parts)

    def gap(self, at: int) -> int:
        """How far a line stands off what is above it: 0 none, 1 a blank line, 2 more, a rule or a page."""
        if at in self.pages or "\f" in self.lines[at] or at == 0:
            return 2 if at else 1
        blank = 0
        for above in range(at - 1, -1, -1):
            line = self.lines[above]
            if "\f" in line or RULE.match(line):
                return 2
            if line.strip():
                break
            blank += 1
            if above == 0:
                return 1
        return min(blank, 2)

    def title_above(self, anchor: int, floor: int = 0) -> int | None:
        """Return the line of the title above the line `anchor` of a list of ingredients."""
        best: tuple[int, int] | None = None
        seen = 0
        top = min((level for level in self.heads.values() if level), default=0)
        for at in range(min(anchor, len(self.lines)) - 1, floor - 1, -1):
            if not self.plain[at]:
                continue
            seen += 1
            raw = self.lines[at]
            if seen > FARAWAY or (ITEM.match(raw) and not HASH.match(raw)) or self.sections[at] == "method":
                break
            if not self.titled(at) or (self.named_part(at) and anchor < len(self.lines)):
                continue
            level = self.heads.get(at, -1)
            hashed = HASH.match(raw)
            score = self.gap(at) + 1
            if LABEL.match(raw) or (level == top and level > 0):
                score = 6
            elif level >= 0 or hashed:
                score = 5 if not hashed or len(hashed[1]) < 3 else 4
            elif self.plain[at].isupper() and len(self.plain[at]) > 3:
                score = 4
            if best is None or score > best[0]:
                best = (score, at)
        if best is None:
            return None
        at = best[1]
        return at - 1 if self.wrapped(at) and at - 1 >= floor else at

    def wrapped(self, at: int) -> bool:
        """Whether a title goes on from the line above it."""
        if at == 0 or not self.titled(at - 1) or self.marked(at) or self.marked(at - 1):
            return False
        above = self.plain[at - 1]
        if shapes.QUANTITY.match(self.plain[at]):
            return False
        below = self.plain[at + 1] if at + 1 < len(self.plain) else ""
        if shapes.QUANTITY.match(below) and shapes.meta(below) is None:  # the first of the goods
            return False
        if _OPEN_END.search(above):
            return True
        return self.gap(at - 1) > 0 and len(above) > 30 and self.gap(at) == 0 and len(self.plain[at]) < len(above)

    def title_at(self, at: int) -> tuple[str | None, int]:
        """Return the title that begins on a line, and the line after it."""
        if at >= len(self.lines) or not (self.titled(at) or LABEL.match(self.lines[at])):
            return None, at
        line = self.lines[at]
        label = LABEL.match(line)
        title = shapes.bare(line[label.end() :] if label else line).replace("\f", "").strip()
        if label is None and at + 1 < len(self.lines) and self.titled(at + 1) and self.wrapped(at + 1):
            return f"{title} {self.plain[at + 1]}", at + 2
        return title or None, at + 1
