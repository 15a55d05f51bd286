"""The safety pass: what it catches in several wordings, what it leaves alone, and that nothing silences it."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st
from safety_cases import CATCHES, SILENT, TWINS
from safety_wordings import DANGERS, PLAIN

from converter.model import Document, Ingredient, Minutes, Move, Phase, Placement, Reading, Recipe, Span, Step
from converter.place.safety import cautions
from converter.place.safety_table import CAUTIONS, caution_texts, word_lists


def reading_of(case: str, phases: tuple[Phase, ...] = ()) -> tuple[Reading, Span | None]:
    """Build a reading from a case; return it with the span of the bracketed words."""
    title, goods, method = (part.strip() for part in case.split("|"))
    text, marked, opened = "", None, 0
    places: list[tuple[str, int, int]] = []
    for kind, parts in (("title", [title]), ("goods", goods.split(";")), ("step", method.split(" / "))):
        for part in parts:
            start = len(text)
            for char in part.strip():
                if char == "[":
                    opened = len(text)
                elif char == "]":
                    marked = Span(opened, len(text))
                else:
                    text += char
            places.append((kind, start, len(text)))
            text += "\n"
    lines = [(start, end) for kind, start, end in places if kind == "goods" and end > start]
    steps = [(start, end) for kind, start, end in places if kind == "step" and end > start]
    recipe = Recipe(
        document=Document("case.txt", text, text),
        title=title,
        ingredients=tuple(Ingredient(Span(start, end), text[start:end], text[start:end]) for start, end in lines),
        steps=tuple(Step(number, Span(start, end), text[start:end]) for number, (start, end) in enumerate(steps, 1)),
    )
    return Reading(recipe, (), (), phases), marked


def names(case: str) -> set[str]:
    return {flag.name for flag in cautions(reading_of(case)[0], ())}


def _cases(table: dict[str, list[str]]) -> list[tuple[str, str]]:
    return [(name, case) for name, cases in table.items() for case in cases]


@pytest.mark.parametrize(("name", "case"), _cases(CATCHES))
def test_danger_is_caught_at_its_words(name: str, case: str) -> None:
    reading, marked = reading_of(case)
    found = [flag for flag in cautions(reading, ()) if flag.name == name]
    assert len(found) == 1
    if marked:
        assert found[0].text == reading.recipe.document.text[slice(*marked)]
        assert found[0].span == marked


@pytest.mark.parametrize(("name", "case"), _cases(TWINS))
def test_harmless_twin_stays_silent(name: str, case: str) -> None:
    assert name not in names(case)


@pytest.mark.parametrize("case", [*SILENT, *PLAIN])
def test_plain_recipe_has_no_caution(case: str) -> None:
    assert names(case) == set()


@pytest.mark.parametrize("line", DANGERS)
def test_other_wordings_are_caught(line: str) -> None:
    name, case = line.split(" # ", 1)
    assert name in names(case)


def test_every_caution_is_caught_and_has_a_twin() -> None:
    assert set(CATCHES) == set(TWINS) == set(CAUTIONS) == set(caution_texts())


def test_flag_carries_limit_reason_choices_and_source() -> None:
    reading, _ = reading_of(CATCHES["poultry-core"][0])
    (flag,) = cautions(reading, ())
    assert (flag.level, flag.step, flag.phase) == ("caution", 1, None)
    assert "74 °C/165 °F" in flag.message
    assert flag.why == "colour and clear juices are no proof of the core"
    assert flag.choices[0].startswith("measure in the thickest part")
    assert flag.source is not None
    assert "FoodSafety.gov (USDA, FDA, CDC): Cook to a Safe Minimum Internal Temperature" in flag.source


def phase_of(reading: Reading, *, food: str, method: str = "roast", step: int = 1, number: int = 1) -> Phase:
    span = reading.recipe.steps[step - 1].span
    text = reading.recipe.document.text[slice(*span)]
    return Phase(number, step, span, text, method, "oven", None, None, food, "none", food_class=food)


def with_phases(case: str, *phases: dict[str, Any]) -> Reading:
    bare = reading_of(case)[0]
    made = tuple(phase_of(bare, number=number, **values) for number, values in enumerate(phases, 1))
    return Reading(bare.recipe, (), (), made)


def placed(phase: int, *moves: Move) -> Placement:
    return Placement(phase, moves, False, "test/rule", "")


CAPON = "Sunday bird | 1 capon | Put the capon in and leave it for three hours. / Simmer it for an hour."


def test_phase_of_the_words_is_named() -> None:
    reading = with_phases("Bird | 1 chicken | Roast until the juices run clear. / Carve.", {"food": "poultry-whole"})
    assert [flag.phase for flag in cautions(reading, ())] == [1]


def test_raw_poultry_placed_first_in_a_low_zone_is_caught_without_any_word_of_heat() -> None:
    reading = with_phases(CAPON, {"food": "poultry-whole"})
    low = placed(1, Move("low-oven", "low oven", minutes=Minutes(180, 240)))
    hot = placed(1, Move("hot-oven", "hot oven"), Move("low-oven", "low oven"))
    boiled = placed(1, Move("low-oven", "low oven", boil=True))
    assert "slow-poultry" in {flag.name for flag in cautions(reading, (low,))}
    assert "slow-poultry" not in {flag.name for flag in cautions(reading, (hot,))}
    assert "slow-poultry" not in {flag.name for flag in cautions(reading, (boiled,))}


def test_meat_that_was_hot_before_may_go_on_in_the_low_oven() -> None:
    reading = with_phases(CAPON, {"food": "poultry-whole"}, {"food": "poultry-whole", "step": 2})
    moves = (placed(1, Move("hot-oven", "hot oven")), placed(2, Move("low-oven", "low oven")))
    assert "slow-poultry" not in {flag.name for flag in cautions(reading, moves)}


def test_food_kept_on_the_warm_plate_for_hours_is_caught() -> None:
    reading = with_phases("Stew | 1 kg lamb | Simmer. / Serve later.", {"food": "lamb-pieces", "method": "warm"})
    long = placed(1, Move("warm-plate", "warm plate", minutes=Minutes(150, 200)))
    short = placed(1, Move("warm-plate", "warm plate", minutes=Minutes(10, 20)))
    assert "kept-warm" in {flag.name for flag in cautions(reading, (long,))}
    assert "kept-warm" not in {flag.name for flag in cautions(reading, (short,))}


@pytest.mark.parametrize("name", ["poultry-core", "slow-poultry", "kidney-beans", "deep-fat"])
def test_reader_that_found_no_parts_cannot_silence_it(name: str) -> None:
    reading, marked = reading_of(CATCHES[name][0])
    assert marked is not None
    bare = Recipe(document=reading.recipe.document, title="")
    found = {flag.name: flag for flag in cautions(Reading(bare, (), (), ()), ())}
    assert name in found
    assert found[name].step == 0


def test_reader_that_read_wrong_phases_cannot_silence_it() -> None:
    for case in CATCHES["poultry-core"]:
        reading = with_phases(case, {"food": "cake", "method": "bake"})
        assert "poultry-core" in {flag.name for flag in cautions(reading, ())}


def test_food_class_of_the_reader_adds_to_its_own_words() -> None:
    text = "1 moorhen\nRoast for an hour."
    bird = Ingredient(Span(0, 9), "1 moorhen", "moorhen", food="poultry-whole")
    step = Step(1, Span(10, len(text)), "Roast for an hour.")
    recipe = Recipe(Document("case.txt", text, text), "Supper", (bird,), (step,))
    assert [flag.name for flag in cautions(Reading(recipe, (), (), ()), ())] == ["poultry-core"]


def test_smoked_meat_of_the_lexicon_is_not_taken_for_raw() -> None:
    text = "1 smoked hock\nPut it in the slow cooker."
    hock = Ingredient(Span(0, 13), "1 smoked hock", "hock", food="pork-tough")
    recipe = Recipe(Document("case.txt", text, text), "Pot", (hock,), (Step(1, Span(14, len(text)), text[14:]),))
    assert cautions(Reading(recipe, (), (), ()), ()) == ()


def test_caution_points_at_the_sentence_of_its_own_meat() -> None:
    case = (
        "Feast | 1 turkey; 300 g sausage meat | Bake the sausage meat for 30 minutes. "
        "/ Roast the turkey for three hours, until the juices run clear."
    )
    found = {flag.name: flag.step for flag in cautions(reading_of(case)[0], ())}
    assert (found["mince-core"], found["poultry-core"]) == (1, 2)


def test_notes_are_read_too() -> None:
    text = "1 kg beef\nRoast to 63 °C.\nThe meat can be kept warm at 45 °C."
    recipe = Recipe(
        Document("case.txt", text, text),
        "Roast",
        (Ingredient(Span(0, 9), "1 kg beef", "beef"),),
        (Step(1, Span(10, 25), text[10:25]),),
        notes=(Span(26, len(text)),),
    )
    assert [(flag.name, flag.step) for flag in cautions(Reading(recipe, (), (), ()), ())] == [("kept-warm", 0)]


def test_each_name_at_most_once_and_in_the_order_of_the_text() -> None:
    case = CATCHES["poultry-core"][0] + " / Deep-fry the rest. / Deep-fry again. / Roast the chicken again."
    flags = cautions(reading_of(case)[0], ())
    assert len({flag.name for flag in flags}) == len(flags)
    assert [flag.span for flag in flags] == sorted(flag.span for flag in flags)


WORDS = sorted({word for words in word_lists().values() for word in words})
ODD = (
    "at 100 °C", "200°F", "for 3 hours", "overnight", "165 °F internal", "½ inch of oil", "gas ½", "İ", "ß", ". ", "\n",
    "; ", "until", "not", "in the", "(", "oven", "room temperature", "٣ hours", "99999999999 h",
)  # fmt: skip
SOUP = st.lists(st.one_of(st.sampled_from(WORDS), st.sampled_from(ODD), st.text(max_size=12)), max_size=40)


@settings(max_examples=150, deadline=None)
@example(words=["bake", "hamburger", "sparerib", "at 100 °C"], cut=0, end=0)
@given(words=SOUP, cut=st.integers(0, 400), end=st.integers(0, 900))
def test_no_text_breaks_it_and_every_span_is_in_the_text(words: list[str], cut: int, end: int) -> None:
    text = " ".join(words)
    recipe = Recipe(
        Document("any.txt", text, text),
        text[:30],
        (Ingredient(Span(0, cut), text[:cut], text[:cut]),),
        (Step(1, Span(cut, end), text[cut:end]),),
        notes=(Span(end, end + 50),),
    )
    for parts in (recipe, Recipe(Document("any.txt", text, text), "")):
        for flag in cautions(Reading(parts, (), (), ()), ()):
            assert 0 <= flag.span.start <= flag.span.end <= len(text)
            assert flag.text == text[slice(*flag.span)]
            assert flag.level == "caution"


@pytest.mark.benchmark
def test_speed_of_a_plain_recipe() -> None:
    import timeit

    plain = [reading_of(case)[0] for case in SILENT]
    cautions(plain[0], ())
    each = min(timeit.repeat(lambda: [cautions(reading, ()) for reading in plain], number=5, repeat=5)) / 5 / len(plain)
    assert each < 0.00015
