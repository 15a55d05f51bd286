"""What is known while the clauses of one recipe are read: the open phase, the pan, the oven."""

from __future__ import annotations

import re
from collections import deque
from dataclasses import dataclass, field

from converter.model import Mention, Range
from converter.read import phase_cues as cue
from converter.read.clauses import Draft
from converter.read.words import Hit

CLOSED = ("slow-cooker", "pressure-cooker", "rice-cooker", "air-fryer", "microwave", "bread-machine")
_AMOUNT = re.compile(r"[\d½¼¾⅓⅔⅛]\W*$")
OIL_C = (140.0, 230.0)  # frying heats of oil and fat


@dataclass(slots=True)
class Open:
    """A phase while it is open.

    ``weak``: food was put somewhere hot, but no verb of heating yet.
    ``general``: the verb was "cook" or the like. ``boiling``: coming to the
    boil, so that a simmer that follows belongs to it. ``signed``: it has an
    "until". ``fat_only``: nothing but fat is in the pan. ``wet``: so much
    liquid is in the pan that nothing fries; ``deep``: the pan holds fat for
    deep frying. ``word_c`` is the range [°C] of a
    word setting where no number is given. ``lead`` are the words of the clauses
    just before.
    """

    step: int
    start: int
    end: int
    method: str
    environment: str
    celsius: Range | None = None
    seconds: Range | None = None
    heat: str | None = None
    height: str | None = None
    lid: str | None = None
    appliance: str | None = None
    weak: bool = False
    boiling: bool = False
    signed: bool = False
    general: bool = False
    fat_only: bool = False
    wet: bool = False
    deep: bool = False
    word_c: Range | None = None
    attended: bool = False
    drafts: list[Draft] = field(default_factory=list)
    marks: set[str] = field(default_factory=set)
    words: list[str] = field(default_factory=list)
    lead: str = ""
    core: Range | None = None

    @property
    def done(self) -> bool:
        """Tell whether the phase has an end of its own: a time or a sign."""
        return self.seconds is not None or self.signed


@dataclass(slots=True)
class Pan:
    """What is known of the hob.

    ``holds`` is water, fat or nothing known; ``empty``: no food is in it yet;
    ``wet``: liquid went in; ``griddle``: a grill pan or a griddle; ``deep``:
    there is fat for deep frying in it; ``bath``: a bowl stands over its water.
    """

    hot: bool = False
    heat: str | None = None
    holds: str = ""
    vessel: bool = False
    oil_c: Range | None = None
    filled: bool = False
    empty: bool = False
    wet: bool = False
    griddle: bool = False
    deep: bool = False
    bath: bool = False
    draft: Draft | None = None

    def near(self, draft: Draft, steps: int) -> bool:
        """Tell whether the pan was last spoken of at most `steps` steps before."""
        return self.draft is not None and draft.step - self.draft.step <= steps


def cook_time(draft: Draft) -> Range | None:
    """Return the time [s] that a clause gives its heating; a time for each side counts twice."""
    for mention in draft.times:
        if not mention.conditional and _cooks(draft, mention) and not _after(draft, mention):
            return mention.seconds
    for mention in draft.times:
        if mention.role == "each" and mention.seconds:
            low, high = mention.seconds
            sides = "side" in mention.text or cue.EACH_SIDE.search(draft.words)
            return (low * 2, high * 2) if sides else (low, high)
    return None


def _cooks(draft: Draft, mention: Mention) -> bool:
    """Tell a time of heating; standing on the stove and stirring in the oven's time heat as well."""
    if mention.role == "prep":
        return draft.act == "heat" or draft.has("oven")
    if mention.role == "rest":
        return draft.act == "heat" or any(place.kind == "hob" and place.noun for place in draft.places)
    return mention.role == "cook"


def _after(draft: Draft, mention: Mention) -> bool:
    """Tell "add the garlic after 4 minutes": the time marks a point, it is not the end."""
    if draft.act not in ("add", "put", "turn"):
        return False
    before = draft.words[: max(0, mention.span.start - draft.start)].rstrip()
    return before.endswith(" after") or cue.AFTER_GOING_ON.search(before) is not None


def oven_c(draft: Draft) -> Range | None:
    """Return the oven temperature [°C] that a clause gives."""
    for mention in draft.temperatures:
        if mention.role == "oven":
            return mention.celsius
    return None


def oil_c(draft: Draft, *roles: str) -> Range | None:
    """Return a temperature [°C] of these roles that only hot fat has."""
    for mention in draft.temperatures:
        if mention.role in roles and mention.celsius and OIL_C[0] <= mention.celsius[0] <= OIL_C[1]:
            return mention.celsius
    return None


def heat_word(draft: Draft) -> str | None:
    """Return the word of heat that a clause gives plate or grill."""
    for place in draft.places:
        if place.kind in ("hob", "change", "grill") and place.heat and place.heat != "simmer":
            return place.heat
    return None


def oven_heat_word(draft: Draft) -> str | None:
    """Return the word that a clause gives the heat of an oven ("moderate")."""
    return next((place.heat for place in draft.places if place.kind == "oven" and place.heat), None)


