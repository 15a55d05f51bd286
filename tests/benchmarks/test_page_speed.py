"""The page under load: how soon a recipe stands on it beside the conversion itself, and fifty cooks at once.

    pytest -m benchmark tests/benchmarks/test_page_speed.py -s

The first paint is that of a whole page by the server: a browser's own part, which no page of any kind can give back,
is measured beside it. Conversions hold the interpreter, so fifty at the very same moment come out one after the other,
first come first served; what a cook waits for then is measured in a browser that comes last of the fifty.
"""

from __future__ import annotations

import asyncio
import http.client
import random
import statistics
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from urllib.parse import urlencode

import httpx
import pytest
from conftest import Ledger
from playwright.sync_api import Page, sync_playwright

from converter.files import checked
from converter.pipeline import convert
from converter.place import cookers, rules
from converter.read.text import NotReadable
from tests.serve.doorstep import Server, chromium, start

pytestmark = pytest.mark.benchmark

PAINT_MOST = 3.0
COOKS = 50
LOAD_MOST = 10.0
MEMORY_MOST_MB = 400
THINK_SECONDS = 5.0
"""A cook looks at a recipe far longer than this before pasting the next one."""
ROUNDS = 4
MANY = 120


@pytest.fixture(scope="module")
def texts(corpus: list[str]) -> list[str]:
    """Recipes of the corpus that can be converted, in an order of chance that is the same each time."""
    order = random.Random(11).sample(corpus, 900)
    kept = []
    for text in order:
        try:
            checked(text, name="recipe")
        except NotReadable:
            continue
        kept.append(text)
    return kept


@pytest.fixture(scope="module")
def page_server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    made = start(tmp_path_factory.mktemp("house"))
    time.sleep(3)  # it loads what a conversion needs beside answering
    yield made
    made.stop()


def memory_mb(server: Server, field: str = "VmHWM") -> float:
    """The memory of the server [MB], by default the most that it ever held."""
    lines = Path(f"/proc/{server.process.pid}/status").read_text(encoding="ascii").splitlines()
    return int(next(line for line in lines if line.startswith(field)).split()[1]) / 1024


class Cook:
    """One browser's way, without the painting: send the recipe, follow to its page."""

    def __init__(self, server: Server, client: httpx.AsyncClient, token: str) -> None:
        self.server, self.client, self.token = server, client, token
        self.wrong: list[int] = []

    @classmethod
    async def come(cls, server: Server) -> Cook:
        client = httpx.AsyncClient(base_url=server.address, timeout=120)
        await client.get("/key")
        return cls(server, client, client.cookies[f"undial-{server.port}"])

    async def converted(self, text: str) -> tuple[float, float]:
        """Return the times [s] until the recipe's whole page is there, and of its last part, the page alone."""
        begun = time.perf_counter()
        sent = await self.client.post("/recipes", data={"text": text, "units": "both", "token": self.token})
        if sent.status_code == 422:  # no recipe, said on the page
            now = time.perf_counter()
            return now - begun, now - begun
        middle = time.perf_counter()
        got = await self.client.get(sent.headers.get("location", "/nothing"))
        if got.status_code != 200 or sent.status_code != 303:
            self.wrong.append(got.status_code)
        now = time.perf_counter()
        return now - begun, now - middle


def quantile(values: list[float], part: float) -> float:
    return sorted(values)[min(len(values) - 1, int(len(values) * part))]


def conversions(texts: list[str]) -> list[float]:
    """The time [s] of each conversion alone, in this process, warm."""
    cooker, table = cookers.load("four-oven"), rules.load()
    times = []
    for number, text in enumerate([*texts[:30], *texts]):
        document = checked(text, name="recipe")
        begun = time.perf_counter()
        try:
            convert(document, cooker=cooker, rules=table)
        except NotReadable:
            continue
        if number >= 30:
            times.append(time.perf_counter() - begun)
    return times


