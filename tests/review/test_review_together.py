"""Two reviewers at once, in processes and threads of their own; a disk that is full; what one carries to another."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import subprocess
import threading
from collections.abc import Iterator
from multiprocessing.connection import Connection
from multiprocessing.synchronize import Barrier
from pathlib import Path

import pytest
from click.testing import CliRunner

from converter.cli import cli
from converter.ledger import Ledger, LedgerError
from converter.review import Answer, Desk, Done, Stale
from tests.review.sittings import convert_all, done, heated, texts, write_cakes

CONTEXT = multiprocessing.get_context("spawn")


def _decide(dest: str, key: str, mark: str, answer: Answer, who: str, at_once: Barrier, back: Connection) -> None:
    desk = Desk(Path(dest))
    assert desk.item(key) is not None
    at_once.wait(60)
    back.send(desk.decide(key, answer, who=who, mark=mark))


def _both(dest: Path, asked: list[tuple[str, str, Answer, str]]) -> list[Done | Stale]:
    at_once = CONTEXT.Barrier(len(asked))
    running, ends = [], []
    for key, mark, answer, who in asked:
        end, back = CONTEXT.Pipe(duplex=False)
        running.append(CONTEXT.Process(target=_decide, args=(str(dest), key, mark, answer, who, at_once, back)))
        ends.append(end)
    for process in running:
        process.start()
    made = [end.recv() for end in ends if end.poll(90)]
    for process in running:
        process.join(60)
        assert process.exitcode == 0
    return made


def test_two_processes_at_one_line_keep_one_answer_and_tell_the_other(dest: Path, desk: Desk) -> None:
    item = heated(desk)
    key = item.flag.key
    asked = [(key, item.mark, Answer("take"), "Ann"), (key, item.mark, Answer("leave"), "Ben")]
    made = _both(dest, asked)
    kept = [one for one in made if isinstance(one, Done)]
    told = [one for one in made if isinstance(one, Stale)]
    assert (len(kept), len(told)) == (1, 1)
    standing = desk.decisions().find(key)
    assert standing is not None
    assert told[0].standing == standing
    assert standing.who in told[0].message
    assert standing.who == ("Ann", "Ben")[made.index(kept[0])]
    assert [(who, what) for who, _, what, _ in desk.history(key)] == [(standing.who, "decide")]
    # The second looks again and answers knowingly: both are in the history.
    again = desk.item(key)
    assert again is not None
    done(desk.decide(key, Answer("words", words="Bake it as ever."), who="Cid", mark=again.mark))
    assert [who for who, *_ in desk.history(key)] == [standing.who, "Cid"]


def test_two_processes_at_two_lines_lose_nothing(dest: Path, tmp_path: Path, desk: Desk) -> None:
    items = [found for flag in desk.lines().lines if (found := desk.item(flag.key)) is not None]
    assert len({item.flag.source for item in items}) == 2
    pairs = zip(items, ("Ann", "Ben"), strict=True)
    made = _both(dest, [(item.flag.key, item.mark, Answer("leave"), who) for item, who in pairs])
    assert all(isinstance(one, Done) for one in made)
    decisions = desk.decisions()
    assert {made.who for item in items if (made := decisions.find(item.flag.key))} == {"Ann", "Ben"}
    written = texts(dest)
    convert_all(tmp_path / "recipes", dest)
    assert texts(dest) == written


def test_threads_at_one_desk_decide_and_undo_and_lose_nothing(dest: Path, tmp_path: Path, desk: Desk) -> None:
    keys = [flag.key for flag in desk.lines().lines]
    wrong: list[BaseException] = []

    def work(key: str, who: str) -> None:
        try:
            for number in range(6):
                made = desk.decide(key, Answer(("take", "leave")[number % 2]), who=who)
                if isinstance(made, Done) and number % 3:
                    desk.undo(made.act, who=who)
        except BaseException as error:
            wrong.append(error)

    threads = [threading.Thread(target=work, args=(key, who)) for key in keys for who in ("Ann", "Ben")]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join(60)
    assert wrong == []
    for key in keys:
        what = [step for _, _, step, _ in desk.history(key)]
        assert what.count("decide") - what.count("undo") == (desk.decisions().find(key) is not None)
    written = texts(dest)
    assert convert_all(tmp_path / "recipes", dest).converted == 0
    assert texts(dest) == written


def test_two_households_carry_their_decisions_to_each_other(once: Path, dest: Path, desk: Desk, tmp_path: Path) -> None:
    """Each exports, the two files are put together as version control does it, each imports."""
    items = [found for flag in desk.lines().lines if (found := desk.item(flag.key)) is not None]
    other = tmp_path / "theirs"
    convert_all(tmp_path / "recipes", other)
    theirs = Desk(other)
    base, mine, yours = (tmp_path / f"{name}.yaml" for name in ("base", "mine", "yours"))
    runner = CliRunner()

    def run(*given: str | Path) -> str:
        made = runner.invoke(cli, ["review", *map(str, given)])
        assert made.exit_code == 0, made.output
        return str(made.output)

    run(dest, "--export", base)
    done(desk.decide(items[0].flag.key, Answer("leave"), who="Ann"))
    done(theirs.decide(items[1].flag.key, Answer("words", words="Bake it: 'as ever'."), who="Ben"))
    run(dest, "--export", mine)
    run(other, "--export", yours)
    merged = tmp_path / "merged.yaml"
    merged.write_text(
        mine.read_text(encoding="utf-8") + "".join(yours.read_text(encoding="utf-8").partition("decisions:\n")[2:]),
        encoding="utf-8",
    )
    assert "1 of 2 decisions are new or newer; 1 outputs written again" in run(dest, "--import", merged)
    assert "1 of 2" in run(other, "--import", merged)
    assert "0 of 2" in run(other, "--import", merged)
    run(dest, "--export", mine, "--force")
    run(other, "--export", yours, "--force")
    assert mine.read_text(encoding="utf-8") == yours.read_text(encoding="utf-8")
    assert texts(dest) == texts(other)
    assert any("as ever" in text for text in texts(dest).values())


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    place = tmp_path / "small"
    place.mkdir()
    if os.name != "posix" or subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=2m", "tmpfs", str(place)], check=False, capture_output=True
    ).returncode:  # fmt: skip
        pytest.skip("no small disk can be mounted here")
    yield place
    subprocess.run(["umount", str(place)], check=True)


def test_a_full_disk_during_a_decision_is_said_and_the_ledger_stays_whole(small_disk: Path, tmp_path: Path) -> None:
    src, dest = tmp_path / "recipes", small_disk / "converted"
    write_cakes(src)
    convert_all(src, dest)
    desk = Desk(dest)
    keys = [flag.key for flag in desk.lines().lines]
    done(desk.decide(keys[0], Answer("leave"), who="Ann"))
    before = list(desk.decisions())
    fill = small_disk / "fill"
    with contextlib.suppress(OSError), open(fill, "wb", buffering=0) as stream:
        while stream.write(b"0" * 4096):
            pass
    with pytest.raises(LedgerError, match="the disk is full; nothing that was kept before is lost"):
        desk.decide(keys[1], Answer("leave"), who="Ben")
    fill.unlink()
    with Ledger.open(dest) as ledger:
        assert ledger.notices == ()
        assert list(ledger.decisions()) == before
    done(desk.decide(keys[1], Answer("leave"), who="Ben"))
    assert {made.who for made in desk.decisions()} == {"Ann", "Ben"}


def test_a_broken_ledger_is_told_by_the_folder_that_names_the_recipe_only(dest: Path, tmp_path: Path) -> None:
    for one in dest.glob("undial-ledger.sqlite*"):
        one.write_bytes(b"no ledger")
    recipe = str(next((tmp_path / "recipes").rglob("*.txt")))
    told = CliRunner().invoke(cli, ["convert", recipe]).stderr
    assert "its decisions are not used" in told
    (dest / "report.json").write_text('{"recipes": []}', encoding="utf-8")
    told = CliRunner().invoke(cli, ["convert", recipe]).stderr
    assert "decisions" not in told
