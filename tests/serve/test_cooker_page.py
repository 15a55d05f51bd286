"""The room of the cooker without a browser: its drawing, readings, own words, the clock, the sheet to print."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import date, timedelta
from html import unescape
from pathlib import Path
from typing import Any
from xml.etree import ElementTree

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from converter import readings
from converter.place import cookers, own_cooker, own_profile, profiles
from converter.place.cookers import Cooker
from converter.serve.cooker_picture import MARKS, PROFILE, READ, degrees, picture
from tests.serve.doorstep import Cook, read_page

FOUR = cookers.load("four-oven")
SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(autouse=True)
def _of_nobody(home: Any) -> None:
    """No household's own cooker."""


def words(page: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]*>", " ", page)).split())


def keep(client: Cook, spot: str, figure: str, **more: str) -> Any:
    fields = {"name": "four-oven", "spot": spot, "figure": figure, "unit": "c", "date": date.today().isoformat()}
    return client.hand_in("/cooker/readings", {**fields, **more})


def log(client: Cook, **more: str) -> Any:
    fields = {
        "name": "four-oven", "dish": "roast lamb", "spot": "moderate-oven middle", "dial": "200", "minutes": "90",
        "took": "2h10", "date": date.today().isoformat(),
    }  # fmt: skip
    return client.hand_in("/cooker/took", {**fields, **more})


def record(name: str = "four-oven") -> own_cooker.OwnRecord:
    return own_cooker.load(cookers.load(name))


def marks_of(cooker: Cooker, kind: str = PROFILE) -> Mapping[tuple[str, str], str]:
    return {(zone.id, height): kind for zone in cooker.zones for height in zone.celsius}


# ------------------------------------------------------------------ the drawing


def parsed(svg: str) -> ElementTree.Element:
    return ElementTree.fromstring(str(svg).replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))


def boxes(svg: str) -> dict[str, tuple[float, float]]:
    """The words of the picture by where they stand."""
    root = parsed(svg)
    return {str(one.text): (float(one.attrib["x"]), float(one.attrib["y"])) for one in root.iter(f"{SVG}text")}


@pytest.mark.parametrize("name", cookers.builtin())
def test_every_zone_stands_in_its_place(name: str) -> None:
    made = cookers.load(name)
    at = boxes(picture(made, marks_of(made)))
    plates = [zone for zone in made.zones if not zone.is_oven]
    ovens = [zone for zone in made.zones if zone.is_oven]
    order = list(profiles.SIDES)
    for group in (plates, ovens):
        for one in group:
            for other in group:
                if order.index(one.side) < order.index(other.side):
                    assert at[one.label][0] < at[other.label][0]
                if profiles.LEVELS.index(one.level) < profiles.LEVELS.index(other.level):
                    assert at[one.label][1] < at[other.label][1]
    assert max(at[zone.label][1] for zone in plates) < min(at[zone.label][1] for zone in ovens)


def test_the_picture_is_described_with_every_figure_and_where_it_comes_from() -> None:
    marks = {**marks_of(FOUR), ("hot-plate", "any"): READ}
    root = parsed(picture(FOUR, marks))
    told = str(next(root.iter(f"{SVG}desc")).text)
    for zone in FOUR.zones:
        for celsius in zone.celsius.values():
            assert f"{celsius:.0f} °C" in told
    assert "hot plate, top, left: 350 °C read with a thermometer." in told
    assert root.attrib["role"] == "img"
    assert len(list(root.iter(f"{SVG}rect"))) > len(FOUR.zones)
    assert "style" not in str(picture(FOUR, marks))


def test_what_was_read_has_another_shape_than_what_was_not() -> None:
    drawn = {kind: str(picture(FOUR, marks_of(FOUR, kind))) for kind in MARKS}
    assert len({re.sub("<desc.*?</desc>", "", one) for one in drawn.values()}) == 3


@given(label=st.text(st.characters(codec="utf-8", exclude_categories=("Cs", "Cc")), min_size=1, max_size=40))
@settings(max_examples=60, deadline=None)
def test_any_label_makes_a_picture_that_can_be_read(label: str) -> None:
    zones = (replace(FOUR.zones[0], label=label), *FOUR.zones[1:])
    made = replace(FOUR, zones=zones)
    assert boxes(picture(made, marks_of(made)))


