"""A household's own readings and logs: which count, what they move, how they are kept, and what they never move."""

from __future__ import annotations

import contextlib
import dataclasses
import os
import subprocess
import sys
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from converter import readings
from converter.cli import cli, main
from converter.files import FileTrouble
from converter.model import HEIGHTS
from converter.place import cookers, own_cooker, own_file, profile_checks, profiles
from converter.place.own_cooker import Cooked, OwnRecord, ZoneReading, apply
from converter.place.own_file import RecordError

ROOT = Path(__file__).resolve().parents[2]
TODAY = date(2026, 3, 1)
FOUR = cookers.load("four-oven")


@pytest.fixture(autouse=True)
def settings_folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    for name in ("XDG_CONFIG_HOME", "HOME", "APPDATA", "LOCALAPPDATA"):
        monkeypatch.setenv(name, str(tmp_path / "home"))
    return tmp_path / "home"


def record_of(*read: tuple[str, str, float, int], cooked: tuple[Cooked, ...] = ()) -> OwnRecord:
    """Readings as (zone, height, °C, days ago)."""
    made = tuple(ZoneReading(zone, height, heat, TODAY - timedelta(days=ago)) for zone, height, heat, ago in read)
    return OwnRecord("four-oven", made, cooked)


def log_of(*, took: float, minutes: float = 60.0, dial_c: float = 180.0, zone_c: float = 220.0) -> Cooked:
    return Cooked("roast", "hot-oven", "middle", zone_c, True, dial_c, minutes, took, TODAY)


def applied(*read: tuple[str, str, float, int]) -> own_cooker.Applied:
    return apply(FOUR, TODAY, record=record_of(*read))


# ------------------------------------------------------------------ readings


def test_without_readings_the_cooker_stays_the_very_same() -> None:
    assert apply(FOUR, TODAY) == (FOUR, None, ())


def test_a_reading_counts_and_the_other_heights_move_with_it() -> None:
    made, slope, remarks = applied(("hot-oven", "middle", 215.0, 3))
    oven = made.zone("hot-oven")
    assert dict(oven.celsius) == {"roof": 230, "high": 220, "middle": 215, "low": 205, "floor": 210}
    assert oven.shield_c == 190.0  # 210 in the profile, 20 K cooler like the low shelf
    assert (slope, remarks) == (None, ())
    assert made.zone("low-oven") is FOUR.zone("low-oven")


def test_heights_between_two_readings_move_by_a_share_of_both() -> None:
    oven = applied(("hot-oven", "roof", 260.0, 1), ("hot-oven", "middle", 225.0, 1)).cooker.zone("hot-oven")
    # shifts: roof +10, middle -10, so high between them 0; below the middle as the middle
    assert dict(oven.celsius) == {"roof": 260, "high": 240, "middle": 225, "low": 215, "floor": 220}


def test_a_plate_has_one_figure() -> None:
    assert applied(("gentle-plate", "any", 200.0, 0)).cooker.zone("gentle-plate").at() == 200.0


def test_the_latest_date_counts_whatever_the_order_of_entry() -> None:
    made = applied(("low-oven", "middle", 105.0, 1), ("low-oven", "middle", 120.0, 9)).cooker
    assert made.zone("low-oven").at() == 105.0


@pytest.mark.parametrize(("ago", "used"), [(90, True), (91, False)])
def test_a_stale_reading_is_said_and_not_used(ago: int, used: bool) -> None:
    made, _, remarks = applied(("low-oven", "middle", 108.0, ago))
    assert (made.zone("low-oven").at() == 108.0) is used
    assert [f"{ago} days old" in remark for remark in remarks] == ([] if used else [True])


@pytest.mark.parametrize(
    ("reading", "word"),
    [
        (("low-oven", "middle", 161.0, 1), "70 to 160 °C is possible"),
        (("low-oven", "roof", 201.0, 1), "30 to 200 °C is possible"),
        (("warm-plate", "any", 300.0, 1), "30 to 119 °C is possible"),
        (("low-oven", "any", 110.0, 1), "no height"),
        (("attic", "middle", 110.0, 1), "no such zone"),
        (("low-oven", "middle", 110.0, -1), "future"),
    ],
)
def test_an_impossible_reading_is_said_and_not_used(reading: tuple[str, str, float, int], word: str) -> None:
    made, _, remarks = applied(reading)
    assert made.zones == FOUR.zones
    assert len(remarks) == 1
    assert word in remarks[0]


