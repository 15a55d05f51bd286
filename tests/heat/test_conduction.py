"""The 20 cells against exact series, limits, balances and themselves."""

from __future__ import annotations

import doctest
from functools import cache
from itertools import pairwise
from math import inf, log

import numpy as np
import pytest

from converter import heat
from converter.heat.response import biot_number, fourier_number
from converter.heat.series import centre_excess, coefficients, eigenvalues
from converter.heat.shapes import DIMENSION, cells

SHAPES = ("slab", "cylinder", "sphere")
K, ALPHA = 0.5, 1.4e-7


def ball(half_m: float = 0.05, shape: str = "sphere") -> heat.Body:
    return heat.Body(shape, half_m, K, ALPHA)


@cache
def terms_of(shape: str, biot: float) -> tuple[np.ndarray, np.ndarray]:
    zeta = eigenvalues(shape, biot=biot, terms=30)  # enough for Fo > 0.01
    return coefficients(shape, zeta), zeta**2


def exact_fourier(shape: str, biot: float, theta: float) -> float:
    """The Fourier number of the exact series, by bisection."""
    weight, rate = terms_of(shape, biot)
    low, high = 1e-3, 100.0
    for _ in range(80):
        middle = (low * high) ** 0.5
        low, high = (middle, high) if float(weight @ np.exp(-rate * middle)) > theta else (low, middle)
    return low


@pytest.mark.parametrize("shape", SHAPES)
def test_time_to_core_against_the_exact_series(shape: str) -> None:
    errors = [
        fourier_number(shape, biot=biot, theta=theta) / exact_fourier(shape, biot, theta) - 1.0
        for biot in np.geomspace(0.5, 50.0, 12)
        for theta in (0.9, 0.8, 0.6, 0.4, 0.2, 0.1, 0.05, 0.02)
    ]
    assert np.abs(errors).max() <= 0.005


@pytest.mark.parametrize("shape", SHAPES)
def test_the_table_agrees_with_the_cells_it_was_made_from(shape: str) -> None:
    """`time_to_core` reads the table, `chain_to_core` the modes: two ways through the same cells."""
    for biot in (0.004, 0.07, 0.9, 6.0, 70.0, 900.0):
        for core_c in (15.0, 55.0, 90.0, 148.0):
            body, law = ball(shape=shape), heat.Film(biot * K / 0.05, 150.0)
            quick = heat.time_to_core(body, law, start_c=5.0, core_c=core_c)
            slow = heat.chain_to_core(body, [heat.Leg(law)], start_c=5.0, core_c=core_c)
            assert quick == pytest.approx(slow, rel=3e-5)


@pytest.mark.parametrize("shape", SHAPES)
def test_lumped_limit(shape: str) -> None:
    """Bi -> 0: theta = exp(-n Bi Fo), n = 1, 2, 3."""
    for biot in (1e-5, 1e-3, 2e-3):
        expected = log(1.0 / 0.3) / (DIMENSION[shape] * biot)
        assert fourier_number(shape, biot=biot, theta=0.3) == pytest.approx(expected, rel=1.5e-3)
    below, above = (fourier_number(shape, biot=biot, theta=0.3) * biot for biot in (0.999e-3, 1.001e-3))
    assert below == pytest.approx(above, rel=1e-3), "a step where the table begins"


@pytest.mark.parametrize("shape", SHAPES)
def test_fixed_surface_limit(shape: str) -> None:
    """Bi -> inf: the surface has the zone's temperature at once."""
    assert centre_excess(shape, biot=inf, fourier=fourier_number(shape, biot=1e8, theta=0.3)) == pytest.approx(
        0.3, rel=0.005
    )


@pytest.mark.parametrize("shape", SHAPES)
def test_heat_taken_up_is_the_heat_that_came_through_the_surface(shape: str) -> None:
    """Energy: rho cp d(mean)/dt equals h (Teq - Ts) times surface over volume, n / half; by the trapezium in time."""
    body, law = ball(shape=shape), heat.Film(25.0, 180.0)
    times = np.linspace(600.0, 6600.0, 601)
    states = [heat.profile_after(body, [heat.Leg(law, float(t))], start_c=5.0) for t in times]
    flux = np.array([law.h_w_m2k * (law.equilibrium_c - state.surface_c) for state in states])
    through = float(np.sum(0.5 * (flux[1:] + flux[:-1]) * np.diff(times))) * DIMENSION[shape] / body.half_m
    stored = (K / ALPHA) * (states[-1].mean_c - states[0].mean_c)
    assert through == pytest.approx(stored, rel=1e-4)


