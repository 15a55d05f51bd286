"""Cuts the method into clauses: one verb each, with its place, heat, times, lid, vessel and sign.

A verb heads a clause where an instruction can begin: at the start of a
sentence, after a comma, "and", "then". Words after "until", "when", "once",
"if" and the like describe and do not instruct.
"""

from __future__ import annotations

import re
from bisect import bisect_left
from dataclasses import dataclass, field

from spacy.tokens import Doc

from converter.model import Mention, Span, Step
from converter.read.places import BOIL, Place
from converter.read.words import Hit

_END = re.compile(r"(?:[.!?]+[\"”’')\]]*(?=\s|$)|;(?=\s)|:(?=\s)|\n)")
_ABBREVIATED = re.compile(r"(?:\b(?:approx|min|mins|hr|hrs|oz|lb|lbs|tbsp|tsp|e\.g|i\.e|no|st|vs|temp|deg|c|f|ca|tbs|cm|in|pkg|qt|pt|med|sec|secs)|\b[a-z])$")
_OPENERS = frozenset(
    ", ; : ( ) - – — . ! ? and then or but you also & now please can may should must will just next first finally gently "
    "immediately simply i we they it'll you'll would could either and/or that' alternatively again".split()
)
_ADVERBS = frozenset(
    "gently slowly quickly lightly well then just carefully immediately briefly again also simply first finally now thoroughly "
    "evenly constantly continuously occasionally rapidly finely very so still only further separately deep dry partially partly "
    "fully slightly frequently always usually next shallow quick hard soft barely".split()
)
_NEGATIONS = frozenset(("not", "n't", "n’t", "never", "don't", "without", "avoid", "cannot", "nor", "rather", "instead"))
_DETERMINERS = frozenset(
    "a an the your this that these those of in on into from with at for each every all any some no more its their our his her "
    "per about as by like than another one two three".split()
)
_SUBORDINATE = frozenset("until till 'til ’til once when while whilst after before if unless because since so which where whether as without who although though how".split())
_LEADS = frozenset("once when while whilst after before if unless as since because although though where".split())
_PREPOSITIONS = frozenset("in on over using with under at for into to from meanwhile".split())
_STRONG = frozenset("put add out cover uncover serve begin preheat back".split())
_BE = frozenset("be is are been was were being".split())
_MODALS = frozenset("should can could may must will to would needs need".split())
_COND_HARMLESS = re.compile(r"^\s*if (?:you(?: prefer| like| want| wish| are using| have| use|['’]re using)|using|desired|preferred|you(?:['’]d| would) like|baking|cooking|making|grilling|roasting|frying|you don|the recipe)")
_LID_ON = re.compile(
    r"\b(?:cover(?:ed|ing)?(?=\W*$|\s*[,;.(\x02-]|\s+(?:and|or|tightly|loosely|partially|partly|securely|it\b(?! with (?:water|sauce|cheese|the))|again|then|for|until|over|on|in the oven|lightly)|"
    r"\s+(?:the\s+|your\s+|a\s+|and\s+)?(?:\w+\s+){0,2}(?:pan|pot|skillet|dish|casserole|saucepan|wok|oven|kettle|steamer|tin|pie|roaster)\b(?! with (?:water|sauce|cheese|pastry|the|plastic))|"
    r"\s+(?:[^.;,]{0,40}\s)?with\s+(?:an?\s+|the\s+|its\s+|some\s+|another\s+)?(?:[\w-]+\s+){0,3}(?:lid|foil|cover|parchment|greaseproof paper|towel|cloth))|"
    r"(?:with|put on|replace|put|place|add|close|using|place on) (?:the |a |its )?(?:(?:tight(?:ly|[- ]fitting)?|heavy|fitted|fitting|close-fitting|well-fitting)[ -]*(?:fitting )?)?(?:lid|cover)\b(?! off| ajar)|lid on\b|lidded|partially cover(?:ed)?|lid ajar)"
)
_LID_OFF = re.compile(r"\b(?:uncover(?:ed|ing)?|(?:without|remove|take off|lift(?: off)?|removing|taking off) (?:the |a |its |any )?(?:lid|cover|foil|alumin(?:i)?um foil|tin ?foil)|(?:lid|foil) (?:off|removed)|no (?:lid|cover)|not covered|(?:remove|discard|take off) (?:the )?(?:foil|aluminum|tinfoil))")
_FOIL = re.compile(r"\b(?:foil|kitchen paper lid)\b")
_SIGN = re.compile(r"(?:,?\s*(?:or\s+)?(?:just\s+)?\b(?:until|till|’til|'til|'till|or when|just until)\b)")
_ATTENDED = re.compile(r"\b(?:stirring|stir(?:red)?|whisking|whisk|constantly|continuously|turning (?:often|frequently|occasionally|once)|tossing|shaking|keep (?:stirring|whisking)|swirling|watch(?:ing)?)\b")
_FALLBACK = re.compile(r"\bif (?:needed|necessary|required)\b")
_FALLBACK_BEFORE = re.compile(r"\bif (?:not|so|it|they|the|still|too)\b[^.;:]{0,30},\s*(?:then\s+)?(?:\w+\s+)?$|\bif (?:not|so|needed|necessary),?\s*$")
_HOLD = re.compile(r"\b(?:keep(?:ing)?|kept|stay|hold)\s+(?:\w+\s+){0,4}?(?:warm|hot)\b|\bkeep[- ]warm\b")
_EACH = re.compile(r"\b(?:each|per|a|both|one|other|second|first) side|\bon all sides\b|\bin batches\b")


