"""What is built is whole: the wheel carries its tables and converts a recipe from any folder."""

from __future__ import annotations

import json
import os
import subprocess
import sys
import sysconfig
import venv
import zipfile
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
RECIPE = """Plain oat biscuits

Ingredients

- 100 g oats
- 50 g butter

Method

1. Preheat the oven to 180C.
2. Bake on a greased tray for 15 minutes until golden.
"""


def run(command: list[str], *, cwd: Path, **more: str) -> subprocess.CompletedProcess[str]:
    environ = {name: value for name, value in os.environ.items() if not name.startswith(("PYTHON", "COV_"))}
    done = subprocess.run(
        command, cwd=cwd, env=environ | more, capture_output=True, text=True, encoding="utf-8", timeout=300, check=False
    )
    assert done.returncode == 0, f"{command}\n{done.stdout}\n{done.stderr}"
    return done


@pytest.fixture(scope="module")
def wheel(tmp_path_factory: pytest.TempPathFactory) -> Path:
    folder = tmp_path_factory.mktemp("wheel")
    run([sys.executable, "-m", "build", "--wheel", "--no-isolation", "--outdir", str(folder), str(ROOT)], cwd=folder)
    (made,) = folder.glob("*.whl")
    return made


@pytest.fixture(scope="module")
def command(wheel: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The installed `undial` of a fresh environment that borrows the libraries of this one, but not the checkout."""
    home = tmp_path_factory.mktemp("fresh")
    venv.create(home, with_pip=False, symlinks=os.name != "nt")
    binaries = home / ("Scripts" if os.name == "nt" else "bin")
    python = binaries / ("python.exe" if os.name == "nt" else "python")
    pip = [sys.executable, "-m", "pip", "--python", str(python), "install", "--no-deps", "--no-index", str(wheel)]
    run(pip, cwd=home)
    own = run([str(python), "-c", "import sysconfig; print(sysconfig.get_path('purelib'))"], cwd=home).stdout.strip()
    # Only a folder of libraries is added: .pth files in it, so that of an editable install, are not read.
    libraries = sorted({sysconfig.get_path("purelib"), sysconfig.get_path("platlib")})
    Path(own, "libraries.pth").write_text("\n".join(libraries) + "\n", encoding="utf-8")
    return binaries / ("undial.exe" if os.name == "nt" else "undial")


def test_the_wheel_carries_every_table_and_module(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        names = set(archive.namelist())
    tables = [path for name in ("rules", "lexicon") for path in (ROOT / name).rglob("*.yaml")]
    assert tables
    missing = [path for path in tables if f"converter/_data/{path.relative_to(ROOT).as_posix()}" not in names]
    assert missing == []
    package = [path for path in (ROOT / "converter").rglob("*") if path.is_file() and path.suffix != ".pyc"]
    assert {path.suffix for path in package} >= {".py", ".json", ".html", ".css", ".js", ".svg"}
    assert [path for path in package if path.relative_to(ROOT).as_posix() not in names] == []


def test_the_wheel_carries_nothing_else(wheel: Path) -> None:
    with zipfile.ZipFile(wheel) as archive:
        tops = {name.split("/")[0] for name in archive.namelist()}
    assert {top for top in tops if not top.endswith(".dist-info")} == {"converter"}


def test_the_installed_command_runs_from_its_own_copy(command: Path, tmp_path: Path) -> None:
    python = command.with_name("python.exe" if os.name == "nt" else "python")
    where = run([str(python), "-c", "import converter.data as d; print(d.__file__, d.folder('rules'))"], cwd=tmp_path)
    module, rules = where.stdout.split()
    assert not Path(module).is_relative_to(ROOT)
    assert Path(rules).parts[-2:] == ("_data", "rules")
    assert Path(rules).parent.parent == Path(module).parent


def test_the_installed_command_converts_in_another_folder(command: Path, tmp_path: Path) -> None:
    (tmp_path / "biscuits.txt").write_text(RECIPE, encoding="utf-8")
    settings = {"XDG_CONFIG_HOME": str(tmp_path / "config")}
    done = run([str(command), "convert", "biscuits.txt", "--to", "json"], cwd=tmp_path, **settings)
    made = json.loads(done.stdout)
    (phase,) = made["phases"]
    assert (phase["environment"], phase["seconds"]) == ("oven", [900, 900])
    assert made["placements"][0]["moves"][0]["zone"] == "moderate-oven"
    assert "undial" in run([str(command), "--version"], cwd=tmp_path).stdout


def test_the_installed_command_shows_its_page(command: Path, tmp_path: Path) -> None:
    """Templates and assets came along, and are found in any folder."""
    python = command.with_name("python.exe" if os.name == "nt" else "python")
    code = (
        "from fastapi.testclient import TestClient; from converter.serve.app import build; "
        "from converter.serve import Door; client = TestClient(build(Door()), base_url='http://127.0.0.1:8437'); "
        "print([client.get(path).status_code for path in ('/', '/assets/undial.css', '/cooker')])"
    )
    settings = {name: str(tmp_path / "home") for name in ("XDG_CONFIG_HOME", "XDG_STATE_HOME", "XDG_DATA_HOME")}
    assert run([str(python), "-c", code], cwd=tmp_path, **settings).stdout.strip() == "[200, 200, 200]"


def test_the_source_archive_builds_the_same_wheel(wheel: Path, tmp_path: Path) -> None:
    build = [sys.executable, "-m", "build", "--no-isolation", "--outdir", str(tmp_path)]
    run([*build, "--sdist", str(ROOT)], cwd=tmp_path)
    (sdist,) = tmp_path.glob("*.tar.gz")
    run([sys.executable, "-m", "tarfile", "-e", str(sdist), str(tmp_path / "out")], cwd=tmp_path)
    (source,) = (tmp_path / "out").iterdir()
    assert (source / "pyproject.toml").is_file()
    run([*build, "--wheel", str(source)], cwd=tmp_path)
    (again,) = tmp_path.glob("*.whl")
    with zipfile.ZipFile(wheel) as one, zipfile.ZipFile(again) as other:
        assert sorted(one.namelist()) == sorted(other.namelist())
