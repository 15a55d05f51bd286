"""Draws the pages from their templates; every word of a recipe is escaped."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

from fastapi import Request
from starlette.responses import HTMLResponse

from converter.folder.names import seen
from converter.write.parts import TURNS

HERE = Path(__file__).resolve().parent
# Where the top line leads: address, words.
ROOMS = (("/", "A recipe"), ("/folder", "The folder"), ("/judgement", "Your judgement"), ("/cooker", "My cooker"))
SHAPES = {"caution": ("▲", "caution"), "judgement": ("◆", "your judgement"), "note": ("●", "note")}


@cache
def environment() -> Any:
    """Return the Jinja environment, made once; a name that a template lacks is an error."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    made = Environment(
        loader=FileSystemLoader(HERE / "templates"), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True, auto_reload=False, finalize=_straight,
    )  # fmt: skip
    made.filters["plain"] = plain
    made.filters["file_name"] = seen
    made.globals["shapes"] = SHAPES
    return made


def _straight(value: Any) -> Any:
    """Return words without signs that turn the direction of the words after them; what is drawn already as it is."""
    if not isinstance(value, str) or value.isascii() or hasattr(value, "__html__"):
        return value
    return TURNS.sub("", value)


def plain(words: str) -> str:
    """Return words without NUL, which HTML cannot carry."""
    return words.replace("\0", "\ufffd")


def draw(request: Request, name: str, /, *, status: int = 200, **values: Any) -> HTMLResponse:
    """Return the page `name` (without its ending) with `values`.

    Every template also has ``token`` (goes into each form as the field ``token``), ``rooms`` and ``here`` (the path).
    """
    words = (
        environment()
        .get_template(f"{name}.html")
        .render(token=request.scope["state"]["token"], rooms=ROOMS, here=request.url.path, **values)
    )
    return HTMLResponse(words.encode("utf-8", "replace"), status)
