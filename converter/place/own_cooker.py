"""What one household's cooker has shown: thermometer readings of its zones and the minutes that dishes took there.

One YAML file per cooker in the user's configuration folder. `apply` turns a cooker into the cooker as it was read and
gives the slope of its clock; neither touches a limit of safety, which `safety_table` and `heat.doses` keep to
themselves. Temperatures are °C: surface of a plate, air of an oven; times are minutes. Writing is in ``readings.py``.
"""

from __future__ import annotations

import re
import zlib
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING, NamedTuple

from converter.model import OVENS, PLATES
from converter.place.cookers import OVEN_HEIGHTS, Cooker, Temperatures, Zone, default_path

if TYPE_CHECKING:
    from converter.heat.clock import SlopePosterior
    from converter.place.profile_checks import Kind

STALE_DAYS = 90  # an always-on cooker drifts with service and season; common practice, no source
HEIGHT_SLACK_KELVIN = 40.0  # heights other than the middle may lie so far beyond the kind's range, as in profiles
SURPRISE = 2.0  # standard deviations from which on a log is called a surprise

_PLAIN = re.compile(r"[a-z0-9]+(?:-[a-z0-9]+)*")


@dataclass(frozen=True, slots=True)
class ZoneReading:
    """One look at a thermometer: ``zone`` is the id of the profile, ``height`` that of an oven, ``any`` on a plate.

    ``by`` says what it was read with; empty where nothing is said.
    """

    zone: str
    height: str
    celsius: float
    date: date
    by: str = ""


@dataclass(frozen=True, slots=True)
class Cooked:
    """One dish as it went: the recipe's ``minutes`` at ``dial_c`` [°C, no fan], the ``took`` minutes at ``zone_c``.

    ``zone_read`` says that the zone's °C was read; otherwise it is the figure of the profile.
    """

    dish: str
    zone: str
    height: str
    zone_c: float
    zone_read: bool
    dial_c: float
    minutes: float
    took: float
    date: date


@dataclass(frozen=True, slots=True)
class OwnRecord:
    """All that is kept of one cooker, in the order in which it was entered."""

    cooker: str
    readings: tuple[ZoneReading, ...] = ()
    cooked: tuple[Cooked, ...] = ()


class Applied(NamedTuple):
    """The cooker with its measured temperatures, its slope [1/K at 60 minutes] if logs tell one, what to say."""

    cooker: Cooker
    slope: float | None
    remarks: tuple[str, ...]


def path_of(cooker: Cooker) -> Path:
    """Return the file that keeps what a cooker has shown; cookers are told apart by their names."""
    name = cooker.name
    if not _PLAIN.fullmatch(name):
        plain = "-".join(re.findall(r"[a-z0-9]+", name.casefold())) or "cooker"
        name = f"{plain}-{zlib.crc32(cooker.name.encode('utf-8', 'replace')):08x}"
    return default_path().parent / "own" / f"{name}.yaml"


def load(cooker: Cooker) -> OwnRecord:
    """Return what is kept of a cooker, an empty record where nothing is.

    Raises ``RecordError`` with file and line for a file that cannot be used.
    """
    from converter.place import own_file

    return own_file.read(path_of(cooker), cooker=cooker.name)


def apply(cooker: Cooker, today: date, *, record: OwnRecord | None = None) -> Applied:
    """Return the cooker as read with a thermometer, the slope of its clock, and remarks on what was not used.

    The latest reading of each height counts; heights between two read ones move by a share of both, those beyond as
    the nearest read one. Readings older than `STALE_DAYS`, dated after `today`, or impossible are said and not used.
    Raises ``RecordError`` as `load`.
    """
    own = load(cooker) if record is None else record
    if not own.readings and not own.cooked:
        return Applied(cooker, None, ())
    remarks: list[str] = []
    good = usable(cooker, own, today, remarks)
    made = _measured(cooker, good, remarks)
    slope = None
    if own.cooked:
        found = evidence(own)
        slope = found.slope if found.n else None
    return Applied(made, slope, tuple(remarks))


