"""The shape of the code: what may import what, and how long a file may be."""

from __future__ import annotations

import ast
from pathlib import Path

import pytest

ROOT = Path(__file__).resolve().parent.parent
PACKAGE = ROOT / "converter"
MOST_LINES = 400

# A module may import those of a lower number, and those of its own package.
LAYERS = {
    "converter": 0,
    "model": 0,
    "data": 1,
    "units": 2,
    "diagnostics": 2,
    "flagkinds": 2,
    "heat": 3,
    "ledger": 3,
    "read": 4,
    "place": 4,
    "write": 4,
    "pipeline": 5,
    "examples": 6,
    "files": 6,
    "formats": 6,
    "cli_parts": 7,
    "folder": 8,
    "review": 9,
    "cli_review": 10,
    "heat_answer": 6,
    "readings": 7,
    "cli_look": 8,
    "cli_words": 8,
    "cli_own": 9,
    "cli_heat": 9,
    "cli_folder": 9,
    "cli_cooker": 9,
    "cli": 12,
    "serve": 10,
    "cli_serve": 11,
}


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def dotted(path: Path) -> str:
    parts = path.relative_to(ROOT).with_suffix("").parts
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def imported(tree: ast.AST, module: str, *, is_package: bool = False) -> set[str]:
    """Dotted names of ours that a module imports anywhere: inside functions and for types alone too."""
    names: set[str] = set()
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            names |= {alias.name for alias in node.names}
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                home = module.split(".") if is_package else module.split(".")[:-1]
                base = ".".join([*home[: len(home) - node.level + 1], *([node.module] if node.module else [])])
            # `from converter import units` names a module, `from converter.units import f` a thing in one.
            names |= {f"{base}.{alias.name}" for alias in node.names} if base == "converter" else {base}
    return {name for name in names if name.split(".")[0] == "converter"}


def layer_name(module: str) -> str:
    parts = module.split(".")
    if len(parts) == 1 or parts[1].startswith("__"):
        return "converter"
    return parts[1]


def complaints(module: str, tree: ast.AST, *, is_package: bool = False) -> list[str]:
    own = layer_name(module)
    found = []
    for name in sorted(imported(tree, module, is_package=is_package)):
        other = layer_name(name)
        if other == own:
            continue
        if other not in LAYERS:
            found.append(f"{module} imports {name}, which has no layer")
        elif LAYERS[other] >= LAYERS[own]:
            found.append(f"{module} imports {name}: {own} may not import {other}")
    return found


@pytest.mark.parametrize("path", modules(), ids=dotted)
def test_imports_point_down(path: Path) -> None:
    module = dotted(path)
    assert layer_name(module) in LAYERS, f"{module} has no layer; give it one in this test"
    tree = ast.parse(path.read_text(encoding="utf-8"))
    assert complaints(module, tree, is_package=path.name == "__init__.py") == []


@pytest.mark.parametrize(
    ("module", "line"),
    [
        ("converter.read.steps", "from converter.place.rules import load"),
        ("converter.read.steps", "def f():\n    from converter import write"),
        ("converter.write.page", "import converter.pipeline"),
        ("converter.model", "from converter import data"),
        ("converter.place.match", "from ..read import lines"),
        ("converter.diagnostics", "from converter.cli import main"),
        ("converter.files", "from converter.elsewhere import thing"),
    ],
)
def test_the_check_sees_an_import_that_points_up(module: str, line: str) -> None:
    assert len(complaints(module, ast.parse(line))) == 1


def test_the_check_passes_imports_that_point_down() -> None:
    fine = "from converter.model import Span\nfrom . import words\nfrom converter import data, units\nimport json"
    assert complaints("converter.read.steps", ast.parse(fine)) == []


def test_modules_of_a_package_do_not_go_round_in_a_circle() -> None:
    graph = {}
    for path in modules():
        tree = ast.parse(path.read_text(encoding="utf-8"))
        top = ast.Module([node for node in tree.body if isinstance(node, ast.Import | ast.ImportFrom)], [])
        known = {dotted(other) for other in modules()}
        graph[dotted(path)] = set()
        for node in top.body:
            if isinstance(node, ast.ImportFrom) and node.module:
                deep = {f"{node.module}.{alias.name}" for alias in node.names} & known
                graph[dotted(path)] |= deep or ({node.module} & known)
    done: set[str] = set()

    def visit(name: str, trail: tuple[str, ...]) -> None:
        assert name not in trail, f"a circle of imports: {' -> '.join((*trail, name))}"
        if name not in done:
            for other in sorted(graph[name]):
                visit(other, (*trail, name))
            done.add(name)

    for name in graph:
        visit(name, ())


def long_files() -> list[Path]:
    return sorted([*modules(), *(ROOT / "rules").rglob("*.yaml"), *(ROOT / "lexicon").rglob("*.yaml")])


@pytest.mark.parametrize("path", long_files(), ids=lambda path: str(path.relative_to(ROOT)))
def test_no_file_is_too_long(path: Path) -> None:
    lines = path.read_text(encoding="utf-8").count("\n")
    assert lines <= MOST_LINES, f"{path.name} has {lines} lines; split it by what it is about"


def test_the_data_folders_hold_only_yaml() -> None:
    others = [
        path.name
        for name in ("rules", "lexicon")
        for path in (ROOT / name).rglob("*")
        if path.is_file() and path.suffix != ".yaml"
    ]
    assert others == []
