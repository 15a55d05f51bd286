"""Where words can be put into a clause, and what of it belongs to a time or a place."""

from __future__ import annotations

import re

from converter.model import Clause, Mention, Span, Spot

_TAIL = re.compile(r"[\s,;:.]*(?:\b(?:and|then|or|but)\b[\s,]*(?:\w+ly\b[\s,]*)?)*$", re.IGNORECASE)
_FOR = re.compile(
    r"(?:,?\s*\b(?:for(?:\s+(?:another|a further|an additional|an extra))?|during)\s+|,\s*)$", re.IGNORECASE
)
_LEAD = re.compile(
    r"\b(?:in|after|within|takes?|take|about|is|to|be|requires?|needs?|least|than|around|every|only"
    r"|of|allow|another|further|from|time:?|last|first|final|the|or|between|further)\s*$",
    re.IGNORECASE,
)
_STOPS = re.compile(
    r",(?!\s*(?:[\w-]+\s+){0,2}(?:pan|saucepan|pot|skillet|wok|casserole|dish|bowl|tin|oven"
    r"|stockpot)\b)|\band (?:when|once|after|then)\b|\bturning\b|\bbasting\b"
    r"|(?<!without )\bstirring\b|(?<=\w) without\b|\bor until\b|\band (?:then )?(?:set|let|serve"
    r"|remove|turn|stir|add)\b|\(|\bso that\b|\bwhile\b|\bbefore\b|\bin order\b"
    r"|(?<!such )\bas\b(?! (?:well|close|possible|much|many|little|long|thin|thick|often|finely)\b)|\buntil\b|\btill\b"
)


_NOT_LISTED = re.compile(
    r"\s*(?:\w+ing|until|till|or until|about|around|covered|uncovered|for|then|with|without|in|on"
    r"|over|at|to|so|which|as|while|but|because|if|when|once|just|not|lid|cover|turn|stir|add|\d)\b",
    re.IGNORECASE,
)  # fmt: skip
_LISTED = re.compile(
    r"\s*(?:(?:and|or)\s+)?(?:[\w'’½¼¾-]+\s+){0,4}?[\w'’-]+\s*(?:,|\band\b|\bor\b|$|\bin\b"
    r"|\buntil\b|\bover\b|\bfor\b|\bwith\b)",
    re.IGNORECASE,
)


def clause_end(text: str, clause: Clause) -> int:
    """Return the offset behind the last word of a clause, connectors left out."""
    words = text[clause.span.start : clause.span.end]
    match = _TAIL.search(words)
    return clause.span.start + (match.start() if match else len(words))


def insertion(text: str, clause: Clause) -> int:
    """Return where "in the hot oven" can stand: after the object, before time, sign or a comma."""
    end = clause_end(text, clause)
    start = clause.verb.end
    stops = [end]
    for mention in clause.times:
        if mention.span.start >= start:
            stops.append(time_span(text, mention)[0].start)
    if clause.sign is not None and clause.sign.start >= start:
        stops.append(clause.sign.start)
    for match in _STOPS.finditer(text, start, end):
        # brackets belong to the words before them, unless a time stands in them
        if match.group(0) == "(":
            close = text.find(")", match.start(), end)
            if not any(match.start() < m.span.start < close for m in clause.times):
                continue
        if match.group(0) == "," and listed(text, match.end(), end):
            continue
        stops.append(match.start())
        break
    at = max(min(stops), start)
    while at > start and text[at - 1] in " \t\n":
        at -= 1
    return at


def listed(text: str, at: int, end: int) -> bool:
    """Tell whether the comma before `at` stands between things of a list ("garlic, onion, and pepper")."""
    following = text[at:end]
    if _NOT_LISTED.match(following):
        return False
    return bool(_LISTED.match(following))


def time_span(text: str, mention: Mention) -> tuple[Span, bool, bool]:
    """Return the span of a time with its "for", whether it was introduced, whether it stands in brackets."""
    start, end = mention.span
    before = text[max(0, start - 24) : start]
    bracket = bool(re.search(r"\(\s*(?:[a-z ]{0,20})$", before)) and text.find(")", end, end + 30) >= 0
    match = _FOR.search(before)
    if match and not bracket:
        lead = match.group(0)
        if lead.strip(" ,\n") or lead.startswith(","):
            return Span(start - len(lead), end), bool(lead.strip(" ,\n")), False
    return Span(start, end), bool(_LEAD.search(before)), bracket


def at_sentence_end(text: str, end: int) -> bool:
    """Tell whether nothing but a full stop follows before the next sentence or step."""
    return bool(re.match(r"\s*(?:[.!](?=\s|$)|\n|$)", text[end : end + 40]))


def merged(clause: Clause, text: str) -> list[Spot]:
    """Return the spots of a clause, those that touch ("in the oven" "at 180 °C") as one.

    A bare temperature that is not the oven's (a core, the oil) is no place.
    """
    out: list[Spot] = []
    others = [m.span for m in clause.temperatures if m.role != "oven"]
    for spot in clause.spots:
        if spot.kind == "out" or (
            spot.kind == "at" and any(o.start < spot.span.end and spot.span.start < o.end for o in others)
        ):
            continue
        last = out[-1] if out else None
        if (
            last
            and last.kind not in ("change", "hob")
            and spot.kind in ("oven", "rack", "at")
            and not text[last.span.end : spot.span.start].strip(" ,\n")
        ):
            out[-1] = Spot(Span(last.span.start, spot.span.end), last.kind, last.heat, last.height or spot.height)
        else:
            out.append(spot)
    return out
