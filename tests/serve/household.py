"""The recipes of a made-up household for the folder and the judgement room, and what their pages say."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from typing import Any

from converter.serve.catalogue import row_of
from tests.folder.cookery import converted
from tests.serve.doorstep import BEANS, BISCUITS, CARDS, CHICKEN

THREE = {name: text for name, text in CARDS.items() if text in (BISCUITS, CHICKEN, BEANS)}
CHICKEN_ROW = row_of("suppers/chicken and leeks.txt", 1)
WITH = ("leeks", "onions", "apples")


def sausages(goods: str) -> str:
    """A recipe whose one line for judgement, a caution, is like that of the others."""
    return (
        f"Sausages with {goods}\n\nIngredients\n\n- 8 sausages\n- 2 {goods}\n\nMethod\n\n1. Heat the oven to 190°C.\n"
        f"2. Put the sausages and the {goods} into a tin and bake for 40 minutes until brown.\n"
    )


SIX = {**THREE, **{f"more/sausages {goods}.txt": sausages(goods) for goods in WITH}}


def folder_of(cards: dict[str, str], home: Path) -> Path:
    """Write cards below ``recipes`` in `home`, convert them into ``converted`` beside it and return that."""
    src, dest = home / "recipes", home / "converted"
    for name, text in cards.items():
        path = src / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    converted(src, dest)
    return dest


def said(answer: Any) -> str:
    """The words of a page's main part, with single spaces."""
    inner = answer.text.partition("<main")[2].partition("</main>")[0]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", inner)).split())
