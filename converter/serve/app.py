"""The app: the rooms of the page behind the guard."""

from __future__ import annotations

import os
import sys
import traceback
from http import HTTPStatus
from importlib import import_module
from typing import Any, Final

from fastapi import FastAPI, Request
from fastapi.exception_handlers import request_validation_exception_handler
from fastapi.exceptions import RequestValidationError
from starlette.exceptions import HTTPException
from starlette.middleware import Middleware
from starlette.responses import JSONResponse, Response
from starlette.staticfiles import StaticFiles

from converter import __version__, cli_parts
from converter.serve.door import Door
from converter.serve.guard import Guard
from converter.serve.house import House
from converter.serve.views import HERE, assets, draw

# Each has a ``router``; only what is asked of the machine under /api stands in the API's description.
_ROOMS = ("recipe", "stove", "folder", "judgement", "cooker", "key", "api")
_WORDS: Final = {
    400: "What was sent here cannot be read.",
    404: "There is nothing at this address.",
    405: "Nothing can be done this way at this address.",
}


def build(door: Door, *, house: House | None = None) -> FastAPI:
    """Return the app for `door`. What its routes share is in ``app.state``: ``door``, ``house``."""
    keys = house or House(open_to_house=door.house)
    app = FastAPI(
        title="undial",
        version=__version__,
        docs_url=None,
        redoc_url=None,
        openapi_url="/api/openapi.json",
        middleware=[Middleware(Guard, door=door, house=keys, failed=_failed)],
        exception_handlers={HTTPException: _told, RequestValidationError: _misfit},
    )
    app.state.door, app.state.house = door, keys
    for name in _ROOMS:
        app.include_router(import_module(f"converter.serve.{name}").router, include_in_schema=name == "api")
    app.mount(assets(), StaticFiles(directory=HERE / "assets"))
    app.mount("/assets", StaticFiles(directory=HERE / "assets"), name="assets")
    return app


def _wants_json(request: Request) -> bool:
    return request.url.path.startswith("/api/")


async def _told(request: Request, error: Exception) -> Response:
    assert isinstance(error, HTTPException)
    headers: Any = error.headers
    words = error.detail
    if words == HTTPStatus(error.status_code).phrase:  # nobody has said more than the number
        words = _WORDS.get(error.status_code, f"{words}.")
    if _wants_json(request):
        return JSONResponse({"detail": words}, error.status_code, headers=headers)
    answer = draw(request, "trouble", status=error.status_code, words=words)
    for name, value in (headers or {}).items():
        answer.headers[name] = value
    return answer


async def _misfit(request: Request, error: Exception) -> Response:
    assert isinstance(error, RequestValidationError)
    if _wants_json(request):
        return await request_validation_exception_handler(request, error)
    return draw(request, "trouble", status=400, words=_WORDS[400])


async def _failed(request: Request, error: Exception) -> Response:
    """Say that it is our fault; what went wrong goes to the terminal, never into the page."""
    kind = type(error).__name__
    if os.environ.get("UNDIAL_DEBUG"):
        traceback.print_exception(error, file=sys.stderr)
    else:
        cli_parts.say_error(f"undial itself failed at {request.method} {request.url.path!r} ({kind}); please report it")
    words = f"undial itself failed ({kind}). Your recipe may be in order; nothing of it is lost."
    if _wants_json(request):
        return JSONResponse({"detail": words}, 500)
    return draw(request, "trouble", status=500, words=words)
