"""What the tests of placing share."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest


@pytest.fixture
def write(tmp_path: Path) -> Any:
    def put(text: str, name: str = "own.yaml") -> Path:
        path = tmp_path / name
        path.write_text(text, encoding="utf-8")
        return path

    return put
