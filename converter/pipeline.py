"""Strings the stages together: read, place, write. The one module that knows all of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import TYPE_CHECKING

from converter.model import Document, Flag, Placement, Reading, Result
from converter.place.cookers import Cooker
from converter.place.curves import curves
from converter.place.moves import place
from converter.place.rules import RuleTable, load
from converter.place.safety import cautions
from converter.read.foods import attributes
from converter.read.reader import read as read_document

if TYPE_CHECKING:
    from converter.ledger.values import Decisions
    from converter.place.decided import Decided
    from converter.place.options import Option

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
    decisions: Decisions | None = None,
) -> tuple[Reading, tuple[Placement, ...], tuple[Flag, ...]]:
    """Read a document and place it; flags of the rules and of the safety pass in the order of the text.

    `slope` is this cooker's own clock [1/K at 60 minutes], where it has one; `measured` are the places, (zone id,
    height), that were read with a thermometer within a day. `decisions` of the household take the place of what the
    rules propose.
    """
    reading = read_document(document)
    done = place(reading, cooker, rules or load(), attributes, slope=slope, measured=measured)
    safety = cautions(reading, done.placements)
    placements = _warned(done.placements, safety)
    flags = tuple(sorted((*done.flags, *safety), key=lambda f: (f.step, f.span)))
    if not decisions:
        return reading, placements, flags
    decided = _decided(
        reading, placements, flags, decisions, cooker=cooker, rules=rules, slope=slope, measured=measured
    )
    return reading, *(_settled(reading, flags, decided) if decided else (placements, flags))


def convert(
    document: Document,
    *,
    cooker: Cooker,
    units: str = "both",
    rules: RuleTable | None = None,
    slope: float | None = None,
    measured: frozenset[tuple[str, str]] = frozenset(),
    decisions: Decisions | None = None,
) -> Result:
    """Read a recipe, place it on `cooker` and write it again; `slope`, `measured` and `decisions` as in `placed`.

    Raises ``NotReadable`` where the document is no recipe and ``DataError``
    where a table is broken.
    """
    from converter.write.steps import write

    reading, placements, flags = placed(document, cooker=cooker, rules=rules, slope=slope, measured=measured)
    zones = {zone.kind: zone.label for zone in reversed(cooker.zones)}
    written = write(reading, placements, flags, cooker=cooker.name, units=units, zones=zones)
    if decisions:
        # The writer brings flags of its own, so what is decided is known only now.
        decided = _decided(
            reading, placements, written.flags, decisions, cooker=cooker, rules=rules, slope=slope, measured=measured
        )
        if decided:
            placements, flags = _settled(reading, written.flags, decided)
            written = write(reading, placements, flags, cooker=cooker.name, units=units, zones=zones, own=decided.own)
            written = replace(written, flags=flags)
    drawn = curves(reading, placements, cooker)
    return replace(written, curves=drawn) if drawn else written


def _warned(placements: Sequence[Placement], safety: Sequence[Flag]) -> tuple[Placement, ...]:
    """Mark the placements that a caution makes doubtful."""
    warned = {flag.phase for flag in safety if flag.phase is not None and flag.name not in STANDING}
    return tuple(replace(p, flag=True) if p.phase in warned and not p.flag else p for p in placements)


def _decided(
    reading: Reading,
    placements: tuple[Placement, ...],
    flags: tuple[Flag, ...],
    decisions: Decisions,
    *,
    cooker: Cooker,
    rules: RuleTable | None,
    slope: float | None,
    measured: frozenset[tuple[str, str]],
) -> Decided:
    """Put the decisions in the place of the proposals."""
    from converter.place.decided import decide
    from converter.place.options import by_code

    table = rules or load()

    def way(code: str, proposal: Placement) -> Placement | None:
        made = by_code(code, reading, proposal, cooker, table, attributes, slope=slope, measured=measured)
        return None if made is None else made.placement

    return decide(reading, placements, flags, decisions, way)


def _settled(
    reading: Reading, flags: tuple[Flag, ...], decided: Decided
) -> tuple[tuple[Placement, ...], tuple[Flag, ...]]:
    """Return placements and flags after the decisions; the safety pass looks at where the food goes now, too.

    Every flag of before stays, decided ones as notes, so that each keeps its decision.
    """
    from converter.place.decided import settled

    known = {(flag.name, flag.span) for flag in flags}
    safety = cautions(reading, decided.placements)
    new = [flag for flag in safety if (flag.name, flag.span) not in known]
    every = (*settled(flags, decided), *new)
    return _warned(decided.placements, safety), tuple(sorted(every, key=lambda f: (f.step, f.span)))


def proposals(
    reading: Reading,
    placement: Placement,
    *,
    cooker: Cooker,
    slope: float | None = None,
    measured: frozenset[tuple[str, str]] = frozenset(),
) -> tuple[Option, ...]:
    """Return the other ways to place one phase, each worked out as the proposal is."""
    from converter.place.options import options

    return options(reading, placement, cooker, attributes, slope=slope, measured=measured)
