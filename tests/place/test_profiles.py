"""A household's own profile: what is read from it, what is refused and where, what is only doubtful."""

from __future__ import annotations

from pathlib import Path

import pytest
import yaml
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from converter import model
from converter.data import DataError
from converter.place import cookers, profiles

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
    refused = None
    try:
        made = cookers.load(path)
    except DataError as error:
        refused = error
    if refused:
        assert refused.where.startswith(str(path))
        assert refused.message
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
