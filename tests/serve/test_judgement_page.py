"""The judgement room: one line at a time, answers that last, two cooks at once, taking back, keys."""

from __future__ import annotations

import re
from concurrent.futures import ThreadPoolExecutor
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from converter.ledger import Decision, Ledger
from converter.review import Answer, Desk
from converter.serve.door import Door
from tests.serve.doorstep import PHONE, Cook, Opener, Server, cook, read_page
from tests.serve.household import CHICKEN_ROW, SIX, WITH, folder_of, said


@pytest.fixture
def family(tmp_path: Path, home: Path) -> Path:
    """DEST of six cards, three of them with lines alike."""
    return folder_of(SIX, tmp_path)


def other(family: Path) -> Cook:
    """A second browser on a page of its own on the same folder."""
    return cook(Door(folder=family))


def line(answer: Any) -> dict[str, str]:
    """The key of the line that is shown and the fields that its form sends whatever is answered."""
    (form,) = re.findall(r'<form class="answer".*?</form>', answer.text, re.S)
    key = re.search(r'action="/judgement/([0-9a-f.]+)"', form)
    assert key is not None
    hidden = re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)">', form)
    return {"key": key[1], **{name: unescape(value) for name, value in hidden if name != "token"}}


def answers(answer: Any) -> list[str]:
    return [unescape(one) for one in re.findall(r'<button [^>]*name="answer" value="([^"]*)"', answer.text)]


def give(client: Cook, shown: dict[str, str], said: str, **more: str) -> Any:
    fields = {name: value for name, value in shown.items() if name != "key"}
    return client.hand_in(f"/judgement/{shown['key']}", {**fields, "answer": said, **more})


def decision(family: Path, key: str) -> Decision | None:
    with Ledger.open(family) as ledger:
        return ledger.decision(key)


def undo(client: Cook, answer: Any) -> Any:
    """Press the first button that takes something back."""
    act = re.search(r'action="/judgement/undo".*?name="act" value="(\d+)"', answer.text, re.S)
    assert act is not None, said(answer)
    return client.hand_in("/judgement/undo", {"act": act[1]})


# ---------------------------------------------------------------- what is shown


def test_without_a_folder_it_says_where_single_recipes_are_decided(client: Cook) -> None:
    answer = client.get("/judgement")
    assert answer.status_code == 200
    assert "decided on that recipe’s own page" in said(answer)
    assert "undial serve --folder DEST" in said(answer)
    assert client.get("/judgement/lines").status_code == 404
    assert client.hand_in("/judgement/undo", {"act": "1"}).status_code == 404


def test_a_line_stands_with_its_neighbours_why_and_ways(family_client: Cook) -> None:
    answer = family_client.get("/judgement?find=apples")
    words = said(answer).replace(" ,", ",")
    assert answer.status_code == 200
    assert read_page(answer.text).faults == []
    assert len(answer.content) < 100_000
    assert "▲ Caution:" in words
    assert "Sausages with apples, step 2" in words
    assert "Heat the oven to 190°C." in words  # the line before
    assert "Put the sausages and the apples into a tin and bake for 40 minutes until brown." in words
    assert "Why: " in words  # a caution is no doubt
    assert "As proposed: in the moderate oven, on a high shelf, for about 40–55 minutes (look at 30)" in words
    assert re.search(r"1 in the moderate oven, .* for about \d+–\d+ minutes \(look at \d+\)", words)
    assert answers(answer)[0] == "take"
    assert {"leave", "later", "words"} <= set(answers(answer))
    assert len([one for one in answers(answer) if one.startswith("choice way/")]) >= 3


def test_cautions_come_first_and_what_is_left_is_counted(family_client: Cook, family: Path) -> None:
    left, lines = Desk(family).left(), Desk(family).lines().lines
    words = said(family_client.get("/judgement"))
    assert f"{left.total} lines wait for you: ▲ {left.cautions} cautions" in words
    assert f"Line 1 of {left.total}" in words
    levels = ["▲ Caution:" in said(family_client.get(f"/judgement?at={place}")) for place in range(len(lines))]
    assert levels == sorted(levels, reverse=True)
    assert levels.count(True) == left.cautions >= 4
    # Raised as a caution, though its kind is one for judgement.
    chicken = said(family_client.get("/judgement?find=chicken"))
    assert "▲ Caution: no safe core temperature is stated; poultry" in chicken


