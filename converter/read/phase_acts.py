"""Reads the clauses whose verb moves food, covers it, takes it out or lets it go on."""

from __future__ import annotations

from collections.abc import Callable

from converter.read import phase_cues as cue
from converter.read.clauses import Draft
from converter.read.phase_heat import boil, heat_pan, on_heat
from converter.read.phase_join import event
from converter.read.phase_state import Pan, State, cook_time, heat_word, oil_c, oven_c, vessels


def on_put(state: State, draft: Draft) -> None:
    """Food or a vessel goes somewhere."""
    if cue.NOT_FOOD.match(draft.words):
        return
    if cue.HAD_BEEN.search(draft.words) and draft.has("oven"):
        return
    if _put_at_heat(state, draft):
        return
    kinds = vessels(draft)
    if draft.lid is not None and "cold" not in kinds:
        _lid(state, draft, draft.lid)
        if cue.LID_PUT.match(draft.words):
            return
    if cue.HOT_LIQUID.search(draft.words) or cue.HOT_PAN.search(draft.words) or (state.pan.holds == "fat" and cue.INTO_FAT.search(draft.words)):
        _into_hot(state, draft)
    elif "hob" in kinds:
        _put_in_pan(state, draft)
    else:
        _put_aside(state, draft, kinds)


def _put_at_heat(state: State, draft: Draft) -> bool:
    if draft.has("oven", "rack") and not draft.has("hob"):
        if state.grill_ready and not draft.has("oven"):
            event(state, draft, "grill", "grill", weak=True)
        else:
            event(state, draft, "", "oven", weak=True)
    elif draft.has("grill"):
        _under_grill(state, draft)
    elif state.on_stove(draft):
        over_stove(state, draft)
    elif draft.has("hob") and state.current is not None:
        state.changed = state.changed or state.current.done
        event(state, draft, "", state.current.environment, weak=True)
    elif draft.has("at") and oven_c(draft) and cook_time(draft):
        event(state, draft, "", "oven", weak=True)
    else:
        return False
    return True


def _put_in_pan(state: State, draft: Draft) -> None:
    new = bool(cue.NEW_VESSEL.search(draft.words))
    if state.current is not None and (not state.on("hob") or new or cue.SEPARATE.search(draft.words)):
        state.close()
    if state.pan.hot and not new:
        _into_hot(state, draft)
        return
    state.pan = Pan(vessel=True, filled=True, draft=draft)


def _put_aside(state: State, draft: Draft, kinds: list[str]) -> None:
    current, pan = state.current, state.pan
    if "either" in kinds or "oven" in kinds:
        state.in_oven_dish = True
    if _leaves(state, draft, kinds):
        state.close()
    elif pan.hot and current is None and not kinds and pan.near(draft, 1) and "set aside" not in draft.words:
        if cook_time(draft) is not None or draft.sign is not None or pan.holds == "water":
            _into_hot(state, draft)
    elif cook_time(draft) is not None and current is not None:
        event(state, draft, "", current.environment, weak=True)


def _leaves(state: State, draft: Draft, kinds: list[str]) -> bool:
    """Tell that the food is put on a plate, a rack or into a bowl."""
    if state.on("hob") or state.on("grill"):
        return "cold" in kinds
    return state.on("oven") and ("cold" in kinds or "rack" in draft.words)


def _under_grill(state: State, draft: Draft) -> None:
    if state.pan.griddle and state.pan.near(draft, 2):
        _into_hot(state, draft)
        return
    current = state.current
    if current is not None and current.done and cue.OTHER_PART.search(draft.words):
        state.changed = True
    if state.outdoor and "grill" in draft.words:
        event(state, draft, "barbecue", "none", weak=True)
    else:
        event(state, draft, "grill", "grill", weak=True)


def over_stove(state: State, draft: Draft) -> None:
    """A pan goes over heat."""
    words = draft.words
    if state.current is not None and (not state.on("hob") or cue.OTHER_PAN.search(words[:40])):
        state.close()
    filled = state.pan.filled or bool(cue.LIQUID.search(words) or cue.FILLED_PAN.search(words))
    holds = "fat" if cue.FAT.search(words) else ""
    state.pan = Pan(
        hot=True, heat=heat_word(draft), vessel=True, filled=filled, draft=draft, holds=holds,
        empty=not filled, wet=state.pan.wet and filled,
    )  # fmt: skip
    told = cook_time(draft) is not None or draft.sign is not None
    if told or (filled and not cue.FAT_ADDED.match(words)):
        event(state, draft, "", "hob", weak=True)
    else:
        state.note(draft, "preheat-pan")


