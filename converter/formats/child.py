"""The worker process: reads one file after another, under limits, with no way out to network or disk."""

from __future__ import annotations

import json
import os
import sys
from typing import Any

from converter.formats.kinds import Limits, Unreadable

_REFUSED = (
    "socket.connect", "socket.bind", "socket.getaddrinfo", "socket.sendto", "socket.gethostbyname", "urllib.Request",
    "os.system", "os.exec", "os.posix_spawn", "os.spawn", "os.startfile",
)  # fmt: skip
_WRITING = os.O_WRONLY | os.O_RDWR | os.O_CREAT | os.O_TRUNC | os.O_APPEND
_CHANGES = (
    "os.remove", "os.rename", "os.mkdir", "os.rmdir", "os.link", "os.symlink", "os.chmod", "os.chown", "os.truncate",
    "shutil.",
)  # fmt: skip


def _allowed(target: Any) -> bool:
    """Pipes to a program are opened by number; nothing else is opened for writing."""
    return isinstance(target, int) or target == os.devnull


def _guard(event: str, arguments: tuple[Any, ...]) -> None:
    if event in _REFUSED or event.startswith(_CHANGES):
        raise PermissionError(f"{event} is not allowed in a worker")
    if event == "open" and isinstance(arguments[2], int) and arguments[2] & _WRITING and not _allowed(arguments[0]):
        raise PermissionError("a worker writes no files")
    if event == "subprocess.Popen":
        from converter.formats.scan import PROGRAM

        if os.path.basename(str(arguments[0])) != PROGRAM:
            raise PermissionError("a worker starts no programs")


def _limit(limits: Limits) -> None:
    """Set memory and processor time; the parent keeps the time on the clock."""
    try:
        import resource
    except ImportError:  # Windows: the parent's clock alone
        return
    for kind, most in ((resource.RLIMIT_AS, limits.memory_bytes), (resource.RLIMIT_CORE, 0)):
        _, hard = resource.getrlimit(kind)
        if hard == resource.RLIM_INFINITY or most <= hard:
            try:
                resource.setrlimit(kind, (most, hard))
            except (ValueError, OSError):
                continue
    _run_for(limits.seconds)


def _run_for(seconds: float) -> None:
    """Allow so much processor time from now on, and a little more than the parent's clock gives."""
    try:
        import resource
    except ImportError:
        return
    used = resource.getrusage(resource.RUSAGE_SELF)
    _, hard = resource.getrlimit(resource.RLIMIT_CPU)
    most = int(used.ru_utime + used.ru_stime + seconds) + 2
    resource.setrlimit(resource.RLIMIT_CPU, (most if hard == resource.RLIM_INFINITY else min(most, hard), hard))


def answer(order: dict[str, Any]) -> dict[str, Any]:
    """Return what reading the file of `order` gives, as plain values."""
    from converter.formats.reader import read_file

    limits = Limits(**order["limits"])
    _limit(limits)
    try:
        found = read_file(order["path"], limits=limits)
    except Unreadable as error:
        return {"code": error.code, "sentence": error.sentence}
    except MemoryError:
        return {"code": "memory", "sentence": "reading it takes too much memory"}
    except PermissionError:
        return {"code": "broken", "sentence": "reading it would have reached outside the file, which was refused"}
    except Exception as error:  # one bad file never stops the rest
        return {"code": "broken", "sentence": f"it cannot be read ({type(error).__name__})"}
    return {"kind": found.kind, "recipes": found.recipes, "warnings": found.warnings}


def main() -> None:
    """Answer orders, one JSON line each, until the orders end; a line with ``seconds`` alone asks for more time."""
    from converter.formats import scan

    sys.dont_write_bytecode = True
    orders = os.fdopen(os.dup(0), "r", encoding="utf-8")
    answers = os.fdopen(os.dup(1), "w", encoding="utf-8")
    null = os.open(os.devnull, os.O_RDWR)
    for stream in (0, 1, 2):  # a library that prints does not disturb the answers
        os.dup2(null, stream)
    sys.addaudithook(_guard)

    def tell(words: dict[str, Any]) -> None:
        answers.write(json.dumps(words) + "\n")
        answers.flush()

    for line in orders:
        order = json.loads(line)
        seconds = float(order["limits"]["scan_seconds"])

        def begun(seconds: float = seconds) -> None:
            _run_for(seconds)
            tell({"seconds": seconds})
            scan.begun = None  # once for a file

        scan.begun = begun
        tell(answer(order))
