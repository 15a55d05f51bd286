"""What one worker does with one file: read it, convert its recipes, hand back the words. Writes nothing."""

from __future__ import annotations

import contextlib
import hashlib
import os
import pickle
import signal
import threading
import zlib
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from functools import cache, lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Any

from converter import __version__, data
from converter.folder import names

if TYPE_CHECKING:
    from converter.formats import FileText
    from converter.ledger import Decisions, Entry
    from converter.model import Move, Result
    from converter.place.cookers import Cooker
    from converter.place.rules import RuleTable

CONVERTED = "converted"
CONVERT_SECONDS = 20
"""For the recipes of one file; the slowest of 3,129 took well under one. A round figure, by judgement."""


@dataclass(frozen=True, slots=True)
class Setup:
    """How the recipes are converted: the same for all of a run. ``rules`` is the whole table, the household's with it.

    ``slope`` is the cooker's own clock [1/K at 60 minutes], ``measured`` its
    places, (zone id, height), that were read within a day; ``form`` is one of
    ``converter.write.forms.FORMS``, ``units`` c, f or both.
    """

    cooker: Cooker
    rules: RuleTable
    form: str = "markdown"
    units: str = "both"
    slope: float | None = None
    measured: frozenset[tuple[str, str]] = frozenset()


@dataclass(frozen=True, slots=True)
class Task:
    """A file to read: `source` and `base` as in ``finding.Found``, `sha256` of its bytes."""

    source: str
    path: str
    base: str
    sha256: str


@dataclass(frozen=True, slots=True)
class Outcome:
    """What became of a file: its recipes in order, and for each the bytes of its output, ``None`` where it has none."""

    source: str
    entries: tuple[Entry, ...]
    outputs: tuple[bytes | None, ...]


@dataclass(frozen=True, slots=True)
class _Order:
    setup: Setup
    decisions: Decisions
    stamp: str
    program: str


class OtherProgram(Exception):
    """A worker runs another version of the program than the one that gave the order."""


@cache
def program() -> str:
    """Return a digest of the program and its built-in tables; it changes with every version."""
    made = hashlib.sha256(__version__.encode())
    package = Path(data.__file__).parent
    files = [path for path in package.rglob("*") if path.suffix in (".py", ".css", ".json")]
    for base in ("rules", "lexicon"):
        files += data.folder(base).rglob("*.yaml")
    for path in sorted(set(files), key=lambda path: (path.name, str(path))):
        made.update(path.name.encode() + b"\0" + path.read_bytes() + b"\0")
    return made.hexdigest()[:24]


def stamp(setup: Setup) -> str:
    """Return a short text that changes whenever a recipe may come out differently, decisions left aside."""
    own = [_plain(rule) for rule in setup.rules.rules if rule.own]
    about = (program(), _plain(setup.cooker), setup.form, setup.units, setup.slope, _plain(setup.measured), own)
    words = repr(about)
    return hashlib.sha256(words.encode("utf-8", "backslashreplace")).hexdigest()[:24]


def _plain(value: Any) -> Any:
    """Return `value` as lists in a fixed order: a set has another order in every process."""
    if is_dataclass(value) and not isinstance(value, type):
        return [_plain(getattr(value, one.name)) for one in fields(value)]
    if isinstance(value, Mapping):
        return sorted([str(key), _plain(one)] for key, one in value.items())
    if isinstance(value, set | frozenset):
        return sorted(str(one) for one in value)
    if isinstance(value, list | tuple):
        return [_plain(one) for one in value]
    return value


def stamped(base: str, decisions: Decisions, entry_keys: Iterator[str] | tuple[str, ...]) -> str:
    """Return the stamp of one recipe: `base` and the decisions about its flags."""
    about = decisions.stamp(entry_keys)
    return f"{base}:{about}" if about else base


def pack(setup: Setup, decisions: Decisions) -> bytes:
    """Return what every worker needs besides its tasks, for handing to ``work``."""
    return zlib.compress(pickle.dumps(_Order(setup, decisions, stamp(setup), program())), 6)


@lru_cache(maxsize=2)
def _unpacked(packed: bytes) -> _Order:
    order = pickle.loads(zlib.decompress(packed))
    assert isinstance(order, _Order)
    if order.program != program():
        raise OtherProgram("a worker runs another version of undial; install the same one everywhere")
    return order


def work(tasks: tuple[Task, ...], packed: bytes) -> tuple[Outcome, ...]:
    """Read and convert some files; one that gives no recipe comes back with the reason.

    Raises ``OtherProgram``; nothing else but a fault of the machine.
    """
    _unpacked(packed)
    return tuple(_file(task, packed) for task in tasks)


def refused(task: Task, *, base_stamp: str, code: str, sentence: str) -> Outcome:
    """Return the outcome of a file that could not be read or converted at all."""
    from converter.ledger import Entry

    entry = Entry(task.source, 1, task.sha256, base_stamp, "", "", (), None, code, sentence, "", ())
    return Outcome(task.source, (entry,), (None,))


