"""Reads .eml and .mhtml: the letter itself, without signature, quoting marks and headers of a forwarded letter."""

from __future__ import annotations

import re
from email import message_from_bytes, policy
from typing import TYPE_CHECKING

from converter.formats.kinds import Limits, Unreadable

if TYPE_CHECKING:
    from email.message import EmailMessage, Message

_SUBJECT = re.compile(r"(?i)^\s*(?:(?:re|fwd?|fw|aw|wg|antw|tr)\s*(?:\[\d+\])?\s*:\s*)+")
_QUOTE = re.compile(r"^(?:>[ ]?)+")
_WROTE = re.compile(
    r"(?i)^(?:on .{5,120}wrote|.{3,80} (?:schrieb|a écrit)\s?|-{2,}\s*(?:original|forwarded) message\s*-{2,}|"
    r"begin forwarded message)\s*:?$"
)
_FIELD = re.compile(r"(?i)^\**(?:from|sent|to|cc|subject|date|reply-to)\**\s*:\s")
_SIGNATURE = re.compile(r"^-- ?$")
_SENT = re.compile(r"(?i)^sent from my .{2,40}$|^get outlook for .{2,20}$")
_HARD = re.compile(rb"(?im)^content-type:[ \t]*(?:message/rfc822|multipart/)")


def read(data: bytes, limits: Limits) -> tuple[str, str, str, int]:
    """Return subject, plain text, HTML (one of the two is empty) and how many files are attached to a letter.

    Raises ``Unreadable``.
    """
    # The parser goes into itself for each letter inside a letter: counted first.
    if len(_HARD.findall(data)) > limits.members:
        raise Unreadable("too-deep", "it holds letters inside letters without end")
    try:
        message = message_from_bytes(data, policy=policy.default)
        parts, attached = _parts(message, limits)
        subject = " ".join(str(message.get("subject", "")).split())
    except RecursionError:
        raise Unreadable("too-deep", f"it holds letters inside letters more than {limits.mail_depth} deep") from None
    except (ValueError, LookupError, AttributeError, TypeError, KeyError, IndexError) as error:
        raise Unreadable("broken", "it is damaged and cannot be read as a letter") from error
    subject = _SUBJECT.sub("", subject).strip()
    plain = "\n\n".join(text for kind, text in parts if kind == "plain" and text.strip())
    html = "\n".join(text for kind, text in parts if kind == "html" and text.strip())
    if plain.strip():
        return subject, letter(plain), "", attached
    if html.strip():
        return subject, "", html, attached
    raise Unreadable("empty", "the letter has no text" + (f", only {attached} attached files" if attached else ""))


def _parts(message: Message | EmailMessage, limits: Limits) -> tuple[list[tuple[str, str]], int]:
    made: list[tuple[str, str]] = []
    waiting: list[tuple[Message, int]] = [(message, 0)]
    seen = attached = 0
    while waiting:
        part, depth = waiting.pop()
        seen += 1
        if depth > limits.mail_depth or seen > limits.members:
            raise Unreadable("too-deep", f"it holds letters inside letters more than {limits.mail_depth} deep")
        payload = part.get_payload()
        if isinstance(payload, list):
            waiting.extend((inner, depth + 1) for inner in reversed(payload) if not isinstance(inner, str))
            continue
        kind = part.get_content_type()
        if part.get_content_disposition() == "attachment":
            attached += 1
            continue
        if kind not in ("text/plain", "text/html"):
            continue
        made.append((kind.rpartition("/")[2], _text(part, kind)))
    return made, attached


def _text(part: Message, kind: str) -> str:
    raw = part.get_payload(decode=True)
    if not isinstance(raw, bytes):
        return ""
    label = part.get_content_charset()
    if label:
        try:
            return raw.decode("cp1252" if label in ("iso-8859-1", "us-ascii") else label)
        except (LookupError, UnicodeError):
            pass
    from converter.formats.page import decoded

    return decoded(raw, "letter") if raw.strip() else ""


def letter(text: str) -> str:
    """Return the words of a letter: up to its signature, quoted words without their marks."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    quoted = sum(1 for line in lines if line.startswith(">"))
    own = sum(1 for line in lines if line.strip() and not line.startswith(">"))
    made: list[str] = []
    for line in lines:
        if _SIGNATURE.match(line) and any(row.strip() for row in made):
            if quoted <= own:
                break
            continue
        plain = _QUOTE.sub("", line)
        if _WROTE.match(plain.strip()) or _SENT.match(plain.strip()) or (_FIELD.match(plain) and len(plain) < 200):
            continue
        if plain != line and quoted <= own and _recipe_above(made):
            continue
        made.append(plain)
    return "\n".join(made).strip("\n") + "\n"


def _recipe_above(lines: list[str]) -> bool:
    """Whether a recipe stands above a quoted letter, which is then only the question for it."""
    from converter.read import shapes

    return any(len(line) < 60 and shapes.section(line) in ("ingredients", "method") for line in lines)
