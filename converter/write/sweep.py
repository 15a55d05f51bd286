"""Looks for dial words that are left in the rewritten method and flags them."""

from __future__ import annotations

import re

from converter import flagkinds
from converter.model import Flag, Placement, Reading, Span, WrittenStep

_LEVEL = r"(?:low|medium|high|moderate|gentle|maximum|minimum|lowest|highest)"
DIAL = re.compile(
    rf"\bpre-?\s?heat(?:ed|ing|s)?\b|\b{_LEVEL}(?:[\s-]*(?:to|or|–"
    rf"|-)?[\s-]*{_LEVEL})?[\s-]+(?:possible\s+)?(?:heat|flame|fire|setting|temperature)\b"
    r"|\b(?:turn|reduc|lower|increas|rais|adjust|bring)\w*\s+(?:up\s+|down\s+)(?:the\s+"
    r"|your\s+)?(?:heat|oven|flame|temperature|gas)\b"
    r"|\b(?:turn|reduc|lower|increas|rais|adjust)\w*\s+(?:the\s+|your\s+)?(?:heat|oven|flame|temperature|gas)\b"
    r"|\b(?:heat|flame|fire|gas|stove|hob|burner|oven)\s+(?:is\s+|to\s+)?(?:turned|set)\s+(?:on|off|up|down|at|to)\b"
    rf"|\b(?:heat|flame|fire|gas|stove|hob|burner|oven)\s+(?:is\s+)?(?:on|at|to)\s+(?:a\s+|the\s+)?{_LEVEL}\b"
    r"|\bheat\s+(?:up\s+)?to\s+(?=(?:about\s+|around\s+|approximately\s+)?\d)"
    r"|\b(?:put|switch|turn)\s+the\s+oven\s+on\b|\b(?:heat|flame|fire|gas|stove|hob|burner|oven)\s+(?:is\s+)?off\b"
    rf"|\b(?:simmer|cook|fry|boil|bake|roast|keep|set)\s+on\s+{_LEVEL}\b"
    r"|\b(?:turn|switch|shut)\w*\s+(?:off\s+the\s+|the\s+)(?:heat|oven|stove|flame|gas)\b"
    r"|\bgas\s+mark\b|\bburners?\b|\bstove[\s-]?top\b"
    r"|\b(?:under|beneath)\s+(?:(?:a|the|your|hot|pre-?heated)\s+)*(?:grill|broiler)\b|\b(?:set"
    r"|turn|light)\s+(?:the\s+|your\s+)?(?:grill|broiler)\b"
    r"|\boven\s+temperature\b|\b(?:hot|moderate|slow|cool|warm|medium|quick|very hot)\s+oven\b",
    re.IGNORECASE,
)
# "do not cook over a high heat": advice that stays true where no dial is.
_WARNED = re.compile(r"\b(?:do not|don['’]t|never|avoid|without|instead of|rather than)\b[^.;!]{0,40}$", re.IGNORECASE)
_SPEED = re.compile(r"\b(?:speed|mixer|blend|puls|whip|beat)\w*\b", re.IGNORECASE)


def left_over(
    reading: Reading, steps: tuple[WrittenStep, ...], flags: tuple[Flag, ...], placements: tuple[Placement, ...]
) -> list[Flag]:
    """Return a flag for each step that still speaks of a dial where no flag points at those words."""
    out: list[Flag] = []
    text = reading.recipe.document.text
    labels = sorted({move.label for placement in placements for move in placement.moves}, key=len, reverse=True)
    told: dict[int, list[Span]] = {}
    for flag in flags:
        if flag.level != "note":
            told.setdefault(flag.step, []).append(flag.span)
    ovens = [m for m in reading.mentions if m.role == "oven"]
    for step, written in zip(reading.recipe.steps, steps, strict=True):
        words = written.rewritten
        found = next((match for match in DIAL.finditer(words) if not _ours(match, words, labels)), None)
        if found is not None:
            at = text.find(found.group(0), step.span.start, step.span.end)
            span = Span(at, at + len(found.group(0)))
        else:
            left = next((m for m in ovens if m.step == step.number and m.text in words), None)
            at, span = (left.span.start, left.span) if left is not None else (-1, Span(0, 0))
        if at < 0 or any(s.start < span.end and span.start < s.end for s in told.get(step.number, ())):
            continue
        words = text[span.start : span.end]
        out.append(flagkinds.make("left-as-written", step=step.number, span=span, text=words, words={}))
    return out + _changes(reading, steps, (*flags, *out))


def _changes(reading: Reading, steps: tuple[WrittenStep, ...], flags: tuple[Flag, ...]) -> list[Flag]:
    """Return a flag for each clause that turns a heat up or down and has no phase, no edit and no flag."""
    text = reading.recipe.document.text
    phases = {clause.span for phase in reading.phases for clause in phase.clauses}
    met = [edit.span for step in steps for edit in step.edits] + [flag.span for flag in flags]
    return [
        flagkinds.make("left-as-written", step=clause.step, span=span, text=text[span.start : span.end], words={})
        for clause in reading.clauses
        if (span := clause.span)
        and clause.act.startswith("change")
        and span not in phases
        and not any(one.start < span.end and span.start < one.end for one in met)
    ]


def _ours(match: re.Match[str], words: str, labels: list[str]) -> bool:
    """Tell the cooker's own words ("the hot oven") and a mixer's speed from a dial."""
    around = words[max(0, match.start() - 30) : match.end() + 12].lower()
    if any(label.lower() in match.group(0).lower() for label in labels):
        return f"the {match.group(0).lower()}" in around
    return bool(_SPEED.search(around)) or bool(_WARNED.search(words[max(0, match.start() - 50) : match.start()]))
