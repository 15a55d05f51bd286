"""Turns a file or a paste into plain text that keeps its place in the source.

Signs are read, never normalised as a whole: NFKC would turn ``1½`` into
``11⁄2``. Quotes, fractions, dashes and degree signs stay as they are.
"""

from __future__ import annotations

import codecs
import re
import unicodedata
from collections import Counter

from converter.model import Document
from converter.read.wrap import MAY_WRAP, joins

LIMIT = 8_000_000
"""Largest source read [bytes, or characters of a string]; a round figure, by judgement."""

HARD = "\x0b"
"""Stands for a line break that the writer asked for, until the wrapped lines are joined."""


class NotReadable(Exception):
    """One sentence that says what cannot be read and why."""


# ---------------------------------------------------------------- bytes to characters

_BOMS = (
    (codecs.BOM_UTF8, "utf-8"),
    (codecs.BOM_UTF32_LE, "utf-32-le"),
    (codecs.BOM_UTF32_BE, "utf-32-be"),
    (codecs.BOM_UTF16_LE, "utf-16-le"),
    (codecs.BOM_UTF16_BE, "utf-16-be"),
)
_MAGIC = (
    (b"%PDF", "a PDF"),
    (b"PK\x03\x04", "a zip archive or an office document"),
    (b"\xd0\xcf\x11\xe0", "an old office document"),
    (b"\x89PNG", "a picture"),
    (b"\xff\xd8\xff", "a picture"),
    (b"GIF8", "a picture"),
    (b"\x1f\x8b", "a compressed file"),
)
_CONTROLS = bytes([*range(9), *range(14, 32), 127])
_HIGH = re.compile(rb"[\x80-\xff]")
_SAMPLE = 4_000
_LETTERS = frozenset("éèêëñüöäçàâáîïíìôóòûúùãõøåæœßÉÈÊÑÜÖÄÇÀÂÁÎÓÚØÅÆ")


def _plausible(before: str, sign: str, after: str) -> int:
    """Score one sign of a guessed encoding by its neighbours, as recipes use it."""
    if sign == "°":
        return 4 if before.isdigit() or after in "CFcf" else -2
    if sign in "½¼¾":
        return 4 if (before.isdigit() or not before.strip()) and not after.isdigit() else -2
    if sign in _LETTERS:
        return 3 if before.isalpha() or after.isalpha() else -2
    if sign in "’‘":
        return 3 if before.isalpha() or after.isalpha() or before.isdigit() else 0
    if sign in "–—":
        return 3 if (before.isdigit() and after.isdigit()) or (before == after == " ") else 1
    if sign in "“”":
        return 2 if before.isspace() != after.isspace() or not before or not after else 0
    if sign in "•·":
        return 3 if after.isspace() else 0
    if sign in "£€×":
        return 2 if after.isdigit() or before.isdigit() else 0
    if sign in "…\xa0®™©º":
        return 0
    return -4 if sign == "\ufffd" else -2


def _single_byte(data: bytes) -> tuple[str, str]:
    """Choose among Windows-1252, Mac Roman and DOS 850 by which gives signs that recipes use."""
    seen: Counter[bytes] = Counter()
    for count, found in enumerate(_HIGH.finditer(data)):
        if count == _SAMPLE:
            break
        at = found.start()
        seen[data[at - 1 : at] + b"\0" + data[at : at + 2]] += 1
    best, chosen = -(10**9), "cp1252"
    for encoding in ("cp1252", "mac_roman", "cp850"):
        score = 0
        for context, times in seen.items():
            before, signs = context.split(b"\0", 1)
            pair = signs.decode(encoding, "replace")
            score += times * _plausible(before.decode(encoding, "replace"), pair[0], pair[1:])
        if score > best:
            best, chosen = score, encoding
    return data.decode(chosen, "replace"), chosen


