"""The frozen values that the stages hand to one another. Imports nothing of ours.

Offsets count characters of ``Document.text``. ``Document.origin`` carries a
span back to the file as it was given. Temperatures are °C of a conventional
oven unless a name says otherwise; times are seconds in what was read and
minutes in what is placed, as the JSON contract has them.
"""

from __future__ import annotations

from bisect import bisect_right
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

Environment = Literal["oven", "hob", "grill", "none"]
Level = Literal["caution", "judgement", "note"]
Kind = Literal["temperature", "duration"]
Range = tuple[float, float]

ENVIRONMENTS: tuple[str, ...] = ("oven", "hob", "grill", "none")
LEVELS: tuple[str, ...] = ("caution", "judgement", "note")
PLATES: tuple[str, ...] = ("hot-plate", "gentle-plate", "warm-plate")
OVENS: tuple[str, ...] = ("hot-oven", "moderate-oven", "low-oven", "holding-oven")
ZONES: tuple[str, ...] = PLATES + OVENS
HEIGHTS: tuple[str, ...] = ("roof", "high", "middle", "low", "floor", "any")
TEMPERATURE_ROLES: tuple[str, ...] = ("oven", "core", "liquid", "surface", "air", "storage", "other")
DURATION_ROLES: tuple[str, ...] = (
    "cook", "rest", "prove", "chill", "soak", "hold", "prep", "interval", "offset", "each", "rate", "other",
)  # fmt: skip
METHODS: tuple[str, ...] = (
    "bake", "roast", "braise", "simmer", "boil", "poach", "steam", "fry", "shallow-fry", "deep-fry", "saute",
    "sweat", "brown", "sear", "toast", "grill", "reduce", "melt", "warm", "blind-bake", "other",
)  # fmt: skip
APPLIANCES: tuple[str, ...] = (
    "smoker", "barbecue", "microwave", "slow-cooker", "pressure-cooker", "air-fryer", "bread-machine",
    "sous-vide", "deep-fryer", "sandwich-grill", "rice-cooker", "blowtorch", "dehydrator", "open-fire",
)  # fmt: skip


class Span(NamedTuple):
    """Half-open range of characters in ``Document.text``."""

    start: int
    end: int


@dataclass(frozen=True, slots=True)
class Document:
    """One recipe file, decoded and made plain.

    ``source`` is the decoded file, untouched. ``text`` is what is read: no
    soft hyphens, ligatures and entities spelt out, wrapped lines joined.
    ``offsets[i]`` is where ``text[i]`` stands in ``source``; ``None`` means
    that the two are the same string.
    """

    name: str
    source: str
    text: str
    offsets: tuple[int, ...] | None = None
    encoding: str = "utf-8"

    def origin(self, span: Span) -> Span:
        """Return the span in ``source`` that `span` was read from."""
        if self.offsets is None or not self.offsets:
            return span
        last = len(self.source)
        start = self.offsets[span.start] if span.start < len(self.offsets) else last
        if span.end <= span.start:
            return Span(start, start)
        return Span(start, self.offsets[span.end - 1] + 1)

    def place(self, span: Span) -> tuple[int, int]:
        """Return line and column of the start of `span` in ``source``, both from 1."""
        start = self.origin(span).start
        line = self.source.count("\n", 0, start) + 1
        return line, start - (self.source.rfind("\n", 0, start) + 1) + 1


@dataclass(frozen=True, slots=True)
class Ingredient:
    """One line of the ingredient list.

    ``grams`` is the weight [low, high] where the line gives a weight or a
    volume of a liquid; ``food`` is a class of lexicon/foods.yaml or ``None``;
    ``forms`` are closed words of the same file (minced, tinned, dried, frozen,
    rolled, stuffed, whole, bone-in, cooked, raw ...).
    """

    span: Span
    text: str
    name: str
    grams: Range | None = None
    food: str | None = None
    forms: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Step:
    """One numbered item or paragraph of the method; ``number`` counts from 1."""

    number: int
    span: Span
    text: str
    part: str | None = None


@dataclass(frozen=True, slots=True)
class Recipe:
    """A recipe by its parts; nothing in it is interpreted yet."""

    document: Document
    title: str
    ingredients: tuple[Ingredient, ...] = ()
    steps: tuple[Step, ...] = ()
    servings: str | None = None
    stated_times: tuple[str, ...] = ()
    notes: tuple[Span, ...] = ()
    layout: tuple[tuple[str, Span], ...] = ()


@dataclass(frozen=True, slots=True)
class Mention:
    """One temperature or length of time in the method, in every unit it is written in.

    ``span`` covers the words of doubt ("about", "up to", "more"); ``core``
    covers the figures and units alone. ``celsius`` are whole degrees of the
    conventional value, ``fan`` says that only a fan value is written.
    ``per_kg`` of a rate is the weight [kg] that ``seconds`` is given for and
    ``plus`` the fixed part [s].
    """

    step: int
    kind: Kind
    span: Span
    core: Span
    text: str
    role: str
    celsius: Range | None = None
    seconds: Range | None = None
    fan: bool = False
    conditional: bool = False
    more: bool = False
    last: bool = False
    per_kg: float | None = None
    plus: float | None = None
    disagrees: bool = False
    unit_guessed: bool = False


class Spot(NamedTuple):
    """A phrase that names a place of heat or a change of it.

    ``kind``: oven, rack, grill, hob, change, out ("from the oven") or at (a
    bare "at 180 °C"). ``direction`` of a change is up or down.
    """

    span: Span
    kind: str
    heat: str | None = None
    height: str | None = None
    noun: str | None = None
    direction: str | None = None


