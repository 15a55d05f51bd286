"""Reads files in a process of their own, which may die or hang without harm."""

from __future__ import annotations

import atexit
import json
import os
import queue
import subprocess
import sys
import threading
from dataclasses import asdict
from typing import TYPE_CHECKING, Any

from converter.formats.kinds import FileText, Limits, Unreadable
from converter.formats.reader import DEFAULT
from converter.formats.sniff import suffix

if TYPE_CHECKING:
    from pathlib import Path

FILES = 300
"""A worker is replaced after this many files, so that leaks stay small; a round figure, by judgement."""
_START_SECONDS = 20.0
_START = (
    "import json, sys; sys.path[:] = json.loads(sys.argv[1]); "
    "from converter.formats.child import main; main()"
)  # fmt: skip
_PICTURES = ("jpg", "jpeg", "png", "tif", "tiff", "bmp", "webp", "gif", "pdf")


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
        seconds = limits.seconds
        if limits.scan and suffix(os.fspath(path)) in _PICTURES and _can_scan():
            seconds = limits.scan_seconds if suffix(os.fspath(path)) != "pdf" else seconds + limits.scan_seconds
        if self._files == 0:
            seconds += _START_SECONDS / 10
        self._files += 1
        try:
            assert process.stdin is not None
            process.stdin.write(order + "\n")
            process.stdin.flush()
            line = self._lines.get(timeout=seconds)
        except queue.Empty:
            self.close()
            raise Unreadable("time", f"reading it took longer than {limits.seconds:g} seconds") from None
        except OSError:
            line = None
        if line is None:
            raise self._died(limits)
        if self._files >= FILES:
            self.close()
        return _told(json.loads(line))

    def _running(self) -> subprocess.Popen[str]:
        if self._process is not None and self._process.poll() is None:
            return self._process
        paths = [os.path.abspath(path) if path else os.getcwd() for path in sys.path]
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
        if code == -24:  # SIGXCPU
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


def _can_scan() -> bool:
    import shutil

    from converter.formats.scan import PROGRAM

    return shutil.which(PROGRAM) is not None


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
