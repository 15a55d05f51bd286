"""What the folder room and the judgement room share: the desk, who decides, and decisions in words."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any, TypeVar
from urllib.parse import quote, unquote

from fastapi import HTTPException, Request
from starlette.responses import Response

from converter.folder.names import seen
from converter.ledger import Decision, KeptFlag, LedgerError
from converter.review import Desk, Item, Stale, kind_words
from converter.serve.catalogue import Catalogue, level_of, row_of
from converter.serve.shared import shared
from converter.write.parts import in_units

if TYPE_CHECKING:
    from collections.abc import Callable

MOST_NAME = 60
_YEAR_SECONDS = 365 * 24 * 3600
_T = TypeVar("_T")


def has_folder(request: Request) -> bool:
    """Say whether the page was started with a folder."""
    return request.app.state.door.folder is not None


def desk(request: Request) -> Desk:
    """Return the desk of the folder, opened once. Raises ``LedgerError``, without a folder ``HTTPException`` 404."""

    def made() -> Desk:
        from converter.cli_parts import user_rules

        return Desk(request.app.state.door.folder, user_rules=user_rules())

    return _of_folder(request, "desk", Desk, made)


def catalogue(request: Request) -> Catalogue:
    """Return the catalogue of the folder, made once."""
    return _of_folder(request, "catalogue", Catalogue, lambda: Catalogue(request.app.state.door.folder))


def _of_folder(request: Request, name: str, kind: type[_T], make: Callable[[], _T]) -> _T:
    if not has_folder(request):
        raise HTTPException(404)
    return shared(request.app, name, kind, make)


# ---------------------------------------------------------------- who decides


def _who_cookie(request: Request) -> str:
    return f"{request.app.state.door.cookie}-who"


def who(request: Request) -> str:
    """Return the name that this browser decides under, "" where none was given."""
    return _name(unquote(request.cookies.get(_who_cookie(request), "")))


def remember_who(request: Request, answer: Response, name: str) -> None:
    """Keep the name in the browser, or forget it where it is empty."""
    kept, cookie = quote(_name(name)), _who_cookie(request)
    if kept:
        answer.set_cookie(cookie, kept, max_age=_YEAR_SECONDS, httponly=True, samesite="lax")
    else:
        answer.delete_cookie(cookie)


def _name(words: str) -> str:
    return " ".join("".join(sign if sign.isprintable() else " " for sign in words).split())[:MOST_NAME]


# ---------------------------------------------------------------- words


def decision_words(made: Decision, item: Item | None) -> str:
    """Return what was decided, with the stays where the item tells them."""
    if made.kind == "words":
        return f"in their own words: “{made.words}”"
    if item is not None and made.kind == "take" and item.proposal and made.code == item.code:
        return f"as proposed, {item.proposal}"
    if item is not None and made.kind == "choice":
        found = next((choice.words for choice in item.choices if choice.code == made.code), "")
        if found:
            return found
    return kind_words(made.kind)


def stale_words(found: Stale, item: Item | None) -> str:
    """Return why an answer was not kept and what the other decided; `item` is the line as it is now."""
    if found.why == "decided" and found.standing is not None:
        made = found.standing
        return (
            f"{made.who or 'Someone else'} has decided this line meanwhile ({day_words(made.at)}): "
            f"{decision_words(made, item)}. Your answer was not kept. Look at the line as it is now; if you answer "
            "again, your answer takes its place."
        )
    if found.why == "taken-back":
        return "The decision about this line was taken back meanwhile. Your answer was not kept; look at it again."
    if found.why == "changed":
        return "The proposal for this line has changed since it was shown. Your answer was not kept; look at it again."
    return f"Your answer was not kept: {told(found.message)}"


def day_words(at: str) -> str:
    """Return "25 November, 14:05" of a moment in UTC, as the clock on the wall shows it."""
    from datetime import datetime

    try:
        when = datetime.fromisoformat(at).astimezone()
    except ValueError:
        return at
    return f"{when.day} {when:%B}, {when:%H:%M}"


def told(error: LedgerError | str) -> str:
    """Return what the ledger says as a sentence."""
    from converter.serve.kitchen import sentence

    return sentence(str(error))


def flag_row(flag: KeptFlag) -> str:
    """Return the row of the recipe that a flag belongs to."""
    return row_of(flag.source, flag.number)


def titles(request: Request, flags: Sequence[KeptFlag]) -> dict[str, str]:
    """Return the title of each flag's recipe by the flag's key, its file where it has none. Raises ``LedgerError``."""
    recipes = catalogue(request).contents().recipes
    found = {flag.key: recipes.get(flag_row(flag)) for flag in flags}
    return {
        flag.key: recipe.title if (recipe := found[flag.key]) and recipe.title else seen(flag.source) for flag in flags
    }


def helps(units: str) -> Mapping[str, Any]:
    """Return what the templates of both rooms call: words in the household's degrees, days, levels, rows."""
    return {
        "degrees": lambda words: in_units(words, units),
        "day": day_words,
        "level": level_of,
        "row": flag_row,
        "kind_words": kind_words,
        "decision_words": decision_words,
    }
