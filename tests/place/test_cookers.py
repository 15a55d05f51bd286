"""Profiles of cookers: what is read from them, what is refused and where, what is only doubtful."""

from __future__ import annotations

import pickle
import time
from pathlib import Path
from typing import Any

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from converter import model
from converter.data import DataError
from converter.place import cookers, profiles
from converter.place.drawing import drawing, heat, where

SMALL = """\
name: small one
zones:
  - id: hot-plate
    kind: hot-plate
    side: left
    level: top
    celsius: 345
  - id: gentle-plate
    kind: gentle-plate
    label: slow side
    side: right
    level: top
    celsius: 180
  - id: hot-oven
    kind: hot-oven
    side: right
    level: upper
    celsius: {roof: 248, high: 238, middle: 230, low: 222, floor: 228}
    shelves: [roof, high, middle, middle, low]
  - id: low-oven
    kind: low-oven
    side: right
    level: lower
    celsius: 118
"""


@pytest.fixture
def write(tmp_path: Path) -> Any:
    def put(text: str, name: str = "own.yaml") -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return put


@pytest.fixture(autouse=True)
def own_settings(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "settings" / "cooker.txt"
    monkeypatch.setattr(cookers, "default_path", lambda: path)
    return path


# ---------------------------------------------------------------- built-in cookers


def test_builtin_names_and_default():
    assert cookers.builtin() == ("two-oven", "three-oven", "four-oven", "five-oven")
    assert cookers.default_name() == "four-oven"


@pytest.mark.parametrize("name", cookers.builtin())
def test_builtin_is_accepted_without_a_remark(name):
    made = cookers.load(name)
    assert made.name == name
    assert made.summary
    assert cookers.check(cookers.builtin_path(name)) == ()
    assert made.kinds == {zone.kind for zone in made.zones} <= set(model.ZONES)


@pytest.mark.parametrize("name", cookers.builtin())
def test_builtin_file_opens_with_its_grammar(name):
    text = cookers.builtin_path(name).read_text(encoding="utf-8")
    comment = text.split("\nname:")[0]
    assert all(line.startswith("#") or not line for line in comment.splitlines())
    keys = {key for zone in yaml.safe_load(text)["zones"] for key in zone} | {"name", "summary", "zones", "shelves"}
    assert all(f"# {key} " in comment or f"#   {key} " in comment for key in keys)


@pytest.mark.parametrize("spelling", ["four-oven", "Four oven", "FOUR_OVEN", " four-oven "])
def test_builtin_name_in_other_spellings(spelling):
    assert cookers.load(spelling) is cookers.load("four-oven")


def test_zone_lines_point_into_the_file():
    lines = cookers.builtin_path("four-oven").read_text(encoding="utf-8").splitlines()
    for zone in cookers.load("four-oven").zones:
        assert lines[zone.line - 1].strip() == f"- id: {zone.id}"


def test_first_has_and_zone():
    two = cookers.load("two-oven")
    assert two.first(("moderate-oven", "hot-oven")).kind == "hot-oven"
    assert two.first(["holding-oven", "warm-plate"]) is None
    assert two.has("low-oven")
    assert not two.has("moderate-oven")
    with pytest.raises(KeyError):
        two.zone("moderate-oven")


def test_first_low_oven_of_five():
    five = cookers.load("five-oven")
    assert [zone.id for zone in five.zones if zone.kind == "low-oven"] == ["low-oven", "second-low-oven"]
    assert five.zone("low-oven").id == "low-oven"


def test_temperature_by_height():
    hot = cookers.load("four-oven").zone("hot-oven")
    assert hot.heights == ("roof", "high", "middle", "low", "floor")
    assert hot.at("any") == hot.at("middle") == hot.at() == 235
    assert (hot.at("roof"), hot.at("low"), hot.shield_c) == (250, 225, 210)
    with pytest.raises(KeyError):
        hot.at("door")


def test_a_plate_has_one_temperature():
    plate = cookers.load("two-oven").zone("gentle-plate")
    assert plate.heights == ()
    assert {plate.at(height) for height in (None, *model.HEIGHTS)} == {190}
    with pytest.raises(KeyError):
        plate.at("door")


def test_values_are_frozen_hashable_and_travel_to_other_processes():
    made = cookers.load("five-oven")
    assert pickle.loads(pickle.dumps(made)) == made
    assert hash(made.zones[0].celsius) == hash(pickle.loads(pickle.dumps(made)).zones[0].celsius)
    with pytest.raises(AttributeError):
        made.name = "other"
    with pytest.raises(TypeError):
        made.zones[0].celsius["any"] = 1.0


def test_load_of_a_builtin_takes_at_most_5_ms():
    def once() -> float:
        for kept in (cookers._builtin, cookers.builtin, profiles.kinds):
            kept.cache_clear()
        start = time.perf_counter()
        cookers.load("five-oven")
        return time.perf_counter() - start

    assert min(once() for _ in range(15)) <= 0.005


# ---------------------------------------------------------------- the nearest zone


@pytest.mark.parametrize(
    ("name", "asked_c", "environment", "kind", "height", "hotter_kelvin"),
    [
        ("four-oven", 230, "oven", "hot-oven", "middle", 5),  # the floor's 230 is for less than 230
        ("four-oven", 225, "oven", "hot-oven", "low", 0),
        ("four-oven", 260, "oven", "hot-oven", "high", -20),  # the roof grills
        ("four-oven", 180, "oven", "moderate-oven", "middle", -5),  # tie with high: middle first
        ("four-oven", 160, "oven", "moderate-oven", "low", 5),
        ("four-oven", 150, "oven", "moderate-oven", "floor", 10),
        ("four-oven", 140, "oven", "moderate-oven", "floor", 20),  # tie with the low oven: hotter first
        ("four-oven", 75, "oven", "holding-oven", "middle", -5),
        ("two-oven", 180, "oven", "hot-oven", "low", 45),
        ("two-oven", 150, "oven", "low-oven", "high", -30),
        ("two-oven", 80, "none", "low-oven", "floor", 30),
        ("two-oven", 300, "grill", "hot-oven", "roof", -50),
        ("four-oven", 100, "hob", "warm-plate", "any", -35),
        ("two-oven", 100, "hob", "gentle-plate", "any", 90),
    ],
)
def test_nearest(name, asked_c, environment, kind, height, hotter_kelvin):
    zone, found, difference = cookers.load(name).nearest(asked_c, environment=environment)
    assert (zone.kind, found, difference) == (kind, height, hotter_kelvin)


@given(st.sampled_from(cookers.builtin()), st.floats(min_value=0, max_value=400))
def test_nothing_is_nearer_than_nearest(name, asked_c):
    made = cookers.load(name)
    _, _, difference = made.nearest(asked_c)
    shelves = [zone.at(height) for zone in made.ovens for height in ("high", "middle", "low")]
    assert abs(difference) <= min(abs(there_c - asked_c) for there_c in shelves)


def test_nearest_refuses_an_unknown_environment():
    with pytest.raises(ValueError, match="campfire"):
        cookers.load("two-oven").nearest(180, environment="campfire")


# ---------------------------------------------------------------- a household's own profile


def test_own_words_temperatures_and_shelf_numbers(write):
    made = cookers.load(write(SMALL))
    assert made.zone("gentle-plate").label == "slow side"
    assert made.zone("hot-plate").label == "hot plate"
    hot = made.zone("hot-oven")
    assert [hot.shelf(height) for height in ("roof", "high", "middle", "low", "floor")] == [1, 2, 3, 5, None]
    assert hot.shield_c == 207  # 15 K under the low shelf, as the table of kinds has it
    low = made.zone("low-oven")
    assert (low.at("high"), low.at("middle"), low.at("floor")) == (123, 118, 113)  # usual spread round one figure


def test_a_byte_order_mark_and_crlf_are_read(tmp_path):
    path = tmp_path / "pc.yaml"
    path.write_bytes(b"\xef\xbb\xbf" + SMALL.replace("\n", "\r\n").encode())
    assert cookers.load(path).zone("low-oven").line == 20


REFUSED = [
    ("unknown key", "    celsius: 345", "    celsius: 345\n    colour: red", 8, "unknown key 'colour'; allowed are id"),
    ("unknown top key", "name: small one", "name: small one\nmaker: x", 2, "unknown key 'maker'"),
    ("missing key", "    side: left\n", "", 3, "the key 'side' is missing"),
    ("key twice", "    celsius: 345", "    celsius: 345\n    celsius: 346", 8, "given twice"),
    ("unknown kind", "kind: low-oven", "kind: cool-oven", 21, "allowed are hot-plate, gentle-plate"),
    ("unknown side", "side: left", "side: port", 5, "'port'; allowed are far-left, left"),
    ("oven on top", "level: lower", "level: top", 23, "allowed are upper, middle, lower"),
    ("same place", "level: lower", "level: upper", 20, "the same place (right upper) as the zone at line 14"),
    ("same id", "id: low-oven", "id: hot-oven", 20, "the same id (hot-oven) as the zone at line 14"),
    ("same label", "label: slow side", "label: Hot Plate", 8, "is a gentle plate but is labelled 'Hot Plate'"),
    ("low oven too hot", "celsius: 118", "celsius: 240", 24, "possible for a low oven is 70 to 160"),
    ("NaN", "celsius: 118", "celsius: .nan", 24, "must be °C as a number"),
    ("text", "celsius: 118", 'celsius: "118"', 24, "must be °C as a number, found '118'"),
    ("yes", "celsius: 118", "celsius: yes", 24, "must be °C as a number"),
    ("900", "celsius: 345", "celsius: 900", 7, "is 900 °C; possible for a hot plate is 200 to 500"),
    ("infinite", "celsius: 345", "celsius: .inf", 7, "is inf °C"),
    ("huge", "celsius: 345", "celsius: 0x" + "f" * 6000, 7, "a huge number"),
    ("Fahrenheit", "celsius: 118", "celsius: 245", 24, "if it is °F, write 118"),
    ("hot floor", "floor: 228", "floor: 331", 18, "differs by 109 K within one oven, hottest at 'floor'"),
    ("missing height", ", low: 222", "", 18, "lacks the height 'low'"),
    ("unknown height", "low: 222", "bottom: 222", 18, "unknown key 'bottom'; allowed are roof, high"),
    ("height as text", "low: 222", "low: warm", 18, "key 'low' must be °C as a number, found 'warm'"),
    ("empty label", "label: slow side", "label: '  '", 10, "is empty"),
    ("markup in label", "label: slow side", "label: <b>slow</b>", 10, "has the sign '<'"),
    ("Markdown in label", "label: slow side", "label: slow *side*", 10, "has the sign '*'"),
    ("line break in label", "label: slow side", 'label: "slow\\nside"', 10, "must be one line of plain words"),
    ("terminal code in label", "label: slow side", 'label: "slow\\e[31m"', 10, "must be one line of plain words"),
    ("reversed text in label", "label: slow side", 'label: "slow\\u202eedis"', 10, "must be one line of plain words"),
    ("long label", "label: slow side", f"label: {'slow ' * 20}", 10, "longer than 40 characters"),
    ("number as label", "label: slow side", "label: 7", 10, "must be words, found 7"),
    ("bad id", "id: low-oven", "id: Low oven", 20, "lower-case words joined by hyphens"),
    ("shelves upside down", "[roof, high, middle, middle, low]", "[low, roof]", 19, "must count from the top"),
    ("unknown shelf", "[roof, high, middle, middle, low]", "[roof, floor]", 19, "allowed are roof, high, middle, low"),
    ("no shelf", "[roof, high, middle, middle, low]", "[]", 19, "1 to 12 positions"),
    ("shelves on a plate", "celsius: 345", "celsius: 345\n    shelves: [high]", 8, "belongs to an oven"),
    ("hot shield", "celsius: 118", "celsius: 118\n    shield_c: 300", 25, "is 300; allowed is"),
    ("negative swing", "celsius: 118", "celsius: 118\n    tolerance_c: -5", 25, "is -5; allowed is 0 to 60 K"),
    ("half a pan", "celsius: 118", "celsius: 118\n    holds: 1.5", 25, "must be a whole number"),
    ("zone is a word", "  - id: low-oven\n", "  - warm\n  - id: low-oven\n", 2, "zone 4 must be a list of keys"),
    ("not YAML", "celsius: 118", "celsius: [118", 25, "not readable as YAML"),
    ("reference", "celsius: 118", "celsius: &a 118", 24, "references"),
    ("tag", "celsius: 118", "celsius: !!bool 118", 24, "tags"),
]


@pytest.mark.parametrize(
    ("old", "new", "line", "reason"), [case[1:] for case in REFUSED], ids=[case[0] for case in REFUSED]
)
def test_refused_with_line_and_reason(write, old, new, line, reason):
    assert SMALL.count(old) == 1
    path = write(SMALL.replace(old, new))
    with pytest.raises(cookers.ProfileError) as caught:
        cookers.load(path)
    assert reason in caught.value.message
    assert caught.value.where == f"{path}:{line}"
    assert "\n" not in str(caught.value)


def own(*zones: tuple[str, str, str, object]) -> str:
    rows = [
        {"id": f"z{number}", "kind": kind, "label": f"zone {number}", "side": side, "level": level, "celsius": celsius}
        for number, (kind, side, level, celsius) in enumerate(zones)
    ]
    return yaml.safe_dump({"name": "own", "zones": rows}, sort_keys=False)


HOT_PLATE = ("hot-plate", "left", "top", 350)
HOT_OVEN = ("hot-oven", "right", "upper", 230)
LOW_OVEN = ("low-oven", "right", "lower", 115)


@pytest.mark.parametrize(
    ("zones", "reason"),
    [
        ([("hot-plate", "left", "top", 210), ("gentle-plate", "right", "top", 210), HOT_OVEN], "must be cooler than"),
        ([HOT_PLATE, ("hot-oven", "right", "upper", 155), ("low-oven", "right", "lower", 158)], "must be cooler than"),
        ([HOT_PLATE, HOT_OVEN, ("moderate-oven", "left", "lower", 235)], "must be cooler than"),
        ([HOT_PLATE, ("low-oven", "left", "upper", 72), ("holding-oven", "left", "lower", 80)], "must be cooler than"),
        ([("warm-plate", "left", "top", 65), HOT_OVEN, LOW_OVEN], "no zone to boil on"),
        ([HOT_OVEN, LOW_OVEN], "no zone to boil on"),
        ([HOT_PLATE, ("gentle-plate", "right", "top", 180)], "there is no oven"),
    ],
)
def test_refused_as_a_whole(write, zones, reason):
    with pytest.raises(cookers.ProfileError, match=reason):
        cookers.load(write(own(*zones)))


def test_two_ovens_of_one_kind_may_be_equally_hot(write):
    made = cookers.load(write(own(HOT_PLATE, LOW_OVEN, ("low-oven", "left", "lower", 115))))
    assert len(made.ovens) == 2


@pytest.mark.parametrize(
    ("text", "reason"),
    [
        ("", "empty"),
        ("# only a comment\n", "empty"),
        ("just words", "expected a mapping"),
        ("- a\n- b\n", "expected a mapping"),
        ("name: a\nzones: []\n", "at least one zone"),
        ("name: a\nzones: 7\n", "at least one zone"),
        ("? [a, b]\n: 1\n", "plain word"),
        ("a: 1\n---\nb: 2\n", "not readable as YAML"),
        ("name: a\0b\n", "not readable as YAML"),
        ("[" * 30_000, "nest"),
        ("-  " * 20_000, "nested too deep"),
        ("x" * 70_000, "larger than 64 KiB"),
        ("a: &a [x, x]\nb: &b [*a, *a]\n", "references"),
        ("name: 2001-99-99\nzones: []\n", "cannot be read"),
    ],
)
def test_what_is_no_profile_at_all(write, text, reason):
    with pytest.raises(cookers.ProfileError, match=reason) as caught:
        cookers.load(write(text))
    assert "own.yaml" in caught.value.where


def test_files_that_cannot_be_opened(tmp_path):
    for name, reason in [("gone.yaml", "no such file"), ("", "neither"), ("fuor-oven", "did you mean four-oven?")]:
        with pytest.raises(cookers.ProfileError, match=reason):
            cookers.load(str(tmp_path / name) if name.endswith(".yaml") else name)
    with pytest.raises(cookers.ProfileError, match="folder"):
        cookers.load(tmp_path)
    for name in ("a" * 5000, "a" * 5000 + ".yaml", "nul\0.yaml"):
        with pytest.raises(cookers.ProfileError):
            cookers.load(name)


def test_latin_1_is_refused_with_its_line(tmp_path):
    path = tmp_path / "old.yaml"
    path.write_bytes("name: a\nsummary: crème\n".encode("latin-1"))
    with pytest.raises(cookers.ProfileError, match="UTF-8") as caught:
        cookers.load(path)
    assert caught.value.where.endswith("old.yaml:2")


def test_check_shows_one_mistake_for_each_zone_at_once(write):
    text = SMALL.replace("345", "900").replace("celsius: 118", "celsius: cosy").replace("side: right", "side: r", 1)
    found = cookers.check(write(text))
    assert len(found) == 3
    for line, at in zip(found, (7, 11, 24), strict=True):
        assert f"own.yaml:{at}: refused: " in line


@pytest.mark.parametrize(
    ("old", "new", "line", "remark"),
    [
        ("celsius: 118", "celsius: 96", 20, "under 100 °C at middle, low, floor: simmering stops here"),
        ("celsius: 118", "celsius: 140", 20, "outside the usual 100 to 130 °C"),
        ("celsius: 180", "celsius: 280", 8, "has 81% of the °C of the hot plate; about half is usual"),
        ("low: 222", "low: 240", 14, "low is hotter than middle; measure both again"),
        ("name: small one", "name: four-oven", None, "also a built-in cooker"),
    ],
)
def test_doubts_are_noted_and_the_profile_is_used(write, old, new, line, remark):
    path = write(SMALL.replace(old, new))
    found = cookers.check(path)
    hits = [text for text in found if remark in text]
    assert len(hits) == 1
    assert hits[0].startswith(f"{path}:{line}: note: " if line else f"{path}: note: ")
    assert cookers.load(path).has("low-oven")
    assert cookers.check(write(SMALL, "clean.yaml")) == ()


def test_a_cool_holding_oven_and_missing_zones_are_noted(write):
    path = write(own(("gentle-plate", "right", "top", 180), ("holding-oven", "left", "lower", 58)))
    found = "\n".join(cookers.check(path))
    for words in ("under 63 °C", "no hot plate", "no hot oven", "no low oven: nothing simmers unattended"):
        assert words in found


# ---------------------------------------------------------------- the remembered cooker


def test_remember_a_builtin_and_a_file(write, own_settings, tmp_path, monkeypatch):
    cookers.remember("Two oven")
    assert cookers.default_name() == "two-oven"
    path = write(SMALL)
    monkeypatch.chdir(tmp_path)
    cookers.remember("own.yaml")
    assert Path(cookers.default_name()) == path.resolve()
    assert [item.name for item in own_settings.parent.iterdir()] == ["cooker.txt"]


def test_a_refused_profile_is_not_remembered(write):
    cookers.remember("two-oven")
    with pytest.raises(cookers.ProfileError):
        cookers.remember(write("name: a\nzones: []\n"))
    assert cookers.default_name() == "two-oven"


def test_a_remembered_profile_that_is_gone_is_not_replaced_silently(write):
    path = write(SMALL)
    cookers.remember(path)
    path.unlink()
    with pytest.raises(cookers.ProfileError, match="undial cooker use"):
        cookers.default_name()


def test_a_damaged_memory_is_reported(own_settings):
    own_settings.parent.mkdir()
    own_settings.write_bytes(b"\xff\xfe\x00")
    with pytest.raises(cookers.ProfileError, match="cannot be read"):
        cookers.default_name()
    own_settings.write_text("\n")
    assert cookers.default_name() == "four-oven"


def test_default_path_is_in_the_users_settings(monkeypatch, tmp_path):
    monkeypatch.undo()
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path))
    path = cookers.default_path()
    assert "undial" in path.parts
    assert path.name == "cooker.txt"


