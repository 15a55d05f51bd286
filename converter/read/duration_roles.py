"""What a length of time in the method is for, from the words around it. All text is lower case.

This module holds the order in which the words of ``lexicon/roles.yaml`` are asked.
"""

from __future__ import annotations

import re

from converter import units
from converter.read.quantities import Quantity
from converter.read.role_words import WORD, StepText, place, verb, verb_before, words

_SIDE = r"(?:sides?|batch|half|burger|piece|steak)"
_EACH_AFTER = re.compile(
    rf"[ ,(]{{0,2}}(?:(?:on|per|for|to|a)[ ])?(?:each|both|every|either|per|a)[ ](?:of the )?{_SIDE}\b"
    r"|[ ](?:each|per side|a side)\b(?! (?:time|one))"
)
_EACH_BEFORE = re.compile(r"(?:\b(?:each|per|every) (?:side|batch)|both sides,?(?: for)?)[ ,:]*(?:for )?(?:about )?$")
_INTERVAL = re.compile(r"[ -](?:intervals?|increments?|bursts?|stages|apart)\b")
_EVERY = re.compile(r"(?:every|every other|each|once an?|once per)[ ](?:about |so often )?$")
_COOKING = r"(?:cook|bak|roast|simmer|boil|grill|fry|steam|smok|brais|stew|ris|rest|brew)ing"
_PARTS = re.compile(
    r"[ ](?:before|from|prior to|until|till)[ ](?:the )?(?:end\b|completion|finishing|serving time)"
    r"|[ ](?:before|prior to)[ ](?:it(?:'s|’s| is)|they(?:'re| are)|(?:the )?(?:\w+ ){1,2}(?:is|are) "
    r"(?:done|ready|cooked|"
    rf"finished)|(?:the )?(?:{_COOKING}|cook) (?:time )?(?:is|ends?|finish)|the (?:amount|time|recommended|suggested))"
    rf"|[ ](?:to go|left|remaining|remain|remains|later|mark|into (?:the )?{_COOKING}|after (?:the|adding|you|that))\b"
)
_FIRST_BEFORE = re.compile(
    r"(?:for|during|in|of|after) (?:the |its )?(?:first|initial)(?: of)?[ ]?(?:about |around )?$"
)
_AFTER_BEFORE = re.compile(r"\bafter(?: the| another| an additional)?[ ]?(?:about |around |approximately )*$")
_SMALL_ACTS = re.compile(
    r"[^.;]{0,34}?\b(?:add|stir|check|flip|rotate|baste|test|uncover|cover|open|shake|toss|spoon|brush|sprinkle|taste|skim|"
    r"look|turn(?! (?:off|down|the (?:heat|oven|flame)))|place|put|pour|lay|drop|return|tent)\b"
)
_CHECKED = re.compile(r"\b(?:turn(?! off)|flip|rotat|stir|check|test|bast)\w*\b[^.]{0,40}\bafter")
_OF_COOKING = re.compile(rf"[ ](?:of|in)(?: the)? (?:total )?{_COOKING}")
_TOTAL_BEFORE = re.compile(
    r"(?:total(?: cooking| baking| roasting)? time(?: of| is|:|[^.;]{0,24} be)?|in total|altogether|all told|"
    r"total of)[ ,:]*"
    r"(?:about |is |should be )*$"
)
_TOTAL_AFTER = re.compile(r"[ ,(]{1,2}(?:in total|total|altogether|all told)\b(?![ ,:]*(?:about )?[\d½¼¾])")
_AHEAD = re.compile(r"[ ](?:ahead|in advance|beforehand|old|earlier|if (?:refrigerated|frozen|stored))\b")
_WITHIN = re.compile(
    r"\b(?:us|eat|consum|serv|drink|finish|cook|best|it|them)\w*(?: \w+){0,3} within[ ]?(?:about |the next )?$"
    r"|\b(?:use|consumed?|eaten) in[ ]?(?:about |the next )?$"
)
_BEFORE_TABLE = re.compile(r"[ ](?:or so )?before (?:serving|you serve|eating|the meal|dinner)\b")
_BEFORE_FIRE = re.compile(rf"[ ](?:or so )?(?:before|prior to) (?:you (?:start )?)?{_COOKING}\b")
_SHELF = re.compile(
    r"\b(?:can|may|could)(?: also)? be [a-z ,]{0,40}(?:refrigerated|frozen|chilled|kept|stored|made|prepared)"
    r"|\bleftovers?\b|airtight|air-tight|sealed container"
)
_TO_DO = re.compile(
    r"[ ,]{1,2}(?:or so |or longer |or more |more |longer )?(?:in order )?to "
    r"(?:finish |fully |let it |allow (?:it|them|the [a-z]+) to )?([a-zé-]+)"
)
_IN_COLD = re.compile(
    r"[ ,(]{1,2}(?:\w+ ){0,2}(?:in|inside|into) (?:the |a |your )?(?:fridge|refrigerator|freezer|icebox)"
)
_OUT_OF = re.compile(r"(?:from|out of) (?:the )?(?:fridge|refrigerator|freezer)")
_CLAUSE_END = re.compile(r",|\bthen\b|\band\b|\bbefore\b|\bor\b")
_YEAST = re.compile(r"yeast|sourdough|starter|\bleaven|\bpoolish|\bbiga\b|culture")
_DOUGH = re.compile(r"\b(?:dough|sponge|rolls|loaf|loaves|buns|starter|poolish|batter)\b")
_RISEN = re.compile(r"\b(?:yeast|foam\w*|froth\w*|double[ds]?|doubling|risen|to rise|bubbl(?:y|ing|es))\b")
_WARM_PLACE = re.compile(r"warm (?:place|spot|area|corner)")
_HOT = re.compile(r"\b(?:hot|boil\w*|simmer\w*|heat|warm|kettle|tea|teapot|cups?)\b")
_COLD = re.compile(r"\b(?:refrigerat\w*|fridge|overnight|cold|vodka|alcohol|rum|brandy|spirit|jar)\b")
_WARM_KEPT = re.compile(r"\b(?:keep|kept|stay|hold)\w*(?: \w+)? (?:warm|hot)\b(?! place| spot)")
_NOT_CONDITION = re.compile(
    r"\bif (?:using|you(?:'re| are) using|desired|you (?:like|want|prefer|wish|have)|possible|your|available)"
)
_CONDITION = re.compile(
    r"(?:^|[,;.( ])if (?:it|they|the|not|still|any|there|this|that)\b|(?:^|[.;,(]) ?if (?:needed|necessary|required)\b"
    r"|\botherwise\b"
)
_CONDITION_AFTER = re.compile(r"[^.;]{0,40}\bif (?:needed|necessary|required|not|it(?:'s|’s| is)|they(?:'re| are))\b")
_OWN_NOUN = re.compile(r"['’]?[ ](?:of )?(?:the )?(rest|[a-z]+ing)\b(?! time)")
_PUBLIC = {"put": "rest", "leave": "rest", "infuse": "soak", "stir": "prep", "keep": "rest"}
_OVER_HEAT = re.compile(
    r"\bover (?:an? |the )?(?:very )?(?:low|medium|gentle|slow|moderate)\b[^.;,]{0,12}(?:heat|flame|fire)"
)
_LID_WAIT = re.compile(r"\bcover (?:the |your )?(?:pot|pan|skillet|wok|saucepan)\b[^.;]{0,24}\bwait\b")
_SALTED = re.compile(r"\b(?:cover|sprinkl|layer|toss|rub|coat)\w*\b[^.;]{0,24}\b(?:with|by|in) (?:\w+ ){0,3}salt\b")
_INTO_OVEN = re.compile(r"\b(?:return\w*|put|place|back)\b[^.;]{0,20}\b(?:in|into|to) (?:the |a )?(?:hot )?oven\b")
_ALONE = re.compile(r"\b(?:leave|leaving|let) (?:it|them|the \w+) (?:alone|undisturbed|be\b)")
_STIR_ON = re.compile(r"\b(?:continue|keep)(?: on)? (?:to stir|to whisk|stirring|whisking)\b")
_NO_PAN = re.compile(r"\b(?:bowl|mixer|dough|knead\w*|beat\w*|cool\w*)\b")
_ON_FIRE = re.compile(r"\b(?:cook|fry|saut[eé]|simmer|boil|heat|brown|melt|sweat|stove|low|medium)\b")
_FERMENTED = re.compile(r"(?<!nutritional )\byeast\b(?! extract)|\bsourdough\b")
_BAKED = re.compile(
    r"\b(?:bak(?:e|ed|ing)|fry|fried|cook(?:ed)?|boil(?:ed)?|cool(?:ed)?|serv(?:e|ing)|slic(?:e|ing))\b"
)
_PROVES_S = 25 * units.MINUTE  # yeast dough that stands longer rises, common practice, no source
_LEFT_IN = re.compile(
    r"\bleav\w+ (?:it|them|the \w+) (?:in|there)(?: the (?:oil|fat|pan))?(?: for)?(?: about| only)?\W*$"
)
_HOT_FAT = re.compile(r"\b(?:into|in|to) (?:the )?(?:hot |heated )?(?:oil|fat)\b")
_IN_PAN = re.compile(r"\b(?:boil\w*|simmer\w*|fry|sear|sizzl\w*|hot (?:oil|pan|water))\b")
_LONG_S = 12 * units.HOUR  # nothing cooks as long as this unless a verb says so


