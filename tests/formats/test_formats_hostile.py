"""A folder of files made to do harm: every one named with its reason, none harmful to time, memory or other files."""

from __future__ import annotations

import csv
import json
import os
import re
import shutil
import subprocess
import sys
import time
from pathlib import Path

import papers
import pytest

from converter.formats import Limits

for library in ("selectolax", "pypdfium2", "striprtf", "olefile"):
    pytest.importorskip(library)

SHARED = Path(__file__).resolve().parents[3] / "shared" / "documents" / "hostile"
MOST_SECONDS = 10.0
MOST_BYTES = 500_000_000
CARD = "\n".join([papers.TITLE, "", "Ingredients", *papers.GOODS, "", "Method", *papers.STEPS]) + "\n"
# The words of the index about what a good reader does, as codes of the report; the rest may be read or refused.
SAID = {
    "refuse: expansion": "bomb", "refuse: too many members": "bomb", "refuse: DTD": "entities",
    "refuse: depth": "too-deep", "damaged": "truncated", "say: has a password": "encrypted",
    "refuse: picture too large": "too-large", "refuse: not text": "unknown-kind", "say: empty": "empty",
    "say: empty or damaged": "empty", "read; write nothing": "converted", "read as one cell": "converted",
    "fall back": "converted", "read the text, run nothing": "converted", "stop at the page limit": "converted",
    "read; say that the file asks not to be copied": "converted", "strip controls; flag bidi": "converted",
    "refuse or stop at a time limit": "memory time bomb", "refuse": "too-large",
    "skip or say; never write through it": "link",
    "refuse: over the byte limit, before reading": "too-large", "skip: not a plain file": "not-a-file",
    "do not follow": "link-loop",
}  # fmt: skip


def traps(folder: Path) -> None:
    """Put links and pipes into a folder."""
    outside = folder.parent / "outside"
    outside.mkdir()
    (outside / "secret.txt").write_text(CARD, encoding="utf-8")
    (folder / "link.txt").symlink_to(outside / "secret.txt")
    (folder / "away").symlink_to(outside)
    (folder / "loop").symlink_to(folder)
    (folder / "round.txt").symlink_to("about.txt")
    (folder / "about.txt").symlink_to("round.txt")
    os.mkfifo(folder / "pipe.txt")


def held(pid: int) -> int:
    """Return the memory of a process and its children [bytes], pages that they share counted once."""
    total = 0
    try:
        told = Path(f"/proc/{pid}/smaps_rollup").read_text("ascii")
        total = int(re.search(r"(?m)^Pss:\s+(\d+)", told)[1]) * 1024  # type: ignore[index]
        for task in Path(f"/proc/{pid}/task").iterdir():
            total += sum(held(int(inner)) for inner in (task / "children").read_text("ascii").split())
    except OSError:
        pass
    return total


def run(source: Path, dest: Path) -> tuple[int, dict[str, dict[str, object]], int]:
    """Return exit status, the report by file, and the peak of memory [bytes] of the command."""
    words = [sys.executable, "-c", "from converter.cli import main; main()", "folder", str(source), str(dest)]
    started = subprocess.Popen([*words, "--jobs", "1"], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    peak = 0
    until = time.monotonic() + 120
    while started.poll() is None:
        peak = max(peak, held(started.pid))
        if time.monotonic() > until:
            started.kill()
            pytest.fail("the run does not end")
        time.sleep(0.05)
    report = json.loads((dest / "report.json").read_text("utf-8"))
    return started.returncode, {told["source"]: told for told in report["files"]}, peak


linux = pytest.mark.skipif(not Path("/proc/self/smaps_rollup").exists(), reason="memory is read from /proc")


def test_the_limits_leave_room_for_the_parent() -> None:
    assert Limits().memory_bytes <= MOST_BYTES // 2
    assert Limits().seconds < MOST_SECONDS


@linux
def test_every_file_made_to_do_harm_is_named_with_its_reason(tmp_path: Path) -> None:
    source = tmp_path / "recipes"
    source.mkdir()
    made = papers.hostile()
    for name, (data, _) in made.items():
        (source / name).write_bytes(data)
    (source / "barley.txt").write_text(CARD, encoding="utf-8")
    traps(source)
    before = sorted(path.name for path in source.iterdir())
    status, told, peak = run(source, tmp_path / "out")
    assert status == 1
    assert peak < MOST_BYTES
    assert told["barley.txt"]["status"] == "converted"
    for name, (_, reasons) in made.items():
        assert told[name]["status"] in reasons.split(), (name, told[name])
        assert told[name]["reason"]
    for name, reason in (
        ("link.txt", "link"), ("away", "link"), ("loop", "link-loop"), ("round.txt", "link-loop"),
        ("pipe.txt", "not-a-file"),
    ):  # fmt: skip
        assert told[name]["status"] == reason
    assert sorted(path.name for path in source.iterdir()) == before
    assert [path.name for path in (tmp_path / "outside").iterdir()] == ["secret.txt"]


@linux
@pytest.mark.skipif(not SHARED.is_dir(), reason="the shared documents are not there")
def test_the_shared_files_line_by_line(tmp_path: Path) -> None:
    source = tmp_path / "recipes"
    shutil.copytree(SHARED, source)
    with (source / "INDEX.tsv").open(encoding="utf-8") as stream:
        rows = list(csv.DictReader(stream, delimiter="\t"))
    (source / "INDEX.tsv").unlink()
    traps(source)
    for name in ("longline.txt", "longline.html"):
        with (source / name).open("wb") as sparse:
            sparse.truncate(52_428_800)
            sparse.write(b"<p>words")
    status, told, peak = run(source, tmp_path / "out")
    assert status == 1
    assert peak < MOST_BYTES
    for row in rows:
        name = row["file"].removeprefix("(made at test time) ").rstrip("/")
        expected = SAID.get(row["what a good reader does"])
        assert expected is None or told[name]["status"] in expected.split(), (row, told[name])
        assert told[name]["status"] == "converted" or told[name]["reason"]
    assert "not copied" in str(told["owneronly.pdf"]["reason"])
    assert "direction of writing" in str(told["escape.txt"]["reason"])
