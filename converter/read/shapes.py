"""What a single line of a recipe looks like: its marker, its heading, its quantity, its verb.

The words are common practice of printed and typed recipes, no source.
"""

from __future__ import annotations

import re
from functools import lru_cache

_FRACTION = "½¼¾⅓⅔⅕⅖⅗⅘⅙⅚⅛⅜⅝⅞"

MARKER = re.compile(
    r"[ >]*(?:"
    r"(?P<number>\*{0,2}(?:\(?\d{1,2}[.)](?:\*\*)?(?:[ ]+|(?=[^\W\d_])|$)|\d\ufe0f?\u20e3[ ]*|[①-⑳][ ]*"
    r"|(?i:step)[ ]+(?:\d{1,2}|(?i:one|two|three|four|five|six|seven|eight|nine|ten))\b(?:\*\*)?[ ]*(?:[:.)–—-]+(?:\*\*)?[ ]*|$)))"
    r"|(?P<rule>[-=_*~#+|: ]{3,}$)"
    r"|(?P<hash>\#{1,6}[ ]*)"
    r"|(?P<bullet>(?:[•◦‣▪●○✓·▢☐□–—*+|]|-(?=[^-])|\u2010|\u2011)(?<!\*(?=\*))[ ]*(?:\[[ xX]?\][ ]*|[☐▢□•*][ ]+)?(?=[^ *]|\*\*|$))"
    r")"
)
"""Number, bullet, heading mark or rule at the start of a line; the text begins at the end of the match."""

QUANTITY = re.compile(
    rf"[~≈]?[ ]?(?:(?i:about|approx\.?|approximately|a|an|one|two|three|four|five|six|half|"
    rf"few|handful|pinch|dash|knob|splash|drizzle|squeeze|juice|zest|grated|sprigs?)[ ]|[\d{_FRACTION}])"
)
"""The start of an ingredient line that says how much."""

AMOUNT = re.compile(
    rf"(?:\d|[{_FRACTION}])[ ]?(?i:g|kg|mg|ml|cl|dl|l|oz|lb|lbs|tsp|tbsp|tbs|cups?|ounces?|pounds?|pints?|teaspoons?|"
    rf"tablespoons?|litres?|liters?|grams?|cloves?|tins?|cans?|slices?|sticks?|large|medium|small|eggs?|packets?)\b"
)

_INGREDIENTS = frozenset(
    """ingredients|ingredient|ingredient list|ingredients list|the ingredients|you will need|you'll need|you need
    |what you need|what you will need|what you'll need|what goes in|shopping list|for this you need|things you need""".replace(
        "\n", ""
    )
    .replace("    ", "")
    .split("|")
)
_METHOD = frozenset(
    """method|methods|the method|directions|direction|instructions|instruction|preparation|procedure|process|how to make it
    |how to make|how to cook it|how to cook|how to prepare|how to do it|what to do|what you do|steps|the steps|cooking method
    |cooking instructions|cooking directions|preparation method|method of preparation|cooking|to make|to cook|to prepare|making it
    |recipe method|recipe instructions|preparation instructions|cooking steps|step by step|how it is done|make it""".replace(
        "\n", ""
    )
    .replace("    ", "")
    .split("|")
)
_NOTES = frozenset(
    """note|notes|tip|tips|hint|hints|variation|variations|cook's note|cook's notes|cook's tip|cook's tips|cooks' notes
    |cooks notes|cook's tips|recipe notes|notes and tips|tips and notes|storage|storing|to store|make ahead|to freeze|freezing
    |notes, tips and variations|notes, tips, and variations|substitutions|serving suggestions|serving suggestion|leftovers
    |tips and variations|notes and variations|warnings|warning|remarks""".replace("\n", "")
    .replace("    ", "")
    .split("|")
)
_META = frozenset(
    """equipment|special equipment|nutrition|nutrition information|nutrition facts|nutritional information|tags|categories
    |category|source|sources|references|see also|external links|comments|reviews|about this recipe|you might also like|cuisine
    |course|difficulty|keywords|author|utensils|tools""".replace("\n", "")
    .replace("    ", "")
    .split("|")
)
_INTRO = frozenset(("introduction", "description", "about", "background", "summary"))