def test_the_whole_queue_can_be_gone_through(family_client: Cook, family: Path) -> None:
    waiting = [flag.key for flag in Desk(family).lines().lines]
    shown = [line(family_client.get(f"/judgement?at={place}"))["key"] for place in range(len(waiting))]
    assert shown == waiting
    assert line(family_client.get(f"/judgement?at={len(waiting) + 5}"))["key"] == waiting[0]
    for odd in ("-3", "x", "٣", "9" * 40):
        assert line(family_client.get(f"/judgement?at={odd}"))["key"] == waiting[0]


def test_finding_lines(family_client: Cook) -> None:
    answer = family_client.get("/judgement?find=sausages+onions")
    assert "Line 1 of 1 with “sausages onions”" in said(answer)
    assert "Put the sausages and the onions" in said(answer)
    none = family_client.get("/judgement?find=%3Cb%3Ezebra")
    assert none.status_code == 200
    assert "No open line has these words" in said(none)
    assert "<b>zebra" not in none.text
    listed = family_client.get("/judgement/lines?find=sausages")
    assert "3 lines with “sausages”" in said(listed)
    for goods in WITH:
        assert f"Sausages with {goods}, step 2" in said(listed).replace(" ,", ",")
    assert "notes" in said(listed)
    everything = family_client.get("/judgement/lines?notes=1")
    assert everything.text.count("● ") + everything.text.count("●</span>") > 0
    assert "The list is shorter now" in said(family_client.get("/judgement/lines?page=99"))


@pytest.mark.parametrize(
    ("address", "status"),
    [
        ("/judgement/" + "0" * 18 + "." + "0" * 8, 404),
        ("/judgement/" + "0" * 18 + "." + "0" * 8 + "/alike?answer=take", 404),
        ("/judgement/../../etc/passwd", 404),
        ("/judgement/%2e%2e%2fundial-ledger.sqlite", 404),
        ("/judgement/undo", 404),
        ("/judgement/" + "G" * 27, 404),
    ],
)
def test_what_is_no_line_is_not_there(family_client: Cook, address: str, status: int) -> None:
    assert family_client.get(address).status_code == status


# ---------------------------------------------------------------- deciding


def test_a_way_is_kept_and_the_recipe_written_again(family_client: Cook, family: Path) -> None:
    family_client.hand_in("/judgement/who", {"who": "  Maud\x00 of the   Mill "})
    first = family_client.get("/judgement?find=sausages")
    shown = line(first)
    title = re.search(r"Sausages with (\w+)", said(first))
    assert title is not None
    way = next(one for one in answers(first) if one.startswith("choice way/hot"))
    after = give(family_client, shown, way)
    assert after.status_code == 200
    assert "Kept for 1 line; 1 recipe written again." in said(after)
    assert line(after)["key"] != shown["key"]
    made = decision(family, shown["key"])
    assert made is not None
    assert (made.kind, made.code, made.who) == ("choice", way.partition(" ")[2], "Maud of the Mill")
    written = (family / "more" / f"sausages {title[1]}.md").read_text(encoding="utf-8")
    assert "in the hot oven" in written
    again = family_client.get(f"/judgement/{shown['key']}")
    assert "Decided by Maud of the Mill" in said(again)
    assert "your answer takes its place" in said(again)


@pytest.mark.parametrize("kind", ["take", "leave", "words"])
def test_the_other_answers(family_client: Cook, family: Path, kind: str) -> None:
    shown = line(family_client.get("/judgement?find=apples"))
    after = give(family_client, shown, kind, words="Bake the sausages <slowly> & well")
    assert "Kept for 1 line; 1 recipe written again." in said(after)
    made = decision(family, shown["key"])
    assert made is not None
    assert made.kind == kind
    assert made.words == ("Bake the sausages <slowly> & well." if kind == "words" else "")
    text = (family / "more" / "sausages apples.md").read_text(encoding="utf-8")
    assert ("slowly" in text) == (kind == "words")
    assert "<slowly>" not in family_client.get(f"/judgement/{shown['key']}").text


