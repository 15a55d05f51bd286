"""Gives the phases of a recipe their last names: the cook's word where the recipe's verb is general."""

from __future__ import annotations

from converter.read import phase_cues as cue
from converter.read.phase_state import Open, oil_c


def named(phases: list[Open]) -> list[Open]:
    """Return the phases with their methods; those that came to nothing are left out."""
    kept: list[Open] = []
    for phase in phases:
        words = " ".join(phase.words)
        if not _nothing(phase, words):
            _method(phase, words)
            kept.append(phase)
    return kept


def _nothing(phase: Open, words: str) -> bool:
    if not phase.weak or phase.done:
        return False
    if phase.environment == "hob":
        return not phase.method
    return phase.environment == "oven" and bool(cue.EMPTY_OVEN.search(words))


def _method(phase: Open, words: str) -> None:
    if not phase.method or (phase.general and phase.method == "other"):
        phase.method = _general(phase, words)
    if phase.environment == "hob":
        _on_hob(phase, words)
    elif phase.method == "bake" and cue.CRUST.search(words) and cue.BLIND.search(words):
        phase.method = "blind-bake"


def _on_hob(phase: Open, words: str) -> None:
    if phase.general and phase.method in ("fry", "simmer", "other"):
        if cue.UNTIL_BROWN.search(words) and cue.BROWNED.search(words):
            phase.method = "brown"
    if phase.method == "fry" and cue.DEEP.search(words):
        phase.method = "deep-fry"
    if phase.method in ("fry", "other", "deep-fry"):
        oil = next((heat for draft in phase.drafts if (heat := oil_c(draft, "liquid"))), None)
        if oil:
            phase.celsius = oil
        if oil or cue.DEEP_OIL.search(words):
            phase.method = "deep-fry"


def _general(phase: Open, words: str) -> str:
    """Return the cook's word for "cook" and for food that is put somewhere hot."""
    if phase.environment == "oven":
        return "roast" if cue.ROASTED.search(words) else "bake"
    if phase.environment == "grill":
        return "grill"
    if phase.environment == "none":
        return phase.appliance or "other"
    fat = cue.FAT.search(words)
    if "boil" in words or (cue.BOILED.search(words) and not fat):
        return "boil"
    if cue.LIQUID.search(words) and "onion" not in words:
        return "simmer"
    return "fry" if fat or cue.FRIED.search(words) else "simmer"
