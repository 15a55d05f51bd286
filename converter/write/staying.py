"""Writes the stays of a phase into its clauses: place, cover, minutes, moves."""

from __future__ import annotations

import re

from converter.model import Clause, Mention, Minutes, Move, Phase, Placement, Reading, Span, Spot
from converter.write import anchors, phrases
from converter.write.edits import Edits

_RETURN = re.compile(r"\b(?:return|back)\b", re.IGNORECASE)
_VESSEL = re.compile(
    r"\b(?:pan|saucepan|pot|casserole|dish|tin|tray|sheet|skillet|mould|mold|ramekins|basin|wok"
    r"|roasting pan|dutch oven|stockpot|parcel|tray)s?\b", re.IGNORECASE
)  # fmt: skip
_IT = re.compile(r"\b(?:it|them)\b", re.IGNORECASE)
_BOIL_WORDS = re.compile(
    r"\bto\s+(?:an?\s+|the\s+)?(?:\w+[\s,]+){0,3}?(?:boil(?:ing(?: point)?)?|simmer)\b|\b(?:boils?|boiling|simmer)\b",
    re.IGNORECASE,
)
_PREPOSED = re.compile(r"(?:at|in|into|on|over|to|from|under|with|set|\()\b|\(", re.IGNORECASE)
_MAY_GO = re.compile(r"(?:,|\boven|\b(?:bake|baked|roast|cook|broil|grill|minutes|hours?)|\))\s*$", re.IGNORECASE)
_BOILS = re.compile(r"(?:par)?-?boil", re.IGNORECASE)
_COVERED = re.compile(r"\b(?:cover(?:ed)?|lid|foil|uncovered)\b", re.IGNORECASE)

# A vessel named longer ago than this is not what "it" is; no recipe of 3,129 is as long.
_FAR_SIGNS = 4_000


