"""What is wrong or doubtful about a cooker as a whole, each remark with its place in the profile."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path

from converter.model import OVENS, PLATES
from converter.place.cookers import Cooker, Zone, builtin, builtin_path

BOIL_C = 100.0
# Food kept hot for serving: The Food Hygiene (Wales) Regulations 2006 (W.S.I. 2006/31), Schedule 4 paragraph 6.
KEEP_HOT_C = 63.0

Remark = tuple[str, str]


@dataclass(frozen=True, slots=True)
class Kind:
    """A row of ``rules/cookers/zone-kinds.yaml``; ranges [°C], spread by height [K]."""

    kind: str
    words: str
    use: str
    usual_c: tuple[float, float]
    possible_c: tuple[float, float]
    tolerance_c: float
    holds: int
    spread_kelvin: dict[str, float] | None
    shield_kelvin: float | None


def mistakes(made: Cooker, kinds: dict[str, Kind]) -> list[Remark]:
    """Return what no single zone shows: repeated names and places, wrong order of heat, no plate, no oven."""
    found: list[Remark] = []

    def refuse(zone: Zone | None, message: str) -> None:
        found.append((_where(made, zone), message))

    seen: dict[tuple[str, str], Zone] = {}
    words = {kind.words: kind.kind for kind in kinds.values()}
    for zone in made.zones:
        other = words.get(zone.label.casefold(), zone.kind)
        if other != zone.kind:
            refuse(zone, f"zone '{zone.id}' is a {kinds[zone.kind].words} but is labelled '{zone.label}'")
        place = (zone.side, zone.level)
        keys = (("id", zone.id), ("label", zone.label.casefold()), ("place", " ".join(place)))
        for what, value in keys:
            first = seen.setdefault((what, value), zone)
            if first is not zone:
                refuse(zone, f"zone '{zone.id}' has the same {what} ({value}) as the zone at line {first.line}")
    for group in (PLATES, OVENS):
        zones = sorted((zone for zone in made.zones if zone.kind in group), key=lambda zone: group.index(zone.kind))
        for index, hot in enumerate(zones):
            for cool in zones[index + 1 :]:
                if cool.kind != hot.kind and cool.at() >= hot.at():
                    refuse(
                        cool,
                        f"zone '{cool.id}' ({cool.at():g} °C) must be cooler than '{hot.id}' ({hot.at():g} °C); "
                        f"the order is {', '.join(group)}",
                    )
    if not made.kinds & {"hot-plate", "gentle-plate"}:
        refuse(None, "there is no zone to boil on; a cooker needs a hot-plate or a gentle-plate")
    if not made.ovens:
        refuse(None, f"there is no oven; a cooker needs one of {', '.join(OVENS)}")
    return found


def doubts(made: Cooker, kinds: dict[str, Kind]) -> list[Remark]:
    """Return what can be true but changes the cooking."""
    found: list[Remark] = []

    def note(zone: Zone | None, message: str) -> None:
        found.append((_where(made, zone), message))

    if made.name in builtin() and made.source != f"rules/cookers/{made.name}.yaml" and not _is_builtin(made):
        note(None, f"the name {made.name} is also a built-in cooker; another name keeps them apart")
    for kind, loss in (
        ("hot-plate", "everything comes to the boil slowly"),
        ("hot-oven", "nothing roasts, grills or bakes bread"),
        ("low-oven", "nothing simmers unattended"),
    ):
        if not made.has(kind):
            note(None, f"there is no {kinds[kind].words}: {loss}")
    for zone in made.zones:
        found.extend((_where(made, zone), f"{zone.label}: {message}") for message in _zone_doubts(zone, kinds))
    if made.has("hot-plate") and made.has("gentle-plate"):
        share = made.zone("gentle-plate").at() / made.zone("hot-plate").at()
        if not 0.4 <= share <= 0.7:
            note(made.zone("gentle-plate"), f"has {share:.0%} of the °C of the hot plate; about half is usual")
    return found


def _zone_doubts(zone: Zone, kinds: dict[str, Kind]) -> Iterator[str]:
    low, high = kinds[zone.kind].usual_c
    if not low <= zone.at() <= high:
        yield f"{zone.at():g} °C is outside the usual {low:g} to {high:g} °C"
    if zone.kind == "low-oven":
        under = [height for height in zone.heights if zone.at(height) < BOIL_C]
        if under:
            yield f"under {BOIL_C:g} °C at {', '.join(under)}: simmering stops here"
    if zone.kind == "holding-oven" and min(zone.celsius.values()) < KEEP_HOT_C:
        yield f"under {KEEP_HOT_C:g} °C: food does not stay safely hot here"
    shelves = [height for height in zone.heights if height != "floor"]
    for upper, lower in pairwise(shelves):
        if zone.at(lower) > zone.at(upper) + 5:
            yield f"{lower} is hotter than {upper}; measure both again"


def _where(made: Cooker, zone: Zone | None) -> str:
    return f"{made.source}:{zone.line}" if zone else made.source


def _is_builtin(made: Cooker) -> bool:
    return Path(made.source).resolve() == builtin_path(made.name).resolve()
