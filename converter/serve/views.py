"""Draws the pages from their templates; every word of a recipe is escaped."""

from __future__ import annotations

import hashlib
from functools import cache
from pathlib import Path
from typing import Any

from fastapi import Request
from starlette.responses import HTMLResponse

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
        lstrip_blocks=True, auto_reload=False,
    )  # fmt: skip
    made.filters["plain"] = plain
    made.globals["shapes"], made.globals["assets"] = SHAPES, assets()
    return made


def plain(words: str) -> str:
    """Return words without NUL, which HTML cannot carry."""
    return words.replace("\0", "\ufffd")


def draw(request: Request, name: str, /, *, status: int = 200, **values: Any) -> HTMLResponse:
    """Return the page `name` (without its ending) with `values`.

    Every template also has ``token`` (goes into each form as the field ``token``), ``rooms`` and ``here`` (the path).
    """
    words = environment().get_template(f"{name}.html").render(
        token=request.scope["state"]["token"], rooms=ROOMS, here=request.url.path, **values
    )
    return HTMLResponse(words.encode("utf-8", "replace"), status)
