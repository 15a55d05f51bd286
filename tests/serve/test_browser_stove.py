"""At the stove in a real browser with a clock of our own: steps, timers, calls, what outlives a reload."""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from datetime import datetime
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.serve.doorstep import BEANS, CHICKEN, DESKTOP, PHONE, Opener, Server
from tests.serve.looks import moving, sideways, small_targets, tab_faults, violations

TABLET = (1024, 768)
NOON = datetime(2026, 3, 1, 12, 0, 0)

LAMB = """Leg of lamb

Ingredients

- 1 leg of lamb, 2 kg

Method

1. Take the lamb out of the larder an hour before.
2. Roast the lamb at 180°C for 1 hour 40 minutes.
"""

# Writes down every note that would sound, every shake and every note to the desktop; grants what a cook would grant.
LISTENER = """() => {
  window.heard = [];
  const start = OscillatorNode.prototype.start;
  OscillatorNode.prototype.start = function (at) {
    window.heard.push([this.type, Math.round(this.frequency.value)]);
    return start.call(this, at);
  };
  window.shaken = [];
  navigator.vibrate = (pattern) => { window.shaken.push(pattern); return true; };
  window.notes = [];
  window.Notification = class {
    static permission = "default";
    static requestPermission() { window.Notification.permission = "granted"; return Promise.resolve("granted"); }
    constructor(title, more) { window.notes.push([title, more.body]); }
    close() {}
  };
}"""


def at_stove(page: Page, server: Server, text: str, *, clock: bool = True) -> str:
    """Paste a recipe and go to its stove, at noon by the page's clock; return the address."""
    page.goto(server.address)
    page.get_by_label("The recipe").fill(text)
    page.get_by_role("button", name="Rewrite the recipe").click()
    page.wait_for_url(re.compile(r"/recipes/[^/]+$"))
    address = f"{page.url.partition('#')[0]}/stove"
    if clock:
        page.clock.install(time=NOON)
    page.add_init_script(f"({LISTENER})()")
    page.goto(address)
    return address


def begin(page: Page, address: str, number: int, name: str) -> None:
    """Start the timer `name` at a step."""
    page.goto(f"{address}#step-{number}")
    page.get_by_role("button", name=f"Start the timer: {name}").click()


def step(page: Page) -> Any:
    return page.locator("[data-step]:visible")


def run(page: Page, minutes: float) -> None:
    page.clock.run_for(int(minutes * 60_000))


def sleep(page: Page, minutes: float) -> None:
    """The page does nothing for a while, as with the screen off; then it wakes."""
    page.clock.fast_forward(int(minutes * 60_000))
    page.clock.run_for(1_500)


def calls(page: Page) -> Any:
    return page.locator(".timer.calls")


# ------------------------------------------------------------------ the steps


@pytest.mark.parametrize("size", [PHONE, TABLET, DESKTOP], ids=["phone", "tablet", "desktop"])
def test_one_large_step_at_a_time(server: Server, opened: Opener, size: tuple[int, int]) -> None:
    page = opened(size=size)
    at_stove(page, server, CHICKEN)
    expect(page.locator("#where")).to_have_text("before you begin")
    expect(step(page)).to_have_count(1)
    page.get_by_role("button", name="Next").click()
    expect(page.locator("#where")).to_have_text("step 1 of 5")
    for key, where in (
        ("ArrowRight", "step 2"), ("Space", "step 3"), ("PageDown", "step 4"), ("ArrowLeft", "step 3"),
        ("Shift+Space", "step 2"),
    ):  # fmt: skip
        page.keyboard.press(key)
        expect(page.locator("#where")).to_have_text(f"{where} of 5")
        expect(step(page)).to_have_count(1)
    words = page.locator("[data-step]:visible .big")
    assert float(words.evaluate("(one) => parseFloat(getComputedStyle(one).fontSize)")) >= (28 if size == PHONE else 40)
    expect(words).to_be_in_viewport(ratio=0.9)
    for name in ("Back", "Next"):
        box = page.get_by_role("button", name=name).bounding_box()
        assert box is not None
        assert box["height"] >= 60
        assert box["y"] + box["height"] <= size[1]
    assert sideways(page) == []


