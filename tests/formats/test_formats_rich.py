"""RTF and Word 97 files, made by hand."""

from __future__ import annotations

import struct

import papers
import pytest

from converter.formats import Unreadable, read_bytes
from converter.read.lines import layout
from converter.read.text import document

pytest.importorskip("striprtf")
pytest.importorskip("olefile")


def parts(text: str) -> tuple[str, list[str], list[str]]:
    recipe = layout(document(text, name="it"))
    return recipe.title, [row.text for row in recipe.ingredients], [step.text for step in recipe.steps]


def rtf(body: str) -> bytes:
    signs = "".join(sign if ord(sign) < 128 else f"\\u{ord(sign)}?" for sign in body)
    head = "{\\rtf1\\ansi\\ansicpg1252{\\header Kitchen book\\par}{\\info{\\title Secret}}"
    return f"{head}{signs}}}".encode("ascii")


def lines(*texts: str) -> str:
    return "".join(f"\\pard {text}\\par\n" for text in texts)


def test_rtf_lists_and_signs() -> None:
    goods = "".join(f"{{\\pntext\\'b7\\tab}}{item}\\par\n" for item in papers.GOODS)
    steps = "".join(f"{{\\pntext {number}.\\tab}}{step}\\par\n" for number, step in enumerate(papers.STEPS, 1))
    body = lines(papers.TITLE, "Ingredients") + goods + lines("Method") + steps
    found = read_bytes(rtf(body), "a.rtf").recipes
    assert parts(found[0][1]) == (papers.TITLE, papers.GOODS, papers.STEPS)
    assert "Kitchen" not in found[0][1]
    assert "Secret" not in found[0][1]


def test_a_row_of_an_rtf_table_is_one_line() -> None:
    cells = (("200 g", "barley"), ("½ tsp", "salt"))
    rows = "".join(f"\\trowd\\intbl {one}\\cell {two}\\cell\\row\n" for one, two in cells)
    body = lines(papers.TITLE, "Ingredients") + rows + lines("Method", *papers.STEPS)
    assert parts(read_bytes(rtf(body), "a.rtf").recipes[0][1])[1] == ["200 g barley", "½ tsp salt"]


def test_pages_of_an_rtf_part_recipes() -> None:
    both = ((papers.TITLE, papers.GOODS, papers.STEPS), papers.OTHER)
    cards = [lines(title, *goods, *steps) for title, goods, steps in both]
    assert [title for title, _ in read_bytes(rtf("\\page ".join(cards)), "a.rtf").recipes] == [papers.TITLE, "Plum Pot"]


# ---------------------------------------------------------------- Word 97


def container(streams: dict[str, bytes]) -> bytes:
    """An OLE container of streams of 4,096 bytes and more, [MS-CFB]."""
    sectors: list[bytes] = []
    fat: list[int] = []
    entries = [("Root Entry", 5, 0xFFFFFFFE, 0)]
    for name, data in streams.items():
        first = len(sectors) + 2
        data = data.ljust(max(4096, -(-len(data) // 512) * 512), b"\0")
        pieces = [data[at : at + 512] for at in range(0, len(data), 512)]
        fat += [first + at + 1 for at in range(len(pieces) - 1)] + [0xFFFFFFFE]
        sectors += pieces
        entries.append((name, 2, first, len(data)))
    directory = b""
    for at, (name, kind, first, size) in enumerate(entries):
        label = name.encode("utf-16-le") + b"\0\0"
        right = at + 1 if 0 < at < len(entries) - 1 else 0xFFFFFFFF
        under = 1 if at == 0 else 0xFFFFFFFF
        directory += label.ljust(64, b"\0") + struct.pack("<HBBIII", len(label), kind, 1, 0xFFFFFFFF, right, under)
        directory += bytes(36) + struct.pack("<IQ", first, size)
    table = struct.pack(f"<{len(fat) + 2}I", 0xFFFFFFFD, 0xFFFFFFFE, *fat).ljust(512, b"\xff")
    head = b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(16) + struct.pack("<HHHHH", 0x3E, 3, 0xFFFE, 9, 6) + bytes(6)
    head += struct.pack("<IIIIIIIII", 0, 1, 1, 0, 4096, 0xFFFFFFFE, 0, 0xFFFFFFFE, 0) + struct.pack("<I", 0)
    return head.ljust(512, b"\xff") + table + directory.ljust(512, b"\0") + b"".join(sectors)


def word97(pieces: list[tuple[str, bool]], *, flags: int = 0x0200, magic: int = 0xA5EC, after: str = "") -> bytes:
    """A Word file whose text is in `pieces` of (signs, whether of one byte each); `after` is no main text."""
    main = bytearray(2048)
    length = sum(len(text) for text, _ in pieces)
    ends, places = [0], b""
    for text, single in [*pieces, (after, True)]:
        place = len(main)
        main += text.encode("cp1252" if single else "utf-16-le")
        main += bytes(len(main) % 2)
        ends.append(ends[-1] + len(text))
        places += struct.pack("<HIH", 0, place * 2 | 0x40000000 if single else place, 0)
    table = struct.pack(f"<{len(ends)}I", *ends) + places
    clx = b"\x01" + struct.pack("<H", 4) + b"\0\0\0\0" + b"\x02" + struct.pack("<I", len(table)) + table
    struct.pack_into("<H", main, 0, magic)
    struct.pack_into("<H", main, 0x0A, flags)
    struct.pack_into("<i", main, 0x4C, length)
    struct.pack_into("<II", main, 0x01A2, 64, len(clx))
    return container({"WordDocument": bytes(main), "1Table": bytes(64) + clx})


def test_word_97_text_in_pieces_of_both_widths() -> None:
    card = "\r".join([papers.TITLE, "Ingredients", *papers.GOODS, "Method", *papers.STEPS]) + "\r"
    data = word97([(card[:90], True), (card[90:], False)], after="Footnote: boil it.\r")
    found = read_bytes(data, "OLD.DOC")
    assert found.kind == "doc"
    assert parts(found.recipes[0][1]) == (papers.TITLE, papers.GOODS, papers.STEPS)
    assert "Footnote" not in found.recipes[0][1]


def test_word_97_fields_cells_and_breaks() -> None:
    card = "Tart\rIngredients\r200 g\x07barley\x07\x07½ tsp\x07salt\x07\x07Method\r"
    card += f"\x13 HYPERLINK x \x14{papers.STEPS[0]}\x15\r"
    card += "Bake for\x1f 20 minutes.\x0bServe.\r"
    made = parts(read_bytes(word97([(card, True)]), "a.doc").recipes[0][1])
    assert made == ("Tart", ["200 g barley", "½ tsp salt"], [papers.STEPS[0], "Bake for 20 minutes.", "Serve."])


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (word97([("x", True)], flags=0x0300), "encrypted"),
        (word97([("x", True)], magic=0xA5DC), "unknown-kind"),
        (container({"Workbook": b"x"}), "unknown-kind"),
        (word97([("x", True)])[:3000], "broken"),
        (word97([("\r\r", True)]), "empty"),
    ],
)
def test_word_files_that_give_nothing_say_why(data: bytes, code: str) -> None:
    with pytest.raises(Unreadable) as caught:
        read_bytes(data, "a.doc")
    assert caught.value.code == code
