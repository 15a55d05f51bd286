"""What is shown as changed between a step as the recipe has it and as it is written."""

from __future__ import annotations

from pathlib import Path

import pytest

from converter.files import read_document
from converter.model import Edit, Span
from converter.pipeline import convert
from converter.place import cookers
from converter.write.edits import Piece, apply, compared

SAMPLES = sorted((Path(__file__).parents[2] / "sample_recipes").iterdir())


def _edits(text: str, *changes: tuple[str, str]) -> tuple[Edit, ...]:
    made = []
    for old, new in changes:
        at = text.index(old) if old else 0
        made.append(Edit(Span(at, at + len(old)), new))
    return tuple(sorted(made, key=lambda edit: edit.span))


def test_only_the_words_that_differ_are_changed() -> None:
    text = "Bake in the oven for 20 minutes until brown."
    edits = _edits(text, ("in the oven", "in the hot oven, on a low shelf,"), ("20 minutes", "about 15–20 minutes"))
    old, new = compared(text, Span(0, len(text)), edits)
    assert [piece.words for piece in new if piece.changed] == ["hot oven, on a low shelf,", "about 15–20"]
    assert [piece.words for piece in old if piece.changed] == ["oven", "20"]


def test_a_sentence_taken_out_leaves_no_new_word_but_a_capital() -> None:
    text = "Heat the oven to 200°C and bake the tart."
    edits = _edits(text, ("Heat the oven to 200°C and b", "B"))
    old, new = compared(text, Span(0, len(text)), edits)
    assert "".join(piece.words for piece in new) == "Bake the tart."
    assert old[0] == Piece("Heat the oven to 200°C and b", True)


def test_a_step_without_edits_has_no_change() -> None:
    text = "Whip the cream."
    assert compared(text, Span(0, len(text)), ()) == ((Piece(text, False),), (Piece(text, False),))


@pytest.mark.parametrize("cooker", cookers.builtin())
def test_both_sides_are_the_words_of_the_step(cooker: str) -> None:
    met = 0
    for path in SAMPLES:
        result = convert(read_document(str(path)), cooker=cookers.load(cooker))
        recipe = result.reading.recipe
        for step, written in zip(recipe.steps, result.steps, strict=True):
            old, new = compared(recipe.document.text, step.span, written.edits)
            assert "".join(piece.words for piece in old) == step.text
            assert "".join(piece.words for piece in new) == written.rewritten
            assert written.rewritten == apply(recipe.document.text, step.span, written.edits)
            assert any(piece.changed for piece in (*old, *new)) == (step.text.strip() != written.rewritten.strip())
            for piece in (*old, *new):
                assert not piece.changed or piece.words == piece.words.strip()
            met += bool(written.edits)
    assert met > 50
