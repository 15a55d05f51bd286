"""Review without a terminal: the open flags as text or JSON, and decisions from a file."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any

from converter.data import DataError, Node, expect_keys, parse
from converter.ledger import KINDS, Decision, KeptFlag
from converter.review.desk import Desk
from converter.review.items import Answer, Done, Item, Stale

_PART = 200


def listed(desk: Desk, *, words: str = "", notes: bool = False) -> Iterator[KeptFlag]:
    """Return every open flag, cautions first."""
    start = 0
    while found := desk.lines(words=words, notes=notes, start=start, many=_PART).lines:
        yield from found
        start += len(found)


def as_json(desk: Desk, *, words: str = "", notes: bool = False) -> str:
    """Return the open flags as a JSON object: ``open`` (counts by level) and ``flags``."""
    items = (desk.item(flag.key) for flag in listed(desk, words=words, notes=notes))
    flags = [_record(item) for item in items if item is not None]
    left = desk.left()
    count = {"caution": left.cautions, "judgement": left.judgements, "note": left.notes, "later": left.later}
    return json.dumps({"open": count, "flags": flags}, ensure_ascii=False, indent=2) + "\n"


def as_text(desk: Desk, *, words: str = "", notes: bool = False) -> str:
    """Return one line for each open flag: level, name, recipe, words of the line and key."""
    return "".join(
        f"{flag.level}[{flag.name}] {flag.source} step {flag.step}: {flag.line}  {flag.key}\n"
        for flag in listed(desk, words=words, notes=notes)
    )


def _suggested(made: Decision | None) -> dict[str, str] | None:
    if made is None:
        return None
    return {
        "kind": made.kind,
        "code": made.code,
        "words": made.words,
        "line": made.line,
        "who": made.who,
        "at": made.at,
    }


def _record(item: Item) -> dict[str, Any]:
    flag = item.flag
    return {
        "key": flag.key, "level": flag.level, "name": flag.name, "title": item.title, "source": flag.source,
        "number": flag.number, "step": flag.step, "before": item.before, "line": item.line, "after": item.after,
        "message": flag.message, "why": flag.why, "rule": flag.rule, "food": flag.food, "proposal": item.proposal,
        "choices": [
            {
                "number": choice.number, "code": choice.code, "words": choice.words, "remarks": choice.remarks,
                "moves": [
                    {
                        "zone": move.zone, "height": move.height, "shield": move.shield,
                        "minutes": [move.minutes.low, move.minutes.high] if move.minutes else None,
                    }
                    for move in choice.moves
                ],
            }
            for choice in item.choices
        ],
        "hints": item.hints, "alike": item.like, "output": item.output, "suggestion": _suggested(item.suggestion),
    }  # fmt: skip


def read_answers(text: str, file: str) -> tuple[Node, ...]:
    """Return the answers in `text`, YAML or JSON: a list of key, kind and, as the kind needs, choice or words.

    ``choice`` is a number of the list or the id of a way; ``like`` true decides all of the same rule and class of food.
    Raises ``DataError`` with file and line.
    """
    tree = parse(text, file)
    if isinstance(tree, Node):
        tree = expect_keys(tree, required=("answers",), where=file)["answers"]
    if not isinstance(tree, list):
        raise DataError(file, "expected a list of answers")
    return tuple(_answer(row, file) for row in tree)


def _answer(row: Any, where: str) -> Node:
    node = expect_keys(row, required=("key", "kind"), optional=("choice", "words", "like"), where=where)
    if node["kind"] not in KINDS:
        raise DataError(node.at("kind"), f"unknown kind '{node['kind']}'; allowed are {', '.join(KINDS)}")
    if (node["kind"] == "choice") != ("choice" in node):
        raise DataError(node.where, "'choice' belongs to the kind choice, and to no other")
    if (node["kind"] == "words") != ("words" in node):
        raise DataError(node.where, "'words' belong to the kind words, and to no other")
    if "choice" in node and (isinstance(node["choice"], bool) or not isinstance(node["choice"], int | str)):
        raise DataError(node.at("choice"), "'choice' is a number of the list or the id of a way")
    for name in ("key", "words"):
        if name in node and not isinstance(node[name], str):
            raise DataError(node.at(name), f"'{name}' is text; put it into quotes")
    if "like" in node and not isinstance(node["like"], bool):
        raise DataError(node.at("like"), "'like' is true or false")
    return node


def answer(desk: Desk, node: Node, *, who: str = "") -> Done:
    """Keep one answer.

    Raises ``DataError`` for an answer that does not fit the line, also one that was decided meanwhile, and
    ``LedgerError`` where nothing can be kept.
    """
    key = node["key"]
    item = desk.item(key)
    if item is None:
        raise DataError(node.at("key"), f"no flag has the key {key}; its words may have changed")
    code = ""
    if node["kind"] == "choice":
        wanted = node["choice"]
        found = [choice for choice in item.choices if wanted in (choice.number, choice.code)]
        if not found:
            known = ", ".join(f"{choice.number} ({choice.code})" for choice in item.choices) or "none"
            raise DataError(node.at("choice"), f"there is no choice {wanted} for this line; there are {known}")
        code = found[0].code
    said = Answer(node["kind"], code, node.get("words", ""))
    if said.kind == "words" and (not said.words.strip() or node.get("like", False)):
        raise DataError(node.at("words"), "'words' are one line in your own words, and for that line alone")
    done = (desk.decide_all if node.get("like", False) else desk.decide)(key, said, who=who)
    if isinstance(done, Stale):
        raise DataError(node.where, done.message)
    return done
