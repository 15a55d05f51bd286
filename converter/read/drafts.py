"""A clause while it is put together, and what its words say of lid, boil, sign and attention."""

from __future__ import annotations

import re
from dataclasses import dataclass, field

from converter.model import Mention, Span
from converter.read.places import BOIL, Place
from converter.read.words import Hit

_LIDDED = r"(?:pan|pot|skillet|dish|casserole|saucepan|wok|oven|kettle|steamer|tin|pie|roaster|basin)"
_NOT_TOPPED = r"(?! with (?:water|sauce|cheese|pastry|the|plastic|cling|boiling|cold))"
_TIGHT = r"(?:(?:tight(?:ly|[- ]fitting)?|heavy|fitted|fitting|close-fitting|well-fitting)[ -]*(?:fitting )?)?"
_LID_ON = re.compile(
    r"(?<!to )(?<!fully )(?<!completely )(?<!just )(?<!are )(?<!is )(?<!barely )(?<!well )\b"
    r"(?:cover(?:ed|ing)?(?=\W*$|\s*[,;.(\x02-]|\s+(?:and|or|tightly|loosely|partially|partly|securely|closely|close|"
    r"it\b(?! with (?:water|sauce|cheese|the))|again|then|for|until|over|on|in the oven|lightly)|"
    rf"\s+(?:the\s+|your\s+|a\s+|and\s+)?(?:\w+\s+){{0,2}}{_LIDDED}\b{_NOT_TOPPED}|"
    r"\s+(?:[^.;,]{0,40}\s)?with\s+(?:an?\s+|the\s+|its\s+|some\s+|another\s+)?(?:[\w-]+\s+){0,3}"
    r"(?:lid|foil|cover|parchment|greaseproof paper|towel|cloth))|"
    r"(?:with|put on|replace|put|place|add|close|using|place on) (?:the |a |its )?"
    rf"{_TIGHT}(?:lid|cover)\b(?! off| ajar)|lid on\b|cover lid\b|lidded|partially cover(?:ed)?|lid ajar)"
)
_LID_OFF = re.compile(
    r"\b(?:uncover(?:ed|ing)?|(?:without|remove|take off|lift(?: off)?|removing|taking off) (?:the |a |its |any )?"
    r"(?:lid|cover|foil|alumin(?:i)?um foil|tin ?foil)|(?:lid|foil) (?:off|removed)|no (?:lid|cover)|not covered|"
    r"(?:remove|discard|take off) (?:the )?(?:foil|aluminum|tinfoil))"
)
_FOIL = re.compile(r"\bfoil\b")
_IN_FOIL = re.compile(r"\b(?:cover|wrap|tent|seal|in|with)\w*\b[^.]*\bfoil")
_LINED = re.compile(r"\blin(?:e|ed|ing)\b[^.]*\bfoil|\bfoil-lined|\b(?:piece|sheet|square)s? of (?:\w+ )?foil")
_SIGN = re.compile(r"(?:,?\s*(?:or\s+)?(?:just\s+)?\b(?:until|till|’til|'til|'till|or when|just until)\b)")
_ATTENDED = re.compile(
    r"\b(?:stirring|stir(?:red)?|whisking|whisk|constantly|continuously|turning (?:often|frequently|occasionally|once)|"
    r"tossing|shaking|keep (?:stirring|whisking)|swirling|watch(?:ing)?)\b"
)
_HOLD = re.compile(
    r"\b(?:keep(?:ing)?|kept|(?<!can )stay|hold)\s+(?:\w+\s+){0,4}?(?:warm|hot)\b"
    r"(?! (?:place|spot|area|corner|room|cupboard))|\bkeep[- ]warm\b"
    r"|\b(?:keep|hold|leave)\b[^.;]{0,60}\buntil (?:you(?:['’]re| are) )?"
    r"(?:ready to (?:serve|eat|use)|serving|served|needed|required|use\b|serving time|dinner)"
)
_KEEPS = frozenset(("keep", "keeping", "hold", "leave", "leaving"))


@dataclass(slots=True)
class Draft:
    """A clause while it is put together; `reader` turns it into frozen values.

    ``act`` is heat, an act of lexicon/methods.yaml, or time for a sentence
    without a verb of ours. ``words`` are its masked words in lower case.
    """

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

    @property
    def after_verb(self) -> str:
        """The words behind the verb."""
        return self.words[max(0, self.verb.end - self.start) :]

    def has(self, *kinds: str) -> bool:
        """Tell whether a place of one of these kinds is in the clause."""
        return any(place.kind in kinds for place in self.places)

    def read_words(self) -> None:
        """Fill lid, boil, sign, attention and hold from the words."""
        words = self.words
        sign = _SIGN.search(words)
        if sign:
            self.sign = Span(self.start + sign.start(), self.end)
        self.lid = _lid(words)
        boil = BOIL.search(words)
        if boil:
            under = boil.group("under") or boil.group("not")
            self.boil = "below" if under else "simmer" if boil.group("k") == "simmer" else "boil"
        self.attended = bool(_ATTENDED.search(words))
        kept = "warm" in words or "hot" in words or ("until" in words and self.lemma in _KEEPS)
        self.hold = kept and bool(_HOLD.search(words))


def _lid(words: str) -> str | None:
    if "lid" not in words and "cover" not in words and "foil" not in words:
        return None
    if _LID_OFF.search(words):
        return "off"
    foil = _FOIL.search(words)
    if _LID_ON.search(words):
        return "foil" if foil else "on"
    return "foil" if foil and _IN_FOIL.search(words) and not _LINED.search(words) else None
