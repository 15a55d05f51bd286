"""The rule table: its closed shape, how it is loaded, which rule wins.

A rule says in which situation (`when`) a phase becomes which moves. Conditions
are plain keys; `KEYS` lists them from the strongest to the weakest. Of two
rules that fit, the one wins that has the strongest condition that the other
lacks; two that differ only in their signs go by the order of `SIGNS`; two rules that
could never be told apart are refused when the table is
loaded, unless one names the other in `before`.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from functools import cache
from pathlib import Path
from typing import Any

from converter.data import DataError, Node, expect_keys, folder, parse, read
from converter.model import ENVIRONMENTS, HEIGHTS, OVENS, ZONES
from converter.place.signs import SIGNS

# Strongest first. Lists hold words of which one must be true; ranges are {from, below}.
KEYS = (
    "marks",
    "appliance",
    "dish",
    "food",
    "with",
    "forms",
    "sign",
    "method",
    "lid",
    "heat",
    "attended",
    "minutes",
    "celsius",
    "grams",
    "height",
    "time",
    "cooker",
    "environment",
)
RANGES = ("minutes", "celsius", "grams")
LAWS = (
    "as-written",
    "clock",
    "factor",
    "own",
    "boil-up",
    "attended",
    "first-leg",
    "remainder",
    "per-kg",
    "core",
    "none",
)
_STRENGTH = {key: 1 << (len(KEYS) - n) for n, key in enumerate(KEYS)}


@dataclass(frozen=True, slots=True)
class Timing:
    """How the minutes of a move are worked out: a law and its figures."""

    law: str
    low: float = 1.0
    high: float = 1.0
    look: float | None = None


@dataclass(frozen=True, slots=True)
class MoveRule:
    """One move of a rule. ``zones`` and ``heights`` are preferences, the first that the cooker has is taken."""

    zones: tuple[str, ...]
    heights: tuple[str, ...]
    timing: Timing
    shield: bool = False
    cover: bool | None = None
    until: str | None = None


@dataclass(frozen=True, slots=True)
class Example:
    """A worked example: a recipe line and what the rule makes of it."""

    line: str
    title: str
    ingredients: tuple[str, ...]
    cooker: str
    gives: tuple[tuple[str, Any], ...]
    silent: str | None
    known_wrong: str | None
    where: str


@dataclass(frozen=True, slots=True)
class Rule:
    """One row of the table. ``when`` maps a key to the values that satisfy it."""

    id: str
    summary: str
    when: dict[str, Any]
    moves: tuple[MoveRule, ...]
    why: str
    source: str
    flags: tuple[str, ...]
    choices: tuple[str, ...]
    examples: tuple[Example, ...]
    before: tuple[str, ...]
    where: str
    own: bool = False
    strength: int = field(default=0)


@dataclass(frozen=True, slots=True)
class RuleTable:
    """All rules, the strongest first."""

    rules: tuple[Rule, ...]

    def get(self, rule_id: str) -> Rule | None:
        """Return the rule of this id."""
        return next((rule for rule in self.rules if rule.id == rule_id), None)


def _words(node: Node, key: str) -> tuple[str, ...]:
    value = node[key]
    items = value if isinstance(value, list) else [value]
    for item in items:
        if not isinstance(item, str) or not item:
            raise DataError(node.at(key), f"'{key}' takes words (quote on, off, yes and no), found {item!r}")
    return tuple(items)


def _range(node: Node, key: str) -> tuple[float, float]:
    bounds = expect_keys(node[key], required=(), optional=("from", "below"), where=node.at(key))
    low, high = bounds.get("from", float("-inf")), bounds.get("below", float("inf"))
    for value in (low, high):
        if isinstance(value, bool) or not isinstance(value, (int, float)):
            raise DataError(node.at(key), f"'{key}' takes numbers, found {value!r}")
    if not bounds or low >= high:
        raise DataError(node.at(key), f"'{key}' needs from or below, and from must be less than below")
    return float(low), float(high)


def _check(node: Node, key: str, words: Iterable[str], allowed: Iterable[str]) -> None:
    known = tuple(allowed)
    for word in words:
        if word not in known:
            raise DataError(node.at(key), f"unknown {key} '{word}'; allowed are {', '.join(known)}")


def _when(node: Node) -> dict[str, Any]:
    when = expect_keys(node["when"], required=(), optional=KEYS, where=node.at("when"))
    if not when:
        raise DataError(node.at("when"), "a rule needs at least one condition")
    out: dict[str, Any] = {}
    for key in when:
        if key in RANGES:
            out[key] = _range(when, key)
        elif key == "cooker":
            both = expect_keys(when[key], required=(), optional=("has", "lacks"), where=when.at(key))
            has = _words(both, "has") if "has" in both else ()
            lacks = _words(both, "lacks") if "lacks" in both else ()
            _check(both, "has", has, ZONES)
            _check(both, "lacks", lacks, ZONES)
            out[key] = (frozenset(has), frozenset(lacks))
        else:
            out[key] = frozenset(_words(when, key))
    if "environment" in out:
        _check(when, "environment", out["environment"], ENVIRONMENTS)
    if "sign" in out:
        _check(when, "sign", out["sign"], SIGNS)
    if "time" in out:
        _check(when, "time", out["time"], ("given", "none"))
    if "attended" in out:
        _check(when, "attended", out["attended"], ("yes", "no"))
    return out


def _timing(value: Any, node: Node) -> Timing:
    if isinstance(value, str):
        law, figures = value, Node(node.file, node.line)
    else:
        figures = expect_keys(value, required=("law",), optional=("low", "high", "look"), where=node.at("timing"))
        law = figures["law"]
    if law not in LAWS:
        raise DataError(node.at("timing"), f"unknown timing law '{law}'; allowed are {', '.join(LAWS)}")
    low = figures.get("low", 1.0)
    high = figures.get("high", low)
    look = figures.get("look")
    for number in (low, high, look):
        if number is not None and (isinstance(number, bool) or not isinstance(number, (int, float)) or number < 0):
            raise DataError(node.at("timing"), f"a timing takes numbers from 0, found {number!r}")
    if low > high:
        raise DataError(node.at("timing"), "the low figure of a timing is above the high one")
    return Timing(law, float(low), float(high), None if look is None else float(look))


def _move(value: Any, where: str) -> MoveRule:
    node = expect_keys(value, required=("zone", "timing"), optional=("height", "shield", "cover", "until"), where=where)
    zones = _words(node, "zone")
    _check(node, "zone", zones, ZONES)
    heights = _words(node, "height") if "height" in node else ()
    _check(node, "height", heights, HEIGHTS)
    if heights and not any(zone in OVENS for zone in zones):
        raise DataError(node.at("height"), "a plate has no height")
    for key in ("shield", "cover"):
        if key in node and not isinstance(node[key], bool):
            raise DataError(node.at(key), f"'{key}' is true or false")
    return MoveRule(
        zones,
        heights,
        _timing(node["timing"], node),
        bool(node.get("shield", False)),
        node.get("cover"),
        node.get("until"),
    )


def _example(value: Any, where: str) -> Example:
    node = expect_keys(
        value,
        required=("line",),
        optional=("title", "ingredients", "cooker", "gives", "silent", "known_wrong"),
        where=where,
    )
    if ("gives" in node) == ("silent" in node):
        raise DataError(node.where, "an example says either what the rule gives or why it stays silent")
    gives = node.get("gives") or {}
    if "gives" in node:
        expect_keys(
            gives, required=(), optional=("zones", "heights", "minutes", "shield", "cover", "flags"), where=node.where
        )
        if not gives:
            raise DataError(
                node.at("gives"), "'gives' must say something: zones, heights, minutes, shield, cover or flags"
            )
        if node["line"].count("«") != 1 or node["line"].count("»") != 1:
            raise DataError(node.at("line"), "mark the words that the rule is about with « and »")
    return Example(
        node["line"],
        node.get("title", "A dish"),
        tuple(node.get("ingredients", ())),
        node.get("cooker", "four-oven"),
        tuple(gives.items()),
        node.get("silent"),
        node.get("known_wrong"),
        node.where,
    )


def _rule(value: Any, where: str, *, own: bool, bare: bool) -> Rule:
    node = expect_keys(
        value,
        required=("id", "summary", "when", "moves", "why", "source", "examples"),
        optional=("flags", "choices", "before"),
        where=where,
    )
    for key in ("id", "summary", "why", "source"):
        if not isinstance(node[key], str) or not node[key].strip():
            raise DataError(node.at(key), f"'{key}' must be a line of text")
    if not isinstance(node["moves"], list) or not isinstance(node["examples"], list):
        raise DataError(node.where, "'moves' and 'examples' are lists")
    examples = tuple(_example(item, node.at("examples")) for item in node["examples"])
    if not bare and (not any(e.gives for e in examples) or not any(e.silent for e in examples)):
        raise DataError(
            node.at("examples"), "a rule needs one example where it fires and one near miss where it stays silent"
        )
    when = _when(node)
    return Rule(
        node["id"],
        node["summary"],
        when,
        tuple(_move(item, node.at("moves")) for item in node["moves"]),
        node["why"],
        node["source"],
        _words(node, "flags") if "flags" in node else (),
        _words(node, "choices") if "choices" in node else (),
        examples,
        _words(node, "before") if "before" in node else (),
        node.where,
        own,
        sum(_STRENGTH[key] for key in when),
    )


def parse_rules(tree: Any, name: str, *, own: bool = False, bare: bool = False) -> list[Rule]:
    """Return the rules of one read file; `bare` ones come without their examples.

    Raises ``DataError`` with file and line.
    """
    if not isinstance(tree, list):
        raise DataError(name, "a rule file is a list of rules")
    return [_rule(item, name, own=own, bare=bare) for item in tree]


def _overlap(key: str, a: Any, b: Any) -> bool:
    if key in RANGES:
        return bool(a[0] < b[1] and b[0] < a[1])
    if key == "cooker":
        return not (a[0] & b[1] or b[0] & a[1])
    return bool(a & b)


def _ties(rules: list[Rule]) -> None:
    by_strength: dict[tuple[bool, int], list[Rule]] = {}
    for rule in rules:
        by_strength.setdefault((rule.own, rule.strength), []).append(rule)
    for same in by_strength.values():
        for n, first in enumerate(same):
            for second in same[n + 1 :]:
                if first.id in second.before or second.id in first.before:
                    continue
                if all(_overlap(key, first.when[key], second.when[key]) for key in first.when):
                    raise DataError(
                        second.where,
                        f"rule '{second.id}' cannot be told from '{first.id}' ({first.where}); "
                        "add a condition, or name the weaker one in 'before'",
                    )


def _sign_rank(rule: Rule) -> int:
    """Return the place of the rule's strongest sign, 0 without one: signs can be true at once, so they are ordered."""
    return min((SIGNS.index(sign) for sign in rule.when.get("sign", ())), default=0)


