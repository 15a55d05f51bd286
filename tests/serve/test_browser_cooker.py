"""My cooker in a real browser: a household's way through the room, without scripts, and the sheet on paper."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date

import pytest
from playwright.sync_api import Page, expect

from converter.place import cookers
from tests.serve.doorstep import DESKTOP, PHONE, Opener, Seen, Server
from tests.serve.looks import sheets, sideways, small_targets, tab_faults, violations

SIZES = [
    pytest.param(DESKTOP, False, id="desktop"), pytest.param(PHONE, True, id="phone-dark"),
    pytest.param((320, 640), False, id="narrow"),
]  # fmt: skip


def enter(page: Page, spot: str, figure: str, unit: str = "°C") -> None:
    page.get_by_label("Zone and height").select_option(label=spot)
    page.get_by_label("It says").fill(figure)
    page.locator("#unit").select_option(label=unit)
    page.get_by_role("button", name="Keep the reading").click()


@pytest.fixture
def house(serving: Callable[..., Server]) -> Server:
    """A server of a household that has nothing yet."""
    return serving()


@pytest.mark.parametrize(("size", "dark"), SIZES)
def test_a_household_reads_its_cooker_without_scripts(
    house: Server, opened: Opener, seen: Seen, size: tuple[int, int], dark: bool
) -> None:
    seen.expected.append("422")  # a reading that cannot be
    page = opened(size=size, dark=dark, js=False)
    page.goto(f"{house.address}/cooker")
    drawing = page.get_by_role("img", name="four-oven: where its zones are and how hot")
    expect(drawing).to_be_visible()
    enter(page, "low oven, middle", "226", "°F")
    expect(page.get_by_role("status")).to_contain_text("The reading is kept")
    expect(page.locator("svg.cooker text", has_text="108 °C")).to_have_count(1)
    expect(page.locator(".kept")).to_contain_text(f"low oven, middle, 108 °C {date.today().isoformat()}; in use")
    enter(page, "hot oven, middle", "450")
    expect(page.get_by_role("alert")).to_contain_text("450 °C is not kept")
    expect(page.get_by_label("It says")).to_have_value("450")
    page.get_by_label("A line of a recipe").fill("Simmer the stock gently for 3 hours.")
    page.get_by_role("button", name="Place it").click()
    expect(page.locator(".before-after")).to_contain_text("low oven")
    page.get_by_role("button", name="Remove the reading low oven, middle, 108 °C").click()
    expect(page.get_by_role("status")).to_have_text("The reading is removed.")
    expect(page.locator("svg.cooker text", has_text="108 °C")).to_have_count(0)
    page.get_by_label("Name of your cooker").fill("Our red one")
    page.get_by_label("low oven, front, upper left").fill("slow oven")
    page.get_by_role("button", name="Make it a cooker of our own").click()
    expect(page.get_by_role("status")).to_contain_text("a cooker of your own now")
    expect(page.locator("svg.cooker text", has_text="slow oven")).to_have_count(1)
    page.get_by_label("Cooker").select_option(label="two ovens")
    page.get_by_role("button", name="Show").click()
    page.get_by_role("button", name="Cook on this one").click()
    expect(page.get_by_role("status")).to_contain_text("This is your cooker now")
    assert sideways(page) == []


@pytest.mark.parametrize(("size", "dark"), SIZES)
def test_no_barrier_in_any_state(house: Server, opened: Opener, seen: Seen, size: tuple[int, int], dark: bool) -> None:
    seen.expected.append("422")  # a reading that cannot be
    page = opened(size=size, dark=dark, calm=True)

    def look(state: str) -> None:
        assert violations(page) == [], state
        assert sideways(page) == [], state
        assert small_targets(page) == [], state

    for name in cookers.builtin():
        page.goto(f"{house.address}/cooker?name={name}")
        look(name)
    page.goto(f"{house.address}/cooker")
    enter(page, "moderate oven, middle", "150")
    look("a reading")
    enter(page, "hot plate", "12")
    look("refused")
    page.goto(f"{house.address}/cooker")
    page.get_by_text("Log what a dish took").click()
    log = {"Dish": "roast lamb", "The recipe's oven": "200", "The recipe's time": "90", "It took": "400"}
    for label, words in log.items():
        page.get_by_label(label).fill(words)
    page.get_by_label("Oven and height").select_option(label="moderate oven, middle")
    page.get_by_role("button", name="Keep the log").click()
    expect(page.locator("#logs + .kept")).to_contain_text("a surprise")
    look("a log")
    page.goto(f"{house.address}/cooker/sheet?name=five-oven")
    look("sheet")


def test_the_keyboard_alone_reaches_everything(house: Server, opened: Opener) -> None:
    page = opened(calm=True)
    page.goto(f"{house.address}/cooker")
    enter(page, "moderate oven, middle", "150")
    assert tab_faults(page) == []


@pytest.mark.parametrize("name", cookers.builtin())
def test_the_sheet_is_one_side_of_paper(house: Server, opened: Opener, name: str) -> None:
    page = opened(dark=True)
    page.goto(f"{house.address}/cooker/sheet?name={name}")
    expect(page.get_by_role("button", name="Print")).to_be_visible()
    printed = sheets(page.pdf(format="A4", prefer_css_page_size=True))
    assert len(printed) == 1
    plain = " ".join(printed[0].split())
    for zone in cookers.load(name).zones:
        assert zone.label in plain
    assert "handbook of your cooker comes first" in plain
    assert len(re.findall(r"morning [123]", plain)) >= 6


def test_long_words_for_zones_break_nothing(house: Server, opened: Opener) -> None:
    page = opened(size=PHONE)
    page.goto(f"{house.address}/cooker?name=five-oven")
    page.get_by_label("Name of your cooker").fill("The cooker in the cottage above the sea")
    long = {"low oven, front, lower right": "the dependable grandmotherly slow oven 1",
            "hot oven, front, upper right": "Donaudampfschifffahrtsofenhinterlader"}  # fmt: skip
    for label, words in long.items():
        page.get_by_label(label).fill(words)
    page.get_by_role("button", name="Make it a cooker of our own").click()
    expect(page.get_by_role("status")).to_contain_text("a cooker of your own now")
    assert sideways(page) == []
    # No word of the drawing runs out of its oven.
    out = page.evaluate(
        """() => { const case_ = document.querySelector(".case").getBoundingClientRect();
          return [...document.querySelectorAll("svg.cooker text")].map((one) => one.getBoundingClientRect())
            .filter((box) => box.left < case_.left || box.right > case_.right).length; }"""
    )
    assert out == 0
    name = page.locator("input[name=name]").first.get_attribute("value")
    page.goto(f"{house.address}/cooker/sheet?name={name}")
    assert len(sheets(page.pdf(format="A4", prefer_css_page_size=True))) == 1
