"""The exact solutions against published tables and against SciPy's Bessel functions."""

from __future__ import annotations

from itertools import chain
from math import inf
from pathlib import Path
from typing import Any

import numpy as np
import pytest
import yaml

from converter.heat import half_of_weight
from converter.heat.series import bessel_j, centre_excess, coefficients, eigenvalues

TABLES: dict[str, Any] = yaml.safe_load((Path(__file__).parent / "data/conduction_tables.yaml").read_text("utf-8"))
SHAPES = ("slab", "cylinder", "sphere")
FIRST = [(shape, *row) for shape in SHAPES for row in chain(*TABLES["first_term"][shape])]
SUMS = [(shape, *row) for shape in ("slab", "sphere") for row in chain(*TABLES["series"][shape])]


def test_the_table_is_whole() -> None:
    assert len(FIRST) == 90
    assert len(SUMS) == 32


@pytest.mark.parametrize(("shape", "biot", "zeta1", "c1"), FIRST)
def test_first_term_agrees_with_the_printed_table(shape: str, biot: float, zeta1: float, c1: float) -> None:
    """Four digits: printed figures are good to half of the last one, a few to a whole one."""
    zeta = eigenvalues(shape, biot=biot, terms=2)
    assert zeta[0] == pytest.approx(zeta1, abs=6e-5)
    first = coefficients(shape, zeta)[0]
    misprint = TABLES["first_term"]["misprint"]
    if shape in misprint and misprint[shape][:2] == [biot, c1]:
        assert first == pytest.approx(misprint[shape][2], abs=6e-6)
    else:
        assert first == pytest.approx(c1, abs=6e-5)


@pytest.mark.parametrize(("shape", "biot", "fourier", "summed", "one_term"), SUMS)
def test_series_and_one_term_agree_with_another_program(
    shape: str, biot: float, fourier: float, summed: float, one_term: float
) -> None:
    assert centre_excess(shape, biot=biot, fourier=fourier) == pytest.approx(summed, abs=1e-6)
    assert centre_excess(shape, biot=biot, fourier=fourier, terms=1) == pytest.approx(one_term, abs=1e-6)


@pytest.mark.parametrize("case", TABLES["worked"], ids=lambda case: case["name"])
def test_textbook_examples(case: dict[str, Any]) -> None:
    """The books use one term; at Fo = 0.2 it lies within 1.5 % of theta."""
    if "grams" in case:
        half = half_of_weight(shape="sphere", grams=case["grams"], density_kg_m3=case["density_kg_m3"])
        alpha = case["k_w_mk"] / case["density_kg_m3"] / case["cp_j_kgk"]
    else:
        half, alpha = case["diameter_mm"] / 2000, case["alpha_m2_s"]
    biot, fourier = case["h_w_m2k"] * half / case["k_w_mk"], alpha * case["answer_s"] / half**2
    theta = (case["water_c"] - case["core_c"]) / (case["water_c"] - case["start_c"])
    assert centre_excess("sphere", biot=biot, fourier=fourier, terms=1) == pytest.approx(theta, rel=0.006)
    assert centre_excess("sphere", biot=biot, fourier=fourier) == pytest.approx(theta, rel=0.015)


@pytest.mark.parametrize("order", [0, 1])
def test_bessel_functions_against_scipy(order: int) -> None:
    special = pytest.importorskip("scipy.special")
    x = np.linspace(0.0, 300.0, 2001)
    assert np.abs(bessel_j(order, x) - special.jv(order, x)).max() < 1e-12


def test_cylinder_against_scipy_root_by_root() -> None:
    """The condition of the cylinder, solved with SciPy's own functions and root finder."""
    special, optimize = pytest.importorskip("scipy.special"), pytest.importorskip("scipy.optimize")
    for biot in (0.05, 1.0, 8.0, 60.0):
        low, high = np.concatenate(([0.0], special.jn_zeros(1, 29))), special.jn_zeros(0, 30)
        roots = [
            optimize.brentq(lambda z, bi=biot: z * special.j1(z) - bi * special.j0(z), a, b)
            for a, b in zip(low, high, strict=True)
        ]
        assert eigenvalues("cylinder", biot=biot, terms=30) == pytest.approx(roots, rel=1e-9)


@pytest.mark.parametrize("shape", SHAPES)
def test_all_terms_add_up_to_the_start(shape: str) -> None:
    """At Fo = 0 the sum is 1; a missed or doubled eigenvalue would show. It converges slowly, so just after 0."""
    for biot in (0.1, 2.0, 40.0, inf):
        assert centre_excess(shape, biot=biot, fourier=0.004, terms=80) == pytest.approx(1.0, abs=1e-6)
