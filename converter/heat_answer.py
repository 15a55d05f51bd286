"""Answers one question about heat: a food, its time or weight, the recipe's oven, the zones that it goes through.

Nothing is printed here. Units: °C, minutes, grams. Times are those of ``heat.times``; where only a weight is given,
those of ``heat.weight``, a third wider on either side.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from converter.place.heat_classes import HeatClass, heat_class, known_classes, slow_limit

if TYPE_CHECKING:
    from converter.heat.materials import Material
    from converter.heat.times import Estimate
    from converter.place.core_curve import Dish, Planned, Prediction

USUAL_C = 180.0
WHOLE_GRAMS, WHOLE_MINUTES = 700.0, 60.0  # from here on a bare "lamb" or "chicken" is a joint or a bird; our choice
LONGEST_REST = 30.0  # minutes; after that it cools; common practice, no source
SOFT_C = 92.0  # what is done when soft, where no core is asked for; common practice, no source
DISAGREE = 2.0  # the recipe's time and the one by weight further apart than this ratio are spoken of


class NoAnswer(Exception):
    """A question that cannot be answered, in one sentence."""


@dataclass(frozen=True, slots=True)
class Food:
    """What the words mean: the class of foods.yaml or dishes.yaml, how it is served, its body."""

    words: str
    food_class: str
    kind: HeatClass
    material: Material

    @property
    def soft(self) -> bool:
        """True for cuts that are done when soft."""
        from converter.heat.words import TENDER_CLASSES

        return self.kind.serve == "rule-of-thumb" and self.material.name in TENDER_CLASSES


@dataclass(frozen=True, slots=True)
class Question:
    """A food with the recipe's `minutes` at `dial_c`, or its weight; wanted core and start where they are given."""

    food: Food
    minutes: float | None = None
    dial_c: float | None = None
    grams: float | None = None
    recipe_grams: float | None = None
    core_c: float | None = None
    start_c: float | None = None

    @property
    def target_c(self) -> float:
        """The core at which the food comes out [°C]: the one asked for, that of its class, or soft."""
        if self.core_c is not None:
            return self.core_c
        kind, material = self.food.kind, self.food.material
        if self.food.soft:
            return SOFT_C
        return material.end_point_c(kind.end.target if kind.end else None)


@dataclass(frozen=True, slots=True)
class Answer:
    """Times of one way through the zones, with the predicted core, and what is to be said besides."""

    prediction: Prediction
    remarks: tuple[str, ...]


def food_of(words: str, *, grams: float | None, minutes: float | None) -> Food:
    """Return the food that is meant; raises ``NoAnswer`` for one that is not known or has no computed core.

    A bare animal is a joint or a bird from 700 g up, without a weight from an hour up, and pieces otherwise.
    """
    from converter.heat.materials import material, materials
    from converter.read.foods import find

    plain = " ".join(words.split())
    if plain in materials():
        name = min(
            (name for name in known_classes() if heat_class(name).material == plain),
            key=lambda name: (heat_class(name).serve == "rule-of-thumb", heat_class(name).end is None, name),
            default="",
        )
        return Food(plain, name, heat_class(name) if name else HeatClass("rule-of-thumb", plain), material(plain))
    hits = find(plain, 0, len(plain))
    if not hits:
        raise NoAnswer(f"'{plain}' is no food that undial knows; a class will do: {', '.join(materials())}")
    name = hits[0].food
    large = grams >= WHOLE_GRAMS if grams is not None else minutes is not None and minutes >= WHOLE_MINUTES
    if large and hits[0].word in _animals() and name.endswith("-pieces"):
        stem = name.removesuffix("-pieces")
        name = next((one for one in (f"{stem}-joint", f"{stem}-whole") if one in known_classes()), name)
    kind = heat_class(name, foil="foil" in plain.casefold().split())
    if kind.material is None:
        raise NoAnswer(
            f"no core is computed for {plain} ({name}): its liquid, colour or crust decides; "
            f"undial convert times it within a recipe"
        )
    return Food(plain, name, kind, material(kind.material))


