"""Foods and dishes: guards, verbs, forms, titles, ties. Sentences are our own."""

from __future__ import annotations

from time import process_time

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from converter import data
from converter.data import DataError
from converter.model import Ingredient, Span
from converter.read import food_words
from converter.read.food_words import plurals
from converter.read.foods import FORMS, KINDS, attributes, dish_of, find, kind_of, phase_food, tie
from converter.read.ingredients import understand


def listed(*lines: str) -> tuple[Ingredient, ...]:
    return understand(tuple(Ingredient(Span(0, len(line)), line, "") for line in lines))


def classes(text: str) -> list[str]:
    return [hit.food for hit in find(text, 0, len(text))]


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Stir in the peanut butter", ["nuts"]),
        ("Drop in the egg noodles", ["noodles"]),
        ("Pour on the chicken stock", ["stock"]),
        ("Whisk in the cream of tartar", ["raising-agent"]),
        ("Drain the butter beans", ["kidney-bean"]),
        ("Slake the potato starch", ["flour"]),
        ("Splash on rice vinegar", ["condiment"]),
        ("Spread the tomato sauce", ["sauce"]),
        ("Add oyster sauce", ["condiment"]),
        ("Put it into a baking dish", []),
        ("Press into a pie plate", []),
        ("Set the rice cooker going", []),
        ("Scatter the bread crumbs", ["crumbs"]),
        ("Simmer the coconut milk", ["coconut-milk"]),
        ("Slice the ginger bread", ["loaf-cake"]),
        ("Sift the cake flour", ["flour"]),
        ("Warm the coconut cream", ["coconut-milk"]),
        ("Lay them on a cookie sheet", []),
        ("Stand it in a water bath", []),
        ("Grate the lemon zest", ["fruit"]),
        ("Boil the sweet potatoes", ["root"]),
        ("Chop the green beans", ["vegetable"]),
        ("Rinse the bean sprouts", ["vegetable"]),
        ("Simmer the red kidney beans", ["kidney-bean"]),
        ("Simmer the cannellini", ["kidney-bean"]),
        ("Simmer the black-eyed peas", ["pulse"]),
        ("Simmer the chickpeas and lentils", ["pulse", "pulse"]),
        ("Grill the turkey meat", ["poultry-pieces"]),
        ("Add a jalapeño pepper and black pepper", ["chile", "spices"]),
        ("Ladle the mulligatawny", ["soup"]),
        ("Carve the legs of lamb", ["lamb-joint"]),
        ("Tie the shoulder of pork", ["pork-tough"]),
        ("Pieces the size of a walnut", []),
        ("Beat the egg whites", ["egg"]),
        ("Scoop the ice cream", ["cold-dessert"]),
        ("Fill the jam jars", []),
    ],
)
def test_compounds(text: str, expected: list[str]) -> None:
    assert classes(text) == expected


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("Butter the tin and flour it", []),
        ("Cream the butter and sugar", ["butter", "sugar"]),
        ("Toast the almonds", ["nuts"]),
        ("Stew the plums, then mash them", ["fruit"]),
        ("Crumble the cheese", ["cheese"]),
        ("Stir-fry for three minutes", []),
        ("Pulse until fine", []),
        ("Serve the stew with buttered toast", ["stew", "toast"]),
        ("Bake the crumble", ["crumble"]),
        ("Melt the butter in a pan", ["butter"]),
        ("Sandwich the cakes together", ["sponge"]),
    ],
)
def test_verbs_are_no_food(text: str, expected: list[str]) -> None:
    assert classes(text) == expected


@pytest.mark.parametrize(
    ("text", "food", "forms"),
    [
        ("Fry the minced beef", "mince", ()),
        ("Fry the minced chicken", "poultry-mince", ()),
        ("Soften the minced onion", "onion", ("chopped",)),
        ("Roast the boneless, skinless chicken thighs", "poultry-pieces", ("boneless", "skinless")),
        ("Tip in a tin of borlotti beans", "kidney-bean", ("tinned",)),
        ("Soak the dried kidney beans", "kidney-bean", ("dried",)),
        ("Pour in the melted butter", "butter", ("melted",)),
        ("Bake the whole trout", "fish-whole", ()),
        ("Roast the stuffed chicken", "poultry-pieces", ("stuffed",)),
        ("Stir in the ground cumin", "spices", ()),
        ("Dry the chicken", "poultry-pieces", ()),
    ],
)
def test_forms(text: str, food: str, forms: tuple[str, ...]) -> None:
    (hit,) = find(text, 0, len(text))
    assert (hit.food, hit.forms) == (food, forms)


