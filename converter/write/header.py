"""The header of a converted recipe: zones, timers, lid up, what to have ready, our own times."""

from __future__ import annotations

from converter.model import Header, Move, Placement, Range, Reading
from converter.write import phrases
from converter.write.parts import minute_words, number_words


def header(
    reading: Reading, placements: tuple[Placement, ...], cooker: str, own_steps: set[int], *, probed: tuple[int, ...]
) -> Header:
    """Return the header lines of a recipe. `probed` are the steps in which we name a core temperature."""
    zones: dict[str, tuple[list[Range], list[int], bool]] = {}
    timers: list[str] = []
    lid_low = lid_high = 0.0
    shields: list[int] = []
    own = set(own_steps)
    for phase, placement in zip(reading.phases, placements, strict=True):
        sets: list[str] = []
        for move in placement.moves:
            name = _zone_name(move)
            spans, steps, _ = zones.setdefault(name, ([], [], phrases.is_plate(move)))
            if phase.step not in steps:
                steps.append(phase.step)
            if move.shield:
                shields.append(phase.step)
            if move.minutes is None:
                continue
            spans.append((move.minutes.low, move.minutes.high))
            if move.minutes.own:
                own.add(phase.step)
            if phrases.is_plate(move):
                lid_low += move.minutes.low
                lid_high += move.minutes.high
            else:
                sets.append(_timer(move))
        if sets:
            timers.append(f"step {phase.step}: " + "; then ".join(sets))
    ready: list[str] = []
    if shields:
        ready.append(f"one cold plain baking tray as shield, for {_steps(shields)}")
    cores = [*(m.step for m in reading.mentions if m.role == "core"), *probed]
    if cores:
        ready.append(f"probe thermometer, for {_steps(cores)}")
    return Header(
        cooker,
        tuple(_zone_line(name, spans, steps) for name, (spans, steps, _) in zones.items()),
        tuple(timers),
        (_tidy(lid_low), _tidy(lid_high)),
        tuple(ready),
        (_steps(sorted(own)),) if own else (),
    )


def _tidy(minutes: float) -> float:
    return float(round(minutes))


def _zone_name(move: Move) -> str:
    name = move.label
    if move.height and move.zone in ("hot-oven", "moderate-oven"):
        name += f", {move.height}"
    return name + (", shield" if move.shield else "")


def _zone_line(name: str, spans: list[Range], steps: list[int]) -> str:
    if not spans:
        return f"{name}: as long as it waits ({_steps(steps)})"
    total = (_tidy(sum(low for low, _ in spans)) or 0.5, _tidy(sum(high for _, high in spans)) or 1.0)
    return f"{name}: {minute_words(total)} ({_steps(steps)})"


def _timer(move: Move) -> str:
    minutes = move.minutes
    assert minutes is not None
    if minutes.high < 2:
        return f"{number_words(minutes.high)} min at the most"
    look = minutes.look or minutes.low
    if minutes.high > 70 and minutes.high % 15 == 0:
        first = f"{number_words(look / 60)} h" if look % 15 == 0 else f"{number_words(look)} min"
        return f"look at {first}, latest {number_words(minutes.high / 60)} h"
    return f"look at {number_words(look)}, latest {number_words(minutes.high)} min"


def _steps(steps: list[int]) -> str:
    unique = sorted(dict.fromkeys(steps))
    return f"step{'s' if len(unique) > 1 else ''} {', '.join(map(str, unique))}"
