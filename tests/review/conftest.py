from __future__ import annotations

import shutil
from dataclasses import replace
from pathlib import Path

import pytest

from converter.ledger import Ledger
from converter.review import Desk
from tests.review.sittings import convert_all, write_cakes


@pytest.fixture(scope="session")
def once(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Recipes and what was made of them, to be copied."""
    made = tmp_path_factory.mktemp("once")
    write_cakes(made / "recipes")
    convert_all(made / "recipes", made / "converted")
    return made


@pytest.fixture
def dest(once: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    monkeypatch.setenv("XDG_CONFIG_HOME", str(tmp_path / "no-config"))
    for name in ("recipes", "converted"):
        shutil.copytree(once / name, tmp_path / name)
    with Ledger.open(tmp_path / "converted") as ledger:
        kept = ledger.settings()
        assert kept is not None
        ledger.remember(replace(kept, src=str(tmp_path / "recipes")))
    return tmp_path / "converted"


@pytest.fixture
def desk(dest: Path, tmp_path: Path) -> Desk:
    return Desk(dest, user_rules=tmp_path / "rules.yaml")
