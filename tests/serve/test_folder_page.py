"""The folder room: finding recipes, a recipe of the folder with its answers, a run that is watched and stopped."""

from __future__ import annotations

import json
import os
import re
import threading
import time
from functools import cache
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import expect

from converter.folder import work
from converter.folder.writing import held
from converter.ledger import FILE_NAME, Entry, KeptFlag, Ledger, Settings
from converter.review import Answer, Desk
from converter.serve import running
from converter.serve.catalogue import A_PAGE, Catalogue, Wish, wish
from converter.serve.door import Door
from converter.serve.running import Progress, Runs, runs
from tests.folder.cookery import converted, fill, setup
from tests.serve.doorstep import PHONE, Cook, Opener, Server, cook, read_page
from tests.serve.household import CHICKEN_ROW, THREE, folder_of, said


@pytest.fixture
def family(tmp_path: Path, home: Path) -> Path:
    """DEST of three cards; SRC is ``recipes`` beside it."""
    return folder_of(THREE, tmp_path)


def titles(answer: Any) -> list[str]:
    return re.findall(r'<a href="/folder/recipes/[0-9a-f]{16}">([^<]*)</a>', answer.text)


# ---------------------------------------------------------------- the list


def test_without_a_folder_it_says_how_to_start_with_one(client: Cook) -> None:
    answer = client.get("/folder")
    assert answer.status_code == 200
    assert "undial serve --folder DEST" in said(answer)
    assert "undial folder RECIPES DEST" in said(answer)
    for method, address in (("get", "/folder/run/events"), ("get", f"/folder/recipes/{CHICKEN_ROW}")):
        assert getattr(client, method)(address).status_code == 404
    assert client.hand_in("/folder/run").status_code == 404


def test_a_folder_without_a_ledger_is_told(home: Path, tmp_path: Path) -> None:
    empty = tmp_path / "empty"
    empty.mkdir()
    answer = cook(Door(folder=empty)).get("/folder")
    assert answer.status_code == 503
    assert "no ledger is kept here; undial folder makes one." in said(answer)


def test_every_recipe_stands_with_zones_time_flags_and_file(family_client: Cook) -> None:
    answer = family_client.get("/folder")
    assert answer.status_code == 200
    assert titles(answer) == ["Bean pot", "Chicken with leeks", "Oat biscuits"]
    rows = re.findall(r'<tr role="row"><th role="rowheader".*?</tr>', answer.text, re.S)
    words = [" ".join(unescape(re.sub(r"<[^>]+>", " ", row)).split()) for row in rows]
    assert "▲ 1 caution" in words[0]
    assert words[0].endswith("suppers/bean pot.txt")
    assert "▲ 1 caution" in words[1]
    assert "low oven" in words[1]
    assert "moderate oven" in words[2]
    assert re.search(r"\d+–\d+ min", words[2])
    assert "3 recipes for your cooker" in said(answer)
    assert read_page(answer.text).faults == []
    assert len(answer.content) < 100_000


@pytest.mark.parametrize(
    ("asked", "found"),
    [
        ("find=LEEKS", ["Chicken with leeks"]),
        ("find=suppers+pot", ["Bean pot"]),
        ("find=oats", ["Oat biscuits"]),  # in the recipe's words alone
        ("find=oats+leeks", []),
        ("zone=moderate+oven", ["Oat biscuits"]),
        ("zone=no+such+zone", []),
        ("flags=cautions", ["Bean pot", "Chicken with leeks"]),
        ("flags=none", ["Oat biscuits"]),
        ("time=30", ["Oat biscuits"]),
        ("time=more", ["Bean pot"]),
        ("time=more&find=oats", []),
        ("sort=quick", ["Oat biscuits", "Chicken with leeks", "Bean pot"]),
        ("sort=slow", ["Bean pot", "Chicken with leeks", "Oat biscuits"]),
        ("sort=file", ["Oat biscuits", "Bean pot", "Chicken with leeks"]),
        ("sort=open&flags=nonsense&time=9&page=77", ["Bean pot", "Chicken with leeks", "Oat biscuits"]),
        ("page=-1&sort=../../etc", ["Bean pot", "Chicken with leeks", "Oat biscuits"]),
    ],
)
def test_finding(family_client: Cook, asked: str, found: list[str]) -> None:
    answer = family_client.get(f"/folder?{asked}")
    assert answer.status_code == 200
    assert titles(answer) == found
    if not found:
        assert "No recipe has all that" in said(answer)


