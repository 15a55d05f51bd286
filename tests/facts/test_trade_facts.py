"""The built-in cookers against what cooks on heat-storage ranges commonly find.

The figures are typed here a second time, from the trade and not from the
YAML: they must hold for any honest set of default temperatures.
"""

from __future__ import annotations

from itertools import pairwise

import pytest

from converter.place import cookers
from converter.place.profiles import LEVELS, SIDES, kinds

ALL = cookers.builtin()
WITH_MODERATE = ("three-oven", "four-oven", "five-oven")
WITH_HOLDING = ("four-oven", "five-oven")
BOILING_C = 100.0  # water at sea level, by the old definition of the Celsius scale

# Usual temperatures: common practice, no source.
USUAL_C = {
    "hot-plate": (320, 380),
    "gentle-plate": (170, 210),
    "warm-plate": (50, 80),
    "hot-oven": (220, 250),
    "moderate-oven": (160, 190),
    "low-oven": (100, 130),
    "holding-oven": (60, 85),
}


@pytest.mark.parametrize("name", ALL)
def test_every_zone_is_at_its_usual_heat(name):
    # common practice, no source; at every height of an oven, not only in the middle
    for zone in cookers.load(name).zones:
        low, high = USUAL_C[zone.kind]
        for celsius in zone.celsius.values():
            assert low <= celsius <= high, zone


def test_the_table_of_kinds_has_the_usual_ranges():
    # common practice, no source; the note "outside the usual" hangs on these
    assert {kind: row.usual_c for kind, row in kinds().items()} == USUAL_C


@pytest.mark.parametrize("name", ALL)
def test_gentle_plate_is_about_half_as_hot_as_the_hot_plate(name):
    # common practice, no source; "about" taken as 45 to 60 %
    made = cookers.load(name)
    assert 0.45 <= made.zone("gentle-plate").at() / made.zone("hot-plate").at() <= 0.60


@pytest.mark.parametrize("name", ALL)
def test_gentle_plate_still_boils_water(name):
    # common practice, no source: what goes on cold comes slowly to the boil
    assert cookers.load(name).zone("gentle-plate").at() > BOILING_C + 50


@pytest.mark.parametrize("name", ALL)
def test_low_oven_keeps_a_pot_simmering_at_every_height(name):
    # common practice, no source: the low oven stands above boiling point
    for zone in cookers.load(name).ovens:
        if zone.kind == "low-oven":
            assert min(zone.celsius.values()) > BOILING_C


@pytest.mark.parametrize("name", WITH_HOLDING)
def test_holding_oven_never_boils_and_keeps_food_hot(name):
    # below boiling point: common practice, no source
    # 63 °C for food kept hot: The Food Hygiene (Wales) Regulations 2006 (W.S.I. 2006/31), Schedule 4 paragraph 6,
    # https://www.legislation.gov.uk/wsi/2006/31/schedule/4/paragraph/6/made
    holding = cookers.load(name).zone("holding-oven")
    assert max(holding.celsius.values()) < BOILING_C
    assert min(holding.celsius.values()) >= 63


@pytest.mark.parametrize("name", WITH_MODERATE)
def test_moderate_oven_is_about_halfway_between_hot_and_low(name):
    # common practice, no source; "about" taken as the middle third of the way
    made = cookers.load(name)
    hot_c, low_c = made.zone("hot-oven").at(), made.zone("low-oven").at()
    share = (made.zone("moderate-oven").at() - low_c) / (hot_c - low_c)
    assert 1 / 3 <= share <= 2 / 3


@pytest.mark.parametrize("name", WITH_MODERATE)
def test_moderate_oven_is_clearly_hotter_at_the_top(name):
    # common practice, no source; "clearly" taken as 15 K from the low shelf to the high one
    moderate = cookers.load(name).zone("moderate-oven")
    assert moderate.at("high") - moderate.at("low") >= 15


@pytest.mark.parametrize("name", ALL)
def test_no_shelf_is_hotter_than_the_one_above(name):
    # common practice, no source: every oven is hotter towards the roof, or even
    for zone in cookers.load(name).ovens:
        heats = [zone.at(height) for height in ("roof", "high", "middle", "low")]
        assert heats == sorted(heats, reverse=True)


@pytest.mark.parametrize("name", ALL)
def test_hot_oven_grills_at_the_roof_and_fries_on_the_floor(name):
    # common practice, no source: the roof is the hottest place; the floor is iron over the heat, hotter than the
    # shelf just above it, hot enough to fry (hotter than the gentle plate, on which drop scones brown) and
    # not hotter than the hot plate
    made = cookers.load(name)
    hot = made.zone("hot-oven")
    assert max(hot.celsius, key=lambda height: hot.celsius[height]) == "roof"
    assert hot.at("floor") > hot.at("low")
    assert made.zone("gentle-plate").at() < hot.at("floor") <= made.zone("hot-plate").at()


