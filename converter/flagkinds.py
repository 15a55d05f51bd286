"""The kinds of flags: level, texts, explanation and a worked example, from rules/flags.yaml."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from converter.data import DataError, expect_keys, folder, read
from converter.model import LEVELS


@dataclass(frozen=True, slots=True)
class FlagKind:
    """One kind of flag. ``message``, ``why`` and ``choices`` may hold {zone}, {food}, {kelvin}, {way}, {appliance}."""

    name: str
    level: str
    summary: str
    message: str
    why: str
    choices: tuple[str, ...]
    explanation: str
    example: str
    source: str | None = None


@cache
def table() -> dict[str, FlagKind]:
    """Return every kind by name. Raises ``DataError`` with file and line for a broken table."""
    out: dict[str, FlagKind] = {}
    tree = read(folder("rules") / "flags.yaml", name="rules/flags.yaml")
    for name, item in tree.items():
        node = expect_keys(
            item, required=("level", "summary", "message", "why", "explanation", "example"), optional=("choices", "source"),
            where=tree.at(name),
        )  # fmt: skip
        if node["level"] not in LEVELS:
            raise DataError(node.at("level"), f"unknown level '{node['level']}'; allowed are {', '.join(LEVELS)}")
        out[name] = FlagKind(
            name, node["level"], node["summary"], node["message"], node["why"], tuple(node.get("choices", ())),
            node["explanation"], node["example"], node.get("source"),
        )  # fmt: skip
    return out