def test_a_height_beside_the_middle_may_lie_beyond_the_range_of_the_middle() -> None:
    assert applied(("hot-oven", "roof", 360.0, 1)).cooker.zone("hot-oven").at("roof") == 360.0


def test_an_older_possible_reading_stands_in_for_an_impossible_one() -> None:
    made, _, remarks = applied(("low-oven", "middle", 105.0, 5), ("low-oven", "middle", 400.0, 1))
    assert made.zone("low-oven").at() == 105.0
    assert len(remarks) == 1


def test_a_cooler_kind_that_reads_hotter_is_not_believed_on_either_side() -> None:
    made, _, remarks = applied(("moderate-oven", "middle", 230.0, 1), ("hot-oven", "middle", 200.0, 1))
    assert made.zones == FOUR.zones
    assert len(remarks) == 1
    assert "moderate oven (230 °C) cannot be as hot as the hot oven (200 °C)" in remarks[0]


def test_heights_that_do_not_fit_together_are_not_used() -> None:
    made, _, remarks = applied(("hot-oven", "roof", 370.0, 1), ("hot-oven", "floor", 200.0, 1))
    assert made.zones == FOUR.zones
    assert "170 K within one oven" in remarks[0]


def test_read_lately_is_a_day_at_most() -> None:
    record = record_of(("low-oven", "middle", 110.0, 1), ("hot-oven", "middle", 230.0, 2))
    assert own_cooker.read_lately(FOUR, TODAY, record=record) == {("low-oven", "middle")}


def test_a_reading_that_is_not_used_is_no_reading_of_today() -> None:
    apart = record_of(("hot-oven", "roof", 370.0, 1), ("hot-oven", "floor", 200.0, 1))
    swapped = record_of(("moderate-oven", "middle", 230.0, 1), ("hot-oven", "middle", 200.0, 1))
    for record in (apart, swapped):
        assert own_cooker.read_lately(FOUR, TODAY, record=record) == frozenset()


def test_a_zone_is_found_by_id_kind_or_label() -> None:
    five = cookers.load("five-oven")
    for word in ("low-oven", "Low Oven", "low_oven"):
        assert [zone.kind for zone in own_cooker.zone_named(five, word)] == ["low-oven"]
    assert own_cooker.zone_named(five, "attic") == ()


# ------------------------------------------------------------------ logs


def test_the_slope_is_the_conjugate_mean_of_prior_and_log() -> None:
    # By hand: the log shows -ln(33/60)/40 = 0.014946 1/K with sd 0.12/40 = 0.003; prior 0.0105, sd 0.0025.
    # weights 1/0.0025² = 160000 and 1/0.003² = 111111: (0.0105·160000 + 0.014946·111111) / 271111 = 0.012322
    record = record_of(cooked=(log_of(took=33.0),))
    slope = apply(FOUR, TODAY, record=record).slope
    assert slope == pytest.approx(0.012322, abs=2e-6)


def test_a_log_at_the_recipes_own_heat_tells_nothing() -> None:
    assert apply(FOUR, TODAY, record=record_of(cooked=(log_of(took=70.0, zone_c=180.0),))).slope is None


def test_a_log_takes_the_zone_as_it_was_read_that_day() -> None:
    record = record_of(("hot-oven", "middle", 210.0, 10))
    assert own_cooker.zone_c_for_log(FOUR, "hot-oven", "roof", record=record, day=TODAY) == (225.0, True)
    before = TODAY - timedelta(days=11)
    assert own_cooker.zone_c_for_log(FOUR, "hot-oven", "roof", record=record, day=before) == (250.0, False)
    assert own_cooker.zone_c_for_log(FOUR, "low-oven", "middle", record=record, day=TODAY) == (115.0, False)


# ------------------------------------------------------------------ the file


def test_a_record_is_read_back_as_it_was_written() -> None:
    record = record_of(("low-oven", "middle", 107.5, 3), cooked=(log_of(took=50.0),))
    odd = dataclasses.replace(record.cooked[0], dish='7 "o\'clock": # lamb \\ & é 🍲')
    record = dataclasses.replace(record, cooked=(*record.cooked, odd))
    assert own_file.parse(own_file.dump(record), "x.yaml", cooker="four-oven") == record


