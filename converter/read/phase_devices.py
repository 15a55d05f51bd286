"""Reads the clauses that name an appliance: smoker, barbecue, microwave, slow cooker and their kind."""

from __future__ import annotations

from converter.read import phase_cues as cue
from converter.read.clauses import Draft
from converter.read.phase_join import event
from converter.read.phase_state import State, cook_time, oven_c, vessels

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
    if _only_offered(draft, words):
        return False
    if name == "deep-fryer" and draft.method == "warm" and cook_time(draft) is None and cue.OIL_ONLY.match(words):
        if cue.OR.search(words) and not {"hob", "either"}.isdisjoint(vessels(draft)):
            return False
        state.device = name
        return True
    if draft.method == "warm" and cook_time(draft) is None and cue.HEATS_DEVICE.match(words):
        state.device = name
        return True
    if draft.act in ("cut", "serve", "cool", "out"):
        if draft.act == "out":
            state.close()
        return False
    if draft.act in ("mix", "time", "cover", "uncover", "preheat") and cook_time(draft) is None:
        state.device = name
        return draft.act == "preheat"
    event(state, draft, "toast" if draft.method == "toast" else name, "none")
    state.device = name
    return True


def _only_offered(draft: Draft, words: str) -> bool:
    """Tell an appliance that is named beside a pan of the cooker, or in a remark ("microwave-safe")."""
    if cue.NOT_APPLIANCE.search(words):
        return True
    kinds = [hit.word.kind for hit in draft.hits if hit.word.kind == "appliance" or hit.word.key == "hob"]
    if kinds and kinds[0] == "vessel" and cue.OR.search(words):
        return True
    return bool(cue.COULD.search(words)) and not draft.alternative


def _fire(state: State, draft: Draft, name: str) -> bool:
    if draft.has("oven", "rack") or (cue.OR.search(draft.words) and cue.STOVE_PAN.search(draft.words)):
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
    if unsaid and (cue.FUEL.match(draft.words) or cue.HEAT_GRILL.search(draft.words)):
        state.grill_ready = True
        state.note(draft, "preheat-grill")
        return True
    if draft.act in _COLD_ACTS or (unsaid and draft.act == "begin"):
        return True
    if draft.act == "put" and heat and timeless and "chunks" in draft.words:
        return True
    if draft.act in _HOT_ACTS:
        event(state, draft, name, "none")
    return True
