"""What is kept of pastes: through a restart, a kill, many at once, a damaged file; and how much."""

from __future__ import annotations

import os
import sqlite3
import stat
import subprocess
import sys
import threading
from pathlib import Path

import pytest

from converter.ledger import Decision
from converter.serve import pasted
from converter.serve.pasted import NotKept, PastedStore, settle, taken_back
from tests.folder.cookery import ROOT


@pytest.fixture
def store(tmp_path: Path) -> PastedStore:
    return PastedStore(tmp_path / "state" / "pasted.sqlite")


def _keep(store: PastedStore, text: str = "Bake it.", name: str = "Pie") -> str:
    return store.keep([(name, text)], cooker="two-oven", units="c")[0][0]


def test_a_recipe_comes_back_as_it_was_put_in(store: PastedStore) -> None:
    text = "Pie\u202e\0 \ud800 ½ °C\r\n"
    found = PastedStore(store.path).find(_keep(store, text, "Pie \ud800"))
    assert found is not None
    assert found.text == text.replace("\ud800", "?")
    assert (found.name, found.cooker, found.units, found.answers) == ("Pie ?", "two-oven", "c", ())


@pytest.mark.skipif(os.name != "posix", reason="modes are those of POSIX")
def test_only_the_owner_may_read_what_is_kept(store: PastedStore) -> None:
    _keep(store)
    held = sorted(store.path.parent.iterdir())
    assert store.path in held
    assert {stat.S_IMODE(path.stat().st_mode) for path in held} == {0o600}
    assert stat.S_IMODE(store.path.parent.stat().st_mode) == 0o700


def test_ids_cannot_be_guessed(store: PastedStore) -> None:
    ids = {_keep(store) for _ in range(50)}
    assert len(ids) == 50
    assert {len(one) for one in ids} == {16}
    assert store.find("") is None
    assert store.find("%") is None
    assert store.find("' OR 1=1 --") is None


def test_the_oldest_go_at_the_limit_of_recipes(store: PastedStore, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pasted, "MOST_RECIPES", 5)
    ids = [_keep(store, name=f"Pie {number}") for number in range(8)]
    assert [store.find(one) is not None for one in ids] == [False] * 3 + [True] * 5
    assert [one.name for one in store.latest(limit=3)] == ["Pie 7", "Pie 6", "Pie 5"]


def test_the_oldest_go_at_the_limit_of_bytes(store: PastedStore, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pasted, "MOST_BYTES", 10_000)
    ids = [_keep(store, "½" * 2_000) for _ in range(4)]
    assert [store.find(one) is not None for one in ids] == [False, False, True, True]
    large = _keep(store, "x" * 20_000)  # the newest stays whatever its size
    assert store.find(large) is not None
    assert store.find(ids[-1]) is None


def test_those_of_one_file_stay_together_in_their_order(store: PastedStore) -> None:
    ids, batch = store.keep(
        [("One", "a"), ("Two", "b"), ("Three", "c")], cooker="two-oven", units="c", notices=["A page was left out."]
    )
    found = store.batch(batch)
    assert [one.name for one in found] == ["One", "Two", "Three"]
    assert [one.id for one in found] == list(ids)
    assert found[0].notices == ("A page was left out.",)


def _decided(key: str, **more: str) -> Decision:
    return Decision(key, "take", line="Bake it.", **more)


def test_an_act_is_taken_back_whole() -> None:
    answers = settle((), (_decided("a.1"), _decided("b.1")), at="2026-01-02T03:04:05+00:00")
    answers = settle(answers, (_decided("c.1"),), at="2026-01-02T03:05:05+00:00")
    assert [one.change for one in answers] == [1, 1, 2]
    assert [one.key for one in taken_back(answers, "b.1")] == ["c.1"]
    assert [one.key for one in taken_back(answers, "c.9")] == ["a.1", "b.1"]  # the same words under another rule
    assert taken_back(answers, "z.1") == answers


def test_a_later_answer_about_the_same_words_replaces_the_earlier() -> None:
    answers = settle((), (_decided("a.1"),), at="2026-01-02T03:04:05+00:00")
    answers = settle(answers, (Decision("a.2", "words", words="Mine."),), at="2026-01-02T03:04:06+00:00")
    assert [(one.key, one.kind, one.change) for one in answers] == [("a.2", "words", 2)]


def test_answers_of_many_at_once_are_all_kept(store: PastedStore) -> None:
    recipe = _keep(store)
    other = PastedStore(store.path)  # another process has a connection of its own

    def decide(number: int) -> None:
        where = store if number % 2 else other
        assert where.answer(recipe, lambda held: settle(held, (_decided(f"k{number}.1"),), at="2026-01-02"))

    threads = [threading.Thread(target=decide, args=(number,)) for number in range(40)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    found = store.find(recipe)
    assert found is not None
    assert {one.key for one in found.answers} == {f"k{number}.1" for number in range(40)}
    assert sorted(one.change for one in found.answers) == list(range(1, 41))


def test_a_kill_loses_nothing_that_was_answered(tmp_path: Path) -> None:
    path = tmp_path / "pasted.sqlite"
    program = f"""
import os, signal
from pathlib import Path
from converter.ledger import Decision
from converter.serve.pasted import PastedStore, settle
store = PastedStore(Path({str(path)!r}))
for number in range(5):
    recipe = store.keep([("Pie", "Bake it.")], cooker="two-oven", units="c")[0][0]
    store.answer(recipe, lambda held: settle(held, (Decision("a.1", "take"),), at="2026-01-02"))
    print(recipe, flush=True)
os.kill(os.getpid(), signal.SIGKILL)
"""
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, cwd=ROOT, check=False)
    ids = done.stdout.split()
    assert done.returncode == -9
    assert len(ids) == 5
    store = PastedStore(path)
    for recipe in ids:
        found = store.find(recipe)
        assert found is not None
        assert [one.key for one in found.answers] == ["a.1"]


