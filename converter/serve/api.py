"""What other programs of this machine may ask: one recipe converted, the cookers, what a flag means. All as JSON."""

from __future__ import annotations

from functools import cache
from typing import Annotated, Any, Literal, cast

from fastapi import APIRouter, HTTPException, Path, Request
from pydantic import BaseModel, ConfigDict, Field, StringConstraints
from starlette.responses import Response

from converter.model import Level
from converter.serve import kitchen
from converter.serve.kitchen import MOST_SIGNS

router = APIRouter(prefix="/api", tags=["undial"])


class _Closed(BaseModel):
    model_config = ConfigDict(extra="forbid", frozen=True)


class Conversion(_Closed):
    """A recipe to convert."""

    text: Annotated[str, StringConstraints(strict=True, min_length=1, max_length=MOST_SIGNS)] = Field(
        description="The recipe as plain text: title, ingredients, method.",
        examples=["Sponge\n\n3 eggs\n175 g flour\n\nBake at 180°C for 25 minutes, until it springs back."],
    )
    cooker: Annotated[str, StringConstraints(strict=True, max_length=40)] = Field(
        default="", description="Name of a cooker as /api/cookers gives it; empty for the household's own."
    )
    units: Literal["c", "f", "both"] = Field(default="both", description="Degrees in our own words.")


class CookerAnswer(_Closed):
    """A cooker that recipes can be converted for."""

    name: str = Field(description="What /api/convert takes.")
    words: str = Field(description="What a cook calls it.")
    summary: str = Field(description="Its ovens, in a line.")
    default: bool = Field(description="True for the one the household cooks on.")


class FlagAnswer(_Closed):
    """What a flag means."""

    name: str
    level: Level
    summary: str
    explanation: str
    example: str = Field(description="Words of a recipe that it is raised on.")
    source: str | None


class Trouble(_Closed):
    """Why there is no answer."""

    detail: str = Field(description="One sentence.")


@cache
def _result_schema() -> dict[str, Any]:
    """Return the schema of a converted recipe with its parts in place, as the description of the API needs it."""
    from converter.write import record

    whole = record.schema()

    def placed(node: Any) -> Any:
        if isinstance(node, list):
            return [placed(item) for item in node]
        if not isinstance(node, dict):
            return node
        made = {key: placed(value) for key, value in node.items() if key not in ("$ref", "$schema", "$defs")}
        if "$ref" in node:
            made = {**placed(whole["$defs"][node["$ref"].removeprefix("#/$defs/")]), **made}
        first, *others = made.pop("prefixItems", [None])
        if first is not None and all(one == first for one in others):
            # The same said plainly: readers of such descriptions stumble over items that are forbidden.
            made |= {"items": first, "minItems": 1 + len(others), "maxItems": 1 + len(others)}
        return made

    found = placed(whole)
    assert isinstance(found, dict)
    return found


def _no(what: str) -> dict[str, Any]:
    return {"model": Trouble, "description": what}


_EVERY: dict[int | str, dict[str, Any]] = {
    403: _no("Another site asked for this."),
    409: _no("What the household keeps of its cooker cannot be used."),
    421: _no("The page answers under its own address only."),
}


@router.post(
    "/convert",
    summary="Convert a recipe",
    responses={
        200: {
            "description": "The recipe as it was read, placed and written again.",
            "content": {"application/json": {"schema": _result_schema()}},
        },
        400: _no("The request is no JSON."),
        413: _no("The request is larger than any recipe."),
        415: _no("The request is not marked as JSON."),
        422: _no("The text is no recipe, or the request is not as described."),
        **_EVERY,
    },
    openapi_extra={
        "requestBody": {
            "required": True,
            "content": {"application/json": {"schema": Conversion.model_json_schema()}},
        }
    },
)
async def convert(request: Request) -> Response:
    """Return the object that ``undial convert --to json`` prints."""
    from pydantic import ValidationError
    from starlette.concurrency import run_in_threadpool

    kind = request.headers.get("content-type", "").partition(";")[0].strip().lower()
    if kind != "application/json":
        raise HTTPException(415, "Send the recipe as application/json.")
    try:
        asked = Conversion.model_validate_json(await request.body())
    except ValidationError as error:
        raise HTTPException(422, _told(error)) from None
    return await run_in_threadpool(_converted, asked)


def _told(error: Any) -> str:
    """Return what is wrong with a request in one sentence, without repeating what it holds."""
    first = error.errors(include_url=False, include_context=False, include_input=False)[0]
    where = ".".join(str(part) for part in first["loc"])[:80]
    return kitchen.sentence(f"'{where}': {first['msg']}" if where else str(first["msg"]))


def _converted(asked: Conversion) -> Response:
    from converter.write.record import render

    shown = kitchen.shown(asked.text, cooker=asked.cooker, units=asked.units)
    return Response(render(shown.result).encode("utf-8", "replace"), media_type="application/json")


@router.get("/cookers", summary="Cookers", responses=_EVERY)
def cookers() -> list[CookerAnswer]:
    """Return the cookers that can be named."""
    return [
        CookerAnswer(name=one.name, words=one.words, summary=one.summary, default=one.default)
        for one in kitchen.cookers()
    ]


@router.get(
    "/flags/{name}", summary="What a flag means", responses={404: _no("There is no flag of this name."), **_EVERY}
)
def flag(name: Annotated[str, Path(max_length=60, pattern="^[a-z0-9-]+$")]) -> FlagAnswer:
    """Return what ``undial explain`` says about a flag."""
    from converter import flagkinds

    kind = flagkinds.table().get(name)
    if kind is None:
        raise HTTPException(404, "There is no flag of this name.")
    return FlagAnswer(
        name=kind.name, level=cast(Level, kind.level), summary=kind.summary, explanation=kind.explanation,
        example=kind.example, source=kind.source,
    )  # fmt: skip