def read_lately(cooker: Cooker, today: date, *, record: OwnRecord | None = None) -> frozenset[tuple[str, str]]:
    """Return (zone id, height) of every reading in use that is at most a day old; raises ``RecordError`` as `load`."""
    own = load(cooker) if record is None else record
    good = usable(cooker, own, today, [])
    lately = {key: reading for key, reading in good.items() if (today - reading.date).days <= 1}
    if not lately:
        return frozenset()
    zones = {zone.id: zone for zone in _measured(cooker, good, []).zones}  # without zones that cannot be as read
    return frozenset(key for key, reading in lately.items() if zones[key[0]].celsius[key[1]] == reading.celsius)


def evidence(record: OwnRecord) -> SlopePosterior:
    """Return the slope of the clock after the cooked dishes of a record, in their order."""
    from converter.heat.clock import CookLog, update, usual_prior

    logs = [
        CookLog(recipe_minutes=one.minutes, from_c=one.dial_c, zone_c=one.zone_c, minutes_taken=one.took)
        for one in record.cooked
    ]
    return update(usual_prior(), logs)


# --- which readings count -----------------------------------------------------------------------------


def usable(cooker: Cooker, record: OwnRecord, today: date, remarks: list[str]) -> dict[tuple[str, str], ZoneReading]:
    """Return the reading that counts for each (zone id, height); adds to `remarks` why a later one does not."""
    zones = {zone.id: zone for zone in cooker.zones}
    good: dict[tuple[str, str], ZoneReading] = {}
    stale: set[tuple[str, str]] = set()
    order = sorted(range(len(record.readings)), key=lambda at: (record.readings[at].date, at), reverse=True)
    for reading in (record.readings[at] for at in order):
        key = (reading.zone, reading.height)
        if key in good or key in stale:
            continue
        zone = zones.get(reading.zone)
        if zone is None:
            remarks.append(f"the reading of '{reading.zone}' is not used: {cooker.name} has no such zone now")
            stale.add(key)
            continue
        what = f"{told(zone, reading.height)}, {reading.celsius:g} °C on {reading.date.isoformat()}"
        age = (today - reading.date).days
        if age > STALE_DAYS:
            remarks.append(f"{what}: not used, it is {age} days old (at most {STALE_DAYS}); read it again")
            stale.add(key)
        elif age < 0:
            remarks.append(f"{what}: not used, the date lies in the future")
        elif reason := impossible(zone, reading.height, reading.celsius):
            remarks.append(f"{what}: not used, {reason}")
        else:
            good[key] = reading
    return good


def impossible(zone: Zone, height: str, celsius: float) -> str | None:
    """Return why a zone cannot have this temperature at a height, None where it can."""
    if height not in (OVEN_HEIGHTS if zone.is_oven else ("any",)):
        return f"{'an oven' if zone.is_oven else 'a plate'} has no height '{height}'"
    kind = _kind(zone)
    slack = HEIGHT_SLACK_KELVIN if zone.is_oven and height != "middle" else 0.0
    low, high = kind.possible_c[0] - slack, kind.possible_c[1] + slack
    if low <= celsius <= high:
        return None
    where = f"{height} in a {kind.words}" if zone.is_oven else f"on a {kind.words}"
    return f"{low:g} to {high:g} °C is possible {where}"


def told(zone: Zone, height: str) -> str:
    """Return how a zone and height are called on screen."""
    return f"{zone.label}, {height}" if zone.is_oven else zone.label


def _kind(zone: Zone) -> Kind:
    from converter.place.profiles import kinds

    return kinds()[zone.kind]


# --- the cooker as read ---------------------------------------------------------------------------------


