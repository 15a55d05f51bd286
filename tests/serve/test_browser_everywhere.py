"""What holds for every page in every state: axe, keyboard, names, zoom, narrow screens, calm, no word outside."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

from tests.folder.cookery import converted
from tests.serve.doorstep import BAKE, CARDS, CHICKEN, DESKTOP, PHONE, Opener, Seen, Server, start
from tests.serve.looks import moving, sideways, small_targets, tab_faults, violations


@dataclass(frozen=True)
class House:
    """A server that shows a folder, the folder, and addresses of pasted recipes."""

    server: Server
    dest: Path
    bake: str
    chicken: str

    def at(self, path: str) -> str:
        return self.server.address + path


@pytest.fixture(scope="module")
def house(tmp_path_factory: pytest.TempPathFactory) -> Iterator[House]:
    """One household for the whole module; tests that change it leave it as it was."""
    home = tmp_path_factory.mktemp("home")
    src, dest = home / "recipes", home / "converted"
    for name, text in {**CARDS, "letter.txt": "Dear aunt, we were glad of the visit."}.items():
        path = src / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    converted(src, dest)
    server = start(home, "--folder", str(dest))
    helper = Visitor(server)
    yield House(server, dest, helper.paste(BAKE), helper.paste(CHICKEN))
    server.stop()


class Visitor:
    """A plain client of a running server."""

    def __init__(self, server: Server) -> None:
        import httpx

        self.client = httpx.Client(base_url=server.address, follow_redirects=True, timeout=60)
        self.client.get("/key")
        self.token = self.client.cookies[f"undial-{server.port}"]

    def paste(self, text: str) -> str:
        answer = self.client.post("/recipes", data={"text": text, "units": "both", "token": self.token})
        assert answer.status_code == 200
        return answer.url.path


State = Callable[[Page, House], None]


def plain(path: str) -> State:
    def come(page: Page, house: House) -> None:
        page.goto(house.at(path.format(bake=house.bake, chicken=house.chicken)))

    return come


def refused(page: Page, house: House) -> None:
    page.goto(house.at("/"))
    page.get_by_label("The recipe").fill("Milk, eggs, bread")
    page.get_by_role("button", name="Rewrite the recipe").click()
    expect(page.get_by_role("alert").first).to_be_visible()


def unfolded(page: Page, house: House) -> None:
    """The recipe with all that can be unfolded."""
    page.goto(house.at(house.bake))
    page.evaluate("() => { for (const one of document.querySelectorAll('details')) one.open = true; }")


def decided(page: Page, house: House) -> None:
    path = Visitor(house.server).paste(BAKE)
    page.goto(house.at(path))
    page.locator(".flag.judgement form.answers button").first.click()
    expect(page.locator(".flag", has_text="Decided").first).to_be_visible()


def folder_recipe(page: Page, house: House) -> None:
    page.goto(house.at("/folder"))
    page.get_by_role("link", name="Chicken with leeks").click()
    page.wait_for_url("**/folder/recipes/*")


def folder_lost(page: Page, house: House) -> None:
    page.goto(house.at("/folder"))
    page.locator("#lost summary").click()


def all_alike(page: Page, house: House) -> None:
    page.goto(house.at("/judgement?find=microwave"))
    page.get_by_label(re.compile("The same for all")).check()
    page.locator("button[value=take]").click()
    expect(page.get_by_role("heading", level=1)).to_have_text("The same for all?")


def judged_unfolded(page: Page, house: House) -> None:
    page.goto(house.at("/judgement"))
    page.evaluate("() => { for (const one of document.querySelectorAll('details')) one.open = true; }")


def cooker_unfolded(page: Page, house: House) -> None:
    page.goto(house.at("/cooker"))
    page.evaluate("() => { for (const one of document.querySelectorAll('details')) one.open = true; }")


def cooker_refused(page: Page, house: House) -> None:
    page.goto(house.at("/cooker"))
    page.evaluate("() => { for (const one of document.forms) one.noValidate = true; }")
    page.get_by_role("button", name="Keep the reading").click()
    expect(page.get_by_role("alert").first).to_be_visible()


def stove_step(page: Page, house: House) -> None:
    """In the middle of cooking, with a timer that runs."""
    page.goto(house.at(f"{house.bake}/stove"))
    timer = page.locator(".stay button:visible").first
    for _ in range(6):
        if timer.count():
            break
        page.get_by_role("button", name="Next").click()
    timer.click()
    expect(page.locator("#timers")).to_be_visible()


STATES: dict[str, State] = {
    "paste": plain("/"),
    "paste-refused": refused,
    "recipe": plain("{bake}"),
    "recipe-cautions": plain("{chicken}"),
    "recipe-unfolded": unfolded,
    "recipe-decided": decided,
    "sheet": plain("{bake}/sheet"),
    "copy": plain("{bake}/copy"),
    "stove": plain("{chicken}/stove"),
    "stove-step": stove_step,
    "folder": plain("/folder"),
    "folder-none-found": plain("/folder?find=zzz"),
    "folder-lost": folder_lost,
    "folder-recipe": folder_recipe,
    "judgement": plain("/judgement"),
    "judgement-unfolded": judged_unfolded,
    "judgement-none-found": plain("/judgement?find=zzz"),
    "judgement-lines": plain("/judgement/lines"),
    "judgement-alike": all_alike,
    "cooker": plain("/cooker"),
    "cooker-unfolded": cooker_unfolded,
    "cooker-refused": cooker_refused,
    "cooker-two-oven": plain("/cooker?name=two-oven&degrees=f"),
    "cooker-sheet": plain("/cooker/sheet"),
    "key": plain("/key"),
    "nothing": plain("/nothing"),
}
EVERY = pytest.mark.parametrize("state", STATES)


@pytest.fixture
def shown(house: House, opened: Opener, seen: Seen) -> Callable[..., Page]:
    """Opens a page in a state."""
    seen.expected += ["404", "422", "403"]  # states that are refusals

    def one(state: str, **more: object) -> Page:
        page = opened(**more)
        STATES[state](page, house)
        return page

    return one


Show = Callable[..., Page]


@EVERY
def test_axe_objects_to_nothing(shown: Show, state: str) -> None:
    page = shown(state)
    faults = {}
    for name, size in (("desktop", DESKTOP), ("phone", PHONE)):
        for scheme in ("light", "dark"):
            page.set_viewport_size({"width": size[0], "height": size[1]})
            page.emulate_media(color_scheme=scheme)  # type: ignore[arg-type]
            if found := violations(page):
                faults[f"{name} {scheme}"] = found
    assert faults == {}


@EVERY
def test_the_keyboard_reaches_everything_and_shows_where_it_is(shown: Show, state: str) -> None:
    assert tab_faults(shown(state)) == []


@EVERY
def test_nothing_scrolls_sideways(shown: Show, state: str) -> None:
    """Down to 320 px; a window of 640 px is one of 1280 at 200 % zoom."""
    page = shown(state)
    faults = {}
    for width in (1280, 640, 390, 320):
        page.set_viewport_size({"width": width, "height": 720})
        if found := sideways(page):
            faults[width] = found
    # Type at 200 % without zoom, as an old tablet's setting does it.
    page.set_viewport_size({"width": 1280, "height": 720})
    page.add_style_tag(url="/assets/undial.css")
    page.evaluate("() => { document.documentElement.style.fontSize = '200%'; }")
    if found := sideways(page):
        faults[200] = found
    assert faults == {}


@EVERY
def test_fingers_hit_what_they_mean(shown: Show, state: str) -> None:
    assert small_targets(shown(state, size=PHONE)) == []


@EVERY
def test_nothing_moves_where_calm_is_wished(shown: Show, state: str) -> None:
    assert moving(shown(state, calm=True)) == []


@EVERY
def test_every_part_has_a_name_that_is_read_out(shown: Show, state: str) -> None:
    """One heading of the first level, landmarks, and no button, link or field without a name."""
    page = shown(state)
    tree = page.locator("body").aria_snapshot()
    assert len(re.findall(r"- heading .*\[level=1\]", tree)) == 1
    assert "- main" in tree
    for role in (
        "button",
        "link",
        "textbox",
        "combobox",
        "checkbox",
        "searchbox",
        "progressbar",
        "region",
        "spinbutton",
    ):
        nameless = re.findall(rf"^\s*- {role}(?: \[[^\]]*\])*:?\s*$", tree, flags=re.MULTILINE)
        assert nameless == [], tree
    levels = [int(level) for level in re.findall(r"- heading .*\[level=(\d)\]", tree)]
    assert all(after - before <= 1 for before, after in pairwise(levels)), levels


def test_the_checks_see_a_fault(house: House, opened: Opener, seen: Seen) -> None:
    """A page with one fault of each kind: every check above objects to it."""
    page = opened(size=(400, 700))
    page.goto(house.at("/key"))
    page.evaluate(
        """() => {
          const add = (name, fields) => {
            const made = Object.assign(document.createElement(name), fields);
            document.querySelector("main").append(made);
            return made;
          };
          add("img", {src: "/assets/mark.svg"});
          Object.assign(add("p", {textContent: "pale"}).style, {color: "#bbb", background: "#ccc"});
          const flat = {outline: "none", minHeight: "0", padding: "0", border: "0", height: "9px"};
          Object.assign(add("button", {textContent: "x"}).style, flat);
          Object.assign(add("div", {textContent: "wide"}).style, {width: "900px", transition: "color 1s"});
          add("button", {textContent: "", tabIndex: 0}).addEventListener("focus", (event) => event.target.blur());
        }"""
    )
    rules = {fault.split(":")[0] for fault in violations(page)}
    assert {"image-alt", "color-contrast", "button-name"} <= rules
    assert any("wide" in fault for fault in sideways(page))
    assert any("focus is not shown" in fault for fault in tab_faults(page))
    assert any(fault.split(":")[0].endswith("x 9") for fault in small_targets(page))
    assert any("wide" in fault for fault in moving(page))


@pytest.mark.parametrize("state", ["paste", "recipe", "sheet", "folder", "judgement", "cooker", "stove", "key"])
def test_every_page_is_whole_without_script(shown: Show, state: str) -> None:
    page = shown(state, js=False)
    expect(page.get_by_role("heading", level=1)).to_be_visible()
    assert page.locator("main").inner_text().strip()


def test_names_say_what_a_button_does(house: House, page: Page) -> None:
    """What a screen reader says of the parts that three users need most."""
    page.goto(house.at("/"))
    main = page.get_by_role("main")
    for role, name in (("textbox", "The recipe"), ("combobox", "Cooker"), ("button", "Rewrite the recipe")):
        expect(main.get_by_role(role, name=name, exact=True)).to_be_visible()  # type: ignore[arg-type]
    expect(page.get_by_role("navigation", name="Rooms")).to_be_visible()
    page.goto(house.at("/folder"))
    expect(page.get_by_role("search")).to_be_visible()
    expect(page.get_by_role("table")).to_be_visible()
    page.goto(house.at("/judgement"))
    expect(page.get_by_role("button", name=re.compile("As proposed|Seen")).first).to_be_visible()
    page.goto(house.at("/cooker"))
    assert page.get_by_role("img").first.get_attribute("aria-labelledby") or page.get_by_role(
        "img"
    ).first.get_attribute("aria-label")


def test_the_way_past_the_top_line(house: House, page: Page) -> None:
    page.goto(house.at("/folder"))
    page.keyboard.press("Tab")
    skip = page.get_by_role("link", name="To the contents")
    expect(skip).to_be_focused()
    expect(skip).to_be_in_viewport()
    page.keyboard.press("Enter")
    assert page.evaluate("() => document.activeElement.id") == "main"


def test_the_browser_enforces_the_policy(house: House, opened: Opener, seen: Seen) -> None:
    """An injected script, style or frame does nothing, and nothing is fetched elsewhere."""
    seen.expected.append("Content Security Policy")
    page = opened()
    page.goto(house.at("/"))
    broken = page.evaluate(
        """async () => {
          const seen = [];
          document.addEventListener("securitypolicyviolation", (event) => seen.push(event.effectiveDirective));
          const add = (name, fields) => document.body.append(Object.assign(document.createElement(name), fields));
          add("script", {textContent: "window.bad = 1"});
          add("style", {textContent: "body { color: red }"});
          add("iframe", {src: "/key"});
          try { await fetch("http://127.0.0.1:9/"); } catch {}
          await new Promise((done) => setTimeout(done, 200));
          return [window.bad ?? 0, [...new Set(seen)].sort()];
        }"""
    )
    assert broken[0] == 0
    assert {"connect-src", "frame-src", "script-src-elem", "style-src-elem"} <= set(broken[1])
