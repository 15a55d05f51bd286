"""One converted recipe as it is cooked: the steps one by one, what belongs to each, and the stays that are timed."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from markupsafe import Markup

from converter.model import CoreAdvice, Curve, Minutes, Move, Phase, Placement, Result
from converter.place.cookers import Cooker
from converter.write import curve as curves
from converter.write import parts, phrases
from converter.write.parts import in_units, number_words


@dataclass(frozen=True, slots=True)
class Said:
    """A flag at its step: what is the case, large; the quoted words, the reason and other ways, on demand."""

    message: str
    quote: str
    more: str


@dataclass(frozen=True, slots=True)
class Stay:
    """One stay on the screen. ``place`` is the height in words, ``lid`` and ``until`` may be empty.

    ``times`` are label and words of look, expect, latest; ``timer`` is what the script starts a timer from, as JSON.
    """

    food: str
    zone: str
    place: str
    lid: str
    until: str
    times: tuple[tuple[str, str], ...]
    core: str
    timer: str
    then: str


@dataclass(frozen=True, slots=True)
class Picture:
    """The predicted core of a roast: SVG, the sentence, and the three times in words."""

    svg: Markup
    sentence: str
    times: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Page:
    """One step. ``number`` is that of the recipe, ``place`` counts the steps from 1."""

    number: int
    place: int
    part: str
    words: str
    original: str
    cautions: tuple[Said, ...]
    judgements: tuple[Said, ...]
    notes: tuple[Said, ...]
    stays: tuple[Stay, ...]
    pictures: tuple[Picture, ...]


@dataclass(frozen=True, slots=True)
class Cooking:
    """A recipe at the stove. ``before`` are label and entries of what is wanted before the first step."""

    title: str
    cooker: str
    before: tuple[tuple[str, tuple[str, ...]], ...]
    cautions: tuple[Said, ...]
    ingredients: tuple[tuple[str, tuple[str, ...]], ...]
    pages: tuple[Page, ...]
    closing: str


def cooking(result: Result, cooker: Cooker, *, address: str, called: str = "") -> Cooking:
    """Return `result`, converted for `cooker`, as it is cooked; `address` is where the recipe stands on this page.

    `called` is the cooker's name in forms, for what is logged of it; without one nothing is offered to be logged.
    """
    stays = _stays(result, cooker, address, called)
    drawn: dict[int, list[Picture]] = {}
    for count, curve in enumerate(result.curves, start=1):
        if len(curve.minutes) > 1:
            drawn.setdefault(curve.step, []).append(_picture(curve, count, result.units))
    lines = {level: _by_step(result, level) for level in ("caution", "judgement", "note")}
    known = {step.number for step in result.steps}

    def said(level: str, step: int) -> tuple[Said, ...]:
        return tuple(lines[level].get(step, ()))

    pages = tuple(
        Page(
            step.number, place, parts.one_line(step.part or ""), step.rewritten,
            step.original if step.original.strip() != step.rewritten.strip() else "",
            said("caution", step.number), said("judgement", step.number), said("note", step.number),
            tuple(stays.get(step.number, ())), tuple(drawn.get(step.number, ())),
        )
        for place, step in enumerate(result.steps, start=1)
    )  # fmt: skip
    wanted = (parts.ZONES_LABEL, parts.HAVE_READY_LABEL)
    before = tuple(
        (label, entries)
        for label, entries in parts.header_lines(result.header, result.units)
        if label in wanted and entries != (parts.NONE,)
    )
    loose = tuple(line for number, found in lines["caution"].items() if number not in known for line in found)
    return Cooking(
        parts.title_of(result), parts.one_line(result.header.cooker), before, loose,
        tuple(
            (name or "", tuple(item.text for item in items))
            for name, items in parts.ingredient_parts(result.reading.recipe)
        ),
        pages, parts.CLOSING,
    )  # fmt: skip


def _by_step(result: Result, level: str) -> dict[int, list[Said]]:
    found: dict[int, list[Said]] = {}
    for flag in parts.flags_of(result, level):
        more = [flag.why, *(f"or: {choice}" for choice in flag.choices if choice)]
        if flag.source and flag.level == "caution":
            more.append(parts.source_names(flag.source))
        said = Said(
            _sentence(flag.message, result.units), parts.quoted(flag.text),
            _sentence("; ".join(words for words in more if words), result.units),
        )  # fmt: skip
        there = found.setdefault(flag.step, [])
        if said not in there:
            there.append(said)
    return found


def _sentence(words: str, units: str) -> str:
    made = in_units(parts.one_line(words), units)
    return made[:1].upper() + made[1:] + ("" if not made or made[-1] in ".!?…" else ".")


# --- stays ------------------------------------------------------------------------------------------------


def _stays(result: Result, cooker: Cooker, address: str, called: str) -> dict[int, list[Stay]]:
    """Return the stays of each step; each leads to the food's next one in the same step, the last to its rest."""
    phases: Mapping[int, Phase] = {phase.number: phase for phase in result.reading.phases}
    chains: list[tuple[Phase, list[tuple[Move | None, CoreAdvice | None]]]] = []
    for placement in result.placements:
        phase = phases[placement.phase]
        links: list[tuple[Move | None, CoreAdvice | None]] = list(_moves(placement))
        last = chains[-1] if chains else None
        if links and last and last[0].step == phase.step and last[0].food == phase.food and last[1][-1][0] is not None:
            last[1].extend(links)
        elif links:
            chains.append((phase, links))
    title = parts.title_of(result)
    made: dict[int, list[Stay]] = {}
    for phase, links in chains:
        after: dict[str, object] | None = None
        moves = sum(move is not None for move, _ in links)
        shown: list[Stay] = []
        for count in range(len(links) - 1, -1, -1):
            move, core = links[count]
            facts = {
                "id": f"{phase.number}-{count + 1}", "page": address, "recipe": title[:400], "food": phase.food[:200],
                "step": phase.step, **_counted(move, core), "next": after,
                "log": _logged(phase, move, cooker, called) if move is not None and moves == 1 else "",
            }  # fmt: skip
            if move is not None:
                shown.append(_stay(phase, move, core, facts, cooker=cooker, units=result.units))
            after = facts
        made.setdefault(phase.step, []).extend(reversed(shown))
    return made


