"""Sums of time over the core temperature: kill of bacteria, and minutes in the danger zone.

    share = integral dt / hold(T(t)),   hold = published minutes at a steady core temperature T

Between the given temperatures log(hold) is straight (D and z); below the coolest nothing counts, above the hottest
the rate stays as it is there. The temperature is taken as straight between the points of a curve, and the sum over
each stretch is exact. Units: °C, minutes. A sum over a modelled curve is an estimate, never a licence: a probe
decides. Nothing here uses the clock or a cooker's own slope. Sources: lexicon/heat.yaml, groups doses and poultry.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

import numpy as np

from converter.heat.conduction import Curve
from converter.heat.constants import poultry, value
from converter.heat.errors import BadValue, food_c, number
from converter.heat.shapes import Array

LAW_NAMES = ("beef", "beef-7", "poultry", "uk", "uk-ecoli")
BEEF_HOT_C = 75.0  # the beef line is not drawn on beyond here
UK_SPAN_C = (60.0, 80.0)  # the published equivalents


@dataclass(frozen=True, slots=True)
class Law:
    """Minutes at a steady core temperature that give `logs` of kill: °C from cool to hot, and minutes.

    `at_once_c` is the temperature from which the table asks for no holding time.
    """

    name: str
    core_c: tuple[float, ...]
    minutes: tuple[float, ...]
    logs: float
    at_once_c: float | None = None


def _straight(name: str, *, span_c: tuple[float, float], ref: tuple[float, float], z: float, logs: float) -> Law:
    at_c, minutes = ref
    return Law(name, span_c, tuple(minutes * 10.0 ** (-(core_c - at_c) / z) for core_c in span_c), logs)


@cache
def law(name: str) -> Law:
    """Return a published law of kill.

    ``beef`` 6.5 and ``beef-7`` 7 logs of Salmonella in cooked beef and roast beef (FSIS Appendix A, 1999; D 17.3 min
    at 54.4 °C, z 5.56 K); ``poultry`` 7 logs in chicken and turkey (FSIS tables, interpolated; never the beef line);
    ``uk`` equivalents of 70 °C for 2 minutes (z 7.5 K), ``uk-ecoli`` the same for food that may carry E. coli O157
    (z 6 K). Raises ``BadValue`` for another name.
    """
    if name in ("beef", "beef-7"):
        logs = 6.5 if name == "beef" else 7.0
        start = value("doses.beef_ref")
        line = _straight(
            name,
            span_c=(start, BEEF_HOT_C),
            ref=(start, logs * value("doses.beef_d")),
            z=value("doses.beef_z"),
            logs=logs,
        )
        return Law(name, line.core_c, line.minutes, logs, value("doses.beef_at_once"))
    if name in ("uk", "uk-ecoli"):
        z = value("doses.uk_z") if name == "uk" else value("doses.ecoli_z")
        ref = (value("doses.uk_ref"), value("doses.uk_minutes"))
        return _straight(name, span_c=UK_SPAN_C, ref=ref, z=z, logs=value("doses.uk_logs"))
    if name == "poultry":
        table = poultry()
        return Law(name, table.core_c, table.minutes, 7.0)
    raise BadValue(f"there is no law of kill named {name!r}; there are {', '.join(LAW_NAMES)}")


def holding_minutes(core_c: float, *, of: str) -> float:
    """Return the minutes at a steady core temperature [°C] that the law `of` asks for; 0 where it asks for none.

    hold = D x logs x 10^(-(T - Tref)/z); poultry: straight in log(minutes) between the published rows. Above the
    hottest temperature of the law its last value stays. Error: beef 6.5 logs within one printed unit (1 min to
    62.8 °C, 1 s above) in all 28 rows; 7 logs so in 24, the four rows at 56.1-57.8 °C up to 5 %; UK rounded up gives
    the printed values. Raises ``BadValue`` for a core cooler than the law's coolest.
    """
    known = law(of)
    at = food_c(core_c, "core temperature")
    if at < known.core_c[0] - 0.05:
        raise BadValue(
            f"no holding time is published for a core of {at:g} °C; the coolest is {known.core_c[0]:.1f} °C ({of})"
        )
    if known.at_once_c is not None and at >= known.at_once_c:
        return 0.0
    return float(math.exp(np.interp(at, known.core_c, np.log(known.minutes))))


def _checked(curve: Curve) -> tuple[Array, Array]:
    times = np.asarray(curve.seconds, dtype=np.float64) / 60.0
    cores = np.asarray(curve.core_c, dtype=np.float64)
    if times.ndim != 1 or times.shape != cores.shape or times.size < 2:
        raise BadValue("a curve needs as many times as core temperatures, at least two of each")
    if not (np.all(np.isfinite(times)) and np.all(np.isfinite(cores))):
        raise BadValue("a time in seconds or a core temperature in °C of the curve is not a number")
    if np.any(np.diff(times) < 0.0):
        raise BadValue("the times of a curve, in seconds, must not go back")
    if cores.min() < -40.0 or cores.max() > 300.0:
        raise BadValue(f"cores of {cores.min():g} to {cores.max():g} °C cannot be; they must lie in -40 to 300 °C")
    return times, cores


def _share_between(low: Array, high: Array, bottom: float, top: float) -> Array:
    """The share of each stretch, from `low` to `high` [°C], that lies in bottom <= T < top."""
    span = high - low
    flat = span < 1e-12
    inside = np.clip(high, bottom, top) - np.clip(low, bottom, top)
    steady = (low >= bottom) & (low < top)
    return np.where(flat, steady.astype(np.float64), inside / np.where(flat, 1.0, span))


def _dose(curve: Curve, known: Law) -> float:
    times, cores = _checked(curve)
    spent = np.diff(times)
    low, high = np.minimum(cores[1:], cores[:-1]), np.maximum(cores[1:], cores[:-1])
    at, rates = known.core_c, [1.0 / minutes for minutes in known.minutes]
    total = float(np.sum(spent * _share_between(low, high, at[-1], math.inf))) * rates[-1]
    for index in range(len(at) - 1):
        steep = math.log(rates[index + 1] / rates[index]) / (at[index + 1] - at[index])
        first = np.exp(steep * (np.clip(low, at[index], at[index + 1]) - at[index]))
        last = np.exp(steep * (np.clip(high, at[index], at[index + 1]) - at[index]))
        gap = last - first
        mean = np.where(gap > 1e-9, gap / np.log(np.where(gap > 1e-9, last / first, math.e)), first)
        total += float(np.sum(spent * _share_between(low, high, at[index], at[index + 1]) * mean)) * rates[index]
    return total


@dataclass(frozen=True, slots=True)
class Lethality:
    """The sum of a law over a curve: the share of the published dose, logs of kill, and whether that is enough."""

    law: str
    share: float
    logs: float
    enough: bool


def lethality(curve: Curve, *, of: str) -> Lethality:
    """Return the kill of a law along a core curve. Formula, validity and sources: module head.

    Raises ``BadValue`` for a curve whose times go back or that holds something that is no temperature, and for an
    unknown law.
    """
    known = law(of)
    share = _dose(curve, known)
    return Lethality(of, share, share * known.logs, share >= 1.0)


def equivalent_minutes(curve: Curve, *, ref_c: float = 70.0, z_kelvin: float = 7.5) -> float:
    """Return the minutes at `ref_c` [°C] that do as much as the curve: integral 10^((T - ref)/z) dt.

    Nothing counts 10 K and more below `ref_c`, and 10 K above it the rate stays: the span of the published UK
    equivalents. Raises ``BadValue``.
    """
    at = food_c(ref_c, "reference temperature")
    z = number(z_kelvin, "z", "K", low=3.0, high=50.0)
    return _dose(curve, _straight("equivalent", span_c=(at - 10.0, at + 10.0), ref=(at, 1.0), z=z, logs=1.0))


def minutes_between(curve: Curve, *, low_c: float = 5.0, high_c: float = 60.0) -> float:
    """Return the minutes that a core curve spends between `low_c` and `high_c` [°C], the danger zone by default.

    The limits differ by country: 4.4-60 (US home), 5-57 (US Food Code), 8-63 °C (UK law); all published limits lie
    within the ranges of lexicon/heat.yaml. Raises ``BadValue`` for limits the wrong way round.
    """
    bottom = number(low_c, "lower limit", "°C", low=-40.0, high=300.0)
    top = number(high_c, "upper limit", "°C", low=-40.0, high=300.0)
    if bottom >= top:
        raise BadValue(f"the lower limit of {low_c:g} °C must lie below the upper one of {high_c:g} °C")
    times, cores = _checked(curve)
    low, high = np.minimum(cores[1:], cores[:-1]), np.maximum(cores[1:], cores[:-1])
    return float(np.sum(np.diff(times) * _share_between(low, high, bottom, top)))