def test_fahrenheit_all_over(client: Cook) -> None:
    page = words(client.get("/cooker?degrees=f").text)
    assert "662 °F" in page
    assert degrees(350, "f") == "662 °F"
    assert "350 °C" not in page


# ------------------------------------------------------------------ readings


def test_a_reading_is_kept_drawn_and_used_for_recipes(client: Cook) -> None:
    before = words(client.get("/cooker?name=four-oven").text)
    assert "None so far" in before
    answer = keep(client, "moderate-oven middle", "150", by="oven thermometer")
    assert answer.status_code == 200
    page = words(answer.text)
    assert "The reading is kept." in page
    assert f"moderate oven, middle , 150 °C {date.today().isoformat()}, oven thermometer; in use" in page
    assert f"middle 150 °C profile 175 °C read {date.today().isoformat()}" in page
    assert "high 160 °C profile 185 °C worked out" in page
    assert record().readings[0].by == "oven thermometer"
    # What it changes is shown on a line: a cooler oven takes longer.
    shown = re.search(r"by the profile alone .*?about (\d+)–.*?readings and your clock .*?about (\d+)–", page)
    assert shown is not None
    assert int(shown[2]) > int(shown[1])


def test_fahrenheit_is_kept_as_celsius(client: Cook) -> None:
    keep(client, "low-oven roof", "260", unit="f")
    assert record().readings[0].celsius == pytest.approx(126.7, abs=0.05)


@pytest.mark.parametrize(
    ("spot", "figure", "unit", "said"),
    [
        ("moderate-oven middle", "420", "c", "420 °C is not kept"),
        ("hot-oven middle", "450", "c", "150 to 350 °C is possible middle in a hot oven; if it was °F, choose °F"),
        ("low-oven middle", "20", "f", "is possible middle in a low oven"),
        ("hot-plate any", "12", "c", "is possible on a hot plate"),
        ("low-oven middle", "warm", "c", "must be a temperature in °C such as 108"),
        ("low-oven middle", "", "c", "must be a temperature"),
        ("low-oven any", "108", "c", "choose the zone and height from the list"),
        ("no-oven middle", "108", "c", "choose the zone and height from the list"),
        ("", "108", "c", "choose the zone and height from the list"),
    ],
)
def test_what_cannot_be_is_refused_with_the_reason(client: Cook, spot: str, figure: str, unit: str, said: str) -> None:
    answer = keep(client, spot, figure, unit=unit)
    assert answer.status_code == 422
    assert said.lower() in words(answer.text).lower()
    assert 'role="alert"' in answer.text
    assert record().readings == ()
    if figure:
        assert f'value="{figure}"' in answer.text  # nothing has to be typed again


def test_a_day_to_come_is_refused(client: Cook) -> None:
    answer = keep(client, "low-oven middle", "108", date=(date.today() + timedelta(days=2)).isoformat())
    assert answer.status_code == 422
    assert "has not come yet" in answer.text
    assert record().readings == ()


def test_an_old_reading_is_kept_but_said_not_to_be_used(client: Cook) -> None:
    answer = keep(client, "low-oven middle", "108", date=(date.today() - timedelta(days=120)).isoformat())
    assert "not used, it is 120 days old" in words(answer.text)
    assert "; not in use" in words(answer.text)


def test_a_reading_is_removed_and_a_stale_page_removes_no_other(client: Cook) -> None:
    keep(client, "low-oven middle", "108")
    page = keep(client, "low-oven middle", "112").text
    first = re.findall(r'name="reading" value="([^"]*)"', page)[-1]
    gone = client.hand_in("/cooker/readings/remove", {"name": "four-oven", "reading": first})
    assert "The reading is removed." in gone.text
    assert [one.celsius for one in record().readings] == [112]
    again = client.hand_in("/cooker/readings/remove", {"name": "four-oven", "reading": first})
    assert again.status_code == 422
    assert [one.celsius for one in record().readings] == [112]


