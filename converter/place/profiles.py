"""Reads a cooker profile: closed keys, plausible values, and what is doubtful about it.

A mistake is collected for each zone before the next is read, so that a check
shows all of them at once; loading raises the first.
"""

from __future__ import annotations

import os
import re
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from converter import data
from converter.data import DataError, Node
from converter.model import OVENS, ZONES
from converter.place import profile_checks
from converter.place.cookers import OVEN_HEIGHTS, Cooker, ProfileError, Temperatures, Zone, builtin, builtin_path
from converter.place.profile_checks import Kind

SIDES: tuple[str, ...] = ("far-left", "left", "middle", "right", "far-right")
LEVELS: tuple[str, ...] = ("top", "upper", "middle", "lower")
LARGEST_BYTES = 64 * 1024
WIDEST_SPREAD_KELVIN = 80  # roof to floor of one oven; common practice, no source

_ID = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")
_MARKUP = re.compile(r"[<>&*_`#|~\\\[\]{}^$]")
_LABEL_LIMIT = 40
_SUMMARY_LIMIT = 200
_DEEPEST = 20


class Finding(NamedTuple):
    """One remark about a profile; ``refused`` means that it cannot be used as it is."""

    where: str
    message: str
    refused: bool

    def __str__(self) -> str:
        return f"{self.where}: {'refused' if self.refused else 'note'}: {self.message}"


@cache
def kinds() -> dict[str, Kind]:
    """Return the kinds of zone in the order of the table: plates, then ovens, each hottest first."""
    file = "rules/cookers/zone-kinds.yaml"
    top = data.expect_keys(data.read(builtin_path("zone-kinds"), name=file), required=("kinds",), where=file)
    made: dict[str, Kind] = {}
    for row in top["kinds"]:
        node = data.expect_keys(
            row,
            required=("kind", "words", "use", "usual_c", "possible_c", "tolerance_c", "holds"),
            optional=("spread_kelvin", "shield_kelvin"),
            where=file,
        )
        made[node["kind"]] = Kind(
            node["kind"], node["words"], node["use"], tuple(node["usual_c"]), tuple(node["possible_c"]),
            node["tolerance_c"], node["holds"], node.get("spread_kelvin"), node.get("shield_kelvin"),
        )  # fmt: skip
    if tuple(made) != ZONES:
        raise DataError(file, f"the kinds must be {', '.join(ZONES)}, in this order")
    return made


def cooker(path: Path, *, source: str) -> Cooker:
    """Return the cooker that a YAML file describes; raises ``ProfileError``."""
    made, findings = examine(path, source=source)
    for finding in findings:
        if finding.refused:
            raise ProfileError(finding.where, finding.message)
    assert made is not None
    return made


def examine(path: Path, *, source: str) -> tuple[Cooker | None, tuple[Finding, ...]]:
    """Return the cooker, ``None`` if the profile is refused, and all findings in the order of the file.

    Raises ``ProfileError`` where the file cannot be read as YAML at all.
    """
    try:
        text = _text(path, source)
        _refuse_tricks(text, source)
        root = data.parse(text, source)
    except (DataError, RecursionError) as error:
        if isinstance(error, DataError):
            raise ProfileError(error.where, error.message) from None
        raise ProfileError(source, "not a profile: nested too deep") from None
    if root is None:
        raise ProfileError(source, "the file is empty; 'undial cooker new FILE' writes one to start from")
    findings: list[Finding] = []
    made = _cooker(root, source, findings)
    if made is not None:
        findings.extend(Finding(where, message, True) for where, message in profile_checks.mistakes(made, kinds()))
    refused = made is None or any(finding.refused for finding in findings)
    if made is not None and not refused:
        findings.extend(Finding(where, message, False) for where, message in profile_checks.doubts(made, kinds()))
    return (None if refused else made), tuple(findings)


def _text(path: Path, source: str) -> str:
    try:
        if os.path.isdir(path):
            raise ProfileError(source, "this is a folder; a cooker profile is a YAML file")
        with path.open("rb") as file:
            raw = file.read(LARGEST_BYTES + 1)
    except FileNotFoundError:
        raise ProfileError(source, f"there is no such file; built-in cookers are {', '.join(builtin())}") from None
    except (OSError, ValueError) as error:
        raise ProfileError(source, f"cannot be read ({getattr(error, 'strerror', None) or error})") from None
    if len(raw) > LARGEST_BYTES:
        raise ProfileError(source, f"not a profile: larger than {LARGEST_BYTES // 1024} KiB")
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = raw.count(b"\n", 0, error.start) + 1
        raise ProfileError(f"{source}:{line}", "not UTF-8 text; save the profile as UTF-8") from None
    return text