BAD = (
    ("cooker: four-oven\ncolour: red\n", 2, "unknown key 'colour'"),
    ("cooker: two-oven\n", 1, "this is the record of 'two-oven'"),
    ("readings: []\n", 1, "'cooker' is missing"),
    ("cooker: four-oven\nreadings: 5\n", 2, "must be a list"),
    ("cooker: four-oven\nreadings:\n  - 5\n", 2, "expected a mapping"),
    ("cooker: four-oven\nreadings:\n  - {zone: a, height: middle, celsius: 90}\n", 3, "'date' is missing"),
    ("cooker: four-oven\nreadings:\n  - {zone: a, height: up, celsius: 90, date: 2026-01-01}\n", 3, "'height'"),
    ("cooker: four-oven\nreadings:\n  - {zone: a, height: low, celsius: .nan, date: 2026-01-01}\n", 3, "-40 to 600 °C"),
    ("cooker: four-oven\nreadings:\n  - {zone: a, height: low, celsius: 9000, date: 2026-01-01}\n", 3, "-40 to 600 °C"),
    ("cooker: four-oven\nreadings:\n  - {zone: a, height: low, celsius: 90, date: soon}\n", 3, "2026-01-31"),
    ("cooker: four-oven\nreadings: [\n", 3, "not readable as YAML"),
    ("cooker: &a four-oven\nreadings: *a\n", 1, "not allowed"),
    ("cooker: !!python/object:os.system four-oven\n", 1, "not allowed"),
    (
        "cooker: four-oven\ncooked:\n  - {dish: a, zone: b, height: low, zone_c: 200, zone_read: true, dial_c: 180,\n"
        "     minutes: 60, took: 900, date: 2026-01-01}\n",
        3,
        "900 minutes taken against 60 minutes",
    ),
)


@pytest.mark.parametrize(("text", "line", "words"), BAD, ids=[words for _, _, words in BAD])
def test_a_wrong_file_is_refused_with_file_and_line(text: str, line: int, words: str) -> None:
    with pytest.raises(RecordError) as told:
        own_file.parse(text, "own/four-oven.yaml", cooker="four-oven")
    assert told.value.where == f"own/four-oven.yaml:{line}"
    assert words in told.value.message


def test_a_wrong_file_is_left_alone_by_a_change() -> None:
    path = own_cooker.path_of(FOUR)
    path.parent.mkdir(parents=True)
    path.write_bytes(b"cooker: four-oven\nreadings: \xff\n")
    with pytest.raises(RecordError, match="UTF-8"):
        readings.change(FOUR, lambda old: old)
    assert path.read_bytes().endswith(b"\xff\n")


def test_cookers_of_like_names_have_files_of_their_own() -> None:
    names = ("my cooker", "My cooker", "my-cooker", "häuslich", "日本", "con/../x")
    paths = [own_cooker.path_of(dataclasses.replace(FOUR, name=name)) for name in names]
    assert len({path.name.casefold() for path in paths}) == len(names)
    assert {path.parent for path in paths} == {own_cooker.path_of(FOUR).parent}


def test_a_write_that_fails_leaves_the_file_as_it_was(monkeypatch: pytest.MonkeyPatch) -> None:
    one = ZoneReading("low-oven", "middle", 110.0, TODAY)
    readings.change(FOUR, lambda old: dataclasses.replace(old, readings=(one,)))
    before = own_cooker.path_of(FOUR).read_bytes()

    def full(*_: Any) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(FileTrouble, match="the disk is full"):
        readings.change(FOUR, lambda old: dataclasses.replace(old, readings=(one, one)))
    assert own_cooker.path_of(FOUR).read_bytes() == before
    assert sorted(path.suffix for path in own_cooker.path_of(FOUR).parent.iterdir()) == [".lock", ".yaml"]


WRITER = """
import sys
from datetime import date
from dataclasses import replace
from converter import readings
from converter.place import cookers
from converter.place.own_cooker import ZoneReading
cooker = cookers.load("four-oven")
for at in range(10):
    new = ZoneReading("low-oven", "middle", 100.0 + 10 * int(sys.argv[1]) + at, date(2026, 1, 1))
    readings.change(cooker, lambda old: replace(old, readings=(*old.readings, new)))
"""


