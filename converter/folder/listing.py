"""The index of what was converted, for the cook, and the report, for programs. Both follow from what is in DEST."""

from __future__ import annotations

import json
from collections import Counter
from dataclasses import dataclass
from functools import cache
from html import escape
from pathlib import Path
from typing import Any
from urllib.parse import quote

from converter import __version__
from converter.folder import names
from converter.folder.finding import Passed
from converter.folder.work import CONVERTED

LEVELS = ("caution", "judgement", "note")
WAITING = "waiting"


@dataclass(frozen=True, slots=True)
class Row:
    """One recipe, or one file that gave none, as the lists show it; ``flags`` count cautions, judgements, notes."""

    source: str
    number: int
    title: str
    output: str
    zones: tuple[str, ...]
    minutes: tuple[float, float] | None
    flags: tuple[int, int, int]
    status: str
    reason: str


@dataclass(frozen=True, slots=True)
class Listed:
    """All that the lists show; ``renamed`` are sources whose output bears another name.

    ``waiting`` are those that a run left to the next because it was stopped;
    a row of one of them tells of an earlier run.
    """

    cooker: str
    form: str
    rows: tuple[Row, ...]
    passed: tuple[Passed, ...] = ()
    renamed: frozenset[str] = frozenset()
    waiting: frozenset[str] = frozenset()

    @property
    def failed(self) -> list[Row | Passed]:
        """The files and recipes that were not converted, in the order of their sources."""
        rows: list[Row | Passed] = [row for row in self.rows if row.status != CONVERTED]
        rows += [one for one in self.passed if one.failed]
        return sorted(rows, key=lambda one: (one.source, getattr(one, "number", 0)))

    @property
    def converted(self) -> list[Row]:
        """The recipes that were, in the order of their sources."""
        return [row for row in self.rows if row.status == CONVERTED]


def _words(row: Row) -> tuple[str, str, str]:
    """Return zones, time and flags of a recipe in words."""
    from converter.write.parts import minute_words

    counts = [
        f"{count} {name}{'s' if count > 1 and name != 'for judgement' else ''}"
        for count, name in zip(row.flags, ("caution", "for judgement", "note"), strict=True)
        if count
    ]
    return ", ".join(row.zones), minute_words(row.minutes) if row.minutes else "", ", ".join(counts)


def _told(one: Row | Passed) -> str:
    """Return the file of a recipe as a reader may see it, and which of its recipes."""
    name = names.seen(one.source)
    return name if isinstance(one, Passed) or one.number == 1 else f"{name}, recipe {one.number}"


def _called(row: Row) -> str:
    """Return the title of a recipe, its file where it has none."""
    from converter.write.parts import straight

    return straight(row.title) or _told(row)


def _heading(listed: Listed) -> tuple[str, str]:
    done, failed = len(listed.converted), len(listed.failed)
    line = f"{done} recipe{'' if done == 1 else 's'} converted for the cooker {listed.cooker}"
    line += f"; {failed} not converted" if failed else ""
    if listed.waiting:
        left = len(listed.waiting)
        line += f". The last run was stopped: {left} file{' is' if left == 1 else 's are'} left for the next"
    return "Recipes", f"{line}. The time is that of all stays in the zones, added up."


def _reason(one: Row | Passed) -> str:
    return one.reason if isinstance(one, Row) else one.sentence


COLUMNS = ("Recipe", "Zones", "Time", "Flags", "From")


def markdown(listed: Listed) -> str:
    """Return the index as Markdown."""
    from converter.write.markdown import inline

    def cell(words: str) -> str:
        return inline(words).replace("|", "\\|").replace("[", "\\[")

    title, line = _heading(listed)
    out = [f"# {title}", "", inline(line), ""]
    if listed.converted:
        out += [f"| {' | '.join(COLUMNS)} |", "| --- | --- | --- | --- | --- |"]
        for row in listed.converted:
            link = f"[{cell(_called(row))}]({quote(row.output)})"
            out.append(f"| {' | '.join((link, *(cell(words) for words in (*_words(row), _told(row)))))} |")
        out.append("")
    if listed.failed:
        out += ["## Not converted", ""]
        for one in listed.failed:
            out.append(f"- {inline(_told(one))}: {inline(_reason(one))}")
        out.append("")
    return "\n".join(out)


