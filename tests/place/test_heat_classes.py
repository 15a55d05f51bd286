"""The table of how the heat model serves each class of food: whole, closed, and careful where it must be."""

from __future__ import annotations

import pytest

from converter import data
from converter.data import DataError
from converter.heat.materials import materials
from converter.place.heat_classes import RULE_OF_THUMB, heat_class, known_classes, parse, slow_limit
from converter.place.safety_table import limits

GOOD = """\
slow: {hours: 4, status: from-memory, source: a rule}
rows:
  - {serve: time, material: red-meat, classes: [steak], end: {limit: whole-core, target: medium, rise: true}}
  - {serve: rule-of-thumb, classes: [pie]}
"""


def parsed(text: str, *names: str) -> object:
    return parse(data.parse(text, "mine.yaml"), known=frozenset(names), where="mine.yaml")


def test_every_class_of_both_lexicons_stands_in_one_row() -> None:
    found, _ = parse(data.lexicon("heat_classes"), known=known_classes(), where="lexicon/heat_classes.yaml")
    assert found.keys() == known_classes()
    assert len(found) > 130


def test_materials_end_points_and_limits_exist() -> None:
    for name in known_classes():
        kind = heat_class(name)
        for material in (kind.material, kind.foil):
            assert material is None or material in materials(), name
        if kind.end is not None:
            assert kind.material is not None
            assert kind.end.target in materials()[kind.material].core_c, name
            assert kind.end.limit in limits(), name


@pytest.mark.parametrize(
    "name",
    ["poultry-whole", "poultry-pieces", "poultry-mince", "mince", "meatloaf", "sausage", "burger", "pork-joint", "ham"],
)
def test_birds_mince_and_pork_are_never_served_by_a_time_alone(name: str) -> None:
    kind = heat_class(name)
    assert kind.serve == "probe"
    assert kind.end is not None
    assert not kind.named
    assert not kind.end.rise, "a rise at rest must not be counted on"
    assert kind.material is not None
    # The target may not lie under the limit by more than the rounding of a figure published in °F.
    assert materials()[kind.material].core_c[kind.end.target] >= limits()[kind.end.limit].value - 3.0


@pytest.mark.parametrize("name", ["biscuit", "meringue", "custard", "bread", "puff-pastry", "stew", "brownie", "toast"])
def test_what_colour_crust_or_liquid_decides_goes_by_rule_of_thumb(name: str) -> None:
    kind = heat_class(name)
    assert not kind.by_model
    assert kind.end is None


@pytest.mark.parametrize("name", ["beef-joint", "lamb-joint", "steak", "fish", "sponge", "cupcake"])
def test_what_published_pairs_carry_over_has_a_time(name: str) -> None:
    assert heat_class(name).serve == "time"
    assert heat_class(name).by_model


def test_an_unknown_class_goes_by_rule_of_thumb() -> None:
    assert heat_class(None) is RULE_OF_THUMB
    assert heat_class("no such class") is RULE_OF_THUMB


def test_foil_makes_a_root_a_body_of_its_own() -> None:
    assert heat_class("root").serve == "rule-of-thumb"
    assert heat_class("root", foil=True).material == "foil-vegetable"
    assert heat_class("root", foil=True).by_model
    assert heat_class("beef-joint", foil=True) == heat_class("beef-joint")


def test_the_limit_of_slow_roasts_is_the_published_one() -> None:
    assert slow_limit().hours == 4
    assert "3-501.19" in slow_limit().source


@pytest.mark.parametrize(
    ("old", "new", "message"),
    [
        ("[pie]", "[pie, steak]", "'steak' stands in two rows"),
        ("[pie]", "[pie, cloud]", "'cloud' is no class"),
        ("[steak]", "[steak, scone]", "'scone' is no class"),
        ("serve: time", "serve: guess", "unknown way 'guess'; allowed are time, probe, rule-of-thumb"),
        ("material: red-meat, ", "", "need a material"),
        ("rise: true", "rise: 3", "'rise' is true or false"),
        ("[pie]", "[]", "at least one class"),
        ("hours: 4", "hours: 6", "4 at the most"),
        ("hours: 4", "hours: true", "must be a number"),
    ],
)
def test_a_wrong_table_is_refused_with_its_place(old: str, new: str, message: str) -> None:
    parsed(GOOD, "steak", "pie")
    with pytest.raises(DataError, match=message) as error:
        parsed(GOOD.replace(old, new), "steak", "pie")
    assert error.value.where.startswith("mine.yaml:")


def test_a_class_without_a_row_is_refused() -> None:
    with pytest.raises(DataError, match="no row names fish, tart"):
        parsed(GOOD, "steak", "pie", "tart", "fish")
