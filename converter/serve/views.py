"""Draws the pages from their templates; every word of a recipe is escaped."""

from __future__ import annotations

import hashlib
import re
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
def assets() -> str:
    """Return the address below which the assets of this start stand."""
    return address_of(HERE / "assets")


def address_of(folder: Path) -> str:
    """Return an address for the files of `folder`; it is another one as soon as one of them changes."""
    told = hashlib.blake2b(digest_size=6)
    for path in sorted(folder.iterdir()):
        told.update(path.name.encode() + b"\0" + path.read_bytes())
    return f"/assets/{told.hexdigest()}"


@cache
def environment() -> Any:
    """Return the Jinja environment, made once; a name that a template lacks is an error."""
    from jinja2 import Environment, FileSystemLoader, StrictUndefined

    made = Environment(
        loader=FileSystemLoader(HERE / "templates"), autoescape=True, undefined=StrictUndefined, trim_blocks=True,
        lstrip_blocks=True, auto_reload=False, finalize=_straight,
    )  # fmt: skip
    made.filters |= {"plain": plain, "file_name": seen, "together": together, "ovens": ovens, "day": day}
    made.globals["shapes"], made.globals["assets"] = SHAPES, assets()
    return made


def _straight(value: Any) -> Any:
    """Return words, those already drawn too, without signs that turn the direction of the words after them."""
    if not isinstance(value, str) or value.isascii():
        return value
    return type(value)(TURNS.sub("", value))


def plain(words: str) -> str:
    """Return words without NUL, which HTML cannot carry."""
    return words.replace("\0", "\ufffd")


_APART = re.compile(r"(?<=[\d½¼¾⅓⅔]) (?=(?:°[CF]|min|minutes?|hours?|h|g|kg|ml|cm)\b)|(?<=\bh) (?=\d)")
_OVENS = re.compile(r"(two|three|four|five)[- ]oven")


def together(words: str) -> str:
    """Return words without NUL in which no figure is parted from its unit at the end of a line."""
    return _APART.sub("\u00a0", plain(words))


def ovens(name: str) -> str:
    """Return the name of a built-in cooker as one says it, ``four ovens``; another name as it is."""
    found = _OVENS.fullmatch(name)
    return f"{found[1]} ovens" if found else name


def day(at: str) -> str:
    """Return "25 November 2026" of a date or moment in ISO 8601, as the calendar on the wall shows it."""
    from datetime import datetime

    when = datetime.fromisoformat(at)
    when = when.astimezone() if when.tzinfo else when
    return f"{when.day} {when:%B %Y}"


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