def one_by_one(server: Server, texts: list[str]) -> list[tuple[float, float]]:
    """Return the times [s] of one cook as `Cook.converted`, by a client that costs next to nothing itself."""
    line = http.client.HTTPConnection("127.0.0.1", server.port, timeout=120)

    def asked(method: str, path: str, body: str = "", **headers: str) -> http.client.HTTPResponse:
        line.request(method, path, body or None, headers)
        answer = line.getresponse()
        answer.read()
        return answer

    cookie = (asked("GET", "/key").getheader("Set-Cookie") or "").partition(";")[0]
    form = {"Cookie": cookie, "Content-Type": "application/x-www-form-urlencoded"}
    times = []
    for number, text in enumerate(texts):
        fields = urlencode({"text": text, "units": "both", "token": cookie.partition("=")[2]})
        begun = time.perf_counter()
        sent = asked("POST", "/recipes", fields, **form)
        middle = time.perf_counter()
        if sent.status == 422:  # no recipe, said on the page
            continue
        assert sent.status == 303
        assert asked("GET", sent.getheader("Location") or "", Cookie=cookie).status == 200
        now = time.perf_counter()
        if number >= 30:
            times.append((now - begun, now - middle))
    line.close()
    return times


def painted(
    server: Server, texts: list[str], before_click: Callable[[], Callable[[], None]] | None = None
) -> list[float]:
    """The time [s] from the click to the first paint of the converted recipe, in Chromium, redirect and all.

    ``before_click`` begins what else the server shall do meanwhile, and returns what ends it.
    """
    times = []
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium(), args=["--no-sandbox", "--disable-gpu"])
        page = browser.new_page()
        for number, text in enumerate(texts):
            page.goto(server.address)
            page.get_by_label("The recipe").fill(text)
            end = before_click() if before_click is not None and number >= 5 else None
            page.get_by_role("button", name="Rewrite the recipe").click()
            page.wait_for_load_state("load")
            if "/recipes/" in page.url and number >= 5:
                times.append(first_paint(page))
            if end is not None:
                end()
        browser.close()
    return times


def first_paint(page: Page) -> float:
    """The time [s] of the first paint from the start of the navigation, which is the click, over the redirect."""
    for _ in range(200):
        found = page.evaluate("() => performance.getEntriesByName('first-contentful-paint')[0]?.startTime ?? null")
        if found is not None:
            return float(found) / 1000
        page.wait_for_timeout(10)
    raise AssertionError("never painted")


def test_a_converted_recipe_is_painted_soon(page_server: Server, texts: list[str], ledger: Ledger) -> None:
    """Conversion alone, until the whole page is there, and until it is painted, each over the same recipes."""
    some = texts[:MANY]
    alone = statistics.median(conversions(some))
    both = one_by_one(page_server, texts[MANY : 2 * MANY + 30])
    whole, page_alone = statistics.median(one for one, _ in both), statistics.median(one for _, one in both)
    paint = statistics.median(painted(page_server, texts[2 * MANY + 30 : 2 * MANY + 70]))
    ledger.row("conversion alone, median", f"{alone * 1000:.1f} ms")
    ledger.row("page of a converted recipe", f"{page_alone / alone:.2f} conversions", f"{PAINT_MOST}")
    ledger.row(
        "paste, conversion and page", f"{whole / alone:.2f} conversions", f"{PAINT_MOST}", f"{whole * 1000:.1f} ms"
    )
    ledger.row("click to first paint in Chromium", f"{paint * 1000:.0f} ms", "", f"{paint / alone:.1f} conversions")
    assert page_alone <= PAINT_MOST * alone
    assert whole <= PAINT_MOST * alone


