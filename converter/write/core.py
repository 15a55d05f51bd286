"""Says at the end of a roast when it is done in its thickest part: the pull temperature, the rest, the safe minimum.

One sentence for each roast with core advice, behind the sentence of the step that ends it. The recipe's own core
temperature stays in its words, and no figure that the recipe gives is said again. Temperatures are °C; `units`
(c, f, both) is what is shown.
"""

from __future__ import annotations

import re

from converter.model import CoreAdvice, Phase, Placement, Range, Reading, Step
from converter.write.edits import Edits
from converter.write.parts import in_units, number_words, source_names

# From here on two figures are not the same to a cook [K]; °F turned to whole °C differ by less.
_APART_KELVIN = 0.6
# A rest of the recipe that is at least this long is left to it [s]: the three minutes of the safe minimum.
_OWN_REST_S = 180.0
# Whole red meat below the advised core is the cook's choice; mince, rolled and stuffed meat have a higher minimum.
_CHOICE = ("beef-", "lamb-", "steak", "kebab", "fish")
_CHOICE_MOST_C = 65.0
_STOP = re.compile(r"[.!?][)\"'”’]*(?=\s+[\"'“‘(]?[^\Wa-z\d_]|\s*$|\s*\n)|\n")
_BRACKETS = re.compile(r"\s*\([^)]*\)")


def add(reading: Reading, placements: tuple[Placement, ...], edits: Edits, *, units: str) -> tuple[int, ...]:
    """Put the core advice of the placements into the steps; return the numbers of those steps, in order."""
    steps = {step.number: step for step in reading.recipe.steps}
    text = reading.recipe.document.text
    done: set[tuple[int, str]] = set()
    for phase, placement in zip(reading.phases, placements, strict=True):
        if placement.core is None or not placement.moves or not phase.clauses:
            continue
        step = steps[phase.clauses[-1].step]
        words = in_units(sentence(placement.core, phase, reading), units)
        if words and (step.number, words) not in done:
            done.add((step.number, words))
            _insert(text, step, _end(text, step, phase, reading), words, edits)
    return tuple(sorted({number for number, _ in done}))


def sentence(advice: CoreAdvice, phase: Phase, reading: Reading) -> str:
    """Return the advice as one sentence with °C figures, empty where the recipe says all of it."""
    said = [c for m in reading.mentions if m.role == "core" and m.celsius is not None for c in m.celsius]
    rests = any(
        m.role == "rest" and m.seconds is not None and m.seconds[1] >= _OWN_REST_S and m.span.start >= phase.span.start
        for m in reading.mentions
    )
    rest = "" if rests else f"{_minutes(advice.rest_minutes)} of rest"
    source = _BRACKETS.sub("", source_names(advice.safe_source))
    rises = advice.core_c - advice.pull_c >= _APART_KELVIN
    after = f"after {rest}" if rest else "after the rest"
    if advice.named:
        told = any(abs(celsius - advice.core_c) < _APART_KELVIN for celsius in said)
        parts = [f"{after}, about {advice.core_c:.0f} °C"] if rises and not told else ([f"then {rest}"] if rest else [])
        own_c = min(phase.core_c) if phase.core_c is not None else advice.pull_c
    elif rises:
        parts = [f"take it out at {advice.pull_c:.0f} °C in the thickest part for {advice.core_c:.0f} °C {after}"]
        own_c = advice.core_c
    elif abs(advice.pull_c - advice.safe_c) < _APART_KELVIN:
        parts = [f"done at {advice.pull_c:.0f} °C in the thickest part, the safe minimum by {source}"]
        return _joined(parts + ([f"then {rest}"] if rest else []))
    else:
        parts = [f"done at {advice.pull_c:.0f} °C in the thickest part"] + ([f"then {rest}"] if rest else [])
        own_c = advice.pull_c
    return _joined([*parts, _safe(advice, phase, own_c, source, said)])


def _safe(advice: CoreAdvice, phase: Phase, own_c: float, source: str, said: list[float]) -> str:
    """The safe minimum with its source beside a core [°C] of the recipe's or of ours."""
    if abs(own_c - advice.safe_c) < _APART_KELVIN:
        return f"that is the safe minimum by {source}"
    figure = "" if any(abs(one - advice.safe_c) < _APART_KELVIN for one in said) else f"{advice.safe_c:.0f} °C "
    minimum = f"the safe minimum is {figure}by {source}" if figure else f"mind the safe minimum by {source}"
    if own_c > advice.safe_c:
        return minimum
    if advice.safe_c > _CHOICE_MOST_C or not (phase.food_class or "").startswith(_CHOICE):
        return f"{minimum}: cook it on to that"
    frail = "" if advice.named else ", but not for the very young, old, pregnant or ill"
    return f"{minimum}, less is the cook's choice{frail}"


def _joined(parts: list[str]) -> str:
    words = "; ".join(parts)
    return f"{words[0].upper()}{words[1:]}."


def _minutes(span: Range) -> str:
    low, high = (number_words(end) for end in span)
    return f"{low} minutes" if low == high else f"{low}–{high} minutes"


def _end(text: str, step: Step, phase: Phase, reading: Reading) -> int:
    """The end of the sentence in which the roast, and what the recipe says of its core, ends."""
    at = max(clause.verb.end for clause in phase.clauses if clause.step == step.number)
    for clause in phase.clauses:
        if clause.step == step.number:
            found = [m.span.end for m in (*clause.times, *clause.temperatures)]
            at = max(at, *found, clause.sign.end if clause.sign is not None else 0)
    if phase.core_c is not None:
        cores = [m.span.end for m in reading.mentions if m.role == "core" and m.step == step.number]
        at = max(at, *cores, 0)
    match = _STOP.search(text, max(min(at, step.span.end) - 1, step.span.start), step.span.end)
    if match is None:
        return step.span.end
    return match.start() if match[0] == "\n" else match.end()


def _insert(text: str, step: Step, at: int, words: str, edits: Edits) -> None:
    for offset in (at, step.span.end):
        before = text[step.span.start : offset].rstrip(" )\"'”’")
        stop = "" if before.endswith((".", "!", "?")) else "."
        if edits.insert(offset, f"{stop} {words}"):
            return
