"""The judgement room: the flagged lines of the folder, one at a time; answers, the same for all, taking back."""

from __future__ import annotations

from fastapi import APIRouter, Depends, HTTPException, Request
from starlette.datastructures import FormData, QueryParams
from starlette.responses import RedirectResponse, Response

from converter.ledger import LedgerError
from converter.review import Answer, Done, Item, Stale
from converter.serve import desk_pages
from converter.serve.desk_pages import told
from converter.serve.forms import form, text
from converter.serve.judgement_page import Told, Way, is_key, line, opened, queue, told_of, way_of, whole
from converter.serve.remembered import Kept, remembered
from converter.serve.spreading import Spread, spreads
from converter.serve.spreading import Told as Progress
from converter.serve.views import draw

router = APIRouter()
A_PAGE = 50
_EXAMPLES = 6
_MOST_WORDS = 2_000
_SHORT_SECONDS = 1.0
"""An answer for many lines that is kept within this time needs no page in between."""


def flag_key(key: str) -> str:
    """Return the key in an address. Raises ``HTTPException`` 404 for what can be none."""
    if not is_key(key):
        raise HTTPException(404)
    return key


# ---------------------------------------------------------------- looking


@router.get("/judgement")
def waiting(request: Request) -> Response:
    if not desk_pages.has_folder(request):
        return draw(request, "judgement_none")
    return queue(request, way_of(request.query_params), told_of(request.query_params, request))