# ---------------------------------------------------------------- the drawing


@pytest.mark.parametrize("name", cookers.builtin())
def test_drawing_has_each_zone_once_and_straight_edges(name):
    made = cookers.load(name)
    lines = drawing(made).splitlines()
    boxes = [line for line in lines if line[0] in "+|"]
    assert len({len(line) for line in boxes}) == 1
    assert max(map(len, boxes)) <= 79
    text = " ".join(cell.strip() for line in boxes for cell in line.split("|"))
    for zone in made.zones:
        others = sum(zone.label in other.label for other in made.zones)
        assert text.count(zone.label) == others
        assert heat(zone) in text


def test_drawing_puts_left_left_and_upper_up():
    lines = drawing(cookers.load("four-oven")).splitlines()
    at = {zone.label: next((n, line.index(zone.label)) for n, line in enumerate(lines) if zone.label in line)
          for zone in cookers.load("four-oven").zones}  # fmt: skip
    assert at["warm plate"][1] < at["hot plate"][1] < at["gentle plate"][1]
    assert at["low oven"][1] < at["hot oven"][1]
    assert at["hot oven"][0] < at["moderate oven"][0]
    assert at["low oven"][0] < at["holding oven"][0]
    assert at["gentle plate"][0] < at["hot oven"][0]


