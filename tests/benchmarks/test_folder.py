"""A folder of 3,129 recipes: two cores beside one, the second run beside the first, the memory of the parent."""

from __future__ import annotations

import os
import subprocess
import sys
import time
from pathlib import Path

import pytest
from conftest import Ledger

pytestmark = pytest.mark.benchmark

ROOT = Path(__file__).resolve().parent.parent.parent
SECOND_RUN_MOST = 0.05
TWO_CORES_LEAST = 1.7
PARENT_MOST_MB = 300
_RUN = """
import resource, sys
from converter.cli import main
try:
    main(sys.argv[1:])
finally:
    print(resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
"""


def timed(src: Path, dest: Path, *more: str, cores: set[int] | None = None) -> tuple[float, float]:
    """Run the command; return its time [s] and the peak memory of its own process [MB]."""
    env = {**os.environ, "XDG_CONFIG_HOME": str(dest.parent / "home")}
    words = [sys.executable, "-c", _RUN, "folder", str(src), str(dest), *more]
    if cores is not None:
        words = ["taskset", "-c", ",".join(map(str, sorted(cores))), *words]
    begun = time.monotonic()
    done = subprocess.run(words, cwd=ROOT, env=env, capture_output=True, text=True, check=False)
    seconds = time.monotonic() - begun
    assert done.returncode in (0, 1), done.stderr
    return seconds, float(done.stdout.split()[-1])


@pytest.fixture(scope="module")
def recipes(corpus: list[str], tmp_path_factory: pytest.TempPathFactory) -> Path:
    src = tmp_path_factory.mktemp("recipes")
    for number, text in enumerate(corpus):
        home = src / f"{number // 200:02d}"
        home.mkdir(exist_ok=True)
        (home / f"{number:05d}.txt").write_text(text, encoding="utf-8")
    return src


@pytest.mark.skipif(not hasattr(os, "sched_getaffinity"), reason="needs a system that lets cores be chosen")
def test_two_cores_a_second_run_and_flat_memory(recipes: Path, ledger: Ledger, tmp_path: Path) -> None:
    cores = sorted(os.sched_getaffinity(0))
    if len(cores) < 2:
        pytest.skip("this machine has one core")
    one, _ = timed(recipes, tmp_path / "one", "--jobs", "1", cores={cores[0]})
    two, peak_mb = timed(recipes, tmp_path / "two", "--jobs", "2", cores=set(cores[:2]))
    again, peak_again_mb = timed(recipes, tmp_path / "two", "--jobs", "2", cores=set(cores[:2]))
    count = sum(1 for _ in recipes.rglob("*.txt"))
    ledger.row(f"folder of {count} recipes, one core", f"{one:.1f} s")
    ledger.row(f"folder of {count} recipes, two cores", f"{two:.1f} s, {one / two:.2f} times", f">= {TWO_CORES_LEAST}")
    ledger.row("the same again, nothing changed", f"{again:.2f} s, {again / two:.1%}", f"<= {SECOND_RUN_MOST:.0%}")
    most = max(peak_mb, peak_again_mb)
    ledger.row("peak memory of the parent", f"{most:.0f} MB", f"<= {PARENT_MOST_MB} MB")
    assert again <= SECOND_RUN_MOST * two
    assert most <= PARENT_MOST_MB
    assert one >= TWO_CORES_LEAST * two