def test_spans_point_at_the_words_of_the_text() -> None:
    text = "Wärm. Sauté the Onions; add crème fraîche and EGG NOODLES. Rest."
    hits = find(text, 6, len(text) - 6)
    assert [text[hit.span.start : hit.span.end] for hit in hits] == ["Onions", "crème fraîche", "EGG NOODLES"]
    assert [hit.food for hit in hits] == ["onion", "cream", "noodles"]


SPONGE = ("225 g self-raising flour", "225 g caster sugar", "4 eggs", "225 g butter", "1 tsp baking powder")
FLAN = ("1 pastry case", "3 eggs", "300 ml double cream", "150 g bacon", "100 g cheddar")
DOUGH = ("500 g bread flour", "7 g dried yeast", "300 ml water", "1 tsp salt")


@pytest.mark.parametrize(
    ("title", "lines", "steps", "expected"),
    [
        ("Sugar Cookies", SPONGE, "", "biscuit"),
        ("Tuesday Sponge", SPONGE, "", "sponge"),
        ("Lemon Cake", SPONGE, "Scrape into a lined loaf tin.", "loaf-cake"),
        ("Bacon Pie", FLAN, "", "quiche"),
        ("Apple Pie", ("4 apples", "250 g flour", "120 g butter", "1 egg"), "", "pie"),
        ("Chicken Casserole with Dumplings", ("1 chicken",), "", "casserole"),
        ("Chicken and Dumplings", ("1 chicken",), "", "dumplings"),
        ("Pear and Ginger Crisp", (), "", "crumble"),
        ("Stuffed French Toast", (), "", "toast"),
        ("Pastries Filled with Jam", (), "", "pastry"),
        ("Jam-Filled Doughnuts", (), "", "doughnut"),
        ("Bread in Broth", ("1 loaf stale bread", "1 l stock"), "Simmer.", None),
        ("Venison Loaf", ("500 g venison", "1 egg"), "Bake.", "meatloaf"),
        ("Cabbage Rolls", ("1 cabbage", "500 g minced pork"), "", "dolma"),
        ("Oven Pancake", ("3 eggs", "200 ml milk", "100 g flour"), "Bake in a hot oven.", "yorkshire"),
        ("Pancakes", ("3 eggs", "200 ml milk", "100 g flour"), "Fry, then keep warm in the oven. Flip.", "pancake"),
        ("Chicken Skewers", (), "", "kebab"),
        ("Pancakes and Syrup", (), "", "pancake"),
        ("Cornbread and Bean Casserole", (), "", "casserole"),
        ("Brie in Puff Pastry", ("1 brie",), "", "puff-pastry"),
        ("Curry-Spiced Salmon", ("4 salmon fillets",), "", None),
        ("Roast Chicken", ("1 chicken",), "", None),
        ("Kuchisabishii (Rice Pudding)", ("100 g rice",), "", "rice-pudding"),
        ("Walnut Bread", ("250 g flour", "100 g sugar", "2 eggs", "1 tsp baking soda"), "Bake.", "loaf-cake"),
        ("Farmhouse Bread", ("250 g flour", "1 tsp baking soda", "200 ml buttermilk"), "Bake.", "quick-bread"),
        ("Farmhouse Bread", DOUGH, "Bake.", "bread"),
        ("Hot Pepper Sauce", ("10 chillies",), "", "sauce"),
        ("No-Bake Chocolate Cake", ("200 g biscuits",), "", "cold-dessert"),
        ("Saturday Treats", SPONGE, "Bake on a tray. Cool the biscuits on a rack.", "biscuit"),
        ("Saturday Treats", SPONGE, "Pour the batter into a cake tin and bake.", "sponge"),
        ("Saturday Treats", SPONGE, "Spoon into cases. Bake the muffins.", "cupcake"),
        ("Saturday Treats", DOUGH, "Knead the dough, shape a loaf and bake.", "bread"),
        ("Saturday Treats", DOUGH, "Shape into buns and bake.", "rolls"),
        ("Saturday Treats", ("3 egg whites", "150 g sugar"), "Whisk to stiff peaks. Bake.", "meringue"),
        ("Saturday Treats", ("500 g flour",), "Bake.", None),
        ("Saturday Supper", ("500 g lamb", "2 onions", "50 g flour"), "Braise in the oven.", None),
        ("", (), "", None),
    ],
)
def test_dish_of(title: str, lines: tuple[str, ...], steps: str, expected: str | None) -> None:
    assert dish_of(title, listed(*lines), steps) == expected