async def burst(server: Server, texts: list[str]) -> tuple[list[float], list[int]]:
    """Fifty at the same moment."""
    cooks = await asyncio.gather(*(Cook.come(server) for _ in range(COOKS)))
    times = await asyncio.gather(*(cook.converted(text) for cook, text in zip(cooks, texts, strict=True)))
    return [one for one, _ in times], [status for cook in cooks for status in cook.wrong]


def last_of_fifty(server: Server, texts: list[str]) -> list[float]:
    """The time [s] from the click to the first paint in a browser that clicks when 49 others have just done so."""
    chance = random.Random(8)

    def others() -> Callable[[], None]:
        ready, wrong = threading.Event(), []

        async def come() -> None:
            cooks = await asyncio.gather(*(Cook.come(server) for _ in range(COOKS - 1)))
            sent = [asyncio.create_task(cook.converted(chance.choice(texts))) for cook in cooks]
            await asyncio.sleep(0)  # each has begun to send
            ready.set()
            await asyncio.gather(*sent)
            wrong.extend(status for cook in cooks for status in cook.wrong)

        thread = threading.Thread(target=lambda: asyncio.run(come()))
        thread.start()
        assert ready.wait(30)

        def ended() -> None:
            thread.join()
            assert wrong == []

        return ended

    return painted(server, texts[:25], others)


async def kitchen(server: Server, texts: list[str]) -> tuple[list[float], list[int]]:
    """Fifty cooks, each with a recipe every few seconds."""
    cooks = await asyncio.gather(*(Cook.come(server) for _ in range(COOKS)))
    chance = random.Random(5)
    times: list[float] = []

    async def cook_on(cook: Cook) -> None:
        for _ in range(ROUNDS):
            await asyncio.sleep(chance.expovariate(1 / THINK_SECONDS))
            times.append((await cook.converted(chance.choice(texts)))[0])

    await asyncio.gather(*(cook_on(cook) for cook in cooks))
    return times, [status for cook in cooks for status in cook.wrong]


def test_fifty_cooks_at_once(page_server: Server, texts: list[str], ledger: Ledger) -> None:
    rest = texts[2 * MANY + 70 :]
    single = statistics.median(one for one, _ in one_by_one(page_server, rest[:90]))
    paint = statistics.median(painted(page_server, rest[90:120]))
    bursts = [asyncio.run(burst(page_server, rest[at : at + COOKS])) for at in (120, 170, 220)]
    slowest = statistics.median(quantile(times, 0.95) for times, _ in bursts)
    last = quantile(last_of_fifty(page_server, rest[120:270]), 0.95)
    busy, wrong = asyncio.run(kitchen(page_server, rest[270:]))
    p95 = quantile(busy, 0.95)
    most = memory_mb(page_server)
    ledger.row("one cook alone, paste to whole page", f"{single * 1000:.0f} ms", "", f"painted {paint * 1000:.0f} ms")
    ledger.row(
        f"{COOKS} cooks, a recipe every {THINK_SECONDS:.0f} s: p95", f"{p95 / single:.1f} times one alone",
        f"{LOAD_MOST:.0f}", f"{p95 * 1000:.0f} ms, {len(busy)} recipes",
    )  # fmt: skip
    ledger.row(
        f"the last of {COOKS} at the same moment, until painted: p95", f"{last / paint:.1f} times one alone",
        f"{LOAD_MOST:.0f}", f"{last * 1000:.0f} ms",
    )  # fmt: skip
    ledger.row(
        f"{COOKS} at the same moment, the server's part: p95", f"{slowest / single:.1f} times one alone", "",
        f"{slowest * 1000:.0f} ms, {slowest / COOKS * 1000:.1f} ms each",
    )  # fmt: skip
    ledger.row("memory of the server, the most", f"{most:.0f} MB", f"{MEMORY_MOST_MB}")
    assert [status for _, statuses in bursts for status in statuses] == []
    assert wrong == []
    assert p95 <= LOAD_MOST * single
    assert last <= LOAD_MOST * paint
    assert most <= MEMORY_MOST_MB