def of_duration(step: StepText, some: list[Quantity], at: int, before_role: str) -> str:
    """Return the role of the length of time ``some[at]`` of a step.

    `before_role` is the role of the time before it in the step, or "".
    """
    quantity = some[at]
    if quantity.per_kg is not None:
        return "rate"
    low = step.low
    start, stop = quantity.span
    core_start, core_end = quantity.core
    begin, end = step.sentence(core_start)
    head = low[max(begin, core_start - 40) : core_start]
    tail = low[core_end : min(end, core_end + 60)]
    after = low[stop : min(end, stop + 60)]
    lead = low[begin:start]
    if _INTERVAL.match(tail) or (head.endswith(" ") and _EVERY.search(head[-20:])):
        return "interval"
    if (
        _EACH_AFTER.match(tail)
        or _EACH_AFTER.match(after)
        or (("side" in lead or "batch" in lead) and _EACH_BEFORE.search(lead[-34:]))
    ):
        return "each"
    role = _by_verb(step, begin, end, quantity)
    if _is_point(lead, head, tail, after, some, at, role):
        return "offset"
    if _is_shelf(low, begin, end, head, after, quantity, role):
        return "other"
    is_total = _TOTAL_AFTER.match(after) or (
        ("tal" in lead or "alto" in lead or "all told" in lead)
        and _TOTAL_BEFORE.search(low[max(begin, start - 34) : core_start])
    )
    if is_total and (not role or any(q.kind == "duration" and q is not quantity for q in some)):
        return "other"
    if role == "":
        if before_role in ("cook", "rest", "prep", "soak", "chill", "prove"):
            return before_role
        return "cook" if quantity.value[1] < _LONG_S else "rest"
    return _PUBLIC.get(role, role)


