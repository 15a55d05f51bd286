"""The table of published core temperatures: misprints, and where its sources disagree."""

from __future__ import annotations

import pytest
from endpoints import (
    Endpoint,
    endpoint,
    endpoints,
    published,
    quality_range_c,
    safety_floor_c,
)

# A misprint of a digit falls outside: rare tuna to well done meat, soft rolls to boiling crumb, cheesecake to quiche.
PLAUSIBLE_C = {
    "meat": (50, 98),
    "poultry": (70, 85),
    "fish": (45, 65),
    "bread": (80, 100),
    "cake": (85, 100),
    "custard": (65, 86),
    "reheated": (70, 85),
    "any": (70, 75),
}


def test_ids_are_used_once() -> None:
    names = [row.id for row in endpoints()]
    assert len(names) == len(set(names))
    assert {row.group for row in endpoints()} == set(PLAUSIBLE_C)


@pytest.mark.parametrize("row", endpoints(), ids=lambda row: row.id)
def test_row_is_plausible(row: Endpoint) -> None:
    low, high = row.celsius
    least, most = PLAUSIBLE_C[row.group]
    assert least <= low <= high <= most, f"{row.where}: {row.celsius}"


@pytest.mark.parametrize("row", [row for row in endpoints() if row.fahrenheit], ids=lambda row: row.id)
def test_two_scales_of_a_row_are_one_temperature(row: Endpoint) -> None:
    assert row.fahrenheit is not None
    for celsius, fahrenheit in zip(row.celsius, row.fahrenheit, strict=True):
        assert celsius == pytest.approx((fahrenheit - 32) / 1.8, abs=0.6), row.where


# Typed a second time from the sources.
@pytest.mark.parametrize(
    ("name", "celsius", "kind"),
    [
        ("us-core-poultry", (73.9, 73.9), "safety"),
        ("us-core-steaks-roasts-chops", (62.8, 62.8), "safety"),
        ("us-core-ground-meat", (71.1, 71.1), "safety"),
        ("us-core-fish", (62.8, 62.8), "safety"),
        ("uk-core-70", (70, 70), "safety"),
        ("bake-core-yeast-bread", (93, 99), "quality"),
        ("press-core-cake", (96, 99), "quality"),
        ("press-core-custard", (79, 82), "quality"),
    ],
)
def test_row_as_printed(name: str, celsius: tuple[float, float], kind: str) -> None:
    row = endpoint(name)
    assert (row.celsius, row.kind) == (celsius, kind), row.where


def test_floors() -> None:
    assert safety_floor_c("poultry") == 75
    assert safety_floor_c("fish") == 62.8
    assert safety_floor_c("custard") == 71.1
    assert endpoint("us-core-steaks-roasts-chops").rest_minutes == 3
    assert endpoint("uk-core-70").hold_seconds == 120
    with pytest.raises(KeyError, match="bread"):
        safety_floor_c("bread")


def test_known_disagreements_stand() -> None:
    """Quality figures below the safety figure of their group: no test may take one for a limit."""
    below = {
        row.id
        for group in ("poultry", "fish", "custard")
        for row in published(group=group, kind="quality")
        if row.celsius[1] < safety_floor_c(group) - 1
    }
    assert below == {
        "recipe-core-thigh-breast",
        "press-core-salmon-cod",
        "press-core-tuna",
        "press-core-prawns-scallops",
        "bake-core-cheesecake-out",
    }


def test_tender_meat_is_far_above_the_limit() -> None:
    assert endpoint("pulled-meat").celsius[0] > safety_floor_c("meat") + 10
    assert quality_range_c("bread") == (82, 99)
