"""Writes the method again: every heat instruction in the words of this cooker, all other words kept."""

from __future__ import annotations

from converter.model import Edit, Flag, Placement, Reading, Result, Step, WrittenStep
from converter.write import core
from converter.write.edits import Edits, apply
from converter.write.header import header
from converter.write.others import Others
from converter.write.staying import Writer
from converter.write.sweep import left_over


def write(
    reading: Reading, placements: tuple[Placement, ...], flags: tuple[Flag, ...], *, cooker: str, units: str = "both",
    zones: dict[str, str] | None = None, own: tuple[Edit, ...] = (),
) -> Result:  # fmt: skip
    """Return the converted recipe. `zones` maps the kinds of zones that the cooker has to its words for them.

    `own` are lines that the household has put into its own words; nothing else is written there.
    """
    edits = Edits()
    for line in own:
        edits.replace(line.span, line.words)
    writer = Writer(reading, placements, edits)
    others = Others(reading, placements, edits, zones or {}, writer)
    others.before()
    for phase, placement in zip(reading.phases, placements, strict=True):
        writer.phase(phase, placement)
    others.after()
    probed = core.add(reading, placements, edits, units=units)
    text = reading.recipe.document.text
    steps = tuple(_step(step, text, edits) for step in reading.recipe.steps)
    extra = (*others.flags, *left_over(reading, steps, (*flags, *others.flags), placements))
    every = tuple(sorted((*flags, *extra), key=lambda f: (f.step, f.span)))
    top = header(reading, placements, cooker, others.own_steps, probed=probed)
    return Result(reading, cooker, placements, every, steps, top, units)


def _step(step: Step, text: str, edits: Edits) -> WrittenStep:
    made = edits.within(step.span)
    return WrittenStep(step.number, step.part, step.text, apply(text, step.span, made), made)
