"""The HTML page, read back with the reader of the standard library, and its style sheet."""

from __future__ import annotations

import re
from html.parser import HTMLParser

import pytest
from builder import bare, flag_of, heads_of, loose, messy_results, recipe_of, result_of, sunday_pie
from hypothesis import HealthCheck, given, settings

from converter.model import Result
from converter.write.forms import render
from converter.write.page import style

_VOID = {"meta"}
_ALLOWED = {
    "html": {"lang"},
    "head": set(),
    "meta": {"charset", "name", "content", "http-equiv"},
    "title": set(),
    "style": set(),
    "body": set(),
    "main": set(),
    "h1": {"dir"},
    "h2": set(),
    "h3": {"dir"},
    "dl": {"class"},
    "dt": set(),
    "dd": set(),
    "small": set(),
    "div": {"class"},
    "section": {"class"},
    "ul": set(),
    "ol": set(),
    "li": {"dir", "value", "id", "class"},
    "p": {"class", "dir"},
    "a": {"href"},
    "span": {"class", "role", "aria-label", "aria-hidden"},
    "b": set(),
    "q": {"dir"},
    "bdi": set(),
    "details": set(),
    "summary": set(),
    "footer": set(),
}


class Reader(HTMLParser):
    """Checks that the page is a closed tree of known elements and keeps the text of each."""

    def __init__(self, words: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.held: list[str] = []
        self.texts: list[tuple[str, str]] = []
        self.ids: list[str] = []
        self.links: list[str] = []
        self.seen: list[str] = []
        self.dirs: list[tuple[str, str | None]] = []
        self.feed(words)
        self.close()
        assert self.open == []

    def handle_decl(self, decl: str) -> None:
        assert decl == "DOCTYPE html"

    def handle_comment(self, data: str) -> None:
        raise AssertionError(f"a comment: {data}")

    def handle_pi(self, data: str) -> None:
        raise AssertionError(f"an instruction: {data}")

    def unknown_decl(self, data: str) -> None:
        raise AssertionError(f"a declaration: {data}")

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag in _ALLOWED, tag
        named = dict(attrs)
        assert set(named) <= _ALLOWED[tag], (tag, attrs)
        self.seen.append(tag)
        if "id" in named:
            self.ids.append(named["id"] or "")
        if "href" in named:
            self.links.append(named["href"] or "")
        self.dirs.append((tag, named.get("dir")))
        if tag not in _VOID:
            self.open.append(tag)
            self.held.append("")

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag
        words = self.held.pop()
        self.texts.append((tag, words))
        if self.held:
            self.held[-1] += words

    def handle_data(self, data: str) -> None:
        if self.held:
            self.held[-1] += data

    def of(self, *tags: str) -> list[str]:
        return [bare(words) for tag, words in self.texts if tag in tags]


def test_the_page_stands_on_its_own() -> None:
    words = render(sunday_pie(), "html")
    page = Reader(words)
    assert words.startswith('<!DOCTYPE html>\n<html lang="en">')
    assert "default-src 'none'" in words
    assert page.seen.count("main") == page.seen.count("h1") == page.seen.count("dl") == 1
    assert "script" not in words
    assert not re.search(r"url\(|@import|@font-face|https?:|//", words)
    assert [words for tag, words in page.texts if tag == "h2"] == [
        "Ingredients", "Method", "Notes of the recipe", "Lines for your judgement", "Cautions", "Notes",
    ]  # fmt: skip
    assert [words for tag, words in page.texts if tag == "h3"] == ["For the filling", "For the lid", "Filling", "Lid"]
    assert [re.sub(r" \(.*", "", words) for tag, words in page.texts if tag == "dt"] == [
        "Cooker", "Zones", "Timers", "Lid up", "Have ready", "Our own times",
    ]  # fmt: skip


def test_steps_keep_their_numbers_and_show_what_stood_there() -> None:
    words = render(sunday_pie(), "html")
    assert re.findall(r'<li value="(\d+)">', words) == ["1", "2", "3", "4", "5", "6", "7"]
    assert words.count("<details>") == 4  # the four steps that were changed
    assert "Preheat the oven to 190°C (375°F)." in words


def test_flags_are_marked_by_word_and_shape_and_reached_from_the_step() -> None:
    words = render(sunday_pie(), "html")
    page = Reader(words)
    assert sorted(page.ids) == ["caution-1", "judgement-1", "note-1"]
    assert page.links == ["#caution-1", "#judgement-1"]
    for shape, word in (("▲", "caution"), ("◆", "your judgement"), ("●", "note")):
        assert f'<span class="sign" role="img" aria-label="{word}">{shape}</span>' in words
    assert '<span aria-hidden="true">▲</span> caution</a>' in words
    assert '<span aria-hidden="true">◆</span> your judgement</a>' in words


def test_ids_stay_single_with_several_flags_at_a_step() -> None:
    flags = tuple(flag_of(level, step=2) for level in ("caution", "caution", "judgement", "judgement", "note"))
    page = Reader(render(result_of(flags=flags), "html"))
    assert len(set(page.ids)) == len(page.ids) == 5
    assert {link.removeprefix("#") for link in page.links} == {i for i in page.ids if not i.startswith("note")}


def test_nothing_to_judge_is_said() -> None:
    assert "Lines for your judgement: none." in render(result_of(), "html")
    assert "Cautions" not in render(result_of(), "html")


def test_markup_in_a_recipe_is_text() -> None:
    barb = "<script>alert('x')</script><img src=x onerror=y>&lt;\"'"
    recipe = recipe_of(
        title=barb, ingredients=((barb, (barb,)),), steps=((barb, barb),), servings=barb, stated_times=(barb,),
        notes=(barb,),
    )  # fmt: skip
    words = render(result_of(recipe, flags=(flag_of(text=barb, message=barb, why=barb, choices=(barb,)),)), "html")
    page = Reader(words)
    assert "<script" not in words
    assert "<img" not in words
    assert page.of("h1") == [bare(barb)]
    assert page.of("q") == [bare(barb)]


def test_words_of_the_recipe_keep_their_own_direction() -> None:
    page = Reader(render(sunday_pie(), "html"))
    assert all(side == "auto" for tag, side in page.dirs if tag in ("h1", "h3", "q"))
    turned = flag_of(text="hot\u202eneve\u2067x", message="kept")
    words = render(result_of(flags=(turned,)), "html")
    assert '<q dir="auto">hotnevex</q> → kept' in words


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(messy_results())
def test_any_text_is_escaped_and_can_be_read_back(result: Result) -> None:
    page = Reader(render(result, "html"))
    recipe = result.reading.recipe
    assert page.of("h1") == page.of("title") == [bare(recipe.title)]
    items = page.of("li")
    for item in recipe.ingredients:
        assert bare(item.text) in items
    for span in recipe.notes:
        assert bare(recipe.document.text[span.start : span.end]) in items
    paragraphs = page.of("p")
    for step in result.steps:
        assert bare(step.rewritten) in paragraphs
        assert bare(step.original) in paragraphs
    assert any(words.endswith(bare(recipe.servings or "")) for words in page.of("bdi"))
    assert any(words.endswith(bare(recipe.stated_times[0])) for words in page.of("bdi"))  # "time" may stand before it
    assert {loose(words) for words in page.of("h3")} <= heads_of(result)
    assert {bare(step.part) for step in result.steps if step.part} <= set(page.of("h3"))
    for target in page.links:
        assert target.removeprefix("#") in page.ids


def luminance(colour: str) -> float:
    """Relative luminance of ``#rrggbb``; source: WCAG 2.2, definition of relative luminance (from memory)."""
    digits = colour.removeprefix("#")
    digits = "".join(2 * sign for sign in digits) if len(digits) == 3 else digits
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_contrast_is_measured_rightly() -> None:
    assert round(contrast("#000", "#ffffff"), 2) == 21.0
    assert round(contrast("#777777", "#ffffff"), 2) == 4.48  # published worked value for this grey


def palettes() -> list[dict[str, str]]:
    return [dict(re.findall(r"--(\w+): (#[0-9a-f]+);", part)) for part in re.findall(r":root \{(.*?)\}", style(), re.S)]


@pytest.mark.parametrize("at", [0, 1, 2], ids=["light", "dark", "print"])
def test_every_colour_of_text_is_high_in_contrast(at: int) -> None:
    colours = palettes()[at]
    for ground in ("paper", "wash"):
        for ink in ("ink", "quiet", "iron"):
            assert contrast(colours[ink], colours[ground]) >= 7, (ink, ground)  # WCAG level AAA for text


def test_the_style_sheet_names_colours_only_in_its_palettes() -> None:
    rest = re.sub(r":root \{.*?\}", "", style(), flags=re.S)
    assert not re.search(r"#[0-9a-f]{3,6}\b|rgb|hsl", rest)
    assert "@page" in style()
    assert "@media print" in style()
    assert "</" not in style()
