"""The room for one recipe: what goes in, what is shown, answers, files, and what must never get through."""

from __future__ import annotations

import io
import json
import re
import zipfile
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from converter.files import checked
from converter.pipeline import convert
from converter.place import cookers
from converter.serve import intake, kitchen
from converter.write.forms import render
from converter.write.parts import in_units
from tests.serve.doorstep import BAKE, BISCUITS, CHICKEN, Cook, read_page

ROAST = """Beef for Sunday

Serves 6

Ingredients

- 1.8 kg topside of beef, tied
- 2 tbsp dripping

Method

1. Roast at 180°C for 90 minutes.
2. Rest for 20 minutes.
"""


def _paste(client: Cook, text: str, **fields: str) -> Any:
    """Paste a recipe and return the page it leads to."""
    reply = client.hand_in("/recipes", {"text": text, **fields})
    assert reply.status_code == 200, reply.text
    assert re.fullmatch(r"/recipes/[\w-]{16}", reply.url.path)
    return reply


def _below(text: str) -> str:
    """Return a recipe without its title."""
    return text.partition("\n\n")[2]


def _words(reply: Any) -> str:
    return " ".join("".join(read_page(reply.text).words).split())


def _step(reply: Any, number: int) -> str:
    """Return the HTML of one step."""
    found = re.search(rf'<li class="step" id="step-{number}".*?\n</li>\n(?=<li class="step"|</ol>)', reply.text, re.S)
    assert found is not None
    return found[0]


def _now(reply: Any, number: int) -> str:
    """Return the words of a written step, without those for listeners and without tags."""
    found = re.search(r'<p class="words"[^>]*>(.*?)</p>', _step(reply, number), re.S)
    assert found is not None
    bare = re.sub(r'<span class="only-read">.*?</span>', "", found[1])
    return unescape(re.sub(r"<[^>]+>", "", bare))


def _shown(text: str, **how: str) -> kitchen.Shown:
    return kitchen.shown(text, **how)  # type: ignore[arg-type]


# ---------------------------------------------------------------- taking in


def test_a_paste_is_shown_as_the_command_writes_it(client: Cook) -> None:
    page = _paste(client, CHICKEN, cooker="three-oven", units="c")
    wanted = convert(checked(CHICKEN, name="x"), cooker=cookers.load("three-oven"), units="c")
    for step in wanted.steps:
        assert _now(page, step.number) == step.rewritten
        old = re.search(r'<div class="old">.*?<p class="words"[^>]*>(.*?)</p>', _step(page, step.number), re.S)
        if step.edits:
            assert old is not None
            bare = re.sub(r'<span class="only-read">.*?</span>', "", old[1])
            assert unescape(re.sub(r"<[^>]+>", "", bare)) == step.original
        else:
            assert "unchanged" in _step(page, step.number)
    assert read_page(page.text).faults == []
    for flag in wanted.flags:
        assert in_units(flag.message, "c")[1:] in _words(page)


def test_changes_are_told_by_tags_words_and_marks(client: Cook) -> None:
    step = _step(_paste(client, BISCUITS), 3)
    assert re.search(r'<ins><span class="only-read">new: </span>[^<]*moderate oven', step)
    assert re.search(r'<del><span class="only-read">taken out: </span>[^<]*20', step)
    css = client.get("/assets/recipe.css").text
    assert re.search(r"^ins \{[^}]*underline", css, re.M)
    assert re.search(r"^del \{[^}]*line-through", css, re.M)


def test_every_placement_has_its_reason_at_hand(client: Cook) -> None:
    page, shown = _paste(client, CHICKEN), _shown(CHICKEN)
    for placement in shown.result.placements:
        step = shown.result.reading.phases[placement.phase - 1].step
        rule = shown.setup.rules.get(placement.rule)
        assert rule is not None
        assert rule.summary in unescape(_step(page, step))  # in words; the id is for those who look at the source
        assert f'data-rule="{placement.rule}"' in _step(page, step)
        assert f">{placement.rule}<" not in page.text
        assert placement.why[1:] in unescape(_step(page, step))
        for reason in placement.reasons:
            assert in_units(reason, "both")[1:].replace("->", "→") in unescape(_step(page, step))


