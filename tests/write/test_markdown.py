"""The Markdown form, read back with a CommonMark reader."""

from __future__ import annotations

import time

import pytest
from builder import bare, flag_of, heads_of, loose, messy_results, recipe_of, result_of, sunday_pie
from hypothesis import HealthCheck, given, settings
from markdown_it import MarkdownIt
from markdown_it.token import Token

from converter.model import Header, Result
from converter.write.forms import FORMS, render
from converter.write.markdown import block, inline
from converter.write.parts import CLOSING

_READER = MarkdownIt("commonmark").enable(["table", "strikethrough"])
_SECTIONS = [
    "Ingredients", "Method", "Notes of the recipe", "Lines for your judgement", "Cautions", "Notes",
]  # fmt: skip


def read(words: str) -> list[Token]:
    return _READER.parse(words)


def plain(token: Token) -> str:
    return "".join(child.content for child in token.children or ())


def headings(tokens: list[Token]) -> list[tuple[str, str]]:
    return [(t.tag, bare(plain(tokens[n + 1]))) for n, t in enumerate(tokens) if t.type == "heading_open"]


def texts(tokens: list[Token]) -> list[str]:
    return [plain(token) for token in tokens if token.type == "inline"]


def test_the_parts_stand_in_their_order() -> None:
    words = render(sunday_pie(), "markdown")
    marks = [
        "# Hen and Leek Pie for a Wet Sunday\n", "- **Cooker:** two-oven\n", "- **Zones:** gentle plate: 15–18 min",
        "- **Timers (food in an oven is neither seen nor smelt):** step 6: 20", "- **Lid up:** 15–18 min\n",
        "- **Have ready:** one cold plain", "- **Our own times:** none\n", "\nAs the recipe gives it: Serves 4 to 6 · ",
        "## Ingredients\n", "### For the filling\n", "- 600 g cooked hen, in pieces\n", "### For the lid\n",
        "- 350 g shortcrust pastry\n", "## Method\n", "### Filling\n", "1. Melt the butter", "### Lid\n",
        "4. Nothing to do: the hot oven is always ready.\n", "7. Let it stand", "## Notes of the recipe\n",
        "## Lines for your judgement\n", "## Cautions\n", "## Notes\n", CLOSING,
    ]  # fmt: skip
    places = [words.index(mark) for mark in marks]
    assert places == sorted(places)


def test_lines_of_the_lists() -> None:
    words = render(sunday_pie(), "markdown")
    assert (
        '- Step 6, "190°C (375°F)" → hot oven, low, under a shield; the zone is about 40 °C (72 °F) hotter than '
        "asked; or: on the floor, no shield.\n"
    ) in words
    assert (
        '- Step 6, "the filling bubbles" → kept; bubbles are no proof of the core, 74 °C (165 °F) (FoodSafety.gov); '
        "or: measure in the thickest part.\n"
    ) in words


def test_no_line_for_judgement_is_said() -> None:
    words = render(result_of(flags=(flag_of("caution"),)), "markdown")
    assert "\nLines for your judgement: none.\n" in words
    assert "## Lines for your judgement" not in words
    assert "## Cautions" in words


def test_have_ready_only_where_needed() -> None:
    words = render(result_of(header=Header(cooker="two-oven")), "markdown")
    assert "Have ready" not in words
    assert "**Zones:** none" in words
    assert "**Lid up:** 0 min" in words


def test_a_flag_of_the_whole_recipe_and_one_without_words() -> None:
    flags = (flag_of(step=0, text="", choices=()), flag_of(step=2, text="", why="", choices=("a", "b")))
    words = render(result_of(flags=flags), "markdown")
    assert "- The recipe → hot oven under a shield; no zone near this heat.\n" in words
    assert "- Step 2 → hot oven under a shield; or: a; or: b.\n" in words


def test_numbering_runs_on_under_sub_headings() -> None:
    tokens = read(render(sunday_pie(), "markdown"))
    starts = [token.attrs.get("start", 1) for token in tokens if token.type == "ordered_list_open"]
    assert starts == [1, 4]


