"""Reads .odt: headings, paragraphs, lists, tables, frames; no tracked deletions, no notes."""

from __future__ import annotations

from typing import TYPE_CHECKING

from converter.formats.archive import Package
from converter.formats.blocks import Block, Shape
from converter.formats.docx import add_row, attribute, child, local
from converter.formats.kinds import Limits, Unreadable

if TYPE_CHECKING:
    from xml.etree.ElementTree import Element

_MOST_SPACES = 40
"""Repeated spaces that one element may stand for; a round figure, by judgement."""
_SKIPPED = {"tracked-changes", "note", "annotation", "sequence-decls", "forms", "deletion", "title", "desc"}
_MOST_PARENTS = 3
"""How far parent styles are followed."""


def read(data: bytes, limits: Limits) -> list[Block]:
    """Return the paragraphs of an .odt. Raises ``Unreadable``."""
    package = Package(data, limits)
    if "META-INF/manifest.xml" in package.names and b"encryption-data" in package.read("META-INF/manifest.xml"):
        raise Unreadable("encrypted", "it has a password")
    root = package.tree("content.xml")
    text = child(root, "body", "text")
    if text is None:
        raise Unreadable("broken", "it is damaged: it has no text part")
    reader = _Reader()
    if "styles.xml" in package.names:
        reader.learn(package.tree("styles.xml"))
    reader.learn(root)
    reader.walk(text)
    return [*reader.blocks, *reader.frames]


class _Reader:
    """Goes through the text once; styles say which lists count, what is bold, where pages break."""

    def __init__(self) -> None:
        self.blocks: list[Block] = []
        self.frames: list[Block] = []
        self.counts: dict[str, Shape] = {}
        self.bold: set[str] = set()
        self.breaks: set[str] = set()
        self.heads: dict[str, int] = {}
        self.parents: dict[str, str] = {}
        self.list_of: dict[str, str] = {}
        self.page = False

    def learn(self, root: Element) -> None:
        """Take the styles of one part."""
        for element in root.iter():
            name = attribute(element, "name")
            if name is None:
                continue
            kind = local(element)
            if kind == "list-style":
                first = next(iter(element), None)
                self.counts[name] = "number" if first is not None and local(first).endswith("number") else "bullet"
            elif kind == "style":
                parent = attribute(element, "parent-style-name")
                if parent:
                    self.parents[name] = parent
                listed = attribute(element, "list-style-name")
                if listed:
                    self.list_of[name] = listed
                if attribute(child(element, "text-properties"), "font-weight") == "bold":
                    self.bold.add(name)
                if attribute(child(element, "paragraph-properties"), "break-before") == "page" or attribute(
                    element, "master-page-name"
                ):
                    self.breaks.add(name)
                if name.lower().replace("_20_", "") == "title":
                    self.heads[name] = 1

    def styled(self, name: str | None, known: set[str] | dict[str, int]) -> str | None:
        """Return the style, or the parent of it, that is in `known`."""
        for _ in range(_MOST_PARENTS + 1):
            if name is None or name in known:
                return name
            name = self.parents.get(name)
        return None

    def walk(self, parent: Element, shape: Shape = "text") -> None:
        for element in parent:
            kind = local(element)
            if kind == "h":
                level = attribute(element, "outline-level") or "1"
                self.paragraph(element, "heading", int(level) if level.isdigit() and len(level) < 3 else 1)
            elif kind == "p":
                self.paragraph(element, shape, 0)
            elif kind == "list":
                self.walk(element, self.listed(element, shape))
            elif kind == "table":
                self.table(element)
            elif kind not in _SKIPPED:
                self.walk(element, shape)

    def listed(self, element: Element, outer: Shape) -> Shape:
        """Whether a list counts: by its style; a list in a list without one is as the outer."""
        style = attribute(element, "style-name")
        if style is None:
            paragraph = next((inner for inner in element.iter() if local(inner) == "p"), None)
            style = self.list_of.get(attribute(paragraph, "style-name") or "")
        if style in self.counts:
            return self.counts[style]
        return outer if outer in ("bullet", "number") else "bullet"

    def paragraph(self, element: Element, shape: Shape, level: int) -> None:
        pieces: list[str] = []
        weights: list[tuple[int, bool]] = []
        style = attribute(element, "style-name")
        self._words(element, pieces, weights, bold=self.styled(style, self.bold) is not None)
        text = "".join(pieces).strip("\n")
        title = self.styled(style, self.heads)
        size = sum(length for length, _ in weights)
        if shape == "text" and title is not None:
            shape, level = "heading", self.heads[title]
        elif shape == "text" and 0 < size <= 80 and "\n" not in text and _all_bold(weights):
            shape = "heading"
        self.page = self.page or self.styled(style, self.breaks) is not None
        if text.strip():
            self.blocks.append(Block(shape, text, level, self.page))
            self.page = False

    def _words(self, parent: Element, pieces: list[str], weights: list[tuple[int, bool]], *, bold: bool) -> None:
        def add(words: str | None) -> None:
            if words:
                pieces.append(_one_line(words))
                weights.append((len(words.strip()), bold))

        add(parent.text)
        for element in parent:
            kind = local(element)
            if kind == "s":
                count = attribute(element, "c") or "1"
                pieces.append(" " * (min(int(count), _MOST_SPACES) if count.isdigit() and len(count) < 12 else 1))
            elif kind == "tab":
                pieces.append(" ")
            elif kind == "line-break":
                pieces.append("\n")
            elif kind in ("frame", "text-box", "custom-shape"):
                outer, self.blocks = self.blocks, self.frames
                self.walk(element)
                self.blocks = outer
            elif kind not in _SKIPPED:
                style = attribute(element, "style-name")
                self._words(element, pieces, weights, bold=bold or self.styled(style, self.bold) is not None)
            add(element.tail)

    def table(self, element: Element) -> None:
        for row in element:
            if local(row) in ("table-header-rows", "table-rows", "table-row-group"):
                self.table(row)
            elif local(row) == "table-row":
                cells: list[list[Block]] = []
                for cell in row:
                    outer, self.blocks = self.blocks, []
                    self.walk(cell)
                    cells.append(self.blocks)
                    self.blocks = outer
                add_row(self.blocks, cells)


def _all_bold(weights: list[tuple[int, bool]]) -> bool:
    return all(bold for length, bold in weights if length)


def _one_line(words: str) -> str:
    """White space in the XML is one blank, as the format says."""
    lead = " " if words[0].isspace() else ""
    tail = " " if words[-1].isspace() else ""
    return lead + " ".join(words.split()) + tail