def test_a_roast_has_its_core_curve_as_a_picture_with_a_name(client: Cook) -> None:
    assert _shown(ROAST).result.curves
    page = _paste(client, ROAST)
    assert '<svg role="img" aria-labelledby="curve-1-title curve-1-desc"' in page.text
    assert "A thermometer decides." in page.text
    assert "<svg role" not in _paste(client, BISCUITS).text.partition("<main")[2]


def test_what_is_no_recipe_is_said_above_the_field_that_keeps_its_words(client: Cook) -> None:
    reply = client.hand_in("/recipes", {"text": "Good morning </textarea><b>you", "cooker": "two-oven", "units": "f"})
    assert reply.status_code == 422
    assert "This is not a recipe: no method was found. undial needs the steps too" in _words(reply)
    assert "Good morning &lt;/textarea&gt;&lt;b&gt;you</textarea>" in reply.text
    assert '<option value="two-oven" selected>' in reply.text
    assert '<option value="f" selected>' in reply.text
    assert 'role="alert"' in reply.text


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ("", "nothing in the field"),
        (" \n\t ", "nothing in the field"),
        ("Pie\n\nBake at 180°C for 20 minutes. " + "a" * 50_000, "a word of 5,000 signs or more"),
        ("Bake for 20 minutes.\n" * 50_000, "at most 60,000 are read"),
    ],
)
def test_what_cannot_be_read_is_said_in_one_sentence(client: Cook, text: str, words: str) -> None:
    reply = client.hand_in("/recipes", {"text": text})
    assert reply.status_code == 422
    assert words in _words(reply)
    assert len(reply.content) < 700_000


def test_another_cooker_and_other_degrees_are_put_to_the_same_recipe(client: Cook) -> None:
    page = _paste(client, CHICKEN, cooker="four-oven", units="both")
    again = client.hand_in(page.url.path + "/again", {"cooker": "two-oven", "units": "f"})
    assert again.url.path == page.url.path
    assert "Cooker two ovens" in _words(again)
    assert "two-oven" not in _words(again)
    assert "moderate oven" not in _now(again, 3) + _now(again, 4)
    assert not re.search(r"\d °C", " ".join(_now(again, number) for number in range(1, 6)))
    assert client.hand_in(page.url.path + "/again", {"cooker": "/etc/passwd", "units": "f"}).status_code == 422


def test_a_cooker_that_is_gone_is_told_and_another_can_be_chosen(client: Cook, tmp_path: Path) -> None:
    profile = tmp_path / "own iron.yaml"
    profile.write_text(cookers.builtin_path("four-oven").read_text(encoding="utf-8").replace("four-oven", "own iron"))
    cookers.remember(profile)
    assert "own iron" in _words(_paste(client, BISCUITS))
    built_in = _paste(client, BISCUITS, cooker="two-oven").url.path
    profile.unlink()
    front = client.get("/")
    assert front.status_code == 200
    assert "gone" in _words(front)
    refused = client.hand_in("/recipes", {"text": BISCUITS, "cooker": ""})
    assert refused.status_code == 409
    assert BISCUITS.split("\n")[0] in refused.text
    assert _paste(client, BISCUITS, cooker="three-oven").status_code == 200
    assert client.get(built_in).status_code == 200


def test_the_source_of_a_web_page_is_read_as_one(client: Cook) -> None:
    steps = "".join(f"<li>{line}</li>" for line in ("Beat the eggs.", "Bake at 180°C for 20 minutes."))
    source = (
        "<!DOCTYPE html><html><head><title>x</title><script>var oven = 1;</script></head><body><h1>Egg bake</h1>"
        f"<h2>Ingredients</h2><ul><li>6 eggs</li><li>50 g cheese</li></ul><h2>Method</h2><ol>{steps}</ol></body></html>"
    )
    page = _paste(client, source)
    assert "Egg bake" in _words(page)
    assert "moderate oven" in _now(page, 2)
    assert "var oven" not in page.text


def test_several_recipes_in_one_paste_are_all_kept_and_listed_in_order(client: Cook) -> None:
    both = f"# Oat biscuits\n\n{_below(BISCUITS)}\n\n\n# Leek bake\n\n{_below(BAKE)}"
    reply = client.hand_in("/recipes", {"text": both})
    assert reply.url.path.startswith("/recipes/several/")
    found = re.findall(r'<a href="(/recipes/[\w-]{16})"><bdi>([^<]*)', reply.text)
    assert [name for _, name in found] == ["Oat biscuits", "Leek bake"]
    assert "Melt the butter" in _words(client.get(found[0][0]))
    assert "Fry the leeks" in _words(client.get(found[1][0]))
    assert client.get("/recipes/several/nothing").status_code == 404


