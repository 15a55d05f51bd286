"""Ingredient lines: weight, name, class, forms. Lines are our own."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from converter.model import Ingredient, Span
from converter.read.foods import FORMS, kind_of
from converter.read.ingredients import understand
from converter.units import kilograms, litres

LB = kilograms("pound") * 1000
OZ = kilograms("ounce") * 1000


def read(line: str) -> Ingredient:
    return understand((Ingredient(Span(0, len(line)), line, ""),))[0]


@pytest.mark.parametrize(
    ("line", "low", "high"),
    [
        ("1 (3 lb) chicken", 3 * LB, 3 * LB),
        ("1 small (3-lb.) chicken", 3 * LB, 3 * LB),
        ("3–5 lb beef", 3 * LB, 5 * LB),
        ("3 to 5 pounds beef brisket", 3 * LB, 5 * LB),
        ("2 x 400 g tins chickpeas", 800, 800),
        ("2 × 400g tins chickpeas", 800, 800),
        ("2 (14 oz) cans tomatoes", 28 * OZ, 28 * OZ),
        ("2 14-ounce cans tomatoes", 28 * OZ, 28 * OZ),
        ("½ of a 15 ounce can sweetcorn", 7.5 * OZ, 7.5 * OZ),
        ("1 kg / 2 lb 3 oz potatoes", 1000, 1000),
        ("2 lb 3 oz potatoes", 2 * LB + 3 * OZ, 2 * LB + 3 * OZ),
        ("1½ pounds rump steak", 1.5 * LB, 1.5 * LB),
        ("1 1/2 lb rump steak", 1.5 * LB, 1.5 * LB),
        ("500g minced beef", 500, 500),
        ("1,5 kg pork shoulder", 1500, 1500),
        ("6 chicken thighs (about 1 kg)", 1000, 1000),
        ("4 duck legs, 300 g each", 1200, 1200),
        ("3-pound pork shoulder", 3 * LB, 3 * LB),
        ("half a pound of mince", 0.5 * LB, 0.5 * LB),
        ("a pound of mince", LB, LB),
        ("two kilos of mussels", 2000, 2000),
        ("750 ml chicken stock", 750, 750),
        ("1.5 litres water", 1500, 1500),
        ("2 pints milk", 2000 * litres("us_pint"), 2000 * litres("uk_pint")),
        ("1 cup red wine", 1000 * litres("us_cup"), 1000 * litres("metric_cup")),
        ("1 cup (240 g) milk", 240, 240),
    ],
)
def test_grams(line: str, low: float, high: float) -> None:
    grams = read(line).grams
    assert grams is not None
    assert grams == pytest.approx((low, high), abs=0.11)


@pytest.mark.parametrize(
    "line",
    ["6 chicken thighs", "1 whole chicken", "4 potatoes", "1 cup rice", "300 ml sunflower oil per tin", "salt", "",
     "2-inch piece of ginger", "1 glass", "8"],
)  # fmt: skip
def test_no_weight_from_a_count_or_a_dry_volume(line: str) -> None:
    grams = read(line).grams
    assert grams is None


@pytest.mark.parametrize(
    ("line", "name", "food", "forms"),
    [
        ("2 large chicken breasts, cut into cubes", "chicken breasts", "poultry-pieces", ("chopped",)),
        ("1 (3 lb) chicken", "chicken", "poultry-whole", ()),
        ("1 chicken, jointed", "chicken", "poultry-pieces", ("chopped",)),
        ("a 4 lb roasting chicken", "roasting chicken", "poultry-whole", ()),
        ("1.2 kg beef, diced", "beef", "beef-pieces", ("chopped",)),
        ("1.5 kg joint of beef, rolled", "joint of beef", "beef-joint", ("rolled",)),
        ("2 kg beef roast", "beef roast", "beef-joint", ()),
        ("500 g lean minced lamb", "lean minced lamb", "mince", ("minced",)),
        ("400 g ground turkey", "ground turkey", "poultry-mince", ("minced",)),
        ("1 tsp ground cumin", "ground cumin", "spices", ()),
        ("2 cloves of garlic, minced", "garlic", "spices", ()),
        ("1 tin kidney beans, drained", "kidney beans", "kidney-bean", ("tinned",)),
        ("200 g dried kidney beans", "dried kidney beans", "kidney-bean", ("dried",)),
        ("1 shoulder of lamb, bone in", "shoulder of lamb", "lamb-tough", ("bone-in",)),
        ("2 lb pork loin, boned and rolled", "pork loin", "pork-joint", ("boneless", "rolled")),
        ("1 litre chicken or vegetable stock", "chicken or vegetable stock", "stock", ()),
        ("3 dried chillies", "dried chillies", "chile", ("dried",)),
        ("1 red chilli", "red chilli", "chile", ()),
        ("1 tsp xanthan gum", "xanthan gum", "gelling", ()),
        ("whole milk", "whole milk", "milk", ()),
        ("Oil for frying", "Oil", "oil", ()),
        ("1 sprocket", "sprocket", None, ()),
    ],
)
def test_name_class_forms(line: str, name: str, food: str | None, forms: tuple[str, ...]) -> None:
    item = read(line)
    assert (item.name, item.food, item.forms) == (name, food, forms)


def test_text_and_span_stay() -> None:
    line = "2 carrots, grated"
    item = understand((Ingredient(Span(7, 24), line, ""),))[0]
    assert (item.span, item.text, item.forms) == (Span(7, 24), line, ("grated",))


@settings(max_examples=200, deadline=None)
@given(
    st.lists(
        st.one_of(
            st.sampled_from(["1 ", "½", "(", ")", " lb ", "2 x ", "400 g", "tins ", "cup ", "milk", "1/0 ", "–"]),
            st.text(max_size=4),
        ),
        max_size=15,
    ).map("".join)
)
def test_any_line_is_read(line: str) -> None:
    item = read(line)
    if item.grams is not None:
        assert 0 <= item.grams[0] <= item.grams[1]
    if item.food is not None:
        assert kind_of(item.food) in ("food", "dish")
    assert set(item.forms) <= set(FORMS)
