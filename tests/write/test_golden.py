"""Every sample recipe on every built-in cooker gives the text in tests/write/golden.

``python -m tests.write.test_golden`` from the root writes the golden files
anew; read the difference as a cook would before committing it.
"""

from __future__ import annotations

import os
import tempfile
from pathlib import Path

import pytest

from converter.pipeline import convert
from converter.place.cookers import builtin, load
from converter.read.text import document
from converter.write.forms import render

ROOT = Path(__file__).resolve().parents[2]
GOLDEN = Path(__file__).resolve().parent / "golden"
SAMPLES = sorted((ROOT / "sample_recipes").glob("*.*"))


def converted(sample: Path, cooker: str) -> str:
    result = convert(document(sample.read_bytes(), name=sample.name), cooker=load(cooker))
    return render(result, "markdown")


@pytest.mark.parametrize("cooker", builtin())
@pytest.mark.parametrize("sample", SAMPLES, ids=lambda path: path.stem)
def test_sample_is_as_golden(sample: Path, cooker: str) -> None:
    golden = GOLDEN / cooker / f"{sample.stem}.md"
    assert converted(sample, cooker) == golden.read_text(encoding="utf-8")


def test_no_golden_file_without_a_sample() -> None:
    stems = {path.stem for path in SAMPLES}
    assert {path.stem for path in GOLDEN.glob("*/*.md")} == stems


def write_whole(path: Path, text: str) -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    handle, name = tempfile.mkstemp(dir=path.parent)
    with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
        file.write(text)
    os.replace(name, path)


if __name__ == "__main__":
    for one in SAMPLES:
        for name in builtin():
            write_whole(GOLDEN / name / f"{one.stem}.md", converted(one, name))
