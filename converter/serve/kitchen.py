"""The common ground of the rooms: cookers by name, one recipe as it is shown, its ways, what is kept of pastes."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Mapping
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Final

from fastapi import HTTPException, Request

from converter.ledger import Decision, Decisions, KeptFlag, LedgerError, Settings, kept_flags
from converter.serve.pasted import NotKept, PastedStore, default_path
from converter.serve.shared import shared

if TYPE_CHECKING:
    from converter.folder.work import Setup
    from converter.model import Flag, Placement, Result
    from converter.place.cookers import Cooker
    from converter.review import Answer, Choice, Item
    from converter.review.household import Household

UNITS: Final[Mapping[str, str]] = {"both": "°C and °F", "c": "°C", "f": "°F"}
OWN: Final = "own"
"""The name in forms of a household's cooker that is a file of its own; its path never goes to the browser."""
MOST_SIGNS = 60_000
"""Longest text converted at once; the longest of 3,129 recipes of an open cookbook has 3,156 bytes."""
_KEPT_RESULTS = 64


# ---------------------------------------------------------------- cookers


@dataclass(frozen=True, slots=True)
class CookerName:
    """A cooker to choose: its name in forms, words for it, and whether the household cooks on it by default."""

    name: str
    words: str
    summary: str
    default: bool


def built_in(default: str = "") -> tuple[CookerName, ...]:
    """Return the built-in cookers; `default` is the name of the household's own."""
    from converter.place import cookers as known

    return tuple(
        CookerName(name, name.replace("-", " "), known.load(name).summary, name == default) for name in known.builtin()
    )


def cookers() -> tuple[CookerName, ...]:
    """Return the built-in cookers and the household's own, if it has one. Raises ``HTTPException`` 409."""
    default = default_cooker()
    if default != OWN:
        return built_in(default)
    own = setup(OWN).cooker
    return CookerName(OWN, own.name, own.summary, True), *built_in()


def default_cooker() -> str:
    """Return the name in forms of the household's default. Raises ``HTTPException`` 409 where its profile is gone."""
    from converter.place import cookers as known

    try:
        name = known.default_name()
    except Exception as error:
        raise _unusable(error) from None
    return known.builtin_name(name) or OWN


_HOUSEHOLDS: dict[tuple[str, str, Path], Household] = {}
_HOUSEHOLDS_LOCK = threading.Lock()


def setup(cooker: str = "", units: str = "both") -> Setup:
    """Return how recipes are converted for a cooker named as in forms ("" is the default), as the household read it.

    The same object comes back until a reading, a rule or the profile changes. Raises ``HTTPException`` 422 for an
    unknown name, 409 where what the household keeps cannot be used.
    """
    from converter.cli_parts import user_rules
    from converter.place import cookers as known
    from converter.review.household import Household

    name = cooker or default_cooker()
    if name != OWN and name not in known.builtin():
        raise HTTPException(422, f"There is no cooker of this name; there are {', '.join(known.builtin())}.")
    if units not in UNITS:
        raise HTTPException(422, "Degrees are c, f or both.")
    key = name, units, user_rules()
    with _HOUSEHOLDS_LOCK:
        household = _HOUSEHOLDS.get(key)
        if household is None:
            household = _HOUSEHOLDS[key] = Household(key[2])
    try:
        return household.setup(Settings("", cooker="" if name == OWN else name, units=units))[0]
    except LedgerError as error:
        raise _unusable(error) from None


def _unusable(error: Exception) -> HTTPException:
    from converter.data import DataError

    if not isinstance(error, DataError | LedgerError):
        raise error
    return HTTPException(409, f"What is kept of your cooker cannot be used: {error}.")


# ---------------------------------------------------------------- one recipe


@dataclass(frozen=True)
class Shown:
    """One recipe as it is shown. ``flags`` run beside ``result.flags`` and have the keys they are decided by.

    ``decisions`` are those the conversion was asked to follow.
    """

    result: Result
    setup: Setup
    flags: tuple[KeptFlag, ...]
    decisions: Decisions

    @property
    def cooker(self) -> Cooker:
        """The cooker as the household read it."""
        return self.setup.cooker

    @cached_property
    def placements(self) -> Mapping[int, Placement]:
        """The placements by phase."""
        return {placement.phase: placement for placement in self.result.placements}

    def decided(self, key: str) -> Decision | None:
        """Return the decision that settles the flag `key`, if there is one."""
        found = self.decisions.find(key)
        return found if found is not None and found.settles else None

    @cached_property
    def _ways(self) -> dict[int, tuple[Choice, ...]]:
        return {}

    def ways(self, flag: KeptFlag) -> tuple[Choice, ...]:
        """Return the other ways to place the heat that `flag` is about, each worked out; worked out once."""
        placement = self.placements.get(flag.phase)
        if placement is None:
            return ()
        found = self._ways.get(flag.phase)
        if found is None:
            from converter.review.items import choices_of

            found = self._ways[flag.phase] = choices_of(self.result.reading, placement, self.setup)
        return found

    def flag(self, key: str) -> tuple[Flag, KeptFlag] | None:
        """Return the flag `key` as it is and as it is kept."""
        return next(
            ((real, kept) for real, kept in zip(self.result.flags, self.flags, strict=True) if kept.key == key), None
        )

    def item(self, key: str) -> Item | None:
        """Return the flag `key` with all that a decision needs, as ``Desk.item`` has it for a folder."""
        from converter.review import Item
        from converter.review.items import neighbours, stays

        found = self.flag(key)
        if found is None:
            return None
        real, kept = found
        before, line, after = neighbours(self.result.reading, real)
        also = tuple(
            other
            for other in self.flags
            if kept.phase and other.phase == kept.phase and other.level == "judgement" and other.key != key
        )
        placement = self.placements.get(kept.phase)
        proposal = "" if placement is None else stays(placement.moves) or "left as the recipe has it"
        return Item(
            kept, self.result.reading.recipe.title, before, line, after, proposal,
            "" if placement is None else placement.rule, self.ways(kept), real.choices, also,
            self.decisions.find(key), None, 1, "", "",
        )  # fmt: skip


