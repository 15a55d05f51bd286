"""Bodies that stand for food: slab, long cylinder, sphere; their size, their cells, their exact eigenvalues.

All lengths of `cells` and `eigenvalues` are shares of the half thickness (slab) or radius (cylinder, sphere).
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import pi
from typing import Final, Literal, NamedTuple

import numpy as np
from numpy.typing import NDArray

from converter.heat.errors import BadValue, number

Shape = Literal["slab", "cylinder", "sphere"]
Array = NDArray[np.float64]

# Dimension of the flow of heat: area at x goes with x to the power (dimension - 1).
DIMENSION: Final[dict[str, int]] = {"slab": 1, "cylinder": 2, "sphere": 3}
CELLS: Final = 20
HALF_M = (0.0005, 0.5)  # from a thin biscuit to a large bird


def known_shape(shape: str) -> Shape:
    """Return `shape` if it is slab, cylinder or sphere; raises ``BadValue``."""
    if shape not in DIMENSION:
        raise BadValue(f"the shape {shape!r} is unknown; it must be slab, cylinder or sphere")
    return shape  # type: ignore[return-value]


@dataclass(frozen=True, slots=True)
class Body:
    """A piece of food of one shape and constant properties.

    Parameters
    ----------
    shape : slab (heated alike on both faces), cylinder (long) or sphere
    half_m : half thickness of the slab, radius of the others [m], 0.0005 to 0.5
    k_w_mk : conductivity [W/(m K)], 0.02 to 5
    alpha_m2_s : diffusivity [m2/s], 2e-8 to 5e-6

    Raises ``BadValue`` outside those ranges.
    """

    shape: Shape
    half_m: float
    k_w_mk: float
    alpha_m2_s: float

    def __post_init__(self) -> None:
        known_shape(self.shape)
        number(self.half_m, "half thickness", "m", low=HALF_M[0], high=HALF_M[1])
        check_properties(self.k_w_mk, self.alpha_m2_s)

    @property
    def time_scale_s(self) -> float:
        """Seconds of one Fourier number, half_m^2 / alpha."""
        return self.half_m * self.half_m / self.alpha_m2_s

    def biot(self, h_w_m2k: float) -> float:
        """Return h half_m / k [-]; raises ``BadValue``."""
        return number(h_w_m2k, "film coefficient", "W/(m2 K)", low=0.01, high=1e6) * self.half_m / self.k_w_mk


def check_properties(k_w_mk: float, alpha_m2_s: float) -> None:
    """Raise ``BadValue`` for a conductivity or a diffusivity that no food has."""
    number(k_w_mk, "conductivity", "W/(m K)", low=0.02, high=5.0)
    number(alpha_m2_s, "diffusivity", "m2/s", low=2e-8, high=5e-6)


def half_of_weight(*, shape: Shape, grams: float, density_kg_m3: float = 1050.0, length_ratio: float = 2.0) -> float:
    """Return half thickness or radius [m] of a piece that weighs `grams` [g].

    Sphere: r = (3 V / 4 pi)^(1/3). Cylinder of length `length_ratio` diameters: r = (V / (2 pi ratio))^(1/3).
    Square slab, `length_ratio` thicknesses long and wide: half = (V / ratio^2)^(1/3) / 2.
    Raises ``BadValue`` for a weight outside 0.1 g to 60 kg, a density outside 50-2000 kg/m3, a ratio outside 1-50.
    """
    known_shape(shape)
    mass_kg = number(grams, "weight", "g", low=0.1, high=60000.0) / 1000.0
    ratio = number(length_ratio, "length ratio", "(1 to 50)", low=1.0, high=50.0)
    volume = mass_kg / number(density_kg_m3, "density", "kg/m3", low=50.0, high=2000.0)
    if shape == "sphere":
        return float((3.0 * volume / (4.0 * pi)) ** (1.0 / 3.0))
    if shape == "cylinder":
        return float((volume / (2.0 * pi * ratio)) ** (1.0 / 3.0))
    return float(0.5 * (volume / ratio**2) ** (1.0 / 3.0))


class Cells(NamedTuple):
    """Finite volumes of a shape: `middle` (n,), `volume` (n,) summing to 1/dimension, `link` (n - 1,), `skin`.

    `link` is area over distance between neighbours; `skin` the distance from the last middle to the surface.
    `centre` (n,) are the weights that give the value at the centre from the cells.
    """

    middle: Array
    volume: Array
    link: Array
    skin: float
    centre: Array


@cache
def cells(shape: Shape) -> Cells:
    """Return the `CELLS` finite volumes of a shape, all of one width."""
    power = DIMENSION[known_shape(shape)]
    faces = np.linspace(0.0, 1.0, CELLS + 1)
    middle = 0.5 * (faces[1:] + faces[:-1])
    volume = np.diff(faces**power) / power
    link = faces[1:-1] ** (power - 1) / np.diff(middle)
    centre = np.zeros(CELLS)
    centre[:2] = 9.0 / 8.0, -1.0 / 8.0  # parabola through the first two middles
    return Cells(middle, volume, link, float(1.0 - middle[-1]), centre)


class Modes(NamedTuple):
    """Solution in time of a body in one zone: `rate` (..., n) per Fourier number, `into` and `back` (..., n, n).

    A profile u (n,) of excess over Teq becomes back @ (exp(-rate Fo) * (into @ u)).
    """

    rate: Array
    into: Array
    back: Array


@cache
def _inside(shape: Shape) -> tuple[Array, Array]:
    """Return W^-1 K W^-1 of a body with no heat through its surface (n, n), and W (n,), W = V^(1/2)."""
    mesh = cells(shape)
    root = np.sqrt(mesh.volume)
    matrix = np.diag(np.append(mesh.link, 0.0) + np.append(0.0, mesh.link))
    matrix -= np.diag(mesh.link, 1) + np.diag(mesh.link, -1)
    return matrix / (root[:, None] * root[None, :]), root


def modes(shape: Shape, biot: float | Array) -> Modes:
    """Return the modes of a shape at one Biot number, or at many at once (leading axis).

    The finite volumes give V du/dFo = -K u; with W = V^(1/2) the matrix W^-1 K W^-1 is symmetric. The surface adds
    Bi / (1 + Bi skin) to the last cell: the film and the half cell in series.
    """
    inside, root = _inside(shape)
    at = np.asarray(biot, dtype=np.float64)
    matrix = np.empty((*at.shape, CELLS, CELLS))
    matrix[...] = inside
    matrix[..., -1, -1] += at / ((1.0 + at * cells(shape).skin) * cells(shape).volume[-1])
    rate, vectors = np.linalg.eigh(matrix)
    return Modes(rate, np.swapaxes(vectors, -1, -2) * root, vectors / root[:, None])
