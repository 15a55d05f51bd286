"""Reads the text of a .pdf: words with their places, in reading order. Nothing in the file is run or followed."""

from __future__ import annotations

import ctypes
import math
from collections import Counter
from typing import TYPE_CHECKING, Any

from converter.formats.blocks import Block
from converter.formats.kinds import Limits, Unreadable
from converter.formats.rows import Page, Word

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
_ODD = 0.3
"""A page with more than this part of signs without meaning is read as a picture; a round figure, by judgement."""
_PICTURE = 3
_BLANK = 0.16
"""Room between two signs, in parts of the size, that is a blank though none is drawn; blanks are 0.22 to 0.33 wide."""


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
        pages: list[Page] = []
        scanned: list[str] = []
        pictures = failed = 0
        for number in range(min(count, limits.pages)):
            try:
                page = document[number]
                words, width, height, readable = _words(page, raw)
            except PdfiumError:
                failed += 1
                continue
            few = sum(len(word.text) for word in words) < _FEW
            if not readable or (few and _has_picture(page, raw)):
                pictures += 1
                if picture is not None:
                    scanned.append(picture(page))
            else:
                pages.append(Page(width, height, words))
            page.close()
    finally:
        document.close()
    if failed:
        warnings.append(f"{failed} of {count} pages are damaged and were left out")
        if not pages and not scanned:
            raise Unreadable("broken", "it is damaged: none of its pages can be read")
    if pictures and not scanned:
        if not any(page.words for page in pages):
            raise Unreadable("scan", "its pages are pictures, or letters without meaning; only text can be read")
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


def _turn(text: Any, count: int, raw: Any) -> int:
    """Return by how many quarter turns most of the signs stand, counted against the clock (PDFium counts with it)."""
    turns = Counter(
        -round(raw.FPDFText_GetCharAngle(text, at) / (math.pi / 2)) % 4 for at in range(0, count, max(1, count // 200))
    )
    return turns.most_common(1)[0][0] if turns else 0


def _words(page: Any, raw: Any) -> tuple[list[Word], float, float, bool]:
    """Return the words of a page in the order in which they are drawn, its width, height, and whether they can be read.

    A page set sideways is turned upright; the lower left corner is at 0, 0.
    """
    text = page.get_textpage()
    try:
        count = raw.FPDFText_CountChars(text)
        if count > _MOST_SIGNS:
            raise Unreadable("bomb", f"a page holds more than {_MOST_SIGNS:,} signs, which no recipe has")
        frame = page.get_bbox()
        turn = _turn(text, count, raw)
        made = _Words()
        odd = shown = 0
        x, y = ctypes.c_double(), ctypes.c_double()
        whole = raw.FS_RECTF()
        left, right, low, high = ctypes.c_double(), ctypes.c_double(), ctypes.c_double(), ctypes.c_double()
        for at in range(count):
            code = raw.FPDFText_GetUnicode(text, at)
            if code in _HYPHENS:
                made.hyphen()
                continue
            sign = chr(code) if 0 < code < 0x110000 else "\ufffd"
            if sign in "\r\n":  # of PDFium's own making; where a line ends is told by the place
                continue
            if sign.isspace() or 0 < code < 32 or 0xD800 <= code < 0xE000:
                made.close()
                continue
            shown += 1
            odd += code in (0, 0xFFFD) or (0xE000 <= code < 0xF000)
            if raw.FPDFText_IsGenerated(text, at) == 1 or not raw.FPDFText_GetCharBox(text, at, left, right, low, high):
                continue
            raw.FPDFText_GetCharOrigin(text, at, x, y)
            raw.FPDFText_GetLooseCharBox(text, at, whole)
            near, far, base = _upright(
                turn, frame, (left.value, right.value, low.value, high.value), (x.value, y.value)
            )
            # The box with the white space that belongs to the sign.
            start, end, _ = _upright(turn, frame, (whole.left, whole.right, whole.bottom, whole.top), (0.0, 0.0))
            size = raw.FPDFText_GetFontSize(text, at)
            if size < 2.0:  # the size is in the matrix of the text
                size = max(2.0, (high.value - low.value) * 1.4)
            bold = raw.FPDFText_GetFontWeight(text, at) >= 600
            made.add(_LIGATURES.get(sign, sign), near, far, base, size, bold, start, end)
        made.close()
        width, height = frame[2] - frame[0], frame[3] - frame[1]
        return made.words, *((height, width) if turn % 2 else (width, height)), odd <= _ODD * shown
    finally:
        text.close()


def _upright(
    turn: int, frame: tuple[float, float, float, float], box: tuple[float, float, float, float], at: tuple[float, float]
) -> tuple[float, float, float]:
    """Return left edge, right edge and base line of a sign on the page turned upright."""
    left, right, low, high = box
    if turn == 1:
        return low - frame[1], high - frame[1], frame[2] - at[0]
    if turn == 2:
        return frame[2] - right, frame[2] - left, frame[3] - at[1]
    if turn == 3:
        return frame[3] - high, frame[3] - low, at[0] - frame[0]
    return left - frame[0], right - frame[0], at[1] - frame[1]


class _Words:
    """Puts signs together to words."""

    def __init__(self) -> None:
        self.words: list[Word] = []
        self.signs: list[str] = []
        self.left = self.right = self.end = self.base = self.lowest = self.size = self.last = 0.0
        self.bold = False

    def add(
        self, sign: str, left: float, right: float, base: float, size: float, bold: bool, start: float, end: float
    ) -> None:
        """Take one sign; `start` and `end` are the edges of its box with white space."""
        largest = max(self.size, size)
        raised = size < 0.85 * self.last and base > self.base + 0.1 * size
        if self.signs and (
            abs(base - self.base) > 0.4 * largest
            or left - self.right > 0.6 * largest
            or (start - self.end > _BLANK * largest and left - self.right > _BLANK * largest)
            or left < self.left - self.size
            # A small raised figure after a full one begins a fraction: 1 1/2.
            or (raised and sign.isdigit() and self.signs[-1].isdigit())
        ):
            self.close()
        if not self.signs:
            self.left, self.right, self.base, self.lowest, self.size, self.bold = left, right, base, base, size, bold
        self.signs.append(sign)
        self.right = max(self.right, right)
        self.end = end
        self.lowest = min(self.lowest, base) if size <= self.size else base
        self.size = max(self.size, size)
        self.last = size

    def hyphen(self) -> None:
        """End the word with a hyphen at the end of the line."""
        if self.signs:
            self.signs.append("-")
            self.close(hyphen=True)

    def close(self, *, hyphen: bool = False) -> None:
        if self.signs:
            words = "".join(self.signs)
            self.words.append(Word(self.left, self.right, self.lowest, self.size, words, self.bold, hyphen))
            self.signs.clear()
        self.size = 0.0
