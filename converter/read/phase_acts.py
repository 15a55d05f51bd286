"""Reads the clauses whose verb turns food, takes it out or lets it go on; names the handler of each act."""

from __future__ import annotations

from collections.abc import Callable

from converter.read import phase_cues as cue
from converter.read.clauses import Draft
from converter.read.phase_heat import on_heat
from converter.read.phase_join import event
from converter.read.phase_lids import on_cover, on_uncover, set_lid
from converter.read.phase_put import on_add, on_put, over_stove, under_grill
from converter.read.phase_settings import boil, heat_pan, plain_water
from converter.read.phase_state import Open, Pan, State, cook_time, oven_c, vessels

_ONE_SIDE_S = 1200.0  # what is turned and repeated takes 20 minutes a side at most; common practice, no source


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
    elif draft.sign is not None and current.environment == "hob" and state.added and current.signed:
        event(state, draft, "", "hob", weak=True)
    state.turned = state.current is not None and not timed and bool(cue.TURN_OVER.search(draft.words))


def on_out(state: State, draft: Draft) -> None:
    """Food leaves the heat, or only a bone, a skin, the lid."""
    words, current = draft.words, state.current
    if draft.lemma == "take" and cue.IT_TAKES.match(words):
        if current is not None and current.drafts[-1].step == draft.step:
            on_time(state, draft)
        return
    from_heat = cue.FROM_HEAT.search(words)
    if (
        current is not None
        and current.environment in ("oven", "hob")
        and not current.done
        and (current.environment == "oven" or (from_heat is not None and not current.weak))
        and cook_time(draft) is not None
    ):
        state.take(current, draft)
    if current is None and draft.has("out") and cook_time(draft) is not None:
        _tell_oven(state, draft)
    if not from_heat and cue.COVERS.search(words) and cue.LID_TAKEN.match(words):
        if draft.lid == "off":
            set_lid(state, draft, "off")
        elif state.on("oven"):
            state.added = True
        return
    if from_heat:
        state.note(draft, "remove")
        if current is not None and current.drafts[-1].sentence == draft.sentence:
            state.drop_bare()
        state.close(cold=True)
    elif draft.lemma in ("drain", "strain", "draining", "pass through"):
        state.close(cold=state.pan.holds != "fat" and "fat" not in words and "grease" not in words)
    elif draft.lemma == "set aside" and "cool" in words:
        state.close(cold=True)
    elif cue.PICKED_OUT.search(words) or draft.lemma == "scoop":
        return
    elif not cue.FROM_PAN.search(words) or "half" not in words:
        state.close()
    state.pending_lid = None


def _tell_oven(state: State, draft: Draft) -> None:
    """Give "take it out of the oven after 15 minutes" to what has been in there meanwhile."""
    phase = next((p for p in reversed(state.phases) if p.environment == "oven"), None)
    if phase is not None and phase.seconds is None and "oven" in draft.words:
        phase.seconds, phase.weak = cook_time(draft), False
        phase.step, phase.start, phase.end = draft.step, draft.start, draft.end
        phase.drafts.append(draft)
        state.phases.remove(phase)
        state.phases.append(phase)


