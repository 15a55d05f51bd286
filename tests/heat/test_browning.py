"""Colour at equal doneness."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from converter.heat.browning import browning, browning_ratio
from converter.heat.errors import HeatError

BROWNS = st.floats(126, 260)


@given(BROWNS, BROWNS, BROWNS)
def test_going_by_way_of_a_third_oven_changes_nothing(one: float, other: float, third: float) -> None:
    direct = browning_ratio(one, third)
    assert browning_ratio(one, other) * browning_ratio(other, third) == pytest.approx(direct)


@pytest.mark.parametrize(
    ("from_c", "to_c", "kind"),
    [
        (180, 180, "alike"),
        (180, 205, "alike"),
        (180, 215, "dark"),  # more than 30 °C hotter: shield it
        (180, 235, "dark"),
        (200, 170, "pale"),  # 28 °C cooler and more
        (180, 165, "alike"),
        (180, 110, "none"),
        (100, 110, "alike"),  # neither browns
    ],
)
def test_words(from_c: float, to_c: float, kind: str) -> None:
    found = browning(from_c, to_c)
    assert found.kind == kind
    assert found.words


def test_advice_names_what_to_do() -> None:
    assert "shield" in browning(180, 230).words
    assert "hot oven" in browning(200, 160).words
    assert "brown it" in browning(180, 100).words


def test_from_a_pale_oven_the_count_starts_where_browning_starts() -> None:
    assert browning_ratio(90, 180) == browning_ratio(125, 180) > 1.5


def test_against_the_published_law_of_crust() -> None:
    # Zanoni, Peri, Bruno 1995: k = 42000 exp(-64151/RT). At equal doneness the time falls about 1 % a degree, and the
    # dry skin is about half way from 100 °C to the air. From 180 to 235 °C the rule must come out alike.
    def crust(air_c: float) -> float:
        skin = 0.5 * (100 + air_c) + 273.15
        return math.exp(-64151 / 8.314 / skin)

    for to_c in (195, 210, 235):
        law = crust(to_c) / crust(180) * math.exp(-0.01 * (to_c - 180))
        assert browning_ratio(180, to_c) == pytest.approx(law, rel=0.15)


@pytest.mark.parametrize(("from_c", "to_c"), [(math.nan, 180), (180, 5), (180, 700), (-20, 180)])
def test_refuses_what_is_no_oven(from_c: float, to_c: float) -> None:
    with pytest.raises(HeatError, match="°C"):
        browning_ratio(from_c, to_c)
