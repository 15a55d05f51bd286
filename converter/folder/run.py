"""Converts a family's folder into another, file by file, so that a run may die at any moment."""

from __future__ import annotations

import contextlib
import errno
import os
from collections.abc import Callable, Iterator
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import TYPE_CHECKING

from converter.folder import names, writing
from converter.folder.engines import Engine
from converter.folder.finding import Found, Passed, digest, find
from converter.folder.handing import outcomes
from converter.folder.listing import Listed, Row, markdown, page, report
from converter.folder.work import CONVERTED, OtherProgram, Outcome, Setup, Task, pack, stamp, stamped

if TYPE_CHECKING:
    from converter.ledger import Decisions, Entry, Ledger

PASSING = frozenset(("no-permission", "missing", "no-library", "scan", "time", "memory", "fault", "lost", "name"))
"""Reasons that may be gone by the next run though the file is the same."""
HASHED_BYTES = 64_000_000
"""A larger file is told by size and date: none of any kind is read at that size. A round figure, by judgement."""
_NAMING = (errno.ENAMETOOLONG, errno.EISDIR, errno.ENOTDIR, errno.EINVAL, errno.EILSEQ)
_FULL = (errno.ENOSPC, errno.EDQUOT, errno.EROFS, errno.EIO, errno.ENODEV)


class FolderTrouble(Exception):
    """What stops a whole run; the text is one sentence."""


@dataclass(frozen=True, slots=True)
class Done:
    """What a run did: recipes that were made anew, files that stood unchanged, sources that were gone.

    ``stopped`` where it was asked to stop and has left files for the next run, ``listed.waiting``.
    """

    listed: Listed
    converted: int = 0
    unchanged: int = 0
    gone: int = 0
    notices: tuple[str, ...] = ()
    stopped: bool = False


@dataclass(slots=True)
class _Known:
    """What the ledger holds of one file."""

    sha256: str
    rows: list[Row] = field(default_factory=list)
    sound: bool = True


def convert_folder(
    src: Path,
    dest: Path,
    *,
    setup: Setup,
    engine: Engine,
    cooker_name: str = "",
    told: Callable[[int, int], None] = lambda done, total: None,
    failed: Callable[[Row | Passed], None] = lambda one: None,
    stopped: Callable[[], bool] = lambda: False,
) -> Done:
    """Convert the recipes below `src` into `dest`, which is made where it is missing.

    Nothing below `src` is written. All three are called in the caller's
    thread: `told` with the files done, 0 at first, and all files, `failed` with
    each recipe or file that is not converted, as soon as that is known,
    `stopped` again and again, and every fifth of a second while nothing else
    happens. Once `stopped` says so, work that
    is not finished is given up, the lists are written and the answer is marked
    ``stopped``; to end a run from another thread, hand in the ``is_set`` of a
    ``threading.Event``. What is finished is kept when this is interrupted in
    any other way too, by an exception of `told` or `failed` as well; the lists
    then say what there is, where they can be written. The next call goes on
    from there. Raises ``FolderTrouble``.
    """
    from converter.ledger import LedgerError

    source, target = _places(src, dest)
    try:
        with writing.held(target):
            return _Run(source, target, setup, engine, cooker_name, told, failed, stopped).go()
    except writing.Busy:
        raise FolderTrouble(f"{dest}: another undial is at work in this folder; wait until it is done") from None
    except LedgerError as error:
        raise FolderTrouble(str(error)) from None
    except OSError as error:
        raise _stopped(error, dest) from None
    except OtherProgram as error:
        raise FolderTrouble(str(error)) from None


def _stopped(error: OSError, dest: Path) -> FolderTrouble:
    from converter.files import trouble

    known = str(trouble(str(error.filename or dest), error))
    more = "; what was finished is kept, and the next run goes on from there" if error.errno in _FULL else ""
    return FolderTrouble(known + more)


def _places(src: Path, dest: Path) -> tuple[Path, Path]:
    """Return both folders without links; the second is made. Refuses folders that lie in one another."""
    from converter.files import trouble

    try:
        source, target = src.resolve(strict=True), dest.resolve()
        if not source.is_dir():
            raise FolderTrouble(f"{src}: this is a file, not a folder; to convert one recipe: undial convert {src}")
        if target == source:
            raise FolderTrouble(f"{dest}: the folder of the recipes is never written to; name another one")
        if target.is_relative_to(source):
            raise FolderTrouble(f"{dest}: it lies in the folder of the recipes, which is never written to")
        if source.is_relative_to(target):
            raise FolderTrouble(f"{dest}: the recipes lie in it, and they are never written to; name another folder")
        target.mkdir(parents=True, exist_ok=True)
        _ours(dest, target)
    except OSError as error:
        raise FolderTrouble(str(trouble(str(error.filename or dest), error))) from None
    except RuntimeError:  # what Path.resolve raises for links in a circle
        raise FolderTrouble(f"{dest}: the links lead round in a circle") from None
    return source, target


