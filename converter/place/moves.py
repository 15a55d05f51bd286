"""Turns phases into placements: the winning rule's moves with zone, height and minutes of this cooker."""

from __future__ import annotations

from dataclasses import dataclass, replace

from converter.model import Flag, Move, Phase, Placement, Reading
from converter.place import cores, timing
from converter.place.cookers import Cooker, Zone
from converter.place.estimates import far_kelvin
from converter.place.flagtexts import flag
from converter.place.heat_classes import RULE_OF_THUMB, HeatClass, heat_class
from converter.place.match import Situation, situation, winner
from converter.place.rules import MoveRule, Rule, RuleTable

# A stay this short is watched; being far from the recipe's heat then needs no flag.
_SHORT = 12.0
# Judgement flags that a rule asks for and that a core temperature in the recipe makes needless.
_BY_CORE = frozenset(("poultry-core", "joint-core", "no-time"))
# Flags of what is measured when it is done, not before.
_AT_THE_END = frozenset(("poultry-core", "joint-core"))
# Classes whose weight in the ingredient list is that of one piece.
_ONE_PIECE = frozenset(
    (
        "beef-joint",
        "lamb-joint",
        "pork-joint",
        "ham",
        "game",
        "beef-tough",
        "lamb-tough",
        "pork-tough",
        "pork-belly",
        "poultry-whole",
        "meat",
        "fish-whole",
        "meatloaf",
    )
)
# What a rule takes for the setting where the recipe gives none and the zone is not the one it would rather have.
_MODERATE_C = 177.0
_BY_FOOD = frozenset(("dish", "food", "with", "method", "marks", "appliance"))
# Heated in liquid or steam: the liquid sets the pace, not the oven.
_WET = frozenset(("braise", "simmer", "boil", "poach", "steam"))


@dataclass(frozen=True, slots=True)
class Placed:
    """The placements of a recipe and the flags that they bring."""

    placements: tuple[Placement, ...]
    flags: tuple[Flag, ...]


def place(
    reading: Reading,
    cooker: Cooker,
    table: RuleTable,
    attributes_of: object,
    *,
    slope: float | None = None,
    measured: frozenset[tuple[str, str]] = frozenset(),
) -> Placed:
    """Return a placement for each phase. `attributes_of` maps a food class to its attributes.

    `slope` is this cooker's own clock [1/K at 60 minutes]; it moves times and never a limit of safety. `measured`
    are the places, (zone id, height), that were read with a thermometer within a day: their range is narrower.
    """
    placements: list[Placement] = []
    flags: list[Flag] = []
    before: Phase | None = None
    for number, phase in enumerate(reading.phases, start=1):
        attributes: set[str] = set()
        for food in phase.foods:
            attributes |= attributes_of(food)  # type: ignore[operator]
        facts = situation(phase, reading.recipe, frozenset(attributes), before=before)
        before = phase
        goes_on = number < len(reading.phases) and _goes_on(phase, reading.phases[number])
        rule = winner(table, cooker, facts.facts)
        if rule is None:
            placement, own = _nearest(phase, facts, cooker, slope)
        else:
            kind = _kind(phase, facts, goes_on=goes_on)
            placement, own = _by_rule(rule, phase, facts, cooker, kind, slope, measured)
            if not goes_on:
                unmoved = placement
                if (slope is not None or measured) and kind is not RULE_OF_THUMB:
                    unmoved, _ = _by_rule(rule, phase, facts, cooker, kind, None, frozenset())
                advice, more = cores.advice(phase, unmoved, facts, alone=kind is not RULE_OF_THUMB)
                own += more
                placement = replace(placement, flag=any(made.level != "note" for made in own), core=advice)
        if own and goes_on:
            own = [made for made in own if made.name not in _AT_THE_END]
            placement = replace(placement, flag=any(made.level != "note" for made in own))
        placements.append(placement)
        flags.extend(own)
    return Placed(tuple(placements), tuple(flags))


def _kind(phase: Phase, facts: Situation, *, goes_on: bool) -> HeatClass:
    """How the model serves a phase: not in liquid, and not where the food comes from, or goes on in, another heat."""
    marks = facts.facts["marks"]
    if phase.environment != "oven" or phase.lid == "on" or phase.method in _WET or goes_on:
        return RULE_OF_THUMB
    if "again" in marks or "water-bath" in marks or "cooked" in phase.forms or "frozen" in phase.forms:
        return RULE_OF_THUMB
    return heat_class(phase.food_class, foil=phase.lid == "foil")


