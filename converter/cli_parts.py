"""What the commands share: what is said on standard error, tables and recipes by name. Imports nothing heavy."""

from __future__ import annotations

import contextlib
import os
import shutil
import sys
from collections.abc import Callable, Iterable, Iterator
from pathlib import Path
from typing import TYPE_CHECKING, TypeVar

import click

if TYPE_CHECKING:
    from converter.diagnostics import Style
    from converter.ledger import Decisions
    from converter.place.cookers import Cooker
    from converter.place.rules import RuleTable

T = TypeVar("T")
STOPPED = 130  # what a shell gives a command that was stopped from the keyboard


class WrongUse(click.ClickException):
    """One sentence about a wrong use of the command."""

    exit_code = 2


def near(word: str, known: Iterable[str], *, limit: int = 3) -> list[str]:
    """Return at most `limit` of the `known` words that `word` may have been meant for, best first."""
    from rapidfuzz import fuzz, process, utils

    found = process.extract(
        word, list(known), scorer=fuzz.WRatio, processor=utils.default_process, score_cutoff=70, limit=limit
    )
    return [name for name, _, _ in found]


def style() -> Style:
    """Return what standard error can show."""
    from converter.diagnostics import style_of

    stream = sys.stderr
    if stream is None:  # closed by the caller
        return style_of(tty=False, environ=os.environ, encoding=None)
    tty = stream.isatty()
    width = shutil.get_terminal_size((100, 24)).columns if tty else 100
    return style_of(tty=tty, environ=os.environ, encoding=stream.encoding, width=width)


def say(text: str) -> None:
    """Print `text` to standard error."""
    click.echo(text, err=True, color=True)  # the style has decided about colours already


def say_error(message: str) -> None:
    """Print an error to standard error as one line."""
    from converter.diagnostics import error_line

    say(error_line(message, style=style()))


def user_rules() -> Path:
    """Return where the household's own rules are looked for."""
    from platformdirs import user_config_dir

    return Path(user_config_dir("undial", appauthor=False)) / "rules.yaml"


def usable(make: Callable[[], T]) -> T:
    """Return what `make` gives.

    Raises ``WrongUse`` for a table or profile that cannot be used: it says
    file, line, key and what is allowed.
    """
    from converter.data import DataError

    try:
        return make()
    except DataError as error:
        raise WrongUse(str(error)) from None
    except UnicodeDecodeError:
        raise WrongUse("a table or profile is not UTF-8 text") from None
    except OSError as error:
        if error.filename is None:
            raise
        from converter.files import trouble

        raise WrongUse(str(trouble(str(error.filename), error))) from None


def rule_table(extra: Path | None = None, *, examples: bool = False) -> RuleTable:
    """Return the rules with the household's own: those in `extra`, else those in `user_rules`.

    The built-in ones bear their examples only where `examples` asks for them.
    """
    from converter.place import rules

    own = extra or user_rules()
    return usable(lambda: rules.load(own if own.is_file() else None, examples=examples))


def cooker_named(name: str | None) -> Cooker:
    """Return the cooker of that name or file; ``None`` is the household's default."""
    from converter.place import cookers

    return usable(lambda: cookers.load(name or cookers.default_name()))


def lasting_name(name: str | None) -> str:
    """Return what names the same cooker from any working directory; ``None`` is the household's default."""
    from converter.place import cookers

    chosen = name or usable(cookers.default_name)
    return cookers.builtin_name(chosen) or str(Path(chosen).resolve())


def paste_hint(system: str) -> str:
    """Return how a paste is ended on a system, named as ``os.name`` names it."""
    keys = "Ctrl-Z and then Enter" if system == "nt" else "Ctrl-D"
    return f"Paste the recipe, press Enter, then {keys}."


def invite() -> None:
    """Say on a terminal how to end the paste; called before the slow imports."""
    if sys.stdin is not None and sys.stdin.isatty():
        say(paste_hint(os.name))


