"""The room for one recipe: paste it, see it rewritten, answer its flags, save and print it."""

from __future__ import annotations

from fastapi import APIRouter, Depends, HTTPException, Request
from starlette.datastructures import FormData, UploadFile
from starlette.responses import RedirectResponse, Response

from converter.serve import intake, kitchen, recipe_view
from converter.serve.forms import form, text
from converter.serve.kitchen import MOST_SIGNS, UNITS, kept, lost
from converter.serve.pasted import NotKept, Pasted, settle, taken_back
from converter.serve.views import draw

router = APIRouter()
_LATEST = 12


# ---------------------------------------------------------------- pasting


def _cookers() -> tuple[tuple[kitchen.CookerName, ...], str]:
    """Return the cookers to choose from, and a sentence where the household's own cannot be used."""
    try:
        return kitchen.cookers(), ""
    except HTTPException as error:
        return kitchen.built_in(), str(error.detail)


def _paste(request: Request, *, status: int = 200, alert: str = "", given: str = "", chosen: str = "",
           units: str = "") -> Response:  # fmt: skip
    try:
        latest = kept(request).latest(limit=_LATEST)
        trouble = kept(request).notice
    except NotKept as error:
        latest, trouble = (), str(error)
    known, wrong = _cookers()
    return draw(
        request, "paste", status=status, alert=alert, given=given, cookers=known, chosen=chosen, units=units or "both",
        all_units=UNITS, samples=intake.SAMPLES, accepted=intake.ACCEPTED, most=MOST_SIGNS, latest=latest,
        trouble=trouble or wrong,
    )  # fmt: skip


@router.get("/")
def paste(request: Request) -> Response:
    return _paste(request)


@router.get("/recipes")
def recipes() -> Response:
    return RedirectResponse("/", 303)


@router.post("/recipes")
def take(request: Request, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    """Take a paste, a file or a sample in and lead to its page; with trouble, show the field again as it was filled."""
    given = fields.get("text", "")
    given = given if isinstance(given, str) else ""
    cooker, units = text(fields, "cooker", most=80), text(fields, "units", most=8, default="both")
    file = fields.get("file")
    try:
        if sample := text(fields, "sample", most=80):
            found = intake.from_sample(sample)
        elif isinstance(file, UploadFile) and file.filename:
            found = intake.from_file(file.file, file.filename)
        else:
            found = intake.from_paste(given)
        return _keep(request, found, cooker, units)
    except HTTPException as error:
        short = given if len(given) <= MOST_SIGNS else ""
        why = str(error.detail)
        if "no method was found" in why:
            why += " undial needs the steps too: what is done with the food, over what heat and how long."
        return _paste(request, status=error.status_code, alert=why, given=short, chosen=cooker, units=units)


def _keep(request: Request, found: intake.Taken, cooker: str, units: str) -> Response:
    chosen = cooker or kitchen.default_cooker()
    kitchen.setup(chosen, units)  # refuses an unknown cooker before anything is kept
    if len(found.recipes) == 1:
        name, words = found.recipes[0]
        shown = kitchen.shown(words, cooker=chosen, units=units)  # refuses what is no recipe
        title = shown.result.reading.recipe.title or name
        rows = [(title, words)]
    else:
        rows = list(found.recipes)
    try:
        ids, batch = kept(request).keep(rows, cooker=chosen, units=units, notices=found.warnings)
    except NotKept as error:
        raise lost(error) from None
    return RedirectResponse(f"/recipes/{ids[0]}" if len(ids) == 1 else f"/recipes/several/{batch}", 303)


@router.get("/recipes/several/{batch}")
def several(request: Request, batch: str) -> Response:
    """Show the recipes that were found in one file."""
    try:
        found = kept(request).batch(batch)
    except NotKept as error:
        raise lost(error) from None
    if not found:
        raise HTTPException(404, "There is nothing at this address.")
    return draw(request, "recipe_several", recipes=found, notices=found[0].notices)


@router.post("/recipes/forget")
def forget_all(request: Request, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    try:
        kept(request).forget_all()
    except NotKept as error:
        raise lost(error) from None
    return RedirectResponse("/", 303)


# ---------------------------------------------------------------- one pasted recipe


def row_of(request: Request, id: str) -> Pasted:
    """Return the pasted recipe `id`. Raises ``HTTPException`` 404, 507."""
    try:
        found = kept(request).find(id)
    except NotKept as error:
        raise lost(error) from None
    if found is None:
        raise HTTPException(404, "There is nothing at this address.")
    return found


def _shown(row: Pasted) -> kitchen.Shown:
    return kitchen.shown(row.text, cooker=row.cooker, units=row.units, answers=row.decisions)


def _at(row: Pasted) -> recipe_view.Addresses:
    page = f"/recipes/{row.id}"
    return recipe_view.addresses(page, again=f"{page}/again", forget=f"{page}/forget")


@router.get("/recipes/{id}")
def recipe(request: Request, id: str) -> Response:
    row = row_of(request, id)
    return _page(request, row)


def _page(request: Request, row: Pasted, *, status: int = 200, alert: str = "") -> Response:
    known, _ = _cookers()
    return recipe_view.page(
        request, _shown(row), _at(row), status=status, alert=alert, cookers=known, chosen=row.cooker,
        chosen_units=row.units, all_units=UNITS, notices=row.notices,
    )  # fmt: skip


@router.post("/recipes/{id}/answers")
def answer(request: Request, id: str, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    """Keep an answer to one flag, or take one back, and lead to its step."""
    row = row_of(request, id)
    key, said = recipe_view.answer_in(fields)
    shown = _shown(row)
    found = shown.flag(key)
    try:
        if said is None:
            done = kept(request).answer(id, lambda answers: taken_back(answers, key))
        else:
            made = kitchen.answered(shown, key, said)
            done = kept(request).answer(id, lambda answers: settle(answers, made, at=kitchen.now()))
    except NotKept as error:
        raise lost(error) from None
    except HTTPException as error:
        return _page(request, row, status=error.status_code, alert=str(error.detail))
    if not done:
        raise HTTPException(404, "There is nothing at this address.")
    step = found[0].step if found is not None else 0
    return RedirectResponse(f"/recipes/{id}#step-{step}" if step else f"/recipes/{id}#whole", 303)


@router.post("/recipes/{id}/again")
def again(request: Request, id: str, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    """Show the recipe for another cooker or in other degrees."""
    row = row_of(request, id)
    cooker, units = text(fields, "cooker", most=80), text(fields, "units", most=8, default="both")
    kitchen.setup(cooker or row.cooker, units)
    try:
        kept(request).set_for(id, cooker=cooker or row.cooker, units=units)
    except NotKept as error:
        raise lost(error) from None
    return RedirectResponse(f"/recipes/{id}", 303)


@router.post("/recipes/{id}/forget")
def forget(request: Request, id: str, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    try:
        kept(request).forget(id)
    except NotKept as error:
        raise lost(error) from None
    return RedirectResponse("/", 303)


@router.get("/recipes/{id}/sheet")
def sheet(request: Request, id: str) -> Response:
    row = row_of(request, id)
    return recipe_view.sheet(request, _shown(row), _at(row))


@router.get("/recipes/{id}/copy")
def copy(request: Request, id: str) -> Response:
    row = row_of(request, id)
    return recipe_view.copy(request, _shown(row), _at(row))


@router.get("/recipes/{id}/file/{form}")
def saved(request: Request, id: str, form: str) -> Response:
    return recipe_view.saved(_shown(row_of(request, id)), form)