@dataclass(slots=True)
class Draft:
    """A clause while it is put together; `phases` turns it into frozen values."""

    step: int
    start: int
    end: int
    head: Hit
    verb: Span
    act: str
    method: str = ""
    lemma: str = ""
    environment: str = ""
    general: bool = False
    needs: str = ""
    words: str = ""
    places: list[Place] = field(default_factory=list)
    times: list[Mention] = field(default_factory=list)
    temperatures: list[Mention] = field(default_factory=list)
    hits: list[Hit] = field(default_factory=list)
    sign: Span | None = None
    lid: str | None = None
    boil: str | None = None
    attended: bool = False
    conditional: bool = False
    alternative: bool = False
    passive: bool = False
    sentence: int = 0
    hold: bool = False

    def has(self, *kinds: str) -> bool:
        """Tell whether a place of one of these kinds is in the clause."""
        return any(place.kind in kinds for place in self.places)


def sentences(low: str, step: Step) -> list[tuple[int, int]]:
    """Return the sentences of a step as offsets; ``;`` and ``:`` end one as well."""
    out: list[tuple[int, int]] = []
    start, end = step.span
    at = start
    for match in _END.finditer(low, start, end):
        if match.group(0)[0] == "." and match.end() < end:
            before = low[max(at, match.start() - 8) : match.start()]
            if _ABBREVIATED.search(before) and not (match.end() + 1 < end and False):
                after = low[match.end() : match.end() + 2].strip()
                if not before.endswith(("c", "f")) or not after:
                    if not re.search(r"\x02$|\x01$", before):
                        continue
        if match.end() > at:
            out.append((at, match.end()))
        at = match.end()
    if at < end:
        out.append((at, end))
    return out