def _measured(cooker: Cooker, good: dict[tuple[str, str], ZoneReading], remarks: list[str]) -> Cooker:
    by_zone: dict[str, dict[str, float]] = {}
    for (ident, height), reading in good.items():
        by_zone.setdefault(ident, {})[height] = reading.celsius
    zones: dict[str, Zone] = {}
    for zone in cooker.zones:
        if zone.id in by_zone:
            moved = _moved(zone, by_zone[zone.id])
            if reason := _misfit(moved):
                remarks.append(f"{zone.label}: its readings are not used, {reason}; read it again at the middle")
            else:
                zones[zone.id] = moved
    while True:
        made = replace(cooker, zones=tuple(zones.get(zone.id, zone) for zone in cooker.zones))
        pair = _out_of_order(made)
        read = [zone for zone in pair or () if zone.id in zones]
        if pair is None or not read:
            return made
        hot, cool = pair
        names = " and ".join(zone.label for zone in read)
        remarks.append(
            f"{names}: readings not used, the {cool.label} ({cool.at():.0f} °C) cannot be as hot as the {hot.label} "
            f"({hot.at():.0f} °C); read both on one morning"
        )
        for zone in read:
            del zones[zone.id]


def _moved(zone: Zone, read: dict[str, float]) -> Zone:
    if not zone.is_oven:
        return replace(zone, celsius=Temperatures({"any": read["any"]}))
    places = [OVEN_HEIGHTS.index(height) for height in OVEN_HEIGHTS if height in read]
    shifts = [read[OVEN_HEIGHTS[at]] - zone.celsius[OVEN_HEIGHTS[at]] for at in places]
    made = {
        height: read[height] if height in read else zone.celsius[height] + _between(at, places, shifts)
        for at, height in enumerate(OVEN_HEIGHTS)
    }
    shield = zone.shield_c
    if shield is not None:
        shield += made["low"] - zone.celsius["low"]
    return replace(zone, celsius=Temperatures(made), shield_c=shield)


def _between(at: int, places: list[int], values: list[float]) -> float:
    """The value at one place of a line through some of them, level beyond its ends."""
    if at <= places[0]:
        return values[0]
    for (left, low), (right, high) in zip(
        zip(places, values, strict=True), zip(places[1:], values[1:], strict=True), strict=False
    ):
        if at <= right:
            return low + (high - low) * (at - left) / (right - left)
    return values[-1]


def _misfit(zone: Zone) -> str | None:
    from converter.place.profiles import WIDEST_SPREAD_KELVIN

    spread = max(zone.celsius.values()) - min(zone.celsius.values())
    if spread > WIDEST_SPREAD_KELVIN:
        return f"{spread:.0f} K within one oven cannot be (at most {WIDEST_SPREAD_KELVIN} K)"
    for height in zone.celsius:
        if reason := impossible(zone, height, zone.celsius[height]):
            return f"they make {zone.celsius[height]:.0f} °C at {height}, and {reason}"
    return None


def _out_of_order(cooker: Cooker) -> tuple[Zone, Zone] | None:
    """The first two zones of which the kind that must be cooler is as hot, (hotter kind, cooler kind)."""
    for group in (PLATES, OVENS):
        zones = sorted((zone for zone in cooker.zones if zone.kind in group), key=lambda zone: group.index(zone.kind))
        for index, hot in enumerate(zones):
            for cool in zones[index + 1 :]:
                if cool.kind != hot.kind and cool.at() >= hot.at():
                    return hot, cool
    return None


def zone_named(cooker: Cooker, word: str) -> tuple[Zone, ...]:
    """Return the zones that a word may mean: the one of that id, else those of that kind, else those of that label."""
    plain = "-".join(word.casefold().replace("_", " ").replace("-", " ").split())
    for key in ("id", "kind", "label"):
        found = tuple(
            zone for zone in cooker.zones if "-".join(getattr(zone, key).casefold().replace("-", " ").split()) == plain
        )
        if found:
            return found
    return ()


def zone_c_for_log(cooker: Cooker, ident: str, height: str, *, record: OwnRecord, day: date) -> tuple[float, bool]:
    """Return the °C of a zone on a day and whether a reading of that zone that was good then stands behind it.

    `cooker` is the one of the profile. Raises ``KeyError`` for an unknown height.
    """
    before = OwnRecord(record.cooker, tuple(one for one in record.readings if one.date <= day))
    by_profile = next(one for one in cooker.zones if one.id == ident)
    as_read = next(one for one in apply(cooker, day, record=before).cooker.zones if one.id == ident)
    return as_read.at(height), as_read is not by_profile
