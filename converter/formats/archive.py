"""Opens office packages and their XML under limits: no entities, no depth, no expansion without end.

Members are read by name into memory; nothing is ever unpacked to a path.
"""

from __future__ import annotations

import io
import zipfile
import zlib
from xml.etree.ElementTree import Element, TreeBuilder
from xml.parsers import expat

from converter.formats.kinds import Limits, Unreadable, too_deep

_CHUNK = 65_536
_FREE = 1_000_000
"""Unpacked bytes below which the ratio is not asked for; a round figure, by judgement."""
_MOST_ELEMENTS = 400_000


class Package:
    """A zip file held in memory. Raises ``Unreadable`` where it is damaged or has too many members."""

    def __init__(self, data: bytes, limits: Limits) -> None:
        self._limits = limits
        # The directory at the end says how many members follow; counted before it is read.
        end = data.rfind(b"PK\x05\x06")
        if end < 0:
            raise Unreadable("truncated", "the end of the file is missing, so that it cannot be opened")
        if int.from_bytes(data[end + 10 : end + 12], "little") > limits.members:
            raise Unreadable("bomb", f"it holds more than {limits.members} parts, which no recipe has")
        try:
            self._zip = zipfile.ZipFile(io.BytesIO(data))
        except (zipfile.BadZipFile, ValueError, EOFError, NotImplementedError) as error:
            raise Unreadable("truncated", "it is damaged: its table of contents cannot be read") from error
        if len(self._zip.filelist) > limits.members:
            raise Unreadable("bomb", f"it holds more than {limits.members} parts, which no recipe has")
        self.names = frozenset(self._zip.namelist())

    def read(self, name: str) -> bytes:
        """Return the unpacked bytes of one member; the count is kept while unpacking, the header is not trusted."""
        limits = self._limits
        try:
            info = self._zip.getinfo(name)
        except KeyError:
            raise Unreadable("broken", "it is damaged: the part with the text is missing") from None
        if info.flag_bits & 1:
            raise Unreadable("encrypted", "it has a password")
        if info.compress_type not in (zipfile.ZIP_STORED, zipfile.ZIP_DEFLATED):
            raise Unreadable("broken", "its parts are packed in a way that office files are not")
        pieces: list[bytes] = []
        size = 0
        try:
            with self._zip.open(info) as stream:
                while piece := stream.read(_CHUNK):
                    size += len(piece)
                    pieces.append(piece)
                    if size > limits.unpacked_bytes or (
                        size > _FREE and size > limits.ratio * max(1, info.compress_size)
                    ):
                        raise Unreadable("bomb", f"it unpacks to far more than it should ({size:,} bytes and more)")
        except (zipfile.BadZipFile, zlib.error, EOFError, NotImplementedError, OSError, ValueError) as error:
            raise Unreadable("broken", "it is damaged: the part with the text cannot be unpacked") from error
        return b"".join(pieces)

    def tree(self, name: str) -> Element:
        """Return the XML of one member as a tree; tags are as written, ``prefix:name``."""
        return parse(self.read(name), self._limits)


def parse(data: bytes, limits: Limits) -> Element:
    """Return XML as a tree, its tags as they are written.

    Raises ``Unreadable`` for a document type, too much depth and broken XML.
    """
    parser = expat.ParserCreate()
    builder = TreeBuilder()
    depth = count = 0

    begin, finish = builder.start, builder.end

    def start(tag: str, attributes: dict[str, str]) -> None:
        nonlocal depth, count
        depth += 1
        count += 1
        if depth > limits.xml_depth:
            raise too_deep(limits.xml_depth)
        if count > _MOST_ELEMENTS:
            raise Unreadable("bomb", f"it has more than {_MOST_ELEMENTS:,} parts, which no recipe has")
        begin(tag, attributes)

    def end(tag: str) -> None:
        nonlocal depth
        depth -= 1
        finish(tag)

    def doctype(*_: object) -> None:
        raise Unreadable("entities", "it is built to pull in other files or to grow without end, as no recipe is")

    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = builder.data
    parser.StartDoctypeDeclHandler = doctype
    parser.EntityDeclHandler = doctype
    parser.buffer_text = True
    try:
        parser.Parse(data, True)
        return builder.close()
    except (expat.ExpatError, AssertionError, ValueError) as error:
        raise Unreadable("broken", f"its text is damaged ({error})") from None
