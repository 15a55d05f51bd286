"""The file of one cooker's readings and logs: closed keys, plausible values, file and line in every error."""

from __future__ import annotations

import json
from datetime import date
from pathlib import Path
from typing import Any

from converter import data
from converter.data import DataError, Node
from converter.model import HEIGHTS
from converter.place.own_cooker import Cooked, OwnRecord, ZoneReading

LARGEST_BYTES = 1_000_000
READABLE_C = (-40.0, 600.0)  # what a kitchen thermometer can show
LONGEST_DISH = 80  # characters
_DEEPEST = 4
_HEAD = """\
# What this cooker has shown. Written by `undial cooker reading` and `undial cooker took`; comments are not kept.
# readings: zone (id of the profile), height, °C, date, by (what with; may be left out). cooked: the recipe's minutes
# at dial_c (°C, no fan) and the minutes that it took at zone_c (°C; zone_read: whether a thermometer said so).
"""


class RecordError(DataError):
    """Readings or logs that cannot be used; ``where`` is ``file:line``, or what was entered."""


def read(path: Path, *, cooker: str) -> OwnRecord:
    """Return the record in a file, an empty one where there is no file. Raises ``RecordError``."""
    try:
        raw = path.read_bytes()
    except FileNotFoundError:
        return OwnRecord(cooker)
    except OSError as error:
        raise RecordError(str(path), f"cannot be read ({(error.strerror or str(error)).lower()})") from None
    if len(raw) > LARGEST_BYTES:
        raise RecordError(str(path), f"larger than {LARGEST_BYTES // 1_000_000} MB, so not a record of a cooker")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise RecordError(f"{path}:{line}", "not UTF-8 text; save it as UTF-8") from None
    return parse(text, str(path), cooker=cooker)


def parse(text: str, file: str, *, cooker: str) -> OwnRecord:
    """Return the record in a YAML text; raises ``RecordError`` with file and line."""
    try:
        _refuse_tricks(text, file)
        root = data.parse(text, file)
        if root is None:
            return OwnRecord(cooker)
        top = data.expect_keys(root, required=("cooker",), optional=("readings", "cooked"), where=f"{file}:1")
        if top["cooker"] != cooker:
            raise DataError(top.at("cooker"), f"this is the record of {top['cooker']!r}, not of {cooker!r}")
        readings = tuple(_reading(item, where) for item, where in _rows(top, "readings"))
        cooked = tuple(_cooked(item, where) for item, where in _rows(top, "cooked"))
    except RecordError:
        raise
    except DataError as error:
        raise RecordError(error.where, error.message) from None
    except RecursionError:
        raise RecordError(file, "nested too deep") from None
    return OwnRecord(cooker, readings, cooked)


def _refuse_tricks(text: str, file: str) -> None:
    """Refuse what a short table never needs and could take all memory: references, tags, deep nesting."""
    import yaml

    depth = 0
    try:
        for event in yaml.parse(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader)):
            depth += isinstance(event, yaml.CollectionStartEvent)
            depth -= isinstance(event, yaml.CollectionEndEvent)
            if getattr(event, "anchor", None) or getattr(event, "tag", None) or depth > _DEEPEST:
                line = event.start_mark.line + 1 if event.start_mark else 1
                raise RecordError(f"{file}:{line}", "references, tags and deep nesting are not allowed here")
    except yaml.YAMLError:
        return  # data.parse names the place


def _rows(top: Node, key: str) -> list[tuple[Any, str]]:
    rows = top.get(key)
    if rows is None:
        return []
    if not isinstance(rows, list):
        raise DataError(top.at(key), f"the key '{key}' must be a list")
    return [(row, row.where if isinstance(row, Node) else top.at(key)) for row in rows]


def _reading(item: Any, where: str) -> ZoneReading:
    node = data.expect_keys(item, required=("zone", "height", "celsius", "date"), optional=("by",), where=where)
    return ZoneReading(
        _word(node, "zone"), _height(node), _number(node, "celsius", READABLE_C, "°C"), _date(node),
        _word(node, "by") if "by" in node else "",
    )  # fmt: skip


