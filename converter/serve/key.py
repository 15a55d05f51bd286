"""The page that asks another machine of the house for its key."""

from __future__ import annotations

import math

from fastapi import APIRouter, Depends, HTTPException, Request
from starlette.datastructures import FormData
from starlette.responses import RedirectResponse, Response

from converter.serve.forms import form, text
from converter.serve.house import TooSoon
from converter.serve.views import draw

router = APIRouter()
_DAYS_SECONDS = 90 * 24 * 3600


@router.get("/key")
def ask(request: Request) -> Response:
    return draw(request, "key", wrong=False)


@router.post("/key")
def enter(request: Request, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    machine = request.client.host if request.client is not None else ""
    try:
        device = request.app.state.house.enter(text(fields, "key", most=40), machine)
    except TooSoon as error:
        wait = "a second" if error.seconds <= 1 else f"{math.ceil(error.seconds / 60)} minutes"
        raise HTTPException(429, f"A wrong key was given just now. Wait {wait}, then try again.") from None
    if device is None:
        return draw(request, "key", status=403, wrong=True)
    answer = RedirectResponse("/", 303)
    answer.set_cookie(request.app.state.door.house_cookie, device, max_age=_DAYS_SECONDS, httponly=True, samesite="lax")
    return answer
