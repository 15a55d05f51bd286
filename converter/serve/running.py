"""One run over the folder at a time, in a thread of its own: begun, watched and stopped from the page."""

from __future__ import annotations

import contextlib
import threading
import time
from collections import deque
from collections.abc import Callable
from dataclasses import dataclass, replace
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from converter.serve.shared import shared

if TYPE_CHECKING:
    from converter.folder import Done, Row, Setup
    from converter.folder.finding import Passed

_LAST = 5
_WINDOW_SECONDS = 6.0
_CLOSE_SECONDS = 5.0
_CHANGED = "undial was changed since this page was started. Close the page where it was started and start it again."
_ENDED: Final = ("idle", "done", "stopped", "trouble")


@dataclass(frozen=True, slots=True)
class Progress:
    """How a run stands.

    ``phase`` is idle (none was begun since the page was started), looking (the files are being found), running,
    stopping, done, stopped or trouble. ``files`` of ``total`` are done, ``rate`` a second, ``left_seconds`` to go,
    ``None`` where that cannot be told yet. ``failed`` counts what is not converted, ``last`` are the newest of it:
    (source, reason). ``words`` says how it ended.
    """

    phase: str = "idle"
    files: int = 0
    total: int = 0
    rate: float = 0.0
    left_seconds: float | None = None
    failed: int = 0
    last: tuple[tuple[str, str], ...] = ()
    words: str = ""
    number: int = 0

    @property
    def over(self) -> bool:
        """Say whether no run is on."""
        return self.phase in _ENDED

    @property
    def told(self) -> str:
        """Return the state in a sentence."""
        if self.over:
            return self.words
        if self.phase == "stopping":
            return "Stopping; what is finished is kept."
        if not self.total:
            return "Looking for the files …"
        words = f"{self.files:,} of {counted(self.total, 'file')} done"
        if self.rate >= 1:
            words += f", {self.rate:.0f} a second"
        return words + (f", {_about(self.left_seconds)} left." if self.left_seconds is not None else ".")


def _about(seconds: float) -> str:
    if seconds < 5:
        return "a moment"
    if seconds < 53:
        return f"about {5 * round(seconds / 5)} seconds"
    minutes = max(1, round(seconds / 60))
    return "about a minute" if minutes == 1 else f"about {minutes} minutes"


class Runs:
    """The runs of one folder. Safe between threads; `progress` never waits."""

    def __init__(self, dest: Path) -> None:
        self._dest = dest
        self._lock = threading.Lock()
        self._progress = Progress()
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None
        self._seen: deque[tuple[float, int]] = deque()

    @property
    def progress(self) -> Progress:
        """How the run stands, or how the last one ended."""
        return self._progress

    def begin(self, setup: Callable[[], Setup], *, src: Path, cooker: str) -> bool:
        """Convert `src` again; ``False`` where a run is on already. `setup` is asked in the thread of the run."""
        with self._lock:
            if not self._progress.over:
                return False
            self._stop = threading.Event()
            self._seen.clear()
            self._progress = Progress("looking", number=self._progress.number + 1)
            self._thread = threading.Thread(
                target=self._go, args=(setup, src, cooker), name="undial-folder", daemon=True
            )
            self._thread.start()
            return True

    def stop(self) -> bool:
        """Ask the run to stop; ``False`` where none is on."""
        with self._lock:
            if self._progress.over:
                return False
            self._progress = replace(self._progress, phase="stopping")
            self._stop.set()
            return True

    def close(self) -> None:
        """Stop the run and wait a little for it."""
        self.stop()
        if self._thread is not None:
            self._thread.join(_CLOSE_SECONDS)

    # ------------------------------------------------------------ in the thread of the run

    def _go(self, setup: Callable[[], Setup], src: Path, cooker: str) -> None:
        from converter.folder import FolderTrouble, Processes, convert_folder, cores
        from converter.ledger import LedgerError

        # One core stays for the page, where there are several.
        engine = Processes(max(1, cores() - 1))
        try:
            done = convert_folder(
                src, self._dest, setup=setup(), engine=engine, cooker_name=cooker, told=self._told,
                failed=self._failed, stopped=self._stop.is_set,
            )  # fmt: skip
        except (FolderTrouble, LedgerError) as error:
            self._end("trouble", _CHANGED if _changed() else _sentence(str(error)))
        except BaseException as error:  # whatever happens, the page must not wait for ever
            self._end("trouble", f"undial itself failed ({type(error).__name__}); what was finished is kept.")
        else:
            self._end("stopped" if done.stopped else "done", summary(done))
        finally:
            with contextlib.suppress(Exception):
                engine.stop()

    def _told(self, done: int, total: int) -> None:
        now = time.monotonic()
        self._seen.append((now, done))
        while now - self._seen[0][0] > _WINDOW_SECONDS:
            self._seen.popleft()
        passed = now - self._seen[0][0]
        rate = (done - self._seen[0][1]) / passed if passed >= 0.5 else 0.0
        left = (total - done) / rate if rate > 0 else None
        self._change(files=done, total=total, rate=rate, left_seconds=left)

    def _failed(self, one: Row | Passed) -> None:
        reason = getattr(one, "reason", "") or getattr(one, "sentence", "")
        last = (*self._progress.last, (one.source, reason))[-_LAST:]
        self._change(failed=self._progress.failed + 1, last=last)

    def _change(self, **what: Any) -> None:
        with self._lock:
            phase = "stopping" if self._progress.phase == "stopping" else "running"
            self._progress = replace(self._progress, phase=phase, **what)

    def _end(self, phase: str, words: str) -> None:
        with self._lock:
            self._progress = replace(self._progress, phase=phase, words=words, left_seconds=None, rate=0.0)


def _changed() -> bool:
    """Say whether the program on the disk is another than the one that runs."""
    from converter.folder.work import program

    try:
        return bool(program.__wrapped__() != program())
    except OSError:
        return True


def counted(number: int, word: str) -> str:
    """Return "1 file", "2 files"."""
    return f"{number:,} {word}{'' if number == 1 else 's'}"


def summary(done: Done) -> str:
    """Return what a run did, in sentences."""
    parts = [f"{counted(done.converted, 'recipe')} converted anew"]
    parts += [f"{counted(done.unchanged, 'file')} stood as they were"] if done.unchanged > 1 else []
    parts += ["1 file stood as it was"] if done.unchanged == 1 else []
    parts += [f"{counted(done.gone, 'file')} gone"] if done.gone else []
    failed = len(done.listed.failed)
    parts += [f"{failed:,} not converted"] if failed else []
    words = ", ".join(parts) + "."
    if done.stopped:
        left = len(done.listed.waiting)
        kept = f"Stopped: {words}"
        more = f" {counted(left, 'file')} {'is' if left == 1 else 'are'} left; the next run goes on from there."
        return kept + more if left else f"Stopped before anything was changed. {words}" if not done.converted else kept
    return words + "".join(f" {_sentence(notice)}" for notice in done.notices)


def _sentence(words: str) -> str:
    return words if words.endswith((".", "!", "?")) else f"{words}."


def runs(app: Any) -> Runs:
    """Return the runs of the folder that the page was started with."""
    return shared(app, "runs", Runs, lambda: Runs(app.state.door.folder))


def stop(app: Any) -> None:
    """End a run that is on when the page ends; what it finished is kept."""
    found = getattr(app.state, "runs", None)
    if found is not None:
        found.close()
