"""Looks for dial words that are left in the rewritten method and flags them."""

from __future__ import annotations

import re

from converter.flagkinds import table
from converter.model import Flag, Placement, Reading, Span, WrittenStep

DIAL = re.compile(
    r"\bpre-?heat(?:ed|ing|s)?\b|\b(?:low|medium|high|moderate|gentle)(?:[\s-](?:to[\s-])?(?:low|high))?[\s-]+(?:heat|flame|fire|setting)\b"
    r"|\b(?:turn|reduc|lower|increas|rais|adjust)\w*\s+(?:up\s+|down\s+)?(?:the\s+|your\s+)?(?:heat|oven|flame|temperature|gas)\b"
    r"|\b(?:turn|switch|shut)\w*\s+(?:off\s+the\s+|the\s+)(?:heat|oven|stove|flame|gas)\b|\bgas\s+mark\b|\bburner\b|\bstove[\s-]?top\b"
    r"|\boven\s+temperature\b|\b(?:hot|moderate|slow|cool|warm|medium|quick|very hot)\s+oven\b(?!,| for| is| \()",
    re.IGNORECASE,
)


def left_over(
    reading: Reading, steps: tuple[WrittenStep, ...], flags: tuple[Flag, ...], placements: tuple[Placement, ...]
) -> list[Flag]:
    """Return a flag for each step that still speaks of a dial and has no flag of its own."""
    flagged = {flag.step for flag in flags if flag.level != "note"}
    out: list[Flag] = []
    text = reading.recipe.document.text
    labels = {move.label for placement in placements for move in placement.moves}
    ovens = [m for m in reading.mentions if m.role == "oven"]
    for step, written in zip(reading.recipe.steps, steps, strict=True):
        if step.number in flagged:
            continue
        words = written.rewritten
        for label in labels:
            words = words.replace(f"the {label}", "")
        found = DIAL.search(words)
        at = -1
        length = 0
        if found:
            at = text.find(found.group(0), step.span.start, step.span.end)
            length = len(found.group(0))
        else:
            left = next((m for m in ovens if m.step == step.number and m.text in words), None)
            if left is not None:
                at, length = left.span.start, left.span.end - left.span.start
        if at < 0:
            continue
        kind = table()["left-as-written"]
        span = Span(at, at + length)
        out.append(
            Flag(
                kind.name, kind.level, step.number, span, text[span.start : span.end], kind.message, kind.why, kind.choices, kind.source  # type: ignore[arg-type]
            )
        )  # fmt: skip
    return out
