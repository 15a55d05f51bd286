"""PDF: columns in any drawing order, tables, page heads, words cut at the line's end."""

from __future__ import annotations

import random

import papers
import pytest

from converter.formats import Limits, Unreadable, read_bytes
from converter.read.lines import layout
from converter.read.text import document

pytest.importorskip("pypdfium2")

GOODS = ["Ingredients", *(f"• {item}" for item in papers.GOODS)]
STEPS = [
    "Method", "1. Heat the oven to 180°C.", "2. Simmer the barley in salted water",
    "for 25 minutes, then drain it well", "and let it steam dry in the pan.",
    "3. Stir in the leek and the butter.", "4. Bake for 20–25 minutes until", "golden.",
]  # fmt: skip


def parts(text: str) -> tuple[str, list[str], list[str]]:
    recipe = layout(document(text, name="it"))
    return recipe.title, [row.text for row in recipe.ingredients], [step.text for step in recipe.steps]


def read(pages: list[list[papers.Placed]]) -> tuple[tuple[str, list[str], list[str]], tuple[str, ...]]:
    found = read_bytes(papers.pdf(pages), "a.pdf")
    assert len(found.recipes) == 1
    return parts(found.recipes[0][1]), found.warnings


WHOLE = (papers.TITLE, papers.GOODS, papers.STEPS)


def test_one_column_with_head_and_foot() -> None:
    page = [(50, 815, 8, "Parish cook book"), (280, 25, 8, "Page 1 of 1"), (50, 770, 16, papers.TITLE)]
    made, warnings = read([page + papers.column([*GOODS, *STEPS], 50, 740)])
    assert made == WHOLE
    assert warnings == ()


@pytest.mark.parametrize("order", ["down", "right first", "row by row", "any"])
@pytest.mark.parametrize("shift", [0.0, 4.0])
def test_two_columns_in_any_drawing_order(order: str, shift: float) -> None:
    left, right = papers.column(GOODS, 50, 740), papers.column(STEPS, 300, 740 - shift)
    drawn = [(50.0, 770.0, 16.0, papers.TITLE), *left, *right]
    if order == "right first":
        drawn = [*right, *left, (50.0, 770.0, 16.0, papers.TITLE)]
    elif order == "row by row":
        drawn.sort(key=lambda word: (-word[1], word[0]))
    elif order == "any":
        random.Random(3).shuffle(drawn)
    made, warnings = read([drawn])
    assert made == WHOLE
    assert warnings == ("the order of the columns was guessed on page 1",)


def test_three_columns_and_a_short_last_one() -> None:
    page = [(40.0, 790.0, 14.0, papers.TITLE)]
    page += papers.column(GOODS, 40, 760) + papers.column(STEPS[:5], 220, 760) + papers.column(STEPS[5:], 410, 760)
    page.sort(key=lambda word: (-word[1], word[0]))
    assert read([page])[0] == WHOLE


def test_a_method_runs_on_over_columns_and_pages() -> None:
    first = [(50.0, 770.0, 16.0, papers.TITLE), *papers.column([*GOODS, *STEPS[:3]], 50, 740)]
    assert read([first, papers.column(STEPS[3:], 50, 770)])[0] == WHOLE


def test_a_table_of_amounts_is_read_across() -> None:
    rows = [item.split(" ", 2) for item in ("200 g barley", "50 g butter", "10 g salt", "20 g sugar", "30 g lard")]
    page = [(50.0, 770.0, 16.0, papers.TITLE), (50.0, 742.0, 10.0, "Ingredients")]
    for at, (amount, unit, what) in enumerate(rows):
        page += [(50.0, 728.0 - 13 * at, 10.0, f"{amount} {unit}"), (140.0, 728.0 - 13 * at, 10.0, what)]
    page += papers.column(STEPS, 50, 640)
    assert read([page])[0][1] == [" ".join(row) for row in rows]


@pytest.mark.parametrize(("corner", "sideways"), [(0, False), (300, False), (-200, True), (0, True)])
def test_pages_set_off_the_corner_or_sideways(corner: int, sideways: bool) -> None:
    page = [(50.0, 578.0 if sideways else 825.0, 8.0, "Parish cook book"), (50.0, 530.0, 16.0, papers.TITLE)]
    page += papers.column(GOODS, 50, 500) + papers.column(STEPS, 300, 500)
    found = read_bytes(papers.pdf([page], corner=corner, sideways=sideways), "a.pdf")
    assert parts(found.recipes[0][1]) == WHOLE
    assert "Parish" not in found.recipes[0][1]


def test_fractions_of_small_raised_figures_stand_off_the_whole_number() -> None:
    page = [(50.0, 770.0, 16.0, "Tart"), (50.0, 742.0, 10.0, "Ingredients")]
    for base, before in ((728.0, "1"), (715.0, "")):
        after = 50.0 + (5.6 if before else 0)
        page += [(50.0, base, 10.0, before)] if before else []
        page += [(after, base + 3.3, 6.0, "1"), (after + 3.4, base, 10.0, "/"), (after + 6.2, base, 6.0, "2")]
        page.append((after + 14.0, base, 10.0, "cups milk"))
    page += papers.column(STEPS, 50, 690)
    assert read([page])[0][1] == ["1 1/2 cups milk", "1/2 cups milk"]


def test_a_word_cut_at_the_end_of_a_line_is_made_whole() -> None:
    lines = ["Method", "1. Put the barley into the deep earthen-", "ware dish and add the butter, then bake it for"]
    lines.append("20 minutes.")
    made = read([[(50.0, 770.0, 16.0, "Tart"), *papers.column(lines, 50, 740)]])[0]
    assert made[2] == ["Put the barley into the deep earthenware dish and add the butter, then bake it for 20 minutes."]


def test_several_recipes_and_a_title_on_two_lines() -> None:
    one = [(50.0, 770.0, 16.0, "Barley Bake with Leeks"), (50.0, 751.0, 16.0, "and Butter")]
    one += papers.column([*GOODS, *STEPS], 50, 725)
    two = [(50.0, 770.0, 16.0, "Plum Pot")]
    two += papers.column(["Ingredients", *papers.OTHER[1], "Method", *papers.OTHER[2]], 50, 740)
    found = read_bytes(papers.pdf([one, two]), "a.pdf")
    assert [title for title, _ in found.recipes] == ["Barley Bake with Leeks and Butter", "Plum Pot"]
    assert parts(found.recipes[1][1]) == papers.OTHER


def test_pages_over_the_limit_are_left_out_and_it_is_said() -> None:
    page = [(50.0, 770.0, 16.0, papers.TITLE), *papers.column([*GOODS, *STEPS], 50, 740)]
    found = read_bytes(papers.pdf([page, page, page]), "a.pdf", limits=Limits(pages=1))
    assert len(found.recipes) == 1
    assert found.warnings == ("only the first 1 of 3 pages were read",)


def test_damage_has_its_reason() -> None:
    whole = papers.pdf([papers.column(STEPS, 50, 740)])
    half, junk = whole[: len(whole) // 3], b"%PDF-1.4\nnothing\n%%EOF"
    for data, code in ((half, "truncated"), (junk, "broken"), (papers.pdf([[]]), "empty")):
        with pytest.raises(Unreadable) as caught:
            read_bytes(data, "a.pdf")
        assert caught.value.code == code


def test_a_page_without_end_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("converter.formats.pdf._MOST_SIGNS", 100)
    page = papers.column([*GOODS, *STEPS], 50, 740)
    with pytest.raises(Unreadable) as caught:
        read_bytes(papers.pdf([page]), "a.pdf")
    assert caught.value.code == "bomb"
