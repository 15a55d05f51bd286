"""Numbers as recipes write them: digits, fractions, mixed numbers, words.

The patterns are for lower-case text. `NUMBER` matches digits and fractions,
`WORDS` number words; `value` reads either.
"""

from __future__ import annotations

import re
from functools import lru_cache

_SIGNS = {
    "½": 0.5, "⅓": 1 / 3, "⅔": 2 / 3, "¼": 0.25, "¾": 0.75, "⅕": 0.2, "⅖": 0.4, "⅗": 0.6, "⅘": 0.8,
    "⅙": 1 / 6, "⅚": 5 / 6, "⅛": 0.125, "⅜": 0.375, "⅝": 0.625, "⅞": 0.875,
}  # fmt: skip
SIGNS = "".join(_SIGNS)

_ONES = ("one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve",
         "thirteen", "fourteen", "fifteen", "sixteen", "seventeen", "eighteen", "nineteen")  # fmt: skip
_TENS = {"twenty": 20, "thirty": 30, "forty": 40, "fourty": 40, "fifty": 50, "sixty": 60, "seventy": 70,
         "eighty": 80, "ninety": 90}  # fmt: skip
_WORD_VALUES: dict[str, float] = {word: float(n) for n, word in enumerate(_ONES, 1)} | {
    word: float(n) for word, n in _TENS.items()
}

DASH = "-‐‑‒–—−"
NUMBER = (
    rf"(?:\d{{1,4}}(?:[ \u00a0]|[ ]?(?:and|&)[ ]|-)?[{SIGNS}]"  # 1½  1 ½  1 and ½  1-½
    rf"|\d{{1,3}}(?:[ \u00a0]{{1,2}}|[ ](?:and|&)[ ]|[ ]?[{DASH}][ ]?)[1-9][/⁄][2-8](?![\d/])"  # 1 1/2  1-1/2
    r"|\d{1,3}[/⁄]\d{1,3}(?![\d/])"
    r"|\d{1,2}[ -]and[ -]a[ -]half|\d{1,4}(?:[.,]\d{1,2}(?!\d))?"
    rf"|[{SIGNS}])"
)
WORDS = (
    rf"(?:(?:{'|'.join(_TENS)})(?:[ -](?:{'|'.join(_ONES[:9])}))?|{'|'.join(sorted(_ONES, key=len, reverse=True))})"
    r"(?:[ -]and[ -](?:a[ -]|one[ -])?(?:half|quarter)|[ -]and[ -]three[ -]quarters)?"
)

_SPLIT = re.compile(rf"[ \u00a0]+|[ ]?(?:and|&)[ ]|[ ]?[{DASH}][ ]?")
_ONE_HALF = re.compile(r"\bone[ -]half|\bone[ -](?=quarter)")
_WORD_SPLIT = re.compile(r"[ -]+")


def _fraction(text: str) -> float | None:
    """Read "3/4"; ``None`` where the slash cannot be a fraction line ("20/25")."""
    above, below = re.split("[/⁄]", text)
    top, bottom = int(above), int(below)
    if bottom == 0:
        return None
    if "⁄" in text and len(above) > 1 and bottom < 10:  # 11⁄2 = 1½ once raised figures are made plain
        return int(above[:-1]) + int(above[-1]) / bottom
    if top < bottom and bottom in (2, 3, 4, 5, 6, 8):
        return top / bottom
    return None


def pair(text: str) -> tuple[float, float] | None:
    """Read "20/25" as two numbers; ``None`` where it is one number."""
    if ("/" in text or "⁄" in text) and value(text) is None:
        above, below = re.split("[/⁄]", _SPLIT.split(text)[-1])
        return float(above), float(below)
    return None


@lru_cache(maxsize=4096)
def value(text: str) -> float | None:
    """Return the number that `text` writes; ``None`` if it is none ("20/25", "5/0")."""
    text = text.strip()
    if text.isdigit() and text.isascii():
        return float(text)
    if text[:1].isalpha():
        return _words(text)
    if text.endswith("half"):
        return float(_WORD_SPLIT.split(text)[0]) + 0.5
    if text and text[-1] in _SIGNS:
        whole = text[:-1].strip(" \u00a0-")
        whole = whole.removesuffix("and").removesuffix("&").strip()
        return (float(whole) if whole else 0.0) + _SIGNS[text[-1]]
    if "/" in text or "⁄" in text:
        parts = [part for part in _SPLIT.split(text) if part]
        fraction = _fraction(parts[-1])
        if fraction is None:
            return None
        return fraction + (float(parts[0]) if len(parts) > 1 else 0.0)
    try:
        return float(text.replace(",", "."))
    except ValueError:
        return None


def _words(text: str) -> float | None:
    total = 0.0
    text = _ONE_HALF.sub("half", text)
    for word in _WORD_SPLIT.split(text):
        if word in _WORD_VALUES:
            total += _WORD_VALUES[word]
        elif word == "half":
            total += 0.5
        elif word == "quarter":
            total += 0.25
        elif word == "quarters":
            total += 0.75 - 3
        elif word not in ("and", "a"):
            return None
    return total
