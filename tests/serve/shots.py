"""Makes the pictures of the README from the real page: ``python -m tests.serve.shots``."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Callable
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

from tests.folder.cookery import ROOT, converted
from tests.serve.doorstep import Server, chromium, start

HERE = Path(__file__).resolve().parent / "shots"
WIDE, TALL = (1000, 620), (390, 700)
MOST_BYTES = 300_000
"""Of all pictures together."""


def recipe(page: Page, server: Server) -> None:
    """A sample of ours, rewritten."""
    page.goto(server.address)
    page.get_by_label("The recipe").fill((ROOT / "sample_recipes" / "plum-crumble.txt").read_text(encoding="utf-8"))
    page.get_by_role("button", name="Rewrite the recipe").click()
    page.wait_for_url("**/recipes/*")
    page.evaluate("() => document.getElementById('whole').scrollIntoView()")


def judgement(page: Page, server: Server) -> None:
    page.goto(f"{server.address}/judgement?find=pavlova")


def cooker(page: Page, server: Server) -> None:
    page.goto(f"{server.address}/cooker")
    page.evaluate("() => document.getElementById('drawn').scrollIntoView()")


def stove(page: Page, server: Server) -> None:
    """A step with a timer that runs."""
    recipe(page, server)
    page.get_by_role("link", name="Cook it").first.click()
    timer = page.locator(".stay button:visible").first
    for _ in range(12):
        if timer.count():
            break
        page.get_by_role("button", name="Next").click()
    timer.click()
    page.wait_for_timeout(1200)


SHOTS: dict[str, tuple[Callable[[Page, Server], None], tuple[int, int], bool]] = {
    "recipe": (recipe, WIDE, False),
    "judgement": (judgement, WIDE, True),
    "cooker": (cooker, WIDE, False),
    "stove": (stove, TALL, True),
}


def take(browser: Browser, server: Server, into: Path) -> None:
    for name, (come, (width, height), dark) in SHOTS.items():
        page = browser.new_page(
            viewport={"width": width, "height": height}, color_scheme="dark" if dark else "light",
            reduced_motion="reduce", locale="en-GB",
        )  # fmt: skip
        come(page, server)
        page.screenshot(path=into / f"{name}.jpeg", type="jpeg", quality=72, animations="disabled")
        page.close()


def main(into: Path = HERE) -> None:
    into.mkdir(exist_ok=True)
    home = Path(tempfile.mkdtemp())
    try:
        converted(ROOT / "sample_recipes", home / "converted")
        server = start(home, "--folder", str(home / "converted"))
        with sync_playwright() as playwright:
            browser = playwright.chromium.launch(executable_path=chromium(), args=["--no-sandbox", "--disable-gpu"])
            take(browser, server, into)
            browser.close()
        server.stop()
    finally:
        shutil.rmtree(home)
    size = sum(path.stat().st_size for path in into.glob("*.jpeg"))
    print(f"{len(SHOTS)} pictures, {size:,} bytes")
    if size > MOST_BYTES:
        raise SystemExit(f"that is more than {MOST_BYTES:,}")


if __name__ == "__main__":
    main()
