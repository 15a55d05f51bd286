"""A converted recipe as one HTML file: no request to anywhere, no script, every word of the recipe escaped."""

from __future__ import annotations

from functools import cache
from html import escape
from pathlib import Path

from converter.model import Result, WrittenStep
from converter.write import curve, parts

# Shape and word tell the levels apart; colour is never needed.
_SHAPES = {"caution": ("▲", "caution"), "judgement": ("◆", "your judgement"), "note": ("●", "note")}
_POLICY = "default-src 'none'; style-src 'unsafe-inline'; base-uri 'none'; form-action 'none'"


@cache
def style() -> str:
    """Return the style sheet, read once."""
    return Path(__file__).with_name("page.css").read_text(encoding="utf-8")


def text_of(words: str) -> str:
    """Return words as text of the page; HTML has no NUL, so it becomes the sign for a lost character."""
    return escape(words.replace("\0", "\ufffd"))


def _heading(level: int, name: str, *, own: bool = False) -> str:
    side = ' dir="auto"' if own else ""
    return f"<h{level}{side}>{text_of(name)}</h{level}>"


def _start(result: Result) -> list[str]:
    out = ['<dl class="start">']
    for label, entries in parts.header_lines(result.header, result.units):
        name, bracket, rest = label.partition(" (")
        small = f" <small>({text_of(rest)}</small>" if bracket else ""
        shown = "".join(f"<dd>{text_of(entry)}</dd>" for entry in entries)
        out.append(f"<div><dt>{text_of(name)}{small}</dt>{shown}</div>")
    return [*out, "</dl>"]


def _ingredients(result: Result) -> list[str]:
    out = ['<section class="ingredients">', _heading(2, parts.INGREDIENTS)]
    for name, items in parts.ingredient_parts(result.reading.recipe):
        if name is not None:
            out.append(_heading(3, name, own=True))
        out += ["<ul>", *(f'<li dir="auto">{text_of(item.text)}</li>' for item in items), "</ul>"]
    return [*out, "</section>"]


def _marks(levels: dict[int, list[tuple[str, str]]], step: int) -> str:
    links = [
        f'<a href="#{anchor}"><span aria-hidden="true">{_SHAPES[level][0]}</span> {_SHAPES[level][1]}</a>'
        for level, anchor in levels.get(step, ())
    ]
    return f'<p class="marks">{" ".join(links)}</p>' if links else ""


def _step(step: WrittenStep, marks: str) -> str:
    before = ""
    if step.original.strip() != step.rewritten.strip():
        before = (
            "<details><summary>as the recipe has it</summary>"
            f'<p class="words" dir="auto">{text_of(step.original)}</p></details>'
        )
    return f'<li value="{step.number}"><p class="words" dir="auto">{text_of(step.rewritten)}</p>{marks}{before}</li>'


def _method(result: Result, levels: dict[int, list[tuple[str, str]]]) -> list[str]:
    out = ['<section class="method">', _heading(2, parts.METHOD)]
    for name, steps in parts.step_parts(result.steps):
        if name is not None:
            out.append(_heading(3, name, own=True))
        out += ["<ol>", *(_step(step, _marks(levels, step.number)) for step in steps), "</ol>"]
    return [*out, "</section>"]


def _line(line: parts.Line, *, level: str, anchor: str) -> str:
    shape, word = _SHAPES[level]
    quote = f', <q dir="auto">{text_of(line.quote)}</q>' if line.quote else ""
    said = f" → {text_of(line.said)}" if line.said else ""
    return (
        f'<li id="{anchor}"><span class="sign" role="img" aria-label="{word}">{shape}</span>'
        f"<span><b>{line.where}</b>{quote}{said}</span></li>"
    )


def _section(name: str, kind: str, items: list[str]) -> list[str]:
    if not items:
        return []
    return [f'<section class="list {kind}">', _heading(2, name), "<ul>", *items, "</ul>", "</section>"]


def render(result: Result) -> str:
    """Return the whole page."""
    recipe = result.reading.recipe
    title = parts.title_of(result)
    levels: dict[int, list[tuple[str, str]]] = {}
    lists: dict[str, list[str]] = {}
    for level in ("caution", "judgement", "note"):
        lists[level] = []
        for count, flag in enumerate(parts.flags_of(result, level), start=1):
            anchor = f"{level}-{count}"
            lists[level].append(_line(parts.flag_line(flag, result.units), level=level, anchor=anchor))
            if level != "note":
                levels.setdefault(flag.step, []).append((level, anchor))
    given = parts.as_given(recipe)
    further = [f"<li><span></span><span>{text_of(note)}</span></li>" for note in parts.further_notes(result)]
    own = [f'<li class="words" dir="auto">{text_of(note)}</li>' for note in parts.own_notes(recipe)]
    out = [
        "<!DOCTYPE html>",
        '<html lang="en">',
        "<head>",
        '<meta charset="utf-8">',
        f'<meta http-equiv="Content-Security-Policy" content="{_POLICY}">',
        '<meta name="viewport" content="width=device-width, initial-scale=1">',
        '<meta name="color-scheme" content="light dark">',
        f"<title>{text_of(title)}</title>",
        f"<style>\n{style()}</style>",
        "</head>",
        "<body>",
        "<main>",
        _heading(1, title, own=True),
        *_start(result),
    ]
    if given:
        entries = " · ".join(f"<bdi>{text_of(entry)}</bdi>" for entry in given)
        out.append(f'<p class="given">{parts.AS_GIVEN_LABEL}: {entries}</p>')
    out.append('<div class="sheet">' if recipe.ingredients else '<div class="sheet bare">')
    if recipe.ingredients:
        out += _ingredients(result)
    out += [*_method(result, levels), "</div>", *curve.section(result)]
    out += _section(parts.OWN_NOTES, "plain", own)
    if lists["judgement"]:
        out += _section(parts.JUDGEMENT, "judgement", lists["judgement"])
    else:
        out.append(f'<p class="list">{parts.JUDGEMENT}: {parts.NONE}.</p>')
    out += _section(parts.CAUTIONS, "cautions", lists["caution"])
    out += _section(parts.NOTES, "remarks", lists["note"] + further)
    out += [f"<footer><p>{text_of(parts.CLOSING)}</p></footer>", "</main>", "</body>", "</html>", ""]
    return "\n".join(out)
