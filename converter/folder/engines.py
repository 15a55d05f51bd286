"""Where the work is done: processes of this machine, a cluster that runs already, or any given executor."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import threading
import time
from collections.abc import Callable, Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from typing import Any, Protocol, cast

from converter.folder.work import Outcome, Task, work

Job = Callable[[tuple[Task, ...], bytes], tuple[Outcome, ...]]
_END = getattr(signal, "SIGUSR1", None)
_END_SECONDS = 5.0
"""For workers to end by themselves once they are asked to; a round figure, by judgement."""


class NoCluster(Exception):
    """A cluster that cannot be used; the text is one sentence."""


class Engine(Protocol):
    """Gives executors. ``width`` is how many files are worked on at once, ``job`` what the executors are to do."""

    width: int
    job: Job

    def executor(self) -> Executor:
        """Return the executor to use from now on; asked for again after one has broken."""

    def stop(self) -> None:
        """Give up what is still running, at once."""


def cores() -> int:
    """Return how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0)) or 1
    return os.cpu_count() or 1


class _Pool(ProcessPoolExecutor):
    """Starts its workers with signals held off until they can answer them: Ctrl-C goes from a terminal to them too."""

    def submit(self, *order: Any, **named: Any) -> Any:
        if _END is None:
            return super().submit(*order, **named)
        before = signal.pthread_sigmask(signal.SIG_BLOCK, {signal.SIGINT, _END})
        try:
            return super().submit(*order, **named)
        finally:
            signal.pthread_sigmask(signal.SIG_SETMASK, before)


class Processes:
    """Processes of this machine; they end when the run that started them dies."""

    def __init__(self, jobs: int) -> None:
        self.width = max(1, jobs)
        # Without alarms, as on Windows, a process cannot end its own work.
        self.job: Job = _in_process if hasattr(signal, "setitimer") else _apart()
        self._pool: _Pool | None = None

    def executor(self) -> Executor:
        if self._pool is not None:
            self.stop()
        # Started afresh, a worker holds no lock and no open file of this process.
        context = multiprocessing.get_context("spawn")
        self._pool = _Pool(self.width, mp_context=context, initializer=_begin)
        # Once the workers are dead nobody reads the orders still being written, and the program would never end.
        with contextlib.suppress(AttributeError):
            self._pool._call_queue.cancel_join_thread()  # type: ignore[attr-defined]
        return self._pool

    def stop(self) -> None:
        """Let the workers give up what they do, and wait for them; whoever does not end in time is killed."""
        pool, self._pool = self._pool, None
        if pool is None:
            return
        workers: list[Any] = list((getattr(pool, "_processes", None) or {}).values())
        pool.shutdown(wait=False, cancel_futures=True)
        # A worker that is killed while it hands something over would leave the pool waiting for the rest of it.
        for worker in workers:
            with contextlib.suppress(OSError, ValueError):
                if _END is not None and worker.is_alive():
                    os.kill(worker.pid, _END)
        deadline = time.monotonic() + _END_SECONDS
        for worker in workers:
            with contextlib.suppress(AssertionError, ValueError):
                worker.join(max(0.0, deadline - time.monotonic()))
                if worker.is_alive():
                    worker.kill()


class _Ended(BaseException):
    """The work is to be given up."""


class _State:
    """Of a worker process: whether it is to end, and whether it is in the midst of work."""

    ending = busy = False


def _begin() -> None:
    """Leave Ctrl-C to the parent, end when it asks for it, and when it is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    if _END is not None:
        signal.signal(_END, _end)
        signal.pthread_sigmask(signal.SIG_UNBLOCK, {signal.SIGINT, _END})
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_outlive, args=(parent,), daemon=True).start()


def _end(*_: object) -> None:
    _State.ending = True
    if _State.busy:
        raise _Ended


def _in_process(tasks: tuple[Task, ...], packed: bytes) -> tuple[Outcome, ...]:
    """As ``work``; gives up, with nothing, when the parent asks for it."""
    try:
        _State.busy = True
        return () if _State.ending else work(tasks, packed)
    except _Ended:
        return ()
    finally:
        _State.busy = False


def _apart() -> Job:
    from converter.folder.apart import work_apart

    return work_apart


def _outlive(parent: Any) -> None:
    parent.join()
    os._exit(1)


class Given:
    """An executor that the caller made and will shut down; `width` is how many files it works on at once.

    With `apart`, as an executor of threads needs it, each thread has a process
    besides, which is ended when the time for a file is over. Without, that
    time is limited only in the main thread of a process.
    """

    def __init__(self, executor: Executor, *, width: int, apart: bool = False) -> None:
        self.width = width
        self.job: Job = _apart() if apart else work
        self._executor = executor

    def executor(self) -> Executor:
        return self._executor

    def stop(self) -> None:
        """Leave it to the caller."""


@contextlib.contextmanager
def cluster(address: str, *, wait_seconds: float = 20.0) -> Iterator[Engine]:
    """Use a running cluster of dask.distributed whose scheduler is at `address`. Raises ``NoCluster``.

    The files must lie under the same path on every machine. Work of a machine
    that is lost is done by another.
    """
    try:
        from distributed import Client
    except ImportError:
        raise NoCluster("--cluster needs the package distributed: pip install 'undial[cluster]'") from None
    try:
        client: Any = cast(Any, Client)(address, timeout=wait_seconds, set_as_default=False)
    except (OSError, ValueError, TimeoutError) as error:
        why = " ".join(str(error).split()) or "no answer"
        raise NoCluster(f"no cluster answers at {address}: {why}") from None
    try:
        width = sum(client.nthreads().values())
        if not width:
            raise NoCluster(f"the cluster at {address} has no workers")
        yield Given(client.get_executor(pure=False), width=width, apart=True)
    finally:
        client.close()
