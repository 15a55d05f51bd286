"""Whatever is asked, the answer is a finite number or a HeatError with a unit in its words."""

from __future__ import annotations

from collections.abc import Callable
from math import inf, isfinite, nan
from typing import Any

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from converter import heat

BODY = heat.Body("sphere", 0.05, 0.5, 1.4e-7)
LAW = heat.Film(20.0, 180.0)
AIR = heat.Surroundings(180.0)


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: heat.half_of_weight(shape="sphere", grams=-400.0), "weight of -400 g cannot be; it must be from 0.1"),
        (
            lambda: heat.half_of_weight(shape="sphere", grams=nan),
            "weight is not a number; it must be from 0.1 to 60000 g",
        ),
        (lambda: heat.half_of_weight(shape="cube", grams=400.0), "the shape 'cube' is unknown"),
        (lambda: heat.Surroundings(900.0), "air temperature of 900 °C cannot be; it must be from -40 to 550 °C"),
        (lambda: heat.Surroundings(-300.0), "air temperature of -300 °C cannot be"),
        (lambda: heat.Surroundings(180.0, wall_c=nan), "wall temperature is not a number"),
        (lambda: heat.Surroundings("180"), "air temperature must be a number in °C, not '180'"),
        (lambda: heat.Surroundings(True), "air temperature must be a number in °C"),
        (lambda: heat.Film(0.0, 180.0), "film coefficient of 0 W/(m2 K) cannot be"),
        (lambda: heat.film(AIR, start_c=-18.0, wetness=0.1), "-18 °C is frozen food"),
        (lambda: heat.film(AIR, start_c=5.0, wetness=1.5), "wetness of 1.5"),
        (lambda: heat.Body("sphere", 0.05, 80.0, 1.4e-7), "conductivity of 80 W/(m K) cannot be"),
        (lambda: heat.Body("sphere", 5.0, 0.5, 1.4e-7), "half thickness of 5 m cannot be"),
        (lambda: heat.Body("sphere", 0.05, 0.5, -1e-7), "diffusivity"),
        (lambda: heat.Leg(LAW, -5.0), "time of a leg of -5 s cannot be"),
        (lambda: heat.Leg(LAW, 5.0, pace=0.0), "pace of 0"),
        (lambda: heat.chain_to_core(BODY, [], start_c=5.0, core_c=60.0), "at least one leg"),
        (lambda: heat.chain_to_core(BODY, [heat.Leg(LAW)], start_c=65.0, core_c=60.0), "60.0 °C is behind it"),
        (lambda: heat.time_to_core(BODY, LAW, start_c=60.0, core_c=60.0), "nothing to time"),
        (lambda: heat.core_curve(BODY, [heat.Leg(LAW)], start_c=5.0), "a leg without an end has no curve"),
        (lambda: heat.profile_after(BODY, [], start_c=5.0), "at least one leg"),
        (lambda: heat.legs_of(BODY, [], start_c=5.0, wetness=0.1), "at least one stay"),
    ],
)
def test_bad_values_are_named_with_their_unit(ask: Callable[[], Any], says: str) -> None:
    with pytest.raises(heat.BadValue) as caught:
        ask()
    assert says in str(caught.value)


def chain(*legs: heat.Leg) -> float:
    return heat.chain_to_core(BODY, legs, start_c=5.0, core_c=74.0)


@pytest.mark.parametrize(
    ("ask", "says"),
    [
        (lambda: heat.time_to_core(BODY, heat.Film(20.0, 70.0), start_c=5.0, core_c=74.0), "towards 70.0 °C only"),
        (lambda: heat.time_to_core(BODY, heat.Film(20.0, 70.0), start_c=80.0, core_c=90.0), "away from 90.0 °C"),
        (lambda: chain(heat.Leg(LAW, 60.0), heat.Leg(heat.Film(20.0, 70.0))), "comes to 74.0 °C: it reaches 70.0 °C"),
        (lambda: chain(heat.Leg(LAW, 600.0)), "the core never comes to 74"),
    ],
)
def test_a_zone_that_cannot_finish_says_how_far_it_gets(ask: Callable[[], Any], says: str) -> None:
    with pytest.raises(heat.NeverDone) as caught:
        ask()
    assert says in str(caught.value)


def test_a_time_that_no_size_fits_is_out_of_reach() -> None:
    ask: dict[str, Any] = {"shape": "sphere", "start_c": 5.0, "core_c": 60.0, "k_w_mk": 0.5, "alpha_m2_s": 1.4e-7}
    with pytest.raises(heat.OutOfReach, match=r"0\.\d+ mm thick|no size of food"):
        heat.size_from_time(LAW, time_s=1.0, **ask)
    with pytest.raises(heat.OutOfReach, match=r"\d+ mm thick"):
        heat.size_from_time(LAW, time_s=20 * 86400.0, **ask)


