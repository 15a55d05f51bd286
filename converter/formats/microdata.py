"""Recipes that a page states by attributes of its elements (HTML Standard, "Microdata").

Own walk over the tree of selectolax, which reads the page anyway. A ready
walk was measured on 41 made pages (``tests/formats/test_formats_microdata.py``
has their kinds): it gives the address of a link for its words, so that an
ingredient in a link becomes "/barley"; it breaks words in two at a bold
letter; it tells a method twice whose property stands inside itself; it keeps
advertisements inside the method; and it finds nothing on a deep page.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Iterator

    from selectolax.lexbor import LexborHTMLParser, LexborNode

_DEEP = 20
"""Items inside items; a round figure, by judgement."""
_BY_ATTRIBUTE = {"meta": "content", "data": "value", "meter": "value", "time": "datetime"}
_METHOD = "recipeInstructions"


def items(tree: LexborHTMLParser) -> list[dict[str, Any]]:
    """Return every element whose type is Recipe as an object of its properties, in the order of the page."""
    made: list[dict[str, Any]] = []
    for node in tree.css("[itemscope][itemtype]"):
        kinds = (node.attributes.get("itemtype") or "").split()
        if any(kind.rstrip("/").endswith("schema.org/Recipe") for kind in kinds):
            made.append(_item(tree, node, kinds, 0))
    return made


def _item(tree: LexborHTMLParser, node: LexborNode, kinds: list[str], depth: int) -> dict[str, Any]:
    made: dict[str, list[Any]] = {}
    for element in _stated(tree, node):
        value = _value(tree, element, depth)
        for name in (element.attributes.get("itemprop") or "").split():
            made.setdefault(name, []).append(value)
    single = {name: values[0] if len(values) == 1 else values for name, values in made.items()}
    return {"@type": kinds, **single}


def _stated(tree: LexborHTMLParser, node: LexborNode) -> Iterator[LexborNode]:
    """Give the elements with a property of an item: those below it and below the elements that ``itemref`` names."""
    roots = [node]
    for name in (node.attributes.get("itemref") or "").split():
        quoted = name.replace("\\", "\\\\").replace('"', '\\"')
        roots += tree.css(f'[id="{quoted}"]')[:1]
    waiting = [*reversed(roots[1:]), *reversed(list(node.iter()))]
    seen = {node.mem_id}
    while waiting:
        element = waiting.pop()
        if element.mem_id in seen:
            continue
        seen.add(element.mem_id)
        attributes = element.attributes
        names = (attributes.get("itemprop") or "").split()
        if names:
            yield element
        # What stands in the method belongs to it, marked a second time or not.
        if "itemscope" not in attributes and _METHOD not in names:
            waiting.extend(reversed(list(element.iter())))


def _value(tree: LexborHTMLParser, element: LexborNode, depth: int) -> Any:
    attributes = element.attributes
    if "itemscope" in attributes:
        kinds = (attributes.get("itemtype") or "").split()
        return _item(tree, element, kinds, depth + 1) if depth < _DEEP else ""
    stated = attributes.get(_BY_ATTRIBUTE.get(element.tag or "", "content")) or attributes.get("content")
    return stated or _words(element)


def _words(element: LexborNode) -> str:
    """Return the words of an element, a line for each block; a heading ends with a colon."""
    from converter.formats.page import Walker

    walker = Walker()
    walker.walk(element)
    lines = []
    for block in walker.blocks:
        text = block.text.strip()
        named = block.shape == "heading" and len(walker.blocks) > 1
        lines.append(f"{text}:" if named and text[-1:] not in ".:!?" else text)
    return "\n".join(lines)
