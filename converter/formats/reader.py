"""Reads one file of any kind into the recipes in it. Opens no other file, follows no link, runs nothing."""

from __future__ import annotations

import os
import re
from typing import TYPE_CHECKING

from converter.formats import blocks as layouts
from converter.formats.kinds import FileText, Limits, Unreadable
from converter.formats.lift import lift
from converter.formats.opening import content
from converter.formats.sniff import sniff, suffix
from converter.formats.split import Recipe, split
from converter.read import shapes

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

_ESCAPES = re.compile(r"\x1b(?:\[[0-9;?]*[ -/]*[@-~]|\][^\x07\x1b\n]{0,200}(?:\x07|\x1b\\)?|[@-Z\\-_])")
_CONTROLS = re.compile(r"[\x00-\x08\x0e-\x1f\x7f]")
_TURNED = re.compile(r"[\u202a-\u202e\u2066-\u2069]")
_ENDLESS = re.compile(r"[^\s]{5000,}")
_BY_KIND = {
    "docx": "office_bytes", "odt": "office_bytes", "doc": "office_bytes", "rtf": "office_bytes", "ole": "office_bytes",
    "zip": "office_bytes", "pdf": "pdf_bytes", "picture": "picture_bytes",
}  # fmt: skip
DEFAULT = Limits()


def read_file(path: str | Path, *, limits: Limits = DEFAULT) -> FileText:
    """Return the recipes in the file `path`. Raises ``Unreadable``.

    Limits of time and memory hold only in a worker: see
    ``converter.formats.worker.read_in_worker``.
    """
    name = os.path.basename(os.fspath(path))
    try:
        return read_bytes(content(path, limits), name, limits=limits)
    except MemoryError:
        raise Unreadable("memory", "reading it takes too much memory") from None
    except RecursionError:
        raise Unreadable("too-deep", "its parts lie inside one another too deep, as in no recipe") from None


def read_bytes(data: bytes, name: str, *, limits: Limits = DEFAULT) -> FileText:
    """Return the recipes in the bytes of a file; `name` tells apart kinds that look alike. Raises ``Unreadable``."""
    if not data.strip(b"\0 \t\r\n\x0b\x0c\xff\xfe\xef\xbb\xbf"):
        raise Unreadable("empty", "it is empty")
    kind = sniff(data, name)
    most = getattr(limits, _BY_KIND.get(kind, "text_bytes"))
    if len(data) > most:
        raise Unreadable("too-large", f"it has {len(data):,} bytes, and at most {most:,} are read of this kind")
    if kind == "zip" and suffix(name) in ("docx", "odt"):
        kind = suffix(name)
    if kind == "ole":
        kind = "doc"
    found, warnings = _recipes(kind, data, name, limits)
    return _checked(kind, found, warnings, limits)


# ---------------------------------------------------------------- by kind


def _recipes(kind: str, data: bytes, name: str, limits: Limits) -> tuple[list[Recipe], list[str]]:
    if kind in ("text", "markdown"):
        from converter.formats import misread

        text, mended = misread.mend(_front_told(clean(_decoded(data, name))))
        found, warnings = split(text)
        return found, [*warnings, misread.told(mended)] if mended else warnings
    if kind == "html":
        return _page(data, name, limits)
    if kind == "json":
        return _json(_decoded(data, name), limits)
    if kind == "docx":
        from converter.formats import docx

        return _laid(docx.read(data, limits))
    if kind == "odt":
        from converter.formats import odt

        return _laid(odt.read(data, limits))
    if kind in ("rtf", "doc"):
        from converter.formats import richtext

        text = richtext.rtf(data, limits) if kind == "rtf" else richtext.doc(data, limits)
        return _laid(layouts.from_text(clean(text)))
    if kind == "pdf":
        return _pdf(data, limits)
    if kind == "mail":
        return _mail(data, limits)
    if kind == "picture":
        from converter.formats import misread, scan

        text = misread.mend(clean(scan.picture(data, limits)))[0]
        if not text.strip():
            raise Unreadable("no-recipe", "no words were found in the picture")
        found, warnings = split(text)
        return found, [scan.DOUBT, *warnings]
    raise Unreadable("unknown-kind", "it is no kind of file that recipes are read from")


def _decoded(data: bytes, name: str) -> str:
    from converter.read.text import NotReadable, decode

    try:
        return decode(data, name=name)[0]
    except NotReadable as error:
        damaged = "damaged" in str(error)
        sentence = "its signs are damaged" if damaged else "its bytes are no text and no kind of file that is known"
        raise Unreadable("broken" if damaged else "unknown-kind", sentence) from error


def clean(text: str) -> str:
    """Return `text` without terminal controls; line ends become ``\\n``."""
    if "\x1b" in text:
        text = _ESCAPES.sub("", text)
    return _CONTROLS.sub("", text.replace("\r\n", "\n").replace("\r", "\n"))


def _front_told(text: str) -> str:
    """Return a text whose front matter is told in lines as a recipe has them: title, servings, times, source."""
    from converter.read.rows import front_matter

    end, values = front_matter(text)
    if not end:
        return text
    body = text[end:]
    lines: list[str] = []
    title = next((values[key] for key in ("title", "name", "recipe") if key in values), None)
    first = next((shapes.bare(line) for line in body.split("\n") if line.strip()), "")
    if title and title.casefold() != first.casefold():
        lines.append(title)
    for key, value in values.items():
        if key in ("servings", "serves", "yield", "yields", "makes", "portions"):
            lines.append(f"Serves: {value}")
        elif "time" in key.replace("_", " ").split() or key in ("source", "author"):
            lines.append(f"{key.replace('_', ' ').capitalize()}: {value}")
    if not lines:
        return body.lstrip("\n")
    if lines[0] != title:  # below the title of the text
        above, _, below = body.lstrip("\n").partition("\n")
        return "\n".join([above, *lines, below])
    return "\n".join([*lines, "", body.lstrip("\n")])