def test_a_line_put_off_comes_last_and_the_next_of_those_follows(family_client: Cook, family: Path) -> None:
    first = family_client.get("/judgement?find=sausages")
    keys = [flag.key for flag in Desk(family).lines(words="sausages").lines]
    after = give(family_client, line(first), "later")
    assert "Put off; it comes again at the end." in said(after)
    assert "1 of them put off" in said(after)
    assert line(after)["key"] == keys[1]
    give(family_client, line(after), "later")
    after = give(family_client, line(family_client.get("/judgement?find=sausages")), "later")
    assert line(after)["key"] in keys  # nothing but lines put off is left
    seen = []
    for _ in keys:
        seen.append(line(after)["key"])
        after = give(family_client, line(after), "later")
    assert sorted(seen) == sorted(keys)


def test_own_words_must_be_there(family_client: Cook, family: Path) -> None:
    shown = line(family_client.get("/judgement"))
    answer = give(family_client, shown, "words", words=" \n ")
    assert answer.status_code == 422
    assert "Your own words are missing" in said(answer)
    assert '<details class="own" id="own" open>' in answer.text
    assert decision(family, shown["key"]) is None


@pytest.mark.parametrize("answer", ["", "nonsense", "choice way/on-the-moon", "choice", "decide"])
def test_an_answer_that_there_is_not_is_refused(family_client: Cook, family: Path, answer: str) -> None:
    shown = line(family_client.get("/judgement"))
    told = give(family_client, shown, answer)
    assert told.status_code in (409, 422)
    assert decision(family, shown["key"]) is None


def test_too_many_words_are_refused(family_client: Cook, family: Path) -> None:
    shown = line(family_client.get("/judgement"))
    assert give(family_client, shown, "words", words="w" * 2_001).status_code == 400
    assert decision(family, shown["key"]) is None


def test_when_all_is_decided_it_says_so(family_client: Cook) -> None:
    answer = family_client.get("/judgement")
    for _ in range(30):
        if 'class="answer"' not in answer.text:
            break
        answer = give(family_client, line(answer), "take")
    assert "Nothing is left to decide" in said(answer)
    assert "Every line that asked for you has its answer." in said(answer)
    assert "Take it back" in said(answer)  # the last one, still
    assert "Nothing in them waits for you." in said(family_client.get("/folder"))


def test_nothing_is_changed_without_the_token(family_client: Cook, family: Path) -> None:
    shown = line(family_client.get("/judgement"))
    here = f"/judgement/{shown['key']}"
    for address in (here, f"{here}/alike", f"{here}/rule", "/judgement/undo", "/judgement/who"):
        for token in ("", "0" * 32):
            assert family_client.post(address, data={"answer": "take", "token": token}).status_code == 403
    assert decision(family, shown["key"]) is None


def test_markup_in_a_recipe_stays_words(tmp_path: Path, home: Path) -> None:
    bad = (
        "<script>alert(1)</script> Sausages\n\nIngredients\n\n- 8 sausages\n\nMethod\n\n1. Heat the oven to 190°C.\n"
        '2. Put the sausages "><img src=x onerror=alert(1)> into a tin and bake for 40 minutes until brown.\n'
    )
    client = cook(Door(folder=folder_of({"<b>bad</b>.txt": bad}, tmp_path)))
    answer = client.get("/judgement")
    assert "&lt;img src=x" in answer.text
    for address in ("/judgement", "/judgement/lines", "/folder", f"/judgement/{line(answer)['key']}/alike?answer=take"):
        found = client.get(address)
        assert found.status_code == 200
        assert read_page(found.text).faults == []
        assert "<b>bad" not in found.text
        assert "<img" not in found.text
        assert "<script>alert" not in found.text


# ---------------------------------------------------------------- the same for all


def test_the_same_for_all_is_shown_first_and_taken_back_as_one(family_client: Cook, family: Path) -> None:
    answer = family_client.get("/judgement?find=sausages")
    assert "The same for all 3 lines like this" in said(answer)
    shown = line(answer)
    way = next(one for one in answers(answer) if one.startswith("choice way/hot"))
    preview = give(family_client, shown, way, all="1")
    assert preview.url.path == f"/judgement/{shown['key']}/alike"
    assert "3 open lines are like this one" in said(preview)
    assert "Your answer: in the hot oven" in said(preview)
    for goods in WITH:
        assert f"Put the sausages and the {goods} into a tin" in said(preview)
    keys = [flag.key for flag in Desk(family).lines(words="sausages").lines]
    assert all(decision(family, key) is None for key in keys)

    kept = family_client.hand_in(
        f"/judgement/{shown['key']}/alike", {"answer": way, "mark": shown["mark"], "find": "sausages"}
    )
    assert "Kept for 3 lines; 3 recipes written again." in said(kept)
    assert "No open line has these words" in said(kept)
    assert [getattr(decision(family, key), "code", None) for key in keys] == [way.partition(" ")[2]] * 3
    back = undo(family_client, kept)
    assert "Taken back: 3 lines are as before; 3 recipes written again." in said(back)
    assert all(decision(family, key) is None for key in keys)


