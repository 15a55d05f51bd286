"""Heat into a body of constant properties along any chain of zones, exact in time.

Each zone is a `Film`, a linear surface law; each stay in it a `Leg`. Sources of the formulas: Carslaw and Jaeger,
Conduction of Heat in Solids, 2nd ed., Oxford, 1959; the cells and their modes are those of `shapes`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import lru_cache, partial
from math import inf, isinf
from typing import Final, NamedTuple

import numpy as np

from converter.heat.errors import BadValue, NeverDone, OutOfReach, food_c, number, seconds
from converter.heat.response import biot_number, fourier_number
from converter.heat.shapes import DIMENSION, HALF_M, Array, Body, Modes, Shape, cells, check_properties, modes
from converter.heat.surfaces import Film

# Fourier numbers at which a leg without end is looked at: the slowest body (Bi 0.005) has all but ended at 5000.
_GRID: Final = np.concatenate(([0.0], np.geomspace(1e-3, 5e3, 160)))


@dataclass(frozen=True, slots=True)
class Leg:
    """One stay in one zone.

    Parameters
    ----------
    film : surface law of the zone
    seconds : length of the stay by the kitchen clock [s]; infinite for a last leg without end
    pace : seconds of conduction that pass in one second of the clock [-], 0.05 to 20

    Raises ``BadValue``.
    """

    film: Film
    seconds: float = inf
    pace: float = 1.0

    def __post_init__(self) -> None:
        if self.seconds != inf:
            seconds(self.seconds, "time of a leg")
        number(self.pace, "pace", "(0.05 to 20)", low=0.05, high=20.0)


class Curve(NamedTuple):
    """Time since the start [s] and temperature of the core [°C], both (n,)."""

    seconds: Array
    core_c: Array


class Profile(NamedTuple):
    """Temperatures in a body: of the cells from the middle outwards (20,), core, surface and mean [°C]."""

    cells_c: Array
    core_c: float
    surface_c: float
    mean_c: float


class Rise(NamedTuple):
    """Carry-over: how far the core rises at rest [K], when the peak comes [s after leaving the zone], the peak [°C]."""

    rise_kelvin: float
    seconds: float
    peak_c: float


def _excess(film: Film, start_c: float, core_c: float) -> float:
    """Return theta = (Teq - core) / (Teq - start); raises ``NeverDone`` or ``BadValue``."""
    food_c(start_c, "start temperature")
    food_c(core_c, "core temperature")
    level = film.equilibrium_c
    if core_c == start_c:
        raise BadValue(f"the core is at {core_c:.1f} °C from the start; there is nothing to time")
    theta = (level - core_c) / (level - start_c) if level != start_c else -1.0
    if theta <= 0.0:
        raise NeverDone(f"the core never comes to {core_c:.1f} °C: the zone takes food towards {level:.1f} °C only")
    if theta >= 1.0:
        raise NeverDone(f"the zone takes food from {start_c:.1f} °C towards {level:.1f} °C, away from {core_c:.1f} °C")
    return theta


def time_to_core(body: Body, film: Film, *, start_c: float, core_c: float) -> float:
    """Return the seconds in one zone until the centre of `body` goes from `start_c` to `core_c` [°C].

    t = Fo(Bi, theta) half^2 / alpha, theta = (Teq - core) / (Teq - start), from the table of `response`.
    Raises ``BadValue``; ``NeverDone`` where the zone's equilibrium lies short of the core temperature.
    Error: at most 0.5 % against the exact series (Bi 0.5-50, theta 0.9-0.02).
    """
    theta = _excess(film, start_c, core_c)
    return fourier_number(body.shape, biot=body.biot(film.h_w_m2k), theta=theta) * body.time_scale_s


def size_from_time(
    film: Film, *, shape: Shape, time_s: float, start_c: float, core_c: float, k_w_mk: float, alpha_m2_s: float
) -> Body:
    """Return the body whose centre takes `time_s` [s] from `start_c` to `core_c` [°C] in one zone.

    The inverse of `time_to_core`: t alpha h^2 / k^2 = Bi^2 Fo(Bi, theta), one look-up in a table that rises with Bi;
    half = Bi k / h. The recipe's own time is thereby the measure of the food's size.
    Raises ``BadValue``; ``NeverDone`` as `time_to_core`; ``OutOfReach`` where the half thickness would lie outside
    0.5 mm to 0.5 m.
    Error: `time_to_core` of the answer gives `time_s` back to 0.05 %.
    """
    check_properties(k_w_mk, alpha_m2_s)
    theta = _excess(film, start_c, core_c)
    seconds(time_s)
    number(time_s, "time", "s", low=1.0, high=30 * 86400.0)
    h = film.h_w_m2k
    biot = biot_number(shape, group=time_s * alpha_m2_s * (h / k_w_mk) ** 2, theta=theta)
    half = biot * k_w_mk / h
    if not HALF_M[0] <= half <= HALF_M[1]:
        raise OutOfReach(f"food that takes {time_s / 60:.1f} min there would be {2000 * half:.3g} mm thick")
    return Body(shape, half, k_w_mk, alpha_m2_s)


@lru_cache(maxsize=256)
def _modes_of(shape: Shape, biot: float) -> Modes:
    return modes(shape, biot)


def _solution(body: Body, film: Film) -> Modes:
    return _modes_of(body.shape, body.biot(film.h_w_m2k))


def _start(body: Body, start_c: float | Profile) -> Array:
    if isinstance(start_c, Profile):
        return start_c.cells_c
    return np.full(cells(body.shape).middle.size, food_c(start_c, "start temperature"))


def _surface_c(body: Body, film: Film, last_c: float) -> float:
    """Return the temperature of the surface [°C] from that of the outermost cell."""
    drop = body.biot(film.h_w_m2k) * cells(body.shape).skin
    return (last_c + drop * film.equilibrium_c) / (1.0 + drop)


def _fourier(body: Body, leg: Leg) -> float:
    return leg.seconds * leg.pace / body.time_scale_s


def _after(body: Body, leg: Leg, before_c: Array) -> Array:
    level = leg.film.equilibrium_c
    if isinf(leg.seconds):
        return np.full_like(before_c, level)
    solution = _solution(body, leg.film)
    amplitude = solution.into @ (before_c - level)
    return np.asarray(level + solution.back @ (np.exp(-solution.rate * _fourier(body, leg)) * amplitude))


def profile_after(body: Body, legs: Sequence[Leg], *, start_c: float | Profile) -> Profile:
    """Return the temperatures in `body` at the end of a chain of legs; `start_c` is one temperature or a profile.

    The surface is that of the last leg. Raises ``BadValue`` for no legs and for values outside their ranges.
    """
    if not legs:
        raise BadValue("a chain needs at least one leg")
    now = _start(body, start_c)
    for leg in legs:
        now = _after(body, leg, now)
    mesh = cells(body.shape)
    mean = float(mesh.volume @ now) * DIMENSION[body.shape]
    return Profile(now, float(mesh.centre @ now), _surface_c(body, legs[-1].film, float(now[-1])), mean)


def _core_waves(body: Body, film: Film, before_c: Array) -> tuple[Array, Array]:
    """Return c and the rates with core - Teq = sum c exp(-rate Fo)."""
    solution = _solution(body, film)
    weight = (cells(body.shape).centre @ solution.back) * (solution.into @ (before_c - film.equilibrium_c))
    return np.asarray(weight), solution.rate


def _excesses(weight: Array, rate: Array, fourier: Array) -> Array:
    return np.asarray(np.exp(-np.multiply.outer(fourier, rate)) @ weight)


def _root(f: Callable[[float], float], low: float, high: float, at_low: float, at_high: float) -> float:
    """Return where `f` is zero between two places at which its signs differ (Illinois form of regula falsi)."""
    side = 0
    middle = low
    for _ in range(100):
        middle = low + at_low * (high - low) / (at_low - at_high)
        at_middle = f(middle)
        if at_middle == 0.0 or abs(high - low) <= 1e-12 * abs(high):
            break
        if (at_middle > 0.0) == (at_low > 0.0):
            low, at_low = middle, at_middle
            if side == 1:
                at_high *= 0.5
            side = 1
        else:
            high, at_high = middle, at_middle
            if side == -1:
                at_low *= 0.5
            side = -1
        if abs(at_middle) < 1e-9:
            break
    return middle


def _above(weight: Array, rate: Array, base: float, fourier: float) -> float:
    return float(np.exp(-rate * fourier) @ weight) + base


def _peak(weight: Array, rate: Array, low: float, high: float) -> float | None:
    """Return the Fourier number between two at which the core's curve is level, rising before, or None."""
    slope = partial(_above, -weight * rate, rate, 0.0)
    at_low, at_high = slope(low), slope(high)
    return _root(slope, low, high, at_low, at_high) if at_low > 0.0 > at_high else None


