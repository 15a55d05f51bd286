"""The kinds of flags: level, texts, explanation and a worked example, from rules/flags.yaml."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import cast

from converter.data import DataError, expect_keys, folder, read
from converter.model import LEVELS, Flag, Level, Span


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
            item,
            required=("level", "summary", "message", "why", "explanation", "example"),
            optional=("choices", "source"),
            where=tree.at(name),
        )
        if node["level"] not in LEVELS:
            raise DataError(node.at("level"), f"unknown level '{node['level']}'; allowed are {', '.join(LEVELS)}")
        out[name] = FlagKind(
            name,
            node["level"],
            node["summary"],
            node["message"],
            node["why"],
            tuple(node.get("choices", ())),
            node["explanation"],
            node["example"],
            node.get("source"),
        )
    return out


class _Blank(dict[str, str]):
    """Leaves a name in braces that it does not know."""

    def __missing__(self, key: str) -> str:
        return f"{{{key}}}"


def make(name: str, *, step: int, span: Span, text: str, words: dict[str, str], phase: int | None = None) -> Flag:
    """Return the flag `name` on the `text` at `span`, its texts filled with `words`."""
    kind = table()[name]
    fill = _Blank(words)
    return Flag(
        name=kind.name,
        level=cast(Level, kind.level),
        step=step,
        span=span,
        text=text,
        message=kind.message.format_map(fill),
        why=kind.why.format_map(fill),
        choices=tuple(choice.format_map(fill) for choice in kind.choices),
        source=kind.source,
        phase=phase,
    )
