"""Converts in a process of its own what a thread was given: a thread cannot be interrupted, a process can be ended."""

from __future__ import annotations

import atexit
import json
import os
import pickle
import subprocess
import sys
import threading
from typing import Any

from converter.folder.work import CONVERT_SECONDS, OtherProgram, Outcome, Task, too_slow, work
from converter.formats import Limits

MOST_SECONDS = 10 + Limits().scan_seconds + CONVERT_SECONDS
"""For starting, reading and converting one file; the process keeps the tighter limits of each itself, where it can."""
_START = "import json, sys; sys.path[:] = json.loads(sys.argv[1]); from converter.folder.apart import main; main()"


class Lost(Exception):
    """The process ended before it answered."""


class Apart:
    """One process that works files off, started at the first; for one thread at a time."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[bytes] | None = None
        self._packed = b""

    def outcome(self, task: Task, packed: bytes, *, seconds: float = MOST_SECONDS) -> Outcome:
        """Return what ``work`` gives for `task`. Raises ``OtherProgram`` and ``Lost``."""
        process = self._running()
        over = threading.Event()

        def end() -> None:
            over.set()
            process.kill()

        timer = threading.Timer(seconds, end)
        timer.daemon = True
        timer.start()
        try:
            assert process.stdin is not None
            assert process.stdout is not None
            pickle.dump((task, packed if packed != self._packed else None), process.stdin)
            process.stdin.flush()
            self._packed = packed
            answer: Any = pickle.load(process.stdout)
        except (OSError, EOFError, pickle.UnpicklingError):
            self.close()
            if over.is_set():
                return too_slow(task, packed)
            raise Lost("the process that converts has ended") from None
        finally:
            timer.cancel()
        if isinstance(answer, BaseException):
            raise answer
        assert isinstance(answer, Outcome)
        return answer

    def _running(self) -> subprocess.Popen[bytes]:
        if self._process is not None and self._process.poll() is None:
            return self._process
        self.close()
        # As a library, never as a file of the folder one happens to stand in.
        paths = [os.path.abspath(path) for path in sys.path if path] + ([os.getcwd()] if "" in sys.path else [])
        self._process = subprocess.Popen(
            [sys.executable, "-I", "-c", _START, json.dumps(paths)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL,
            start_new_session=os.name == "posix",
        )  # fmt: skip
        return self._process

    def close(self) -> None:
        """End the process."""
        process, self._process, self._packed = self._process, None, b""
        if process is not None:
            process.kill()
            process.wait()
            for stream in (process.stdin, process.stdout):
                try:
                    if stream is not None:
                        stream.close()
                except OSError:
                    continue


_local = threading.local()


def work_apart(tasks: tuple[Task, ...], packed: bytes) -> tuple[Outcome, ...]:
    """As ``work``, each file in the process that belongs to this thread. Raises ``OtherProgram`` and ``Lost``."""
    held: Apart | None = getattr(_local, "held", None)
    if held is None:
        held = _local.held = Apart()
        atexit.register(held.close)
    return tuple(held.outcome(task, packed) for task in tasks)


def main() -> None:
    """Answer tasks until they end, which they do with the process that gives them."""
    orders, answers = os.fdopen(os.dup(0), "rb"), os.fdopen(os.dup(1), "wb")
    null = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):  # what a library prints does not disturb the answers
        os.dup2(null, stream)
    packed = b""
    while True:
        try:
            task, given = pickle.load(orders)
        except EOFError:
            return
        packed = packed if given is None else given
        try:
            answer: Outcome | OtherProgram = work((task,), packed)[0]
        except OtherProgram as error:
            answer = error
        pickle.dump(answer, answers)
        answers.flush()
