"""Foods as bodies: properties, wetness, start and end points by class, from lexicon/materials.yaml.

Every value of the table carries its source, its status and a plausible range; `load` refuses a table that does not.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Any

from converter import data
from converter.data import DataError, Node, expect_keys
from converter.heat.errors import BadValue
from converter.heat.shapes import DIMENSION, Body, Shape

STATUSES = ("sourced", "computed", "from-memory", "assumed", "common-practice")
COVERS = ("none", "foil")
# Widest plausible figures of any food, whatever its class: (low, high).
LIMITS = MappingProxyType(
    {
        "density_kg_m3": (100.0, 1500.0),
        "cp_j_kgk": (1200.0, 4200.0),
        "k_w_mk": (0.04, 0.7),
        "alpha_mm2_s": (0.08, 0.4),
        "wetness": (0.0, 1.0),
        "start_c": (-1.0, 70.0),
        "core_c": (45.0, 105.0),
    }
)
PROPERTIES = tuple(key for key in LIMITS if key != "core_c")


@dataclass(frozen=True, slots=True)
class Value:
    """One figure of the table with what stands behind it."""

    value: float
    low: float
    high: float
    status: str
    source: str | None


@dataclass(frozen=True, slots=True)
class Material:
    """A class of food.

    ``core_c`` maps the names of end points to °C, ``usual_core`` is the name taken where none is asked for;
    ``behind`` maps ``k_w_mk``, ``core_c.safe`` and so on to the `Value` with its source and range.
    """

    name: str
    summary: str
    shape: Shape
    cover: str
    density_kg_m3: float
    cp_j_kgk: float
    k_w_mk: float
    alpha_m2_s: float
    wetness: float
    start_c: float
    core_c: Mapping[str, float]
    usual_core: str
    behind: Mapping[str, Value]

    def end_point_c(self, name: str | None = None) -> float:
        """Return the core temperature [°C] of an end point, the usual one where `name` is None.

        Raises ``BadValue`` for a name that the class does not have.
        """
        wanted = self.usual_core if name is None else name
        if wanted not in self.core_c:
            raise BadValue(f"{self.name} has no end point {wanted!r}; it has {', '.join(self.core_c)}")
        return self.core_c[wanted]

    def body(self, half_m: float) -> Body:
        """Return a piece of this food of half thickness or radius `half_m` [m]; raises ``BadValue``."""
        return Body(self.shape, half_m, self.k_w_mk, self.alpha_m2_s)


def _number(item: Any, where: str) -> float:
    if isinstance(item, bool) or not isinstance(item, int | float):
        raise DataError(where, f"expected a number, found {item!r}")
    return float(item)


def _value(node: Any, sources: Mapping[str, str], *, where: str, limits: tuple[float, float]) -> Value:
    expect_keys(node, required=("is", "range", "status"), optional=("source",), where=where)
    where = node.where
    ends = node["range"]
    if not isinstance(ends, list) or len(ends) != 2:
        raise DataError(node.at("range"), "range must be [low, high]")
    value, low, high = _number(node["is"], node.at("is")), _number(ends[0], where), _number(ends[1], where)
    if not low <= value <= high:
        raise DataError(where, f"{value:g} lies outside its own range {low:g} to {high:g}")
    if not limits[0] <= low <= high <= limits[1]:
        raise DataError(where, f"the range {low:g} to {high:g} goes beyond any food ({limits[0]:g} to {limits[1]:g})")
    status, source = node["status"], node.get("source")
    if status not in STATUSES:
        raise DataError(node.at("status"), f"unknown status {status!r}; allowed are {', '.join(STATUSES)}")
    if source is None and status in ("sourced", "computed"):
        raise DataError(where, f"a value that is {status} needs a source")
    if source is not None and source not in sources:
        raise DataError(node.at("source"), f"unknown source {source!r}; the file names {', '.join(sources)}")
    return Value(value, low, high, status, source)


def _word(node: Node, key: str, allowed: tuple[str, ...]) -> str:
    word = node[key]
    if word not in allowed:
        raise DataError(node.at(key), f"{key} must be one of {', '.join(allowed)}, not {word!r}")
    return str(word)


def _material(name: str, node: Any, sources: Mapping[str, str], *, where: str) -> Material:
    expect_keys(node, required=("summary", "shape", "cover", *PROPERTIES, "core_c", "usual"), where=where)
    behind = {key: _value(node[key], sources, where=node.at(key), limits=LIMITS[key]) for key in PROPERTIES}
    points = node["core_c"]
    if not isinstance(points, Node) or not points:
        raise DataError(node.at("core_c"), "core_c must name at least one end point")
    for point, item in points.items():
        behind[f"core_c.{point}"] = _value(item, sources, where=points.at(point), limits=LIMITS["core_c"])
    core_c = {point: behind[f"core_c.{point}"].value for point in points}
    shape: Any = _word(node, "shape", tuple(DIMENSION))
    return Material(
        name=name,
        summary=str(node["summary"]),
        shape=shape,
        cover=_word(node, "cover", COVERS),
        density_kg_m3=behind["density_kg_m3"].value,
        cp_j_kgk=behind["cp_j_kgk"].value,
        k_w_mk=behind["k_w_mk"].value,
        alpha_m2_s=behind["alpha_mm2_s"].value * 1e-6,
        wetness=behind["wetness"].value,
        start_c=behind["start_c"].value,
        core_c=MappingProxyType(core_c),
        usual_core=_word(node, "usual", tuple(core_c)),
        behind=MappingProxyType(behind),
    )


def load(table: Any, *, where: str = "lexicon/materials.yaml") -> Mapping[str, Material]:
    """Return the materials of a parsed table by name; raises ``DataError`` with file and line for a wrong shape."""
    expect_keys(table, required=("sources", "classes"), where=where)
    sources, classes = table["sources"], table["classes"]
    for key in ("sources", "classes"):
        if not isinstance(table[key], Node) or not table[key]:
            raise DataError(table.at(key), f"{key} must be a mapping with at least one entry")
    for name, title in sources.items():
        if not isinstance(title, str):
            raise DataError(sources.at(name), "a source is a title in words")
    return MappingProxyType(
        {name: _material(name, node, sources, where=classes.at(name)) for name, node in classes.items()}
    )


@cache
def materials() -> Mapping[str, Material]:
    """Return all classes of lexicon/materials.yaml, read once; raises ``DataError``."""
    return load(data.lexicon("materials"))


def material(name: str) -> Material:
    """Return one class of food; raises ``BadValue`` for an unknown name."""
    table = materials()
    if name not in table:
        raise BadValue(f"no class of food is named {name!r}; there are {', '.join(table)}")
    return table[name]
