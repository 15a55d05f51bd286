"""How the sentences are rewritten: one line of our own for each pattern, and what must hold for any text."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from converter.model import Result
from converter.pipeline import convert
from converter.place.cookers import load
from converter.read.text import NotReadable, document
from converter.write.sweep import DIAL


def made(lines: str, *, cooker: str = "four-oven", title: str = "A dish", ingredients: str = "") -> Result:
    head = f"{title}\n\n" + (f"Ingredients\n\n{ingredients}\n\n" if ingredients else "")
    steps = "".join(f"{n}. {line}\n" for n, line in enumerate(lines.split("\n"), 1))
    return convert(document(f"{head}Method\n\n{steps}", name="line"), cooker=load(cooker))


def words_of(lines: str, **kind: str) -> str:
    return " ".join(step.rewritten for step in made(lines, **kind).steps)


PATTERNS = [
    ("preheat alone", "Preheat the oven to 180°C.\nBake for 40 minutes.", r"^Nothing to do: the moderate oven is always ready\. Bake in the moderate oven, on the middle shelf, for about "),
    ("preheat with more", "Preheat the oven to 220°C and grease a tin.\nBake for 20 minutes.", r"^Grease a tin\. Bake in the hot oven, "),
    ("preheat at the end", "Shape the dough and preheat the oven to 220°C.\nBake for 20 minutes.", r"^Shape the dough\. Bake"),
    ("time stays where it stands", "Bake in a ring tin for 55 minutes at 180°C or until firm.", r"^Bake in a ring tin for about [\d–]+ minutes \(look at \d+\) in the moderate oven, on the middle shelf, or until firm\.$"),
    ("place first", "Put the dish in a 180°C oven for 30 minutes.", r"^Put the dish in the moderate oven, on the middle shelf, for about [\d–]+ minutes; look at \d+\.$"),
    ("own shelf of the recipe", "Bake on the top shelf of a 220°C oven for 10 minutes.", r"^Bake in the hot oven, on a high shelf, for about"),
    ("turned down", "Bake at 220°C for 15 minutes. Reduce the oven to 180°C and bake for a further 30 minutes.", r"Move the dish (?:in)?to the moderate oven, on the middle shelf, and bake for about [\d–]+ minutes more; look at \d+\.$"),
    ("turned up at the end", "Bake at 160°C for 40 minutes. Increase the heat to 220°C for the last 10 minutes.", r"(?i)move (?:it|the dish) (?:in)?to the hot oven"),
    ("grill", "Grill for 6 minutes until brown.", r"^Grill in the hot oven, on the highest shelf, under the roof, for about 6–8 minutes \(look at 4\) until brown\.$"),
    ("under a grill", "Place under a hot grill until the cheese bubbles.", r"^Place in the hot oven, on the highest shelf, under the roof,"),
    ("each side", "Fry the chops for 4 minutes on each side over a high heat.", r"on the hot plate.*for about [\d–½]+ minutes on each side|for about [\d–½]+ minutes on each side.*on the hot plate"),
    ("over a heat", "Cook the onions over a medium heat for 10 minutes, stirring.", r"^Cook the onions on the gentle plate for about 10–12 minutes \(look at 8\), stirring\.$"),
    ("heat turned down to a simmer", "Bring the soup to a boil, then reduce the heat and simmer for 10 minutes.", r"^Bring the soup to a boil on the hot plate \(about [\d–]+ minutes\), then move (?:it|the pan|the pot) to the gentle plate,? and simmer for about 10–12 minutes; look at 8\.$"),
    ("long simmering", "Cover the beef and simmer for 2 hours.", r"in the low oven"),
    ("off the heat", "Simmer the sauce for 5 minutes. Remove from the heat.", r"Remove from the plate\.$"),
    ("heat fat", "Heat the oil in a large, heavy pan over a high heat. Fry the onions for 5 minutes.", r"^Heat the oil in a large, heavy pan on the (?:hot|gentle) plate"),
    ("water", "Bring a large pan of water to the boil. Boil the pasta for 9 minutes.", r"^Bring a large pan of water to the boil on the hot plate\. Boil the pasta on the hot plate for about 9 minutes; look at 8\.$"),
    ("time in brackets", "Bake in a 180°C oven until golden (about 25 minutes).", r"until golden \(about [\d–]+ minutes; look at \d+\)\.$"),
    ("core is never touched", "Roast at 190°C until the core reaches 63°C.", r"core reaches 63°C\.$"),
    ("keep warm", "Fry the patties for 5 minutes. Keep warm.", r"Keep warm on the warm plate, covered\.$"),
    ("other times stay", "Marinate for 2 hours. Grill for 6 minutes, basting every 2 minutes. Rest for 10 minutes.", r"^Marinate for 2 hours\..*basting every 2 minutes\. Rest for 10 minutes\.$"),
    ("door", "Dry the slices in a 90°C oven for 2 hours with the door ajar.", r"^(?!.*ajar)"),
    ("inch from the grill", "Grill 4 inches from the heat for 3 minutes.", r"^Grill in the hot oven"),
]  # fmt: skip


@pytest.mark.parametrize(("lines", "wanted"), [p[1:] for p in PATTERNS], ids=[p[0] for p in PATTERNS])
def test_pattern(lines: str, wanted: str) -> None:
    assert re.search(wanted, words_of(lines)), words_of(lines)


def test_words_that_are_not_about_heat_stay() -> None:
    line = "Peel the apples, core them and slice them thinly; toss with lemon."
    assert words_of(line) == line


def test_nothing_of_a_dial_is_left_in_an_ordinary_recipe() -> None:
    result = made(
        "Preheat the oven to 180°C/160°C fan/gas 4.\nMelt the butter over a low heat.\nBake in the preheated oven for 25 minutes.\nTurn off the heat."
    )
    for step in result.steps:
        assert not DIAL.search(step.rewritten.replace("the moderate oven", "")), step.rewritten


def test_an_estimate_is_named_as_ours() -> None:
    result = made("Fry the onions until soft.")
    assert result.header.own_times == ("step 1",)
    assert "no-time" in {flag.name for flag in result.flags}


def test_two_oven_cooker_moves_a_long_cake() -> None:
    words = words_of("Bake at 160°C for 75 minutes.", cooker="two-oven", title="Plain cake")
    assert "under a shield" in words
    assert "then move" in words
    assert "low oven" in words


TOKEN = re.compile(r"\w+", re.UNICODE)


def kept_words(result: Result) -> None:
    """Assert that the words outside the replaced spans are there, in order."""
    text = result.reading.recipe.document.text
    for step, written in zip(result.reading.recipe.steps, result.steps, strict=True):
        at, kept = step.span.start, []
        for edit in written.edits:
            kept += TOKEN.findall(text[at : edit.span.start])
            at = edit.span.end
        kept += TOKEN.findall(text[at : step.span.end])
        rest = iter(TOKEN.findall(written.rewritten))
        for word in kept:
            low = word.lower()
            assert any(low == other.lower() or low in other.lower() for other in rest), (word, written.rewritten)


PIECES = st.sampled_from(
    [
        "Preheat the oven to 200C.", "Bake for 20-25 minutes until golden", "Simmer over a low heat for 1½ hours", "Add the onions,",
        "bring to the boil", "then", "and", "reduce the heat", "cover", "Remove from the heat.", "in a 350°F oven", "grill 5 min each side",
        "Heat oil in a pan over medium-high heat;", "until soft (about 10 minutes)", "Fry", "Turn off the oven.", "keep warm", "ß İ ŉ ½", "\n", ",", ".",
        "gas mark 4", "Return to the oven", "increase to 220°C", "for the last 10 minutes", "the chicken", "deep-fry", "microwave", "1.", "- ", "(",
        ")", "20 minutes per 450 g plus 20 minutes", "with the door ajar", "meanwhile", "it", "low oven", "roast",
    ]
)  # fmt: skip


@settings(max_examples=150, deadline=None)
@given(st.lists(PIECES, min_size=1, max_size=14).map(" ".join), st.sampled_from(["two-oven", "four-oven"]))
def test_any_mix_of_lines(text: str, cooker: str) -> None:
    try:
        first = convert(document(text, name="mix"), cooker=load(cooker))
    except NotReadable:
        return
    second = convert(document(text, name="mix"), cooker=load(cooker))
    assert first == second
    kept_words(first)
    whole = first.reading.recipe.document.text
    for flag in first.flags:
        assert 0 <= flag.span.start <= flag.span.end <= len(whole)
        assert flag.level in ("note", "judgement", "caution")
    for mention in first.reading.mentions:
        assert whole[mention.span.start : mention.span.end] == mention.text
    assert len(first.placements) == len(first.reading.phases)


@settings(max_examples=150, deadline=None)
@given(st.text(max_size=400))
def test_any_text(text: str) -> None:
    try:
        result = convert(document(text, name="any"), cooker=load("four-oven"))
    except NotReadable:
        return
    kept_words(result)
