"""What reading a file gives, why it can fail, and the limits it is read under."""

from __future__ import annotations

from dataclasses import dataclass

REASONS: tuple[str, ...] = (
    "encrypted", "truncated", "too-large", "too-deep", "bomb", "entities", "empty", "no-recipe", "no-permission",
    "link", "link-loop", "not-a-file", "missing", "unknown-kind", "scan", "broken", "time", "memory", "no-library",
)  # fmt: skip
"""Every code that ``Unreadable`` may carry; ``link`` is a link not followed, ``entities`` an XML document type."""


class Unreadable(Exception):
    """A file that gives no recipe: ``code`` is one of ``REASONS``, ``sentence`` says it without the file's name."""

    def __init__(self, code: str, sentence: str) -> None:
        if code not in REASONS:
            raise ValueError(f"{code} is no reason")
        super().__init__(sentence)
        self.code = code
        self.sentence = sentence


def too_deep(most: int) -> Unreadable:
    """Return the refusal of a file whose parts lie more than `most` levels inside one another."""
    return Unreadable("too-deep", f"its parts lie inside one another more than {most:,} deep, as in no recipe")


@dataclass(frozen=True, slots=True)
class FileText:
    """The recipes of one file: ``recipes`` are (title or ``None``, text), in the order of the file."""

    kind: str
    recipes: tuple[tuple[str | None, str], ...]
    warnings: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Limits:
    """How much of a machine one file may take.

    Bytes, members, unpacked bytes, element depth, pages and points are
    checked while reading; ``seconds`` (wall clock; ``scan_seconds`` where
    pictures are read) and ``memory_bytes`` (address space) hold in a worker
    only. The figures come from runs over made hostile files where those show
    the need (text bytes, unpacked bytes, depth, child limits), and are round
    figures by judgement elsewhere.
    """

    text_bytes: int = 2_000_000
    office_bytes: int = 10_000_000
    pdf_bytes: int = 20_000_000
    picture_bytes: int = 20_000_000
    members: int = 400
    unpacked_bytes: int = 8_000_000
    ratio: int = 120
    xml_depth: int = 256
    html_depth: int = 5_000
    pages: int = 40
    mail_depth: int = 20
    points: int = 50_000_000
    signs: int = 1_000_000
    seconds: float = 6.0
    scan_seconds: float = 90.0
    memory_bytes: int = 240_000_000
    scan: bool = True
