"""Published core temperatures, for any test that lays a figure of ours against them.

A helper, not a test: ``safety_floor_c("poultry")``, ``published(group="cake")``.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from pathlib import Path

from converter import data
from converter.data import DataError, expect_keys

FILE = Path(__file__).parent / "data" / "cooking_endpoints.yaml"
GROUPS = ("meat", "poultry", "fish", "bread", "cake", "custard", "reheated", "any")
KINDS = ("safety", "quality")


@dataclass(frozen=True, slots=True)
class Endpoint:
    """One published core temperature [low, high]; ``source`` is publisher, title, year."""

    id: str
    group: str
    food: str
    kind: str
    celsius: tuple[float, float]
    fahrenheit: tuple[float, float] | None
    hold_seconds: float
    rest_minutes: float
    source: str
    where: str


@cache
def endpoints() -> tuple[Endpoint, ...]:
    """Return all rows in the order of the file; raises ``DataError`` for a row out of shape."""
    table = expect_keys(data.read(FILE), required=("sources", "endpoints"), where=FILE.name)
    made = []
    for row in table["endpoints"]:
        expect_keys(
            row,
            required=("id", "group", "food", "kind", "celsius", "source"),
            optional=("fahrenheit", "hold_seconds", "rest_minutes", "note"),
        )
        if row["group"] not in GROUPS or row["kind"] not in KINDS:
            raise DataError(row.where, f"unknown group or kind: {row['group']}, {row['kind']}")
        if row["source"] not in table["sources"]:
            raise DataError(row.at("source"), f"unknown source '{row['source']}'")
        source = expect_keys(
            table["sources"][row["source"]], required=("title", "publisher", "year"), optional=("url", "read_at")
        )
        low, high = row["celsius"]
        scale = row.get("fahrenheit")
        made.append(
            Endpoint(
                id=row["id"],
                group=row["group"],
                food=row["food"],
                kind=row["kind"],
                celsius=(low, high),
                fahrenheit=(scale[0], scale[1]) if scale else None,
                hold_seconds=row.get("hold_seconds", 0),
                rest_minutes=row.get("rest_minutes", 0),
                source=f"{source['publisher']}, {source['title']}, {source['year']}",
                where=row.where,
            )
        )
    return tuple(made)


def published(*, group: str, kind: str | None = None) -> tuple[Endpoint, ...]:
    """Return the rows of one group, of one kind if given; raises ``KeyError`` where there are none."""
    found = tuple(row for row in endpoints() if row.group == group and kind in (None, row.kind))
    if not found:
        raise KeyError(f"no published end point for {group}, {kind}")
    return found


def endpoint(id: str) -> Endpoint:
    """Return one row by its id; raises ``KeyError``."""
    for row in endpoints():
        if row.id == id:
            return row
    raise KeyError(id)


def safety_floor_c(group: str) -> float:
    """Return the highest safety limit published for a group [°C]: what meets it meets them all.

    Pre-cooked food counts with its group. Raises ``KeyError`` for a group without a limit.
    """
    return max(row.celsius[0] for row in published(group=group, kind="safety"))


def quality_range_c(group: str) -> tuple[float, float]:
    """Return the span of all quality figures of a group [°C]."""
    rows = published(group=group, kind="quality")
    return min(row.celsius[0] for row in rows), max(row.celsius[1] for row in rows)
