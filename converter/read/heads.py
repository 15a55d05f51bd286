"""Finds the verbs of a sentence that give an order, among all words of the lexicon in it.

A verb heads a clause where an instruction can begin: at the start of a
sentence, after a comma, "and", "then". Words after "until", "when", "once",
"if" and the like describe and do not instruct.
"""

from __future__ import annotations

from dataclasses import dataclass, fields
from functools import cache
from typing import NamedTuple

from converter.data import DataError, expect_keys, lexicon
from converter.read.words import Hit

_STRONG = frozenset(("put", "add", "out", "cover", "uncover", "serve", "begin", "preheat", "back"))
_LISTABLE = frozenset(("boil", "simmer", "fry", "bake", "grill"))
_ENDS_SUB = frozenset((",", "then", ";", ":", ")"))
_ING_BEFORE = frozenset((",", "and", "by", "then", "or", "through", "-", "–", "—"))
_SHOULD = frozenset(("should", "will", "would"))
_BY_TOOL = frozenset(("put", "add", "turn", "out"))
_TOOL_TOKENS = 6  # how long the name of a tool may be
_CHAIN_TOKENS = 9  # how far a verb may stand behind "let", "bring", "continue"


@dataclass(frozen=True, slots=True)
class _Lists:
    """The lists of lexicon/orders.yaml."""

    openers: frozenset[str]
    adverbs: frozenset[str]
    nouns_in_ly: frozenset[str]
    negations: frozenset[str]
    determiners: frozenset[str]
    conjunctions: frozenset[str]
    leads: frozenset[str]
    prepositions: frozenset[str]
    forms_of_be: frozenset[str]
    modals: frozenset[str]
    before_to: frozenset[str]
    after_noun: frozenset[str]
    not_chained: frozenset[str]


@cache
def _lists() -> _Lists:
    names = tuple(field.name for field in fields(_Lists))
    root = expect_keys(lexicon("orders"), required=names, where="lexicon/orders.yaml")
    for name in names:
        if not root[name] or not all(isinstance(word, str) for word in root[name]):
            raise DataError(root.at(name), f"'{name}' must be a list of words")
    return _Lists(**{name: frozenset(root[name]) for name in names})


class Head(NamedTuple):
    """A verb that heads a clause. ``absorbed`` is the heating verb behind "let", "continue" and the like."""

    hit: Hit
    absorbed: Hit | None = None
    passive: bool = False


def heads(lowers: list[str], first: int, hits: list[Hit]) -> list[Head]:
    """Return the heads of the sentence that begins at token `first`."""
    scan = _Scan(lowers, first)
    for hit in hits:
        if hit.word.kind in ("heat", "act"):
            scan.see(hit)
    return scan.heads