def _goes_on(phase: Phase, after: Phase) -> bool:
    """Tell whether the same food stays in the oven, or goes back, after this phase."""
    return phase.environment == after.environment == "oven" and phase.food_class == after.food_class


def _zone(cooker: Cooker, kinds: tuple[str, ...]) -> Zone | None:
    return cooker.first(kinds)


def _height(move: MoveRule, zone: Zone, phase: Phase) -> str | None:
    if not zone.is_oven or not move.heights:
        return None
    if phase.height in move.heights:
        return phase.height
    return move.heights[0]


def _by_rule(
    rule: Rule,
    phase: Phase,
    facts: Situation,
    cooker: Cooker,
    kind: HeatClass,
    slope: float | None,
    measured: frozenset[tuple[str, str]],
) -> tuple[Placement, list[Flag]]:
    moves: list[Move] = []
    reasons: list[str] = []
    legs: list[tuple[float, float]] = []
    unfinished = ""
    spent = 0.0
    core_c = cores.aim_c(phase, kind)
    for item in rule.moves:
        zone = _zone(cooker, item.zones)
        if zone is None:
            return _nearest(phase, facts, cooker, slope)
        height = _height(item, zone, phase)
        zone_c = zone.shield_c if item.shield and zone.shield_c else zone.at(height)
        oven_c = facts.celsius
        if oven_c is None and phase.environment == "oven" and (item.shield or zone.kind != item.zones[0]):
            oven_c = _MODERATE_C
        grams = phase.grams[0] if phase.grams else None
        known = not item.shield and (zone.id, "middle" if height in (None, "any") else height) in measured
        stay = timing.Stay(facts.minutes, oven_c, zone_c, grams, spent, tuple(legs), kind, core_c, slope, known)
        minutes, reason, unfinished = _minutes(item, stay, phase)
        if minutes is not None and facts.minutes is not None and len(rule.moves) > 1:
            span = timing.expected(stay)
            middle = (minutes.low + minutes.high) / 2
            legs.append((zone_c, middle))
            if span and span[0] > 0:
                spent += middle / ((span[0] + span[1]) / 2)
        if reason:
            reasons.append(reason)
        moves.append(
            Move(
                zone.kind,
                zone.label,
                height,
                minutes,
                item.shield,
                item.cover if item.cover is not None else _cover(phase, zone),
                zone_c,
                item.until,
                item.timing.law == "boil-up",
            )
        )
    flags = _flags(rule, phase, facts, moves)
    # A cake that set in a hot start comes through in the low oven all the same: the skewer tells (common practice).
    # Under foil or a lid the surface does not dry and loses less than is computed.
    if unfinished and not moves[-1].cover and (len(moves) == 1 or kind.end is not None):
        flags.append(flag("will-not-finish", phase, {"zone": moves[-1].label, "reason": unfinished}))
    if unfinished:
        reasons.append(f"{unfinished}, were it not covered" if moves[-1].cover else unfinished)
    marked = any(f.level != "note" for f in flags)
    why, choices = rule.why, rule.choices
    return Placement(phase.number, tuple(moves), marked, rule.id, why, choices, reasons=tuple(reasons)), flags


def _cover(phase: Phase, zone: Zone) -> bool | None:
    if phase.lid in ("on", "foil"):
        return True
    if phase.lid == "off":
        return False
    return True if zone.kind == "low-oven" and phase.environment == "hob" else None


