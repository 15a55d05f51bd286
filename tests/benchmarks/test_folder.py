"""A folder of 10,000 recipes: two cores beside one, the second run beside the first, the memory of the parent."""

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
RECIPES = 10_000
ROUNDS = 2
"""One core and two take turns this often, and the better time of each counts: another program only ever costs time."""
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
    """10,000 files, no two of the same bytes: the corpus over and over, each time with other titles."""
    src = tmp_path_factory.mktemp("recipes")
    seen: set[bytes] = set()
    for number in range(RECIPES):
        again, which = divmod(number, len(corpus))
        title, stop, rest = corpus[which].partition("\n")
        text = f"{title} {'again ' * again}no. {number}{stop}{rest}" if again else corpus[which]
        data = text.encode()
        assert data not in seen
        seen.add(data)
        home = src / f"{number // 200:02d}"
        home.mkdir(exist_ok=True)
        (home / f"{number:05d}.txt").write_bytes(data)
    return src


@pytest.mark.skipif(not hasattr(os, "sched_getaffinity"), reason="needs a system that lets cores be chosen")
def test_two_cores_a_second_run_and_flat_memory(recipes: Path, ledger: Ledger, tmp_path: Path) -> None:
    cores = sorted(os.sched_getaffinity(0))
    if len(cores) < 2:
        pytest.skip("this machine has one core")
    pair = set(cores[:2])
    ones, twos, agains, peaks_mb = [], [], [], []
    for number in range(ROUNDS):
        ones.append(timed(recipes, tmp_path / f"one {number}", "--jobs", "1", cores={cores[number % 2]})[0])
        for times in (twos, agains):
            seconds, peak_mb = timed(recipes, tmp_path / f"two {number}", "--jobs", "2", cores=pair)
            times.append(seconds)
            peaks_mb.append(peak_mb)
    one, two, again = min(ones), min(twos), min(agains)
    load = os.getloadavg()[0]

    def all_of(times: list[float]) -> str:
        return " and ".join(f"{seconds:.2f}" for seconds in times)

    ledger.row(f"folder of {RECIPES} recipes, one core (load {load:.1f})", f"{all_of(ones)} s")
    ledger.row("two cores", f"{all_of(twos)} s, {one / two:.2f} times", f">= {TWO_CORES_LEAST}")
    ledger.row("the same again, nothing changed", f"{all_of(agains)} s, {again / two:.1%}", f"<= {SECOND_RUN_MOST:.0%}")
    ledger.row("peak memory of the parent", f"{max(peaks_mb):.0f} MB", f"<= {PARENT_MOST_MB} MB")
    assert again <= SECOND_RUN_MOST * two
    assert max(peaks_mb) <= PARENT_MOST_MB
    assert one >= TWO_CORES_LEAST * two