def chain_to_core(body: Body, legs: Sequence[Leg], *, start_c: float | Profile, core_c: float) -> float:
    """Return the seconds of the kitchen clock until the centre first comes up to `core_c` [°C] along a chain of legs.

    The profile at the end of a leg is the start of the next; a leg's pace stretches its own time. The last leg may be
    infinite. Raises ``BadValue``; ``NeverDone`` where the chain ends, or settles, below `core_c`.
    Error: as `time_to_core` for one leg; the chain of two equal zones is that of one, to rounding.
    """
    food_c(core_c, "core temperature")
    if not legs:
        raise BadValue("a chain needs at least one leg")
    now = _start(body, start_c)
    centre = cells(body.shape).centre
    if float(centre @ now) >= core_c:
        raise BadValue(f"the core is at {float(centre @ now):.1f} °C from the start; {core_c:.1f} °C is behind it")
    passed = 0.0
    best = -inf
    for leg in legs:
        level, scale = leg.film.equilibrium_c, body.time_scale_s / leg.pace
        weight, rate = _core_waves(body, leg.film, now)
        end = _fourier(body, leg)
        grid = np.append(_GRID[end > _GRID], end) if not isinf(end) else _GRID.copy()
        above = _excesses(weight, rate, grid) + (level - core_c)
        reached = np.flatnonzero(above >= 0.0)
        top = int(reached[0]) if reached.size else int(np.argmax(above))
        if not reached.size and 0 < top < grid.size - 1:  # a peak between two looks, as of food at rest
            peak = _peak(weight, rate, float(grid[top - 1]), float(grid[top + 1]))
            if peak is not None:
                grid[top], above[top] = peak, _above(weight, rate, level - core_c, peak)
        if above[top] >= 0.0:
            if top == 0:
                return passed
            ends = (float(grid[top - 1]), float(grid[top]), float(above[top - 1]), float(above[top]))
            return passed + scale * _root(partial(_above, weight, rate, level - core_c), *ends)
        best = max(best, float(above[top]) + core_c)
        if isinf(leg.seconds):
            best = max(best, level)
            break
        now = _after(body, leg, now)
        passed += leg.seconds
    raise NeverDone(f"the core never comes to {core_c:.1f} °C: it reaches {best:.1f} °C along these legs")


