"""Words of the trade: forms, guards, longest match, and what a faulty list is told."""

from __future__ import annotations

from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from converter import data
from converter.data import DataError
from converter.model import APPLIANCES, METHODS
from converter.read import words
from converter.read.words import Hit, Word, entries, hits


def found(text: str) -> list[Hit]:
    return hits(text)[1]


def keys(text: str) -> list[tuple[str, str]]:
    return [(hit.word.kind, hit.word.key) for hit in found(text)]


@pytest.mark.parametrize(
    ("text", "form", "method"),
    [
        ("bake", "base", "bake"),
        ("baking", "ing", "bake"),
        ("baked", "ed", "bake"),
        ("simmering", "ing", "simmer"),
        ("fried", "ed", "fry"),
        ("frying", "ing", "fry"),
        ("stir-fried", "ed", "fry"),
        ("sautéed", "ed", "saute"),
        ("browned", "ed", "brown"),
        ("braising", "ing", "braise"),
    ],
)
def test_the_forms_of_a_verb_have_its_method(text: str, form: str, method: str) -> None:
    (hit,) = found(text)
    assert (hit.word.kind, hit.word.form, hit.word.key) == ("heat", form, method)


def test_capital_letters_do_not_matter() -> None:
    assert keys("BAKE the Bread") == keys("bake the bread") == [("heat", "bake")]


@pytest.mark.parametrize(
    "text",
    ["baking powder", "cooking oil", "brown sugar", "roast beef", "boiling point", "melted butter", "fried rice"],
)
def test_a_guard_hides_the_verb_in_it(text: str) -> None:
    assert keys(f"Add the {text} now")[1:] == [("guard", "guard")]


def test_the_longest_match_wins() -> None:
    assert keys("a baking dish in a frying pan") == [("vessel", "oven"), ("vessel", "hob")]
    assert keys("slow cookers") == [("appliance", "slow-cooker")]


def test_a_hit_says_where_it_stands() -> None:
    text = "Put it in a microwave oven, then bake."
    doc, hit_list = hits(text)
    assert [text[hit.start : hit.end] for hit in hit_list] == ["Put", "microwave oven", "bake"]
    assert [doc[hit.first : hit.last].text for hit in hit_list] == ["Put", "microwave oven", "bake"]


def test_plurals_of_vessels_are_made() -> None:
    assert keys("dishes, trays and skillets") == [("vessel", "either"), ("vessel", "either"), ("vessel", "hob")]


def test_every_word_leads_to_something_that_exists() -> None:
    for text, word in entries().items():
        assert isinstance(word, Word)
        assert text == text.lower()
        if word.kind == "heat":
            assert word.key in METHODS or word.key in APPLIANCES, text


@given(st.text(max_size=120))
def test_hits_are_in_order_and_do_not_overlap(text: str) -> None:
    doc, hit_list = hits(text)
    lowers, starts = doc.user_data["undial_tokens"]
    assert len(lowers) == len(starts) == len(doc)
    assert all(token.idx == start for token, start in zip(doc, starts, strict=True))
    for before, after in pairwise(hit_list):
        assert before.end <= after.start


LISTS = {
    "methods": "heat: {bake: {method: bake, environment: oven}}\nacts: {put: [put]}\n",
    "vessels": "hob: [pan]\noven: [tin]\neither: [dish]\ncold: [bowl]\n"
    "appliances: {smoker: [smoker]}\nguards: [heat source]\n",
}


@pytest.mark.parametrize(
    ("table", "old", "new", "message"),
    [
        ("methods", "method: bake", "method: bask", r"methods\.yaml:1: unknown method 'bask'"),
        ("methods", "environment: oven", "environment: sky", r"methods\.yaml:1: unknown environment 'sky'"),
        ("methods", "{put:", "{toss:", r"methods\.yaml:2: unknown act 'toss'; allowed are put"),
        ("vessels", "{smoker:", "{furnace:", r"vessels\.yaml:5: unknown appliance 'furnace'"),
    ],
)
def test_a_faulty_list_is_refused(
    monkeypatch: pytest.MonkeyPatch, table: str, old: str, new: str, message: str
) -> None:
    texts = {**LISTS, table: LISTS[table].replace(old, new)}

    def lexicon(name: str) -> Any:
        return data.parse(texts[name], f"lexicon/{name}.yaml")

    monkeypatch.setattr(words, "lexicon", lexicon)
    with pytest.raises(DataError, match=message):
        entries.__wrapped__()
