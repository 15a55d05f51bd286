"""A run that is stopped from outside: what was finished is kept, the lists say what there is, the next goes on."""

from __future__ import annotations

import json
import multiprocessing
import os
import threading
import time
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path
from typing import Any

import pytest
from cookery import converted, entries, fill, recipe, setup, tree

from converter.folder import Given, Listed, Processes, Row, convert_folder, run
from converter.folder.finding import Passed


@pytest.fixture
def src(tmp_path: Path) -> Path:
    made = tmp_path / "src"
    fill(made, 30)
    return made


@pytest.fixture
def dest(tmp_path: Path) -> Path:
    return tmp_path / "dest"


def go(src: Path, dest: Path, **rest: Any) -> run.Done:
    with ThreadPoolExecutor(1) as pool:
        return convert_folder(src, dest, setup=setup(), engine=Given(pool, width=1), **rest)


def told_of(dest: Path) -> tuple[set[str], set[str]]:
    """The outputs and the waiting sources that the report names."""
    report = json.loads((dest / "report.json").read_text(encoding="utf-8"))
    outputs = {recipe["output"] for file in report["files"] for recipe in file["recipes"] if recipe["output"]}
    waiting = {file["source"] for file in report["files"] if file["status"] == "waiting"}
    assert report["counts"].get("waiting", 0) == len(waiting)
    return outputs, waiting


def is_told_truly(dest: Path, *, left: int) -> None:
    outputs, waiting = told_of(dest)
    assert outputs == tree(dest).keys() - {"index.md", "report.json"}
    assert outputs == {entry.output for entry in entries(dest)}
    assert len(waiting) == left
    assert not waiting & {entry.source for entry in entries(dest)}
    index = (dest / "index.md").read_text(encoding="utf-8")
    assert index.count("| [") == len(outputs)
    assert f"The last run was stopped: {left} files are left" in index


def is_finished(src: Path, dest: Path, fresh: Path, *, already: int) -> None:
    assert converted(src, dest).unchanged == already
    converted(src, fresh)
    assert tree(dest) == tree(fresh)
    assert entries(dest) == entries(fresh)


def test_another_thread_stops_a_run(src: Path, dest: Path, tmp_path: Path) -> None:
    pressed, begun = threading.Event(), threading.Event()
    threads: set[int] = set()

    def told(done: int, total: int) -> None:
        threads.add(threading.get_ident())
        assert total == 30
        if done >= 5:
            begun.set()
            pressed.wait(10)  # so that the run is not over before it is stopped

    def press() -> None:
        begun.wait(10)
        pressed.set()

    other = threading.Thread(target=press)
    other.start()
    done = go(src, dest, told=told, stopped=pressed.is_set)
    other.join()
    assert threads == {threading.get_ident()}
    assert done.stopped
    left = len(done.listed.waiting)
    assert 0 < left <= 25
    is_told_truly(dest, left=left)
    is_finished(src, dest, tmp_path / "fresh", already=30 - left)


