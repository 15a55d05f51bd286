"""Gives the phases of a recipe their last names: the cook's word where the recipe's verb is general."""

from __future__ import annotations

import re
from itertools import pairwise

from converter.read import phase_cues as cue
from converter.read.phase_state import Open, oil_c

_UNTIL = re.compile(r"\b(?:until|till)\b[^.;]*")
_WET = ("simmer", "boil", "braise", "poach")
_LOW = ("low", "very-low", "medium-low")


def named(phases: list[Open]) -> list[Open]:
    """Return the phases with their methods; those that came to nothing are left out."""
    kept: list[Open] = []
    wet = False
    for phase in phases:
        words = " ".join(phase.words)
        if _nothing(phase, words):
            continue
        unsaid = not phase.method
        _method(phase, words)
        if wet and unsaid and phase.method == "roast" and phase.core is None:
            phase.method = "braise"
        wet = phase.method in _WET or (wet and phase.environment == "oven")
        kept.append(phase)
    _blind_bakes(kept)
    return kept


def _nothing(phase: Open, words: str) -> bool:
    if not phase.weak or phase.done:
        return False
    if "changed" in phase.marks:
        return False
    if phase.environment == "hob":
        return not phase.method and not any(
            draft.has("hob")
            and (
                draft.attended
                or (draft.act == "put" and cue.PUT_IN_PAN.match(draft.words))
                or cue.LIQUID.search(draft.words)
                or cue.FILLED_PAN.search(draft.words)
            )
            for draft in phase.drafts
        )
    return phase.environment == "oven" and bool(cue.EMPTY_OVEN.search(words))


def _method(phase: Open, words: str) -> None:
    if not phase.method or (phase.general and phase.method == "other"):
        phase.method = _general(phase, words)
    if phase.appliance == "pressure-cooker":
        phase.lid = phase.lid or "on"
    if phase.environment == "hob":
        _on_hob(phase, words)
    elif phase.environment == "oven":
        _in_oven(phase, words)


def _in_oven(phase: Open, words: str) -> None:
    if phase.method == "roast" and cue.TOASTED.search(words) and not cue.ROASTED.search(words):
        phase.method = "toast"
    elif phase.method == "bake" and cue.CRUST.search(words) and cue.BLIND.search(words):
        phase.method = "blind-bake"


def _blind_bakes(phases: list[Open]) -> None:
    """A case that is baked, and then filled and baked again, was baked blind; so is it without its beans."""
    for first, second in pairwise(phases):
        if first.method == "blind-bake" and second.method == "bake" and cue.BEANS_OUT.search(second.lead):
            second.method = "blind-bake"
    oven = [phase for phase in phases if phase.environment == "oven" and phase.method == "bake"]
    for first, second in pairwise(oven):
        before = first.lead
        if cue.CRUST.search(before) and not cue.FILLED.search(before) and cue.FILLED.search(second.lead):
            first.method = "blind-bake"


def _on_hob(phase: Open, words: str) -> None:
    vague = phase.general or phase.weak
    if phase.method in ("warm", "other", "boil", "simmer", "fry", ""):
        phase.method = _by_sign(phase, words, vague=vague) or phase.method
    turned_down = phase.general or ("from-boil" in phase.marks and phase.seconds is not None)
    if turned_down and phase.method == "boil" and phase.heat in _LOW:
        phase.method = "simmer"
    if phase.method == "fry" and (phase.deep or phase.celsius or cue.DEEP.search(words)):
        phase.method = "deep-fry"
    if phase.method in ("fry", "other", "deep-fry"):
        oil = next((heat for draft in phase.drafts if (heat := oil_c(draft, "liquid"))), None)
        if oil:
            phase.celsius = oil
        if oil or cue.DEEP_OIL.search(words):
            phase.method = "deep-fry"


def _by_sign(phase: Open, words: str, *, vague: bool) -> str | None:
    """Return the method that the "until" tells: melted, reduced, browned, thick."""
    if cue.UNTIL_REDUCED.search(words) and phase.method != "fry":
        return "reduce"
    if cue.UNTIL_MELTED.search(words) and (phase.method == "warm" or (vague and cue.OVER_WATER.search(words))):
        return "melt"
    if vague or phase.method == "warm":
        if cue.ROUX.search(words):
            return "brown"
        if vague and cue.UNTIL_BROWN.search(words) and (cue.BROWNED.search(words) or phase.core):
            return "brown"
    unsaid = phase.weak and not phase.general and phase.method != "boil"
    if unsaid and (cue.UNTIL_THICK.search(words) or cue.SCRAPED.search(words)):
        return "other"
    if phase.general and phase.method == "fry" and not phase.wet and cue.SAUTEED.search(words):
        return "saute"
    return None


def _general(phase: Open, words: str) -> str:
    """Return the cook's word for "cook" and for food that is put somewhere hot."""
    if phase.environment == "oven":
        meat = bool(cue.ROASTED.search(words) or cue.ROAST_NOUN.search(words))
        if meat and phase.lid == "on":
            return "braise"
        return "roast" if phase.core or meat else "bake"
    if phase.environment == "grill":
        return "grill"
    if phase.environment == "none":
        return phase.appliance or "other"
    if phase.weak and not phase.general and cue.UNTIL_MELTED.search(words) and not cue.UNTIL_THICK.search(words):
        return "melt"
    fat = cue.FAT.search(words)
    if phase.weak and not phase.wet and cue.PUT_IN_PAN.match(phase.words[0]) and not cue.LIQUID.search(words):
        return "toast" if "toast" in words or cue.TOASTED.search(words) else "fry"
    if "steamer" in words:
        return "steam"
    if (
        "al dente" in words
        or cue.BOILS.search(words)
        or (cue.BOILED.search(words) and not fat and (not phase.wet or cue.PLAIN_WATER.search(words)))
    ):
        return "boil"
    sided = any(m.role == "each" and "side" in m.text for draft in phase.drafts for m in draft.times)
    if not phase.wet and (sided or cue.ONE_SIDE.search(words)):
        return "fry"
    if phase.wet or (cue.LIQUID.search(_UNTIL.sub(" ", words)) and "onion" not in words):
        return "simmer"
    return "fry" if fat or cue.FRIED.search(words) or cue.OWN_GRIDDLE.search(words) else "simmer"