def _ordered(rules: list[Rule]) -> tuple[Rule, ...]:
    ranked = sorted(rules, key=lambda rule: (not rule.own, -rule.strength, _sign_rank(rule)))
    placed: list[Rule] = []
    for rule in ranked:
        at = next(
            (n for n, other in enumerate(placed) if other.id in rule.before and other.strength == rule.strength),
            len(placed),
        )
        placed.insert(at, rule)
    return tuple(placed)


def build(rules: list[Rule]) -> RuleTable:
    """Return the table of these rules; raises ``DataError`` for an id given twice and for ties."""
    seen: dict[str, Rule] = {}
    for rule in rules:
        if rule.id in seen:
            raise DataError(rule.where, f"the id '{rule.id}' is already used at {seen[rule.id].where}")
        seen[rule.id] = rule
    _ties(rules)
    return RuleTable(_ordered(rules))


def rule_files() -> tuple[Path, ...]:
    """Return the files of the built-in table: those in ``rules/zones``."""
    return tuple(sorted((folder("rules") / "zones").glob("*.yaml")))


# The examples are half of every file and a conversion needs none: taken out before parsing, line numbers kept.
_EXAMPLES = re.compile(r"^  examples:[ ]*\n(?:[ ]{3,}.*\n|[ ]*\n)*", re.MULTILINE)


def _bare(path: Path, name: str) -> Any:
    text = path.read_text(encoding="utf-8")
    if not text.endswith("\n"):
        text += "\n"
    return parse(_EXAMPLES.sub(lambda block: "  examples: []\n" + "\n" * (block[0].count("\n") - 1), text), name)


@cache
def _builtin(*, bare: bool) -> tuple[Rule, ...]:
    out: list[Rule] = []
    for path in rule_files():
        name = f"rules/zones/{path.name}"
        out.extend(parse_rules(_bare(path, name) if bare else read(path, name=name), name, bare=bare))
    return tuple(out)


@cache
def load(extra: Path | None = None, *, examples: bool = False) -> RuleTable:
    """Return the built-in rules and those of the user's file `extra`; the user's win.

    The built-in rules come without their examples unless `examples` asks for
    them; a user's file is always read whole.
    Raises ``DataError`` (file, line, what is allowed) and ``OSError``.
    """
    rules = list(_builtin(bare=not examples))
    if extra is not None:
        rules.extend(parse_rules(read(extra, name=str(extra)), str(extra), own=True))
    return build(rules)
