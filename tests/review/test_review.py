"""The review: what is shown, what a decision does to the output, undo, the same for all, answers from a file."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from converter.cli import cli
from converter.cli_parts import user_rules
from converter.folder import Setup
from converter.ledger import Ledger, LedgerError
from converter.model import Placement, Reading
from converter.place import rules
from converter.place.cookers import builtin_path, load
from converter.review import Answer, Choice, Desk, Done, Stale, screen
from converter.review import desk as desk_module
from tests.review.sittings import convert_all, done, heated, heated_in, kept_entries, texts, write_cakes


def test_an_item_shows_line_neighbours_proposal_and_computed_ways(desk: Desk) -> None:
    item = heated(desk)
    assert item.line.startswith("Bake at 180°C for")
    assert item.before == "Spoon into a lined tin."
    assert item.after == "Cool in the tin."
    assert "minutes" in item.proposal
    assert item.choices
    assert all(move.zone and move.minutes is not None for choice in item.choices for move in choice.moves)
    words = " ".join(screen.shown(item).split())
    assert all(f" {choice.number} {choice.words}" in words for choice in item.choices)


def test_a_choice_rewrites_the_output_at_once_and_undo_brings_it_back(dest: Path, desk: Desk) -> None:
    before = texts(dest)
    item = heated(desk)
    choice = item.choices[0]
    made = done(desk.decide(item.flag.key, Answer("choice", choice.code), who="Ann", mark=item.mark))
    after = texts(dest)
    assert made.outputs == (item.output,)
    assert [name for name in after if after[name] != before[name]] == [item.output]
    assert choice.words.split(" for ")[0] in after[item.output]
    assert desk.act_of(item.flag.key) == made.act
    assert done(desk.undo(made.act)).outputs == made.outputs
    assert desk.act_of(item.flag.key) is None
    assert texts(dest) == before
    assert [(act.what, act.title, act.who) for act in desk.acts()] == [
        ("undo", item.title, ""), ("decide", item.title, "Ann"),
    ]  # fmt: skip


def test_own_words_and_leaving_it(dest: Path, desk: Desk) -> None:
    item = heated(desk)
    made = done(desk.decide(item.flag.key, Answer("words", words=" Bake where\nMother always did ")))
    assert "Spoon into a lined tin. Bake where Mother always did. Cool in the tin." in texts(dest)[item.output]
    done(desk.undo(made.act))
    done(desk.decide(item.flag.key, Answer("leave")))
    assert item.line in texts(dest)[item.output]


def test_a_newer_answer_takes_the_place_of_the_older_in_the_output(dest: Path, desk: Desk) -> None:
    before = texts(dest)
    item = heated(desk)
    done(desk.decide(item.flag.key, Answer("words", words="Bake where Mother always did.")))
    item = desk.item(item.flag.key)
    assert item is not None
    done(desk.decide(item.flag.key, Answer("take"), mark=item.mark))
    now = texts(dest)[item.output]
    assert "Mother" not in now
    steps = [line for line in before[item.output].splitlines() if "Spoon into a lined tin" in line]
    assert steps[0] in now


def test_answers_that_do_not_fit_are_refused(desk: Desk) -> None:
    key = heated(desk).flag.key
    for answer, words in (
        (Answer("maybe"), "unknown kind"), (Answer("words", words=" "), "own words are missing"),
        (Answer("choice", "way/none"), "no way 'way/none'"),
    ):  # fmt: skip
        with pytest.raises(LedgerError, match=words):
            desk.decide(key, answer)
    with pytest.raises(LedgerError, match="one line"):
        desk.decide_all(key, Answer("words", words="x"))
    assert desk.acts() == ()


def test_the_same_for_all_is_previewed_then_decides_every_line_of_the_rule_and_food(desk: Desk) -> None:
    item = heated(desk)
    alike = desk.preview(item.flag.key, examples=1)
    assert alike is not None
    assert (alike.count, len(alike.examples), item.like) == (2, 1, 2)
    told: list[tuple[int, int]] = []
    made = done(
        desk.decide_all(item.flag.key, Answer("choice", item.choices[0].code), told=lambda *now: told.append(now))
    )
    assert made.recipes == 2
    assert told == [(1, 2), (2, 2)]
    alike = desk.preview(item.flag.key)
    assert alike is not None
    assert alike.count == 0
    done(desk.undo(made.act))
    alike = desk.preview(item.flag.key)
    assert alike is not None
    assert alike.count == 2


def test_the_same_for_all_leaves_open_what_cannot_have_that_way(desk: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    item = heated(desk)
    real = desk_module.choices_of

    def ways(reading: Reading, placement: Placement, setup: Setup, **more: Any) -> tuple[Choice, ...]:
        return () if reading.recipe.title != item.title else real(reading, placement, setup, **more)

    monkeypatch.setattr(desk_module, "choices_of", ways)
    made = done(desk.decide_all(item.flag.key, Answer("choice", item.choices[0].code)))
    assert (made.recipes, made.skipped) == (1, 1)
    alike = desk.preview(item.flag.key)
    assert alike is not None
    assert [flag.source == item.flag.source for flag in alike.examples] == [False]


def test_open_lines_come_in_parts_and_by_words(desk: Desk) -> None:
    every = desk.lines()
    assert every.total == len(every.lines) == desk.left().total > 1
    parts = [desk.lines(start=at, many=1).lines for at in range(every.total)]
    assert tuple(flag for part in parts for flag in part) == every.lines
    found = desk.lines(words="friday BAKE")
    assert found.total == len(found.lines) > 0
    assert {flag.source for flag in found.lines} == {"Friday cake.txt"}
    assert desk.lines(words="100%").total == 0


def test_later_comes_last_and_is_counted(desk: Desk) -> None:
    item = desk.next()
    assert item is not None
    done(desk.decide(item.flag.key, Answer("later"), mark=item.mark))
    assert desk.left().later == 1
    assert desk.lines().lines[-1].key == item.flag.key
    following = desk.next(skip={item.flag.key})
    assert following is None or following.flag.key != item.flag.key
    done(desk.decide(item.flag.key, Answer("take")))
    assert desk.left().later == 0


def test_a_stale_answer_is_told_and_keeps_nothing(dest: Path, desk: Desk) -> None:
    item = heated(desk)
    key, mark = item.flag.key, item.mark
    ben = done(desk.decide(key, Answer("leave"), who="Ben", mark=mark))
    for late in (desk.decide(key, Answer("take"), mark=mark), desk.decide(key, Answer("take"))):
        assert isinstance(late, Stale)
        assert late.why == "decided"
        assert "Ben has decided" in late.message
        assert late.standing is not None
    now = desk.item(key)
    assert now is not None
    done(desk.undo(ben.act))
    late = desk.decide(key, Answer("take"), mark=now.mark)
    assert isinstance(late, Stale)
    assert late.why == "taken-back"
    done(desk.decide(key, Answer("take"), who="Ann", mark=mark))
    assert len(desk.history(key)) == 3
    late = desk.undo(ben.act)
    assert isinstance(late, Stale)


def test_an_answer_to_words_that_have_changed_is_told(dest: Path, tmp_path: Path, desk: Desk) -> None:
    item = heated(desk)
    done(desk.decide(item.flag.key, Answer("leave"), who="Ann"))
    recipe = tmp_path / "recipes" / item.flag.source
    recipe.write_text(recipe.read_text(encoding="utf-8").replace("until risen", "until well risen"), encoding="utf-8")
    convert_all(tmp_path / "recipes", dest)
    late = desk.decide(item.flag.key, Answer("take"), mark=item.mark)
    assert isinstance(late, Stale)
    assert late.why == "gone"
    again = heated_in(desk, item.flag.source)
    assert again.standing is None
    assert again.suggestion is not None
    assert (again.suggestion.kind, again.suggestion.who) == ("leave", "Ann")
    assert "before its words changed" in screen.shown(again)


def test_another_cooker_since_makes_an_answer_stale(dest: Path, tmp_path: Path, desk: Desk) -> None:
    item = heated(desk)
    convert_all(tmp_path / "recipes", dest, Setup(load("four-oven"), rules.load()), "four-oven")
    late = desk.decide(item.flag.key, Answer("take"), mark=item.mark)
    assert isinstance(late, Stale)
    assert late.why in ("changed", "gone")


def test_what_the_review_writes_is_what_folder_writes(dest: Path, tmp_path: Path, desk: Desk) -> None:
    for number, flag in enumerate(desk.lines().lines):
        made = desk.decide(flag.key, Answer(("take", "leave")[number % 2]), who="Ann")
        assert isinstance(made, Done | Stale)
    written, entries = texts(dest), kept_entries(dest)
    report = convert_all(tmp_path / "recipes", dest)
    assert report.converted == 0
    for path in dest.glob("*cake.md"):
        path.unlink()
    assert convert_all(tmp_path / "recipes", dest).converted == 2
    assert texts(dest) == written
    assert kept_entries(dest) == entries


def test_the_households_own_cooker_counts_in_review_folder_and_convert(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    src, dest, runner = tmp_path / "recipes", tmp_path / "converted", CliRunner()
    write_cakes(src)

    def folder() -> None:
        asked = ["folder", str(src), str(dest), "--cooker", "two-oven", "--jobs", "1"]
        subprocess.run([sys.executable, "-c", "from converter.cli import main; main()", *asked], check=True)

    folder()
    plain = texts(dest)
    made = runner.invoke(cli, ["cooker", "reading", "low-oven", "middle", "125", "--cooker", "two-oven"])
    made2 = runner.invoke(cli, ["cooker", "reading", "hot-oven", "middle", "245", "--cooker", "two-oven"])
    assert (made.exit_code, made2.exit_code) == (0, 0), made.output + made2.output
    desk = Desk(dest)
    assert desk.setup().measured
    for flag in desk.lines(notes=True).lines:
        desk.decide(flag.key, Answer("take"), who="Ann")
    reviewed = texts(dest)
    assert reviewed != plain
    by_itself = runner.invoke(cli, ["convert", str(src / "Monday cake.txt"), "--cooker", "two-oven"])
    assert by_itself.stdout == reviewed["Monday cake.md"]
    for path in dest.glob("*cake.md"):
        path.unlink()
    folder()
    assert texts(dest) == reviewed


def test_an_output_that_cannot_be_written_is_said_and_the_decision_kept(dest: Path, desk: Desk) -> None:
    item = heated(desk)
    (dest / item.output).unlink()
    (dest / item.output).mkdir()
    made = desk.decide(item.flag.key, Answer("leave"))
    assert isinstance(made, Done)
    assert made.outputs == ()
    assert "the decision is kept" in made.trouble[0]
    assert desk.decisions().find(item.flag.key) is not None


def test_answers_from_a_file_and_the_list_as_json(dest: Path, tmp_path: Path) -> None:
    runner = CliRunner()
    made = runner.invoke(cli, ["review", str(dest), "--list", "--to", "json"])
    listed = json.loads(made.stdout)["flags"]
    row = next(row for row in listed if row["choices"])
    file = tmp_path / "answers.json"
    file.write_text(json.dumps([{"key": row["key"], "kind": "choice", "choice": 1}]), encoding="utf-8")
    made = runner.invoke(cli, ["review", str(dest), "--decide", str(file), "--who", "Ben"])
    assert made.exit_code == 0, made.output
    again = runner.invoke(cli, ["review", str(dest), "--decide", str(file)])
    assert again.exit_code == 1
    assert "Ben has decided" in again.output
    left = json.loads(runner.invoke(cli, ["review", str(dest), "--list", "--to", "json"]).stdout)["flags"]
    assert row["key"] not in {one["key"] for one in left}


def test_a_caution_stays_in_the_output(tmp_path: Path) -> None:
    src = tmp_path / "in"
    src.mkdir()
    (src / "bird.txt").write_text(
        "Bird\n\nIngredients\n\n- 1 chicken, 1.5 kg\n\nMethod\n\n1. Roast at 180°C for 90 minutes.\n", encoding="utf-8"
    )
    dest = tmp_path / "out"
    convert_all(src, dest)
    desk = Desk(dest)
    item = desk.next()
    assert item is not None
    assert item.flag.level == "caution"
    done(desk.decide(item.flag.key, Answer("take")))
    with Ledger.open(dest) as ledger:
        assert item.flag.message.split(";")[0][:30] in (dest / "bird.md").read_text(encoding="utf-8")
        found = ledger.entry("bird.txt", 1)
        assert found is not None
        assert item.flag.key in {flag.key for flag in found.flags if flag.level == "caution"}


def test_a_rule_of_the_house_passes_the_check(dest: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "config"))
    desk = Desk(dest, user_rules=user_rules())
    item = heated(desk)
    done(desk.decide(item.flag.key, Answer("choice", item.choices[0].code)))
    user_rules().parent.mkdir(parents=True, exist_ok=True)
    told = desk.house_rule(item.flag.key, item.choices[0].code, who="Ann")
    name = told.split()[2]
    assert name.startswith("house/")
    made = CliRunner().invoke(cli, ["check"])
    assert made.exit_code == 0, made.output
    own = [rule for rule in rules.load(user_rules()).rules if rule.own]
    assert [(rule.id, len(rule.examples)) for rule in own] == [(name, 2)]
    assert name in {rule.id for rule in desk.setup().rules.rules}


def test_a_single_recipe_honours_the_decisions_of_its_folder(
    dest: Path, desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    item = heated(desk)
    done(desk.decide(item.flag.key, Answer("words", words="Bake where Mother always did.")))
    recipe = tmp_path / "recipes" / item.flag.source
    runner = CliRunner()

    def converted(*given: str) -> str:
        made = runner.invoke(cli, ["convert", *given, "--cooker", "two-oven"])
        assert made.exit_code == 0, made.output
        return str(made.stdout)

    assert "Mother" in converted(str(recipe))
    monkeypatch.chdir(tmp_path / "recipes")
    assert "Mother" in converted(recipe.name)
    (tmp_path / "other").mkdir()
    monkeypatch.chdir(tmp_path / "other")
    assert "Mother" in converted(f"../recipes/{recipe.name}")
    (tmp_path / "other" / "link.txt").symlink_to(recipe)
    assert "Mother" in converted("link.txt")
    (tmp_path / "linked").symlink_to(tmp_path / "recipes")
    assert "Mother" in converted(f"../linked/{recipe.name}")
    deep = tmp_path / "recipes" / "a" / "b" / "c" / "d" / "e" / "f" / "moved.txt"
    deep.parent.mkdir(parents=True)
    deep.write_bytes(recipe.read_bytes())
    assert "Mother" in converted(str(deep))
    away = tmp_path / "elsewhere" / "deep" / "deeper" / "deepest" / "renamed.txt"
    away.parent.mkdir(parents=True)
    away.write_bytes(recipe.read_bytes())
    assert "Mother" not in converted(str(away))
    assert "Mother" in converted(str(away), "--decisions", str(dest))
    wrong = runner.invoke(cli, ["convert", str(away), "--decisions", str(away.parent)])
    assert wrong.exit_code == 2


def test_of_two_folders_the_one_for_the_cooker_counts(dest: Path, desk: Desk, tmp_path: Path) -> None:
    item = heated(desk)
    other = tmp_path / "another"
    own = tmp_path / "mine.yaml"
    own.write_text(builtin_path("two-oven").read_text(encoding="utf-8"), encoding="utf-8")
    convert_all(tmp_path / "recipes", other, Setup(load(own), rules.load()), str(own))
    done(desk.decide(item.flag.key, Answer("words", words="Bake as in the one kitchen.")))
    theirs = heated_in(Desk(other), item.flag.source)
    done(Desk(other).decide(theirs.flag.key, Answer("words", words="Bake as in the other kitchen.")))
    for cooker, words in (("two-oven", "the one kitchen"), (str(own), "the other kitchen")):
        recipe = str(tmp_path / "recipes" / item.flag.source)
        assert words in CliRunner().invoke(cli, ["convert", recipe, "--cooker", cooker]).stdout


def test_a_decision_goes_with_a_file_that_is_renamed_and_moved(dest: Path, desk: Desk, tmp_path: Path) -> None:
    item = heated(desk)
    done(desk.decide(item.flag.key, Answer("words", words="Bake where Mother always did.")))
    written = texts(dest)[item.output]
    old = tmp_path / "recipes" / item.flag.source
    (tmp_path / "recipes" / "sweet").mkdir()
    old.rename(tmp_path / "recipes" / "sweet" / "of the week.txt")
    convert_all(tmp_path / "recipes", dest)
    assert not (dest / item.output).exists()
    moved = (dest / "sweet" / "of the week.md").read_text(encoding="utf-8")
    assert moved.replace("of the week.txt", old.name) == written
    assert item.flag.key not in {flag.key for flag in desk.lines(notes=True).lines}
    now = desk.item(item.flag.key)
    assert now is not None
    assert now.standing is not None
    assert now.flag.source == "sweet/of the week.txt"
