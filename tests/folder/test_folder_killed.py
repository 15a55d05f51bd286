"""Runs that die: by kill -9 at any moment, from the keyboard, with a full disk; the next one finishes what is left."""

from __future__ import annotations

import contextlib
import json
import os
import random
import re
import shutil
import signal
import sqlite3
import subprocess
import time
from collections.abc import Iterator
from pathlib import Path

import pytest
from cookery import command, converted, entries, fill, snapshot, tree

FILES = 60


def killed(src: Path, dest: Path, fresh: Path, home: Path, *, kills: int, seconds: float, seed: int) -> int:
    """Kill `kills` runs on one DEST at random moments; return how many died at work rather than after it.

    After each: no file that an undisturbed run would not have made just so, and nothing lost that was finished.
    """
    chance = random.Random(seed)
    whole = tree(fresh)
    finished: set[tuple[str, int]] = set()
    died = 0
    for _ in range(kills):
        run = command(src, dest, home, "--jobs", "2")
        try:
            run.wait(chance.uniform(0.05, seconds))
        except subprocess.TimeoutExpired:
            died += 1
            run.kill()
        run.communicate()
        if not dest.exists():
            continue
        now = tree(dest)
        for name, data in now.items():
            if not name.rpartition("/")[2].startswith(".undial-"):
                assert data == whole[name], f"{name} is not whole"
        if (dest / "undial-ledger.sqlite").exists():
            kept = {(entry.source, entry.number) for entry in entries(dest)}
            assert finished <= kept
            assert {entry.output for entry in entries(dest)} <= now.keys()
            finished = kept
    return died


def finish(src: Path, dest: Path, fresh: Path, home: Path) -> None:
    run = command(src, dest, home)
    _, said = run.communicate(timeout=120)
    assert run.returncode == 0, said
    assert tree(dest) == tree(fresh)
    assert entries(dest) == entries(fresh)


@pytest.fixture(scope="module")
def kitchen(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path, float]:
    """A folder of recipes, what an undisturbed run makes of it, and how long that takes [s]."""
    base = tmp_path_factory.mktemp("kitchen")
    src, fresh = base / "src", base / "fresh"
    fill(src, FILES)
    begun = time.monotonic()
    run = command(src, fresh, base / "home", "--jobs", "2")
    _, said = run.communicate(timeout=120)
    assert run.returncode == 0, said
    return src, fresh, time.monotonic() - begun


def test_a_run_killed_at_random_moments_is_finished_by_the_next(
    kitchen: tuple[Path, Path, float], tmp_path: Path
) -> None:
    src, fresh, seconds = kitchen
    before = snapshot(src)
    died = killed(src, tmp_path / "dest", fresh, tmp_path / "home", kills=10, seconds=seconds, seed=1)
    assert died >= 2
    finish(src, tmp_path / "dest", fresh, tmp_path / "home")
    assert snapshot(src) == before


@pytest.mark.benchmark
def test_a_hundred_kills(kitchen: tuple[Path, Path, float], tmp_path: Path) -> None:
    src, fresh, seconds = kitchen
    died, begun = 0, time.monotonic()
    for seed in range(25):
        dest = tmp_path / f"dest {seed}"
        died += killed(src, dest, fresh, tmp_path / "home", kills=4, seconds=seconds, seed=seed)
        finish(src, dest, fresh, tmp_path / "home")
        shutil.rmtree(dest)
    took = time.monotonic() - begun
    print(f"\n100 runs, {died} killed at work: 25 folders as undisturbed ones, 0 lost, 0 half-written, {took:.0f} s")
    assert died >= 50


@pytest.mark.skipif(os.name != "posix", reason="sends a signal")
def test_ctrl_c_stops_cleanly(kitchen: tuple[Path, Path, float], tmp_path: Path) -> None:
    src, fresh, _ = kitchen
    dest = tmp_path / "dest"
    run = command(src, dest, tmp_path / "home", "--jobs", "2")
    deadline = time.monotonic() + 60
    while not list(dest.rglob("card*.md")) and time.monotonic() < deadline and run.poll() is None:
        time.sleep(0.005)
    run.send_signal(signal.SIGINT)
    out, said = run.communicate(timeout=10)
    if run.returncode == 0:
        pytest.skip("the run was done before it was stopped")
    assert (run.returncode, out) == (130, "")
    found = re.fullmatch(r"stopped: (\d+) recipes? converted and kept; (\d+) files? left, .*", said.strip())
    assert found is not None, said
    report = json.loads((dest / "report.json").read_text(encoding="utf-8"))
    there = {recipe["output"] for file in report["files"] for recipe in file["recipes"]}
    assert there == tree(dest).keys() - {"index.md", "report.json"}
    assert len(there) == int(found[1])
    assert [file["status"] for file in report["files"]].count("waiting") == int(found[2])
    assert f"The last run was stopped: {found[2]} file" in (dest / "index.md").read_text(encoding="utf-8")
    assert not [path for path in dest.rglob(".undial-*") if path.name != ".undial-lock"]
    finish(src, dest, fresh, tmp_path / "home")