def _is_point(lead: str, head: str, tail: str, after: str, some: list[Quantity], at: int, role: str) -> bool:
    """Tell whether a time only marks a point inside another: the last 5, after the first 10, 5 before the end."""
    quantity = some[at]
    if quantity.last or _PARTS.match(tail) or _PARTS.match(after):
        return True
    if ("first" in head or "initial" in head) and _FIRST_BEFORE.search(head):
        return True
    if role not in ("cook", "") or "after" not in head or not _AFTER_BEFORE.search(head):
        return False
    if _OF_COOKING.match(after) or _SMALL_ACTS.match(after) or _CHECKED.search(lead + head[-12:]):
        return True
    longer = any(
        q.kind == "duration" and q.value[1] > quantity.value[1] and abs(n - at) <= 2 for n, q in enumerate(some)
    )
    return longer and not after.startswith(", remove")


def _is_shelf(low: str, begin: int, end: int, head: str, after: str, quantity: Quantity, role: str) -> bool:
    """Tell whether a time says how long the food keeps, or how long before it can be made."""
    if _AHEAD.match(after) or _WITHIN.search(head):
        return True
    longest = quantity.value[1]
    if role == "keep":
        return longest >= units.DAY
    if quantity.night or role not in ("chill", "put", "leave", "rest", "") or longest < 1.5 * units.DAY:
        return False
    if "up to" in low[max(begin, quantity.span.start - 14) : quantity.core.start] or _SHELF.search(low, begin, end):
        return True
    return longest >= units.MONTH and role == "chill"


