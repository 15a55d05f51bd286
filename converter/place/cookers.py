"""Heat-storage ranges: which zones a cooker has, where they stand, how hot they are.

The built-in profiles and the table of zone kinds are YAML in ``rules/cookers``;
a household's own profile is a file of the same shape. Temperatures are °C:
surface of a plate, air of an oven; differences are in kelvin. How a profile is
read and checked stands in ``profiles.py``.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path

from converter import data
from converter.data import DataError
from converter.model import HEIGHTS, OVENS

OVEN_HEIGHTS: tuple[str, ...] = tuple(height for height in HEIGHTS if height != "any")
FALLBACK = "four-oven"

# Heights compared by Cooker.nearest, in the order that settles a tie.
_SHELVES = ("middle", "high", "low", "floor")


class ProfileError(DataError):
    """A profile that cannot be used; ``where`` is ``file:line``."""


class Temperatures(Mapping[str, float]):
    """°C by height; read only and hashable. A plate has the one height ``any``."""

    __slots__ = ("_pairs",)

    def __init__(self, values: Mapping[str, float]) -> None:
        self._pairs = tuple(values.items())

    def __getitem__(self, height: str) -> float:
        for name, celsius in self._pairs:
            if name == height:
                return celsius
        raise KeyError(height)

    def __iter__(self) -> Iterator[str]:
        return (name for name, _ in self._pairs)

    def __len__(self) -> int:
        return len(self._pairs)

    def __hash__(self) -> int:
        return hash(self._pairs)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, Mapping) and dict(self._pairs) == dict(other)

    def __repr__(self) -> str:
        return f"Temperatures({dict(self._pairs)})"


@dataclass(frozen=True, slots=True)
class Zone:
    """One plate or oven.

    ``kind`` is one of ``model.ZONES``, ``label`` the household's word for it.
    ``tolerance_c`` is how far it swings to either side [K]; ``holds`` counts
    the large pans or roasting tins that fit at once; ``shield_c`` is the low
    shelf under a cold shield; ``shelves`` are the heights of the numbered
    shelf positions from the top; ``line`` is where the profile describes it.
    """

    id: str
    kind: str
    label: str
    side: str
    level: str
    celsius: Temperatures
    tolerance_c: float
    holds: int
    line: int
    use: str = ""
    shield_c: float | None = None
    shelves: tuple[str, ...] = ()

    @property
    def is_oven(self) -> bool:
        """True for an oven, False for a plate."""
        return self.kind in OVENS

    @property
    def heights(self) -> tuple[str, ...]:
        """Roof to floor for an oven, empty for a plate."""
        return tuple(self.celsius) if self.is_oven else ()

    def at(self, height: str | None = None) -> float:
        """Return °C at a height; ``any`` and ``None`` are the middle of an oven.

        A plate has one temperature. Raises ``KeyError`` for an unknown height.
        """
        if not self.is_oven:
            if height is not None and height not in HEIGHTS:
                raise KeyError(height)
            return self.celsius["any"]
        return self.celsius["middle" if height in (None, "any") else height]

    def shelf(self, height: str) -> int | None:
        """Return the number of the first shelf position at `height`, from 1 at the top, if the profile numbers them."""
        return self.shelves.index(height) + 1 if height in self.shelves else None


@dataclass(frozen=True, slots=True)
class Cooker:
    """One heat-storage range. ``source`` names the file that describes it."""

    name: str
    summary: str
    zones: tuple[Zone, ...]
    source: str
    kinds: frozenset[str] = field(init=False, compare=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "kinds", frozenset(zone.kind for zone in self.zones))

    @property
    def ovens(self) -> tuple[Zone, ...]:
        """The ovens in the order of the profile."""
        return tuple(zone for zone in self.zones if zone.is_oven)

    @property
    def plates(self) -> tuple[Zone, ...]:
        """The plates in the order of the profile."""
        return tuple(zone for zone in self.zones if not zone.is_oven)

    def has(self, kind: str) -> bool:
        """Tell whether the cooker has a zone of this kind."""
        return kind in self.kinds

    def zone(self, kind: str) -> Zone:
        """Return the first zone of a kind; raises ``KeyError`` where the cooker has none."""
        for zone in self.zones:
            if zone.kind == kind:
                return zone
        raise KeyError(kind)

    def first(self, kinds: tuple[str, ...] | list[str]) -> Zone | None:
        """Return the zone of the first kind in `kinds` that the cooker has."""
        return next((self.zone(kind) for kind in kinds if kind in self.kinds), None)

    def nearest(self, celsius: float, *, environment: str = "oven") -> tuple[Zone, str, float]:
        """Return the zone and height nearest to `celsius`, and how much hotter it is [K, below 0 if cooler].

        ``oven`` and ``none`` compare shelves; the floor counts only for less
        than its own heat, since its iron also heats from beneath. ``grill``
        compares roofs, ``hob`` plates (height ``any``). A tie goes to the
        hotter zone, then to the middle shelf. Raises ``LookupError`` where
        the cooker has no zone of that sort, ``ValueError`` for an unknown
        environment.
        """
        best: tuple[tuple[float, float, int], Zone, str] | None = None
        for zone, height, rank in self._candidates(celsius, environment):
            there_c = zone.at(height)
            key = (abs(there_c - celsius), -zone.at(), rank)
            if best is None or key < best[0]:
                best = (key, zone, height)
        if best is None:
            raise LookupError(f"{self.name} has no zone for {environment}")
        return best[1], best[2], best[1].at(best[2]) - celsius

    def _candidates(self, celsius: float, environment: str) -> Iterator[tuple[Zone, str, int]]:
        if environment == "hob":
            yield from ((zone, "any", 0) for zone in self.plates)
        elif environment == "grill":
            yield from ((zone, "roof", 0) for zone in self.ovens)
        elif environment in ("oven", "none"):
            for zone in self.ovens:
                for rank, height in enumerate(_SHELVES):
                    if height != "floor" or celsius < zone.at("floor"):
                        yield zone, height, rank
        else:
            raise ValueError(f"unknown environment '{environment}'")


@cache
def builtin() -> tuple[str, ...]:
    """Return the names of the built-in cookers, fewest ovens first."""
    names = [path.stem for path in (data.folder("rules") / "cookers").glob("*-oven.yaml")]
    order = ("two", "three", "four", "five")
    return tuple(sorted(names, key=lambda name: (order.index(name.split("-")[0]), name)))


def builtin_path(name: str) -> Path:
    """Return the YAML file of a built-in cooker."""
    return data.folder("rules") / "cookers" / f"{name}.yaml"


def load(name_or_path: str | os.PathLike[str]) -> Cooker:
    """Return a built-in cooker by its name, or the one that a YAML file describes.

    Raises ``ProfileError`` for an unknown name, a file that cannot be read
    and a profile that is refused.
    """
    name = os.fspath(name_or_path)
    plain = builtin_name(name)
    return _builtin(plain) if plain else _from_file(name)


def builtin_name(name: str) -> str | None:
    """Return the built-in cooker that `name` means ("Four oven", "four_oven"), ``None`` for any other word."""
    plain = name.strip().casefold().replace("_", "-").replace(" ", "-")
    return plain if plain in builtin() else None


@cache
def _builtin(name: str) -> Cooker:
    from converter.place import profiles

    return profiles.cooker(builtin_path(name), source=f"rules/cookers/{name}.yaml")


def _from_file(name: str) -> Cooker:
    from converter.place import profiles

    path = Path(name)
    if not name.strip() or not (path.suffix or len(path.parts) > 1 or os.path.exists(name)):
        raise ProfileError(repr(name), _unknown(name))
    return profiles.cooker(path, source=name)


def _unknown(name: str) -> str:
    from difflib import get_close_matches

    near = get_close_matches(name, builtin(), n=1)
    hint = f"; did you mean {near[0]}?" if near else ""
    return f"neither a built-in cooker nor a file; built in are {', '.join(builtin())}{hint}"


def check(path: str | os.PathLike[str]) -> tuple[str, ...]:
    """Return all that is wrong or doubtful in a profile, one line each, with file and line.

    Lines of a profile that is refused hold ``refused:``, the others ``note:``.
    Raises ``ProfileError`` where the file cannot be read at all.
    """
    from converter.place import profiles

    _, findings = profiles.examine(Path(path), source=os.fspath(path))
    return tuple(str(finding) for finding in findings)


def default_path() -> Path:
    """Return the file that remembers the household's cooker."""
    from platformdirs import user_config_dir

    return Path(user_config_dir("undial", appauthor=False)) / "cooker.txt"


