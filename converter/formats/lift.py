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
    text in which no list of ingredients or method is headed comes back whole.
    """
    lines = text.split("\n")
    parts = Parts(lines, heads or {}, ())
    anchor = next((at for at, kind in enumerate(parts.sections) if kind == "ingredients"), None)
    method = next((at for at, kind in enumerate(parts.sections) if kind == "method"), None)
    begin = 0
    opened = anchor if anchor is not None else method
    if opened is not None:
        title = parts.title_above(opened)
        begin = title if title is not None else _first_told(parts, opened)
    end = len(lines) if method is None else _end(parts, method)
    return "\n".join(trimmed(lines[begin:end])) + "\n"


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
        elif not notes and not listed and not shapes.instructs(line) and (len(line) < 45 or not stopped):
            if not any(shapes.instruction(row) for row in parts.plain[at + 1 : at + 8]):
                break
        elif notes and not item and parts.gap(at) and len(line) < 45 and not stopped:
            break
        last = at + 1
    return last
