"""The stove's page without a browser: what stands at which step, and what a timer is started from."""

from __future__ import annotations

import json
import re
from dataclasses import replace
from html import unescape
from typing import Any

import pytest

from converter.model import Result
from converter.serve import kitchen
from converter.serve.stove_steps import Cooking, cooking, minute_words
from converter.serve.views import together
from tests.serve.doorstep import BEANS, CHICKEN, Cook, read_page

LAMB = """Leg of lamb with beans

Ingredients

- 1 leg of lamb, 2 kg
- 250 g dried kidney beans, soaked overnight

Method

1. Take the lamb out of the larder an hour before.
2. Roast the lamb at 180°C for 1 hour 40 minutes.
3. Cover the beans with water, bring to the boil, cover and simmer gently for 1 hour 30 minutes.
"""


@pytest.fixture(autouse=True)
def _of_nobody(home: Any) -> None:
    """No household's own cooker or rules."""


def at_stove(client: Cook, text: str, **fields: str) -> Any:
    made = client.hand_in("/recipes", {"text": text, "cooker": "four-oven", "units": "both", **fields})
    assert made.status_code == 200, made.text
    return client.get(f"{made.url.path}/stove")


def seen(text: str, cooker: str = "four-oven") -> tuple[Result, Cooking]:
    shown = kitchen.shown(text, cooker=cooker)
    return shown.result, cooking(shown.result, shown.cooker, address="/recipes/here")


def timers(page: str) -> list[dict[str, Any]]:
    return [json.loads(unescape(found)) for found in re.findall(r'data-stay="([^"]*)"', page)]


def test_every_step_stands_on_the_page_with_its_words_and_times(client: Cook) -> None:
    answer = at_stove(client, CHICKEN)
    assert answer.status_code == 200
    result, _ = seen(CHICKEN)
    plain = unescape(answer.text)
    assert answer.text.count('class="step') == len(result.steps) == 5
    for step in result.steps:
        assert together(step.rewritten) in plain  # "5 minutes" is not parted at the end of a line
        assert f'id="step-{step.number}"' in answer.text
    words = " ".join(re.sub(r"<[^>]*>", " ", answer.text).split())
    assert "hot oven on the middle shelf" in words
    assert "look after 12 min expect from 15 min latest 18 min" in words
    assert len(answer.content) < 100_000


def test_a_timer_is_started_from_the_placed_minutes(client: Cook) -> None:
    result, _ = seen(CHICKEN)
    placed = [
        (move.label, move.minutes.look, move.minutes.low, move.minutes.high)
        for placement in result.placements
        for move in placement.moves
        if move.minutes is not None
    ]
    found = timers(at_stove(client, CHICKEN).text)
    assert [(one["zone"], one["look"], one["expect"], one["latest"]) for one in found] == placed
    assert {one["food"] for one in found} == {"leeks", "chicken"}
    assert {one["page"] for one in found} == {re.sub("/stove$", "", found[0]["page"])}


def test_a_stay_leads_to_the_next_of_the_same_food() -> None:
    _, made = seen(BEANS)
    pot = made.pages[2]
    plate, oven, roof = (json.loads(stay.timer) for stay in pot.stays)
    assert plate["next"] == oven
    assert pot.stays[0].then == "move to the low oven"
    # What is grilled afterwards is read as another food; its stay is not run into by itself.
    assert oven["food"] != roof["food"]
    assert oven["next"] is None


def test_a_roast_rests_after_its_last_stay_and_says_its_core() -> None:
    result, made = seen(LAMB)
    core = result.placements[0].core
    assert core is not None
    stay = made.pages[1].stays[0]
    rest = json.loads(stay.timer)["next"]
    assert (rest["zone"], rest["look"], rest["expect"], rest["latest"]) == ("resting", None, *core.rest_minutes)
    assert f"Out at {core.pull_c:.0f} °C" in stay.core
    assert f"Advised for safety: {core.safe_c:.0f} °C" in stay.core


def test_the_core_is_said_without_a_warning_where_it_is_safe() -> None:
    _, made = seen(CHICKEN)
    told = made.pages[3].stays[0].core
    assert told.startswith("Out at 74 °C")
    assert "Advised" not in told


def test_no_figure_is_parted_from_its_unit() -> None:
    words = together("at 63 °C (145 °F) for 1½ hours; look at 5 min, 1 h 35 at the latest; 20 of them, 450 g")
    assert (
        words.replace("\u00a0", "_")
        == "at 63_°C (145_°F) for 1½_hours; look at 5_min, 1_h_35 at the latest; 20 of them, 450_g"
    )


