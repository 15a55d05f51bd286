"""Puts the household's decisions in the place of what the rules propose.

A decision settles where the food goes. It never takes a caution away.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from converter.ledger.keys import flags_with_keys, line_span
from converter.ledger.values import Decision, Decisions
from converter.model import Edit, Flag, Move, Placement, Reading, Span

Way = Callable[[str, Placement], Placement | None]


@dataclass(frozen=True, slots=True)
class Decided:
    """Placements as decided, lines that the writer takes over as they are, and what holds for which flag."""

    placements: tuple[Placement, ...]
    own: tuple[Edit, ...]
    held: tuple[tuple[Flag, Decision], ...]

    def __bool__(self) -> bool:
        return bool(self.held)


def decide(
    reading: Reading, placements: tuple[Placement, ...], flags: Sequence[Flag], decisions: Decisions, way: Way
) -> Decided:
    """Return what the decisions make of a placed recipe; `way` gives the placement of a kept code, if it can be had.

    A decision that this cooker cannot follow leaves its flag as it was.
    """
    placed = {placement.phase: placement for placement in placements}
    held: list[tuple[Flag, Decision]] = []
    own: dict[Span, tuple[Decision, str]] = {}
    pairs = zip(flags, flags_with_keys(reading, placements, flags), strict=True)
    found = [(flag, decisions.find(kept.key)) for flag, kept in pairs]
    made = [(flag, decision) for flag, decision in found if decision is not None and decision.settles]
    text = reading.recipe.document.text
    for flag, decision in sorted(made, key=lambda item: (item[1].change, item[1].at)):
        if decision.kind in ("words", "leave"):
            span = line_span(reading, flag)
            for other in [other for other in own if _meet(other, span)]:
                del own[other]
            own[span] = decision, decision.words if decision.kind == "words" else text[span.start : span.end]
        elif decision.code and flag.phase in placed:
            there = way(decision.code, next(p for p in placements if p.phase == flag.phase))
            if there is None:
                continue
            placed[flag.phase] = there
            span = line_span(reading, flag)
            for other in [other for other in own if _meet(other, span)]:
                del own[other]
        held.append((flag, decision))
    for phase in reading.phases:
        if any(_meet(span, clause.span) for clause in phase.clauses for span in own):
            placed[phase.number] = replace(placed[phase.number], moves=(), core=None, reasons=(), in_own_words=True)
    done = {flag.phase for flag, _ in held if flag.phase is not None}
    return Decided(
        tuple(replace(placed[p.phase], flag=False) if p.phase in done else p for p in placed.values()),
        tuple(Edit(span, words) for span, (_, words) in sorted(own.items())),
        tuple(held),
    )


def settled(flags: Sequence[Flag], decided: Decided) -> tuple[Flag, ...]:
    """Return the flags with those that were decided as notes which say so; cautions are returned as they are."""
    by_flag = {_about(flag): decision for flag, decision in decided.held}
    by_phase = {flag.phase: decision for flag, decision in decided.held if flag.phase is not None}
    moves = {placement.phase: placement.moves for placement in decided.placements}
    out = []
    for flag in flags:
        decision = by_flag.get(_about(flag)) or (by_phase.get(flag.phase) if flag.phase is not None else None)
        if flag.level == "judgement" and decision is not None:
            message = _told(decision, moves.get(flag.phase or 0, ()))
            flag = replace(flag, level="note", message=message, choices=())
        out.append(flag)
    return tuple(out)


def _about(flag: Flag) -> tuple[str, Span]:
    return flag.name, flag.span


def _meet(one: Span, other: Span) -> bool:
    return one.start < other.end and other.start < one.end


def _told(decision: Decision, moves: tuple[Move, ...]) -> str:
    who = " ".join(part for part in (f"by {decision.who}" if decision.who else "", decision.at[:10]) if part)
    by = f"decided {who}: " if who else "decided: "
    if decision.kind == "words":
        return f"{by}in your own words"
    if decision.kind == "leave":
        return f"{by}left as the recipe has it"
    return by + (", then ".join(_stay(move) for move in moves) or "as proposed")


def _stay(move: Move) -> str:
    height = "" if move.height in (None, "any") else f", {move.height}"
    return f"{move.label}{height}{', under a shield' if move.shield else ''}"