@pytest.mark.parametrize("name", [name for name, _ in intake.SAMPLES])
def test_each_sample_can_be_tried(client: Cook, name: str) -> None:
    reply = client.hand_in("/recipes", {"sample": name})
    assert reply.status_code == 200
    assert "<ins>" in reply.text
    assert client.hand_in("/recipes", {"sample": "../README.md"}).status_code == 404


def _docx(text: str) -> bytes:
    body = "".join(f"<w:p><w:r><w:t>{line}</w:t></w:r></w:p>" for line in text.split("\n"))
    space = 'xmlns:w="http://schemas.openxmlformats.org/wordprocessingml/2006/main"'
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w") as parts:
        kind = "application/vnd.openxmlformats-officedocument.wordprocessingml.document.main+xml"
        parts.writestr(
            "[Content_Types].xml",
            '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types">'
            f'<Override PartName="/word/document.xml" ContentType="{kind}"/></Types>',
        )
        parts.writestr("word/document.xml", f"<w:document {space}><w:body>{body}</w:body></w:document>")
    return made.getvalue()


@pytest.mark.parametrize(
    ("name", "data"),
    [
        ("biscuits.txt", BISCUITS.encode("utf-16")),
        ("biscuits.docx", _docx(BISCUITS)),
        ("../../etc/biscuits.html", f"<html><body><pre>{BISCUITS}</pre></body></html>".encode()),
        ("no ending", BISCUITS.encode("cp1252")),
    ],
)
def test_a_file_of_any_kind_is_read(client: Cook, name: str, data: bytes) -> None:
    reply = client.hand_in("/recipes", {}, files={"file": (name, data)})
    assert reply.status_code == 200, _words(reply)
    assert "Oat biscuits" in _words(reply)
    assert "moderate oven" in _now(reply, 3)


@pytest.mark.parametrize(
    ("name", "data", "words"),
    [
        ("song.mp3", b"ID3\x04\x00\x00" + bytes(range(256)) * 40, "song.mp3 could not be read"),
        ("cut.docx", _docx(BISCUITS)[:150], "could not be read"),
        ("empty.txt", b"", "could not be read: it is empty"),
        ("letter.txt", b"Dear aunt, thank you for the socks. They are warm.", "no recipe was found in it"),
    ],
)
def test_a_file_that_gives_no_recipe_is_told_with_its_reason(client: Cook, name: str, data: bytes, words: str) -> None:
    reply = client.hand_in("/recipes", {}, files={"file": (name, data)})
    assert reply.status_code == 422
    assert words in _words(reply)


# ---------------------------------------------------------------- what must not get through


HOSTILE = """<script>alert(1)</script> & "Pie"

- 2 eggs <img src=x onerror=alert(1)>
- 200 g flour {{ 7 * 7 }} {% raw %}

1. Bake </textarea></p><script>alert(2)</script> at 180°C for 20 minutes until "golden" onload=alert(3).
2. \u202eelba tsomla\u202c stir the cream \u2067 at 80°C for 2 minutes.
"""


def test_markup_in_a_recipe_is_words(client: Cook) -> None:
    page = _paste(client, HOSTILE)
    for address in ("", "/sheet", "/copy"):
        reply = client.get(page.url.path + address)
        read = read_page(reply.text)
        assert read.faults == [], address
        assert "script" not in read.tags[read.tags.index("main") : -1][:-1] or read.tags.count("script") == 1
        assert "img" not in read.tags
        assert "<script>alert(2)</script>" in _words(reply)
        assert "{{ 7 * 7 }}" in _words(reply)
    assert "&lt;script&gt;alert(1)" in client.get("/").text  # the list of the pasted ones


def test_a_recipe_written_from_the_right_keeps_its_direction_apart(client: Cook) -> None:
    page = _paste(client, HOSTILE)
    assert '<p class="words" dir="auto">' in page.text
    assert '<h1 dir="auto">' in page.text
    for quote in re.findall(r"<q[^>]*>(.*?)</q>", page.text, re.S):
        assert not re.search("[\u202a-\u202e\u2066-\u2069]", quote)


