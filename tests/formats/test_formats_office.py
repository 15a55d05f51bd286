"""Word and OpenDocument files: what is a title, a list, a row of a table, and what is left out."""

from __future__ import annotations

import papers
import pytest

from converter.formats import Unreadable, read_bytes
from converter.read.lines import layout
from converter.read.text import document


def only(data: bytes, name: str) -> str:
    found = read_bytes(data, name)
    assert len(found.recipes) == 1
    return found.recipes[0][1]


def parts(text: str) -> tuple[str, list[str], list[str]]:
    recipe = layout(document(text, name="it"))
    return recipe.title, [row.text for row in recipe.ingredients], [step.text for step in recipe.steps]


def test_headings_and_lists_by_style_give_the_parts_of_the_recipe() -> None:
    body = papers.docx_recipe(papers.TITLE, papers.GOODS, papers.STEPS)
    text = only(papers.docx(body), "a.docx")
    assert parts(text) == (papers.TITLE, papers.GOODS, papers.STEPS)
    assert "1. Heat the oven" in text
    assert "4. Bake for" in text


def test_a_file_named_doc_is_read_as_what_it_is() -> None:
    body = papers.docx_recipe(papers.TITLE, papers.GOODS, papers.STEPS)
    assert read_bytes(papers.docx(body), "OLD.DOC").kind == "docx"
    assert read_bytes(f"{papers.TITLE}\n\n{papers.STEPS[3]}\n".encode(), "CARD.TXT").kind == "text"
    pytest.importorskip("selectolax")
    pytest.importorskip("striprtf")
    page = f"<html><body><h1>Tea</h1><p>{papers.STEPS[0]}</p><p>{papers.STEPS[3]}</p></body></html>"
    assert read_bytes(page.encode(), "saved.doc").kind == "html"
    assert read_bytes(b"{\\rtf1 Tea\\par " + b"Simmer for 20 minutes.\\par}", "note.doc").kind == "rtf"


def test_bold_lines_are_headings_and_runs_are_joined() -> None:
    body = papers.para(papers.TITLE, bold=True) + papers.para("Ingredients", bold=True)
    body += f"<w:p>{papers.run('200 g pe')}{papers.run('arl barley')}</w:p>" + papers.para("salt")
    body += papers.para("Method", bold=True) + "".join(papers.para(step) for step in papers.STEPS)
    assert parts(only(papers.docx(body), "a.docx")) == (papers.TITLE, ["200 g pearl barley", "salt"], papers.STEPS)


def test_a_row_of_a_table_is_one_line_and_a_cell_of_paragraphs_stands_alone() -> None:
    rows = "".join(
        f"<w:tr><w:tc>{papers.para(amount)}</w:tc><w:tc>{papers.para(what)}</w:tc></w:tr>"
        for amount, what in (("200 g", "pearl barley"), ("½ tsp", "salt"))
    )
    body = papers.para(papers.TITLE) + papers.para("Ingredients") + f"<w:tbl>{rows}</w:tbl>" + papers.para("Method")
    body += "".join(papers.para(step) for step in papers.STEPS)
    assert parts(only(papers.docx(body), "a.docx"))[1] == ["200 g pearl barley", "½ tsp salt"]
    goods = papers.para("Ingredients") + "".join(papers.para(item) for item in papers.GOODS)
    steps = papers.para("Method") + "".join(papers.para(step) for step in papers.STEPS)
    side = f"<w:tbl><w:tr><w:tc>{goods}</w:tc><w:tc>{steps}</w:tc></w:tr></w:tbl>"
    assert parts(only(papers.docx(papers.para(papers.TITLE) + side), "a.docx")) == (
        papers.TITLE, papers.GOODS, papers.STEPS,
    )  # fmt: skip


def test_soft_breaks_tabs_and_text_boxes_keep_words_apart_and_once() -> None:
    broken = "<w:br/>".join(papers.run(item) for item in [papers.TITLE, "Ingredients", *papers.GOODS])
    cooked = "<w:br/>".join(papers.run(item) for item in ["Method", *papers.STEPS])
    box = papers.para("Keep the door shut.")
    inside = f"<w:txbxContent>{box}</w:txbxContent>"
    choices = f"<mc:Choice>{inside}</mc:Choice><mc:Fallback>{inside}</mc:Fallback>"
    twice = f'<w:p><w:r xmlns:mc="urn:mc"><mc:AlternateContent>{choices}</mc:AlternateContent></w:r></w:p>'
    text = only(papers.docx(f"<w:p>{broken}</w:p><w:p>{cooked}</w:p>{twice}"), "a.docx")
    assert parts(text)[1] == papers.GOODS
    assert text.count("Keep the door shut.") == 1
    tabbed = f"<w:p><w:r><w:t>200 g</w:t><w:tab/><w:t>barley</w:t></w:r></w:p>{papers.para(papers.STEPS[3])}"
    assert "200 g barley" in only(papers.docx(tabbed), "a.docx")


def test_deleted_words_and_headers_are_left_out_and_inserted_ones_kept() -> None:
    step = f"<w:p><w:del>{papers.run('Boil it. ')}</w:del><w:ins>{papers.run(papers.STEPS[3])}</w:ins></w:p>"
    text = only(papers.docx(papers.para("Tart") + step, members={"word/header1.xml": "<x>Page 1</x>"}), "a.docx")
    assert papers.STEPS[3] in text
    assert "Boil" not in text
    assert "Page 1" not in text


