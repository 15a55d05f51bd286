"""Recipes in the schema.org vocabulary, out of JSON or microdata, as plain text."""

from __future__ import annotations

import html
import json
import re
from typing import Any

from converter.read import shapes

_TAG = re.compile(r"</?[a-zA-Z][^<>]{0,300}>")
_BREAK = re.compile(r"(?i)<\s*(?:br|/p|/li|/div|/h[1-6])\b[^<>]{0,80}>")
_PERIOD = re.compile(r"P(?:(\d{1,3})D)?(?:T(?:(\d{1,4})H)?(?:(\d{1,5})M)?(?:(\d{1,6})(?:\.\d+)?S)?)?$", re.I)
_NUMBERED = re.compile(r"(?m)^\s*(?:step\s+)?\d{1,2}\s*[.):]\s+", re.I)
_INLINE_NUMBERS = re.compile(r"(?<=[.!?)])\s+(?=\d{1,2}[.)]\s+[A-Z])")
_MOST_NODES = 200_000
_DEEP = 200
_TIMES = (("totalTime", "Total time"), ("prepTime", "Preparation time"), ("cookTime", "Cooking time"))

Recipe = tuple[str | None, str]


class TooDeep(ValueError):
    """JSON nested deeper than can be read."""


def load(text: str) -> Any:
    """Return JSON as values. Raises ``ValueError`` for JSON that is broken, too deep or with endless figures."""
    try:
        return json.loads(text.lstrip("\ufeff"), strict=False)
    except RecursionError:
        raise TooDeep("nested too deep") from None


def find(values: Any) -> list[dict[str, Any]]:
    """Return every object of type Recipe, in order, also inside lists, @graph and other objects."""
    found: list[dict[str, Any]] = []
    waiting: list[tuple[Any, int]] = [(values, 0)]
    seen = 0
    while waiting and seen < _MOST_NODES:
        node, depth = waiting.pop()
        seen += 1
        if depth > _DEEP:
            continue
        if isinstance(node, dict):
            if _is_recipe(node):
                found.append(node)
            else:
                inner = reversed(list(node.values()))
                waiting.extend((value, depth + 1) for value in inner if isinstance(value, dict | list))
        elif isinstance(node, list):
            waiting.extend((value, depth + 1) for value in reversed(node) if isinstance(value, dict | list))
    return found


def _is_recipe(node: dict[str, Any]) -> bool:
    kinds = node.get("@type", node.get("type"))
    named = any(
        isinstance(kind, str) and kind.rstrip("/").rpartition("/")[2].rpartition(":")[2] == "Recipe"
        for kind in (kinds if isinstance(kinds, list) else [kinds])
    )
    # An export without a type is known by its two lists.
    return named or ("recipeInstructions" in node and ("recipeIngredient" in node or "ingredients" in node))


def plain(value: Any) -> str:
    """Return a text value without tags and entities, its lines kept."""
    if isinstance(value, list):
        return ", ".join(words for words in map(plain, value) if words)
    if isinstance(value, dict):
        return plain(value.get("@value", value.get("name", value.get("text", ""))))
    if isinstance(value, int | float) and not isinstance(value, bool):
        return f"{value:g}" if abs(value) < 1e9 else ""
    if not isinstance(value, str):
        return ""
    text = _TAG.sub("", _BREAK.sub("\n", value))
    for _ in range(2):
        if "&" not in text:
            break
        text = html.unescape(text)
    text = _TAG.sub("", _BREAK.sub("\n", text))
    return "\n".join(" ".join(line.split()) for line in text.splitlines() if line.strip())


def _line(value: Any) -> str:
    return " ".join(plain(value).split())


def _measured(item: dict[str, Any]) -> str:
    """An ingredient that is given in fields: amount, unit, name."""
    keys = ("amount", "quantity", "value", "unit", "unitText")
    words = [_line(item.get(key)) for key in keys] + [_line(item.get("name", item.get("text", item.get("item"))))]
    return " ".join(word for word in words if word)