def test_a_form_without_its_token_changes_nothing(client: Cook) -> None:
    client.get("/cooker")
    for address in ("use", "readings", "readings/remove", "took", "took/remove", "words"):
        fields = {"name": "five-oven", "spot": "low-oven middle", "figure": "108"}
        answer = client.post(f"/cooker/{address}", data=fields)
        assert answer.status_code == 403
    assert cookers.default_name() == "four-oven"
    assert record("five-oven").readings == ()


def test_a_damaged_record_is_told_without_its_folder(client: Cook, home: Path) -> None:
    path = own_cooker.path_of(FOUR)
    path.parent.mkdir(parents=True)
    path.write_text("cooker: [", encoding="utf-8")
    answer = client.get("/cooker?name=four-oven")
    assert answer.status_code == 409
    assert "cannot be used" in answer.text
    assert str(home) not in answer.text
    # Another cooker can still be looked at and chosen.
    assert client.get("/cooker?name=two-oven").status_code == 200
    assert client.hand_in("/cooker/use", {"name": "two-oven"}).status_code == 200


def test_a_remembered_cooker_that_is_gone_can_be_replaced_here(client: Cook, tmp_path: Path) -> None:
    path = tmp_path / "ours.yaml"
    path.write_text(profiles.template("four-oven", "ours"), encoding="utf-8")
    cookers.remember(path)
    assert "ours (yours now)" in words(client.get("/cooker").text)
    path.unlink()
    page = words(client.get("/cooker").text)
    assert "the remembered cooker is gone" in page
    assert client.hand_in("/cooker/use", {"name": "two-oven"}).status_code == 200
    assert cookers.default_name() == "two-oven"


# ------------------------------------------------------------------ the sample line


def test_a_line_of_ones_own_is_placed(client: Cook) -> None:
    page = words(client.get("/cooker?name=two-oven&line=Simmer+the+soup+gently+for+1+hour").text)
    assert "Simmer the soup" in page
    assert "the same" in page  # nothing was read yet


@pytest.mark.parametrize("line", ["Whisk the egg whites.", "<script>alert(1)</script>", "\0", "x" * 5_000, "\u202e"])
def test_a_line_without_heat_is_told(client: Cook, line: str) -> None:
    answer = client.get("/cooker", params={"line": line})
    assert answer.status_code == 200
    assert "no heat in this line" in words(answer.text) or "role=" in answer.text
    assert read_page(answer.text).faults == []


# ------------------------------------------------------------------ the clock


def test_a_log_moves_the_clock_and_shows_what_was_expected(client: Cook) -> None:
    page = words(log(client).text)
    assert "before any log 1.05 ± 0.25 %" in page
    found = own_cooker.evidence(record())
    assert f"after 1 log that tells {100 * found.mean:.2f} ± {100 * found.sd:.2f} %" in page
    assert found.mean > found.prior.mean  # it took longer in the cooler zone than the clock expected
    assert f"in use {100 * found.slope:.2f} %" in page
    # 90 minutes at 200 °C are expected to be 90·exp(β·25) at 175 °C, β = 0.0105 − 0.0015·ln(1.5).
    assert "roast lamb : expected 115 min, took 130 min" in page
    assert "by the profile, not read" in page


@pytest.mark.parametrize(
    ("field", "value", "said"),
    [
        ("dish", "", "a few words"),
        ("dish", "x" * 200, "a few words"),
        ("spot", "hot-plate any", "from the list"),
        ("dial", "hot", "must be the recipe's oven in °C such as 180"),
        ("minutes", "some", "must be minutes such as 90"),
        ("took", "30h", "must be within ten times"),
        ("took", "-5", "time taken"),
    ],
)
def test_a_log_that_teaches_nothing_is_refused(client: Cook, field: str, value: str, said: str) -> None:
    answer = log(client, **{field: value})
    assert answer.status_code == 422
    assert said in words(answer.text).lower().replace("°c", "°C")
    assert "<details open><summary>Log what a dish took" in answer.text
    assert record().cooked == ()