def test_a_change_that_fails_leaves_what_was(store: PastedStore) -> None:
    recipe = _keep(store)
    store.answer(recipe, lambda held: settle(held, (_decided("a.1"),), at="2026-01-02"))

    def wrong(held: tuple[Decision, ...]) -> tuple[Decision, ...]:
        raise LookupError("no")

    with pytest.raises(LookupError):
        store.answer(recipe, wrong)
    found = store.find(recipe)
    assert found is not None
    assert [one.key for one in found.answers] == ["a.1"]
    assert store.answer("none", lambda held: held) is False


def test_forgetting_leaves_no_word_on_the_disk(store: PastedStore) -> None:
    recipe = _keep(store, "the secret of the plum jam " * 50)
    kept = _keep(store, "another recipe")
    assert any(b"plum jam" in path.read_bytes() for path in store.path.parent.iterdir())
    assert store.forget(recipe)
    assert not store.forget(recipe)
    assert not any(b"plum jam" in path.read_bytes() for path in store.path.parent.iterdir())
    assert store.find(kept) is not None
    assert store.forget_all() == 1
    assert store.latest() == ()


def test_a_damaged_file_is_put_aside_and_a_new_one_begun(store: PastedStore) -> None:
    store.path.parent.mkdir()
    store.path.write_bytes(b"this is no database" * 200)
    recipe = _keep(store)
    assert store.find(recipe) is not None
    aside = list(store.path.parent.glob("pasted.sqlite.damaged-*"))
    assert len(aside) == 1
    assert aside[0].read_bytes().startswith(b"this is no database")
    assert aside[0].name in store.notice


def test_damage_within_the_file_is_put_aside_too(store: PastedStore) -> None:
    """The head of the file may be whole and what comes after it not."""
    _keep(store, "x" * 50_000)
    store.close()
    with open(store.path, "r+b") as file:
        file.seek(4096)
        file.write(os.urandom(40_000))
    again = PastedStore(store.path)
    recipe = _keep(again)
    assert again.find(recipe) is not None
    assert len(list(store.path.parent.glob("pasted.sqlite.damaged-*"))) == 1
    assert "was damaged" in again.notice


def test_damage_while_the_page_runs_is_told_and_the_next_paste_is_kept(store: PastedStore) -> None:
    for number in range(8):
        _keep(store, f"{number}" * 50_000)
    with store._reading() as file:
        file.execute("PRAGMA wal_checkpoint(TRUNCATE)")
    with open(store.path, "r+b") as on_disk:
        on_disk.seek(4096)
        on_disk.write(os.urandom(store.path.stat().st_size - 4096))
    with store._reading() as file:
        file.execute("PRAGMA shrink_memory")
    with pytest.raises(NotKept):
        store.batch("none")
    recipe = _keep(store)
    assert PastedStore(store.path).find(recipe) is not None


@pytest.mark.parametrize("put_there", [False, True], ids=["removed", "replaced"])
def test_what_is_kept_goes_to_the_file_that_is_there(store: PastedStore, tmp_path: Path, put_there: bool) -> None:
    """A file that was removed, or brought back from a copy, while the page runs holds what is kept from then on."""
    _keep(store)
    other = PastedStore(tmp_path / "other" / "pasted.sqlite")
    before = _keep(other)
    other.close()
    if put_there:
        os.replace(other.path, store.path)
    else:
        store.path.unlink()
    recipe = _keep(store)
    assert (store.find(before) is not None) == put_there
    store.close()
    assert PastedStore(store.path).find(recipe) is not None


@pytest.mark.parametrize("told", ["", "[", "null", "[1]", '{"a": 1}', '[{"key": 1}]'])
def test_answers_changed_by_another_hand_are_told_in_a_sentence(store: PastedStore, told: str) -> None:
    recipe = _keep(store)
    with store._writing() as file:
        file.execute("UPDATE pasted SET answers = ?", (told,))
    with pytest.raises(NotKept, match="cannot be read"):
        store.find(recipe)
    assert [one.id for one in store.latest()] == [recipe]


def test_a_file_that_cannot_be_had_is_told_in_a_sentence(tmp_path: Path) -> None:
    (tmp_path / "a file").write_text("")
    with pytest.raises(NotKept, match=r"^Pasted recipes cannot be kept in pasted\.sqlite: [a-z ]+\.$"):
        PastedStore(tmp_path / "a file" / "pasted.sqlite").latest()


def test_a_full_disk_is_told_and_what_was_kept_stays(store: PastedStore) -> None:
    recipe = _keep(store)
    with store._reading() as file:
        pages = file.execute("PRAGMA page_count").fetchone()[0]
        file.execute(f"PRAGMA max_page_count = {pages + 2}")
    with pytest.raises(NotKept, match="the disk is full"):
        _keep(store, "x" * 500_000)
    assert store.find(recipe) is not None
    assert sqlite3.connect(store.path).execute("PRAGMA integrity_check").fetchone() == ("ok",)