def _ours(dest: Path, target: Path) -> None:
    from converter.ledger import FILE_NAME

    with os.scandir(target) as entries:
        others = sorted(entry.name for entry in entries if not entry.name.startswith("."))
    if others and not any(name.startswith(FILE_NAME) for name in others):
        raise FolderTrouble(
            f"{dest}: it holds files that are not of undial ({names.shown(others[0])}), which might be written over; "
            "name a new or an empty folder"
        )


class _Run:
    def __init__(
        self,
        src: Path,
        dest: Path,
        setup: Setup,
        engine: Engine,
        cooker: str,
        told: Callable[[int, int], None],
        failed: Callable[[Row | Passed], None],
        stopped: Callable[[], bool],
    ) -> None:
        self._src, self._setup, self._engine = src, setup, engine
        self._told, self._failed, self._stopped = told, failed, stopped
        self._cooker = cooker or setup.cooker.name
        self._folder = writing.Folder(dest)
        self._dest = dest
        self._stamp = stamp(setup)
        self._known: dict[str, _Known] = {}
        self._outputs: dict[str, str] = {}  # which source owns an output
        self._converted = self._unchanged = self._gone = 0

    def go(self) -> Done:
        from converter.ledger import FILE_NAME, Ledger, Settings

        self._folder.tidy(FILE_NAME)
        ending = names.ENDINGS[self._setup.form]
        top = ("index.md", "index.html", names.REPORT, *(f"{names.INDEX}{ending}", FILE_NAME))
        found: list[Found] = []
        passed: list[Passed] = []
        for one in find(self._src, ending=ending, taken=top):
            (found if isinstance(one, Found) else passed).append(one)  # type: ignore[arg-type]
            if self._stopped():  # nothing is changed yet
                return Done(Listed(self._setup.cooker.name, self._setup.form, ()), stopped=True)
        with Ledger.open(self._dest) as ledger, contextlib.closing(self._folder):
            decisions = ledger.decisions()
            self._load(ledger, decisions)
            settings = Settings(str(self._src), self._cooker, self._setup.form, self._setup.units)
            if ledger.settings() != settings:
                ledger.remember(settings)
            self._forget(ledger, {one.source for one in found})
            self._waiting = {one.source for one in found}
            self._total, self._done = len(found), 0
            try:
                self._told(0, self._total)
                for one in passed:
                    if one.failed:
                        self._failed(one)
                for some in outcomes(
                    self._tasks(found), pack(self._setup, decisions), engine=self._engine, total=self._total,
                    stamp=self._stamp, stopped=self._stopped,
                ):  # fmt: skip
                    self._keep_all(ledger, some)
            except BaseException:
                self._engine.stop()
                with contextlib.suppress(Exception):  # on a full disk the old lists stay as they are
                    self._known.clear()
                    self._load(ledger, decisions)
                    self._lists(self._listed(found, passed))
                raise
            if self._waiting:
                self._engine.stop()
            listed = self._listed(found, passed)
            self._lists(listed)
            if self._converted or self._gone:
                ledger.backup()
            return Done(
                listed, self._converted, self._unchanged, self._gone, tuple(ledger.notices), bool(self._waiting)
            )

    # ------------------------------------------------------------ what there is

    def _load(self, ledger: Ledger, decisions: Decisions) -> None:
        for entry in ledger.entries():
            known = self._known.setdefault(entry.source, _Known(entry.sha256))
            known.rows.append(_row(entry))
            about = stamped(self._stamp, decisions, tuple(flag.key for flag in entry.flags))
            same = entry.sha256 == known.sha256 and entry.stamp == about
            known.sound = known.sound and same and entry.status not in PASSING
            if entry.output:
                self._outputs[entry.output] = entry.source
                known.sound = known.sound and self._folder.has(entry.output)

    def _stands(self, one: Found, sha256: str) -> bool:
        """Say whether all that the file gives is in DEST already."""
        known = self._known.get(one.source)
        # The first recipe of a file is kept last, so without it the file is not finished.
        if known is None or not known.sound or known.sha256 != sha256 or known.rows[0].number != 1:
            return False
        ending = names.ENDINGS[self._setup.form]
        of = len(known.rows)
        return all(
            not row.output
            or row.output == names.output(one.base, number=row.number, of=of, title=row.title, ending=ending)
            for row in known.rows
        )

    def _tasks(self, found: list[Found]) -> Iterator[Task]:
        for one in found:
            if self._stopped():
                return
            try:
                sha256 = digest(one.path, most_bytes=HASHED_BYTES)
            except OSError:
                sha256 = ""  # the worker says why
            if self._stands(one, sha256):
                self._unchanged += 1
                self._waiting.discard(one.source)
                self._step(one.source)
            else:
                yield Task(one.source, one.path, one.base, sha256)

    def _step(self, source: str) -> None:
        """Tell that a file is done, and of what in it was not converted."""
        self._done += 1
        for row in self._known[source].rows:
            if row.status != CONVERTED:
                self._failed(row)
        self._told(self._done, self._total)

    # ------------------------------------------------------------ what is kept

    def _keep_all(self, ledger: Ledger, some: tuple[Outcome, ...]) -> None:
        """Write the outputs of some files, then what the ledger knows of them."""
        files = [
            (entry.output, data)
            for outcome in some
            for entry, data in zip(outcome.entries, outcome.outputs, strict=True)
            if data is not None
        ]
        wrong = dict(zip((output for output, _ in files), self._folder.put_all(files), strict=True))
        with ledger.together():
            for outcome in some:
                self._keep(ledger, outcome, wrong)
        self._waiting.difference_update(outcome.source for outcome in some)
        for outcome in some:
            self._step(outcome.source)

    def _keep(self, ledger: Ledger, outcome: Outcome, wrong: dict[str, writing.Outside | OSError | None]) -> None:
        """Keep the recipes of one file whose outputs are written; the first last."""
        entries = [_placed(entry, wrong.get(entry.output)) for entry in outcome.entries]
        for entry in entries:
            if entry.output:
                self._outputs[entry.output] = entry.source
        known = self._known.get(outcome.source)
        self._clear(outcome.source, keep={entry.output for entry in entries})
        if known is not None and len(known.rows) > len(entries):
            ledger.forget(outcome.source)
        for entry in reversed(entries):
            ledger.keep(entry)
        self._known[outcome.source] = _Known(entries[0].sha256, [_row(entry) for entry in entries])
        self._converted += sum(entry.status == CONVERTED for entry in entries)

    def _clear(self, source: str, *, keep: set[str]) -> None:
        """Remove outputs that the source had and has no longer, unless another source has them now."""
        known = self._known.get(source)
        for row in known.rows if known is not None else ():
            if row.output and row.output not in keep and self._outputs.get(row.output) == source:
                self._folder.remove(row.output)
                del self._outputs[row.output]

    def _forget(self, ledger: Ledger, present: set[str]) -> None:
        for source in [source for source in self._known if source not in present]:
            self._clear(source, keep=set())
            ledger.forget(source)
            del self._known[source]
            self._gone += 1

    # ------------------------------------------------------------ the lists

    def _listed(self, found: list[Found], passed: list[Passed]) -> Listed:
        rows = [row for source in sorted(self._known) for row in self._known[source].rows]
        renamed = frozenset(one.source for one in found if one.renamed)
        cooker, waiting = self._setup.cooker.name, frozenset(self._waiting)
        return Listed(cooker, self._setup.form, tuple(rows), tuple(passed), renamed, waiting)

    def _lists(self, listed: Listed) -> None:
        html = self._setup.form == "html"
        self._folder.remove("index.md" if html else "index.html")
        words = page(listed) if html else markdown(listed)
        self._folder.put_if_new("index.html" if html else "index.md", words.encode("utf-8", "replace"))
        self._folder.put_if_new(names.REPORT, report(listed).encode("utf-8"))


def _placed(entry: Entry, error: writing.Outside | OSError | None) -> Entry:
    """Return a recipe as it is kept after its output was written, or could not be; raises what stops the run."""
    if error is None:
        return entry
    if isinstance(error, writing.Outside):
        told = f"its place in the folder to write leads through a link ({error}), which is not followed"
    elif error.errno in _NAMING:
        told = f"it cannot be written as {entry.output}: {(error.strerror or '').lower()}"
    else:
        raise error
    return replace(entry, output="", status="name", reason=told)


def _row(entry: Entry) -> Row:
    counts = [sum(flag.level == level for flag in entry.flags) for level in ("caution", "judgement", "note")]
    return Row(
        entry.source, entry.number, entry.title, entry.output, entry.zones, entry.minutes,
        (counts[0], counts[1], counts[2]), entry.status, entry.reason,
    )  # fmt: skip