def test_writers_at_the_same_time_lose_nothing(settings_folder: Path) -> None:
    environ = {**os.environ, "PYTHONPATH": str(ROOT)}
    writers = [subprocess.Popen([sys.executable, "-c", WRITER, str(at)], env=environ) for at in range(4)]
    assert [writer.wait(timeout=60) for writer in writers] == [0, 0, 0, 0]
    kept = own_cooker.load(FOUR).readings
    assert sorted(one.celsius for one in kept) == [100.0 + at for at in range(40)]
    for writer in range(4):  # and each writer's own stand in its own order
        own = [one.celsius for one in kept if 100 + 10 * writer <= one.celsius < 110 + 10 * writer]
        assert own == sorted(own)


@pytest.mark.skipif(sys.platform == "win32", reason="the lock of another process is taken with fcntl here")
def test_a_lock_that_is_held_is_said_in_one_sentence() -> None:
    import fcntl

    path = own_cooker.path_of(FOUR)
    path.parent.mkdir(parents=True)
    with open(path.with_suffix(".lock"), "ab") as stream:
        fcntl.flock(stream.fileno(), fcntl.LOCK_EX)
        with pytest.raises(FileTrouble, match="another undial"):
            readings.change(FOUR, lambda old: old, patience_seconds=0.05)
    readings.change(FOUR, lambda old: old, patience_seconds=0.05)  # and free again


# ------------------------------------------------------------------ anything at all

DAYS = st.dates(min_value=date(2020, 1, 1), max_value=date(2030, 1, 1))
HEAT = st.integers(-4000, 60000).map(lambda hundredths: hundredths / 100)
READINGS = st.builds(
    ZoneReading, st.sampled_from([*(zone.id for zone in FOUR.zones), "attic"]), st.sampled_from(HEIGHTS), HEAT, DAYS
)
LIKELY = st.builds(
    lambda zone, height, shift, ago: ZoneReading(
        zone.id,
        height if zone.is_oven else "any",
        round(zone.at(height) + shift, 2),
        TODAY - timedelta(days=ago),
    ),
    st.sampled_from(FOUR.zones), st.sampled_from(HEIGHTS[:-1]), st.floats(-60, 60), st.integers(0, 100),
)  # fmt: skip
LOGS = st.builds(
    lambda minutes, share, dial_c, zone_c: log_of(
        minutes=minutes, took=round(minutes * share, 2), dial_c=dial_c, zone_c=zone_c
    ),
    st.integers(1, 400), st.floats(0.11, 9.9), st.integers(60, 300), st.integers(60, 300),
)  # fmt: skip


@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.one_of(READINGS, LIKELY), max_size=12), st.lists(LOGS, max_size=5))
def test_any_readings_and_logs_give_a_cooker_that_a_profile_could_be(
    read: list[ZoneReading], cooked: list[Cooked]
) -> None:
    record = OwnRecord("four-oven", tuple(read), tuple(cooked))
    made, slope, remarks = apply(FOUR, TODAY, record=record)
    assert profile_checks.mistakes(made, profiles.kinds()) == []
    for zone in made.zones:
        low, high = profiles.kinds()[zone.kind].possible_c
        assert low <= zone.at() <= high
        assert zone.shield_c is None or zone.shield_c <= zone.at("low")
    assert slope is None or 0.003 <= slope <= 0.025
    assert all("\n" not in remark for remark in remarks)
    assert own_file.parse(own_file.dump(record), "x", cooker="four-oven") == record
    again = apply(made, TODAY, record=dataclasses.replace(record, cooked=())).cooker
    for once, twice in zip(made.zones, again.zones, strict=True):
        assert dict(twice.celsius) == pytest.approx(dict(once.celsius))


YAMLISH = st.recursive(
    st.one_of(
        st.none(), st.booleans(), st.integers(), st.floats(), st.dates(),
        st.text(max_size=5), st.sampled_from(("middle", "low-oven", "2026-01-01")),
    ),
    lambda inner: st.one_of(
        st.lists(inner, max_size=3),
        st.dictionaries(
            st.sampled_from(("cooker", "readings", "cooked", "zone", "height", "celsius", "date", "dish")), inner
        ),
    ),
    max_leaves=12,
)  # fmt: skip


