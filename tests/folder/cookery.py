"""Folders of made-up recipes, runs of the command in a process of its own, and what a DEST holds."""

from __future__ import annotations

import os
import subprocess
import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from converter.folder import Done, Given, Setup, convert_folder
from converter.ledger import Entry, Ledger
from converter.place import cookers, rules

ROOT = Path(__file__).resolve().parent.parent.parent
GOODS = ("leeks", "parsnips", "plums", "barley", "mutton", "apples", "haddock", "beetroot")


def recipe(number: int, *, title: str = "") -> str:
    """One recipe; each number gives another."""
    goods = GOODS[number % len(GOODS)]
    title = title or f"Baked {goods} no. {number}"
    return (
        f"{title}\n\nIngredients\n\n- {400 + 10 * number} g {goods}\n- 50 g butter\n\nMethod\n\n"
        f"1. Heat the oven to {160 + 10 * (number % 7)}°C.\n"
        f"2. Melt the butter in a pan and fry the {goods} for {4 + number % 6} minutes.\n"
        f"3. Bake for {25 + number % 40} minutes until golden.\n"
    )


def fill(src: Path, count: int) -> None:
    """Put so many files below `src`, some in folders, every tenth with two recipes."""
    for number in range(count):
        home = src / ("", "cakes", "cakes/old", "Suppers")[number % 4]
        home.mkdir(parents=True, exist_ok=True)
        text = recipe(number)
        if number % 10 == 0:
            text += "\n\n\n" + recipe(number + 1000)
        (home / f"card {number}.txt").write_text(text, encoding="utf-8")


def setup(form: str = "markdown", cooker: str = "four-oven") -> Setup:
    return Setup(cookers.load(cooker), rules.load(), form=form)


def converted(src: Path, dest: Path, *, form: str = "markdown", cooker: str = "four-oven") -> Done:
    """Convert in this process."""
    with ThreadPoolExecutor(1) as pool:
        return convert_folder(src, dest, setup=setup(form, cooker), engine=Given(pool, width=1))


def command(src: Path, dest: Path, home: Path, *more: str) -> subprocess.Popen[str]:
    """Start ``undial folder`` in a process of its own."""
    env = {**os.environ, "XDG_CONFIG_HOME": str(home), "HOME": str(home)}
    words = ["folder", str(src), str(dest), *more]
    return subprocess.Popen(
        [sys.executable, "-c", f"from converter.cli import main; main({words!r})"],
        cwd=ROOT, env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True, encoding="utf-8",
    )  # fmt: skip


def tree(dest: Path) -> dict[str, bytes]:
    """Every file below DEST but those of the ledger and the lock."""
    return {
        path.relative_to(dest).as_posix(): path.read_bytes()
        for path in sorted(dest.rglob("*"))
        if path.is_file() and not path.name.startswith(("undial-ledger", ".undial-lock"))
    }


def entries(dest: Path) -> list[Entry]:
    with Ledger.open(dest, create=False) as ledger:
        return list(ledger.entries())


def snapshot(src: Path) -> dict[str, tuple[int, int, bytes]]:
    """Names, dates, modes and bytes of all that lies below `src`."""
    return {
        str(path): (path.lstat().st_mtime_ns, path.lstat().st_mode, path.read_bytes() if path.is_file() else b"")
        for path in sorted(src.rglob("*"))
    }


__all__ = ["command", "converted", "entries", "fill", "recipe", "setup", "snapshot", "tree"]