def test_a_log_is_taken_out(client: Cook) -> None:
    page = log(client).text
    stamp = re.search(r'name="log" value="([^"]*)"', page)
    assert stamp is not None
    answer = client.hand_in("/cooker/took/remove", {"name": "four-oven", "log": stamp[1]})
    assert "the clock has forgotten it" in answer.text
    assert record().cooked == ()
    assert client.hand_in("/cooker/took/remove", {"name": "four-oven", "log": stamp[1]}).status_code == 422


# ------------------------------------------------------------------ which cooker, and its words


def test_the_choice_is_remembered(client: Cook) -> None:
    answer = client.hand_in("/cooker/use", {"name": "three-oven"})
    assert "This is your cooker now" in answer.text
    assert cookers.default_name() == "three-oven"
    assert "three ovens (yours now)" in words(client.get("/cooker").text)


@pytest.mark.parametrize("name", ["nine-oven", "../../etc/passwd", "/etc/passwd", "own-../x", "own", "\0", "x" * 500])
def test_no_name_opens_a_file(client: Cook, name: str) -> None:
    assert client.get("/cooker", params={"name": name}).status_code == 422
    assert client.get("/cooker/sheet", params={"name": name}).status_code == 422
    assert client.hand_in("/cooker/use", {"name": name}).status_code in (400, 422)
    assert client.hand_in("/cooker/words", {"name": name, "called": "x"}).status_code in (400, 422)
    assert cookers.default_name() == "four-oven"


def test_a_built_in_cooker_becomes_ones_own_with_all_that_was_read(client: Cook) -> None:
    keep(client, "low-oven middle", "108")
    labels = {f"label-{zone.id}": zone.label for zone in FOUR.zones}
    answer = client.hand_in(
        "/cooker/words", {"name": "four-oven", "called": "Our red one", **labels, "label-low-oven": "slow oven"}
    )
    assert answer.status_code == 200
    page = words(answer.text)
    assert "a cooker of your own now" in page
    assert "slow oven, middle , 108 °C" in page
    made = cookers.load(cookers.default_name())
    assert made.name == "Our red one"
    assert made.zone("low-oven").label == "slow oven"
    assert made.zone("hot-oven").label == "hot oven"
    assert [one.celsius for one in own_cooker.load(made).readings] == [108]
    # The recipes say the household's word.
    soup = "Soup\n\nMethod\n\n1. Simmer the soup gently for 2 hours.\n"
    assert "slow oven" in client.hand_in("/recipes", {"text": soup}).text
    # And the words are changed again where they stand, comments kept.
    path = Path(cookers.default_name())
    assert "# A heat-storage range" in path.read_text(encoding="utf-8")
    name = re.search(r'name="name" value="([^"]*)"', answer.text)
    assert name is not None
    client.hand_in("/cooker/words", {"name": name[1], "label-low-oven": "Grandmother’s “slow” one"})
    assert cookers.load(str(path)).zone("low-oven").label == "Grandmother’s “slow” one"
    assert "# A heat-storage range" in path.read_text(encoding="utf-8")


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"called": ""}, "a name of its own"),
        ({"called": "four-oven"}, "a name of its own"),
        ({"called": "ours", "label-low-oven": "hot oven"}, "is a low oven but is labelled 'hot oven'"),
        ({"called": "ours", "label-low-oven": "the one", "label-hot-oven": "the one"}, "has the same label"),
        ({"called": "ours", "label-low-oven": "<b>"}, "only plain words are allowed"),
        ({"called": "ours", "label-low-oven": "w" * 60}, "is longer than 40 characters"),
    ],
)
def test_words_that_cannot_be_are_refused(client: Cook, fields: dict[str, str], said: str) -> None:
    answer = client.hand_in("/cooker/words", {"name": "four-oven", **fields})
    assert answer.status_code == 422
    assert said in words(answer.text)
    assert own_profile.known() == {}
    assert cookers.default_name() == "four-oven"


def test_a_second_cooker_of_the_same_name_is_refused(client: Cook) -> None:
    for status in (200, 422):
        assert client.hand_in("/cooker/words", {"name": "two-oven", "called": "cottage"}).status_code == status