_PARTS = frozenset(
    """topping filling sauce dressing pastry dough icing frosting glaze marinade base crust cake cakes sponge syrup custard
    batter garnish gravy stuffing crumble salad meatballs meat rub brine coating decoration pie shell caramel cream ganache
    streusel broth stock soup noodles rice vegetables dumplings pesto salsa relish dip curry paste mash potatoes assembly
    finish layer layers bread loaf biscuits shortcrust meringue jelly compote puree drizzle crispbread""".split()
)
_VERBS = frozenset(
    """add adjust allow arrange assemble bake barbecue baste beat blanch blend blitz boil braise bread break bring broil brown brush
    build butter caramelise caramelize carve check chill chop clean coat combine continue cook cool core cover cream crack crimp
    crumble crush cube cut decorate deglaze dice dip discard dissolve divide dot drain dredge dress drizzle drop dry dust empty
    enjoy fill finish flatten flip flour fold form freeze fry garnish gather give glaze grate grease griddle grill grind halve heat
    hull incorporate increase insert invert keep knead knock ladle lay layer leave let lift light line lower make marinate mash
    measure melt microwave mince mix moisten mould mold pack pan-fry parboil pat peel pierce pinch pipe pit place poach pound pour
    preheat pre-heat prepare press prick process prove pull pulse punch purée puree put raise reduce refrigerate reheat remove repeat
    reserve rest return rinse rip roast roll rub saute sauté save scald scatter scoop score scrape scrub seal sear season separate
    serve set shake shape shred sieve sift simmer skim skin slice slide smear smoke smooth soak soften spoon spray spread sprinkle
    squeeze stack stand start steam steep stew stir stir-fry store strain strew stuff sweat swirl take taste tear test thaw thicken
    thin thread tie tilt tip tip toast top toss transfer trim tuck turn unmould use warm wash weigh whip whisk wilt wipe work wrap
    zest""".split()
)  # fmt: skip
_LEADS = frozenset(
    """first firstly then next now finally lastly meanwhile once when while after before in on using with to if as at when for
    afterwards secondly also again just""".split()
)
HEAT = re.compile(
    r"\d\s?(?:°|º|˚|degrees?\b|[CF]\b)|(?i:\bgas (?:mark )?\d|\boven\b|\bsimmer|\b(?:pre)?heat\b|\bboil|\bbak(?:e|ed|ing)\b"
    r"|\bfry\b|\broast\b|\bgrill\b|\bpan\b|\bhob\b|\bstir\b|\bcook (?:for|until|over|on|in|it|the|them|at|gently|slowly)\b"
    r"|\b\d+ ?(?:min|minutes?|mins|hours?|hrs?)\b)"
)
"""Words or figures of heating: what a method has and a letter has not."""

SERVINGS = re.compile(
    r"(?i)(?:(?:serves|servings?|yields?|makes|portions?|quantity|serving size)\b(?:[ ]*[:=–—-][ ]*|[ ]+)(?P<value>.*\S)"
    r"|(?P<bare>for[ ]+\d+(?:[ ]*[-–][ ]*\d+)?[ ]+(?:people|persons?|servings|portions))[.]?$"
    r"|(?P<after>\d+(?:[ ]*[-–][ ]*\d+)?[ ]+(?:servings?|portions?))[.]?$)"
)
TIMES = re.compile(
    r"(?i)(?:(?P<plain>time|total time|total|time needed|time required)[ ]*[:=–—-][ ]*(?P<value>.*\S)"
    r"|(?:(?:prep(?:aration)?|cook(?:ing)?|baking|bake|active|resting|chilling|rising|proving|oven|hands[ -]on|total|roasting"
    r"|marinating|soaking|freezing)(?:[ ]+and[ ]+\w+)?(?:[ ]+time[ ]*[:=–—-]?|[ ]*:)|(?:ready in|prep|total)[ ]*[:=–—-]?)[ ]*"
    r"(?=[~≈<> ]*(?:about |approx\.? |approximately |under |an? |half |less than )?"
    rf"(?:[\d{_FRACTION}]|hour|few|overnight|half|none))(?:[^.]|[.](?=\S)){{1,120}}[.]?$)"
)
LENGTH = re.compile(rf"(?i)[~≈<> ]*[\d{_FRACTION}].*\b(?:minutes?|mins?|hours?|hrs?|days?)\b")
_META_LINE = re.compile(
    r"(?i)(?:source|author|from|adapted from|by|category|cuisine|course|difficulty|tags?|keywords?|rating|calories|energy|url|link"
    r"|website|date|submitted by|recipe by|oven|level|diet)[ ]*:"
)
_INLINE = re.compile(
    r"[#*_ ]*(?P<name>[A-Za-z][A-Za-z' ]{2,28}?)[*_ ]*(?::[*_]*|[ ]+[–—-](?=[ ]))[*_ ]+(?=\S)"
)
_PART_LINE = re.compile(r"(?i)(?:for|to make|making|make|preparing|prepare|to serve|to finish|to assemble|assembling)\b")
_TO_MAKE = re.compile(r"(?i)(?:to (?:make|prepare|cook|bake)|how to (?:make|cook|prepare|bake)|method for|making)\b")
_FOR_ING = re.compile(r"(?i)ingredients (?:for|\()|(?:you(?:'ll| will)? )need for\b")
_BARE = re.compile(r"^[\s#*_=~>]+|[\s#*_=~:.]+$")
_WORD = re.compile(r"[^\W\d_]+(?:[-'’][^\W\d_]+)*")