def test_a_slow_file_does_not_hold_up_a_stop(src: Path, dest: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from converter import pipeline

    over, pressed = threading.Event(), threading.Event()

    def slow(*_: object, **__: object) -> None:
        pressed.set()
        over.wait(20)
        raise ZeroDivisionError

    monkeypatch.setattr(pipeline, "convert", slow)
    pool = ThreadPoolExecutor(1)
    begun = time.monotonic()
    done = convert_folder(src, dest, setup=setup(), engine=Given(pool, width=1), stopped=pressed.is_set)
    seconds = time.monotonic() - begun
    over.set()
    pool.shutdown()
    assert (done.stopped, len(done.listed.waiting), done.converted) == (True, 30, 0)
    assert seconds < 10
    is_told_truly(dest, left=30)


def test_a_stop_before_anything_is_begun_changes_nothing(src: Path, dest: Path) -> None:
    converted(src, dest)
    (src / "card 4.txt").unlink()
    before = tree(dest)
    done = go(src, dest, stopped=lambda: True)
    assert (done.stopped, done.converted, done.listed) == (True, 0, Listed("four-oven", "markdown", ()))
    assert tree(dest) == before


def test_a_stop_that_comes_too_late_is_a_whole_run(src: Path, dest: Path) -> None:
    pressed = threading.Event()
    done = go(src, dest, told=lambda done, total: pressed.set() if done == total else None, stopped=pressed.is_set)
    assert (done.stopped, done.listed.waiting, done.converted) == (False, frozenset(), 33)
    assert "stopped" not in (dest / "index.md").read_text(encoding="utf-8")


@pytest.mark.parametrize("fault", [KeyboardInterrupt, ZeroDivisionError])
def test_an_exception_of_told_keeps_what_was_finished(
    src: Path, dest: Path, tmp_path: Path, fault: type[BaseException]
) -> None:
    def told(done: int, total: int) -> None:
        if done == 10:
            raise fault

    with pytest.raises(fault):
        go(src, dest, told=told)
    kept = {entry.source for entry in entries(dest)}
    assert 10 <= len(kept) < 30
    is_told_truly(dest, left=30 - len(kept))
    is_finished(src, dest, tmp_path / "fresh", already=len(kept))


def test_a_file_of_an_earlier_run_that_waits_is_listed_with_what_is_there(src: Path, dest: Path) -> None:
    converted(src, dest)
    (src / "Suppers" / "card 3.txt").write_text(recipe(90), encoding="utf-8")
    (src / "card 4.txt").write_text(recipe(91), encoding="utf-8")
    pressed = threading.Event()
    done = go(src, dest, told=lambda done, total: pressed.set() if done == 2 else None, stopped=pressed.is_set)
    assert done.stopped
    outputs, waiting = told_of(dest)
    assert outputs == tree(dest).keys() - {"index.md", "report.json"}
    assert "Suppers/card 3.txt" in waiting
    assert b"no. 3" in tree(dest)["Suppers/card 3.md"]


@pytest.mark.skipif(os.name != "posix", reason="makes a link")
def test_failures_are_heard_as_they_come(src: Path, dest: Path) -> None:
    (src / "empty.txt").write_bytes(b"")
    (src / "note.txt").write_text("Buy string.\n", encoding="utf-8")
    (src / "round").symlink_to(src)
    heard: list[Row | Passed] = []
    done = go(src, dest, failed=heard.append)
    assert {one.source for one in heard} == {"empty.txt", "note.txt", "round"}
    assert sorted(heard, key=lambda one: one.source) == done.listed.failed
    again: list[Row | Passed] = []
    assert go(src, dest, failed=again.append).unchanged == 32
    assert {one.source for one in again} == {"empty.txt", "note.txt", "round"}


@pytest.mark.skipif(os.name != "posix", reason="elsewhere the workers finish what they have begun")
@pytest.mark.parametrize("after", [0, 1, 12])
def test_workers_give_up_and_end_by_themselves(src: Path, dest: Path, after: int) -> None:
    """None is killed: one killed while it hands its recipes over would leave its pool waiting for ever."""
    engine = Processes(2)
    begun: set[Any] = set()
    pressed = threading.Event()

    def told(done: int, total: int) -> None:
        if done >= after:
            pressed.set()

    def stopped() -> bool:
        begun.update(multiprocessing.active_children())
        return pressed.is_set() and bool(begun)

    done = convert_folder(src, dest, setup=setup(), engine=engine, told=told, stopped=stopped)
    assert done.stopped
    assert begun
    assert {worker.exitcode for worker in begun} == {0}
    deadline = time.monotonic() + 10
    while any(thread.name.startswith("ExecutorManager") for thread in threading.enumerate()):
        assert time.monotonic() < deadline, "the pool still waits for its workers"
        time.sleep(0.01)
    is_told_truly(dest, left=len(done.listed.waiting))