def _into_hot(state: State, draft: Draft) -> None:
    """Food goes into something hot."""
    if cue.BOILING_WORD.search(draft.words) or state.pan.holds == "water":
        method = "boil"
    elif state.pan.holds == "fat" or "oil" in draft.words:
        method = "" if state.pan.wet else "fry"
    else:
        method = ""
    event(state, draft, method, "hob", weak=True)


def on_add(state: State, draft: Draft) -> None:
    """Something joins what is cooking, or goes into a pan."""
    if draft.has("oven", "rack"):
        event(state, draft, "", "oven", weak=True)
    elif draft.has("grill"):
        _under_grill(state, draft)
    elif state.on_stove(draft) and not state.on("hob") and "bowl" not in draft.words:
        over_stove(state, draft)
        if state.current is None and cue.PUT_BACK.search(draft.words):
            event(state, draft, "", "hob", weak=True)
    elif state.on("hob"):
        _add_on_hob(state, draft)
    elif state.current is not None:
        _add_elsewhere(state, draft)
    else:
        _add_cold(state, draft)


def _add_on_hob(state: State, draft: Draft) -> None:
    words, current = draft.words, state.current
    if current is None:
        return
    kinds = vessels(draft)
    if cue.INTO_A_PAN.search(words):
        state.close(cold=True)
        state.pan = Pan(vessel=True, filled=True, draft=draft)
    elif "oven" in kinds or ("cold" in kinds and cue.INTO_A_BOWL.search(words)):
        state.close(cold=True)
    elif cue.POUR_OVER.search(words) and not cue.STOVE_PAN.search(words):
        state.close()
    else:
        state.added = True
        if cook_time(draft) is not None or (draft.sign is not None and current.signed):
            event(state, draft, "", "hob", weak=True)
        elif draft.sign is not None or draft.lid is not None:
            current.words.append(words)
            state.take(current, draft)
        else:
            current.words.append(words)


def _add_elsewhere(state: State, draft: Draft) -> None:
    state.added = True
    kinds = vessels(draft)
    if cook_time(draft) is not None and state.current is not None:
        event(state, draft, "", state.current.environment, weak=True)
    elif "oven" in kinds or "cold" in kinds:
        state.close()


def _add_cold(state: State, draft: Draft) -> None:
    kinds, pan, words = vessels(draft), state.pan, draft.words
    ready = pan.hot and pan.near(draft, 2) and "cold" not in kinds and "oven" not in kinds
    if cue.FAT_ADDED.match(words) and not draft.boil:
        if pan.hot or "hob" in kinds:
            state.pan = Pan(
                hot=pan.hot, heat=pan.heat, holds="fat", vessel=True, empty=True, draft=draft,
                oil_c=oil_c(draft, "liquid"), deep=bool(cue.DEEP_OIL.search(words)),
            )  # fmt: skip
    elif cue.HOT_LIQUID.search(words):
        _into_hot(state, draft)
    elif state.grill_ready and not pan.hot and not kinds and "add" in draft.lemma:
        event(state, draft, "barbecue" if state.outdoor else "grill", "none" if state.outdoor else "grill", weak=True)
    elif ready and not (pan.empty and "hob" not in kinds and cue.SOME_OTHER.search(words)):
        _into_hot(state, draft)
    elif "hob" in kinds:
        state.pan = Pan(hot=pan.hot, heat=pan.heat, vessel=True, filled=True, draft=draft)


def on_turn(state: State, draft: Draft) -> None:
    """Food is turned, basted or stirred: the stretch goes on."""
    if draft.has("oven", "rack"):
        event(state, draft, "", "oven", weak=True)
    elif cue.OUT_ONTO.search(draft.words):
        state.close()
    elif draft.boil:
        boil(state, draft)
    elif draft.has("hob") or "bowl" not in draft.words:
        _turned(state, draft)


def _turned(state: State, draft: Draft) -> None:
    current = state.current
    over_heat = draft.has("hob")
    timed = cook_time(draft) is not None
    if current is None:
        hot = state.pan.hot and state.pan.near(draft, 2)
        if state.on_stove(draft) or (hot and (timed or draft.sign is not None)):
            event(state, draft, "", "hob", weak=True)
        return
    if state.on_stove(draft) and current.environment != "hob":
        event(state, draft, "", "hob", weak=True)
    elif timed or over_heat:
        event(state, draft, "", current.environment, weak=True)
    elif draft.sign is not None and current.environment == "hob" and not current.done:
        state.take(current, draft)
    state.turned = state.current is not None and not timed and bool(cue.TURN_OVER.search(draft.words))


