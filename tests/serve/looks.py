"""What the browser tests measure on a page: axe's rules, the way of the Tab key, sideways scrolling, printed sheets."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from typing import Any

import pypdfium2
from playwright.sync_api import Page


@cache
def _axe() -> str:
    return files("axe_playwright_python").joinpath("axe.min.js").read_text(encoding="utf-8")


def settled(page: Page) -> None:
    """Wait for the style sheets of a page that is being led to: its words can be there before them."""
    page.wait_for_load_state("load")


def violations(page: Page) -> list[str]:
    """Return what axe-core objects to, all its rules for WCAG 2.2 A and AA and its good practices included.

    The script comes in through the browser's debugging door, so that the page's own policy stays in force.
    """
    settled(page)
    page.evaluate(_axe())
    # Contrast is measured with no colour on its way to another.
    page.evaluate("() => Promise.allSettled(document.getAnimations().map((one) => one.finished))")
    found = page.evaluate(
        """async () => {
          const rules = {"target-size": {enabled: true}, "region": {enabled: true}};
          const done = await axe.run(document, {rules, resultTypes: ["violations"]});
          return done.violations.flatMap(({id, help, nodes}) =>
            nodes.map((node) => `${id}: ${help}: ${node.target.join(" ")}: ${node.html.slice(0, 120)}`));
        }"""
    )
    return list(found)


def sideways(page: Page) -> list[str]:
    """Return what is wider than the window, which then scrolls sideways."""
    settled(page)
    found = page.evaluate(
        """() => {
          const root = document.documentElement;
          if (root.scrollWidth <= root.clientWidth) return [];
          const wide = [...document.querySelectorAll("body *")].filter((one) =>
            one.getBoundingClientRect().right > root.clientWidth + 0.5 && getComputedStyle(one).position !== "fixed");
          const told = wide.slice(0, 5).map((one) => one.outerHTML.slice(0, 100));
          return [`${root.scrollWidth} > ${root.clientWidth}`, ...told];
        }"""
    )
    return list(found)


# What a keyboard must reach: everything that can be pressed, chosen or filled in and is shown.
_REACHABLE = """() => {
  const shown = (one) => one.checkVisibility({visibilityProperty: true}) && one.getClientRects().length > 0;
  const name = (one) => { one.dataset.seen ??= String(Math.random()); return one.dataset.seen; };
  return [...document.querySelectorAll(
    "a[href], button, input:not([type=hidden]), select, textarea, summary, [tabindex='0']")]
    .filter((one) => shown(one) && !one.disabled && one.tabIndex >= 0)
    // Of radio buttons one is reached by Tab, the others by the arrows.
    .filter((one) => one.type !== "radio" || one.checked)
    .map((one) => [name(one), one.outerHTML.slice(0, 100)]);
}"""
_FOCUSED = """async () => {
  await new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)));  // the page follows the focus
  const one = document.activeElement;
  if (!one || one === document.body) return null;
  const look = getComputedStyle(one), box = one.getBoundingClientRect();
  const ring = look.outlineStyle !== "none" && parseFloat(look.outlineWidth) >= 2;
  const within = box.bottom > 0 && box.top < innerHeight && box.right > 0 && box.left < innerWidth;
  return {seen: one.dataset.seen ?? "", html: one.outerHTML.slice(0, 100), ring, within};
}"""


def tab_faults(page: Page) -> list[str]:
    """Press Tab through the whole page; what it does not reach, or reaches without showing it."""
    settled(page)
    page.emulate_media(reduced_motion="reduce")
    wanted: dict[str, str] = dict(page.evaluate(_REACHABLE))
    faults: list[str] = []
    met: set[str] = set()
    page.evaluate("() => { document.activeElement?.blur(); window.scrollTo(0, 0); }")
    for _ in range(len(wanted) + 15):
        page.keyboard.press("Tab")
        here: Any = page.evaluate(_FOCUSED)
        if here is None or here["seen"] in met:
            if len(met) >= len(wanted):
                break
            continue
        met.add(here["seen"])
        if not here["ring"]:
            faults.append(f"focus is not shown: {here['html']}")
        if not here["within"]:
            faults.append(f"focus is out of sight: {here['html']}")
    return faults + [f"Tab does not reach: {html}" for seen, html in wanted.items() if seen not in met]


def small_targets(page: Page, *, px: int = 44) -> list[str]:
    """Return buttons, fields and links of their own that a finger may miss; links within a sentence are left out."""
    settled(page)
    found = page.evaluate(
        """(px) => [...document.querySelectorAll(
            "button, select, textarea, input:not([type=hidden]), summary, nav a, a.button")]
          .filter((one) => one.checkVisibility({visibilityProperty: true}) && one.getClientRects().length > 0)
          .map((one) => (["checkbox", "radio"].includes(one.type) && one.closest("label")) || one)
          .map((one) => [one.getBoundingClientRect(), one.outerHTML.slice(0, 100)])
          .filter(([box]) => box.height < px - 0.5 || box.width < px - 0.5)
          .map(([box, html]) => `${Math.round(box.width)} x ${Math.round(box.height)}: ${html}`)""",
        px,
    )
    return list(found)


def moving(page: Page) -> list[str]:
    """Return what moves or will move for longer than a blink."""
    settled(page)
    found = page.evaluate(
        """() => [...document.querySelectorAll("*")].flatMap((one) => {
          const look = getComputedStyle(one);
          const ms = (part) => parseFloat(part) * (part.includes("ms") ? 1 : 1000);
          const long = (value) => value.split(",").some((part) => ms(part) > 10);
          const moves = (look.animationName !== "none" && long(look.animationDuration)) ||
            (long(look.transitionDuration) && look.transitionProperty !== "none");
          return moves || look.scrollBehavior === "smooth" ? [one.outerHTML.slice(0, 100)] : [];
        })"""
    )
    return list(found)


def sheets(pdf: bytes) -> list[str]:
    """Return the words of each sheet of a printed page; every sheet is drawn, and one that is blank is an error."""
    out = []
    document = pypdfium2.PdfDocument(pdf)
    try:
        for number in range(len(document)):
            sheet = document[number]
            picture = sheet.render(scale=1).to_numpy()
            assert picture.min() < 128, f"sheet {number + 1} is blank"
            out.append(sheet.get_textpage().get_text_bounded())
    finally:
        document.close()
    return out