def test_the_last_step_is_the_last(server: Server, opened: Opener) -> None:
    page = opened()
    at_stove(page, server, CHICKEN)
    for _ in range(9):
        page.keyboard.press("ArrowRight")
    expect(page.locator("#where")).to_have_text("step 5 of 5")
    expect(page.get_by_role("button", name="Next")).to_be_disabled()
    page.reload()
    expect(page.locator("#where")).to_have_text("step 5 of 5")


def test_a_caution_is_seen_without_a_tap(server: Server, opened: Opener) -> None:
    page = opened(size=PHONE)
    address = at_stove(page, server, BEANS)
    page.goto(f"{address}#step-2")
    caution = page.locator("[data-step]:visible .caution")
    expect(caution).to_contain_text("Caution")
    expect(caution).to_contain_text("a boil of 10 minutes at a full boil")
    expect(caution).to_be_in_viewport(ratio=1)


def test_ingredients_come_when_asked_for(server: Server, opened: Opener) -> None:
    page = opened(size=PHONE)
    address = at_stove(page, server, CHICKEN)
    page.goto(f"{address}#step-3")
    expect(page.get_by_text("3 leeks").last).to_be_hidden()
    page.locator("#have summary").click()
    expect(page.locator("#have").get_by_text("3 leeks")).to_be_visible()


def test_without_scripts_all_steps_stand_in_large_type(server: Server, opened: Opener) -> None:
    page = opened(size=PHONE, js=False)
    at_stove(page, server, CHICKEN, clock=False)
    expect(page.locator(".step")).to_have_count(5)
    for number in range(1, 6):
        expect(page.locator(f"#step-{number} .big")).to_be_visible()
    expect(page.locator("#step-4")).to_contain_text("look after")
    expect(page.locator("#step-4")).to_contain_text("12 min")
    assert "The timers need JavaScript" in page.inner_text("main")
    expect(page.get_by_role("button")).to_have_count(0)
    assert sideways(page) == []


# ------------------------------------------------------------------ timers


def test_a_stay_is_timed_from_look_to_latest(server: Server, opened: Opener) -> None:
    page = opened(size=PHONE)
    address = at_stove(page, server, CHICKEN)
    begin(page, address, 4, "chicken, hot oven")  # look at 12, expect 15, latest 18
    row = page.locator(".timer")
    expect(row).to_contain_text("hot oven, on the middle shelf: look at 12:12")
    expect(row.locator(".left")).to_have_text("12:00")
    assert page.title() == "12:12 look: chicken – undial"
    run(page, 11.98)
    expect(calls(page)).to_have_count(0)
    assert page.evaluate("heard") == []
    run(page, 0.1)
    expect(calls(page)).to_have_count(1)
    expect(calls(page)).to_contain_text("look now · hot oven")
    expect(page.locator("#said")).to_have_text("chicken, hot oven: look now.")
    assert page.title() == "▲ look now: chicken – undial"
    assert page.evaluate("heard") == [["triangle", 660], ["triangle", 880]]
    assert page.evaluate("shaken.length") == 1
    # Nobody comes: it calls again after a minute.
    run(page, 1)
    assert page.evaluate("heard.length") == 4
    page.get_by_role("button", name="Seen, it stays: chicken").click()
    expect(calls(page)).to_have_count(0)
    expect(row).to_contain_text("expect it from 12:15")
    run(page, 1.5)
    assert page.evaluate("heard.length") == 4
    run(page, 0.5)
    expect(calls(page)).to_contain_text("it may be done: look now")
    assert page.evaluate("heard.slice(4)") == [["triangle", 660], ["triangle", 880], ["triangle", 1175]]
    run(page, 3)
    expect(calls(page)).to_contain_text("latest: take it out or decide now")
    assert {wave for wave, _ in page.evaluate("heard.slice(-8)")} == {"square"}
    # The last call cannot be waved away, only answered.
    expect(page.get_by_role("button", name="Seen, it stays: chicken")).to_be_hidden()
    page.get_by_role("button", name="Taken out: chicken").click()
    expect(page.locator(".timer")).to_have_count(0)
    expect(page.locator("#said")).to_have_text("Taken out: chicken, hot oven.")
    sounded = page.evaluate("heard.length")
    run(page, 5)
    assert page.evaluate("heard.length") == sounded


