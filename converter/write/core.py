"""Says at the end of a roast when it is done in its thickest part: the pull temperature, the rest, the safe minimum.

One sentence for each roast with core advice, behind the sentence of the step that ends it. The recipe's own core
temperature stays in its words and is not said again; ours is not held against it. Temperatures are °C; `units`
(c, f, both) is what is shown.
"""

from __future__ import annotations

import re

from converter.model import CoreAdvice, Mention, Phase, Placement, Range, Reading, Step
from converter.write.edits import Edits
from converter.write.parts import in_units, number_words, source_names

# Two figures nearer than this are one to a cook [K]; °F turned to whole °C differ by less.
_SAME_KELVIN = 1.0
# A rest of the recipe that is at least this long is left to it [s]: the three minutes of the safe minimum.
_OWN_REST_S = 180.0
# Whole red meat and fish below the advised core are the cook's choice; minced, rolled and stuffed meat are not.
_CHOICE = ("beef-", "lamb-", "steak", "kebab", "fish")
_CHOICE_MOST_C = 65.0
_STOP = re.compile(r"[.!?][)\"'”’]*(?=\s+[\"'“‘(]?[^\Wa-z\d_]|\s*$|\s*\n)|\n")
_BRACKETS = re.compile(r"\s*\([^)]*\)")


def add(reading: Reading, placements: tuple[Placement, ...], edits: Edits, *, units: str) -> tuple[int, ...]:
    """Put the core advice of the placements into the steps; return the numbers of those steps, in order."""
    text = reading.recipe.document.text
    steps = {step.number: step for step in reading.recipe.steps}
    # One sentence for each place in the text, the last advice for it.
    found: dict[int, tuple[Step, str]] = {}
    advised = [
        (phase, placement.core)
        for phase, placement in zip(reading.phases, placements, strict=True)
        if placement.core is not None and placement.moves and phase.clauses
    ]
    for number, (phase, advice) in enumerate(advised, start=1):
        if any(_goes_higher(phase, later) for later, _ in advised[number:]):
            continue
        own = _own(phase, advice, reading)
        step = steps[own.step if own is not None else phase.clauses[-1].step]
        words = in_units(sentence(advice, phase, own, rests=_rests(phase, reading)), units)
        found[_end(text, step, phase, own)] = step, words
    for at, (step, words) in found.items():
        for offset in (at, step.span.end):
            before = text[step.span.start : offset].rstrip(" )\"'”’")
            if edits.insert(offset, f"{'' if before.endswith(('.', '!', '?')) else '.'} {words}"):
                break
    return tuple(sorted({step.number for step, _ in found.values()}))


def sentence(advice: CoreAdvice, phase: Phase, own: Mention | None, *, rests: bool) -> str:
    """Return the advice as one sentence with °C figures.

    `own` is where the recipe names the core itself; `rests` says that it gives the minutes of the rest.
    """
    rest = "" if rests else f"{_minutes(advice.rest_minutes)} of rest"
    after = f"after {rest or 'the rest'}"
    source = _BRACKETS.sub("", source_names(advice.safe_source))
    rise_kelvin = advice.core_c - advice.pull_c
    if own is None or own.celsius is None:
        if rise_kelvin >= _SAME_KELVIN:
            pull = f"take it out at {advice.pull_c:.0f} °C in the thickest part for {advice.core_c:.0f} °C {after}"
            return _joined([pull, _safe(advice, phase, advice.core_c, source)])
        done = f"done at {advice.pull_c:.0f} °C in the thickest part"
        if abs(advice.pull_c - advice.safe_c) < _SAME_KELVIN:
            return _joined([f"{done}, the safe minimum by {source}", f"then {rest}" if rest else ""])
        return _joined([done, _safe(advice, phase, advice.pull_c, source), f"then {rest}" if rest else ""])
    own_c = own.celsius[0]
    safe = _safe(advice, phase, own_c, source)
    if rise_kelvin >= _SAME_KELVIN and abs(own_c - advice.pull_c) < _SAME_KELVIN:
        return _joined([f"{after}, about {advice.core_c:.0f} °C", safe])
    return _joined([safe, f"then {rest}" if rest else ""])


def _safe(advice: CoreAdvice, phase: Phase, own_c: float, source: str) -> str:
    """The safe minimum with its source, beside a core [°C] of the recipe's or of ours."""
    if abs(own_c - advice.safe_c) < _SAME_KELVIN:
        return f"that is the safe minimum by {source}"
    minimum = f"the safe minimum is {advice.safe_c:.0f} °C by {source}"
    if own_c > advice.safe_c:
        return minimum
    if advice.safe_c > _CHOICE_MOST_C or not (phase.food_class or "").startswith(_CHOICE):
        return f"{minimum}: cook it on to that"
    frail = "" if advice.named else ", but not for the very young, old, pregnant or ill"
    return f"{minimum}, less is the cook's choice{frail}"


def _joined(parts: list[str]) -> str:
    words = "; ".join(part for part in parts if part)
    return f"{words[0].upper()}{words[1:]}."


def _minutes(span: Range) -> str:
    low, high = (number_words(end) for end in span)
    return f"{low} minutes" if low == high else f"{low}–{high} minutes"


def _own(phase: Phase, advice: CoreAdvice, reading: Reading) -> Mention | None:
    """Where the recipe names the core of this roast: the last place in its steps, else one with the same figure."""
    cores = [m for m in reading.mentions if m.role == "core" and m.celsius is not None]
    if not cores:
        return None
    steps = {phase.step, *(clause.step for clause in phase.clauses)}
    near = [m for m in cores if m.step in steps and m.span.start >= phase.span.start]
    if not near and advice.named:
        near = [m for m in cores if m.celsius and abs(m.celsius[0] - advice.pull_c) < _SAME_KELVIN]
    return near[-1] if near else None


def _goes_higher(phase: Phase, later: Phase) -> bool:
    """Tell whether the recipe takes the same food to a higher core later on, so that this one is no end."""
    if phase.core_c is None or later.core_c is None or phase.food_class != later.food_class:
        return False
    return later.core_c[0] > phase.core_c[0]


def _rests(phase: Phase, reading: Reading) -> bool:
    """Tell whether the recipe gives the minutes of a rest after the roast."""
    return any(
        m.role == "rest" and m.seconds is not None and m.seconds[1] >= _OWN_REST_S and m.span.start > phase.span.start
        for m in reading.mentions
    )


def _end(text: str, step: Step, phase: Phase, own: Mention | None) -> int:
    """The end of the sentence that ends the roast in `step`, no earlier than the recipe's own core."""
    at = step.span.start if own is None else own.span.end
    for clause in phase.clauses if own is None else ():
        if clause.step == step.number:
            read = [mention.span.end for mention in (*clause.times, *clause.temperatures)]
            at = max(at, clause.verb.end, *read, clause.sign.end if clause.sign is not None else 0)
    match = _STOP.search(text, max(at - 1, step.span.start), step.span.end)
    if match is None:
        return step.span.end
    return match.start() if match[0] == "\n" else match.end()
