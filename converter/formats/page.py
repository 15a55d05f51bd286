"""Reads .html: recipes in JSON-LD or microdata; else the text of the page without what stands around it."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from converter.formats import microdata, schema
from converter.formats.blocks import Block, Shape
from converter.formats.kinds import Limits, Unreadable, too_deep

if TYPE_CHECKING:
    from selectolax.lexbor import LexborNode

_VOID = (
    b"area|base|br|col|embed|hr|img|input|link|meta|param|source|track|wbr|"
    # Left open by habit, and closed by the parser.
    b"p|li|td|th|tr|dt|dd|option|tbody|thead|tfoot|colgroup"
)
_TAGS = re.compile(rb"<(/?)(?!(?:" + _VOID + rb")\b)([a-zA-Z][a-zA-Z0-9]*)[^>]*?(/?)>", re.I)
_SELF_CLOSED = frozenset((b"svg", b"path", b"circle", b"rect", b"use", b"line", b"g"))
_DROPPED = frozenset((
    "script", "style", "noscript", "template", "nav", "aside", "footer", "form", "button", "iframe", "svg", "select",
    "head", "object", "audio", "video", "canvas", "dialog", "textarea", "input", "menu", "figure",
))  # fmt: skip
_JUNK = re.compile(
    r"(?i)(?:^|[ _-])(?:comments?|respond|sidebar|widgets?|related|share|sharing|social|newsletter|subscribe|cookies?|"
    r"consent|advert(?:isement)?s?|ads?|promo|breadcrumbs?|menu|navigation|navbar|nav|footer|ratings?|popup|modal|banner|"
    r"skip-link|pagination|author-bio|tags|login)(?:$|[ _-])"
)
_HEADINGS = {"h1": 1, "h2": 2, "h3": 3, "h4": 4, "h5": 5, "h6": 6}
_BLOCKS = frozenset((
    "p", "div", "section", "article", "main", "ul", "ol", "li", "table", "tr", "td", "th", "dl", "dt", "dd", "pre",
    "blockquote", "header", "hr", "body", "html", "address", "center", "fieldset", "tbody", "thead", "details",
    "summary", "figcaption", "caption", *_HEADINGS,
))  # fmt: skip
_CHARSET = re.compile(rb"<meta[^>]{0,200}?charset\s*=\s*[\"']?\s*([A-Za-z0-9_:.-]{2,40})", re.I)


def decoded(data: bytes, name: str) -> str:
    """Return the signs of a page: by byte order mark, UTF-8, the coding it names, or what is plausible."""
    from converter.read.text import NotReadable, decode

    if not data.startswith((b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")) and b"\0" not in data[:400]:
        try:
            return data.decode("utf-8")
        except UnicodeDecodeError:
            found = _CHARSET.search(data[:4096])
            label = found[1].decode("ascii").lower() if found else ""
            # A page that says Latin-1 is read as Windows-1252, as the HTML standard has it.
            label = "cp1252" if label in ("iso-8859-1", "latin1", "latin-1", "ascii", "us-ascii") else label
            try:
                if label and label not in ("utf-8", "utf8"):
                    return data.decode(label)
            except (LookupError, UnicodeError):
                pass
    try:
        return decode(data, name=name)[0]
    except NotReadable as error:
        raise Unreadable("broken", "it is no text that can be read") from error


def read(data: bytes, name: str, limits: Limits) -> tuple[list[schema.Recipe], list[Block]]:
    """Return the recipes that the page states as data, else the blocks of its text. Raises ``Unreadable``."""
    return read_text(decoded(data, name), limits)


def read_text(text: str, limits: Limits) -> tuple[list[schema.Recipe], list[Block]]:
    """The same for a page that is decoded already."""
    try:
        from selectolax.lexbor import LexborHTMLParser
    except ImportError:
        raise Unreadable("no-library", "reading web pages needs the extra: pip install 'undial[folder]'") from None

    _check_depth(text.encode("utf-8", "replace"), limits)
    tree = LexborHTMLParser(text)
    found = _stated(tree.css('script[type*="ld+json"]'))
    if not found:
        found = schema.recipes(microdata.items(tree))
    if found:
        return found, []
    body = tree.body
    walker = Walker()
    if body is not None:
        walker.walk(_main(body))
    return [], walker.blocks


def _check_depth(data: bytes, limits: Limits) -> None:
    depth = 0
    for closing, tag, empty in _TAGS.findall(data):
        if closing:
            depth = max(0, depth - 1)
        elif not (empty and tag.lower() in _SELF_CLOSED):
            depth += 1
            if depth > limits.html_depth:
                raise too_deep(limits.html_depth)


def _stated(scripts: list[LexborNode]) -> list[schema.Recipe]:
    made: list[schema.Recipe] = []
    for script in scripts:
        text = (script.text(deep=True) or "").strip().removeprefix("<!--").removesuffix("-->").strip()
        text = text.removeprefix("<![CDATA[").removesuffix("]]>")
        try:
            values = schema.load(text)
        except ValueError:
            continue
        made.extend(recipe for recipe in schema.recipes(values) if recipe not in made)
    return made


# ---------------------------------------------------------------- the text of a page


def _main(body: LexborNode) -> LexborNode:
    """The one element that holds the page's own text, where the page says so."""
    for name in ("article", "main", '[role="main"]'):
        found = body.css(name)
        if len(found) == 1 and len(found[0].text(deep=True)) > 200:
            return found[0]
    return body


