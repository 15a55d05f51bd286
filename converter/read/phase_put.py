"""Reads the clauses that put food or a vessel somewhere, or add something."""

from __future__ import annotations

from converter.read import phase_cues as cue
from converter.read.clauses import Draft
from converter.read.phase_join import event
from converter.read.phase_lids import set_lid
from converter.read.phase_settings import boil, hold, plain_water
from converter.read.phase_state import Open, Pan, State, cook_time, heat_word, oil_c, oven_c, vessels

_WARM_C = 110.0  # an oven up to here keeps warm; common practice, no source
_TELLS_S = 1200.0  # under 20 minutes "after it has boiled for" is only when to add; common practice, no source
_BESIDE = ("sprinkle", "toss", "combine", "incorporate", "fold in", "beat in", "whisk in")  # done in a bowl as well


def on_put(state: State, draft: Draft) -> None:
    """Food or a vessel goes somewhere."""
    if _cooled(state, draft):
        return
    if _only_ware(state, draft) or cue.NOT_FOOD.match(draft.words):
        return
    if cue.FROM_ONE_PAN.search(draft.words) and not draft.has("oven", "hob", "grill"):
        state.close()
        return
    if draft.boil:
        boil(state, draft)
        return
    if _put_at_heat(state, draft):
        return
    kinds = vessels(draft)
    if draft.lid is not None and ("oven" in kinds or "either" in kinds):
        state.dish_lid = draft.lid
    elif draft.lid is not None and "cold" not in kinds:
        set_lid(state, draft, draft.lid)
        if cue.LID_PUT.match(draft.words):
            return
    if (
        cue.HOT_LIQUID.search(draft.words)
        or cue.HOT_PAN.search(draft.words)
        or (state.pan.holds == "fat" and cue.INTO_FAT.search(draft.words))
    ):
        _into_hot(state, draft)
    elif "hob" in kinds:
        _put_in_pan(state, draft)
    else:
        _put_aside(state, draft, kinds)


def _cooled(state: State, draft: Draft) -> bool:
    """Take what goes from boiling into cold water: the boil is over."""
    if "water" not in draft.words and "ice" not in draft.words:
        return False
    if "hob" in vessels(draft) or not (state.current is not None or state.pan.holds == "water"):
        return False
    if not cue.INTO_COLD.search(draft.words):
        return False
    state.close()
    return True


def _only_ware(state: State, draft: Draft) -> bool:
    """Take an empty pan that is put into the oven to heat, and a bowl that is set over hot water."""
    words = draft.words
    if draft.has("oven") and cue.HEATED_EMPTY.search(words) and cue.EMPTY_WARE.search(words):
        state.note(draft, "preheat-oven")
        return True
    if state.pan.hot and state.pan.holds == "water" and cue.BATH.search(words) and cook_time(draft) is None:
        if draft.sign is not None:
            return False
        state.pan.holds, state.pan.bath, state.pan.wet, state.pan.draft = "", True, False, draft
        return True
    return False


def _put_at_heat(state: State, draft: Draft) -> bool:
    if draft.has("oven", "rack") and not draft.has("hob"):
        if _keeps_warm(state, draft):
            hold(state, draft)
        elif state.grill_ready and not draft.has("oven"):
            event(state, draft, "grill", "grill", weak=True)
        else:
            event(state, draft, "", "oven", weak=True)
    elif draft.has("grill"):
        under_grill(state, draft)
    elif state.on_stove(draft):
        over_stove(state, draft)
    elif draft.has("hob") and state.current is not None:
        state.changed = state.changed or state.current.done
        event(state, draft, "", state.current.environment, weak=True)
    elif _back_in_oven(state, draft) or (draft.has("at") and oven_c(draft) and cook_time(draft)):
        event(state, draft, "", "oven", weak=True)
    else:
        return False
    return True


def _back_in_oven(state: State, draft: Draft) -> bool:
    """Tell "put it back in" of what can only go into the oven it came out of."""
    if state.current is not None or not state.phases or state.phases[-1].environment != "oven":
        return False
    return cue.BACK_IN.search(draft.words) is not None and not vessels(draft)


