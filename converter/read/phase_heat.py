"""Reads the clauses whose verb heats, and those that set oven, pan or flame."""

from __future__ import annotations

from converter.read import phase_cues as cue
from converter.read.clauses import Draft
from converter.read.phase_join import event
from converter.read.phase_state import Pan, State, cook_time, heat_word, oil_c, oven_c, oven_heat_word, vessels
from converter.read.places import Place, oven_word
from converter.read.settings import word_celsius



def sets_oven(draft: Draft) -> bool:
    """Tell whether the clause sets the oven ("turn the oven to 180 °C") without putting food in."""
    words = draft.words
    if "oven" not in words or (draft.act == "put" and draft.has("oven", "rack")) or (draft.has("oven", "rack", "out") and not oven_c(draft)):
        return False
    if cue.OVEN_OFF.search(words):
        return False
    return bool(cue.SET_OVEN.search(words)) and not cue.INTO_OVEN.search(words)


def preheat(state: State, draft: Draft) -> None:
    """Oven, grill or pan is heated with nothing in it."""
    words = draft.words
    if "oven" not in words and cue.GRILL_NOUN.search(words):
        state.note(draft, "preheat-grill")
        state.grill_ready = True
        return
    heat = oven_c(draft)
    if ("oven" in words and "dutch oven" not in words) or heat is not None:
        if state.on("oven") and heat and heat != state.oven_c:
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
    if state.on("hob"):
        state.close()
    oil = oil_c(draft, "liquid", "surface")
    state.pan = Pan(
        hot=True, heat=heat_word(draft), holds="fat" if oil or cue.FAT.search(draft.words) else "", vessel=True,
        oil_c=oil, empty=True, deep=bool(cue.DEEP_OIL.search(draft.words)), griddle=bool(cue.OWN_GRIDDLE.search(draft.words)), draft=draft,
    )  # fmt: skip
    state.pending_lid = None
    state.grill_ready = False
    state.note(draft, "preheat-pan")


def water(state: State, draft: Draft, heat: str | None = None) -> None:
    """Plain water is brought to the boil before food goes in."""
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
    state.note(draft, "hold")
    if draft.act in ("out", "put") or draft.method == "warm":
        state.close()


def boil(state: State, draft: Draft) -> None:
    """Something is brought to the boil or to a simmer."""
    words = draft.words
    if _plain_water(words) and cook_time(draft) is None and not (state.on("hob") and not _other_pan(words)):
        if state.current is not None:
            state.close()
        water(state, draft, "high")
        return
    pan = state.pan
    if state.current is None and pan.holds == "water" and pan.empty and pan.near(draft, 1):
        if cook_time(draft) is None and not cue.NOT_PLAIN.search(words):
            water(state, draft, "high")
            return
    if state.pan.filled and state.pan.holds == "water" and state.current is None:
        state.pan.holds = ""
    if draft.boil == "below":
        event(state, draft, "warm", "hob")
        return
    phase = event(state, draft, "simmer" if draft.boil == "simmer" else "boil", "hob")
    phase.marks.add("from-boil")
    if cook_time(draft) is None and draft.sign is None:
        phase.boiling = True


def _plain_water(words: str) -> bool:
    return bool(cue.PLAIN_WATER.search(words)) and not cue.NOT_PLAIN.search(words)


def _other_pan(words: str) -> bool:
    return bool(cue.PAN_OF.search(words) or cue.SEPARATE.search(words) or cue.NEW_VESSEL.search(words))


def on_heat(state: State, draft: Draft) -> None:
    """A verb that names a way of heating."""
    method = draft.method
    if draft.passive and not draft.alternative and _remark(draft):
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
    if _plain_water(words) and cook_time(draft) is None:
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
    return only_fat and bool(cue.HEATED_ALONE.match(words))


def _boils_water(state: State, draft: Draft) -> bool:
    if cook_time(draft) is not None or not cue.WATER_BOILED.match(draft.words) or cue.NOT_PLAIN.search(draft.words):
        return False
    if state.current is not None:
        state.close()
    water(state, draft, "high")
    return True


