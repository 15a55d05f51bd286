"""The review on a terminal: one line after another, answered with a letter or a number."""

from __future__ import annotations

from collections.abc import Callable

from converter.ledger import Conflict, LedgerError
from converter.review.items import Item
from converter.review.sitting import Sitting

Ask = Callable[[str], str]
Say = Callable[[str], None]
HELP = """\
  p      the proposal is right          1 2 3  another way from the list
  w      write the line in my own words k      keep the line as the recipe has it
  l      ask me later                   a p    the same for all like this (also a 1, a k)
  u      undo my last answer            h      make a rule of the house of my last answer
  f ...  find lines with these words    f      go back to all lines
  ?      this list                      q      stop here; everything answered is kept
"""
_PREVIEWED = 5


def shown(sitting: Sitting, item: Item) -> str:
    """Return what the screen says about one line."""
    flag = item.flag
    counts = sitting.ledger.count_open()
    rows = [
        "",
        f"{counts.get('caution', 0)} cautions and {counts.get('judgement', 0)} lines for your judgement are open",
        f"{item.title or 'no title'} ({flag.source}), step {flag.step}",
    ]
    rows += [f"    {item.before}"] if item.before else []
    rows += [f"  > {item.line}"]
    rows += [f"    {item.after}"] if item.after else []
    rows += ["", f"{flag.level} ({flag.name}): {flag.message}"]
    rows += [f"  unsure because: {flag.why}"] if flag.why else []
    if flag.level == "caution":
        rows.append("  The caution stays in the recipe whatever you answer; you settle only where the food goes.")
    rows += [f"  settled with it: {other.message}" for other in item.also]
    if item.suggestion is not None:
        old = item.suggestion
        rows.append(
            f"  The words have changed. Of '{old.line}' {old.who or 'you'} said on {old.at[:10]}: {_kind(old.kind)}"
        )
        rows += [f"      {old.words}"] if old.words else []
        rows += [
            f"      {choice.words}  (number {choice.number})" for choice in item.choices if choice.code == old.code
        ]
    rows.append(f"  p  {item.proposal}" if item.proposal else "  p  fine as it is")
    for choice in item.choices:
        rows.append(f"  {choice.number}  {choice.words}")
        rows += [f"       beware: {remark}" for remark in choice.remarks]
    rows += [f"     or: {hint}" for hint in item.hints]
    rows.append(
        f"  w own words, k keep as it was, l later, a the same for all {item.like} like this, u undo, ? help, q stop"
    )
    return "\n".join(rows)


def _kind(kind: str) -> str:
    return {
        "take": "the proposal", "choice": "another way", "words": "own words", "leave": "as it was", "later": "later",
    }[kind]  # fmt: skip


def run(sitting: Sitting, *, ask: Ask, say: Say, house: Callable[[Item, str], str], notes: bool = False) -> None:
    """Go through the open flags until none is left or the cook stops.

    `ask` shows a prompt and returns the answer (raises ``EOFError`` at the end), `house` makes a rule of an answered
    item and the id of its way and says what it did.
    """
    words = ""
    last: tuple[Item, str] | None = None
    say(HELP.rstrip("\n"))
    while True:
        item = sitting.next(words=words, notes=notes)
        if item is None:
            if words:
                say(f"no open line has '{words}'; all lines again")
                words = ""
                continue
            put_off = len(sitting.put_off)
            say("nothing is open" + (f" but {put_off} put off for later" if put_off else ""))
            return
        say(shown(sitting, item))
        try:
            answer = ask("> ").strip()
        except EOFError:
            return
        letter, _, rest = answer.partition(" ")
        try:
            if letter == "q":
                return
            if letter == "f":
                words = rest.strip()
            elif letter == "u":
                undone = sitting.undo()
                say("there is nothing to undo" if undone is None else f"undone: {undone[0]} lines open again")
            elif letter == "h":
                say("answer a line first" if last is None else house(*last))
            elif letter == "a":
                last = _all(sitting, item, rest.strip(), ask, say) or last
            else:
                last = _one(sitting, item, letter, ask, say) or last
        except Conflict as error:
            say(str(error))
            if _yes(ask, "Does your answer take its place? (y/n) "):
                last = _one(sitting, item, letter, ask, say, force=True) or last
        except LedgerError as error:
            say(str(error))
        except EOFError:
            return


def _meaning(item: Item, letter: str) -> tuple[str, str] | None:
    """Return kind and code of an answer, ``None`` for one that is none."""
    simple = {"p": "take", "w": "words", "k": "leave", "l": "later"}
    if letter in simple:
        return simple[letter], item.code if letter == "p" else ""
    found = [choice.code for choice in item.choices if str(choice.number) == letter]
    return ("choice", found[0]) if found else None


def _one(
    sitting: Sitting, item: Item, letter: str, ask: Ask, say: Say, *, force: bool = False
) -> tuple[Item, str] | None:
    meant = _meaning(item, letter)
    if meant is None:
        say(HELP.rstrip("\n"))
        return None
    kind, code = meant
    words = ask("the line in your words: ") if kind == "words" else ""
    lines, recipes = sitting.decide(item, kind, code=code, words=words, force=force)
    say(f"kept for {lines} flags; {recipes} recipes written again" if kind != "later" else "asked again later")
    return (item, code) if kind in ("take", "choice") else None


def _all(sitting: Sitting, item: Item, letter: str, ask: Ask, say: Say) -> tuple[Item, str] | None:
    meant = _meaning(item, letter)
    if meant is None or meant[0] == "words":
        say("say which answer is for all: a p, a k, a l or a number, such as a 1")
        return None
    alike = sitting.ledger.alike(item.flag)
    say(f"{len(alike)} open lines have the rule {item.flag.rule or 'none'} and the food {item.flag.food or 'none'}:")
    for flag in alike[:_PREVIEWED]:
        say(f"    {flag.source}, step {flag.step}: {flag.line}")
    if len(alike) > _PREVIEWED:
        say(f"    and {len(alike) - _PREVIEWED} more")
    if not _yes(ask, f"The same for all {len(alike)}? (y/n) "):
        return None
    lines, recipes = sitting.decide(item, meant[0], code=meant[1], like=True)
    say(f"kept for {lines} flags; {recipes} recipes written again")
    return (item, meant[1]) if meant[0] in ("take", "choice") else None


def _yes(ask: Ask, question: str) -> bool:
    return ask(question).strip().lower() in ("y", "yes")
