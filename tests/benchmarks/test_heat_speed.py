"""Speed of the heat model: one core, medians of jobs taken in turn, beside a table of Bessel roots made by SciPy."""

from __future__ import annotations

import time
from collections.abc import Callable
from statistics import median
from typing import Any

import numpy as np
import pytest

from converter import heat
from converter.heat import conduction, response, surfaces

pytestmark = [pytest.mark.benchmark, pytest.mark.usefixtures("one_core")]

START_C, CORE_C, TIME_S = 5.0, 60.0, 5400.0
MEAT = heat.material("red-meat")


def in_turn(rounds: int, *jobs: Callable[[], Any]) -> list[float]:
    """Median milliseconds of each job; the jobs take turns, so that a slow minute of the machine meets all of them."""
    for job in jobs:
        job()
    taken: list[list[float]] = [[] for _ in jobs]
    for _ in range(rounds):
        for job, times in zip(jobs, taken, strict=True):
            start = time.perf_counter()
            job()
            times.append(1000.0 * (time.perf_counter() - start))
    return [median(times) for times in taken]


def forget() -> None:
    """Empty the caches of laws and modes, so that each round pays for them. The tables of response stay."""
    surfaces.film.cache_clear()
    surfaces.equilibrium_c.cache_clear()
    conduction._modes_of.cache_clear()


def law(oven_c: float) -> heat.Film:
    return heat.film(heat.Surroundings(oven_c), start_c=START_C, wetness=MEAT.wetness)


def sized() -> heat.Body:
    return heat.size_from_time(
        law(180.0), shape=MEAT.shape, time_s=TIME_S, start_c=START_C, core_c=CORE_C,
        k_w_mk=MEAT.k_w_mk, alpha_m2_s=MEAT.alpha_m2_s,
    )  # fmt: skip


def inversion_with_range() -> list[float]:
    """The recipe's time to a size, and the time in a zone read as 130 °C, 10 °C less and 10 °C more."""
    forget()
    body = sized()
    return [heat.time_to_core(body, law(oven), start_c=START_C, core_c=CORE_C) for oven in (120.0, 130.0, 140.0)]


def hot_start() -> float:
    forget()
    body = sized()
    stays = (heat.Stay(heat.Surroundings(235.0), 1200.0), heat.Stay(heat.Surroundings(120.0)))
    legs = heat.legs_of(body, stays, start_c=START_C, wetness=MEAT.wetness)
    return heat.chain_to_core(body, legs, start_c=START_C, core_c=CORE_C)


def one_tabled_shape() -> Any:
    return response.response.__wrapped__("sphere")


def bessel_table() -> list[Any]:
    """First six roots of z J1 = Bi J0 at 80 Biot numbers by SciPy: what a table of exact modes would start from."""
    special, optimize = pytest.importorskip("scipy.special"), pytest.importorskip("scipy.optimize")
    low, high = np.concatenate(([0.0], special.jn_zeros(1, 5))), special.jn_zeros(0, 6)
    return [
        optimize.brentq(lambda z, bi=biot: z * special.j1(z) - bi * special.j0(z), a, b)
        for biot in response.TABLE_BIOT
        for a, b in zip(low, high, strict=True)
    ]


def test_heat_model_beside_a_table_of_bessel_roots(ledger: Any) -> None:
    pytest.importorskip("scipy")
    jobs = (lambda: [inversion_with_range() for _ in range(10)], lambda: [hot_start() for _ in range(10)])
    inverse, chain, table, roots = in_turn(25, *jobs, one_tabled_shape, bessel_table)
    inverse, chain = inverse / 10, chain / 10
    beside = f"table of J0 roots {roots:.2f} ms"
    ledger.row("size from time, time with range", f"{inverse:.3f} ms", "<= 0.3 ms", beside)
    ledger.row("the same / table of J0 roots", f"{inverse / roots:.3f}x", "<= 0.05x")
    ledger.row("hot start and finish", f"{chain:.3f} ms, {chain / roots:.3f}x", "<= 0.1x the roots", beside)
    ledger.row("table of one shape, once", f"{table:.2f} ms", "<= 1x the roots", beside)
    assert inverse <= 0.3
    assert inverse <= 0.05 * roots
    assert chain <= 0.1 * roots
    assert table <= roots
