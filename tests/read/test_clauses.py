"""Clauses: where an order begins, and what its words say."""

from __future__ import annotations

from itertools import pairwise

import pytest

from converter.read import places
from converter.read.clauses import Cutter, sentences
from converter.read.drafts import Draft
from converter.read.mentions import mentions
from converter.read.reader import recipe_of
from converter.read.text import document
from converter.read.words import hits


def cut(method: str) -> list[Draft]:
    """Return the clauses of a method of one step."""
    doc = document(f"Supper\n\nMethod\n\n1. {method}\n", name="supper")
    recipe = recipe_of(doc)
    (step,) = recipe.steps
    found = mentions(recipe)
    first = step.span.start
    tokens, words = hits(doc.text[first : step.span.end])
    words = [hit._replace(start=hit.start + first, end=hit.end + first) for hit in words]
    low = places.mask(doc.text, found)
    return Cutter(tokens, first, low, words, places.find(low), found).cut(step)


def acts(method: str) -> list[str]:
    """Return the act of each clause; a heating verb by its method."""
    return [draft.method if draft.act == "heat" else draft.act for draft in cut(method)]


@pytest.mark.parametrize(
    ("method", "wanted"),
    [
        ("Add the leeks and fry them, then simmer.", ["add", "fry", "simmer"]),
        ("Gently but thoroughly brown the mince.", ["brown"]),
        ("In a wide pan fry the mince.", ["fry"]),
        ("You can also grill them.", ["grill"]),
        ("Let it simmer for an hour.", ["simmer"]),
        ("Continue to simmer for an hour.", ["simmer"]),
        ("Bring to a rolling boil.", ["begin"]),
        ("Once the oil is hot, fry the fish.", ["fry"]),
        ("While the rice boils, grill the fish.", ["grill"]),
        ("Roast the lamb, basting often.", ["roast"]),
        ("Start by preheating the oven.", ["begin", "preheat"]),
        ("The lamb should be roasted for an hour.", ["roast"]),
        ("Either bake or grill the fish.", ["bake", "grill"]),
        ("Cook until brown.", ["other"]),
    ],
)
def test_orders(method: str, wanted: list[str]) -> None:
    assert acts(method) == wanted


@pytest.mark.parametrize(
    "method",
    [
        "Serve with a roast.",
        "Wait until the onions brown.",
        "Leave it when it boils.",
        "Do not boil.",
        "It is ready before the edges brown.",
        "Leaves will reduce in size.",
        "Roast should be pink.",
        "Serve over rice, toast or noodles.",
        "The oil for frying is dear.",
        "Leave it somewhere warm.",
    ],
)
def test_descriptions_are_no_orders(method: str) -> None:
    assert not [draft for draft in cut(method) if draft.act == "heat"]


@pytest.mark.parametrize(
    ("method", "lid"),
    [
        ("Cover and bake.", "on"),
        ("Cover the pan tightly, then bake.", "on"),
        ("Simmer with the lid on.", "on"),
        ("Simmer, partially covered.", "on"),
        ("Cover lid and cook.", "on"),
        ("Cover with foil and bake.", "foil"),
        ("Bake, uncovered.", "off"),
        ("Remove the lid and boil.", "off"),
        ("Take off the foil.", "off"),
        ("Pour in milk to cover and bake.", None),
        ("Cover the dish with cheese.", None),
        ("Line the tin with foil.", None),
        ("Make sure that the beans are covered.", None),
    ],
)
def test_the_lid(method: str, lid: str | None) -> None:
    assert cut(method)[0].lid == lid


def test_what_a_clause_holds() -> None:
    (draft,) = cut("Simmer the stock gently over low heat for 2 hours, stirring, until clear.")
    assert (draft.method, draft.environment, draft.attended) == ("simmer", "hob", True)
    assert [place.kind for place in draft.places] == ["hob"]
    assert [mention.text for mention in draft.times] == ["2 hours"]
    assert draft.sign is not None


@pytest.mark.parametrize(
    ("method", "boil"),
    [
        ("Bring to the boil.", "boil"),
        ("Bring to a gentle simmer.", "simmer"),
        ("Bring to just below the boil.", "below"),
        ("Boil the rice.", None),
    ],
)
def test_to_the_boil(method: str, boil: str | None) -> None:
    assert cut(method)[0].boil == boil


@pytest.mark.parametrize(
    ("method", "conditional", "alternative"),
    [
        ("If it is pale, bake it again.", True, False),
        ("If you like, bake it again.", False, True),
        ("If there is time, roast the bones.", False, False),
        ("Alternatively, bake it.", False, True),
        ("To reheat, steam it for an hour.", True, False),
        ("Bake it, and again if needed.", True, False),
        ("Bake it.", False, False),
    ],
)
def test_conditions(method: str, conditional: bool, alternative: bool) -> None:
    draft = next(draft for draft in cut(method) if draft.act == "heat")
    assert (draft.conditional, draft.alternative) == (conditional, alternative)


def test_a_sentence_without_a_verb_keeps_its_time() -> None:
    drafts = cut("Boil the beans. About 40 minutes in all.")
    assert [draft.act for draft in drafts] == ["heat", "time"]
    assert len(drafts[1].times) == 1


def test_short_forms_end_no_sentence() -> None:
    doc = document("Supper\n\nMethod\n\n1. Add 2 oz. butter and bake approx. 9 min. in all. Serve.\n", name="supper")
    (step,) = recipe_of(doc).steps
    assert len(sentences(doc.text.lower(), step)) == 2


def test_clauses_follow_one_another() -> None:
    drafts = cut("Preheat the oven. Add the leeks, cover and bake; remove and serve.")
    for before, after in pairwise(drafts):
        assert before.end <= after.start
