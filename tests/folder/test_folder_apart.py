"""Converting for a thread, in a process of its own: the same bytes, and an end when the time is over."""

from __future__ import annotations

import os
import signal
import time
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

import pytest
from cookery import converted, entries, fill, setup, tree

from converter.folder import Given, convert_folder
from converter.folder.apart import Apart, Lost
from converter.folder.finding import Found, find
from converter.folder.work import Task, pack, work
from converter.ledger import Decisions


@pytest.fixture
def tasks(tmp_path: Path) -> list[Task]:
    src = tmp_path / "src"
    fill(src, 3)
    return [
        Task(one.source, one.path, one.base, "0" * 64) for one in find(src, ending=".md") if isinstance(one, Found)
    ]


@pytest.fixture
def apart() -> Iterator[Apart]:
    made = Apart()
    yield made
    made.close()


def test_the_process_answers_as_the_work_itself(tasks: list[Task], apart: Apart) -> None:
    for form in ("markdown", "html"):  # another order to the same process
        packed = pack(setup(form), Decisions())
        assert tuple(apart.outcome(task, packed) for task in tasks) == work(tuple(tasks), packed)


def test_it_is_ended_when_the_time_is_over_and_the_next_file_goes_on(tasks: list[Task], apart: Apart) -> None:
    packed = pack(setup(), Decisions())
    begun = time.monotonic()
    (entry,) = apart.outcome(tasks[0], packed, seconds=0.02).entries  # it cannot even have started by then
    assert time.monotonic() - begun < 5
    assert (entry.status, entry.reason) == ("time", "converting it took longer than 20 seconds")
    assert apart.outcome(tasks[0], packed) == work((tasks[0],), packed)[0]


@pytest.mark.skipif(os.name != "posix", reason="sends a signal")
def test_one_that_dies_is_said_to_be_lost_and_another_takes_its_place(tasks: list[Task], apart: Apart) -> None:
    packed = pack(setup(), Decisions())
    apart.outcome(tasks[0], packed)
    assert apart._process is not None
    os.kill(apart._process.pid, signal.SIGSTOP)  # else it could answer before it is killed
    with ThreadPoolExecutor(1) as pool:
        waiting = pool.submit(apart.outcome, tasks[1], packed)
        time.sleep(0.1)
        os.kill(apart._process.pid, signal.SIGKILL)
        with pytest.raises(Lost):
            waiting.result(10)
    assert apart.outcome(tasks[1], packed) == work((tasks[1],), packed)[0]


def test_a_folder_done_in_threads_is_the_same_to_the_byte(tmp_path: Path) -> None:
    src, dest, fresh = tmp_path / "src", tmp_path / "dest", tmp_path / "fresh"
    fill(src, 12)
    (src / "empty.txt").write_bytes(b"")
    with ThreadPoolExecutor(2) as pool:
        convert_folder(src, dest, setup=setup(), engine=Given(pool, width=2, apart=True))
    converted(src, fresh)
    assert tree(dest) == tree(fresh)
    assert entries(dest) == entries(fresh)
