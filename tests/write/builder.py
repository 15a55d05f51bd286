"""Builds a converted recipe by hand, so that the output forms are tested without reader and rules."""

from __future__ import annotations

from itertools import cycle

from hypothesis import strategies as st

from converter.model import (
    Document,
    Flag,
    Header,
    Ingredient,
    Mention,
    Minutes,
    Move,
    Phase,
    Placement,
    Reading,
    Recipe,
    Result,
    Span,
    Step,
    WrittenStep,
)


class Page:
    """Collects the text of a document and gives back the span of each piece."""

    def __init__(self) -> None:
        self.text = ""

    def add(self, words: str) -> Span:
        start = len(self.text)
        self.text += words + "\n"
        return Span(start, start + len(words))


def recipe_of(
    *,
    title: str = "Bramble Sponge",
    ingredients: tuple[tuple[str | None, tuple[str, ...]], ...] = ((None, ("175 g flour", "3 eggs")),),
    steps: tuple[tuple[str | None, str], ...] = ((None, "Stir it all."), (None, "Bake at 180°C for 25 minutes.")),
    servings: str | None = "Serves 6",
    stated_times: tuple[str, ...] = ("Cooking time: 25 minutes",),
    notes: tuple[str, ...] = ("Keeps for 3 days in a tin.",),
    name: str = "bramble.txt",
) -> Recipe:
    """A recipe whose spans are true for its document."""
    page = Page()
    layout: list[tuple[str, Span]] = [("title", page.add(title)), ("heading", page.add("Ingredients"))]
    listed = []
    for part, lines in ingredients:
        if part is not None:
            layout.append(("heading", page.add(part)))
        for line in lines:
            layout.append(("ingredient", page.add(line)))
            listed.append(Ingredient(span=layout[-1][1], text=line, name=line))
    layout.append(("heading", page.add("Method")))
    made = []
    part_before = None
    for number, (part, words) in enumerate(steps, start=1):
        if part is not None and part != part_before:
            layout.append(("heading", page.add(part)))
        part_before = part
        layout.append(("step", page.add(words)))
        made.append(Step(number=number, span=layout[-1][1], text=words, part=part))
    spans = tuple(page.add(note) for note in notes)
    return Recipe(
        document=Document(name=name, source=page.text, text=page.text),
        title=title,
        ingredients=tuple(listed),
        steps=tuple(made),
        servings=servings,
        stated_times=stated_times,
        notes=spans,
        layout=tuple(layout),
    )


def flag_of(
    level: str = "judgement",
    *,
    name: str = "no-zone-near",
    step: int = 2,
    text: str = "at 180°C",
    message: str = "hot oven under a shield",
    why: str = "no zone near this heat",
    choices: tuple[str, ...] = ("low oven for longer",),
    source: str | None = None,
) -> Flag:
    """A flag whose span does not matter here."""
    return Flag(
        name=name, level=level, step=step, span=Span(0, 0), text=text, message=message, why=why, choices=choices,
        source=source,
    )  # fmt: skip


