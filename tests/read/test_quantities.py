"""Temperatures and times in every notation, with exact offsets."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from converter import data
from converter.data import Node, expect_keys
from converter.read.quantities import Quantity, find
from converter.units import to_celsius

FILE = Path(__file__).parent / "data" / "notation.yaml"
MARKED = re.compile("«(.*?)»")


def _rows() -> list[Any]:
    table = expect_keys(data.read(FILE), required=("temperatures", "times"))
    made = []
    for row in [*table["temperatures"], *table["times"]]:
        expect_keys(
            row, required=("row", "text"), optional=("c", "s", "each", "fan", "marks", "per_kg", "plus", "silent")
        )
        assert len({"c", "s", "each", "silent"} & set(row)) >= 1, row.where
        made.append(pytest.param(row, id=f"{row['row']}-{row.line}"))
    return made


def read(text: str) -> list[Quantity]:
    return find(text, 0, len(text))


def whole(quantity: Quantity) -> tuple[float, float]:
    low, high = quantity.value
    return (round(low), round(high)) if quantity.kind == "temperature" else (low, high)


@pytest.mark.parametrize("row", _rows())
def test_notation(row: Node) -> None:
    text = MARKED.sub(r"\1", row["text"])
    found = read(text)
    assert [text[q.core.start : q.core.end] for q in found] == MARKED.findall(row["text"])
    if "silent" in row:
        assert not found
    elif "each" in row:
        assert [list(whole(q)) for q in found] == row["each"]
    else:
        expected = {"temperature": row.get("c"), "duration": row.get("s")}
        assert {q.kind: list(whole(q)) for q in found} == {k: v for k, v in expected.items() if v}
        first = found[0]
        assert first.fan is bool(row.get("fan"))
        assert first.disagrees is ("disagrees" in row.get("marks", ()))
        assert first.unit_guessed is ("guessed" in row.get("marks", ()))
        assert first.per_kg == (pytest.approx(row["per_kg"]) if "per_kg" in row else None)
        assert first.plus == row.get("plus")


def test_most_of_the_catalogue_is_covered() -> None:
    """The rows left out name places, lids and levels without a figure."""
    numbers = {row.values[0]["row"] for row in _rows()} - {0}
    assert set(range(1, 61)) <= numbers
    assert set(range(118, 180)) <= numbers
    assert len(numbers) >= 150


@pytest.mark.parametrize(
    ("text", "span", "core"),
    [
        ("Bake for about 20 minutes or more.", "about 20 minutes or more", "20 minutes"),
        ("Chill for at least 4 hours.", "at least 4 hours", "4 hours"),
        ("Boil for no more than 5 minutes.", "no more than 5 minutes", "5 minutes"),
        ("Boil for up to an hour (or more).", "up to an hour (or more)", "an hour"),
        ("Cook another 5 minutes.", "another 5 minutes", "5 minutes"),
        ("Cook approx. 5 minutes longer.", "approx. 5 minutes longer", "5 minutes"),
        ("Fry 3 minutes per side.", "3 minutes per side", "3 minutes"),
        ("Bake at around 350°F (~175°C) now.", "around 350°F (~175°C)", "350°F (~175°C)"),
        ("Soften it like 5 minutes.", "like 5 minutes", "5 minutes"),
        ("Brown it (about 10 minutes).", "about 10 minutes", "10 minutes"),
    ],
)
def test_words_of_doubt_widen_the_span_and_not_the_number(text: str, span: str, core: str) -> None:
    (found,) = read(text)
    assert text[found.span.start : found.span.end] == span
    assert text[found.core.start : found.core.end] == core


def test_bare_degrees_go_by_size_and_by_the_language_of_the_page() -> None:
    american = "Stir in 2 cups of flour and 1 lb of lard.\nBake at 200 degrees."
    metric = "Stir in 200 g of flour and 50 ml of milk.\nBake at 200 degrees."
    assert whole(read(american)[-1]) == (93, 93)
    assert whole(read(metric)[-1]) == (200, 200)
    assert whole(read(metric.replace("200 degrees", "375 degrees"))[-1]) == (191, 191)


def test_offsets_hold_where_lower_case_is_longer() -> None:
    text = "İİİ bake at 180°C for 20 minutes"
    assert [text[q.core.start : q.core.end] for q in read(text)] == ["180°C", "20 minutes"]


def test_only_the_stretch_asked_for_is_read() -> None:
    text = "Rest 5 minutes. Bake 10 minutes. Chill 2 hours."
    start = text.index("Bake")
    (found,) = find(text, start, text.index(" Chill"))
    assert text[found.span.start : found.span.end] == "10 minutes"


SIGNS = st.sampled_from(["°", "º", "˚", " °", " degrees ", " deg ", "", " ", "*"])
LETTERS = st.sampled_from([("C", 1), ("c", 1), ("F", 0), ("f", 0), ("Celsius", 1), ("Fahrenheit", 0)])
DASHES = st.sampled_from(["-", "–", "—", " - ", " to ", " or "])
UNITS = st.sampled_from(
    [
        ("min", 60),
        ("mins", 60),
        ("minutes", 60),
        ("hr", 3600),
        ("hrs", 3600),
        ("hours", 3600),
        ("seconds", 1),
        ("days", 86400),
    ]
)
FRACTIONS = st.sampled_from(
    [("½", 0.5), (" ½", 0.5), (" 1/2", 0.5), ("-1/2", 0.5), ("¼", 0.25), (".5", 0.5), ("", 0.0)]
)


@given(st.integers(60, 300), SIGNS, LETTERS)
def test_any_temperature_reads_back(figure: int, sign: str, letter: tuple[str, int]) -> None:
    text = f"Bake at {figure}{sign}{letter[0]} now"
    (found,) = read(text)
    expected = float(figure) if letter[1] else to_celsius(figure)
    assert found.value == (pytest.approx(expected), pytest.approx(expected))
    assert text[found.core.start : found.core.end] == f"{figure}{sign}{letter[0]}"


@given(st.integers(1, 55), st.integers(1, 40), FRACTIONS, DASHES, UNITS)
def test_any_range_of_times_reads_back(
    low: int, more: int, fraction: tuple[str, float], dash: str, unit: tuple[str, int]
) -> None:
    text = f"Cook {low}{dash}{low + more}{fraction[0]} {unit[0]}."
    (found,) = read(text)
    assert found.value == (pytest.approx(low * unit[1]), pytest.approx((low + more + fraction[1]) * unit[1]))
    assert text[found.core.start : found.core.end] == text[5:-1]


@given(st.integers(1, 12), st.integers(1, 59), st.sampled_from([" ", " and ", ", "]))
def test_any_compound_reads_back(hours: int, minutes: int, joint: str) -> None:
    text = f"Cook {hours} hr{joint}{minutes} mins"
    (found,) = read(text)
    assert found.value == (hours * 3600 + minutes * 60,) * 2


PIECES = st.sampled_from(
    ["180", "°", "C", "F", "/", "fan", "gas", "mark", " ", "-", "–", "½", "1/2", "an", "hour", "and a half", "minutes",
     "or", "to", "(", ")", "two", "overnight", "per", "lb", "plus", "\n", ".", "0", "999999", "İ", "a", "few", "⁄", "٣"]
)  # fmt: skip


@given(
    st.one_of(
        st.text(max_size=80), st.lists(PIECES, max_size=24).map(" ".join), st.lists(PIECES, max_size=24).map("".join)
    )
)
def test_any_text_is_survived_and_spans_stay_inside(text: str) -> None:
    last = 0
    for quantity in read(text):
        assert 0 <= quantity.span.start <= quantity.core.start < quantity.core.end <= quantity.span.end <= len(text)
        assert quantity.core.start >= last
        last = quantity.core.end
        assert quantity.value[0] <= quantity.value[1]
