"""The outsider's eye must see dial words and nothing else; runs with the ordinary tests."""

from __future__ import annotations

import pytest
from dial_words import leftovers, sentence_of


@pytest.mark.parametrize(
    ("kind", "text"),
    [
        ("oven degrees", "Slide the tin into the oven at 180°C for half an hour."),
        ("oven degrees", "Bake at 350 degrees until firm."),
        ("oven degrees", "Roast the beets for 40 minutes at 400F."),
        ("oven degrees", "Put it in the oven at 350 until it browns."),
        ("oven degrees", "Let the oven fall to 90 °C and dry the slices."),
        ("oven degrees", "Fry the onions in oil. Bake everything at 190 C for an hour."),
        ("oven degrees", "Whisk the oil. Grease the oven dish. Heat to 180°C."),
        ("heat level", "Dry them at a low temperature."),
        ("preheat", "Preheat the oven to hot."),
        ("preheat", "Tip into the pre-heated oven."),
        ("preheat", "Heat the oven and grease a dish."),
        ("heat level", "Fry the leeks over medium heat."),
        ("heat level", "Keep it over a low flame."),
        ("heat level", "Stir over medium-high heat until thick."),
        ("heat level", "Melt it over the lowest possible heat."),
        ("heat level", "Simmer on low for an hour."),
        ("heat level", "Set the burner on high."),
        ("turn it up or down", "Turn the heat down and wait."),
        ("turn it up or down", "Turn down the heat."),
        ("turn it up or down", "Reduce heat and cover."),
        ("turn it up or down", "Lower the oven temperature a little."),
        ("turn it up or down", "When it boils, the heat is reduced."),
        ("turn it up or down", "Turn off the oven and leave the door shut."),
        ("turn it up or down", "Increase the oven to hot."),
        ("gas mark", "Bake at gas mark 4."),
        ("gas mark", "Bake (gas 6) until brown."),
        ("burner", "Place it across two burners."),
        ("burner", "Use the fan setting."),
        ("grill element", "Brown it under a hot grill."),
        ("oven by its heat", "Bake in a slow oven."),
        ("oven by its heat", "Bake in a moderately sized tin in a very hot oven."),
    ],
)
def test_dial_words_are_seen(kind: str, text: str) -> None:
    found = leftovers(text)
    assert kind in [one.kind for one in found]
    assert all(text[one.start : one.end] == one.words for one in found)


@pytest.mark.parametrize(
    "text",
    [
        "Bake in the hot oven, on the middle shelf, for about 25-30 minutes (look at 20).",
        "Nothing to do: the moderate oven is always ready.",
        "Simmer in the low oven, lid on, for about 2 hours.",
        "Roast in the hot oven until the internal temperature reaches 145°F.",
        "Roast until a thermometer in the thickest part says 74 °C.",
        "Heat the oil to 180°C and fry the pieces in it on the hot plate.",
        "Boil the syrup to 118 °C, then pour it over the whites.",
        "Preheat the oil to 175 °C on the hot plate.",
        "Pour the oil into a deep pan. Heat to 190°C on the hot plate.",
        "A low temperature makes the crust greasy.",
        "Warm the milk to 40 °C.",
        "Leave it at room temperature, about 21 degrees C.",
        "Turn the joint over and turn the pieces in the flour.",
        "Turn up the edges of the pastry.",
        "Fold in the high-protein flour and use medium eggs.",
        "Cook on a low shelf until set.",
        "Reduce the sauce by a third.",
        "Heat a heavy pan on the hot plate.",
        "Remove it from the heat.",
        "Use 250 g of butter and a 20 cm tin; bake until it is 5 cm high.",
        "Grill in the hot oven, on the highest shelf, under the roof.",
    ],
)
def test_other_words_are_left_in_peace(text: str) -> None:
    assert leftovers(text) == []


def test_a_sentence_ends_at_its_stop() -> None:
    text = "Mix for 1.5 min. more. Bake it."
    assert [text[slice(*sentence_of(text, at))].strip() for at in (0, 25)] == ["Mix for 1.5 min. more.", "Bake it."]