_ONE_BY_ONE = ThreadPoolExecutor(1, thread_name_prefix="undial-convert")
"""Conversions hold the interpreter; in a queue of one, many at once are answered in the order they came."""
_RESULTS: OrderedDict[tuple[object, ...], Shown] = OrderedDict()
_RESULTS_LOCK = threading.Lock()


def shown(
    text: str, *, cooker: str = "", units: str = "both", answers: Decisions | None = None, name: str = "this recipe"
) -> Shown:
    """Return a recipe converted for a cooker named as in forms, with the decisions `answers`.

    Raises ``HTTPException`` 422 with one sentence where `text` is no recipe, and as `setup`.
    """
    return shown_with(text, setup=setup(cooker, units), answers=answers, name=name)


def shown_with(text: str, *, setup: Setup, answers: Decisions | None = None, name: str = "this recipe") -> Shown:
    """Return a recipe converted as `setup` says; `name` is what messages call it. The last results are kept.

    Raises ``HTTPException`` 422 as `shown`.
    """
    made = answers if answers is not None else Decisions()
    key = (text, name, id(setup), tuple(made))
    with _RESULTS_LOCK:
        found = _RESULTS.get(key)
        if found is not None and found.setup is setup:
            _RESULTS.move_to_end(key)
            return found
    new = _ONE_BY_ONE.submit(_converted, text, setup, made, name).result()
    with _RESULTS_LOCK:
        _RESULTS[key] = new
        while len(_RESULTS) > _KEPT_RESULTS:
            _RESULTS.popitem(last=False)
    return new


def _converted(text: str, setup: Setup, decisions: Decisions, name: str) -> Shown:
    from converter.files import FileTrouble, checked
    from converter.pipeline import convert
    from converter.read.text import NotReadable

    if len(text) > MOST_SIGNS:
        raise HTTPException(
            422, f"This holds {len(text):,} signs; at most {MOST_SIGNS:,} are read as one recipe. Give each its own."
        )
    try:
        result = convert(
            checked(text, name=name), cooker=setup.cooker, units=setup.units, rules=setup.rules, slope=setup.slope,
            measured=setup.measured, decisions=decisions or None,
        )  # fmt: skip
    except (NotReadable, FileTrouble) as error:
        raise HTTPException(422, sentence(str(error).removeprefix(f"{name}: "))) from None
    return Shown(result, setup, kept_flags(result), decisions)


def sentence(words: str) -> str:
    """Return words as a sentence: a capital first and a stop last."""
    words = words.strip()
    return words[:1].upper() + words[1:] + ("" if words[-1:] in ".!?…" else ".")


def answered(shown: Shown, key: str, answer: Answer, *, who: str = "") -> tuple[Decision, ...]:
    """Return the decisions that an answer to the flag `key` makes, those of the same stretch of heat with it.

    Raises ``HTTPException`` 409 where the recipe has no such flag now, 422 for an answer that does not fit it.
    """
    from converter.review.judging import check, decisions_of

    item = shown.item(key)
    if item is None:
        raise HTTPException(409, "This line is not there any more; look at the recipe as it is now.")
    try:
        check(item, answer, for_all=False)
    except LedgerError as error:
        raise HTTPException(422, sentence(str(error))) from None
    return tuple(decisions_of(item, answer, item.also, who=who))


def now() -> str:
    """Return the time as decisions carry it: ISO 8601, UTC, whole seconds."""
    return datetime.now(UTC).isoformat(timespec="seconds")


# ---------------------------------------------------------------- what is kept


def kept(request: Request) -> PastedStore:
    """Return the store of pasted recipes of this page."""
    app = request.app
    return shared(app, "pasted", PastedStore, lambda: PastedStore(app.state.door.kept or default_path()))


def lost(error: NotKept) -> HTTPException:
    """Return what the browser is told where the file of pasted recipes cannot be used."""
    return HTTPException(507, str(error))