def on_off(state: State, draft: Draft) -> None:
    """The heat ends."""
    state.note(draft, "off")
    if state.current is not None:
        state.current.drafts.append(draft)
    elif state.phases:
        state.phases[-1].marks.add("off")
    state.close(cold=True)


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
    if draft.lemma == "process" and cook_time(draft) is not None and cue.CANNING.search(words):
        state.close()
        event(state, draft, "boil", "hob")
        state.close()
        return
    if draft.lemma in ("blend", "process", "puree", "purée") and state.on("hob"):
        state.close()
    elif draft.lemma == "soak" and state.on("hob"):
        state.drop_bare()
        state.close(cold=True)
        return
    if draft.boil:
        boil(state, draft)
    elif draft.has("oven") and (cook_time(draft) is not None or draft.has("at")):
        event(state, draft, "", "oven", weak=True)
    elif cue.IN_A_BOWL.search(words):
        return
    elif draft.lemma == "dissolve" and draft.has("hob") and state.on_stove(draft):
        event(state, draft, "warm", "hob").signed = True
        state.changed = True
    elif state.on_stove(draft) and cue.STOVE_PAN.search(words) and "bowl" not in words:
        over_stove(state, draft)
    elif "hob" in vessels(draft) and (" in a" in words or " in the" in words or " in your" in words):
        if state.current is not None and cue.NEW_VESSEL.search(words):
            state.close()
        if state.current is None:
            state.pan = Pan(vessel=True, filled=True, draft=draft)
    elif draft.lemma in ("grease", "spray") and state.current is None and "hob" in vessels(draft):
        if cue.FRYING_WARE.search(words):
            hot = state.pan.hot and state.pan.near(draft, 2)
            heat = state.pan.heat if hot else None
            state.pan = Pan(hot=hot, heat=heat, vessel=True, holds="fat", empty=True, draft=draft)
    elif state.current is None and "hob" in vessels(draft) and cue.FILLED_WITH_FAT.match(words):
        state.pan = Pan(vessel=True, holds="fat", empty=True, deep=True, draft=draft)
    elif state.current is None and "hob" in vessels(draft) and cue.FILL_ONE.match(words) and plain_water(words):
        state.pan = Pan(vessel=True, holds="water", empty=True, wet=True, draft=draft)


def on_serve(state: State, draft: Draft) -> None:
    """The food is eaten."""
    state.close(cold=True)


def on_begin(state: State, draft: Draft) -> None:
    """Bring, let, leave, continue, keep."""
    current, words = state.current, draft.words
    if draft.lemma == "repeat" and state.turned and current is not None and current.seconds is not None:
        if cook_time(draft) is None and current.seconds[1] <= _ONE_SIDE_S and cue.REPEATED.match(words):
            current.seconds = (current.seconds[0] * 2, current.seconds[1] * 2)
            state.turned = False
        return
    if draft.boil:
        boil(state, draft)
    elif draft.has("oven", "rack"):
        if cue.OVEN_COOLING.search(words):
            state.note(draft, "off-inside")
        else:
            event(state, draft, "", "oven", weak=True)
    elif draft.has("grill") and not state.on("none"):
        under_grill(state, draft)
    elif state.on_stove(draft):
        if not (state.others and state.others[-1][1] == "off" and state.others[-1][0].sentence == draft.sentence):
            event(state, draft, "", "hob", weak=True)
    elif cue.LEFT_TO_REST.search(words):
        state.pending_lid = None
        if current is not None and current.environment == "hob" and current.done and cue.LEFT_TO_COOL.match(words):
            state.close(cold=True)
            return
        if state.on("hob") and cue.STEEP.search(words):
            state.drop_bare()
    elif current is not None and (current.environment != "oven" or (state.changed and draft.times) or not current.done):
        told = cook_time(draft) is not None or (draft.sign is not None and not current.signed)
        if told:
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
    if current is None or seconds is None:
        return
    if current.seconds is not None:
        _takes_on(state, current, draft)
        return
    current.seconds = seconds
    current.step = draft.step
    current.drafts.append(draft)


def _takes_on(state: State, current: Open, draft: Draft) -> None:
    """Read a bare time or setting of what goes on after the time of the open phase.

    "Stir in the cheese until it melts; this takes 4 minutes", "then: 160 °C for an hour".
    """
    if current is not state.current:
        return
    if current.environment == "oven":
        heat = oven_c(draft)
        leads = cue.SETTING_LEADS.match(draft.words) is not None and draft.step == current.drafts[-1].step
        if leads and heat is not None and current.celsius is not None and heat != current.celsius:
            event(state, draft, current.method, "oven")
        return
    last = state.last_add if current.environment == "hob" and state.added else None
    if last is not None and last.sign is not None and last.sentence == draft.sentence - 1:
        state.take(event(state, last, "", "hob", weak=True), draft)


HANDLERS: dict[str, Callable[[State, Draft], object]] = {
    "heat": on_heat, "put": on_put, "add": on_add, "back": on_add, "turn": on_turn, "out": on_out, "off": on_off,
    "cover": on_cover, "uncover": on_uncover, "cool": on_cool, "mix": on_mix, "serve": on_serve, "begin": on_begin,
    "time": on_time,
}  # fmt: skip
