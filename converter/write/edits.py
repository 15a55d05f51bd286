"""Edits on the original text: collected, kept apart, applied to one step."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right
from typing import NamedTuple

from converter.model import Edit, Span

_SPACES = re.compile(r"(?<=\S)[ \t]{2,}(?=\S)")
_BEFORE = re.compile(r"[ \t]+(?=[,;.!?)])(?!\.\d)")
_COMMAS = re.compile(r",(?:\s*,)+")
_COMMA_STOP = re.compile(r",\s*(?=[.;!?])")
_WORDS = re.compile(r"\s*\S+\s*?|\s+$")
_EMPTY = re.compile(r"\(\s*[,;]?\s*\)")


class Edits:
    """The edits of one recipe. The first that takes a stretch of text keeps it."""

    def __init__(self) -> None:
        self._starts: list[int] = []
        self._edits: list[Edit] = []

    def free(self, span: Span) -> bool:
        """Tell whether nothing has been replaced inside `span`."""
        at = bisect_left(self._starts, span.start)
        if at > 0 and self._edits[at - 1].span.end > span.start:
            return False
        return not any(
            edit.span.end > edit.span.start or span.start < edit.span.start < span.end
            for edit in self._edits[at : bisect_left(self._starts, max(span.end, span.start + 1))]
            if edit.span.start < span.end or (edit.span == span and span.end > span.start)
        )

    def replace(self, span: Span, words: str) -> bool:
        """Replace `span` by `words`; ``False`` where part of it is taken already."""
        if span.end > span.start and not self.free(span):
            return False
        at = bisect_right(self._starts, span.start)
        if span.end == span.start and at > 0 and self._edits[at - 1].span.end > span.start:
            return False
        self._starts.insert(at, span.start)
        self._edits.insert(at, Edit(span, words))
        return True

    def insert(self, offset: int, words: str) -> bool:
        """Put `words` in at `offset`; further ones follow in order."""
        return self.replace(Span(offset, offset), words)

    def delete(self, span: Span) -> bool:
        """Take `span` out."""
        return self.replace(span, "")

    def within(self, span: Span) -> tuple[Edit, ...]:
        """Return the edits inside `span`, in order."""
        first = bisect_left(self._starts, span.start)
        last = bisect_right(self._starts, span.end)
        return tuple(edit for edit in self._edits[first:last] if edit.span.end <= span.end)


class Piece(NamedTuple):
    """Words of a step; ``changed`` ones stand only on one side, in the recipe or in the written step."""

    words: str
    changed: bool


def _pieces(text: str, span: Span, edits: tuple[Edit, ...]) -> list[str]:
    """Return old and new words in turn, an old piece first and last, with spaces put in where they meet."""
    pieces: list[str] = []
    at = span.start
    before = ""
    for edit in edits:
        kept = text[at : edit.span.start]
        before = kept[-1:] or before
        words = edit.words
        if len(words) > 1:
            if before and not before.isspace() and before not in "([“\"‘'—-" and words[0] not in " ,;.)":
                words = " " + words
            after = text[edit.span.end : edit.span.end + 1]
            if after and not after.isspace() and after not in ",;.:!?)”’\"'—" and not words[-1].isspace():
                words += " "
        pieces += (kept, words)
        before = words[-1:] or before
        at = edit.span.end
    pieces.append(text[at : span.end])
    return pieces


def apply(text: str, span: Span, edits: tuple[Edit, ...]) -> str:
    """Return the words of `span` with the edits made and the seams tidied."""
    if not edits:
        return text[span.start : span.end]
    made = "".join(_pieces(text, span, edits))
    made = _EMPTY.sub("", made)
    made = _BEFORE.sub("", made)
    made = _COMMAS.sub(",", made)
    made = _COMMA_STOP.sub("", made)
    made = _SPACES.sub(" ", made).strip()
    made = made.lstrip(" ,;")
    first = made[:1].upper()
    return first + made[1:] if len(first) == 1 and edits[0].span.start <= span.start + 1 else made


def compared(text: str, span: Span, edits: tuple[Edit, ...]) -> tuple[tuple[Piece, ...], tuple[Piece, ...]]:
    """Return the words of `span` as the recipe has them and as `apply` writes them, cut where they differ.

    The first and last words of an edit that are the same on both sides are not changed.
    """
    old: list[Piece] = []
    new: list[Piece] = []
    pieces = _pieces(text, span, edits)
    at = span.start
    for edit, kept, words in zip(edits, pieces[::2], pieces[1::2], strict=False):
        was = text[edit.span.start : edit.span.end]
        if was.casefold() == words.casefold():  # a capital is no new word
            new.append(Piece(kept + words, False))
            continue
        lead, tail = _alike(was, words)
        start, end = edit.span.start + lead, edit.span.end - tail
        old += (Piece(text[at:start], False), Piece(text[start:end], True))
        new += (Piece(kept + words[:lead], False), Piece(words[lead : len(words) - tail], True))
        new.append(Piece(words[len(words) - tail :], False))
        at = end
    old.append(Piece(text[at : span.end], False))
    new.append(Piece(pieces[-1], False))
    return _tight(old), _tight(_followed(new, apply(text, span, edits)))


def _alike(old: str, new: str) -> tuple[int, int]:
    """Return how many signs at the start and at the end of two pieces are the same, in whole words."""
    before, after = _WORDS.findall(old), _WORDS.findall(new)
    most = min(len(before), len(after))
    lead = next((n for n in range(most) if before[n] != after[n]), most)
    tail = next((n for n in range(most - lead) if before[-1 - n] != after[-1 - n]), most - lead)
    return sum(map(len, before[:lead])), sum(map(len, before[len(before) - tail :]))


def _followed(pieces: list[Piece], made: str) -> list[Piece]:
    """Return the pieces as they stand in `made`, the same words tidied: tidying only takes signs out."""
    out: list[Piece] = []
    at = 0
    for words, changed in pieces:
        start = at
        if made.startswith(words, at):
            at += len(words)
            words = ""
        for sign in words:
            if at < len(made) and (made[at] == sign or (at == 0 and made[0] == sign.upper())):
                at += 1
        out.append(Piece(made[start:at], changed))
    if at < len(made):
        out.append(Piece(made[at:], True))
    return out


def _tight(pieces: list[Piece]) -> tuple[Piece, ...]:
    """Return the pieces with spaces out of the changed ones and neighbours of one kind joined."""
    out: list[Piece] = []
    for words, changed in pieces:
        bare = words.strip() if changed else words
        lead = words[: len(words) - len(words.lstrip())] if changed else ""
        tail = words[len(lead) + len(bare) :]
        for part, new in ((lead, False), (bare, changed), (tail, False)):
            if part and out and out[-1].changed == new:
                out[-1] = Piece(out[-1].words + part, new)
            elif part:
                out.append(Piece(part, new))
    return tuple(out)
