"""Phases: which pan, which oven, at which setting, until when."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from converter import data
from converter.data import DataError, Node
from converter.model import ENVIRONMENTS, METHODS, Span
from converter.read import phase_cues, places
from converter.read.clauses import Cutter
from converter.read.lines import NoMethod
from converter.read.mentions import mentions
from converter.read.phases import Open, Tracker
from converter.read.reader import read, recipe_of
from converter.read.text import NotReadable, document
from converter.read.words import hits

CASES: list[Node] = data.read(Path(__file__).parent / "data" / "phases.yaml")
KEYS = {"step", "is", "minutes", "celsius", "word_c", "heat", "lid", "height", "marks", "appliance"}


def tracked(method: str) -> Tracker:
    """Read a method to the end and return the tracker."""
    doc = document(f"Supper\n\nMethod\n\n{method}\n", name="supper")
    recipe = recipe_of(doc)
    found = mentions(recipe)
    first, last = recipe.steps[0].span.start, recipe.steps[-1].span.end
    tokens, words = hits(doc.text[first:last])
    words = [hit._replace(start=hit.start + first, end=hit.end + first) for hit in words]
    low = places.mask(doc.text, found)
    spots = [
        place._replace(span=Span(place.span.start + first, place.span.end + first))
        for place in places.find(low[first:last])
    ]
    cutter = Cutter(tokens, first, low, words, spots, found)
    tracker = Tracker(outdoor="charcoal" in method)
    for step in recipe.steps:
        for draft in cutter.cut(step):
            tracker.read(draft)
    return tracker


def said(phase: Open, key: str) -> object:
    """Return what the phase says under the `key` of a case."""
    if key == "is":
        return f"{phase.environment}/{phase.method}"
    if key == "minutes":
        return None if phase.seconds is None else [second / 60 for second in phase.seconds]
    if key == "marks":
        return sorted(phase.marks)
    if key == "lid":
        return phase.lid or "none"
    value = getattr(phase, key)
    return list(value) if isinstance(value, tuple) else value


@pytest.mark.parametrize("case", CASES, ids=lambda case: case["name"])
def test_phases(case: Node) -> None:
    found = tracked(case["method"]).finish()
    short = [(phase.step, said(phase, "is")) for phase in found]
    assert short == [(phase["step"], phase["is"]) for phase in case["phases"]]
    for phase, wanted in zip(found, case["phases"], strict=True):
        assert set(wanted) <= KEYS, wanted.where
        assert {key: said(phase, key) for key in wanted if key != "step"} == {
            key: value for key, value in wanted.items() if key != "step"
        }


def test_the_cases_have_names_of_their_own() -> None:
    names = [case["name"] for case in CASES]
    assert len(names) == len(set(names))


@pytest.mark.parametrize(
    ("method", "act"),
    [
        ("1. Preheat the oven to 200°C.\n2. Mix.", "preheat-oven"),
        ("1. Heat the oil in a pan.", "preheat-pan"),
        ("1. Heat the grill to its highest.", "preheat-grill"),
        ("1. Bring a large pan of water to the boil.", "water"),
        ("1. Bake at 200°C for 9 minutes. Turn the oven down to 150°C.", "change-oven"),
        ("1. Fry the mince in a pan for 5 minutes. Turn the heat down.", "change-hob"),
        ("1. Fry the mince in a pan. Remove from the heat.", "remove"),
        ("1. Simmer the stew for an hour. Turn off the heat.", "off"),
        ("1. Bake for 1 hour at 140°C. Leave in the oven to cool.", "off-inside"),
        ("1. Fry the fritters in oil. Keep warm.", "hold"),
        ("1. Cook for 20 minutes.", "unplaced"),
        ("1. Roast for 1 hour at 180°C. Let cool. Reheat until steaming.", "reheat"),
    ],
)
def test_clauses_that_are_no_phase_are_kept(method: str, act: str) -> None:
    assert act in [kind for _, kind in tracked(method).others]


def test_a_clause_keeps_its_own_words() -> None:
    doc = document("Supper\n\nMethod\n\n1. Heat oil in a pan. Fry the fish for 4 minutes.\n", name="supper")
    (phase,) = read(doc).phases
    assert doc.text[phase.span.start : phase.span.end] == phase.text == "Fry the fish for 4 minutes"


@pytest.mark.parametrize(
    ("title", "method", "foods"),
    [
        ("Supper", "1. While the pasta boils, toast the walnuts in a dry skillet.", ["nuts"]),
        ("Supper", "1. When the carrots are nearly done, fry the bacon in a pan.", ["bacon"]),
        ("Omelette", "1. Fry the onions in butter until soft.\n2. Fry the omelette in a pan.", ["onion", "omelette"]),
        ("Oat burgers", "1. Slice the onions and fry them in oil.\n2. Fry the patties in a pan.", ["onion", "burger"]),
        ("Roast beef", "1. Put the potatoes in the oil and roast them at 200°C for 45 minutes.", ["potato"]),
        ("Roast beef", "1. Toss the carrots in oil. Roast for 30 minutes at 200°C.", ["root"]),
        ("Roast lamb", "1. Add the potatoes to the tin and roast for 45 minutes at 180°C.", ["lamb-joint"]),
        ("Yam porridge", "1. Boil the fish in a pot until soft.", ["fish"]),
        ("Lamb curry", "1. Simmer the lamb in a pot with the mango chutney for 1 hour.", ["lamb-pieces"]),
        (
            "Supper",
            "1. Fry the onion in oil for 5 minutes.\n2. Add the lamb to the pan and cook until browned, 6 minutes.",
            ["onion", "lamb-pieces"],
        ),
    ],
)
def test_what_is_cooked_is_the_food_of_the_order(title: str, method: str, foods: list[str]) -> None:
    phases = read(document(f"{title}\n\nMethod\n\n{method}\n", name="supper")).phases
    assert [phase.food_class for phase in phases] == foods


WORDS = [
    *("bake", "simmer", "boil", "fry", "roast", "grill", "put", "add", "remove", "cover", "uncover", "reduce", "heat"),
    *(
        "oven",
        "pan",
        "water",
        "oil",
        "the",
        "a",
        "in",
        "over",
        "and",
        ",",
        ".",
        "until",
        "then",
        "low",
        "medium",
        "180°C",
    ),
    *(
        "350°F",
        "20 minutes",
        "overnight",
        "brown",
        "chicken",
        "sauce",
        "if",
        "not",
        "bring",
        "to",
        "turn",
        "off",
        "stir",
    ),
    *("or", ";", "meanwhile", "foil", "lid", "under", "from", "pot", "with", "İ", "½", "(", ")", "—", "3.", "smoker"),
    *("microwave", "keep", "warm", "last", "more", "each", "side", "grill pan", "switch to low", "dish", "deglaze"),
]


@settings(max_examples=120, deadline=None)
@given(st.one_of(st.text(max_size=200), st.lists(st.sampled_from(WORDS), max_size=60).map(" ".join)))
def test_any_text_is_read(text: str) -> None:
    try:
        doc = document(f"Supper\n\nMethod\n\n1. {text}\n2. Bake it.", name="supper")
        reading = read(doc)
    except (NotReadable, NoMethod):
        return
    steps = [step.number for step in reading.recipe.steps]
    for number, phase in enumerate(reading.phases, 1):
        assert phase.number == number
        assert phase.step in steps
        assert 0 <= phase.span.start <= phase.span.end <= len(doc.text)
        assert phase.text == doc.text[phase.span.start : phase.span.end]
        assert phase.environment in ENVIRONMENTS
        assert phase.method in METHODS or phase.environment == "none"
        assert phase.lid in ("on", "off", "foil", "none")
    assert [clause.span for clause in reading.clauses] == sorted(clause.span for clause in reading.clauses)


def test_reading_twice_gives_the_same() -> None:
    method = "1. Brown the beef in a pot. Add stock, cover and simmer for 2 hours."
    first = [(phase.step, phase.method, phase.seconds, phase.lid) for phase in tracked(method).finish()]
    assert first == [(phase.step, phase.method, phase.seconds, phase.lid) for phase in tracked(method).finish()]


def test_a_list_that_is_not_known_is_named(monkeypatch: pytest.MonkeyPatch) -> None:
    table: Any = data.parse("fat: [oil]\nfut: [oil]\n", "lexicon/cues.yaml")
    monkeypatch.setattr(phase_cues, "lexicon", lambda name: table)
    with pytest.raises(DataError, match=r"cues\.yaml:2: unknown key 'fut'"):
        phase_cues.lists.__wrapped__()