def _listed(value: Any) -> list[str]:
    """Ingredients: a list of texts, or one text with a line for each."""
    if isinstance(value, dict) and "itemListElement" in value:
        return _listed(value["itemListElement"])
    if isinstance(value, list):
        made: list[str] = []
        for item in value:
            if isinstance(item, dict) and isinstance(item.get("itemListElement"), list):
                made += _listed([inner for inner in item["itemListElement"] if not isinstance(inner, list)])
            else:
                made.append(_measured(item) if isinstance(item, dict) else _line(item))
        return [words for words in made if words]
    return [line.lstrip("-•* ") for line in plain(value).split("\n") if line]


def _steps(value: Any, depth: int = 0) -> list[tuple[str, str]]:
    """Return the method as ("step" | "part", words)."""
    if depth > _DEEP:
        return []
    if isinstance(value, list):
        return [step for item in value for step in _steps(item, depth + 1)]
    if isinstance(value, dict):
        inner = value.get("itemListElement", value.get("steps"))
        name = _line(value.get("name"))
        if inner is not None:
            steps = _steps(inner, depth + 1)
            kind = str(value.get("@type", ""))
            return [("part", name), *steps] if name and steps and "ItemList" not in kind else steps
        if "item" in value and "text" not in value:
            return _steps(value["item"], depth + 1)
        words = _line(value.get("text")) or _line(value.get("description"))
        # The name of a step is often its beginning, or a word for a picture.
        return [("step", words or name)] if words or name else []
    text = plain(value)
    if "\n" not in text and re.match(r"1[.)]\s", text):
        text = _INLINE_NUMBERS.sub("\n", text)
    lines = (line.strip() for line in _NUMBERED.sub("", text).split("\n"))
    return [("part" if _names_part(line) else "step", line) for line in lines if line and not _names_method(line)]


def _names_part(line: str) -> bool:
    return line.endswith(":") and len(line) < 60 and ". " not in line


def _names_method(line: str) -> bool:
    return len(line) < 40 and shapes.section(line) == "method"


def _length(value: Any) -> str:
    words = _line(value)
    found = _PERIOD.match(words)
    if not words or found is None:
        return words if words and any(sign.isdigit() for sign in words) else ""
    days, hours, minutes, _ = (int(part) if part else 0 for part in found.groups())
    minutes += (days * 24 + hours) * 60
    whole, rest = divmod(minutes, 60)
    parts = [f"{whole} hour{'s' if whole > 1 else ''}"] if whole else []
    if rest:
        parts.append(f"{rest} minute{'s' if rest > 1 else ''}")
    return " ".join(parts)


def _servings(value: Any) -> str:
    if isinstance(value, list):
        # A bare figure and the same with its word are often both given.
        return max((_line(item) for item in value), key=len, default="")
    return _line(value)


def as_text(node: dict[str, Any]) -> Recipe | None:
    """Return (title, text) of an object of type Recipe; ``None`` where it has no method."""
    steps = [(kind, words) for kind, words in _steps(node.get("recipeInstructions")) if words]
    if not any(kind == "step" for kind, _ in steps):
        return None
    title = _line(node.get("name")) or _line(node.get("headline")) or None
    lines = [title] if title else []
    servings = _servings(node.get("recipeYield", node.get("yield")))
    if servings:
        lines.append(f"Serves: {servings}")
    told = plain(node.get("description"))
    for key, label in _TIMES:
        length = _length(node.get(key))
        if length:
            lines.append(f"{label}: {length}")
    if told:
        lines.extend(told.split("\n"))
    ingredients = _listed(node.get("recipeIngredient", node.get("ingredients")))
    if ingredients:
        lines += ["", "Ingredients", *(f"- {words}" for words in ingredients)]
    lines += ["", "Method"]
    count = 0
    for kind, words in steps:
        if kind == "part":
            lines += ["", words.rstrip(":") + ":"]
        else:
            count += 1
            lines.append(f"{count}. {words}")
    return title, "\n".join(lines) + "\n"


def recipes(values: Any) -> list[Recipe]:
    """Return the recipes in JSON values; one that is given twice is taken once."""
    made: list[Recipe] = []
    for node in find(values):
        recipe = as_text(node)
        if recipe is not None and recipe not in made:
            made.append(recipe)
    return made
