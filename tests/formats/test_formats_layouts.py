"""Layouts of pages: lists in columns, headings that hang out, joined signs, pages without words over their lists."""

from __future__ import annotations

import papers
import pytest

from converter.formats import read_bytes
from converter.read.lines import layout
from converter.read.text import document

pytest.importorskip("pypdfium2")
pytest.importorskip("selectolax")

Parts = tuple[str, list[str], list[str]]
WHOLE: Parts = (papers.TITLE, papers.GOODS, papers.STEPS)
GUESSED = ("the order of the columns was guessed on page 1",)
NUMBERED = [f"{count}. {step}" for count, step in enumerate(papers.STEPS, 1)]


def parts(text: str) -> Parts:
    recipe = layout(document(text, name="it"))
    return recipe.title, [row.text for row in recipe.ingredients], [step.text for step in recipe.steps]


def read(page: list[papers.Placed], *more: list[papers.Placed]) -> tuple[list[Parts], tuple[str, ...]]:
    found = read_bytes(papers.pdf([page, *more]), "a.pdf")
    return [parts(text) for _, text in found.recipes], found.warnings


TOP: list[papers.Placed] = [(50.0, 790.0, 16.0, papers.TITLE), (50.0, 760.0, 12.0, "Ingredients")]


def test_a_list_of_goods_in_columns_over_text_across_the_page() -> None:
    goods = papers.column(papers.GOODS[:2], 60, 740) + papers.column(["1 large leek", "50 g butter"], 330, 740)
    goods.sort(key=lambda word: -word[1])
    made, warnings = read([*TOP, *goods, (50, 690, 12, "Method"), *papers.column(NUMBERED, 50, 670)])
    assert made == [(papers.TITLE, [*papers.GOODS[:2], "1 large leek", "50 g butter"], papers.STEPS)]
    assert warnings == GUESSED


def test_a_list_of_goods_in_long_columns_ends_at_the_method() -> None:
    right = ["1 large leek", "50 g butter", "3 sprigs thyme", "2 bay leaves", "1 pinch nutmeg"]
    left = [*papers.GOODS[:2], "1 tsp mustard", "2 tbsp cream", "1 clove garlic"]
    page = [*TOP, *papers.column(left, 60, 740), *papers.column(right, 330, 740)]
    made, warnings = read([*page, (50, 660, 12, "Method"), *papers.column(NUMBERED, 50, 640)])
    assert made == [(papers.TITLE, [*left, *right], papers.STEPS)]
    assert warnings == GUESSED


def test_columns_that_are_not_found_are_told() -> None:
    page = [*TOP, *papers.column([*papers.GOODS, "Method", *NUMBERED[:2]], 50, 740), (380, 790, 10, "3. Stir it well.")]
    assert read(page)[1] == GUESSED


def test_a_table_of_amounts_on_the_right_is_no_columns() -> None:
    page: list[papers.Placed] = [*TOP, (50, 650, 12, "Method"), *papers.column(NUMBERED, 50, 630)]
    for at, item in enumerate(("200 g barley", "50 g butter", "10 g salt")):
        amount, unit, what = item.split()
        page += [(60, 740 - 13 * at, 10, what), (300, 740 - 13 * at, 10, f"{amount} {unit}")]
    assert read(page)[1] == ()


def test_a_heading_that_hangs_out_of_its_column_belongs_to_it() -> None:
    page = [(50, 760, 16, papers.TITLE), (50, 730, 12, "Ingredients"), *papers.column(papers.GOODS, 80, 710)]
    lines = ["1. Heat the oven to 180°C.", "2. Simmer the barley for 25 minutes.", "3. Stir in the leek and butter.",
             "4. Bake for 20 minutes."]  # fmt: skip
    page += [(300, 745, 12, "Method"), *papers.column(lines, 330, 725)]
    page.sort(key=lambda word: -word[1])
    made, warnings = read(page)
    assert made == [(papers.TITLE, papers.GOODS, [line[3:] for line in lines])]
    assert warnings == GUESSED


