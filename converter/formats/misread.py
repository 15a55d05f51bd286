"""Faults that machine reading of paper leaves in a text: the plain ones are mended, and it is said."""

from __future__ import annotations

import re

_MEASURE = (
    r"(?=[ ](?:cups?|tsp|tbsp|teaspoons?|tablespoons?|oz|ounces?|lbs?|pounds?|pints?|litres?|liters?|inch(?:es)?|"
    r"(?:an )?hours?|kg|g)\b)"
)
_MENDS = (
    (re.compile(r"(?<=\d)\*(?=[FC]\b)"), "°"),
    # No English word begins with these two letters.
    (re.compile(r"\brn(?=[a-z]{2})"), "m"),
    (re.compile(r"(?<=\d)[Oo](?=[ ]?(?:°|º|[FC]\b|degrees|min|ml\b|g\b))"), "0"),
    (re.compile(r"\b[lI](?=\d{1,2}[ ]?(?:min|ml\b|g\b|°|hours?\b))"), "1"),
    (re.compile(r"(?:\b|(?<=\d))V2" + _MEASURE), "½"),
    (re.compile(r"(?:\b|(?<=\d))V4" + _MEASURE), "¼"),
)


def mend(text: str) -> tuple[str, int]:
    """Return `text` with misread signs put right where only one reading is possible, and how many they were."""
    total = 0
    for pattern, right in _MENDS:
        text, count = pattern.subn(right, text)
        total += count
    return text, total


def told(count: int) -> str:
    """Return the warning for `count` mended signs."""
    what = "a sign was" if count == 1 else f"{count} signs were"
    return f"it seems read from paper by a machine; {what} put right (V2 to ½, 35O to 350): check every figure"