def test_minutes_are_counted_not_spoken_each_second(server: Server, opened: Opener) -> None:
    page = opened()
    address = at_stove(page, server, CHICKEN)
    begin(page, address, 4, "chicken, hot oven")
    run(page, 0.05)
    page.evaluate(
        """() => { window.spoken = 0;
          new MutationObserver(() => { window.spoken += 1; }).observe(document.getElementById("said"),
            {childList: true, characterData: true, subtree: true}); }"""
    )
    run(page, 5)
    expect(page.locator(".timer .left")).to_have_text("6:57")
    assert page.evaluate("spoken") == 0
    assert page.locator("[aria-live]").count() == 1
    assert page.locator(".timers [aria-live], .timers [role=alert]").count() == 0


def test_timers_outlive_a_reload_a_closed_page_and_sleep(server: Server, opened: Opener) -> None:
    page = opened(size=PHONE)
    address = at_stove(page, server, CHICKEN)
    begin(page, address, 4, "chicken, hot oven")
    run(page, 3)
    page.reload()
    expect(page.locator(".timer")).to_contain_text("look at 12:12")
    page.goto("about:blank")
    sleep(page, 12)
    page.goto(f"{address}#step-1")
    expect(page.locator("#where")).to_have_text("step 1 of 5")
    expect(calls(page)).to_contain_text("it may be done: look now")
    # A page that was just opened is silent until it is touched, and says so.
    expect(page.locator("#hint")).to_contain_text("The sound is off: touch the page once")
    sleep(page, 60)
    expect(calls(page)).to_contain_text("latest: take it out or decide now")
    expect(calls(page)).to_contain_text(re.compile(r"5\d minutes ago"))
    expect(calls(page).get_by_role("button", name="Taken out: chicken")).to_be_in_viewport()


def test_five_minutes_more(server: Server, opened: Opener) -> None:
    page = opened()
    address = at_stove(page, server, CHICKEN)
    begin(page, address, 4, "chicken, hot oven")
    page.locator(".timer summary").click()
    page.get_by_role("button", name="5 minutes more: chicken").click()
    expect(page.locator(".timer")).to_contain_text("look at 12:17")
    run(page, 17.1)
    expect(calls(page)).to_have_count(1)
    page.get_by_role("button", name="5 minutes more: chicken").click()
    # From now on, but the later stages stay: expected at 12:20 comes before the look that was put off to 12:22.
    expect(calls(page)).to_have_count(0)
    expect(page.locator(".timer")).to_contain_text("expect it from 12:20")


def test_move_now_starts_the_next_stay_and_can_be_undone(server: Server, opened: Opener) -> None:
    page = opened()
    address = at_stove(page, server, BEANS)
    begin(page, address, 3, "beans, hot plate")
    run(page, 9.1)
    page.get_by_role("button", name="Move now: low oven: beans").click()
    row = page.locator(".timer")
    expect(row).to_have_count(1)
    expect(row).to_contain_text("low oven: look at 13:49")
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".timer")).to_have_count(1)
    expect(calls(page)).to_contain_text("look now · hot plate")
    page.get_by_role("button", name="Move now: low oven: beans").click()
    run(page, 100.1)
    page.get_by_role("button", name="Taken out: beans, low oven").click()
    expect(page.locator(".timer")).to_have_count(0)
    page.get_by_role("button", name="Undo").click()
    expect(page.locator(".timer")).to_have_count(1)
    page.get_by_role("button", name="Taken out: beans, low oven").click()
    run(page, 1.1)
    expect(page.get_by_role("button", name="Undo")).to_have_count(0)


