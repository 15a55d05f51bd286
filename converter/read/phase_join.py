"""Decides whether a clause carries the open phase on or starts a new one."""

from __future__ import annotations

from converter.model import Range
from converter.read import phase_cues as cue
from converter.read.clauses import Draft
from converter.read.phase_state import Open, Pan, State, cook_time, heat_word, height_word, oven_c, oven_heat_word
from converter.read.settings import word_celsius

WET = frozenset(("boil", "simmer", "poach", "braise", "steam"))
DRY = frozenset(("fry", "saute", "sweat", "brown", "sear", "shallow-fry", "toast", "deep-fry"))
_BROWNS = ("fry", "brown", "sear", "shallow-fry", "deep-fry")
_LOW = ("low", "very-low", "medium-low")
SAME_HEAT_K = 3.0  # printed settings that differ by less are one setting


def family(method: str) -> str:
    """Return wet, dry or reduce for a method of the hob, an empty word for the others."""
    if method in WET:
        return "wet"
    if method in DRY:
        return "dry"
    return "reduce" if method == "reduce" else ""


def event(
    state: State, draft: Draft, method: str, environment: str, *, weak: bool = False, general: bool = False
) -> Open:
    """Heating is said: carry the open phase on or start a new one, and return it."""
    before = state.current
    settled = before is not None and not (before.weak or before.general or before.fat_only)
    if environment == "oven":
        phase = _oven(state, draft, method, weak=weak)
    elif environment == "hob":
        phase = _hob(state, draft, method, weak=weak)
    else:
        phase = _apart(state, draft, method, environment, weak=weak)
    if general and not (settled and phase is before) and not _in_fat(phase, draft):
        phase.general = True
    return phase


def _in_fat(phase: Open, draft: Draft) -> bool:
    """Tell "cook the onions in a little oil", which is frying."""
    plain = phase.environment == "hob" and phase.method in ("", "fry") and not phase.wet
    if not plain or draft.boil or not cue.IN_FAT.search(draft.words):
        return False
    phase.method = "fry"
    return True


def _apart(state: State, draft: Draft, method: str, environment: str, *, weak: bool) -> Open:
    """The grill, or an appliance of its own."""
    current = state.current
    if (
        current is not None
        and current.environment == environment
        and (not method or current.method == method)
        and not state.changed
        and joins(state, current, draft)
    ):
        state.take(current, draft)
        current.weak = current.weak and weak
        phase = current
    else:
        state.close()
        phase = state.start(draft, method or ("grill" if environment == "grill" else "other"), environment, weak=weak)
    if environment == "none":
        phase.celsius = oven_c(draft) or phase.celsius or (None if phase.heat else state.device_c)
        phase.appliance = phase.method
    return phase


def joins(state: State, current: Open, draft: Draft) -> bool:
    """Tell whether a clause without a change of heat carries the open phase on."""
    seconds = cook_time(draft)
    lid = draft.lid or state.pending_lid
    told = current.done or (current.method in DRY and not current.general)
    if current.weak and current.environment == "oven" and cue.UNTIL_MELTED.search(current.words[-1]) and not draft.boil:
        return current.drafts[-1].sentence == draft.sentence
    if lid is not None and lid != (current.lid or "off") and told and not current.weak:
        return False
    if state.turned:
        return True
    if state.added and current.seconds is not None and draft.act == "heat" and draft.sign is not None:
        return False
    later = draft.step != current.drafts[-1].step
    if later and current.signed and current.seconds is None and any(m.more for m in draft.times):
        return False
    if later and current.done and draft.general and current.method in DRY and cue.THE_OTHER.match(draft.after_verb):
        return False
    own = current.done and (draft.sign is not None or draft.method == "boil")
    if own and (draft.method in DRY or draft.method == "boil") and cue.OTHER_FOOD.match(draft.after_verb):
        return False
    if seconds is None or current.seconds is None:
        ended = current.signed or (current.method in DRY and not current.general)
        return not (seconds is not None and state.added and ended and not current.weak)
    if state.added:
        return False
    return (
        bool(cue.TURN_OVER.search(draft.words))
        or (any(m.more for m in draft.times) and draft.step == current.step)
        or draft.sentence == current.drafts[-1].sentence
    )


