"""Where the work is done: processes of this machine, a cluster that runs already, or any given executor."""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import signal
import threading
from collections.abc import Iterator
from concurrent.futures import Executor, ProcessPoolExecutor
from typing import Any, Protocol, cast


class NoCluster(Exception):
    """A cluster that cannot be used; the text is one sentence."""


class Engine(Protocol):
    """Gives executors. ``width`` is how many files are worked on at once."""

    width: int

    def executor(self) -> Executor:
        """Return the executor to use from now on; asked for again after one has broken."""

    def stop(self) -> None:
        """Give up what is still running, at once."""


def cores() -> int:
    """Return how many cores this process may use."""
    if hasattr(os, "sched_getaffinity"):
        return len(os.sched_getaffinity(0)) or 1
    return os.cpu_count() or 1


class Processes:
    """Processes of this machine; they end when the run that started them dies."""

    def __init__(self, jobs: int) -> None:
        self.width = max(1, jobs)
        self._pool: ProcessPoolExecutor | None = None

    def executor(self) -> Executor:
        if self._pool is not None:
            self.stop()
        # Started afresh, a worker holds no lock and no open file of this process.
        context = multiprocessing.get_context("spawn")
        self._pool = ProcessPoolExecutor(self.width, mp_context=context, initializer=_begin)
        return self._pool

    def stop(self) -> None:
        pool, self._pool = self._pool, None
        if pool is not None:
            pool.shutdown(wait=False, cancel_futures=True)
            for child in multiprocessing.active_children():
                if child.name.startswith("SpawnProcess"):
                    child.terminate()


def _begin() -> None:
    """Leave Ctrl-C to the parent and end when it is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    parent = multiprocessing.parent_process()
    if parent is not None:
        threading.Thread(target=_outlive, args=(parent,), daemon=True).start()


def _outlive(parent: Any) -> None:
    parent.join()
    os._exit(1)


class Given:
    """An executor that the caller made and will shut down; `width` is how many files it works on at once."""

    def __init__(self, executor: Executor, *, width: int) -> None:
        self.width = width
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
        yield Given(client.get_executor(pure=False), width=width)
    finally:
        client.close()
