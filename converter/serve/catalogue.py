"""The recipes of a folder as its room shows them: what the ledger keeps of each, searched, filtered, sorted, paged."""

from __future__ import annotations

import hashlib
import json
import os
import threading
import unicodedata
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from converter import flagkinds
from converter.folder.listing import WAITING
from converter.folder.names import REPORT, seen
from converter.folder.work import CONVERTED
from converter.ledger import FILE_NAME, KeptFlag, Ledger, Settings
from converter.model import LEVELS

if TYPE_CHECKING:
    from converter.ledger import Decisions, Entry

A_PAGE: Final = 50


@dataclass(frozen=True, slots=True)
class Recipe:
    """One converted recipe. ``row`` names it in addresses; ``minutes`` is the whole time [low, high] of its stays.

    ``cautions`` and ``judgements`` count the open flags, ``notes`` those that need no answer, ``decided`` the flags
    that have one. ``words`` is what a search looks through, ``sha256`` that of the file it was read from.
    """

    row: str
    source: str
    number: int
    title: str
    zones: tuple[str, ...]
    minutes: tuple[float, float] | None
    cautions: int
    judgements: int
    notes: int
    decided: int
    words: str
    sha256: str

    @property
    def open(self) -> int:
        """Return how many flags wait for the cook."""
        return self.cautions + self.judgements

    @property
    def name(self) -> str:
        """Return the title, without one the file's name in words."""
        if self.title:
            return self.title
        words = Path(seen(self.source)).stem.replace("-", " ").replace("_", " ").strip() or seen(self.source)
        return words if self.number == 1 else f"{words}, recipe {self.number}"

    @property
    def told(self) -> str:
        """Return the file, and which of its recipes where it holds several."""
        name = seen(self.source)
        return name if self.number == 1 else f"{name}, recipe {self.number}"


TIMES: Final[Mapping[str, tuple[str, Callable[[float], bool]]]] = {
    "30": ("up to 30 minutes", lambda minutes: minutes <= 30),
    "60": ("up to 1 hour", lambda minutes: minutes <= 60),
    "120": ("up to 2 hours", lambda minutes: minutes <= 120),
    "240": ("up to 4 hours", lambda minutes: minutes <= 240),
    "more": ("longer than 4 hours", lambda minutes: minutes > 240),
}
FLAGS: Final[Mapping[str, tuple[str, Callable[[Recipe], bool]]]] = {
    "cautions": ("▲ cautions", lambda recipe: recipe.cautions > 0),
    "judgement": ("◆ to judge", lambda recipe: recipe.judgements > 0),
    "none": ("nothing open", lambda recipe: recipe.open == 0),
}
_NAME: Callable[[Recipe], Any] = lambda recipe: (folded(recipe.title or recipe.source), recipe.source, recipe.number)  # noqa: E731
SORTS: Final[Mapping[str, tuple[str, Callable[[Recipe], Any]]]] = {
    "title": ("by name", _NAME),
    "open": ("most to decide first", lambda recipe: (-recipe.cautions, -recipe.judgements, _NAME(recipe))),
    "quick": ("quickest first", lambda recipe: (recipe.minutes is None, (recipe.minutes or (0, 0))[1], _NAME(recipe))),
    "slow": ("longest first", lambda recipe: (-(recipe.minutes or (0, -1))[1], _NAME(recipe))),
    "file": ("by file", lambda recipe: (recipe.source, recipe.number)),
}


@dataclass(frozen=True, slots=True)
class Wish:
    """What is looked for. Of an unknown filter or sort the first stands; ``page`` counts from 1."""

    find: str = ""
    zone: str = ""
    flags: str = ""
    time: str = ""
    sort: str = "title"
    page: int = 1

    @property
    def narrows(self) -> bool:
        """Say whether it leaves recipes out."""
        return bool(self.find or self.zone or self.flags or self.time)


def wish(asked: Mapping[str, str]) -> Wish:
    """Read what the address asks for; what is not known of it is left out."""
    page = asked.get("page", "")
    return Wish(
        find=" ".join(asked.get("find", "")[:200].split()),
        zone=asked.get("zone", "")[:80],
        flags=asked["flags"] if asked.get("flags", "") in FLAGS else "",
        time=asked["time"] if asked.get("time", "") in TIMES else "",
        sort=asked["sort"] if asked.get("sort", "") in SORTS else "title",
        page=int(page) if page.isascii() and page.isdigit() and 0 < len(page) < 7 and int(page) else 1,
    )


@dataclass(frozen=True, slots=True)
class Found:
    """A page of the recipes that a wish leaves: ``total`` are all of them, ``pages`` at least 1."""

    recipes: tuple[Recipe, ...]
    total: int
    page: int
    pages: int


