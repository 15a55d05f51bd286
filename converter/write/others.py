"""Writes the lines about heat that are no stay: preheating, turning up and down, taking off, keeping warm."""

from __future__ import annotations

import re
from bisect import bisect_left

from converter import flagkinds
from converter.model import Clause, Flag, Move, Phase, Placement, Reading, Span, Step
from converter.write import anchors, phrases
from converter.write.edits import Edits
from converter.write.staying import Writer

_PREHEAT = re.compile(r"pre[- ]?heat(|ing)\b", re.IGNORECASE)
_HEAT_WORD = re.compile(
    r"\b(from|off)\s+(?:of\s+)?(?:the\s+|its\s+|direct\s+)*(?:heat|stove(?:top)?|hob|burner|flame|fire|gas|element)\b",
    re.IGNORECASE,
)
_OVEN_READY = re.compile(
    r"(?P<lead>^|[.;]\s+|,\s*)?\b(?:once|when|after|as soon as)\s+(?:the|your)\s+oven\s+(?:is|has"
    r"|comes|reaches|gets)\b[^,.;]*,?\s*",
    re.IGNORECASE,
)
_WHILE_HEATING = re.compile(
    r",?\s*\b(?:while|as|until)\s+(?:the\s+|your\s+)?oven\s+(?:is\s+)?(?:pre-?)?heat(?:s|ing|ed)?(?:\s+up)?\b[^,.;]*",
    re.IGNORECASE,
)
_THING_INSIDE = re.compile(
    r"\bwith\s+(?P<thing>(?:an?|the|your|\w+)\s+(?:[\w-]+\s+){0,3}?(?:stone|sheet|tray|tin|dish|pan"
    r"|skillet|casserole|oven|steel))\s+(?:inside|in it|in the oven|on the \w+ (?:shelf|rack))?",
    re.IGNORECASE,
)
_KEEP_WARM = re.compile(
    r"\b(?:keep|kept|keeping|hold)\s+(?:\w+\s+){0,4}?(?:warm|hot)\b"
    r"(?! (?:place|spot|area|room|water|oven|environment|location|milk))|\bkeep[- ]warm\b",
    re.IGNORECASE,
)
_TAKEN = re.compile(r"\b(?:remov|tak|pull|lift|withdraw)\w*\b[^.;]*$", re.IGNORECASE)
_DISTANCE = re.compile(
    r",?\s*(?:\babout\s+)?\d[\d\s–-]*(?:to\s+\d+\s*)?(?:inch(?:es)?|in\.|cm"
    r"|\")\s+(?:away\s+)?(?:from|below|under"
    r"|beneath)\s+(?:the\s+)?(?:source of\s+(?:the\s+)?)?(?:heat(?:\s+(?:source|element))?|broiler"
    r"|grill|element|flame)\b",
    re.IGNORECASE,
)
_OFF = re.compile(
    r"\b(?:turn|switch|shut|turning)\s+(?:off\s+(?:the\s+)?(?:heat|oven|stove|flame|hob|gas|burner"
    r"|fire|grill|broiler)|(?:the\s+)?(?:heat|oven|stove|flame|hob|gas|burner|fire|grill"
    r"|broiler)\s+off)\b|\bkill\s+the\s+heat\b|\b(?:turn|switch) (?:it )?off\b",
    re.IGNORECASE,
)
_AJAR = re.compile(
    r",?\s*\b(?:with|leaving|keep(?:ing)?|leave)\s+the\s+(?:oven\s+)?door\s+(?:slightly\s+"
    r"|a little\s+)?(?:ajar|open)\b(?:\s+slightly)?",
    re.IGNORECASE,
)