@settings(max_examples=200, deadline=None)
@given(st.one_of(YAMLISH, st.fixed_dictionaries({"cooker": st.just("four-oven"), "readings": YAMLISH})), st.text())
def test_any_file_gives_a_record_or_the_typed_error(tree: Any, tail: str) -> None:
    import yaml

    for text in (yaml.safe_dump(tree, allow_unicode=True), tail, own_file.dump(record_of()) + tail):
        made = OwnRecord("four-oven")
        with contextlib.suppress(RecordError):
            made = own_file.parse(text, "x.yaml", cooker="four-oven")
        apply(FOUR, TODAY, record=made)


# ------------------------------------------------------------------ what it moves and what it never moves


def test_no_log_and_no_reading_moves_a_limit_of_safety() -> None:
    from converter.heat.doses import holding_minutes
    from converter.heat.times import estimate
    from converter.place.safety_table import limits

    before = {name: dataclasses.astuple(limit) for name, limit in limits().items()}
    fast = apply(FOUR, TODAY, record=record_of(cooked=tuple(log_of(took=7.0) for _ in range(9)))).slope
    slow = apply(FOUR, TODAY, record=record_of(cooked=tuple(log_of(took=500.0) for _ in range(9)))).slope
    assert (fast, slow) == (0.025, 0.003)  # held to what the clock accepts
    for slope in (fast, slow, None):
        for zone_c, done in ((70.0, False), (90.0, False), (115.0, True), (235.0, True)):
            made = estimate(food_class="poultry", recipe_minutes=80, from_c=190, zone_c=zone_c, slope=slope)
            assert made.finishes is done
        assert holding_minutes(60.0, of="poultry") == pytest.approx(35.0, abs=0.1)  # published row: 2100 s
    assert {name: dataclasses.astuple(limit) for name, limit in limits().items()} == before


RECIPE = """Roast leg of lamb

Ingredients
2 kg leg of lamb
1 tbsp oil

Method
1. Rub the lamb with the oil and roast at 200°C for 90 minutes, until the core is at 60°C.
2. Roast the chicken thighs beside it at 200°C for 45 minutes.
"""


@pytest.fixture
def run(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Any:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "lamb.txt").write_text(RECIPE, encoding="utf-8")

    def call(*words: str) -> Any:
        made = CliRunner().invoke(cli, words)
        assert made.exception is None or isinstance(made.exception, SystemExit), made.exception
        return made

    return call


def cautions(text: str) -> list[str]:
    return [line for line in text.splitlines() if "caution" in line.lower()]


def test_a_reading_moves_the_next_recipe_at_once_and_no_caution(run: Any) -> None:
    before = run("convert", "lamb.txt")
    run("cooker", "reading", "hot-oven", "middle", "200")
    after = run("convert", "lamb.txt")
    assert before.stdout != after.stdout
    assert cautions(before.stderr)
    assert cautions(before.stderr) == cautions(after.stderr)
    run("cooker", "readings", "--undo")
    assert run("convert", "lamb.txt").stdout == before.stdout


def test_logs_move_the_next_recipe_and_no_caution_until_they_are_taken_out(run: Any) -> None:
    before = run("convert", "lamb.txt")
    took = ("cooker", "took", "lamb", "--zone", "hot-oven", "--dial", "180", "--minutes", "90", "--took", "85")
    for _ in range(4):
        assert run(*took).exit_code == 0
    after = run("convert", "lamb.txt")
    assert before.stdout != after.stdout
    assert cautions(before.stderr) == cautions(after.stderr)
    for _ in range(4):
        run("cooker", "evidence", "--undo", "1")
    assert run("convert", "lamb.txt").stdout == before.stdout


def test_a_stale_reading_is_said_beside_the_recipe(run: Any) -> None:
    run("cooker", "reading", "low-oven", "middle", "108", "--date", "2020-01-31")
    made = run("convert", "lamb.txt")
    assert "low oven, middle, 108 °C on 2020-01-31: not used" in made.stderr
    assert "not used" not in run("convert", "lamb.txt", "--diagnostics", "none").stderr


def test_a_record_that_cannot_be_used_stops_a_conversion_with_file_and_line(run: Any) -> None:
    path = own_cooker.path_of(FOUR)
    path.parent.mkdir(parents=True)
    path.write_text("cooker: four-oven\nreadings:\n  - {zone: low-oven}\n", encoding="utf-8")
    for words in (("convert", "lamb.txt"), ("cooker", "readings"), ("cooker", "evidence"), ("heat", "lamb")):
        made = run(*words)
        assert made.exit_code == 2, words
        assert made.stdout == ""
        assert f"{path}:3: the key 'height' is missing" in made.stderr