def _refuse_tricks(text: str, source: str) -> None:
    """Refuse YAML that a small table never needs and that could take all memory: references, tags, deep nesting."""
    import yaml

    depth = 0
    try:
        for event in yaml.parse(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader)):
            depth += isinstance(event, yaml.CollectionStartEvent)
            depth -= isinstance(event, yaml.CollectionEndEvent)
            reason = ""
            if getattr(event, "anchor", None):
                reason = "references (& and *) are not allowed here; put words with such a sign in quotes"
            elif getattr(event, "tag", None):
                reason = "tags (!) are not allowed here; put words with such a sign in quotes"
            elif depth > _DEEPEST:
                reason = "not a profile: nested too deep"
            if reason:
                line = event.start_mark.line + 1 if event.start_mark else 1
                raise ProfileError(f"{source}:{line}", reason)
    except yaml.YAMLError:
        return  # data.parse names the place


def _cooker(root: Any, source: str, findings: list[Finding]) -> Cooker | None:
    try:
        top = data.expect_keys(root, required=("name", "zones"), optional=("summary",), where=f"{source}:1")
        name = _words(top, "name", "the cooker", limit=_LABEL_LIMIT)
        summary = _words(top, "summary", "the cooker", limit=_SUMMARY_LIMIT) if "summary" in top else ""
        rows = top["zones"]
        if not isinstance(rows, list) or not rows:
            raise ProfileError(top.at("zones"), "the key 'zones' must be a list with at least one zone")
    except DataError as error:
        findings.append(Finding(error.where, error.message, True))
        return None
    zones: list[Zone] = []
    for number, row in enumerate(rows, start=1):
        try:
            if not isinstance(row, Node):
                raise ProfileError(top.at("zones"), f"zone {number} must be a list of keys with values")
            zones.append(_zone(row))
        except DataError as error:
            findings.append(Finding(error.where, error.message, True))
    return Cooker(name, summary, tuple(zones), source) if len(zones) == len(rows) else None


def _zone(row: Node) -> Zone:
    data.expect_keys(
        row,
        required=("id", "kind", "side", "level", "celsius"),
        optional=("label", "tolerance_c", "holds", "shield_c", "shelves"),
    )
    ident = row["id"]
    if not isinstance(ident, str) or len(ident) > _LABEL_LIMIT or not _ID.fullmatch(ident):
        raise _wrong(row, "id", "must be lower-case words joined by hyphens, such as low-oven")
    name = f"zone '{ident}'"
    kind = kinds()[_choice(row, "kind", ZONES, name)]
    is_oven = kind.kind in OVENS
    side = _choice(row, "side", SIDES, name)
    level = _choice(row, "level", LEVELS[1:] if is_oven else LEVELS[:1], name)
    label = _words(row, "label", name, limit=_LABEL_LIMIT) if "label" in row else kind.words
    if not is_oven:
        for key in ("shield_c", "shelves"):
            if key in row:
                raise _wrong(row, key, "belongs to an oven, not to a plate", name)
    celsius = _oven_celsius(row, kind, name) if is_oven else {"any": _degrees(row, "celsius", kind, name)}
    shield_c = _shield(row, kind, celsius, name) if is_oven else None
    swing = _number(row, "tolerance_c", (0, 60), "K", name) if "tolerance_c" in row else kind.tolerance_c
    holds = _number(row, "holds", (1, 12), "pans or tins", name) if "holds" in row else kind.holds
    if holds != int(holds):
        raise _wrong(row, "holds", "must be a whole number from 1 to 12", name)
    return Zone(
        ident, kind.kind, label, side, level, Temperatures(celsius), float(swing), int(holds), row.line,
        use=kind.use, shield_c=shield_c, shelves=_shelves(row, name),
    )  # fmt: skip


def _wrong(row: Node, key: str, message: str, name: str = "") -> ProfileError:
    return ProfileError(row.at(key), f"{name}{', ' if name else ''}key '{key}' {message}")


def _choice(row: Node, key: str, allowed: tuple[str, ...], name: str) -> str:
    value = row[key]
    if not isinstance(value, str) or value not in allowed:
        raise _wrong(row, key, f"is {_shown(value)}; allowed are {', '.join(allowed)}", name)
    return value


def _shown(value: object) -> str:
    if isinstance(value, (dict, list)):
        return "a mapping" if isinstance(value, dict) else "a list"
    if isinstance(value, int) and abs(value) > 10**15:
        return "a huge number"
    text = repr(value) if isinstance(value, str) else str(value)
    return text if len(text) <= 40 else text[:37] + "..."


def _words(row: Node, key: str, name: str, *, limit: int) -> str:
    value = row[key]
    if not isinstance(value, str):
        raise _wrong(row, key, f"must be words, found {_shown(value)}; put it in quotes", name)
    words = value.strip()
    if not words:
        raise _wrong(row, key, "is empty; give it words or leave the key out", name)
    if not words.isprintable() or not any(char.isalnum() for char in words):
        raise _wrong(row, key, "must be one line of plain words", name)
    if found := _MARKUP.search(words):
        raise _wrong(row, key, f"has the sign {found.group()!r}; only plain words are allowed", name)
    if len(words) > limit:
        raise _wrong(row, key, f"is longer than {limit} characters", name)
    return words