def _by_verb(step: StepText, begin: int, end: int, quantity: Quantity) -> str:
    """Return the role that verbs and places give, "" where they say nothing."""
    low = step.low
    start, stop = quantity.span
    longest = quantity.value[1]
    role, verb_at = verb(low, begin, start)
    noun = _OWN_NOUN.match(low, stop, end)
    if noun and (known := words().verbs.get(noun[1])) and known[0] not in ("put", "leave", "stir", "keep"):
        role, verb_at = known[0], start
    if role in ("", "put", "stir") and (marked := _marked_point(step, begin, end, quantity)):
        return marked
    if role == "prep" and longest >= 3 * units.HOUR:
        role = "put"
    elif role == "prep":
        clause = _CLAUSE_END.search(low, stop, end)
        beyond = clause.start() if clause else end
        if place(low, verb_at, beyond, ("cook",)) and not words().off_heat.search(low, verb_at, beyond):
            return "cook"
    off = words().off_heat.search(low, begin, start)
    if role in ("stir", "put") and _INTO_OVEN.search(low, begin, start) and not off:
        return "cook"
    if role == "leave" and _ALONE.search(low, begin, start) and _IN_PAN.search(low, step.start, begin):
        return "cook"
    if role == "leave" and _LEFT_IN.search(low, begin, start) and _HOT_FAT.search(low, step.start, start):
        return "cook"
    if role in ("", "put", "leave", "stir"):
        role = _weak(step, begin, end, quantity, role)
    lead = low[begin:start]
    if ("warm" in lead or "hot" in lead) and _WARM_KEPT.search(lead):
        return "hold"
    if role == "infuse" and _OVER_HEAT.search(low, start, end):
        return "cook"
    if role == "infuse":
        hot = longest < 4 * units.HOUR and _HOT.search(low, step.start, end) and not _COLD.search(low, begin, end)
        return "rest" if hot else "soak"
    if (
        role in ("cook", "rest", "prep", "keep")
        and place(low, verb_at, start, ("chill",))
        and not (_OUT_OF.search(low, verb_at, start))
    ):
        return "keep" if role == "keep" and longest >= units.DAY else "chill"
    if role in ("rest", "put", "leave") and (_OVER_HEAT.search(low, begin, end) or _LID_WAIT.search(low, begin, end)):
        return "cook"
    if role == "rest":
        return _kind_of_rest(step, begin, end, quantity)
    return "soak" if role in ("put", "leave") and _SALTED.search(low, begin, start) else role


def _marked_point(step: StepText, begin: int, end: int, quantity: Quantity) -> str:
    """Return the role of "an hour before serving" and "after 10 minutes" where no verb of their own speaks."""
    low, stop = step.low, quantity.span.end
    if _BEFORE_TABLE.match(low, stop, end):
        return "offset"
    if _BEFORE_FIRE.match(low, stop, end):
        return "rest"
    head = low[max(begin, quantity.core.start - 36) : quantity.core.start]
    if quantity.value[1] >= _LONG_S or "after" not in head or not _AFTER_BEFORE.search(head):
        return ""
    earlier = verb_before(step, begin)
    return earlier if earlier in ("cook", "rest", "soak", "chill", "prove") else "cook"


