"""Pots and water baths in an oven, and what their temperature does to the time of a braise."""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from converter.heat.errors import HeatError, NeverDone
from converter.heat.pot import Pot, course, minutes_to, rest, water_bath_c
from converter.heat.softening import softening_factor, softening_minutes, softening_rate

OPEN, LIDDED = Pot(3000, lidded=False), Pot(3000)


def test_water_baths_rest_where_they_were_measured() -> None:
    # McGee, On Food and Cooking, 2004: oven of 177 °C; open bath in thin steel 80-83, glass 83, cast iron 87 °C.
    assert 80 <= water_bath_c(zone_c=177, pan_to_water=1.0) <= 83
    low, high = (water_bath_c(zone_c=177, pan_to_water=ratio) for ratio in (0.5, 2.0))
    assert 75 <= low < 80
    assert 87 < high <= 90
    # The same source: a covered bath boils.
    assert water_bath_c(zone_c=177, covered=True) == 100.0


@pytest.mark.parametrize("zone_c", [85, 110, 150, 200, 240])
def test_an_open_pot_never_boils_and_a_lid_is_worth_many_degrees(zone_c: float) -> None:
    free, covered = rest(OPEN, zone_c=zone_c), rest(LIDDED, zone_c=zone_c)
    assert covered.liquid_c > free.liquid_c or free.simmers
    if zone_c <= 150:
        assert not free.simmers
        assert covered.liquid_c - free.liquid_c > 12


def test_where_a_lidded_pot_simmers() -> None:
    # Trade rule: the low oven must stand over the boil, 105 °C and more, for a pot to simmer in it.
    assert rest(LIDDED, zone_c=105).simmers
    assert not rest(LIDDED, zone_c=100).simmers
    assert 96 < rest(LIDDED, zone_c=100).liquid_c < 99


def test_steam_carries_the_surplus() -> None:
    # Balance at rest by hand for a lidded pot of 3 kg at 150 °C: film 7 plus radiation, pi d^2 of surface, d 197 mm.
    area = math.pi * (8 * 0.003 / math.pi) ** (2 / 3)
    radiation = 0.9 * 5.670374e-8 * (423.15**4 - 373.15**4)
    grams = (7 * 50 + radiation) * area / 2.257e6 * 3.6e6
    assert rest(LIDDED, zone_c=150).steam_g_h == pytest.approx(grams, rel=1e-3)


def test_course_against_the_lumped_solution() -> None:
    # A wide range of temperature without evaporation would be exponential; near its rest a pot is, with one rate.
    end = rest(LIDDED, zone_c=90).liquid_c
    path = course(LIDDED, zone_c=90, start_c=end - 2.0, minutes=600)
    gaps = [end - path.at(minutes) for minutes in (0, 100, 200, 300)]
    ratios = [after / before for before, after in pairwise(gaps)]
    assert ratios[0] == pytest.approx(ratios[1], rel=0.02)
    assert ratios[1] == pytest.approx(ratios[2], rel=0.02)
    assert path.at(600) == pytest.approx(end, abs=0.02)


def test_minutes_to_agrees_with_the_course() -> None:
    minutes = minutes_to(85, pot=LIDDED, zone_c=110)
    assert course(LIDDED, zone_c=110, start_c=20, minutes=2 * minutes).at(minutes) == pytest.approx(85, abs=0.05)
    # Textbook check: an h of 16 W/m2K and 12.8 kJ/K on 0.122 m2 without steam take 140 minutes from 20 to 85 °C.
    plain = 3000 * 3.9 * 1.09 / (16.3 * 0.1219) * math.log(90 / 25) / 60
    assert minutes == pytest.approx(plain, rel=0.1)


@given(grams=st.floats(300, 10000), zone_c=st.floats(100, 230), start_c=st.floats(5, 60))
def test_more_food_a_colder_start_and_a_cooler_oven_take_longer(grams: float, zone_c: float, start_c: float) -> None:
    base = minutes_to(80, pot=Pot(grams), zone_c=zone_c, start_c=start_c)
    assert minutes_to(80, pot=Pot(1.3 * grams), zone_c=zone_c, start_c=start_c) > base
    assert minutes_to(80, pot=Pot(grams), zone_c=zone_c + 10, start_c=start_c) < base
    assert minutes_to(80, pot=Pot(grams), zone_c=zone_c, start_c=start_c + 5) < base


