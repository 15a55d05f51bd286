"""Reads the clauses that put a lid on or take it off."""

from __future__ import annotations

from converter.read.clauses import Draft
from converter.read.phase_join import event
from converter.read.phase_state import State, cook_time


def on_cover(state: State, draft: Draft) -> None:
    """The lid goes on."""
    if draft.lid in ("on", "foil"):
        set_lid(state, draft, draft.lid)


def on_uncover(state: State, draft: Draft) -> None:
    """The lid comes off."""
    set_lid(state, draft, "off")


def set_lid(state: State, draft: Draft, lid: str) -> None:
    """Take the lid on or off; with a time of its own a new phase begins."""
    state.pending_lid = lid
    current = state.current
    if current is None:
        return
    if any(mention.last for mention in draft.times) and lid != (current.lid or "off"):
        method, celsius, word_c = current.method, current.celsius, current.word_c
        phase = state.start(draft, method, current.environment)
        phase.celsius, phase.word_c, phase.heat = celsius, word_c, current.heat
    elif cook_time(draft) is not None:
        event(state, draft, "", current.environment, weak=True)