def core_curve(body: Body, legs: Sequence[Leg], *, start_c: float | Profile, points: int = 60) -> Curve:
    """Return time and core temperature along a chain of legs, `points` evenly spaced in each leg, and the start.

    Every leg must have an end. Raises ``BadValue``.
    """
    number(points, "points", "a leg", low=1, high=100000)
    if not legs:
        raise BadValue("a chain needs at least one leg")
    now = _start(body, start_c)
    times: list[Array] = [np.zeros(1)]
    cores: list[Array] = [np.array([float(cells(body.shape).centre @ now)])]
    passed = 0.0
    for leg in legs:
        if isinf(leg.seconds):
            raise BadValue("a leg without an end has no curve; give it a length in seconds")
        weight, rate = _core_waves(body, leg.film, now)
        share = np.arange(1, int(points) + 1) / int(points)
        times.append(passed + share * leg.seconds)
        cores.append(leg.film.equilibrium_c + _excesses(weight, rate, share * _fourier(body, leg)))
        now = _after(body, leg, now)
        passed += leg.seconds
    return Curve(np.concatenate(times), np.concatenate(cores))


def carry_over(body: Body, rest: Film, *, profile: Profile, most_s: float = 4 * 3600.0) -> Rise:
    """Return how far the core rises after the food has left the oven with `profile`, and when.

    The peak is where the core's curve at rest is level. `rest` is the law of the room, made linear from the surface
    at the end of the oven (`surfaces.room`). A core that only falls gives a rise of 0 at 0 s. Raises ``BadValue``.
    """
    end = seconds(most_s, "time of rest") / body.time_scale_s
    weight, rate = _core_waves(body, rest, profile.cells_c)
    grid = np.append(_GRID[end > _GRID], end)
    core = _excesses(weight, rate, grid)
    top = int(np.argmax(core))
    if top == 0:
        return Rise(0.0, 0.0, profile.core_c)
    at = _peak(weight, rate, float(grid[top - 1]), float(grid[min(top + 1, grid.size - 1)]))
    if at is None:  # still rising when the rest ends
        at = float(grid[top])
    peak = rest.equilibrium_c + float(np.exp(-rate * at) @ weight)
    return Rise(max(peak - profile.core_c, 0.0), at * body.time_scale_s, peak)
