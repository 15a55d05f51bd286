"""Runs the examples inside the rule files through the same door as the command."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from converter.model import Flag, Placement, Reading
from converter.pipeline import placed
from converter.place.cookers import load as load_cooker
from converter.place.rules import Example, Rule, RuleTable, build
from converter.read.text import document


@dataclass(frozen=True, slots=True)
class Finding:
    """What one example showed. ``ok`` also where a known wrong one is still wrong."""

    rule: Rule
    example: Example
    number: int
    ok: bool
    message: str


def recipe_text(example: Example) -> str:
    """Return the recipe that an example stands for; its line may hold several steps, one a line."""
    parts = [example.title, ""]
    if example.ingredients:
        parts += ["Ingredients", "", *(f"- {item}" for item in example.ingredients), ""]
    lines = [line for line in example.line.replace("«", "").replace("»", "").split("\n") if line.strip()]
    return "\n".join([*parts, "Method", "", *(f"{n}. {line}" for n, line in enumerate(lines, 1))]) + "\n"


def marked(example: Example) -> str:
    """Return the words between « and »."""
    return example.line.partition("«")[2].partition("»")[0].replace("\n", " ").strip()


def _reached(example: Example, table: RuleTable) -> tuple[Reading, tuple[Placement, ...], tuple[Flag, ...]]:
    text = recipe_text(example)
    reading, done, flags = placed(document(text, name="example"), cooker=load_cooker(example.cooker), rules=table)
    return reading, done, flags


def _missing(gives: dict[str, Any], placement: Placement, flags: tuple[Flag, ...]) -> str | None:
    moves = placement.moves
    if "zones" in gives and [m.zone for m in moves] != list(gives["zones"]):
        return f"gives {[m.zone for m in moves]}, not {list(gives['zones'])}"
    if "heights" in gives and [m.height for m in moves if m.height] != list(gives["heights"]):
        return f"gives heights {[m.height for m in moves if m.height]}, not {list(gives['heights'])}"
    if "shield" in gives and any(m.shield for m in moves) != gives["shield"]:
        return f"shield is {not gives['shield']}"
    if "cover" in gives and moves[-1].cover is not gives["cover"]:
        return f"cover is {moves[-1].cover}"
    if "minutes" in gives:
        last = moves[-1].minutes if moves else None
        low, high = gives["minutes"]
        if last is None or last.low < low or last.high > high:
            return f"gives {last}, not within {low} to {high} minutes"
    names = {f.name for f in flags if f.phase == placement.phase}
    for name in gives.get("flags", ()):
        if name not in names:
            return f"does not flag {name}; flags are {', '.join(sorted(names)) or 'none'}"
    return None


def run_example(rule: Rule, example: Example, number: int, table: RuleTable) -> Finding:
    """Run one example with all rules on; the rule named must be the one that wins."""
    reading, done, flags = _reached(example, table)
    mine = [p for p in done if p.rule == rule.id]
    problem: str | None
    if example.silent is not None:
        problem = (
            f"fires on '{reading.phases[mine[0].phase - 1].text}', should stay silent: {example.silent}"
            if mine
            else None
        )
    elif not mine:
        fired = ", ".join(p.rule for p in done) or "no phase was found"
        problem = f"does not fire ({fired})"
    else:
        wanted = marked(example)
        words = [reading.phases[p.phase - 1].text for p in mine]
        hits = [p for p, text in zip(mine, words, strict=True) if " ".join(text.split()) == wanted]
        problem = (
            f"is about {words}, not about '{wanted}'" if not hits else _missing(dict(example.gives), hits[0], flags)
        )
    if example.known_wrong is not None:
        return Finding(
            rule,
            example,
            number,
            problem is not None,
            problem or "is marked known wrong and is right now: take the mark off",
        )
    return Finding(rule, example, number, problem is None, problem or "")


def run(table: RuleTable, *, only: str | None = None) -> list[Finding]:
    """Run every example of the table, or of the rule `only`.

    Those of the built-in rules are run without the household's own, which are there to take their place.
    """
    plain = build([rule for rule in table.rules if not rule.own]) if any(rule.own for rule in table.rules) else table
    return [
        run_example(rule, example, number, table if rule.own else plain)
        for rule in table.rules
        if only is None or rule.id == only
        for number, example in enumerate(rule.examples, start=1)
    ]
