"""The paragraphs of a document in reading order, and the plain text that is laid out from them."""

from __future__ import annotations

import re
from dataclasses import dataclass, field
from typing import Literal

from converter.read import shapes

Shape = Literal["text", "heading", "bullet", "number", "row"]

_LIST_MARK = re.compile(r"\s*(?:[•◦‣▪●○·\uf0b7\uf0a7]|[-–*](?=\s)|\(?\d{1,2}[.)](?=\s|[A-Z]))\s*")
_PRINTED = re.compile(r"\s*\(?(\d{1,2})[.)](?:\s|(?=[A-Z]))")
_SPACES = re.compile(r"[ \t\xa0\u2000-\u200a\u202f]+")


@dataclass(slots=True)
class Block:
    """One paragraph. ``level`` 1 is the highest heading; 0 says that the level is not known."""

    shape: Shape
    text: str
    level: int = 0
    page: bool = False
    """A page break or the like stands before it."""


@dataclass(slots=True)
class Laid:
    """Plain text with the numbers of the lines that open a part of the document by their style."""

    lines: list[str] = field(default_factory=list)
    heads: dict[int, int] = field(default_factory=dict)
    pages: set[int] = field(default_factory=set)

    @property
    def text(self) -> str:
        """The lines as one text."""
        return "\n".join(self.lines).strip("\n") + "\n"


def tidy(text: str) -> str:
    """Return `text` with runs of blanks made one; line breaks stay."""
    return "\n".join(_SPACES.sub(" ", line).strip() for line in text.split("\n"))


def lay(blocks: list[Block]) -> Laid:
    """Lay paragraphs out as plain text: one line each, a blank line at headings and between long paragraphs.

    A list is counted anew after the heading of a recipe or a section. A heading that opens no known
    section is given a colon where it would not be known as the name of a part.
    """
    made = Laid()
    count = 0
    titled = False
    above: Block | None = None
    top = min((block.level for block in blocks if block.shape == "heading" and block.level), default=-1)
    for at, block in enumerate(blocks):
        text = tidy(block.text).strip("\n ")
        if not text:
            continue
        if block.shape == "text" and "\n" not in text and shapes.section(text) is not None:
            block = Block("heading", text, block.level, block.page)
        if _gap(above, block) and made.lines and made.lines[-1]:
            made.lines.append("")
        if block.page:
            made.pages.add(len(made.lines))
        if block.shape == "heading":
            if block.level == top or shapes.section(text) is not None:
                count = 0
            made.heads[len(made.lines)] = block.level
            text = " ".join(text.split())
            if titled and block.level != top and _needs_colon(text, blocks, at):
                text += ":"
            titled = True
            made.lines.append(text)
        elif block.shape == "number":
            printed = _PRINTED.match(text)
            count = 1 if printed is not None and printed[1] == "1" else count + 1
            made.lines.append(f"{count}. {_joined(_unmarked(text))}")
        elif block.shape == "bullet":
            made.lines.append(f"- {_joined(_unmarked(text))}")
        else:
            titled = True
            made.lines.extend(line for line in text.split("\n") if line)
        above = block
    return made


_ITEM_LINE = re.compile(r"\s*(?:(?P<number>\(?\d{1,2}[.)](?=\s|[A-Z][a-z]))|[•◦‣▪●○·\uf0b7\uf0a7](?=\s)|[-–*](?=\s))")


def from_text(text: str) -> list[Block]:
    """Return the lines of a text as paragraphs: its lists by their marks, a form feed as a page break."""
    made: list[Block] = []
    page = False
    for line in text.split("\n"):
        page = page or "\f" in line
        words = line.replace("\f", " ").strip()
        if words:
            found = _ITEM_LINE.match(words)
            shape: Shape = "text" if found is None else "number" if found["number"] else "bullet"
            made.append(Block(shape, words, 0, page))
            page = False
    return made


def _needs_colon(text: str, blocks: list[Block], at: int) -> bool:
    """Whether a sub-heading would be taken for a step or an ingredient without a colon."""
    if text.endswith((":", "?", "!", ".")) or len(text) > 50 or shapes.section(text) is not None:
        return False
    if shapes.meta(text) is not None or shapes.part(text, marked=False) is not None:
        return False
    following = next((other for other in blocks[at + 1 :] if other.text.strip()), None)
    return following is not None and following.shape in ("bullet", "number", "text", "row") and (
        shapes.section(following.text) is None
    )


def _unmarked(text: str) -> str:
    found = _LIST_MARK.match(text)
    return text[found.end() :] if found else text


def _joined(text: str) -> str:
    """A line break inside an item stays, set in so that it goes on with the item."""
    return "\n   ".join(line for line in text.split("\n") if line)


def _gap(above: Block | None, block: Block) -> bool:
    if above is None:
        return False
    if "heading" in (block.shape, above.shape) or block.page:
        return True
    if block.shape != above.shape:
        return "row" not in (block.shape, above.shape) or len(above.text) > 80
    return block.shape == "text" and (len(block.text) > 80 or len(above.text) > 80)
