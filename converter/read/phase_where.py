"""Tells where a verb works: oven, hob, grill or an appliance of its own."""

from __future__ import annotations

from converter.read import phase_cues as cue
from converter.read.clauses import Draft
from converter.read.phase_state import State, cook_time, oven_c, vessels


def where(state: State, draft: Draft) -> str | None:
    """Return the environment that a verb works in here, ``None`` where nothing says so."""
    if draft.has("grill"):
        return _where_grill(state, draft)
    if draft.has("oven", "rack"):
        return "oven"
    if draft.environment == "oven":
        return _where_oven(state, draft)
    if draft.environment == "hob" and oven_c(draft) is not None and not _in_pan(state, draft):
        return "oven"
    if draft.environment == "hob":
        browned = state.on("oven") and draft.method == "brown" and draft.lid is None
        return "oven" if browned and "hob" not in vessels(draft) and not draft.has("hob") else "hob"
    return _where_any(state, draft)


def _in_pan(state: State, draft: Draft) -> bool:
    return state.on("hob") or state.pan.hot or draft.has("hob") or "hob" in vessels(draft)


def _where_grill(state: State, draft: Draft) -> str:
    """The grill; the hob where it is a grill pan or a griddle, no zone of ours where it burns outdoors."""
    if state.pan.griddle and state.pan.near(draft, 2):
        return "hob"
    return "none" if state.outdoor and "broiler" not in draft.words else "grill"


def _where_oven(state: State, draft: Draft) -> str:
    current = state.current
    in_pan = (
        "hob" in vessels(draft)
        or draft.has("hob")
        or cue.IN_FAT.search(draft.words)
        or (state.on("hob") and cook_time(draft) is None)
    )
    tray = state.in_oven_dish and "hob" not in vessels(draft) and not state.pan.hot
    if draft.method == "roast" and in_pan and not tray and oven_c(draft) is None and state.oven_c is None:
        return "hob"
    if state.device in ("smoker", "barbecue") and state.oven_c is None and current and current.environment == "none":
        return "none"
    return "oven"


def _where_any(state: State, draft: Draft) -> str | None:
    current, pan = state.current, state.pan
    if state.on_stove(draft):
        return "hob"
    if state.on("none") and oven_c(draft) is not None and "oven" not in draft.words:
        return "none"
    if oven_c(draft) is not None and not (state.on("hob") and state.oven_c is None and "oven" not in draft.words):
        return "oven"
    if draft.method == "toast" and state.oven_c is not None and cue.OVENPROOF.search(draft.words):
        return "oven"
    if draft.method == "toast":
        return current.environment if current and current.environment in ("oven", "hob") else "hob"
    if draft.method == "braise" and state.oven_c is not None:
        return "oven"
    if draft.general and cue.BY_PACKET.search(draft.words):
        return "hob"
    kinds = vessels(draft)
    if "hob" in kinds and not state.on("none") and not state.on("grill"):
        return "hob"
    if current is not None and (current.environment != "oven" or draft.step - current.drafts[-1].step <= 2):
        return current.environment
    if pan.hot or (pan.vessel and pan.near(draft, 4)):
        return "hob"
    told = draft.sign is not None or bool(draft.times)
    if current is None and told and (state.grill_ready or state.device):
        return state.fire()[1] if state.grill_ready else "none"
    if not draft.general or draft.attended or draft.has("hob"):
        return "hob"
    if "oven" in kinds or (state.oven_c is not None and state.in_oven_dish):
        return "oven"
    softened = draft.sign is not None and cue.TENDER.search(draft.words) is not None
    if softened and state.oven_c is None and state.oven_word is None:
        return "hob"
    return "hob" if _boiled_or_fried(draft) else None


def _boiled_or_fried(draft: Draft) -> bool:
    words = draft.words
    if cue.PLAIN_WATER.search(words) or cue.IN_FAT.search(words) or (draft.sign is not None and cue.FAT.search(words)):
        return True
    told = draft.sign is not None or bool(draft.times)
    if told and cue.LIQUID.search(words) and not draft.temperatures:
        return True
    if not cue.BOILED.search(words):
        return False
    return told or bool(cue.BY_PACKET.search(words))
