"""A server that is killed at any moment has every answer that it said it kept, and starts again as if nothing was."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

import httpx
import pytest

from converter.ledger import Ledger
from tests.folder.cookery import converted
from tests.serve.doorstep import BAKE, Server

Serving = Callable[..., Server]
MANY = 24


class Cook(httpx.Client):
    """A plain client with the page's cookie."""

    def __init__(self, server: Server) -> None:
        super().__init__(base_url=server.address, timeout=30)
        self.get("/key")
        self.form_token = self.cookies[f"undial-{server.port}"]

    def hand_in(self, address: str, **fields: str) -> httpx.Response:
        return self.post(address, data={**fields, "token": self.form_token})


@pytest.fixture
def bakes(home: Path, tmp_path: Path) -> Path:
    """DEST of many recipes, each with lines of its own that wait for judgement."""
    src, dest = tmp_path / "recipes", tmp_path / "converted"
    src.mkdir()
    for number in range(MANY):
        text = BAKE.replace("Leek", f"Leek no. {number}").replace("25 minutes", f"{25 + number} minutes")
        text = text.replace("Grill for 5", f"Grill for {5 + number}").replace(
            "until done", f"until done, {number} to a tin"
        )
        (src / f"bake {number}.txt").write_text(text.replace("the rest", f"the rest of {number}"), encoding="utf-8")
    converted(src, dest)
    return dest


@pytest.mark.parametrize("after", [1, 7, 20], ids=str)
def test_no_answer_is_lost_when_the_server_is_killed(
    serving: Serving, bakes: Path, home: Path, tmp_path: Path, after: int
) -> None:
    """Three cooks answer as fast as they can; after so many answers comes kill -9."""
    server = serving("--folder", str(bakes), home_of=home)
    with Ledger.open(bakes, create=False) as ledger:
        keys = sorted({flag.key for flag in ledger.open_flags()})
    assert len(keys) > 60
    answered: list[str] = []
    enough = threading.Event()

    def judge(mine: list[str]) -> None:
        with closing(Cook(server)) as cook:
            for key in mine:
                try:
                    done = cook.hand_in(f"/judgement/{key}", answer="take")
                except httpx.HTTPError:
                    return
                if done.status_code == 303:  # the page has said that it is kept
                    answered.append(key)
                if len(answered) >= after:
                    enough.set()

    threads = [threading.Thread(target=judge, args=(keys[start::3],)) for start in range(3)]
    for thread in threads:
        thread.start()
    assert enough.wait(60)
    server.process.kill()
    for thread in threads:
        thread.join(60)
    said = set(answered)
    assert len(said) >= after
    with Ledger.open(bakes, create=False) as ledger:
        assert {key for key in said if ledger.decision(key) is None} == set()
        open_then = sum(ledger.count_open().values())

    again = serving("--folder", str(bakes), home_of=home)
    with closing(Cook(again)) as cook:
        assert cook.get("/judgement").status_code == 200
        assert cook.get("/folder").status_code == 200
        with Ledger.open(bakes, create=False) as ledger:
            assert sum(ledger.count_open().values()) <= open_then
            left = next(iter(ledger.open_flags()))
        assert cook.hand_in(f"/judgement/{left.key}", answer="take").status_code == 303


def test_pasted_recipes_and_their_answers_outlive_the_server(serving: Serving, home: Path) -> None:
    server = serving(home_of=home)
    with closing(Cook(server)) as cook:
        paths = [cook.hand_in("/recipes", text=BAKE, units="both").headers["location"] for _ in range(5)]
        page = cook.get(paths[-1]).text
        key = page.partition('name="key" value="')[2].partition('"')[0]
        assert "Decided" not in page
        assert cook.hand_in(f"{paths[-1]}/answers", key=key, answer="take").status_code == 303
    server.process.kill()
    server.process.wait(10)
    begun = time.monotonic()
    again = serving(home_of=home)
    assert time.monotonic() - begun < 20
    with closing(Cook(again)) as cook:
        assert [cook.get(path).status_code for path in paths] == [200] * 5
        assert "Decided" in cook.get(paths[-1]).text