def _animals() -> frozenset[str]:
    from converter.data import lexicon

    cuts = lexicon("food_words")["cuts"]
    return frozenset(str(animal) for node in cuts.values() for animal in node["animals"])


def answer(
    question: Question, stays: list[Planned], *, measured_recently: bool = False, slope: float | None = None
) -> Answer:
    """Return times, curve and remarks for food that goes through `stays` in order.

    Raises ``NoAnswer`` where neither time nor weight is given, and ``HeatError`` for values that no kitchen holds.
    """
    from converter.place.core_curve import predict

    if question.recipe_grams is not None and (question.minutes is None or question.grams is None):
        raise NoAnswer("the weight in the recipe needs the recipe's time and your own weight beside it")
    dish, remarks, spread = _dish(question, stays)
    times = _times(dish, stays, measured_recently, slope)
    if times.finishes and spread > 1.0:
        times = replace(
            times, look_minutes=times.look_minutes / spread, latest_minutes=times.latest_minutes * spread
        )  # fmt: skip
    made = predict(dish, stays, title=question.food.words, times=times)
    if slope is not None:  # a cooker's own clock must not talk a caution away
        usual = predict(dish, stays, title=question.food.words, times=_times(dish, stays, measured_recently, None))
        made = replace(made, danger_minutes=max(made.danger_minutes, usual.danger_minutes))
    return Answer(made, tuple(remarks))


def _times(dish: Dish, stays: list[Planned], measured_recently: bool, slope: float | None) -> Estimate:
    """The times of `core_curve.times_of`; a zone no hotter than the core wanted does not finish it."""
    from converter.heat.times import never
    from converter.place.core_curve import times_of

    if len(stays) == 1 and dish.target_c >= stays[0].zone_c:
        return never(stays[0].zone_c, stays[0].zone_c, dish.target_c)
    return times_of(dish, stays, measured_recently=measured_recently, slope=slope)


def _dish(question: Question, stays: list[Planned]) -> tuple[Dish, list[str], float]:
    """The dish as `core_curve` takes it, remarks, and the ratio by which the range is widened."""
    from converter.heat.constants import value
    from converter.heat.weight import JOINTS, grams_of, minutes_for_weight, minutes_from_weight
    from converter.place.core_curve import Dish

    name, target = question.food.material.name, question.target_c
    grams = None if question.grams is None else grams_of(question.grams)
    if question.minutes is not None:
        if question.dial_c is None:
            raise NoAnswer("the recipe's time tells nothing without its oven; give it as --dial 180")
        minutes, remarks = question.minutes, []
        if question.recipe_grams is not None and grams is not None:
            minutes = minutes_for_weight(ref_minutes=minutes, ref_grams=question.recipe_grams, grams=grams)
            remarks.append(
                f"{question.minutes:g} minutes for {question.recipe_grams / 1000:g} kg are about {minutes:.0f} "
                f"for {grams / 1000:g} kg"
            )
        elif grams is not None and name in JOINTS and not question.food.soft:
            alone = minutes_from_weight(
                food_class=name, grams=grams, zone_c=question.dial_c, core_c=target, start_c=question.start_c
            )
            ratio = alone.expect_minutes / minutes
            if alone.finishes and not 1.0 / DISAGREE <= ratio <= DISAGREE:
                remarks.append(
                    f"the recipe's {minutes:g} minutes do not go well with {grams / 1000:g} kg: by the weight alone it "
                    f"would be about {alone.expect_minutes:.0f} at {question.dial_c:g} °C; the recipe's time is taken"
                )
        return Dish(name, minutes, question.dial_c, target, question.start_c), remarks, 1.0
    if grams is None:
        raise NoAnswer("give the recipe's time and oven (--minutes 90 --dial 180) or the weight (--weight 2kg)")
    if question.food.soft and question.core_c is None:
        raise NoAnswer(
            f"{question.food.words} is done when soft, of which the weight tells nothing; give a recipe's time"
        )
    at_c = max(stay.zone_c for stay in stays) if question.dial_c is None else question.dial_c
    for oven_c in (at_c, USUAL_C):  # a zone too cool for it gets the body of the weight, timed in a usual oven
        at_c = oven_c
        if target < oven_c:
            alone = minutes_from_weight(
                food_class=name, grams=grams, zone_c=at_c, core_c=target, start_c=question.start_c
            )
            if alone.finishes:
                break
    else:
        raise NoAnswer(f"a core of {target:g} °C is out of reach of the ovens that a time by weight is for")
    remarks = [alone.reasons[0]]
    return (
        Dish(name, alone.expect_minutes, at_c, target, question.start_c, grams),
        remarks,
        1.0 + value("weight.spread"),
    )