def test_cautions_stand_at_their_step_before_its_words(client: Cook) -> None:
    result, made = seen(BEANS)
    caution = next(flag for flag in result.flags if flag.level == "caution")
    assert caution.step == 2
    assert [len(page.cautions) for page in made.pages] == [0, 1, 0, 0]
    answer = unescape(at_stove(client, BEANS).text)
    step = answer[answer.index('id="step-2"') : answer.index('id="step-3"')].replace("\u00a0", " ")
    at = step.index("a boil of 10 minutes at a full boil")
    assert at < step.index("cover with water and bring to the boil")
    # Seen without a tap: not inside what is opened by one.
    assert step[:at].count("<details") == step[:at].count("</details")


def test_a_caution_of_the_whole_recipe_stands_before_the_first_step() -> None:
    shown = kitchen.shown(BEANS, cooker="four-oven")
    flag = next(one for one in shown.result.flags if one.level == "caution")
    loose = replace(shown.result, flags=(replace(flag, step=0),))
    made = cooking(loose, shown.cooker, address="/recipes/here")
    assert [one.message.split(" before")[0] for one in made.cautions] == [
        "Dried kidney beans and their kin need a boil of 10 minutes at a full boil"
    ]
    assert all(not page.cautions for page in made.pages)


def test_the_picture_of_the_core_has_a_title_a_description_and_its_sentence(client: Cook) -> None:
    result, made = seen(LAMB)
    assert [page.number for page in made.pages if page.pictures] == [curve.step for curve in result.curves] == [2]
    answer = at_stove(client, LAMB).text
    picture = answer[answer.index("<figure") : answer.index("</figure>")]
    assert re.search(r'<svg role="img" aria-labelledby="core-1-title core-1-desc"', picture)
    assert "<desc" in picture
    assert "A thermometer decides." in picture
    assert "style=" not in picture


def test_a_numbered_shelf_is_said() -> None:
    shown = kitchen.shown(CHICKEN, cooker="four-oven")
    zones = tuple(
        replace(zone, shelves=("roof", "high", "middle", "low")) if zone.kind == "hot-oven" else zone
        for zone in shown.cooker.zones
    )
    made = cooking(shown.result, replace(shown.cooker, zones=zones), address="/recipes/here")
    assert made.pages[3].stays[0].place == "on the middle shelf (position 3 from the top)"


@pytest.mark.parametrize(
    ("minutes", "words"),
    [(0.5, "30 s"), (1.5, "1½ min"), (12, "12 min"), (85, "1 h 25"), (120, "2 h"), (495, "8 h 15")],
)
def test_minutes_as_a_cook_says_them(minutes: float, words: str) -> None:
    assert minute_words(minutes) == words


def test_markup_in_a_recipe_stays_words(client: Cook) -> None:
    text = CHICKEN.replace("Chicken with leeks", '<img src=x onerror="alert(1)"> & "leeks"').replace(
        "Rest for", '</section><script>alert(1)</script> "> Rest for'
    )
    answer = at_stove(client, text)
    assert answer.status_code == 200
    assert read_page(answer.text).faults == []
    assert "<img" not in answer.text
    assert "<script>" not in answer.text
    assert timers(answer.text)[0]["recipe"].startswith("<img src=x")


def test_an_unknown_recipe_is_told(client: Cook) -> None:
    answer = client.get("/recipes/nothing-of-the-kind/stove")
    assert answer.status_code == 404
    assert "no such recipe" in answer.text


def test_a_recipe_of_the_folder_has_its_stove(family_client: Cook) -> None:
    rows = re.findall(r'href="(/folder/recipes/[^"/?#]+)"', family_client.get("/folder").text)
    assert rows
    answer = family_client.get(f"{rows[0]}/stove")
    assert answer.status_code == 200
    assert f'href="{rows[0]}"' in answer.text
    assert all(one["page"] == rows[0] for one in timers(answer.text))


def test_a_decision_changes_the_stay(client: Cook) -> None:
    made = client.hand_in("/recipes", {"text": CHICKEN, "cooker": "two-oven", "units": "both"})
    address = f"{made.url.path}/stove"
    assert [one["zone"] for one in timers(client.get(address).text) if one["step"] == 3] == ["hot plate", "low oven"]
    key = re.search(r'name="key" value="([^"]*)">\s*<ul[^>]*aria-label="Your answer to chicken"', made.text)
    assert key is not None
    client.hand_in(f"{made.url.path}/answers", {"key": key[1], "answer": "choice:way/hot-middle"})
    after = [one for one in timers(client.get(address).text) if one["step"] == 3]
    assert [(one["zone"], one["place"], one["look"]) for one in after] == [("hot oven", "on the middle shelf", 30)]
