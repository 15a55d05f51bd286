"""The command ``undial heat``: it agrees with the heat model, its drawing with its table; refusals are plain."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from click.testing import CliRunner
from hypothesis import given, settings
from hypothesis import strategies as st

from converter import cli_words
from converter.cli import cli, main
from converter.cli_parts import WrongUse
from converter.heat.times import estimate, hot_start
from converter.heat.weight import minutes_from_weight
from converter.heat_answer import NoAnswer, Question, answer, food_of, sentences
from converter.place import cookers
from converter.place.core_curve import Dish, Planned, predict, times_of
from converter.write import curve as drawn

FOUR = cookers.load("four-oven")
HOT, LOW = Planned("hot oven, middle", 235.0, 20.0), Planned("low oven, middle", 115.0)
JOINT = Dish("red-meat", 90.0, 180.0, 60.0)


@pytest.fixture(autouse=True)
def settings_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    for name in ("XDG_CONFIG_HOME", "HOME", "APPDATA", "LOCALAPPDATA"):
        monkeypatch.setenv(name, str(tmp_path / "home"))


@pytest.fixture
def run() -> Any:
    def call(*words: str) -> Any:
        made = CliRunner().invoke(cli, ["heat", *words])
        assert made.exception is None or isinstance(made.exception, SystemExit), made.exception
        return made

    return call


# ------------------------------------------------------------------ the core curve


@pytest.mark.parametrize(
    "stays",
    [[HOT, LOW], [LOW], [Planned("moderate oven", 175.0)], [Planned("hot oven", 235.0)], [HOT, HOT, LOW]],
    ids=["hot start", "low", "moderate", "hot", "three stays"],
)
def test_the_band_comes_to_the_target_at_look_expect_and_latest(stays: list[Planned]) -> None:
    made = predict(JOINT, stays, title="lamb")
    assert made.curve is not None
    when = drawn.times(made.curve)
    for got, wanted in zip(
        when, (made.times.look_minutes, made.times.expect_minutes, made.times.latest_minutes), strict=True
    ):
        assert got == pytest.approx(wanted, rel=0.015, abs=0.6)
    low, core, high = (np.array(line) for line in (made.curve.low_c, made.curve.core_c, made.curve.high_c))
    assert np.all(low <= core + 0.11)
    assert np.all(core <= high + 0.11)
    assert core[0] == 5.0
    assert made.curve.stays[0] == (stays[0].label, 0.0)


def test_the_times_are_those_of_the_model() -> None:
    assert times_of(JOINT, [LOW]) == estimate(
        food_class="red-meat", recipe_minutes=90, from_c=180, zone_c=115, core_c=60
    )
    assert times_of(JOINT, [HOT, LOW], slope=0.009, measured_recently=True) == hot_start(
        food_class="red-meat", recipe_minutes=90, from_c=180, legs=[(235.0, 20.0), (115.0, None)], core_c=60,
        slope=0.009, measured_recently=True,
    )  # fmt: skip


def test_one_zone_at_the_dials_own_heat_takes_the_recipes_time() -> None:
    made = predict(JOINT, [Planned("oven", 180.0)], title="lamb")
    assert made.times.expect_minutes == pytest.approx(90.0)
    assert made.curve is not None
    assert drawn.times(made.curve).expect == pytest.approx(90.0, abs=0.5)


def test_a_zone_that_never_finishes_is_drawn_towards_where_it_settles() -> None:
    made = predict(JOINT, [Planned("holding oven", 70.0)], title="lamb")
    assert not made.times.finishes
    assert made.curve is not None
    assert max(made.curve.high_c) < 60.0
    assert drawn.times(made.curve).expect is None


def test_wet_food_is_not_drawn_above_the_boil() -> None:
    made = predict(Dish("potato", 60.0, 200.0), [Planned("hot oven", 235.0)], title="potatoes")
    assert made.curve is not None
    assert max(made.curve.high_c) == 100.0


def test_meat_that_must_get_soft_has_times_and_no_curve() -> None:
    made = predict(Dish("pork", 240.0, 150.0, 92.0), [LOW], title="pork shoulder")
    assert made.times.finishes
    assert made.curve is None


# ------------------------------------------------------------------ what the words mean


@pytest.mark.parametrize(
    ("words", "grams", "minutes", "material"),
    [
        ("lamb", 2000, None, "red-meat"),
        ("lamb", 200, None, "pieces"),
        ("lamb", None, 90, "red-meat"),
        ("lamb", None, 20, "pieces"),
        ("chicken", 1600, None, "poultry"),
        ("chicken thighs", 1600, None, "pieces"),
        ("leg of lamb", None, None, "red-meat"),
        ("pork", None, 100, "pork"),
        ("minced turkey", None, 40, "mince"),
        ("salmon", None, 15, "fish"),
        ("potatoes in foil", None, 60, "foil-vegetable"),
        ("Roast Beef with potatoes", None, 90, "red-meat"),
        ("gratin", None, 40, "gratin"),
    ],
)
def test_a_food_finds_its_body(words: str, grams: float | None, minutes: float | None, material: str) -> None:
    assert food_of(words, grams=grams, minutes=minutes).material.name == material


@pytest.mark.parametrize(
    ("words", "minutes"), [("90", 90), ("1h30", 90), ("1 hour 30 minutes", 90), ("45 min", 45), ("7.5", 7.5)]
)
def test_minutes_of_a_command(words: str, minutes: float) -> None:
    assert cli_words.minutes(words, "--minutes") == pytest.approx(minutes)


@pytest.mark.parametrize(
    ("words", "celsius"), [("180", 180), ("180°C", 180), ("350F", 176.7), ("gas 4", 180), ("160 fan", 180), ("-3", -3)]
)
def test_ovens_of_a_command(words: str, celsius: float) -> None:
    assert cli_words.oven_c(words, "--dial") == celsius


@pytest.mark.parametrize(
    ("words", "grams"), [("2kg", 2000), ("800 g", 800), ("4lb 8oz", 4.5 * 453.59237), ("1,5 kg", 1500)]
)
def test_weights_of_a_command(words: str, grams: float) -> None:
    assert cli_words.grams(words, "--weight") == pytest.approx(grams)


@pytest.mark.parametrize(
    ("words", "found"),
    [
        ("hot-oven middle 20", ("hot-oven", "middle", 20.0)),
        ("low oven", ("low-oven", "middle", None)),
        ("Low Oven roof 1h30", ("low-oven", "roof", 90.0)),
        ("hot-oven 20 min", ("hot-oven", "middle", 20.0)),
        ("moderate-oven floor", ("moderate-oven", "floor", None)),
    ],
)
def test_stays_of_a_command(words: str, found: tuple[str, str, float | None]) -> None:
    zone, height, minutes = cli_words.stay(FOUR, words)
    assert (zone.kind, height, minutes) == found


@settings(max_examples=150, deadline=None)
@given(st.one_of(st.text(max_size=20), st.from_regex(r"[-0-9., hkg°CFfan]{0,9}", fullmatch=True)))
def test_any_words_are_read_or_refused_in_a_sentence(words: str) -> None:
    for read in (cli_words.minutes, cli_words.oven_c, cli_words.grams, cli_words.celsius):
        try:
            value = read(words, "--it")
        except WrongUse as refused:
            told = refused.format_message()
            assert told.startswith("--it must be ")
        else:
            assert isinstance(value, float)
    try:
        cli_words.stay(FOUR, words)
    except WrongUse as refused:
        assert refused.exit_code == 2  # noqa: PT017


# ------------------------------------------------------------------ the answer


def cells(text: str) -> list[list[str]]:
    """The rows of the table of zones, split at two spaces and more."""
    lines = text.split("\n\n")[1].splitlines()
    return [re.split(r"\s{2,}", line.strip()) for line in lines if re.search(r"\s{2,}(?:yes|no|done)\b", line)]


def test_the_table_says_what_the_model_says(run: Any) -> None:
    made = run("leg of lamb", "--minutes", "90", "--dial", "180", "--no-drawing")
    assert made.exit_code == 0
    rows = {row[0]: row for row in cells(made.stdout)}
    assert list(rows) == [
        "zone",
        "hot oven, middle",
        "moderate oven, middle",
        "low oven, middle",
        "holding oven, middle",
    ]
    times = estimate(food_class="red-meat", recipe_minutes=90, from_c=180, zone_c=175)
    expected = [
        drawn.time_words(drawn.kitchen_minutes(at, up=up))
        for at, up in ((times.look_minutes, False), (times.expect_minutes, None), (times.latest_minutes, True))
    ]
    assert rows["moderate oven, middle"][1:6] == ["175", *expected, "yes"]
    assert rows["holding oven, middle"][1:6] == ["70", "-", "-", "-", "no"]
    assert "will not finish here: a zone of 70 °C takes this food towards 56 °C" in " ".join(made.stdout.split())


def test_the_example_of_a_hot_start(run: Any) -> None:
    words = ("--zone", "hot-oven middle 20", "--zone", "low-oven")
    made = run("lamb", "--weight", "2kg", "--minutes", "90", "--dial", "180", *words)
    text = " ".join(made.stdout.split())
    assert "235 > 115" in text
    for said in ("whole joints of beef, lamb", "Safe minimum: 63 °C/145 °F", "FoodSafety.gov", "of rest", "Colour:"):
        assert said in text
    assert "Take it out at about 5" in text
    assert max(map(len, made.stdout.splitlines())) <= 80
    assert "\x1b" not in made.stdout
    assert set(made.stdout) - set("°") <= {chr(at) for at in range(32, 127)} | {"\n"}


def test_without_a_drawing_every_figure_is_still_there(run: Any) -> None:
    words = ("lamb", "--minutes", "90", "--dial", "180", "--zone", "low-oven")
    whole, bare = run(*words).stdout, run(*words, "--no-drawing").stdout
    assert "*" in whole
    assert "*" not in bare
    assert set(bare.splitlines()) <= set(whole.splitlines())
    assert "minutes   if slow   expected   if fast" in bare


def test_a_time_by_weight_is_that_of_the_model(run: Any) -> None:
    question = Question(food_of("chicken", grams=1600, minutes=None), grams=1600.0)
    made = answer(question, [Planned("moderate oven", 175.0)]).prediction.times
    alone = minutes_from_weight(food_class="poultry", grams=1600, zone_c=175)
    assert made.expect_minutes == pytest.approx(alone.expect_minutes, rel=1e-6)
    assert made.latest_minutes > 1.3 * made.expect_minutes
    assert "from the weight alone" in run("chicken", "--weight", "1.6kg").stdout.casefold()


def test_a_recipe_for_another_weight_is_carried_to_yours() -> None:
    joint = food_of("leg of lamb", grams=3000, minutes=90)
    question = Question(joint, 90.0, 180.0, 3000.0, recipe_grams=1500.0)
    made = answer(question, [Planned("oven", 180.0)])
    assert made.prediction.times.expect_minutes == pytest.approx(90 * 2**0.57, rel=1e-6)
    assert "about 134 for 3 kg" in made.remarks[0]


def test_a_time_that_does_not_go_with_the_weight_is_said() -> None:
    question = Question(food_of("leg of lamb", grams=3000, minutes=25), 25.0, 180.0, 3000.0)
    assert "do not go well with 3 kg" in answer(question, [LOW]).remarks[0]


@pytest.mark.parametrize(
    ("words", "core_c", "said"),
    [
        ("leg of lamb", 52.0, "that is the cook's choice"),
        ("chicken breasts", 65.0, "CAUTION: Safe minimum: 74 °C/165 °F"),
        ("minced beef", 63.0, "CAUTION: Safe minimum: 71 °C/160 °F"),
        ("pork loin", 58.0, "CAUTION: Safe minimum: 63 °C/145 °F"),
        ("minced turkey", None, "Safe minimum: 74 °C/165 °F"),
    ],
)
def test_a_core_below_the_safe_one_is_a_choice_or_a_caution(words: str, core_c: float | None, said: str) -> None:
    question = Question(food_of(words, grams=None, minutes=40), 40.0, 180.0, core_c=core_c)
    told = sentences(question, answer(question, [Planned("oven", 180.0)]), 180.0)
    assert any(line.startswith(said) or said in line for line in told)
    assert sum("Safe minimum" in line for line in told) == 1


def test_the_rise_is_counted_for_red_meat_only_and_never_by_more_than_five() -> None:
    for words, counted in (("leg of lamb", True), ("pork loin", False), ("whole chicken", False)):
        question = Question(food_of(words, grams=None, minutes=90), 90.0, 180.0)
        made = answer(question, [Planned("hot oven", 235.0)])
        pull = next(line for line in sentences(question, made, 235.0) if line.startswith("Take it out"))
        assert ("is not counted on" in pull) is not counted or "more than 5" in pull
        if counted:
            assert made.prediction.rise_kelvin > 5
            assert "at about 55 °C in the middle for 60 °C" in pull


def test_a_core_too_long_in_the_danger_zone_is_a_caution() -> None:
    slow = Question(food_of("leg of lamb", grams=None, minutes=240), 240.0, 150.0)
    told = " ".join(sentences(slow, answer(slow, [Planned("low oven", 100.0)]), 100.0))
    assert "CAUTION: the middle may be between 5 and 60 °C for about" in told
    quick = Question(food_of("leg of lamb", grams=None, minutes=90), 90.0, 180.0)
    assert "CAUTION" not in " ".join(sentences(quick, answer(quick, [Planned("oven", 180.0)]), 180.0))


def test_no_log_talks_a_caution_away() -> None:
    # By the fast clock alone this start in the hot oven would pass the danger zone in 195 minutes, by the usual in 277.
    question = Question(food_of("leg of lamb", grams=None, minutes=300), 300.0, 100.0)
    for slope in (None, 0.003, 0.025):
        told = sentences(question, answer(question, [HOT, LOW], slope=slope), 235.0)
        assert any(line.startswith("CAUTION: the middle may be between 5 and 60 °C") for line in told)


def test_a_reading_and_logs_move_the_answer_and_not_the_safe_minimum(run: Any) -> None:
    words = ("whole chicken", "--minutes", "80", "--dial", "170", "--zone", "hot-oven", "--no-drawing")
    before = run(*words).stdout
    assert CliRunner().invoke(cli, ["cooker", "reading", "hot-oven", "middle", "205"]).exit_code == 0
    read = run(*words).stdout
    assert cells(read)[1][1] == "205"
    assert "not read with a thermometer" in " ".join(before.split())
    assert "not read with a thermometer" not in " ".join(read.split())
    took = ["cooker", "took", "hen", "--zone", "hot-oven", "--dial", "170", "--minutes", "80", "--took", "78"]
    for _ in range(3):
        assert CliRunner().invoke(cli, took).exit_code == 0
    logged = run(*words).stdout
    assert cells(logged)[1][2:5] != cells(read)[1][2:5]
    safe = [re.search(r"Safe minimum: [^(]*", " ".join(text.split())) for text in (before, read, logged)]
    assert len({found[0] for found in safe if found}) == 1


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("lamb",), "--minutes 90 --dial 180"),
        (("lamb", "--minutes", "90"), "--dial 180"),
        (("lamb", "--minutes", "-5", "--dial", "180"), "-5 minutes cannot be"),
        (("lamb", "--minutes", "nan", "--dial", "180"), "minutes such as 90"),
        (("lamb", "--minutes", "90", "--dial", "1800"), "20 to 550 °C"),
        (("lamb", "--minutes", "90", "--dial", "hot"), "in °C such as 180"),
        (("lamb", "--weight", "-2kg"), "10 to 30000 g"),
        (("lamb", "--weight", "2"), "a weight with its unit"),
        (("lamb", "--minutes", "90", "--dial", "180", "--core", "200"), "a core of 200 °C"),
        (("lamb", "--minutes", "90", "--dial", "180", "--start", "-10"), "frozen food"),
        (("lamb", "--minutes", "90", "--dial", "180", "--start", "70"), "nothing to cook"),
        (
            ("lamb", "--minutes", "9", "--dial", "180", "--zone", "low-oven", "--zone", "hot-oven"),
            "only the last --zone",
        ),
        (("lamb", "--minutes", "9", "--dial", "180", "--zone", "hot-plate"), "is a plate"),
        (("lamb", "--minutes", "9", "--dial", "180", "--zone", "attic"), "has no zone 'attic'"),
        (("lamb", "--minutes", "9", "--dial", "180", "--zone", " "), "needs a zone"),
        (("lamb", "--recipe-weight", "2kg", "--weight", "3kg"), "the recipe's time"),
        (("brisket", "--weight", "2kg"), "done when soft"),
        (("soup", "--minutes", "30", "--dial", "180"), "no core is computed for soup"),
        (("gravel", "--weight", "2kg"), "no food that undial knows"),
        (("potatoes", "--weight", "2kg"), "from the weight alone is for"),
        (("lamb", "--weight", "2kg", "--cooker", "nine-oven"), "neither a built-in cooker nor a file"),
    ],
)
def test_wrong_use_is_one_sentence(words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["heat", *words])
    told = capsys.readouterr()
    assert (stopped.value.code, told.out) == (2, "")
    assert said in told.err
    assert len(told.err.strip().splitlines()) == 1


@settings(max_examples=60, deadline=None)
@given(
    st.sampled_from(("lamb", "whole chicken", "pork loin", "salmon", "potatoes", "sponge", "meat loaf", "custard")),
    st.floats(1, 400), st.floats(60, 300), st.floats(40, 300), st.floats(40, 300), st.floats(1, 200),
    st.one_of(st.none(), st.floats(30, 99)),
)  # fmt: skip
def test_any_question_is_answered_or_refused(
    words: str, minutes: float, dial_c: float, hot_c: float, low_c: float, first: float, core_c: float | None
) -> None:
    from converter.heat.errors import HeatError

    question = Question(food_of(words, grams=None, minutes=minutes), minutes, dial_c, core_c=core_c)
    for stays in (
        [Planned("a", hot_c, first), Planned("b", low_c)],
        [Planned("b", low_c)],
        [Planned("a", hot_c, first)],
    ):
        try:
            made = answer(question, stays)
        except (HeatError, NoAnswer) as refused:
            assert str(refused)  # noqa: PT017
            continue
        curve = made.prediction.curve
        if curve is not None:
            assert all(np.isfinite(line).all() for line in (curve.minutes, curve.core_c, curve.low_c, curve.high_c))
            assert len(curve.minutes) == len(curve.core_c) == len(curve.low_c) == len(curve.high_c)
        assert sentences(question, made, hot_c) is not None