def result_of(
    recipe: Recipe | None = None,
    *,
    rewritten: tuple[str, ...] | None = None,
    flags: tuple[Flag, ...] = (),
    header: Header | None = None,
    units: str = "both",
    notes: tuple[str, ...] = (),
    placements: tuple[Placement, ...] | None = None,
    phases: tuple[Phase, ...] | None = None,
    mentions: tuple[Mention, ...] | None = None,
) -> Result:
    """A converted recipe on the two-oven cooker; by default one bake in the last step."""
    recipe = recipe or recipe_of()
    words = rewritten or tuple(step.text for step in recipe.steps)
    last = recipe.steps[-1].number if recipe.steps else 1
    span = Span(0, 0)
    if mentions is None:
        mentions = (
            Mention(last, "temperature", span, span, "180°C", "oven", celsius=(180.0, 180.0)),
            Mention(last, "duration", span, span, "25 minutes", "cook", seconds=(1500.0, 1500.0)),
        )  # fmt: skip
    if phases is None:
        phases = (
            Phase(
                number=1, step=last, span=span, text="Bake at 180°C for 25 minutes", method="bake", environment="oven",
                celsius=(180.0, 180.0), seconds=(1500.0, 1500.0), food="sponge", lid="none",
            ),
        )  # fmt: skip
    if placements is None:
        moves = (
            Move("hot-oven", "hot oven", height="low", minutes=Minutes(15, 20, look=12), shield=True),
            Move("gentle-plate", "gentle plate", minutes=Minutes(2.5, 4), cover=True),
        )
        placements = (Placement(1, moves, flag=True, rule="baking/sponge", why="tender", choices=("middle",)),)
    return Result(
        reading=Reading(recipe=recipe, mentions=mentions, clauses=(), phases=phases),
        cooker="two-oven",
        placements=placements,
        flags=flags,
        steps=tuple(
            WrittenStep(step.number, step.part, step.text, new) for step, new in zip(recipe.steps, words, strict=True)
        ),
        header=header or Header(
            cooker="two-oven",
            zones=("hot oven, low, shield: 15–20 min (step 2)",),
            timers=("step 2: 12, latest 20 min",),
            lid_up_minutes=(2.0, 4.0),
            have_ready=("one cold plain baking tray as shield, for step 2",),
            own_times=("step 1",),
        ),
        units=units,
        notes=notes,
    )  # fmt: skip


def sunday_pie() -> Result:
    """A recipe of usual length with parts, notes and a flag of each level."""
    recipe = recipe_of(
        title="Hen and Leek Pie for a Wet Sunday",
        ingredients=(
            ("For the filling", ("600 g cooked hen, in pieces", "3 leeks, sliced", "40 g butter", "1 tbsp flour",
                                 "300 ml stock", "2 tbsp thick cream")),
            ("For the lid", ("350 g shortcrust pastry", "1 egg, beaten")),
        ),
        steps=(
            ("Filling", "Melt the butter in a wide pan over medium heat and soften the leeks for 10 minutes."),
            ("Filling", "Stir in the flour, then the stock, and simmer for 5 minutes until it coats the spoon."),
            ("Filling", "Fold in the hen and the cream, season, and leave to cool in a deep dish."),
            ("Lid", "Preheat the oven to 190°C (375°F)."),
            ("Lid", "Roll out the pastry, lay it over the dish, trim and brush it with the egg."),
            ("Lid", "Bake for 35 minutes, or until the lid is golden and the filling bubbles."),
            ("Lid", "Let it stand for 10 minutes and serve with buttered greens."),
        ),
        servings="Serves 4 to 6",
        stated_times=("Preparation: 30 minutes", "Baking: 35 minutes"),
        notes=("The filling can be made a day ahead and kept in the fridge.",),
        name="hen pie.txt",
    )  # fmt: skip
    words = [step.text for step in recipe.steps]
    words[0] = (
        "Melt the butter in a wide pan on the gentle plate and soften the leeks for about 10–12 minutes (look at 8)."
    )
    words[1] = (
        "Stir in the flour, then the stock, and simmer on the gentle plate for about 5–6 minutes (look at 4) until it "
        "coats the spoon."
    )
    words[3] = "Nothing to do: the hot oven is always ready."
    words[5] = (
        "Bake in the hot oven, on a low shelf, under a shield, for about 25–30 minutes (look at 20), or until the lid "
        "is golden and the filling bubbles."
    )
    flags = (
        flag_of("judgement", step=6, text="190°C (375°F)", message="hot oven, low, under a shield",
                why="the zone is about 40 °C hotter than asked", choices=("on the floor, no shield",)),
        flag_of("caution", name="reheated-fowl", step=6, text="the filling bubbles", message="kept",
                why="bubbles are no proof of the core, 74 °C", choices=("measure in the thickest part",),
                source="FoodSafety.gov"),
        flag_of("note", name="nothing-to-preheat", step=4, text="Preheat the oven", message="nothing to do",
                why="the oven is always hot", choices=()),
    )  # fmt: skip
    header = Header(
        cooker="two-oven",
        zones=("gentle plate: 15–18 min (steps 1, 2)", "hot oven, low, shield: 25–30 min (step 6)"),
        timers=("step 6: 20, latest 30 min",),
        lid_up_minutes=(15.0, 18.0),
        have_ready=("one cold plain baking tray as shield, for step 6", "thermometer, for step 6"),
    )
    return result_of(recipe, rewritten=tuple(words), flags=flags, header=header)