def _kind_of_rest(step: StepText, begin: int, end: int, quantity: Quantity) -> str:
    """Tell standing from chilling and from proving."""
    low = step.low
    stop = quantity.span.end
    if _IN_COLD.match(low, stop, end):
        return "chill"
    if place(low, begin, quantity.span.start, ("chill",)) and not _OUT_OF.search(low, begin, quantity.span.start):
        return "chill"
    if (ahead := _TO_DO.match(low, stop, end)) and ahead[1] in ("rise", "prove", "proof", "ferment", "double"):
        return "prove"
    if (ahead and ahead[1] == "soak") or _SALTED.search(low, begin, quantity.span.start):
        return "soak"
    if _RISEN.search(low, begin, end) and _YEAST.search(low):
        return "prove"
    if _WARM_PLACE.search(low, begin, end) and _DOUGH.search(low, step.start, end):
        return "prove"
    stands = _PROVES_S <= quantity.value[0] <= units.DAY and _FERMENTED.search(low)
    if stands and _DOUGH.search(low, max(0, step.start - 250), end) and not _BAKED.search(low, step.start, end):
        return "prove"
    return "rest"


def _weak(step: StepText, begin: int, end: int, quantity: Quantity, role: str) -> str:
    """Settle a time whose verb says little: leave, put, cover, stir, or none at all."""
    low, listed = step.low, words()
    start, stop = quantity.span
    if role == "stir":
        if quantity.value[1] >= 3 * units.HOUR:
            earlier = verb_before(step, begin)
            return earlier if earlier in ("soak", "chill", "prove", "infuse") else "rest"
        return "cook" if _heat_is_named(step, start, end) or _stirred_on(step, begin, start) else "prep"
    ahead = _TO_DO.match(low, stop, end)
    if ahead and (known := listed.verbs.get(ahead[1])) and known[0] not in ("put", "leave", "keep"):
        return "rest" if known[0] == "stir" else known[0]
    off = _last_end(listed.off_heat, low, begin, end)
    clause = _CLAUSE_END.search(low, stop, end)
    if where := place(low, max(off, begin), clause.start() if clause else end, ("cook", "chill", "soak", "prove")):
        return where
    if role:
        earlier = "" if off >= 0 else verb_before(step, begin)
        kept = ("soak", "prove", "chill", "infuse") if role == "leave" else ("soak", "prove", "chill", "infuse", "cook")
        return earlier if earlier in kept else "rest"
    for token in WORD.finditer(low, stop, end):
        known = listed.verbs.get(token[0])
        if known and known[1] != "d" and known[0] not in ("put", "leave", "keep"):
            return "cook" if known[0] == "stir" else known[0]
    earlier = verb_before(step, begin)
    if earlier in ("put", "leave"):
        return "cook" if place(low, step.start, begin, ("cook",)) else "rest"
    if earlier == "stir":
        return "cook" if listed.heat_named.search(low, step.start, end) else "prep"
    return earlier


def _stirred_on(step: StepText, begin: int, start: int) -> bool:
    """Tell "continue stirring" of what the step before had on the heat."""
    if not _STIR_ON.search(step.low, begin, start):
        return False
    before = step.low.rfind("\n", 0, max(0, step.low.rfind("\n", 0, step.start)))
    off = _last_end(words().off_heat, step.low, before, start)
    if _NO_PAN.search(step.low, before, start):
        return False
    return _ON_FIRE.search(step.low, max(off, before, 0), step.start) is not None


def _heat_is_named(step: StepText, start: int, end: int) -> bool:
    """Tell whether the step speaks of heat after the food was last taken off it."""
    listed = words()
    off = _last_end(listed.off_heat, step.low, step.start, start)
    return listed.heat_named.search(step.low, max(off, step.start), end) is not None


def _last_end(pattern: re.Pattern[str], low: str, begin: int, end: int) -> int:
    """Return where the last match ends, -1 where there is none."""
    last = -1
    for match in pattern.finditer(low, begin, end):
        last = match.end()
    return last


def is_conditional(step: StepText, quantity: Quantity) -> bool:
    """Tell whether a time holds only on a condition: "if not set, bake it for another 5 minutes"."""
    low = step.low
    begin, end = step.sentence(quantity.core.start)
    before = low[begin : quantity.span.start]
    if "if" in before or "otherwise" in before:
        if _NOT_CONDITION.search(before):
            return False
        if _CONDITION.search(before):
            return True
    return quantity.more and bool(_CONDITION_AFTER.match(low, quantity.span.end, end))
