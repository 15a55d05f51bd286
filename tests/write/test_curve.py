"""The predicted core as a sentence, a table, a picture and in plain characters."""

from __future__ import annotations

import re
import xml.etree.ElementTree as ET
from dataclasses import replace
from html.parser import HTMLParser

import pytest
from builder import messy, sunday_pie
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from converter.model import Curve, Result
from converter.write import curve as drawn
from converter.write import curve_text
from converter.write.forms import render
from converter.write.record import as_object, schema

SVG = "{http://www.w3.org/2000/svg}"


def curve_of(**changes: object) -> Curve:
    """A core that rises straight: 1 °C a minute as expected, 0.8 if slow, 1.25 if fast; out at 60 from 20 °C."""
    minutes = tuple(float(at) for at in range(0, 51, 5))
    made = Curve(
        phase=1,
        step=6,
        title="leg of hogget",
        minutes=minutes,
        core_c=tuple(20 + at for at in minutes),
        low_c=tuple(20 + 0.8 * at for at in minutes),
        high_c=tuple(20 + 1.25 * at for at in minutes),
        target_c=60.0,
        stays=(("hot oven", 0.0), ("low oven", 20.0)),
    )
    return replace(made, **changes)  # type: ignore[arg-type]


def with_curves(*curves: Curve, units: str = "both") -> Result:
    return replace(sunday_pie(), curves=curves, units=units)


def test_the_lines_come_to_the_target_where_they_cross_it() -> None:
    assert drawn.times(curve_of()) == (32.0, 40.0, 50.0)
    assert drawn.times(curve_of(target_c=61.0)) == (pytest.approx(32.8), pytest.approx(41.0), None)
    assert drawn.times(curve_of(target_c=90.0)) == (None, None, None)
    assert drawn.times(curve_of(target_c=10.0)) == (0.0, 0.0, 0.0)


def test_the_last_point_may_fall_short_by_its_rounding_only() -> None:
    assert drawn.times(curve_of(target_c=60.1)).latest == 50.0
    assert drawn.times(curve_of(target_c=60.2)).latest is None


@pytest.mark.parametrize(
    ("minutes", "down", "near", "up"),
    [(0.2, 1, 1, 1), (7.4, 7, 7, 8), (20.0, 20, 20, 20), (21.0, 20, 20, 25), (62.0, 60, 60, 65), (63.0, 60, 65, 65)],
)
def test_minutes_as_a_cook_says_them(minutes: float, down: int, near: int, up: int) -> None:
    assert [drawn.kitchen_minutes(minutes, up=way) for way in (False, None, True)] == [down, near, up]


def test_hours_and_minutes() -> None:
    assert [drawn.time_words(at) for at in (1, 59, 60, 65, 125)] == ["1 min", "59 min", "1 h", "1 h 05", "2 h 05"]


def test_the_sentence() -> None:
    said = "step 6, leg of hogget, 60 °C (140 °F) after about 40 min, perhaps from 30 min, at the latest after 50 min"
    assert drawn.line(curve_of(), "both") == said
    assert "140 °F after" in drawn.line(curve_of(), "f")
    assert drawn.line(curve_of(target_c=90.0), "c") == (
        "step 6, leg of hogget, about 70 °C after 50 min, so it does not come to 90 °C"
    )


def test_the_table_steps_evenly_and_holds_the_curve() -> None:
    rows = drawn.rows(curve_of(), most=6)
    assert [row.minutes for row in rows] == [0, 10, 20, 30, 40, 50]
    assert [row.core_c for row in rows] == [20, 30, 40, 50, 60, 70]
    assert [row.slow_c for row in rows] == [20, 28, 36, 44, 52, 60]
    assert rows[1].fast_c == 32.5


# ------------------------------------------------------------------ the picture


