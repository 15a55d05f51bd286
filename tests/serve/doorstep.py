"""What the tests of the page stand on: a household's recipes, clients, servers of their own, what a browser saw."""

from __future__ import annotations

import os
import re
import shutil
import socket
import subprocess
import sys
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from html.parser import HTMLParser
from pathlib import Path
from typing import Any
from urllib.parse import urljoin
from urllib.request import urlopen

import pytest
from fastapi.testclient import TestClient
from playwright.sync_api import Page

from converter.serve.app import build
from converter.serve.door import Door
from tests.folder.cookery import ROOT

DESKTOP, PHONE = (1280, 900), (390, 844)
SCRATCH = ("XDG_CONFIG_HOME", "XDG_DATA_HOME", "XDG_STATE_HOME", "XDG_CACHE_HOME", "HOME")


def _bake(name: str, goods: str) -> str:
    """A recipe whose oven has no heat and no time, and one step that no zone can do."""
    return f"""{name} and ham bake

Serves 4

Ingredients

- 4 {goods}
- 200 g ham
- 300 ml milk
- 40 g butter
- 40 g flour

Method

1. Preheat the oven.
2. Fry the {goods} in the butter over a medium heat for 8 minutes.
3. Stir in the flour, then the milk, and cook over a low heat until thick.
4. Bake in a hot oven for 25 minutes, then turn the heat down and cook until done.
5. Grill for 5 minutes.
6. Microwave the rest on the next day for 3 minutes.
"""


# Cards of a made-up household: a plain one, some with lines that want a cook's judgement, some with cautions.
CARDS = {
    "oat biscuits.txt": """Oat biscuits

Ingredients

- 200 g oats
- 100 g butter
- 80 g sugar

Method

1. Heat the oven to 180°C (gas 4).
2. Melt the butter with the sugar in a pan, then stir in the oats.
3. Spread on a greased tray and bake for 20 minutes until golden.
""",
    "suppers/chicken and leeks.txt": """Chicken with leeks

Serves 4

Ingredients

- 1 chicken, 1.6 kg
- 3 leeks
- 50 g butter

Method

1. Preheat the oven to 200°C (180°C fan).
2. Fry the leeks in the butter over a medium heat for 8 minutes.
3. Put the chicken on the leeks, cover and roast for 1 hour.
4. Take off the lid and roast for a further 20 minutes until brown.
5. Rest for 15 minutes.
""",
    "suppers/bean pot.txt": """Bean pot

Ingredients

- 250 g dried kidney beans, soaked
- 2 onions
- 1 tin tomatoes

Method

1. Fry the onions in oil over a low heat for 10 minutes.
2. Add the beans and tomatoes, cover with water and bring to the boil.
3. Cover and simmer gently for 2 hours, then grill the top under a hot grill for 5 minutes.
4. Keep warm until wanted.
""",
    "suppers/leek bake.txt": _bake("Leek", "leeks"),
    "suppers/parsnip bake.txt": _bake("Parsnip", "parsnips"),
    "suppers/beetroot bake.txt": _bake("Beetroot", "beetroots"),
}
BISCUITS = CARDS["oat biscuits.txt"]
CHICKEN = CARDS["suppers/chicken and leeks.txt"]
BAKE = CARDS["suppers/leek bake.txt"]
BEANS = CARDS["suppers/bean pot.txt"]


class Cook(TestClient):
    """A client with the page's cookie that sends forms of ours."""

    @property
    def door(self) -> Door:
        found = self.app.state.door  # type: ignore[attr-defined]
        assert isinstance(found, Door)
        return found

    @property
    def token(self) -> str:
        if self.door.cookie not in self.cookies:
            self.get("/key")
        return str(self.cookies[self.door.cookie])

    def hand_in(self, address: str, fields: dict[str, Any] | None = None, **more: Any) -> Any:
        """Post `fields` and the token as a form; the answer that the browser is led to."""
        return self.post(address, data={**(fields or {}), "token": self.token}, **more)


def cook(door: Door, **more: Any) -> Cook:
    return Cook(build(door), base_url=f"http://127.0.0.1:{door.port}", **more)


class _Reader(HTMLParser):
    """Collects what our pages must not hold, and where they lead."""

    def __init__(self) -> None:
        super().__init__()
        self.faults: list[str] = []
        self.links: list[str] = []
        self.loads: list[str] = []
        self.words: list[str] = []
        self.tags: list[str] = []
        self._script = False

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        here = dict(attrs)
        self.tags.append(tag)
        self._script = tag in ("script", "style")
        if tag == "style" or (tag == "script" and not here.get("src")):
            self.faults.append(f"<{tag}> within the page")
        if tag in ("iframe", "object", "embed", "base", "frame", "applet"):
            self.faults.append(f"<{tag}>")
        if tag == "meta" and "http-equiv" in here:
            self.faults.append("<meta http-equiv>")
        for name, value in attrs:
            given = (value or "").strip()
            if name.startswith("on") or name in ("style", "srcdoc"):
                self.faults.append(f"{name}={given!r}")
            if name in ("src", "href", "action", "formaction", "xlink:href", "poster", "data", "srcset"):
                if not re.match(r"[/#?](?!/)|$", given):
                    self.faults.append(f"{name}={given!r} leads outside")
                elif name == "href" and tag == "a":
                    self.links.append(given)
                elif tag in ("script", "link", "img"):
                    self.loads.append(given)

    def handle_data(self, data: str) -> None:
        if self._script and data.strip():
            self.faults.append(f"words within a script or style: {data[:40]!r}")
        self.words.append(data)

    def handle_endtag(self, tag: str) -> None:
        self._script = False


