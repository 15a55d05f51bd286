"""Web pages, JSON and letters."""

from __future__ import annotations

import json

import papers
import pytest

from converter.formats import Unreadable, read_bytes
from converter.read.lines import layout
from converter.read.text import document

pytest.importorskip("selectolax")

RECIPE = {
    "@context": "https://schema.org", "@type": ["Recipe", "NewsArticle"], "name": "Barley &amp; Leek Bake",
    "recipeYield": ["4", "4 people"], "totalTime": "PT1H5M", "recipeIngredient": papers.GOODS,
    "recipeInstructions": [{"@type": "HowToStep", "text": step} for step in papers.STEPS],
}  # fmt: skip


def parts(text: str) -> tuple[str, list[str], list[str]]:
    recipe = layout(document(text, name="it"))
    return recipe.title, [row.text for row in recipe.ingredients], [step.text for step in recipe.steps]


def page(body: str, head: str = "") -> bytes:
    return f"<!DOCTYPE html><html><head><title>x</title>{head}</head><body>{body}</body></html>".encode()


def stated(values: object) -> bytes:
    return page("<p>Menu</p>", f'<script type="application/ld+json">{json.dumps(values)}</script>')


@pytest.mark.parametrize(
    "values", [RECIPE, [RECIPE], {"@graph": [{"@type": "WebSite"}, RECIPE]}, {"mainEntity": {"item": [RECIPE]}}]
)
def test_json_ld_is_found_wherever_it_stands(values: object) -> None:
    found = read_bytes(stated(values), "a.html")
    assert [title for title, _ in found.recipes] == ["Barley & Leek Bake"]
    text = found.recipes[0][1]
    assert parts(text) == ("Barley & Leek Bake", papers.GOODS, papers.STEPS)
    assert "Serves: 4 people" in text
    assert "Total time: 1 hour 5 minutes" in text
    assert "Menu" not in text


def test_sections_of_a_method_are_headings_and_no_steps() -> None:
    steps = [{"text": step} for step in papers.STEPS]
    method = [
        {"@type": "HowToSection", "name": "For the base", "itemListElement": steps[:2]},
        {"@type": "HowToSection", "name": "To finish", "itemListElement": steps[2:]},
    ]
    text = read_bytes(json.dumps({**RECIPE, "recipeInstructions": method}).encode(), "a.json").recipes[0][1]
    recipe = layout(document(text, name="it"))
    assert [step.text for step in recipe.steps] == papers.STEPS
    assert [step.part for step in recipe.steps] == ["For the base", "For the base", "To finish", "To finish"]


@pytest.mark.parametrize(
    "method",
    ["\n".join(papers.STEPS), "".join(f"<p>{step}</p>" for step in papers.STEPS), papers.STEPS,
     " ".join(f"{number}. {step}" for number, step in enumerate(papers.STEPS, 1)),
     {"@type": "ItemList", "itemListElement": [{"@type": "ListItem", "item": {"text": it}} for it in papers.STEPS]}],
)  # fmt: skip
def test_a_method_in_any_form_gives_its_steps(method: object) -> None:
    text = read_bytes(json.dumps({**RECIPE, "recipeInstructions": method}).encode(), "a.json").recipes[0][1]
    assert parts(text)[2] == papers.STEPS


def test_several_recipes_in_json_are_several() -> None:
    name, goods, steps = papers.OTHER
    other = {"@type": "Recipe", "name": name, "recipeIngredient": goods, "recipeInstructions": steps}
    found = read_bytes(json.dumps([RECIPE, other, RECIPE]).encode(), "a.json")
    assert [title for title, _ in found.recipes] == ["Barley & Leek Bake", "Plum Pot"]


@pytest.mark.parametrize(
    ("data", "code"),
    [(b"[" * 90_000, "too-deep"), (b'{"a": ' + b"9" * 9_000 + b"}", "broken"), (b'{"a": [1, 2', "truncated"),
     (b'{"a": 1}', "no-recipe"), (b'{"@type": "Recipe", "name": "x"}', "no-recipe")],
)  # fmt: skip
def test_json_that_gives_no_recipe_says_why(data: bytes, code: str) -> None:
    with pytest.raises(Unreadable) as caught:
        read_bytes(data, "a.json")
    assert caught.value.code == code


def test_microdata_is_read_from_its_attributes() -> None:
    goods = "".join(f'<li itemprop="recipeIngredient">{item}</li>' for item in papers.GOODS)
    steps = "".join(f"<li>{step}</li>" for step in papers.STEPS)
    body = (
        f'<div itemscope itemtype="https://schema.org/Recipe"><h2 itemprop="name">{papers.TITLE}</h2>'
        f'<div itemprop="author" itemscope itemtype="https://schema.org/Person"><b itemprop="name">Nobody</b></div>'
        f'<meta itemprop="recipeYield" content="4"><ul>{goods}</ul><ol itemprop="recipeInstructions">{steps}</ol></div>'
        '<p>Bake it at 230°C, says somebody.</p>'
    )
    text = read_bytes(page(body), "a.htm").recipes[0][1]
    assert parts(text) == (papers.TITLE, papers.GOODS, papers.STEPS)
    assert "somebody" not in text
    assert "Serves: 4" in text