def spawned(parent: int) -> list[int]:
    """The worker processes of a run."""
    found = []
    for stat in Path("/proc").glob("[0-9]*/stat"):
        with contextlib.suppress(OSError):  # one that has just ended
            words = stat.read_text(encoding="utf-8").rpartition(")")[2].split()
            if int(words[1]) == parent and b"spawn_main" in stat.with_name("cmdline").read_bytes():
                found.append(int(stat.parent.name))
    return found


@pytest.mark.skipif(not Path("/proc/self/task").is_dir(), reason="looks for the workers in /proc")
@pytest.mark.parametrize("number", [1, 2])
def test_killed_workers_are_replaced_and_the_run_ends(
    kitchen: tuple[Path, Path, float], tmp_path: Path, number: int
) -> None:
    src, fresh, _ = kitchen
    dest = tmp_path / "dest"
    run = command(src, dest, tmp_path / "home", "--jobs", "2")
    deadline = time.monotonic() + 60
    workers: list[int] = []
    while (len(workers) < 2 or not list(dest.rglob("card*.md"))) and time.monotonic() < deadline and run.poll() is None:
        time.sleep(0.005)
        workers = spawned(run.pid)
    for worker in workers[:number]:
        with contextlib.suppress(ProcessLookupError):
            os.kill(worker, signal.SIGKILL)
    out, said = run.communicate(timeout=100)
    if len(workers) < 2:
        pytest.skip("the run was done before its workers were seen")
    assert (run.returncode, out, said) == (0, "66 recipes converted\n", "")
    assert tree(dest) == tree(fresh)


def test_two_runs_at_once(kitchen: tuple[Path, Path, float], tmp_path: Path) -> None:
    src, fresh, _ = kitchen
    runs = [command(src, tmp_path / "dest", tmp_path / "home", "--jobs", "1") for _ in range(2)]
    said = [run.communicate(timeout=120)[1] for run in runs]
    codes = [run.returncode for run in runs]
    assert 0 in codes
    if codes != [0, 0]:  # else one had ended before the other began
        assert sorted(codes) == [0, 1]
        assert "another undial is at work in this folder" in said[codes.index(1)]
    finish(src, tmp_path / "dest", fresh, tmp_path / "home")


@pytest.fixture
def small_disk(tmp_path: Path) -> Iterator[Path]:
    """A disk of 400 kB."""
    disk = tmp_path / "disk"
    disk.mkdir()
    mount = shutil.which("mount")
    words = [str(mount), "-t", "tmpfs", "-o", "size=400k", "tmpfs", str(disk)]
    if mount is None or subprocess.run(words, capture_output=True, check=False).returncode:
        pytest.skip("no small disk can be mounted here")
    yield disk
    subprocess.run(["umount", str(disk)], check=True)


def test_a_small_disk_that_fills_up(kitchen: tuple[Path, Path, float], small_disk: Path, tmp_path: Path) -> None:
    src, fresh, _ = kitchen
    run = command(src, small_disk / "dest", tmp_path / "home")
    _, said = run.communicate(timeout=60)
    assert run.returncode == 1
    assert len(said.strip().splitlines()) == 1
    assert "the disk is full" in said
    shutil.copytree(small_disk / "dest", tmp_path / "copy")  # to look into the ledger without room for its own files
    with contextlib.closing(sqlite3.connect(tmp_path / "copy" / "undial-ledger.sqlite")) as ledger:
        assert ledger.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
    kept = entries(tmp_path / "copy")
    assert kept
    assert not list((small_disk / "dest").rglob(".undial-????????"))
    assert all((small_disk / "dest" / entry.output).is_file() for entry in kept)
    subprocess.run(["mount", "-o", "remount,size=20m", str(small_disk)], check=True)
    finish(src, small_disk / "dest", fresh, tmp_path / "home")


def test_a_disk_that_can_only_be_read(kitchen: tuple[Path, Path, float], small_disk: Path, tmp_path: Path) -> None:
    subprocess.run(["mount", "-o", "remount,ro", str(small_disk)], check=True)
    run = command(kitchen[0], small_disk / "dest", tmp_path / "home")
    _, said = run.communicate(timeout=60)
    assert run.returncode == 1
    assert said.strip().splitlines() == [f"error: {small_disk / 'dest'}: the disk can only be read"]


@pytest.mark.skipif(not hasattr(os, "geteuid") or os.geteuid() == 0, reason="root may write everywhere")
def test_a_folder_without_permission_to_write(tmp_path: Path) -> None:
    from converter.folder import FolderTrouble

    fill(tmp_path / "src", 2)
    (tmp_path / "dest").mkdir(mode=0o555)
    with pytest.raises(FolderTrouble, match="no permission"):
        converted(tmp_path / "src", tmp_path / "dest")
