"""Table of the centre's response: the Fourier number at which a body in one zone reaches an excess theta.

theta = (Teq - Tcore) / (Teq - T0). One table a shape, over `TABLE_BIOT`, built when first asked for. The table makes
the inverse cheap: which size makes a recipe's own time true.
"""

from __future__ import annotations

from functools import cache
from math import exp, log
from typing import Final, NamedTuple

import numpy as np

from converter.heat.errors import BadValue, OutOfReach, number
from converter.heat.shapes import DIMENSION, Array, Modes, Shape, cells, known_shape, modes

BIOT: Final = (1e-3, 2e3)
STEPS: Final = 80
TABLE_BIOT: Final = np.geomspace(*BIOT, STEPS)
# Levels of theta: even in ln(-ln theta), in which ln Fo is smooth at both ends.
LEVELS: Final = np.linspace(log(-log(0.9999)), log(-log(1e-5)), 48)
_THETA = np.exp(-np.exp(LEVELS))
_LN_BIOT = np.log(TABLE_BIOT)
_BIOT_STEP = float(_LN_BIOT[1] - _LN_BIOT[0])
_LEVEL_STEP = float(LEVELS[1] - LEVELS[0])


class Response(NamedTuple):
    """Of one shape: ``ln_fourier`` (80 Biot numbers, 64 levels) and the slowest rate of each Biot number (80,)."""

    ln_fourier: Array
    slowest: Array


def weights_of_centre(shape: Shape, solution: Modes) -> Array:
    """Return c with theta(Fo) = sum c exp(-rate Fo) at the centre of a body of one starting temperature."""
    ones = solution.into.sum(axis=-1)
    return np.asarray((cells(shape).centre @ solution.back) * ones)


@cache
def response(shape: Shape) -> Response:
    """Return the table of a shape; raises ``BadValue`` for an unknown one."""
    solution = modes(known_shape(shape), TABLE_BIOT)
    weight, slowest = weights_of_centre(shape, solution), solution.rate[:, 0]
    # Curves theta(Fo) on an even grid of ln Fo; Fo doubles by squaring the exponentials.
    per_octave, octaves, first = 8, 25, 1e-3
    starts = first * 2.0 ** (np.arange(per_octave) / per_octave)
    decay = np.exp(-solution.rate[:, None, :] * starts[:, None])
    curve = np.empty((STEPS, octaves, per_octave))
    for octave in range(octaves):
        curve[:, octave] = (decay @ weight[:, :, None])[:, :, 0]
        decay *= decay
    level = np.log(-np.log(np.clip(curve.reshape(STEPS, -1), 1e-300, 1.0 - 1e-15)))
    ln_first, step = log(first), log(2.0) / per_octave
    # The inverse, at the levels: cubic through the four points round each crossing.
    left = np.stack([np.searchsorted(row, LEVELS) for row in level]) - 2
    left = np.clip(left, 0, level.shape[1] - 4)
    near = np.take_along_axis(level[:, None, :], left[:, :, None] + np.arange(4), axis=2)
    ln_fourier = np.zeros((STEPS, LEVELS.size))
    for own in range(4):
        share = ln_first + step * (left + own)
        for other in range(4):
            if other != own:
                share = share * (LEVELS - near[:, :, other]) / (near[:, :, own] - near[:, :, other])
        ln_fourier += share
    return Response(ln_fourier, slowest)


def _cubic(place: float, count: int) -> tuple[int, Array]:
    """Return the first of four neighbours and their weights (Lagrange) for a place on an even grid."""
    first = min(max(int(place) - 1, 0), count - 4)
    t = place - first - 1.0
    return first, np.array(
        [
            -t * (t - 1.0) * (t - 2.0) / 6.0,
            (t + 1.0) * (t - 1.0) * (t - 2.0) / 2.0,
            -(t + 1.0) * t * (t - 2.0) / 2.0,
            (t + 1.0) * t * (t - 1.0) / 6.0,
        ]
    )


def _column(shape: Shape, theta: float) -> Array:
    """Return ln Fo at `theta` for every Biot number of the table (80,)."""
    table = response(shape)
    place = (log(-log(theta)) - float(LEVELS[0])) / _LEVEL_STEP
    if place < 0.0:
        raise BadValue("the core starts within a hundredth of a per cent of its end point; there is nothing to time")
    if place > LEVELS.size - 1:  # one term is exact here
        more = (log(float(_THETA[-1])) - log(theta)) / table.slowest
        return np.asarray(np.log(np.exp(table.ln_fourier[:, -1]) + more))
    first, weight = _cubic(place, LEVELS.size)
    return np.asarray(table.ln_fourier[:, first : first + 4] @ weight)


def check_theta(theta: float) -> float:
    """Return `theta` if 0 < theta < 1; raises ``BadValue``."""
    return number(theta, "excess of the core", "of the excess at the start", low=1e-12, high=1.0 - 1e-12)


def fourier_number(shape: Shape, *, biot: float, theta: float) -> float:
    """Return the Fourier number alpha t / half^2 [-] at which the centre's excess has fallen to `theta`.

    From the table, cubic in both directions; below its Biot numbers by the lumped body, above them by a fixed surface.
    Raises ``BadValue`` for theta outside 0 to 1 or a Biot number that is not positive.
    Error: at most 0.5 % against the exact series (Bi 0.5-50, theta 0.9-0.02), nearly all of it from the 20 cells.
    """
    known_shape(shape)
    check_theta(theta)
    number(biot, "Biot number", "(1e-6 to 1e9)", low=1e-6, high=1e9)
    if biot < BIOT[0]:
        return -log(theta) / (DIMENSION[shape] * biot)
    column = _column(shape, theta)
    if biot >= BIOT[1]:
        return exp(float(column[-1]))
    first, weight = _cubic((log(biot) - float(_LN_BIOT[0])) / _BIOT_STEP, STEPS)
    return exp(float(column[first : first + 4] @ weight))


def biot_number(shape: Shape, *, group: float, theta: float) -> float:
    """Return the Biot number at which Bi^2 Fo(Bi, theta) = `group`, where group = t alpha h^2 / k^2 [-].

    Bi^2 Fo rises with Bi, so there is one answer. Raises ``OutOfReach`` outside the table's Biot numbers,
    ``BadValue`` for theta outside 0 to 1 or a group that is not positive.
    """
    known_shape(shape)
    check_theta(theta)
    number(group, "time", "(as t alpha h^2 / k^2)", low=1e-30, high=1e30)
    rising = _column(shape, theta) + 2.0 * _LN_BIOT
    wanted = log(group)
    if not rising[0] <= wanted <= rising[-1]:
        raise OutOfReach("no size of food from thin to large would take that time in that zone")
    right = int(np.searchsorted(rising, wanted))
    first = min(max(right - 2, 0), STEPS - 4)
    values = rising[first : first + 4]
    # Cubic of ln Bi over its four neighbours, in the other direction.
    gap = values[:, None] - values[None, :]
    np.fill_diagonal(gap, 1.0)
    apart = wanted - values
    result = 0.0
    for own in range(4):
        share = 1.0
        for other in range(4):
            if other != own:
                share *= float(apart[other] / gap[own, other])
        result += share * float(_LN_BIOT[first + own])
    return exp(result)
