"""Reads the clauses whose verb heats."""

from __future__ import annotations

from converter.read import phase_cues as cue
from converter.read.clauses import Draft
from converter.read.phase_join import DRY, event
from converter.read.phase_settings import boil, heat_pan, hold, plain_water, preheat, sets_oven, water
from converter.read.phase_state import State, cook_time, oil_c, oven_c, vessels
from converter.read.phase_where import where


def on_heat(state: State, draft: Draft) -> None:
    """A verb that names a way of heating."""
    method = draft.method
    if draft.passive and not draft.alternative and _remark(draft):
        return
    if draft.head.word.key == "begin" and cook_time(draft) is None and cue.REMAINING.search(draft.words):
        return
    if method == "boil" and cue.BOILS_OVER.match(draft.after_verb):
        return
    if method == "warm" and not draft.places and ("room temp" in draft.words or cue.WARM_ITSELF.match(draft.words)):
        return
    if draft.head.word.form == "ing" and draft.start == draft.head.start and cue.TELLS.match(draft.after_verb):
        return
    if draft.hold and method == "warm":
        hold(state, draft)
    elif method in ("warm", "melt") and _only_preheats(state, draft):
        return
    elif (draft.boil and method in ("warm", "other")) or (method == "warm" and cue.UNTIL_BOIL.search(draft.words)):
        boil(state, draft)
    elif (method == "boil" and _boils_water(state, draft)) or _lacks(state, draft):
        return
    elif draft.environment == "none":
        if not (method == "microwave" and draft.has("oven")):
            event(state, draft, method, "none")
    elif draft.environment == "grill":
        _grill(state, draft)
    else:
        _heat(state, draft)


def _remark(draft: Draft) -> bool:
    """Tell a sentence that only tells about the food ("the fat should be rendered", "it can be baked")."""
    return bool(cue.COULD.search(draft.words)) or not (draft.times or draft.places or draft.temperatures)


def _only_preheats(state: State, draft: Draft) -> bool:
    """Take "heat the oven", "heat the oil", "heat some water"."""
    words = draft.words
    if sets_oven(draft) or cue.HEAT_OVEN.match(words):
        preheat(state, draft)
        return True
    if draft.method == "warm" and draft.has("oven") and cue.FAT.search(words) and cue.OIL_ONLY.match(words):
        preheat(state, draft)
        return True
    if cue.HEAT_GRILL.search(words):
        state.note(draft, "preheat-grill")
        state.grill_ready = True
        return True
    if draft.method == "warm" and not draft.has("oven") and _heats_fat(state, draft):
        heat_pan(state, draft)
        if cue.HEATED_WITH.search(words):
            event(state, draft, "fry", "hob")
        return True
    if draft.head.word.key == "begin" and cue.FAT_LEFT.match(words):
        return True
    if draft.method != "melt" and plain_water(words) and cook_time(draft) is None:
        water(state, draft)
        return True
    return False


def _heats_fat(state: State, draft: Draft) -> bool:
    """Tell oil or a pan that is heated by itself, also where the oil stands in the clause before."""
    words = draft.words
    if draft.boil and not cue.FAT.search(words):
        return False
    if cue.OIL_ONLY.match(words):
        return True
    pan = state.pan
    only_fat = state.current is None and pan.empty and pan.holds == "fat" and pan.near(draft, 0)
    if oil_c(draft, "liquid") is not None and state.recent:
        only_fat = only_fat or cue.FAT_POURED.match(state.recent[-1]) is not None
    return only_fat and bool(cue.HEATED_ALONE.match(words))


def _boils_water(state: State, draft: Draft) -> bool:
    if draft.lemma != "boil" or (draft.sign is not None and cue.TENDER.search(draft.words)):
        return False
    if cook_time(draft) is not None or not cue.WATER_BOILED.match(draft.words) or cue.NOT_PLAIN.search(draft.words):
        return False
    if state.current is not None:
        state.close()
    water(state, draft, "high")
    return True