ROAST = ("1 leg of lamb (about 2 kg)", "2 courgettes", "1 kg potatoes", "4 cloves garlic", "50 g butter", "1 onion")


@pytest.mark.parametrize(
    ("phrase", "name"),
    [
        ("the lamb", "leg of lamb"),
        ("the meat", "leg of lamb"),
        ("the joint", "leg of lamb"),
        ("zucchini", "courgettes"),
        ("the zuchini", None),
        ("the courgetes", "courgettes"),
        ("potatos", "potatoes"),
        ("the garlic", "garlic"),
        ("melted butter", "butter"),
        ("the bird", None),
        ("the", None),
        ("", None),
    ],
)
def test_tie(phrase: str, name: str | None) -> None:
    item = tie(phrase, listed(*ROAST))
    assert (item.name if item else None) == name


def test_tie_prefers_the_same_kind_of_food_over_the_shorter_name() -> None:
    items = listed("1 cup beef stock", "500 g lean minced beef")
    assert tie("the beef", items) is items[1]


def test_tie_prefers_the_heaviest_meat() -> None:
    items = listed("100 g bacon", "1.5 kg braising steak", "2 chops")
    assert tie("the meat", items) is items[1]
    assert tie("the meat", ()) is None


@pytest.mark.parametrize(
    ("text", "dish", "lines", "environment", "food"),
    [
        ("Bake for 8-10 minutes until pale gold", "biscuit", SPONGE, "oven", "biscuit"),
        ("Tip the filling into the pie crust and bake", "quiche", FLAN, "oven", "quiche"),
        ("Roast the lamb for an hour", None, ROAST, "oven", "lamb-joint"),
        ("Roast the beef", None, ("1.2 kg beef",), "oven", "beef-joint"),
        ("Roast the beef", None, ("1.2 kg beef, cubed",), "oven", "beef-pieces"),
        ("Bake the cake for two hours", "fruit-cake", SPONGE, "oven", "fruit-cake"),
        ("Bake until the cheese melts", "gratin", ("1 kg potatoes", "100 g cheddar"), "oven", "gratin"),
        ("Toast the walnuts in the oven", "sponge", ("100 g walnuts",), "oven", "nuts"),
        ("Soften the onion gently", "stew", ROAST, "hob", "onion"),
        ("Simmer until the potatoes are soft", "stew", ROAST, "hob", "stew"),
        ("Toast the bread in the oven", "soup", ("4 slices bread",), "oven", "bread"),
        ("Fry the chilli", "pilaf", ("1 red chilli", "rice"), "hob", "chile"),
        ("Grill the steaks", None, ("4 rump steaks", "2 tbsp steak sauce"), "grill", "steak"),
        ("Bake the crust until set", "pizza", DOUGH, "oven", "pizza"),
        ("Cut into squares and bake", "biscuit", SPONGE, "oven", "biscuit"),
        ("Bake until the meringue is gold", "pie", SPONGE, "oven", "pie"),
        ("Bake until a skewer comes out clean", "sponge", SPONGE, "oven", "sponge"),
        ("Add the stock and simmer", "soup", ("1 l stock",), "hob", "soup"),
        ("Cook until tender", None, ("800 g stewing steak", "1 onion"), "hob", "beef-tough"),
        ("Simmer for an hour", "stew", ROAST, "hob", "stew"),
        ("Simmer the beans for an hour", None, ("400 g dried kidney beans",), "hob", "kidney-bean"),
    ],
)
def test_phase_food(text: str, dish: str | None, lines: tuple[str, ...], environment: str, food: str) -> None:
    assert phase_food(text, dish, ingredients=listed(*lines), environment=environment).food == food


def test_phase_food_falls_back_on_the_title_and_brings_the_weight() -> None:
    found = phase_food("Cook for 2 hours", None, ingredients=listed(*ROAST), environment="oven", title="Roast Lamb")
    assert found.ingredient is not None
    assert (found.food, found.ingredient.grams) == ("lamb-joint", (2000.0, 2000.0))