def default_name() -> str:
    """Return the remembered cooker, a built-in name or a path, else ``four-oven``.

    Raises ``ProfileError`` where the remembered profile is gone: another
    cooker in its place would give wrong zones.
    """
    path = default_path()
    try:
        name = path.read_text(encoding="utf-8").strip()
    except FileNotFoundError:
        return FALLBACK
    except (OSError, UnicodeDecodeError) as error:
        raise ProfileError(str(path), f"the remembered cooker cannot be read ({_reason(error)})") from None
    if name and name not in builtin() and not os.path.isfile(name):
        raise ProfileError(name, "the remembered cooker is gone; choose one with 'undial cooker use NAME'")
    return name or FALLBACK


def remember(name_or_path: str | os.PathLike[str]) -> Cooker:
    """Remember a cooker as the default and return it.

    Raises ``ProfileError`` as `load` does and where the choice cannot be kept.
    """
    from converter.place import profiles

    cooker = load(name_or_path)
    kept = builtin_name(os.fspath(name_or_path)) or os.path.realpath(name_or_path)
    path = default_path()
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        profiles.write_whole(path, kept + "\n")
    except (OSError, UnicodeEncodeError) as error:
        raise ProfileError(str(path), f"the choice cannot be kept ({_reason(error)})") from None
    return cooker


def _reason(error: Exception) -> str:
    return (getattr(error, "strerror", None) or "not UTF-8 text").lower()
