"""What an answer is checked against, and the decisions that it is kept as."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence

from converter.ledger import KINDS, Decision, KeptFlag, LedgerError, kept_flags
from converter.ledger.keys import normal
from converter.model import Flag, Result
from converter.review.items import Answer, Choice, Item, Stale


def flag_of(result: Result, key: str) -> Flag | None:
    """Return the flag of a key in a conversion; one of the same words under another rule counts too."""
    pairs = zip(result.flags, kept_flags(result), strict=True)
    loose = key.partition(".")[0]
    found = [(kept.key == key, real) for real, kept in pairs if kept.loose == loose]
    return max(found, key=lambda pair: pair[0])[1] if found else None


def seen_of(item: Item) -> int:
    """Return the change of the very decision of this key, 0 where it is that of another rule or none."""
    return item.standing.change if item.standing is not None and item.standing.key == item.flag.key else 0


def mark_of(item: Item) -> str:
    """Return the change of what stands and, after a dash, a digest of what is shown."""
    told = "\0".join((item.flag.key, item.line, item.proposal, item.code, *(_told(one) for one in item.choices)))
    change = item.standing.change if item.standing is not None else 0
    return f"{change}-{hashlib.blake2b(told.encode(), digest_size=8).hexdigest()}"


def _told(choice: Choice) -> str:
    return f"{choice.code} {choice.words}"


def stale(item: Item, standing: Decision | None) -> Stale:
    """Return the refusal of an answer to a line that was decided, or taken back, since it was shown."""
    if standing is None:
        return Stale("taken-back", f"the decision about '{item.line}' was taken back meanwhile")
    by, day = standing.who or "someone", standing.at[:16].replace("T", " ")
    return Stale("decided", f"{by} has decided '{item.line}' already ({kind_words(standing.kind)}, {day})", standing)


def kind_words(kind: str) -> str:
    """Return what a cook calls a kind of decision."""
    return {
        "take": "as proposed", "choice": "another way", "words": "own words", "leave": "left as it was",
        "later": "put off",
    }[kind]  # fmt: skip


def check(item: Item, answer: Answer, *, for_all: bool) -> None:
    """Raise ``LedgerError`` for an answer that this line cannot have."""
    if answer.kind not in KINDS:
        raise LedgerError(f"unknown kind of decision '{answer.kind}'; allowed are {', '.join(KINDS)}")
    if answer.kind == "words" and not answer.words.strip():
        raise LedgerError("your own words are missing")
    if answer.kind == "words" and for_all:
        raise LedgerError("your own words are for one line; they cannot be the same for all")
    if answer.kind == "choice" and all(choice.code != answer.code for choice in item.choices):
        known = ", ".join(f"{choice.number} ({choice.code})" for choice in item.choices) or "none"
        raise LedgerError(f"there is no way '{answer.code}' for this line; there are {known}")


def decisions_of(item: Item, answer: Answer, also: Sequence[KeptFlag], *, who: str) -> list[Decision]:
    """Return the decisions of an answer: for its flag and, unless it is put off, for `also` of the same heat."""
    said = " ".join(answer.words.split()) if answer.kind == "words" else ""
    if said and item.line[-1:] in ".!" and said[-1] not in ".!?…)":
        said += "."
    code = {"take": item.code if item.flag.phase else "", "choice": answer.code}.get(answer.kind, "")
    decisions = []
    for flag in (item.flag, *(also if answer.kind != "later" else ())):
        kind, words = answer.kind, said
        # Own words stand once; another line of the same heat then stays as it is.
        if kind == "words" and flag is not item.flag and normal(flag.line) != normal(item.flag.line):
            kind, words = "leave", ""
        decisions.append(
            Decision(flag.key, kind, code, words, flag.line, item.title, flag.name, flag.rule, flag.food, who)
        )
    return decisions