def test_what_was_asked_for_stands_in_the_form_again(family_client: Cook) -> None:
    answer = family_client.get("/folder", params={"find": 'leek" onx=<b>', "zone": "<i>zone", "sort": "slow"})
    assert 'value="leek&#34; onx=&lt;b&gt;"' in answer.text
    assert '<option value="&lt;i&gt;zone" selected>' in answer.text
    assert '<option value="slow" selected>' in answer.text
    assert "<b>" not in answer.text.partition("<main")[2]


def flag(number: int, name: str, level: str) -> KeptFlag:
    return KeptFlag(f"{number:018x}.00000000", name, level, 1, "words", 0, "", "", "message", line=f"a line {number}")


def entry(number: int, *, title: str = "", flags: tuple[KeptFlag, ...] = (), **more: Any) -> Entry:
    return Entry(
        f"card {number}.txt", 1, "0" * 64, "stamp", f"card {number}.md", title or f"Tart no. {number:03}",
        more.get("zones", ("low oven",)), more.get("minutes", (20.0, 30.0)), more.get("status", "converted"),
        more.get("reason", ""), more.get("text", "Bake the tart."), flags,
    )  # fmt: skip


def ledger_with(dest: Path, *entries: Entry) -> Catalogue:
    dest.mkdir(exist_ok=True)
    with Ledger.open(dest) as ledger:
        ledger.remember(Settings(str(dest / "gone")))
        for one in entries:
            ledger.keep(one)
    return Catalogue(dest)


def test_a_long_list_is_paged(home: Path, tmp_path: Path) -> None:
    dest = tmp_path / "many"
    ledger_with(dest, *(entry(number) for number in range(2 * A_PAGE + 7)))
    client = cook(Door(folder=dest))
    pages = [titles(client.get(f"/folder?find=tart&page={number}")) for number in (1, 2, 3)]
    assert [len(page) for page in pages] == [A_PAGE, A_PAGE, 7]
    assert [title for page in pages for title in page] == [f"Tart no. {number:03}" for number in range(2 * A_PAGE + 7)]
    assert titles(client.get("/folder?find=tart&page=9")) == pages[2]
    first = client.get("/folder?find=tart").text
    assert 'rel="next" href="/folder?find=tart&amp;page=2"' in first
    assert 'rel="prev"' not in first


def test_accents_and_capitals_do_not_matter(tmp_path: Path) -> None:
    made = ledger_with(tmp_path / "dest", entry(1, title="CRÈME brûlée"), entry(2, title="Straße", text="Grüße"))
    contents = made.contents()
    assert [one.title for one in contents.find(Wish(find="creme BRULEE")).recipes] == ["CRÈME brûlée"]
    assert [one.title for one in contents.find(Wish(find="strasse")).recipes] == ["Straße"]


def test_flags_count_by_the_more_urgent_level_until_they_are_decided(tmp_path: Path) -> None:
    raised = flag(1, "poultry-core", "caution")  # its kind is a judgement
    judged, noted = flag(2, "no-oven-time", "judgement"), flag(3, "estimate", "note")
    made = ledger_with(tmp_path / "dest", entry(1, flags=(raised, judged, noted)))
    (recipe,) = made.contents().recipes.values()
    assert (recipe.cautions, recipe.judgements, recipe.notes, recipe.decided) == (1, 1, 1, 0)
    with Ledger.open(tmp_path / "dest") as ledger:
        from converter.ledger import Decision

        ledger.decide([Decision(raised.key, "take"), Decision(judged.key, "later")])
    (recipe,) = made.contents().recipes.values()
    assert (recipe.cautions, recipe.judgements, recipe.notes, recipe.decided) == (0, 1, 1, 1)


def test_an_address_asks_for_nothing_that_is_not_known() -> None:
    assert wish({}) == Wish()
    assert wish({"page": "٣", "sort": "nope", "flags": "x", "time": "1", "find": "  a   b "}) == Wish(find="a b")
    assert wish({"page": "12", "sort": "slow", "flags": "none", "time": "60"}) == Wish("", "", "none", "60", "slow", 12)