@dataclass(frozen=True, slots=True)
class Clause:
    """One instruction about heat: a verb with its own places, times and sign.

    ``act`` is heat, put, add, turn, begin, change-oven, change-hob,
    preheat-oven, preheat-pan, preheat-grill, water, remove, hold, off,
    off-inside, time or unplaced. ``verb`` is the span of the verb, ``sign``
    of "until golden" and the like, ``boil`` says that the clause brings
    something to the boil or to a simmer.
    """

    step: int
    span: Span
    act: str
    method: str
    verb: Span
    spots: tuple[Spot, ...] = ()
    sign: Span | None = None
    times: tuple[Mention, ...] = ()
    temperatures: tuple[Mention, ...] = ()
    boil: str | None = None
    lid: str | None = None
    general: bool = False
    sentence: int = 0


@dataclass(frozen=True, slots=True)
class Phase:
    """One unbroken stretch of heating at one setting as the recipe wrote it."""

    number: int
    step: int
    span: Span
    text: str
    method: str
    environment: Environment
    celsius: Range | None
    seconds: Range | None
    food: str
    lid: str
    food_class: str | None = None
    dish: str | None = None
    foods: tuple[str, ...] = ()
    forms: tuple[str, ...] = ()
    heat: str | None = None
    height: str | None = None
    appliance: str | None = None
    grams: Range | None = None
    core_c: Range | None = None
    attended: bool = False
    marks: tuple[str, ...] = ()
    clauses: tuple[Clause, ...] = ()


@dataclass(frozen=True, slots=True)
class Reading:
    """All that the reader found."""

    recipe: Recipe
    mentions: tuple[Mention, ...]
    clauses: tuple[Clause, ...]
    phases: tuple[Phase, ...]
    flags: tuple[Flag, ...] = ()


@dataclass(frozen=True, slots=True)
class Minutes:
    """A stay: when to look, when to expect it done [low, high]. All in minutes."""

    low: float
    high: float
    look: float | None = None
    own: bool = False


@dataclass(frozen=True, slots=True)
class Move:
    """One stay in one zone. ``label`` is the household's own word for the zone."""

    zone: str
    label: str
    height: str | None = None
    minutes: Minutes | None = None
    shield: bool = False
    cover: bool | None = None
    zone_c: float | None = None
    until: str | None = None
    boil: bool = False


@dataclass(frozen=True, slots=True)
class CoreAdvice:
    """When a roast is done in its thickest part, °C.

    ``core_c`` is the core after the rest, ``pull_c`` what the thermometer
    says when the food comes out, ``safe_c`` the advised minimum with the name
    of its source. ``named`` says that the recipe names the core itself.
    """

    core_c: float
    pull_c: float
    rest_minutes: Range
    safe_c: float
    safe_source: str
    named: bool = False


@dataclass(frozen=True, slots=True)
class Placement:
    """The moves that replace one phase; no moves means that the cooker cannot do it.

    ``reasons`` say where the minutes of each move come from. Where ``in_own_words`` the household's words, or those
    of the recipe as it left them, stand for it instead of moves.
    """

    phase: int
    moves: tuple[Move, ...]
    flag: bool
    rule: str
    why: str
    choices: tuple[str, ...] = ()
    core: CoreAdvice | None = None
    reasons: tuple[str, ...] = ()
    in_own_words: bool = False


@dataclass(frozen=True, slots=True)
class Flag:
    """Something for the cook's judgement, tied to words of the original text."""

    name: str
    level: Level
    step: int
    span: Span
    text: str
    message: str
    why: str
    choices: tuple[str, ...] = ()
    source: str | None = None
    phase: int | None = None


@dataclass(frozen=True, slots=True)
class Edit:
    """Words of ``Document.text`` that are replaced; an empty span is an insertion."""

    span: Span
    words: str


@dataclass(frozen=True, slots=True)
class WrittenStep:
    """A step before and after."""

    number: int
    part: str | None
    original: str
    rewritten: str
    edits: tuple[Edit, ...] = ()


@dataclass(frozen=True, slots=True)
class Header:
    """What the cook needs before starting. Zone lines and timers are plain sentences."""

    cooker: str
    zones: tuple[str, ...] = ()
    timers: tuple[str, ...] = ()
    lid_up_minutes: Range = (0.0, 0.0)
    have_ready: tuple[str, ...] = ()
    own_times: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Curve:
    """The predicted core temperature of a roast along its stays.

    ``minutes`` and ``core_c`` run together; ``low_c`` and ``high_c`` are the
    band. ``target_c`` is where the food comes out, ``stays`` names each zone
    and the minute at which it begins.
    """

    phase: int
    step: int
    title: str
    minutes: tuple[float, ...]
    core_c: tuple[float, ...]
    low_c: tuple[float, ...]
    high_c: tuple[float, ...]
    target_c: float
    stays: tuple[tuple[str, float], ...] = ()


@dataclass(frozen=True, slots=True)
class Result:
    """A converted recipe, ready for any of the output forms."""

    reading: Reading
    cooker: str
    placements: tuple[Placement, ...]
    flags: tuple[Flag, ...]
    steps: tuple[WrittenStep, ...]
    header: Header
    units: str = "both"
    notes: tuple[str, ...] = field(default=())
    curves: tuple[Curve, ...] = ()



def line_of(starts: tuple[int, ...], offset: int) -> int:
    """Return the line, from 1, that `offset` is on."""
    return bisect_right(starts, offset)
