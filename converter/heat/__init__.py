"""Heat into food: what a zone does to its surface, how long the middle takes. Knows nothing of recipes.

    material = heat.material("red-meat")
    oven = heat.film(heat.Surroundings(180.0), start_c=material.start_c, wetness=material.wetness)
    body = heat.size_from_time(oven, shape=material.shape, time_s=5400.0, start_c=material.start_c,
                               core_c=60.0, k_w_mk=material.k_w_mk, alpha_m2_s=material.alpha_m2_s)
    stays = [heat.Stay(heat.Surroundings(235.0), 1800.0), heat.Stay(heat.Surroundings(120.0))]
    legs = heat.legs_of(body, stays, start_c=material.start_c, wetness=material.wetness)
    heat.chain_to_core(body, legs, start_c=material.start_c, core_c=60.0)

Units: °C, seconds, metres, watts. Whatever cannot be answered raises a `HeatError`; no function returns NaN.
"""

from converter.heat.conduction import (
    Curve,
    Leg,
    Profile,
    Rise,
    carry_over,
    chain_to_core,
    core_curve,
    profile_after,
    size_from_time,
    time_to_core,
)
from converter.heat.errors import BadValue, HeatError, NeverDone, OutOfReach
from converter.heat.materials import Material, Value, material, materials
from converter.heat.shapes import Body, Shape, half_of_weight
from converter.heat.stays import Stay, legs_of, rest_in_room
from converter.heat.surfaces import Film, Surroundings, equilibrium_c, film, radiation_w_m2k, room, surface_flux

__all__ = [
    "BadValue",
    "Body",
    "Curve",
    "Film",
    "HeatError",
    "Leg",
    "Material",
    "NeverDone",
    "OutOfReach",
    "Profile",
    "Rise",
    "Shape",
    "Stay",
    "Surroundings",
    "Value",
    "carry_over",
    "chain_to_core",
    "core_curve",
    "equilibrium_c",
    "film",
    "half_of_weight",
    "legs_of",
    "material",
    "materials",
    "profile_after",
    "radiation_w_m2k",
    "rest_in_room",
    "room",
    "size_from_time",
    "surface_flux",
    "time_to_core",
]