@cache
def _style() -> str:
    return Path(__file__).with_name("index.css").read_text(encoding="utf-8")


def page(listed: Listed) -> str:
    """Return the index as one HTML page: no script, no request to anywhere."""
    title, line = _heading(listed)
    out = [
        '<!doctype html>\n<html lang="en">\n<head>\n<meta charset="utf-8">',
        "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src 'unsafe-inline'; "
        "base-uri 'none'; form-action 'none'\">",
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        f"<title>{title}</title>\n<style>\n{_style()}</style>\n</head>\n<body>\n<main>",
        f"<h1>{title}</h1>\n<p>{escape(line)}</p>",
    ]
    if listed.converted:
        head = "".join(f'<th scope="col">{name}</th>' for name in COLUMNS)
        out.append(f"<table>\n<thead><tr>{head}</tr></thead>\n<tbody>")
        for row in listed.converted:
            name = escape(_called(row).replace("\0", "\ufffd"))
            cells = "".join(f'<td dir="auto">{escape(words)}</td>' for words in (*_words(row), _told(row)))
            link = f'<a href="{escape(quote(row.output))}">{name}</a>'
            out.append(f'<tr><th scope="row" dir="auto">{link}</th>{cells}</tr>')
        out.append("</tbody>\n</table>")
    if listed.failed:
        out.append("<h2>Not converted</h2>\n<ul>")
        for one in listed.failed:
            out.append(f"<li><bdi>{escape(_told(one))}</bdi>: {escape(_reason(one))}</li>")
        out.append("</ul>")
    return "\n".join([*out, "</main>\n</body>\n</html>\n"])


def _recipe(row: Row) -> dict[str, Any]:
    return {
        "number": row.number,
        "status": row.status,
        "title": row.title,
        "output": row.output or None,
        "zones": list(row.zones),
        "minutes": list(row.minutes) if row.minutes else None,
        "flags": dict(zip(LEVELS, row.flags, strict=True)),
        "reason": row.reason or None,
    }


def _file(source: str, listed: Listed) -> dict[str, Any]:
    return {"source": source, "renamed": source in listed.renamed}


def report(listed: Listed) -> str:
    """Return the report as JSON: one object for each file, in the order of their paths, one on a line.

    A file has the status ``converted`` where one of its recipes was, ``waiting``
    where the run was stopped before it; its recipes then are those of an
    earlier run.
    """
    files: dict[str, dict[str, Any]] = {}
    for row in listed.rows:
        made = files.setdefault(row.source, _file(row.source, listed))
        if made.get("status") != CONVERTED:  # of a file some of whose recipes were converted
            made |= {"status": row.status, "reason": row.reason or None}
        made.setdefault("recipes", []).append(_recipe(row))
    for one in listed.passed:
        about = {"status": one.code, "reason": one.sentence, "failed": one.failed, "recipes": []}
        files[one.source] = _file(one.source, listed) | about
    for source in listed.waiting:
        made = files.setdefault(source, _file(source, listed) | {"recipes": []})
        made |= {"status": WAITING, "reason": "the run was stopped before it"}
    counts = Counter(row.status for row in listed.rows) + Counter(one.code for one in listed.passed)
    counts[WAITING] += len(listed.waiting)
    head = {
        "undial": __version__, "cooker": listed.cooker, "form": listed.form, "counts": dict(sorted((+counts).items())),
        "failed": len(listed.failed),
    }  # fmt: skip
    lines = ",\n".join(json.dumps(files[source], ensure_ascii=True) for source in sorted(files))
    return f'{json.dumps(head, ensure_ascii=True)[:-1]}, "files": [\n{lines}\n]}}\n'