def test_what_it_took_can_be_logged_for_the_clock(server: Server, opened: Opener) -> None:
    page = opened()
    address = at_stove(page, server, LAMB)
    begin(page, address, 2, "lamb joint, moderate oven")
    run(page, 105)
    page.get_by_role("button", name="Out, and rest: lamb joint").click()
    expect(page.locator(".timer")).to_contain_text("resting: expect it from 14:00")
    page.get_by_role("link", name="It took 105 minutes").click()
    expect(page.get_by_label("Dish")).to_have_value("lamb joint")
    expect(page.get_by_label("Oven and height")).to_have_value("moderate-oven middle")
    expect(page.get_by_label("The recipe's oven")).to_have_value("180")
    expect(page.get_by_label("The recipe's time")).to_have_value("100")
    expect(page.get_by_label("It took")).to_have_value("105")
    page.get_by_role("button", name="Keep the log").click()
    expect(page.get_by_role("status")).to_contain_text("the clock has learnt from it")


def test_several_timers_of_several_recipes_on_every_step(server: Server, opened: Opener) -> None:
    page = opened(size=PHONE)
    chicken = at_stove(page, server, CHICKEN)
    begin(page, chicken, 4, "chicken, hot oven")
    beans = at_stove(page, server, BEANS, clock=False)
    page.goto(f"{beans}#step-3")
    for name in ("beans, hot plate", "beans, low oven"):
        page.get_by_role("button", name=f"Start the timer: {name}").click()
    for number in (1, 4):
        page.goto(f"{beans}#step-{number}")
        rows = page.locator(".timer .whose")
        expect(rows).to_have_text(["beans", "chicken", "beans"])  # what comes first stands first
    # One that calls comes to the top, wherever it belongs, and leads to its step.
    run(page, 9.1)
    page.get_by_role("button", name="Taken out: beans, hot plate").click()
    run(page, 3)
    expect(calls(page)).to_contain_text("chicken")
    expect(page.locator(".timer .whose").first).to_have_text("chicken")
    page.get_by_role("link", name="Chicken with leeks, step 4").click()
    page.wait_for_url(f"{chicken}#step-4")
    expect(page.locator("#where")).to_have_text("step 4 of 5")
    expect(page.locator(".timer .whose")).to_have_text(["chicken", "beans"])


def test_two_pages_show_the_same_timers(server: Server, opened: Opener) -> None:
    page = opened()
    address = at_stove(page, server, CHICKEN)
    other = page.context.new_page()
    other.goto(f"{address}#step-1")
    begin(page, address, 4, "chicken, hot oven")
    expect(other.locator(".timer")).to_have_count(1)
    other.locator(".timer summary").click()
    other.get_by_role("button", name="Taken out: chicken").click()
    expect(page.locator(".timer")).to_have_count(0)


def test_it_calls_from_behind_other_windows_once_asked_to(server: Server, opened: Opener) -> None:
    page = opened()
    address = at_stove(page, server, CHICKEN)
    assert page.evaluate("Notification.permission") == "default"
    page.get_by_role("button", name="Also call from behind other windows").click()
    expect(page.locator("#states")).to_contain_text("It calls from behind other windows too.")
    page.goto(f"{address}#step-4")
    page.evaluate("Notification.permission = 'granted'")
    page.get_by_role("button", name="Start the timer: chicken, hot oven").click()
    page.evaluate("Object.defineProperty(document, 'hidden', {get: () => true})")
    run(page, 12.1)
    assert page.evaluate("notes") == [["chicken: look now", "hot oven, on the middle shelf (Chicken with leeks)"]]


def test_the_screen_is_kept_on_and_again_after_it_was_away(server: Server, opened: Opener) -> None:
    page = opened()
    page.add_init_script(
        """(() => { window.asked = 0;
          Object.defineProperty(navigator, "wakeLock", {value: {request: async () => {
            window.asked += 1; window.last = new EventTarget(); return window.last; }}}); })()"""
    )
    at_stove(page, server, CHICKEN)
    expect(page.locator("#states")).to_contain_text("The screen stays on")
    assert page.evaluate("asked") == 1
    page.evaluate("last.dispatchEvent(new Event('release')); document.dispatchEvent(new Event('visibilitychange'))")
    expect(page.locator("#states")).to_contain_text("The screen stays on")
    assert page.evaluate("asked") == 2


