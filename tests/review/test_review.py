"""The review: what is shown, what a decision does to the output, undo, the same for all, answers from a file."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path

import pytest
from click.testing import CliRunner

from converter.cli import cli
from converter.examples import run
from converter.folder import Processes, Setup, convert_folder
from converter.ledger import Ledger, LedgerError
from converter.place import rules
from converter.place.cookers import load
from converter.review import Item, Sitting, screen
from converter.review.house import make_rule

BUNS = """{title}

Ingredients

- 250 g flour
- 150 g butter
- 200 g sugar
- 3 eggs

Method

1. Cream the butter and sugar, beat in the eggs and fold in the flour.
2. Spoon into a lined tin. Bake at 180°C for {minutes} minutes, until risen. Cool in the tin.
"""


@pytest.fixture
def dest(tmp_path: Path) -> Path:
    src = tmp_path / "recipes"
    src.mkdir()
    for name, minutes in (("Monday cake", 40), ("Friday cake", 45)):
        (src / f"{name}.txt").write_text(BUNS.format(title=name, minutes=minutes), encoding="utf-8")
    made = tmp_path / "converted"
    engine = Processes(1)
    try:
        convert_folder(src, made, setup=setup(), engine=engine, cooker_name="two-oven", told=lambda done, total: None)
    finally:
        engine.stop()
    return made


def setup() -> Setup:
    return Setup(load("two-oven"), rules.load())


@pytest.fixture
def sitting(dest: Path) -> Iterator[Sitting]:
    with Ledger.open(dest) as ledger:
        yield Sitting(ledger, dest, setup(), who="Ann")


def texts(dest: Path) -> dict[str, str]:
    return {path.name: path.read_text(encoding="utf-8") for path in dest.glob("*cake.md")}


def heated(sitting: Sitting) -> Item:
    return next(sitting.item(flag) for flag in sitting.ledger.open_flags() if flag.phase)


def test_an_item_shows_line_neighbours_proposal_and_computed_ways(sitting: Sitting) -> None:
    item = heated(sitting)
    assert item.line.startswith("Bake at 180°C for")
    assert item.before == "Spoon into a lined tin."
    assert item.after == "Cool in the tin."
    assert "minutes" in item.proposal
    assert item.choices
    assert all(move.zone and move.minutes is not None for choice in item.choices for move in choice.moves)
    screen_words = screen.shown(sitting, item)
    assert all(f"  {choice.number}  {choice.words}" in screen_words for choice in item.choices)


def test_a_choice_rewrites_the_output_at_once_and_undo_brings_it_back(dest: Path, sitting: Sitting) -> None:
    before = texts(dest)
    item = heated(sitting)
    choice = item.choices[0]
    lines, recipes = sitting.decide(item, "choice", code=choice.code)
    after = texts(dest)
    assert lines >= 1
    assert recipes == 1
    changed = [name for name in after if after[name] != before[name]]
    assert len(changed) == 1
    assert choice.words.split(" for ")[0] in after[changed[0]]
    assert sitting.undo() == (lines, 1)
    assert texts(dest) == before


def test_own_words_and_leaving_it(dest: Path, sitting: Sitting) -> None:
    item = heated(sitting)
    sitting.decide(item, "words", words="Bake where Mother always did")
    assert any(
        "Spoon into a lined tin. Bake where Mother always did. Cool in the tin." in t for t in texts(dest).values()
    )
    sitting.undo()
    sitting.decide(item, "leave")
    assert any(item.line in text for text in texts(dest).values())


def test_the_same_for_all_decides_every_line_of_the_rule_and_food(dest: Path, sitting: Sitting) -> None:
    item = heated(sitting)
    assert item.like == 2
    _, recipes = sitting.decide(item, "take", like=True)
    assert recipes == 2
    assert sitting.ledger.alike(item.flag) == []
    with pytest.raises(LedgerError, match="one line"):
        sitting.decide(item, "words", words="x", like=True)


def test_later_comes_again_in_the_next_sitting(dest: Path, sitting: Sitting) -> None:
    item = sitting.next()
    sitting.decide(item, "later")
    following = sitting.next()
    assert following is None or following.flag.key != item.flag.key
    fresh = Sitting(sitting.ledger, dest, setup())
    assert item.flag.key in {flag.key for flag in fresh.ledger.open_flags()}


def test_on_the_screen_answers_undo_search_and_stop(sitting: Sitting) -> None:
    said: list[str] = []
    answers = iter(["f Friday", "p", "u", "nonsense", "a p", "y", "q"])
    start = sitting.ledger.count_open()
    screen.run(sitting, ask=lambda prompt: next(answers), say=said.append, house=lambda item, code: "", notes=False)
    told = "\n".join(said)
    assert "Friday cake (Friday cake.txt)" in told
    assert "undone: " in told
    assert "The same for all" not in told  # a question, put by ask
    assert sitting.ledger.count_open().get("judgement", 0) < start["judgement"]


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
    assert "decided already by Ben" in again.output
    left = json.loads(runner.invoke(cli, ["review", str(dest), "--list", "--to", "json"]).stdout)["flags"]
    assert row["key"] not in {one["key"] for one in left}


def test_a_caution_stays_in_the_output(tmp_path: Path) -> None:
    src = tmp_path / "in"
    src.mkdir()
    (src / "bird.txt").write_text(
        "Bird\n\nIngredients\n\n- 1 chicken, 1.5 kg\n\nMethod\n\n1. Roast at 180°C for 90 minutes.\n", encoding="utf-8"
    )
    dest, engine = tmp_path / "out", Processes(1)
    convert_folder(src, dest, setup=setup(), engine=engine, cooker_name="two-oven", told=lambda done, total: None)
    engine.stop()
    with Ledger.open(dest) as ledger:
        sitting = Sitting(ledger, dest, setup(), who="Ann")
        item = sitting.next()
        assert item is not None
        assert item.flag.level == "caution"
        sitting.decide(item, "take")
        assert item.flag.message.split(";")[0][:30] in (dest / "bird.md").read_text(encoding="utf-8")
        found = ledger.entry("bird.txt", 1)
        assert found is not None
        assert item.flag.key in {flag.key for flag in found.flags if flag.level == "caution"}


def test_a_rule_of_the_house_is_written_and_its_examples_hold(sitting: Sitting, tmp_path: Path) -> None:
    item = heated(sitting)
    path = tmp_path / "rules.yaml"
    assert "house/" in make_rule(sitting, item, item.choices[0].code, path)
    table = rules.load(path, examples=True)
    own = [rule for rule in table.rules if rule.own]
    assert len(own) == 1
    assert all(finding.ok for finding in run(table, only=own[0].id))


def test_a_single_recipe_honours_the_decisions_of_its_folder(dest: Path, sitting: Sitting, tmp_path: Path) -> None:
    item = heated(sitting)
    sitting.decide(item, "words", words="Bake where Mother always did.")
    recipe = str(tmp_path / "recipes" / item.flag.source)
    runner = CliRunner()
    by_itself = runner.invoke(cli, ["convert", recipe, "--cooker", "two-oven"])
    assert "Bake where Mother always did." in by_itself.stdout
    away = tmp_path / "elsewhere" / "deep" / "deeper" / "deepest" / "renamed.txt"
    away.parent.mkdir(parents=True)
    away.write_bytes(Path(recipe).read_bytes())
    assert "Mother" not in runner.invoke(cli, ["convert", str(away), "--cooker", "two-oven"]).stdout
    named = runner.invoke(cli, ["convert", str(away), "--cooker", "two-oven", "--decisions", str(dest)])
    assert "Bake where Mother always did." in named.stdout
    wrong = runner.invoke(cli, ["convert", str(away), "--decisions", str(away.parent)])
    assert wrong.exit_code == 2
