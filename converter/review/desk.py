"""The review of one folder for any door: what is open, one line with all it needs, decisions, undo."""

from __future__ import annotations

import contextlib
from collections.abc import Callable, Collection, Iterator, Sequence
from dataclasses import replace
from pathlib import Path

from converter.folder.work import CONVERTED, Setup
from converter.ledger import (
    Act,
    Conflict,
    Decision,
    Decisions,
    Entry,
    KeptFlag,
    Ledger,
    LedgerError,
    Settings,
)
from converter.model import Result
from converter.review.household import Household
from converter.review.items import Alike, Answer, Done, Item, Left, Page, Stale, choices_of, neighbours, stays
from converter.review.judging import check, decisions_of, flag_of, mark_of, seen_of, stale
from converter.review.outputs import Outputs

Told = Callable[[int, int], None]
_ROUNDS = 5


def _quiet(done: int, total: int) -> None:
    """Say nothing about how far it is."""


class Desk:
    """The review of the folder `dest`. Safe between threads and processes: each call opens the ledger for itself.

    ``notices`` are sentences to show once: that the ledger was restored, that readings of the cooker are not used.
    """

    def __init__(self, dest: Path, *, user_rules: Path | None = None) -> None:
        """Open the desk; raises ``LedgerError`` where `dest` has no ledger or one that cannot be used."""
        self.dest = dest.resolve()
        self._household = Household(user_rules)
        self._outputs = Outputs(self.dest)
        with Ledger.open(self.dest, create=False) as ledger:
            self.notices = ledger.notices
            _, remarks = self._household.setup(ledger.settings() or Settings(""))
        self.notices += remarks

    @contextlib.contextmanager
    def _ledger(self) -> Iterator[Ledger]:
        with Ledger.open(self.dest, create=False, check=False) as ledger:
            yield ledger

    def _setup(self, ledger: Ledger) -> Setup:
        return self._household.setup(ledger.settings() or Settings(""))[0]

    def setup(self) -> Setup:
        """Return how the folder is converted now. Raises ``LedgerError``."""
        with self._ledger() as ledger:
            return self._setup(ledger)

    # ------------------------------------------------------------ looking

    def left(self) -> Left:
        """Return how many flags have no decision."""
        with self._ledger() as ledger:
            count = ledger.count_open()
            return Left(
                count.get("caution", 0), count.get("judgement", 0), count.get("note", 0), ledger.count_put_off()
            )

    def lines(self, *, words: str = "", notes: bool = False, start: int = 0, many: int = 50) -> Page:
        """Return open lines, cautions first and what was put off last.

        `words` keep those that have them all in their line, title, file or flag name.
        """
        with self._ledger() as ledger:
            found = ledger.open_flags(words=words, notes=notes, start=start, limit=many)
            known = len(found) < many and (found or not start)  # the end of the list was reached
            total = start + len(found) if known else ledger.count_found(words=words, notes=notes)
            return Page(tuple(found), total, start)

    def next(self, *, words: str = "", notes: bool = False, skip: Collection[str] = ()) -> Item | None:
        """Return the first open line whose key is not in `skip`."""
        with self._ledger() as ledger:
            flag = ledger.next_open(words=words, notes=notes, skip=skip)
            return None if flag is None else self._item(ledger, flag)

    def item(self, key: str) -> Item | None:
        """Return the line of a flag, decided or open; ``None`` where no recipe has these words now."""
        with self._ledger() as ledger:
            flag = next(iter(ledger.same_words(key)), None)
            return None if flag is None else self._item(ledger, flag)

    def result(self, item: Item) -> Result | None:
        """Return the conversion that a line was taken from, without any decision."""
        with self._ledger() as ledger:
            entry = ledger.entry(item.flag.source, item.flag.number)
            if entry is None or entry.status != CONVERTED:
                return None
            return self._outputs.proposed(entry, self._setup(ledger))

    def _item(self, ledger: Ledger, flag: KeptFlag) -> Item:
        entry = ledger.entry(flag.source, flag.number)
        standing = ledger.decision(flag.key)
        title = entry.title if entry is not None else ""
        item = Item(
            flag=flag, title=title, before="", line=flag.line, after="", proposal="", code="", choices=(), hints=(),
            also=tuple(ledger.beside(flag)), standing=standing,
            suggestion=None if standing is not None and standing.settles else ledger.suggestion(flag, title),
            like=ledger.count_alike(flag), output=entry.output if entry is not None else "", mark="",
        )  # fmt: skip
        if entry is not None and entry.status == CONVERTED:
            item = self._worked_out(item, entry, self._setup(ledger))
        return replace(item, mark=mark_of(item))

    def _worked_out(self, item: Item, entry: Entry, setup: Setup) -> Item:
        result = self._outputs.proposed(entry, setup)
        real = flag_of(result, item.flag.key)
        if real is None:
            return item
        before, line, after = neighbours(result.reading, real)
        item = replace(item, before=before, line=line, after=after, hints=real.choices)
        placement = next((p for p in result.placements if p.phase == item.flag.phase), None)
        if placement is None:
            return item
        return replace(
            item,
            proposal=stays(placement.moves) or "left as the recipe has it",
            code=placement.rule,
            choices=choices_of(result.reading, placement, setup, flags=result.flags),
        )

    def preview(self, key: str, *, examples: int = 5) -> Alike | None:
        """Return what the same answer for all like this line would be about; ``None`` where the line is gone."""
        with self._ledger() as ledger:
            flag = next(iter(ledger.same_words(key)), None)
            if flag is None:
                return None
            some = ledger.alike(flag, limit=examples)
            return Alike(ledger.count_alike(flag), tuple(some), flag.name, flag.rule, flag.food)

    def decisions(self) -> Decisions:
        """Return all decisions of the folder."""
        with self._ledger() as ledger:
            return ledger.decisions()

    def acts(self, *, limit: int = 20) -> tuple[Act, ...]:
        """Return what was done last, newest first."""
        with self._ledger() as ledger:
            return tuple(ledger.acts(limit=limit))

    def act_of(self, key: str) -> int | None:
        """Return the act that made the decision that holds for a flag, for `undo`; ``None`` where none holds."""
        with self._ledger() as ledger:
            return ledger.act_of(key)

    def history(self, key: str) -> list[tuple[str, str, str, Decision | None]]:
        """Return what happened to a line, oldest first: who, when, what, and the decision after it."""
        with self._ledger() as ledger:
            return ledger.history(key)

    # ------------------------------------------------------------ deciding

    def decide(self, key: str, answer: Answer, *, who: str = "", mark: str = "") -> Done | Stale:
        """Keep an answer and write the outputs again that it changes.

        `mark` is that of the item that was shown; without it only a line without a decision is decided. Nothing is
        kept where ``Stale`` is returned. Raises ``LedgerError`` for an answer that does not fit the line.
        """
        with self._ledger() as ledger:
            item = self._fresh(ledger, key, mark)
            if isinstance(item, Stale):
                return item
            check(item, answer, for_all=False)
            # The newest answer settles the whole stretch of heat.
            made = decisions_of(item, answer, (*item.also, *ledger.beside(item.flag, decided=True)), who=who)
            seen = ledger.changes(decision.key for decision in made)
            if seen[item.flag.key] != seen_of(item):
                return stale(item, ledger.decision(item.flag.key))
            try:
                act = ledger.decide(made, seen=seen)
            except Conflict as error:
                return stale(item, error.standing)
            return self._written(ledger, act, made, later=answer.kind == "later")

    def decide_all(
        self, key: str, answer: Answer, *, who: str = "", mark: str = "", told: Told = _quiet
    ) -> Done | Stale:
        """Keep the same answer for all open lines of the same name, rule and class of food, as one act.

        Lines for which the way cannot be had stay open. `told` is called with the outputs written and all of them.
        Otherwise as `decide`.
        """
        with self._ledger() as ledger:
            for _ in range(_ROUNDS):
                item = self._fresh(ledger, key, mark)
                if isinstance(item, Stale):
                    return item
                check(item, answer, for_all=True)
                made = decisions_of(item, answer, (*item.also, *ledger.beside(item.flag, decided=True)), who=who)
                skipped = 0
                for flag in ledger.alike(item.flag):
                    if flag.key == item.flag.key:
                        continue
                    if not self._can(ledger, flag, answer):
                        skipped += 1
                        continue
                    other = replace(item, flag=flag, line=flag.line, title=self._title(ledger, flag), code=flag.rule)
                    made += decisions_of(other, answer, ledger.beside(flag), who=who)
                unique = list({decision.key: decision for decision in made}.values())
                seen = ledger.changes(decision.key for decision in unique)
                try:
                    act = ledger.decide(unique, seen=seen)
                except Conflict:
                    continue  # one of them was decided meanwhile and is not among those alike any more
                done = self._written(ledger, act, unique, later=answer.kind == "later", told=told)
                return replace(done, skipped=skipped)
        raise LedgerError("others decide these lines at this moment; try again")

    def _fresh(self, ledger: Ledger, key: str, mark: str) -> Item | Stale:
        """Return the line as it is now where it is as it was shown."""
        flag = next(iter(ledger.same_words(key)), None)
        if flag is None:
            return Stale("gone", "this line is not there any more: its words were changed or its recipe was taken away")
        item = self._item(ledger, flag)
        change, _, shape = mark.partition("-")
        now, _, shape_now = item.mark.partition("-")
        if item.standing is not None and item.standing.settles and change != now:
            return stale(item, item.standing)
        if mark and item.standing is None and change != "0":
            return stale(item, None)
        if mark and shape != shape_now:
            return Stale("changed", f"'{item.line}' is proposed otherwise than it was shown", item.standing)
        return item

    def _can(self, ledger: Ledger, flag: KeptFlag, answer: Answer) -> bool:
        """Say whether the way can be had for a line; what was decided of its heat by itself is not for all."""
        if ledger.beside(flag, decided=True):
            return False
        entry = ledger.entry(flag.source, flag.number) if answer.kind == "choice" else None
        if entry is None or entry.status != CONVERTED:
            return answer.kind != "choice"
        setup = self._setup(ledger)
        result = self._outputs.proposed(entry, setup)
        placement = next((p for p in result.placements if p.phase == flag.phase), None)
        return placement is not None and any(
            choice.code == answer.code
            for choice in choices_of(result.reading, placement, setup, flags=result.flags)
        )

    def _title(self, ledger: Ledger, flag: KeptFlag) -> str:
        entry = ledger.entry(flag.source, flag.number)
        return entry.title if entry is not None else ""

    def undo(self, act: int, *, who: str = "") -> Done | Stale:
        """Take back one act, by whomever; what stood before it stands again. Raises ``LedgerError`` for no such act."""
        with self._ledger() as ledger:
            try:
                keys = ledger.undo(act, who=who)
            except Conflict as error:
                return Stale("decided", str(error), error.standing)
            outputs, trouble = self._outputs.rewrite(ledger, keys, setup=self._setup(ledger))
            return Done(ledger.last_act(), len(keys), outputs, trouble)

    def bring_in(self, made: Sequence[Decision]) -> tuple[int, Done]:
        """Take decisions over from elsewhere, newer ones alone; return how many now hold, and what was written."""
        with self._ledger() as ledger:
            taken = set(ledger.bring_in(made))
            new = [decision for decision in made if decision.key in taken]
            return len(taken), self._written(ledger, ledger.last_act(), new, later=False)

    def _written(
        self, ledger: Ledger, act: int, made: Sequence[Decision], *, later: bool, told: Told = _quiet
    ) -> Done:
        if later:
            return Done(act, len(made))
        keys = [decision.key for decision in made]
        outputs, trouble = self._outputs.rewrite(ledger, keys, setup=self._setup(ledger), told=told)
        return Done(act, len(made), outputs, trouble)

    def house_rule(self, key: str, code: str, *, who: str = "") -> str:
        """Make a rule of the household's own from a decided line and the id of its way; return a sentence about it.

        Raises ``LedgerError`` with the reason where no rule can be made.
        """
        from converter.review.house import make_rule

        item = self.item(key)
        if item is None or self._household.user_rules is None:
            raise LedgerError("no rule can be made: the line is gone" if item is None else "no file for rules is named")
        result = self.result(item)
        if result is None:
            raise LedgerError("no rule can be made: the recipe is not converted")
        return make_rule(item, result, code, setup=self.setup(), path=self._household.user_rules, who=who)

    def backup(self) -> None:
        """Write the backup of the ledger. Raises ``LedgerError``."""
        with self._ledger() as ledger:
            ledger.backup()