def test_the_boil_first_is_worth_more_than_an_hour() -> None:
    assert minutes_to(85, pot=LIDDED, zone_c=110) > 60


def test_a_pot_that_never_gets_there_says_so() -> None:
    with pytest.raises(NeverDone, match="comes to rest at 66 °C and never reaches 85 °C"):
        minutes_to(85, pot=OPEN, zone_c=95)
    with pytest.raises(NeverDone):
        minutes_to(100, pot=LIDDED, zone_c=100)
    assert minutes_to(100, pot=LIDDED, zone_c=180) > minutes_to(99, pot=LIDDED, zone_c=180)


@pytest.mark.parametrize(
    ("ask", "words"),
    [
        (lambda: Pot(-3), "filling of the pot of -3 g"),
        (lambda: Pot(math.nan), "not a number"),
        (lambda: rest(LIDDED, zone_c=900), "°C"),
        (lambda: minutes_to(120, pot=LIDDED, zone_c=180), "target of the liquid of 120 °C"),
        (lambda: minutes_to(40, pot=LIDDED, zone_c=180, start_c=60), "starts at 60 °C, above the target"),
        (lambda: course(LIDDED, zone_c=100, start_c=20, minutes=-1), "minutes"),
        (lambda: softening_factor(zone_c=110, recipe_minutes=0), "recipe time"),
    ],
)
def test_refuses_what_cannot_be(ask: object, words: str) -> None:
    with pytest.raises(HeatError, match=words):
        ask()  # type: ignore[operator]


@pytest.mark.parametrize(("ea", "z"), [(159.0, 16.8), (117.15, 22.8), (92.05, 29.0), (142.3, 18.7)])
def test_softening_rate_has_the_z_of_its_energy(ea: float, z: float) -> None:
    # Carrot and beetroot, Lee 2017 (Mansfield 1974; Paulus and Saguy 1980); z at 100 °C worked out by the facts table.
    tenth = -1.0 / math.log10(softening_rate(99.0, ea_kj_mol=ea))
    assert tenth == pytest.approx(z, rel=0.015)


def test_low_oven_factors() -> None:
    # Three to four hours from the boil. Trade rule: half as long again to twice in a low oven that sags to 90-98 °C.
    for minutes in (180, 240):
        over = softening_factor(zone_c=110, recipe_minutes=minutes, from_c=160)
        boil = softening_factor(zone_c=100, recipe_minutes=minutes, from_c=160)
        sags = softening_factor(zone_c=95, recipe_minutes=minutes, from_c=160)
        assert over.simmers
        assert over.expect == pytest.approx(1.0, abs=0.01)
        assert 1.15 <= boil.expect <= 1.35
        assert 1.6 <= sags.expect <= 2.0
        for factor in (boil, sags):
            assert factor.low < factor.expect < factor.high


def test_softening_against_a_sum_by_hand() -> None:
    # One-minute sum of exp(-Ea/R (1/T - 1/373)) along the pot's course until it equals 200 minutes at the boil.
    path = course(LIDDED, zone_c=95, start_c=100, minutes=1600)
    dose, minute = 0.0, 0
    while dose < 200:
        kelvin = path.at(minute + 0.5) + 273.15
        dose += math.exp(-120000 / 8.314 * (1 / kelvin - 1 / 373.15))
        minute += 1
    found = softening_factor(zone_c=95, recipe_minutes=200, from_c=180)
    assert found.expect * 200 == pytest.approx(minute, abs=1.5)


def test_a_cold_pot_costs_its_heating() -> None:
    cold = softening_factor(zone_c=110, recipe_minutes=180, from_c=160, start_c=20)
    hot = softening_factor(zone_c=110, recipe_minutes=180, from_c=160)
    assert (cold.expect - hot.expect) * 180 > minutes_to(85, pot=LIDDED, zone_c=110)


def test_an_open_pot_under_the_boil_is_no_braise() -> None:
    found = softening_factor(zone_c=85, recipe_minutes=180, from_c=160, pot=OPEN)
    assert found.expect == math.inf
    assert found.safe == (found.liquid_c >= 60)
    with pytest.raises(NeverDone, match="not tender"):
        softening_minutes(180, factor=found)


def test_range_of_a_braise() -> None:
    look, expect, latest = softening_minutes(180, factor=softening_factor(zone_c=95, recipe_minutes=180, from_c=160))
    assert (look / expect, latest / expect) == pytest.approx((0.9, 1.5))
    assert 290 < expect < 360