@pytest.mark.parametrize("name", ALL)
def test_shield_makes_the_low_shelf_of_the_hot_oven_milder_but_not_moderate(name):
    # common practice, no source: a cold tray holds off the roof's heat, it does not turn the oven down
    made = cookers.load(name)
    hot = made.zone("hot-oven")
    assert hot.shield_c is not None
    assert hot.at("low") - 30 <= hot.shield_c <= hot.at("low") - 10
    if made.has("moderate-oven"):
        assert hot.shield_c > made.zone("moderate-oven").at("roof")


# Common practice, no source: the usual layouts by their number of ovens.
LAYOUTS = {
    "two-oven": ["hot-oven", "low-oven"],
    "three-oven": ["hot-oven", "low-oven", "moderate-oven"],
    "four-oven": ["holding-oven", "hot-oven", "low-oven", "moderate-oven"],
    "five-oven": ["holding-oven", "hot-oven", "low-oven", "low-oven", "moderate-oven"],
}


@pytest.mark.parametrize("name", ALL)
def test_ovens_by_layout(name):
    # common practice, no source
    assert sorted(zone.kind for zone in cookers.load(name).ovens) == LAYOUTS[name]


@pytest.mark.parametrize("name", ALL)
def test_hot_plate_left_and_gentle_plate_right(name):
    # common practice, no source
    made = cookers.load(name)
    assert SIDES.index(made.zone("hot-plate").side) < SIDES.index(made.zone("gentle-plate").side)
    assert [made.zone(kind).level for kind in ("hot-plate", "gentle-plate")] == ["top", "top"]


@pytest.mark.parametrize("name", ALL)
def test_warm_plate_comes_with_four_ovens(name):
    # common practice, no source
    assert cookers.load(name).has("warm-plate") == (name in WITH_HOLDING)


def over(made: cookers.Cooker, upper: str, lower: str) -> bool:
    """Tell whether some zone of the one kind stands right over some zone of the other."""
    return any(
        a.side == b.side and LEVELS.index(a.level) < LEVELS.index(b.level)
        for a in made.ovens
        for b in made.ovens
        if (a.kind, b.kind) == (upper, lower)
    )


def test_what_stands_over_what():
    # common practice, no source
    two, three, four, five = (cookers.load(name) for name in ALL)
    assert over(two, "hot-oven", "low-oven")
    assert over(three, "hot-oven", "low-oven")
    assert over(five, "hot-oven", "low-oven")
    assert over(four, "hot-oven", "moderate-oven")
    assert over(four, "low-oven", "holding-oven")
    assert over(five, "low-oven", "holding-oven")
    assert SIDES.index(four.zone("low-oven").side) < SIDES.index(four.zone("hot-oven").side)


@pytest.mark.parametrize("name", ["three-oven", "five-oven"])
def test_moderate_oven_beside_the_low_oven(name):
    # common practice, no source
    made = cookers.load(name)
    moderate, low = made.zone("moderate-oven"), made.zone("low-oven")
    assert moderate.level == low.level
    assert abs(SIDES.index(moderate.side) - SIDES.index(low.side)) in (1, 2)


@pytest.mark.parametrize(
    ("name", "dial_c", "kind"),
    [
        # common practice, no source: where a teacher puts what the dial says, single zone, no shield
        *((name, dial_c, "hot-oven") for name in ALL for dial_c in (250, 240, 230, 220, 210)),
        *((name, dial_c, "moderate-oven") for name in WITH_MODERATE for dial_c in (190, 180, 175, 170, 160)),
        *((name, dial_c, "low-oven") for name in ALL for dial_c in (130, 120, 110, 100)),
        *((name, dial_c, "holding-oven") for name in WITH_HOLDING for dial_c in (80, 70, 60)),
        *(("two-oven", dial_c, "hot-oven") for dial_c in (190, 180)),
        ("two-oven", 150, "low-oven"),
    ],
)
def test_the_nearest_zone_is_where_a_teacher_sends_it(name, dial_c, kind):
    assert cookers.load(name).nearest(dial_c)[0].kind == kind


def test_higher_dial_never_goes_to_a_cooler_place():
    # follows from "hotter is another zone or height": common practice, no source
    for name in ALL:
        made = cookers.load(name)
        heats = [zone.at(height) for zone, height, _ in (made.nearest(dial_c) for dial_c in range(60, 301))]
        steps = [(a, b) for a, b in pairwise(heats) if b < a - 5]
        assert steps == []