class Others:
    """Writes what stands between the phases of one recipe."""

    def __init__(
        self, reading: Reading, placements: tuple[Placement, ...], edits: Edits, zones: dict[str, str], writer: Writer
    ) -> None:
        self.reading = reading
        self.text = reading.recipe.document.text
        self.placements = placements
        self.edits = edits
        self.zones = zones
        self.writer = writer
        self.flags: list[Flag] = []
        self.own_steps: set[int] = set()
        self.steps = {step.number: step for step in reading.recipe.steps}
        self.phase_starts = [
            min(c.span.start for c in p.clauses) if p.clauses else p.span.start for p in reading.phases
        ]

    # ------------------------------------------------------------ finding

    def _next(self, start: int, *environments: str) -> tuple[Phase, Placement] | None:
        at = bisect_left(self.phase_starts, start)
        for phase, placement in zip(self.reading.phases[at:], self.placements[at:], strict=True):
            if phase.environment in environments and placement.moves:
                return phase, placement
        return None

    def _before(self, start: int) -> tuple[Phase, Placement] | None:
        at = bisect_left(self.phase_starts, start)
        return (self.reading.phases[at - 1], self.placements[at - 1]) if at else None

    def _flag(self, name: str, clause: Clause, **words: str) -> None:
        start, end = clause.span.start, anchors.clause_end(self.text, clause)
        while start < end and self.text[start] in " \n\t":
            start += 1
        span = Span(start, max(start, end))
        if any(f.name == name and f.step == clause.step for f in self.flags):
            return
        words = {**words, "food": "it"}
        text = self.text[span.start : span.end]
        self.flags.append(flagkinds.make(name, step=clause.step, span=span, text=text, words=words))

    # ------------------------------------------------------------ before and after the phases

    def before(self) -> None:
        """Write what decides how the phases are written: lines that turn a dial."""
        owned = {c.span for p in self.reading.phases for c in p.clauses[:-1]} | {
            p.clauses[-1].span for p in self.reading.phases if p.clauses and not self._is_tail(p)
        }
        for clause in self.reading.clauses:
            if clause.act in ("change-oven", "change-hob") and clause.span not in owned:
                self._change(clause)

    @staticmethod
    def _is_tail(phase: Phase) -> bool:
        """Tell whether the last clause of a phase only turns the heat for the next one."""
        last = phase.clauses[-1]
        return (
            len(phase.clauses) > 1
            and last.act in ("less", "more", "turn", "heat", "change-hob", "begin", "put")
            and any(s.kind == "change" and s.span.start <= last.verb.end + 2 for s in last.spots)
            and not last.times
            and last.sign is None
        )

    def after(self) -> None:
        """Write the rest: preheating, hot fat, boiling water, taking off, keeping warm, turning off."""
        handlers = {
            "preheat-oven": self._preheat,
            "preheat-grill": self._preheat,
            "preheat-pan": self._pan,
            "water": self._water,
            "remove": self._remove,
            "hold": self._hold,
            "off": self._off,
            "off-inside": self._inside,
            "unplaced": self._unplaced,
        }
        for clause in self.reading.clauses:
            handler = handlers.get(clause.act)
            if handler is not None:
                handler(clause)
        for step in self.reading.recipe.steps:
            self._phrases(step)

    # ------------------------------------------------------------ dial lines

    def _change(self, clause: Clause) -> None:
        spot = next((s for s in clause.spots if s.kind == "change"), None)
        if spot is None:
            return
        oven = clause.act == "change-oven"
        found = self._next(clause.span.start, "oven", "grill") if oven else self._next(clause.span.start, "hob")
        thing = self.writer.thing(clause)
        earlier = self._before(clause.span.start)
        if found is None or self.reading.phases[found[0].number - 1].clauses[0].step - clause.step > 3:
            last = earlier[1].moves[-1] if earlier and earlier[1].moves else None
            label = self._plate(spot.heat, spot.direction) if not oven else "oven"
            if oven:
                self._flag("left-as-written", clause, zone="")
                return
            same = last is not None and last.label == label
            self.edits.replace(
                spot.span,
                self.writer._cased(
                    spot.span.start, f"{'keep' if same else 'move'} {thing} {'on' if same else 'to'} the {label}"
                ),
            )
            return
        phase, placement = found
        if phase.number in self.writer.moved:
            self.edits.replace(spot.span, "")
            return
        moves = placement.moves
        last = earlier[1].moves[-1] if earlier and earlier[1].moves and earlier[0].number == phase.number - 1 else None
        first = moves[0]
        if (
            last is not None
            and not first.boil
            and (last.zone, last.height, last.shield) == (first.zone, first.height, first.shield)
            and len(moves) == 1
        ):
            words = f"leave {thing} {phrases.place(first)}" if oven else f"keep {thing} {phrases.place(first)}"
            count = 1
        elif first.boil:
            words = f"bring {thing} to the boil {phrases.place(first)} {phrases.brief(first.minutes)}"
            count = 1
        else:
            words = self.writer._movement(moves, clause, phase)
            count = len(moves)
        words = self.writer._comma(words, spot.span.end) if "," in words else words
        if self.edits.replace(spot.span, self.writer._cased(spot.span.start, words)):
            self.writer.moved[phase.number] = count

    def _plate(self, heat: str | None, direction: str | None) -> str:
        hot = heat in ("high", "medium-high") or (heat is None and direction == "up")
        kind = "hot-plate" if hot else "gentle-plate"
        return self.zones.get(kind, kind.replace("-", " "))

    # ------------------------------------------------------------ preheating

    def _preheat(self, clause: Clause) -> None:
        grill = clause.act == "preheat-grill"
        found = self._next(clause.span.start, "grill") if grill else self._next(clause.span.start, "oven", "grill")
        oven = next((m for m in found[1].moves if not phrases.is_plate(m)), None) if found else None
        if grill and found is None:
            return
        label = oven.label if oven else self.zones.get("hot-oven", "hot oven")
        ready = f"the roof of the {label} is" if grill else (f"the {label} is" if oven else "the ovens are")
        step = self.steps[clause.step]
        words = self.text[clause.span.start : clause.span.end]
        inside = _THING_INSIDE.search(words)
        if inside:
            end = anchors.clause_end(self.text, clause)
            self.edits.replace(
                Span(clause.span.start, end),
                self.writer._cased(clause.span.start, f"heat {inside['thing']} in the {label}"),
            )
            return
        self._take_out(self._only_heating(clause), step, f"Nothing to do: {ready} always ready.")

    def _only_heating(self, clause: Clause) -> Clause:
        """Return the clause without what else it says ("and put a baking sheet in to get hot")."""
        end = anchors.clause_end(self.text, clause)
        core = max([m.span.end for m in clause.temperatures if m.role == "oven"], default=clause.span.start)
        oven = self.text.lower().find("oven", clause.span.start, end)
        core = max(core, oven + 4 if oven >= 0 else core)
        while core < end and self.text[core] in ")°":
            core += 1
        rest = re.match(r"[\s,;]*(?:and|then)\s+(?=\w)", self.text[core:end])
        if rest is None:
            return clause
        return Clause(
            clause.step,
            Span(clause.span.start, core + rest.end()),
            clause.act,
            clause.method,
            clause.verb,
            clause.spots,
        )

    def _take_out(self, clause: Clause, step: Step, instead: str) -> None:
        """Take a clause out with its connector; a step that is nothing else gets `instead`."""
        text = self.text
        start, end = clause.span
        while start < end and text[start] in " \n\t":
            start += 1
        before = text[step.span.start : start]
        after = text[end : step.span.end]
        body_end = min(anchors.clause_end(text, clause), end)
        if not before.strip(" \n\t-•*") and not after.strip(" .\n"):
            self.edits.replace(Span(step.span.start, step.span.end), instead)
            return
        opens = not before.strip() or bool(re.search(r"[.!?;:]\s*$", before))
        if opens:
            stop = re.match(r"\s*[.!;]\s*", text[body_end : step.span.end])
            whole = body_end + stop.end() if stop else end
            if stop and body_end + stop.end() >= step.span.end:
                whole = step.span.end
            if self.edits.delete(Span(start, whole)):
                self._capital(whole, step)
            return
        connector = re.search(r"(?:,?\s*\b(?:and|then|while you|meanwhile)\b\s*|,\s*|\s+)$", before, re.IGNORECASE)
        first = start - len(connector.group(0)) if connector else start
        self.edits.delete(Span(first, body_end))

    def _capital(self, at: int, step: Step) -> None:
        capital = self.text[at : at + 1].upper()
        if at < step.span.end and self.text[at].islower() and len(capital) == 1:
            self.edits.replace(Span(at, at + 1), capital)

    # ------------------------------------------------------------ pans and water

    def _plate_for(self, clause: Clause, default: str) -> str:
        found = self._next(clause.span.start, "hob")
        if found is not None and found[0].step - clause.step <= 2:
            plate = next((m for m in found[1].moves if phrases.is_plate(m)), None)
            if plate is not None:
                return plate.label
        return self.zones.get(default, default.replace("-", " "))

    def _on_plate(self, clause: Clause, label: str, minutes: str) -> None:
        spots = [s for s in anchors.merged(clause, self.text) if s.kind in ("hob", "change")]
        words = f"on the {label}{minutes}"
        if spots:
            self.edits.replace(spots[0].span, self.writer._cased(spots[0].span.start, words))
            for other in spots[1:]:
                self.writer._drop(other.span)
        else:
            at = anchors.insertion(self.text, clause)
            self.edits.insert(at, " " + words)

    def _pan(self, clause: Clause) -> None:
        label = self._plate_for(clause, "hot-plate")
        timed = any(m.role in ("cook", "prep") for m in clause.times)
        self._on_plate(clause, label, "" if timed or clause.sign is not None else " (about 1–2 minutes)")
        verb = _PREHEAT.match(self.text, clause.verb.start, clause.verb.end)
        if verb is not None:
            self.edits.replace(Span(*verb.span()), self.writer._cased(verb.start(), f"heat{verb.group(1)}"))
        self.own_steps.add(clause.step)

    def _water(self, clause: Clause) -> None:
        self._on_plate(clause, self.zones.get("hot-plate", "hot plate"), "")

    # ------------------------------------------------------------ off the heat

    def _place_name(self, clause: Clause) -> str:
        found = self._before(clause.span.start + 1)
        last: Move | None = found[1].moves[-1] if found and found[1].moves else None
        return "plate" if last is None or phrases.is_plate(last) else last.label

    def _remove(self, clause: Clause) -> None:
        for match in _HEAT_WORD.finditer(self.text, clause.span.start, clause.span.end):
            self.edits.replace(Span(match.start(), match.end()), f"{match.group(1)} the {self._place_name(clause)}")

    def _off(self, clause: Clause) -> None:
        match = _OFF.search(self.text, clause.span.start, clause.span.end)
        if match is None:
            return
        thing = self.writer.thing(clause)
        found = self._before(clause.span.start + 1)
        oven = "oven" in match.group(0).lower() or (found is not None and found[0].environment == "oven")
        if oven:
            label = self.zones.get("holding-oven")
            words = (
                f"move {thing} to the {label}"
                if label
                else f"leave {thing} in the {self.zones.get('low-oven', 'low oven')}"
            )
            self._flag("nothing-turns-off", clause, zone=label or self.zones.get("low-oven", "low oven"))
        else:
            words = f"lift {thing} off the {self._place_name(clause)}"
        self.edits.replace(Span(match.start(), match.end()), self.writer._cased(match.start(), words))

    def _inside(self, clause: Clause) -> None:
        self._flag(
            "nothing-turns-off", clause, zone=self.zones.get("holding-oven", self.zones.get("low-oven", "low oven"))
        )

    def _hold(self, clause: Clause) -> None:
        match = _KEEP_WARM.search(self.text, clause.span.start, clause.span.end)
        if match is None:
            return
        place = f"on the {self.zones['warm-plate']}" if "warm-plate" in self.zones else "beside the cooker"
        hob = next((s for s in clause.spots if s.kind in ("hob", "change")), None)
        if hob is not None:
            self.edits.replace(hob.span, place)
        else:
            self.edits.insert(match.end(), f" {place}, covered")
        self._flag("keep-warm", clause, zone=place)

    def _unplaced(self, clause: Clause) -> None:
        self._flag("no-place", clause, zone="")

    # ------------------------------------------------------------ phrases anywhere

    def _phrases(self, step: Step) -> None:
        words = self.text[step.span.start : step.span.end]
        low = words.lower()
        if "oven" in low and ("heat" in low or "temp" in low or " is " in low or "door" in low):
            for match in _WHILE_HEATING.finditer(self.text, step.span.start, step.span.end):
                self.edits.delete(Span(match.start(), match.end()))
            for match in _OVEN_READY.finditer(self.text, step.span.start, step.span.end):
                start = match.end("lead") if match.group("lead") is not None else match.start()
                if self.edits.delete(Span(start, match.end())):
                    self._capital(match.end(), step)
        if "from" in low or "below" in low or "under" in low:
            for match in _DISTANCE.finditer(self.text, step.span.start, step.span.end):
                self.edits.delete(Span(match.start(), match.end()))
        if "door" in low:
            for match in _AJAR.finditer(self.text, step.span.start, step.span.end):
                if self.edits.delete(Span(match.start(), match.end())):
                    clause = Clause(
                        step.number, Span(match.start(), match.end()), "ajar", "", Span(match.start(), match.start())
                    )
                    self._flag("door-shut", clause, zone="")
        if "off the heat" in low or "from the heat" in low or "from heat" in low or "off heat" in low:
            for match in _HEAT_WORD.finditer(self.text, step.span.start, step.span.end):
                before = self.text[max(step.span.start, match.start() - 70) : match.start()]
                if match.group(1).lower() == "from" and not _TAKEN.search(before):
                    continue
                blank = Clause(
                    step.number, Span(match.start(), match.end()), "remove", "", Span(match.start(), match.start())
                )
                self.edits.replace(Span(match.start(), match.end()), f"{match.group(1)} the {self._place_name(blank)}")