def read_page(words: str) -> _Reader:
    """Return what a page of ours holds: ``faults`` (inline code, outer addresses), ``links``, ``loads``, ``words``."""
    reader = _Reader()
    reader.feed(words)
    reader.close()
    return reader


def walk(client: TestClient, *starts: str, most: int = 400) -> Iterator[tuple[str, Any]]:
    """Follow every link from `starts` and give each page once, with its address."""
    waiting, met = list(starts), set(starts)
    while waiting and len(met) < most:
        path = waiting.pop(0)
        answer = client.get(path)
        yield path, answer
        if "text/html" not in answer.headers["content-type"] or "content-disposition" in answer.headers:
            continue
        for link in read_page(answer.text).links:
            target = urljoin(path, link).partition("#")[0]
            if target and target not in met:
                met.add(target)
                waiting.append(target)


def free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


def environment(home: Path) -> dict[str, str]:
    """The surroundings of a command whose household is that of `home`; the libraries are ours."""
    kept = {name: value for name, value in os.environ.items() if name not in ("DISPLAY", "WAYLAND_DISPLAY", "BROWSER")}
    own = {name: str(home) if name == "HOME" else str(home / name.lower()) for name in SCRATCH}
    return kept | own | {"PYTHONPATH": str(ROOT), "PYTHONUNBUFFERED": "1"}


@dataclass
class Server:
    """A ``undial serve`` in a process of its own."""

    process: subprocess.Popen[str]
    address: str
    port: int
    home: Path
    said: str = ""

    def stop(self, *, seconds: float = 10) -> int:
        """Stop it as Ctrl-C does; its exit status."""
        if self.process.poll() is None:
            self.process.send_signal(2)
        try:
            rest, _ = self.process.communicate(timeout=seconds)
            self.said += rest or ""
        except subprocess.TimeoutExpired:
            self.process.kill()
            self.process.communicate()
            raise
        return self.process.returncode


def start(home: Path, *words: str, port: int | None = None, wait: bool = True) -> Server:
    """Start ``undial serve``; without `wait` it may still be on its way."""
    at = port or free_port()
    command = ["serve", "--port", str(at), "--no-browser", *words]
    process = subprocess.Popen(
        [sys.executable, "-c", f"from converter.cli import main; main({command!r})"],
        cwd=home, env=environment(home), stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, encoding="utf-8",
    )  # fmt: skip
    made = Server(process, f"http://127.0.0.1:{at}", at, home)
    deadline = time.monotonic() + 30
    while wait:
        assert process.stdout is not None
        assert process.poll() is None, f"it ended: {process.stdout.read()}"
        try:
            with urlopen(f"{made.address}/key", timeout=5):
                break
        except OSError:
            assert time.monotonic() < deadline, "it does not answer"
            time.sleep(0.05)
    return made


def chromium() -> str:
    """Return Debian's browser. Skips the test without one, unless UNDIAL_BROWSER_NEEDED says that there must be one."""
    found = shutil.which("chromium")
    if found is None:
        if os.environ.get("UNDIAL_BROWSER_NEEDED"):
            pytest.fail("there is no chromium; .ci/run installs it")
        pytest.skip("there is no chromium on this machine")
    return found


@dataclass
class Seen:
    """What a page asked for and complained of."""

    asked: list[str] = field(default_factory=list)
    complaints: list[str] = field(default_factory=list)
    expected: list[str] = field(default_factory=list)  # parts of complaints that the test provokes

    def foreign(self) -> list[str]:
        """Return requests that leave 127.0.0.1."""
        return [
            url
            for url in self.asked
            if not re.match(r"(http://127\.0\.0\.1:\d+/|blob:http://127\.0\.0\.1:|data:)", url)
        ]

    def faults(self) -> list[str]:
        return [words for words in self.complaints if not any(part in words for part in self.expected)]


def watch(page: Page, seen: Seen) -> None:
    page.set_default_timeout(15_000)
    page.on("request", lambda request: seen.asked.append(request.url))
    page.on("pageerror", lambda error: seen.complaints.append(f"script: {error}"))
    page.on(
        "console",
        lambda message: seen.complaints.append(message.text) if message.type in ("error", "warning") else None,
    )


Opener = Callable[..., Page]
