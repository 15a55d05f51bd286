"""Reads the clauses that set oven, pan or flame, bring to the boil or keep warm."""

from __future__ import annotations

from converter.read import phase_cues as cue
from converter.read.clauses import Draft
from converter.read.phase_join import event
from converter.read.phase_state import Pan, State, cook_time, heat_word, oil_c, oven_c, oven_heat_word
from converter.read.places import Place, oven_word
from converter.read.settings import word_celsius

_COOLS_S = 3 * 3600.0  # longer than this an oven that is turned off only cools; common practice, no source


def sets_oven(draft: Draft) -> bool:
    """Tell whether the clause sets the oven ("turn the oven to 180 °C") without putting food in."""
    words = draft.words
    if (
        "oven" not in words
        or (draft.act == "put" and draft.has("oven", "rack"))
        or (draft.has("oven", "rack", "out") and not oven_c(draft))
    ):
        return False
    if cue.OVEN_OFF.search(words):
        return False
    return bool(cue.SET_OVEN.search(words)) and not cue.INTO_OVEN.search(words)


def preheat(state: State, draft: Draft) -> None:
    """Oven, grill or pan is heated with nothing in it."""
    words = draft.words
    if "oven" not in words and cue.OWN_GRIDDLE.search(words):
        heat_pan(state, draft)
        return
    if "oven" not in words and cue.GRILL_NOUN.search(words):
        state.note(draft, "preheat-grill")
        state.grill_ready = True
        return
    heat = oven_c(draft)
    if ("oven" in words and "dutch oven" not in words) or heat is not None:
        current = state.current
        if current is not None and current.environment == "oven" and heat and heat != state.oven_c:
            if current.weak and not current.done:
                current.celsius = heat
            else:
                state.close()
        state.oven_c = heat or state.oven_c
        state.oven_word = state.oven_word if heat is None else None
        if heat is None and state.oven_c is None:
            state.oven_word = oven_word(words) or state.oven_word
        state.grill_ready = False
        state.note(draft, "preheat-oven")
        return
    heat_pan(state, draft)


def heat_pan(state: State, draft: Draft) -> None:
    """Oil, fat or an empty pan is heated: what follows is fried in it."""
    if state.on("hob") or (state.current is not None and state.current.drafts[-1].sentence != draft.sentence):
        state.close()
    oil = oil_c(draft, "liquid", "surface")
    state.pan = Pan(
        hot=True,
        heat=heat_word(draft),
        holds="fat" if oil or cue.FAT.search(draft.words) else "",
        vessel=True,
        oil_c=oil,
        empty=True,
        deep=bool(cue.DEEP_OIL.search(draft.words)) or (state.pan.deep and state.pan.near(draft, 0)),
        griddle=bool(cue.OWN_GRIDDLE.search(draft.words)),
        draft=draft,
    )
    state.pending_lid = None
    state.grill_ready = False
    state.note(draft, "preheat-pan")


def water(state: State, draft: Draft, heat: str | None = None) -> None:
    """Plain water is brought to the boil before food goes in."""
    if state.current is not None and not state.on("hob") and state.current.drafts[-1].sentence != draft.sentence:
        state.close()
    state.pan = Pan(hot=True, heat=heat, holds="water", vessel=True, empty=True, wet=True, draft=draft)
    state.note(draft, "water")


def change(state: State, draft: Draft, place: Place) -> None:
    """The heat is turned up or down, or down to a simmer."""
    if state.on("none") and oven_c(draft) is not None:
        _change_device(state, draft)
        return
    if _oven_is_meant(state, draft, place):
        change_oven(state, draft)
        return
    current, pan = state.current, state.pan
    seconds = cook_time(draft)
    if state.on("oven") and place.heat and seconds is None and draft.sign is None:
        state.close()
        current = None
    if current is None and (pan.vessel or place.heat):
        pan.hot, pan.draft = True, draft
    if place.heat != "simmer":
        pan.heat = "low" if place.heat is None and place.direction == "down" else place.heat
    else:
        pan.heat = pan.heat or "low"
    if place.heat != "simmer" and seconds is None and draft.sign is None:
        state.changed = True
        state.note(draft, "change-hob")
        if current is not None:
            current.drafts.append(draft)
            if not current.done:
                current.heat = pan.heat or current.heat
        return
    method = current.method if current is not None else "other"
    if place.heat == "simmer" or method in ("boil", "simmer"):
        method = "simmer"
    if current is None or current.environment not in ("hob", "none"):
        if pan.hot or pan.vessel or place.heat == "simmer":
            event(state, draft, method, "hob")
        return
    state.changed = state.changed or place.heat != "simmer" or not current.boiling
    event(state, draft, method, current.environment)


