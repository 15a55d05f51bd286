"""Oven settings in their other notations: gas mark, fan, words, kitchen steps. All results are °C.

The figures stand in ``lexicon/settings.yaml`` with their sources.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from itertools import pairwise

from converter import data
from converter.model import Range

FAN_OFFSET_K = 20.0  # a fan figure stands this far below the conventional one


@dataclass(frozen=True, slots=True)
class Settings:
    """The table: marks in rising order with usual °C and the range that printed tables give, words to °C."""

    marks: tuple[tuple[float, float, Range], ...]
    words: dict[str, Range]
    holding: dict[str, Range]


@cache
def table() -> Settings:
    """Return the settings table, read once. Raises ``DataError`` for a table that breaks its shape."""
    root = data.expect_keys(
        data.lexicon("settings"), required=("gas_marks", "oven_words", "holding_words"), where="lexicon/settings.yaml"
    )
    marks = []
    for node in root["gas_marks"]:
        row = data.expect_keys(node, required=("mark", "celsius", "printed"), optional=("source",))
        marks.append((float(row["mark"]), float(row["celsius"]), _range(row, "printed")))
    if marks != sorted(marks):
        raise data.DataError(root.at("gas_marks"), "the marks must rise")
    found: dict[str, dict[str, Range]] = {"oven_words": {}, "holding_words": {}}
    for key, words in found.items():
        for node in root[key]:
            row = data.expect_keys(node, required=("words", "celsius", "source"))
            for word in row["words"]:
                if word in words:
                    raise data.DataError(row.where, f"the word '{word}' is given twice")
                words[word] = _range(row, "celsius")
    return Settings(tuple(marks), found["oven_words"], found["holding_words"])


def _range(row: data.Node, key: str) -> Range:
    low, high = row[key]
    if low > high:
        raise data.DataError(row.at(key), f"'{key}' runs backwards")
    return float(low), float(high)


def gas_celsius(mark: float) -> float:
    """Return the usual °C of a gas mark; marks between two printed ones by interpolation.

    Raises ``ValueError`` for a mark outside the table.
    """
    return _between(mark)[0]


def gas_range(mark: float) -> Range:
    """Return lowest and highest °C that printed tables give for a gas mark; raises as `gas_celsius`."""
    return _between(mark)[1]


def _between(mark: float) -> tuple[float, Range]:
    marks = table().marks
    if not marks[0][0] <= mark <= marks[-1][0]:
        raise ValueError(f"there is no gas mark {mark:g}")
    for (below, low_c, low_range), (above, high_c, high_range) in pairwise(marks):
        if mark <= above:
            part = (mark - below) / (above - below)
            return (
                low_c + part * (high_c - low_c),
                (
                    low_range[0] + part * (high_range[0] - low_range[0]),
                    low_range[1] + part * (high_range[1] - low_range[1]),
                ),
            )
    raise AssertionError("a mark within the table has two neighbours")


def conventional_celsius(fan_c: float) -> float:
    """Return the conventional setting for a fan setting, both in °C."""
    return fan_c + FAN_OFFSET_K


def fan_celsius(oven_c: float) -> float:
    """Return the fan setting for a conventional setting, both in °C."""
    return oven_c - FAN_OFFSET_K


def word_celsius(words: str, *, holding: bool = False) -> Range | None:
    """Return the °C range of "hot", "very slow" and the like, ``None`` for words the table lacks.

    `holding` says that the oven keeps cooked food warm: "low" and "warm" are
    cooler then.
    """
    key = " ".join(words.lower().replace("-", " ").split()).removesuffix(" oven")
    settings = table()
    if holding and key in settings.holding:
        return settings.holding[key]
    return settings.words.get(key)


def kitchen_step(oven_c: float) -> int:
    """Return the nearest figure that a kitchen dial shows: steps of 10 °C, and of 5 °C where it lies midway."""
    ten = round(oven_c / 10) * 10
    return ten if abs(oven_c - ten) <= 2.5 else round(oven_c / 5) * 5