def test_the_preview_counts_what_is_open_now(family_client: Cook, family: Path) -> None:
    shown = line(family_client.get("/judgement?find=apples"))
    for goods in ("onions", "leeks"):
        give(family_client, line(family_client.get(f"/judgement?find={goods}+sausages")), "leave")
    preview = give(family_client, shown, "take", all="1")
    assert "1 open line is like this one" in said(preview)


@pytest.mark.parametrize("answer", ["words", "later", "choice way/on-the-moon", "nonsense"])
def test_some_answers_are_not_for_all(family_client: Cook, family: Path, answer: str) -> None:
    key = line(family_client.get("/judgement?find=apples"))["key"]
    assert family_client.get(f"/judgement/{key}/alike", params={"answer": answer}).status_code in (409, 422)


# ---------------------------------------------------------------- two at once


def test_of_two_who_decide_the_same_line_the_second_is_told(family_client: Cook, family: Path) -> None:
    second = other(family)
    family_client.hand_in("/judgement/who", {"who": "Maud"})
    second.hand_in("/judgement/who", {"who": "Enid"})
    mine, theirs = line(family_client.get("/judgement")), line(second.get("/judgement"))
    assert mine["key"] == theirs["key"]
    give(family_client, mine, "leave")
    told = give(second, theirs, "words", words="My own sausages")
    assert told.status_code == 409
    assert "Maud has decided this line meanwhile" in said(told)
    assert "left as it was" in said(told)
    assert "Your answer was not kept" in said(told)
    assert "My own sausages" in told.text  # nothing that was typed is lost
    made = decision(family, mine["key"])
    assert made is not None
    assert (made.kind, made.who) == ("leave", "Maud")
    fresh = line(told)
    assert fresh["mark"] != theirs["mark"]
    give(second, fresh, "words", words="My own sausages")
    made = decision(family, mine["key"])
    assert made is not None
    assert (made.kind, made.who, made.words) == ("words", "Enid", "My own sausages.")


def test_a_line_taken_back_meanwhile_is_told(family_client: Cook, family: Path) -> None:
    shown = line(family_client.get("/judgement"))
    kept = give(family_client, shown, "take")
    second = other(family)
    standing = line(second.get(f"/judgement/{shown['key']}"))
    undo(family_client, kept)
    told = give(second, standing, "leave")
    assert told.status_code == 409
    assert "taken back meanwhile" in said(told)
    assert decision(family, shown["key"]) is None


def test_two_browsers_at_once_lose_nothing(family_client: Cook, family: Path) -> None:
    waiting = [flag.key for flag in Desk(family).lines().lines]
    cooks = {"Maud": family_client, "Enid": other(family)}
    shown = {who: [line(one.get(f"/judgement/{key}")) for key in waiting] for who, one in cooks.items()}

    def all_of(who: str) -> list[tuple[str, int]]:
        cooks[who].hand_in("/judgement/who", {"who": who})
        kind = {"Maud": "leave", "Enid": "take"}[who]
        return [(one["key"], give(cooks[who], one, kind, at="").status_code) for one in shown[who]]

    with ThreadPoolExecutor(2) as pool:
        got = dict(zip(cooks, pool.map(all_of, cooks), strict=True))
    desk = Desk(family)
    assert desk.left().total == 0
    for who, kind in (("Maud", "leave"), ("Enid", "take")):
        for key, status in got[who]:
            assert status in (200, 409)
            made = [(by, one.kind) for by, _, _, one in desk.history(key) if one is not None]
            # Whoever was told that it is kept stands in the history; whoever was told that it is stale does not.
            assert ((who, kind) in made) == (status == 200), (who, key, status, made)
    assert sum(status == 200 for rows in got.values() for _, status in rows) >= len(waiting) - 2


