"""What the room of the cooker shows: zones and their heats, readings, the clock and its evidence, a sample line."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from datetime import date
from hashlib import sha256

from fastapi import HTTPException

from converter.place import drawing, own_cooker
from converter.place.cookers import Zone
from converter.place.own_cooker import Cooked, ZoneReading
from converter.serve import kitchen
from converter.serve.cooker_choice import Chosen
from converter.serve.cooker_picture import MOVED, PROFILE, READ

LINE = "Bake at 180°C for 45 minutes, until golden."
LONGEST_LINE = 300


@dataclass(frozen=True, slots=True)
class Heat:
    """One height of a zone, °C as used and by the profile; ``reading`` is the one that it stands on, if any."""

    height: str
    celsius: float
    profile_c: float
    mark: str
    reading: ZoneReading | None

    @property
    def changed(self) -> bool:
        """Say whether the profile shows another figure."""
        return round(self.celsius) != round(self.profile_c)


@dataclass(frozen=True, slots=True)
class ZoneView:
    """A zone with its heats, top height first."""

    zone: Zone
    where: str
    heats: tuple[Heat, ...]


@dataclass(frozen=True, slots=True)
class ReadingView:
    """A kept reading, how its place is called, and whether it is in use. ``number`` counts from 1 as they were kept."""

    number: int
    reading: ZoneReading
    told: str
    used: bool

    @property
    def stamp(self) -> str:
        """Name this very reading in a form, so that a page of before removes no other one."""
        return _stamp(self.reading)


@dataclass(frozen=True, slots=True)
class LogView:
    """A dish that was logged: minutes that the clock of before any log expects, and how far from expected it lies."""

    number: int
    log: Cooked
    told: str
    expected_minutes: float
    tells: bool
    surprise: float

    @property
    def surprising(self) -> bool:
        """Say whether it lies further off than chance explains well."""
        return abs(self.surprise) >= own_cooker.SURPRISE

    @property
    def stamp(self) -> str:
        """Name this very log in a form."""
        return _stamp(self.log)


@dataclass(frozen=True, slots=True)
class Clock:
    """The slope of the clock in per cent of the time for each °C: before any log and after them, mean and spread."""

    before: tuple[float, float]
    after: tuple[float, float]
    in_use: float
    n: int
    logs: tuple[LogView, ...]


@dataclass(frozen=True, slots=True)
class Sample:
    """A line placed by the profile alone and by what the household found; ``trouble`` says why it was not."""

    line: str
    before: str
    after: str
    trouble: str


def _stamp(one: ZoneReading | Cooked) -> str:
    return sha256(repr(one).encode()).hexdigest()[:20]


def zones(cooker: Chosen) -> tuple[ZoneView, ...]:
    """Return the zones of a cooker in the order of its profile."""
    used = _used(cooker)
    out = []
    for zone, plain in zip(cooker.applied.cooker.zones, cooker.profile.zones, strict=True):
        heats = []
        for height, heat_c in zone.celsius.items():
            reading = used.get((zone.id, height))
            mark = READ if reading is not None else PROFILE if heat_c == plain.celsius[height] else MOVED
            heats.append(Heat(height, heat_c, plain.celsius[height], mark, reading))
        out.append(ZoneView(zone, drawing.where(zone), tuple(heats)))
    return tuple(out)


def _used(cooker: Chosen) -> Mapping[tuple[str, str], ZoneReading]:
    """The readings that the cooker as read really stands on."""
    good = own_cooker.usable(cooker.profile, cooker.record, date.today(), [])
    made = {zone.id: zone for zone in cooker.applied.cooker.zones}
    return {key: one for key, one in good.items() if made[key[0]].celsius[key[1]] == one.celsius}


def readings(cooker: Chosen) -> tuple[ReadingView, ...]:
    """Return the kept readings, the one entered last first."""
    used = set(map(id, _used(cooker).values()))
    names = {zone.id: zone for zone in cooker.profile.zones}
    made = []
    for number, one in enumerate(cooker.record.readings, start=1):
        zone = names.get(one.zone)
        told = own_cooker.told(zone, one.height) if zone else f"{one.zone}, {one.height}"
        made.append(ReadingView(number, one, told, id(one) in used))
    return tuple(reversed(made))


def clock(cooker: Chosen) -> Clock:
    """Return what the logs say about the clock."""
    from converter.heat.clock import clock_minutes

    found = own_cooker.evidence(cooker.record)
    names = {zone.id: zone for zone in cooker.profile.zones}
    logs = []
    for number, (one, sds) in enumerate(zip(cooker.record.cooked, found.surprises, strict=True), start=1):
        zone = names.get(one.zone)
        expected = clock_minutes(one.minutes, from_c=one.dial_c, to_c=one.zone_c, slope=found.prior.mean)
        told = own_cooker.told(zone, one.height) if zone else f"{one.zone}, {one.height}"
        logs.append(LogView(number, one, told, expected, one.zone_c != one.dial_c, sds))
    in_use = found.slope if found.n else found.prior.mean
    return Clock(
        (100 * found.prior.mean, 100 * found.prior.sd), (100 * found.mean, 100 * found.sd), 100 * in_use, found.n,
        tuple(logs),
    )  # fmt: skip


def sample(cooker: Chosen, line: str, *, units: str = "both") -> Sample:
    """Return a line of a recipe placed by the profile alone and by what the household found."""
    words = " ".join(line.split())[:LONGEST_LINE] or LINE
    try:
        made = kitchen.setup("", units)
    except HTTPException as error:  # the room stays open, so that another cooker can be chosen
        return Sample(words, "", "", str(error.detail))
    applied = cooker.applied
    ways = (
        replace(made, cooker=cooker.profile, slope=None, measured=frozenset()),
        replace(
            made, cooker=applied.cooker, slope=applied.slope,
            measured=own_cooker.read_lately(cooker.profile, date.today(), record=cooker.record),
        ),
    )  # fmt: skip
    text = f"A sample\n\nIngredients\n\n- as you have them\n\nMethod\n\n1. {words}\n"
    try:
        before, after = (kitchen.shown_with(text, setup=way, name="the line").result for way in ways)
    except HTTPException as error:
        return Sample(words, "", "", str(error.detail))
    told = [" ".join(step.rewritten for step in result.steps) for result in (before, after)]
    return Sample(words, told[0], told[1], "" if after.placements else "There is no heat in this line to be placed.")
