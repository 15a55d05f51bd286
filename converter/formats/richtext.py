"""Reads .rtf and Word 97 .doc as plain text."""

from __future__ import annotations

import io
import re
import struct
from typing import TYPE_CHECKING, Any

from converter.formats.kinds import Unreadable, too_deep

if TYPE_CHECKING:
    from converter.formats.kinds import Limits

_PAGE = re.compile(r"\\page(?![a-zA-Z])")
_CELLS = re.compile(r"[ \t]*\|[ \t]*")
_ENCRYPTED = "EncryptedPackage".encode("utf-16-le")
_MOST_GROUPS = 5_000


def rtf(data: bytes, limits: Limits) -> str:
    """Return the text of an .rtf: one line a paragraph, the cells of a row on one line. Raises ``Unreadable``."""
    try:
        from striprtf.striprtf import rtf_to_text
    except ImportError:
        raise Unreadable("no-library", "reading RTF needs the extra: pip install 'undial[folder]'") from None
    source = data.decode("latin-1")
    depth = deepest = 0
    for found in re.finditer(r"\\.|[{}]", source):
        sign = found.group()
        if sign == "{":
            depth += 1
            deepest = max(deepest, depth)
        elif sign == "}":
            depth -= 1
    if deepest > _MOST_GROUPS:
        raise too_deep(_MOST_GROUPS)
    try:
        text: str = rtf_to_text(_PAGE.sub(r"\\par\\'0c", source), errors="replace")  # type: ignore[no-untyped-call]
    except (ValueError, IndexError, KeyError, TypeError, OverflowError, LookupError, RecursionError) as error:
        raise Unreadable("broken", "it is damaged and cannot be read as RTF") from error
    lines = [_CELLS.sub(" ", line).strip(" ") if line.rstrip().endswith("|") else line for line in text.split("\n")]
    text = "\n".join(lines)
    if not text.strip():
        if depth > 0:
            raise Unreadable("broken", "it is damaged: a part of it never ends")
        raise Unreadable("empty", "it has no text")
    return text


def container(data: bytes) -> Any:
    """Return an OLE container opened. Raises ``Unreadable``, ``encrypted`` for an office file with a password."""
    if _ENCRYPTED in data:
        raise Unreadable("encrypted", "it has a password")
    try:
        import olefile
    except ImportError:
        raise Unreadable("no-library", "reading old Word files needs the extra: pip install 'undial[folder]'") from None
    try:
        return olefile.OleFileIO(io.BytesIO(data))
    except (OSError, ValueError, IndexError, TypeError, KeyError, struct.error, RecursionError) as error:
        raise Unreadable("broken", "it is damaged and cannot be opened") from error


_FIELDS = re.compile("\x13[^\x13\x14\x15]*(?:\x14([^\x13\x14\x15]*))?\x15")
_SIGNS = str.maketrans({
    "\x07": "\t", "\r": "\n", "\x0b": "\n", "\x1e": "-", "\x1f": "", "\xa0": " ", "\x05": "", "\x01": "", "\x08": "",
})  # fmt: skip


def doc(data: bytes, limits: Limits) -> str:
    """Return the main text of a Word 97 file, from its piece table ([MS-DOC] 2.4.1). Raises ``Unreadable``."""
    file = container(data)
    if not file.exists("WordDocument"):
        raise Unreadable("unknown-kind", "it is an old office file, but no Word document")
    try:
        main = file.openstream("WordDocument").read()
        if struct.unpack_from("<H", main, 0)[0] != 0xA5EC:
            raise Unreadable("unknown-kind", "it is from a Word before 1997; save it as .docx")
        flags = struct.unpack_from("<H", main, 0x0A)[0]
        if flags & 0x0100:
            raise Unreadable("encrypted", "it has a password")
        table = file.openstream("1Table" if flags & 0x0200 else "0Table").read()
        length = struct.unpack_from("<i", main, 0x4C)[0]
        start, size = struct.unpack_from("<II", main, 0x01A2)
        text = _pieces(main, table[start : start + size], length, limits)
    except (OSError, struct.error, IndexError, ValueError, KeyError, TypeError) as error:
        raise Unreadable("broken", "it is damaged and cannot be read as a Word document") from error
    for _ in range(3):
        text = _FIELDS.sub(lambda found: found[1] or "", text)
    text = text.replace("\x07\x07", "\n").translate(_SIGNS)
    text = "\n".join(" ".join(line.replace("\t", " ").split(" ")).strip(" ") for line in text.split("\n"))
    if not text.strip():
        raise Unreadable("empty", "it has no text")
    return text


def _pieces(main: bytes, clx: bytes, length: int, limits: Limits) -> str:
    at = 0
    while at < len(clx) and clx[at] == 1:
        at += 3 + struct.unpack_from("<h", clx, at + 1)[0]
    if at >= len(clx) or clx[at] != 2:
        raise ValueError("no piece table")
    size = struct.unpack_from("<I", clx, at + 1)[0]
    table = clx[at + 5 : at + 5 + size]
    count = (len(table) - 4) // 12
    ends = struct.unpack_from(f"<{count + 1}I", table, 0)
    made: list[str] = []
    total = 0
    for number in range(count):
        signs = min(ends[number + 1], length) - ends[number]
        if signs <= 0:
            continue
        total += signs
        if total > limits.signs:
            raise Unreadable("too-large", f"it has more than {limits.signs:,} signs, which no recipe has")
        place = struct.unpack_from("<I", table, 4 * (count + 1) + 8 * number + 2)[0]
        if place & 0x40000000:
            offset = (place & 0x3FFFFFFF) // 2
            made.append(main[offset : offset + signs].decode("cp1252", "replace"))
        else:
            made.append(main[place : place + 2 * signs].decode("utf-16-le", "replace"))
    return "".join(made)