def _lacks(state: State, draft: Draft) -> bool:
    """Tell a verb that is about heat only in company (`needs` in the lexicon) and stands alone here."""
    current, on_hob = state.current, state.on("hob")
    if (
        draft.lemma == "deglaze"
        and on_hob
        and current is not None
        and (current.done or (current.method in DRY and not current.weak))
    ):
        state.close()
        on_hob = False
    if draft.method == "reduce" and cue.NOT_REDUCING.match(draft.words):
        return True
    hot = on_hob or state.pan.hot or state.on_stove(draft)
    if draft.method == "melt" and draft.head.word.key == "begin" and not hot and "hob" not in vessels(draft):
        return True
    if draft.lemma == "temper" and cue.NOT_TEMPERED.search(draft.words):
        return True
    if draft.lemma in ("reheat", "rewarm") and not draft.places and cook_time(draft) is None and _alone(state, draft):
        state.note(draft, "reheat")
        return True
    if draft.needs == "hob" and draft.has("grill"):
        return False
    if draft.needs == "hob":
        stale = not (on_hob or draft.has("hob") or state.pan.near(draft, 2))
        return "bowl" in draft.words or stale or not (hot or "hob" in vessels(draft))
    if draft.needs == "liquid":
        return not hot and cue.REDUCED_TO.match(draft.after_verb) is None
    return draft.needs == "place" and not draft.places


def _alone(state: State, draft: Draft) -> bool:
    """Tell that nothing in the same sentence says where the food is."""
    before = [state.pan.draft, state.current.drafts[-1] if state.current is not None else None]
    return "hob" not in vessels(draft) and all(d is None or d.sentence != draft.sentence for d in before)


def _grill(state: State, draft: Draft) -> None:
    if cue.ALSO.search(draft.words) and not draft.times and state.current is not None:
        return
    if state.outdoor and draft.lemma == "grill":
        event(state, draft, "barbecue", "none")
    elif draft.has("oven") and oven_c(draft):
        event(state, draft, draft.method, "oven")
    elif state.pan.griddle and state.on("hob") and state.current is not None and state.current.weak:
        event(state, draft, "fry", "hob")
    else:
        event(state, draft, draft.method, "grill")


def _heat(state: State, draft: Draft) -> None:
    method = draft.method
    place = where(state, draft)
    if place is None:
        if draft.sign is not None or draft.times or cue.FOOD.search(draft.words):
            state.note(draft, "unplaced")
        return
    fryer = state.device == "deep-fryer" and method in ("fry", "deep-fry") and not state.on("hob")
    fryer = fryer and not any(phase.environment == "none" and phase is not state.current for phase in state.phases)
    if fryer and place == "hob" and not draft.has("hob") and "hob" not in vessels(draft):
        place = "none"
    if place == "none":
        method = state.current.method if state.current is not None else state.device or method
    elif place == "hob" and method == "roast":
        if not cue.NAKED_FIRE.search(draft.words):
            method = "toast" if cue.TOASTED.search(draft.words) else "fry"
    elif place == "grill" and method != "toast":
        method = "grill"
    elif place == "none" or draft.general:
        method = method if place == "none" and state.current is None else ""
    other = _choice(state, draft, place)
    in_water = place == "hob" and state.current is None and not state.pan.vessel and _boils_soft(draft)
    in_water = in_water or (place == "hob" and draft.general and not state.on("hob") and _with_water(draft))
    if other == "hob" and not (state.on("hob") and state.current and state.current.step == draft.step):
        event(state, draft, method, "hob", general=draft.general)
    event(state, draft, method, place, general=draft.general)
    if in_water and state.current is not None:
        state.current.wet = True
    if other not in (None, "hob"):
        event(state, draft, method, "oven", general=draft.general)


def _boils_soft(draft: Draft) -> bool:
    """Tell "cook the goat meat with salt until tender", which names no pan and no fat and means water."""
    if not draft.general or draft.sign is None or "hob" in vessels(draft) or cue.FAT.search(draft.words):
        return False
    return bool(cue.TENDER.search(draft.words) and cue.COOKED_SOFT.match(draft.after_verb))


def _with_water(draft: Draft) -> bool:
    """Tell "cook the ribs with water, salt and onions", which names the water it cooks in and no fat."""
    return cue.WITH_WATER.search(draft.words) is not None and cue.FAT.search(draft.words) is None


def _choice(state: State, draft: Draft, place: str) -> str | None:
    """Return the second way of a choice ("in a frying pan or in the oven"), ``None`` where there is none."""
    if " or " not in draft.words:
        return None
    oven = next((p.span.start for p in draft.places if p.kind == "oven"), None)
    pans = [p.span.start for p in draft.places if p.kind in ("hob", "grill") and (p.noun or p.kind == "grill")]
    pans += [hit.start for hit in draft.hits if hit.word.kind == "vessel" and hit.word.key == "hob"]
    if oven is None or not pans:
        return None
    between = draft.words[min(oven, pans[0]) - draft.start : max(oven, pans[0]) - draft.start]
    if not cue.OR.search(between):
        return None
    if place == "oven":
        return "hob" if pans[0] < oven else None
    return "oven" if oven > pans[0] else None
