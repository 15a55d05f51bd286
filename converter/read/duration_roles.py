"""What a length of time in the method is for, from the words around it. All text is lower case.

This module holds the order in which the words of ``lexicon/roles.yaml`` are asked.
"""

from __future__ import annotations

import re

from converter import units
from converter.read.quantities import Quantity
from converter.read.role_words import WORD, StepText, place, verb, verb_before, words

_EACH_AFTER = re.compile(
    r"[ ,(]{0,2}(?:(?:on|per|for|to|a)[ ])?(?:each|both|every|either|per|a)[ ](?:of the )?(?:sides?|batch|half|burger|piece|steak)\b"
    r"|[ ](?:each|per side|a side)\b(?! (?:time|one))"
)
_EACH_BEFORE = re.compile(r"(?:\b(?:each|per|every) (?:side|batch)|both sides,?(?: for)?)[ ,:]*(?:for )?(?:about )?$")
_INTERVAL = re.compile(r"[ -](?:intervals?|increments?|bursts?|stages|apart)\b")
_EVERY = re.compile(r"(?:every|every other|each|once an?|once per)[ ]$")
_PARTS = re.compile(
    r"[ ](?:before|from|prior to|until|till)[ ](?:the )?(?:end\b|it(?:'s|’s| is)|they(?:'re| are)|(?:cooking|baking|roasting|done|"
    r"completion|finish)[^.]{0,14}(?:done|complete|finish|time|end|over|up)|removing|taking|you (?:remove|take)|\w+ (?:is|are) (?:done|ready|cooked|finished))"
    r"|[ ](?:to go|left|remaining|remain|remains|into (?:the )?(?:cook|bak|roast|simmer)\w*|later)\b"
)
_POINT_BEFORE = re.compile(
    r"(?:\bafter(?: the)?(?: first| initial)?|(?:for|during|in) the first|at the)[ ]?(?:about |around |approximately )*$"
)
_FIRST_BEFORE = re.compile(
    r"(?:for|during|in|of|after) (?:the |its )?(?:first|initial)(?: of)?[ ]?(?:about |around )?$"
)
_AFTER_BEFORE = re.compile(r"\bafter(?: the| another| an additional)?[ ]?(?:about |around |approximately )*$")
_SMALL_ACTS = re.compile(
    r"[^.;]{0,34}?\b(?:add|stir|check|flip|rotate|baste|test|uncover|cover|open|shake|toss|spoon|brush|sprinkle|taste|skim|look|"
    r"turn(?! (?:off|down|the (?:heat|oven|flame)))|place|put|pour|lay|drop|return|tent)\b"
)
_OF_COOKING = re.compile(
    r"[ ](?:of|in)(?: the)? (?:total )?(?:cooking|baking|roasting|simmering|boiling|grilling|the cooking|frying|steaming|smoking|rising|rest)"
)
_TOTAL_BEFORE = re.compile(
    r"(?:total(?: cooking| baking| roasting)? time(?: of| is|:)?|in total|altogether|all told|total of)[ ,:]*(?:about |is |should be )*$"
)
_TOTAL_AFTER = re.compile(r"[ ,(]{1,2}(?:in total|total|altogether|all told)\b")
_AHEAD = re.compile(
    r"[ ](?:ahead|in advance|beforehand|old|earlier|before (?:using|use|you need)|at room temp\w* and|if (?:refrigerated|frozen|stored))\b"
)
_WITHIN = re.compile(r"\b(?:within|use in|consumed? in|eaten in)[ ]?(?:about |the next )?$")
_SHELF = re.compile(
    r"\b(?:can|may|could)(?: also)? be [a-z ,]{0,40}(?:refrigerated|frozen|chilled|kept|stored|made|prepared)|\bleftovers?\b|airtight|air-tight|sealed container"
)
_TO_DO = re.compile(
    r"[ ,]{1,2}(?:or so |or longer |or more |more |longer )?(?:in order )?to (?:finish |fully |let it |allow (?:it|them|the [a-z]+) to )?([a-zé-]+)"
)
_YEAST = re.compile(r"yeast|sourdough|starter|\bleaven|\bpoolish|\bbiga\b")
_DOUGH = re.compile(r"\b(?:dough|sponge|rolls|loaf|loaves|buns|starter|poolish|batter)\b")
_FOAM = re.compile(r"\b(?:yeast|foam\w*|froth\w*|double[ds]?|doubling|risen|bubbly)\b")
_HOT = re.compile(r"\b(?:hot|boil\w*|simmer\w*|heat|warm|kettle|tea)\b")
_COLD = re.compile(r"\b(?:refrigerat\w*|fridge|overnight|cold|vodka|alcohol|rum|brandy|spirit|jar)\b")
_NOT_CONDITION = re.compile(
    r"\bif (?:using|you(?:'re| are) using|desired|you (?:like|want|prefer|wish|have)|possible|your|available)"
)
_CONDITION = re.compile(
    r"(?:^|[,;.( ])(?:if (?:it|they|the|not|needed|necessary|still|any|you(?: feel| think| find)|there|this|that|your)\b)|\botherwise\b"
)
_CONDITION_AFTER = re.compile(r"[^.;]{0,40}\bif (?:needed|necessary|required|not|it(?:'s|’s| is)|they(?:'re| are))\b")


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
    if _INTERVAL.match(tail) or _EVERY.search(head):
        return "interval"
    if _EACH_AFTER.match(tail) or _EACH_AFTER.match(after) or _EACH_BEFORE.search(low[max(begin, start - 34) : start]):
        return "each"
    role = _by_verb(step, begin, end, quantity)
    place_in_time = _point(low, head, tail, after, some, at, role, begin)
    if place_in_time:
        return place_in_time
    shelf = _shelf(low, begin, end, head, after, quantity, role)
    if shelf:
        return shelf
    if _TOTAL_AFTER.match(after) or _TOTAL_BEFORE.search(low[max(begin, start - 34) : core_start]):
        others = [q for q in some if q.kind == "duration" and q is not quantity]
        return "other" if others or not role else role
    if role == "":
        role = before_role if before_role in ("cook", "rest", "prep", "soak", "chill", "prove") else "cook"
    return role


