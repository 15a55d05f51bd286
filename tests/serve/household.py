"""The recipes of a made-up household for the folder and the judgement room, and what their pages say."""

from __future__ import annotations

import re
from html import unescape
from pathlib import Path
from typing import Any

from converter.serve.catalogue import row_of
from tests.folder.cookery import converted

BISCUITS = """Oat biscuits

Ingredients

- 200 g oats
- 100 g butter
- 80 g sugar

Method

1. Heat the oven to 180°C (gas 4).
2. Melt the butter with the sugar in a pan, then stir in the oats.
3. Spread on a greased tray and bake for 20 minutes until golden.
"""
CHICKEN = """Chicken with leeks

Serves 4

Ingredients

- 1 chicken, 1.6 kg
- 3 leeks
- 50 g butter

Method

1. Preheat the oven to 200°C (180°C fan).
2. Fry the leeks in the butter over a medium heat for 8 minutes.
3. Put the chicken on the leeks, cover and roast for 1 hour.
4. Take off the lid and roast for a further 20 minutes until brown.
5. Rest for 15 minutes.
"""
BEANS = """Bean pot

Ingredients

- 250 g dried kidney beans, soaked
- 2 onions
- 1 tin tomatoes

Method

1. Fry the onions in oil over a low heat for 10 minutes.
2. Add the beans and tomatoes, cover with water and bring to the boil.
3. Cover and simmer gently for 2 hours, then grill the top under a hot grill for 5 minutes.
4. Keep warm until wanted.
"""
THREE = {"oat biscuits.txt": BISCUITS, "suppers/chicken and leeks.txt": CHICKEN, "suppers/bean pot.txt": BEANS}
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
