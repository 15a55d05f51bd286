"""Hands bundles of files to an engine and takes back what became of them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from concurrent.futures import FIRST_COMPLETED, BrokenExecutor, Executor, Future, wait

from converter.folder.engines import Engine, Job
from converter.folder.work import OtherProgram, Outcome, Task, refused

_MOST_BUNDLED = 8
_AHEAD = 3
"""Bundles handed over for each file that is worked on, so that no worker waits; a round figure, by judgement."""
_LOOK_SECONDS = 0.2
"""How long a wish to stop may go unseen; a round figure, by judgement."""


def outcomes(
    tasks: Iterator[Task], packed: bytes, *, engine: Engine, total: int, stamp: str, stopped: Callable[[], bool]
) -> Iterator[tuple[Outcome, ...]]:
    """Return the outcomes as they come, in bundles; files of a lost worker are tried once more, each alone.

    `total` is about how many files there are, `packed` from ``work.pack``, `stamp` that of files that are lost twice.
    Once `stopped` says so, nothing further is begun or waited for; what is done by then still comes.
    """
    first = next(tasks, None)
    if first is None:
        return
    executor = engine.executor()
    size = max(1, min(_MOST_BUNDLED, total // (8 * engine.width)))
    running: dict[Future[tuple[Outcome, ...]], tuple[Task, ...]] = {}
    waiting: Task | None = first
    while waiting is not None or running:
        while waiting is not None and len(running) < _AHEAD * engine.width and not stopped():
            bundle = [waiting]
            while len(bundle) < size and (following := next(tasks, None)) is not None:
                bundle.append(following)
            waiting = next(tasks, None)
            running[_handed(executor, engine.job, tuple(bundle), packed)] = tuple(bundle)
        done, _ = wait(running, timeout=_LOOK_SECONDS, return_when=FIRST_COMPLETED)
        again: list[Task] = []
        for future in done:
            yield _gained(future, running.pop(future), again)
        if stopped():
            for future in running:
                future.cancel()
            return
        if again:  # the others are finished first, so that the culprit is found among few
            for future, lost in running.items():
                yield _gained(future, lost, again)
            running.clear()
            executor = engine.executor()
            for task in again:
                if stopped():
                    return
                once_more: list[Task] = []
                yield _gained(_handed(executor, engine.job, (task,), packed), (task,), once_more)
                if once_more:
                    told = "converting it stopped the program twice"
                    yield (refused(task, base_stamp=stamp, code="lost", sentence=told),)
                    executor = engine.executor()


def _handed(executor: Executor, job: Job, tasks: tuple[Task, ...], packed: bytes) -> Future[tuple[Outcome, ...]]:
    """Hand a bundle over; to an executor that has just broken it is lost at once."""
    try:
        return executor.submit(job, tasks, packed)
    except BrokenExecutor as error:
        lost: Future[tuple[Outcome, ...]] = Future()
        lost.set_exception(error)
        return lost


def _gained(
    future: Future[tuple[Outcome, ...]], tasks: tuple[Task, ...], lost: list[Task]
) -> tuple[Outcome, ...]:
    """Return the outcomes of a bundle; where its worker was lost none, and its tasks are added to `lost`."""
    try:
        return future.result()
    except OtherProgram:
        raise
    except Exception:
        lost.extend(tasks)
        return ()
