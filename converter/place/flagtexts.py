"""Makes the flags of a phase from the texts in rules/flags.yaml."""

from __future__ import annotations

from converter import flagkinds
from converter.model import Flag, Phase


def flag(name: str, phase: Phase, words: dict[str, str]) -> Flag:
    """Return the flag `name` on the words of a phase, its texts filled with `words`."""
    appliance = (phase.appliance or phase.method).replace("-", " ")
    fill = {"appliance": appliance, **words, "food": phase.food or "the food"}
    return flagkinds.make(name, step=phase.step, span=phase.span, text=phase.text, words=fill, phase=phase.number)