def plain_body(before: str, after: str) -> bytes:
    goods = "".join(f"<li>{item}</li>" for item in papers.GOODS)
    steps = "".join(f"<li>{step}</li>" for step in papers.STEPS)
    recipe = f"<h1>{papers.TITLE}</h1><h2>Ingredients</h2><ul>{goods}</ul><h2>Method</h2><ol>{steps}</ol>"
    return page(f"{before}<div>{recipe}</div>{after}")


JUNK = "<h3>You may also like</h3><ul><li>Ten puddings</li></ul><h3>2 comments</h3><p>Sue: I baked mine at 190°C!</p>"


@pytest.mark.parametrize(
    ("before", "after"),
    [("<nav>Home Knitting</nav>", f"<aside>{JUNK}</aside><footer>Cookies</footer>"),
     ('<div class="main-menu">Home Knitting</div>',
      f'<div id="comments">{JUNK}</div><div class="site-footer">Cookies</div>'),
     ("<div>Home Knitting</div>", f"<div>{JUNK}</div><div>Cookies</div>")],
)  # fmt: skip
def test_the_text_of_a_page_is_taken_without_what_stands_around_it(before: str, after: str) -> None:
    text = read_bytes(plain_body(before, after), "a.html").recipes[0][1]
    assert parts(text) == (papers.TITLE, papers.GOODS, papers.STEPS)
    for word in ("Knitting", "puddings", "Sue", "Cookies"):
        assert word not in text


def test_broken_json_ld_falls_back_to_the_text_of_the_page() -> None:
    data = plain_body('<script type="application/ld+json">{"@type": "Recipe", "name": </script>', "")
    assert parts(read_bytes(data, "a.html").recipes[0][1])[2] == papers.STEPS


@pytest.mark.parametrize("coding", ["cp1252", "utf-8", "utf-16", "cp850"])
def test_codings_of_pages(coding: str) -> None:
    meta = '<meta charset="windows-1252">' if coding == "cp1252" else ""
    text = plain_body(meta, "").decode().replace("–", "-")
    found = read_bytes(text.encode(coding), "a.html")
    assert parts(found.recipes[0][1])[1] == papers.GOODS


def test_deep_pages_are_refused_and_open_list_items_are_not_depth() -> None:
    with pytest.raises(Unreadable) as caught:
        read_bytes(page("<div>" * 30_000), "a.html")
    assert caught.value.code == "too-deep"
    goods = "".join(f"<li>{item}" for item in papers.GOODS * 2000)
    body = f"<h1>{papers.TITLE}</h1><h2>Ingredients</h2><ul>{goods}</ul><h2>Method</h2><ol><li>{papers.STEPS[3]}</ol>"
    assert len(parts(read_bytes(page(body), "a.html").recipes[0][1])[1]) == 8000


# ---------------------------------------------------------------- letters

CARD = "\n".join([papers.TITLE, "", "Ingredients", *papers.GOODS, "", "Method", *papers.STEPS])


@pytest.mark.parametrize("quote", ["", "> ", "> > "])
def test_a_letter_is_read_without_greeting_quote_marks_and_signature(quote: str) -> None:
    quoted = "\n".join(quote + line for line in CARD.split("\n"))
    text = f"Dear all,\n\nhere is what you asked for.\n\n{quoted}\n\nLove, M\n\n-- \nThe Warden\nTel. 0\n"
    found = read_bytes(papers.letter(text), "a.eml").recipes
    assert parts(found[0][1]) == (papers.TITLE, papers.GOODS, papers.STEPS)
    for word in ("Dear", "asked", "Love", "Warden"):
        assert word not in found[0][1]


def test_a_letter_without_title_takes_its_subject() -> None:
    card = "\n".join(["Ingredients", *papers.GOODS, "", "Method", *papers.STEPS])
    found = read_bytes(papers.letter(card, subject="Re: Fwd: Barley supper"), "a.eml").recipes
    assert found[0][0] == "Barley supper"
    assert parts(found[0][1]) == ("Barley supper", papers.GOODS, papers.STEPS)


def test_a_letter_in_html_alone_and_a_saved_page() -> None:
    html = plain_body("<p>Hello</p>", "<p>Bye</p>").decode()
    for name in ("a.eml", "a.mhtml"):
        found = read_bytes(papers.letter("", html=html, plain=False), name)
        assert parts(found.recipes[0][1]) == (papers.TITLE, papers.GOODS, papers.STEPS)


def test_letters_in_letters_end() -> None:
    data = b"From: a\nSubject: x\nMIME-Version: 1.0\nContent-Type: message/rfc822\n\n" * 1500
    with pytest.raises(Unreadable) as caught:
        read_bytes(data, "a.eml")
    assert caught.value.code == "too-deep"
