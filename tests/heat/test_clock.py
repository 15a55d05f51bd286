"""The empirical clock and the learning of its slope."""

from __future__ import annotations

import ast
import math
import random
from pathlib import Path

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from converter.heat import clock
from converter.heat.clock import CookLog, SlopePrior, clock_minutes, slope_of, update, usual_prior
from converter.heat.errors import HeatError

TIMES = st.floats(5, 600)
OVENS = st.floats(100, 260)


@pytest.mark.parametrize(("minutes", "beta"), [(15, 0.0125), (60, 0.0105), (120, 0.0095), (240, 0.0084), (2000, 0.007)])
def test_slope_at_the_times_of_the_study(minutes: float, beta: float) -> None:
    # The values that the study of the published pairs gives, to its two digits after the first.
    assert slope_of(minutes) == pytest.approx(beta, abs=0.00008)


def test_one_percent_per_degree_for_an_hour() -> None:
    # The usual kitchen saying, 1 % a degree: 10 °C cooler adds about a tenth.
    assert clock_minutes(60, from_c=180, to_c=170) == pytest.approx(66, abs=1)


@given(TIMES, OVENS, OVENS, OVENS)
def test_a_hotter_oven_never_takes_longer(minutes: float, from_c: float, one: float, other: float) -> None:
    cool, warm = sorted((one, other))
    for short in (False, True):
        slow = clock_minutes(minutes, from_c=from_c, to_c=cool, short_limits=short)
        assert clock_minutes(minutes, from_c=from_c, to_c=warm, short_limits=short) <= slow * (1 + 1e-12)


@given(TIMES, TIMES, OVENS, OVENS)
def test_what_takes_longer_there_takes_longer_here(one: float, other: float, from_c: float, to_c: float) -> None:
    # No jump at a quarter of an hour: a longer recipe never becomes the shorter one.
    brief, lengthy = sorted((one, other))
    if abs(to_c - from_c) <= 90:
        short = clock_minutes(brief, from_c=from_c, to_c=to_c, short_limits=True)
        assert short <= clock_minutes(lengthy, from_c=from_c, to_c=to_c, short_limits=True) * (1 + 1e-9)


def test_short_times_change_by_a_fifth_at_most() -> None:
    assert clock_minutes(12, from_c=180, to_c=235, short_limits=True) == pytest.approx(9.6)
    assert clock_minutes(12, from_c=200, to_c=170, short_limits=True) == pytest.approx(14.4)
    assert clock_minutes(12, from_c=180, to_c=175, short_limits=True) == clock_minutes(12, from_c=180, to_c=175)
    for minutes in (45, 60, 90):
        for to_c in (120, 150, 235, 240):
            free = clock_minutes(minutes, from_c=180, to_c=to_c)
            assert clock_minutes(minutes, from_c=180, to_c=to_c, short_limits=True) == pytest.approx(free)


@pytest.mark.parametrize(
    ("minutes", "from_c", "to_c", "words"),
    [
        (-5, 180, 170, "recipe time of -5 minutes"),
        (math.nan, 180, 170, "recipe time is not a number"),
        (1e6, 180, 170, "minutes"),
        (60, math.inf, 170, "°C"),
        (60, 180, 900, "the zone of 900 °C"),
        (60, 4, 170, "the recipe's oven of 4 °C"),
        ("60", 180, 170, "must be a number in minutes"),
    ],
)
def test_refuses_what_cannot_be(minutes: float, from_c: float, to_c: float, words: str) -> None:
    with pytest.raises(HeatError, match=words):
        clock_minutes(minutes, from_c=from_c, to_c=to_c)


def test_refuses_a_slope_that_no_cooker_has() -> None:
    with pytest.raises(HeatError, match="per °C"):
        clock_minutes(60, from_c=180, to_c=170, slope=0.2)
    with pytest.raises(HeatError, match="spread"):
        SlopePrior(0.0105, 0.0)
    with pytest.raises(HeatError, match="same dish"):
        CookLog(60, 180, 170, 700)


LOGS = (CookLog(60, 180, 165, 72), CookLog(90, 190, 225, 66), CookLog(45, 180, 200, 36))