@pytest.mark.parametrize("shape", SHAPES)
def test_cells_fill_the_shape(shape: str) -> None:
    assert cells(shape).volume.sum() == pytest.approx(1.0 / DIMENSION[shape])


@pytest.mark.parametrize("shape", SHAPES)
def test_size_from_time_is_the_inverse(shape: str) -> None:
    for time_s in (300.0, 1800.0, 5400.0, 14400.0):
        for law in (heat.Film(15.0, 110.0), heat.Film(45.0, 160.0)):
            body = heat.size_from_time(
                law, shape=shape, time_s=time_s, start_c=5.0, core_c=63.0, k_w_mk=K, alpha_m2_s=ALPHA
            )
            assert heat.time_to_core(body, law, start_c=5.0, core_c=63.0) == pytest.approx(time_s, rel=5e-4)


def test_biot_number_inverts_the_exact_series() -> None:
    for shape in SHAPES:
        for biot in (0.5, 3.0, 30.0):
            group = biot**2 * exact_fourier(shape, biot, 0.4)
            assert biot_number(shape, group=group, theta=0.4) == pytest.approx(biot, rel=0.005)


def test_a_chain_of_two_equal_zones_is_one_zone() -> None:
    body, law = ball(), heat.Film(22.0, 170.0)
    one = heat.chain_to_core(body, [heat.Leg(law)], start_c=5.0, core_c=70.0)
    for cut in (60.0, 0.5 * one, 0.99 * one):
        two = heat.chain_to_core(body, [heat.Leg(law, cut), heat.Leg(law)], start_c=5.0, core_c=70.0)
        assert two == pytest.approx(one, rel=1e-9)
    split = heat.profile_after(body, [heat.Leg(law, 900.0), heat.Leg(law, 2700.0)], start_c=5.0)
    whole = heat.profile_after(body, [heat.Leg(law, 3600.0)], start_c=5.0)
    assert split.cells_c == pytest.approx(whole.cells_c, rel=1e-9)


def test_a_chain_ends_in_the_leg_that_brings_the_core_up() -> None:
    body, hot, cool = ball(), heat.Film(25.0, 220.0), heat.Film(12.0, 40.0)
    alone = heat.chain_to_core(body, [heat.Leg(hot)], start_c=5.0, core_c=60.0)
    ended = heat.chain_to_core(body, [heat.Leg(hot, alone + 100.0), heat.Leg(cool)], start_c=5.0, core_c=60.0)
    assert ended == pytest.approx(alone, rel=1e-9)
    # Taken out two minutes early the core still rises to 60 °C in a zone of 40 °C: stored heat.
    early = heat.chain_to_core(body, [heat.Leg(hot, alone - 120.0), heat.Leg(cool)], start_c=5.0, core_c=60.0)
    assert alone < early < alone + 300.0


def test_pace_stretches_the_clock() -> None:
    body, law = ball(), heat.Film(22.0, 170.0)
    plain = heat.chain_to_core(body, [heat.Leg(law)], start_c=5.0, core_c=70.0)
    slow = heat.chain_to_core(body, [heat.Leg(law, pace=0.8)], start_c=5.0, core_c=70.0)
    assert slow == pytest.approx(plain / 0.8, rel=1e-9)
    mixed = heat.chain_to_core(body, [heat.Leg(law, 1000.0, pace=0.5), heat.Leg(law)], start_c=5.0, core_c=70.0)
    assert mixed == pytest.approx(1000.0 + plain - 500.0, rel=1e-9)


def test_a_hotter_zone_is_never_slower() -> None:
    for wetness in (0.0, 0.05, 0.15):
        body, before = ball(0.04, "cylinder"), inf
        for air_c in range(125, 256, 10):
            law = heat.film(heat.Surroundings(float(air_c)), start_c=5.0, wetness=wetness)
            now = heat.time_to_core(body, law, start_c=5.0, core_c=63.0)
            assert now < before
            before = now


def test_a_thicker_piece_is_never_quicker_and_not_faster_than_its_square() -> None:
    law = heat.Film(20.0, 180.0)
    times = [heat.time_to_core(ball(half), law, start_c=5.0, core_c=60.0) for half in (0.02, 0.04, 0.08)]
    for thin, thick in pairwise(times):
        assert 2.0 < thick / thin < 4.0  # lumped: 2; fixed surface: 4