def test_nothing_changes_without_the_pages_own_token(client: Cook) -> None:
    page = _paste(client, BAKE)
    key = _shown(BAKE).flags[0].key
    for path, fields in (
        ("/recipes", {"text": BISCUITS}),
        (page.url.path + "/answers", {"key": key, "answer": "take"}),
        (page.url.path + "/again", {"cooker": "two-oven"}),
        (page.url.path + "/forget", {}),
        ("/recipes/forget", {}),
    ):
        assert client.post(path, data={**fields, "token": "0" * 32}).status_code == 403
    assert client.get(page.url.path).status_code == 200


def test_an_unknown_address_tells_nothing(client: Cook) -> None:
    for path in ("/recipes/AAAAAAAAAAAAAAAA", "/recipes/../../etc/passwd", "/recipes/%2e%2e%2fpasted.sqlite"):
        assert client.get(path).status_code == 404
    for end in ("/sheet", "/copy", "/file/markdown"):
        assert client.get(f"/recipes/AAAAAAAAAAAAAAAA{end}").status_code == 404


# ---------------------------------------------------------------- flags and answers


def _open_flag(text: str, *, with_ways: bool = True) -> tuple[kitchen.Shown, Any]:
    shown = _shown(text)
    found = next(
        kept
        for real, kept in zip(shown.result.flags, shown.flags, strict=True)
        if real.level == "judgement" and bool(shown.ways(kept)) == with_ways
    )
    return shown, found


def test_flags_stand_under_their_step_with_their_ways_as_buttons(client: Cook) -> None:
    shown, flag = _open_flag(BAKE)
    step = _step(_paste(client, BAKE), flag.step)
    assert f'id="flag-{flag.key}"' in step
    assert "◆" in step
    assert "Your judgement" in step
    for way in shown.ways(flag):
        assert f'value="choice:{way.code}"' in step
        assert way.words[1:] in unescape(step)
    for value in ("take", "leave", "words"):
        assert f'<button name="answer" value="{value}">' in step


def test_a_choice_rewrites_the_step_and_can_be_taken_back(client: Cook) -> None:
    shown, flag = _open_flag(BAKE)
    way = shown.ways(flag)[0]
    page = _paste(client, BAKE)
    before = _now(page, flag.step)
    reply = client.hand_in(
        page.url.path + "/answers", {"key": flag.key, "answer": f"choice:{way.code}"}, follow_redirects=False
    )
    assert reply.status_code == 303
    assert reply.headers["location"] == f"{page.url.path}#step-{flag.step}"
    after = client.get(page.url.path)
    assert _now(after, flag.step) != before
    assert way.moves[0].label in _now(after, flag.step)
    assert "Decided" in _step(after, flag.step)
    back = client.hand_in(page.url.path + "/answers", {"key": flag.key, "answer": "back"})
    assert _now(back, flag.step) == before
    assert f'value="choice:{way.code}"' in _step(back, flag.step)


def test_own_words_stand_as_they_were_written(client: Cook) -> None:
    _, flag = _open_flag(BAKE)
    page = _paste(client, BAKE)
    mine = "Slide it <low> into the hot oven & watch it"
    reply = client.hand_in(page.url.path + "/answers", {"key": flag.key, "answer": "words", "words": mine})
    assert mine in _now(reply, flag.step)
    assert mine in client.get(page.url.path + "/file/text").text.replace("\n    ", " ").replace("\n   ", " ")


def test_a_line_can_be_left_as_the_recipe_has_it(client: Cook) -> None:
    shown, flag = _open_flag(BAKE)
    reply = client.hand_in(_paste(client, BAKE).url.path + "/answers", {"key": flag.key, "answer": "leave"})
    assert flag.line in _now(reply, flag.step)
    assert flag.line not in next(step.rewritten for step in shown.result.steps if step.number == flag.step)


@pytest.mark.parametrize(
    ("fields", "status"),
    [
        ({"answer": "eat"}, 400),
        ({"answer": "choice:"}, 400),
        ({"answer": "take:way/low"}, 400),
        ({}, 400),
        ({"answer": "choice:way/no-such"}, 422),
        ({"answer": "words", "words": "  "}, 422),
        ({"answer": "words", "words": "x" * 1_001}, 400),
        ({"answer": "take", "key": "0123456789abcdef01.01234567"}, 409),
    ],
)
def test_an_answer_that_does_not_fit_is_not_kept(client: Cook, fields: dict[str, str], status: int) -> None:
    _, flag = _open_flag(BAKE)
    page = _paste(client, BAKE)
    reply = client.hand_in(page.url.path + "/answers", {"key": flag.key, **fields})
    assert reply.status_code == status
    assert 'role="alert"' in reply.text
    assert "Decided" not in _words(client.get(page.url.path))