class Cutter:
    """Cuts one method; made for each recipe."""

    def __init__(self, doc: Doc, base: int, low: str, hits: list[Hit], places: list[Place], mentions: tuple[Mention, ...]) -> None:
        self.lowers = [token.lower_ for token in doc]
        self.starts = [token.idx + base for token in doc]
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

    def _between(self, items: list, starts: list[int], start: int, end: int) -> list:  # type: ignore[type-arg]
        return items[bisect_left(starts, start) : bisect_left(starts, end)]

    def _sentence(self, step: int, start: int, end: int) -> list[Draft]:
        self.count += 1
        hits = self._between(self.hits, self.hit_starts, start, end)
        times = self._between(self.mentions, self.mention_starts, start, end)
        if not hits and not times:
            return []
        spots = self._between(self.places, self.place_starts, start, end)
        if spots:
            spans = [p.span for p in spots if p.kind != "change"]
            verbs = [h for h in hits if not any(s.start <= h.start < s.end for s in spans)]
        else:
            verbs = hits
        heads = self._heads(verbs, start, end)
        words = self.low[start:end]
        conditional = bool(re.match(r"\W*(?:if|unless|should)\b", words)) and not _COND_HARMLESS.match(words)
        alternative = bool(re.match(r"\W*(?:alternatively|or\b|if (?:you|using)|for (?:the )?(?:grill|oven|stovetop|barbecue))", words))
        if not heads:
            place = self._between(self.places, self.place_starts, start, end)
            if times or any(p.kind == "hob" for p in place):
                place = self._between(self.places, self.place_starts, start, end)
                blank = Hit(start, start, 0, 0, _NOTHING)
                draft = Draft(step, start, end, blank, Span(start, start), "time", words=words, sentence=self.count)
                draft.times = [m for m in times if m.kind == "duration"]
                draft.temperatures = [m for m in times if m.kind == "temperature"]
                draft.places = place
                draft.hits = hits
                draft.conditional = conditional or any(m.conditional for m in times)
                return [draft]
            return []
        out: list[Draft] = []
        for n, (hit, absorbed, passive) in enumerate(heads):
            first = start if n == 0 else hit.start
            last = heads[n + 1][0].start if n + 1 < len(heads) else end
            verb_hit = absorbed or hit
            word = verb_hit.word
            draft = Draft(step, first, last, hit, Span(verb_hit.start, verb_hit.end), word.key if word.kind == "act" else "heat")
            draft.sentence = self.count
            draft.lemma = word.lemma
            if word.kind == "heat":
                draft.method, draft.environment = word.key, word.environment
                draft.general, draft.needs = word.general, word.needs
            draft.passive = passive
            self._fill(draft, conditional, alternative)
            out.append(draft)
        return out

    def _fill(self, draft: Draft, conditional: bool, alternative: bool) -> None:
        start, end = draft.start, draft.end
        words = self.low[start:end]
        draft.words = words
        draft.places = self._between(self.places, self.place_starts, start, end)
        for mention in self._between(self.mentions, self.mention_starts, start, end):
            (draft.times if mention.kind == "duration" else draft.temperatures).append(mention)
        draft.hits = self._between(self.hits, self.hit_starts, start, end)
        sign = _SIGN.search(words)
        if sign:
            draft.sign = Span(start + sign.start(), end)
        if "lid" in words or "cover" in words or "foil" in words:
            if _LID_OFF.search(words):
                draft.lid = "off"
            elif _LID_ON.search(words):
                draft.lid = "foil" if _FOIL.search(words) else "on"
            elif _FOIL.search(words) and re.search(r"\b(?:cover|wrap|tent|seal|in|with)\w*\b[^.]*\bfoil", words):
                draft.lid = "foil"
        boil = BOIL.search(words)
        if boil:
            draft.boil = "simmer" if boil.group("k") == "simmer" else "boil"
        draft.attended = bool(_ATTENDED.search(words))
        draft.hold = bool(_HOLD.search(words))
        before = self.low[max(0, draft.verb.start - 40) : draft.verb.start]
        draft.conditional = (
            conditional
            or bool(_FALLBACK_BEFORE.search(before))
            or bool(_FALLBACK.search(words))
            or (bool(draft.times) and all(m.conditional for m in draft.times))
        )
        draft.alternative = alternative

    def _heads(self, hits: list[Hit], start: int, end: int) -> list[tuple[Hit, Hit | None, bool]]:
        heads: list[tuple[Hit, Hit | None, bool]] = []
        lowers, starts = self.lowers, self.starts
        first = bisect_left(starts, start)
        lead = lowers[first] if first < len(lowers) else ""
        position = first
        sub = ""
        chain: tuple[Hit, int] | None = None
        for hit in hits:
            word = hit.word
            if word.kind not in ("heat", "act"):
                continue
            # a subordinator between the last head and this word
            for n in range(position, hit.first):
                token = lowers[n]
                if token in _SUBORDINATE and not (token == "as" and lowers[n - 1 : n] == ["well"]) and not (token == "so" and n + 1 < len(lowers) and lowers[n + 1] != "that"):
                    sub = token
                elif token in (";",) or (token == "then" and sub):
                    sub = ""
            position = hit.first
            n = hit.first - 1
            while n >= first and lowers[n] in _ADVERBS:
                n -= 1
            before = lowers[n] if n >= first else ""
            if chain is not None and word.kind == "heat" and word.form != "ed" and not sub:
                chain_hit, at = chain
                between = lowers[chain_hit.last : hit.first]
                if "," not in between and ";" not in between and before not in ("a", "an", "the", "not", "n't") and len(between) <= 9:
                    heads[at] = (heads[at][0], hit, False)
                    chain = None
                    continue
            passive = False
            if word.form == "ed":
                if word.kind == "heat" and before in _BE and n > first and any(w in _MODALS for w in lowers[max(first, n - 3) : n]) and not sub:
                    passive = True
                else:
                    continue
            elif word.form == "ing":
                if word.kind != "heat" and word.key not in ("begin", "preheat", "put", "add"):
                    continue
                if before == "by" and n > first and lowers[n - 1] in ("or", "else", "either"):
                    sub = ""
                if before == "and" and word.kind == "heat" and not (heads and heads[-1][0].word.form == "ing"):
                    continue
                if sub or before not in (",", "and", "by", "then", "or", "through", "-", "–", "—") and not (before == "" and word.key in ("preheat",)):
                    continue
                if word.kind != "heat" and before == ",":
                    continue
            else:
                if before == "":
                    if lowers[hit.last : hit.last + 1] == ["time"] or (word.kind == "heat" and self._noun_start(hit)):
                        continue
                elif before in _NEGATIONS:
                    continue
                elif before == "to":
                    if not (n > first and lowers[n - 1] in ("continue", "want", "wish", "begin", "start", "time", "ready", "need", "prefer", "due", "return", "back", "is", "choose")) or word.kind != "heat" or sub:
                        continue
                elif before in _OPENERS:
                    if sub:
                        ended = before in (",", "then", ";", ":", ")") or (before == "and" and n > first and lowers[n - 1] == ",")
                        if not ended and not (before == "and" and word.kind == "act" and word.key in _STRONG):
                            continue
                        if before == "," and sub in ("until", "till") and word.kind == "act" and word.key in ("mix", "cut") and False:
                            continue
                        sub = ""
                    if before == "," and word.kind == "heat" and word.general is False and self._listed(hit):
                        continue
                elif before in _DETERMINERS:
                    continue
                elif not heads and (lead in _PREPOSITIONS or (sub and sub in _LEADS)) and (word.kind == "heat" or word.key in _STRONG):
                    if word.kind == "heat" and lowers[n] in _BE | {"it", "they", "to"}:
                        continue
                    if sub and word.kind == "heat":
                        continue
                    sub = ""
                elif word.kind == "act" and word.key == "out" and word.lemma in ("set aside",) and not sub:
                    pass
                else:
                    continue
            heads.append((hit, None, passive))
            chain = (hit, len(heads) - 1) if word.kind == "act" and word.key == "begin" else None
        return heads

    def _noun_start(self, hit: Hit) -> bool:
        """Tell a noun at the head of a sentence ("Roast should be brown") from an order ("Roast the lamb")."""
        after = self.lowers[hit.last] if hit.last < len(self.lowers) else ""
        return after in ("should", "will", "is", "are", "has", "can", "may", "must", ":")

    def _listed(self, hit: Hit) -> bool:
        """Tell a word in a list of things ("oil, brown, ...") by the comma that follows at once."""
        after = self.lowers[hit.last] if hit.last < len(self.lowers) else ""
        return after == "," and hit.word.key not in ("boil", "simmer", "fry", "bake", "grill")


from converter.read.words import Word  # noqa: E402

_NOTHING = Word("act", "time", "base")
