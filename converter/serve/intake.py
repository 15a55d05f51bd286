"""Takes in what a browser sends: a paste, a file of any kind that recipes are kept in, one of our samples."""

from __future__ import annotations

import atexit
import os
import re
import tempfile
import threading
from dataclasses import dataclass
from pathlib import Path
from typing import BinaryIO, Final

from fastapi import HTTPException

from converter.folder.names import seen
from converter.formats import Limits, Unreadable, Worker
from converter.serve.kitchen import MOST_SIGNS, sentence

MOST_AT_ONCE = 60
"""Recipes of one file that the page keeps; a larger collection is for ``undial folder``. A round figure."""
SAMPLES: Final = (
    ("petticoat-shortbread.txt", "Shortbread rounds"),
    ("sunday-beef-with-yorkshire-puddings.txt", "Sunday beef"),
    ("parsnip-and-apple-soup.txt", "Parsnip and apple soup"),
    ("overnight-chicken.txt", "Overnight chicken"),
)
ACCEPTED: Final = ".txt,.md,.markdown,.html,.htm,.mhtml,.json,.jsonld,.docx,.odt,.doc,.rtf,.pdf,.eml,.png,.jpg,.jpeg"
_SUFFIX = re.compile(r"\.[a-z0-9]{1,8}\Z")


@dataclass(frozen=True, slots=True)
class Taken:
    """What was read: (name, text) of each recipe, and sentences about what was left out."""

    recipes: tuple[tuple[str, str], ...]
    warnings: tuple[str, ...] = ()


# ---------------------------------------------------------------- files


class _Reader:
    """The process that reads files for the page: one, for one file at a time, whatever the threads."""

    def __init__(self) -> None:
        self._lock = threading.Lock()
        self._worker = Worker()
        atexit.register(self._worker.close)

    def read(self, stream: BinaryIO, name: str, limits: Limits) -> Taken:
        ending = _SUFFIX.search(name.lower())
        # Only the ending is taken from the browser; the name on the disk is ours.
        with tempfile.TemporaryDirectory(prefix="undial-") as folder:
            path = Path(folder) / f"recipe{ending[0] if ending else ''}"
            with open(path, "xb") as file:
                while block := stream.read(1 << 20):
                    file.write(block)
            with self._lock:
                found = self._worker.read(path, limits=limits)
        stem = seen(os.path.basename(name.replace("\\", "/")).rpartition(".")[0] or name)
        alone = len(found.recipes) == 1
        return Taken(
            tuple(
                (title or (stem if alone else f"{stem}, {number}"), text)
                for number, (title, text) in enumerate(found.recipes, start=1)
            ),
            tuple(sentence(warning) for warning in found.warnings),
        )


_READER = _Reader()


def from_file(stream: BinaryIO, name: str) -> Taken:
    """Return the recipes in a file that the browser sent; `name` is only shown and tells apart kinds that look alike.

    Raises ``HTTPException`` 422 with the reason where it gives none.
    """
    try:
        found = _READER.read(stream, name, Limits())
    except Unreadable as error:
        raise HTTPException(422, f"{seen(name[:80])} could not be read: {error.sentence}.") from None
    except OSError as error:
        why = (error.strerror or "fault of the disk").lower()
        raise HTTPException(507, f"The file cannot be put down to be read: {why}.") from None
    return _few(found)


def _few(found: Taken) -> Taken:
    if len(found.recipes) > MOST_AT_ONCE:
        raise HTTPException(
            422,
            f"This holds {len(found.recipes)} recipes; the page takes {MOST_AT_ONCE} at once. "
            "For a whole collection put it into a folder and use undial folder.",
        )
    return found


# ---------------------------------------------------------------- pastes and samples


def from_paste(text: str) -> Taken:
    """Return the recipes in a paste. One recipe is taken as it stands; the source of a web page is read as a file.

    Raises ``HTTPException`` 422 where it is empty or too long.
    """
    if len(text) > MOST_SIGNS * 3:
        raise HTTPException(
            422, f"This holds {len(text):,} signs; at most {MOST_SIGNS:,} are read as one recipe. Give each its own."
        )
    from io import BytesIO

    from converter.formats.reader import clean
    from converter.formats.sniff import sniff
    from converter.formats.split import split

    if not text.strip():
        raise HTTPException(422, "There is nothing in the field yet. Paste a recipe, or choose a file.")
    data = text.encode("utf-8", "replace")
    if sniff(data, "paste.txt") in ("html", "json", "mail"):
        return from_file(BytesIO(data), "What you pasted")
    parts, warnings = split(clean(text))
    if len(parts) < 2:
        return Taken(((parts[0][0] or "" if parts else "", text),))
    named = tuple((title or f"Recipe {number}", words) for number, (title, words) in enumerate(parts, start=1))
    return _few(Taken(named, tuple(sentence(warning) for warning in warnings)))


def from_sample(name: str) -> Taken:
    """Return one of `SAMPLES`. Raises ``HTTPException`` 404 for any other name."""
    from converter.data import folder
    from converter.files import checked

    title = dict(SAMPLES).get(name)
    if title is None:
        raise HTTPException(404, "There is no such sample.")
    source = checked((folder("sample_recipes") / name).read_bytes(), name=name).source
    return Taken(((title, source),))
