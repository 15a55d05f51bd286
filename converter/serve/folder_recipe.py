"""A recipe of the folder: the same page as that of a pasted one; its answers are kept in the folder's ledger."""

from __future__ import annotations

import re
from dataclasses import dataclass

from fastapi import APIRouter, Depends, HTTPException, Request
from starlette.datastructures import FormData
from starlette.responses import RedirectResponse, Response

from converter.folder.work import CONVERTED
from converter.ledger import Decision, Decisions, Entry, Ledger, LedgerError
from converter.review import Desk, Done, Stale
from converter.serve import desk_pages, kitchen, recipe_view, stove
from converter.serve.desk_pages import told
from converter.serve.forms import form, text
from converter.serve.judgement_page import GONE, is_key, opened
from converter.serve.kitchen import Shown

router = APIRouter()
_ROW = re.compile(r"[0-9a-f]{16}")


@dataclass(frozen=True, slots=True)
class Opened:
    """A recipe of the folder as it is shown, and what its row in the ledger is called in addresses."""

    row: str
    entry: Entry
    shown: Shown

    @property
    def page(self) -> str:
        """The address of its page."""
        return f"/folder/recipes/{self.row}"


def recipe_at(request: Request, row: str) -> Opened:
    """Return the recipe of a row. Raises ``HTTPException`` 404 for none, 503 where the ledger cannot be used."""
    if not desk_pages.has_folder(request) or not _ROW.fullmatch(row):
        raise HTTPException(404)
    desk = opened(request)
    try:
        found = desk_pages.catalogue(request).contents().recipes.get(row)
        if found is None:
            raise HTTPException(404)
        with Ledger.open(desk.dest, create=False, check=False) as ledger:
            entry = ledger.entry(found.source, found.number)
            if entry is None or entry.status != CONVERTED:
                raise HTTPException(404)
            made = ledger.decisions(flag.key for flag in entry.flags)
        setup = desk.setup()
    except LedgerError as error:
        raise HTTPException(503, told(error)) from None
    name = entry.source.rpartition("/")[2]
    return Opened(row, entry, kitchen.shown_with(entry.text, setup=setup, answers=made, name=name))


def _marks(made: Decisions, shown: Shown) -> dict[str, str]:
    """Return for each flag what stood about it when it was shown: the number of the change, 0 for nothing."""
    standing = {flag.key: made.find(flag.key) for flag in shown.flags}
    return {key: _mark(decision) for key, decision in standing.items()}


def _mark(decision: Decision | None) -> str:
    return str(decision.change if decision is not None else 0)


def _at(recipe: Opened) -> recipe_view.Addresses:
    marks = _marks(recipe.shown.decisions, recipe.shown)
    return recipe_view.addresses(recipe.page, back=("/folder", "To the folder"), marks=marks)


def _page(request: Request, recipe: Opened, *, status: int = 200, alert: str = "") -> Response:
    notices = (recipe.entry.reason,) if recipe.entry.reason else ()
    return recipe_view.page(request, recipe.shown, _at(recipe), status=status, alert=alert, notices=notices)


@router.get("/folder/recipes/{row}")
def recipe(request: Request, row: str) -> Response:
    return _page(request, recipe_at(request, row))


@router.post("/folder/recipes/{row}/answers")
def answer(request: Request, row: str, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    """Keep an answer to one flag in the ledger, or take one back, and lead to its step."""
    found = recipe_at(request, row)
    key, said = recipe_view.answer_in(fields)
    mark = text(fields, "mark", most=80)
    flag = found.shown.flag(key) if is_key(key) else None
    if flag is None:
        return _page(request, found, status=409, alert=GONE)
    desk, who = opened(request), desk_pages.who(request)
    try:
        item = desk.item(key)
        if item is None:
            return _page(request, found, status=409, alert=GONE)
        if mark and mark != _mark(item.standing):
            done: Done | Stale = Stale("decided" if item.standing is not None else "taken-back", "", item.standing)
        elif said is None:
            done = _taken_back(desk, key, who=who)
        else:
            done = desk.decide(key, said, who=who, mark=item.mark)
    except LedgerError as error:
        return _page(request, found, status=409, alert=f"Nothing was kept: {told(error)}")
    if isinstance(done, Stale):
        return _page(request, recipe_at(request, row), status=409, alert=desk_pages.stale_words(done, item))
    if done.trouble:
        return _page(request, recipe_at(request, row), status=507, alert=" ".join(map(told, done.trouble)))
    step = flag[0].step
    return RedirectResponse(found.page + (f"#step-{step}" if step else "#whole"), 303)


def _taken_back(desk: Desk, key: str, *, who: str) -> Done | Stale:
    act = desk.act_of(key)
    if act is None:
        return Stale("taken-back", "")
    return desk.undo(act, who=who)


@router.get("/folder/recipes/{row}/sheet")
def sheet(request: Request, row: str) -> Response:
    found = recipe_at(request, row)
    return recipe_view.sheet(request, found.shown, _at(found))


@router.get("/folder/recipes/{row}/copy")
def copy(request: Request, row: str) -> Response:
    found = recipe_at(request, row)
    return recipe_view.copy(request, found.shown, _at(found))


@router.get("/folder/recipes/{row}/file/{form}")
def saved(request: Request, row: str, form: str) -> Response:
    return recipe_view.saved(recipe_at(request, row).shown, form)


@router.get("/folder/recipes/{row}/stove")
def at_stove(request: Request, row: str) -> Response:
    found = recipe_at(request, row)
    return stove.at_stove(request, found.shown, address=found.page)
