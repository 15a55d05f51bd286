"""What the page of a recipe shows under each step: the words before and after, the reasons, the flags with answers."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, NamedTuple

from markupsafe import Markup, escape

from converter.ledger import Decision, KeptFlag
from converter.serve.kitchen import Shown, sentence
from converter.serve.views import plain
from converter.write import parts

if TYPE_CHECKING:
    from converter.model import Flag, Placement, WrittenStep
    from converter.write.edits import Piece

LEVELS = ("caution", "judgement", "note")


class Way(NamedTuple):
    """A button: what it sends, its words, what it would be flagged for."""

    value: str
    words: str
    remarks: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class FlagView:
    """A flag under its step. ``ways`` are its answers as buttons, none where another flag of the same heat has them.

    ``decided`` says in words what the household decided, "" where it is open.
    """

    key: str
    level: str
    name: str
    quote: str
    message: str
    why: str
    source: str
    hints: tuple[str, ...]
    line: str
    ways: tuple[Way, ...]
    decided: str
    mark: str


class Why(NamedTuple):
    """The reason of a placement: where it goes, the words it replaces, why, the rule, its source, the figures."""

    moves: str
    quote: str
    why: str
    rule: str
    summary: str
    source: str
    reasons: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class StepView:
    """A step before and after; ``old`` is ``None`` where nothing changed. ``number`` 0 is the whole recipe."""

    number: int
    new: Markup
    old: Markup | None
    flags: tuple[FlagView, ...]
    whys: tuple[Why, ...]


def _shown_words(pieces: Sequence[Piece], tag: str, word: str) -> Markup:
    """Return pieces with the changed ones between tags; who listens hears a word before them."""
    return Markup("").join(
        Markup(f'<{tag}><span class="only-read">{word} </span>{{}}</{tag}>').format(plain(words))
        if changed
        else escape(plain(words))
        for words, changed in pieces
    )


def _sides(shown: Shown, step: WrittenStep) -> tuple[Markup, Markup | None]:
    from converter.write.edits import compared

    if not step.edits:
        return escape(plain(step.rewritten)), None
    recipe = shown.result.reading.recipe
    span = next(one.span for one in recipe.steps if one.number == step.number)
    old, new = compared(recipe.document.text, span, step.edits)
    return _shown_words(new, "ins", "new:"), _shown_words(old, "del", "taken out:")


def _ways(shown: Shown, kept: KeptFlag) -> tuple[Way, ...]:
    from converter.review.items import stays

    placement = shown.placements.get(kept.phase)
    as_is = f"As it stands: {stays(placement.moves)}" if placement and placement.moves else "It may stand as it is"
    made = [Way("take", as_is)]
    made += [Way(f"choice:{way.code}", sentence_case(way.words), way.remarks) for way in shown.ways(kept)]
    if any(step.number == kept.step and step.edits for step in shown.result.steps):
        made.append(Way("leave", "Leave the line as the recipe has it"))
    return tuple(made)


def sentence_case(words: str) -> str:
    """Return words with a capital first."""
    return words[:1].upper() + words[1:]


def _decided(decision: Decision | None, shown: Shown, kept: KeptFlag) -> str:
    if decision is None:
        return ""
    from converter.review.items import stays

    placement = shown.placements.get(kept.phase)
    words = {"words": "your own words", "leave": "left as the recipe has it"}.get(decision.kind, "")
    if not words:
        words = stays(placement.moves) if placement is not None and placement.moves else "as it stands"
    return sentence_case(f"{words}{f', by {decision.who}' if decision.who else ''}")


def _flag(shown: Shown, real: Flag, kept: KeptFlag, *, mark: str, answers: bool) -> FlagView:
    units = shown.result.units
    decision = shown.decided(kept.key)
    level = real.level if decision is None or real.level == "caution" else "note"
    settled = decision is not None and real.level != "caution"
    return FlagView(
        key=kept.key, level=level, name=real.name, quote=parts.quoted(real.text),
        message="" if settled else sentence(parts.in_units(real.message, units)),
        why="" if settled else sentence(parts.in_units(real.why, units)) if real.why else "",
        source=parts.source_names(real.source) if real.source and not settled else "",
        hints=tuple(parts.in_units(hint, units) for hint in real.choices),
        line=kept.line, ways=_ways(shown, kept) if answers and decision is None else (),
        decided=_decided(decision, shown, kept), mark=mark,
    )  # fmt: skip


def _flags(shown: Shown, marks: Mapping[str, str]) -> dict[int, list[FlagView]]:
    """Return the flags by step, cautions first; the answers about one stretch of heat stand once."""
    numbers = {step.number for step in shown.result.steps}
    pairs = sorted(
        zip(shown.result.flags, shown.flags, strict=True), key=lambda pair: (LEVELS.index(pair[0].level), pair[0].span)
    )
    # Where a judgement is open, its answers are those of the caution about the same heat, too.
    judged = {kept.phase for real, kept in pairs if real.level == "judgement" and kept.phase}
    last = {(kept.step, kept.phase): kept.key for real, kept in pairs if real.level == "judgement"}
    out: dict[int, list[FlagView]] = {}
    cautioned: set[int] = set()
    told: set[tuple[str, int]] = set()
    for real, kept in pairs:
        decision = shown.decided(kept.key)
        if decision is not None and real.level == "note" and kept.phase:
            if ("decided", kept.phase) in told:
                continue
            told.add(("decided", kept.phase))
        if real.level == "caution":
            answers = not kept.phase or kept.phase not in judged | cautioned
            cautioned.add(kept.phase)
        else:
            answers = real.level == "judgement" and (not kept.phase or last[kept.step, kept.phase] == kept.key)
        view = _flag(shown, real, kept, mark=marks.get(kept.key, ""), answers=answers)
        out.setdefault(real.step if real.step in numbers else 0, []).append(view)
    return out


def _why(shown: Shown, placement: Placement) -> Why:
    from converter.review.items import stays

    units, rule = shown.result.units, shown.setup.rules.get(placement.rule)
    phase = shown.result.reading.phases[placement.phase - 1]
    return Why(
        sentence_case(stays(placement.moves)) or "Left as the recipe has it", parts.quoted(phase.text),
        sentence(parts.in_units(placement.why, units)) if placement.why else "", placement.rule,
        rule.summary if rule is not None else "", rule.source if rule is not None else "",
        tuple(sentence(parts.in_units(reason, units).replace("->", "→")) for reason in placement.reasons),
    )  # fmt: skip


def steps(shown: Shown, marks: Mapping[str, str]) -> tuple[list[tuple[str | None, list[StepView]]], list[FlagView]]:
    """Return the steps under the headings of their parts, and the flags that belong to no step."""
    flags = _flags(shown, marks)
    whys: dict[int, list[Why]] = {}
    for placement in shown.result.placements:
        step = shown.result.reading.phases[placement.phase - 1].step
        whys.setdefault(step, []).append(_why(shown, placement))
    groups = [
        (
            name,
            [
                StepView(
                    step.number, *_sides(shown, step), tuple(flags.get(step.number, ())),
                    tuple(whys.get(step.number, ())),
                )
                for step in those
            ],
        )
        for name, those in parts.step_parts(shown.result.steps)
    ]  # fmt: skip
    return groups, flags.get(0, [])
