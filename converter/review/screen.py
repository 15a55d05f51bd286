"""The review on a terminal: one line after another, answered with a letter or a number."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field
from textwrap import wrap

from converter.diagnostics import PLAIN, Style, paint, spell
from converter.ledger import Decision, LedgerError
from converter.review.desk import Desk
from converter.review.items import Answer, Done, Item, Stale
from converter.review.judging import kind_words

Ask = Callable[[str], str]
Say = Callable[[str], None]
HELP = (
    ("p", "the proposal is right"),
    ("1 2 3", "another way from the list"),
    ("w", "write the line in my own words"),
    ("k", "keep the line as the recipe has it"),
    ("l", "ask me later"),
    ("a p", "the same for all lines like this; also a k, a l, a 1"),
    ("u", "undo my last answer"),
    ("f WORDS", "go through the lines with these words; f alone: through all again"),
    ("h", "make a rule of this household of my last answer"),
    ("?", "this list"),
    ("q", "stop here; everything answered is kept"),
)
_PREVIEWED = 5
_BOLD, _YELLOW, _CYAN = "1", "1;33", "1;36"
_SIMPLE = {"p": "take", "w": "words", "k": "leave", "l": "later"}


@dataclass
class _Sitting:
    """What one cook has done since the review was opened."""

    desk: Desk
    who: str
    ask: Ask
    say: Say
    draw: Say  # as `say`, for what is laid out already
    notes: bool
    words: str = ""
    put_off: set[str] = field(default_factory=set)
    acts: list[tuple[int, str]] = field(default_factory=list)
    last: tuple[str, str] | None = None
    again: str = ""  # the key of a line to show once more


def run(
    desk: Desk, *, ask: Ask, say: Say, who: str = "", notes: bool = False, style: Callable[[], Style] = lambda: PLAIN
) -> bool:
    """Go through the open flags; return True when none is left, False where the cook stopped.

    `ask` shows a prompt and returns the answer (raises ``EOFError`` at the end of input); `style` is what the
    terminal can show at this moment.
    """

    def tell(text: str) -> None:
        look = style()
        rows = (row for line in text.splitlines() for row in _hung(" " * (len(line) - len(line.lstrip())), line, look))
        say(spell("\n".join(rows), look.encoding))

    sitting = _Sitting(desk, who, ask, tell, say, notes)
    if desk.left().total or notes:
        say(_help(style()))
    while True:
        item = _next(sitting)
        if item is None and sitting.words:
            tell(f"No more open line has '{sitting.words}'; all lines again.")
            sitting.words = ""
            continue
        if item is None:
            tell(_end(desk))
            return True
        say(shown(item, head=_left(desk, sitting.words, notes), style=style()))
        try:
            while not (moved := _answered(sitting, item, style())):
                pass
        except EOFError:
            say("")
            moved = "stop"
        if moved == "stop":
            tell(f"Stopped; everything answered is kept. {_open(desk)}.")
            return False


def _next(sitting: _Sitting) -> Item | None:
    key, sitting.again = sitting.again, ""
    item = sitting.desk.item(key) if key else None
    return item or sitting.desk.next(words=sitting.words, notes=sitting.notes, skip=sitting.put_off)


# ---------------------------------------------------------------- what is shown


def _count(number: int, one: str, more: str = "") -> str:
    return f"{number} {one if number == 1 else more or one + 's'}"


def _open(desk: Desk) -> str:
    left = desk.left()
    put_off = f", {left.later} of them put off" if left.later else ""
    parts = [_count(left.cautions, "caution")] if left.cautions else []
    if left.judgements or not parts:
        parts.append(f"{_count(left.judgements, 'line')} for your judgement")
    return f"{' and '.join(parts)} {'is' if left.total == 1 else 'are'} left{put_off}"


def _end(desk: Desk) -> str:
    left = desk.left()
    return f"{_open(desk)}, asked in the next review." if left.total else "Nothing is left to decide."


def _left(desk: Desk, words: str, notes: bool) -> str:
    if not words:
        return _open(desk)
    total = desk.lines(words=words, notes=notes, many=0).total
    return f"{_count(total, 'open line')} with '{words}' (f alone: all lines)"


def _help(style: Style) -> str:
    return "\n".join(row for letter, words in HELP for row in _hung(f"  {letter:<9}", words, style))


def _hung(lead: str, words: str, style: Style, code: str = "") -> list[str]:
    """Wrap words behind a lead, the further lines under the first word."""
    room = max(20, style.width - len(lead))
    rows = wrap(" ".join(words.split()), width=room, break_long_words=True) or [""]
    pad = " " * len(lead)
    return [f"{lead if not at else pad}{paint(row, code, style)}" for at, row in enumerate(rows)]


def shown(item: Item, *, head: str = "", style: Style = PLAIN) -> str:
    """Return what the screen says about one line."""
    flag = item.flag
    rows = ["", *(_hung("", head, style) if head else ())]
    rows += _hung("", f"{item.title or 'No title'} ({flag.source}), step {flag.step}", style, _BOLD)
    rows += _hung("      ", item.before, style) if item.before else []
    rows += _hung("    > ", item.line, style, _BOLD)
    rows += _hung("      ", item.after, style) if item.after else []
    rows += ["", *_hung("", f"{flag.level.capitalize()}: {flag.message}", style, _colour(flag.level))]
    rows += _hung("  why: ", flag.why, style) if flag.why else []
    if flag.level == "caution":
        told = "this caution stays in the recipe whatever you answer; you settle only where the food goes"
        rows += _hung("  ", told, style)
    for other in item.also:
        rows += _hung("  settled with it: ", other.message, style)
    rows += _before_words(item, style)
    rows += ["", *_hung("  p  ", item.proposal or "seen; nothing is changed in the recipe", style)]
    for choice in item.choices:
        rows += _hung(f"  {choice.number}  ", choice.words, style)
        for remark in choice.remarks:
            rows += _hung("       beware: ", remark, style)
    for hint in item.hints:
        rows += _hung("     to think of: ", hint, style)
    rows.append(_keys(item, style))
    return spell("\n".join(rows), style.encoding)


def _colour(level: str) -> str:
    return {"caution": _YELLOW, "judgement": _CYAN}.get(level, "")


def _keys(item: Item, style: Style) -> str:
    like = f"a the same for all {item.like} like this, " if item.like > 1 else ""
    words = f"w own words, k keep as it was, l later, {like}u undo, f find, ? help, q stop"
    return "\n".join(_hung("  ", words, style))


def _before_words(item: Item, style: Style) -> list[str]:
    """Say what was decided: of this line, or of what it was before its words changed."""
    rows: list[str] = []
    for made, lead in ((item.standing, "  decided: "), (item.suggestion, "  before its words changed: ")):
        if made is None or (made is item.standing and not made.settles):
            continue
        about = f"'{made.line}': " if made is item.suggestion else ""
        rows += _hung(lead, f"{about}{_way(item, made)}, by {made.who or 'someone'} on {made.at[:10]}", style)
    return rows


def _way(item: Item, made: Decision) -> str:
    """Say a decision in words and, where it can be given again, with which answer."""
    number = next((choice.number for choice in item.choices if choice.code == made.code), None)
    if made.kind == "words":
        return f"own words, '{made.words}'"
    if made.kind == "choice" and number is not None:
        return f"the way that is number {number} here"
    return kind_words(made.kind)


# ---------------------------------------------------------------- what is answered


def _answered(sitting: _Sitting, item: Item, style: Style) -> str:
    """Take one answer; return "" to ask again about the same line, "next", or "stop"."""
    say, ask = sitting.say, sitting.ask
    letter, _, rest = ask("> ").strip().partition(" ")
    letter, rest = letter.lower().rstrip(".)"), rest.strip()
    try:
        if letter in ("q", "quit", "exit"):
            return "stop"
        if letter == "?":
            sitting.draw(_help(style))
            return ""
        if letter == "f":
            sitting.words, sitting.put_off = rest, set() if rest else sitting.put_off
            return "next"
        if letter == "u":
            return _undo(sitting)
        if letter == "h":
            told = sitting.desk.house_rule(*sitting.last, who=sitting.who) if sitting.last else "Answer a line first."
            say(told)
            return ""
        if letter == "a":
            return _all(sitting, item, rest.lower())
        if not letter and item.standing is not None and item.standing.settles:
            return "next"  # what another has decided is left
        return _one(sitting, item, letter, rest)
    except LedgerError as error:
        say(str(error))
        return ""


def _undo(sitting: _Sitting) -> str:
    if not sitting.acts:
        sitting.say("There is nothing to undo in this review.")
        return ""
    act, key = sitting.acts.pop()
    done = sitting.desk.undo(act, who=sitting.who)
    if isinstance(done, Stale):
        sitting.say(done.message)
        return ""
    sitting.put_off.discard(key)
    sitting.again, sitting.last = key, None
    sitting.say(f"Undone: {_count(done.lines, 'flag')}{_written(done)}")
    return "next"


def _meaning(item: Item, letter: str) -> Answer | None:
    """Return an answer without its words, ``None`` for a sign that is none."""
    if letter in _SIMPLE:
        return Answer(_SIMPLE[letter])
    found = [choice.code for choice in item.choices if str(choice.number) == letter]
    return Answer("choice", found[0]) if found else None


def _not_known(item: Item, letter: str) -> str:
    most = len(item.choices)
    ways = f"{'1' if most == 1 else f'1 to {most}'} another way, " if most else ""
    lead = f"'{letter}' is no answer here" if letter else "Nothing was kept"
    return f"{lead}: p takes the proposal, {ways}l asks later, ? lists all."


def _one(sitting: _Sitting, item: Item, letter: str, rest: str) -> str:
    answer = _meaning(item, letter)
    if answer is None or (rest and answer.kind != "words"):
        sitting.say(_not_known(item, f"{letter} {rest}".strip()))
        return ""
    if answer.kind == "words":
        words = rest or sitting.ask("The line in your words (Enter: back): ").strip()
        if not words:
            sitting.say("Nothing was kept.")
            return ""
        answer = Answer("words", words=words)
    done = sitting.desk.decide(item.flag.key, answer, who=sitting.who, mark=item.mark)
    return _kept(sitting, item, answer, done)


def _all(sitting: _Sitting, item: Item, letter: str) -> str:
    answer = _meaning(item, letter)
    if answer is None or answer.kind == "words":
        sitting.say("Say which answer is for all: a p, a k, a l, or a and a number, such as a 1.")
        return ""
    alike = sitting.desk.preview(item.flag.key, examples=-1 if answer.kind == "later" else _PREVIEWED)
    if alike is None:
        return "next"
    food = f" and the food {alike.food}" if alike.food else ""
    sitting.say(f"{_count(alike.count, 'open line')} with the rule {alike.rule or 'none'}{food}:")
    for flag in alike.examples[:_PREVIEWED]:
        sitting.say(f"    {flag.source}, step {flag.step}: {flag.line}")
    if alike.count > _PREVIEWED:
        sitting.say(f"    and {alike.count - _PREVIEWED} more")
    if sitting.ask(f"The same for all {alike.count}? (y/n) ").strip().lower() not in ("y", "yes"):
        sitting.say("Nothing was kept.")
        return ""
    done = sitting.desk.decide_all(item.flag.key, answer, who=sitting.who, mark=item.mark)
    return _kept(sitting, item, answer, done, (flag.key for flag in alike.examples))


def _kept(
    sitting: _Sitting, item: Item, answer: Answer, done: Done | Stale, keys: Iterable[str] = ()
) -> str:
    if isinstance(done, Stale):
        sitting.say(f"Not kept: {done.message}.")
        if done.why != "gone":
            sitting.say("Here is the line as it is now; answer again, or press Enter to leave it.")
            sitting.again = item.flag.key
        return "next"
    sitting.acts.append((done.act, item.flag.key))
    if answer.kind == "later":
        sitting.put_off |= {item.flag.key, *keys}
        sitting.say("It is asked again in the next review.")
        return "next"
    sitting.last = (item.flag.key, answer.code or item.code) if answer.kind in ("take", "choice") else None
    skipped = f"; {_count(done.skipped, 'line')} like it cannot have that way and stay open" if done.skipped else ""
    sitting.say(f"Kept for {_count(done.lines, 'flag')}{_written(done)}{skipped}")
    return "next"


def _written(done: Done) -> str:
    rest = "".join(f"\n{sentence}" for sentence in done.trouble)
    if len(done.outputs) == 1:
        return f"; written again: {done.outputs[0]}{rest}"
    return f"; {len(done.outputs)} recipes written again{rest}"