def height_word(draft: Draft) -> str | None:
    """Return the height in the oven that a clause gives."""
    return next((place.height for place in draft.places if place.height), None)


def vessels(draft: Draft) -> list[str]:
    """Return the kinds of the vessels that a clause names."""
    return [hit.word.key for hit in draft.hits if hit.word.kind == "vessel" and not _measure(draft, hit)]


def _measure(draft: Draft, hit: Hit) -> bool:
    """Tell "¼ cup", which is an amount, from "a cup"."""
    at = hit.start - draft.start
    return draft.words.startswith("cup", at) and _AMOUNT.search(draft.words[:at]) is not None


class State:
    """The state of one recipe; the handlers of the other modules change it."""

    def __init__(self, *, outdoor: bool) -> None:
        self.phases: list[Open] = []
        self.current: Open | None = None
        self.oven_c: Range | None = None
        self.oven_word: str | None = None
        self.pan = Pan()
        self.lid: str | None = None
        self.pending_lid: str | None = None
        self.dish_lid: str | None = None
        self.changed = False
        self.added = False
        self.last_add: Draft | None = None
        self.turned = False
        self.outdoor = outdoor
        self.device: str | None = None
        self.device_c: Range | None = None
        self.in_oven_dish = False
        self.grill_ready = False
        self.others: list[tuple[Draft, str]] = []
        self.recent: deque[str] = deque(maxlen=3)

    def note(self, draft: Draft, act: str) -> None:
        """Keep a clause that is about heat but is not part of a phase."""
        self.others.append((draft, act))

    def on(self, environment: str) -> bool:
        """Tell whether the open phase is in `environment`."""
        return self.current is not None and self.current.environment == environment

    def on_stove(self, draft: Draft) -> bool:
        """Tell whether the clause has its food on the hob; bare "on high" belongs to grill or appliance in use."""
        apart = self.on("grill") or self.on("none") or (self.current is None and self.device in CLOSED)
        at = draft.start
        apart = apart or ("on " in draft.words and cue.MIXER.search(draft.words) is not None)
        return any(
            place.kind == "hob" and (place.noun or not apart or draft.words.startswith("over", place.span.start - at))
            for place in draft.places
        )

    def fire(self) -> tuple[str, str]:
        """Return method and environment of what burns: smoker, barbecue or the grill of the cooker."""
        if self.device in ("smoker", "open-fire", "dehydrator"):
            return self.device, "none"
        return ("barbecue", "none") if self.outdoor else ("grill", "grill")

    def close(self, *, cold: bool = False) -> None:
        """End the open phase; `cold` says that the pan is cold or gone as well."""
        self.current = None
        self.changed = self.added = self.turned = False
        self.lid = None
        if cold:
            self.pan = Pan()

    def drop_bare(self) -> None:
        """Forget the open phase if food was only put into something hot and then taken off or left to steep."""
        if self.current is not None and self.current.weak and not self.current.done:
            self.drop()

    def drop(self) -> None:
        """Forget the open phase: nothing was cooked in it."""
        if self.current is not None:
            self.phases.remove(self.current)
        self.close()

    def start(self, draft: Draft, method: str, environment: str, *, weak: bool = False) -> Open:
        """Open a phase with this clause."""
        phase = Open(draft.step, draft.start, draft.end, method, environment, weak=weak)
        phase.lid = self.pending_lid or self.lid
        phase.lead = " ".join(self.recent)
        self.phases.append(phase)
        self.current = phase
        if environment != "none":
            self.device = None if self.device in CLOSED else self.device
        self.changed = self.added = self.turned = False
        self.take(phase, draft)
        if phase.seconds is None:
            phase.seconds = next((m.seconds for m in draft.times if m.last and not m.conditional), None)
        return phase

    def take(self, phase: Open, draft: Draft) -> None:
        """Let the clause give the phase what it has: time, heat, height, lid, words."""
        self._take_time(phase, draft)
        phase.end = max(phase.end, draft.end)
        phase.heat = heat_word(draft) or phase.heat
        phase.height = height_word(draft) or phase.height
        phase.lid = draft.lid or self.pending_lid or phase.lid
        self.lid = phase.lid or self.lid
        self.pending_lid = None
        phase.attended = phase.attended or draft.attended
        phase.wet = phase.wet or (phase.environment == "hob" and self.pan.wet)
        phase.signed = phase.signed or draft.sign is not None
        phase.drafts.append(draft)
        phase.words.append(draft.words)
        for mention in draft.temperatures:
            if mention.role == "core" and phase.core is None:
                phase.core = mention.celsius

    def _take_time(self, phase: Open, draft: Draft) -> None:
        seconds = cook_time(draft)
        if seconds is None:
            return
        if phase.seconds is None and phase.signed and self.turned and cue.ONE_SIDE_ONLY.search(" ".join(phase.words)):
            self.turned = False
            return
        if phase.seconds is None:
            phase.seconds = seconds
            phase.step = draft.step
            if phase.start > draft.start or phase.weak or phase.fat_only:
                phase.start = draft.start
        elif self.turned or any(m.more for m in draft.times) or cue.TURN_OVER.search(draft.words):
            phase.seconds = (phase.seconds[0] + seconds[0], phase.seconds[1] + seconds[1])
        self.turned = False
