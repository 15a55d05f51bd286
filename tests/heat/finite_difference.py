"""A second method for the tests: explicit finite differences on nodes, with the surface law as it is (T^4, steam).

It shares nothing with the package: nodes instead of cells, steps in time instead of modes, its own writing of the
law. Many bodies of one shape march side by side, each with its own step.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np

NODES = 25
POWER = {"slab": 0, "cylinder": 1, "sphere": 2}


@dataclass
class Law:
    """The full law of a zone; fields are numbers or arrays over the bodies. Linear: w = eps = 0."""

    air_c: np.ndarray | float
    h: np.ndarray | float = 7.0
    eps: np.ndarray | float = 0.9
    wet: np.ndarray | float = 0.0
    vapour_pa: np.ndarray | float = 5000.0

    def flux(self, surface: np.ndarray) -> np.ndarray:
        capped = np.minimum(surface, 100.0)
        steam = 610.94 * np.exp(17.625 * capped / (243.04 + capped))
        air = np.asarray(self.air_c, dtype=float)
        out = self.h * (air - surface)
        out = out + 5.670374419e-8 * self.eps * ((air + 273.15) ** 4 - (surface + 273.15) ** 4)
        return out - 0.01625 * self.wet * self.h * (steam - self.vapour_pa)


class March:
    """Bodies of one shape, all starting at `start_c`; temperatures `t` (bodies, nodes), clock `now` (bodies,) [s]."""

    def __init__(self, shape: str, half_m: np.ndarray, k: np.ndarray, alpha: np.ndarray, start_c: np.ndarray) -> None:
        given = (np.atleast_1d(x).astype(float) for x in (half_m, k, alpha, start_c))
        half, self.k, alpha, start = np.broadcast_arrays(*given)
        self.power = POWER[shape]
        x = np.linspace(0.0, 1.0, NODES)
        self.step = x[1]
        faces = 0.5 * (x[1:] + x[:-1])
        edges = np.concatenate(([0.0], faces, [1.0]))
        self.area = faces**self.power
        self.volume = np.diff(edges ** (self.power + 1)) / (self.power + 1)
        self.half = half
        self.scale = half**2 / alpha
        self.t = np.repeat(start[:, None], NODES, axis=1)
        self.now = np.zeros(half.size)
        self.heat = np.zeros(half.size)  # taken up [J/m2 of surface]

    def run(self, law: Law, *, until: Callable[[March], bool], most_fourier: float, biot: float = 12.0) -> None:
        """March until `until` is true or the Fourier number has grown by `most_fourier`. `biot` bounds the step."""
        gain = 2.0 * (self.power + 1) / self.step**2
        skin = (self.area[-1] / self.step + biot) / self.volume[-1]
        d_fo = 0.9 / max(gain, skin)
        for _ in range(int(most_fourier / d_fo) + 1):
            flow = self.area * np.diff(self.t, axis=1) / self.step
            flux = np.atleast_1d(law.flux(self.t[:, -1]))
            change = np.zeros_like(self.t)
            change[:, :-1] += flow
            change[:, 1:] -= flow
            change[:, -1] += flux * self.half / self.k
            self.t += d_fo * change / self.volume
            self.now += d_fo * self.scale
            self.heat += flux * d_fo * self.scale
            if until(self):
                return


def times_to_core(march: March, law: Law, core_c: np.ndarray, *, most_fourier: float, biot: float = 12.0) -> np.ndarray:
    """Return for each body the seconds until its middle node passes `core_c`; NaN where it does not."""
    core = np.broadcast_to(np.asarray(core_c, dtype=float), march.now.shape)
    found = np.full(march.now.shape, np.nan)
    before = [march.t[:, 0].copy(), march.now.copy()]

    def passed(state: March) -> bool:
        centre = state.t[:, 0]
        new = np.isnan(found) & (centre >= core)
        if new.any():
            share = (core - before[0])[new] / (centre - before[0])[new]
            found[new] = before[1][new] + share * (state.now - before[1])[new]
        before[0], before[1] = centre.copy(), state.now.copy()
        return not np.isnan(found).any()

    march.run(law, until=passed, most_fourier=most_fourier, biot=biot)
    return found