def _keeps_warm(state: State, draft: Draft) -> bool:
    """Tell an oven under 110 °C that takes what has just been fried, without a time."""
    heat = oven_c(draft)
    fried = bool(state.phases) and state.phases[-1].environment == "hob" and state.phases[-1].done
    return heat is not None and heat[1] <= _WARM_C and fried and cook_time(draft) is None


def _put_in_pan(state: State, draft: Draft) -> None:
    if cue.CAKE_PAN.search(draft.words):
        state.close(cold=True)
        return
    new = bool(cue.NEW_VESSEL.search(draft.words))
    if state.current is not None and (not state.on("hob") or new or cue.SEPARATE.search(draft.words)):
        state.close()
    if state.current is None and state.pan.hot and cue.FAT_ADDED.match(draft.words):
        state.pan = Pan(hot=True, heat=state.pan.heat, holds="fat", vessel=True, empty=True, draft=draft)
        return
    if state.pan.hot and not new:
        _into_hot(state, draft)
        state.added = state.current is not None and not state.current.weak
        return
    if state.current is None and cue.FAT_ADDED.match(draft.words):
        state.pan = Pan(holds="fat", vessel=True, empty=True, draft=draft)
        return
    state.pan = Pan(vessel=True, filled=True, draft=draft)


def _put_aside(state: State, draft: Draft, kinds: list[str]) -> None:
    current, pan = state.current, state.pan
    if "either" in kinds or "oven" in kinds:
        state.in_oven_dish = True
    if _leaves(state, draft, kinds):
        state.close(cold="blender" in draft.words or "processor" in draft.words)
    elif state.on("hob") and cook_time(draft) is None:
        state.added = True
        if not kinds and _on_changed_heat(state, draft):
            start_changed(state, draft)
    elif pan.hot and current is None and not kinds and pan.near(draft, 1) and "set aside" not in draft.words:
        if cook_time(draft) is not None or draft.sign is not None or pan.holds == "water":
            _into_hot(state, draft)
        else:
            state.last_add = draft
    elif cook_time(draft) is not None and current is not None:
        event(state, draft, "", current.environment, weak=True)


def _leaves(state: State, draft: Draft, kinds: list[str]) -> bool:
    """Tell that the food is put on a plate, a rack or into a bowl."""
    if state.on("hob") or state.on("grill"):
        return "cold" in kinds
    return state.on("oven") and ("cold" in kinds or "rack" in draft.words)


def under_grill(state: State, draft: Draft) -> None:
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
    filled = filled or (draft.act == "put" and cue.PUT_IN_PAN.match(words) is not None)
    fat_before = state.pan.holds == "fat" and state.pan.empty and state.pan.near(draft, 0)
    holds = "fat" if fat_before or cue.FAT.search(words) else ""
    state.pan = Pan(
        hot=True, heat=heat_word(draft), vessel=True, filled=filled, draft=draft, holds=holds,
        empty=not filled, deep=bool(cue.DEEP_OIL.search(words)), wet=state.pan.wet and filled,
    )  # fmt: skip
    told = cook_time(draft) is not None or draft.sign is not None
    if told or (filled and not cue.FAT_ADDED.match(words)):
        event(state, draft, "", "hob", weak=True)
    else:
        state.note(draft, "preheat-pan")


def _into_hot(state: State, draft: Draft) -> None:
    """Food goes into something hot."""
    if cue.LEFT_IN.search(draft.words):
        return
    if "steamer" in draft.words:
        method = "steam"
    elif state.pan.bath:
        method = "warm"
    elif cue.BOILING_WORD.search(draft.words) or state.pan.holds == "water":
        method = "boil"
    elif state.pan.holds == "fat" or "oil" in draft.words:
        method = "" if state.pan.wet else "fry"
    else:
        method = ""
    event(state, draft, method, "hob", weak=True)


def on_add(state: State, draft: Draft) -> None:
    """Something joins what is cooking, or goes into a pan."""
    if _cooled(state, draft) or cue.POURED_OFF.match(draft.words):
        return
    if draft.has("oven", "rack"):
        event(state, draft, "", "oven", weak=True)
    elif draft.has("grill"):
        under_grill(state, draft)
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
        state.added, state.last_add = True, draft
        _told_before(current, draft)
        when = cue.WHEN_DONE.match(words)
        current.signed = current.signed or when is not None
        current.weak = current.weak and (when is None or cue.ONLY_HOT.search(when[0]) is not None)
        heat = heat_word(draft)
        other_heat = heat is not None and current.heat is not None and heat != current.heat and current.done
        if _on_changed_heat(state, draft):
            start_changed(state, draft)
        elif other_heat or cook_time(draft) is not None or (draft.sign is not None and current.signed):
            event(state, draft, "", "hob", weak=True)
        elif draft.sign is not None or draft.lid is not None:
            state.take(current, draft)
        elif current.seconds is None and not (current.done and (cue.WET.search(words) or cue.LIQUID.search(words))):
            current.words.append(words)


