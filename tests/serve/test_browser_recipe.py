"""A cook with a recipe, in a real browser: paste it, decide its flags, save it, print it."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.serve.doorstep import BAKE, BEANS, BISCUITS, CHICKEN, DESKTOP, PHONE, Opener, Seen, Server
from tests.serve.looks import sheets

SIZES = [pytest.param(DESKTOP, False, id="desktop"), pytest.param(PHONE, True, id="phone-dark")]


def pasted(page: Page, server: Server, text: str = BAKE) -> Page:
    page.goto(server.address)
    page.get_by_label("The recipe").fill(text)
    page.get_by_role("button", name="Rewrite the recipe").click()
    page.wait_for_url("**/recipes/*")
    return page


def to_judge(page: Page) -> int:
    return page.locator(".flag.judgement form.answers").count()


@pytest.mark.parametrize("js", [True, False], ids=["script", "no-script"])
@pytest.mark.parametrize(("size", "dark"), SIZES)
def test_from_the_paste_to_the_sheet(
    server: Server, opened: Opener, size: tuple[int, int], dark: bool, js: bool
) -> None:
    page = pasted(opened(size=size, dark=dark, js=js), server)
    expect(page).to_have_title(re.compile("Leek and ham bake"))
    expect(page.get_by_role("heading", level=1)).to_have_text("Leek and ham bake")
    steps = page.locator("li.step")
    expect(steps).to_have_count(6)
    # What was changed is told by words and by shape, beside the recipe's own.
    expect(steps.nth(2).locator("del").first).to_be_visible()
    expect(steps.nth(2).locator("ins").first).to_be_visible()
    assert "medium heat" not in steps.nth(1).locator(".now").inner_text()
    assert "medium heat" in steps.nth(1).locator(".old").inner_text()

    waiting = to_judge(page)
    assert waiting > 0
    flag = page.locator(".flag.judgement:has(form.answers)").first
    step = flag.locator("xpath=ancestor::li[contains(@class, 'step')]").get_attribute("id")
    flag.get_by_role("button").first.click()
    page.wait_for_url(f"**/recipes/*#{step}")
    expect(page.locator(".flag.judgement form.answers")).not_to_have_count(waiting)
    assert to_judge(page) < waiting
    decided = page.locator(f"#{step} .flag", has_text="Decided").first
    expect(decided).to_be_visible()
    page.reload()
    assert to_judge(page) < waiting

    page.get_by_role("link", name="Print").click()
    page.wait_for_url("**/sheet*")
    expect(page.locator("article.paper")).to_contain_text("Leek and ham bake")


def test_a_choice_rewrites_the_step_at_once_and_can_be_taken_back(server: Server, page: Page) -> None:
    pasted(page, server)
    page.evaluate("() => { window.kept = true; }")
    flag = page.locator(".flag.judgement:has(form.answers)").first
    step = page.locator("li.step").filter(has=page.locator(f"#{flag.get_attribute('id')}".replace(".", "\\.")))
    before = step.locator(".now .words").inner_text()
    number = step.get_attribute("id")
    flag.locator("button[value^='choice']").first.click()
    now = page.locator(f"#{number} .now .words")
    expect(now).not_to_have_text(before)
    assert page.evaluate("() => window.kept"), "the page was loaded anew"
    expect(page.locator("#said")).to_contain_text("Kept")
    page.locator(f"#{number}").get_by_role("button", name=re.compile("Take it back")).first.click()
    expect(now).to_have_text(before, use_inner_text=True)


def test_own_words_take_the_place_of_the_step(server: Server, page: Page) -> None:
    pasted(page, server)
    flag = page.locator(".flag.judgement:has(form.answers)").first
    flag.locator("summary", has_text="In my own words").click()
    flag.get_by_label("The line as it is to stand").fill("Roast until Aunt nods. <b>Then rest.</b>")
    flag.get_by_role("button", name="Keep my words").click()
    expect(page.locator("li.step .now", has_text="Roast until Aunt nods. <b>Then rest.</b>")).to_be_visible()


@pytest.mark.parametrize(("form", "sign"), [("Markdown", "# Leek"), ("HTML", "<!DOCTYPE html>"), ("JSON-LD", "{")])
def test_saving_as_a_file(server: Server, page: Page, form: str, sign: str, tmp_path: Path) -> None:
    pasted(page, server)
    page.locator("summary", has_text="Save as a file").click()
    with page.expect_download() as got:
        page.get_by_role("link", name=re.compile(re.escape(form))).click()
    assert re.fullmatch(r"[\w .-]+\.(md|html|jsonld)", got.value.suggested_filename)
    got.value.save_as(tmp_path / "saved")
    words = (tmp_path / "saved").read_text(encoding="utf-8")
    assert words.lstrip().startswith(sign)
    assert "Leek and ham bake" in words
    if form == "JSON-LD":
        assert json.loads(words)["@type"] == "Recipe"


def test_copying_gives_the_plain_text(server: Server, opened: Opener) -> None:
    page = pasted(opened(permissions=["clipboard-read", "clipboard-write"]), server)
    page.get_by_role("link", name="Copy").click()
    expect(page.locator("#said")).not_to_be_empty()
    words = page.evaluate("() => navigator.clipboard.readText()")
    assert "Leek and ham bake" in words
    assert "Microwave the rest" in words
    assert "<" not in words


def test_copying_without_script_shows_the_text(server: Server, opened: Opener) -> None:
    page = pasted(opened(js=False), server)
    page.get_by_role("link", name="Copy").click()
    assert "Leek and ham bake" in page.get_by_role("textbox").input_value()


@pytest.mark.parametrize("js", [True, False], ids=["script", "no-script"])
def test_a_file_is_taken_instead_of_a_paste(server: Server, opened: Opener, js: bool) -> None:
    page = opened(js=js)
    page.goto(server.address)
    page.get_by_label(re.compile("Or a file")).set_input_files(
        {"name": "biscuits.txt", "mimeType": "text/plain", "buffer": BISCUITS.encode()}
    )
    if not js:
        page.get_by_role("button", name="Rewrite the recipe").click()
    page.wait_for_url("**/recipes/*")
    expect(page.get_by_role("heading", level=1)).to_have_text("Oat biscuits")


def test_a_dropped_file_is_taken(server: Server, page: Page) -> None:
    page.goto(server.address)
    page.evaluate(
        """(text) => {
          const carried = new DataTransfer();
          carried.items.add(new File([text], "biscuits.txt", {type: "text/plain"}));
          const target = document.getElementById("text");
          for (const type of ["dragenter", "dragover", "drop"])
            target.dispatchEvent(new DragEvent(type, {dataTransfer: carried, bubbles: true, cancelable: true}));
        }""",
        BISCUITS,
    )
    page.wait_for_url("**/recipes/*")
    expect(page.get_by_role("heading", level=1)).to_have_text("Oat biscuits")


@pytest.mark.parametrize("js", [True, False], ids=["script", "no-script"])
def test_a_sample_to_try(server: Server, opened: Opener, js: bool) -> None:
    page = opened(js=js)
    page.goto(server.address)
    page.locator("button[name=sample]").first.click()
    page.wait_for_url("**/recipes/*")
    assert page.locator("li.step").count() > 2


@pytest.mark.parametrize("js", [True, False], ids=["script", "no-script"])
def test_what_is_no_recipe_comes_back_with_a_sentence(server: Server, opened: Opener, seen: Seen, js: bool) -> None:
    seen.expected.append("422")
    page = opened(js=js)
    page.goto(server.address)
    page.get_by_label("The recipe").fill("Milk, eggs, bread")
    page.get_by_role("button", name="Rewrite the recipe").click()
    expect(page.get_by_role("alert").first).to_be_visible()
    expect(page.get_by_label("The recipe")).to_have_value("Milk, eggs, bread")


def test_another_cooker_and_other_degrees(server: Server, opened: Opener) -> None:
    page = pasted(opened(js=False), server)
    page.locator("details.again summary").click()
    page.get_by_label("Cooker").select_option("two-oven")
    page.get_by_label("Degrees").select_option("f")
    page.get_by_role("button", name="Show it so").click()
    expect(page.locator(".start")).to_contain_text("two ovens")
    assert "moderate oven" not in page.locator(".steps .now").first.inner_text()


@pytest.mark.parametrize("text", [BISCUITS, CHICKEN, BEANS], ids=["biscuits", "chicken", "beans"])
@pytest.mark.parametrize("paper", ["A4", "Letter"])
@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
def test_an_ordinary_recipe_prints_on_one_sheet(
    server: Server, opened: Opener, text: str, paper: str, dark: bool
) -> None:
    page = pasted(opened(dark=dark), server, text)
    page.goto(page.url.split("#")[0] + "/sheet")
    printed = sheets(page.pdf(format=paper))
    assert len(printed) == 1
    title = text.split("\n", 1)[0]
    assert title in printed[0]
    assert "Back to the recipe" not in printed[0]
    assert "Caution" in printed[0] or "Caution" not in page.locator("article.paper").inner_text()


def test_the_page_itself_prints_without_its_buttons(server: Server, opened: Opener) -> None:
    page = pasted(opened(dark=True), server, BISCUITS)
    (first, *_) = sheets(page.pdf(format="A4"))
    assert "Oat biscuits" in first
    for words in ("Save as a file", "Forget this recipe", "Another cooker", "The folder"):
        assert words not in first


def test_going_back_shows_the_recipe_as_decided(server: Server, page: Page) -> None:
    pasted(page, server)
    waiting = to_judge(page)
    page.locator(".flag.judgement form.answers button").first.click()
    expect(page.locator("#said")).to_contain_text("Kept")
    left = to_judge(page)
    assert left < waiting
    page.goto(server.address)
    page.go_back()
    expect(page.get_by_role("heading", level=1)).to_have_text("Leek and ham bake")
    assert to_judge(page) == left


def test_recipes_are_forgotten_on_wish(server: Server, opened: Opener, seen: Seen) -> None:
    seen.expected.append("404")
    page = pasted(opened(js=False), server, BISCUITS)
    address = page.url
    page.get_by_role("button", name="Forget this recipe").click()
    page.wait_for_url(f"{server.address}/")
    assert page.goto(address).status == 404  # type: ignore[union-attr]