def picture(curve: Curve, units: str = "c") -> ET.Element:
    words = "\n".join(drawn.svg(curve, name="curve-1", units=units))
    return ET.fromstring(words.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ', 1))


def points(element: ET.Element) -> list[tuple[float, float]]:
    return [tuple(map(float, pair.split(","))) for pair in element.attrib["points"].split()]  # type: ignore[misc]


def test_the_picture_names_and_describes_itself() -> None:
    made = picture(curve_of())
    title, described = made.find(f"{SVG}title"), made.find(f"{SVG}desc")
    assert title is not None
    assert described is not None
    assert made.attrib["role"] == "img"
    assert made.attrib["aria-labelledby"].split() == [title.attrib["id"], described.attrib["id"]]
    assert title.text == "Core of the roast, predicted: leg of hogget"
    for words in ("20 °C", "60 °C after about 40 min", "hot oven from minute 0", "low oven from minute 20"):
        assert words in (described.text or "")


def test_the_picture_has_no_colour_script_or_address_of_its_own() -> None:
    words = "\n".join(drawn.svg(curve_of(), name="curve-1", units="c"))
    assert set(re.findall(r'(?:fill|stroke)="([^"]+)"', words)) == {"currentColor", "none"}
    assert not re.search(r"<script|href|url\(|style=|#|\bon\w+=", words)


def test_each_line_has_a_stroke_of_its_own() -> None:
    made = picture(curve_of())
    long = [line for line in made.iter(f"{SVG}polyline") if len(points(line)) == 11]
    assert len(long) == 3
    assert len({line.attrib.get("stroke-dasharray", "") for line in long}) == 3
    assert sorted(float(line.attrib["stroke-width"]) for line in long)[-1] == 2.5


def test_the_lines_lie_where_their_figures_say() -> None:
    made = picture(curve_of())
    middle = next(line for line in made.iter(f"{SVG}polyline") if line.attrib["stroke-width"] == "2.5")
    path = points(middle)
    marks = {
        int(label.text or ""): float(label.attrib["y"]) - 5
        for label in made.iter(f"{SVG}text")
        if label.attrib["text-anchor"] == "end" and (label.text or "").isdigit()
    }
    assert path[0][1] == pytest.approx(marks[20], abs=0.1)
    assert path[8][1] == pytest.approx(marks[60], abs=0.1)
    ticks = {
        int(label.text or ""): float(label.attrib["x"])
        for label in made.iter(f"{SVG}text")
        if label.attrib["text-anchor"] == "middle"
    }
    assert path[0][0] == pytest.approx(ticks[0], abs=0.1)
    assert path[8][0] == pytest.approx(ticks[40], abs=0.1)


@pytest.mark.parametrize("units", ["c", "f", "both"])
def test_everything_lies_within_the_picture(units: str) -> None:
    far = curve_of(stays=(("a very long word for a hot oven of the house", 0.0), ("another oven for it", 48.0)))
    for curve in (curve_of(), far, curve_of(target_c=95.0)):
        made = picture(curve, units)
        width, height = map(float, made.attrib["viewBox"].split()[2:])
        for line in (*made.iter(f"{SVG}polyline"), *made.iter(f"{SVG}polygon")):
            assert all(0 <= x <= width and 0 <= y <= height for x, y in points(line))
        for label in made.iter(f"{SVG}text"):
            reach = 8.0 * len(label.text or "")
            share = {"start": 0.0, "middle": 0.5, "end": 1.0}[label.attrib["text-anchor"]]
            left = float(label.attrib["x"]) - share * reach
            assert left >= -1
            assert left + reach <= width + 8
            assert 8 <= float(label.attrib["y"]) <= height


def test_fahrenheit_is_drawn_in_fahrenheit() -> None:
    words = "\n".join(drawn.svg(curve_of(), name="curve-1", units="f"))
    assert "out at 140 °F" in words
    assert "°C" not in words


class Tree(HTMLParser):
    """Checks that elements close in order and keeps the text of cells and headings."""

    def __init__(self, words: str) -> None:
        super().__init__()
        self.open: list[str] = []
        self.cells: list[tuple[str, str]] = []
        self.ids: list[str] = []
        self.feed(words)
        self.close()
        assert self.open == []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        if tag != "meta":
            self.open.append(tag)
        self.ids += [value or "" for name, value in attrs if name == "id"]
        if tag in ("td", "th", "h2", "caption", "figcaption"):
            self.cells.append((tag, ""))

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        if self.open and self.open[-1] in ("td", "th", "h2", "caption", "figcaption"):
            tag, words = self.cells[-1]
            self.cells[-1] = (tag, words + data)


def test_the_page_has_picture_and_table_after_the_method() -> None:
    page = render(with_curves(curve_of(), curve_of(step=7)), "html")
    tree = Tree(page)
    assert len(set(tree.ids)) == len(tree.ids)
    assert page.count('<svg role="img"') == 2
    assert page.index("<svg") > page.index('class="method"')
    assert ("h2", "Core of the roast, predicted") in tree.cells
    row = tree.cells.index(("th", "40"))
    assert tree.cells[row + 1 : row + 4] == [("td", "52 (126)"), ("td", "60 (140)"), ("td", "70 (158)")]
    assert page.count('<th scope="col">') == 8
    assert "<script" not in page


def test_without_a_curve_nothing_is_said() -> None:
    for form in ("html", "markdown", "text"):
        assert "predicted" not in render(sunday_pie(), form)


@pytest.mark.parametrize("form", ["markdown", "text"])
def test_the_other_forms_have_it_in_a_sentence(form: str) -> None:
    words = " ".join(render(with_curves(curve_of()), form).split())
    assert "Core of the roast, predicted: step 6, leg of hogget, 60 °C (140 °F) after about 40 min" in words


def test_the_object_holds_the_curve_and_fits_its_schema() -> None:
    made = as_object(with_curves(curve_of()))
    assert list(Draft202012Validator(schema()).iter_errors(made)) == []
    (found,) = made["curves"]
    assert found["minutes"][:3] == [0, 5, 10]
    assert found["core_c"][-1] == 70
    assert found["target_c"] == 60
    assert found["stays"][1] == {"label": "low oven", "from_minute": 20}
    found["stays"][1]["zone"] = "x"
    assert list(Draft202012Validator(schema()).iter_errors(made)) != []


@settings(max_examples=60, deadline=None)
@given(messy(), messy(), st.sampled_from(("c", "f", "both")))
def test_any_words_stay_words(title: str, label: str, units: str) -> None:
    made = with_curves(curve_of(title=title, stays=((label, 0.0),)), units=units)
    Tree(render(made, "html"))
    picture(made.curves[0], units)
    assert list(Draft202012Validator(schema()).iter_errors(as_object(made))) == []
    for form in ("markdown", "text"):
        lines = [line for line in render(made, form).splitlines() if "Core of the roast" in line]
        assert len(lines) == 1


@settings(max_examples=80, deadline=None)
@given(st.data())
def test_any_curve_can_be_drawn(data: st.DataObject) -> None:
    count = data.draw(st.integers(2, 30))
    steps = data.draw(st.lists(st.floats(0.1, 90), min_size=count - 1, max_size=count - 1))
    minutes = [0.0]
    for step in steps:
        minutes.append(minutes[-1] + step)
    cores = st.lists(st.floats(-2, 105), min_size=count, max_size=count)
    lines = [tuple(data.draw(cores)) for _ in range(3)]
    low, core, high = (
        tuple(order(values) for values in zip(*lines, strict=True)) for order in (min, sorted_middle, max)
    )
    made = curve_of(
        minutes=tuple(minutes), core_c=core, low_c=low, high_c=high, target_c=data.draw(st.floats(30, 105)),
        stays=(("here", 0.0), ("there", minutes[-1] / 2)),
    )  # fmt: skip
    picture(made, "both")
    columns = data.draw(st.integers(20, 200))
    assert max(map(len, curve_text.drawing(made, columns=columns))) <= max(columns, curve_text.LEAST_COLUMNS)
    assert len(curve_text.table(made)) >= 3


def sorted_middle(values: tuple[float, ...]) -> float:
    return sorted(values)[1]


# ------------------------------------------------------------------ plain characters


def test_the_drawing_is_plain_characters_in_the_width_of_the_terminal() -> None:
    for columns in (40, 80, 110):
        lines = curve_text.drawing(curve_of(), columns=columns)
        assert max(map(len, lines)) <= columns
        assert set("".join(lines)) - {"°"} <= set(map(chr, range(32, 127)))


def test_the_drawing_shows_the_core_where_it_is() -> None:
    lines = curve_text.drawing(curve_of(), columns=80)
    labels = {line[:4].strip(): line for line in lines if line[:4].strip().isdigit()}
    left = 6  # the field begins after the axis
    width = 80 - 6 - 5
    column = left + round(40 / 50 * (width - 1))  # at minute 40 the core is at 60 °C
    assert "*" in labels["60"][column - 3 : column + 4]
    assert "*" not in labels["40"][column - 3 : column + 4]
    border = left + int(20 / 50 * (width - 1))
    assert sum(line[border : border + 1] in ("|", ":", "*") for line in lines) >= 8


def test_the_small_table_needs_no_eye() -> None:
    lines = curve_text.table(curve_of())
    assert lines[0].split()[:4] == ["minutes", "if", "slow", "expected"]
    assert ["40", "52", "60", "70"] in [line.split() for line in lines]
    assert lines[-1] == "Zones: hot oven from minute 0; low oven from minute 20."
