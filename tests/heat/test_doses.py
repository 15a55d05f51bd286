"""Kill of bacteria and minutes in the danger zone, against the published holding times."""

from __future__ import annotations

import math
from pathlib import Path
from typing import Any

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from converter import data
from converter.heat import Body, HeatError, Leg, Surroundings, core_curve, film, material
from converter.heat.conduction import Curve
from converter.heat.doses import equivalent_minutes, holding_minutes, law, lethality, minutes_between

DATA = Path(__file__).parent / "data"


def table(name: str) -> Any:
    return data.read(DATA / f"{name}.yaml")


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


def beef_rows(column: int) -> list[tuple[float, float, float]]:
    """°F, printed seconds, and the unit that the row is printed to [s]."""
    rows = table("fsis_appendix_a")["beef"]["rows"]
    return [(row[0], row[column], 60.0 if row[0] <= 145 else 1.0) for row in rows]


def steady(core_c: float, minutes: float) -> Curve:
    return Curve(np.array([0.0, 60.0 * minutes]), np.array([core_c, core_c]))


def curve(*points: tuple[float, float]) -> Curve:
    """(minutes, °C) as a curve."""
    return Curve(np.array([60.0 * at for at, _ in points]), np.array([core for _, core in points]))


def test_beef_six_and_a_half_logs_to_the_printed_unit() -> None:
    rows = [row for row in beef_rows(1) if row[1] > 0]
    assert len(rows) == 28
    for fahrenheit, seconds, unit in rows:
        found = 60.0 * holding_minutes(celsius(fahrenheit), of="beef")
        # The table rounds now up, now to the nearest: the printed figure is one of the two.
        assert seconds in (unit * math.ceil(found / unit), unit * round(found / unit)), fahrenheit


def test_beef_seven_logs_to_the_printed_unit_but_for_four_rows() -> None:
    # The seven-log column is not smooth at 133-136 °F (62, 47, 37, 32 min against 6.5 logs 56, 45, 36, 28).
    far = []
    for fahrenheit, seconds, unit in beef_rows(2):
        if not seconds:
            continue
        found = 60.0 * holding_minutes(celsius(fahrenheit), of="beef-7")
        if abs(found - seconds) >= unit:
            far.append(fahrenheit)
            assert found == pytest.approx(seconds, rel=0.055)
    assert far == [133, 134, 135, 136]


def test_beef_at_once_from_158_fahrenheit() -> None:
    at_once = [fahrenheit for fahrenheit, seconds, _ in beef_rows(1) if seconds == 0]
    assert at_once == [158, 159, 160]
    assert all(holding_minutes(celsius(fahrenheit), of="beef") == 0.0 for fahrenheit in at_once)


def test_beef_is_not_drawn_on_below_the_table() -> None:
    with pytest.raises(HeatError, match=r"coolest is 54\.4 °C"):
        holding_minutes(53.0, of="beef")
    assert lethality(steady(54.0, 600), of="beef").share == 0.0


@pytest.mark.parametrize(("group", "name"), [("listeria", "uk"), ("ecoli", "uk-ecoli")])
def test_uk_equivalents_within_the_rounding(group: str, name: str) -> None:
    for row in table("uk_equivalents")[group]["rows"]:
        found = 60.0 * holding_minutes(row["core_c"], of=name)
        up = row["step_s"] * math.ceil(found / row["step_s"] - 1e-9)
        assert up == row["hold_s"], row["core_c"]


def test_ecoli_law_is_slower_than_the_measured_kill_in_beef() -> None:
    # D of the law is a sixth of its holding time; measured D-values must not exceed it.
    for core_c, minutes in table("uk_equivalents")["ecoli_in_beef"]["rows"]:
        if core_c >= 60:
            assert holding_minutes(core_c, of="uk-ecoli") / 6.0 >= minutes


def test_poultry_is_never_shorter_than_any_published_row() -> None:
    rows = [(one["name"], *row) for one in table("fsis_appendix_a")["poultry"] for row in one["rows"]]
    assert len(rows) == 23
    for name, fahrenheit, seconds in rows:
        found = 60.0 * holding_minutes(celsius(fahrenheit), of="poultry")
        assert found >= seconds * (1 - 1e-9), (name, fahrenheit)


def test_poultry_is_kept_apart_from_beef() -> None:
    for core_c in np.arange(58.0, 74.0, 0.5):
        assert holding_minutes(float(core_c), of="poultry") > holding_minutes(float(core_c), of="beef-7")
    # 60 °C: beef 12 minutes, fat chicken 35, as the agency's own caution says.
    assert holding_minutes(60.0, of="poultry") == pytest.approx(35.0)
    assert math.ceil(holding_minutes(60.0, of="beef-7")) in (12, 13)


