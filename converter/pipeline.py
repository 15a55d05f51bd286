"""Strings the stages together: read, place, write. The one module that knows all of them."""

from __future__ import annotations

from dataclasses import replace

from converter.model import Document, Flag, Placement, Reading, Result
from converter.place.cookers import Cooker
from converter.place.curves import curves
from converter.place.moves import place
from converter.place.rules import RuleTable, load
from converter.place.safety import cautions
from converter.read.foods import attributes
from converter.read.reader import read as read_document

# Cautions that stand by a whole recipe and do not make the placing of one phase doubtful.
STANDING = frozenset(
    (
        "mince-core",
        "pork-core",
        "sugar-burn",
        "raw-egg",
        "washed-poultry",
        "reheat",
        "slow-cooling",
        "marinade-reused",
        "oil-alone",
        "jam-boil-over",
        "raw-dough",
    )
)


def read(document: Document) -> Reading:
    """Read a document. Raises ``NotReadable`` where it is no recipe."""
    return read_document(document)


def placed(
    document: Document,
    *,
    cooker: Cooker,
    rules: RuleTable | None = None,
    slope: float | None = None,
    measured: frozenset[tuple[str, str]] = frozenset(),
) -> tuple[Reading, tuple[Placement, ...], tuple[Flag, ...]]:
    """Read a document and place it; flags of the rules and of the safety pass in the order of the text.

    `slope` is this cooker's own clock [1/K at 60 minutes], where it has one; `measured` are the places, (zone id,
    height), that were read with a thermometer within a day.
    """
    reading = read_document(document)
    done = place(reading, cooker, rules or load(), attributes, slope=slope, measured=measured)
    safety = cautions(reading, done.placements)
    warned = {flag.phase for flag in safety if flag.phase is not None and flag.name not in STANDING}
    placements = tuple(replace(p, flag=True) if p.phase in warned and not p.flag else p for p in done.placements)
    return reading, placements, tuple(sorted((*done.flags, *safety), key=lambda f: (f.step, f.span)))


def convert(
    document: Document,
    *,
    cooker: Cooker,
    units: str = "both",
    rules: RuleTable | None = None,
    slope: float | None = None,
    measured: frozenset[tuple[str, str]] = frozenset(),
) -> Result:
    """Read a recipe, place it on `cooker` and write it again; `slope` and `measured` as in `placed`.

    Raises ``NotReadable`` where the document is no recipe and ``DataError``
    where a table is broken.
    """
    from converter.write.steps import write

    reading, placements, flags = placed(document, cooker=cooker, rules=rules, slope=slope, measured=measured)
    zones = {zone.kind: zone.label for zone in reversed(cooker.zones)}
    written = write(reading, placements, flags, cooker=cooker.name, units=units, zones=zones)
    drawn = curves(reading, placements, cooker)
    return replace(written, curves=drawn) if drawn else written