# Signs and words that mean something to Markdown, HTML or JSON, or turn the direction of reading.
_BARBS = (
    "# ", "## x", "#", "- ", "* ", "+ ", "1. ", "12) ", "> ", "```", "~~~", "---", "***", "___", "===",
    "    code", "<script>alert(1)</script>", "<b>", "</main>", "<!--", "-->", "<![CDATA[", "</style>",
    "<a@b.example>", "< 5 min", "&amp;", "&lt;", "&#35;", "&notit;", "[x] ", "[a]: /b", "[a](b)", "![a](b)",
    "[a][b]", "*a*", "_a_", "__", "**", "~~a~~", "`", "\\", "\\#", "\n", "\n\n", "\r\n", "\r", "\n# ", "\n- ",
    "\n===", "\n\n    ", "\t", "\u2028", "\x85", "\x0c", "\x1f", "\x00", "\u202e", "\u2067", "\u200f",
    "\u05d0\u05d1", "\xa0", '"', "'", "}", "| a | b |\n|---|---|", "180°C", "½", "a_b", " # ", " ##", "2 * 3",
    "http://a.example/x_y_z", "\U0001f372", "javascript:", " onload=", "\ufeff",
)  # fmt: skip


def messy() -> st.SearchStrategy[str]:
    """Text with at least one letter, full of signs that act as markup somewhere."""
    piece = st.one_of(st.sampled_from(_BARBS), st.text(max_size=8))
    some = st.lists(piece, min_size=1, max_size=7).map("".join)
    return st.one_of(some.map(lambda words: words + "end"), some.map(lambda words: "begin" + words))


@st.composite
def messy_results(draw: st.DrawFn) -> Result:
    """A converted recipe with messy text in every field that holds words of the recipe or of a flag."""
    pool = draw(st.lists(messy(), min_size=2, max_size=9))
    word = cycle(draw(st.permutations(pool))).__next__
    recipe = recipe_of(
        title=word(),
        ingredients=((word(), (word(), word())), (word(), (word(),))),
        steps=((None, word()), (word(), word()), (word(), word())),
        servings=word(),
        stated_times=(word(),),
        notes=(word(),),
        name=word(),
    )
    flags = tuple(
        flag_of(level, step=step, text=word(), message=word(), why=word(), choices=(word(),), source=word())
        for step, level in enumerate(("judgement", "caution", "note", "note"))
    )
    header = Header(cooker=word(), zones=(word(),), timers=(word(),), have_ready=(word(),))
    # Each step is told from its original, as a page shows the original only where it was changed.
    rewritten = tuple(f"{word()}{number}" for number in range(3))
    units = draw(st.sampled_from(("c", "f", "both")))
    return result_of(recipe, rewritten=rewritten, flags=flags, header=header, units=units, notes=(word(),))


def heads_of(result: Result) -> set[str]:
    """The headings of the document without the marks that a sub-heading loses."""
    recipe = result.reading.recipe
    return {loose(recipe.document.text[span.start : span.end]) for kind, span in recipe.layout if kind == "heading"}


def loose(text: str) -> str:
    """`bare` without the marks that make a line a heading."""
    return "".join(sign for sign in bare(text) if sign not in "#*_=:")


def bare(text: str) -> str:
    """Text without white space and with the sign for a lost character in place of NUL, for comparing."""
    return "".join(text.split()).replace("\x00", "\ufffd")
