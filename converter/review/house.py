"""Makes a rule of the household's own from a decision, with its example, and writes it only if it holds."""

from __future__ import annotations

import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import yaml

from converter import examples
from converter.data import DataError, parse
from converter.files import FileTrouble, write_whole
from converter.folder.work import Setup
from converter.ledger import LedgerError
from converter.model import Phase, Result
from converter.place import rules
from converter.place.options import moves_of
from converter.place.rules import MoveRule, RuleTable
from converter.review.items import Item

_HEAD = "# Rules of this household; undial check runs their examples.\n"
# How far the rule reaches to either side of the recipe's setting, K. By judgement.
_REACH_KELVIN = 10
_MISSES = ("Boil the water for 3 minutes.", "Bake at 100°C for 10 minutes.", "Grill for 4 minutes.")


def make_rule(item: Item, result: Result, code: str, *, setup: Setup, path: Path, who: str) -> str:
    """Write a rule that does for this kind of line what was decided, and say what it is called.

    `result` is the conversion that the line was taken from, `code` the id of the way that was decided.

    The rule and its examples are run first with all the others; one that does not hold is not written. Raises
    ``LedgerError`` with the reason.
    """
    source = moves_of(code, setup.rules)
    if source is None or not item.flag.phase:
        raise LedgerError("no rule can be made of this answer; only of the proposal or a numbered way of a heated line")
    phase = result.reading.phases[item.flag.phase - 1]
    if phase.food_class is None and phase.dish is None:
        raise LedgerError("no rule can be made: the food of this line is not known")
    old = path.read_text(encoding="utf-8") if path.is_file() else _HEAD
    taken = {rule.id for rule in setup.rules.rules}
    rule = _rule(phase, source.moves, who, taken)
    last = "the rule does not fire on its own line"
    for miss in _MISSES:
        rule["examples"] = [
            _example(item, result, phase, code=code, cooker=setup.cooker.name),
            {"line": miss, "silent": "another heat or kind of cooking"},
        ]
        text = f"{old.rstrip()}\n{yaml.safe_dump([rule], allow_unicode=True, sort_keys=False, width=110)}"
        try:
            own = rules.parse_rules(parse(text, str(path)), str(path), own=True)
            table = rules.build([*(kept for kept in setup.rules.rules if not kept.own), *own])
        except DataError as error:
            raise LedgerError(f"no rule can be made: {error}") from None
        wrong = list(_wrong(table))
        if not wrong:
            try:
                path.parent.mkdir(parents=True, exist_ok=True)
                write_whole(path, text, force=True)
            except (FileTrouble, OSError) as error:
                raise LedgerError(str(error)) from None
            rules.load.cache_clear()
            return f"the rule {rule['id']} is in {path}; undial folder uses it from the next run on"
        last = wrong[0]
    raise LedgerError(f"no rule was made: {last}")


def _wrong(table: RuleTable) -> Iterator[str]:
    for rule in table.rules:
        if rule.own:
            for number, example in enumerate(rule.examples, start=1):
                finding = examples.run_example(rule, example, number, table)
                if not finding.ok:
                    yield f"{rule.id}, example {number}: {finding.message}"


def _rule(phase: Phase, moves: tuple[MoveRule, ...], who: str, taken: set[str]) -> dict[str, Any]:
    when: dict[str, Any] = {"environment": phase.environment, "method": phase.method}
    about = phase.food_class or phase.dish or ""
    when["food" if phase.food_class else "dish"] = about
    if phase.environment == "oven" and phase.celsius is not None:
        middle = round((phase.celsius[0] + phase.celsius[1]) / 2)
        when["celsius"] = {"from": middle - _REACH_KELVIN, "below": middle + _REACH_KELVIN}
    stem = f"house/{about}-{phase.method}"
    name, count = stem, 1
    while name in taken:
        count += 1
        name = f"{stem}-{count}"
    return {
        "id": name, "summary": f"{about.replace('-', ' ')}: as this household decided", "when": when,
        "moves": [_move(move) for move in moves], "why": "decided by this household",
        "source": f"the household, {who or 'no name'}",
    }  # fmt: skip


def _move(move: MoveRule) -> dict[str, Any]:
    timing: dict[str, Any] = {"law": move.timing.law, "low": move.timing.low, "high": move.timing.high}
    if move.timing.look is not None:
        timing["look"] = move.timing.look
    made: dict[str, Any] = {"zone": list(move.zones), "timing": timing}
    made |= {"height": list(move.heights)} if move.heights else {}
    made |= {"shield": True} if move.shield else {}
    made |= {"cover": move.cover} if move.cover is not None else {}
    return made | ({"until": move.until} if move.until else {})


def _example(item: Item, result: Result, phase: Phase, *, code: str, cooker: str) -> dict[str, Any]:
    recipe = result.reading.recipe
    chosen = next((choice.moves for choice in item.choices if choice.code == code), None)
    if chosen is None:
        chosen = next(placed.moves for placed in result.placements if placed.phase == phase.number)
    text = recipe.document.text
    lines = []
    for step in recipe.steps:
        if step.number == phase.step:
            start, end = phase.span.start - step.span.start, phase.span.end - step.span.start
            whole = text[step.span.start : step.span.end]
            lines.append(_flat(whole[:start] + "«" + whole[start:end] + "»" + whole[end:]))
        else:
            lines.append(_flat(step.text))
    return {
        "line": "\n".join(lines), "title": item.title or "A dish",
        "ingredients": [part.text for part in recipe.ingredients], "cooker": cooker,
        "gives": {"zones": [move.zone for move in chosen]},
    }  # fmt: skip


def _flat(text: str) -> str:
    return re.sub(r"\s+", " ", text).strip()