def test_every_refusal_is_a_value_error() -> None:
    for kind in (heat.BadValue, heat.NeverDone, heat.OutOfReach):
        assert issubclass(kind, heat.HeatError)
    assert issubclass(heat.HeatError, ValueError)


def test_numpy_numbers_are_numbers() -> None:
    assert heat.time_to_core(BODY, LAW, start_c=np.float64(5.0), core_c=np.int64(60)) == pytest.approx(
        heat.time_to_core(BODY, LAW, start_c=5.0, core_c=60.0)
    )


ANY = st.floats(allow_nan=True, allow_infinity=True) | st.sampled_from(
    [0.0, -0.0, 1e-300, -1e300, inf, -inf, nan, 100.0]
)
KITCHEN = st.floats(-60.0, 600.0)
SHAPES = st.sampled_from(["slab", "cylinder", "sphere"])


def finite(ask: Callable[[], Any]) -> None:
    """Run `ask`; it may raise HeatError, and every number that comes back is finite."""
    try:
        found = ask()
    except heat.HeatError:
        return
    numbers = found if isinstance(found, tuple) else (found,)
    for one in numbers:
        assert np.all(np.isfinite(one)) if isinstance(one, np.ndarray) else isfinite(one)


@settings(max_examples=300, deadline=None)
@given(ANY | KITCHEN, ANY | KITCHEN, ANY | st.floats(0.0, 1.0), ANY | KITCHEN)
def test_surfaces_never_give_nan(air_c: float, wall_c: float, wetness: float, start_c: float) -> None:
    def ask() -> tuple[float, float]:
        law = heat.film(heat.Surroundings(air_c, wall_c=wall_c), start_c=start_c, wetness=wetness)
        return law.h_w_m2k, law.equilibrium_c

    finite(ask)


@settings(max_examples=300, deadline=None)
@given(SHAPES, ANY | st.floats(1e-3, 0.3), ANY | st.floats(1.0, 2000.0), KITCHEN, ANY | KITCHEN, ANY | KITCHEN)
def test_time_to_core_never_gives_nan(
    shape: Any, half_m: float, h: float, level_c: float, start_c: float, core_c: float
) -> None:
    def ask() -> tuple[float, float]:
        body, law = heat.Body(shape, half_m, 0.5, 1.4e-7), heat.Film(h, level_c)
        time_s = heat.time_to_core(body, law, start_c=start_c, core_c=core_c)
        assert time_s >= 0.0
        return time_s, heat.chain_to_core(body, [heat.Leg(law)], start_c=start_c, core_c=core_c)

    finite(ask)


@settings(max_examples=300, deadline=None)
@given(SHAPES, ANY | st.floats(10.0, 1e5), KITCHEN, ANY | KITCHEN, ANY | KITCHEN, ANY | st.floats(0.02, 5.0))
def test_size_from_time_never_gives_nan(
    shape: Any, time_s: float, level_c: float, start_c: float, core_c: float, k_w_mk: float
) -> None:
    def ask() -> tuple[float, ...]:
        body = heat.size_from_time(
            heat.Film(20.0, level_c), shape=shape, time_s=time_s, start_c=start_c, core_c=core_c,
            k_w_mk=k_w_mk, alpha_m2_s=1.4e-7,
        )  # fmt: skip
        return (body.half_m,)

    finite(ask)


@settings(max_examples=150, deadline=None)
@given(
    SHAPES, st.floats(0.001, 0.2), st.lists(st.tuples(KITCHEN, ANY | st.floats(0, 1e5)), max_size=3), st.floats(0, 1)
)
def test_chains_never_give_nan(shape: Any, half_m: float, stays: list[tuple[float, float]], wetness: float) -> None:
    def ask() -> tuple[Any, ...]:
        body = heat.Body(shape, half_m, 0.5, 1.4e-7)
        chain = [heat.Stay(heat.Surroundings(air_c), seconds) for air_c, seconds in stays]
        legs = heat.legs_of(body, chain, start_c=5.0, wetness=wetness)
        state = heat.profile_after(body, legs, start_c=5.0)
        curve = heat.core_curve(body, legs, start_c=5.0, points=5)
        return (*state, *curve, *heat.rest_in_room(body, state, wetness=wetness))

    finite(ask)
