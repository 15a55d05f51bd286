"""The page that asks another machine of the house for its key."""

from __future__ import annotations

from fastapi import APIRouter, Depends, HTTPException, Request
from starlette.datastructures import FormData
from starlette.responses import RedirectResponse, Response

from converter.serve.forms import form, text
from converter.serve.house import COOKIE, TooSoon
from converter.serve.views import draw

router = APIRouter()
_DAYS_SECONDS = 90 * 24 * 3600


@router.get("/key")
def ask(request: Request) -> Response:
    return draw(request, "key", wrong=False)


@router.post("/key")
def enter(request: Request, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    try:
        device = request.app.state.house.enter(text(fields, "key", most=40))
    except TooSoon:
        raise HTTPException(429, "A wrong key was given just now. Wait a second, then try again.") from None
    if device is None:
        return draw(request, "key", status=403, wrong=True)
    answer = RedirectResponse("/", 303)
    answer.set_cookie(COOKIE, device, max_age=_DAYS_SECONDS, httponly=True, samesite="lax")
    return answer