def test_it_says_where_the_screen_may_sleep(server: Server, opened: Opener) -> None:
    page = opened()
    page.add_init_script("delete Navigator.prototype.wakeLock")
    address = at_stove(page, server, CHICKEN)
    expect(page.locator("#states")).to_contain_text("cannot keep the screen on")
    begin(page, address, 4, "chicken, hot oven")
    expect(page.locator("#hint")).to_contain_text("A sleeping screen cannot ring.")


def test_the_sound_can_be_tried(server: Server, opened: Opener) -> None:
    page = opened()
    at_stove(page, server, CHICKEN)
    page.get_by_role("button", name="Try the sound").click()
    expect(page.locator("#states")).to_contain_text("The sound is on.")
    patterns = page.evaluate("heard")
    assert len(patterns) == 2 + 3 + 8
    assert [wave for wave, _ in patterns] == ["triangle"] * 5 + ["square"] * 8


def test_a_browser_that_keeps_nothing_still_counts(server: Server, opened: Opener) -> None:
    page = opened()
    page.add_init_script("Object.defineProperty(window, 'localStorage', {get() { throw new Error('no'); }})")
    address = at_stove(page, server, CHICKEN)
    begin(page, address, 4, "chicken, hot oven")
    expect(page.locator("#hint")).to_contain_text("A reload forgets these timers")
    run(page, 12.1)
    expect(calls(page)).to_have_count(1)


@pytest.mark.parametrize(
    "kept",
    [
        "nonsense", "[]", '{"timers": 4}', '{"timers": [null, 1, {}]}', '{"timers": [{"id": "1", "begun": "x"}]}',
        '{"timers": [{"id":"4-1","page":"/recipes/x","recipe":"R","food":"<img src=x onerror=alert(1)>","zone":"z",'
        '"place":"","step":1,"next":null,"begun":1,"dues":{"look":1},"heard":{},"again":null}]}',
    ],
)  # fmt: skip
def test_what_is_no_timer_of_ours_is_left_out(server: Server, opened: Opener, kept: str) -> None:
    page = opened()
    at_stove(page, server, CHICKEN)
    page.evaluate("(kept) => localStorage.setItem('undial-timers', kept)", kept)
    page.reload()
    expect(step(page)).to_have_count(1)
    expect(page.locator(".timer")).to_have_count(0)


# ------------------------------------------------------------------ the picture of the core


def test_the_curve_is_shown_with_its_times(server: Server, opened: Opener) -> None:
    page = opened(size=PHONE)
    address = at_stove(page, server, LAMB)
    page.goto(f"{address}#step-2")
    picture = page.get_by_role("img", name=re.compile("Core of the roast, predicted"))
    expect(picture).to_be_visible()
    box = picture.bounding_box()
    assert box is not None
    assert box["width"] > 300
    drawn = page.evaluate(
        """() => Math.min(...[...document.querySelectorAll(".curve text")].map((one) =>
             parseFloat(getComputedStyle(one).fontSize) * one.ownerSVGElement.getScreenCTM().a))"""
    )
    assert drawn >= 14  # px on the screen of a phone
    expect(page.locator(".curve figcaption")).to_contain_text("A thermometer decides.")
    page.get_by_role("button", name="Start the timer: lamb joint, moderate oven").click()
    expect(page.locator(".times .at")).to_have_text(["at 13:25", "at 13:40", "at 14:10"])


# ------------------------------------------------------------------ the machine of the timers, alone

STAY = {
    "id": "1-1", "page": "/recipes/x", "recipe": "R", "food": "f", "zone": "z", "place": "", "step": 1, "look": 10,
    "expect": 20, "latest": 30, "next": None,
}  # fmt: skip


def machine(page: Page, script: str, **more: Any) -> Any:
    """Run `script` with the machine ``t``, a stay and minutes in milliseconds."""
    return page.evaluate(
        f"async (given) => {{ const t = await import('/assets/timers.js'); const m = 60000; {script} }}",
        {"stay": STAY, **more},
    )


