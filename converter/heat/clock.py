"""The empirical clock: how a recipe's minutes change with the oven, and how one cooker's own slope is learnt.

    t2 = t1 exp(-beta (T2 - T1)),   beta = slope - 0.0015 ln(t1 / 60 min), held in 0.007..0.0125 per K

Units: minutes, °C of the air of a still oven, 1/K. Validity: 10 minutes to 6 hours, 80 to 260 °C, changes up to
40 K; food that is done at a core temperature. Error on published pairs of the same food at two ovens: see
tests/benchmarks/heat_pairs.py (about 7 %). Source: our own fit to those pairs; the constants stand in
lexicon/heat.yaml. The slope is a habit of charts and cooks, so that nothing here may set a limit of safety.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from converter.heat.constants import value
from converter.heat.errors import BadValue, number

LONGEST_MINUTES = 3 * 1440.0
SLOPES = (0.003, 0.025)


def minutes_of(minutes: float, name: str = "recipe time") -> float:
    """Return a cooking time [min]; raises ``BadValue`` unless it lies between 3 s and 3 days."""
    return number(minutes, name, "minutes", low=0.05, high=LONGEST_MINUTES)


def oven_c(celsius: float, name: str) -> float:
    """Return the air temperature of an oven [°C]; raises ``BadValue`` outside 20 to 550 °C."""
    return number(celsius, name, "°C", low=20.0, high=550.0)


def slope_of(minutes: float, *, slope: float | None = None) -> float:
    """Return beta [1/K] for a recipe time in minutes.

    `slope` [1/K] is its value at 60 minutes, 0.0105 where not given; the limits 0.007 and 0.0125 move with it.
    Raises ``BadValue`` for a slope outside 0.003 to 0.025 per K or an absurd time. Source: module head.
    """
    usual = value("clock.slope")
    own = usual if slope is None else number(slope, "slope of the clock", "per °C", low=SLOPES[0], high=SLOPES[1])
    beta = own - value("clock.slope_per_log") * math.log(minutes_of(minutes) / 60.0)
    moved = own - usual
    return min(max(beta, value("clock.slope_least") + moved), value("clock.slope_most") + moved)


def clock_minutes(
    minutes: float, *, from_c: float, to_c: float, slope: float | None = None, short_limits: bool = False
) -> float:
    """Return the minutes at `to_c` for a recipe's `minutes` at `from_c` (°C, still oven; for a fan add 20 °C first).

    ``short_limits`` holds the change of a short time to a fifth either way up to 15 minutes, because door, tray and
    skin decide there (common practice, no source). The limits widen with n quarter hours, to 0.8^n and 1.2^(n^2), so
    that a longer recipe never becomes the shorter one; from 45 minutes on they bind for no move of 60 K or less.
    Raises ``BadValue``. Formula, validity, error and source: module head.
    """
    cool, warm = oven_c(from_c, "the recipe's oven"), oven_c(to_c, "the zone")
    factor = math.exp(-slope_of(minutes, slope=slope) * (warm - cool))
    if short_limits:
        share, quarters = value("clock.short_share"), max(1.0, minutes / value("clock.short"))
        upper = (1.0 + share) ** min(quarters**2, 100.0)  # far above any change; a day of quarters is no float
        factor = min(max(factor, (1.0 - share) ** quarters), upper)
    return minutes * factor


@dataclass(frozen=True, slots=True)
class CookLog:
    """One thing cooked on this cooker by feel or probe, not by the clock.

    The recipe's minutes and oven [°C], the zone as read with a thermometer [°C], the minutes it took.
    """

    recipe_minutes: float
    from_c: float
    zone_c: float
    minutes_taken: float

    def __post_init__(self) -> None:
        minutes_of(self.recipe_minutes)
        minutes_of(self.minutes_taken, "time taken")
        oven_c(self.from_c, "the recipe's oven")
        oven_c(self.zone_c, "the zone")
        if not 0.1 <= self.minutes_taken / self.recipe_minutes <= 10.0:
            raise BadValue(
                f"{self.minutes_taken:g} minutes taken against {self.recipe_minutes:g} minutes in the recipe "
                "cannot be the same dish; a log must be within ten times"
            )


@dataclass(frozen=True, slots=True)
class SlopePrior:
    """What is believed of the slope [1/K at 60 minutes] before any log: mean and standard deviation."""

    mean: float
    sd: float

    def __post_init__(self) -> None:
        number(self.mean, "mean slope", "per °C", low=SLOPES[0], high=SLOPES[1])
        number(self.sd, "spread of the slope", "per °C", low=1e-5, high=0.02)


@dataclass(frozen=True, slots=True)
class SlopePosterior:
    """The slope after the logs: `mean` and `sd` [1/K at 60 minutes], the prior, and the `n` logs that tell.

    `surprises` gives for each log how many standard deviations it lies from what the prior and the other logs
    lead one to expect; 0 for a log that tells nothing.
    """

    prior: SlopePrior
    mean: float
    sd: float
    n: int
    logs: tuple[CookLog, ...]
    surprises: tuple[float, ...]

    @property
    def slope(self) -> float:
        """The mean, held to what the clock accepts [1/K]."""
        return min(max(self.mean, SLOPES[0]), SLOPES[1])

    def without(self, index: int) -> SlopePosterior:
        """Return the posterior with one log dropped (counted from 0); raises ``BadValue`` for no such log."""
        if not 0 <= index < len(self.logs):
            raise BadValue(f"there is no log {index}; the logs are numbered 0 to {len(self.logs) - 1}")
        return update(self.prior, (*self.logs[:index], *self.logs[index + 1 :]))

    def words(self) -> str:
        """Return prior, posterior and n in one line."""
        before, after = 100 * self.prior.mean, 100 * self.mean
        return (
            f"before {before:.2f} ± {100 * self.prior.sd:.2f} % per °C, "
            f"after {self.n} log{'' if self.n == 1 else 's'} {after:.2f} ± {100 * self.sd:.2f} %"
        )


def usual_prior() -> SlopePrior:
    """Return the prior: 0.0105 per K from the published pairs, spread 0.0025 (assumed; series scatter by 0.0032)."""
    return SlopePrior(value("clock.slope"), value("clock.slope_prior_sd"))


def _seen(log: CookLog) -> tuple[float, float]:
    """The slope [1/K] that one log shows, brought to 60 minutes, and its precision [K^2]."""
    change = log.zone_c - log.from_c
    if change == 0.0:
        return 0.0, 0.0
    shown = -math.log(log.minutes_taken / log.recipe_minutes) / change
    shown += value("clock.slope_per_log") * math.log(log.recipe_minutes / 60.0)
    return shown, (change / value("clock.log_sd")) ** 2


def update(prior: SlopePrior, logs: Iterable[CookLog]) -> SlopePosterior:
    """Return the conjugate update of the slope by `logs`.

    ln(taken / recipe) = -beta (zone - from) + noise, noise normal with sd 0.12: each log shows a slope with sd
    0.12 / |zone - from|; normal prior times normal likelihood, 1/sd^2 = 1/sd0^2 + sum 1/sd_i^2,
    mean = sd^2 (mean0/sd0^2 + sum s_i/sd_i^2). A log at the recipe's own temperature tells nothing and is not
    counted in n. One cooker, one cook. Never for limits of safety. Source: Gelman et al., Bayesian Data Analysis,
    section 2.5 (normal mean with known variance), from memory.
    """
    kept = tuple(logs)
    seen = [_seen(log) for log in kept]
    before = 1.0 / prior.sd**2
    precision = before + sum(weight for _, weight in seen)
    total = prior.mean * before + sum(shown * weight for shown, weight in seen)
    surprises = []
    for shown, weight in seen:
        if weight == 0.0:
            surprises.append(0.0)
            continue
        rest = precision - weight
        expected = (total - shown * weight) / rest
        surprises.append((shown - expected) / math.sqrt(1.0 / rest + 1.0 / weight))
    n = sum(1 for _, weight in seen if weight > 0.0)
    return SlopePosterior(prior, total / precision, precision**-0.5, n, kept, tuple(surprises))


def as_prior(posterior: SlopePosterior) -> SlopePrior:
    """Return a posterior as the prior of the next logs; raises ``BadValue`` where it left the clock's slopes."""
    return replace(posterior.prior, mean=posterior.mean, sd=posterior.sd)