def test_posterior_is_prior_times_likelihood() -> None:
    # Against a grid: prior density times the density of each log's time, summed numerically.
    prior = usual_prior()
    grid = np.linspace(0.0, 0.025, 200001)
    density = -0.5 * ((grid - prior.mean) / prior.sd) ** 2
    for log in LOGS:
        beta = grid - 0.0015 * math.log(log.recipe_minutes / 60)
        told = math.log(log.minutes_taken / log.recipe_minutes)
        density += -0.5 * ((told + beta * (log.zone_c - log.from_c)) / 0.12) ** 2
    weight = np.exp(density - density.max())
    mean = float(np.sum(weight * grid) / np.sum(weight))
    sd = math.sqrt(float(np.sum(weight * (grid - mean) ** 2) / np.sum(weight)))
    found = update(prior, LOGS)
    assert found.mean == pytest.approx(mean, rel=1e-4)
    assert found.sd == pytest.approx(sd, rel=1e-3)
    assert (found.n, found.prior) == (3, prior)


def test_order_does_not_matter_and_all_at_once_is_one_by_one() -> None:
    prior = usual_prior()
    found = update(prior, LOGS)
    assert update(prior, LOGS[::-1]).mean == pytest.approx(found.mean, rel=1e-12)
    step = prior
    for log in LOGS:
        step = clock.as_prior(update(step, [log]))
    assert (step.mean, step.sd) == pytest.approx((found.mean, found.sd), rel=1e-12)


def test_a_log_can_be_dropped() -> None:
    odd = CookLog(60, 180, 215, 88)  # longer in the hotter zone: the door stood open, say
    found = update(usual_prior(), (*LOGS, odd))
    assert abs(found.surprises[3]) > 2.5 > max(abs(one) for one in found.surprises[:3])
    rest = found.without(3)
    assert rest == update(usual_prior(), LOGS)
    # The odd log against what the others foretell: ln(88/60) over 35 K, spread of the belief and of one log together.
    shown = -math.log(88 / 60) / 35
    assert found.surprises[3] == pytest.approx((shown - rest.mean) / math.hypot(rest.sd, 0.12 / 35))
    with pytest.raises(HeatError, match="no log 4"):
        found.without(4)


def test_no_log_leaves_the_prior_and_no_change_of_oven_tells_nothing() -> None:
    prior = usual_prior()
    nothing = update(prior, [CookLog(60, 180, 180, 75)])
    for found in (update(prior, []), nothing):
        assert (found.mean, found.sd, found.n) == pytest.approx((prior.mean, prior.sd, 0), rel=1e-12)
    assert nothing.surprises == (0.0,)


def test_words_show_prior_posterior_and_count() -> None:
    words = update(usual_prior(), LOGS).words()
    assert words.startswith("before 1.05 ± 0.25 % per °C, after 3 logs ")


def test_logs_of_one_cooker_find_its_slope() -> None:
    # 200 cookers drawn from the prior, eight logs each: the 90 % interval holds nine in ten, and the error halves.
    draw = random.Random(7)
    prior = usual_prior()
    held, before, after = 0, 0.0, 0.0
    for _ in range(200):
        true = draw.gauss(prior.mean, prior.sd)
        logs = []
        for _ in range(8):
            minutes, change = draw.uniform(20, 150), draw.choice((-30, -20, 20, 40))
            beta = true - 0.0015 * math.log(minutes / 60)
            taken = minutes * math.exp(-beta * change + draw.gauss(0, 0.12))
            logs.append(CookLog(minutes, 180, 180 + change, taken))
        found = update(prior, logs)
        held += abs(found.mean - true) <= 1.645 * found.sd
        before, after = before + abs(prior.mean - true), after + abs(found.mean - true)
    assert 168 <= held <= 190  # nine in ten of 200, three standard deviations either way
    assert after < 0.6 * before


def test_posterior_drives_the_clock() -> None:
    eager = update(usual_prior(), [CookLog(60, 180, 220, 32), CookLog(60, 180, 220, 33)])
    assert eager.mean > usual_prior().mean
    usual = clock_minutes(60, from_c=180, to_c=220)
    assert clock_minutes(60, from_c=180, to_c=220, slope=eager.slope) < usual


def test_safety_sums_know_nothing_of_the_clock() -> None:
    source = Path(clock.__file__).with_name("doses.py").read_text(encoding="utf-8")
    imported = {node.module for node in ast.walk(ast.parse(source)) if isinstance(node, ast.ImportFrom)}
    assert "converter.heat.conduction" in imported
    assert not imported & {"converter.heat.clock", "converter.heat.times"}