@pytest.fixture
def bench(page: Page, server: Server) -> Page:
    page.goto(f"{server.address}/cooker")
    return page


def test_stages_come_at_their_minutes(bench: Page) -> None:
    found = machine(
        bench,
        """const timer = t.started(given.stay, 0);
        return [0, 10 * m - 1, 10 * m, 20 * m, 30 * m, 300 * m].map((at) => t.stage(timer, at));""",
    )
    assert found == ["going", "going", "look", "expect", "latest", "latest"]


@pytest.mark.parametrize(
    ("minutes", "dues"),
    [
        ({"look": None}, {"expect": 20, "latest": 30}),
        ({"expect": 30}, {"look": 10, "latest": 30}),
        ({"look": 20}, {"expect": 20, "latest": 30}),
        ({"look": 30, "expect": 30}, {"latest": 30}),
        ({"look": None, "expect": None, "latest": 0.5}, {"latest": 0.5}),
        ({"look": None, "expect": None, "latest": None}, {}),
    ],
)
def test_two_calls_at_one_moment_are_one(bench: Page, minutes: Mapping[str, Any], dues: Mapping[str, float]) -> None:
    found = machine(bench, "return t.started(given.stay, 0).dues;", stay={**STAY, **minutes})
    assert found == {stage: at * 60_000 for stage, at in dues.items()}


def test_a_call_stops_when_it_is_answered_and_the_latest_only_when_something_is_done(bench: Page) -> None:
    found = machine(
        bench,
        """let timer = t.started(given.stay, 0);
        const told = [t.calling(timer, 10 * m)];
        timer = t.seen(timer, 10 * m);
        told.push(t.calling(timer, 19 * m), t.calling(timer, 20 * m));
        timer = t.seen(timer, 21 * m);
        told.push(t.calling(timer, 29 * m), t.calling(timer, 30 * m));
        timer = t.seen(timer, 31 * m);
        told.push(t.calling(timer, 31 * m));
        timer = t.later(timer, 5, 31 * m);
        told.push(t.calling(timer, 35 * m), t.calling(timer, 36 * m), t.since(timer, 37 * m) / m);
        return told;""",
    )
    assert found == ["look", None, "expect", None, "latest", "latest", None, "latest", 36]


def test_more_minutes_before_the_first_call_move_the_whole_stay(bench: Page) -> None:
    found = machine(bench, "return t.later(t.started(given.stay, 0), 5, 2 * m).dues;")
    assert found == {"look": 15 * 60_000, "expect": 25 * 60_000, "latest": 35 * 60_000}


def test_more_minutes_after_it_never_move_the_latest(bench: Page) -> None:
    found = machine(
        bench,
        """const timer = t.later(t.started(given.stay, 0), 25, 11 * m);
        const told = [20, 30].map((at) => t.calling(timer, at * m));
        return [timer.dues.latest / m, t.next(timer, 12 * m).stage, ...told];""",
    )
    assert found == [30, "expect", "expect", "latest"]


def test_a_call_that_nobody_answers_comes_again_sooner_the_later_it_is(bench: Page) -> None:
    found = machine(
        bench,
        """const timer = t.started(given.stay, 0);
        return [
          t.rings(timer, 9 * m, null, null), t.rings(timer, 10 * m, null, null),
          t.rings(timer, 10.9 * m, 10 * m, "look"), t.rings(timer, 11 * m, 10 * m, "look"),
          t.rings(timer, 20 * m, 19.9 * m, "look"), t.rings(timer, 30.4 * m, 30.1 * m, "latest"),
          t.rings(timer, 30.5 * m, 30.1 * m, "latest")];""",
    )
    assert found == [None, "look", None, "look", "expect", None, "latest"]


