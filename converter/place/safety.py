"""The safety pass. It has the last word: it is code, and no rule of the table can switch it off.

It reads title, ingredients, method and notes itself, with its own words, and
uses phases and placements only to find more. Limits, texts and word lists are
in ``rules/safety_*.yaml``.
"""

from __future__ import annotations

from collections.abc import Callable
from functools import cache

from converter.model import Flag, Placement, Reading, Span
from converter.place import safety_core, safety_fire, safety_keep, safety_meat, safety_pantry, safety_raw
from converter.place.safety_raw import Hit
from converter.place.safety_table import caution_texts, phrases, singles
from converter.place.safety_text import View

Check = Callable[[View], list[Hit]]

# What must stand somewhere in the text for a check to run: words, and names of word lists with a colon before them.
_CHECKS: tuple[tuple[Check, str], ...] = (
    (safety_core.core_hits, ":poultry :pork :mince-noun ground minced mince internal core thermometer probe thickest"),
    (safety_meat.pink_hits, "pink pinkish rosy rare"),
    (safety_meat.slow_hits, ":slow-cooker oven slow roast roasting bake cook gas"),
    (safety_meat.frozen_hits, "frozen thaw thawing defrost defrosting freezer"),
    (safety_meat.stuffed_hits, "stuff stuffed stuffing rolled roll roulade roulades braciole rouladen olives cavity "
     "fill"),
    (safety_meat.wash_hits, "wash washed washing rinse rinsed rinsing"),
    (safety_meat.dried_hits, "jerky biltong droëwors pemmican charqui dehydrate dehydrated dehydrator dry dried"),
    (safety_keep.kept_warm_hits, "warm hot hold holding"),
    (safety_keep.room_hits, "room counter countertop worktop bench unrefrigerated out sideboard warm"),
    (safety_keep.cooling_hits, "cool cooled cooling cools rice"),
    (safety_keep.reheat_hits, "reheat reheated reheating reheats re rewarm rewarmed warm warmed"),
    (safety_keep.marinade_hits, "marinade"),
    (safety_keep.oven_left_hits, "off ajar overnight cooling door night"),
    (safety_pantry.bean_hits, "bean beans rajma haricots"),
    (safety_pantry.egg_hits, ":egg"),
    (safety_pantry.dough_hits, "dough batter lick"),
    (safety_pantry.bottling_hits, "jar jars canner canning"),
    (safety_pantry.garlic_oil_hits, "garlic infuse infused infusion confit herb herbs"),
    (safety_fire.fat_hits, "oil fat fryer lard shortening ghee deep grease caramel"),
    (safety_fire.sugar_hits, "sugar syrup caramel caramelize caramelise amber"),
    (safety_fire.flame_hits, "flambé flambe flambéed flame flames alight light aflame ignite fire ablaze match "
     "charcoal coal coals smoker barbecue wood tea"),
    (safety_fire.container_hits, "plastic cling film clingfilm saran wax waxed ziploc ziplock zip freezer can cans tin "
     "tins jar"),
)  # fmt: skip

_RAW_CLASSES = tuple(start for kind in safety_raw.FLESH for start in safety_raw.CLASSES[kind])
_NUMBERS = {check: number for number, (check, _) in enumerate(_CHECKS)}
# For meat that only the lexicon of the reader knows, and for what only the placements show.
_MEAT_CHECKS = (_NUMBERS[safety_core.core_hits], _NUMBERS[safety_meat.slow_hits])
_MOVE_CHECKS = (_NUMBERS[safety_meat.slow_hits], _NUMBERS[safety_keep.kept_warm_hits])


@cache
def _triggers() -> dict[str, tuple[int, ...]]:
    found: dict[str, list[int]] = {}
    for number, (_, text) in enumerate(_CHECKS):
        for word in text.split():
            words = {word}
            if word.startswith(":"):
                words = set(singles(word[1:])) | {
                    part for phrase in phrases(word[1:]) for part in phrase.replace("-", " ").split()[:1]
                }
            for one in words:
                found.setdefault(one, []).append(number)
    return {word: tuple(numbers) for word, numbers in found.items()}


def cautions(reading: Reading, placements: tuple[Placement, ...] = ()) -> tuple[Flag, ...]:
    """Return the cautions about a recipe in the order of the text, each name at most once.

    ``step`` of a flag is 0 where the words stand outside of the method
    (ingredients, notes, a text without a method). Raises ``DataError`` if the
    tables of the pass are broken, nothing else.
    """
    view = View(reading, placements)
    triggers = _triggers()
    wanted = {number for word in view.words & triggers.keys() for number in triggers[word]}
    if any(item.food and item.food.startswith(_RAW_CLASSES) for item in reading.recipe.ingredients):
        wanted.update(_MEAT_CHECKS)
    if placements:
        wanted.update(_MOVE_CHECKS)
    if not wanted:
        return ()
    hits: dict[str, Hit] = {}
    for number, (check, _) in enumerate(_CHECKS):
        if number in wanted:
            for hit in check(view):
                hits.setdefault(hit.name, hit)
    low, pink = hits.get("core-below-advised"), hits.get("pink-inside")
    if low and pink and low.step == pink.step:
        del hits["pink-inside"]  # the same thing twice: "140°F for medium rare"
    return tuple(_flag(view, hit) for hit in sorted(hits.values(), key=lambda hit: (hit.start, hit.name)))


def _flag(view: View, hit: Hit) -> Flag:
    texts = caution_texts()[hit.name]
    phase = view.phase_at(hit.step, hit.start, hit.end)
    return Flag(
        name=hit.name,
        level="caution",
        step=hit.step,
        span=Span(hit.start, hit.end),
        text=view.reading.recipe.document.text[hit.start : hit.end],
        message=texts.message,
        why=texts.why,
        choices=texts.choices,
        source=texts.source,
        phase=phase.number if phase else None,
    )