def test_an_answer_to_a_line_whose_words_have_changed_is_told(family_client: Cook, family: Path) -> None:
    shown = line(family_client.get("/judgement?find=apples"))
    folder_of({"more/sausages apples.txt": SIX["more/sausages apples.txt"].replace("brown", "black")}, family.parent)
    told = give(family_client, shown, "take")
    assert told.status_code == 409
    assert "not kept" in said(told)
    assert decision(family, shown["key"]) is None


def test_what_was_decided_before_the_words_changed_is_a_suggestion(family_client: Cook, family: Path) -> None:
    answer = family_client.get("/judgement?find=apples")
    way = next(one for one in answers(answer) if one.startswith("choice way/hot"))
    give(family_client, line(answer), way)
    reworded = SIX["more/sausages apples.txt"].replace("brown", "well browned")
    folder_of({"more/sausages apples.txt": reworded}, family.parent)
    again = family_client.get("/judgement?find=apples")
    assert "The words have changed. Of “Put the sausages and the apples into a tin" in said(again)
    assert "As decided before the words changed" in said(again)


# ---------------------------------------------------------------- taking back


def test_an_act_can_be_taken_back_by_anyone_after_a_new_start(family_client: Cook, family: Path) -> None:
    output = family / "more" / "sausages apples.md"
    before = output.read_bytes()
    shown = line(family_client.get("/judgement?find=apples"))
    give(family_client, shown, "words", words="Do it my way")
    assert output.read_bytes() != before
    fresh = other(family)  # knows nothing of that act but what the ledger tells
    page = fresh.get("/judgement")
    assert "Done last" in said(page)
    assert "own words · no name" in said(page)
    back = undo(fresh, page)
    assert "Taken back: 1 line is as before" in said(back)
    assert output.read_bytes() == before
    assert decision(family, shown["key"]) is None


def test_undo_goes_from_one_act_to_the_one_before(family_client: Cook, family: Path) -> None:
    keys = []
    answer = family_client.get("/judgement?find=sausages")
    for _ in range(3):
        keys.append(line(answer)["key"])
        answer = give(family_client, line(answer), "leave")
    for key in reversed(keys):
        answer = undo(family_client, family_client.get("/judgement"))
        assert line(answer)["key"] == key
        assert decision(family, key) is None
    assert "Take back" not in said(family_client.get("/judgement"))


def test_what_was_decided_anew_is_not_taken_back(family_client: Cook, family: Path) -> None:
    shown = line(family_client.get("/judgement"))
    act = re.search(r"done=(\d+)", str(give(family_client, shown, "leave").url))
    assert act is not None
    give(other(family), line(family_client.get(f"/judgement/{shown['key']}")), "take")
    told = family_client.hand_in("/judgement/undo", {"act": act[1]})
    assert told.status_code == 409
    assert "Nothing was taken back: someone has decided" in said(told)
    made = decision(family, shown["key"])
    assert made is not None
    assert made.kind == "take"


def test_twice_taken_back_is_told(family_client: Cook) -> None:
    kept = give(family_client, line(family_client.get("/judgement")), "leave")
    undo(family_client, kept)
    told = undo(family_client, kept)
    assert told.status_code == 409
    assert "it was taken back already" in said(told)


@pytest.mark.parametrize("act", ["0", "77", "-1", "x", ""])
def test_there_is_no_such_act(family_client: Cook, act: str) -> None:
    told = family_client.hand_in("/judgement/undo", {"act": act})
    assert told.status_code == 409
    assert "Nothing was taken back" in said(told)


# ---------------------------------------------------------------- who, rules


def test_the_name_stays_in_the_browser_until_it_is_taken_out(family_client: Cook, family: Path) -> None:
    key = line(family_client.get("/judgement?at=2"))["key"]
    answer = family_client.hand_in("/judgement/who", {"who": "Zoë <3", "key": key, "at": "2"})
    assert answer.url.path == f"/judgement/{key}"
    assert 'name="who" value="Zoë &lt;3"' in answer.text
    assert 'name="who" value=""' in other(family).get("/judgement").text
    cleared = family_client.hand_in("/judgement/who", {"who": " "})
    assert 'name="who" value=""' in cleared.text
    assert 'name="who" value=""' in family_client.get("/judgement").text


