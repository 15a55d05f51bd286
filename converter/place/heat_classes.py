"""How the heat model serves a class of food: with a time, with a probe, or by rule of thumb.

The table is ``lexicon/heat_classes.yaml``; its head says what each row means
and where it comes from.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any

from converter import data
from converter.data import DataError, Node, expect_keys

SERVES: tuple[str, ...] = ("time", "probe", "rule-of-thumb")
_FILES = ("foods", "dishes")


@dataclass(frozen=True, slots=True)
class End:
    """What the core of a roast must come to.

    ``limit`` is an id of rules/safety_limits.yaml, ``target`` an end point of
    the material; ``rise`` says that the rise at rest is counted on.
    """

    limit: str
    target: str
    rise: bool


@dataclass(frozen=True, slots=True)
class HeatClass:
    """How one class of food is served. ``material`` is a class of lexicon/materials.yaml, ``foil`` that in foil.

    ``named`` says that ``end`` counts only where the recipe names a core temperature.
    """

    serve: str
    material: str | None = None
    foil: str | None = None
    end: End | None = None
    named: bool = False

    @property
    def by_model(self) -> bool:
        """True where the model gives the time, with or without a probe."""
        return self.serve != "rule-of-thumb" and self.material is not None


@dataclass(frozen=True, slots=True)
class Slow:
    """How long the core of a slow roast may take through the danger zone before it is flagged [h]."""

    hours: float
    status: str
    source: str


RULE_OF_THUMB = HeatClass("rule-of-thumb")


def _end(node: Any, where: str) -> End:
    expect_keys(node, required=("limit", "target", "rise"), where=where)
    if not isinstance(node["rise"], bool):
        raise DataError(node.at("rise"), "'rise' is true or false")
    return End(str(node["limit"]), str(node["target"]), node["rise"])


def _row(node: Any, where: str) -> tuple[HeatClass, list[str]]:
    expect_keys(node, required=("serve", "classes"), optional=("material", "foil", "end", "named"), where=where)
    if node["serve"] not in SERVES:
        raise DataError(node.at("serve"), f"unknown way '{node['serve']}'; allowed are {', '.join(SERVES)}")
    material = node.get("material")
    if material is None and (node["serve"] != "rule-of-thumb" or "end" in node or "foil" in node):
        raise DataError(node.where, "a time, a probe, an end and foil need a material")
    end = _end(node["end"], node.at("end")) if "end" in node else None
    if not isinstance(node["classes"], list) or not node["classes"]:
        raise DataError(node.at("classes"), "'classes' must be a list with at least one class")
    return HeatClass(node["serve"], material, node.get("foil"), end, node.get("named", False) is True), node["classes"]


def parse(tree: Any, *, known: frozenset[str], where: str) -> tuple[Mapping[str, HeatClass], Slow]:
    """Return the classes by name and the limit of slow roasts.

    Raises ``DataError`` with file and line for a wrong shape, for a class of
    `known` that no row names, and for one that is named twice or is unknown.
    """
    expect_keys(tree, required=("slow", "rows"), where=where)
    slow = expect_keys(tree["slow"], required=("hours", "status", "source"), where=tree.at("slow"))
    hours = slow["hours"]
    if isinstance(hours, bool) or not isinstance(hours, int | float) or not 0 < hours <= 4:
        raise DataError(slow.at("hours"), "'hours' must be a number, 4 at the most (the published figure)")
    found: dict[str, HeatClass] = {}
    for row in tree["rows"]:
        kind, classes = _row(row, tree.at("rows"))
        for name in classes:
            if name in found or name not in known:
                what = "stands in two rows" if name in found else "is no class of foods.yaml or dishes.yaml"
                raise DataError(row.at("classes"), f"'{name}' {what}")
            found[name] = kind
    missing = sorted(known - found.keys())
    if missing:
        raise DataError(where, f"no row names {', '.join(missing)}")
    return MappingProxyType(found), Slow(float(hours), str(slow["status"]), " ".join(str(slow["source"]).split()))


def known_classes() -> frozenset[str]:
    """Return the classes of lexicon/foods.yaml and lexicon/dishes.yaml."""
    names: set[str] = set()
    for file in _FILES:
        classes: Node = data.lexicon(file)["classes"]
        names |= classes.keys()
    return frozenset(names)


@cache
def _table() -> tuple[Mapping[str, HeatClass], Slow]:
    tree = data.lexicon("heat_classes")
    # The check against both lexicons is made by the tests: reading them again would slow every start.
    known = frozenset(str(name) for row in tree["rows"] for name in row["classes"])
    return parse(tree, known=known, where="lexicon/heat_classes.yaml")


def heat_class(name: str | None, *, foil: bool = False) -> HeatClass:
    """Return how a class of food is served; by rule of thumb where `name` is ``None`` or unknown.

    `foil` says that the food is wrapped in foil. Raises ``DataError`` for a broken table.
    """
    kind = RULE_OF_THUMB if name is None else _table()[0].get(name, RULE_OF_THUMB)
    if foil and kind.foil is not None:
        return HeatClass("probe", kind.foil)
    return kind


def slow_limit() -> Slow:
    """Return from how many hours in the danger zone a slow roast is flagged."""
    return _table()[1]