@router.get("/judgement/lines")
def lines(request: Request) -> Response:
    desk = opened(request)
    way = way_of(request.query_params)
    number = max(1, whole(request.query_params.get("page", "")))
    try:
        page = desk.lines(words=way.find, notes=way.notes, start=(number - 1) * A_PAGE, many=A_PAGE)
        left = desk.left()
        titles = desk_pages.titles(request, page.lines)
        units = desk.setup().units
    except LedgerError as error:
        raise HTTPException(503, told(error)) from None
    return draw(
        request, "judgement_lines", way=way, found=page, left=left, number=number, titles=titles,
        pages=max(1, -(-page.total // A_PAGE)), **desk_pages.helps(units),
    )  # fmt: skip


@router.get("/judgement/{key}")
def one(request: Request, key: str = Depends(flag_key)) -> Response:
    return line(request, key, way_of(request.query_params), told_of(request.query_params, request))


# ---------------------------------------------------------------- who decides, taking back


@router.post("/judgement/who")
def name(request: Request, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    way, key = way_of(fields), text(fields, "key", most=40)
    answer = RedirectResponse(f"/judgement{f'/{key}' if is_key(key) else ''}{way.query()}", 303)
    desk_pages.remember_who(request, answer, text(fields, "who", most=200))
    return answer


@router.post("/judgement/undo")
def undo(request: Request, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    desk, way = opened(request), way_of(fields)
    act = whole(text(fields, "act", most=12))
    try:
        done = desk.undo(act, who=desk_pages.who(request))
    except LedgerError as error:
        return queue(request, way, Told(409, f"Nothing was taken back: {told(error)}"))
    if isinstance(done, Stale):
        made = done.standing
        why = f"{made.who or 'someone'} has decided “{made.line}” anew since" if made else "it was taken back already"
        return queue(request, way, Told(409, f"Nothing was taken back: {why}."))
    before = remembered(request).find(act)
    key = before.key if before is not None else ""
    remembered(request).keep(Kept(key, done, undone=True))
    return RedirectResponse(f"/judgement{f'/{key}' if key else ''}{way.query(done=str(done.act))}", 303)


# ---------------------------------------------------------------- deciding


def _answer(fields: FormData | QueryParams) -> Answer:
    """Read an answer: ``take``, ``leave``, ``later``, ``words``, or ``choice`` and the code of a way."""
    said, words = fields.get("answer", ""), fields.get("words", "")
    kind, _, code = (said if isinstance(said, str) else "")[:120].partition(" ")
    if kind not in ("take", "choice", "words", "leave", "later"):
        raise HTTPException(422, "No answer was chosen.")
    own = words if kind == "words" and isinstance(words, str) else ""
    return Answer(kind, code if kind == "choice" else "", own)


@router.post("/judgement/{key}")
def decide(
    request: Request,
    key: str = Depends(flag_key),
    fields: FormData = Depends(form),  # noqa: B008
) -> Response:
    desk, way, answer = opened(request), way_of(fields), _answer(fields)
    mark, words = text(fields, "mark", most=80), text(fields, "words", most=_MOST_WORDS)
    if answer.kind == "words" and not answer.words.strip():
        return line(request, key, way, Told(422, "Your own words are missing; nothing was kept."))
    if text(fields, "all") and answer.kind not in ("words", "later"):
        more = way.query(answer=f"{answer.kind} {answer.code}".strip(), mark=mark)
        return RedirectResponse(f"/judgement/{key}/alike{more}", 303)
    try:
        done = desk.decide(key, answer, who=desk_pages.who(request), mark=mark)
    except LedgerError as error:
        return line(request, key, way, Told(409, f"Nothing was kept: {told(error)}", words=words))
    if isinstance(done, Stale):
        return line(request, key, way, Told(409, desk_pages.stale_words(done, desk.item(key)), words=words))
    # What was put off before is at the end already; the next of those comes.
    on = answer.kind == "later" and text(fields, "later") != ""
    return _kept(request, key, way, done, at=way.at + 1 if on else way.at, kind=answer.kind)


def _kept(request: Request, key: str, way: Way, done: Done, *, at: int, kind: str) -> Response:
    remembered(request).keep(Kept(key, done, kind=kind))
    return RedirectResponse(f"/judgement{way.query(at=at, done=str(done.act))}", 303)


@router.get("/judgement/{key}/alike")
def alike(request: Request, key: str = Depends(flag_key)) -> Response:
    desk, way, answer = opened(request), way_of(request.query_params), _answer(request.query_params)
    try:
        item = desk.item(key)
        found = desk.preview(key, examples=_EXAMPLES)
        if item is None or found is None:
            return line(request, key, way)
        said = _said(item, answer)
        titles = desk_pages.titles(request, found.examples)
        units = desk.setup().units
    except LedgerError as error:
        return line(request, key, way, Told(409, told(error)))
    return draw(
        request, "judgement_alike", item=item, way=way, found=found, said=said, titles=titles,
        mark=request.query_params.get("mark", "")[:80] or item.mark, answer=f"{answer.kind} {answer.code}".strip(),
        **desk_pages.helps(units),
    )  # fmt: skip


def _said(item: Item, answer: Answer) -> str:
    """Return an answer in words. Raises ``LedgerError`` for a way that the line has not."""
    if answer.kind == "choice":
        found = next((choice.words for choice in item.choices if choice.code == answer.code), None)
        if found is None:
            raise LedgerError("this line has no such way any more; look at it again")
        return found
    if answer.kind in ("take", "leave"):
        as_it_is = "left as the recipe has it" if answer.kind == "leave" else "fine as it is"
        return f"as proposed for each; here {item.proposal}" if answer.kind == "take" and item.proposal else as_it_is
    raise LedgerError("this answer is for one line alone")


@router.post("/judgement/{key}/alike")
def decide_alike(
    request: Request,
    key: str = Depends(flag_key),
    fields: FormData = Depends(form),  # noqa: B008
) -> Response:
    """Keep an answer for all lines alike; where that takes long, lead to the page that says how far it is."""
    desk, way, answer = opened(request), way_of(fields), _answer(fields)
    who, mark = desk_pages.who(request), text(fields, "mark", most=80)

    def work(told: Progress) -> Done | Stale:
        return desk.decide_all(key, answer, who=who, mark=mark, told=told)

    spread = spreads(request).begin(key, answer.kind, work)
    return _spread(request, spread, way)


@router.get("/judgement/waiting/{number}")
def waiting_for_all(request: Request, number: str) -> Response:
    """Tell how far an answer for many lines is, and lead on once it is kept."""
    spread, way = spreads(request).find(whole(number)), way_of(request.query_params)
    if spread is None:
        return RedirectResponse(f"/judgement{way.query()}", 303)
    return _spread(request, spread, way, shown=True)


def _spread(request: Request, spread: Spread, way: Way, *, shown: bool = False) -> Response:
    here = f"/judgement/waiting/{spread.number}{way.query()}"
    if not spread.wait(_SHORT_SECONDS):
        if shown:
            return draw(request, "judgement_wait", spread=spread, again=here)
        return RedirectResponse(here, 303)
    try:
        done = spread.came()
    except LedgerError as error:
        return line(request, spread.key, way, Told(409, f"Nothing was kept: {told(error)}"))
    if isinstance(done, Stale):
        return line(request, spread.key, way, Told(409, desk_pages.stale_words(done, opened(request).item(spread.key))))
    return _kept(request, spread.key, way, done, at=way.at, kind=spread.kind)


@router.post("/judgement/{key}/rule")
def rule(
    request: Request,
    key: str = Depends(flag_key),
    fields: FormData = Depends(form),  # noqa: B008
) -> Response:
    """Make a rule of the household of what was decided about a line."""
    desk, way = opened(request), way_of(fields)
    try:
        item = desk.item(key)
        made = item.standing if item is not None else None
        if made is None or made.kind not in ("take", "choice") or not made.code:
            raise LedgerError("a rule is made of a line that was decided as proposed or by a numbered way")
        words = desk.house_rule(key, made.code, who=desk_pages.who(request))
    except LedgerError as error:
        return line(request, key, way, Told(409, f"No rule was made: {told(error)}"))
    said = remembered(request).say(told(f"A rule of this house is made: {words}"))
    return RedirectResponse(f"/judgement{way.query(said=str(said))}", 303)