def sentences(question: Question, made: Answer, zone_c: float) -> list[str]:
    """Return what the cook should know besides the times: pull, rest, safe minimum, colour, the danger zone.

    `zone_c` is the hottest zone on the way [°C], for the colour.
    """
    from converter.heat.browning import browning

    prediction, kind = made.prediction, question.food.kind
    out = list(made.remarks)
    if kind.serve == "rule-of-thumb" and not question.food.soft:
        out.append("A rule of thumb: colour, crust or softness decides for this food, not the core alone.")
    meat = question.food.material.name in ("red-meat", "pork", "poultry", "mince", "fish", "pieces")
    if prediction.times.finishes and prediction.curve is not None and meat:
        out.append(_pull(question, prediction))
    if meat:
        out.append(_safe(question))
    hours = slow_limit().hours
    if prediction.danger_minutes > 60.0 * hours and meat:
        out.append(
            f"CAUTION: the middle may be between 5 and 60 °C for about {prediction.danger_minutes / 60:.1f} hours, "
            f"over {hours:g}; start it hot, take a hotter zone, or go by a thermometer from the first hour."
        )
    if question.dial_c is not None:
        colour = browning(question.dial_c, zone_c)
        out.append(f"Colour: {colour.words}.")
    return out


def _pull(question: Question, prediction: Prediction) -> str:
    """When to take it out and how long it rests; a rise at rest is counted on as in ``place.cores``."""
    from converter.place.cores import RISE_KELVIN

    end, target = question.food.kind.end, question.target_c
    rise, rest = prediction.rise_kelvin, min(max(5.0 * round(prediction.rest_minutes / 5.0), 5.0), LONGEST_REST)
    counted = min(max(rise, RISE_KELVIN[0]), RISE_KELVIN[1])
    most = f" (more than {RISE_KELVIN[1]:g} is not counted on)" if rise > counted + 0.5 else ""
    if end is None or not end.rise:
        return (
            f"Take it out at {target:.0f} °C, read in the middle, and let it rest about {rest:.0f} minutes; "
            "the rise at rest is not counted on."
        )
    if question.core_c is not None:
        return (
            f"Take it out at {target:.0f} °C in the middle: at rest, about {rest:.0f} minutes, that rises by about "
            f"{counted:.0f} °C{most}."
        )
    return (
        f"Take it out at about {target - counted:.0f} °C in the middle for {target:.0f} °C after about {rest:.0f} "
        f"minutes of rest: it rises by about {counted:.0f} °C{most}. The times are until {target:.0f} °C in the oven."
    )


def _safe(question: Question) -> str:
    from converter.place.safety_table import limit_source, limits

    kind, target = question.food.kind, question.target_c
    limit = kind.end.limit if kind.end else "poultry-core"  # the strictest where the table names none
    rest = f", then {limits()['whole-rest'].words} of rest" if limit == "whole-core" else ""
    said = f"Safe minimum: {limits()[limit].words} in the middle{rest} ({limit_source(limit)})."
    if target >= limits()[limit].value - 0.5:
        return said
    if limit in ("whole-core", "fish-core") and question.food.material.name in ("red-meat", "fish", "pieces"):
        return f"{said} {target:.0f} °C is below it: for a whole piece that is the cook's choice."
    return f"CAUTION: {said} {target:.0f} °C is below it: cook it on."
