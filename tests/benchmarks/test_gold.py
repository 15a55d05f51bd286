"""The annotated recipes, where they stand beside the project: how much is read and placed as their cooks say."""

from __future__ import annotations

import json
import re
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.benchmark

GOLD = Path(__file__).resolve().parents[3] / "shared" / "gold"
COOKERS = {"four_oven": "four-oven", "two_oven": "two-oven"}


@pytest.mark.skipif(not (GOLD / "score.py").is_file(), reason="no annotated recipes beside the project")
def test_gold(tmp_path: Path, ledger: Any) -> None:
    from converter import pipeline
    from converter.place import cookers, rules
    from converter.read.text import document
    from converter.write.forms import render

    table = rules.load()
    files = sorted((GOLD / "recipes").glob("*.txt"))
    assert files
    for path in files:
        read = document(path.read_bytes(), name=path.name)
        rows = {
            key: json.loads(render(pipeline.convert(read, cooker=cookers.load(name), rules=table), "json"))
            for key, name in COOKERS.items()
        }
        first = rows["four_oven"]
        answer = {"mentions": first["mentions"], "phases": first["phases"]}
        answer["placements"] = {key: row["placements"] for key, row in rows.items()}
        (tmp_path / f"{path.stem}.json").write_text(json.dumps(answer), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, str(GOLD / "score.py"), str(GOLD / "gold"), str(tmp_path)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    assert re.search(r"\d", done.stdout), "the scorer printed no figure"
    print("\n" + done.stdout)
    for name, share, count in re.findall(r"^ +(\S.*?) +(\d\.\d{3})(?: +(\d+/\d+))?$", done.stdout, re.MULTILINE):
        ledger.row(f"annotated recipes: {name}", share, "", count)
