"""The page in this process, as a server of its own, and in a real browser."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import ExitStack
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, sync_playwright
from playwright.sync_api import Error as BrowserError

from converter.serve.door import Door
from tests.folder.cookery import converted
from tests.serve.doorstep import CARDS, DESKTOP, SCRATCH, Cook, Opener, Seen, Server, chromium, cook, start, watch


@pytest.fixture
def home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A home folder of nobody; what undial keeps of a household goes there."""
    made = tmp_path / "home"
    made.mkdir()
    for name in SCRATCH:
        monkeypatch.setenv(name, str(made / name.lower()) if name != "HOME" else str(made))
    return made


@pytest.fixture
def family(tmp_path: Path, home: Path) -> Path:
    """DEST of the three cards; SRC is ``recipes`` beside it."""
    src, dest = tmp_path / "recipes", tmp_path / "converted"
    for name, text in CARDS.items():
        path = src / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    converted(src, dest)
    return dest


@pytest.fixture
def client(home: Path) -> Cook:
    """The page without a folder, in this process."""
    return cook(Door(kept=home / "pasted.sqlite"))


@pytest.fixture
def family_client(home: Path, family: Path) -> Cook:
    """The page with the folder `family`, in this process."""
    return cook(Door(kept=home / "pasted.sqlite", folder=family))


@pytest.fixture
def serving(tmp_path: Path) -> Iterator[Callable[..., Server]]:
    """Starts servers, each with the household of `home_of` or a new one; all end with the test."""
    with ExitStack() as stack:

        def begin(*words: str, home_of: Path | None = None, **more: Any) -> Server:
            where = home_of or tmp_path / "house"
            where.mkdir(exist_ok=True)
            made = start(where, *words, **more)
            stack.callback(made.stop)
            return made

        yield begin


@pytest.fixture
def family_server(serving: Callable[..., Server], family: Path, home: Path) -> Server:
    """A server that shows the folder `family`."""
    return serving("--folder", str(family), home_of=home)


@pytest.fixture(scope="module")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Server]:
    """A server without a folder for all tests of a module."""
    made = start(tmp_path_factory.mktemp("house"))
    yield made
    made.stop()


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    path = chromium()
    with sync_playwright() as playwright:
        made = playwright.chromium.launch(
            executable_path=path,
            args=[
                "--no-sandbox", "--disable-gpu", "--disable-background-networking", "--disable-component-update",
                "--disable-sync", "--no-first-run",
            ],
        )  # fmt: skip
        yield made
        made.close()


@pytest.fixture
def seen() -> Seen:
    """What all pages of a test asked for; at its end nothing may have gone outside, and nothing complained."""
    return Seen()


@pytest.fixture
def opened(browser: Browser, seen: Seen) -> Iterator[Opener]:
    """Opens pages: ``opened(size=PHONE, dark=True, js=False, calm=True)``, each with cookies of its own."""
    contexts: list[BrowserContext] = []

    def one(
        *, size: tuple[int, int] = DESKTOP, dark: bool = False, js: bool = True, calm: bool = False, **more: Any
    ) -> Page:
        context = browser.new_context(
            viewport={"width": size[0], "height": size[1]}, color_scheme="dark" if dark else "light",
            java_script_enabled=js, reduced_motion="reduce" if calm else "no-preference", accept_downloads=True,
            locale="en-GB", **more,
        )  # fmt: skip
        contexts.append(context)
        page = context.new_page()
        watch(page, seen)
        return page

    yield one
    for context in contexts:
        try:
            context.close()
        except BrowserError as error:  # a test may have closed it
            assert "closed" in str(error)  # noqa: PT017
    assert seen.foreign() == []
    assert seen.faults() == []


@pytest.fixture
def page(opened: Opener) -> Page:
    """A page of desktop size."""
    return opened()