def _oven(state: State, draft: Draft, method: str, *, weak: bool) -> Open:
    current = state.current
    heat = oven_c(draft)
    if current is not None and current.environment == "oven" and heat and state.oven_c and current.celsius:
        state.changed = state.changed or not _near(heat, current.celsius)
    height = height_word(draft)
    if current is not None and current.seconds and height and current.height and height != current.height:
        state.changed = True
    if (
        current is not None
        and current.environment == "oven"
        and not state.changed
        and joins(state, current, draft)
        and (draft.step - current.drafts[-1].step <= 1 or current.seconds is None)
        and not draft.alternative
    ):
        if method and (current.weak or current.general or not current.method):
            current.method = method
        current.weak = current.weak and weak
        state.take(current, draft)
        phase = current
    else:
        if current is not None:
            state.close()
        if draft.general and current is not None and current.environment == "oven" and not method:
            method = current.method
        phase = state.start(draft, method, "oven", weak=weak)
        phase.lid = phase.lid or state.dish_lid
        state.dish_lid = None
    _oven_heat(state, phase, draft)
    return phase


def _oven_heat(state: State, phase: Open, draft: Draft) -> None:
    """Give the phase the heat of its oven: the number, else the word, of the clause or of the preheating."""
    heat, word = oven_c(draft), oven_heat_word(draft)
    if heat is not None:
        state.oven_c, state.oven_word = heat, None
    elif word is not None and state.oven_c is None:
        state.oven_word = word
    phase.celsius = phase.celsius or state.oven_c
    if phase.celsius is None and state.oven_word is not None:
        phase.heat = state.oven_word
        phase.word_c = word_celsius(state.oven_word)
    elif phase.celsius is not None:
        phase.word_c = None


def _hob(state: State, draft: Draft, method: str, *, weak: bool) -> Open:
    current = state.current
    packet = _by_the_packet(current, draft)
    other_way = draft.alternative and (current is None or current.drafts[-1].sentence != draft.sentence)
    fresh = other_way or packet or bool(cue.SEPARATE.search(draft.words))
    if current is not None and (current.environment != "hob" or fresh):
        if current.environment == "oven" and not fresh:
            current.weak = False
        state.close()
        current = None
        if packet or _in_water_beside(draft):
            state.pan = Pan(hot=True, holds="water", vessel=True, wet=True, draft=draft)
        elif cue.MEANWHILE.match(draft.words) and draft.method == "warm":
            state.pan = Pan(vessel=True, draft=draft)
    if current is not None and draft.act == "heat" and not current.weak and cue.NEW_VESSEL.search(draft.words):
        state.close(cold=True)
        current = None
    before = state.pan.draft
    if current is None and draft.act == "heat" and before is not None and before.sentence != draft.sentence:
        state.pan = Pan(vessel=True, draft=draft) if cue.NEW_VESSEL.search(draft.words) else state.pan
    if current is not None:
        if _same_stretch(state, current, draft, method):
            return _carry_on(state, current, draft, method, weak=weak)
        state.close()
        stirred = draft.attended or draft.act == "turn" or family(method) == "dry"
        state.lid = current.lid if current.lid in ("on", "foil") and not stirred else None
    return _new_on_hob(state, draft, method, weak=weak)