class Walker:
    """Takes the blocks of a page or of an element of it in order, without recursion."""

    def __init__(self) -> None:
        self.blocks: list[Block] = []
        self.words: list[str] = []
        self.bold: list[bool] = []

    def walk(self, root: LexborNode) -> None:
        # (node, list shape, shape of the block it is in, level, inside bold), or the end of a block.
        stack: list[tuple[LexborNode | None, Shape, Shape, int, bool]] = [(root, "text", "text", 0, False)]
        while stack:
            node, listed, shape, level, bold = stack.pop()
            if node is None:
                self.close(shape, level)
                continue
            tag = node.tag or ""
            if tag == "-text":
                words = node.text_content or ""
                self.words.append(words if listed == "row" else re.sub(r"[ \t\r\n\f]+", " ", words))
                self.bold.append(bold or not words.strip())
                continue
            if tag in _DROPPED or tag.startswith("-") or (node is not root and _junk(node)):
                continue
            if tag == "br":
                self.words.append("\n")
                self.bold.append(True)
                continue
            if tag in _BLOCKS:
                self.close(shape, level)
                if tag in _HEADINGS:
                    shape, level = "heading", _HEADINGS[tag]
                elif tag == "li":
                    shape, level = listed if listed in ("bullet", "number") else "bullet", 0
                elif tag in ("ul", "ol"):
                    listed, shape, level = ("number" if tag == "ol" else "bullet"), "text", 0
                elif tag == "pre":
                    listed = "row"
                elif tag == "tr" and self._short(node):
                    self.blocks.append(Block("row", " ".join(_cells(node))))
                    continue
                elif shape == "heading" or tag not in ("p", "div", "dd", "dt"):
                    shape, level = "text", 0
                stack.append((None, listed, shape, level, bold))
            bold = bold or tag in ("b", "strong")
            inside: list[tuple[LexborNode | None, Shape, Shape, int, bool]] = [
                (other, listed, shape, level, bold) for other in node.iter(include_text=True)
            ]
            stack.extend(reversed(inside))
        self.close("text", 0)

    def _short(self, row: LexborNode) -> bool:
        cells = _cells(row)
        return len(cells) > 1 and all(len(cell) < 120 for cell in cells) and not row.css("li, p + p, br")

    def close(self, shape: Shape, level: int) -> None:
        """End the block that is open."""
        text = "".join(self.words)
        if text.strip():
            if shape == "text" and len(text.strip()) <= 80 and "\n" not in text.strip() and all(self.bold):
                shape, level = "heading", 0
            self.blocks.append(Block(shape, text, level))
        self.words, self.bold = [], []


def _cells(row: LexborNode) -> list[str]:
    cells = [" ".join(cell.text(deep=True).split()) for cell in row.iter() if cell.tag in ("td", "th")]
    return [cell for cell in cells if cell]


def _junk(node: LexborNode) -> bool:
    attributes = node.attributes
    if "hidden" in attributes or attributes.get("aria-hidden") == "true":
        return True
    style = attributes.get("style")
    if style and re.search(r"display\s*:\s*none", style):
        return True
    if node.tag in ("body", "main", "article", "li", "ol", "ul"):
        return False
    words = f"{attributes.get('id') or ''} {attributes.get('class') or ''}".strip()
    return bool(words) and _JUNK.search(words) is not None