def _number(row: Node, key: str, limits: tuple[float, float], unit: str, name: str) -> float:
    value = row[key]
    if isinstance(value, bool) or not isinstance(value, (int, float)) or not limits[0] <= value <= limits[1]:
        raise _wrong(row, key, f"is {_shown(value)}; allowed is {limits[0]:g} to {limits[1]:g} {unit}", name)
    return float(value)


def _degrees(row: Node, key: str, kind: Kind, name: str, slack_kelvin: float = 0.0) -> float:
    value = row[key]
    low, high = kind.possible_c[0] - slack_kelvin, kind.possible_c[1] + slack_kelvin
    if isinstance(value, bool) or not isinstance(value, (int, float)) or value != value:
        raise _wrong(row, key, f"must be °C as a number, found {_shown(value)}", name)
    if not low <= value <= high:
        hint = ""
        if high < value < 2000 and low <= (value - 32) / 1.8 <= high:
            hint = f"; if it is °F, write {(value - 32) / 1.8:.0f}"
        raise _wrong(row, key, f"is {_shown(value)} °C; possible for a {kind.words} is {low:g} to {high:g}{hint}", name)
    return float(value)


def _oven_celsius(row: Node, kind: Kind, name: str) -> dict[str, float]:
    value = row["celsius"]
    spread = kind.spread_kelvin or {}
    if not isinstance(value, Node):
        middle_c = _degrees(row, "celsius", kind, name)
        return {height: middle_c + spread.get(height, 0.0) for height in OVEN_HEIGHTS}
    data.expect_keys(value, required=(), optional=OVEN_HEIGHTS)
    for height in OVEN_HEIGHTS:
        if height not in value:
            message = f"lacks the height '{height}'; give {', '.join(OVEN_HEIGHTS)}, or one figure for the middle"
            raise _wrong(row, "celsius", message, name)
    slack = {height: 0.0 if height == "middle" else 40.0 for height in OVEN_HEIGHTS}
    made = {height: _degrees(value, height, kind, name, slack[height]) for height in OVEN_HEIGHTS}
    spread_kelvin = max(made.values()) - min(made.values())
    if spread_kelvin > WIDEST_SPREAD_KELVIN:
        hottest = max(made, key=lambda height: made[height])
        message = (
            f"differs by {spread_kelvin:g} K within one oven, hottest at '{hottest}'; "
            f"at most {WIDEST_SPREAD_KELVIN} K is possible"
        )
        raise _wrong(row, "celsius", message, name)
    return made


def _shield(row: Node, kind: Kind, celsius: dict[str, float], name: str) -> float | None:
    if "shield_c" not in row:
        return None if kind.shield_kelvin is None else celsius["low"] + kind.shield_kelvin
    return _number(row, "shield_c", (celsius["low"] - WIDEST_SPREAD_KELVIN, celsius["low"]), "°C (the low shelf)", name)


def _shelves(row: Node, name: str) -> tuple[str, ...]:
    value = row.get("shelves", [])
    allowed = OVEN_HEIGHTS[:-1]
    if not isinstance(value, list) or not all(isinstance(item, str) and item in allowed for item in value):
        raise _wrong(row, "shelves", f"must be a list from the top; allowed are {', '.join(allowed)}", name)
    if "shelves" in row and not 1 <= len(value) <= 12:
        raise _wrong(row, "shelves", "must name 1 to 12 positions", name)
    if sorted(value, key=allowed.index) != value:
        raise _wrong(row, "shelves", "must count from the top: roof, high, middle, low", name)
    return tuple(value)


def template(like: str, name: str) -> str:
    """Return the commented YAML of a built-in cooker under another name, as far as `name` is plain words."""
    import json

    words = " ".join(_MARKUP.sub(" ", name).split())[:_LABEL_LIMIT]
    if not words.isprintable() or not any(char.isalnum() for char in words):
        words = "my cooker"
    text = builtin_path(like).read_text(encoding="utf-8")
    return re.sub(r"(?m)^name: .*$", lambda _: f"name: {json.dumps(words, ensure_ascii=False)}", text, count=1)


def write_whole(path: Path, text: str) -> None:
    """Write a file whole or not at all; raises ``OSError``."""
    target = Path(os.path.realpath(path))
    part = target.with_name(f".{target.name}.{os.getpid()}.part")
    try:
        with part.open("x", encoding="utf-8", newline="\n") as file:
            file.write(text)
        os.replace(part, target)
    finally:
        part.unlink(missing_ok=True)
