"""The line of progress: what it says at which width, and on a real terminal, to its end and until Ctrl-C."""

from __future__ import annotations

import io
import os
import re
import signal
import struct
import subprocess
import sys
import time
from pathlib import Path

import pytest
from cookery import ROOT, fill
from rich.console import Console

from converter.folder.progress import Progress


class Clock:
    def __init__(self) -> None:
        self.now = 100.0

    def __call__(self) -> float:
        return self.now


def at_work(*, steps: int, files: int, seconds: float) -> Progress:
    """A progress after so many steps of `files` files in `seconds` each; 10,000 there are."""
    clock = Clock()
    made = Progress(clock=clock)
    for number in range(steps + 1):
        made.told(number * files, 10_000)
        clock.now += seconds
    clock.now -= seconds
    return made


@pytest.mark.parametrize(
    ("width", "words"),
    [
        (60, "800/10000 files, 80 a second, 0:01:55 left"),
        (40, "800/10000, 80/s, 0:01:55 left"),
        (20, "800/10000"),
        (4, "800/"),
    ],
)
def test_what_is_said_fits_the_width(width: int, words: str) -> None:
    assert at_work(steps=100, files=8, seconds=0.1).words(width) == words


def test_a_slow_rate_has_a_decimal_and_an_unknown_one_is_not_given() -> None:
    assert at_work(steps=5, files=1, seconds=2.0).words(60) == "5/10000 files, 0.5 a second, 5:33:10 left"
    assert at_work(steps=1, files=8, seconds=0.1).words(60) == "8/10000 files"
    assert Progress().words(60) == "looking through the folders"


def test_the_rate_is_that_of_the_last_seconds() -> None:
    clock = Clock()
    made = Progress(clock=clock)
    for number in range(8_000):  # unchanged, in no time
        made.told(number, 10_000)
    for number in range(8_000, 8_100):
        clock.now += 0.5
        made.told(number, 10_000)
    assert made.rate() == pytest.approx(2.0, rel=0.05)


@pytest.mark.parametrize("width", [200, 80, 60, 40, 20, 5])
def test_the_line_is_one_line_with_room_at_its_end(width: int) -> None:
    out = io.StringIO()
    Console(file=out, width=width, force_terminal=True, color_system=None).print(
        at_work(steps=100, files=8, seconds=0.1), end=""
    )
    (line,) = [line.rstrip() for line in out.getvalue().splitlines()]
    assert len(line) <= width - 3
    assert ("━" in line) == (width >= 60)


# ------------------------------------------------------------------ on a terminal


def screen(data: str) -> list[str]:
    """What is left on a terminal that was sent `data`: lines, the signs that rich's line and a shell's echo use."""
    lines: list[list[str]] = [[]]
    row = column = 0
    for part in re.findall(r"\x1b\[[0-9;?]*[A-Za-z]|.", data, flags=re.DOTALL):
        if part == "\r":
            column = 0
        elif part == "\n":
            row += 1
            lines += [[]] if row == len(lines) else []
        elif part == "\x1b[2K":
            lines[row] = []
        elif part.endswith("A") and len(part) > 1:
            row = max(0, row - int(part[2:-1] or 1))
        elif not part.startswith("\x1b"):
            lines[row] += [" "] * (column + 1 - len(lines[row]))
            lines[row][column] = part
            column += 1
    return [made for line in lines if (made := "".join(line).rstrip())]


def on_a_terminal(src: Path, dest: Path, *, columns: int, stop: bool) -> tuple[int, str]:
    """Run the command with a terminal of that width; return its exit status and all it was sent."""
    import fcntl
    import pty
    import termios

    ours, theirs = pty.openpty()
    fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    env = {key: value for key, value in os.environ.items() if key not in ("NO_COLOR", "COLUMNS", "LINES")}
    env |= {"XDG_CONFIG_HOME": str(dest.parent / "home"), "TERM": "xterm"}
    run = subprocess.Popen(
        [sys.executable, "-c", f"from converter.cli import main; main(['folder', {str(src)!r}, {str(dest)!r}])"],
        cwd=ROOT, env=env, stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True,
        preexec_fn=lambda: fcntl.ioctl(0, termios.TIOCSCTTY, 0),
    )  # fmt: skip
    os.close(theirs)
    sent = b""
    deadline = time.monotonic() + 120
    try:
        while time.monotonic() < deadline:
            try:
                piece = os.read(ours, 65536)
            except OSError:  # how Linux says that the other end is closed
                break
            if not piece:
                break
            sent += piece
            if stop and re.search(rb"[1-9]\d*/120", sent):
                stop = False
                os.write(ours, b"\x03")  # the terminal itself makes the signal of it, for all in its group
        return run.wait(20), sent.decode("utf-8")
    finally:
        os.close(ours)
        if run.poll() is None:
            run.send_signal(signal.SIGKILL)
            run.wait()


@pytest.mark.skipif(sys.platform != "linux", reason="needs a terminal as Linux gives it")
@pytest.mark.parametrize("columns", [80, 40])
def test_on_a_terminal_nothing_is_left_of_the_line(tmp_path: Path, columns: int) -> None:
    src, dest = tmp_path / "src", tmp_path / "dest"
    fill(src, 120)
    status, sent = on_a_terminal(src, dest, columns=columns, stop=False)
    assert status == 0
    assert "/120" in sent
    assert sent.count("\x1b[?25h") == 1, "the cursor is shown again"
    assert screen(sent) == ["132 recipes converted"]


@pytest.mark.skipif(sys.platform != "linux", reason="needs a terminal as Linux gives it")
@pytest.mark.parametrize("columns", [80, 40])
def test_ctrl_c_on_a_terminal_leaves_one_sentence(tmp_path: Path, columns: int) -> None:
    src, dest = tmp_path / "src", tmp_path / "dest"
    fill(src, 120)
    status, sent = on_a_terminal(src, dest, columns=columns, stop=True)
    assert status == 130, screen(sent)
    (said,) = screen(sent)
    assert re.fullmatch(r"stopped: \d+ recipes? converted and kept; \d+ files? left, .*", said)
    assert "Traceback" not in sent