def _change_device(state: State, draft: Draft) -> None:
    """A smoker or a slow cooker is set to another heat."""
    state.device_c = oven_c(draft)
    current = state.current
    if current is None:
        return
    if current.done:
        state.changed = True
    else:
        current.celsius = state.device_c
        current.drafts.append(draft)
    if cook_time(draft) is not None or draft.sign is not None:
        event(state, draft, "", "none")


def _oven_is_meant(state: State, draft: Draft, place: Place) -> bool:
    if oven_c(draft) is not None or place.noun == "oven":
        return True
    return state.on("oven") and (place.noun in ("temperature", "temp") or (place.noun == "heat" and place.heat is None))


def change_oven(state: State, draft: Draft) -> None:
    """The oven is set to another heat."""
    current = state.current
    state.oven_c = oven_c(draft) or state.oven_c
    state.changed = True
    if state.on("grill"):
        state.close()
    last = any(mention.last for mention in draft.times)
    if last or cook_time(draft) is not None or draft.sign is not None:
        event(state, draft, current.method if current else "bake", "oven")
    else:
        state.note(draft, "change-oven")


def in_turned_off_oven(state: State, draft: Draft) -> bool:
    """Take "turn off the oven and let it cook on inside for 15 minutes"; return whether it is that."""
    if state.current is not None or not state.phases or not state.others:
        return False
    last, act = state.others[-1]
    seconds = cook_time(draft)
    if act != "off" or last.step != draft.step or "oven" not in last.words or state.phases[-1].environment != "oven":
        return False
    if seconds is None or seconds[1] > _COOLS_S:
        return False
    state.start(draft, state.phases[-1].method, "oven").marks.add("turned-off")
    state.close()
    return True


def hold(state: State, draft: Draft) -> None:
    """Food is kept warm: a phase only in an oven."""
    heated = oven_c(draft) or state.oven_c or oven_heat_word(draft)
    if oven_c(draft) or (heated and draft.has("oven", "rack")):
        if state.current is not None and state.current.weak and state.current.drafts[-1].sentence == draft.sentence:
            state.drop()
        state.close()
        phase = state.start(draft, "warm", "oven")
        phase.celsius = oven_c(draft) or (state.oven_c if oven_heat_word(draft) is None else None)
        if phase.celsius is None:
            phase.heat = oven_heat_word(draft)
            phase.word_c = word_celsius(phase.heat or "", holding=True)
        phase.marks.add("hold")
        state.close()
        return
    if draft.has("hob") and heat_word(draft) is not None:
        state.close()
        phase = state.start(draft, "warm", "hob")
        phase.marks.add("hold")
        state.close()
        return
    state.note(draft, "hold")
    if draft.act in ("out", "put") or draft.method == "warm":
        state.close()


def boil(state: State, draft: Draft) -> None:
    """Something is brought to the boil or to a simmer."""
    words = draft.words
    if plain_water(words) and cook_time(draft) is None and not (state.on("hob") and not _other_pan(words)):
        if state.current is not None:
            state.close()
        water(state, draft, "high")
        return
    pan = state.pan
    only_water = state.current is None and pan.holds == "water" and pan.empty and pan.near(draft, 1)
    if only_water and cook_time(draft) is None and not cue.NOT_PLAIN.search(words):
        water(state, draft, "high")
        return
    if pan.filled and pan.holds == "water" and state.current is None:
        pan.holds = ""
    if draft.boil == "below":
        event(state, draft, "warm", "hob")
        return
    phase = event(state, draft, "simmer" if draft.boil == "simmer" else "boil", "hob")
    phase.marks.add("from-boil")
    if cook_time(draft) is None and draft.sign is None:
        phase.boiling = True


def plain_water(words: str) -> bool:
    return bool(cue.PLAIN_WATER.search(words)) and not cue.NOT_PLAIN.search(words)


def _other_pan(words: str) -> bool:
    return bool(cue.PAN_OF.search(words) or cue.SEPARATE.search(words) or cue.NEW_VESSEL.search(words))
