"""Bytes and pastes become plain text that keeps its place in the source."""

from __future__ import annotations

import re
import time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from converter.model import Document, Span
from converter.read.text import LIMIT, NotReadable, decode, document

PLAIN = "Oat bars\n\nIngredients\n\n- 100 g oats\n\nMethod\n\n1. Mix.\n2. Bake at 180°C for 20 minutes.\n"
SIGNS = "Crème brûlée\n½ pint cream\nBake at 150°C for 40–50 minutes; it’s done when “just set”.\n"


def text(source: str | bytes) -> str:
    return document(source, name="a.txt").text


@pytest.mark.parametrize(
    ("encoding", "said"),
    [
        ("utf-8", "utf-8"),
        ("utf-8-sig", "utf-8"),
        ("utf-16", "utf-16-le"),
        ("utf-16-le", "utf-16-le"),
        ("utf-16-be", "utf-16-be"),
        ("utf-32", "utf-32-le"),
        ("cp1252", "cp1252"),
    ],
)
def test_encodings_give_the_same_signs(encoding: str, said: str) -> None:
    assert decode(SIGNS.encode(encoding), name="a.txt") == (SIGNS, said)


@pytest.mark.parametrize(
    "line",
    [
        "Bake at 180°C for 20 minutes.",
        "Warm the purée and the crème fraîche.",
        "Don’t let it boil – 5–6 minutes will do.",
        "“Fold” the jalapeño in; heat to 350° F.",
    ],
)
@pytest.mark.parametrize("encoding", ["cp1252", "mac_roman"])
def test_windows_and_old_mac_are_told_apart(line: str, encoding: str) -> None:
    assert decode(line.encode(encoding), name="a.txt") == (line, encoding)


def test_dos_files_keep_degrees_and_fractions() -> None:
    line = "½ cup milk, 200°C, purée"
    assert decode(line.encode("cp850"), name="a.txt") == (line, "cp850")


@pytest.mark.parametrize(
    ("data", "words"),
    [
        (b"", "is empty"),
        (b" \r\n\t\n", "is empty"),
        (b"\xef\xbb\xbf", "is empty"),
        (b"\xff\xfe", "is empty"),
        (b"%PDF-1.7\n", "a PDF"),
        (b"PK\x03\x04abc", "zip"),
        (b"\x89PNG\r\n\x1a\n", "a picture"),
        (bytes(range(256)) * 40, "not plain text"),
        (b"\x01\x02\x03\x04\x05\x06 a", "control"),
        (b"\xff\xfe\x00\xd8", "damaged"),
        (b"a" * (LIMIT + 1), "too large"),
    ],
)
def test_what_is_not_text_is_refused_in_one_sentence(data: bytes, words: str) -> None:
    with pytest.raises(NotReadable, match=words) as caught:
        document(data, name="mum/card.txt")
    message = str(caught.value)
    assert message.startswith("mum/card.txt ")
    assert message.endswith(".")
    assert "\n" not in message


def test_text_that_needs_nothing_is_left_alone() -> None:
    made = document(PLAIN, name="a.txt")
    assert made.text is made.source
    assert made.offsets is None


@pytest.mark.parametrize(
    ("source", "expected"),
    [
        ("a\r\nb\rc\n", "a\nb\nc\n"),
        ("180\xa0°C\u2009for\u202f5\tminutes", "180 °C for 5 minutes"),
        ("sim\xadmer\u200b gent\ufeffly", "simmer gently"),
        ("sim\xad\r\nmer", "simmer"),
        ("ﬁll the ﬂan, soﬀten the baﬄe, ﬃ", "fill the flan, sofften the baffle, ffi"),
        ("&frac12; pint at 180&deg;C &amp; gas&nbsp;4, &#189; cup, &#xB0;", "½ pint at 180°C & gas 4, ½ cup, °"),
        ("&amp;frac14; cup, &amp;amp; &unknown; M&S; salt & pepper", "¼ cup, & &unknown; M&S; salt & pepper"),
        ("Mix.<br>Bake.<BR />Cool.</br>Eat.", "Mix.\nBake.\nCool.\nEat."),
        ("8<sup>th</sup> <b>hot</b> oven, 3 < 4, a<c", "8th hot oven, 3 < 4, a<c"),
        ("\x1b[2Jhot\x07 \u202e02\u202c oven\x00", "[2Jhot 02 oven"),
        ("saute\u0301 and pure\u0301e", "sauté and purée"),
        ("180Â°C, Â½ cup, purÃ©e, 8â€“10, donâ€™t", "180°C, ½ cup, purée, 8–10, don’t"),
        ("180\x96200 don\x92t", "180–200 don’t"),
        ("\uf0b7 1 egg", "• 1 egg"),
        ("1½ cups – “hot” 180º 90˚ 325*F 3⁄4 ２", "1½ cups – “hot” 180º 90˚ 325*F 3⁄4 ２"),
        ("cut \ud800 short", "cut \ufffd short"),
    ],
)
def test_odd_signs(source: str, expected: str) -> None:
    assert text(source) == expected


WRAPPED = """\
Ox cheeks

2 ox cheeks, trimmed and cut into large pieces
Salt
1 carrot

Method
1. Brown the meat in a heavy pan over a high
heat, then add the carrot and let it sim-
mer in an oven-
proof dish for 120-
150 minutes. Salt it.
2. Serve.

Skim the fat off the gravy while it is still
warm. Reheat it gently until it is as hot as
Sunday lunch should be.
"""


