"""Cuts the method into clauses: one verb each, with its place, heat, times, lid, vessel and sign."""

from __future__ import annotations

import re
from bisect import bisect_left
from collections.abc import Sequence
from typing import TypeVar

from spacy.tokens import Doc

from converter.model import Mention, Span, Step
from converter.read.drafts import Draft
from converter.read.heads import Head, heads
from converter.read.places import HOT, TIME, Place
from converter.read.words import Hit, Word

__all__ = ["Cutter", "Draft", "sentences"]

_T = TypeVar("_T")
_NOTHING = Word("act", "time", "base")
_END = re.compile(r"(?:[.!?]+[\"”’')\]]*(?=\s|$)|;(?=\s)|:(?=\s)|\n)")
_ABBREVIATED = re.compile(
    r"(?:\b(?:approx|min|mins|hr|hrs|oz|lb|lbs|tbsp|tsp|e\.g|i\.e|no|st|vs|temp|deg|ca|tbs|cm|in|pkg|qt|pt|med|sec|secs)"
    r"|\b[a-z])$"
)
_CONDITION = re.compile(r"\W*(?:if|unless|should|to (?:reheat|rewarm|warm up again))\b")
_CONDITION_HARMLESS = re.compile(
    r"^\s*if (?:you(?: prefer| like| want| wish| are using| have| use|['’]re using)|using|desired|preferred|"
    r"you(?:['’]d| would) like|baking|cooking|making|grilling|roasting|frying|you don|the recipe|"
    r"there['’]?s? (?:is )?time|time (?:allows|permits)|possible|"
    r"[^,]{0,40}\b(?:is|are) (?:used|desired|wanted|preferred|liked)\b)"
)
_ALTERNATIVE = re.compile(r"\W*(?:alternatively|or\b|if (?:you|using)|for (?:the )?(?:grill|oven|stovetop|barbecue))")
_FALLBACK = re.compile(r"\bif (?:needed|necessary|required)\b")
_ASIDE = re.compile(r"\bbatch\w*\b|,[^,]*\b\w+ing\b[^,]*$|\(")
_STIRRED = re.compile(
    r"\b(?:until|till)\b[^.;,]{0,25}\b(?:combined|mixed|coated|incorporated|blended|smooth|evenly|moistened|distributed|uniform)\b"
)
_FALLBACK_BEFORE = re.compile(
    r"\bif (?:not|so|it|they|the|still|too)\b[^.;:]{0,30},\s*(?:then\s+)?(?:\w+\s+)?$"
    r"|\bif (?:not|so|needed|necessary),?\s*$"
)


def sentences(low: str, step: Step) -> list[tuple[int, int]]:
    """Return the sentences of a step as offsets; ``;`` and ``:`` end one as well."""
    out: list[tuple[int, int]] = []
    start, end = step.span
    at = start
    for match in _END.finditer(low, start, end):
        if low[match.start()] == "." and match.end() < end and _abbreviation(low, at, match.start()):
            continue
        if match.end() > at:
            out.append((at, match.end()))
        at = match.end()
    if at < end:
        out.append((at, end))
    return out


def _abbreviation(low: str, start: int, stop: int) -> bool:
    before = low[max(start, stop - 8) : stop]
    return bool(_ABBREVIATED.search(before)) and before[-1] not in (HOT, TIME)


class Cutter:
    """Cuts one method; made for each recipe."""

    def __init__(
        self, doc: Doc, base: int, low: str, hits: list[Hit], places: list[Place], mentions: tuple[Mention, ...]
    ) -> None:
        self.lowers, starts = doc.user_data["undial_tokens"]
        self.starts = [start + base for start in starts] if base else starts
        self.low = low
        self.hits = hits
        self.places = places
        self.mentions = mentions
        self.hit_starts = [hit.start for hit in hits]
        self.place_starts = [place.span.start for place in places]
        self.mention_starts = [mention.span.start for mention in mentions]
        self.count = 0

    def cut(self, step: Step) -> list[Draft]:
        """Return the clauses of a step in order."""
        drafts: list[Draft] = []
        for start, end in sentences(self.low, step):
            drafts.extend(self._sentence(step.number, start, end))
        return drafts

    def _sentence(self, step: int, start: int, end: int) -> list[Draft]:
        self.count += 1
        hits = _between(self.hits, self.hit_starts, start, end)
        times = _between(self.mentions, self.mention_starts, start, end)
        if not hits and not times:
            return []
        spots = _between(self.places, self.place_starts, start, end)
        spans = [place.span for place in spots if place.kind != "change"]
        verbs = [h for h in hits if not any(s.start <= h.start < s.end for s in spans)] if spans else hits
        found = heads(self.lowers, bisect_left(self.starts, start), list(verbs))
        words = self.low[start:end]
        conditional = bool(_CONDITION.match(words)) and not _CONDITION_HARMLESS.match(words)
        if not found:
            if not times and not any(place.kind == "hob" for place in spots):
                return []
            nothing = Hit(start, start, 0, 0, _NOTHING)
            draft = Draft(step, start, end, nothing, Span(start, start), "time", words=words, sentence=self.count)
            self._fill(draft)
            draft.conditional = conditional or any(m.conditional for m in times)
            return [draft]
        alternative = bool(_ALTERNATIVE.match(words))
        out: list[Draft] = []
        for n, head in enumerate(found):
            first = start if n == 0 else head.hit.start
            last = found[n + 1].hit.start if n + 1 < len(found) else end
            draft = self._draft(step, first, last, head)
            draft.conditional = conditional or self._fallback(draft)
            draft.alternative = alternative
            out.append(draft)
        return out

    def _draft(self, step: int, start: int, end: int, head: Head) -> Draft:
        verb = head.absorbed or head.hit
        word = verb.word
        act = word.key if word.kind == "act" else "heat"
        draft = Draft(step, start, end, head.hit, Span(verb.start, verb.end), act, sentence=self.count)
        draft.lemma = word.lemma
        if word.kind == "heat":
            draft.method, draft.environment = word.key, word.environment
            draft.general, draft.needs = word.general, word.needs
        draft.passive = head.passive
        draft.words = self.low[start:end]
        self._fill(draft)
        draft.read_words()
        if draft.sign is not None and act in ("turn", "mix", "add") and _STIRRED.search(draft.words):
            draft.sign = None
        return draft

    def _fill(self, draft: Draft) -> None:
        start, end = draft.start, draft.end
        draft.places = list(_between(self.places, self.place_starts, start, end))
        draft.hits = list(_between(self.hits, self.hit_starts, start, end))
        for mention in _between(self.mentions, self.mention_starts, start, end):
            (draft.times if mention.kind == "duration" else draft.temperatures).append(mention)

    def _fallback(self, draft: Draft) -> bool:
        """Tell an order that only holds on a condition ("if not done, bake it for another 5 minutes")."""
        if draft.times and all(m.conditional for m in draft.times):
            return True
        needed = _FALLBACK.search(draft.words) if "if " in draft.words else None
        timed = any(m.role == "cook" and not m.conditional for m in draft.times)
        if needed and not timed and not _ASIDE.search(draft.words, 0, needed.start()):
            return True
        before = self.low[max(0, draft.verb.start - 40) : draft.verb.start]
        return "if " in before and bool(_FALLBACK_BEFORE.search(before))


def _between(items: Sequence[_T], starts: list[int], start: int, end: int) -> Sequence[_T]:
    return items[bisect_left(starts, start) : bisect_left(starts, end)]
