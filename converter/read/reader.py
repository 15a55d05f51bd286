"""Reads a document: layout, ingredients, mentions, clauses, phases."""

from __future__ import annotations

import re

from converter.model import Clause, Document, Phase, Reading, Recipe, Span, Spot
from converter.read import places
from converter.read.clauses import Cutter, Draft
from converter.read.ingredients import understand
from converter.read.lines import layout
from converter.read.mentions import mentions
from converter.read.naming import Namer
from converter.read.phases import Open, Tracker
from converter.read.words import hits

_OUTDOOR = re.compile(
    r"\b(?:charcoal|barbecue grill|bbq|barbeque|coals|braai|gas grill|outdoor grill|campfire|kettle grill)\b",
    re.IGNORECASE,
)


def recipe_of(document: Document) -> Recipe:
    """Return the recipe by its parts, ingredients understood."""
    recipe = layout(document)
    return Recipe(
        recipe.document,
        recipe.title,
        understand(recipe.ingredients),
        recipe.steps,
        recipe.servings,
        recipe.stated_times,
        recipe.notes,
        recipe.layout,
    )


def read(document: Document) -> Reading:
    """Read one recipe. Raises ``NotReadable`` where there is no method."""
    recipe = recipe_of(document)
    found = mentions(recipe)
    first, last = recipe.steps[0].span.start, recipe.steps[-1].span.end
    method = document.text[first:last]
    doc, words = hits(method)
    if first:
        words = [hit._replace(start=hit.start + first, end=hit.end + first) for hit in words]
    low = places.mask(document.text, found)
    spots = [p._replace(span=Span(p.span.start + first, p.span.end + first)) for p in places.find(low[first:last])]
    cutter = Cutter(doc, first, low, words, spots, found)
    tracker = Tracker(outdoor=bool(_OUTDOOR.search(method)))
    for step in recipe.steps:
        for draft in cutter.cut(step):
            tracker.read(draft)
    clauses = [freeze(draft, act) for draft, act in tracker.others]
    phases: list[Phase] = []
    namer = Namer(recipe, method)
    for opened in tracker.finish():
        phase = _phase(opened, len(phases) + 1, recipe, namer)
        phases.append(phase)
        clauses.extend(phase.clauses)
    clauses.sort(key=lambda c: c.span)
    return Reading(recipe, found, tuple(clauses), tuple(phases))


def freeze(draft: Draft, act: str) -> Clause:
    """Return the clause as a frozen value."""
    return Clause(
        draft.step,
        Span(draft.start, draft.end),
        act,
        draft.method,
        draft.verb,
        tuple(Spot(*place) for place in draft.places),
        draft.sign,
        tuple(draft.times),
        tuple(draft.temperatures),
        draft.boil,
        draft.lid,
        draft.general,
        draft.sentence,
    )


def _phase(opened: Open, number: int, recipe: Recipe, namer: Namer) -> Phase:
    text = recipe.document.text
    own = [draft for draft in opened.drafts if draft.step == opened.step] or opened.drafts
    start, end = max(opened.start, own[0].start) if opened.start <= own[-1].end else own[0].start, own[-1].end
    while end > start and text[end - 1] in " \n\t.;,:":
        end -= 1
    while start < end and text[start] in " \n\t.;,:":
        start += 1
    span = Span(start, max(start, end))
    named = namer.name(opened)
    return Phase(
        number=number,
        step=opened.step,
        span=span,
        text=text[span.start : span.end],
        method=opened.method,
        environment=opened.environment,  # type: ignore[arg-type]
        celsius=opened.celsius,
        seconds=opened.seconds,
        food=named.words,
        food_class=named.main,
        dish=namer.dish,
        foods=named.classes,
        forms=named.forms,
        grams=named.grams,
        lid=opened.lid or "none",
        heat=opened.heat,
        height=opened.height,
        appliance=opened.appliance,
        core_c=opened.core,
        attended=opened.attended,
        marks=tuple(sorted(opened.marks)),
        clauses=tuple(freeze(d, d.act) for d in opened.drafts),
    )
