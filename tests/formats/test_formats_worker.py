"""Files of somebody else's folder, read in a process of their own."""

from __future__ import annotations

import contextlib
import os
import socket
import subprocess
import sys
import time
from pathlib import Path

import papers
import pytest

from converter.formats import REASONS, Limits, Unreadable, Worker, child, read_file, read_in_worker
from converter.formats.sniff import sniff

CARD = "\n".join([papers.TITLE, "", "Ingredients", *papers.GOODS, "", "Method", *papers.STEPS]) + "\n"
posix = pytest.mark.skipif(os.name != "posix", reason="limits of memory and processor are those of POSIX")


@pytest.fixture
def worker() -> object:
    made = Worker()
    yield made
    made.close()


def code(read: object, path: Path, **limits: object) -> str:
    with pytest.raises(Unreadable) as caught:
        read(path, limits=Limits(**limits))  # type: ignore[operator, arg-type]
    assert caught.value.sentence
    assert str(path) not in caught.value.sentence
    return caught.value.code


def test_a_worker_reads_the_same_as_the_process_itself_and_is_used_again(tmp_path: Path, worker: Worker) -> None:
    paths = [tmp_path / "a.txt", tmp_path / "ü \udcff.docx", tmp_path / "c.eml"]
    paths[0].write_text(CARD, encoding="utf-8")
    paths[1].write_bytes(papers.docx(papers.docx_recipe(papers.TITLE, papers.GOODS, papers.STEPS)))
    paths[2].write_bytes(papers.letter(CARD))
    pids = set()
    for path in paths:
        assert worker.read(path) == read_file(path) == read_in_worker(path)
        assert worker._process is not None
        pids.add(worker._process.pid)
    assert len(pids) == 1
    assert pids != {os.getpid()}


def test_a_worker_that_dies_is_replaced_and_the_file_has_a_reason(tmp_path: Path, worker: Worker) -> None:
    path = tmp_path / "a.txt"
    path.write_text(CARD, encoding="utf-8")
    worker.read(path)
    process = worker._process
    assert process is not None
    process.kill()
    with contextlib.suppress(Unreadable):  # the death may be seen before the order is given or after it
        worker.read(path)
    assert worker.read(path).recipes[0][0] == papers.TITLE
    assert worker._process is not process


@posix
def test_time_runs_out_and_the_next_file_is_read(tmp_path: Path, worker: Worker) -> None:
    path, slow = tmp_path / "a.txt", tmp_path / "slow.json"
    path.write_text(CARD, encoding="utf-8")
    slow.write_text("[" + "1," * 900_000 + "1]", encoding="utf-8")
    worker.read(path)
    begun = time.monotonic()
    assert code(worker.read, slow, seconds=0.001) == "time"
    assert time.monotonic() - begun < 5
    assert worker.read(path).recipes[0][0] == papers.TITLE


@posix
@pytest.mark.skipif(sys.platform == "darwin", reason="macOS does not hold a process to its address space")
def test_memory_runs_out_and_the_next_file_is_read(tmp_path: Path, worker: Worker) -> None:
    path, large = tmp_path / "a.txt", tmp_path / "large.json"
    path.write_text(CARD, encoding="utf-8")
    large.write_text("[" + "[]," * 600_000 + "1]", encoding="utf-8")
    worker.read(path)
    used = int(Path(f"/proc/{worker._process.pid}/statm").read_text().split()[0]) * os.sysconf("SC_PAGE_SIZE")  # type: ignore[union-attr]
    assert code(worker.read, large, memory_bytes=used + 20_000_000) == "memory"
    assert worker.read(path).recipes[0][0] == papers.TITLE


GUARDED = """
import sys
from converter.formats import child
sys.addaudithook(child._guard)
import os, socket, subprocess
def refused(action):
    try:
        action()
    except PermissionError:
        return True
    return False
print(all(refused(action) for action in (
    lambda: socket.create_connection(("127.0.0.1", 9), 1),
    lambda: socket.getaddrinfo("example.org", 80),
    lambda: open(sys.argv[1], "w"),
    lambda: os.remove(sys.argv[1]),
    lambda: subprocess.run(["true"]),
    lambda: os.system("true"),
)), open(sys.argv[1]).read())
"""


def test_a_worker_reaches_no_network_writes_no_file_and_starts_no_program(tmp_path: Path) -> None:
    path = tmp_path / "kept.txt"
    path.write_text("kept")
    done = subprocess.run([sys.executable, "-c", GUARDED, str(path)], capture_output=True, text=True, check=True)
    assert done.stdout.split() == ["True", "kept"]