def decode(data: bytes, *, name: str) -> tuple[str, str]:
    """Return the characters of a text file and the name of its encoding.

    A byte order mark is left out of the text. Raises ``NotReadable`` for an
    empty file, one over ``LIMIT`` bytes and one that is not text.
    """
    if len(data) > LIMIT:
        raise NotReadable(f"{name} is too large: {len(data):,} bytes, and at most {LIMIT:,} are read.")
    if not data.strip(b"\0 \t\r\n\x0b\x0c"):
        raise NotReadable(f"{name} is empty.")
    for magic, what in _MAGIC:
        if data.startswith(magic):
            raise NotReadable(f"{name} is not plain text: it is {what}.")
    for bom, encoding in _BOMS:
        if data.startswith(bom):
            return _strictly(data[len(bom) :], encoding, name=name), encoding
    sample = data[:8192]
    if 0 in sample:
        pairs = max(1, len(sample) // 2)
        even, odd = sample[0::2].count(0) / pairs, sample[1::2].count(0) / pairs
        if odd > 0.4 and even < 0.1:
            return _strictly(data, "utf-16-le", name=name), "utf-16-le"
        if even > 0.4 and odd < 0.1:
            return _strictly(data, "utf-16-be", name=name), "utf-16-be"
    controls = 1 - len(data.translate(None, _CONTROLS)) / len(data)
    try:
        text = data.decode("utf-8")
    except UnicodeDecodeError:
        if controls > 0.005:
            raise NotReadable(f"{name} is not plain text: it holds bytes that no text has.") from None
        return _single_byte(data)
    if controls > 0.2:
        raise NotReadable(f"{name} is not plain text: it is mostly control signs.")
    return text, "utf-8"


def _strictly(data: bytes, encoding: str, *, name: str) -> str:
    unit = 4 if "32" in encoding else 2 if "16" in encoding else 1
    try:
        text = data[: len(data) - len(data) % unit].decode(encoding)
    except UnicodeDecodeError as error:
        raise NotReadable(f"{name} is damaged: it is marked as {encoding} but byte {error.start} is not.") from None
    if not text.strip("\0 \t\r\n\ufeff"):
        raise NotReadable(f"{name} is empty.")
    return text


# ---------------------------------------------------------------- characters to plain text

_LIGATURES = {"ﬀ": "ff", "ﬁ": "fi", "ﬂ": "fl", "ﬃ": "ffi", "ﬄ": "ffl", "ﬅ": "st", "ﬆ": "st"}
_SPACES = "\t\xa0\u1680\u2000-\u200a\u202f\u205f\u3000"
_DROPPED = (
    "\x00-\x08\x0e-\x1f\x7f\u034f\u061c\u115f\u1160\u180b-\u180e\u200b-\u200f\u202a-\u202e\u2060-\u206f"
    "\ufe00-\ufe0f\ufeff\ufff9-\ufffb"
)
_BREAKS = "\x0b\x0c\u2028\u2029"
_MOJIBAKE = (
    "Â[\xa0-\xbf]|[ÃÅ][\xa0-\xbf\u0152\u0153\u0160\u0161\u0178\u017d\u017e\u0192\u02c6\u02dc\u2013-\u203a\u20ac\u2122]"
    "|â(?:€[\xa0-\xbf\u0152\u0153\u0178\u017e\u02dc\u2013-\u203a\u2122]|…[\x90-\x9f\u0152-\u017e\u2013-\u203a\u2122])"
)
_ENTITY = r"&(?:amp;)*(?:#\d{1,7};|#[xX][0-9a-fA-F]{1,6};|[A-Za-z][A-Za-z0-9]{1,30};|(?:frac(?:12|14|34)|deg|nbsp)\b)"
_BR = r"</?(?i:br)\b[^<>\n]{0,40}>[ \t]*(?:\r\n?|\n)?"
_INLINE = r"</?(?i:b|i|u|em|strong|bdi|nowiki|small|sup|sub|span|font)\b[^<>\n]{0,80}>"

_ODD = re.compile(
    rf"[\r{_SPACES}{_DROPPED}{_BREAKS}\x80-\x9f\xad\u0300-\u036f\ufb00-\ufb06\uf0b7\ud800-\udfff]"
    rf"|&(?:[a-zA-Z]|#[0-9xX])|<[/a-zA-Z]|Â[\xa0-\xbf]|[ÃÅ][\xa0-\u2122]|â[€…]"
)
_CLEAN = re.compile(
    rf"(?P<shy>\xad[ \t]*(?:\r\n?|\n)[ \t]*(?=[^\W\d_]))|(?P<line>\r\n?)|(?P<gone>[\xad{_DROPPED}]+)"
    rf"|(?P<hard>[{_BREAKS}]|{_BR})|(?P<space>[{_SPACES}])|(?P<tag>{_INLINE})|(?P<entity>{_ENTITY})"
    rf"|(?P<twice>{_MOJIBAKE})|(?P<letter>[A-Za-z][\u0300-\u036f])|(?P<other>[\x80-\x9f\ufb00-\ufb06\uf0b7\ud800-\udfff])"
)
_AGAIN = re.compile(rf"[\xad{_DROPPED}\x80-\x9f]")
_AGAIN_SPACE = re.compile(rf"[\r\n{_SPACES}{_BREAKS}]")


def _other(sign: str) -> str:
    if sign in _LIGATURES:
        return _LIGATURES[sign]
    if sign == "\uf0b7":
        return "•"
    if "\ud800" <= sign <= "\udfff":
        return "\ufffd"
    return bytes([ord(sign)]).decode("cp1252", "ignore")


def _twice(signs: str) -> str:
    """Undo UTF-8 that was read as Windows-1252."""
    try:
        made = b"".join(
            bytes([ord(sign)]) if "\x80" <= sign <= "\x9f" else sign.encode("cp1252") for sign in signs
        ).decode("utf-8")
    except UnicodeError:
        return signs
    return " " if made == "\xa0" else "" if made == "\xad" else made


def _replacement(kind: str | None, found: str) -> str:
    match kind:
        case "hard":
            return HARD
        case "entity":
            from html import unescape

            made = unescape(re.sub(r"&(?:amp;)+(?=[#A-Za-z])", "&", found))
            if made == found:
                return found
            return _AGAIN_SPACE.sub(" ", _AGAIN.sub("", made))
        case "twice":
            return _twice(found)
        case "letter":
            return unicodedata.normalize("NFC", found)
        case "other":
            return _other(found)
    return ""


def _cleaned(source: str) -> tuple[str, list[int]]:
    """Return the text with odd signs put right, and where each character came from."""
    pieces: list[str] = []
    offsets: list[int] = []
    at = 0
    for found in _CLEAN.finditer(source):
        start, end = found.span()
        if start > at:
            pieces.append(source[at:start])
            offsets.extend(range(at, start))
        kind = found.lastgroup
        made = "\n" if kind == "line" else " " if kind == "space" else _replacement(kind, found.group())
        if made:
            pieces.append(made)
            offsets.extend(range(start, end) if len(made) == end - start else [start] * len(made))
        at = end
    pieces.append(source[at:])
    offsets.extend(range(at, len(source)))
    return "".join(pieces), offsets


def _joined(text: str, offsets: list[int] | None) -> tuple[str, list[int] | None]:
    """Return the text with wrapped lines joined."""
    edits = joins(text)
    if not edits:
        return text, offsets
    pieces: list[str] = []
    moved: list[int] = []
    at = 0
    for start, end, made in edits:
        pieces.append(text[at:start])
        moved.extend(range(at, start) if offsets is None else offsets[at:start])
        pieces.append(made)
        moved.extend([start if offsets is None else offsets[start]] * len(made))
        at = end
    pieces.append(text[at:])
    moved.extend(range(at, len(text)) if offsets is None else offsets[at:])
    return "".join(pieces), moved


def document(source: str | bytes, *, name: str) -> Document:
    """Return `source` as a document made plain; `name` is used in messages.

    Raises ``NotReadable`` as ``decode`` does.
    """
    encoding = "utf-8"
    if isinstance(source, bytes):
        source, encoding = decode(source, name=name)
    elif len(source) > LIMIT:
        raise NotReadable(f"{name} is too large: {len(source):,} characters, and at most {LIMIT:,} are read.")
    text, offsets = source, None
    if _ODD.search(source):
        text, offsets = _cleaned(source)
    if MAY_WRAP.search(text):
        text, offsets = _joined(text, offsets)
    if offsets is not None and HARD in text:
        text = text.replace(HARD, "\n")
    if not text or text.isspace():
        raise NotReadable(f"{name} is empty.")
    if offsets is None or text == source:
        return Document(name, source, text, None, encoding)
    return Document(name, source, text, tuple(offsets), encoding)
