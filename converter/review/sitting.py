"""A sitting at the flagged lines of one folder: what is open, what is decided, and the outputs that follow."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from functools import cached_property
from pathlib import Path

from converter.folder.work import CONVERTED, Setup, minutes, stamp, stamped, zones
from converter.folder.writing import Folder, Outside
from converter.ledger import Decision, Entry, KeptFlag, Ledger, LedgerError, kept_flags
from converter.model import Flag, Result
from converter.pipeline import convert, proposals
from converter.read.text import document
from converter.review.items import Choice, Item, neighbours, stays
from converter.write.forms import render

_KEPT_RESULTS = 8
_ROUNDS = 5


class Sitting:
    """One reviewer at one folder. ``put_off`` are the keys that this sitting does not show again."""

    def __init__(self, ledger: Ledger, dest: Path, setup: Setup, *, who: str = "") -> None:
        self.ledger = ledger
        self.setup = setup
        self.who = who
        self.put_off: set[str] = set()
        self.acts: list[int] = []
        self._dest = dest.resolve()
        self._results: dict[tuple[str, str], Result] = {}

    @cached_property
    def _folder(self) -> Folder:
        return Folder(self._dest)

    # ------------------------------------------------------------ looking

    def next(self, *, words: str = "", notes: bool = False) -> Item | None:
        """Return the next open flag, cautions first; `words` keep the lines that have them all."""
        flag = self.ledger.next_open(words=words, notes=notes, skip=self.put_off)
        return None if flag is None else self.item(flag)

    def item(self, flag: KeptFlag) -> Item:
        """Return a flag with its line, the proposal and the other ways, worked out anew."""
        entry = self.ledger.entry(flag.source, flag.number)
        standing = self.ledger.decision(flag.key)
        title = entry.title if entry is not None else ""
        suggestion = None if standing is not None and standing.settles else self.ledger.suggestion(flag, title)
        seen = standing.change if standing is not None and standing.key == flag.key else 0
        like = len(self.ledger.alike(flag))
        found = self._found(entry, flag.key) if entry is not None else None
        if found is None:
            return Item(flag, title, "", flag.line, "", "", "", (), (), (), suggestion, seen, like)
        result, real, kept = found
        before, line, after = neighbours(result.reading, real)
        also = tuple(
            other
            for other in kept
            if flag.phase and other.phase == flag.phase and other.level == "judgement" and other.key != flag.key
        )
        placement = next((p for p in result.placements if p.phase == flag.phase), None)
        if placement is None:
            return Item(flag, title, before, line, after, "", "", (), real.choices, also, suggestion, seen, like)
        ways = proposals(result.reading, placement, cooker=self.setup.cooker, slope=self.setup.slope)
        choices = tuple(
            Choice(
                number, way.code, stays(way.placement.moves), way.placement.moves,
                tuple(made.message for made in way.flags if made.level != "note"),
            )
            for number, way in enumerate(ways, start=1)
        )  # fmt: skip
        proposal = stays(placement.moves) or "left as the recipe has it"
        return Item(
            flag, title, before, line, after, proposal, placement.rule, choices, real.choices, also, suggestion, seen,
            like,
        )  # fmt: skip

    def _result(self, entry: Entry) -> Result:
        key = (entry.source, entry.text)
        found = self._results.get(key)
        if found is None:
            while len(self._results) >= _KEPT_RESULTS:
                del self._results[next(iter(self._results))]
            found = self._results[key] = self._convert(entry, ())
        return found

    def _convert(self, entry: Entry, decisions: Iterable[Decision]) -> Result:
        from converter.ledger import Decisions

        return convert(
            document(entry.text, name=entry.source.rpartition("/")[2]), cooker=self.setup.cooker,
            units=self.setup.units, rules=self.setup.rules, slope=self.setup.slope, decisions=Decisions(decisions),
        )  # fmt: skip

    def _found(self, entry: Entry, key: str) -> tuple[Result, Flag, tuple[KeptFlag, ...]] | None:
        if entry.status != CONVERTED:
            return None
        result = self._result(entry)
        kept = kept_flags(result)
        for real, flag in zip(result.flags, kept, strict=True):
            if flag.key == key:
                return result, real, kept
        return None

    # ------------------------------------------------------------ deciding

    def decide(
        self, item: Item, kind: str, *, code: str = "", words: str = "", like: bool = False, force: bool = False
    ) -> tuple[int, int]:
        """Keep a decision and rewrite the outputs that it changes; return how many lines and how many recipes.

        `kind` and `code` as in ``ledger.Decision``; `like` decides every open flag of the same rule and class of food,
        where the way can be had; `force` overrides what another decided meanwhile. Raises ``Conflict`` and
        ``LedgerError``.
        """
        if kind == "words" and not words.strip():
            raise LedgerError("your own words are missing")
        if kind == "words" and like:
            raise LedgerError("your own words are for one line; they cannot be the same for all")
        made = self._made(item, kind, code=code, words=words)
        if like:
            for flag in self.ledger.alike(item.flag):
                if flag.key == item.flag.key:
                    continue
                other = self.item(flag)
                if kind != "choice" or any(choice.code == code for choice in other.choices):
                    made += self._made(other, kind, code=code, words="")
        unique = list({decision.key: decision for decision in made}.values())
        seen = None if force else {item.flag.key: item.seen}
        self.acts.append(self.ledger.decide(unique, seen=seen))
        if kind == "later":
            self.put_off |= {decision.key for decision in unique}
            return len(unique), 0
        return len(unique), self.rewrite(decision.key for decision in unique)

    def _made(self, item: Item, kind: str, *, code: str, words: str) -> list[Decision]:
        said = words.strip()
        if said and item.line[-1:] in ".!" and said[-1] not in ".!?…)":
            said += "."
        kept = item.code if kind == "take" else code if kind == "choice" else ""
        flags = (item.flag, *item.also) if kind != "later" else (item.flag,)
        return [
            Decision(flag.key, kind, kept, said, flag.line, item.title, flag.name, flag.rule, flag.food, self.who)
            for flag in flags
        ]

    def undo(self) -> tuple[int, int] | None:
        """Take back the last act of this sitting; return lines and recipes, ``None`` where there is none left."""
        if not self.acts:
            return None
        keys = self.ledger.undo(self.acts[-1], who=self.who)
        self.acts.pop()
        self.put_off -= set(keys)
        return len(keys), self.rewrite(keys)

    # ------------------------------------------------------------ outputs

    def rewrite(self, keys: Iterable[str]) -> int:
        """Write the outputs of the recipes that have these flags again; return how many."""
        recipes = {(flag.source, flag.number) for key in keys for flag in self.ledger.find_flags(key)}
        for source, number in sorted(recipes):
            self._rewrite(source, number)
        return len(recipes)

    def _rewrite(self, source: str, number: int) -> None:
        for _ in range(_ROUNDS):
            entry = self.ledger.entry(source, number)
            if entry is None or entry.status != CONVERTED:
                return
            keys = [flag.key for flag in kept_flags(self._result(entry))]
            decisions = self.ledger.decisions(keys)
            result = self._convert(entry, decisions)
            flags = kept_flags(result)
            words = render(result, self.setup.form)
            about = stamped(stamp(self.setup), decisions, tuple(flag.key for flag in flags))
            if entry.output:
                whole = words if words.endswith("\n") else words + "\n"
                try:
                    self._folder.put(entry.output, whole.encode("utf-8", "replace"))
                except (OSError, Outside) as error:
                    told = getattr(error, "strerror", None) or error
                    raise LedgerError(
                        f"{entry.output}: it cannot be written ({told}); the decision is kept, "
                        "and undial folder writes it"
                    ) from None
            self.ledger.keep(replace(entry, stamp=about, zones=zones(result), minutes=minutes(result), flags=flags))
            # Another reviewer may have decided meanwhile.
            if self.ledger.decisions(keys).stamp(keys) == decisions.stamp(keys):
                return

    def result(self, item: Item) -> Result | None:
        """Return the conversion that an item was taken from, without any decision."""
        entry = self.ledger.entry(item.flag.source, item.flag.number)
        return None if entry is None or entry.status != CONVERTED else self._result(entry)