def test_cautions_stand_on_top_and_at_their_step_and_no_answer_takes_them_away(client: Cook) -> None:
    text = CHICKEN.replace("cover and roast for 1 hour", "cover and cook in a very slow oven, 90°C, for 8 hours")
    shown = _shown(text)
    cautions = [kept for real, kept in zip(shown.result.flags, shown.flags, strict=True) if real.level == "caution"]
    assert cautions
    page = _paste(client, text)
    for flag in cautions:
        assert f'href="#flag-{flag.key}"' in page.text.partition('<dl class="start">')[0]
        assert "▲" in _step(page, flag.step)
    reply = client.hand_in(page.url.path + "/answers", {"key": cautions[0].key, "answer": "take"})
    assert f'href="#flag-{cautions[0].key}"' in reply.text
    assert "Decided" in _step(reply, cautions[0].step)


# ---------------------------------------------------------------- files, sheet, copy, forgetting


@pytest.mark.parametrize("form", ["markdown", "html", "jsonld", "text"])
def test_a_saved_file_is_what_the_command_writes(client: Cook, form: str) -> None:
    page = _paste(client, CHICKEN, cooker="two-oven", units="c")
    reply = client.get(f"{page.url.path}/file/{form}")
    assert reply.text == render(convert(checked(CHICKEN, name="x"), cooker=cookers.load("two-oven"), units="c"), form)
    assert reply.headers["content-disposition"].startswith('attachment; filename="chicken-with-leeks.')
    if form == "jsonld":
        assert json.loads(reply.text)["@type"] == "Recipe"
    assert client.get(f"{page.url.path}/file/exe").status_code == 404


@pytest.mark.parametrize("title", ["/", "..", "Crème brûlée", 'a"b\\c', "пирог", "x" * 300])
def test_a_file_has_a_name_of_its_own_whatever_the_title(client: Cook, title: str) -> None:
    page = _paste(client, f"{title}\n\n{_below(BISCUITS)}")
    told = client.get(f"{page.url.path}/file/markdown").headers["content-disposition"]
    assert re.fullmatch(r"attachment; filename=\"[a-z0-9-]+\.md\"; filename\*=UTF-8''[\w%-]+\.md", told)
    assert len(told) < 600


def test_the_sheet_has_the_recipe_and_no_form(client: Cook) -> None:
    page = _paste(client, BAKE)
    sheet = client.get(page.url.path + "/sheet")
    shown = _shown(BAKE)
    for step in shown.result.steps:
        assert step.rewritten in _words(sheet)
    for item in shown.result.reading.recipe.ingredients:
        assert item.text in _words(sheet)
    assert "form" not in read_page(sheet.text).tags


def test_the_text_to_copy_is_in_one_field(client: Cook) -> None:
    page = _paste(client, CHICKEN)
    reply = client.get(page.url.path + "/copy")
    field = re.search(r"<textarea[^>]*readonly[^>]*>\n(.*?)</textarea>", reply.text, re.S)
    assert field is not None
    assert unescape(field[1]) == client.get(page.url.path + "/file/text").text


def test_forgetting_one_and_all(client: Cook) -> None:
    first, second, third = (_paste(client, text).url.path for text in (BISCUITS, CHICKEN, BAKE))
    assert client.hand_in(first + "/forget").url.path == "/"
    assert client.get(first).status_code == 404
    assert client.get(second).status_code == 200
    assert "Chicken with leeks" in client.get("/").text
    client.hand_in("/recipes/forget")
    assert client.get(second).status_code == client.get(third).status_code == 404
    assert "Chicken with leeks" not in client.get("/").text


def test_a_page_is_small(client: Cook, home: Path) -> None:
    for text in (CHICKEN, BAKE, ROAST):
        page = _paste(client, text)
        loads = [client.get(path) for path in read_page(page.text).loads]
        assert all(one.status_code == 200 for one in loads)
        assert len(page.content) + sum(len(one.content) for one in loads) < 100_000
