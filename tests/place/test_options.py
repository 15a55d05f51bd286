"""The other ways of a stretch of heat: which are offered, and that none begins raw flesh below boiling point."""

from __future__ import annotations

import pytest

from converter.pipeline import placed, proposals
from converter.place import cookers
from converter.read.text import document


def offered(title: str, line: str) -> set[str]:
    cooker = cookers.load("four-oven")
    text = document(f"{title}\n\nMethod\n\n1. {line}\n", name="test")
    reading, placements, _ = placed(text, cooker=cooker)
    return {option.code for option in proposals(reading, placements[0], cooker=cooker)}


@pytest.mark.parametrize("food", ["chicken", "pork shoulder", "minced beef", "salmon"])
def test_raw_flesh_is_never_offered_the_holding_oven(food: str) -> None:
    # Food Code 3-401.11: raw animal foods are heated to their core limit; air of 70 °C does not bring them there.
    assert "way/oven-holding" not in offered("Slow supper", f"Roast the {food} in the oven at 95°C for 8 hours.")


def test_fruit_is_offered_it() -> None:
    assert "way/oven-holding" in offered("Apple rings", "Bake the apple rings in the oven at 95°C for 4 hours.")