@given(label=st.text(min_size=1, max_size=40))
@settings(max_examples=60, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_any_label_that_is_accepted_can_be_drawn(tmp_path, label):
    rows = yaml.safe_load(SMALL)
    rows["zones"][1]["label"] = label
    path = tmp_path / "own.yaml"
    path.write_text(yaml.safe_dump(rows, allow_unicode=True), encoding="utf-8", errors="surrogatepass")
    try:
        made = cookers.load(path)
    except DataError:
        return
    drawn = drawing(made)
    assert made.zone("gentle-plate").label == label.strip()
    assert "".join(label.split())[:1] in drawn


def test_a_long_word_is_broken_not_cut(write):
    word = "simmeringandgriddlingplateonthebackside"
    lines = drawing(cookers.load(write(SMALL.replace("slow side", word)))).splitlines()
    cells = [line.split("|")[2].strip() for line in lines if line.startswith("|") and line.count("|") == 3]
    assert word in "".join(cells)
    assert len({len(line) for line in lines if line[0] in "+|"}) == 1


def test_where_in_words():
    four = cookers.load("four-oven")
    assert where(four.zone("warm-plate")) == "top, far left"
    assert where(four.zone("holding-oven")) == "front, lower left"


# ---------------------------------------------------------------- broken profiles


values = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=12) | st.binary(max_size=4) | st.dates()
    | st.sampled_from((*model.ZONES, *model.HEIGHTS, *profiles.SIDES, *profiles.LEVELS, "<b>", "a\nb", "on", 1e400)),
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(st.text(max_size=6), inner, max_size=4),
    max_leaves=8,
)  # fmt: skip
KEYS = ("id", "kind", "label", "side", "level", "celsius", "tolerance_c", "holds", "shield_c", "shelves", "other")


