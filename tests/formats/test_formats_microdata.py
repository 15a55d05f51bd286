"""Recipes stated by attributes of a page's elements."""

from __future__ import annotations

import papers
import pytest

from converter.formats import read_bytes
from converter.read.lines import layout
from converter.read.text import document

pytest.importorskip("selectolax")

RECIPE = 'itemscope itemtype="https://schema.org/Recipe"'
STEP = 'itemscope itemtype="https://schema.org/HowToStep"'
NAME = f'<h2 itemprop="name">{papers.TITLE}</h2>'
MENU = "<p>Knitting</p>"


def tagged(tag: str, words: list[str], prop: str = "") -> str:
    mark = f' itemprop="{prop}"' if prop else ""
    return "".join(f"<{tag}{mark}>{it}</{tag}>" for it in words)


GOODS = f"<ul>{tagged('li', papers.GOODS, 'recipeIngredient')}</ul>"
LIST = f'<ol itemprop="recipeInstructions">{tagged("li", papers.STEPS)}</ol>'


def recipe(inside: str, kind: str = RECIPE) -> str:
    return f"<div {kind}>{inside}</div>"


def steps(inside: str, mark: str = "") -> str:
    return recipe(f'{NAME}{GOODS}<div itemprop="recipeInstructions" {mark}>{inside}</div>')


def items(prop: str) -> str:
    return "".join(f'<div itemprop="{prop}" {STEP}><p itemprop="text">{it}</p></div>' for it in papers.STEPS)


def read(body: str) -> list[tuple[str, list[str], list[str]]]:
    found = read_bytes(f"<!DOCTYPE html><title>x</title>{MENU}{body}".encode(), "a.html")
    made = [layout(document(text, name="it")) for _, text in found.recipes]
    return [(one.title, [row.text for row in one.ingredients], [step.text for step in one.steps]) for one in made]


BAKE = (papers.TITLE, papers.GOODS, papers.STEPS)
PERSON = '<p itemprop="author" itemscope itemtype="https://schema.org/Person"><b itemprop="name">Nobody</b></p>'
REVIEW = '<p itemprop="review" itemscope><b itemprop="name">Burnt</b><i itemprop="reviewBody">Bake it at 230°C.</i></p>'
PAGES = {
    "a list": recipe(NAME + GOODS + LIST),
    "items as steps": recipe(NAME + GOODS + items("recipeInstructions")),
    "each line a step": recipe(NAME + GOODS + tagged("p", papers.STEPS, "recipeInstructions")),
    "an item list": steps(items("itemListElement"), 'itemscope itemtype="https://schema.org/ItemList"'),
    "an item list of lines": steps(
        tagged("p", papers.STEPS, "itemListElement"), 'itemscope itemtype="https://schema.org/ItemList"'
    ),
    "one blob with breaks": steps("<br>".join(papers.STEPS)),
    "one blob with paragraphs": steps(tagged("p", papers.STEPS)),
    "numbers in one blob": steps(" ".join(f"{count}. {it}" for count, it in enumerate(papers.STEPS, 1))),
    "the method named inside": steps(f"<h3>Method</h3>{tagged('p', papers.STEPS)}"),
    "the property inside itself": steps(tagged("p", papers.STEPS, "recipeInstructions")),
    "an advertisement in the method": steps(
        f'{tagged("p", papers.STEPS[:2])}<div class="ad">Hats</div>{tagged("p", papers.STEPS[2:])}'
    ),
    "a script in the method": steps(f"<script>bake('999')</script><style>.x{{}}</style>{tagged('p', papers.STEPS)}"),
    "an author before the name": recipe(PERSON + NAME + GOODS + LIST),
    "a review after it": recipe(NAME + GOODS + LIST + REVIEW),
    "two types": recipe(NAME + GOODS + LIST, 'itemscope itemtype="https://schema.org/NewsArticle https://schema.org/Recipe"'),
    "capitals and a slash": recipe(NAME + GOODS + LIST, 'ITEMSCOPE ITEMTYPE="http://schema.org/Recipe/"'),
    "inside another item": f"<article itemscope><h1 itemprop=headline>Ours</h1>{recipe(NAME + GOODS + LIST)}</article>",
    "words in links": recipe(
        f'<a itemprop="name" href="/x">{papers.TITLE}</a>'
        + "".join(f'<li><a itemprop="recipeIngredient" href="/y">{it}</a></li>' for it in papers.GOODS) + LIST
    ),
    "a bold letter in a word": recipe(NAME + GOODS + LIST.replace("oven", "<b>ov</b>en")),
    "a table": recipe(
        NAME + LIST + "<table>" + "".join(
            f'<tr itemprop="recipeIngredient"><td>{it.replace(" ", "</td><td>", 1)}</td></tr>' for it in papers.GOODS
        ) + "</table>"
    ),
    "the list one property": recipe(f'{NAME}<ul itemprop="recipeIngredient">{tagged("li", papers.GOODS)}</ul>{LIST}'),
    "parts elsewhere": f'<div {RECIPE} itemref="goods way none">{NAME}</div><p>Buy 300 g of hats.</p>'
    f'<div id="goods">{GOODS}</div>{LIST.replace("<ol", "<ol id=way")}',
    "references in a circle": f'<div {RECIPE} id="a" itemref="b">{NAME}{GOODS}{LIST}</div>'
    '<div id="b" itemprop="isPartOf" itemscope itemref="a"><b itemprop="name">Circle</b></div>',
    "a deep page": "<div>" * 4000 + recipe(NAME + GOODS + LIST),
}  # fmt: skip


@pytest.mark.parametrize("body", PAGES.values(), ids=PAGES)
def test_the_recipe_is_what_the_attributes_say(body: str) -> None:
    assert read(body) == [BAKE]


def test_several_recipes_are_several_each_with_its_own() -> None:
    name, goods, method = papers.OTHER
    other = recipe(
        f'<h2 itemprop="name">{name}</h2>{tagged("p", goods, "recipeIngredient")}'
        f'{tagged("p", method, "recipeInstructions")}'
    )
    assert read(recipe(NAME + GOODS + LIST) + other) == [BAKE, (name, goods, method)]


def test_a_heading_in_the_method_names_a_part() -> None:
    text = read_bytes(steps(f"<h3>For the base</h3>{tagged('p', papers.STEPS)}").encode(), "a.html").recipes[0][1]
    made = layout(document(text, name="it"))
    assert [(step.part, step.text) for step in made.steps] == [("For the base", it) for it in papers.STEPS]


@pytest.mark.parametrize(
    ("mark", "line"),
    [('<time itemprop="totalTime" datetime="PT1H15M">a while</time>', "Total time: 1 hour 15 minutes"),
     ('<time itemprop="totalTime">75 minutes</time>', "Total time: 75 minutes"),
     ('<span itemprop="totalTime" content="PT75M">¾</span>', "Total time: 1 hour 15 minutes"),
     ('<meta itemprop="recipeYield" content="6 slices">', "Serves: 6 slices"),
     ('<data itemprop="recipeYield" value="6">half a dozen</data>', "Serves: 6")],
)  # fmt: skip
def test_values_that_attributes_give(mark: str, line: str) -> None:
    text = read_bytes(recipe(NAME + mark + GOODS + LIST).encode(), "a.html").recipes[0][1]
    assert line in text.split("\n")


def test_a_page_that_states_no_method_is_read_as_text() -> None:
    body = recipe(f"{NAME}<h3>Ingredients</h3>{GOODS}<h3>Method</h3><ol>{tagged('li', papers.STEPS)}</ol>")
    assert read(body) == [BAKE]