def _flags(rule: Rule, phase: Phase, facts: Situation, moves: list[Move]) -> list[Flag]:
    """The flags that a rule asks for and those that any oven stay may need."""
    asked = [name for name in rule.flags if phase.core_c is None or name not in _BY_CORE]
    if "cooked" in phase.forms:
        asked = [name for name in asked if name != "poultry-core"]
    if facts.minutes is not None:
        asked = [name for name in asked if name != "joint-core"]
    if facts.celsius is not None and phase.environment == "oven":
        asked = [name for name in asked if name != "no-oven-heat"]
    words = {"zone": moves[-1].label if moves else "", "kelvin": "", "way": ""}
    last = moves[-1].minutes if moves and not moves[-1].boil and "hold" not in phase.marks else None
    if last is not None and last.own and facts.minutes is None and "no-time" not in asked:
        by_core = phase.core_c is not None and phase.grams is not None
        by_eye = phase.environment == "oven" and not by_core and phase.method not in ("warm", "melt")
        rate = any(mention.role == "rate" for clause in phase.clauses for mention in clause.times)
        asked.append("rate-no-weight" if rate else "no-oven-time" if by_eye else "no-time")
    bare = phase.environment == "oven" and facts.celsius is None and phase.method not in ("warm", "melt")
    if bare and moves and "hold" not in phase.marks and "no-oven-heat" not in asked:
        asked.append("no-oven-heat")
    if moves and phase.environment == "oven" and facts.celsius is not None:
        gap = (moves[-1].zone_c or facts.celsius) - facts.celsius
        words |= {"kelvin": f"{abs(gap):.0f}", "way": "hotter" if gap > 0 else "cooler"}
        far = abs(gap) >= far_kelvin() and (facts.minutes is None or facts.minutes[1] > _SHORT)
        if not far or len(moves) > 1:
            asked = [name for name in asked if name != "zone-far"]
        elif _BY_FOOD.isdisjoint(rule.when) and "zone-far" not in asked:
            asked.append("zone-far")
    return [flag(name, phase, words) for name in asked]


def _minutes(item: MoveRule, stay: timing.Stay, phase: Phase) -> timing.Timed:
    law = item.timing
    if law.law == "none":
        return timing.Timed(None)
    if law.law == "boil-up":
        return timing.boil_up(
            phase.grams, low=law.low, high=law.high, small=stay.minutes is not None and stay.minutes[1] <= 5
        )
    if law.law == "first-leg":
        return timing.first_leg(stay, low=law.low, high=law.high, look=law.look)
    if law.law == "core" and (stay.minutes is not None or phase.food_class in _ONE_PIECE):
        return timing.to_core(stay, low=law.low, high=law.high)
    if law.law == "own" or (stay.minutes is None and law.law != "factor" and law.low < law.high):
        return timing.own(low=law.low, high=law.high, look=law.look)
    if law.law == "as-written":
        return timing.as_written(stay)
    if law.law == "attended":
        return timing.attended(stay)
    if law.law == "factor":
        soft = bool(item.cover) and phase.environment in ("oven", "hob")
        return timing.by_factor(stay, low=law.low, high=law.high, soft=soft)
    if law.law == "remainder":
        return timing.remainder(stay)
    return timing.by_clock(stay)


def _nearest(phase: Phase, facts: Situation, cooker: Cooker, slope: float | None) -> tuple[Placement, list[Flag]]:
    """No rule fits: the nearest zone by temperature, flagged with the distance."""
    if phase.environment == "none":
        way = (phase.appliance or phase.method).replace("-", " ")
        made = flag("no-way-here", phase, {"zone": "", "appliance": way})
        return Placement(phase.number, (), True, "nearest", "no rule for this appliance", made.choices), [made]
    if phase.environment == "oven" and facts.celsius is not None:
        zone, height, gap = cooker.nearest(facts.celsius)
        zone_c = zone.at(height)
        timed = timing.by_clock(timing.Stay(facts.minutes, facts.celsius, zone_c, slope=slope))
        move = Move(zone.kind, zone.label, height, timed.minutes, zone_c=zone_c, cover=_cover(phase, zone))
        made = flag("no-rule", phase, {"zone": zone.label, "kelvin": f"{abs(gap):.0f}"})
        why = "the nearest zone by temperature"
        reasons = (timed.reason,) if timed.reason else ()
        return Placement(phase.number, (move,), True, "nearest", why, made.choices, reasons=reasons), [made]
    kinds = ("hot-oven",) if phase.environment in ("oven", "grill") else ("gentle-plate", "hot-plate")
    found = cooker.first(kinds)
    if found is None:
        found = cooker.zones[0]
    stay = timing.Stay(facts.minutes, None, found.at())
    shelf = ("roof" if phase.environment == "grill" else "middle") if found.is_oven else None
    move = Move(found.kind, found.label, shelf, timing.attended(stay).minutes, zone_c=found.at(shelf))
    made = flag("no-rule", phase, {"zone": found.label, "kelvin": "an unknown number of"})
    return Placement(phase.number, (move,), True, "nearest", "no rule fits this line", made.choices), [made]
