"""Takes one recipe out of a page or a letter, where greetings, menus and comments surround it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from converter.formats.looks import ITEM, Parts
from converter.formats.split import trimmed
from converter.read import shapes

if TYPE_CHECKING:
    from collections.abc import Mapping


def lift(text: str, *, heads: Mapping[int, int] | None = None) -> str:
    """Return one recipe without what stands before its title and after its method and notes.

    For pages and letters, where greetings, menus and comments surround it. A
    text in which no list of ingredients or method is found comes back whole.
    """
    lines = text.split("\n")
    parts = Parts(lines, heads or {}, ())
    anchor = next((at for at, kind in enumerate(parts.sections) if kind == "ingredients"), None)
    method = next((at for at, kind in enumerate(parts.sections) if kind == "method"), None)
    if anchor is None and method is None:
        return _unheaded(parts, text)
    begin = 0
    opened = anchor if anchor is not None else method
    if opened is not None:
        title = parts.title_above(opened)
        begin = title if title is not None else _first_told(parts, opened)
    end = len(lines) if method is None else _end(parts, method)
    return "\n".join(trimmed(lines[begin:end])) + "\n"


def _unheaded(parts: Parts, text: str) -> str:
    """The recipe on a page whose title is a heading over a list of goods, with no words over list and method."""
    named = [at for at, level in sorted(parts.heads.items()) if level and parts.titled(at)]
    for title in sorted(named, key=lambda at: not parts.over_list(at)):
        goods = 0
        for at in range(title + 1, len(parts.lines)):
            words = ITEM.sub("", parts.lines[at]).strip()
            if not words or shapes.meta(words) is not None:
                continue
            if shapes.instruction(words) and not shapes.ingredient(words):
                if goods < 2:
                    break
                return "\n".join(trimmed(parts.lines[title : _end(parts, at - 1)])) + "\n"
            if parts.marked(at) or not (shapes.ingredient(words) and (ITEM.match(parts.lines[at]) or goods == 0)):
                break
            goods += ITEM.match(parts.lines[at]) is not None
    return text


def _first_told(parts: Parts, anchor: int) -> int:
    """The first line above the list that states servings or times, else the list."""
    return next((at for at in range(max(0, anchor - 6), anchor) if shapes.meta(parts.plain[at])), anchor)


def _end(parts: Parts, method: int) -> int:
    """Return the line after the last step or note of the method that begins on `method`."""
    last = method + 1
    listed = notes = False
    for at in range(method + 1, len(parts.lines)):
        line = parts.plain[at]
        if not line:
            continue
        stopped = parts.lines[at].rstrip().endswith((".", "!"))
        item = ITEM.match(parts.lines[at]) is not None
        kind = parts.sections[at]
        if kind in ("notes", "ingredients", "method"):
            notes = kind == "notes"
            listed = False
        elif parts.marked(at) or (not item and parts.lines[at].rstrip().endswith(":") and len(line) < 50):
            following = next((row for row in range(at + 1, len(parts.lines)) if parts.plain[row]), None)
            if following is None or not (
                ITEM.match(parts.lines[following]) and shapes.instructs(ITEM.sub("", parts.lines[following]))
                if listed
                else shapes.instruction(parts.plain[following]) and not parts.marked(following)
            ):
                break
        elif item and not notes:
            listed = True
        elif parts.lines[at].startswith("   ") and listed:
            pass
        elif not notes and listed and parts.gap(at) and not shapes.instruction(line):
            break
        elif not notes and not listed and not shapes.instructs(line):
            aside = len(line) < 45 or (parts.gap(at) and not stopped)
            if aside and not any(shapes.instruction(row) for row in parts.plain[at + 1 : at + 8]):
                break
        elif notes and not item and parts.gap(at) and len(line) < 45 and not stopped:
            break
        last = at + 1
    return last
