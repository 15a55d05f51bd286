"""Core temperatures of roasts: when to take them out, how long they rest, what is safe, and what a slow one risks.

The targets of quality are the recipe's own or common practice and stay the
cook's choice; the safe minimum comes from rules/safety_limits.yaml. Nothing
here uses a cooker's own clock: `advice` takes the stays as they are without it.
"""

from __future__ import annotations

from math import ceil

from converter.model import CoreAdvice, Flag, Phase, Placement, Range
from converter.place.curves import Drawn, Roast, draw, roast
from converter.place.estimates import soft_c
from converter.place.flagtexts import flag
from converter.place.heat_classes import End, HeatClass, heat_class, slow_limit
from converter.place.match import Situation
from converter.place.safety_table import limit_source, limits

# The rise at rest that is counted on, K, whatever the curve says: published joints rose by 1 to 5 K
# (Lowe, Experimental Cookery, table of average losses: ovens of about 155 °C).
RISE_KELVIN = (1.0, 5.0)
# Rests without a curve, minutes: a joint or a bird, small pieces (common practice, no source).
JOINT_REST: Range = (10.0, 20.0)
SMALL_REST: Range = (3.0, 5.0)
_SMALL_MINUTES = 40.0
_LONGEST_REST = 30.0
# Done in liquid: a fork decides, not the core.
_WET = frozenset(("braise", "simmer", "boil", "poach", "steam", "warm", "melt"))


def _wanted(phase: Phase, placement: Placement, facts: Situation) -> tuple[HeatClass, End] | None:
    """The class and end of a dry roast whose core is asked for by the recipe or by the food."""
    kind = heat_class(phase.food_class)
    if kind.end is None or not placement.moves or phase.environment != "oven":
        return None
    if kind.named and phase.core_c is None:
        return None
    marks = facts.facts["marks"]
    if phase.method in _WET or phase.lid == "on" or "cooked" in phase.forms:
        return None
    if "hold" in marks or "melting" in marks or "plates" in marks or any(move.boil for move in placement.moves):
        return None
    return kind, kind.end


def _safe(phase: Phase, end: End) -> tuple[float, str]:
    """The safe minimum [°C] and the name of its source; stuffed meat as poultry, rolled meat as mince."""
    names = [end.limit]
    if "stuffed" in phase.forms:
        names.append("stuffed-core")
    if "rolled" in phase.forms:
        names.append("mince-core")
    name = max(names, key=lambda key: limits()[key].value)
    return limits()[name].value, limit_source(name)


def aim_c(phase: Phase, kind: HeatClass) -> float | None:
    """Return the core [°C] that the times must reach where it is not the class's usual one: named, or stuffed."""
    if phase.core_c is not None:
        return sum(phase.core_c) / 2
    return limits()["stuffed-core"].value if "stuffed" in phase.forms and kind.end is not None else None


def _rest(drawn: Drawn | None, latest: float) -> Range:
    if latest < _SMALL_MINUTES:
        return SMALL_REST
    if drawn is None or drawn.rise_minutes <= 0:
        return JOINT_REST
    top = min(max(5.0 * round(drawn.rise_minutes / 5.0), JOINT_REST[0]), _LONGEST_REST)
    return max(5.0 * round(top / 10.0), 5.0), top


def _roast(phase: Phase, placement: Placement, facts: Situation, kind: HeatClass, core_c: float) -> Roast | None:
    return roast(
        kind,
        placement.moves,
        core_c=core_c,
        oven_c=facts.celsius,
        minutes=facts.minutes,
        grams=None if phase.grams is None else phase.grams[0],
    )


def advice(
    phase: Phase, placement: Placement, facts: Situation, *, alone: bool
) -> tuple[CoreAdvice | None, list[Flag]]:
    """Return the core advice of a phase that ends a roast, and the flags that its core curve brings.

    `placement` holds the stays without a cooker's own clock; `alone` is False
    where the food comes out of another heat, so that no curve can be drawn.
    """
    wanted = _wanted(phase, placement, facts)
    if wanted is None:
        return None, []
    kind, end = wanted
    safe_c, source = _safe(phase, end)
    if phase.core_c is not None:
        aim_c = phase.core_c[0]
    else:
        from converter.heat.materials import material

        assert kind.material is not None
        aim_c = max(material(kind.material).core_c[end.target], 0.0 if end.rise else safe_c)
        if safe_c > limits()[end.limit].value:
            aim_c = safe_c
    one = _roast(phase, placement, facts, kind, aim_c) if alone else None
    drawn = None if one is None else draw(one)
    counted = end.rise and aim_c < min(safe_c, soft_c())
    rise = 0.0
    if counted:
        rise = RISE_KELVIN[0] if drawn is None else min(max(drawn.rise_kelvin, RISE_KELVIN[0]), RISE_KELVIN[1])
    rise = float(round(rise))
    # A recipe that names a core means the reading at which the food comes out.
    pull_c = aim_c if phase.core_c is not None else aim_c - rise
    last = placement.moves[-1].minutes
    rest = _rest(drawn, sum(move.minutes.high for move in placement.moves if move.minutes is not None))
    if end.limit == "whole-core":
        rest = max(rest[0], limits()["whole-rest"].value), max(rest[1], limits()["whole-rest"].value)
    made = CoreAdvice(pull_c + rise, pull_c, rest, safe_c, source, phase.core_c is not None)
    if drawn is None or one is None or last is None:
        return made, []
    return made, _flags(phase, placement, drawn, made)


def _flags(phase: Phase, placement: Placement, drawn: Drawn, made: CoreAdvice) -> list[Flag]:
    """The caution of a core that comes up too slowly, and the sum of kill of a low core named by the recipe."""
    from converter.heat.constants import value
    from converter.heat.doses import lethality, minutes_between

    found: list[Flag] = []
    last = placement.moves[-1]
    words = {"zone": last.label}
    if last.zone_c is not None and last.zone_c < limits()["meat-oven"].value:
        low_c, high_c = value("doses.zone_low"), value("doses.zone_high")
        hours = minutes_between(drawn.slow, low_c=low_c, high_c=high_c) / 60.0
        if hours > slow_limit().hours:
            words |= {"hours": f"{ceil(2 * hours) / 2:g}", "limit": f"{slow_limit().hours:g}"}
            found.append(flag("slow-core", phase, words))
    whole_beef = (phase.food_class or "").startswith("beef-") and not {"rolled", "stuffed", "minced"} & {*phase.forms}
    if whole_beef and made.named and made.pull_c < made.safe_c - 0.6:
        # Only the least published rise is counted on: out of a hot oven the model lets a core rise too far.
        rested = drawn.rested._replace(core_c=drawn.rested.core_c.clip(max=made.pull_c + RISE_KELVIN[0]))
        sum_of_kill = lethality(rested, of="beef")
        name = "kill-reached" if sum_of_kill.enough else "kill-not-reached"
        words |= {"core": f"{made.pull_c:.0f}", "share": f"{min(sum_of_kill.logs, 6.5):.1f}"}
        found.append(flag(name, phase, words))
    return found