def too_slow(task: Task, packed: bytes) -> Outcome:
    """Return the outcome of a file that took too long to convert."""
    told = f"converting it took longer than {CONVERT_SECONDS} seconds"
    return refused(task, base_stamp=_unpacked(packed).stamp, code="time", sentence=told)


def _file(task: Task, packed: bytes) -> Outcome:
    from converter.formats import Unreadable, read_in_worker

    order = _unpacked(packed)
    try:
        found = read_in_worker(task.path)
        with _alarm(CONVERT_SECONDS):
            return _converted(task, found, order)
    except Unreadable as error:
        return refused(task, base_stamp=order.stamp, code=error.code, sentence=error.sentence)
    except _TooSlow:
        return too_slow(task, packed)
    except MemoryError:
        return refused(task, base_stamp=order.stamp, code="memory", sentence="converting it takes too much memory")
    except Exception as error:  # a fault of ours must not take the other recipes with it
        return refused(task, base_stamp=order.stamp, code="fault", sentence=_fault(error))


def _converted(task: Task, found: FileText, order: _Order) -> Outcome:
    entries: list[Entry] = []
    outputs: list[bytes | None] = []
    for number, (title, text) in enumerate(found.recipes, start=1):
        told = "; ".join(found.warnings) if number == 1 else ""
        output = names.output(
            task.base, number=number, of=len(found.recipes), title=title or "", ending=names.ENDINGS[order.setup.form]
        )
        entry, data = _recipe(task, order, number=number, title=title or "", text=text, output=output, told=told)
        entries.append(entry)
        outputs.append(data)
    return Outcome(task.source, tuple(entries), tuple(outputs))


def _recipe(
    task: Task, order: _Order, *, number: int, title: str, text: str, output: str, told: str
) -> tuple[Entry, bytes | None]:
    from converter.ledger import Entry, kept_flags
    from converter.read.lines import NoMethod
    from converter.read.text import NotReadable

    name = task.source.rpartition("/")[2]
    try:
        result = converted(text, task.source, setup=order.setup, decisions=order.decisions)
        written = output_bytes(result, order.setup)
    except (NotReadable, NoMethod) as error:
        code, reason = "no-recipe", str(error).removeprefix(f"{name}: ")
    except _TooSlow:
        raise
    except Exception as error:  # one bad recipe never stops the rest of its file
        code, reason = "fault", _fault(error)
    else:
        flags = kept_flags(result)
        about = stamped(order.stamp, order.decisions, tuple(flag.key for flag in flags))
        entry = Entry(
            task.source, number, task.sha256, about, output, title or result.reading.recipe.title, zones(result),
            minutes(result), CONVERTED, told, text, flags,
        )  # fmt: skip
        return entry, written
    return Entry(task.source, number, task.sha256, order.stamp, "", title, (), None, code, reason, text, ()), None


def converted(text: str, source: str, *, setup: Setup, decisions: Decisions | None = None) -> Result:
    """Convert one recipe of the file `source`. Raises ``NotReadable`` and ``NoMethod``."""
    from converter.pipeline import convert
    from converter.read.text import document

    return convert(
        document(text, name=source.rpartition("/")[2]), cooker=setup.cooker, units=setup.units, rules=setup.rules,
        slope=setup.slope, measured=setup.measured, decisions=decisions,
    )  # fmt: skip


def output_bytes(result: Result, setup: Setup) -> bytes:
    """Return what is written to the output of a recipe."""
    from converter.write.forms import render

    words = render(result, setup.form)
    return (words if words.endswith("\n") else words + "\n").encode("utf-8", "replace")


def _moves(result: Result) -> Iterator[Move]:
    return (move for placement in result.placements for move in placement.moves)


def zones(result: Result) -> tuple[str, ...]:
    """Return the household's words for the zones of a recipe, in the order of their first use."""
    return tuple(dict.fromkeys(move.label for move in _moves(result)))


def minutes(result: Result) -> tuple[float, float] | None:
    """Return the minutes [low, high] of all stays added up, ``None`` where no stay has a time."""
    stays = [move.minutes for move in _moves(result) if move.minutes is not None]
    return (sum(stay.low for stay in stays), sum(stay.high for stay in stays)) if stays else None


def _fault(error: Exception) -> str:
    trace = error.__traceback__
    while trace is not None and trace.tb_next is not None:
        trace = trace.tb_next
    at = f" at {os.path.basename(trace.tb_frame.f_code.co_filename)}:{trace.tb_lineno}" if trace else ""
    return f"undial itself failed ({type(error).__name__}{at}); the recipe may be in order, please report it"


class _TooSlow(BaseException):
    """The time for one file is over."""


@contextlib.contextmanager
def _alarm(seconds: int) -> Iterator[None]:
    """Stop what runs after so many seconds, where the system can interrupt this thread."""
    if not hasattr(signal, "setitimer") or threading.current_thread() is not threading.main_thread():
        yield
        return

    def over(*_: object) -> None:
        raise _TooSlow

    before = signal.signal(signal.SIGALRM, over)
    signal.setitimer(signal.ITIMER_REAL, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_REAL, 0)
        signal.signal(signal.SIGALRM, before)
