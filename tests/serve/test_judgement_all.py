"""The same answer for very many lines: it is kept while the page says how far it is, with scripts and without."""

from __future__ import annotations

import re
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from playwright.sync_api import expect

from converter.ledger import Ledger
from converter.review import Desk
from converter.serve import judgement
from converter.serve.app import build
from converter.serve.door import Door
from tests.serve.doorstep import PHONE, Cook, Opener, free_port
from tests.serve.household import SIX, WITH, folder_of, said
from tests.serve.looks import small_targets, violations


@pytest.fixture
def family(tmp_path: Path, home: Path) -> Path:
    """DEST of six cards, three of them with lines alike."""
    return folder_of(SIX, tmp_path)


@pytest.fixture
def slowly(monkeypatch: pytest.MonkeyPatch) -> Iterator[threading.Event]:
    """Answers for all tell that one of three is written and then stand still until the event is set."""
    go = threading.Event()
    real = Desk.decide_all

    def slow(self: Desk, *given: Any, told: Callable[[int, int], None], **more: Any) -> Any:
        told(1, 3)
        assert go.wait(20)
        return real(self, *given, told=told, **more)

    monkeypatch.setattr(judgement, "_SHORT_SECONDS", 0.05)
    monkeypatch.setattr(Desk, "decide_all", slow)
    yield go
    go.set()


def _keep_for_all(client: Cook) -> Any:
    shown = client.get("/judgement?find=sausages").text
    key, mark = (
        re.search(r'action="/judgement/([0-9a-f.]{27})"', shown),
        re.search(r'name="mark" value="([^"]+)"', shown),
    )
    assert key is not None
    assert mark is not None
    return client.hand_in(f"/judgement/{key[1]}/alike", {"answer": "leave", "mark": mark[1], "find": "sausages"})


def test_what_takes_long_is_told_on_a_page_of_its_own(
    family_client: Cook, family: Path, slowly: threading.Event, monkeypatch: pytest.MonkeyPatch
) -> None:
    waits = _keep_for_all(family_client)
    assert waits.status_code == 200
    assert waits.url.path == "/judgement/waiting/1"
    assert "Keeping your answer 1 of 3 recipes are written." in said(waits)
    assert '<noscript><meta http-equiv="refresh" content="2"></noscript>' in waits.text
    assert 'href="/judgement/waiting/1?find=sausages"' in waits.text
    slowly.set()
    monkeypatch.setattr(judgement, "_SHORT_SECONDS", 20.0)
    over = family_client.get("/judgement/waiting/1?find=sausages")
    assert over.url.path == "/judgement"
    assert f"Kept for {len(WITH)} lines; {len(WITH)} recipes written again." in said(over)
    assert "find=sausages" in str(over.url)


def test_what_could_not_be_kept_is_told_after_the_wait(
    family_client: Cook, family: Path, slowly: threading.Event, monkeypatch: pytest.MonkeyPatch
) -> None:
    waits = _keep_for_all(family_client)
    (key,) = re.findall(r"/judgement/([0-9a-f.]{27})", str(waits.history[0].request.url))
    with Ledger.open(family) as ledger:
        decided = next(flag for flag in ledger.same_words(key))
    assert decided.key == key
    other = family_client.hand_in(f"/judgement/{key}", {"answer": "take"})
    assert other.status_code == 200
    slowly.set()
    monkeypatch.setattr(judgement, "_SHORT_SECONDS", 20.0)
    over = family_client.get("/judgement/waiting/1")
    assert over.status_code == 409
    assert "Someone else has decided this line meanwhile" in said(over)


def test_an_answer_of_another_start_leads_to_the_lines(family_client: Cook) -> None:
    for number in ("7", "x", "0"):
        assert family_client.get(f"/judgement/waiting/{number}").url.path == "/judgement"


@pytest.fixture
def address(family: Path, home: Path) -> Iterator[str]:
    """A server in this process, so that the tests can hold an answer back."""
    port = free_port()
    made = uvicorn.Server(uvicorn.Config(build(Door(port=port, folder=family)), port=port, log_level="error"))
    thread = threading.Thread(target=made.run)
    thread.start()
    while not made.started:
        assert thread.is_alive()
        time.sleep(0.02)
    yield f"http://127.0.0.1:{port}"
    made.should_exit = True
    thread.join(10)


@pytest.mark.parametrize("js", [True, False])
def test_it_goes_on_by_itself_in_the_browser(address: str, slowly: threading.Event, opened: Opener, js: bool) -> None:
    page = opened(js=js, size=PHONE)
    page.goto(f"{address}/judgement?find=sausages")
    page.get_by_label("The same for all 3 lines like this").check()
    page.locator("button[value^='choice ']").first.click()
    page.get_by_role("button", name="Keep it for all 3").click()
    page.wait_for_url("**/judgement/waiting/1?find=sausages")
    expect(page.locator("#waiting-told")).to_have_text("1 of 3 recipes are written.")
    expect(page.locator("progress")).to_have_attribute("max", "3")
    if js:
        assert violations(page) == []
        assert small_targets(page) == []
    slowly.set()
    page.wait_for_url("**/judgement?*done=*", timeout=20_000)
    assert "Kept for 3 lines; 3 recipes written again." in page.locator("#told").inner_text()