def test_what_was_not_converted_is_listed_with_its_reason(home: Path, tmp_path: Path) -> None:
    src, dest = tmp_path / "src", tmp_path / "dest"
    fill(src, 2)
    (src / "list.txt").write_text("milk, eggs, string", encoding="utf-8")
    (tmp_path / "secret.txt").write_text("not yours", encoding="utf-8")
    (src / "out.txt").symlink_to(tmp_path / "secret.txt")
    converted(src, dest)
    words = said(cook(Door(folder=dest)).get("/folder"))
    assert "2 files were not converted" in words
    assert "for you. 2 files were not converted" in words or "decide . 2 files were not converted" in words
    assert words.index("2 files were not converted") < words.index("Words in name")  # seen without scrolling
    assert "list.txt no recipe was found in it" in words
    assert "out.txt it is a link that leads out of the folder, and is not followed" in words


# ---------------------------------------------------------------- one recipe


@pytest.mark.parametrize(
    "address",
    [
        "/folder/recipes/../../etc/passwd",
        "/folder/recipes/..%2f..%2fetc%2fpasswd",
        "/folder/recipes/%2e%2e/%2e%2e/undial-ledger.sqlite",
        "/folder/recipes/0123456789abcdef",
        "/folder/recipes/0123456789ABCDEF",
        "/folder/recipes/" + "a" * 5000,
        "/folder/recipes/oat%20biscuits.txt",
        f"/folder/recipes/{CHICKEN_ROW}%00",
        f"/folder/recipes/{CHICKEN_ROW}/file/../../../etc/passwd",
        f"/folder/recipes/{CHICKEN_ROW}/file/..%2f..%2fundial-ledger.sqlite",
        f"/folder/recipes/{CHICKEN_ROW}/file/exe",
    ],
)
def test_only_rows_of_the_ledger_are_served(family_client: Cook, address: str) -> None:
    answer = family_client.get(address)
    assert answer.status_code == 404
    assert "root:" not in answer.text
    assert "SQLite" not in answer.text


def test_a_recipe_has_its_page_sheet_copy_files_and_stove(family_client: Cook) -> None:
    page = f"/folder/recipes/{CHICKEN_ROW}"
    assert page in family_client.get("/folder?find=chicken").text
    answer = family_client.get(page)
    assert answer.status_code == 200
    assert "in the low oven" in said(answer)
    assert 'href="/folder"' in answer.text
    for more in ("/sheet", "/copy", "/stove"):
        found = family_client.get(page + more)
        assert found.status_code == 200, more
        assert "leeks" in found.text
        assert read_page(found.text).faults == []
    saved = family_client.get(f"{page}/file/markdown")
    assert saved.headers["content-disposition"].startswith("attachment")
    assert saved.text.startswith("# Chicken with leeks")


def forms(words: str) -> list[dict[str, str]]:
    """The hidden fields of every form that hands in answers."""
    return [
        dict(re.findall(r'name="(\w+)" value="([^"]*)"', part))
        for part in re.findall(r'<form[^>]*action="/folder/recipes/[^"]*/answers".*?<button', words, re.S)
    ]


def test_an_answer_on_the_recipe_goes_into_the_ledger_and_the_written_recipe(family_client: Cook, family: Path) -> None:
    page, output = f"/folder/recipes/{CHICKEN_ROW}", family / "suppers" / "chicken and leeks.md"
    before = output.read_text(encoding="utf-8")
    family_client.hand_in("/judgement/who", {"who": "Maud"})
    (fields,) = forms(family_client.get(page).text)
    answer = family_client.hand_in(
        f"{page}/answers", {**fields, "answer": "words", "words": "Roast the chicken as Granny did"}
    )
    assert answer.url.path == page
    assert "Roast the chicken as Granny did." in said(answer)
    assert "Roast the chicken as Granny did." in output.read_text(encoding="utf-8")
    with Ledger.open(family) as ledger:
        made = ledger.decision(fields["key"])
    assert made is not None
    assert (made.kind, made.who) == ("words", "Maud")
    assert titles(family_client.get("/folder?flags=none")) == ["Chicken with leeks", "Oat biscuits"]

    (again,) = forms(answer.text)
    assert again["mark"] != fields["mark"]
    back = family_client.hand_in(f"{page}/answers", {**again, "answer": "back"})
    assert back.status_code == 200
    assert "Granny" not in said(back)
    assert output.read_text(encoding="utf-8") == before


