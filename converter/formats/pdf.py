"""Reads the text of a .pdf: words with their places, in reading order. Nothing in the file is run or followed."""

from __future__ import annotations

import ctypes
from typing import TYPE_CHECKING, Any

from converter.formats.blocks import Block
from converter.formats.columns import Word
from converter.formats.kinds import Limits, Unreadable

if TYPE_CHECKING:
    from collections.abc import Callable

_LIGATURES = {"ﬀ": "ff", "ﬁ": "fi", "ﬂ": "fl", "ﬃ": "ffi", "ﬄ": "ffl"}
_HYPHENS = frozenset((0x02, 0xFFFE))
"""What PDFium gives for a hyphen at the end of a line."""
_COPY = 1 << 4
"""The permission bit for taking text out, ISO 32000-1 table 22."""
_MOST_SIGNS = 60_000
"""Signs on a page; a full page of small print has some 6,000. A round figure, by judgement."""
_FEW = 15
"""Fewer signs than this on a page that holds pictures: the page is a picture."""
_PICTURE = 3


def _opened(data: bytes) -> Any:
    try:
        import pypdfium2
    except ImportError:
        raise Unreadable("no-library", "reading PDF needs the extra: pip install 'undial[folder]'") from None
    try:
        return pypdfium2.PdfDocument(data)
    except pypdfium2.PdfiumError as error:
        words = str(error).lower()
        if "password" in words or "security" in words:
            raise Unreadable("encrypted", "it needs a password to open") from None
        if b"%%EOF" not in data[-2048:]:
            raise Unreadable("truncated", "it is cut off: its end is missing") from None
        raise Unreadable("broken", "it is damaged and cannot be opened as a PDF") from None


def read(
    data: bytes, limits: Limits, picture: Callable[[Any], str] | None = None
) -> tuple[list[Block], list[str], list[str]]:
    """Return blocks, warnings, and the texts that `picture` made of pages that are pictures.

    Raises ``Unreadable``; ``scan`` where there are pictures in place of text and no `picture`.
    """
    import pypdfium2.raw as raw
    from pypdfium2 import PdfiumError

    from converter.formats import columns

    document = _opened(data)
    warnings: list[str] = []
    try:
        count = len(document)
        if count > limits.pages:
            warnings.append(f"only the first {limits.pages} of {count:,} pages were read")
        if raw.FPDF_GetSecurityHandlerRevision(document) >= 0 and not raw.FPDF_GetDocPermissions(document) & _COPY:
            warnings.append("the file asks that its text is not copied")
        pages: list[columns.Page] = []
        scanned: list[str] = []
        pictures = failed = 0
        for number in range(min(count, limits.pages)):
            try:
                page = document[number]
                width, height = page.get_size()
                words = _words(page, raw)
            except PdfiumError:
                failed += 1
                continue
            if sum(len(word.text) for word in words) < _FEW and _has_picture(page, raw):
                pictures += 1
                if picture is not None:
                    scanned.append(picture(page))
            else:
                pages.append(columns.Page(width, height, words))
            page.close()
    finally:
        document.close()
    if failed:
        warnings.append(f"{failed} of {count} pages are damaged and were left out")
        if not pages and not scanned:
            raise Unreadable("broken", "it is damaged: none of its pages can be read")
    if pictures and not scanned:
        if not any(page.words for page in pages):
            raise Unreadable("scan", "its pages are pictures; only text can be read")
        warnings.append(f"{pictures} pages are pictures and were left out")
    blocks, guessed = columns.blocks(pages)
    if guessed:
        warnings.append("the order of the columns was guessed on " + _pages(guessed))
    return blocks, warnings, scanned


def _pages(numbers: list[int]) -> str:
    return ("page " if len(numbers) == 1 else "pages ") + ", ".join(map(str, numbers))


def _has_picture(page: Any, raw: Any) -> bool:
    return any(
        raw.FPDFPageObj_GetType(raw.FPDFPage_GetObject(page, at)) == _PICTURE
        for at in range(min(200, raw.FPDFPage_CountObjects(page)))
    )


def _words(page: Any, raw: Any) -> list[Word]:
    """Return the words of a page in the order in which they are drawn."""
    text = page.get_textpage()
    try:
        count = raw.FPDFText_CountChars(text)
        if count > _MOST_SIGNS:
            raise Unreadable("bomb", f"a page holds more than {_MOST_SIGNS:,} signs, which no recipe has")
        x, y = ctypes.c_double(), ctypes.c_double()
        left, right, low, high = ctypes.c_double(), ctypes.c_double(), ctypes.c_double(), ctypes.c_double()
        made: list[Word] = []
        signs: list[str] = []
        start = end = base = size = 0.0
        hyphen = bold = False

        def close() -> None:
            if signs:
                made.append(Word(start, end, base, size, "".join(signs), bold, hyphen))
                signs.clear()

        for at in range(count):
            code = raw.FPDFText_GetUnicode(text, at)
            if code in _HYPHENS:
                if signs:
                    signs.append("-")
                    hyphen = True
                    close()
                continue
            sign = chr(code) if 0 < code < 0x110000 else " "
            if sign.isspace() or code < 32 or 0xD800 <= code < 0xE000:
                close()
                continue
            if raw.FPDFText_IsGenerated(text, at) == 1 or not raw.FPDFText_GetCharBox(text, at, left, right, low, high):
                continue
            raw.FPDFText_GetCharOrigin(text, at, x, y)
            this = raw.FPDFText_GetFontSize(text, at)
            if this < 2.0:  # the size is in the matrix of the text
                this = max(2.0, (high.value - low.value) * 1.4)
            if signs and (
                abs(y.value - base) > 0.4 * max(size, this)
                or left.value - end > 0.6 * max(size, this)
                or left.value < start - size
            ):
                close()
            if not signs:
                start, base, size, hyphen = left.value, y.value, this, False
                bold = raw.FPDFText_GetFontWeight(text, at) >= 600
            signs.append(_LIGATURES.get(sign, sign))
            end = max(end, right.value) if len(signs) > 1 else right.value
        close()
        return made
    finally:
        text.close()
