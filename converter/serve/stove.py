"""At the stove: one big step at a time, with timers."""

from __future__ import annotations

from fastapi import APIRouter, HTTPException, Request
from starlette.responses import Response

from converter.serve import kitchen
from converter.serve.cooker_choice import name_of
from converter.serve.kitchen import Shown
from converter.serve.pasted import NotKept
from converter.serve.stove_steps import cooking
from converter.serve.views import draw

router = APIRouter()


@router.get("/recipes/{id}/stove")
def pasted(request: Request, id: str) -> Response:
    """The stove of a pasted recipe, with what was decided about it."""
    try:
        row = kitchen.kept(request).find(id)
    except NotKept as error:
        raise kitchen.lost(error) from None
    if row is None:
        raise HTTPException(404, "There is no such recipe any more.")
    made = kitchen.shown(row.text, cooker=row.cooker, units=row.units, answers=row.decisions)
    return at_stove(request, made, address=f"/recipes/{id}")


def at_stove(request: Request, shown: Shown, *, address: str) -> Response:
    """Return the page for a recipe that stands at `address`; the folder's recipes use it too."""
    made = cooking(shown.result, shown.cooker, address=address, called=name_of(shown.cooker))
    return draw(request, "stove", cooking=made, back=address)