def test_two_recipes_in_one_document_are_parted_at_headings_and_at_page_breaks() -> None:
    both = papers.docx_recipe(papers.TITLE, papers.GOODS, papers.STEPS) + papers.docx_recipe(*papers.OTHER)
    found = read_bytes(papers.docx(both), "a.docx")
    assert [title for title, _ in found.recipes] == [papers.TITLE, "Plum Pot"]
    assert parts(found.recipes[1][1]) == papers.OTHER
    assert "Plum" not in found.recipes[0][1]
    page = '<w:r><w:br w:type="page"/></w:r>'
    plain = "".join(papers.para(line) for line in [papers.TITLE, *papers.GOODS, *papers.STEPS])
    plain += papers.para(papers.OTHER[0], before=page) + "".join(
        papers.para(line) for line in [*papers.OTHER[1], *papers.OTHER[2]]
    )
    assert [title for title, _ in read_bytes(papers.docx(plain), "a.docx").recipes] == [papers.TITLE, "Plum Pot"]


def test_odt_headings_lists_tables_and_spaces() -> None:
    goods = [item.replace(" ", "<text:s/>", 1) for item in papers.GOODS]
    body = f'<text:h text:outline-level="1">{papers.TITLE}</text:h><text:h text:outline-level="2">Ingredients</text:h>'
    body += "<text:list>" + "".join(f"<text:list-item><text:p>{item}</text:p></text:list-item>" for item in goods)
    body += '</text:list><text:h text:outline-level="2">Method</text:h><text:list text:style-name="L1">'
    body += "".join(f"<text:list-item><text:p>{step}</text:p></text:list-item>" for step in papers.STEPS)
    body += "</text:list>"
    styles = '<text:list-style style:name="L1"><text:list-level-style-number text:level="1"/></text:list-style>'
    text = only(papers.odt(body, styles=styles), "a.odt")
    assert parts(text) == (papers.TITLE, papers.GOODS, papers.STEPS)
    assert "2. Simmer the barley" in text
    table = "".join(
        f"<table:table-row><table:table-cell><text:p>{amount}</text:p></table:table-cell>"
        f"<table:table-cell><text:p>{what}</text:p></table:table-cell></table:table-row>"
        for amount, what in (("200 g", "pearl barley"), ("½ tsp", "salt"))
    )
    body = f"<text:p>{papers.TITLE}</text:p><text:p>Ingredients</text:p><table:table>{table}</table:table>"
    body += "<text:p>Method</text:p>" + "".join(f"<text:p>{step}</text:p>" for step in papers.STEPS)
    assert parts(only(papers.odt(body), "a.odt"))[1] == ["200 g pearl barley", "½ tsp salt"]


def test_odt_tracked_deletions_are_left_out() -> None:
    gone = "<text:tracked-changes><text:deletion><text:p>Boil it dry.</text:p></text:deletion></text:tracked-changes>"
    body = gone + f"<text:p>Tart</text:p><text:p>{papers.STEPS[3]}</text:p>"
    assert "Boil" not in only(papers.odt(body), "a.odt")


ENTITY = '<!DOCTYPE d [<!ENTITY a "{}"><!ENTITY b "&a;&a;&a;&a;&a;&a;&a;&a;&a;&a;">]>'


@pytest.mark.parametrize("make", [papers.docx, papers.odt])
def test_a_document_type_is_refused_before_anything_grows(make: object) -> None:
    data = make("<x/>", head=ENTITY.format("x" * 1000))  # type: ignore[operator]
    with pytest.raises(Unreadable) as caught:
        read_bytes(data, "a.docx" if make is papers.docx else "a.odt")
    assert caught.value.code == "entities"


def test_what_unpacks_without_end_is_refused() -> None:
    with pytest.raises(Unreadable) as caught:
        read_bytes(papers.docx(papers.para(" " * 9_000_000)), "a.docx")
    assert caught.value.code == "bomb"
    many = {f"x{number}": "" for number in range(500)}
    with pytest.raises(Unreadable) as caught:
        read_bytes(papers.docx(papers.para("Tart"), members=many), "a.docx")
    assert caught.value.code == "bomb"


def test_depth_damage_and_passwords_each_have_their_reason() -> None:
    whole = papers.docx(papers.docx_recipe(papers.TITLE, papers.GOODS, papers.STEPS))
    cases = {
        "too-deep": papers.docx("<w:x>" * 300 + "</w:x>" * 300),
        "truncated": whole[: len(whole) // 2],
        "broken": papers.docx("<w:p>"),
        "encrypted": b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600) + "EncryptedPackage".encode("utf-16-le"),
    }
    for code, data in cases.items():
        with pytest.raises(Unreadable) as caught:
            read_bytes(data, "a.docx")
        assert caught.value.code == code


def test_repeated_spaces_are_capped() -> None:
    body = '<text:p>Tart</text:p><text:p>Bake<text:s text:c="999999999"/>for 20 minutes.</text:p>'
    body += f"<text:p>{papers.STEPS[0]}</text:p>"
    assert len(only(papers.odt(body), "a.odt")) < 200
