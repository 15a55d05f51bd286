"""Two small recipes, converted, and what the tests of the review ask of them."""

from __future__ import annotations

from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from converter.folder import Done as Converted
from converter.folder import Given, Setup, convert_folder
from converter.ledger import Entry, Ledger
from converter.place import rules
from converter.place.cookers import load
from converter.review import Desk, Done, Item, Stale

BUNS = """{title}

Ingredients

- 250 g flour
- 150 g butter
- 200 g sugar
- 3 eggs

Method

1. Cream the butter and sugar, beat in the eggs and fold in the flour.
2. Spoon into a lined tin. Bake at 180°C for {minutes} minutes, until risen. Cool in the tin.
"""


def write_cakes(src: Path) -> None:
    src.mkdir()
    for name, minutes in (("Monday cake", 40), ("Friday cake", 45)):
        (src / f"{name}.txt").write_text(BUNS.format(title=name, minutes=minutes), encoding="utf-8")


def convert_all(src: Path, dest: Path, made: Setup | None = None, name: str = "two-oven") -> Converted:
    with ThreadPoolExecutor(1) as pool:
        return convert_folder(src, dest, setup=made or setup(), engine=Given(pool, width=1), cooker_name=name)


def kept_entries(dest: Path) -> list[Entry]:
    with Ledger.open(dest) as ledger:
        return list(ledger.entries())


def heated_in(desk: Desk, source: str) -> Item:
    return next(
        item for flag in desk.lines().lines if flag.phase and flag.source == source and (item := desk.item(flag.key))
    )


def setup() -> Setup:
    return Setup(load("two-oven"), rules.load())


def texts(dest: Path) -> dict[str, str]:
    return {path.name: path.read_text(encoding="utf-8") for path in dest.glob("*cake.md")}


def heated(desk: Desk) -> Item:
    return next(item for flag in desk.lines().lines if flag.phase and (item := desk.item(flag.key)))


def done(made: Done | Stale) -> Done:
    assert isinstance(made, Done), made
    assert made.trouble == ()
    return made
