"""Makes flags from the texts in rules/flags.yaml."""

from __future__ import annotations

from converter.flagkinds import table
from converter.model import Flag, Phase


class _Blank(dict[str, str]):
    def __missing__(self, key: str) -> str:
        return f"{{{key}}}"


def flag(name: str, phase: Phase, words: dict[str, str]) -> Flag:
    """Return the flag `name` on the words of a phase, its texts filled with `words`."""
    kind = table()[name]
    fill = _Blank({"appliance": (phase.appliance or phase.method).replace("-", " "), **words, "food": phase.food or "the food"})
    return Flag(
        kind.name, kind.level, phase.step, phase.span, phase.text, kind.message.format_map(fill), kind.why.format_map(fill),  # type: ignore[arg-type]
        tuple(choice.format_map(fill) for choice in kind.choices), kind.source, phase.number,
    )  # fmt: skip
