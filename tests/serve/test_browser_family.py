"""A family's folder in a real browser: find a recipe, convert what is new, judge the lines that wait, by keyboard."""

from __future__ import annotations

import re
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from converter.ledger import Ledger
from tests.folder.cookery import recipe
from tests.serve.doorstep import CARDS, DESKTOP, PHONE, Opener, Seen, Server

SIZES = [pytest.param(DESKTOP, False, id="desktop"), pytest.param(PHONE, True, id="phone-dark")]


def decisions(dest: Path) -> list[tuple[str, str, str]]:
    """Flag, kind and words of each decision that the ledger has now."""
    with Ledger.open(dest, create=False) as ledger:
        return sorted((made.name, made.kind, made.words) for made in ledger.decisions())


def waiting(page: Page) -> int:
    words = page.locator("#left").inner_text()
    found = re.match(r"([\d,]+) lines? waits?", words) or re.match(r"([\d,]+) line", words)
    return int(found[1].replace(",", "")) if found else 0


# ---------------------------------------------------------------- the folder


@pytest.mark.parametrize("js", [True, False], ids=["script", "no-script"])
@pytest.mark.parametrize(("size", "dark"), SIZES)
def test_from_the_folder_to_a_recipe_and_its_sheet(
    family_server: Server, opened: Opener, size: tuple[int, int], dark: bool, js: bool
) -> None:
    page = opened(size=size, dark=dark, js=js)
    page.goto(f"{family_server.address}/folder")
    rows = page.locator("table.recipes tbody tr")
    expect(rows).to_have_count(len(CARDS))
    page.get_by_label(re.compile("Words in name")).fill("chicken")
    if js:
        expect(rows).to_have_count(1)
    else:
        page.get_by_role("button", name="Show").click()
    expect(rows).to_have_count(1)
    expect(rows).to_contain_text("caution")
    page.get_by_role("link", name="Chicken with leeks").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("Chicken with leeks")
    page.get_by_role("link", name="Print").click()
    expect(page.locator("article.paper")).to_contain_text("Chicken with leeks")


def test_a_run_takes_in_what_is_new_and_shows_how_it_goes(family_server: Server, family: Path, page: Page) -> None:
    src = family.parent / "recipes"
    for number in range(30):
        (src / f"new {number}.txt").write_text(recipe(number), encoding="utf-8")
    (src / "letter.txt").write_text("Dear aunt, we were glad of the visit.", encoding="utf-8")
    page.goto(f"{family_server.address}/folder")
    page.get_by_role("button", name="Convert again").click()
    expect(page.get_by_role("progressbar")).to_be_visible()
    expect(page.get_by_role("button", name="Convert again")).to_be_visible(timeout=60_000)
    expect(page.locator("#run-over")).to_be_visible()
    expect(page.locator(".lead")).to_contain_text(str(len(CARDS) + 30))
    page.locator("#lost summary").click()
    expect(page.locator("#lost")).to_contain_text("letter.txt")


def test_a_run_can_be_stopped_and_gone_on_with_without_script(
    family_server: Server, family: Path, opened: Opener
) -> None:
    src = family.parent / "recipes"
    for number in range(300):
        (src / f"new {number}.txt").write_text(recipe(number), encoding="utf-8")
    page = opened(js=False)
    page.goto(f"{family_server.address}/folder")
    page.get_by_role("button", name="Convert again").click()
    page.get_by_role("button", name="Stop").click()
    page.wait_for_load_state()
    for _ in range(40):
        if page.get_by_role("button", name=re.compile("Convert again|Go on converting")).count():
            break
        page.wait_for_timeout(250)
        page.goto(f"{family_server.address}/folder")
    expect(page.get_by_role("button", name="Go on converting")).to_be_visible()
    with Ledger.open(family, create=False) as ledger:
        assert len(list(ledger.entries())) < 300


# ---------------------------------------------------------------- judgement


def test_all_lines_are_judged_by_keyboard(family_server: Server, family: Path, page: Page) -> None:
    """Nothing but keys, from the address to the last line; what the page says is what the ledger has."""
    page.goto(f"{family_server.address}/judgement")
    left = waiting(page)
    assert left > 6
    keys = ["p", "1", "l", "p"]
    rounds = 0
    while left and rounds < 60:
        key = keys[rounds % len(keys)]
        if not page.locator(f"[data-key~='{key}']").count():
            key = "p"
        before = page.locator("#line-name").inner_text() + page.locator("blockquote").inner_text()
        page.keyboard.press(key)
        page.wait_for_function(
            """(before) => {
              const line = document.querySelector("blockquote");
              const now = () => document.getElementById("line-name").innerText + line.innerText;
              return !document.querySelector("main[aria-busy]") && (!line || now() !== before);
            }""",
            arg=before,
        )
        now = waiting(page)
        assert now < left
        left = now
        rounds += 1
    expect(page.get_by_role("heading", name="Nothing is left to decide")).to_be_visible()
    assert len(decisions(family)) >= rounds
    with Ledger.open(family, create=False) as ledger:
        assert sum(count for level, count in ledger.count_open().items() if level != "note") == 0