def _laid(found: list[layouts.Block]) -> tuple[list[Recipe], list[str]]:
    laid = layouts.lay(found)
    return split(laid.text, heads=laid.heads, pages=laid.pages)


def _lifted(recipes: list[Recipe], heads: Mapping[int, int] | None) -> list[Recipe]:
    alone = heads if len(recipes) == 1 else None
    made: list[Recipe] = []
    for title, text in recipes:
        words = lift(text, heads=alone)
        made.append((title if title is None or title in words else None, words))
    return made


def _page(data: bytes, name: str, limits: Limits) -> tuple[list[Recipe], list[str]]:
    from converter.formats import page

    stated, found = page.read(data, name, limits)
    if stated:
        return stated, []
    laid = layouts.lay(found)
    recipes, warnings = split(laid.text, heads=laid.heads)
    return _lifted(recipes, laid.heads), warnings


def _json(text: str, limits: Limits) -> tuple[list[Recipe], list[str]]:
    from converter.formats import schema

    try:
        values = schema.load(text)
    except schema.TooDeep:
        raise Unreadable("too-deep", "its parts lie inside one another too deep, as in no recipe") from None
    except ValueError as error:
        if not hasattr(error, "pos"):  # Python reads no number of that length
            raise Unreadable("broken", "it holds a number of thousands of digits, which no recipe has") from None
        cut = error.args[0].startswith("Unterminated") or getattr(error, "pos", 0) >= len(text.rstrip()) - 1
        raise Unreadable("truncated" if cut else "broken", "it is cut off" if cut else "it is no valid JSON") from None
    found = schema.recipes(values)
    if not found:
        raise Unreadable("no-recipe", "it holds no recipe of the schema.org vocabulary with a method")
    return list(found), []


def _pdf(data: bytes, limits: Limits) -> tuple[list[Recipe], list[str]]:
    from converter.formats import misread, pdf, scan

    found, warnings, scanned = pdf.read(data, limits, scan.reader(limits))
    recipes: list[Recipe] = []
    if found:
        recipes, more = _laid(found)
        warnings += more
    if scanned:
        read, more = split(misread.mend(_paged(scanned))[0])
        recipes += read
        warnings += [scan.DOUBT, *more]
    if not recipes:
        raise Unreadable("empty", "its pages hold no text")
    return recipes, warnings


def _paged(pages: list[str]) -> str:
    return "\n\f\n".join(map(clean, pages))


def _mail(data: bytes, limits: Limits) -> tuple[list[Recipe], list[str]]:
    from converter.formats import mail, page

    subject, text, html, attached = mail.read(data, limits)
    told = [f"{attached} attached file{'s' if attached > 1 else ''} not read; save and read them by themselves"]
    told = told if attached else []
    heads: Mapping[int, int] | None = None
    if html:
        stated, found = page.read_text(html, limits)
        if stated:
            return stated, told
        laid = layouts.lay(found)
        text, heads = mail.letter(laid.text) if not laid.heads else laid.text, laid.heads or None
    recipes, warnings = split(clean(text), heads=heads)
    made: list[Recipe] = []
    for title, words in _lifted(recipes, heads):
        first = next((line for line in words.split("\n") if line.strip()), "")
        if title is None and len(recipes) == 1 and subject and shapes.section(first) is not None:
            title, words = subject, f"{subject}\n\n{words}"
        made.append((title, words))
    return made, [*told, *warnings]


# ---------------------------------------------------------------- what may go on


def _checked(kind: str, found: list[Recipe], warnings: list[str], limits: Limits) -> FileText:
    """Keep what is a recipe; say what is not."""
    from converter.read.lines import layout
    from converter.read.text import NotReadable, document

    kept: list[Recipe] = []
    dropped: list[str] = []
    turned = endless = False
    if sum(len(text) for _, text in found) > limits.signs:
        raise Unreadable("too-large", f"it has more than {limits.signs:,} signs, which no recipe has")
    for title, text in found:
        text = clean(text)
        if _TURNED.search(text):
            turned = True
        if _ENDLESS.search(text):
            endless = True
            text = _ENDLESS.sub(" ", text)
        try:
            recipe = layout(document(text, name="it"))
        except NotReadable:
            dropped.append(title or "a part without title")
            continue
        headed = any(kind == "heading" for kind, _ in recipe.layout)
        if len(recipe.ingredients) < 2 and not headed and not any(shapes.HEAT.search(it.text) for it in recipe.steps):
            dropped.append(title or "a part without title")
            continue
        kept.append((title or recipe.title or None, text))
    if not kept:
        raise Unreadable("no-recipe", "no recipe was found in it: nothing that tells a cook what to do")
    if turned:
        warnings.append("it holds signs that turn the direction of writing, which can hide words; they were left out")
    if endless:
        warnings.append("it holds words of 5,000 signs and more, as a picture put into text makes; they were left out")
    if dropped:
        shown = ", ".join(title[:60] for title in dropped[:5]) + (" ..." if len(dropped) > 5 else "")
        warnings.append(f"left out, as no method was found: {shown}")
    return FileText(kind, tuple(kept), tuple(warnings))
