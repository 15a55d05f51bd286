"""Which cooker the room shows: the built-in ones, the household's default, and profiles begun on this page.

A cooker is named in forms by a word of ours; no path comes from the browser or goes to it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from functools import cached_property
from pathlib import Path

from fastapi import HTTPException

from converter.data import DataError
from converter.place import cookers, own_cooker, own_profile
from converter.place.cookers import Cooker
from converter.place.own_cooker import Applied, OwnRecord
from converter.serve import kitchen

_MARK = "own-"


@dataclass(frozen=True)
class Chosen:
    """One cooker: its ``name`` in forms, the ``file`` of a household's own, whether it is the default."""

    name: str
    file: Path | None
    default: bool

    @property
    def kept_as(self) -> str:
        """What the default remembers: a built-in name or a path."""
        return self.name if self.file is None else str(self.file)

    @property
    def words(self) -> str:
        """What the cooker is called on the screen."""
        if self.file is None:
            return self.name.replace("-", " ")
        try:
            return self.profile.name
        except HTTPException:
            return self.file.stem

    @cached_property
    def profile(self) -> Cooker:
        """The cooker of the profile, before any reading. Raises ``HTTPException`` 409."""
        try:
            return cookers.load(self.kept_as)
        except DataError as error:
            raise unusable(error) from None

    @cached_property
    def record(self) -> OwnRecord:
        """What is kept of it. Raises ``HTTPException`` 409."""
        try:
            return own_cooker.load(self.profile)
        except DataError as error:
            raise unusable(error) from None

    @cached_property
    def applied(self) -> Applied:
        """The cooker as it was read, its slope, and what is not used of the readings."""
        return own_cooker.apply(self.profile, date.today(), record=self.record)


def unusable(error: Exception) -> HTTPException:
    """Return what the browser is told where a profile or record cannot be used; no folder is named."""
    words = str(error)
    where = getattr(error, "where", "")
    if where and "/" in where:
        words = words.replace(where, Path(where).name, 1)
    return HTTPException(409, f"What is kept of your cooker cannot be used: {words}.")


def choices() -> tuple[Chosen, ...]:
    """Return the cookers to choose from, the household's own first. Raises ``HTTPException`` 409."""
    try:
        default = cookers.default_name()
    except DataError:
        default = ""  # it is gone; another can be chosen here
    plain = cookers.builtin_name(default)
    files = dict(own_profile.known())
    own = [Chosen(f"{_MARK}{stem}", path, _same(path, default)) for stem, path in files.items()]
    if default and plain is None and not any(one.default for one in own):
        own.insert(0, Chosen(kitchen.OWN, Path(default), True))
    return (*own, *(Chosen(name, None, name == plain) for name in cookers.builtin()))


def _same(path: Path, default: str) -> bool:
    return bool(default) and path.resolve() == Path(default).resolve()


def chosen(name: str) -> Chosen:
    """Return the cooker of a name in forms, "" for the default. Raises ``HTTPException`` 422 for an unknown one."""
    all_of_them = choices()
    if not name:
        found = next((one for one in all_of_them if one.default), None)
        return found or next(one for one in all_of_them if one.name == cookers.FALLBACK)
    for one in all_of_them:
        if one.name == name or (name == kitchen.OWN and one.default and one.file is not None):
            return one
    raise HTTPException(422, "There is no cooker of this name here.")


def name_of(cooker: Cooker) -> str:
    """Return the name in forms of the cooker that a recipe was placed on, "" where it is none of those here."""
    for one in choices():
        if one.file is None and one.name == cooker.name:
            return one.name
        if one.file is not None and one.words == cooker.name:
            return one.name
    return ""
