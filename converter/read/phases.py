"""Follows the food through the clauses: which pan, which oven, at which setting, until when.

One pass, one state (`phase_state`). A phase is opened where heating starts,
takes its time from the clause that gives one and is closed when the heat, the
pan or the cover changes, when the food comes out, or when food with a time of
its own goes in (`phase_join`). The handlers of the verbs stand in
`phase_heat`, `phase_settings`, `phase_put`, `phase_lids`, `phase_acts` and
`phase_devices`.
"""

from __future__ import annotations

from converter.read import phase_cues as cue
from converter.read.clauses import Draft
from converter.read.phase_acts import HANDLERS
from converter.read.phase_devices import device
from converter.read.phase_names import named
from converter.read.phase_settings import change, change_oven, hold, in_turned_off_oven, preheat, sets_oven
from converter.read.phase_state import Open, State, cook_time, oil_c, oven_c, vessels

__all__ = ["Open", "Tracker"]


_STANDING = frozenset(("prove", "chill", "soak", "rest"))
_WETTING = frozenset(("put", "add", "mix", "begin", "turn", "heat", "back"))


class Tracker(State):
    """The state of one recipe while its clauses are read in order."""

    def read(self, draft: Draft) -> None:
        """Take one clause."""
        self._read(draft)
        self.recent.append(draft.words)
        if any(mention.role in _STANDING for mention in draft.times):
            self.pending_lid = None

    def _read(self, draft: Draft) -> None:
        if "been" in draft.words and cue.HAD_BEEN.search(draft.words):
            draft.places = [place for place in draft.places if place.kind != "oven"]
            draft.temperatures = []
        if draft.conditional and draft.act != "preheat" and not draft.alternative:
            return
        if self._other_time(draft):
            return
        name = next((hit.word.key for hit in draft.hits if hit.word.kind == "appliance"), None)
        self._after_microwave(draft)
        if name is None and self.device == "sandwich-grill" and cue.IRON.search(draft.words):
            name = self.device
        if name and device(self, draft, name):
            return
        turned = next((p for p in draft.places if p.kind == "change" and p.span.start <= draft.verb.end + 2), None)
        in_use = self.on("oven") and turned is not None and turned.noun == "oven" and turned.direction is not None
        if draft.act == "turn" and in_use and turned is not None:
            change(self, draft, turned)
            return
        if draft.act == "preheat" or (draft.act in ("put", "begin", "heat", "turn") and sets_oven(draft)):
            preheat(self, draft)
            return
        if turned is not None and (draft.boil is None or draft.method == "reduce" or draft.act in ("less", "more")):
            change(self, draft, turned)
            return
        if draft.act in ("less", "more") and oven_c(draft) is not None:
            change_oven(self, draft)
            return
        if draft.act in ("less", "more") and self.pan.holds == "fat" and oil_c(draft, "liquid") is not None:
            self.pan.oil_c, self.changed = oil_c(draft, "liquid"), True
            self.note(draft, "change-hob")
            return
        if draft.hold and not (draft.act == "heat" and draft.method != "warm"):
            hold(self, draft)
            return
        if draft.act in ("begin", "heat") and in_turned_off_oven(self, draft):
            return
        handler = HANDLERS.get(draft.act)
        if handler is not None:
            handler(self, draft)
        if draft.act in _WETTING and draft.lemma not in ("rinse", "wash", "soak") and cue.WET.search(draft.words):
            self.pan.wet = self.on("hob") or (self.current is None and self.pan.vessel and not self.pan.empty)
            if self.current is not None and not self.current.done:
                self.current.wet = self.pan.wet
        only_fat = self.pan.empty and self.pan.holds == "fat"
        if draft.act in ("put", "add") and self.current is None and not only_fat and "hob" in vessels(draft):
            self.pan.filled = self.pan.filled or cue.PLAIN_WATER.search(draft.words) is None

    def _other_time(self, draft: Draft) -> bool:
        """Tell "if you prefer a firmer tart, cook for 20 minutes": another time for the stay just told."""
        current = self.current
        if current is None or current.seconds is None or draft.act != "heat" or draft.places:
            return False
        if draft.step != current.drafts[-1].step or any(mention.more for mention in draft.times):
            return False
        return cook_time(draft) is not None and cue.PREFERS.match(draft.words) is not None

    def _after_microwave(self, draft: Draft) -> None:
        """End a stay in the microwave that has its time, where a pan of the hob is spoken of again."""
        current = self.current
        if current is None or current.method != "microwave" or not current.done or "hob" not in vessels(draft):
            return
        self.close()
        if self.pan.hot:
            self.pan.draft = draft

    def finish(self) -> list[Open]:
        """Return the phases in order, general verbs named, empty ones left out."""
        return named(self.phases)
