"""Decisions as readable YAML: for version control, for a stick, for another household's folder."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import Any

import yaml

from converter.data import DataError, expect_keys, parse
from converter.ledger.values import KINDS, Decision

_FIELDS = ("title", "line", "kind", "code", "words", "name", "rule", "food", "who", "at", "key")
_KEY = re.compile(r"[0-9a-f]{18}\.[0-9a-f]{8}")
_AT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")
_HEAD = """\
# Decisions about flagged lines, one after another by title and line. `undial review DEST --import FILE` brings them in.
# kind: take (the proposal), choice (another way), words (the cook's own), leave (as the recipe has it) or later.
"""


def write_yaml(decisions: Iterable[Decision]) -> str:
    """Return the decisions as YAML, in an order that does not depend on when they were made."""
    rows = [
        {name: getattr(made, name) for name in _FIELDS if getattr(made, name) or name in ("kind", "key")}
        for made in sorted(decisions, key=lambda made: (made.title, made.line, made.key))
    ]
    body = yaml.safe_dump({"decisions": rows}, allow_unicode=True, sort_keys=False, width=120)
    return _HEAD + body


def read_yaml(text: str, file: str) -> tuple[Decision, ...]:
    """Return the decisions in `text`; `file` is its name for messages.

    Raises ``DataError`` with file and line for anything that is not of this shape.
    """
    tree = expect_keys(parse(text, file), required=("decisions",), where=file)
    rows = tree["decisions"]
    if not isinstance(rows, list):
        raise DataError(tree.at("decisions"), "'decisions' is a list")
    return tuple(_decision(row, tree.at("decisions")) for row in rows)


def _decision(row: Any, where: str) -> Decision:
    node = expect_keys(row, required=("kind", "key"), optional=tuple(f for f in _FIELDS if f not in ("kind", "key")),
                       where=where)  # fmt: skip
    for name, value in node.items():
        if not isinstance(value, str):
            raise DataError(node.at(name), f"'{name}' is text; put it into quotes")
    if node["kind"] not in KINDS:
        raise DataError(node.at("kind"), f"unknown kind '{node['kind']}'; allowed are {', '.join(KINDS)}")
    if not _KEY.fullmatch(node["key"]):
        raise DataError(node.at("key"), "a key is 18 and, after a dot, 8 of the signs 0-9 and a-f")
    if "at" in node and not _AT.fullmatch(node["at"]):
        raise DataError(node.at("at"), "a moment is written like 2026-01-31T18:05:00Z, in quotes")
    if node["kind"] == "words" and not node.get("words", "").strip():
        raise DataError(node.where, "a decision of kind words needs 'words'")
    if node["kind"] == "choice" and not node.get("code"):
        raise DataError(node.where, "a decision of kind choice needs 'code'")
    return Decision(**dict(node))
