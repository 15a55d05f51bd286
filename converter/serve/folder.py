"""The folder room: the recipes of a folder, and a run over it that can be watched and stopped."""

from __future__ import annotations

import asyncio
import json
import math
from collections.abc import AsyncIterator, Mapping
from pathlib import Path
from typing import Any
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, HTTPException, Request
from starlette.datastructures import FormData
from starlette.responses import RedirectResponse, Response, StreamingResponse

from converter.folder.names import seen
from converter.ledger import LedgerError, Settings
from converter.serve import desk_pages, folder_recipe
from converter.serve.catalogue import FLAGS, SORTS, TIMES, Contents, Wish, wish
from converter.serve.forms import form
from converter.serve.running import Progress, Runs, runs
from converter.serve.views import draw
from converter.write.forms import FORMS
from converter.write.parts import minute_words

router = APIRouter()
router.include_router(folder_recipe.router)
_TICK_SECONDS = 0.25
_BEAT_SECONDS = 15.0
_MOST_LOST = 200


@router.get("/folder")
def folder(request: Request) -> Response:
    if not desk_pages.has_folder(request):
        return draw(request, "folder_none")
    asked = wish(request.query_params)
    try:
        contents = desk_pages.catalogue(request).contents()
    except LedgerError as error:
        return draw(request, "folder_none", status=503, why=desk_pages.told(error))
    found = contents.find(asked)
    return draw(
        request, "folder", wish=asked, found=found, contents=contents, notices=_notices(request),
        lost=contents.lost[:_MOST_LOST], more_lost=max(0, len(contents.lost) - _MOST_LOST),
        progress=runs(request.app).progress, zones=_zones(contents, asked), times=_options(TIMES),
        flags=_options(FLAGS), sorts=_options(SORTS), order=SORTS[asked.sort][0], minutes=_whole_time,
        page=lambda number: _address(asked, number), **_source(contents.settings),
    )  # fmt: skip


def _notices(request: Request) -> tuple[str, ...]:
    """Return what opening the folder had to say, such as that its ledger was restored from the backup."""
    try:
        return tuple(map(desk_pages.told, desk_pages.desk(request).notices))
    except LedgerError as error:
        return (desk_pages.told(error),)


def _zones(contents: Contents, asked: Wish) -> list[tuple[str, str]]:
    """Return the zones to choose from: one that is asked for but not used stays in sight."""
    more = (asked.zone,) if asked.zone and asked.zone not in contents.zones else ()
    return [(zone, zone) for zone in (*contents.zones, *more)]


def _options(table: Mapping[str, tuple[str, Any]]) -> list[tuple[str, str]]:
    return [(value, words) for value, (words, _) in table.items()]


def _source(settings: Settings | None) -> dict[str, Any]:
    """Return the words for how the folder was converted, and whether its recipes are still there."""
    src = settings.src if settings is not None else ""
    return {
        "src": src,
        "there": bool(src) and Path(src).is_dir(),
        "cooker": Path(settings.cooker).stem.replace("-", " ") if settings is not None and settings.cooker else "",
        "form": settings.form if settings is not None and settings.form in FORMS else "",
    }


def _whole_time(minutes: tuple[float, float]) -> str:
    """Return the whole time in words; from two hours on in quarters of an hour, outwards."""
    low, high = (math.floor(minutes[0]), math.ceil(minutes[1])) if minutes[1] >= 10 else minutes
    if high >= 120 and low >= 45:
        low, high = 15 * math.floor(low / 15), 15 * math.ceil(high / 15)
    return minute_words((low, high))


def _address(asked: Wish, page: int) -> str:
    given = {"find": asked.find, "zone": asked.zone, "flags": asked.flags, "time": asked.time}
    kept = {name: value for name, value in given.items() if value}
    kept |= {"sort": asked.sort} if asked.sort != "title" else {}
    kept |= {"page": str(page)} if page > 1 else {}
    return "/folder" + (f"?{urlencode(kept)}" if kept else "")


# ---------------------------------------------------------------- a run


def _runs(request: Request) -> Runs:
    if not desk_pages.has_folder(request):
        raise HTTPException(404)
    return runs(request.app)


@router.post("/folder/run")
def begin(request: Request, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    here = _runs(request)
    try:
        desk = desk_pages.desk(request)
        settings = desk_pages.catalogue(request).contents().settings
    except LedgerError as error:
        raise HTTPException(503, desk_pages.told(error)) from None
    if settings is None or not settings.src:
        raise HTTPException(409, "It is not known which recipes this folder was made from. Run undial folder once.")
    if not Path(settings.src).is_dir():
        raise HTTPException(409, f"The folder of the recipes is not there: {settings.src}. Nothing was changed.")
    here.begin(desk.setup, src=Path(settings.src), cooker=settings.cooker)
    return RedirectResponse("/folder#run", 303)


@router.post("/folder/run/stop")
def stop(request: Request, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    _runs(request).stop()
    return RedirectResponse("/folder#run", 303)


@router.get("/folder/run/events")
async def events(request: Request) -> Response:
    """Tell how the run goes, as it goes: events ``progress`` and, last, ``over``; then the stream ends."""
    here = _runs(request)
    return StreamingResponse(_told(here), media_type="text/event-stream", headers={"X-Accel-Buffering": "no"})


async def _told(here: Runs) -> AsyncIterator[str]:
    yield "retry: 2000\n\n"
    before: Progress | None = None
    quiet = 0.0
    while True:
        now = here.progress
        if now != before:
            yield _event("over" if now.over else "progress", now)
            before, quiet = now, 0.0
        if now.over:
            return
        await asyncio.sleep(_TICK_SECONDS)
        quiet += _TICK_SECONDS
        if quiet >= _BEAT_SECONDS:
            yield ": still at work\n\n"
            quiet = 0.0


def _event(name: str, progress: Progress) -> str:
    about = {
        "phase": progress.phase, "run": progress.number, "done": progress.files, "total": progress.total,
        "rate": round(progress.rate, 1), "left": progress.left_seconds, "failed": progress.failed,
        "last": [{"source": seen(source), "reason": reason} for source, reason in progress.last], "told": progress.told,
    }  # fmt: skip
    return f"event: {name}\ndata: {json.dumps(about)}\n\n"