def test_required_classes_are_there() -> None:
    foods = """beef-joint beef-pieces steak lamb-joint lamb-pieces pork-joint pork-pieces pork-belly ribs ham mince
    sausage bacon poultry-whole poultry-pieces game offal fish fish-whole shellfish potato root greens onion
    squash cauliflower tomato mushroom pepper aubergine vegetable kidney-bean pulse rice pasta noodles grain
    oats milk cream cheese butter egg chocolate nuts seeds spices fruit dried-fruit sugar oil fat water stock
    flour yeast"""
    dishes = """sponge cake loaf-cake fruit-cake cupcake biscuit shortbread scone bread rolls flatbread pizza pastry
    puff-pastry pie tart quiche choux custard cheesecake meringue pavlova crumble gratin pasta-bake casserole pudding
    steamed-pudding yorkshire pancake doughnut traybake granola jam syrup caramel sauce soup stew curry stockpot chilli
    meatballs meatloaf burger stuffing omelette rice-pudding risotto porridge popcorn jerky croutons dumplings sandwich
    toast salad dressing"""
    for names, kind in ((foods, KINDS[0]), (dishes, KINDS[1])):
        for name in names.split():
            assert kind_of("sponge" if name == "cake" else name) == kind


def test_phaseolus_is_apart_from_other_pulses() -> None:
    assert "kidney-bean" in attributes("kidney-bean")
    assert "kidney-bean" not in attributes("pulse")
    with pytest.raises(KeyError):
        attributes("anvil")


def test_plurals() -> None:
    assert plurals("leg of lamb") == ("legs of lamb",)
    assert "tomatoes" in plurals("tomato")
    assert plurals("loaf")[0] == "loaves"
    assert plurals("berry")[0] == "berries"
    assert plurals("radish") == ("radishes",)


@pytest.fixture
def fresh_lexicon(monkeypatch: pytest.MonkeyPatch):
    """Put one table of the lexicon in place of the real one."""
    real = data.lexicon

    def swap(name: str, old: str, new: str) -> None:
        text = (data.folder("lexicon") / f"{name}.yaml").read_text(encoding="utf-8")
        assert old in text
        changed = data.parse(text.replace(old, new, 1), f"lexicon/{name}.yaml")
        monkeypatch.setattr(food_words, "lexicon", lambda asked: changed if asked == name else real(asked))

    return swap


@pytest.mark.parametrize(
    ("name", "old", "new", "says"),
    [
        ("foods", "[rice, basmati", "[rice, quinoa", "already a word"),
        ("foods", "kind: food", "kind: foods", "unknown kind"),
        ("dishes", "attributes: [baked", "attributes: [bakd", "unknown attribute"),
        ("food_words", "  frozen:", "  frosty:", "unknown form"),
        ("food_words", "wraps: [puff-pastry", "wraps: [anvil", "unknown class"),
        ("food_words", "bird: [poultry]", "bird: [feathered]", "unknown attribute"),
        ("food_words", "\nweak:", "\nweaks:", "unknown key"),
    ],
)
def test_faulty_tables_stop_the_load(fresh_lexicon, name: str, old: str, new: str, says: str) -> None:
    fresh_lexicon(name, old, new)
    with pytest.raises(DataError, match=says) as caught:
        food_words.words.__wrapped__()
    assert caught.value.where.startswith(f"lexicon/{name}.yaml:")


FRAGMENTS = st.sampled_from(
    ["the ", "butter", "chicken ", "-", "stock", " tin", ", ", "of", "\n", "é", "İ", "minced ", "can of ", "soup", "ﬁ"]
)


@settings(max_examples=200, deadline=None)
@given(st.lists(st.one_of(FRAGMENTS, st.text(max_size=4)), max_size=20).map("".join), st.data())
def test_any_text_gives_ordered_spans_inside(text: str, data: st.DataObject) -> None:
    start = data.draw(st.integers(0, len(text)))
    end = data.draw(st.integers(start, len(text)))
    before = start
    for hit in find(text, start, end):
        assert before <= hit.span.start < hit.span.end <= end
        assert len(hit.word) == hit.span.end - hit.span.start
        assert kind_of(hit.food) == hit.kind
        assert set(hit.forms) <= set(FORMS)
        before = hit.span.end
    dish_of(text, (), text)
    tie(text, listed("1 chicken", text))


@pytest.mark.benchmark
def test_find_is_quick() -> None:
    text = "Heat the olive oil in a wide pan over medium heat. Add the sliced onions and soften them for ten minutes."
    find(text, 0, len(text))
    began = process_time()
    for _ in range(2000):
        find(text, 0, len(text))
    assert (process_time() - began) / 2000 < 30e-6