@pytest.mark.parametrize("name", ["beef", "beef-7", "poultry", "uk", "uk-ecoli"])
@given(share=st.floats(0.05, 3.0), where=st.floats(0.0, 1.0))
def test_holding_gives_its_share_of_the_dose(name: str, share: float, where: float) -> None:
    cores = law(name).core_c
    core_c = cores[0] + where * (min(cores[-1], 69.9) - cores[0])
    found = lethality(steady(core_c, share * holding_minutes(core_c, of=name)), of=name)
    assert found.share == pytest.approx(share, rel=1e-6)
    assert found.enough == (found.share >= 1.0)
    assert found.logs == pytest.approx(found.share * law(name).logs)


@pytest.mark.parametrize("name", ["beef", "poultry", "uk"])
def test_sum_over_a_slope_is_that_of_a_fine_grid(name: str) -> None:
    path = curve((0, 5), (70, 58), (90, 68), (100, 77), (130, 77), (200, 40))
    known = law(name)
    at = np.linspace(0, 200, 2_000_001)
    core = np.interp(at, np.asarray(path.seconds) / 60, path.core_c)
    rate = np.exp(-np.interp(core, known.core_c, np.log(known.minutes)))
    rate[core < known.core_c[0]] = 0.0
    assert lethality(path, of=name).share == pytest.approx(float(np.sum(rate) * 200 / 2_000_000), rel=2e-4)


def test_equivalent_minutes_of_the_reference_are_themselves() -> None:
    assert equivalent_minutes(steady(70, 2)) == pytest.approx(2.0)
    # Tenfold for z: 62.5 °C counts a tenth.
    assert equivalent_minutes(steady(62.5, 20)) == pytest.approx(2.0, rel=1e-9)
    assert equivalent_minutes(steady(59.9, 600)) == 0.0
    # Above 80 °C no more than at 80.
    assert equivalent_minutes(steady(95, 1)) == pytest.approx(equivalent_minutes(steady(80, 1)))


def test_minutes_between() -> None:
    path = curve((0, 0), (60, 60), (90, 60), (120, 90), (150, 60), (210, 0))
    assert minutes_between(path) == pytest.approx(55 + 55)  # 60 °C itself is out of the zone
    assert minutes_between(path, low_c=4.4, high_c=63) == pytest.approx(55.6 + 30 + 3 + 3 + 55.6)
    assert minutes_between(steady(20, 45)) == 45.0
    assert minutes_between(steady(3, 45)) == 0.0
    assert minutes_between(steady(5, 45)) == 45.0


@given(st.lists(st.floats(-5, 95), min_size=2, max_size=30))
def test_zones_side_by_side_add_up(cores: list[float]) -> None:
    path = curve(*((10.0 * index, core) for index, core in enumerate(cores)))
    parts = [minutes_between(path, low_c=low, high_c=high) for low, high in ((-40, 5), (5, 60), (60, 200))]
    assert sum(parts) == pytest.approx(10.0 * (len(cores) - 1), rel=1e-9)


def test_a_roast_chicken_is_killed_only_near_its_end() -> None:
    # A whole bird in a 180 °C oven: at 60 °C not yet, at 74 °C more than enough.
    kind = material("poultry")
    law180 = film(Surroundings(180), start_c=5, wetness=kind.wetness)
    body = Body("sphere", 0.06, kind.k_w_mk, kind.alpha_m2_s)
    path = core_curve(body, [Leg(law180, 6 * 3600)], start_c=5, points=2000)
    core = np.asarray(path.core_c)

    def until(core_c: float) -> Curve:
        end = int(np.argmax(core >= core_c)) + 1
        return Curve(path.seconds[:end], path.core_c[:end])

    assert not lethality(until(60), of="poultry").enough
    assert lethality(until(75), of="poultry").enough
    assert lethality(until(75), of="uk").enough
    shares = [lethality(until(core_c), of="poultry").share for core_c in (58, 62, 66, 70, 74)]
    assert shares == sorted(shares)


@pytest.mark.parametrize(
    ("path", "words"),
    [
        (Curve(np.array([0.0, 60.0, 30.0]), np.array([5.0, 6.0, 7.0])), "must not go back"),
        (Curve(np.array([0.0, 60.0]), np.array([5.0, math.nan])), "not a number"),
        (Curve(np.array([0.0]), np.array([5.0])), "at least two"),
        (Curve(np.array([0.0, 60.0]), np.array([5.0, 900.0])), "°C cannot be"),
    ],
)
def test_refuses_a_curve_that_is_none(path: Curve, words: str) -> None:
    for ask in (lambda: lethality(path, of="uk"), lambda: minutes_between(path), lambda: equivalent_minutes(path)):
        with pytest.raises(HeatError, match=words):
            ask()


def test_refuses_unknown_laws_and_limits_the_wrong_way_round() -> None:
    with pytest.raises(HeatError, match="poultry"):
        lethality(steady(60, 1), of="fish")
    with pytest.raises(HeatError, match="below the upper"):
        minutes_between(steady(20, 1), low_c=60, high_c=5)
    with pytest.raises(HeatError, match="z"):
        equivalent_minutes(steady(20, 1), z_kelvin=-7)