@pytest.mark.parametrize(
    "text",
    [
        "350 g flour", "2 * 3 eggs", "~5 min", "< 5 min & stir", "salt_water", "1.5 kg leeks", "[optional] thyme",
        "gas mark 4 - 5", "milk (1/2 pint)!", "#1 rice", "5 + 1 eggs", "''jus'' or \"gravy\"", "180 °C = 350 °F | hot",
    ],
)  # fmt: skip
def test_nothing_is_escaped_needlessly(text: str) -> None:
    assert block(text) == text
    assert inline(text) == text


@pytest.mark.parametrize(
    ("text", "written"),
    [
        ("# Sauce", r"\# Sauce"), ("- salt", r"\- salt"), ("3. Stir", r"3\. Stir"), ("> aside", r"\> aside"),
        ("<script>x</script>", r"\<script>x\</script>"), ("*best*", r"\*best\*"), ("a &lt; b", r"a \&lt; b"),
        ("[a](b)", r"[a\](b)"), ("[a]: /b", r"\[a]: /b"), ("two\n# three", "two # three"), ("---", r"\---"),
        ("C:\\#", r"C:\\#"), ("* * *", r"\* * \*"),
    ],
)  # fmt: skip
def test_signs_that_would_act_are_escaped(text: str, written: str) -> None:
    assert block(text) == written


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(messy_results())
def test_whatever_the_recipe_contains_the_headings_are_ours(result: Result) -> None:
    tokens = read(render(result, "markdown"))
    recipe = result.reading.recipe
    found = headings(tokens)
    tops = [words for tag, words in found if tag in ("h1", "h2")]
    assert tops == [bare(recipe.title), *(bare(name) for name in _SECTIONS)]
    subs = [words for tag, words in found if tag == "h3"]
    assert {loose(words) for words in subs} <= heads_of(result)
    assert {bare(step.part) for step in result.steps if step.part} <= set(subs)
    assert len(subs) <= 4  # two parts of the ingredients, two of the method
    allowed = {
        "heading_open", "heading_close", "inline", "bullet_list_open", "bullet_list_close", "ordered_list_open",
        "ordered_list_close", "list_item_open", "list_item_close", "paragraph_open", "paragraph_close",
    }  # fmt: skip
    assert {token.type for token in tokens} <= allowed
    for token in tokens:
        assert token.level <= 3  # no list in a list
        kinds = {child.type for child in token.children or ()}
        assert kinds <= {"text", "strong_open", "strong_close"}


@settings(max_examples=80, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(messy_results())
def test_every_word_can_be_read_back(result: Result) -> None:
    found = [bare(words) for words in texts(read(render(result, "markdown")))]
    recipe = result.reading.recipe
    for item in recipe.ingredients:
        assert bare(item.text) in found
    for step in result.steps:
        assert bare(step.rewritten) in found
    for span in recipe.notes:
        assert bare(recipe.document.text[span.start : span.end]) in found
    given_line = next(words for words in found if words.startswith("Astherecipegivesit:"))
    assert bare(recipe.servings or "") in given_line
    assert bare(recipe.stated_times[0]) in given_line


def test_an_empty_recipe_still_has_its_frame() -> None:
    recipe = recipe_of(title="", ingredients=(), steps=(), servings=None, stated_times=(), notes=())
    result = result_of(recipe, placements=(), phases=(), mentions=())
    for form in FORMS:
        assert ('"title": ""' if form == "json" else "Recipe") in render(result, form)
    words = render(result, "markdown")
    assert words.startswith("# Recipe\n")
    assert CLOSING in words


def test_a_form_that_is_not_there() -> None:
    with pytest.raises(ValueError, match="no form 'pdf'; there are text, markdown, html, json, jsonld"):
        render(sunday_pie(), "pdf")


@pytest.mark.benchmark
def test_markdown_of_an_ordinary_recipe_takes_a_quarter_of_a_millisecond() -> None:
    result = sunday_pie()
    best = 1.0
    for _ in range(7):
        begin = time.perf_counter()
        for _ in range(100):
            render(result, "markdown")
        best = min(best, (time.perf_counter() - begin) / 100)
    assert best <= 0.00025
