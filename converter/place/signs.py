"""The signs and manners that the words of a phase show, for the `sign` condition of a rule.

A sign is a state to cook to ("until thick"), a manner ("gently", "stirring
all the time") or a place in the run of things ("another 20 minutes"). Common
practice, no source.
"""

from __future__ import annotations

import re

# "reduce" of a liquid, not of the heat.
_NOT_HEAT = r"(?! (?:the |your |it to |to )?(?:\w+[- ])?(?:heat|flame|temperature|low|medium|simmer)\b)"
_NOT_PIECES = r"(?! (?:slices?|cuts?|pieces?|bottom|bottomed|base|skillet|pan)\b)"

_WORDS = {
    "thick": (r"(?:thick(?:ens?|ened|ening|er)?|syrupy|jammy|coats? (?:the|a)|pulls? away|leaves the sides)\b" + _NOT_PIECES,),
    "reduced": (
        r"reduc(?:es?|ed|ing)\b" + _NOT_HEAT,
        r"evaporat\w+", r"absorb(?:ed|s)?\b", r"(?:boil|cook)(?:ed|s)? (?:down|away|off)\b", r"dr(?:y|ies|ied) up\b",
        r"(?:almost|nearly|until) dry\b",
    ),
    "brown": (r"brown(?:ed|s)?\b(?! (?:sugar|rice|bread|sauce|stock|gravy|mustard|lentil))",),
    "golden": (r"gold(?:en)?\b(?! (?:syrup|raisin))", r"blond(?:e)?\b"),
    "tender": (r"tender\b(?!loin)", r"soft\b", r"falls? (?:off|apart)\b", r"cooked through\b", r"shreds?\b"),
    "soft": (r"soft(?:en(?:ed|s|ing)?)?\b", r"translucent\b", r"transparent\b", r"wilt(?:ed|s)?\b", r"limp\b", r"turns? clear\b"),
    "set": (r"set\b(?! aside| over| on| to| the)", r"firm\b", r"wobbl\w+", r"knife\b"),
    "rapid": (
        r"(?:rapid|rolling|vigorous|hard|fast|full|high|strong)(?:ly)?[ ,-]+boil",
        r"boil(?:ing|ed)? (?:hard|rapidly|vigorously|briskly|fast|down)\b",
    ),
    "gently": (
        r"gent(?:ly|le)\b", r"slow(?:ly)?\b(?! cooker)", r"softly\b", r"lightly\b(?! (?:brown|oil|greas|salt|gold|beat|whisk|col))", r"barely\b",
        r"just (?:below|under)\b", r"below (?:a|the) (?:boil|simmer)\b", r"without (?:letting it )?boil\w*",
        r"(?:not|never|n't) (?:let it )?(?:come to (?:a|the) )?boil\b",
    ),
    "stirred": (
        r"(?:constant|continuous|continual|frequent|regular)(?:ly)?\b", r"all the time\b", r"the whole time\b",
        r"keep (?:on )?(?:stirring|whisking)\b", r"often\b",
    ),
    "fragrant": (r"fragran\w+", r"aroma\w*", r"pop(?:ping)?\b", r"splutter\w*", r"sputter\w*", r"crackl\w+", r"(?:raw )?smell\b"),
    "done": (
        r"cooked (?:through|thoroughly)\b", r"(?:well|fully|completely) (?:cooked|done)\b", r"until (?:\w+ )?(?:cooked|done)\b",
        r"no longer pink\b", r"juices run clear\b", r"opaque\b", r"flak(?:es|y)\b",
    ),
    "hot-through": (
        r"heat(?:ed)? (?:it )?through\w*", r"warm(?:ed)? (?:it )?through\w*", r"piping hot\b",
        r"until (?:\w+ )?(?:hot|heated|warm(?:ed)?)\b",
    ),
    "going-on": (r"(?:another|a further|continu(?:e|ing)|additional)\b", r"(?:minutes?|hours?|mins?) (?:more|longer)\b"),
    "simmering": (r"simmer",),
}  # fmt: skip
_PATTERNS = {name: re.compile(r"\b(?:" + "|".join(words) + ")") for name, words in _WORDS.items()}
_STIR_FRY = re.compile(r"\bstir[- ]?fr(?:y|ies|ied|ying)\b")

SIGNS = (*_WORDS, "to-boil")


def signs(text: str, marks: tuple[str, ...]) -> tuple[str, ...]:
    """Return the signs of a phase from its words in lower case and its marks; ``to-boil`` where it starts below the boil."""
    found = tuple(name for name, pattern in _PATTERNS.items() if pattern.search(text))
    return (*found, "to-boil") if "from-boil" in marks else found


def stir_fried(text: str) -> bool:
    """Tell whether lower-case `text` says stir-fry, which no method word does."""
    return _STIR_FRY.search(text) is not None
