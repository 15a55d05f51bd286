"""Reads .docx: paragraphs, lists with their numbers, tables, text boxes; no deleted text, no headers."""

from __future__ import annotations

from typing import TYPE_CHECKING, NamedTuple

from converter.formats.archive import Package
from converter.formats.blocks import Block, Shape
from converter.formats.kinds import Limits, Unreadable

if TYPE_CHECKING:
    from collections.abc import Iterator
    from xml.etree.ElementTree import Element

_MAIN = "word/document.xml"
_BREAKS = {"br", "cr"}
_SKIPPED = {"Fallback", "del", "moveFrom", "delText", "instrText", "rPr", "pPr", "sectPr", "tblPr", "tcPr", "trPr"}
_BOXES = {"txbxContent"}


def local(element: Element) -> str:
    """Return the tag without the prefix of its namespace."""
    tag: str = element.tag
    return tag.rpartition(":")[2]


def attribute(element: Element | None, name: str) -> str | None:
    """Return an attribute by its name without prefix."""
    if element is None:
        return None
    return next((value for key, value in element.attrib.items() if key.rpartition(":")[2] == name), None)


def child(element: Element | None, *names: str) -> Element | None:
    """Return the element down the path of local `names`."""
    for name in names:
        if element is None:
            return None
        element = next((other for other in element if local(other) == name), None)
    return element


class _Styles(NamedTuple):
    """By style id: heading level, list shape, boldness."""

    level: dict[str, int]
    lists: dict[str, Shape]
    bold: frozenset[str]


def read(data: bytes, limits: Limits) -> list[Block]:
    """Return the paragraphs of a .docx. Raises ``Unreadable``."""
    package = Package(data, limits)
    main = _MAIN if _MAIN in package.names else next((n for n in package.names if n.endswith("/document.xml")), _MAIN)
    body = child(package.tree(main), "body")
    if body is None:
        raise Unreadable("broken", "it is damaged: it has no text part")
    folder = main.rpartition("/")[0]
    reader = _Reader(_styles(package, f"{folder}/styles.xml"), _formats(package, f"{folder}/numbering.xml"))
    reader.walk(body)
    return [*reader.blocks, *reader.boxes]


def _styles(package: Package, name: str) -> _Styles:
    level: dict[str, int] = {}
    lists: dict[str, Shape] = {}
    bold: set[str] = set()
    if name in package.names:
        for style in package.tree(name):
            key = attribute(style, "styleId")
            if local(style) != "style" or key is None:
                continue
            words = (attribute(child(style, "name"), "val") or key).lower().replace(" ", "")
            outline = attribute(child(style, "pPr", "outlineLvl"), "val")
            if words == "title":
                level[key] = 1
            elif words.startswith("heading") and words[7:].isdigit():
                level[key] = int(words[7:])
            elif outline is not None and outline.isdigit() and int(outline) < 9:
                level[key] = int(outline) + 1
            if words.startswith("listnumber"):
                lists[key] = "number"
            elif words.startswith("listbullet"):
                lists[key] = "bullet"
            if attribute(style, "type") == "paragraph" and _on(child(style, "rPr", "b")):
                bold.add(key)
    return _Styles(level, lists, frozenset(bold))


def _formats(package: Package, name: str) -> dict[tuple[str, str], Shape]:
    """By (list id, depth): whether the list counts or has bullets."""
    made: dict[tuple[str, str], Shape] = {}
    if name not in package.names:
        return made
    abstract: dict[str, dict[str, Shape]] = {}
    root = package.tree(name)
    for element in root:
        if local(element) == "abstractNum":
            depths: dict[str, Shape] = {}
            for depth in element:
                if local(depth) == "lvl":
                    kind = attribute(child(depth, "numFmt"), "val") or "bullet"
                    depths[attribute(depth, "ilvl") or "0"] = "bullet" if kind in ("bullet", "none") else "number"
            abstract[attribute(element, "abstractNumId") or ""] = depths
    for element in root:
        if local(element) == "num":
            key = attribute(child(element, "abstractNumId"), "val") or ""
            for deep, shape in abstract.get(key, {}).items():
                made[attribute(element, "numId") or "", deep] = shape
    return made


def _on(element: Element | None) -> bool:
    return element is not None and (attribute(element, "val") or "1") not in ("0", "false", "off", "none")


