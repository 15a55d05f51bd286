"""Draws the judgement room: one line with its choices, its place among the lines, what came of the last answer."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final
from urllib.parse import urlencode

from fastapi import HTTPException, Request
from starlette.datastructures import FormData, QueryParams
from starlette.responses import Response

from converter import flagkinds
from converter.ledger import Act, LedgerError
from converter.review import Desk, Item
from converter.serve import desk_pages
from converter.serve.remembered import Kept, remembered
from converter.serve.views import draw

_KEY: Final = re.compile(r"[0-9a-f]{18}\.[0-9a-f]{8}")
_ACTS = 12
GONE = "This line is not there any more: its words were changed, or its recipe was taken away."


@dataclass(frozen=True, slots=True)
class Way:
    """How one goes through the lines: the words looked for, whether notes are among them, the place in the queue."""

    find: str = ""
    notes: bool = False
    at: int = 0

    def query(self, *, at: int | None = None, **more: str) -> str:
        """Return what an address carries of it, with its question mark."""
        place = self.at if at is None else at
        given = {"find": self.find, "notes": "1" if self.notes else "", "at": str(place) if place > 0 else ""} | more
        kept = {name: value for name, value in given.items() if value}
        return f"?{urlencode(kept)}" if kept else ""


@dataclass(frozen=True, slots=True)
class Told:
    """What a page says first: an ``alert`` or a ``notice``, or what came of the act ``done``.

    ``words`` are own words that were not kept and stand in the field again.
    """

    status: int = 200
    alert: str = ""
    notice: str = ""
    done: int = 0
    words: str = ""


def way_of(asked: QueryParams | FormData) -> Way:
    """Read the way from an address or a form; what is not known of it is left out."""

    def one(name: str) -> str:
        found = asked.get(name, "")
        return found if isinstance(found, str) else ""

    return Way(" ".join(one("find")[:200].split()), one("notes") == "1", whole(one("at")))


def whole(words: str) -> int:
    """Return a whole number from 0 on, 0 for anything else."""
    return int(words) if words.isascii() and words.isdigit() and len(words) < 9 else 0


def told_of(asked: QueryParams, request: Request) -> Told:
    """Read from an address what is to be told: the number of an act, or of a sentence."""
    notice = remembered(request).said(whole(asked.get("said", "")))
    return Told(notice=notice, done=whole(asked.get("done", "")))


def is_key(key: str) -> bool:
    """Say whether this has the shape of a flag's key."""
    return _KEY.fullmatch(key) is not None


def opened(request: Request) -> Desk:
    """Return the desk. Raises ``HTTPException`` 503 with the sentence why it cannot be used, 404 without a folder."""
    try:
        return desk_pages.desk(request)
    except LedgerError as error:
        raise HTTPException(503, desk_pages.told(error)) from None


def queue(request: Request, way: Way, told: Told = Told()) -> Response:
    """Draw the line at the way's place, the first again after the last; or that none is left."""
    try:
        desk = desk_pages.desk(request)
        page = desk.lines(words=way.find, notes=way.notes, start=way.at, many=1)
        if not page.lines and page.total and way.at:
            way = Way(way.find, way.notes)
            page = desk.lines(words=way.find, notes=way.notes, start=0, many=1)
        item = desk.item(page.lines[0].key) if page.lines else None
        return _drawn(request, desk, item, way, told, total=page.total)
    except LedgerError as error:
        return draw(request, "judgement_none", status=503, why=desk_pages.told(error))


def line(request: Request, key: str, way: Way, told: Told = Told()) -> Response:
    """Draw the line of a flag, decided or open; where it is gone the queue, saying so."""
    desk = opened(request)
    try:
        item = desk.item(key)
        if item is not None:
            return _drawn(request, desk, item, way, told)
    except LedgerError as error:
        raise HTTPException(503, desk_pages.told(error)) from None
    return queue(request, way, Told(404 if told.status == 200 else told.status, told.alert or GONE))


def _drawn(
    request: Request, desk: Desk, item: Item | None, way: Way, told: Told, *, total: int | None = None
) -> Response:
    acts = desk.acts(limit=_ACTS)
    kept = remembered(request).find(told.done)
    if not any(act.number == told.done for act in acts):
        kept = None
    return draw(
        request, "judgement", status=told.status, item=item, way=way, total=total, left=desk.left(),
        alert=told.alert, notice=told.notice, words=told.words,
        own=told.words != "" or told.status == 422, kept=kept,
        rule=kept is not None and _can_be_rule(desk, kept), acts=acts, undoable=_undoable(acts),
        who=desk_pages.who(request), kind=flagkinds.table().get(item.flag.name) if item is not None else None,
        notices=[desk_pages.told(notice) for notice in desk.notices],
        parts=_parts(item) if item is not None else (), **desk_pages.helps(desk.setup().units),
    )  # fmt: skip


def _parts(item: Item) -> tuple[str, str, str]:
    """Return the line as what comes before the flag's own words, those words, and what comes after."""
    words = " ".join(item.flag.text.split())
    before, found, after = item.line.partition(words) if words and words != item.line else (item.line, "", "")
    return before, found, after


def _undoable(acts: Sequence[Act]) -> frozenset[int]:
    return frozenset(act.number for act in acts if act.stands)


def _can_be_rule(desk: Desk, kept: Kept) -> bool:
    if kept.undone or kept.kind not in ("take", "choice"):
        return False
    item = desk.item(kept.key)
    return item is not None and item.flag.phase > 0 and item.standing is not None and bool(item.standing.code)
