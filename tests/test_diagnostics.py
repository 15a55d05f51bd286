"""The look of a flag: the words of the file as it was given, and the marks under them."""

from __future__ import annotations

import unicodedata
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from converter.diagnostics import (
    PLAIN,
    Style,
    columns,
    error_line,
    flag_block,
    flag_line,
    quote,
    spell,
    style_of,
    summary,
)
from converter.ledger import Decision, Decisions, kept_flags
from converter.model import Document, Flag, Span
from converter.pipeline import convert
from converter.place.cookers import load
from converter.read.text import document as document_of

DRAWN = Style(colour=True, drawn=True)


def document(source: str, **more: object) -> Document:
    return Document(name="pie.txt", source=source, text=str(more.pop("text", source)), **more)  # type: ignore[arg-type]


def flag(doc: Document, words: str, **more: object) -> Flag:
    start = doc.text.index(words)
    given: dict[str, object] = {
        "name": "no-time", "level": "judgement", "step": 2, "span": Span(start, start + len(words)), "text": words,
        "message": "this step has no time", "why": "an oven hides what is in it",
    }  # fmt: skip
    return Flag(**(given | more))  # type: ignore[arg-type]


def width(text: str) -> int:
    return sum(columns(sign) for sign in text)


def marked(lines: list[str]) -> tuple[int, int]:
    """Columns of the first mark and behind the last."""
    row = lines[1]
    return row.index("^"), row.rindex("^") + 1


def test_a_block_has_its_parts_in_order() -> None:
    doc = document("Pie\n\n1. Mix.\n2. Bake the pie at 180C until brown.\n")
    block = flag_block(flag(doc, "at 180C", choices=("look early", "ask a neighbour"), source="A Book, 1999"), doc)
    assert block.splitlines() == [
        "judgement[no-time] pie.txt:4:17 (step 2)",
        "  this step has no time",
        "  4 | 2. Bake the pie at 180C until brown.",
        "    |                 ^^^^^^^",
        "  why     an oven hides what is in it",
        "  choice  look early",
        "  choice  ask a neighbour",
        "  source  A Book, 1999",
        "  more    undial explain no-time",
    ]


def test_a_line_is_one_line() -> None:
    doc = document("Bake it.")
    line = flag_line(flag(doc, "Bake", message="two\n lines", level="caution"), doc)
    assert line == "caution[no-time] pie.txt:1:1: two lines"


@pytest.mark.parametrize(
    ("line", "words", "column", "size"),
    [
        ("Bake it hot.", "hot", 8, 3),
        ("\tBake it\thot.", "hot", 12, 3),
        ("烤箱 bake 烤箱 hot", "烤箱", 0, 4),
        ("烤箱 bake hot", "hot", 10, 3),
        ("cre\u0300me bru\u0302le\u0301e hot", "hot", 13, 3),
        ("cre\u0300me hot", "cre\u0300me", 0, 5),
        ("a\u200bb hot", "hot", 3, 3),
        ("½ hour hot", "hot", 7, 3),
    ],
)
def test_marks_stand_under_wide_combining_and_tabbed_words(line: str, words: str, column: int, size: int) -> None:
    doc = document(f"Pie\n{line}\n")
    start = doc.text.index(words)
    lines = quote(doc, Span(start, start + len(words)))
    lead = len("  2 | ")
    assert marked(lines) == (lead + column, lead + column + size)
    assert "\t" not in lines[0]


def test_the_quoted_line_is_that_of_the_file_not_of_the_text_read() -> None:
    source = "Pie\n\nBake the pie un-\ntil brown.\n"
    text = "Pie\n\nBake the pie until brown.\n"
    cut = source.index("-\n")
    offsets = tuple(at for at in range(len(source)) if at not in (cut, cut + 1))
    doc = document(source, text=text, offsets=offsets)
    start = text.index("brown")
    assert quote(doc, Span(start, start + 5)) == ["  4 | til brown.", "    |     ^^^^^"]


def test_words_over_two_lines_are_marked_to_the_end_of_the_first() -> None:
    doc = document("Bake the\npie.\n")
    assert quote(doc, Span(5, 12)) == ["  1 | Bake the", "    |      ^^^"]


@pytest.mark.parametrize("at", [0, 300, 590])
def test_a_long_line_is_cut_around_the_words(at: int) -> None:
    line = "x" * at + " hot " + "y" * (600 - at)
    doc = document(line)
    lines = quote(doc, Span(at + 1, at + 4), style=Style(width=60))
    start, stop = marked(lines)
    assert lines[0][start:stop] == "hot"
    assert all(width(row) <= 60 for row in lines)


