"""My cooker: its drawing, readings, own words, the clock and its evidence, and a reading sheet to print."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from typing import Any, Final
from urllib.parse import urlencode

from fastapi import APIRouter, Depends, HTTPException, Request
from starlette.datastructures import FormData
from starlette.responses import RedirectResponse, Response

from converter import cli_words
from converter import readings as kept
from converter.cli_parts import WrongUse
from converter.data import DataError
from converter.files import FileTrouble
from converter.place import cookers, own_file, own_profile
from converter.place.cookers import Zone
from converter.place.own_cooker import OwnRecord
from converter.serve import cooker_view, kitchen
from converter.serve.cooker_choice import Chosen, choices, chosen, unusable
from converter.serve.cooker_picture import MARKS, degrees, legend, picture
from converter.serve.forms import form, text
from converter.serve.views import draw

router = APIRouter()
WITH: Final = ("oven thermometer", "probe on a wire", "surface thermometer", "infrared thermometer")
# What is said after a form has done its work; only the key goes through the address.
DONE: Final[Mapping[str, str]] = {
    "use": "This is your cooker now; all recipes are placed on it.",
    "reading": "The reading is kept. Recipes are placed and timed by it from now on, for 90 days.",
    "removed": "The reading is removed.",
    "words": "Your words are kept. Recipes say them from now on.",
    "own": "This is a cooker of your own now, with your words and what was read and logged so far.",
    "took": "The log is kept, and the clock has learnt from it.",
    "taken": "The log is taken out, and the clock has forgotten it.",
}
_FIGURES: Final = 20
"""Most signs of a figure in a form."""


class _Refused(Exception):
    """A form that is not taken, in one sentence; the page shows it again with what was entered."""


@router.get("/cooker")
def show(request: Request, name: str = "", line: str = "", degrees: str = "c", done: str = "") -> Response:
    """The room; `name` as in `cooker_choice`, `line` a sample, `degrees` c or f, `done` a key of `DONE`.

    With `dish` and the other fields of a log the form of the clock is filled in: so the stove hands on what it timed.
    """
    asked = request.query_params
    log = {key: asked[key][: _FIGURES * 4] for key in ("dish", "spot", "dial", "minutes", "took") if key in asked}
    return _page(
        request, chosen(name[:80]), line=line, units="f" if degrees == "f" else "c", done=DONE.get(done, ""),
        part="clock" if log else "", given=log,
    )  # fmt: skip


@router.get("/cooker/sheet")
def sheet(request: Request, name: str = "") -> Response:
    """A blank sheet for three mornings of readings."""
    made = chosen(name[:80])
    return draw(request, "cooker_sheet", cooker=made, zones=made.profile.zones)


def _page(
    request: Request, made: Chosen, *, line: str = "", units: str = "c", done: str = "", refused: str = "",
    part: str = "", given: Mapping[str, str] | None = None,
) -> Response:  # fmt: skip
    zones = cooker_view.zones(made)
    marks = {(one.zone.id, heat.height): heat.mark for one in zones for heat in one.heats}
    values: dict[str, Any] = {
        "cooker": made, "choices": choices(), "zones": zones, "marks": MARKS, "legend": legend,
        "used_marks": set(marks.values()), "degrees": degrees, "units": units,
        "picture": picture(made.applied.cooker, marks, units=units), "readings": cooker_view.readings(made),
        "remarks": made.applied.remarks, "clock": cooker_view.clock(made),
        "sample": cooker_view.sample(made, line), "with_what": WITH, "today": date.today().isoformat(),
        "done": done, "refused": refused, "part": part, "given": given or {}, "longest_dish": own_file.LONGEST_DISH,
        "longest_line": cooker_view.LONGEST_LINE,
    }  # fmt: skip
    return draw(request, "cooker", status=422 if refused else 200, **values)


def _tried(request: Request, fields: FormData, part: str, act: Callable[[Chosen], tuple[Chosen, str]]) -> Response:
    """Do what a form asks; what is against it is said beside the form, with what was entered still in it."""
    made = chosen(text(fields, "name", most=80))
    try:
        shown, done = act(made)
    except (WrongUse, _Refused) as error:
        refused = kitchen.sentence(error.message if isinstance(error, WrongUse) else str(error))
        given = {key: value for key, value in fields.items() if isinstance(value, str) and key != "token"}
        return _page(request, made, refused=refused, part=part, given=given)
    except DataError as error:
        raise unusable(error) from None
    except FileTrouble as error:
        raise HTTPException(507, kitchen.sentence(f"it could not be kept: {error.message}")) from None
    except OSError as error:
        why = (error.strerror or "the file cannot be written").lower()
        raise HTTPException(507, kitchen.sentence(f"it could not be kept: {why}")) from None
    return RedirectResponse(f"/cooker?{urlencode({'name': shown.name, 'done': done})}#{part}", 303)


@router.post("/cooker/use")
def use(request: Request, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    def act(made: Chosen) -> tuple[Chosen, str]:
        cookers.remember(made.kept_as)
        return made, "use"

    return _tried(request, fields, "top", act)


# --- readings ---------------------------------------------------------------------------------------------


def _spot(made: Chosen, fields: FormData, *, ovens: bool) -> tuple[Zone, str]:
    """The zone and height of the field ``spot``, "low-oven middle"."""
    ident, _, height = text(fields, "spot", most=100).partition(" ")
    for zone in made.profile.zones:
        if zone.id == ident and height in zone.celsius and (zone.is_oven or not ovens):
            return zone, height
    raise _Refused("choose the zone and height from the list")


@router.post("/cooker/readings")
def add_reading(request: Request, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    def act(made: Chosen) -> tuple[Chosen, str]:
        zone, height = _spot(made, fields, ovens=False)
        figure, unit = text(fields, "figure", most=_FIGURES).strip(), text(fields, "unit", most=1)
        if figure[-1:].isdigit():
            figure += "F" if unit == "f" else "C"
        heat_c = cli_words.celsius(figure, "what the thermometer says")
        by = text(fields, "by", most=own_file.LONGEST_DISH)
        day = cli_words.day(text(fields, "date", most=_FIGURES) or None)
        try:
            kept.keep_reading(made.profile, zone, height, celsius=heat_c, day=day, by=by if by in WITH else "")
        except kept.Impossible as error:
            hint = "; if it was °F, choose °F" if error.fahrenheit else ""
            raise _Refused(f"{heat_c:g} °C is not kept: {error.reason}{hint}") from None
        return made, "reading"

    return _tried(request, fields, "readings", act)


@router.post("/cooker/readings/remove")
def remove_reading(request: Request, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    def act(made: Chosen) -> tuple[Chosen, str]:
        gone = next((one for one in cooker_view.readings(made) if one.stamp == text(fields, "reading")), None)
        if gone is None:
            raise _Refused("this reading is not there any more")
        kept.remove_reading(made.profile, gone.reading)
        return made, "removed"

    return _tried(request, fields, "readings", act)


# --- the clock --------------------------------------------------------------------------------------------


@router.post("/cooker/took")
def add_log(request: Request, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    def act(made: Chosen) -> tuple[Chosen, str]:
        zone, height = _spot(made, fields, ovens=True)
        dish = " ".join(text(fields, "dish", most=1_000).split())
        if not dish or not dish.isprintable() or len(dish) > own_file.LONGEST_DISH:
            raise _Refused(f"the dish is a few words, at most {own_file.LONGEST_DISH} signs")
        try:
            kept.keep_log(
                made.profile, zone, height, dish=dish,
                dial_c=cli_words.oven_c(text(fields, "dial", most=_FIGURES), "the recipe's oven"),
                minutes=cli_words.minutes(text(fields, "minutes", most=_FIGURES), "the recipe's time"),
                took=cli_words.minutes(text(fields, "took", most=_FIGURES), "the time that it took"),
                day=cli_words.day(text(fields, "date", most=_FIGURES) or None),
            )  # fmt: skip
        except own_file.RecordError as error:
            if error.where != dish:
                raise
            raise _Refused(error.message) from None
        return made, "took"

    return _tried(request, fields, "clock", act)


@router.post("/cooker/took/remove")
def remove_log(request: Request, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    def act(made: Chosen) -> tuple[Chosen, str]:
        gone = next((one for one in cooker_view.clock(made).logs if one.stamp == text(fields, "log")), None)
        if gone is None:
            raise _Refused("this log is not there any more")
        kept.remove_log(made.profile, gone.log)
        return made, "taken"

    return _tried(request, fields, "clock", act)


# --- own words --------------------------------------------------------------------------------------------


def _joined(old: OwnRecord, more: OwnRecord) -> OwnRecord:
    """Put what was kept under another name to what is kept already; an earlier cooker may have had this name."""
    return replace(old, readings=(*old.readings, *more.readings), cooked=(*old.cooked, *more.cooked))


@router.post("/cooker/words")
def own_words(request: Request, fields: FormData = Depends(form)) -> Response:  # noqa: B008
    made = chosen(text(fields, "name", most=80))
    labels = {
        zone.id: words
        for zone in made.profile.zones
        if (words := " ".join(text(fields, f"label-{zone.id}", most=400).split()))
    }

    def act(made: Chosen) -> tuple[Chosen, str]:
        try:
            if made.file is not None:
                own_profile.relabel(made.file, labels)
                return made, "words"
            called = " ".join(text(fields, "called", most=400).split())
            if not called or called.casefold() in cookers.builtin():
                raise _Refused("give your cooker a name of its own, such as our kitchen")
            path = own_profile.begin(called, like=made.name, labels=labels)
        except cookers.ProfileError as error:
            raise _Refused(error.message) from None
        if made.default:
            cookers.remember(path)
        new = next(one for one in choices() if one.file is not None and one.file.samefile(path))
        if made.record.readings or made.record.cooked:
            kept.change(new.profile, lambda old: _joined(old, made.record))
        return new, "own"

    return _tried(request, fields, "words", act)
