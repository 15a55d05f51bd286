"""The mentions of a recipe: every temperature and length of time of the method, with what it is for."""

from __future__ import annotations

from converter.model import Mention, Range, Recipe, Step
from converter.read import duration_roles, quantities, temperature_roles
from converter.read.quantities import Quantity
from converter.read.role_words import step_text


def mentions(recipe: Recipe) -> tuple[Mention, ...]:
    """Return the temperatures and times of the method in reading order, each with its role.

    Temperatures are whole °C from the lowest to the highest that is written,
    times seconds. Words of doubt widen ``span``, never the numbers.
    """
    text = recipe.document.text
    low = quantities.lowered(text)
    known = quantities.time_words(low)
    found: list[Mention] = []
    for step in recipe.steps:
        some = quantities.find_lowered(low, step.span.start, step.span.end, known)
        if some:
            found += _of_step(text, low, step, some)
    return tuple(found)


def _of_step(text: str, low: str, step: Step, some: list[Quantity]) -> list[Mention]:
    made: list[Mention] = []
    around = step_text(low, step.span.start, step.span.end)
    heat_role = time_role = ""
    for at, quantity in enumerate(some):
        start, end = quantity.span
        celsius: Range | None = None
        seconds: Range | None = None
        if quantity.kind == "temperature":
            role = heat_role = temperature_roles.of_temperature(around, quantity, heat_role)
            celsius = (float(round(quantity.value[0])), float(round(quantity.value[1])))
            conditional = False
        else:
            role = time_role = duration_roles.of_duration(around, some, at, time_role)
            seconds = quantity.value
            conditional = duration_roles.is_conditional(around, quantity)
        made.append(
            Mention(
                step.number, quantity.kind, quantity.span, quantity.core, text[start:end], role, celsius, seconds,
                fan=quantity.fan, conditional=conditional, more=quantity.more, last=quantity.last,
                per_kg=quantity.per_kg, plus=quantity.plus,
                disagrees=quantity.disagrees, unit_guessed=quantity.unit_guessed,
            )
        )  # fmt: skip
    return made