def test_the_process_itself_opens_no_socket(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def refuse(*_: object) -> None:
        raise AssertionError("a socket was opened")

    monkeypatch.setattr(socket, "socket", refuse)
    page = '<html><head><link rel="stylesheet" href="http://example.org/x.css"></head><body>'
    page += f'<img src="//example.org/x.png"><pre>{CARD}</pre>'
    for name, data in {"a.txt": CARD.encode(), "a.html": page.encode(), "a.eml": papers.letter(CARD)}.items():
        (tmp_path / name).write_bytes(data)
        assert read_file(tmp_path / name).recipes


@posix
def test_what_is_no_plain_file_is_not_opened(tmp_path: Path) -> None:
    (tmp_path / "real.txt").write_text(CARD, encoding="utf-8")
    (tmp_path / "link.txt").symlink_to("real.txt")
    (tmp_path / "one.txt").symlink_to("two.txt")
    (tmp_path / "two.txt").symlink_to("one.txt")
    (tmp_path / "gone-link.txt").symlink_to("nowhere.txt")
    os.mkfifo(tmp_path / "pipe.txt")
    (tmp_path / "folder").mkdir()
    expected = {
        "link.txt": "link", "one.txt": "link-loop", "gone-link.txt": "missing", "pipe.txt": "not-a-file",
        "folder": "not-a-file", "nowhere.txt": "missing", "real.txt/x": "missing",
    }  # fmt: skip
    assert {name: code(read_file, tmp_path / name) for name in expected} == expected


@posix
def test_a_file_without_permission_says_so(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a.txt"
    path.write_text(CARD, encoding="utf-8")
    path.chmod(0)
    if os.geteuid() == 0:  # the administrator may open all
        def refuse(*_: object, **__: object) -> int:
            raise PermissionError(13, "Permission denied")

        monkeypatch.setattr(os, "open", refuse)
    assert code(read_file, path) == "no-permission"


@pytest.mark.parametrize(
    ("name", "data", "reason"),
    [
        ("a.txt", b"", "empty"),
        ("a.txt", b" \n\n\t", "empty"),
        ("a.txt", bytes(range(256)) * 40, "unknown-kind"),
        ("a.zip", papers.packed({"a.txt": "x"}), "unknown-kind"),
        ("a.txt", b"\x7fELF" + bytes(100), "unknown-kind"),
        ("a.txt", b"Dear Sir, thank you for the lamp. It arrived whole.\n", "no-recipe"),
        ("a.txt", b"x" * 2_000_001, "too-large"),
        ("a.rtf", b"{\\rtf1 {\\pict\\bin999999 xyz", "broken"),
        ("a.rtf", b"{\\rtf1 " + b"{" * 9000, "too-deep"),
    ],
)
def test_each_file_that_gives_nothing_has_its_reason(name: str, data: bytes, reason: str, tmp_path: Path) -> None:
    if name.endswith("rtf"):
        pytest.importorskip("striprtf")
    (tmp_path / name).write_bytes(data)
    assert code(read_file, tmp_path / name) == reason


def test_controls_are_stripped_and_turned_writing_is_told(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_bytes("Pie\x1b[2J\x1b]0;owned\x07\n\nBake at 180\u202e0\u202c°C for\0 20 minutes\b.\n".encode())
    found = read_file(path)
    assert found.recipes[0][1].startswith("Pie\n")
    assert not set(found.recipes[0][1]) & set("\x1b\x07\0\b")
    assert any("direction" in warning for warning in found.warnings)


def test_a_picture_put_into_text_is_left_out(tmp_path: Path) -> None:
    path = tmp_path / "a.txt"
    path.write_text(CARD + "\ndata:image/png;base64," + "iVBORw0KGgo" * 1000 + "\n", encoding="utf-8")
    found = read_file(path)
    assert "iVBOR" not in found.recipes[0][1]
    assert found.warnings


def test_a_picture_without_the_extra_is_listed_as_a_scan(tmp_path: Path) -> None:
    path = tmp_path / "a.jpg"
    path.write_bytes(b"\xff\xd8\xff\xe0" + bytes(50))
    assert code(read_file, path, scan=False) == "scan"


def test_kinds_are_told_by_content() -> None:
    assert sniff(b"From: a\r\nSubject: b\r\nDate: c\r\n\r\nx", "a.txt") == "mail"
    assert sniff(b"Title: a\nServes: 4\n\nx", "a.txt") == "text"
    assert sniff(b"junk\n%PDF-1.4", "a.docx") == "pdf"
    assert sniff(b"\xef\xbb\xbf<!DOCTYPE html><p>", "a.txt") == "html"
    assert sniff(b"# A", "A.MD") == "markdown"


def test_a_reason_that_is_not_in_the_list_cannot_be_given() -> None:
    with pytest.raises(ValueError, match="no reason"):
        Unreadable("odd", "x")
    assert len(set(REASONS)) == len(REASONS)


def test_an_order_is_answered_with_plain_values(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    from dataclasses import asdict

    monkeypatch.setattr(child, "_limit", lambda limits: None)
    path = tmp_path / "a.txt"
    path.write_text(CARD, encoding="utf-8")
    order = {"path": str(path), "limits": asdict(Limits())}
    assert child.answer(order)["recipes"][0][0] == papers.TITLE
    assert child.answer({**order, "path": str(tmp_path / "b.txt")})["code"] == "missing"
