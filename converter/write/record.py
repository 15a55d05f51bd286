"""A converted recipe as one JSON object on one line; result.schema.json describes it."""

from __future__ import annotations

import json
import re
from functools import cache
from pathlib import Path
from typing import Any

from converter import __version__
from converter.model import PLATES, Curve, Flag, Mention, Move, Phase, Placement, Result
from converter.write.parts import in_units, pair, whole

# Line ends that JSON would leave bare inside a string, and halves of a character that UTF-8 cannot carry.
_BARE = re.compile("[\x85\u2028\u2029\ud800-\udfff]")


def _mention(mention: Mention) -> dict[str, Any]:
    value = mention.celsius if mention.kind == "temperature" else mention.seconds
    return {
        "step": mention.step,
        "kind": mention.kind,
        "text": mention.text,
        "role": mention.role,
        "celsius" if mention.kind == "temperature" else "seconds": pair(value),
        "fan": mention.fan,
    }


def _phase(phase: Phase) -> dict[str, Any]:
    outside = phase.environment == "none" and phase.appliance
    return {
        "step": phase.step,
        "method": phase.appliance if outside else phase.method,
        "environment": phase.environment,
        "celsius": pair(phase.celsius),
        "seconds": pair(phase.seconds),
        "food": phase.food,
        "lid": phase.lid,
        "text": phase.text,
    }


def _move(move: Move) -> dict[str, Any]:
    stay = move.minutes
    return {
        "zone": move.zone,
        "height": None if move.zone in PLATES else move.height,
        "minutes": None if stay is None else pair((stay.low, stay.high)),
        "shield": move.shield,
        "cover": move.cover,
        "look": None if stay is None or stay.look is None else whole(stay.look),
    }


def _placement(placement: Placement) -> dict[str, Any]:
    return {
        "phase": placement.phase,
        "moves": [_move(move) for move in placement.moves],
        "flag": placement.flag,
        "rule": placement.rule,
        "why": placement.why,
        "choices": list(placement.choices),
    }


def _flag(flag: Flag, units: str) -> dict[str, Any]:
    return {
        "name": flag.name,
        "level": flag.level,
        "step": flag.step,
        "text": flag.text,
        "message": in_units(flag.message, units),
        "why": in_units(flag.why, units),
        "choices": [in_units(choice, units) for choice in flag.choices],
        "source": flag.source,
    }


def _curve(curve: Curve) -> dict[str, Any]:
    return {
        "phase": curve.phase,
        "step": curve.step,
        "title": curve.title,
        "minutes": [whole(at) for at in curve.minutes],
        "core_c": [whole(celsius) for celsius in curve.core_c],
        "low_c": [whole(celsius) for celsius in curve.low_c],
        "high_c": [whole(celsius) for celsius in curve.high_c],
        "target_c": whole(curve.target_c),
        "stays": [{"label": label, "from_minute": whole(begins)} for label, begins in curve.stays],
    }


def as_object(result: Result) -> dict[str, Any]:
    """Return the converted recipe as plain lists, mappings and numbers."""
    header, units = result.header, result.units
    return {
        "undial": __version__,
        "source": result.reading.recipe.document.name,
        "title": result.reading.recipe.title,
        "cooker": result.cooker,
        "mentions": [_mention(mention) for mention in result.reading.mentions],
        "phases": [_phase(phase) for phase in result.reading.phases],
        "placements": [_placement(placement) for placement in result.placements],
        "flags": [_flag(flag, units) for flag in result.flags],
        "steps": [
            {"number": step.number, "part": step.part, "original": step.original, "rewritten": step.rewritten}
            for step in result.steps
        ],
        "header": {
            "cooker": header.cooker,
            "zones": [in_units(line, units) for line in header.zones],
            "timers": [in_units(line, units) for line in header.timers],
            "lid_up_minutes": pair(header.lid_up_minutes),
            "have_ready": [in_units(line, units) for line in header.have_ready],
            "own_times": [in_units(line, units) for line in header.own_times],
        },
        "curves": [_curve(curve) for curve in result.curves],
    }


def render(result: Result) -> str:
    """Return the JSON object on one line."""
    return one_line_json(as_object(result))


def one_line_json(value: dict[str, Any]) -> str:
    """Return `value` as JSON in one line, signs beyond ASCII as themselves."""
    return _BARE.sub(lambda found: f"\\u{ord(found[0]):04x}", json.dumps(value, ensure_ascii=False))


@cache
def schema() -> dict[str, Any]:
    """Return the JSON Schema (2020-12) of the object, read once."""
    text = Path(__file__).with_name("result.schema.json").read_text(encoding="utf-8")
    found = json.loads(text)
    assert isinstance(found, dict)
    return found