def _point(low: str, head: str, tail: str, after: str, some: list[Quantity], at: int, role: str, begin: int) -> str:
    """Return "offset" for a time that only marks a point inside another, else ""."""
    quantity = some[at]
    if quantity.last and role in ("cook", "", "rest", "prep", "put"):
        return "offset"
    if _PARTS.match(tail) or _PARTS.match(after):
        return "offset"
    if _FIRST_BEFORE.search(head):
        return "offset"
    if _AFTER_BEFORE.search(head):
        longer = any(
            q.kind == "duration" and q is not quantity and q.value[1] > quantity.value[1] and abs(n - at) <= 2
            for n, q in enumerate(some)
        )
        if role in ("cook", ""):
            if _OF_COOKING.match(after) or _SMALL_ACTS.match(after) or (longer and not after.startswith(", remove")):
                return "offset"
            lead = low[begin : quantity.span.start]
            if re.search(r"\b(?:turn(?! off)|flip|rotat|stir|check|test|bast)\w*\b[^.]{0,40}\bafter", lead):
                return "offset"
    return ""


def _shelf(low: str, begin: int, end: int, head: str, after: str, quantity: Quantity, role: str) -> str:
    """Return "other" for a keeping time, else ""."""
    days = quantity.value[1] >= 1.5 * units.DAY
    if _AHEAD.match(after) or _WITHIN.search(head):
        return "other"
    if role == "keep":
        return "other" if quantity.value[1] >= units.DAY else ""
    if quantity.night:
        return ""
    if role in ("chill", "put", "leave", "rest", "") and days:
        words_before = low[begin : quantity.core.start]
        if "up to" in words_before[-24:] or "for as long" in words_before or _SHELF.search(low, begin, end):
            return "other"
        if quantity.value[1] >= units.MONTH and role == "chill":
            return "other"
    return ""


def _by_verb(step: StepText, begin: int, end: int, quantity: Quantity) -> str:
    """Return the role that verbs and places give, "" where they say nothing."""
    low = step.low
    start = quantity.span.start
    role, verb_at = verb(low, begin, start)
    if role in ("", "put", "leave", "stir"):
        role = _weak(step, begin, end, quantity, role)
    if role == "cook":
        return "cook"
    if role == "infuse":
        cold = _COLD.search(low, begin, end)
        return (
            "rest" if not cold and quantity.value[1] < 4 * units.HOUR and _HOT.search(low, step.start, end) else "soak"
        )
    if role == "rest":
        if place(low, verb_at, end, ("chill",)):
            return "chill"
        if quantity.value[1] <= 4 * units.HOUR or quantity.night:
            if _FOAM.search(low, begin, end) and _YEAST.search(low):
                return "prove"
            if re.search(r"warm (?:place|spot|area|corner)", low[begin:end]) and _DOUGH.search(low, step.start, end):
                return "prove"
    if role == "hold" or re.search(
        r"\b(?:keep|kept|stay|hold)\w*(?: \w+)? (?:warm|hot)\b(?! place| spot)", low[begin:start]
    ):
        return "hold"
    return role


def _weak(step: StepText, begin: int, end: int, quantity: Quantity, role: str) -> str:
    """Settle a time whose verb says little: leave, put, cover, stir, or none at all."""
    low, listed = step.low, words()
    start, stop = quantity.span
    if role == "stir":
        off = None
        for off in listed.off_heat.finditer(low, step.start, start):
            pass
        named = listed.heat_named.search(low, off.end() if off else step.start, end)
        return "cook" if named else "prep"
    ahead = _TO_DO.match(low, stop, end)
    if ahead and (known := listed.verbs.get(ahead[1])) and known[0] not in ("put", "leave", "keep"):
        return "rest" if known[0] == "stir" else known[0]
    off = None
    for off in listed.off_heat.finditer(low, begin, end):
        pass
    if where := place(low, off.end() if off else begin, end, ("cook", "chill", "soak", "prove")):
        return where
    if role:
        if off:
            return "rest"
        earlier = verb_before(step, begin)
        if role == "leave":
            return earlier if earlier in ("soak", "prove", "chill", "infuse") else "rest"
        return earlier if earlier in ("soak", "prove", "chill", "infuse", "cook", "rest") else "rest"
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