def test_an_answer_to_a_line_that_another_decided_is_told(family_client: Cook, family: Path) -> None:
    page = f"/folder/recipes/{CHICKEN_ROW}"
    (fields,) = forms(family_client.get(page).text)
    Desk(family).decide(fields["key"], Answer("leave"), who="Enid")
    answer = family_client.hand_in(f"{page}/answers", {**fields, "answer": "take"})
    assert answer.status_code == 409
    assert "Enid has decided this line meanwhile" in said(answer)
    assert "left as it was" in said(answer)
    with Ledger.open(family) as ledger:
        made = ledger.decision(fields["key"])
    assert made is not None
    assert (made.kind, made.who) == ("leave", "Enid")


@pytest.mark.parametrize("answer", ["later", "choice:", "choice:no-such-way", "drop table", ""])
def test_no_answer_of_another_kind_is_kept(family_client: Cook, family: Path, answer: str) -> None:
    page = f"/folder/recipes/{CHICKEN_ROW}"
    (fields,) = forms(family_client.get(page).text)
    assert family_client.hand_in(f"{page}/answers", {**fields, "answer": answer}).status_code in (400, 409)
    with Ledger.open(family) as ledger:
        assert len(ledger.decisions()) == 0


# ---------------------------------------------------------------- a run


def events(words: str) -> list[tuple[str, dict[str, Any]]]:
    return [(name, json.loads(data)) for name, data in re.findall(r"event: (\w+)\ndata: (.*)\n\n", words)]


def finished(client: Cook, *, seconds: float = 60) -> Progress:
    ends = time.monotonic() + seconds
    while not (now := runs(client.app).progress).over:
        assert time.monotonic() < ends, now
        time.sleep(0.05)
    return now


def test_a_run_converts_what_is_new_and_tells_how_it_goes(family_client: Cook, family: Path) -> None:
    src = family.parent / "recipes"
    fill(src / "new", 12)
    (src / "list.txt").write_text("milk, eggs, string", encoding="utf-8")
    answer = family_client.hand_in("/folder/run", follow_redirects=False)
    assert (answer.status_code, answer.headers["location"]) == (303, "/folder#run")
    stream = family_client.get("/folder/run/events")
    assert stream.headers["content-type"].startswith("text/event-stream")
    told = events(stream.text)
    assert [name for name, _ in told[:-1]] == ["progress"] * (len(told) - 1)
    name, last = told[-1]
    assert (name, last["phase"], last["done"], last["total"]) == ("over", "done", 16, 16)
    counts = [one["done"] for _, one in told]
    assert counts == sorted(counts)
    assert last["failed"] == 1
    assert last["last"][0]["source"] == "list.txt"
    assert last["last"][0]["reason"].startswith("no recipe was found in it")
    assert last["told"] == "14 recipes converted anew, 3 files stood as they were, 1 not converted."
    page = family_client.get("/folder")
    assert last["told"] in said(page)
    assert "1 file was not converted" in said(page)
    assert titles(family_client.get("/folder?find=baked+leeks+no.+8"))
    assert events(family_client.get("/folder/run/events").text)[-1][0] == "over"  # a late listener is not kept waiting


def test_a_run_is_stopped_and_goes_on_later(family_client: Cook, family: Path) -> None:
    fill(family.parent / "recipes" / "new", 60)
    family_client.hand_in("/folder/run")
    page = family_client.get("/folder")
    assert 'action="/folder/run/stop"' in page.text
    assert "Look again" in said(page)
    family_client.hand_in("/folder/run")  # a second one is not begun
    assert runs(family_client.app).progress.number == 1
    family_client.hand_in("/folder/run/stop")
    ended = finished(family_client)
    assert ended.phase == "stopped"
    assert ended.words.startswith("Stopped")
    assert "the next run goes on from there" in ended.words
    page = family_client.get("/folder")
    assert "Go on converting" in said(page)
    family_client.hand_in("/folder/run")
    assert finished(family_client).phase == "done"
    assert "Convert again" in said(family_client.get("/folder"))
    with Ledger.open(family) as ledger:
        assert sum(1 for _ in ledger.entries()) == 3 + 66


