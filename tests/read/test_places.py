"""Phrases that name a place of heat."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from converter.model import Mention, Span
from converter.read.places import BOIL, HOT, TIME, find, level, mask, oven_word


def masked(text: str) -> str:
    """Write ``#`` as a temperature and ``@`` as a time."""
    return text.replace("#", HOT * 5).replace("@", TIME * 5)


@pytest.mark.parametrize(
    ("text", "kind", "heat", "height"),
    [
        ("bake in the oven", "oven", None, None),
        ("bake in a preheated # oven", "oven", None, None),
        ("bake in the oven at #", "oven", None, None),
        ("bake in a moderate oven", "oven", "moderate", None),
        ("bake in a very slow oven", "oven", "very slow", None),
        ("bake in the centre of the oven", "oven", None, "middle"),
        ("bake near the top of a hot oven", "oven", "hot", "high"),
        ("bake on the bottom shelf of the oven", "oven", None, "low"),
        ("bake on the middle shelf", "rack", None, "middle"),
        ("take it from the oven", "out", None, None),
        ("brown it under a hot grill", "grill", "high", None),
        ("put it on the cooler part of the grill", "grill", None, None),
        ("cook over medium heat", "hob", "medium", None),
        ("cook over a medium-high flame", "hob", "medium-high", None),
        ("cook on low", "hob", "low", None),
        ("cook over a low to medium heat", "hob", "medium-low", None),
        ("set it on the stove", "hob", None, None),
        ("whisk over a pan of simmering water", "hob", None, None),
        ("bake at #", "at", None, None),
    ],
)
def test_one_place(text: str, kind: str, heat: str | None, height: str | None) -> None:
    (place,) = find(masked(text))
    assert (place.kind, place.heat, place.height) == (kind, heat, height)


@pytest.mark.parametrize(
    ("text", "noun", "heat", "direction"),
    [
        ("reduce the heat to low", "heat", "low", "down"),
        ("turn the heat up to high", "heat", "high", "up"),
        ("lower the oven to #", "oven", None, "down"),
        ("increase the oven temperature to #", "temperature", None, "up"),
        ("reduce to a simmer", None, "simmer", "down"),
        ("turn down", None, None, "down"),
        ("switch to low", None, "low", None),
    ],
)
def test_a_change(text: str, noun: str | None, heat: str | None, direction: str | None) -> None:
    (place,) = find(masked(text))
    assert (place.kind, place.noun, place.heat, place.direction) == ("change", noun, heat, direction)


@pytest.mark.parametrize(
    "text",
    [
        "put it in an oven-proof dish",
        "use oven gloves",
        "beat on high speed",
        "grease the grill pan",
        "transfer to the oven dish",
        "depending on your heat settings",
        "pour over boiling milk",
    ],
)
def test_what_is_no_place(text: str) -> None:
    assert find(masked(text)) == []


def test_the_stove_has_a_noun_and_a_bare_level_has_none() -> None:
    assert [place.noun for place in find("set over the heat, then on high")] == ["stove", None]


def test_the_span_holds_the_phrase() -> None:
    text = masked("cook in a hot oven at # for @")
    (place,) = find(text)
    assert text[place.span.start : place.span.end] == masked("in a hot oven at #")


@pytest.mark.parametrize(
    ("words", "name"),
    [
        ("very low", "very-low"),
        ("medium low", "medium-low"),
        ("medium to high", "medium-high"),
        ("brisk", "medium-high"),
        ("gentle", "low"),
        ("fierce", "high"),
        ("moderate", "medium"),
        ("blue", None),
        (None, None),
    ],
)
def test_level(words: str | None, name: str | None) -> None:
    assert level(words) == name


def test_oven_word() -> None:
    assert oven_word("in a moderately hot oven") == "moderately hot"
    assert oven_word("heat the oven to moderate") == "moderate"
    assert oven_word("in the oven") is None


def test_to_the_boil_and_just_below() -> None:
    boil, below = BOIL.search("bring to a full rolling boil"), BOIL.search("bring to just below the boil")
    assert boil is not None
    assert (boil.group("k"), boil.group("under")) == ("boil", None)
    assert below is not None
    assert below.group("under") == "just below "
    assert BOIL.search("ready to bake") is None


def _mention(kind: str, start: int, end: int) -> Mention:
    span = Span(start, end)
    return Mention(1, "temperature" if kind == "t" else "duration", span, span, "", "oven")


def test_mask_keeps_the_length_and_hides_the_figures() -> None:
    text = "Bake at 200°C\nfor 20 minutes."
    low = mask(text, (_mention("t", 8, 13), _mention("d", 18, 28)))
    assert low == "bake at " + HOT * 5 + " for " + TIME * 10 + "."


@given(st.text(alphabet=st.sampled_from("aiİıßéÉ ovenheat\n\x01\x02to low."), max_size=80))
def test_any_text_has_its_length_and_places_inside(text: str) -> None:
    low = mask(text, ())
    assert len(low) == len(text)
    end = 0
    for place in find(low):
        assert end <= place.span.start < place.span.end <= len(low)
        end = place.span.end