def load_or_refuse(path: Path) -> None:
    """Load a profile: it is either refused with ``DataError`` or a cooker that keeps the promises."""
    try:
        made = cookers.load(path)
    except DataError as error:
        assert error.where.startswith(str(path))
        assert error.message
        return
    assert made.ovens
    assert made.kinds & {"hot-plate", "gentle-plate"}
    assert all(0 < zone.at(height) < 600 for zone in made.zones for height in model.HEIGHTS)
    assert len({zone.label for zone in made.zones}) == len(made.zones)


@given(st.data())
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_broken_profiles_give_nothing_but_data_errors(tmp_path, data):
    rows = yaml.safe_load(SMALL)
    for _ in range(data.draw(st.integers(1, 3))):
        zone = rows["zones"][data.draw(st.integers(0, 3))]
        key = data.draw(st.sampled_from(KEYS))
        if data.draw(st.booleans()):
            zone[key] = data.draw(values)
        else:
            zone.pop(key, None)
    path = tmp_path / "broken.yaml"
    path.write_text(yaml.safe_dump(rows, allow_unicode=True), encoding="utf-8", errors="surrogatepass")
    load_or_refuse(path)


@given(st.data())
@settings(max_examples=150, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_damaged_text_gives_nothing_but_data_errors(tmp_path, data):
    start = data.draw(st.integers(0, len(SMALL)))
    end = data.draw(st.integers(start, min(len(SMALL), start + 30)))
    put = data.draw(st.text(max_size=8) | st.text(alphabet="-:?*&!{}[]|>%@#'\"\n ,", max_size=8))
    path = tmp_path / "damaged.yaml"
    path.write_bytes((SMALL[:start] + put + SMALL[end:]).encode("utf-8", "surrogatepass"))
    load_or_refuse(path)


@given(st.binary(max_size=200))
@settings(max_examples=100, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
def test_random_bytes_give_nothing_but_data_errors(tmp_path, raw):
    path = tmp_path / "noise.yaml"
    path.write_bytes(raw)
    with pytest.raises(DataError):
        cookers.load(path)