def test_a_run_keeps_what_was_decided(family_client: Cook, family: Path) -> None:
    (fields,) = forms(family_client.get(f"/folder/recipes/{CHICKEN_ROW}").text)
    family_client.hand_in(
        f"/folder/recipes/{CHICKEN_ROW}/answers", {**fields, "answer": "words", "words": "Roast as Granny did"}
    )
    output = family / "suppers" / "chicken and leeks.md"
    output.unlink()
    family_client.hand_in("/folder/run")
    assert finished(family_client).words.startswith("1 recipe converted anew, 2 files stood as they were")
    assert "Roast as Granny did." in output.read_text(encoding="utf-8")


def test_the_run_says_that_the_recipes_are_gone(family_client: Cook, family: Path) -> None:
    src = family.parent / "recipes"
    src.rename(src.with_name("elsewhere"))
    page = family_client.get("/folder")
    assert "The folder of the recipes is not there" in said(page)
    assert "Convert again" not in said(page)
    assert titles(page) == ["Bean pot", "Chicken with leeks", "Oat biscuits"]
    answer = family_client.hand_in("/folder/run")
    assert answer.status_code == 409
    assert "The folder of the recipes is not there" in said(answer)


def test_a_run_beside_another_says_so(family_client: Cook, family: Path) -> None:
    with held(family.resolve()):
        family_client.hand_in("/folder/run")
        ended = finished(family_client)
    assert ended.phase == "trouble"
    assert "another undial is at work in this folder" in ended.words
    assert "another undial is at work in this folder" in said(family_client.get("/folder"))


@pytest.mark.parametrize("address", ["/folder/run", "/folder/run/stop", f"/folder/recipes/{CHICKEN_ROW}/answers"])
def test_nothing_is_changed_without_the_token(family_client: Cook, address: str) -> None:
    family_client.get("/folder")
    for fields in ({}, {"token": ""}, {"token": "0" * 32}):
        assert family_client.post(address, data=fields).status_code == 403
    assert runs(family_client.app).progress == Progress()


def test_a_page_that_ends_stops_its_run(family_client: Cook, family: Path) -> None:
    fill(family.parent / "recipes" / "new", 60)
    family_client.hand_in("/folder/run")
    running.stop(family_client.app)
    assert runs(family_client.app).progress.phase in ("stopped", "done")
    assert [thread.name for thread in threading.enumerate() if thread.name == "undial-folder"] == []


def test_a_fault_of_ours_ends_the_run_and_is_told(family: Path) -> None:
    def broken() -> Any:
        raise RuntimeError("secret words")

    run = Runs(family)
    assert run.begin(broken, src=family.parent / "recipes", cooker="")
    run.close()
    assert run.progress.phase == "trouble"
    assert run.progress.words == "undial itself failed (RuntimeError); what was finished is kept."
    assert run.begin(lambda: setup(), src=family.parent / "nowhere", cooker="")
    run.close()
    assert run.progress.phase == "trouble"
    assert "nowhere" in run.progress.words


def test_a_program_that_was_renewed_meanwhile_is_told(monkeypatch: pytest.MonkeyPatch) -> None:
    digests = iter("aab")
    monkeypatch.setattr(work, "program", cache(lambda: next(digests)))
    assert work.program() == "a"
    assert not running._changed()
    assert running._changed()  # now the files give b


@pytest.mark.parametrize(
    ("progress", "words"),
    [
        (Progress("looking"), "Looking for the files …"),
        (Progress("running", 0, 1), "0 of 1 file done."),
        (Progress("running", 30, 1200, 10.0, 117.0), "30 of 1,200 files done, 10 a second, about 2 minutes left."),
        (Progress("running", 30, 60, 0.4, 75.0), "30 of 60 files done, about a minute left."),
        (Progress("running", 55, 60, 2.4, 2.1), "55 of 60 files done, 2 a second, a moment left."),
        (Progress("running", 55, 90, 2.0, 17.5), "55 of 90 files done, 2 a second, about 20 seconds left."),
        (Progress("stopping", 55, 90, 2.0, 17.5), "Stopping; what is finished is kept."),
        (Progress("done", words="All done."), "All done."),
    ],
)
def test_progress_in_words(progress: Progress, words: str) -> None:
    assert progress.told == words