def test_a_rule_of_the_house_is_made_of_a_decision(family_client: Cook, home: Path, family: Path) -> None:
    answer = family_client.get("/judgement?find=chicken")
    assert "Make it a rule of this house" not in said(answer)
    key = line(answer)["key"]
    refused = family_client.hand_in(f"/judgement/{key}/rule")
    assert refused.status_code == 409
    assert "No rule was made" in said(refused)
    way = next(one for one in answers(answer) if one.startswith("choice way/"))
    kept = give(family_client, line(answer), way)
    assert "Make it a rule of this house" in said(kept)
    made = family_client.hand_in(f"/judgement/{key}/rule")
    from converter.cli_parts import user_rules

    assert user_rules().is_relative_to(home)
    if made.status_code == 200:
        assert "A rule of this house is made: the rule house/" in said(made)
        assert "house/" in user_rules().read_text(encoding="utf-8")
    else:
        assert not user_rules().exists()
        pytest.fail(said(made)[:400])


def test_own_words_make_no_rule(family_client: Cook) -> None:
    answer = family_client.get("/judgement?find=chicken")
    kept = give(family_client, line(answer), "words", words="As it comes")
    assert "Make it a rule of this house" not in said(kept)
    assert family_client.hand_in(f"/judgement/{line(answer)['key']}/rule").status_code == 409


# ---------------------------------------------------------------- in a browser


def left(page: Page) -> int:
    found = re.match(r"(\d+) lines? waits?", page.locator("#left").inner_text())
    assert found is not None
    return int(found[1])


def test_everything_by_keys(family_server: Server, family: Path, opened: Opener) -> None:
    page = opened()
    page.goto(f"{family_server.address}/judgement?find=sausages")
    before = left(page)
    title = page.locator("#line-name")
    waiting = [flag.key for flag in Desk(family).lines(words="sausages").lines]
    assert len(waiting) == 3
    assert page.locator("[data-key=p]").get_attribute("aria-keyshortcuts") == "p"

    page.keyboard.press("1")
    expect(page.locator("#left")).to_contain_text(f"{before - 1} lines wait")
    made = decision(family, waiting[0])
    assert made is not None
    assert made.kind == "choice"
    expect(title).to_be_focused()
    expect(page.locator("body > [role=status]")).to_contain_text("Kept for 1 line; 1 recipe written again.")

    page.keyboard.press("u")
    expect(page.locator("#told")).to_contain_text("Taken back")
    assert decision(family, waiting[0]) is None
    page.goto(f"{family_server.address}/judgement?find=sausages")
    page.keyboard.press("n")
    expect(page.locator(".through p")).to_have_text("Line 2 of 3 with “sausages”")
    page.keyboard.press("b")
    expect(page.locator(".through p")).to_have_text("Line 1 of 3 with “sausages”")

    page.keyboard.press("w")
    expect(page.locator("#words")).to_be_focused()
    page.keyboard.type("Put it up high, sluplanb")  # letters in a field are letters
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    expect(page.locator("#told")).to_contain_text("Kept for 1 line")
    made = decision(family, waiting[0])
    assert made is not None
    assert made.words == "Put it up high, sluplanb."

    page.keyboard.press("s")
    expect(page.locator("#told")).to_contain_text("Put off")
    page.keyboard.press("l")
    expect(page.locator("#told")).to_contain_text("Kept for 1 line")
    made = decision(family, waiting[2])
    assert made is not None
    assert made.kind == "leave"
    page.keyboard.press("?")
    expect(page.locator("#keys")).to_have_attribute("open", "")
    page.keyboard.press("/")
    expect(page.locator("#find")).to_be_focused()
    page.keyboard.press("Escape")
    page.keyboard.press("p")
    expect(page.locator("#left")).to_contain_text(f"{before - 3} line")


def test_the_same_for_all_by_keys(family_server: Server, family: Path, opened: Opener) -> None:
    page = opened()
    page.goto(f"{family_server.address}/judgement?find=sausages")
    page.keyboard.press("a")
    expect(page.locator("input[name=all]")).to_be_checked()
    page.keyboard.press("p")
    expect(page.locator("h1")).to_have_text("The same for all?")
    assert page.locator(".alike li").count() == 3
    page.keyboard.press("a")
    expect(page.locator("#told")).to_contain_text("Kept for 3 lines")
    assert len(Desk(family).lines(words="sausages").lines) == 0
    page.go_back()
    expect(page.locator("h1")).to_have_text("The same for all?")
    page.go_back()
    expect(page.locator("h1")).to_have_text("Your judgement")


