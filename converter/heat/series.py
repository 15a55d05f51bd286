"""Exact solutions by eigenvalues of a body that starts at one temperature. Slower than `conduction`; for checks."""

from __future__ import annotations

from math import isinf, pi

import numpy as np

from converter.heat.errors import number
from converter.heat.shapes import Array, Shape, known_shape


def bessel_j(order: int, x: Array) -> Array:
    """Return J0 or J1 of `x` (any shape, 0 <= x < 500), to about 1e-14.

    Mean of cos(n a - x sin a) over the circle; the rule of equal steps converges exponentially for it.
    Source: Bessel's integral.
    """
    x = np.asarray(x, dtype=np.float64)
    steps = 2 * int(np.max(x, initial=0.0)) + 64
    angle = (np.arange(steps) + 0.5) * (2.0 * pi / steps)
    mean: Array = np.cos(order * angle - x[..., None] * np.sin(angle)).mean(axis=-1)
    return mean


def _condition(shape: Shape, biot: float, zeta: Array) -> Array:
    """Return what is zero at an eigenvalue, free of poles."""
    if shape == "slab":
        value = zeta * np.sin(zeta) - biot * np.cos(zeta)
    elif shape == "cylinder":
        value = zeta * bessel_j(1, zeta) - biot * bessel_j(0, zeta)
    else:
        value = (1.0 - biot) * np.sin(zeta) - zeta * np.cos(zeta)
    return np.asarray(value)


def _limits(shape: Shape, terms: int) -> tuple[Array, Array]:
    """Return eigenvalues at Bi = 0 and Bi = inf; those of every Bi lie between."""
    count = np.arange(terms, dtype=np.float64)
    if shape == "slab":
        return np.asarray(count * pi), np.asarray((count + 0.5) * pi)
    if shape == "sphere":
        upper = (count + 1.0) * pi
        lower = (count + 0.5) * pi  # roots of tan z = z
        for _ in range(60):
            lower[1:] = count[1:] * pi + np.arctan(lower[1:])
        lower[0] = 0.0
        return lower, np.asarray(upper)
    zero0 = _bessel_zeros(0, terms)
    return np.concatenate(([0.0], _bessel_zeros(1, terms - 1))), zero0


def _bessel_zeros(order: int, terms: int) -> Array:
    beta = (np.arange(1.0, terms + 1) + 0.5 * order - 0.25) * pi
    low: Array = beta - 0.4
    high: Array = beta + 0.4
    sign = np.sign(bessel_j(order, low)) if terms else low
    for _ in range(60):
        middle = 0.5 * (low + high)
        left = np.sign(bessel_j(order, middle)) == sign
        low, high = np.where(left, middle, low), np.where(left, high, middle)
    return 0.5 * (low + high)


def eigenvalues(shape: Shape, *, biot: float, terms: int = 40) -> Array:
    """Return the first `terms` eigenvalues zeta [rad] at a Biot number.

    Slab: z tan z = Bi; cylinder: z J1 / J0 = Bi; sphere: 1 - z cot z = Bi. `biot` may be infinite.
    Raises ``BadValue`` for a Biot number that is not positive. Error: about 1e-12, by bisection.
    Source: Carslaw and Jaeger, Conduction of Heat in Solids, 2nd ed., Oxford, 1959.
    """
    known_shape(shape)
    low, high = _limits(shape, terms)
    if isinf(biot) and biot > 0:
        return high
    number(biot, "Biot number", "(1e-6 to 1e9)", low=1e-6, high=1e9)
    middle: Array = 0.5 * (low + high)
    low, high = low.copy(), high.copy()
    sign = np.sign(_condition(shape, biot, high))
    for _ in range(60):
        middle = 0.5 * (low + high)
        right = np.sign(_condition(shape, biot, middle)) == sign
        high, low = np.where(right, middle, high), np.where(right, low, middle)
    return np.asarray(middle)


def coefficients(shape: Shape, zeta: Array) -> Array:
    """Return C of each eigenvalue [-].

    Slab: 4 sin z / (2 z + sin 2z); cylinder: 2 J1 / (z (J0^2 + J1^2)); sphere: 4 (sin z - z cos z) / (2 z - sin 2z).
    """
    if shape == "slab":
        return np.asarray(4.0 * np.sin(zeta) / (2.0 * zeta + np.sin(2.0 * zeta)))
    if shape == "sphere":
        return np.asarray(4.0 * (np.sin(zeta) - zeta * np.cos(zeta)) / (2.0 * zeta - np.sin(2.0 * zeta)))
    zeroth, first = bessel_j(0, zeta), bessel_j(1, zeta)
    return np.asarray(2.0 * first / (zeta * (zeroth**2 + first**2)))


def centre_excess(shape: Shape, *, biot: float, fourier: float, terms: int = 60) -> float:
    """Return theta = (T - Teq) / (T0 - Teq) at the centre: the sum of C exp(-zeta^2 Fo) [-].

    With `terms` = 1 it is the one-term solution, good for Fo > 0.2. Raises ``BadValue``.
    Error: with 60 terms below 1e-9 for Fo >= 0.005.
    """
    number(fourier, "Fourier number", "(0 to 1e6)", low=0.0, high=1e6)
    zeta = eigenvalues(shape, biot=biot, terms=terms)
    return float(np.sum(coefficients(shape, zeta) * np.exp(-zeta * zeta * fourier)))
