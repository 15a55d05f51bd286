"""Reads pictures of pages through tesseract, where the extra is installed. Figures in what it gives are doubtful."""

from __future__ import annotations

import io
import os
import re
import shutil
import subprocess
from collections.abc import Callable
from typing import Any

from converter.formats.kinds import Limits, Unreadable

PROGRAM = "tesseract"
DOUBT = "read from a picture: check every figure, fractions above all (½ is often read as %, 4 or V2)"
_DPI = 300
begun: Callable[[], None] | None = None
"""Called before a picture is read; a worker asks for more time here."""
_MISREAD = re.compile(r"(?m)^[«©®¢¥»*•·e°o+] (?=[\dA-Z½¼¾])")
"""Signs that stand for a bullet in what is read."""


def _missing(what: str) -> Unreadable:
    return Unreadable("scan", f"it is a picture; reading it needs {what}, and figures read so need checking")


def reader(limits: Limits) -> Callable[[Any], str] | None:
    """Return the function that reads a page of a PDF as a picture; ``None`` where the extra is not there."""
    if not limits.scan or shutil.which(PROGRAM) is None:
        return None
    try:
        import PIL  # noqa: F401
    except ImportError:
        return None

    def read_page(page: Any) -> str:
        width, height = page.get_size()
        scale = _DPI / 72
        if width * height * scale * scale > limits.points:
            scale = (limits.points / max(1.0, width * height)) ** 0.5
        return _read(page.render(scale=scale, grayscale=True).to_pil(), limits)

    return read_page


def picture(data: bytes, limits: Limits) -> str:
    """Return the text in a picture file. Raises ``Unreadable``, ``scan`` where the extra is not there or turned off."""
    if not limits.scan:
        raise Unreadable("scan", "it is a picture; only text is read")
    try:
        from PIL import Image, ImageOps
    except ImportError:
        raise _missing("the extra: pip install 'undial[scan]'") from None
    Image.MAX_IMAGE_PIXELS = limits.points
    large = f"the picture has more than {limits.points // 1_000_000} million points"
    try:
        image: Any = Image.open(io.BytesIO(data))
        if image.width * image.height > limits.points:
            raise Unreadable("too-large", large)
        if shutil.which(PROGRAM) is None:
            raise _missing("the program tesseract")
        image = ImageOps.exif_transpose(image).convert("L")
    except Image.DecompressionBombError:
        raise Unreadable("too-large", large) from None
    except (OSError, ValueError, SyntaxError, EOFError, IndexError, TypeError, KeyError) as error:
        raise Unreadable("broken", "it is damaged and cannot be opened as a picture") from error
    return _read(image, limits)


def _read(image: Any, limits: Limits) -> str:
    if begun is not None:
        begun()
    stream = io.BytesIO()
    image.save(stream, "PNG", compress_level=1)
    environ = {**os.environ, "OMP_THREAD_LIMIT": "1"}
    try:
        done = subprocess.run(
            [PROGRAM, "stdin", "stdout", "--dpi", str(_DPI), "-c", "preserve_interword_spaces=0"],
            input=stream.getvalue(), capture_output=True, timeout=limits.scan_seconds, env=environ, check=False,
        )  # fmt: skip
    except subprocess.TimeoutExpired:
        raise Unreadable("time", f"reading the picture took longer than {limits.scan_seconds:g} seconds") from None
    except OSError as error:
        raise _missing("the program tesseract") from error
    if done.returncode != 0:
        raise Unreadable("broken", "the picture could not be read")
    text = done.stdout.decode("utf-8", "replace").replace("\f", "\n")
    return _MISREAD.sub("- ", text)
