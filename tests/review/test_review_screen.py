"""The review on a terminal, its answers given by a script."""

from __future__ import annotations

import os
import select
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

from converter.diagnostics import Style
from converter.review import Answer, Desk, Done, Stale, screen


def told(desk: Desk, *answers: str, who: str = "Ann") -> str:
    """What a cook at the screen reads who gives these answers and then ends the input."""
    said: list[str] = []
    left = list(answers)

    def ask(prompt: str) -> str:
        if not left:
            raise EOFError
        said.append(prompt + left[0])
        return left.pop(0)

    screen.run(desk, ask=ask, say=said.append, who=who)
    assert not left
    return "\n".join(said)


def test_on_the_screen_answers_undo_search_and_stop(desk: Desk) -> None:
    start = desk.left().total
    first = told(desk, "f Friday Bake", "", "nonsense", "9", "?", "p", "u", "q")
    assert "Friday cake (Friday cake.txt)" in first
    assert "Nothing was kept: p takes the proposal" in first
    assert "'nonsense' is no answer here" in first
    assert "Undone: " in first
    assert desk.left().total == start
    second = told(desk, "f Friday Bake", "a p", "n", "a p", "y")
    assert "The same for all 2? (y/n) n" in second
    assert "2 recipes written again" in second
    assert desk.left().total < start


def test_on_the_screen_own_words_later_and_the_end(desk: Desk) -> None:
    said = told(desk, "f Friday Bake", "w", "", "w Bake it as ever", "f", *["l"] * (desk.left().total - 1))
    assert "Nothing was kept." in said
    assert "written again: Friday cake.md" in said
    assert "asked in the next review" in " ".join(said.split())


def test_on_the_screen_a_line_decided_by_another_is_shown_again(desk: Desk) -> None:
    key = desk.lines().lines[0].key

    class Slow(Desk):
        def decide(self, *given: Any, **more: Any) -> Done | Stale:
            desk.decide(key, Answer("leave"), who="Ben")
            return super().decide(*given, **more)

    said = told(Slow(desk.dest), "p", "", "q")
    assert "Ben has decided" in said
    assert "decided: left as it was, by Ben" in said
    assert len(desk.history(key)) == 1
    said = told(Slow(desk.dest), "q")
    assert "Ben" not in said


@pytest.mark.parametrize("width", [40, 60, 100])
def test_the_screen_fits_a_narrow_terminal(desk: Desk, width: int) -> None:
    said: list[str] = []

    def ask(prompt: str) -> str:
        raise EOFError

    screen.run(desk, ask=ask, say=said.append, style=lambda: Style(width=width))
    assert max(len(row) for text in said for row in text.splitlines()) <= width


@pytest.mark.skipif(os.name != "posix", reason="needs a pseudo-terminal")
@pytest.mark.parametrize(("typed", "status"), [("p\n|u\n|\n|q\n", 0), ("\x04", 0), ("\x03", 130)])
def test_on_a_real_terminal(dest: Path, typed: str, status: int) -> None:
    """Typed answers, Ctrl-D and Ctrl-C: each ends in words, never in a traceback."""
    import pty

    code = (
        "import fcntl, termios; fcntl.ioctl(0, termios.TIOCSCTTY, 0); "
        f"from converter.cli import main; main(['review', {str(dest)!r}, '--who', 'Ann'])"
    )
    line, theirs = pty.openpty()
    process = subprocess.Popen(
        [sys.executable, "-c", code], stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True,
        env={**os.environ, "TERM": "dumb"},
    )  # fmt: skip
    os.close(theirs)
    seen = ""

    def read() -> bool:
        nonlocal seen
        if not select.select([line], [], [], 60)[0]:
            process.kill()
            pytest.fail(f"nothing more within a minute after {seen!r}")
        try:
            more = os.read(line, 65536)
        except OSError:  # what Linux gives at the end of a terminal
            return False
        seen += more.decode(errors="replace").replace("\r", "")
        return bool(more)

    for prompts, part in enumerate(typed.split("|"), start=1):
        while seen.count("\n> ") < prompts:
            assert read(), seen
        os.write(line, part.encode())
    while read():
        pass
    os.close(line)
    assert process.wait(60) == status, seen
    assert "Traceback" not in seen
    assert "\x1b[1" not in seen
    assert "everything answered is kept" in seen
    assert ("Undone: " in seen) == ("u" in typed)