def _same_stretch(state: State, current: Open, draft: Draft, method: str) -> bool:
    """Tell whether heating in a pan goes on as it was; the first rule that fits decides."""
    heat = heat_word(draft)
    now, was = family(method), family(current.method)
    boil_up = current.boiling and current.seconds is None
    boiled = current.wet and current.signed and not was
    if method in _BROWNS and boiled and draft.sentence > current.drafts[-1].sentence:
        return False
    if method == "boil" and boil_up and _boils_other(current, draft):
        return False
    if draft.boil and current.method == "reduce" and current.signed and state.added:
        return False
    other_heat = bool(heat and current.heat and heat != current.heat)
    if draft.boil and was != "wet" and current.done and (current.method or state.added):
        return False
    if current.heat is None and heat is not None and current.done and not draft.words.startswith("cook"):
        return False
    if boil_up and now in ("wet", "") and (method != "melt" or draft.head.word.key == "begin"):
        return True
    if current.fat_only and not state.changed and not other_heat and method != "melt":
        return True
    if not method and state.pan.wet and state.added and was == "dry" and cook_time(draft) is not None:
        return False
    if current.weak and _liquid_came(state, current, draft, was, now):
        return False
    if current.weak and not current.done:
        return True
    if method == "melt":
        return current.method == "melt" or draft.head.word.key == "begin"
    if current.method == "melt":
        if state.added and current.signed and cook_time(draft) is not None:
            return False
        if state.added and draft.sign is not None and draft.general and heat_word(draft) is not None:
            return False
        on = method == "warm" and draft.sentence == current.drafts[-1].sentence
        return not state.changed and (not method or on)
    if state.changed and (current.done or not boil_up):
        return False
    if other_heat and (current.done or (state.added and current.method and not current.boiling)):
        return False
    if heat and current.heat is None and state.added and current.method == "boil" and not current.boiling:
        return False
    if heat in ("low", "very-low") and current.heat is None and state.added and was == "dry":
        return False
    if method == "warm" and current.done and state.added and not current.fat_only:
        return False
    if method == "boil" and not was and state.added and current.seconds is not None:
        return False
    if now and was and now != was and not (current.weak or (current.general and not current.signed)):
        return now == "reduce" and was == "wet" and cook_time(draft) is None and current.seconds is None
    if method == "simmer" and current.method == "boil" and current.seconds is not None:
        return False
    if "steam" in (method, current.method) and method and current.method and method != current.method and current.done:
        return False
    if _another_pot(current, draft, method):
        return False
    if _boiled_again(current, draft, method):
        return not state.added
    return joins(state, current, draft)


def _liquid_came(state: State, current: Open, draft: Draft, was: str, now: str) -> bool:
    """Tell food that fried first and simmers now, in liquid that was added in a later sentence."""
    return (
        was == "dry"
        and (state.pan.wet or (state.added and draft.boil is not None))
        and (now == "wet" or draft.boil is not None)
        and current.drafts[0].lemma not in ("return", "returning")
        and draft.sentence > current.drafts[0].sentence + 1
        and not cue.WET.search(current.words[0])
    )


def _by_the_packet(current: Open | None, draft: Draft) -> bool:
    """Tell "cook the noodles as the packet says" beside something that fries: another pan."""
    if current is not None and current.environment == "hob" and cue.BESIDE.match(draft.words):
        return _in_water_beside(draft)
    return (
        current is not None
        and family(current.method) == "dry"
        and draft.general
        and bool(cue.PACKET.search(draft.words) and cue.STARCH.search(draft.words))
    )


def _in_water_beside(draft: Draft) -> bool:
    """Tell "meanwhile, cook the pasta" from what goes on in the first pan."""
    beside = cue.BESIDE.match(draft.words) and draft.act == "heat" and (draft.general or draft.method == "boil")
    return bool(beside and cue.STARCH_COOKED.match(draft.after_verb))


def _another_pot(current: Open, draft: Draft, method: str) -> bool:
    """Tell "Boil the eggs for 10 minutes. Boil the potatoes until tender.": the same verb for other food."""
    return (
        method == current.method
        and current.seconds is not None
        and draft.sign is not None
        and draft.sentence != current.drafts[-1].sentence
        and bool(cue.OTHER_FOOD.match(draft.after_verb))
    )


def _boils_other(current: Open, draft: Draft) -> bool:
    """Tell "boil the beans until soft" beside a pot that has gone on to cook at a low heat."""
    low = any(clause.act == "heat" and heat_word(clause) in _LOW for clause in current.drafts)
    return low and draft.sign is not None and bool(cue.OTHER_FOOD.match(draft.after_verb))