def test_keys_can_be_turned_off_and_stay_off(family_server: Server, family: Path, opened: Opener) -> None:
    page = opened()
    page.goto(f"{family_server.address}/judgement")
    before = left(page)
    page.locator("#keys summary").click()
    page.get_by_role("button", name="Single keys are on").click()
    for again in (False, True):
        if again:
            page.reload()
            page.locator("#keys summary").click()
        expect(page.get_by_role("button", name="Single keys are off")).to_be_visible()
        assert page.locator("[aria-keyshortcuts]").count() == 0
        for key in "p1ls":
            page.keyboard.press(key)
    page.wait_for_timeout(300)
    assert left(page) == before
    assert len(Desk(family).acts()) == 0


def test_the_way_to_the_contents_leaves_the_line_as_it_is(family_server: Server, opened: Opener) -> None:
    page = opened()
    page.goto(f"{family_server.address}/judgement")
    page.locator("#own summary").click()
    page.get_by_label("The line in your words").fill("Half a thought")
    page.evaluate("() => { location.hash = 'main'; }")
    page.wait_for_timeout(300)
    expect(page.get_by_label("The line in your words")).to_have_value("Half a thought")


def test_the_stale_line_is_told_in_the_page(family_server: Server, family: Path, opened: Opener, seen: Any) -> None:
    seen.expected.append("409")
    page, second = opened(), opened()
    for one, who in ((page, "Maud"), (second, "Enid")):
        one.goto(f"{family_server.address}/judgement")
        one.get_by_label("Who decides here").fill(who)
        one.get_by_role("button", name="Keep", exact=True).click()
        expect(one.get_by_label("Who decides here")).to_have_value(who)
    page.keyboard.press("l")
    expect(page.locator("#told")).to_contain_text("Kept for 1 line")
    second.keyboard.press("p")
    alert = second.get_by_role("alert")
    expect(alert).to_contain_text("Maud has decided this line meanwhile")
    expect(alert).to_be_focused()
    second.get_by_role("button", name="As proposed:").click()
    expect(second.locator("#told")).to_contain_text("Kept for 1 line")


def test_without_scripts_and_on_a_phone(family_server: Server, family: Path, opened: Opener) -> None:
    page = opened(js=False, size=PHONE)
    page.goto(f"{family_server.address}/judgement?find=apples")
    assert page.locator("#keys").is_hidden()
    page.locator("#own summary").click()
    page.get_by_label("The line in your words").fill("Bake the sausages at the top")
    page.get_by_role("button", name="Keep my words").click()
    expect(page.locator("#told")).to_contain_text("Kept for 1 line; 1 recipe written again.")
    page.get_by_role("button", name="Take it back").click()
    expect(page.locator("#told")).to_contain_text("Taken back")
    assert page.get_by_role("link", name="Sausages with apples").get_attribute("href", timeout=1000)


def test_a_server_that_has_ended_is_told_and_nothing_is_lost(
    family_server: Server, family: Path, opened: Opener, seen: Any
) -> None:
    seen.expected.append("ERR_CONNECTION_REFUSED")
    page = opened()
    page.goto(f"{family_server.address}/judgement?find=apples")
    page.locator("#own summary").click()
    page.get_by_label("The line in your words").fill("Typed with care")
    family_server.stop()
    page.get_by_role("button", name="Keep my words").click()
    expect(page.locator(".no-answer")).to_contain_text("The page does not answer; nothing was kept")
    expect(page.get_by_label("The line in your words")).to_have_value("Typed with care")


def test_a_line_leads_to_its_recipe(family_client: Cook, family: Path) -> None:
    answer = family_client.get("/judgement?find=chicken")
    assert f'href="/folder/recipes/{CHICKEN_ROW}"' in answer.text
    desk = Desk(family)
    desk.decide(line(answer)["key"], Answer("leave"), who="Maud")
    assert "by Maud" in said(family_client.get(f"/folder/recipes/{CHICKEN_ROW}"))