@contextlib.contextmanager
def told(path: str, failed: list[str]) -> Iterator[None]:
    """Say in one sentence what stopped one recipe and add it to `failed`; the others go on."""
    from converter.data import DataError
    from converter.files import STDIN, FileTrouble
    from converter.read.lines import NoMethod
    from converter.read.text import NotReadable

    name = STDIN if path == "-" else path
    try:
        yield
        return
    except (FileTrouble, NotReadable, NoMethod) as error:
        message = str(error)
    except DataError as error:
        raise WrongUse(str(error)) from None
    except (click.ClickException, click.exceptions.Exit, OSError):
        raise
    except Exception as error:  # a fault of ours must not take the other recipes with it
        if os.environ.get("UNDIAL_DEBUG"):
            raise
        trace = error.__traceback__
        while trace is not None and trace.tb_next is not None:
            trace = trace.tb_next
        at = f" at {Path(trace.tb_frame.f_code.co_filename).name}:{trace.tb_lineno}" if trace else ""
        message = f"undial itself failed ({type(error).__name__}{at}); the recipe may be in order, please report it"
    if name not in message:
        message = f"{name}: {message}"
    failed.append(message)
    say_error(message)


def own_cooker(name: str | None, *, quiet: bool = False) -> tuple[Cooker, float | None]:
    """Return the cooker of that name as its household read it, and the slope of its clock [1/K] if logs tell one.

    Says on standard error which readings are not used, unless `quiet`. Raises ``WrongUse`` where what is kept of the
    cooker cannot be read.
    """
    from datetime import date

    from converter.place import own_cooker as own

    made = cooker_named(name)
    applied = usable(lambda: own.apply(made, date.today()))
    if not quiet:
        for remark in applied.remarks:
            say(f"Note: {remark}")
    return applied.cooker, applied.slope


def read_today(cooker: Cooker) -> frozenset[tuple[str, str]]:
    """Return the places, (zone id, height), that were read with a thermometer within a day and are in use.

    Raises ``WrongUse`` as `own_cooker`.
    """
    from datetime import date

    from converter.place.own_cooker import read_lately

    return usable(lambda: read_lately(cooker, date.today()))


def decisions_for(path: str, dest: Path | None, *, cooker: str | None = None) -> Decisions | None:
    """Return what was decided in the folder `dest`, without one in the folder that the recipe `path` belongs to.

    That is a folder beside one of the recipe's own folders, or one that holds it, with a ledger that was made from
    them; of several the one for this `cooker`. Raises ``WrongUse`` where `dest` has no ledger that can be used; one
    that was found by itself is then passed over.
    """
    real = Path(path).resolve() if path != "-" and os.path.isfile(path) else None
    near = (dest,) if dest is not None else tuple(_dests_near(real)) if real is not None else ()
    if not near:
        return None
    from converter.ledger import Ledger, LedgerError

    kept: list[tuple[str, Decisions]] = []
    for found in near:
        try:
            with Ledger.open(found, create=False, check=dest is not None) as ledger:
                about = ledger.settings()
                if dest is not None:
                    return ledger.decisions()
                if about is not None and real is not None and real.is_relative_to(Path(about.src).resolve()):
                    kept.append((about.cooker, ledger.decisions()))
        except LedgerError as error:
            if dest is not None:
                raise WrongUse(str(error)) from None
            if real is not None and _names(found / _REPORT, real.name):
                say(f"Note: {error}; its decisions are not used")
    if len(kept) > 1:
        mine = lasting_name(cooker)
        kept.sort(key=lambda one: one[0] != mine)
    return kept[0][1] if kept else None


def _names(report: Path, name: str) -> bool:
    """Say whether the report of a folder names a file of this name: then its ledger matters, though it is broken."""
    try:
        return name in report.read_text(encoding="utf-8", errors="replace")
    except OSError:
        return False


_LEDGER = "undial-ledger.sqlite"
_REPORT = "report.json"
_UP = 16


def _dests_near(real: Path) -> Iterator[Path]:
    """Look for folders with a ledger among the recipe's own, `_UP` of them, and those beside them, in a fixed order."""
    for parent in real.parents[:_UP]:
        with contextlib.suppress(OSError):
            below = sorted(one.path for one in os.scandir(parent) if one.is_dir(follow_symlinks=False))
            yield from (Path(one) for one in (str(parent), *below) if os.path.isfile(os.path.join(one, _LEDGER)))