def test_readings_are_listed_with_those_in_use(run: Any) -> None:
    run("cooker", "reading", "low oven", "middle", "225F")
    run("cooker", "reading", "low-oven", "middle", "118", "--date", "2020-01-31")
    lines = run("cooker", "readings").stdout.splitlines()
    assert [("in use" in line) for line in lines[1:]] == [True, False]
    assert "107.2 °C" in lines[1]
    assert "Removed: low-oven, middle, 118 °C" in run("cooker", "readings", "--undo").stdout


def test_a_dish_that_the_clock_is_not_for_is_kept_and_said(run: Any) -> None:
    words = ("--zone", "low-oven", "--dial", "150", "--minutes", "180", "--took", "240")
    assert "other signs" in run("cooker", "took", "brisket", *words).stderr
    assert "other signs" not in run("cooker", "took", "roast beef", *words).stderr


def test_show_says_what_the_thermometer_said(run: Any) -> None:
    before = run("cooker", "show").stdout
    run("cooker", "reading", "low-oven", "middle", "108")
    after = run("cooker", "show")
    assert "roof 115 · high 113 · middle 108 · low 105 · floor 103 °C" in after.stdout
    assert after.stdout.count("by your thermometer; the profile says 115 °C") == 1
    assert "by your thermometer" not in before
    assert after.stderr == ""


def test_evidence_shows_prior_posterior_count_and_the_surprise(run: Any) -> None:
    took = ("cooker", "took", "lamb", "--zone", "hot-oven", "--dial", "195", "--minutes", "90", "--took")
    for minutes in ("62", "60", "63", "120"):
        run(*took, minutes)
    text = run("cooker", "evidence").stdout
    assert "1.05 ± 0.25 % per °C" in text
    assert "after 4 logs" in text
    assert [line.split()[0] for line in text.splitlines() if "a surprise" in line] == ["4"]
    assert "after 3 logs" in run("cooker", "evidence", "--undo", "4").stdout
    assert "a surprise" not in run("cooker", "evidence").stdout


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("reading", "low-oven", "middle", "400"), "70 to 160 °C is possible"),
        (("reading", "low-oven", "middle", "226"), "if it is °F, write 226F"),
        (("reading", "low-oven", "middle", "-5"), "-5 °C is not kept"),
        (("reading", "low-oven", "middle", "warm"), "must be a temperature in °C"),
        (("reading", "low-oven", "attic", "108"), "has no height 'attic'"),
        (("reading", "lo-oven", "middle", "108"), "did you mean low-oven?"),
        (("reading", "hot-plate", "high", "350"), "is a plate"),
        (("reading", "low-oven", "middle", "108", "--date", "31/01/2026"), "a day such as 2026-01-31"),
        (("reading", "low-oven", "middle", "108", "--date", "2999-01-01"), "has not come yet"),
        (("readings", "--undo"), "no reading of four-oven"),
        (("took", "x", "--zone", "hot-plate", "--dial", "180", "--minutes", "9", "--took", "9"), "is a plate"),
        (("took", "x", "--zone", "hot-oven", "--dial", "180", "--minutes", "9", "--took", "nan"), "minutes such as 90"),
        (("took", "x", "--zone", "hot-oven", "--dial", "180", "--minutes", "9", "--took", "990"), "within ten times"),
        (("took", "x", "--zone", "hot-oven", "--dial", "1800", "--minutes", "9", "--took", "9"), "20 to 550 °C"),
        (("took", " ", "--zone", "hot-oven", "--dial", "180", "--minutes", "9", "--took", "9"), "a few words"),
        (("evidence", "--undo", "1"), "no log of four-oven"),
    ],
)
def test_wrong_use_is_one_sentence_and_keeps_nothing(
    words: tuple[str, ...], said: str, capsys: pytest.CaptureFixture[str]
) -> None:
    with pytest.raises(SystemExit) as stopped:
        main(["cooker", *words])
    told = capsys.readouterr()
    assert (stopped.value.code, told.out) == (2, "")
    assert said in told.err
    assert len(told.err.strip().splitlines()) == 1
    assert not own_cooker.path_of(FOUR).exists()
