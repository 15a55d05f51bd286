"""The annotated recipes, where they stand beside the project: how much is read and placed as their cooks say.

They were at hand while reader and rules were written, so the first figures
say how well these recipes are met, not how a new one will fare. The second
run takes the dish's name away, and the last row counts rules that no recipe
but an annotated one makes use of: both show how far the first can be trusted.
"""

from __future__ import annotations

import json
import re
import subprocess
import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

import pytest

pytestmark = pytest.mark.benchmark

GOLD = Path(__file__).resolve().parents[3] / "shared" / "gold"
COOKERS = {"four_oven": "four-oven", "two_oven": "two-oven"}


beside = pytest.mark.skipif(not (GOLD / "score.py").is_file(), reason="no annotated recipes beside the project")


def scored(folder: Path, change: Callable[[str], str]) -> list[tuple[str, str, str]]:
    """Name, share and count of each figure of the scorer, each recipe's text changed first."""
    from converter import pipeline
    from converter.place import cookers, rules
    from converter.read.text import document
    from converter.write.forms import render

    table = rules.load()
    files = sorted((GOLD / "recipes").glob("*.txt"))
    assert files
    folder.mkdir()
    for path in files:
        read = document(change(path.read_text(encoding="utf-8")), name=path.name)
        rows = {
            key: json.loads(render(pipeline.convert(read, cooker=cookers.load(name), rules=table), "json"))
            for key, name in COOKERS.items()
        }
        first = rows["four_oven"]
        answer = {"mentions": first["mentions"], "phases": first["phases"]}
        answer["placements"] = {key: row["placements"] for key, row in rows.items()}
        (folder / f"{path.stem}.json").write_text(json.dumps(answer), encoding="utf-8")
    done = subprocess.run(
        [sys.executable, str(GOLD / "score.py"), str(GOLD / "gold"), str(folder)],
        capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stderr
    found = re.findall(r"^ +(\S.*?) +(\d\.\d{3})(?: +(\d+/\d+))?$", done.stdout, re.MULTILINE)
    assert found, "the scorer printed no figure"
    return found


@beside
def test_gold(tmp_path: Path, ledger: Any) -> None:
    for name, share, count in scored(tmp_path / "given", lambda text: text):
        ledger.row(f"annotated, seen in development: {name}", share, "", count)
    for name, share, count in scored(tmp_path / "nameless", lambda text: re.sub(r"\A[^\n]*", "A dish", text)):
        if name.endswith(("right", "silently wrong")):
            ledger.row(f"annotated, without the dish's name: {name}", share, "", count)


@beside
def test_rules_that_only_an_annotated_recipe_uses(corpus: list[str], ledger: Any) -> None:
    from converter import pipeline
    from converter.place import cookers, rules
    from converter.read.text import document

    def plain(name: str) -> str:
        return re.sub(r"[^a-z0-9]", "", name.lower())

    texts = {path.stem: path.read_text(encoding="utf-8") for path in (GOLD / "recipes").glob("*.txt")}
    names = {plain(stem) for stem in texts} | {plain(text.strip().partition("\n")[0]) for text in texts.values()}
    others = [text for text in corpus if plain(text.partition("\n")[0]) not in names]
    assert len(others) > 3000
    table = rules.load()

    def used(many: Iterable[str]) -> set[str]:
        cooked = [cookers.load(name) for name in COOKERS.values()]
        return {
            placement.rule
            for text in many
            for cooker in cooked
            for placement in pipeline.placed(document(text, name="recipe"), cooker=cooker, rules=table)[1]
        }

    on_gold = used(texts.values())
    alone = sorted(on_gold - used(others))
    ledger.row("rules used by annotated recipes alone", f"{len(alone)} of {len(on_gold)}", "", ", ".join(alone))
