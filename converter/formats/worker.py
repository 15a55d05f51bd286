"""Reads files in a process of their own, which may die or hang without harm."""

from __future__ import annotations

import atexit
import json
import os
import queue
import signal
import subprocess
import sys
import threading
import time
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from converter.formats.kinds import FileText, Limits, Unreadable
from converter.formats.reader import DEFAULT

if TYPE_CHECKING:
    from pathlib import Path

_OUT_OF_TIME = int(getattr(signal, "SIGXCPU", 24))
FILES = 300
"""A worker is replaced after this many files, so that leaks stay small; a round figure, by judgement."""
_START_SECONDS = 4.0
"""More for the first file of a process, which starts meanwhile; a round figure, by judgement."""
_START = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[1]); "
    "from converter.formats.child import main; main()"
)


class Worker:
    """One process that reads files, started at the first file and replaced when it dies; for one thread at a time."""

    def __init__(self) -> None:
        self._process: subprocess.Popen[str] | None = None
        self._lines: queue.Queue[str | None] = queue.Queue()
        self._files = 0

    def read(self, path: str | Path, *, limits: Limits = DEFAULT) -> FileText:
        """Return the recipes of the file `path`. Raises ``Unreadable``; ``time`` or ``memory`` at those limits."""
        process = self._running()
        order = json.dumps({"path": os.path.abspath(os.fspath(path)), "limits": asdict(limits)})
        seconds = limits.seconds if self._files else limits.seconds + _START_SECONDS
        self._files += 1
        try:
            assert process.stdin is not None
            process.stdin.write(order + "\n")
            process.stdin.flush()
        except OSError:
            raise self._died(limits) from None
        answer = self._answer(seconds, limits)
        if self._files >= FILES:
            self.close()
        return _told(answer)

    def _answer(self, seconds: float, limits: Limits) -> dict[str, Any]:
        deadline = time.monotonic() + seconds
        while True:
            try:
                line = self._lines.get(timeout=max(0.0, deadline - time.monotonic()))
            except queue.Empty:
                self.close()
                raise Unreadable("time", f"reading it took longer than {seconds:g} seconds") from None
            if line is None:
                raise self._died(limits)
            answer: dict[str, Any] = json.loads(line)
            if answer.keys() != {"seconds"}:
                return answer
            seconds = answer["seconds"]
            deadline = time.monotonic() + seconds

    def _running(self) -> subprocess.Popen[str]:
        if self._process is not None and self._process.poll() is None:
            return self._process
        # The folder one stands in comes last, so that a file in it is not taken for a library.
        paths = [*(os.path.abspath(path) for path in sys.path if path), *([os.getcwd()] if "" in sys.path else [])]
        self._files = 0
        self._lines = queue.Queue()
        self._process = subprocess.Popen(
            [sys.executable, "-I", "-c", _START, json.dumps(paths)],
            stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, text=True, encoding="utf-8",
            start_new_session=os.name == "posix",
        )  # fmt: skip
        threading.Thread(target=_listen, args=(self._process, self._lines), daemon=True).start()
        return self._process

    def _died(self, limits: Limits) -> Unreadable:
        """Say why the process is gone: out of time, out of memory, or struck down by a damaged file."""
        process, self._process = self._process, None
        assert process is not None
        peak, code = _buried(process)
        if code == -_OUT_OF_TIME:
            return Unreadable("time", f"reading it took longer than {limits.seconds:g} seconds")
        if peak > 0.5 * limits.memory_bytes:
            return Unreadable("memory", "reading it takes too much memory")
        return Unreadable("broken", "reading it stopped the reader; it is damaged, or made to do harm")

    def close(self) -> None:
        """End the process."""
        process, self._process = self._process, None
        if process is not None:
            process.kill()
            _buried(process)


def _buried(process: subprocess.Popen[str]) -> tuple[int, int]:
    """Wait for a process that ends; return its peak memory [bytes, 0 where not known] and its exit code."""
    peak = 0
    if hasattr(os, "wait4") and process.returncode is None:
        try:
            _, status, usage = os.wait4(process.pid, 0)
            process.returncode = os.waitstatus_to_exitcode(status)
            peak = usage.ru_maxrss * (1 if sys.platform == "darwin" else 1024)
        except ChildProcessError:
            process.poll()
    code = process.wait()
    for stream in (process.stdin, process.stdout):
        if stream is not None:
            try:
                stream.close()
            except OSError:
                continue
    return peak, code


def _listen(process: subprocess.Popen[str], lines: queue.Queue[str | None]) -> None:
    assert process.stdout is not None
    try:
        for line in process.stdout:
            lines.put(line)
    except (OSError, ValueError):
        pass
    lines.put(None)


def _told(answer: dict[str, Any]) -> FileText:
    if "code" in answer:
        raise Unreadable(answer["code"], answer["sentence"])
    recipes = tuple((title, text) for title, text in answer["recipes"])
    return FileText(answer["kind"], recipes, tuple(answer["warnings"]))


_local = threading.local()


def read_in_worker(path: str | Path, *, limits: Limits = DEFAULT) -> FileText:
    """Return the recipes of the file `path`, read by the worker of this thread. Raises ``Unreadable``."""
    held: tuple[int, Worker] | None = getattr(_local, "worker", None)
    if held is None or held[0] != os.getpid():  # a worker of the parent is not used after a fork
        held = (os.getpid(), Worker())
        _local.worker = held
        atexit.register(_closed, *held)
    return held[1].read(path, limits=limits)


def _closed(owner: int, worker: Worker) -> None:
    if owner == os.getpid():
        worker.close()