def _told_before(current: Open, draft: Draft) -> None:
    """Take "add the carrots after it has been boiling for an hour" as the time of what went before."""
    for mention in draft.times:
        before = draft.words[: max(0, mention.span.start - draft.start)].rstrip()
        told = mention.role in ("cook", "offset") and mention.seconds and mention.seconds[0] >= _TELLS_S
        if told and current.seconds is None and cue.AFTER_GOING_ON.search(before):
            current.seconds = mention.seconds


def start_changed(state: State, draft: Draft) -> None:
    """Start the stretch at the new heat with what is stirred in; what it is called is told by what follows."""
    phase = event(state, draft, "", "hob", weak=True)
    phase.method = ""
    phase.marks.add("changed")


def _on_changed_heat(state: State, draft: Draft) -> bool:
    """Tell "reduce the heat; stir in the cheese": the heat was changed in this step after something had cooked."""
    if not (state.changed and state.current is not None and state.current.done and state.others):
        return False
    last, act = state.others[-1]
    return act == "change-hob" and last.step == draft.step and state.current.drafts[-1] is last


def _add_elsewhere(state: State, draft: Draft) -> None:
    kinds = vessels(draft)
    if state.on("oven") and "hob" in kinds and "oven" not in kinds and cue.FAT_ADDED.match(draft.words):
        state.close()
        state.pan = Pan(holds="fat", vessel=True, empty=True, draft=draft)
        return
    state.added = True
    if cook_time(draft) is not None and state.current is not None:
        event(state, draft, "", state.current.environment, weak=True)
    elif "oven" in kinds or "cold" in kinds:
        state.close()


def _add_cold(state: State, draft: Draft) -> None:
    kinds, pan, words = vessels(draft), state.pan, draft.words
    ready = pan.hot and pan.near(draft, 2) and "cold" not in kinds and "oven" not in kinds
    if draft.lemma in _BESIDE and "hob" not in kinds and not cue.HOT_LIQUID.search(words):
        if draft.lemma == "combine" and state.phases and pan.hot and not pan.empty:
            state.pan = Pan()
        return
    if cue.HOT_ADDED.match(words) and not pan.hot:
        return
    if pan.holds == "water" and pan.empty and cook_time(draft) is None and cue.ONLY_SALT.match(words):
        return
    if draft.lemma == "pour" and ("cold" in kinds or (cue.POUR_OVER.search(words) and "hob" not in kinds)):
        state.pan = Pan()
        return
    if pan.holds == "water" and not pan.hot and pan.near(draft, 1) and not kinds and not cue.SALT_ALONE.match(words):
        pan.holds, pan.empty, pan.filled = "", False, True
    if cue.FAT_ADDED.match(words) and not draft.boil:
        if pan.hot or "hob" in kinds:
            state.pan = Pan(
                hot=pan.hot, heat=pan.heat, holds="fat", vessel=True, empty=True, draft=draft,
                oil_c=oil_c(draft, "liquid"), deep=bool(cue.DEEP_OIL.search(words)),
            )  # fmt: skip
    elif cue.HOT_LIQUID.search(words):
        _into_hot(state, draft)
    elif state.grill_ready and not state.phases and not pan.hot and not kinds and draft.lemma == "add":
        event(state, draft, *state.fire(), weak=True)
    elif ready and not (pan.empty and "hob" not in kinds and cue.SOME_OTHER.search(words)):
        _into_hot(state, draft)
    elif "hob" in kinds and plain_water(words):
        state.pan = Pan(hot=pan.hot, heat=pan.heat, vessel=True, holds="water", empty=True, wet=True, draft=draft)
    elif "hob" in kinds:
        state.pan = Pan(hot=pan.hot, heat=pan.heat, vessel=True, filled=True, draft=draft)
