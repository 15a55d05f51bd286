"""Tells what a file is by its first bytes; the name decides only between kinds of text."""

from __future__ import annotations

import re

KINDS: tuple[str, ...] = ("text", "markdown", "html", "json", "docx", "odt", "doc", "rtf", "pdf", "mail", "picture")

_PICTURES = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n", b"GIF8", b"II*\0", b"MM\0*", b"BM")
_BY_NAME = {
    "md": "markdown", "markdown": "markdown", "html": "html", "htm": "html", "xhtml": "html", "json": "json",
    "jsonld": "json", "eml": "mail", "mht": "mail", "mhtml": "mail",
}  # fmt: skip
READ_SUFFIXES: frozenset[str] = frozenset((
    *_BY_NAME, "txt", "text", "docx", "odt", "doc", "rtf", "pdf", "jpg", "jpeg", "png", "tif", "tiff",
))  # fmt: skip
"""Endings of names, in small letters without the dot, that a folder is searched for."""

_HTML = re.compile(
    rb"\s*(?:<\?xml[^>]{0,200}>\s*)?(?:<!--.{0,2000}?-->\s*)*<(?:!doctype\s+html|html|head|body)\b", re.I | re.S
)
_HEADER = re.compile(
    rb"(?:[A-Za-z][A-Za-z0-9-]{1,40}:[ \t][^\r\n]{0,2000}(?:\r?\n|\r)(?:[ \t][^\r\n]{0,2000}(?:\r?\n|\r)){0,50}){2,}"
)
_MAIL_FIELD = re.compile(rb"(?im)^(?:from|received|message-id|mime-version|return-path|delivered-to|date):[ \t]")
_BOMS = (b"\xef\xbb\xbf", b"\xff\xfe", b"\xfe\xff")


def suffix(name: str) -> str:
    """Return the ending of a file name in small letters without the dot."""
    return name.rpartition(".")[2].lower() if "." in name else ""


def sniff(data: bytes, name: str) -> str:
    """Return one of ``KINDS``, or ``zip``, ``ole``, ``unknown`` for containers of another kind.

    `data` are the first bytes of the file, 64 kB or more where it has them.
    """
    head = data[:4096]
    if b"%PDF-" in head[:1024]:
        return "pdf"
    if head.startswith((b"PK\x03\x04", b"PK\x05\x06")):
        return _package(data)
    if head.startswith(b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1"):
        return "ole"
    plain = head.lstrip(b"\xef\xbb\xbf \t\r\n")
    if plain.startswith(b"{\\rtf"):
        return "rtf"
    if head.startswith(_PICTURES) or (head[:4] == b"RIFF" and head[8:12] == b"WEBP"):
        return "picture"
    if head.startswith((b"\x1f\x8b", b"7z\xbc\xaf", b"Rar!", b"\x7fELF", b"MZ\x90")):
        return "unknown"
    named = _BY_NAME.get(suffix(name))
    signs = head.replace(b"\0", b"") if head[:2] in _BOMS[1:] else head
    for bom in _BOMS:
        signs = signs.removeprefix(bom)
    if _HTML.match(signs):
        return "html"
    field = _HEADER.match(signs)
    if field is not None and _MAIL_FIELD.search(field.group()):
        return "mail"
    if named is None and suffix(name) in ("docx", "doc", "odt", "rtf", "pdf") and b"<p>" in signs.lower():
        return "html"
    return named or "text"


def _package(data: bytes) -> str:
    if b"application/vnd.oasis.opendocument.text" in data[:200]:
        return "odt"
    if b"word/" in data:
        return "docx"
    return "odt" if b"content.xml" in data else "zip"
