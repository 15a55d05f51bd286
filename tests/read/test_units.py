"""Kitchen units against the definitions of the SI Brochure and NIST SP 811."""

from __future__ import annotations

import subprocess
import sys

import pytest

from converter import units
from converter.units import Difference, Temperature


@pytest.mark.parametrize(
    ("unit", "seconds"),
    [("second", 1), ("minute", 60), ("hour", 3600), ("day", 86400), ("week", 604800)],
)
def test_time_units_of_the_si_brochure(unit: str, seconds: float) -> None:
    assert units.seconds(unit) == pytest.approx(seconds, rel=1e-12)


def test_the_constants_are_the_registry_s_own_factors() -> None:
    for name in ("second", "minute", "hour", "day", "week", "month", "year"):
        assert getattr(units, name.upper()) == pytest.approx(units.seconds(name), rel=1e-12), name


@pytest.mark.parametrize(
    ("unit", "kilograms"),
    [("kg", 1), ("g", 1e-3), ("lb", 0.45359237), ("oz", 0.028349523125), ("stone", 6.35029318)],
)
def test_weights(unit: str, kilograms: float) -> None:
    """NIST SP 811 B.8: pound and ounce avoirdupois; a stone is 14 lb."""
    assert units.kilograms(unit) == pytest.approx(kilograms, rel=1e-9)


@pytest.mark.parametrize(
    ("unit", "litres"),
    [
        ("ml", 0.001),
        ("us_gallon", 3.785411784),  # SP 811 B.8
        ("us_pint", 0.473176473),
        ("us_cup", 0.2365882365),
        ("us_fluid_ounce", 0.0295735295625),
        ("us_tablespoon", 0.01478676478125),
        ("us_teaspoon", 0.00492892159375),
        ("uk_gallon", 4.54609),  # Weights and Measures Act 1985
        ("uk_pint", 0.56826125),
        ("uk_fluid_ounce", 0.0284130625),
        ("metric_cup", 0.25),
        ("metric_tablespoon", 0.015),
        ("metric_teaspoon", 0.005),
    ],
)
def test_volumes(unit: str, litres: float) -> None:
    assert units.litres(unit) == pytest.approx(litres, rel=1e-9)


def test_a_unit_of_another_quantity_is_refused() -> None:
    with pytest.raises(ValueError, match="not a unit of mass"):
        units.kilograms("hour")
    with pytest.raises(ValueError, match="not a unit of time"):
        units.seconds("fortnite")
    with pytest.raises(KeyError):
        units.factor("hour", quantity="temperature")


@pytest.mark.parametrize(("fahrenheit", "celsius"), [(32, 0), (212, 100), (-40, -40), (350, 176.667), (98.6, 37)])
def test_fahrenheit_scale(fahrenheit: float, celsius: float) -> None:
    """NIST SP 811 B.8 and the fixed points: ice 32 °F = 0 °C, steam 212 °F = 100 °C."""
    assert units.to_celsius(fahrenheit) == pytest.approx(celsius, abs=1e-3)
    assert units.to_fahrenheit(units.to_celsius(fahrenheit)) == pytest.approx(fahrenheit)


@pytest.mark.parametrize("fahrenheit", [-40, 0, 32, 212, 451])
def test_the_plain_formula_is_pint_s(fahrenheit: float) -> None:
    made = units.registry().Quantity(fahrenheit, "degree_fahrenheit").to("degree_celsius").magnitude
    assert units.to_celsius(fahrenheit) == pytest.approx(made, abs=1e-9)


def test_a_difference_is_not_a_temperature() -> None:
    oven, rise = Temperature(180), Difference(20)
    assert oven + rise == Temperature(200)
    assert Temperature(200) - oven == rise
    assert Difference.of_fahrenheit(25).kelvin == pytest.approx(13.889, abs=1e-3)
    assert Temperature.of_fahrenheit(25).celsius == pytest.approx(-3.889, abs=1e-3)
    with pytest.raises(TypeError):
        oven + oven  # type: ignore[operator]
    with pytest.raises(TypeError):
        rise + oven  # type: ignore[operator]
    with pytest.raises(TypeError):
        oven - rise  # type: ignore[operator]
    with pytest.raises(TypeError):
        assert oven > rise  # type: ignore[operator]


def test_pint_refuses_the_same_mixture() -> None:
    import pint

    registry = units.registry()
    hot = registry.Quantity(180, "degree_celsius")
    with pytest.raises(pint.OffsetUnitCalculusError):
        hot + hot
    assert (hot + registry.Quantity(20, "delta_degree_celsius")).magnitude == pytest.approx(200)


def test_reading_does_not_load_pint() -> None:
    code = "import sys, converter.read.mentions; sys.exit('pint' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
