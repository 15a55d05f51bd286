"""The signs and manners that the words of a phase show, for the `sign` condition of a rule.

A sign is a state to cook to ("until thick"), a manner ("gently", "stirring
all the time") or a place in the run of things ("another 20 minutes"). Common
practice, no source.
"""

from __future__ import annotations

import re

# "reduce" of a liquid, not of the heat.
_NOT_HEAT = r"(?! (?:the |your |it to |to )?(?:\w+[- ])?(?:heat|flame|fire|temperature|low|medium|simmer)\b)"
_NOT_PIECES = r"(?! (?:slices?|cuts?|pieces?|bottom|bottomed|base|skillet|pan)\b)"
_NOT_GENTLE = r"(?! (?:brown|oil|greas|salt|gold|beat|whisk|col))"

# Sign -> stems of which one must stand in the text, and the patterns that then decide. The order is that of strength:
# of two rules that differ in nothing but their signs the one with the earlier sign wins.
_WORDS: dict[str, tuple[tuple[str, ...], tuple[str, ...]]] = {
    "under-boil": (
        ("just", "below", "without", "not", "n't", "never"),
        (
            r"(?:just )?(?:below|under) (?:a |the )?(?:boil|simmer)",
            r"without (?:letting it |letting it come to a )?boil\w*",
            r"(?:not|never|n't) (?:allow|let)? ?(?:it |the \w+ )?(?:to )?(?:come to (?:a |the )?)?boil(?:ing)?\b",
        ),
    ),
    "tender": (
        ("tender", "soft", "falls", "fall ", "cooked through", "shred", "mush"),
        (r"tender\b", r"soft\b", r"falls? (?:off|apart)\b", r"cooked through\b", r"shreds?\b",
         r"mush\w*"),
    ),
    "soft": (
        ("soft", "transl", "transp", "wilt", "limp", "clear"),
        (r"soft(?:en(?:ed|s|ing)?)?\b", r"translucent\b", r"transparent\b", r"wilt(?:ed|s)?\b", r"limp\b",
         r"turns? clear\b"),
    ),
    "done": (
        ("cooked", "done", "pink", "juices", "opaque", "flak"),
        (
            r"cooked (?:through|thoroughly)\b", r"(?:well|fully|completely) (?:cooked|done)\b",
            r"until [^.;,]{0,40}\b(?:cooked|done)\b", r"no longer pink\b", r"juices run clear\b",
            r"opaque\b", r"flak(?:es|y)\b",
        ),
    ),
    "set": (
        ("set", "firm", "wobbl", "knife"),
        (r"set\b(?! aside| over| on| to| the)", r"firm\b", r"wobbl\w+", r"knife\b"),
    ),
    "stirred": (
        ("constant", "contin", "frequent", "regular", "active", "time", "keep", "often"),
        (
            r"(?:constant|continuous|continual|frequent|regular|active)(?:ly)?\b", r"all the time\b",
            r"the whole time\b",
            r"keep (?:on )?(?:stirring|whisking)\b", r"often\b",
        ),
    ),
    "thick": (
        ("thick", "syrupy", "jammy", "coat", "pull", "leaves the"),
        (
            r"(?:thick(?:ens?|ened|ening|er)?|syrupy|jammy|coats? (?:the|a)|pulls? away|leaves the sides)\b"
            + _NOT_PIECES,
        ),
    ),
    "reduced": (
        ("reduc", "evapor", "absorb", " down", " away", " off", "dr"),
        (
            r"reduc(?:es?|ed|ing)\b" + _NOT_HEAT, r"evaporat\w+", r"absorb(?:ed|s)?\b",
            r"(?:boil|cook)(?:ed|s)? (?:down|away|off)\b", r"dr(?:y|ies|ied) up\b", r"(?:almost|nearly|until) dry\b",
        ),
    ),
    "golden": (
        ("gold", "blond", "caramel"),
        (r"gold(?:en)?\b(?! (?:syrup|raisin))", r"blonde?\b", r"carameli[sz]ed\b"),
    ),
    "brown": (("brown",), (r"brown(?:ed|s)?\b(?! (?:bits|sugar|rice|bread|sauce|stock|gravy|mustard|lentil))",)),
    "fragrant": (
        ("fragran", "aroma", "pop", "sp", "crackl", "smell"),
        (r"fragran\w+", r"aroma\w*", r"pop(?:ping)?\b", r"splutter\w*", r"sputter\w*", r"crackl\w+", r"smell\b"),
    ),
    "hot-through": (
        ("through", "piping", "until"),
        (
            r"heat(?:ed)? (?:it )?through\w*", r"warm(?:ed)? (?:it )?through\w*", r"piping hot\b",
            r"until (?:\w+ )?(?:hot|heated|warm(?:ed)?)\b",
        ),
    ),
    "gently": (
        ("gent", "slow", "softly", "lightly", "barely", "low boil"),
        (
            r"low boil\b", r"gent(?:ly|le)\b", r"slow(?:ly)?\b(?! cooker)", r"softly\b",
            r"lightly\b" + _NOT_GENTLE, r"barely\b",
        ),
    ),
    "rapid": (
        ("boil", "hard", "rapid", "vigorous", "brisk", "furious"),
        (
            r"(?:rapid|rolling|vigorous|hard|fast|full|high|strong)(?:ly)?[ ,-]+boil",
            r"boil(?:ing|ed)? (?:hard|fast|down)\b", r"hard for\b", r"(?:rapidly|vigorously|briskly|furiously)\b",
        ),
    ),
    "going-on": (
        ("another", "further", "continu", "additional", "more", "longer"),
        (r"(?:another|a further|continu(?:e|ing)|additional)\b", r"(?:minutes?|hours?|mins?) (?:more|longer)\b"),
    ),
    "simmering": (("simmer",), (r"simmer",)),
    "to-boil": (
        ("boil", "simmer"),
        (
            r"(?:br(?:ing|ings|inging|ought)|com(?:e|es|ing)|heat)\b[^.;,]{0,60}"
            r"\bto (?:a |the )?(?:\w+ )?(?:boil|simmer)",
        ),
    ),
    "boiled": (("boil",), (r"(?:par)?boil(?:ed|s|ing)?\b(?! water)",)),
}  # fmt: skip
_PATTERNS = tuple(
    (name, stems, re.compile(r"\b(?:" + "|".join(words) + ")")) for name, (stems, words) in _WORDS.items()
)
# "soft but not brown", "without letting it colour": what must not happen is no sign.
_NEGATED = re.compile(r"\b(?:not|without|never|n't|avoid)\b[^.;,]{0,30}?\b(?:brown|gold)\w*")
_STIR_FRY = re.compile(r"\bstir[- ]?fr(?:y|ies|ied|ying)\b")

SIGNS = tuple(_WORDS)


def signs(text: str, marks: tuple[str, ...]) -> tuple[str, ...]:
    """Return the signs of a phase from its words in lower case; ``to-boil`` also from the mark ``from-boil``."""
    if "brown" in text or "gold" in text:
        text = _NEGATED.sub(" ", text)
    found = []
    for name, stems, pattern in _PATTERNS:
        for stem in stems:
            if stem in text:
                if pattern.search(text):
                    found.append(name)
                break
    if "from-boil" in marks and "to-boil" not in found:
        found.append("to-boil")
    return tuple(found)


def stir_fried(text: str) -> bool:
    """Tell whether lower-case `text` says stir-fry, which no method word does."""
    return "stir" in text and _STIR_FRY.search(text) is not None