def test_terminal_controls_in_a_recipe_do_not_reach_the_terminal() -> None:
    doc = document("Bake \x1b[31mit\x07 \u202ehot\u202c now\r\n")
    start = doc.text.index("hot")
    lines = quote(doc, Span(start, start + 3))
    assert not any(unicodedata.category(sign) == "Cc" or sign in "\u202e\u202c" for row in lines for sign in row)
    first, last = marked(lines)
    assert lines[0][first:last] == "hot"


def test_colours_and_lines_come_only_with_a_style_that_has_them() -> None:
    doc = document("Bake it hot.")
    plain, drawn = flag_block(flag(doc, "hot"), doc), flag_block(flag(doc, "hot"), doc, style=DRAWN)
    assert plain.isascii()
    assert "\x1b" not in plain
    assert "\x1b[1;33m" in drawn
    assert "━━━" in drawn


@pytest.mark.parametrize(
    ("tty", "environ", "encoding", "colour", "drawn"),
    [
        (True, {"TERM": "xterm"}, "utf-8", True, True),
        (True, {"TERM": "xterm"}, "latin-1", True, False),
        (False, {"TERM": "xterm"}, "utf-8", False, False),
        (True, {"TERM": "dumb"}, "utf-8", False, False),
        (True, {"TERM": "xterm", "NO_COLOR": "1"}, "utf-8", False, False),
        (True, {"TERM": "xterm", "NO_COLOR": ""}, "utf-8", True, True),
        (True, {}, None, True, False),
    ],
)
def test_style(tty: bool, environ: dict[str, str], encoding: str | None, colour: bool, drawn: bool) -> None:
    style = style_of(tty=tty, environ=environ, encoding=encoding)
    assert (style.colour, style.drawn) == (colour, drawn)


def test_signs_that_an_encoding_lacks_are_spelt_out() -> None:
    assert spell("25–30 min at ½ of 180 °C", "ascii") == "25-30 min at 1/2 of 180 deg C"
    assert spell("25–30", "utf-8") == "25–30"
    assert spell("烤", "latin-1") == "?"
    assert spell("– 180 °C ½", "latin-1") == "- 180 °C ½"
    assert style_of(tty=True, environ={}, encoding="no-such-encoding").encoding == "ascii"


@given(st.text(max_size=200), st.data())
def test_any_words_of_any_text_can_be_quoted(source: str, data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(source)))
    end = data.draw(st.integers(start, len(source)))
    for style in (PLAIN, Style(width=40)):
        lines = quote(document(source), Span(start, end), style=style)
        assert len(lines) == 2
        assert "^" in lines[1]
        assert all("\n" not in row and "\x1b" not in row for row in lines)


def test_the_summary_tells_own_words_from_what_the_cooker_cannot_do() -> None:
    text = "Pie\n\nIngredients\n\n- 1 pie\n\nMethod\n\n1. Bake the pie at 180 °C until brown.\n"
    result = convert(document_of(text, name="pie.txt"), cooker=load("two-oven"))
    key = next(flag.key for flag in kept_flags(result) if flag.phase)
    for kind, own in (("words", "Bake it as Mother did."), ("leave", "")):
        decisions = Decisions([Decision(key, kind, words=own)])
        decided = convert(document_of(text, name="pie.txt"), cooker=load("two-oven"), decisions=decisions)
        assert "0 stretches of heat placed for two-oven, 1 in your own words or as it was" in summary(decided)
        assert "cannot do" not in summary(decided)
    none = replace(result, placements=tuple(replace(one, moves=()) for one in result.placements))
    assert "1 that this cooker cannot do" in summary(none)


def test_a_name_of_a_file_steers_no_terminal() -> None:
    """Error and summary name files, whose names may hold anything."""
    sly = "pie\x1b[2J\u202e\x07\x9b31m.txt"
    text = "Pie\n\n1. Bake at 180°C for 20 minutes.\n"
    made = convert(document_of(text, name=sly), cooker=load("two-oven"))
    for line in (error_line(f"{sly}: it is empty"), summary(made)):
        assert not [sign for sign in line if unicodedata.category(sign) in ("Cc", "Cf")]
        assert "pie?[2J???31m.txt" in line
