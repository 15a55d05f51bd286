"""Opens a file of somebody else's folder: plain files only, no link followed, no more bytes than allowed."""

from __future__ import annotations

import errno
import os
import stat
from typing import TYPE_CHECKING

from converter.formats.kinds import Limits, Unreadable

if TYPE_CHECKING:
    from pathlib import Path


def content(path: str | Path, limits: Limits) -> bytes:
    """Return the bytes of a plain file. Raises ``Unreadable`` for all else; never waits on a pipe, follows no link."""
    try:
        kind = os.lstat(path).st_mode
        if stat.S_ISLNK(kind):
            os.stat(path)
            raise Unreadable("link", "it is a link to another file, and links are not followed")
        if not stat.S_ISREG(kind):
            what = "a folder" if stat.S_ISDIR(kind) else "a pipe, a device or the like"
            raise Unreadable("not-a-file", f"it is no plain file but {what}")
        flags = os.O_RDONLY | getattr(os, "O_NOFOLLOW", 0) | getattr(os, "O_NONBLOCK", 0) | getattr(os, "O_BINARY", 0)
        handle = os.open(path, flags)
        with os.fdopen(handle, "rb") as stream:
            about = os.fstat(handle)
            if not stat.S_ISREG(about.st_mode):
                raise Unreadable("not-a-file", "it is no plain file")
            most = max(limits.text_bytes, limits.office_bytes, limits.pdf_bytes, limits.picture_bytes)
            if about.st_size > most:
                raise Unreadable("too-large", f"it has {about.st_size:,} bytes, and at most {most:,} are read")
            data = stream.read(most + 1)
    except OSError as error:
        raise _refused(error) from None
    except ValueError as error:
        raise Unreadable("missing", "its name holds a sign that no name can have") from error
    if len(data) > most:
        raise Unreadable("too-large", f"it grew over {most:,} bytes while it was read")
    return data


def _refused(error: OSError) -> Unreadable:
    if error.errno in (errno.EACCES, errno.EPERM):
        return Unreadable("no-permission", "there is no permission to open it")
    if error.errno in (errno.ENOENT, errno.ENOTDIR, errno.ENAMETOOLONG):
        return Unreadable("missing", "it is not there")
    if error.errno == errno.ELOOP:
        return Unreadable("link-loop", "the links lead round in a circle")
    if error.errno in (errno.EISDIR, errno.ENXIO):
        return Unreadable("not-a-file", "it is no plain file")
    return Unreadable("broken", f"it cannot be read from the disk: {(error.strerror or 'unknown fault').lower()}")
