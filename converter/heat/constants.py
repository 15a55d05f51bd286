"""The constants of the heat laws, read once from ``lexicon/heat.yaml``.

Every constant has unit, value, range, status and source; a value outside its
range, an unknown key or an unknown status is a ``DataError`` with file and
line.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Any

from converter import data

STATUSES = ("sourced", "fitted", "computed", "assumed", "practice", "memory")
GROUPS = ("clock", "estimate", "weight", "softening", "pot", "browning", "doses")


@dataclass(frozen=True, slots=True)
class Constant:
    """One constant: value in `unit`, the range it may take, where it comes from."""

    value: float
    unit: str
    low: float
    high: float
    status: str
    source: str


@dataclass(frozen=True, slots=True)
class Holding:
    """Published holding times of a kind of meat: °C of the core and minutes, from cool to hot."""

    core_c: tuple[float, ...]
    minutes: tuple[float, ...]
    status: str
    source: str


def _constant(node: Any, where: str) -> Constant:
    data.expect_keys(node, required=("value", "unit", "range", "status", "source"), where=where)
    low, high = (float(one) for one in node["range"])
    value = float(node["value"])
    if not low <= value <= high:
        raise data.DataError(node.at("value"), f"{value:g} lies outside its own range {low:g} to {high:g}")
    if node["status"] not in STATUSES:
        raise data.DataError(node.at("status"), f"unknown status; allowed are {', '.join(STATUSES)}")
    if not node["source"]:
        raise data.DataError(node.at("source"), "a constant needs a source")
    return Constant(value, str(node["unit"]), low, high, node["status"], node["source"])


@cache
def constants() -> dict[str, Constant]:
    """Return all constants by ``group.name``; raises ``DataError`` for a table that cannot be used."""
    table = data.expect_keys(data.lexicon("heat"), required=(*GROUPS, "poultry"))
    return {
        f"{group}.{name}": _constant(node, table.at(group)) for group in GROUPS for name, node in table[group].items()
    }


@cache
def value(name: str) -> float:
    """Return the value of one constant, such as ``clock.slope``."""
    return constants()[name].value


@cache
def poultry() -> Holding:
    """Return the poultry holding times; raises ``DataError`` where the rows do not fall as they warm."""
    table = data.expect_keys(data.lexicon("heat")["poultry"], required=("status", "source", "rows"))
    rows = [(float(core_c), float(seconds) / 60.0) for core_c, seconds in table["rows"]]
    for (cool, longer), (hot, shorter) in pairwise(rows):
        if not (cool < hot and longer > shorter):
            raise data.DataError(table.at("rows"), "the rows must grow in °C and fall in seconds")
    return Holding(tuple(row[0] for row in rows), tuple(row[1] for row in rows), table["status"], table["source"])