class _Reader:
    """Goes through the body once."""

    def __init__(self, styles: _Styles, formats: dict[tuple[str, str], Shape]) -> None:
        self.styles = styles
        self.formats = formats
        self.blocks: list[Block] = []
        self.boxes: list[Block] = []
        self.page = False

    def walk(self, parent: Element) -> None:
        """Take the paragraphs and tables under `parent`, through wrappers of any name."""
        for element in parent:
            name = local(element)
            if name == "p":
                self.paragraph(element, self.blocks)
            elif name == "tbl":
                self.table(element)
            elif name not in _SKIPPED:
                self.walk(element)

    def paragraph(self, element: Element, into: list[Block]) -> None:
        pieces: list[str] = []
        weights: list[tuple[int, bool]] = []
        boxes: list[Element] = []
        properties = child(element, "pPr")
        style = attribute(child(properties, "pStyle"), "val") or ""
        self._runs(element, pieces, weights, boxes, bold=style in self.styles.bold)
        text = "".join(pieces)
        page = self.page or _on(child(properties, "pageBreakBefore")) or "\f" in text
        if text.strip():
            before, _, after = text.rpartition("\f")
            self.page = bool(before.strip()) and not after.strip()
            shape, level = self._shape(properties, style, weights)
            text = text.replace("\f", "\n").strip("\n")
            if shape == "heading" and level == 0 and "\n" in text:
                shape = "text"
            into.append(Block(shape, text, level, page and not self.page))
        else:
            self.page = page
        for box in boxes:
            for inner in box.iter():
                if local(inner) == "p":
                    self.paragraph(inner, self.boxes)

    def _runs(
        self, parent: Element, pieces: list[str], weights: list[tuple[int, bool]], boxes: list[Element], *, bold: bool
    ) -> None:
        for element in parent:
            name = local(element)
            if name == "t":
                words = element.text or ""
                pieces.append(words)
                weights.append((len(words.strip()), bold))
            elif name == "tab":
                pieces.append(" ")
            elif name in _BREAKS:
                pieces.append("\f" if attribute(element, "type") == "page" else "\n")
            elif name == "noBreakHyphen":
                pieces.append("-")
            elif name in _BOXES:
                boxes.append(element)
            elif name not in _SKIPPED:
                mark = child(element, "rPr", "b") if name == "r" else None
                self._runs(element, pieces, weights, boxes, bold=bold if mark is None else _on(mark))

    def _shape(self, properties: Element | None, style: str, weights: list[tuple[int, bool]]) -> tuple[Shape, int]:
        level = self.styles.level.get(style)
        outline = attribute(child(properties, "outlineLvl"), "val")
        if level is None and outline is not None and outline.isdigit() and int(outline) < 9:
            level = int(outline) + 1
        if level is not None:
            return "heading", level
        numbering = child(properties, "numPr")
        key = attribute(child(numbering, "numId"), "val")
        if key is not None and key != "0":
            depth = attribute(child(numbering, "ilvl"), "val") or "0"
            return self.formats.get((key, depth), self.styles.lists.get(style, "bullet")), 0
        if style in self.styles.lists and key != "0":
            return self.styles.lists[style], 0
        size = sum(length for length, _ in weights)
        if 0 < size <= 80 and all(bold for length, bold in weights if length):
            return "heading", 0
        return "text", 0

    def table(self, element: Element) -> None:
        """A row of short cells is one line; cells of several paragraphs stand one under the other."""
        for row in _rows(element):
            cells: list[list[Block]] = []
            for cell in row:
                outer, self.blocks = self.blocks, []
                self.walk(cell)
                cells.append(self.blocks)
                self.blocks = outer
            add_row(self.blocks, cells)


def _rows(table: Element) -> Iterator[list[Element]]:
    for row in table:
        if local(row) == "tr":
            yield list(_under(row, "tc"))
        elif local(row) in ("sdt", "sdtContent", "ins", "customXml"):
            yield from _rows(row)


def _under(row: Element, name: str) -> Iterator[Element]:
    for element in row:
        if local(element) == name:
            yield element
        elif local(element) in ("sdt", "sdtContent", "ins", "customXml"):
            yield from _under(element, name)


def add_row(into: list[Block], cells: list[list[Block]]) -> None:
    """Put one row of a table after `into`: as one line, or cell by cell where a cell has several paragraphs."""
    full = [cell for cell in cells if any(block.text.strip() for block in cell)]
    if len(full) > 1 and all(len(cell) == 1 and cell[0].shape != "heading" for cell in full):
        into.append(Block("row", " ".join(cell[0].text.replace("\n", " ").strip() for cell in full)))
        return
    for cell in full:
        into.extend(cell)