def bare(line: str) -> str:
    """Return a heading without its marks."""
    return _BARE.sub("", line)


@lru_cache(maxsize=512)
def section(line: str) -> str | None:
    """Return the section that a heading opens: ingredients, method, notes, meta or intro."""
    plain = bare(line).replace("’", "'")
    key = plain.lower()
    if key in _INGREDIENTS:
        return "ingredients"
    if key in _METHOD:
        return "method"
    if key in _NOTES:
        return "notes"
    if key in _META:
        return "meta"
    if key in _INTRO:
        return "intro"
    cut = re.sub(r"\s*(?:\([^()]*\)|[–—:-]\s*(?:serves|makes|for)\b.*)$", "", key)
    if cut != key and cut:
        return section(cut)
    if _FOR_ING.match(key) and len(key) < 60:
        return "ingredients"
    return None


@lru_cache(maxsize=512)
def opening(line: str) -> tuple[str, int] | None:
    """Return section and offset of the words behind a heading that shares their line ("Method: heat ...")."""
    found = _INLINE.match(line)
    if found is None:
        return None
    kind = section(found["name"])
    return None if kind is None else (kind, found.end())


def instruction(text: str) -> bool:
    """Whether a line or paragraph tells the cook to do something."""
    words = _WORD.findall(text[:200].lower())
    if not words:
        return False
    first = words[0]
    if first in _VERBS:
        return True
    if first.endswith("ly") or first in _LEADS:
        return any(word in _VERBS for word in words[1:14])
    return False


def instructs(text: str) -> bool:
    """Whether some sentence of a paragraph is an instruction, or it speaks of heating."""
    if instruction(text) or HEAT.search(text):
        return True
    return any(instruction(part) for part in re.split(r"[.;!?]\s+", text[:4000])[1:])


def ingredient(text: str) -> bool:
    """Whether a line that stands by itself has the shape of an ingredient."""
    if len(text) > 140:
        return False
    if QUANTITY.match(text):
        return not text.endswith((".", "!")) or len(text) < 50 or AMOUNT.match(text) is not None
    return len(text) < 45 and not text.endswith((".", "!", "?")) and not instruction(text)


def part(line: str, *, marked: bool) -> str | None:
    """Return the name of a part of the recipe if the line is such a sub-heading.

    `marked`: the line carries a heading mark or is set in bold.
    """
    text = line.strip()
    name = bare(text)
    if not name or len(name) > 70 or "\n" in name:
        return None
    if marked:
        return name
    if text.endswith(":") and len(name) <= 60 and ". " not in name:
        return name
    if text[-1] in ".,;!?" or len(name) > 40 or any(sign.isdigit() for sign in name):
        return None
    words = name.lower().split()
    if _PART_LINE.match(name) and (words[0] in ("for", "to") or words[0].endswith("ing")) and len(words) <= 6:
        return name
    if len(words) <= 4 and words[0] not in _VERBS - _PARTS and words[-1] in _PARTS and name[0].isupper():
        return name
    return None


def meta(line: str) -> str | None:
    """Return what a line of the header states: servings, time, or other."""
    if SERVINGS.match(line) and len(line) < 80:
        return "servings"
    if TIMES.match(line):
        return "time"
    return "other" if _META_LINE.match(line) and len(line) < 160 else None
