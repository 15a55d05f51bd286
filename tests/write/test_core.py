"""Core temperature, rest and safe minimum stand in the written step, each figure once."""

from __future__ import annotations

import json
import re

import pytest

from converter.model import CoreAdvice, Mention, Phase, Result, Span
from converter.pipeline import convert
from converter.place.cookers import load
from converter.place.safety_table import limits
from converter.read.text import document
from converter.write.core import sentence
from converter.write.forms import render


def made(lines: str, *, of: str, units: str = "both", cooker: str = "four-oven") -> Result:
    steps = "".join(f"{n}. {line}\n" for n, line in enumerate(lines.split("\n"), 1))
    text = f"Sunday roast\n\nIngredients\n\n- {of}\n\nMethod\n\n{steps}"
    return convert(document(text, name="mine"), cooker=load(cooker), units=units)


def written(lines: str, *, of: str, units: str = "both") -> list[str]:
    return [step.rewritten for step in made(lines, of=of, units=units).steps]


BEEF = "Roast the rib of beef at 180°C for 90 minutes."
RARE = "Roast the rib of beef at 180°C for 90 minutes, until the core temperature reaches 54°C. Carve it thinly."


def test_red_meat_without_a_core_is_told_when_to_come_out_how_long_to_rest_and_what_is_safe() -> None:
    result = made(BEEF, of="2 kg rib of beef")
    advice = result.placements[-1].core
    assert advice is not None
    (step,) = result.steps
    said = step.rewritten.partition("look at ")[2]
    pull, aim, safe = (f"{celsius:.0f} °C (" for celsius in (advice.pull_c, advice.core_c, advice.safe_c))
    assert said.index(pull) < said.index(aim) < said.index("of rest") < said.index(safe) < said.index("FoodSafety.gov")
    assert "the cook's choice, but not for the very young, old, pregnant or ill." in said
    assert said.count("°C") == 3
    assert said.endswith("ill.")


def test_a_core_of_the_recipe_stays_in_its_words_and_is_not_said_again() -> None:
    result = made(RARE, of="2 kg rib of beef")
    (step,) = result.steps
    assert step.rewritten.count("54") == 1
    assert "until the core temperature reaches 54°C. After " in step.rewritten
    assert step.rewritten.endswith("FoodSafety.gov, less is the cook's choice. Carve it thinly.")
    assert "core-below-choice" in {flag.name for flag in result.flags}, "the caution stays"


@pytest.mark.parametrize(
    ("line", "of", "limit"),
    [
        ("Roast the whole chicken at 200°C for 80 minutes.", "1.8 kg whole chicken", "poultry-core"),
        ("Bake the sausages at 200°C for 25 minutes.", "8 pork sausages", "mince-core"),
        ("Roast the pork loin at 170°C for 90 minutes.", "2 kg pork loin", "whole-core"),
    ],
)
def test_where_safety_hangs_on_it_the_minimum_is_the_aim_and_no_choice(line: str, of: str, limit: str) -> None:
    (step,) = written(line, of=of, units="c")
    assert f"Done at {limits()[limit].value:.0f} °C in the thickest part, the safe minimum by FoodSafety.gov" in step
    assert step.count("°C") == 1
    assert "choice" not in step


def test_a_bird_or_pork_named_below_the_minimum_is_cooked_on() -> None:
    for line, of in (
        ("Roast the whole chicken at 200°C until the internal temperature reaches 65°C.", "1.8 kg whole chicken"),
        ("Roast the pork loin at 170°C until the internal temperature reaches 58°C.", "2 kg pork loin"),
    ):
        (step,) = written(line, of=of)
        assert re.search(
            r"reaches \d\d°C\. The safe minimum is \d\d °C \(\d{3} °F\) by FoodSafety\.gov: cook it on", step
        )
        assert "choice" not in step


def test_a_named_core_at_the_minimum_needs_only_the_source() -> None:
    (step,) = written(
        "Roast the whole chicken at 200°C until the internal temperature reaches 165°F (74°C).",
        of="1.8 kg whole chicken",
    )
    assert "reaches 165°F (74°C). That is the safe minimum by FoodSafety.gov; then " in step
    assert step.count("74") == step.count("165") == 1


@pytest.mark.parametrize(("units", "shown", "hidden"), [("c", "°C", "°F"), ("f", "°F", "°C"), ("both", "°C (", "")])
def test_the_units_asked_for_are_shown(units: str, shown: str, hidden: str) -> None:
    (step,) = written(BEEF, of="2 kg rib of beef", units=units)
    assert shown in step
    assert not hidden or hidden not in step


