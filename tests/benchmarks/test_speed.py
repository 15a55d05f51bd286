"""Speed and memory, as ratios within one run: on one core, the median of several rounds taken in turn."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import time
from collections.abc import Callable
from pathlib import Path
from statistics import median
from typing import Any

import pytest

pytestmark = [pytest.mark.benchmark, pytest.mark.usefixtures("one_core")]

ROOT = Path(__file__).resolve().parents[2]
# Children measure this checkout, whatever is installed, with one thread.
CHILD = {"OMP_NUM_THREADS": "1", "OPENBLAS_NUM_THREADS": "1", "PYTHONPATH": str(ROOT)}


def in_turn(rounds: int, *jobs: Callable[[], Any]) -> list[float]:
    """Median seconds of each job; the jobs take turns, so that a slow minute of the machine meets all of them."""
    for job in jobs:
        job()
    taken: list[list[float]] = [[] for _ in jobs]
    for _ in range(rounds):
        for job, times in zip(jobs, taken, strict=True):
            start = time.perf_counter()
            job()
            times.append(time.perf_counter() - start)
    return [median(times) for times in taken]


@pytest.fixture(scope="module")
def bare() -> Callable[[str], Any]:
    import spacy

    return spacy.blank("en").tokenizer


@pytest.fixture(scope="module")
def ready() -> tuple[Any, Any]:
    from converter.place import cookers, rules

    return cookers.load("four-oven"), rules.load()


def markdown(text: str, ready: tuple[Any, Any]) -> str:
    from converter import pipeline
    from converter.read.text import document
    from converter.write.forms import render

    cooker, table = ready
    return render(pipeline.convert(document(text, name="recipe"), cooker=cooker, rules=table), "markdown")


def test_reading_and_converting_beside_the_bare_tokenizer(
    corpus: list[str], bare: Callable[[str], Any], ready: tuple[Any, Any], ledger: Any
) -> None:
    from converter import pipeline
    from converter.read.text import document

    texts = corpus[::10]
    tokens, reading, whole = in_turn(
        5,
        lambda: [bare(text) for text in texts],
        lambda: [pipeline.read(document(text, name="recipe")) for text in texts],
        lambda: [markdown(text, ready) for text in texts],
    )
    per = 1000 / len(texts)
    beside = f"bare tokenizer {tokens * per:.2f} ms a recipe"
    ledger.row("reading / tokenizer", f"{reading / tokens:.2f}x ({reading * per:.2f} ms)", "<= 4x", beside)
    ledger.row("conversion to Markdown / tokenizer", f"{whole / tokens:.2f}x ({whole * per:.2f} ms)", "<= 10x", beside)
    assert reading <= 4 * tokens
    assert whole <= 10 * tokens


@pytest.mark.filterwarnings("ignore::UserWarning", "ignore::DeprecationWarning", "ignore::SyntaxWarning")
def test_recipes_a_second_beside_extracting_quantities_alone(
    corpus: list[str], ready: tuple[Any, Any], ledger: Any
) -> None:
    parser = pytest.importorskip("quantulum3.parser", reason="pip install '.[bench]'")
    texts = corpus[::100]
    theirs, ours = in_turn(
        3, lambda: [parser.parse(text) for text in texts], lambda: [markdown(text, ready) for text in texts]
    )
    beside = f"quantities alone {len(texts) / theirs:.0f} recipes/s"
    mine = f"{theirs / ours:.1f}x ({len(texts) / ours:.0f})"
    ledger.row("recipes a second / quantities alone", mine, ">= 5x", beside)
    assert theirs >= 5 * ours


def first_byte(command: list[str]) -> float:
    """Seconds from the start of a command to its first byte on standard output."""
    settings = os.environ | CHILD
    start = time.perf_counter()
    with subprocess.Popen(command, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, env=settings) as run:
        assert run.stdout is not None
        assert run.stdout.read(1)
        taken = time.perf_counter() - start
        run.stdout.read()
    assert run.returncode == 0
    return taken


def test_cold_start_beside_loading_spacy(tmp_path: Path, corpus: list[str], ledger: Any) -> None:
    recipe = tmp_path / "recipe.txt"
    recipe.write_text(corpus[1], encoding="utf-8")
    load = [sys.executable, "-c", "import spacy; spacy.blank('en'); print('x')"]
    convert = [sys.executable, "-c", "from converter.cli import main; main()", "convert", str(recipe)]
    base, ours = [], []
    for _ in range(8):
        base.append(first_byte(load))
        ours.append(first_byte(convert))
    spacy_s, undial_s = median(base[1:]), median(ours[1:])
    beside = f"spaCy alone {spacy_s:.2f} s"
    ledger.row("cold start / loading spaCy", f"{undial_s / spacy_s:.2f}x ({undial_s:.2f} s)", "<= 1.6x", beside)
    assert undial_s <= 1.6 * spacy_s


def test_memory_over_all_recipes_twice(corpus_file: Path, ledger: Any) -> None:
    pytest.importorskip("resource", reason="peak memory is read the POSIX way")
    script = Path(__file__).with_name("over_corpus.py")
    done = subprocess.run(
        [sys.executable, str(script), str(corpus_file)],
        cwd=ROOT, env=os.environ | CHILD, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    first, second = json.loads(done.stdout)
    ledger.row("peak memory, all recipes", f"{first:.0f} MB", "<= 300 MB")
    ledger.row("peak memory, second pass", f"{100 * (second - first) / first:+.1f} %", "< +5 %")
    assert first <= 300
    assert second <= 300
    assert second < 1.05 * first


def test_loading_a_builtin_cooker_beside_reading_its_yaml(ledger: Any) -> None:
    """Checked and made into a cooker, a profile takes a few times what PyYAML takes for its bare text."""
    import yaml

    from converter.place import cookers, profiles

    text = (ROOT / "rules" / "cookers" / "five-oven.yaml").read_text(encoding="utf-8")

    def load() -> None:
        for kept in (cookers._builtin, cookers.builtin, profiles.kinds):
            kept.cache_clear()
        cookers.load("five-oven")

    loaded, read = in_turn(25, load, lambda: yaml.load(text, Loader=yaml.CSafeLoader))
    ledger.row("loading a cooker / its bare YAML", f"{loaded / read:.2f}x ({loaded * 1000:.2f} ms)", "<= 6x")
    assert loaded <= 6 * read