@dataclass(frozen=True, slots=True)
class Contents:
    """All converted recipes of a folder, how it was converted, and its zones in the order of how often they are used.

    ``lost`` are files and recipes that gave none, with the reason; ``waiting`` counts the files that the last run left
    to the next because it was stopped.
    """

    recipes: Mapping[str, Recipe]
    settings: Settings | None
    zones: tuple[str, ...]
    lost: tuple[tuple[str, str], ...]
    waiting: int = 0

    @property
    def open(self) -> int:
        """Return how many recipes have something to decide."""
        return sum(recipe.open > 0 for recipe in self.recipes.values())

    def find(self, wish: Wish) -> Found:
        """Return the page of recipes that `wish` asks for, the last page where it asks for a later one."""
        left = [recipe for recipe in self.recipes.values() if _fits(recipe, wish)]
        left.sort(key=SORTS[wish.sort][1])
        pages = max(1, -(-len(left) // A_PAGE))
        page = min(wish.page, pages)
        return Found(tuple(left[(page - 1) * A_PAGE : page * A_PAGE]), len(left), page, pages)


def _fits(recipe: Recipe, wish: Wish) -> bool:
    if wish.zone and wish.zone not in recipe.zones:
        return False
    if wish.flags and not FLAGS[wish.flags][1](recipe):
        return False
    if wish.time and (recipe.minutes is None or not TIMES[wish.time][1](recipe.minutes[1])):
        return False
    return all(word in recipe.words for word in folded(wish.find).split())


def level_of(flag: KeptFlag) -> str:
    """Return the more urgent of a flag's own level and that of its kind: a decided one stands as a note."""
    kind = flagkinds.table().get(flag.name)
    return min(flag.level, kind.level if kind is not None else flag.level, key=LEVELS.index)


def folded(words: str) -> str:
    """Return words without capitals and accents, so that "creme" finds "Crème"."""
    apart = unicodedata.normalize("NFKD", words.casefold())
    return "".join(sign for sign in apart if not unicodedata.combining(sign))


def row_of(source: str, number: int) -> str:
    """Return what names a recipe in addresses: 16 hex digits."""
    return hashlib.blake2b(f"{source}\0{number}".encode("utf-8", "surrogatepass"), digest_size=8).hexdigest()


class Catalogue:
    """Reads the contents of the folder `dest` and keeps them until its ledger changes. Safe between threads."""

    def __init__(self, dest: Path) -> None:
        self._dest = dest
        self._lock = threading.Lock()
        self._kept: tuple[object, Contents] | None = None

    def contents(self) -> Contents:
        """Return what the folder holds now. Raises ``LedgerError``."""
        with self._lock:
            age = tuple(_age(self._dest / name) for name in (FILE_NAME, f"{FILE_NAME}-wal", REPORT))
            if self._kept is None or self._kept[0] != age:
                self._kept = age, self._read()
            return self._kept[1]

    def _read(self) -> Contents:
        before = self._kept[1].recipes if self._kept is not None else {}
        recipes: dict[str, Recipe] = {}
        lost: list[tuple[str, str]] = []
        used: dict[str, int] = {}
        with Ledger.open(self._dest, create=False, check=False) as ledger:
            settings, decisions = ledger.settings(), ledger.decisions()
            for entry in ledger.entries():
                if entry.status != CONVERTED:
                    of = f", recipe {entry.number}" if entry.number > 1 else ""
                    lost.append((entry.source + of, entry.reason))
                    continue
                recipe = _recipe(entry, decisions, before)
                recipes[recipe.row] = recipe
                for zone in entry.zones:
                    used[zone] = used.get(zone, 0) + 1
        zones = tuple(sorted(used, key=lambda zone: (-used[zone], zone)))
        passed, waiting = _reported(self._dest / REPORT)
        return Contents(recipes, settings, zones, tuple(sorted({*lost, *passed})), waiting)


def _reported(path: Path) -> tuple[list[tuple[str, str]], int]:
    """Return what the report of the last run says of files that the ledger has nothing of, and how many wait."""
    try:
        if path.is_symlink():
            return [], 0
        files = json.loads(path.read_bytes())["files"]
        passed = [(str(one["source"]), str(one["reason"])) for one in files if one.get("failed") is True]
        return passed, sum(one.get("status") == WAITING for one in files)
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return [], 0  # a report that was never written, or by another hand


def _age(path: Path) -> tuple[int, int, int] | None:
    try:
        about = os.stat(path)
    except OSError:
        return None
    return about.st_mtime_ns, about.st_size, about.st_ino


def _recipe(entry: Entry, decisions: Decisions, before: Mapping[str, Recipe]) -> Recipe:
    count = dict.fromkeys((*LEVELS, "decided"), 0)
    for flag in entry.flags:
        made = decisions.find(flag.key)
        count["decided" if made is not None and made.settles else level_of(flag)] += 1
    row = row_of(entry.source, entry.number)
    known = before.get(row)
    if known is not None and (known.sha256, known.title) == (entry.sha256, entry.title):
        words = known.words
    else:
        words = folded(f"{entry.title} {entry.source} {entry.text}")
    return Recipe(
        row, entry.source, entry.number, entry.title, entry.zones, entry.minutes, count["caution"],
        count["judgement"], count["note"], count["decided"], words, entry.sha256,
    )  # fmt: skip