def on_out(state: State, draft: Draft) -> None:
    """Food leaves the heat, or only a bone, a skin, the lid."""
    words, current = draft.words, state.current
    from_heat = cue.FROM_HEAT.search(words)
    if not from_heat and cue.COVERS.search(words) and cue.LID_TAKEN.match(words):
        if draft.lid == "off":
            _lid(state, draft, "off")
        elif state.on("oven"):
            state.added = True
        return
    if from_heat:
        state.note(draft, "remove")
        if current is not None and current.drafts[-1].sentence == draft.sentence:
            state.drop_bare()
        state.close(cold=True)
    elif draft.lemma in ("drain", "strain", "draining"):
        state.close(cold=state.pan.holds != "fat" and "fat" not in words and "grease" not in words)
    elif cue.PICKED_OUT.search(words) or draft.lemma == "scoop":
        return
    elif not cue.FROM_PAN.search(words) or "half" not in words:
        state.close()
    state.pending_lid = None


def on_off(state: State, draft: Draft) -> None:
    """The heat ends."""
    state.note(draft, "off")
    if state.current is not None:
        state.current.drafts.append(draft)
    elif state.phases:
        state.phases[-1].marks.add("off")
    state.close(cold=True)


def on_cover(state: State, draft: Draft) -> None:
    """The lid goes on."""
    if draft.lid in ("on", "foil"):
        _lid(state, draft, draft.lid)


def on_uncover(state: State, draft: Draft) -> None:
    """The lid comes off."""
    _lid(state, draft, "off")


def _lid(state: State, draft: Draft, lid: str) -> None:
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


def on_cool(state: State, draft: Draft) -> None:
    """Food stands or cools: the stretch is over, but for a rest with a cooking time."""
    if draft.lemma in ("sit", "stand", "rest") and state.current and draft.lid is None and cook_time(draft) is not None:
        return
    state.pending_lid = None
    if state.on("hob"):
        state.drop_bare()
    state.close(cold=True)


def on_mix(state: State, draft: Draft) -> None:
    """Mixing and the like: no heat, unless the words say so."""
    words = draft.words
    if draft.lemma == "soak" and state.on("hob"):
        state.drop_bare()
        state.close(cold=True)
        return
    if draft.boil:
        boil(state, draft)
    elif draft.has("oven") and (cook_time(draft) is not None or draft.has("at")):
        event(state, draft, "", "oven", weak=True)
    elif cue.IN_A_BOWL.search(words):
        return
    elif state.on_stove(draft) and cue.STOVE_PAN.search(words) and "bowl" not in words:
        over_stove(state, draft)
    elif "hob" in vessels(draft) and (" in a" in words or " in the" in words or " in your" in words):
        if state.current is not None and cue.NEW_VESSEL.search(words):
            state.close()
        if state.current is None:
            state.pan = Pan(vessel=True, filled=True, draft=draft)


def on_serve(state: State, draft: Draft) -> None:
    """The food is eaten."""
    state.close(cold=True)


def on_begin(state: State, draft: Draft) -> None:
    """Bring, let, leave, continue, keep."""
    current, words = state.current, draft.words
    if draft.boil:
        boil(state, draft)
    elif draft.has("oven", "rack"):
        if cue.HAD_BEEN.search(words):
            return
        if cue.OVEN_COOLING.search(words):
            state.note(draft, "off-inside")
        else:
            event(state, draft, "", "oven", weak=True)
    elif state.on_stove(draft):
        event(state, draft, "", "hob", weak=True)
    elif cue.LEFT_TO_REST.search(words):
        state.pending_lid = None
        if state.on("hob") and cue.STEEP.search(words):
            state.drop_bare()
    elif current is not None and (current.environment != "oven" or (state.changed and draft.times)):
        if cook_time(draft) is not None or (draft.sign is not None and not current.signed):
            event(state, draft, "", current.environment, weak=True)


def on_time(state: State, draft: Draft) -> None:
    """A sentence that only gives a time: it belongs to what is cooking."""
    if draft.has("hob") and not draft.times and "hob" in vessels(draft):
        heat_pan(state, draft)
        return
    current = state.current
    if current is None and state.phases and draft.step - state.phases[-1].drafts[-1].step <= 1:
        current = state.phases[-1]
    seconds = cook_time(draft)
    if current is not None and current.environment == "oven" and current.celsius is None:
        current.celsius = oven_c(draft)
    if current is None or seconds is None or current.seconds is not None:
        return
    current.seconds = seconds
    current.step = draft.step
    current.drafts.append(draft)


HANDLERS: dict[str, Callable[[State, Draft], object]] = {
    "heat": on_heat, "put": on_put, "add": on_add, "back": on_add, "turn": on_turn, "out": on_out, "off": on_off,
    "cover": on_cover, "uncover": on_uncover, "cool": on_cool, "mix": on_mix, "serve": on_serve, "begin": on_begin,
    "time": on_time,
}  # fmt: skip
