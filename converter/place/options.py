"""The other ways to place a phase, each worked out by the same laws as the proposal.

A way is a row of ``rules/ways.yaml``, of the shape of a rule. Decisions are kept by the id of the way, or of the rule
whose proposal was taken, so the minutes follow the recipe, the cooker and the laws as they are then.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace
from functools import cache

from converter.data import folder, read
from converter.model import Flag, Move, Phase, Placement, Reading
from converter.place.cookers import Cooker
from converter.place.match import situation, winner
from converter.place.moves import place
from converter.place.rules import Rule, RuleTable, parse_rules

AttributesOf = Callable[[str], Iterable[str]]
Places = frozenset[tuple[str, str]]

# What an oven phase without a setting is taken for, °C: the figure of place/moves.py.
_UNSET_C = 177.0
_WAY = "way/"
# From raw none of these is ever begun below boiling point (rules/safety.yaml has the limits and their sources).
_FLESH = frozenset(("meat", "poultry", "fish", "shellfish", "game"))
_COOKED = ("warm", "hold", "rest")
# More than these are not offered.
_MOST = 6


@dataclass(frozen=True, slots=True)
class Option:
    """One way: the id it is kept by, its summary, the placement it gives and the flags that this brings."""

    code: str
    summary: str
    placement: Placement
    flags: tuple[Flag, ...] = ()


@cache
def ways() -> tuple[Rule, ...]:
    """Return the rows of ``rules/ways.yaml``. Raises ``DataError`` for a broken table."""
    name = "rules/ways.yaml"
    return tuple(parse_rules(read(folder("rules") / "ways.yaml", name=name), name, bare=True))


@cache
def _way(code: str) -> Rule | None:
    return next((way for way in ways() if way.id == code), None)


def stays_of(moves: tuple[Move, ...]) -> tuple[tuple[str, str, bool], ...]:
    """Return zone, height and shield of each move: what makes two placements the same to a cook."""
    return tuple((move.zone, "" if move.height in (None, "any") else str(move.height), move.shield) for move in moves)


def options(
    reading: Reading,
    proposal: Placement,
    cooker: Cooker,
    attributes_of: AttributesOf,
    *,
    slope: float | None = None,
    measured: Places = frozenset(),
) -> tuple[Option, ...]:
    """Return the ways that suit the phase of `proposal` on this cooker, in the order of the table, without its own."""
    at = proposal.phase - 1
    phase = _timed(reading.phases[at], proposal)
    attributes = frozenset(name for food in phase.foods for name in attributes_of(food))
    before = reading.phases[at - 1] if at else None
    facts = situation(phase, reading.recipe, attributes, before=before).facts
    raw = phase.method not in _COOKED and not attributes.isdisjoint(_FLESH)
    seen = {stays_of(proposal.moves)}
    out = []
    for way in ways():
        if winner(_alone(way), cooker, facts) is None:
            continue
        made = _by(way, reading, proposal, cooker, attributes_of, slope=slope, measured=measured)
        if made is not None and raw and any(move.zone == "holding-oven" for move in made.placement.moves):
            continue
        if made is None or stays_of(made.placement.moves) in seen:
            continue
        seen.add(stays_of(made.placement.moves))
        out.append(made)
    return tuple(out[:_MOST])


def by_code(
    code: str,
    reading: Reading,
    proposal: Placement,
    cooker: Cooker,
    table: RuleTable,
    attributes_of: AttributesOf,
    *,
    slope: float | None = None,
    measured: Places = frozenset(),
) -> Option | None:
    """Return the way or the rule `code` applied to the phase of `proposal`; ``None`` where it cannot be done here."""
    if code == proposal.rule:
        return Option(code, proposal.why, proposal)
    rule = _way(code) or table.get(code)
    if rule is None:
        return None
    return _by(rule, reading, proposal, cooker, attributes_of, slope=slope, measured=measured)


def moves_of(code: str, table: RuleTable) -> Rule | None:
    """Return the way or rule of this id, for making a rule of the household's own from it."""
    return _way(code) or table.get(code)


def _timed(phase: Phase, proposal: Placement) -> Phase:
    """Give a phase without time or setting those of the proposal, so that another zone's time can be worked out."""
    last = proposal.moves[-1] if proposal.moves else None
    oven_c = phase.celsius
    if phase.environment == "oven" and oven_c is None:
        own = phase.seconds is None and last is not None and last.minutes is not None and last.zone_c is not None
        oven_c = (last.zone_c, last.zone_c) if own and last is not None and last.zone_c else (_UNSET_C, _UNSET_C)
    seconds = phase.seconds
    if seconds is None and len(proposal.moves) == 1 and last is not None and last.minutes is not None:
        seconds = (last.minutes.low * 60, last.minutes.high * 60)
        if phase.environment == "oven" and last.zone_c is not None:
            oven_c = (last.zone_c, last.zone_c)
    return replace(phase, celsius=oven_c, seconds=seconds)


# One-rule tables by rule and environment; the index of a table is kept for as long as the program runs.
_TABLES: dict[tuple[str, str], tuple[Rule, RuleTable]] = {}


def _alone(rule: Rule, environment: str = "") -> RuleTable:
    """Return the table of this rule alone; with an `environment` it fits every phase there and brings no flags."""
    held, table = _TABLES.get((rule.id, environment), (None, None))
    if held is not rule or table is None:
        only = replace(rule, when={"environment": frozenset((environment,))}, flags=()) if environment else rule
        table = RuleTable((only,))
        _TABLES[rule.id, environment] = rule, table
    return table


def _by(
    rule: Rule,
    reading: Reading,
    proposal: Placement,
    cooker: Cooker,
    attributes_of: AttributesOf,
    *,
    slope: float | None,
    measured: Places,
) -> Option | None:
    if any(cooker.first(move.zones) is None for move in rule.moves):
        return None
    at = proposal.phase - 1
    phase = reading.phases[at]
    # The neighbours decide what goes on in the same heat.
    timed = _timed(phase, proposal) if rule.id.startswith(_WAY) else phase
    window = (*reading.phases[max(0, at - 1) : at], timed, *reading.phases[at + 1 : at + 2])
    table = _alone(rule, phase.environment)
    done = place(replace(reading, phases=window), cooker, table, attributes_of, slope=slope, measured=measured)
    made = next(item for item in done.placements if item.phase == phase.number)
    flags = tuple(flag for flag in done.flags if flag.phase == phase.number)
    return Option(rule.id, rule.summary, replace(made, rule=proposal.rule, choices=proposal.choices), flags)
