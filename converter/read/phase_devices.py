"""Reads the clauses that name an appliance: smoker, barbecue, microwave, slow cooker and their kind."""

from __future__ import annotations

from converter.read import phase_cues as cue
from converter.read.clauses import Draft
from converter.read.phase_join import event
from converter.read.phase_state import State, cook_time, oven_c

_FIRES = ("smoker", "barbecue", "open-fire", "dehydrator")
_COLD_ACTS = ("preheat", "mix", "cool", "cut", "serve", "time", "cover")
_HOT_ACTS = ("put", "add", "heat", "turn", "back", "begin", "more")


def device(state: State, draft: Draft, name: str) -> bool:
    """Take a clause that names the appliance `name`; return whether it is dealt with."""
    if name in _FIRES:
        return _fire(state, draft, name)
    words = draft.words
    if name == "microwave" and "oven" in words.replace("microwave oven", ""):
        return False
    if name == "sandwich-grill" and draft.method == "toast":
        name = "toast"
    elif draft.act in ("cut", "serve", "cool", "out"):
        if draft.act == "out":
            state.close()
        return False
    elif (draft.act == "time" and cook_time(draft) is None) or cue.NOT_APPLIANCE.search(words):
        return False
    event(state, draft, name, "none")
    return True


def _fire(state: State, draft: Draft, name: str) -> bool:
    if draft.has("oven", "rack"):
        return False
    heat = oven_c(draft)
    if heat:
        state.device_c = heat
    state.device = name
    if draft.act == "out":
        state.close()
        return False
    timeless = cook_time(draft) is None
    unsaid = timeless and draft.sign is None
    if draft.act in _COLD_ACTS or (unsaid and (draft.act == "begin" or cue.FUEL.match(draft.words))):
        return True
    if draft.act == "put" and heat and timeless and "chunks" in draft.words:
        return True
    if draft.act in _HOT_ACTS:
        event(state, draft, name, "none")
    return True
