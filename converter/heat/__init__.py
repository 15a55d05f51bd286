"""Heat into food: what a zone does to its surface, how long the middle takes. Knows nothing of recipes.

Units: °C, seconds, metres, watts. Whatever cannot be answered raises a `HeatError`; no function returns NaN.
A joint that its recipe roasts for 90 minutes at 180 °C, to 60 °C in the middle, in two zones and then at rest:

>>> meat = material("red-meat")
>>> dial = film(Surroundings(180.0), start_c=meat.start_c, wetness=meat.wetness)
>>> joint = size_from_time(dial, shape=meat.shape, time_s=90 * 60.0, start_c=meat.start_c, core_c=60.0,
...                        k_w_mk=meat.k_w_mk, alpha_m2_s=meat.alpha_m2_s)
>>> stays = [Stay(Surroundings(235.0), 20 * 60.0), Stay(Surroundings(120.0))]
>>> legs = legs_of(joint, stays, start_c=meat.start_c, wetness=meat.wetness)
>>> time_s = chain_to_core(joint, legs, start_c=meat.start_c, core_c=60.0)
>>> f"{2000 * joint.half_m:.0f} mm thick, {time_s / 60:.0f} minutes"
'93 mm thick, 113 minutes'
>>> ends = [legs[0], Leg(legs[1].film, time_s - 20 * 60.0)]
>>> rise = rest_in_room(joint, profile_after(joint, ends, start_c=meat.start_c), wetness=meat.wetness)
>>> f"the core rises by {rise.rise_kelvin:.1f} K in {rise.seconds / 60:.0f} minutes"
'the core rises by 3.8 K in 23 minutes'
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