def test_words_set_apart_without_a_blank_are_words() -> None:
    page: list[papers.Placed] = [*TOP, *papers.column(papers.GOODS, 50, 740), (50, 680, 12, "Method")]
    left = 50.0
    for word, width in (("Bake", 22.8), ("for", 11.7), ("20", 11.1), ("minutes.", 38.4)):
        page.append((left, 660.0, 10.0, word))
        left += width + 2.8
    assert read(page)[0][0][2] == ["Bake for 20 minutes."]


def test_numbers_stand_close_to_their_steps() -> None:
    lines = [line.replace(". ", ".", 1) for line in NUMBERED]
    page = [*TOP, *papers.column(papers.GOODS, 50, 740), (50, 680, 12, "Method"), *papers.column(lines, 50, 660)]
    made, _ = read(page)
    assert made == [WHOLE]


def test_a_title_on_the_next_page_does_not_go_on_with_the_last_step() -> None:
    name, goods, steps = papers.OTHER
    page = [(50.0, 790.0, 10.0, papers.TITLE), *papers.column(["Ingredients", *papers.GOODS], 50, 770)]
    page += papers.column(["Method", *papers.STEPS[:-1], "• Bake for 20–25 minutes until it is golden."], 50, 690)
    other = papers.column([name, "Ingredients", *goods, "Method", *steps], 50, 790)
    made, _ = read(page, other)
    assert [title for title, _, _ in made] == [papers.TITLE, name]


JUNK = "<div>Home</div><div>Shop</div><div><p>Welcome to our kitchen, where we cook with love.</p></div>"
AFTER = "<div><h3>Related</h3><ul><li>Ten puddings<li>Buns</ul></div><div><h3>2 comments</h3><p>Sue: Nice!</p></div>"


@pytest.mark.parametrize("tag", ["ol", "p"])
@pytest.mark.parametrize("goods", [papers.GOODS, ["Butter", "2 eggs", "Salt", "Pepper"]])
def test_a_page_without_words_over_list_and_method(tag: str, goods: list[str]) -> None:
    steps = "".join(f"<li>{it}</li>" if tag == "ol" else f"<p>{it}</p>" for it in papers.STEPS)
    body = f"<h1>{papers.TITLE}</h1><ul>{''.join(f'<li>{it}</li>' for it in goods)}</ul><{tag}>{steps}</{tag}>"
    found = read_bytes(f"<!DOCTYPE html><title>x</title>{JUNK}<div>{body}</div>{AFTER}".encode(), "a.html").recipes
    assert [(title, parts(text)) for title, text in found] == [(papers.TITLE, (papers.TITLE, goods, papers.STEPS))]


def test_recipes_without_any_heading_or_gap_are_parted_and_it_is_told() -> None:
    name, goods, steps = papers.OTHER
    card = "\n".join([papers.TITLE, *papers.GOODS, *papers.STEPS, name, *goods, *steps])
    found = read_bytes(card.encode(), "a.txt")
    assert [title for title, _ in found.recipes] == [papers.TITLE, name]
    assert "guessed" in found.warnings[0]


def test_the_list_of_a_part_is_no_recipe() -> None:
    sauce = ["Lemon sauce", "1 lemon", "50 g butter", "Stir it well."]
    card = "\n".join([papers.TITLE, *papers.GOODS, *papers.STEPS, *sauce])
    assert len(read_bytes(card.encode(), "a.txt").recipes) == 1


def test_a_step_in_front_of_a_list_is_no_title() -> None:
    step = "Wash the barley well in a sieve. Shake it dry (it will still drip)"
    other = "\n".join(["Plum Pot", "", "Ingredients", "", *papers.OTHER[1], "", "Method", "", *papers.OTHER[2]])
    card = "\n".join([papers.TITLE, "", "Ingredients", *papers.GOODS, "", "Method", "", step, *papers.STEPS, "", other])
    assert [title for title, _ in read_bytes(card.encode(), "a.txt").recipes] == [papers.TITLE, "Plum Pot"]
