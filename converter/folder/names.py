"""Names of what is written: the tree of the source, with names that every system can hold and none twice."""

from __future__ import annotations

import hashlib
import re
import unicodedata
from collections.abc import Iterable

# The forms of converter.write.forms and how their files end.
ENDINGS = {"text": ".txt", "markdown": ".md", "html": ".html", "json": ".json", "jsonld": ".jsonld"}
MOST_BYTES = 120
"""Of one name without what is added to it; common file systems hold 255 bytes. A round figure, by judgement."""
MOST_TITLE = 60
INDEX, REPORT = "index", "report.json"

_FORBIDDEN = re.compile(r'[\x00-\x1f\x7f-\x9f<>:"/\\|?*\u200b-\u200f\u2028-\u202e\u2060-\u2069\ufeff\ud800-\udfff]')
_UNSEEN = re.compile(
    r"[\x00-\x1f\x7f-\x9f\xad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180e\u200b\u200e\u200f\u2028-\u202e\u2060-\u206f"
    r"\u3164\ufeff\uffa0\ufff0-\ufffb\ud800-\udfff\U0001bca0-\U0001bca3\U0001d173-\U0001d17a\U000e0000-\U000e0fff]"
    r"|(?<![^\x00-\x7f])[\u200c\u200d]|[\u200c\u200d](?![^\x00-\x7f])"
)
_NUMBERED = re.compile(r"\+(?=\d\d)")
_RESERVED = re.compile(r"(?:con|prn|aux|nul|com[0-9]|lpt[0-9])(?:\..*)?", re.IGNORECASE)
_BLANKS = re.compile(r"\s+")


def key(name: str) -> str:
    """Return `name` as a system sees it that knows no case and no two spellings of one accented letter."""
    return unicodedata.normalize("NFC", unicodedata.normalize("NFD", name).casefold())


def shown(name: str) -> str:
    """Return a name of the file system as text that can be stored and printed; bytes that are no text are spelt."""
    return name.encode("utf-8", "surrogateescape").decode("utf-8", "backslashreplace")


def seen(name: str) -> str:
    """Return a name of the file system as a reader may see it.

    Signs that turn the direction of what stands after them, and those that nobody sees, become the sign for a lost one:
    with them a name could pass for another, and the words beside it for part of it. Joiners between letters other than
    ASCII stay, as some scripts spell with them.
    """
    return name if name.isascii() and name.isprintable() else _UNSEEN.sub("\ufffd", name)


def _short(words: str, most: int) -> str:
    return words.encode("utf-8")[:most].decode("utf-8", "ignore")


def _mark(name: str) -> str:
    return hashlib.sha256(name.encode("utf-8", "surrogateescape")).hexdigest()[:6]


def clean(name: str) -> str:
    """Return `name` without what some system forbids in names; one that is too long is cut and marked."""
    made = unicodedata.normalize("NFC", name)
    made = _NUMBERED.sub("-", _FORBIDDEN.sub("-", made))
    made = _BLANKS.sub(" ", made).strip(" .")
    if made.startswith("~"):
        made = "-" + made[1:]
    if _RESERVED.fullmatch(made):
        made = f"{made[:3]}_{made[3:]}" if "." in made else f"{made}_"
    if len(made.encode("utf-8")) > MOST_BYTES:
        made = f"{_short(made, MOST_BYTES - 7).rstrip(' .')}-{_mark(name)}"
    return made or f"recipe-{_mark(name)}"


def stem(name: str) -> str:
    """Return a file's name without its ending."""
    before, dot, _ = name.rpartition(".")
    return before if dot and before else name


def folder_names(names: Iterable[str], *, taken: Iterable[str] = ()) -> dict[str, str]:
    """Return the name in DEST for each folder of one parent; `taken` are names that are not given away."""
    used = {key(name) for name in taken}
    made: dict[str, str] = {}
    for name in sorted(names):
        made[name] = _free(clean(name), name, used, "")
    return made


def file_names(
    names: Iterable[str], *, ending: str, folders: Iterable[str] = (), taken: Iterable[str] = ()
) -> dict[str, str]:
    """Return the name in DEST, without `ending`, for each file of one folder.

    It is the file's own without its ending; where two files would share one,
    or it is among `taken`, the whole name. `folders` are the names in DEST of
    the folders beside them. The answer depends on the names alone.
    """
    used = {key(name) for name in folders} | {key(name + ending) for name in taken}
    stems: dict[str, list[str]] = {}
    for name in sorted(names):
        stems.setdefault(key(clean(stem(name))), []).append(name)
    made: dict[str, str] = {}
    shared: list[str] = []
    for group in stems.values():
        wanted = clean(stem(group[0]))
        if len(group) == 1 and key(wanted + ending) not in used:
            used.add(key(wanted + ending))
            made[group[0]] = wanted
        else:
            shared += group
    for name in sorted(shared):
        made[name] = _free(clean(name), name, used, ending)
    return made


def _free(wanted: str, name: str, used: set[str], ending: str) -> str:
    made, again = wanted, name
    while key(made + ending) in used:
        made = f"{_short(wanted, MOST_BYTES).rstrip(' .')}-{_mark(again)}"
        again += "+"
    used.add(key(made + ending))
    return made


def output(base: str, *, number: int, of: int, title: str, ending: str) -> str:
    """Return where one recipe is written: `base` itself, or numbered and titled where a file holds several.

    A name that ``clean`` gave holds no ``+`` before two digits, so no two files meet.
    """
    if of == 1:
        return base + ending
    words = re.sub(r"[^\w]+", "-", unicodedata.normalize("NFC", title).casefold()).strip("-_")
    words = _short(clean(words), MOST_TITLE).strip("-_. ") if words else ""
    return f"{base}+{number:02d}{'-' if words else ''}{words}{ending}"
