"""Parts a text that holds several recipes, and finds where each begins and ends.

Signs, the strongest first: headings by style or mark, a list of ingredients
under its heading, title labels, rules, page breaks, wide gaps and lines in
capitals before a title. A cut that leaves a piece without method is no cut.
"""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from converter.formats.looks import FARAWAY, HASH, ITEM, LABEL, RULE, Parts
from converter.read import shapes

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

Recipe = tuple[str | None, str]

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
    parts = _Cuts(lines, heads or {}, pages)
    starts = parts.by_headings()
    anchored = parts.by_lists()
    warnings: list[str] = []
    if len(starts) > 1 and anchored and len(anchored) != len(starts) and parts.anchored > 1:
        counts = f"{len(starts)} recipes, its lists of ingredients into {len(anchored)}"
        warnings.append(f"its headings part it into {counts}; please check")
    if len(anchored) > len(starts):
        starts = anchored
    cut = sorted({at for start, end in _ranges(starts, len(lines)) for at in parts.by_gaps(start, end)} or set(starts))
    if parts.guessed:
        warnings.append("where one recipe ends and the next begins was guessed; please check")
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
    while last > first and (not lines[last - 1].strip("\f \t") or RULE.match(lines[last - 1])):
        last -= 1
    while first < last and RULE.match(lines[first]):
        first += 1
    return [line.replace("\f", "") for line in lines[first:last]]


def whole(lines: list[str], *, strict: bool = True) -> bool:
    """Whether lines hold a recipe: a method and a list of ingredients, or where not `strict` some steps."""
    from converter.read.lines import layout
    from converter.read.text import NotReadable, document

    try:
        made = document("\n".join(lines), name="part")
        recipe = layout(made)
    except NotReadable:
        return False
    headings = {shapes.section(made.text[span.start : span.end]) for kind, span in recipe.layout if kind == "heading"}
    if "ingredients" in headings and "method" not in headings and all(len(step.text) < 40 for step in recipe.steps):
        return False  # the list of a recipe whose method is further down
    if not strict and len(recipe.steps) >= 3:
        return True
    return len(recipe.ingredients) >= 2 and len(recipe.steps) >= 1


class _Cuts(Parts):
    """Finds where recipes begin."""

    guessed = False
    """A beginning was found by the kinds of its lines alone."""

    def checked(self, starts: list[int], first: int, end: int, *, strict: bool = True) -> list[int]:
        """Return the starts whose pieces are whole recipes; a piece that is none belongs to the one above it."""
        pieces = _ranges(starts, end)
        kept = [start for start, stop in pieces if whole(self.lines[start:stop], strict=strict)]
        if len(kept) < 2:
            return [first] if first in starts else []
        # What stands before the first is left out, unless it has steps.
        before = [start for start, stop in pieces if start < kept[0] and whole(self.lines[start:stop], strict=False)]
        return [*before, *kept]

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
        found = ((at, HASH.match(line)) for at, line in enumerate(self.lines))
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
            [at for at in range(first, end) if LABEL.match(self.lines[at])],
            [at for at in range(first, end) if at in self.pages or "\f" in self.lines[at] or self.ruled(at)],
            [at for at in range(first, end) if self.gap(at) == 2 and self.plain[at]],
            [at for at in range(first, end) if self.plain[at].isupper() and self.gap(at) and self.sections[at] is None],
            self.over_lists(first, end),
            self.after_steps(first, end),
        )
        for rank, sign in enumerate(signs):
            starts = [at for at in sign if self.titled(at) or LABEL.match(self.lines[at])]
            starts = [at for at in starts if not self.named_part(at)]
            if first not in starts:
                begin = next((at for at in range(first, end) if self.plain[at]), first)
                starts = sorted({begin, *starts})
            if 1 < len(starts) < 4000:
                kept = self.checked(starts, first, end, strict=rank > 1)
                if len(kept) > 1:
                    self.guessed = self.guessed or rank == len(signs) - 1
                    kept[0] = self.after_front(kept[0], kept[1])
                    return kept
        return [first]

    def after_front(self, start: int, end: int) -> int:
        """Return where the first recipe begins below a title of the whole collection."""
        for at in range(start + 1, min(end, start + FARAWAY)):
            if self.plain[at] and not self.titled(at):
                break
            if self.gap(at) == 2 and self.titled(at) and whole(self.lines[at:end]):
                return at
        return start

    def over_lists(self, first: int, end: int) -> list[int]:
        """Lines with a gap above that stand over a list with quantities."""
        made: list[int] = []
        above = -1
        for at in range(first, end):
            if not self.plain[at]:
                continue
            if self.gap(at) and above not in made and self.titled(at) and self.over_list(at):
                made.append(at)
            above = at
        return made

    def after_steps(self, first: int, end: int) -> list[int]:
        """Lines without a gap above that stand between a step and a list with quantities."""
        made: list[int] = []
        above = ""
        for at in range(first, end):
            line = self.plain[at]
            if not line:
                continue
            told = above.endswith((".", "!")) and shapes.instructs(above)
            if told and self.titled(at) and shapes.part(line, marked=False) is None and self.over_list(at):
                made.append(at)
            above = self.lines[at].strip()
        return made

    def ruled(self, at: int) -> bool:
        above = next((row for row in range(at - 1, -1, -1) if self.lines[row].strip()), None)
        return bool(self.plain[at]) and above is not None and RULE.match(self.lines[above]) is not None