def test_fahrenheit_figures_are_those_of_the_published_minimum() -> None:
    assert "the safe minimum is 145 °F by FoodSafety.gov" in written(BEEF, of="2 kg rib of beef", units="f")[0]
    chicken = written("Roast the whole chicken at 200°C for 80 minutes.", of="1.8 kg whole chicken", units="f")[0]
    assert "Done at 165 °F" in chicken


def test_a_rest_of_the_recipe_is_left_to_it() -> None:
    steps = written(f"{BEEF}\nLet it rest for 20 minutes.", of="2 kg rib of beef")
    assert "after the rest;" in steps[0]
    assert not re.search(r"minutes of rest", steps[0])
    assert steps[1] == "Let it rest for 20 minutes."


def test_it_stands_behind_the_sentence_of_the_roast_and_the_rest_of_the_step_follows() -> None:
    (step,) = written(f"{BEEF} Make a gravy with the juices.", of="2 kg rib of beef")
    assert step.endswith("ill. Make a gravy with the juices.")


def test_it_closes_a_step_that_has_no_stop() -> None:
    (step,) = written("Roast the rib of beef at 180°C for 90 minutes", of="2 kg rib of beef")
    assert re.search(r"look at \d+\. Take it out at ", step)


def test_a_second_heat_has_it_once_and_at_its_end() -> None:
    steps = written(
        "Roast the leg of lamb at 220°C for 20 minutes.\nReduce the oven to 160°C and roast for 1 hour.",
        of="2 kg leg of lamb",
    )
    assert "thickest part" not in steps[0]
    assert steps[1].count("thickest part") == 1


def test_a_core_on_the_way_to_a_higher_one_is_no_end() -> None:
    steps = written(
        "Roast the ham at 120°C until the internal temperature reaches 50°C.\nGlaze it and fry 2 onions.\n"
        "Roast the ham at 180°C until the internal temperature reaches 64°C.",
        of="2 kg ham",
    )
    assert "safe minimum" not in steps[0]
    assert steps[2].count("safe minimum") == 1


@pytest.mark.parametrize(
    ("line", "of"),
    [
        ("Cover and braise the brisket in the oven at 160°C for 3 hours.", "2 kg brisket"),
        ("Bake at 180°C for 30 minutes.", "200 g flour"),
        ("Fry the steaks for 3 minutes on each side.", "2 steaks"),
    ],
)
def test_nothing_is_said_without_advice(line: str, of: str) -> None:
    result = made(line, of=of)
    assert all(placement.core is None for placement in result.placements)
    assert not any("safe minimum" in step.rewritten or "of rest" in step.rewritten for step in result.steps)
    assert not any("probe" in line for line in result.header.have_ready)


def test_the_header_asks_for_a_thermometer() -> None:
    assert made(BEEF, of="2 kg rib of beef").header.have_ready == ("probe thermometer, for step 1",)


@pytest.mark.parametrize("form", ["markdown", "text", "html", "json", "jsonld"])
def test_every_form_has_it(form: str) -> None:
    words = " ".join(render(made(BEEF, of="2 kg rib of beef"), form).split())
    if form in ("json", "jsonld"):
        words = json.dumps(json.loads(words), ensure_ascii=False)
    plain = words.replace("&#x27;", "'").replace("&#39;", "'").replace("\N{NO-BREAK SPACE}", " ")
    assert "in the thickest part for " in plain
    assert "the safe minimum is 63 °C (145 °F) by FoodSafety.gov, less is the cook's choice" in plain


# --- the sentence alone -----------------------------------------------------------------------------------


def phase_of(food_class: str, core_c: float | None = None) -> Phase:
    core = None if core_c is None else (core_c, core_c)
    return Phase(
        1, 1, Span(0, 5), "Roast", "roast", "oven", None, None, "meat", "none", food_class=food_class, core_c=core
    )


def mention_of(celsius: float) -> Mention:
    return Mention(1, "temperature", Span(0, 4), Span(0, 4), f"{celsius:g}°C", "core", (celsius, celsius))


def test_a_minimum_above_that_of_whole_meat_is_never_a_choice() -> None:
    advice = CoreAdvice(55.0, 55.0, (10.0, 20.0), 71.1, "Office: Chart", named=True)
    said = sentence(advice, phase_of("beef-joint", 55.0), mention_of(55.0), rests=False)
    assert said == "The safe minimum is 71 °C by Office: cook it on to that; then 10–20 minutes of rest."


def test_the_source_is_named_without_its_title_and_members() -> None:
    advice = CoreAdvice(80.0, 80.0, (5.0, 5.0), 70.0, "Office (of Kitchens): Chart of cores; Board: Other chart")
    said = sentence(advice, phase_of("poultry-whole"), None, rests=False)
    assert said == (
        "Done at 80 °C in the thickest part; the safe minimum is 70 °C by Office; Board; then 5 minutes of rest."
    )