class Writer:
    """Writes one recipe's phases into `edits`."""

    def __init__(self, reading: Reading, placements: tuple[Placement, ...], edits: Edits) -> None:
        self.reading = reading
        self.text = reading.recipe.document.text
        self.placements = placements
        self.edits = edits
        self.moved: dict[int, int] = {}
        self.steps = {step.number: step for step in reading.recipe.steps}

    # ------------------------------------------------------------ objects

    def thing(self, clause: Clause) -> str:
        """Return what "move ..." can say: it, the last vessel named, or the dish."""
        step = self.steps[clause.step]
        said = self.text[step.span.start : clause.span.end]
        if _IT.search(self.text[clause.span.start : clause.span.end]):
            return "it"
        first = max(self.reading.recipe.steps[0].span.start, step.span.start - _FAR_SIGNS)
        for words in (said, self.text[first : step.span.start]):
            found = None
            for match in _VESSEL.finditer(words):
                if words[max(0, match.start() - 7) : match.start()].lower().strip() not in ("baking", "oven"):
                    found = match
            if found:
                word = found.group(0).lower()
                return f"the {word}"
        return "the pan" if clause.act == "change-hob" or any(s.kind == "hob" for s in clause.spots) else "the dish"

    # ------------------------------------------------------------ one phase

    def phase(self, phase: Phase, placement: Placement) -> None:
        """Write one phase; one without moves stays as it was."""
        if not placement.moves or not phase.clauses:
            return
        moves = placement.moves[self.moved.get(phase.number, 0) :]
        said_there = not moves
        moves = moves or placement.moves[-1:]
        main = self._main(phase, last=False)
        spots = [(clause, spot) for clause in phase.clauses for spot in anchors.merged(clause, self.text)]
        if moves[0].boil and len(moves) > 1 and self._boil(phase, moves[0]):
            moves = moves[1:]
            main = self._main(phase, last=True)
        changes = [(c, s) for c, s in spots if s.kind == "change"]
        places = [(c, s) for c, s in spots if s.kind not in ("change",)]
        if phase.environment == "hob":
            places = [(c, s) for c, s in places if s.kind in ("hob", "grill")]
        places = [(c, s) for c, s in places if self.edits.free(s.span)]
        chained = False
        if changes and not said_there:
            clause, spot = changes[-1]
            put = next(
                (
                    c
                    for c, s in places
                    if s.span.end <= spot.span.start and c.act in ("put", "add", "back") and s.kind == "oven"
                ),
                None,
            )
            if put is not None:
                self._drop(spot.span, joined=True)
            elif self.edits.replace(spot.span, self._comma(self._movement(moves, clause, phase), spot.span.end)):
                chained = True
            for _, other in changes[:-1]:
                self.edits.delete(other.span)
        elif changes and said_there:
            for _, spot in changes:
                self.edits.delete(spot.span)
        if chained or said_there:
            for _, spot in places:
                self._drop(spot.span)
            self._times(phase, placement, moves[-1])
            return
        if places:
            clause, spot = self._best(places, main)
            self._put(phase, placement, moves, clause, spot=spot)
            for holder, other in places:
                if other is spot:
                    continue
                if holder.act in ("put", "add", "back") and other.kind == "hob" and phrases.is_plate(moves[0]):
                    self.edits.replace(other.span, phrases.place(moves[0]))
                else:
                    self._drop(other.span)
        else:
            self._put(phase, placement, moves, main, spot=None)

    def _main(self, phase: Phase, *, last: bool) -> Clause:
        """Return the clause that the stay is written into: the one with the time, else the first or last that heats."""
        timed = [c for c in phase.clauses if any(m.role in ("cook", "each") for m in c.times) and c.act != "time"]
        if timed:
            return timed[0]
        heats = [c for c in phase.clauses if c.act == "heat"]
        return (heats or [c for c in phase.clauses if c.act != "time"] or list(phase.clauses))[-1 if last else 0]

    @staticmethod
    def _best(places: list[tuple[Clause, Spot]], main: Clause) -> tuple[Clause, Spot]:
        order = {"oven": 0, "grill": 0, "hob": 0, "rack": 1, "at": 2}
        return min(places, key=lambda item: (order.get(item[1].kind, 3), item[0] is not main, item[1].span.start))

    def _drop(self, span: Span, *, joined: bool = False) -> None:
        """Take a place out that is said elsewhere; with `joined` the "and" before it too."""
        start = span.start
        before = self.text[max(0, start - 30) : start]
        if joined:
            connector = re.search(r",?\s*\b(?:and|then)\s+(?:\w+\s+){0,2}$", before)
            if connector:
                start -= len(connector.group(0))
        elif not _PREPOSED.match(self.text, start) and not _MAY_GO.search(before):
            return
        if start > 0 and self.text[start - 1] == " ":
            start -= 1
        if self.text[start : span.start] and start > 0 and self.text[start - 1] == ",":
            start -= 1
        self.edits.delete(Span(start, span.end))

    def _boil(self, phase: Phase, move: Move) -> bool:
        """Write the stay on the hot plate beside the words about the boil; ``False`` where there are none."""
        for clause in phase.clauses:
            if clause.boil != "boil":
                continue
            hob = [s for s in anchors.merged(clause, self.text) if s.kind == "hob"]
            words = f"{phrases.place(move)} {phrases.brief(move.minutes)}"
            if hob:
                return self.edits.replace(hob[0].span, words)
            match = _BOIL_WORDS.search(self.text, clause.span.start, clause.span.end)
            if match is not None:
                return self.edits.insert(match.end(), " " + words)
        return False

    # ------------------------------------------------------------ words

    def _said(self, phase: Phase, clause: Clause) -> bool:
        step = self.steps[clause.step]
        return phase.lid in ("on", "foil", "off") and bool(_COVERED.search(self.text, step.span.start, step.span.end))

    def _movement(self, moves: tuple[Move, ...], clause: Clause, phase: Phase) -> str:
        """Return "move it to the gentle plate" for a line that turned a dial."""
        thing = self.thing(clause)
        if phase.environment == "hob" and thing == "the dish":
            thing = "the pan"
        said = self._said(phase, clause)
        parts: list[str] = []
        for n, move in enumerate(moves):
            final = n == len(moves) - 1
            if move.boil:
                parts.append(f"bring {thing} to the boil {phrases.place(move)} {phrases.brief(move.minutes)}")
            elif not final and phrases.is_plate(move):
                parts.append(f"let it simmer {phrases.place(move)} {phrases.brief(move.minutes)}".rstrip())
            elif not final:
                stay = f" for {phrases.stay(move.minutes)}" if move.minutes else ""
                parts.append(f"move {thing} {phrases.spot(move, motion=True)},{stay}".rstrip(","))
            else:
                parts.append(f"move {thing if not parts else 'it'} {phrases.spot(move, said=said, motion=True)}")
        return parts[0] if len(parts) == 1 else ", ".join(parts[:-1]) + " and " + parts[-1]

    def _put(
        self, phase: Phase, placement: Placement, moves: tuple[Move, ...], clause: Clause, *, spot: Spot | None
    ) -> None:
        """Put the place of the stay into its clause, with the minutes where the clause has none."""
        mention = self._mention(phase)
        where = spot.span if spot else None
        at = where.start if where else anchors.insertion(self.text, clause)
        before = mention is not None and mention.span.start < at and self.steps[clause.step].number == mention.step
        final = moves[-1]
        minutes = final.minutes
        motion = clause.act in ("put", "add", "back") and self._into(where)
        if len(moves) == 1:
            words = phrases.spot(
                final, said=self._said(phase, clause), motion=motion, dish=phase.environment in ("oven", "grill")
            )
            if motion and _RETURN.search(self.text, clause.span.start, where.start if where else at):
                words = words.replace("into the", "to the", 1)
        else:
            words = self._chain(moves, clause, phase, timed=mention is None or before)
        signed = self._signed(phase, clause) if mention is None and minutes is not None else None
        fronted = where is not None and where.end <= clause.verb.start and mention is None and minutes is not None
        if fronted and signed is None and minutes is not None:
            self.edits.insert(anchors.insertion(self.text, clause), f" for {phrases.stay(minutes)}")
        elif signed is not None and minutes is not None:
            self.edits.insert(signed, f" for {phrases.stay(minutes)}")
        elif mention is None and minutes is not None and len(moves) == 1:
            words += f"{',' if ',' in words else ''} for {phrases.stay(minutes)}"
        elif len(moves) > 1 and minutes is not None and (mention is None or before) and signed is None:
            comma = "," if words.endswith((" on", " off", "shield", "covered")) else ""
            words += f"{comma} for {phrases.stay(minutes)}"
        if "," in words:
            words = self._comma(words, where.end if where else at)
        if where:
            if not self.edits.replace(where, self._cased(where.start, words)):
                return
        else:
            self.edits.insert(at, " " + words)
        if mention is not None:
            if before and len(moves) > 1:
                first = moves[0]
                span, _, bracket = anchors.time_span(self.text, mention)
                if phrases.is_plate(first) or bracket:
                    self.edits.delete(span)
                else:
                    self.edits.delete(span)
            else:
                self._times(phase, placement, final)

    def _signed(self, phase: Phase, clause: Clause) -> int | None:
        """Return where our own minutes stand when a later clause of the phase says until when."""
        for other in phase.clauses:
            if (
                other.span.start > clause.span.start
                and other.sign is not None
                and other.act in ("heat", "begin", "turn")
            ):
                at = other.sign.start
                while at > other.span.start and self.text[at - 1] in " ,\n":
                    at -= 1
                return at
        return None

    def _cased(self, start: int, words: str) -> str:
        step_start = any(step.span.start == start for step in self.reading.recipe.steps)
        after_stop = bool(re.search(r"[.!?]\s+$", self.text[max(0, start - 4) : start]))
        return words[0].upper() + words[1:] if step_start or after_stop else words

    def _into(self, where: Span | None) -> bool:
        return where is not None and self.text[where.start : where.start + 5].lower().startswith(("into", "to "))

    def _comma(self, words: str, end: int) -> str:
        following = self.text[end : end + 60]
        if re.match(r"\s*(?:[.,;:!?)]|$|\n)", following):
            return words
        if re.search(r"\)$|minutes$|hours$", words) and not re.match(r"\s+(?:and|or|then|while)\b", following):
            return words
        return words + ","

    def _chain(self, moves: tuple[Move, ...], clause: Clause, phase: Phase, *, timed: bool) -> str:
        """Return several stays as one phrase; the minutes of the last one are added by the caller."""
        parts: list[str] = []
        said = self._said(phase, clause)
        for n, move in enumerate(moves):
            final = n == len(moves) - 1
            if move.boil and not final and _BOILS.match(self.text, clause.verb.start):
                parts.append(f"{phrases.place(move)} {phrases.brief(move.minutes)}")
            elif move.boil and not final:
                parts.append(f"once it boils {phrases.place(move)} {phrases.brief(move.minutes)}")
            elif phrases.is_plate(move) and not final:
                parts.append(f"{phrases.place(move)} {phrases.brief(move.minutes)}".rstrip())
            elif not final:
                stay = f", for {phrases.stay(move.minutes)}" if move.minutes else ""
                until = f", until {move.until}" if move.until else ""
                parts.append(f"{phrases.spot(move)}{stay}{until}")
            elif parts and not phrases.is_plate(moves[n - 1]):
                parts.append(f"then move {self.thing(clause)} {phrases.spot(move, said=said, motion=True)}")
            else:
                parts.append(f"{'then ' if parts else ''}{phrases.spot(move, said=said)}")
        words = ", ".join(parts)
        return f", {words}" if words.startswith("once") else words

    # ------------------------------------------------------------ times

    def _mention(self, phase: Phase) -> Mention | None:
        for clause in phase.clauses:
            for mention in clause.times:
                if _counts(phase, mention):
                    return mention
        return None

    def _times(self, phase: Phase, placement: Placement, move: Move) -> None:
        """Replace the recipe's times of a phase by those of the stay, each in proportion."""
        found = [
            m
            for c in phase.clauses
            for m in c.times
            if _counts(phase, m) and m.seconds
        ]
        if not found or move.minutes is None:
            return
        whole = phase.seconds or found[0].seconds or (60.0, 60.0)
        for n, mention in enumerate(found):
            share = 1.0
            if len(found) > 1 or mention.role == "each":
                share = (mention.seconds[0] + mention.seconds[1]) / (whole[0] + whole[1]) if mention.seconds else 1.0
            if share > 1.01 or (n > 0 and share > 0.99 and mention.role != "each"):
                continue
            self._time(mention, scaled(move.minutes, share))

    def _time(self, mention: Mention, minutes: Minutes) -> None:
        span, introduced, bracket = anchors.time_span(self.text, mention)
        each = _each(mention)
        more = bool(
            re.search(
                r"\b(?:(?<!or )more|another|further|longer|additional|extra)\b",
                self.text[span.start : span.end],
                re.IGNORECASE,
            )
        )
        if mention.seconds is not None and mention.seconds[1] < 20:
            return
        last = bracket or anchors.at_sentence_end(self.text, span.end) or self.text[span.end : span.end + 2] == " ("
        words = phrases.stay(minutes, more=more, each=each, last=last)
        leads = self.text[span.start : mention.span.start]
        if leads.strip().lower().startswith(("for", ", for", "during")):
            words = f"{', ' if leads.lstrip(' ').startswith(',') else ' '}for {words}"
        elif leads.startswith(","):
            words = f", {words}" if bracket or self._sign_before(span.start) else f" for {words}"
        elif not introduced and not bracket:
            words = f"for {words}"
        if mention.role == "rate":
            words += f" ({mention.text.strip()})"
        if mention.last and "last" in f"{leads} {mention.text}".lower():
            about, instead = ("about ", "") if "last" in leads else ("for about ", "for the last ")
            words = words.replace(about, instead, 1)
        elif mention.last:
            words = re.sub(r"^ ?for ", "for the last ", words) if "last" not in leads.lower() else words
        self.edits.replace(span, words)

    def _sign_before(self, start: int) -> bool:
        return bool(re.search(r"\b(?:until|till)\b[^.;]*$", self.text[max(0, start - 120) : start]))


def _counts(phase: Phase, mention: Mention) -> bool:
    """Tell a time of heating; "the last 25 minutes" is one where the phase has it as its own."""
    if mention.conditional:
        return False
    return mention.role in ("cook", "each", "rate") or (mention.last and mention.seconds == phase.seconds)


def _each(mention: Mention) -> str:
    """Return "on each side" or "a batch" for a time that counts once for each."""
    if mention.role != "each":
        return ""
    low = mention.text.lower()
    if "side" in low:
        return "on each side"
    return "a batch" if "batch" in low else ("each" if re.search(r"\b(?:each|apiece|per)\b", low) else "")


def scaled(minutes: Minutes, share: float) -> Minutes:
    """Return a part of a stay, in whole kitchen minutes."""
    if abs(share - 1.0) < 0.01:
        return minutes
    low, high = minutes.low * share, minutes.high * share
    look = None if minutes.look is None else minutes.look * share

    def even(value: float) -> float:
        return max(0.5, round(value * 2) / 2 if value < 3 else float(round(value)))

    return Minutes(even(low), max(even(low), even(high)), None if look is None else even(look), minutes.own)
