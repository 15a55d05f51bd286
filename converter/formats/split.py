"""Parts a text that holds several recipes, and finds where each begins and ends.

Signs, the strongest first: headings by style or mark, a list of ingredients
under its heading, title labels, rules, page breaks, wide gaps and lines in
capitals before a title. A cut that leaves a piece without method is no cut.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from converter.read import shapes

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

Recipe = tuple[str | None, str]

_RULE = re.compile(r"[ \t]*(?:[-=_*~#+.] ?){3,}[ \t]*$")
_LABEL = re.compile(r"(?i)[ \t]*(?:#{1,3}[ ]*)?(?:title|recipe(?: name)?|name)[ ]*:[ ]*(?=\S)")
_HASH = re.compile(r"[ ]{0,3}(#{1,6})[ ]+\S")
ITEM = re.compile(r"[ \t>]*(?:\(?\d{1,2}[.)](?=\s|[A-Za-z])|[-•◦‣▪●*+](?=\s)|(?i:step)\s+\d)")
_ORIGIN = re.compile(
    r"(?i)(?:from|by|adapted|source|recipe by|courtesy|via|thanks|page|photo|copyright|http|www\.)\b|[(©]"
)
_OPEN_END = re.compile(r"(?i)\b(?:and|with|of|in|on|the|a|for|or|&)$")
_FARAWAY = 14
"""Lines with words that a title may stand above its list of ingredients; a round figure, by judgement."""
_MOST_LINES = 200_000


def split(
    text: str, *, heads: Mapping[int, int] | None = None, pages: Collection[int] = ()
) -> tuple[list[Recipe], list[str]]:
    """Return the recipes of `text` as (title or ``None``, text), and warnings.

    `heads` gives the level of lines that are headings by their style (0 = not
    known), `pages` the lines that begin a page. A text with one recipe is
    given back whole; front matter before the first of several is left out.
    """
    lines = text.split("\n")
    if len(lines) > _MOST_LINES:
        return [(None, text)], []
    parts = Parts(lines, heads or {}, pages)
    starts = parts.by_headings()
    anchored = parts.by_lists()
    warnings: list[str] = []
    if len(starts) > 1 and anchored and len(anchored) != len(starts) and parts.anchored > 1:
        counts = f"{len(starts)} recipes, its lists of ingredients into {len(anchored)}"
        warnings.append(f"its headings part it into {counts}; please check")
    if len(anchored) > len(starts):
        starts = anchored
    cut = sorted({at for start, end in _ranges(starts, len(lines)) for at in parts.by_gaps(start, end)} or set(starts))
    if len(cut) < 2:
        one = cut[0] if cut else parts.title_above(len(lines))
        return [(parts.title_at(one)[0] if one is not None else None, text)], warnings
    made: list[Recipe] = []
    for start, end in _ranges(cut, len(lines)):
        title, first = parts.title_at(start)
        body = trimmed(lines[first:end])
        made.append((title, "\n".join([title, *body] if title else trimmed(lines[start:end])) + "\n"))
    return made, warnings


def _ranges(starts: list[int], end: int) -> list[tuple[int, int]]:
    if not starts:
        return [(0, end)]
    return list(zip(starts, [*starts[1:], end], strict=True))


def trimmed(lines: list[str]) -> list[str]:
    """Return lines without empty ones and rules around them."""
    first, last = 0, len(lines)
    while last > first and (not lines[last - 1].strip("\f \t") or _RULE.match(lines[last - 1])):
        last -= 1
    while first < last and _RULE.match(lines[first]):
        first += 1
    return [line.replace("\f", "") for line in lines[first:last]]


def whole(lines: list[str]) -> bool:
    """Whether lines hold a recipe: a method, and a list of ingredients or its heading."""
    from converter.read.lines import layout
    from converter.read.text import NotReadable, document

    try:
        recipe = layout(document("\n".join(lines), name="part"))
    except NotReadable:
        return False
    return len(recipe.ingredients) >= 2 and len(recipe.steps) >= 1


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

    # ------------------------------------------------------------ titles

    def titled(self, at: int) -> bool:
        """Whether a line may be a title by itself."""
        line, raw = self.plain[at], self.lines[at]
        if not 2 < len(line) <= 90 or self.sections[at] is not None or _RULE.match(raw):
            return False
        if line.endswith((",", ";")) or (raw.rstrip().endswith((":", ".", "!")) and not self.marked(at)):
            return False
        if ITEM.match(raw) and not _HASH.match(raw):
            return False
        if shapes.meta(line) is not None or _ORIGIN.match(line):
            return False
        if not (line[0].isupper() or line[0].isdigit() or line[0] in "\"'“‘¡¿"):
            return False
        if shapes.QUANTITY.match(line) and shapes.AMOUNT.search(line):
            return False
        return not (shapes.HEAT.search(line) and shapes.instruction(line) and len(line) > 40)

    def marked(self, at: int) -> bool:
        return at in self.heads or _HASH.match(self.lines[at]) is not None

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
            if "\f" in line or _RULE.match(line):
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
            if seen > _FARAWAY or (ITEM.match(raw) and not _HASH.match(raw)) or self.sections[at] == "method":
                break
            if not self.titled(at) or (self.named_part(at) and anchor < len(self.lines)):
                continue
            level = self.heads.get(at, -1)
            hashed = _HASH.match(raw)
            score = self.gap(at) + 1
            if _LABEL.match(raw) or (level == top and level > 0):
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
        if _OPEN_END.search(above):
            return True
        return self.gap(at - 1) > 0 and len(above) > 30 and self.gap(at) == 0 and len(self.plain[at]) < len(above)

    def title_at(self, at: int) -> tuple[str | None, int]:
        """Return the title that begins on a line, and the line after it."""
        if at >= len(self.lines) or not (self.titled(at) or _LABEL.match(self.lines[at])):
            return None, at
        line = self.lines[at]
        label = _LABEL.match(line)
        title = shapes.bare(line[label.end() :] if label else line).replace("\f", "").strip()
        if label is None and at + 1 < len(self.lines) and self.titled(at + 1) and self.wrapped(at + 1):
            return f"{title} {self.plain[at + 1]}", at + 2
        return title or None, at + 1

    # ------------------------------------------------------------ where recipes begin

    def checked(self, starts: list[int], first: int, end: int) -> list[int]:
        """Return the starts whose pieces are whole recipes; a piece that is none belongs to the one above it."""
        kept = [start for start, stop in _ranges(starts, end) if whole(self.lines[start:stop])]
        if len(kept) < 2:
            return [first] if first in starts else []
        return kept

    def by_headings(self) -> list[int]:
        """Starts by headings of the highest level, in the document or in Markdown."""
        for kind in (self.heads, self.hashes()):
            levels = sorted({level for level in kind.values() if level})
            for level in levels[:2]:
                found = [at for at, own in sorted(kind.items()) if own == level]
                starts = [at for at in found if self.titled(at) and not self.named_part(at)]
                if len(starts) > 1:
                    kept = self.checked(starts, starts[0], len(self.lines))
                    if len(kept) > 1:
                        return kept
        return []

    def hashes(self) -> dict[int, int]:
        found = ((at, _HASH.match(line)) for at, line in enumerate(self.lines))
        return {at: len(match[1]) for at, match in found if match}

    def by_lists(self) -> list[int]:
        """Starts by headings of lists of ingredients: the title above each that follows a method."""
        starts: list[int] = []
        floor = 0
        cooked = True
        for at, kind in enumerate(self.sections):
            if kind == "method" or (not cooked and kind is None and self.instructed(at)):
                cooked, floor = True, at + 1
            elif kind == "ingredients":
                if cooked and not (starts and self.for_part(at)):
                    title = self.title_above(at, floor)
                    if title is None and starts:
                        # A second list with no title over it goes on with the recipe.
                        cooked = False
                        continue
                    starts.append(at if title is None else title)
                cooked = False
        return sorted(set(starts))

    def for_part(self, at: int) -> bool:
        """Whether a list is for a part of the recipe above it."""
        if re.match(r"(?i)ingredients for (?:the|your|a)\b", self.plain[at]):
            return True
        above = next((row for row in range(at - 1, max(-1, at - 4), -1) if self.plain[row]), None)
        return above is not None and self.named_part(above) and len(self.plain[above]) < 50

    def instructed(self, at: int) -> bool:
        found = ITEM.match(self.lines[at])
        return found is not None and len(self.plain[at]) > 30 and shapes.instruction(self.lines[at][found.end() :])

    def by_gaps(self, first: int, end: int) -> list[int]:
        """Starts inside one piece by labels, rules, pages, wide gaps and capitals."""
        signs = (
            [at for at in range(first, end) if _LABEL.match(self.lines[at])],
            [at for at in range(first, end) if at in self.pages or "\f" in self.lines[at] or self.ruled(at)],
            [at for at in range(first, end) if self.gap(at) == 2 and self.plain[at]],
            [at for at in range(first, end) if self.plain[at].isupper() and self.gap(at) and self.sections[at] is None],
            [at for at in range(first, end) if self.gap(at) and self.plain[at] and self.over_list(at)],
        )
        for sign in signs:
            starts = [at for at in sign if self.titled(at) or _LABEL.match(self.lines[at])]
            starts = [at for at in starts if not self.named_part(at)]
            if first not in starts:
                begin = next((at for at in range(first, end) if self.plain[at]), first)
                starts = sorted({begin, *starts})
            if 1 < len(starts) < 4000:
                kept = self.checked(starts, first, end)
                if len(kept) > 1:
                    kept[0] = self.after_front(kept[0], kept[1])
                    return kept
        return [first]

    def after_front(self, start: int, end: int) -> int:
        """Return where the first recipe begins below a title of the whole collection."""
        for at in range(start + 1, min(end, start + _FARAWAY)):
            if self.plain[at] and not self.titled(at):
                break
            if self.gap(at) == 2 and self.titled(at) and whole(self.lines[at:end]):
                return at
        return start

    def over_list(self, at: int) -> bool:
        """Whether a line stands over a list with quantities, but for lines that state servings and times."""
        seen = 0
        for below in range(at + 1, min(at + 10, len(self.lines))):
            line = ITEM.sub("", self.lines[below]).strip() if self.lines[below][:1] in "-*•+" else self.plain[below]
            if not line or shapes.meta(line) is not None:
                continue
            if not (shapes.QUANTITY.match(line) and shapes.ingredient(line)):
                return False
            seen += 1
            if seen == 2:
                return True
        return False

    def ruled(self, at: int) -> bool:
        above = next((row for row in range(at - 1, -1, -1) if self.lines[row].strip()), None)
        return bool(self.plain[at]) and above is not None and _RULE.match(self.lines[above]) is not None