def test_what_was_answered_is_taken_back_with_one_key(family_server: Server, family: Path, page: Page) -> None:
    page.goto(f"{family_server.address}/judgement")
    left, line = waiting(page), page.locator("blockquote").inner_text()
    page.keyboard.press("p")
    expect(page.locator("#just")).to_contain_text("Kept")
    assert len(decisions(family)) >= 1
    page.keyboard.press("u")
    expect(page.locator("#just")).to_contain_text("Taken back")
    assert waiting(page) == left
    expect(page.locator("blockquote")).to_have_text(line, use_inner_text=True)
    assert decisions(family) == []


def test_the_same_for_all_like_this_is_shown_first(family_server: Server, family: Path, page: Page) -> None:
    page.goto(f"{family_server.address}/judgement?find=microwave")
    left = waiting(page)
    page.keyboard.press("a")
    expect(page.get_by_label(re.compile("The same for all 3"))).to_be_checked()
    page.keyboard.press("p")
    expect(page.get_by_role("heading", level=1)).to_have_text("The same for all?")
    expect(page.locator("ul.rows q")).to_have_count(3)
    assert decisions(family) == []
    page.keyboard.press("a")
    expect(page.locator("#just")).to_contain_text("3 lines")
    assert len(decisions(family)) == 3
    assert waiting(page) <= left - 3


def test_own_words_and_markup_in_them(family_server: Server, family: Path, page: Page) -> None:
    page.goto(f"{family_server.address}/judgement?find=microwave")
    title = page.locator(".where a").inner_text()
    page.keyboard.press("w")
    expect(page.get_by_label("The line in your words")).to_be_focused()
    page.keyboard.press("Control+a")
    page.keyboard.type("Warm the rest <b>slowly</b> in the low oven.")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.locator("#just")).to_contain_text("Kept")
    (made,) = decisions(family)
    assert made[1:] == ("words", "Warm the rest <b>slowly</b> in the low oven.")
    page.goto(f"{family_server.address}/folder?find={title.split()[0]}")
    page.get_by_role("link", name=title).click()
    expect(page.locator("li.step .now", has_text="Warm the rest <b>slowly</b> in the low oven.")).to_be_visible()


@pytest.mark.parametrize("js", [True, False], ids=["script", "no-script"])
def test_two_browsers_at_one_line_lose_nothing(
    family_server: Server, family: Path, opened: Opener, seen: Seen, js: bool
) -> None:
    """Both see the same line; the first answer stands, the second is told of it and changes nothing unasked."""
    seen.expected.append("409")
    one, other = opened(js=js), opened(js=js, size=PHONE)
    for page in (one, other):
        page.goto(f"{family_server.address}/judgement")
    line = one.locator("blockquote").inner_text()
    assert other.locator("blockquote").inner_text() == line
    one.locator("button[value=take]").click()
    expect(one.locator("#just")).to_contain_text("Kept")
    first = decisions(family)
    other.locator("summary", has_text="Write it in my own words").click()
    other.get_by_label("The line in your words").fill("As grandmother did.")
    other.get_by_role("button", name="Keep my words").click()
    expect(other.get_by_role("alert").first).to_be_visible()
    assert decisions(family) == first
    # The line stands there again as it is now, with the words that were not kept; a second answer is meant.
    expect(other.locator("blockquote")).to_have_text(line, use_inner_text=True)
    other.get_by_role("button", name="Keep my words").click()
    expect(other.locator("#just")).to_contain_text("Kept")
    assert ("words", "As grandmother did.") in [made[1:] for made in decisions(family)]


@pytest.mark.parametrize(("size", "dark"), SIZES)
def test_judging_without_script(
    family_server: Server, family: Path, opened: Opener, size: tuple[int, int], dark: bool
) -> None:
    page = opened(size=size, dark=dark, js=False)
    page.goto(f"{family_server.address}/judgement")
    left = waiting(page)
    page.locator("button[value=take]").click()
    assert waiting(page) < left
    page.get_by_role("button", name="Take it back").click()
    assert waiting(page) == left
    assert decisions(family) == []


def test_a_server_that_is_killed_has_every_answer(
    serving: Callable[..., Server], family: Path, home: Path, page: Page
) -> None:
    """kill -9 right after the page said that an answer is kept: it is in the ledger, and the next start shows it."""
    server = serving("--folder", str(family), home_of=home)
    page.goto(f"{server.address}/judgement")
    left = waiting(page)
    for _ in range(3):
        before = waiting(page)
        page.keyboard.press("p")
        page.wait_for_function(
            "(before) => !document.getElementById('left').innerText.startsWith(before)", arg=f"{before} "
        )
    now = waiting(page)
    server.process.kill()
    server.process.wait(10)
    assert now <= left - 3
    kept = decisions(family)
    assert len(kept) >= 3
    again = serving("--folder", str(family), home_of=home)
    page.goto(f"{again.address}/judgement")
    assert waiting(page) == now
    assert decisions(family) == kept


def test_a_page_whose_server_has_gone_says_so(
    serving: Callable[..., Server], family: Path, home: Path, page: Page, seen: Seen
) -> None:
    seen.expected.append("ERR_CONNECTION_REFUSED")
    server = serving("--folder", str(family), home_of=home)
    page.goto(f"{server.address}/judgement")
    server.stop()
    page.keyboard.press("p")
    expect(page.locator(".alert")).to_contain_text("does not answer")
    assert decisions(family) == []
