"""Published oven settings against ``converter/read/settings.py``, row by row."""

from __future__ import annotations

from functools import cache
from pathlib import Path
from typing import Any

import pytest

from converter import data
from converter.data import Node, expect_keys
from converter.read import settings
from converter.read.temperatures import scan
from converter.units import to_celsius

FILE = Path(__file__).parent / "data" / "oven_settings.yaml"
SECTIONS = ("reasons", "sources", "gas_marks", "words", "triples", "fan_offsets", "pairs")


@cache
def chart() -> Node:
    return expect_keys(data.read(FILE), required=SECTIONS, where=FILE.name)


def rows(section: str) -> list[Any]:
    return [pytest.param(row, id=f"{row['id']}-{row.get('word', '')}".rstrip("-")) for row in chart()[section]]


def gap(value: float, low_high: list[float]) -> float:
    """How far `value` lies outside a range; 0 inside it."""
    return max(low_high[0] - value, value - low_high[1], 0.0)


def test_every_row_names_a_source_and_every_tolerance_a_reason() -> None:
    for section in SECTIONS[2:]:
        for row in chart()[section]:
            assert row["source"] in chart()["sources"], row.where
            if "because" in row:
                assert row["because"] in chart()["reasons"], row.where
                assert row["within"] > 0 or row["because"] in ("same", "overlap"), row.where


@pytest.mark.parametrize("row", rows("gas_marks"))
def test_gas_mark(row: Node) -> None:
    assert gap(settings.gas_celsius(row["mark"]), row["celsius"]) <= row["within"]
    low, high = settings.gas_range(row["mark"])
    rounding = 0.5
    assert low - rounding <= row["celsius"][0]
    assert row["celsius"][1] <= high + rounding


@pytest.mark.parametrize("row", rows("gas_marks"))
def test_gas_mark_is_its_fahrenheit_step(row: Node) -> None:
    """From 1 up each mark is 25 °F (275 °F at 1); below 1 each halving is 25 °F less."""
    mark = row["mark"]
    assert row["fahrenheit"] == (250 + 25 * mark if mark >= 1 else {0.5: 250, 0.25: 225}[mark])
    assert abs(settings.gas_celsius(mark) - to_celsius(row["fahrenheit"])) <= 7


def test_the_range_of_each_mark_is_no_wider_than_the_tables() -> None:
    for mark, _, (low, high) in settings.table().marks:
        printed = [row["celsius"] for row in chart()["gas_marks"] if row["mark"] == mark]
        assert low == pytest.approx(min(c[0] for c in printed), abs=1.0), mark
        assert high == pytest.approx(max(c[1] for c in printed), abs=1.0), mark


@pytest.mark.parametrize("row", rows("words"))
def test_word(row: Node) -> None:
    ours = settings.word_celsius(row["word"])
    assert ours is not None
    low, high = row["celsius"]
    apart = max(low - ours[1], ours[0] - high, 0.0)
    assert apart <= row["within"]


@pytest.mark.parametrize("row", rows("triples"))
def test_triple_is_one_setting_and_a_misprint_is_seen(row: Node) -> None:
    mark = {0.25: "¼", 3.5: "3½"}.get(row["mark"], str(row["mark"]))
    text = f"{row['celsius']}c/{row['fan']}c fan/gas {mark}"
    (heat,) = scan(text, 0, len(text))
    assert (heat.start, heat.end) == (0, len(text))
    assert heat.celsius == (row["celsius"], row["celsius"])
    assert heat.fan is False
    assert heat.fan_c == (row["fan"], row["fan"])
    nearest = gap(row["celsius"], list(settings.gas_range(row["mark"])))
    assert heat.disagrees is (nearest > 8)
    if row["note"] == "usual" and row["seen"] > 1:
        assert heat.disagrees is False


@pytest.mark.parametrize("row", rows("fan_offsets"))
def test_fan_offset(row: Node) -> None:
    assert gap(settings.FAN_OFFSET_K, row["kelvin"]) <= row["within"]
    assert settings.conventional_celsius(180) == 200
    assert settings.fan_celsius(200) == 180


def test_fan_offset_of_most_recipes() -> None:
    """215 of 217 triples, by the source uk-records."""
    usual = [row for row in chart()["triples"] if row["celsius"] - row["fan"] == settings.FAN_OFFSET_K]
    other = [row for row in chart()["triples"] if row not in usual]
    assert sum(row["seen"] for row in other) == 2
    assert sum(row["seen"] for row in usual) == 215


@pytest.mark.parametrize("row", rows("pairs"))
def test_pair(row: Node) -> None:
    assert to_celsius(row["fahrenheit"]) == pytest.approx(row["exact"], abs=0.05)
    text = f"{row['fahrenheit']}°f ({row['written']}°c)"
    (heat,) = scan(text, 0, len(text))
    assert heat.disagrees is (abs(row["written"] - row["exact"]) > 12)
    step = settings.kitchen_step(row["exact"])
    assert step % 5 == 0
    assert abs(step - row["exact"]) <= 2.5


@pytest.mark.parametrize(
    ("mark", "celsius"), [(3.5, 170), (0.375, 115), (4.5, 185), (0.75, 130)], ids=["3½", "⅜", "4½", "¾"]
)
def test_marks_between_two_steps_are_halfway(mark: float, celsius: float) -> None:
    assert settings.gas_celsius(mark) == pytest.approx(celsius)


@pytest.mark.parametrize("mark", [0, 0.2, 10.5, 180])
def test_no_such_mark(mark: float) -> None:
    with pytest.raises(ValueError, match="no gas mark"):
        settings.gas_celsius(mark)


def test_a_low_oven_cooks_hotter_than_it_holds() -> None:
    cook = settings.word_celsius("low")
    hold = settings.word_celsius("low", holding=True)
    assert cook == (100, 150)
    assert hold == (70, 110)
    assert settings.word_celsius("Very-slow oven") == settings.word_celsius("very slow")
    assert settings.word_celsius("lukewarm") is None


def test_a_broken_table_names_its_line(monkeypatch: pytest.MonkeyPatch) -> None:
    bad = data.parse("gas_marks: []\noven_words: []\nholding_words: []\nextra: 1\n", "lexicon/settings.yaml")
    monkeypatch.setattr(data, "lexicon", lambda name: bad)
    settings.table.cache_clear()
    with pytest.raises(data.DataError, match=r"settings\.yaml:4.*unknown key 'extra'"):
        settings.table()
    settings.table.cache_clear()
