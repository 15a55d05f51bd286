"""What an estimate says to the cook besides its minutes."""

from __future__ import annotations

# What decides in classes of food whose end is not, or not only, a core temperature.
BY_CLASS = {
    "poultry": "poultry: plan by the latest time and go by a probe in the thickest part",
    "mince": "minced meat: plan by the latest time and go by a probe in the middle",
    "pork": "pork: plan by the latest time and go by a probe in the middle",
    "bread": "bread: colour and crust decide; keep to the zone nearest the recipe",
    "egg-custard": "custard: its water bath sets the pace, not the oven; go by the wobble",
    "root": "vegetables in pieces: softness and colour decide; go by a knife",
    "gratin": "dish with a top: it must be hot in the middle and coloured on top; look at both",
}

NOT_READ = "the zone was not read with a thermometer today, so that the range is wider"
# A core asked for in red meat or pork from here on [°C] means soft, not done.
TENDER_C = 85.0
TENDER_CLASSES = ("red-meat", "pork")
TENDER = "done when soft, not at a core temperature: a fork decides, and the time is a rule of thumb"
SHORT = "under a quarter of an hour door, tray and skin decide: stay by it and go by eye"
NO_BODY = "the recipe's own oven and time do not fit this kind of food; the time is by rule of thumb only"
CARRIED = "the heat of the hot start may carry it on sooner: look early, and go by a probe"


def too_close(zone_c: float, level_c: float, core_c: float) -> str:
    """Why a zone whose equilibrium (`level_c`) lies too close to the core wanted does not finish the food; all °C."""
    return (
        f"will not finish here: a zone of {zone_c:.0f} °C takes this food towards {level_c:.0f} °C, "
        f"too close to its {core_c:.0f} °C"
    )


def too_long(ratio: float, recipe_minutes: float) -> str:
    """Why a zone that needs `ratio` times the recipe's time does not finish the food."""
    return f"will not finish here in reasonable time: about {ratio:.1f} times the recipe's {recipe_minutes:g} minutes"


def far(change: float) -> str:
    """What to say of a zone `change` [K] from the recipe's oven."""
    return (
        f"{abs(change):.0f} °C from the recipe's oven: no published figure supports one time; "
        "two stays or a nearer zone are safer"
    )