def _lacks(state: State, draft: Draft) -> bool:
    """Tell a verb that is about heat only in company (`needs` in the lexicon) and stands alone here."""
    current, on_hob = state.current, state.on("hob")
    if draft.lemma == "deglaze" and on_hob and current is not None and current.done:
        state.close()
        on_hob = False
    if draft.method == "reduce" and cue.NOT_REDUCING.match(draft.words):
        return True
    if draft.lemma in ("reheat", "rewarm") and not draft.places and cook_time(draft) is None and not on_hob:
        state.note(draft, "reheat")
        return True
    hot = on_hob or state.pan.hot or state.on_stove(draft)
    if draft.needs == "hob":
        return not (hot or "hob" in vessels(draft))
    if draft.needs == "liquid":
        return not hot
    return draft.needs == "place" and not draft.places


def _grill(state: State, draft: Draft) -> None:
    if state.outdoor and draft.lemma == "grill":
        event(state, draft, "barbecue", "none")
    elif draft.has("oven") and oven_c(draft):
        event(state, draft, draft.method, "oven")
    else:
        event(state, draft, draft.method, "grill")


def _heat(state: State, draft: Draft) -> None:
    method = draft.method
    place = where(state, draft)
    if place is None:
        if draft.sign is not None or draft.times or cue.FOOD.search(draft.words):
            state.note(draft, "unplaced")
        return
    if place == "none":
        method = state.current.method if state.current is not None else state.device or method
    elif place == "hob" and method == "roast":
        method = "toast"
    elif place == "grill" and method != "toast":
        method = "grill"
    elif place == "none" or draft.general:
        method = method if place == "none" and state.current is None else ""
    other = _choice(state, draft, place)
    if other == "hob" and not (state.on("hob") and state.current and state.current.step == draft.step):
        event(state, draft, method, "hob", general=draft.general)
    event(state, draft, method, place, general=draft.general)
    if other not in (None, "hob"):
        event(state, draft, method, "oven", general=draft.general)


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
        current = state.current
        if state.on("oven") and draft.method == "brown" and draft.lid is None:
            if "hob" not in vessels(draft) and not draft.has("hob") and current is not None:
                return "oven"
        return "hob"
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
    if draft.method == "roast" and oven_c(draft) is None and state.oven_c is None:
        if "hob" in vessels(draft) or draft.has("hob") or (state.on("hob") and cook_time(draft) is None):
            return "hob"
    if state.device in ("smoker", "barbecue") and state.oven_c is None and current and current.environment == "none":
        return "none"
    return "oven"


def _where_any(state: State, draft: Draft) -> str | None:
    current, pan = state.current, state.pan
    if state.on_stove(draft):
        return "hob"
    if oven_c(draft) is not None and not (state.on("hob") and state.oven_c is None and "oven" not in draft.words):
        return "oven"
    if draft.method == "toast":
        return current.environment if current and current.environment in ("oven", "hob") else "hob"
    if draft.method == "braise" and state.oven_c is not None:
        return "oven"
    kinds = vessels(draft)
    if "hob" in kinds and not state.on("none") and not state.on("grill"):
        return "hob"
    if current is not None and (current.environment != "oven" or draft.step - current.drafts[-1].step <= 2):
        return current.environment
    if pan.hot or (pan.vessel and pan.near(draft, 4)):
        return "hob"
    told = draft.sign is not None or bool(draft.times)
    if current is None and told and (state.grill_ready or state.device):
        return "grill" if state.grill_ready else "none"
    if not draft.general or draft.attended or draft.has("hob"):
        return "hob"
    if "oven" in kinds or (state.oven_c is not None and state.in_oven_dish):
        return "oven"
    return "hob" if _boiled_or_fried(draft) else None


def _boiled_or_fried(draft: Draft) -> bool:
    words = draft.words
    if cue.PLAIN_WATER.search(words) or (draft.sign is not None and cue.FAT.search(words)):
        return True
    told = draft.sign is not None or bool(draft.times)
    if told and cue.LIQUID.search(words) and not draft.temperatures:
        return True
    if not cue.BOILED.search(words):
        return False
    return told or bool(cue.BY_PACKET.search(words))