def _moves(placement: Placement) -> Iterator[tuple[Move | None, CoreAdvice | None]]:
    """The moves of a placement; the last bears the core that it is done at, and the rest that comes after it."""
    for count, move in enumerate(placement.moves, start=1):
        yield move, placement.core if count == len(placement.moves) else None
    if placement.moves and placement.core is not None:
        yield None, placement.core


def _counted(move: Move | None, core: CoreAdvice | None) -> dict[str, object]:
    """The part of a timer that counts: zone, place, and minutes from going in."""
    if move is None:
        assert core is not None
        low, high = core.rest_minutes
        return {"zone": "resting", "place": "", "look": None, "expect": low, "latest": high}
    minutes = move.minutes
    return {
        "zone": move.label, "place": _height(move),
        "look": minutes.look if minutes else None,
        "expect": minutes.low if minutes else None,
        "latest": minutes.high if minutes else None,
    }  # fmt: skip


def _logged(phase: Phase, move: Move, cooker: Cooker, called: str) -> str:
    """What the log of this stay begins with, as part of an address: only for one oven, one setting and one time.

    "" where it would tell nothing about the clock.
    """
    zone = next((zone for zone in cooker.ovens if zone.kind == move.zone and zone.label == move.label), None)
    if not called or zone is None or move.shield or phase.environment != "oven":
        return ""
    if phase.celsius is None or phase.seconds is None:
        return ""
    (low_c, high_c), (low_s, high_s) = phase.celsius, phase.seconds
    height = "middle" if move.height in (None, "any") else str(move.height)
    return urlencode(
        {
            "name": called, "dish": phase.food[:80], "spot": f"{zone.id} {height}",
            "dial": f"{(low_c + high_c) / 2:.0f}", "minutes": f"{(low_s + high_s) / 120:.0f}",
        }
    )  # fmt: skip


def _height(move: Move) -> str:
    return phrases.place(move).partition(f"the {move.label}")[2].lstrip(", ")


def _stay(
    phase: Phase, move: Move, core: CoreAdvice | None, facts: dict[str, object], *, cooker: Cooker, units: str
) -> Stay:
    height = _height(move)
    zone = next((zone for zone in cooker.zones if zone.kind == move.zone and zone.label == move.label), None)
    shelf = zone.shelf(move.height) if zone is not None and move.height and height else None
    if shelf is not None:
        height += f" (position {shelf} from the top)"
    following = facts["next"]
    then = ""
    if isinstance(following, dict):
        then = "rest" if following["zone"] == "resting" else f"move to the {following['zone']}"
        then += f", {following['place']}" if following["place"] else ""
    dish = phase.environment in ("oven", "grill")
    lid = phrases.spot(move, dish=dish).removeprefix(phrases.place(move)).lstrip(", ")
    if move.shield:
        lid += ": a cold plain baking tray above it"
    return Stay(
        phase.food, move.label, height, lid, move.until or "", _times(move.minutes), _core(core, units),
        json.dumps(facts, ensure_ascii=False), then,
    )  # fmt: skip


def minute_words(minutes: float) -> str:
    """Return 0.5 as ``30 s``, 1.5 as ``1½ min``, 110 as ``1 h 50``."""
    if minutes < 1:
        return f"{minutes * 60:.0f} s"
    if minutes < 20 and minutes != int(minutes):
        return f"{number_words(minutes)} min"
    return curves.time_words(minutes)


def _times(minutes: Minutes | None) -> tuple[tuple[str, str], ...]:
    """The times of a stay as label and words; a look of less than a minute is no time of its own."""
    if minutes is None:
        return ()
    out = []
    if minutes.look is not None and minutes.look < minutes.low:
        out.append(("look", minute_words(minutes.look)))
    if minutes.low < minutes.high:
        out.append(("expect", minute_words(minutes.low)))
    out.append(("latest", minute_words(minutes.high)))
    return tuple(out)


def _core(core: CoreAdvice | None, units: str) -> str:
    if core is None:
        return ""
    low, high = core.rest_minutes
    rest = f"{low:.0f} to {high:.0f} min" if low < high else minute_words(high)
    said = f"Out at {core.pull_c:.0f} °C in the thickest part"
    if round(core.pull_c) != round(core.core_c):
        said += f"; it goes on to about {core.core_c:.0f} °C"
    said += f". Rest for {rest}."
    if core.core_c < core.safe_c - 0.5:
        said += f" Advised for safety: {core.safe_c:.0f} °C."
    return in_units(said, units)


def _picture(curve: Curve, count: int, units: str) -> Picture:
    when = curves.times(curve)
    times = tuple(
        (name, curves.time_words(curves.kitchen_minutes(at, up=up)))
        for name, at, up in (("look", when.look, False), ("expect", when.expect, None), ("latest", when.latest, True))
        if at is not None
    )
    said = curves.line(curve, units)
    return Picture(
        Markup("\n".join(curves.svg(curve, name=f"core-{count}", units=units))),  # svg escapes its words
        said[:1].upper() + said[1:] + ". A thermometer decides.", times,
    )  # fmt: skip
