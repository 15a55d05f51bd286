"""Tells the parts of a recipe apart: title, header, ingredients, method, notes.

A step is a numbered item, a bulleted item or a paragraph of the method. A
wrapped line, a sub-item and a paragraph between two numbered items belong to
the step above them; a sub-heading is no step but names the part.
"""

from __future__ import annotations

import re

from converter.model import Document, Ingredient, Recipe, Span, Step
from converter.read import shapes
from converter.read.rows import Row, front_matter, listed, rows_of
from converter.read.text import NotReadable

_TITLE_LABEL = re.compile(r"(?i)(?:title|recipe(?: name)?|name)[ ]*:[ ]*(?=\S)")
_FRONT_TITLE = ("title", "name", "recipe")
_FRONT_SERVINGS = ("servings", "serves", "yield", "yields", "makes", "portions")


class NoMethod(NotReadable):
    """The text has no instructions, so that it is not a recipe that can be rewritten."""


class _Block:
    """One part of the document; ``end`` grows when lines are added to a step."""

    __slots__ = ("end", "kind", "part", "start")

    def __init__(self, kind: str, start: int, end: int, part: str | None = None) -> None:
        self.kind = kind
        self.start = start
        self.end = end
        self.part = part


class _Reader:
    """Goes through the rows once and sorts them into blocks."""

    def __init__(self, text: str, rows: list[Row]) -> None:
        self.text = text
        self.rows = rows
        self.blocks: list[_Block] = []
        self.title: str | None = None
        self.servings: str | None = None
        self.times: list[str] = []
        self.where = "head"
        self.part: str | None = None
        self.step: _Block | None = None
        self.shape = ""
        self.bulleted = False
        self.method_ahead = [False] * (len(rows) + 1)
        self.number_ahead = [False] * (len(rows) + 1)
        self.bullet_ahead = [False] * (len(rows) + 1)
        method = number = bullet = False
        for at in range(len(rows) - 1, -1, -1):
            self.method_ahead[at], self.number_ahead[at], self.bullet_ahead[at] = method, number, bullet
            row = rows[at]
            if row.section is not None:
                method = method or row.section == "method"
                number = bullet = False
            elif row.kind == "number":
                number = True
            elif row.kind == "bullet":
                bullet = True
            elif row.kind == "plain" and not method and ":" in row.text[:34]:
                opened = shapes.opening(row.text)
                method = opened is not None and opened[0] == "method"
        self.headed = method

    def add(self, kind: str, row: Row, part: str | None = None) -> _Block:
        block = _Block(kind, row.start, row.end, part)
        self.blocks.append(block)
        return block

    def read(self) -> None:
        for at, row in enumerate(self.rows):
            if row.section is not None and not (row.kind == "number" and self.where == "method"):
                self.open(row.section)
                self.add("heading", row)
                continue
            if row.kind == "plain" or row.kind == "hash":
                if self.stated(row):
                    continue
                opened = shapes.opening(row.text) if row.text.find(":", 0, 34) > 0 or " - " in row.text[:34] else None
                if opened is not None:
                    self.inline(at, row, *opened)
                    continue
            if self.where == "ingredients":
                self.ingredients(at, row)
            elif self.where == "method":
                self.method(at, row)
            elif self.where == "head":
                self.head(at, row)
            else:
                self.add({"notes": "note", "meta": "meta"}.get(self.where, "intro"), row)

    def open(self, where: str) -> None:
        self.where = where
        self.part = self.step = None
        self.shape = ""
        self.bulleted = False

    def stated(self, row: Row) -> bool:
        """Take servings and times; return whether the row was such a line."""
        kind = shapes.meta(row.text)
        if kind is None or (kind == "other" and self.where != "head"):
            return False
        if kind == "servings" and self.servings is None:
            found = shapes.SERVINGS.match(row.text)
            self.servings = next((value for value in found.groups() if value), None) if found else None
        elif kind == "time":
            found = shapes.TIMES.match(row.text)
            value = found["value"] if found and found["plain"] and found["plain"].lower() == "time" else row.text
            self.times.append(value)
        self.add("meta", row)
        return True

    def inline(self, at: int, row: Row, where: str, start: int) -> None:
        """A heading with its words on the same line."""
        split = row.start + start
        body = Row("plain", split, row.end, row.indent, row.gap, self.text[split : row.end], None)
        if where in ("notes", "meta", "intro"):
            self.add({"notes": "note", "meta": "meta"}.get(where, "intro"), row)
            return
        if len(body.text) < 50 and shapes.LENGTH.match(body.text) and not shapes.instruction(body.text):
            self.times.append(row.text)
            self.add("meta", row)
            return
        self.open(where)
        self.add("heading", row._replace(end=row.start + len(row.text[:start].rstrip())))
        if where == "method":
            self.method(at, body)
            return
        for first, last in listed(self.text, split, row.end):
            self.blocks.append(_Block("ingredient", first, last))

    # ------------------------------------------------------------ above the first heading

    def head(self, at: int, row: Row) -> None:
        text, ahead = row.text, self.method_ahead[at]
        more = at + 1 < len(self.rows)
        if row.kind == "hash":
            if self.title is None:
                self.title = shapes.bare(text)
                self.add("title", row)
            else:
                self.add("heading", row)
                self.part = shapes.bare(text) if not ahead and not self.headed else None
            return
        if row.kind == "plain" and self.title is None and at <= 3 and more and self.titled(text):
            label = _TITLE_LABEL.match(text)
            self.title = shapes.bare(text[label.end() :] if label else text) or text
            self.add("title", row)
            return
        if ahead:
            above = self.blocks[-1].kind if self.blocks and not row.gap else ""
            if above == "meta" and self.times and len(text) < 60 and shapes.LENGTH.match(text):
                self.times.append(text)
                self.add("meta", row)
            elif shapes.QUANTITY.match(text) and shapes.ingredient(text) and not shapes.instruction(text):
                self.add("ingredient", row)
            else:
                self.add("intro", row)
        elif row.kind == "number" and not (shapes.QUANTITY.match(text) and shapes.ingredient(text)):
            self.open("method")
            self.method(at, row)
        elif shapes.ingredient(text) and (
            row.kind != "plain" or shapes.QUANTITY.match(text) or self.measured_below(at)
        ):
            self.open("ingredients")
            self.ingredients(at, row)
        elif shapes.instruction(text) or (shapes.HEAT.search(text) and shapes.instructs(text)):
            part = self.part
            self.open("method")
            self.part = part
            self.method(at, row)
        else:
            self.add("intro", row)

    def measured_below(self, at: int) -> bool:
        """Whether the lines right below go on as a list with quantities."""
        for row in self.rows[at + 1 : at + 5]:
            if row.gap:
                return False
            if shapes.QUANTITY.match(row.text) and shapes.ingredient(row.text):
                return True
        return False

    def titled(self, text: str) -> bool:
        if len(text) > 100:
            return False
        if text.endswith((".", "!", ";")) and (len(text) > 60 or shapes.instruction(text)):
            return False
        return not (shapes.QUANTITY.match(text) and shapes.AMOUNT.match(text))

    # ------------------------------------------------------------ ingredients

    def ingredients(self, at: int, row: Row) -> None:
        text = row.text
        if row.kind == "hash":
            self.add("heading", row)
            if not self.method_ahead[at]:
                self.part = shapes.bare(text)
            return
        if not self.method_ahead[at] and self.begins_method(row):
            part = self.part
            self.open("method")
            self.part = part
            self.method(at, row)
            return
        if row.kind == "plain":
            name = shapes.part(text, marked=False)
            if name is not None and not (text.endswith(":") or self.bulleted or text[:4].lower() == "for "):
                after = self.rows[at + 1].text if at + 1 < len(self.rows) else ""
                if shapes.QUANTITY.match(after) is None or (" " in name and not row.gap):
                    name = None
            if name is None and self.bulleted and row.gap and len(text) < 40 and self.bullet_ahead[at]:
                name = shapes.bare(text)
            if name is not None:
                self.add("heading", row)
                self.part = name
                return
            if self.bulleted and row.indent >= 2 and not row.gap and self.blocks[-1].kind == "ingredient":
                self.blocks[-1].end = row.end
                return
            if len(text) > 60 and text.endswith(".") and not shapes.QUANTITY.match(text):
                self.add("note", row)
                return
        elif row.kind == "bullet":
            self.bulleted = True
        self.add("ingredient", row)

    def begins_method(self, row: Row) -> bool:
        """Whether a row of the list is the first of a method that has no heading of its own."""
        text = row.text
        if shapes.QUANTITY.match(text):
            return len(text) > 140 and shapes.instructs(text)
        if row.kind == "number":
            return shapes.instructs(text) or not shapes.ingredient(text)
        if shapes.instruction(text):
            if text.endswith(".") or (shapes.HEAT.search(text) and any(sign.isdigit() for sign in text)):
                return True
            return len(text) > 45 and shapes.BOUGHT.match(text) is None
        return len(text) > 60 and text.endswith(".") and shapes.instructs(text)

    # ------------------------------------------------------------ method

    def new_step(self, row: Row, shape: str) -> None:
        self.step = self.add("step", row, self.part)
        self.shape = shape

    def extend(self, step: _Block, row: Row) -> None:
        """Add a row to a step; where a note stands between the two it cannot be part of it."""
        if self.blocks[-1] is step:
            step.end = row.end
        elif shapes.instructs(row.text):
            self.step = self.add("step", row, self.part)
        else:
            self.add("note", row)

    def method(self, at: int, row: Row) -> None:
        kind, step = row.kind, self.step
        if kind == "number":
            self.new_step(row, kind)
            return
        if kind == "bullet":
            if step is not None and self.shape == "number":
                self.extend(step, row)
            else:
                self.new_step(row, kind)
            return
        text = row.text
        numbered = self.shape == "number" or (self.shape == "" and self.number_ahead[at])
        listed = numbered or self.shape == "bullet"
        more = self.number_ahead[at] or (not numbered and self.bullet_ahead[at])
        name = shapes.part(text, marked=kind == "hash")
        if name is None and listed and more and row.gap and len(text) < 40 and text[-1] not in ".,;!?":
            following = self.rows[at + 1]
            if following.kind in ("number", "bullet"):
                name = shapes.bare(text)
        if name is not None and (row.gap or kind == "hash" or not listed or self.followed_by_item(at)):
            self.add("heading", row)
            self.part, self.step = name, None
            return
        if listed and step is not None:
            if not row.gap or row.indent >= 2 or more:
                self.extend(step, row)
            else:
                self.where, self.step = "notes", None
                self.add("note", row)
            return
        if listed and more and not shapes.instructs(text):
            self.add("intro", row)
            return
        if not self.headed and step is not None:
            if self.second_list(at, row):
                self.open("ingredients")
                self.ingredients(at, row)
                return
            if not shapes.instructs(text) and shapes.tells(text) and not self.instructed_ahead(at):
                self.add("note", row)
                return
        self.new_step(row, "plain")

    def followed_by_item(self, at: int) -> bool:
        return at + 1 < len(self.rows) and self.rows[at + 1].kind in ("number", "bullet")

    def second_list(self, at: int, row: Row) -> bool:
        """Whether another list of ingredients begins below a method without heading."""
        return (
            row.gap
            and shapes.AMOUNT.search(row.text[:12]) is not None
            and shapes.ingredient(row.text)
            and not row.text.endswith(".")
            and at + 1 < len(self.rows)
            and shapes.ingredient(self.rows[at + 1].text)
        )

    def instructed_ahead(self, at: int) -> bool:
        for row in self.rows[at + 1 : at + 12]:
            if row.section is not None:
                return False
            if shapes.instructs(row.text):
                return True
        return False

    def rescue(self) -> None:
        """Take instructions that stand under no heading, or the wrong one, as the method."""
        for block in self.blocks:
            if block.kind in ("intro", "note", "title", "ingredient") and shapes.instructs(
                self.text[block.start : block.end]
            ):
                if block.kind == "ingredient" and not shapes.instruction(self.text[block.start : block.end]):
                    continue
                if block.kind == "title":
                    self.title = None
                block.kind = "step"


