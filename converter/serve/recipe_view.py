"""Draws one recipe for any room: its page, its sheet to print, its text to copy, its files; reads answers to it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Any
from urllib.parse import quote

from fastapi import HTTPException, Request
from markupsafe import Markup
from starlette.datastructures import FormData
from starlette.responses import HTMLResponse, Response

from converter.serve.forms import text as field_text
from converter.serve.kitchen import UNITS, Shown
from converter.serve.recipe_steps import LEVELS, steps
from converter.serve.views import SHAPES, draw, ovens, plain
from converter.write import curve, parts

if TYPE_CHECKING:
    from converter.model import Result
    from converter.review import Answer

MOST_WORDS = 1_000
"""Longest own words for one line, in signs; a round figure, by judgement."""
KINDS = ("take", "choice", "words", "leave")
_MEDIA = {
    "markdown": "text/markdown", "html": "text/html", "jsonld": "application/ld+json", "text": "text/plain",
    "json": "application/json",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Addresses:
    """Where the parts of a recipe's page lead.

    ``answers`` takes a POST as `answer_in` reads it; ``file`` is followed by a form of ``converter.write.forms``;
    ``again`` takes a POST with cooker and units, ``forget`` one with nothing, where there is one. ``back`` is address
    and words of the way back; ``marks`` go with the answer to a flag, by key.
    """

    page: str
    answers: str
    sheet: str
    copy: str
    stove: str
    file: str
    again: str = ""
    forget: str = ""
    back: tuple[str, str] = ("/", "Another recipe")
    marks: Mapping[str, str] = field(default_factory=dict)


def addresses(page: str, **others: Any) -> Addresses:
    """Return the addresses below `page`, the usual ones where `others` names none."""
    usual = {name: f"{page}/{name}" for name in ("answers", "sheet", "copy", "stove", "file")}
    return Addresses(page=page, **{**usual, **others})


# ---------------------------------------------------------------- answers


def answer_in(fields: FormData) -> tuple[str, Answer | None]:
    """Return the key of the flag and the answer in a form of the recipe's page, ``None`` for taking it back.

    Fields: ``key``; ``answer``, which is take, leave, words, back or ``choice:`` and the id of the way; ``words``.
    Raises ``HTTPException`` 400 for anything else.
    """
    from converter.review import Answer

    key, said = field_text(fields, "key", most=80), field_text(fields, "answer", most=120)
    kind, _, code = said.partition(":")
    if kind == "back":
        return key, None
    if kind not in KINDS or (kind == "choice") != bool(code):
        raise HTTPException(400, "This is no answer to a line of a recipe.")
    return key, Answer(kind, code, field_text(fields, "words", most=MOST_WORDS) if kind == "words" else "")


# ---------------------------------------------------------------- pages


def facts(shown: Shown) -> dict[str, Any]:
    """Return what the recipe's page and its sheet both show, apart from the method."""
    result = shown.result
    recipe = result.reading.recipe
    return {
        "title": plain(parts.title_of(result)),
        "start": _start(result),
        "given": parts.as_given(recipe),
        "ingredients": parts.ingredient_parts(recipe),
        "curves": Markup("\n".join(curve.section(result))),
        "own_notes": parts.own_notes(recipe),
        "further": parts.further_notes(result),
        "closing": parts.CLOSING,
        "parts": parts,
    }


def _start(result: Result) -> list[tuple[str, tuple[str, ...]]]:
    """Return the lines of the header that have something to say to a cook."""
    words = {parts.OWN_TIMES_LABEL: f"{parts.OWN_TIMES_LABEL} (not from the recipe)"}
    return [
        (words.get(label, label), tuple(map(ovens, entries)))
        for label, entries in parts.header_lines(result.header, result.units)
        if entries not in ((parts.NONE,), ("0 min",))
    ]


def page(
    request: Request, shown: Shown, at: Addresses, *, status: int = 200, alert: str = "", **values: Any
) -> HTMLResponse:
    """Return the page of a recipe; `alert` is a sentence on top, `values` go to the template as they are."""
    groups, loose = steps(shown, at.marks)
    every = [*loose, *(flag for _, those in groups for step in those for flag in step.flags)]
    to_judge = [
        step.number for _, those in groups for step in those
        if any(flag.level == "judgement" and not flag.decided for flag in step.flags)
    ]  # fmt: skip
    return draw(
        request, "recipe", status=status, at=at, alert=alert, groups=groups, loose=loose,
        cautions=[(step.number, flag) for _, those in groups for step in those for flag in step.flags
                  if flag.level == "caution"] + [(0, flag) for flag in loose if flag.level == "caution"],
        to_judge=to_judge, any_flag=bool(every), units=UNITS[shown.result.units], **{**facts(shown), **values},
    )  # fmt: skip


def sheet(request: Request, shown: Shown, at: Addresses) -> HTMLResponse:
    """Return the sheet to print: the written recipe alone, for one page of paper."""
    result = shown.result
    marks: dict[int, list[tuple[str, str]]] = {}
    for step, level in sorted({(flag.step, flag.level) for flag in result.flags if flag.level != "note"}):
        marks.setdefault(step, []).append(SHAPES[level])
    lists = [(level, parts.lines_of(result, level)) for level in LEVELS]
    return draw(
        request, "sheet", at=at, method=parts.step_parts(result.steps), marks=marks, lists=lists, **facts(shown)
    )


def copy(request: Request, shown: Shown, at: Addresses) -> HTMLResponse:
    """Return the page with the recipe as text in a field, for browsers without scripts."""
    from converter.write.forms import render

    title, words = plain(parts.title_of(shown.result)), render(shown.result, "text")
    return draw(request, "recipe_copy", at=at, title=title, words=words)


def saved(shown: Shown, form: str) -> Response:
    """Return the recipe as a file to save. Raises ``HTTPException`` 404 for a form that is not offered."""
    from converter.folder.names import ENDINGS
    from converter.write.forms import render

    if form not in _MEDIA:
        raise HTTPException(404, "There is nothing at this address.")
    parted = "".join(sign if sign.isalnum() else " " for sign in parts.title_of(shown.result).casefold()).split()
    stem = "-".join(parted)[:60] or "recipe"
    plain_stem = "-".join(part for part in stem.encode("ascii", "ignore").decode().split("-") if part) or "recipe"
    ending = ENDINGS[form]
    told = f"attachment; filename=\"{plain_stem}{ending}\"; filename*=UTF-8''{quote(stem + ending)}"
    words = render(shown.result, form).encode("utf-8", "replace")
    return Response(words, media_type=_MEDIA[form], headers={"Content-Disposition": told})
