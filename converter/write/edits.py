"""Edits on the original text: collected, kept apart, applied to one step."""

from __future__ import annotations

import re
from bisect import bisect_left, bisect_right

from converter.model import Edit, Span

_SPACES = re.compile(r"(?<=\S)[ \t]{2,}(?=\S)")
_BEFORE = re.compile(r"[ \t]+(?=[,;.!?)])(?!\.\d)")
_COMMAS = re.compile(r",(?:\s*,)+")
_COMMA_STOP = re.compile(r",\s*(?=[.;!?])")
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


def apply(text: str, span: Span, edits: tuple[Edit, ...]) -> str:
    """Return the words of `span` with the edits made and the seams tidied."""
    if not edits:
        return text[span.start : span.end]
    parts: list[str] = []
    at = span.start
    for edit in edits:
        parts.append(text[at : edit.span.start])
        words = edit.words
        if len(words) > 1:
            before = "".join(parts)[-1:] if parts else ""
            if before and not before.isspace() and before not in "([“\"‘'—-" and words[0] not in " ,;.)":
                words = " " + words
            after = text[edit.span.end : edit.span.end + 1]
            if after and not after.isspace() and after not in ",;.:!?)”’\"'—" and not words[-1].isspace():
                words += " "
        parts.append(words)
        at = edit.span.end
    parts.append(text[at : span.end])
    made = "".join(parts)
    made = _EMPTY.sub("", made)
    made = _BEFORE.sub("", made)
    made = _COMMAS.sub(",", made)
    made = _COMMA_STOP.sub("", made)
    made = _SPACES.sub(" ", made).strip()
    made = made.lstrip(" ,;")
    first = made[:1].upper()
    return first + made[1:] if len(first) == 1 and edits[0].span.start <= span.start + 1 else made