def test_a_ledger_that_is_gone_is_told(family_client: Cook, family: Path) -> None:
    assert family_client.get("/folder").status_code == 200
    for name in os.listdir(family):
        if name.startswith(FILE_NAME):
            (family / name).unlink()
    answer = family_client.get("/folder")
    assert answer.status_code == 503
    assert "no ledger is kept here" in said(answer)
    assert "Traceback" not in answer.text


# ---------------------------------------------------------------- in a browser


def test_the_list_follows_as_one_types(family_server: Server, opened: Opener) -> None:
    page = opened()
    page.goto(f"{family_server.address}/folder")
    page.get_by_label("Words in name, file or recipe").type("chick", delay=30)
    expect(page.locator("#found-name")).to_have_text("1 recipe found")
    assert page.locator("#found tbody tr").count() == 1
    assert page.url.endswith("/folder?find=chick")
    assert page.evaluate("document.activeElement.id") == "find"
    expect(page.locator("body > [role=status]")).to_have_text("1 recipe found")
    page.reload()
    assert page.locator("#found tbody tr").count() == 1
    page.get_by_label("Flags").select_option("none")
    expect(page.locator("#found-name")).to_have_text("No recipe has all that")
    page.get_by_role("link", name="Show all recipes").click()
    assert page.locator("#found tbody tr").count() == 3


def test_the_same_without_scripts(family_server: Server, opened: Opener) -> None:
    page = opened(js=False, size=PHONE)
    page.goto(f"{family_server.address}/folder")
    page.get_by_label("Words in name, file or recipe").fill("leeks")
    page.get_by_role("button", name="Show").click()
    assert page.get_by_role("row").count() == 2
    page.get_by_role("link", name="Chicken with leeks").click()
    assert page.get_by_role("heading", level=1).inner_text() == "Chicken with leeks"


def test_a_run_is_watched_and_stopped_in_the_browser(family_server: Server, family: Path, opened: Opener) -> None:
    fill(family.parent / "recipes" / "new", 300)
    page = opened()
    page.goto(f"{family_server.address}/folder?find=oat")
    page.get_by_role("button", name="Convert again").click()
    expect(page.locator("#run-told")).to_have_text(re.compile(r"[1-9]\d* of 303 files done"), timeout=30_000)
    assert page.get_by_role("link", name="Look again").count() == 0
    page.get_by_role("button", name="Stop").click()
    page.wait_for_selector("#run-over")
    assert page.locator("#run-over").inner_text().startswith("Stopped")
    page.get_by_role("button", name="Go on converting").click()
    page.wait_for_selector("#run-over", timeout=60_000)
    assert "converted anew" in page.locator("#run-over").inner_text()
    assert page.get_by_role("button", name="Convert again").is_visible()


def test_the_page_ends_in_the_midst_of_a_run(family_server: Server, family: Path, opened: Opener, seen: Any) -> None:
    seen.expected += ["ERR_CONNECTION", "ERR_INCOMPLETE", "ERR_EMPTY"]
    src = family.parent / "recipes"
    fill(src / "new", 1000)  # every tenth has two recipes
    page = opened()
    page.goto(f"{family_server.address}/folder")
    page.get_by_role("button", name="Convert again").click()
    expect(page.locator("#run-told")).to_have_text(re.compile(r"[1-9]\d+ of 1,003 files done"), timeout=30_000)
    begun = time.monotonic()
    family_server.stop(seconds=20)
    assert time.monotonic() - begun < 12
    expect(page.locator("#run-told")).to_contain_text("does not answer")
    assert "Traceback" not in family_server.said
    with Ledger.open(family, create=False) as ledger:
        kept = sum(1 for _ in ledger.entries())
    assert 3 < kept < 1103
    converted(src, family)
    with Ledger.open(family, create=False) as ledger:
        assert sum(1 for _ in ledger.entries()) == 1103