def _cooked(item: Any, where: str) -> Cooked:
    keys = ("dish", "zone", "height", "zone_c", "zone_read", "dial_c", "minutes", "took", "date")
    node = data.expect_keys(item, required=keys, where=where)
    if not isinstance(node["zone_read"], bool):
        raise DataError(node.at("zone_read"), "key 'zone_read' must be true or false")
    made = Cooked(
        _word(node, "dish"), _word(node, "zone"), _height(node), _number(node, "zone_c", READABLE_C, "°C"),
        node["zone_read"], _number(node, "dial_c", READABLE_C, "°C"), _number(node, "minutes", (0, 4320), "minutes"),
        _number(node, "took", (0, 4320), "minutes"), _date(node),
    )  # fmt: skip
    return checked(made, where=node.where)


def checked(made: Cooked, *, where: str) -> Cooked:
    """Return a log if the clock can learn from it; raises ``RecordError`` with units in its words otherwise."""
    from converter.heat.clock import CookLog
    from converter.heat.errors import HeatError

    try:
        CookLog(recipe_minutes=made.minutes, from_c=made.dial_c, zone_c=made.zone_c, minutes_taken=made.took)
    except HeatError as error:
        raise RecordError(where, str(error)) from None
    return made


def _word(node: Node, key: str) -> str:
    value = node[key]
    if not isinstance(value, str) or not value.strip() or not value.isprintable() or len(value) > LONGEST_DISH:
        raise DataError(node.at(key), f"key '{key}' must be one line of at most {LONGEST_DISH} characters, in quotes")
    return value


def _height(node: Node) -> str:
    value = node["height"]
    if not isinstance(value, str) or value not in HEIGHTS:
        raise DataError(node.at("height"), f"key 'height' must be one of {', '.join(HEIGHTS)}")
    return value


def _number(node: Node, key: str, limits: tuple[float, float], unit: str) -> float:
    value = node[key]
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not limits[0] <= value <= limits[1]:
        raise DataError(node.at(key), f"key '{key}' must be a number from {limits[0]:g} to {limits[1]:g} {unit}")
    return float(value)


def _date(node: Node) -> date:
    value = node["date"]
    if type(value) is date:  # unquoted, YAML reads a date itself
        return value
    try:
        return date.fromisoformat(value)
    except (TypeError, ValueError):
        raise DataError(node.at("date"), "key 'date' must be a day such as '2026-01-31'") from None


def dump(record: OwnRecord) -> str:
    """Return the record as YAML that `parse` reads back to the same values, figures to two decimals."""

    def words(value: str) -> str:
        return json.dumps(value, ensure_ascii=False)

    def figure(value: float) -> str:
        return f"{value:.2f}".rstrip("0").rstrip(".")  # never 1e-05, which YAML reads as a word

    lines = [_HEAD + f"cooker: {words(record.cooker)}"]
    if record.readings:
        lines.append("readings:")
    for one in record.readings:
        lines.append(
            f"  - {{zone: {words(one.zone)}, height: {one.height}, celsius: {figure(one.celsius)}, "
            f"date: '{one.date.isoformat()}'{f', by: {words(one.by)}' if one.by else ''}}}"
        )
    if record.cooked:
        lines.append("cooked:")
    for dish in record.cooked:
        lines += [
            f"  - dish: {words(dish.dish)}",
            f"    zone: {words(dish.zone)}",
            f"    height: {dish.height}",
            f"    zone_c: {figure(dish.zone_c)}",
            f"    zone_read: {'true' if dish.zone_read else 'false'}",
            f"    dial_c: {figure(dish.dial_c)}",
            f"    minutes: {figure(dish.minutes)}",
            f"    took: {figure(dish.took)}",
            f"    date: '{dish.date.isoformat()}'",
        ]
    return "\n".join(lines) + "\n"