def test_wrapped_lines_and_cut_words_are_joined() -> None:
    assert text(WRAPPED) == (
        "Ox cheeks\n\n2 ox cheeks, trimmed and cut into large pieces\nSalt\n1 carrot\n\nMethod\n"
        "1. Brown the meat in a heavy pan over a high heat, then add the carrot and let it simmer in an "
        "oven-proof dish for 120-150 minutes. Salt it.\n2. Serve.\n\n"
        "Skim the fat off the gravy while it is still warm. Reheat it gently until it is as hot as "
        "Sunday lunch should be.\n"
    )


@pytest.mark.parametrize(
    "source",
    [
        "Method\nHeat the oven to 220C before you start.\nRub the butter into the flour.\nBake for 12 minutes.\n",
        "Ingredients\n500 g floury potatoes, peeled and quartered\nolive oil\nflaky salt\nblack pepper\n",
        "Serves four people with good appetites\nTime: 20 minutes\n\nMethod\n1. Fry the bread in the butter\n2. Eat.\n",
        "Method:\nFor the sauce that goes over everything:\nmelt the butter\n",
        "- 200 g plain flour, sifted twice over\n- salt\n\n* mix everything together in a bowl\n* bake\n",
        "---\ntitle: a long title for a simple soup\nmore: words\n---\n",
    ],
)
def test_lines_that_are_not_wrapped_stay(source: str) -> None:
    assert text(source) == source


def test_an_indented_line_belongs_to_its_item() -> None:
    assert text("Ingredients\n- 1 kg shoulder of lamb\n  boned\n- 2 onions\n") == (
        "Ingredients\n- 1 kg shoulder of lamb boned\n- 2 onions\n"
    )


def test_a_span_leads_back_to_the_file() -> None:
    source = "Pie\r\n\r\nBake the pie at 180&deg;C for\r\n20 minutes.\r\n"
    made = document(source, name="a.txt")
    at = made.text.index("20 minutes")
    assert made.text[: at + 10] == "Pie\n\nBake the pie at 180°C for 20 minutes"
    origin = made.origin(Span(at, at + 10))
    assert source[origin.start : origin.end] == "20 minutes"
    assert made.place(Span(at, at + 10)) == (4, 1)


def words(text: str) -> list[str]:
    return re.findall(r"[A-Za-z]+", text)


def sound(made: Document) -> None:
    if made.offsets is None:
        assert made.text == made.source
        return
    assert len(made.offsets) == len(made.text)
    assert all(0 <= at < len(made.source) for at in made.offsets)
    assert all(a <= b for a, b in zip(made.offsets, made.offsets[1:], strict=False))


PIECES = st.lists(
    st.sampled_from(
        ["bake", "the tart", "in a hot oven", " ", "\n", "\r\n", "\r", "\n\n", "  ", "\xa0", "\xad", "\u200b", "1. ",
         "- ",
         "½", "180°C", "é", "&deg;", "&amp;", "<br>", "ﬁ", "sim-\nmer", "10-\n15",
         ".", ":", "Method",
         "Ingredients",
         "200 g flour", "e\u0301", "Â°", "# ", "**", "---\n", "|", "\x0b", "\x00", "&", "<", "-"]
    ),
    max_size=60,
).map("".join)  # fmt: skip


@settings(max_examples=300, deadline=None)
@given(st.one_of(st.text(), st.text(alphabet="ab -\n\r\t.&;<>°½1\xad\u2028\x0b", max_size=200), PIECES))
def test_any_text_is_read_or_refused(source: str) -> None:
    try:
        made = document(source, name="x")
    except NotReadable:
        return
    sound(made)
    assert made == document(source, name="x")
    assert not re.search("[\r\t\x0b\x0c\xa0\xad\u200b\ufb01]", made.text)


@settings(max_examples=300, deadline=None)
@given(st.one_of(st.binary(), st.text().map(lambda t: t.encode("utf-16-be", "surrogatepass"))))
def test_any_bytes_are_read_or_refused(data: bytes) -> None:
    try:
        made = document(data, name="x")
    except NotReadable:
        return
    sound(made)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.from_regex(r"[a-z]{1,9}[.,;]?", fullmatch=True), min_size=1, max_size=80), st.integers(24, 80))
def test_wrapping_loses_no_word(said: list[str], width: int) -> None:
    import textwrap

    wrapped = textwrap.fill(" ".join(said), width, break_long_words=False)
    assert words(text(wrapped)) == words(wrapped)


@pytest.mark.parametrize(
    "source",
    [
        PLAIN.replace("\n", "\r\n") * 50_000,
        ("Stir the sauce over a low heat until it has\nthickened, then let it stand and cool.\n\n") * 55_000,
        "\xa0a" * 2_500_000,
        "<b" * 2_500_000,
        "[" * 5_000_000,
        "\xad" + " " * 4_999_000 + "x",
        "&" * 5_000_000,
        "1-\n" * 1_600_000,
        "a" + "\u0301" * 5_000_000,
    ],
    ids=["crlf", "wrapped", "spaces", "tags", "brackets", "soft", "amp", "ranges", "marks"],
)
def test_five_megabytes_take_seconds_not_minutes(source: str) -> None:
    before = time.process_time()
    document(source[:5_000_000], name="x")
    # 3 s is the aim; a quadratic pattern would take minutes, a busy machine takes up to thrice as long.
    assert time.process_time() - before < 9