class _Scan:
    """Goes through the words of one sentence; ``sub`` is the conjunction that it stands under."""

    def __init__(self, lowers: list[str], first: int) -> None:
        self.lists = _lists()
        self.lowers = lowers
        self.first = first
        self.position = first
        self.lead = lowers[first] if first < len(lowers) else ""
        self.sub = ""
        self.chain: Hit | None = None
        self.heads: list[Head] = []

    def see(self, hit: Hit) -> None:
        self._subordinate(hit.first)
        self.position = hit.first
        n = hit.first - 1
        while n >= self.first and self._adverb(self.lowers[n]):
            n -= 1
        before = self.lowers[n] if n >= self.first else ""
        if n + 1 < hit.first and before not in self.lists.openers and "then" in self.lowers[n + 1 : hit.first]:
            n, before = self.lowers.index("then", n + 1), "then"
        word = hit.word
        if self._chained(hit, before):
            self.heads[-1] = Head(self.heads[-1].hit, hit)
            self.chain = None
            return
        if word.form == "ed":
            taken = self._past(hit, before, n)
        elif word.form == "ing":
            taken = self._gerund(hit, before, n)
        else:
            taken = self._order(hit, before, n)
        if taken:
            self.heads.append(Head(hit, passive=word.form == "ed"))
            self.chain = hit if word.kind == "act" and word.key == "begin" else None

    def _adverb(self, token: str) -> bool:
        lists = self.lists
        return token in lists.adverbs or (token.endswith("ly") and len(token) > 4 and token not in lists.nouns_in_ly)

    def _subordinate(self, end: int) -> None:
        lowers = self.lowers
        for n in range(self.position, end):
            token = lowers[n]
            if token in self.lists.conjunctions:
                well = token == "as" and lowers[n - 1 : n] == ["well"]
                loose = token == "so" and n + 1 < len(lowers) and lowers[n + 1] != "that"
                if not well and not loose:
                    self.sub = token
            elif token == ";" or (token == "then" and self.sub):
                self.sub = ""

    def _chained(self, hit: Hit, before: str) -> bool:
        if self.chain is None or hit.word.kind != "heat" or hit.word.form == "ed" or self.sub:
            return False
        if before in self.lists.not_chained or hit.first - self.chain.last > _CHAIN_TOKENS:
            return False
        if self.chain.word.lemma.startswith("bring") and hit.word.lemma in ("boil", "simmer", "reduce"):
            return False
        between = self.lowers[self.chain.last : hit.first]
        return "," not in between and ";" not in between

    def _past(self, hit: Hit, before: str, n: int) -> bool:
        if (
            (hit.word.kind != "heat" and hit.word.key != "put")
            or before not in self.lists.forms_of_be
            or n <= self.first
            or self.sub
        ):
            return False
        return any(word in self.lists.modals for word in self.lowers[max(self.first, n - 3) : n])

    def _gerund(self, hit: Hit, before: str, n: int) -> bool:
        word = hit.word
        if word.kind != "heat" and word.key not in ("begin", "preheat", "put", "add"):
            return False
        if before == "by" and n > self.first and self.lowers[n - 1] in ("or", "else", "either"):
            self.sub = ""
        if before == "by" and word.key == "warm":
            return False
        if before == "and" and word.kind == "heat" and not (self.heads and self.heads[-1].hit.word.form == "ing"):
            return False
        if self.sub or (before not in _ING_BEFORE and not (before == "" and word.key == "preheat")):
            return False
        return word.kind == "heat" or before != ","

    def _order(self, hit: Hit, before: str, n: int) -> bool:
        if before == "":
            return not self._noun(hit)
        if before in self.lists.negations:
            return False
        if before == "to":
            return self._infinitive(hit, n)
        if before in self.lists.openers:
            return self._opened(hit, before, n)
        if before in self.lists.determiners:
            return False
        return self._led_in(hit, n) or (hit.word.lemma == "set aside" and not self.sub)

    def _noun(self, hit: Hit) -> bool:
        """Tell a noun at the head of a sentence ("Roast should be brown") from an order ("Roast the lamb")."""
        after = self.lowers[hit.last] if hit.last < len(self.lowers) else ""
        return after == "time" or (hit.word.kind == "heat" and after in self.lists.after_noun)

    def _infinitive(self, hit: Hit, n: int) -> bool:
        if hit.word.kind == "act" and hit.word.key in _BY_TOOL and self._tool(n):
            return True
        return (
            hit.word.kind == "heat"
            and not self.sub
            and n > self.first
            and self.lowers[n - 1] in self.lists.before_to
            and not any(word in self.lists.negations for word in self.lowers[max(self.first, n - 3) : n - 1])
        )

    def _tool(self, n: int) -> bool:
        """Tell "use tongs to turn it": the order stands behind the tool."""
        last = self.heads[-1].hit if self.heads else None
        if last is None or self.sub or last.word.lemma not in ("use", "using") or n - last.last > _TOOL_TOKENS:
            return False
        return not any(token in (",", ";", "and", "or") for token in self.lowers[last.last : n])

    def _opened(self, hit: Hit, before: str, n: int) -> bool:
        word = hit.word
        if before in ("will", "would", "it'll") and self.lowers[max(self.first, n - 1)] not in ("you", "we", "i"):
            return False
        if before == "(" and self.lowers[hit.last : hit.last + 1] in (["/"], [")"], [","]):
            return False
        if self.heads and self.heads[-1].hit.word.key == "serve" and self._how_served(hit):
            return False
        if self.sub:
            ended = before in _ENDS_SUB or (before == "and" and n > self.first and self.lowers[n - 1] == ",")
            ended = ended or (before == "and" and word.kind == "heat" and self._over_heat(hit))
            if not ended and not (before == "and" and word.kind == "act" and word.key in _STRONG):
                return False
            self.sub = ""
        if before == "and" and word.kind == "heat" and not self.heads and self._told_only(n):
            return False
        return not (before == "," and word.kind == "heat" and not word.general and self._listed(hit))

    def _told_only(self, n: int) -> bool:
        """Tell "the skin should shrink and char", which says how the food will look."""
        before = self.lowers[self.first : n]
        return not _SHOULD.isdisjoint(before) and "you" not in before

    def _how_served(self, hit: Hit) -> bool:
        """Tell "serve with toast" and "serve hot or warm" from "serve, or warm it up"."""
        if hit.word.lemma == "warm":
            return self.lowers[hit.last : hit.last + 1] not in (["up"], ["it"], ["them"], ["the"], ["through"])
        return hit.word.key == "toast"

    def _over_heat(self, hit: Hit) -> bool:
        """Tell "... and heat over a low flame" from "... and simmering"."""
        after = self.lowers[hit.last : hit.last + 1]
        return hit.word.form == "base" and after in (["over"], ["on"], ["through"], ["gently"], ["until"])

    def _listed(self, hit: Hit) -> bool:
        """Tell a word in a list of things ("oil, brown, ...") by the comma that follows at once."""
        after = self.lowers[hit.last] if hit.last < len(self.lowers) else ""
        return after == "," and hit.word.key not in _LISTABLE

    def _led_in(self, hit: Hit, n: int) -> bool:
        """Tell an order behind a phrase without a comma: "In a wide pan heat ..."."""
        word = hit.word
        if self.heads or not (self.lead in self.lists.prepositions or (self.sub and self.sub in self.lists.leads)):
            return False
        if word.kind == "heat":
            if self.sub or self.lowers[n] in self.lists.forms_of_be or self.lowers[n] in ("it", "they", "to"):
                return False
        elif word.key not in _STRONG:
            return False
        self.sub = ""
        return True