def test_starting_again_and_moving_keep_one_timer_a_stay(bench: Page) -> None:
    found = machine(
        bench,
        """let state = t.changed(t.empty(), {kind: "start", id: "1-1", stay: given.stay, now: 0});
        state = t.changed(state, {kind: "start", id: "1-1", stay: given.stay, now: m});
        const once = state.timers.map((one) => one.begun);
        state = t.changed(state, {kind: "move", id: "1-1", page: "/recipes/x", now: 5 * m});
        const moved = state.timers.map((one) => [one.id, one.begun, one.dues.latest]);
        state = t.changed(state, {kind: "move", id: "1-2", page: "/recipes/x", now: 6 * m});
        const same = t.changed(state, {kind: "out", id: "none", page: "/recipes/x", now: 7 * m}) === state;
        return [once, moved, state.timers.length, same];""",
        stay={**STAY, "next": {**STAY, "id": "1-2", "latest": 40, "next": {**STAY, "id": "1-3", "look": None,
                                                                         "expect": None, "latest": None}}},
    )  # fmt: skip
    assert found == [[60_000], [["1-2", 300_000, 300_000 + 40 * 60_000]], 0, True]


def test_what_is_written_is_read_back_until_it_was_forgotten_for_a_day(bench: Page) -> None:
    found = machine(
        bench,
        """const state = t.changed(t.empty(), {kind: "start", id: "1-1", stay: given.stay, now: m});
        const words = t.written(state);
        const day = 24 * 60 * m;
        return [JSON.stringify(t.read(words, m)) === words, t.read(words, 31 * m + day - 1).timers.length,
                t.read(words, 31 * m + day).timers.length, t.read(null, 0).timers.length];""",
    )
    assert found == [True, 1, 0, 0]


@pytest.mark.parametrize(
    ("ms", "words"),
    [
        (0, "0:00"), (1, "0:01"), (59_001, "1:00"), (754_000, "12:34"), (3_600_000, "1 h 00"), (3_905_000, "1 h 05"),
        (-5, "0:00"),
    ],
)  # fmt: skip
def test_time_that_is_left(bench: Page, ms: int, words: str) -> None:
    assert machine(bench, "return t.left(given.ms);", ms=ms) == words


# ------------------------------------------------------------------ for everyone


@pytest.mark.parametrize("dark", [False, True], ids=["light", "dark"])
@pytest.mark.parametrize("size", [PHONE, TABLET, DESKTOP], ids=["phone", "tablet", "desktop"])
def test_no_barrier_in_any_state(server: Server, opened: Opener, size: tuple[int, int], dark: bool) -> None:
    page = opened(size=size, dark=dark, calm=True)
    address = at_stove(page, server, BEANS)

    def look(state: str) -> None:
        assert violations(page) == [], state
        assert sideways(page) == [], state
        assert small_targets(page) == [], state
        assert moving(page) == [], state

    look("before")
    page.goto(f"{address}#step-2")
    look("caution")
    page.goto(f"{address}#step-3")
    for name in ("beans, hot plate", "beans, low oven"):
        page.get_by_role("button", name=f"Start the timer: {name}").click()
    look("two timers")
    run(page, 9.1)
    look("look")
    run(page, 8)
    look("latest")
    page.get_by_role("button", name="Taken out: beans, hot plate").click()
    look("undo")


def test_the_keyboard_alone_reaches_everything(server: Server, opened: Opener) -> None:
    page = opened()
    address = at_stove(page, server, BEANS)
    begin(page, address, 3, "beans, hot plate")
    run(page, 9.1)
    assert tab_faults(page) == []


def test_a_narrow_screen_and_large_type(server: Server, opened: Opener) -> None:
    page = opened(size=(320, 640))
    address = at_stove(page, server, BEANS)
    begin(page, address, 3, "beans, hot plate")
    assert sideways(page) == []
    run(page, 9.1)
    assert sideways(page) == []
    # 200 % of zoom is half the window.
    page.set_viewport_size({"width": DESKTOP[0] // 2, "height": DESKTOP[1] // 2})
    assert sideways(page) == []
    expect(calls(page).get_by_role("button", name="Move now")).to_be_in_viewport()
    assert json.loads(page.evaluate("localStorage.getItem('undial-timers')"))["timers"][0]["food"] == "beans"