def test_only_the_words_of_a_profile_change(tmp_path: Path) -> None:
    text = """# ours
name: "The cottage"   # by the sea
zones:
  - {id: top, kind: hot-plate, side: left, level: top, celsius: 350}
  - id: oven
    kind: hot-oven   # with a new seal
    side: left
    level: upper
    celsius: 230
  - id: slow
    kind: low-oven
    label: 'the slow one'
    side: left
    level: lower
    celsius: 115
"""
    path = tmp_path / "kept" / "cottage.yaml"
    path.parent.mkdir()
    path.write_text(text, encoding="utf-8")
    made = own_profile.relabel(path, {"top": "the lid", "oven": "the fierce one", "slow": "the: slow, one"})
    assert [zone.label for zone in made.zones] == ["the lid", "the fierce one", "the: slow, one"]
    after = path.read_text(encoding="utf-8")
    assert (
        after.replace(', label: "the lid"', "")
        .replace('\n    label: "the fierce one"', "")
        .replace('"the: slow, one"', "'the slow one'")
        == text
    )
    assert [one.name for one in path.parent.iterdir()] == ["cottage.yaml"]


_PLAIN = st.text(max_size=60).filter(str.isprintable)


@given(st.dictionaries(st.sampled_from([zone.id for zone in FOUR.zones]), _PLAIN, max_size=4))
@settings(max_examples=80, deadline=None)
def test_any_words_give_yaml_that_reads_back(labels: dict[str, str]) -> None:
    text = own_profile.relabelled(profiles.template("four-oven", "ours"), labels)
    import yaml

    read = {zone["id"]: zone["label"] for zone in yaml.safe_load(text)["zones"]}
    for ident, label in labels.items():
        assert read[ident] == " ".join(label.split())


@pytest.mark.parametrize("label", ["hot oven", "two\nlines", "\x7f", "", "#"])
def test_a_refused_change_leaves_the_profile_alone(tmp_path: Path, label: str) -> None:
    path = tmp_path / "kept" / "ours.yaml"
    path.parent.mkdir()
    path.write_text(profiles.template("four-oven", "ours"), encoding="utf-8")
    before = path.read_bytes()
    with pytest.raises(cookers.ProfileError):
        own_profile.relabel(path, {"low-oven": label})
    assert path.read_bytes() == before
    assert [one.name for one in path.parent.iterdir()] == ["ours.yaml"]


# ------------------------------------------------------------------ keeping, beside the page


def test_a_reading_of_the_command_and_one_of_the_page_stand_beside_one_another(client: Cook) -> None:
    readings.keep_reading(FOUR, FOUR.zone("low-oven"), "middle", celsius=108, day=date.today())
    keep(client, "hot-oven middle", "230")
    assert [one.zone for one in record().readings] == ["low-oven", "hot-oven"]


def test_an_impossible_reading_says_whether_it_was_fahrenheit() -> None:
    for celsius, fahrenheit in ((450.0, True), (2_000.0, False)):
        with pytest.raises(readings.Impossible) as caught:
            readings.keep_reading(FOUR, FOUR.zone("hot-oven"), "middle", celsius=celsius, day=date.today())
        assert caught.value.fahrenheit is fahrenheit


# ------------------------------------------------------------------ the sheet


@pytest.mark.parametrize("name", cookers.builtin())
def test_the_sheet_has_a_blank_for_every_height_and_morning(client: Cook, name: str) -> None:
    answer = client.get("/cooker/sheet", params={"name": name})
    assert answer.status_code == 200
    made = cookers.load(name)
    assert answer.text.count("<td></td>") == 3 * sum(len(zone.celsius) for zone in made.zones)
    for zone in made.zones:
        assert zone.label in answer.text
    assert "handbook of your cooker comes first" in answer.text


def test_the_pages_hold_no_inline_code_and_stay_small(client: Cook) -> None:
    keep(client, "low-oven middle", "108")
    log(client)
    for address in ("/cooker", "/cooker?name=five-oven", "/cooker/sheet"):
        answer = client.get(address)
        assert read_page(answer.text).faults == []
        assert len(answer.content) < 60_000
