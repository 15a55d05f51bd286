"""The documents that lie beside the checkout: text recovered, recipes parted, hostile files refused."""

from __future__ import annotations

import csv
import importlib.util
import json
import re
import shutil
import time
from pathlib import Path

import pytest
from rapidfuzz.distance import Levenshtein

from converter.formats import Limits, Unreadable, Worker

SHARED = Path(__file__).resolve().parents[3] / "shared" / "documents"
pytestmark = pytest.mark.skipif(not SHARED.is_dir(), reason="the shared documents are not there")
for library in ("selectolax", "pypdfium2", "striprtf", "olefile"):
    pytest.importorskip(library)

MOST_WRONG = 0.02
MANIFEST = json.loads((SHARED / "dev" / "MANIFEST.json").read_text("utf-8")) if SHARED.is_dir() else {}
# What the index says in words, as codes; a file that is not here may be read or refused.
REFUSED = {
    "zipbomb.docx": "bomb", "manyparas.docx": "bomb", "members.docx": "bomb", "xxe.docx": "entities",
    "laughs.docx": "entities", "laughs.odt": "entities", "quadratic.odt": "entities", "deep.docx": "too-deep",
    "deep.json": "too-deep", "nested.eml": "too-deep", "cut.docx": "truncated", "cut.pdf": "truncated",
    "locked.docx": "encrypted", "password.pdf": "encrypted", "binary.txt": "unknown-kind", "empty.txt": "empty",
    "empty.docx": "empty",
}  # fmt: skip
READ = {"traversal.docx", "gridspan.docx", "script.pdf", "owneronly.pdf", "escape.txt", "badcharset.html"}


@pytest.fixture(scope="module")
def worker() -> object:
    made = Worker()
    yield made
    made.close()


def words(text: str) -> list[str]:
    text = text.translate(str.maketrans("’‘“”\xa0", "''\"\" ")).replace("\xad", "")
    return re.sub(r"(?m)^\s*(?:[•\-*+]|\d{1,2}[.)]|#+)\s+", "", text).split()


@pytest.mark.parametrize("name", [name for name in MANIFEST if not name.endswith(".jpg")])
def test_text_and_recipes_of_each_document(name: str, worker: Worker) -> None:
    found = worker.read(SHARED / "dev" / name)
    expected = words((SHARED / "dev" / f"{name}.expected.txt").read_text("utf-8"))
    got = words("\n".join(text for _, text in found.recipes))
    assert Levenshtein.distance(expected, got) <= MOST_WRONG * len(expected)
    assert [title for title, _ in found.recipes] == MANIFEST[name]["recipes"]


def test_a_picture_is_read_or_listed_as_a_scan(worker: Worker) -> None:
    path = SHARED / "dev" / "IMG_0412.jpg"
    if shutil.which("tesseract") and importlib.util.find_spec("PIL"):
        found = worker.read(path)
        assert found.recipes[0][0] == MANIFEST[path.name]["recipes"][0]
        assert any("picture" in warning for warning in found.warnings)
    else:
        with pytest.raises(Unreadable, match="picture"):
            worker.read(path)
    with pytest.raises(Unreadable, match="picture"):
        worker.read(path, limits=Limits(scan=False))


def hostile() -> list[str]:
    if not SHARED.is_dir():
        return []
    with (SHARED / "hostile" / "INDEX.tsv").open(encoding="utf-8") as stream:
        names = [row["file"] for row in csv.DictReader(stream, delimiter="\t")]
    return [name for name in names if (SHARED / "hostile" / name).is_file()]


@pytest.mark.parametrize("name", hostile())
def test_a_hostile_file_does_no_harm(name: str, worker: Worker) -> None:
    begun = time.monotonic()
    try:
        worker.read(SHARED / "hostile" / name)
        code = "read"
    except Unreadable as error:
        code = error.code
    assert time.monotonic() - begun < 10
    if name in REFUSED:
        assert code == REFUSED[name]
    if name in READ:
        assert code == "read"
    if worker._process is not None:
        peak = re.search(r"VmHWM:\s+(\d+) kB", Path(f"/proc/{worker._process.pid}/status").read_text())
        assert peak is not None
        assert int(peak[1]) < 500_000