def layout(document: Document) -> Recipe:
    """Return the recipe in `document` by its parts.

    ``name`` of an ingredient is its text; weight and class are read later.
    ``layout`` lists every block in order: title, intro, heading, ingredient,
    step, note, meta. Raises ``NoMethod`` where nothing tells a cook what to do.
    """
    text = document.text
    body, front = front_matter(text)
    reader = _Reader(text, rows_of(text, body, document.name))
    if front:
        reader.title = next((front[key] for key in _FRONT_TITLE if key in front), None)
        reader.servings = next((front[key] for key in _FRONT_SERVINGS if key in front), None)
        reader.times.extend(value for key, value in front.items() if "time" in key.replace("_", " ").split())
    reader.read()
    if not any(block.kind == "step" for block in reader.blocks):
        reader.rescue()
    ingredients: list[Ingredient] = []
    steps: list[Step] = []
    notes: list[Span] = []
    blocks: list[tuple[str, Span]] = []
    if body:
        blocks.append(("meta", Span(0, body)))
    for block in reader.blocks:
        span = Span(block.start, block.end)
        kind = block.kind
        blocks.append((kind, span))
        if kind == "step":
            steps.append(Step(len(steps) + 1, span, text[span.start : span.end], block.part))
        elif kind == "ingredient":
            words = text[span.start : span.end]
            ingredients.append(Ingredient(span, words, words))
        elif kind == "note":
            notes.append(span)
    if not steps:
        raise NoMethod(f"{document.name}: this is not a recipe: no method was found.")
    return Recipe(
        document, reader.title or "", tuple(ingredients), tuple(steps), reader.servings, tuple(reader.times),
        tuple(notes), tuple(blocks),
    )  # fmt: skip