def _boiled_again(current: Open, draft: Draft, method: str) -> bool:
    return (
        method == "boil"
        and draft.boil == "boil"
        and current.method in ("boil", "simmer")
        and current.seconds is not None
        and cook_time(draft) is None
    )


def _warmed_first(state: State, current: Open, draft: Draft, method: str) -> bool:
    """Tell "heat the milk, stir in the flour and cook until thick": the warming was only the start."""
    return (
        current.method == "warm"
        and draft.act == "heat"
        and draft.general
        and not method
        and draft.sign is not None
        and current.seconds is None
        and not state.pan.bath
        and (state.pan.wet or cue.LIQUID.search(" ".join(current.words)) is not None)
        and cue.ONLY_WARMED.search(draft.words) is None
    )


def _carry_on(state: State, current: Open, draft: Draft, method: str, *, weak: bool) -> Open:
    boil_up = current.boiling and current.seconds is None
    vague = current.weak or current.general or boil_up or current.fat_only or current.method in ("", "warm")
    if _warmed_first(state, current, draft, method):
        current.method, current.general = "", True
    if method and (vague or (method == "simmer" and current.method == "boil")):
        current.method = method
    if current.fat_only and cook_time(draft) is None and not current.signed:
        current.step = draft.step if draft.act == "heat" and not draft.general else current.step
    low = (heat_word(draft) or (current.heat if draft.act in ("begin", "turn") else None)) in _LOW
    if boil_up and not method and draft.sign is not None and draft.boil is None and low:
        current.method = "simmer"
    if cook_time(draft) is not None or method == "simmer" or draft.sign is not None:
        current.boiling = False
    if current.fat_only and not method and draft.general:
        current.method = ""
    current.weak = current.weak and weak
    current.fat_only = current.fat_only and weak
    state.pan.empty = False
    state.take(current, draft)
    return current


def _new_on_hob(state: State, draft: Draft, method: str, *, weak: bool) -> Open:
    pan = state.pan
    if method in DRY:
        pan.wet = False
    if method == "melt" and not cue.MELTED_WITH.search(draft.words) and cue.FAT.search(draft.words):
        pan = state.pan = Pan(hot=True, heat=heat_word(draft), vessel=True, holds="fat", draft=draft)
    phase = state.start(draft, method, "hob", weak=weak or draft.lemma == "deglaze")
    into = pan.draft
    if draft.act == "heat" and into is not None and into is not draft and into.sentence == draft.sentence:
        phase.words.insert(0, into.words)
    added = state.last_add
    dry = not pan.wet and family(method) != "wet" and draft.act == "heat" and not weak
    if dry and added is not None and added.step == draft.step and draft.sentence - added.sentence <= 1:
        phase.words.insert(0, added.words)
    if phase.heat is None:
        phase.heat = pan.heat
    if pan.oil_c is not None and method in ("fry", "other", "", "deep-fry", "brown", "warm"):
        phase.celsius = pan.oil_c
        phase.method = "deep-fry"
    phase.deep = pan.deep
    if phase.method == "melt" and cue.FAT.search(draft.words) and not cue.MELTED_WITH.search(draft.words):
        phase.fat_only = True
    if not phase.method:
        phase.method = _by_pan(state, draft)
    pan.hot, pan.empty = True, phase.fat_only
    if pan.draft is None:
        pan.draft = draft
    return phase


def _by_pan(state: State, draft: Draft) -> str:
    """Return what happens to food in the pan as it is, an empty word where that cannot be told."""
    pan = state.pan
    if pan.holds == "water":
        return "boil"
    if cue.WET.search(draft.words):
        return ""
    if pan.holds == "fat":
        return "" if pan.wet else "fry"
    if pan.empty and pan.hot:
        return "toast" if cue.TOASTED.search(draft.words) else "fry"
    return ""


def _near(a: Range, b: Range) -> bool:
    return max(a[0], b[0]) - min(a[1], b[1]) <= SAME_HEAT_K