def test_core_curve_meets_the_time_to_core() -> None:
    body, hot, low = ball(), heat.Film(24.0, 200.0), heat.Film(15.0, 95.0)
    legs = [heat.Leg(hot, 1500.0), heat.Leg(low, 6000.0)]
    curve = heat.core_curve(body, legs, start_c=5.0, points=200)
    assert curve.seconds[0] == 0.0
    assert curve.core_c[0] == pytest.approx(5.0)
    assert curve.seconds[-1] == 7500.0
    assert np.all(np.diff(curve.seconds) > 0.0)
    when = heat.chain_to_core(body, legs, start_c=5.0, core_c=60.0)
    assert np.interp(when, curve.seconds, curve.core_c) == pytest.approx(60.0, abs=0.02)
    assert curve.core_c[-1] == pytest.approx(heat.profile_after(body, legs, start_c=5.0).core_c, rel=1e-9)


def test_carry_over_peak_is_the_top_of_the_curve() -> None:
    body, oven, rest = ball(), heat.Film(25.0, 180.0), heat.Film(12.0, 20.0)
    state = heat.profile_after(body, [heat.Leg(oven, 3600.0)], start_c=5.0)
    rise = heat.carry_over(body, rest, profile=state)
    curve = heat.core_curve(body, [heat.Leg(rest, 7200.0)], start_c=state, points=7200)
    assert rise.peak_c == pytest.approx(curve.core_c.max(), abs=1e-3)
    assert rise.seconds == pytest.approx(curve.seconds[curve.core_c.argmax()], abs=20.0)
    assert rise.rise_kelvin == pytest.approx(rise.peak_c - state.core_c, abs=1e-9)


def test_food_of_one_temperature_does_not_rise_at_rest() -> None:
    settled = heat.profile_after(ball(), [heat.Leg(heat.Film(100.0, 60.0))], start_c=5.0)
    assert settled.cells_c == pytest.approx(60.0)
    assert heat.carry_over(ball(), heat.Film(12.0, 20.0), profile=settled) == heat.Rise(0.0, 0.0, pytest.approx(60.0))


@pytest.mark.parametrize("shape", SHAPES)
def test_weight_and_size(shape: str) -> None:
    """Volumes of sphere, cylinder and block worked backwards."""
    half = heat.half_of_weight(shape=shape, grams=1500.0, density_kg_m3=1000.0, length_ratio=3.0)
    volume = {
        "sphere": 4.0 / 3.0 * np.pi * half**3,
        "cylinder": np.pi * half**2 * (6.0 * half),
        "slab": 2.0 * half * (6.0 * half) ** 2,
    }[shape]
    assert volume == pytest.approx(1.5e-3)


def test_time_grows_as_mass_to_a_power_between_a_third_and_two_thirds() -> None:
    """Published charts: 0.25-0.67. Lumped bodies give 1/3, a fixed surface 2/3."""
    law = heat.film(heat.Surroundings(180.0), start_c=5.0, wetness=0.05)
    times = []
    for grams in (1000.0, 4000.0):
        body = ball(heat.half_of_weight(shape="sphere", grams=grams))
        times.append(heat.time_to_core(body, law, start_c=5.0, core_c=74.0))
    assert 1 / 3 < log(times[1] / times[0]) / log(4.0) < 2 / 3


def test_a_core_that_only_just_gets_there_at_rest_is_found() -> None:
    """The core peaks between two of the times that the chain looks at; a target 1 mK below the peak is reached."""
    body, oven, rest = ball(), heat.Film(25.0, 180.0), heat.Film(12.0, 20.0)
    for minutes in range(40, 61):
        out = heat.Leg(oven, minutes * 60.0)
        rise = heat.carry_over(body, rest, profile=heat.profile_after(body, [out], start_c=5.0))
        when = heat.chain_to_core(body, [out, heat.Leg(rest)], start_c=5.0, core_c=rise.peak_c - 1e-3)
        assert 0.0 < minutes * 60.0 + rise.seconds - when < 180.0
        with pytest.raises(heat.NeverDone, match=f"it reaches {rise.peak_c:.1f} °C"):
            heat.chain_to_core(body, [out, heat.Leg(rest)], start_c=5.0, core_c=rise.peak_c + 1e-3)


def test_the_example_of_the_package_runs_as_printed() -> None:
    done = doctest.testmod(heat)
    assert done.attempted > 5
    assert done.failed == 0
