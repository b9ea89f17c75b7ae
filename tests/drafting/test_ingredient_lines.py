"""Lines of ingredients into amounts, foods and cuts; what is guessed is said."""

from __future__ import annotations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.drafting.food_matching import SURE, FoodMatcher, head_of, usual_matcher
from scriptkit.drafting.ingredient_lines import DraftIngredient, LineReader
from scriptkit.drafting.line_amounts import noted_amount
from scriptkit.drafting.old_measures import TO_TASTE
from scriptkit.measure.amounts import parse_amount
from scriptkit.pantry.lookup import Pantry

PANTRY = Pantry()
READER = LineReader(FoodMatcher(PANTRY))


def read(line: str) -> DraftIngredient:
    """The one ingredient of the line."""
    (found,) = READER.read(line)
    return found


def food_of(found: DraftIngredient) -> str:
    """The kitchen name of its food; its own name where the pantry has none."""
    return found.food or (PANTRY.find(found.name).name if found.known else found.name)


@pytest.mark.parametrize(
    ("line", "amount", "food", "prep"),
    [
        ("2 1/2 cups finely chopped onion", "2 1/2 cups", "onion", "finely chopped"),
        ("200g spinach", "200 g", "spinach", ""),
        ("½ tsp salt", "1/2 tsp", "salt", ""),
        ("1½ tbsp olive oil", "1 1/2 tbsp", "olive oil", ""),
        ("3 large eggs, beaten", "3 large", "egg", "beaten"),
        ("1 (14 oz) can chopped tomatoes", "14 oz", "tomatoes, canned", ""),
        ("2 x 400 g tins chickpeas, drained", "480 g", "chickpeas, canned", "drained"),
        ("2 cups (240 g) plain flour", "240 g", "flour, plain", ""),
        ("1 dozen large eggs", "12 large", "egg", ""),
        ("Butter, 2 oz.", "2 oz", "butter, unsalted", ""),
        ("one and a half pounds of beef chuck", "1 1/2 lb", "beef, chuck", ""),
        ("0,5 l whole milk", "1/2 l", "milk, whole", ""),
        ("two tablespoonsful sugar", "2 tbsp", "sugar, white", ""),
        ("1 wineglassful white wine", "60 ml", "white wine", ""),
        ("1 saltspoon salt", "1/4 tsp", "salt", ""),
        ("1 T butter", "1 tbsp", "butter, unsalted", ""),
        ("2 TB butter", "2 tbsp", "butter, unsalted", ""),
        ("1 c milk", "1 cup", "milk, whole", ""),
        ("50 gm butter", "50 g", "butter, unsalted", ""),
        ("3 t salt", "3 tsp", "salt", ""),
        ("6 fl oz single cream", "6 fl oz", "cream, single", ""),
        ("• 2 cloves of garlic, crushed", "2 cloves", "garlic", "crushed"),
        ("▢ 3 garlic cloves (minced)", "3 cloves", "garlic", "minced"),
        ("250g/9oz plain flour", "250 g", "flour, plain", ""),
        ("1 1/2 cups/190 grams plain flour", "190 g", "flour, plain", ""),
        ("180 g (1 1/2 cups) plain (all-purpose) flour", "180 g", "flour, plain", ""),
        ("1/4 cup plus 2 tablespoons sugar", "3/8 cup", "sugar, white", ""),
        ("1 stick + 2 tablespoons butter", "10 tbsp", "butter, unsalted", ""),
        ("Large handful spinach", "30 g", "spinach", ""),
        ("ground ginger, 1 tsp", "1 tsp", "ginger, ground", ""),
        ("4 boneless, skinless chicken breasts", "4", "chicken breast, skinless", ""),
        ("4 chicken breasts (6 oz each)", "24 oz", "chicken breast, skinless", ""),
        ("16 graham crackers (227 g)", "227 g", "graham crackers", ""),
        ("2 14-ounce cans coconut milk", "28 oz", "coconut milk", ""),
        ("1 13 oz can coconut milk", "13 oz", "coconut milk", ""),
        ("1 (15-ounce) can black beans, drained and rinsed", "255 g", "black beans, cooked", "drained and rinsed"),
        ("1 8-ounce block cream cheese, softened", "8 oz", "cream cheese", "softened"),
        ("1-1/2 cups flour", "1 1/2 cups", "flour, plain", ""),
        ("1-½ cups flour", "1 1/2 cups", "flour, plain", ""),
        ("1 and 1/2 cups whole milk", "1 1/2 cups", "milk, whole", ""),
        ("heaped 2 tbsp plain flour", "2 tbsp", "flour, plain", ""),
        ("30 g parsley finely chopped", "30 g", "parsley", "finely chopped"),
        ("1 cup (8 fl oz; 240 g) whole milk", "240 g", "milk, whole", ""),
        ("½ cup light or dark brown sugar, packed", "1/2 cup", "sugar, brown", "packed"),
        ("1 cup almond or cashew milk", "1 cup", "almond milk, unsweetened", ""),
        ("2 cups chicken or vegetable broth", "2 cups", "chicken stock, ready-made", ""),
        ("3 tbsp rolled oats or plain flour", "3 tbsp", "oats", ""),
        ("1/2 cup raspberry or strawberry jam", "1/2 cup", "jam", ""),
        ("1 lb cherry or grape tomatoes", "1 lb", "cherry tomato", ""),
        ("1 large red, yellow, or orange bell pepper", "1 large", "pepper, red", ""),
        ("1 teaspoon vanilla extract*", "1 tsp", "vanilla extract", ""),
        ("1 cup milk ($0.30)", "1 cup", "milk, whole", ""),
        ("2 tablespoons butter, divided", "2 tbsp", "butter, unsalted", ""),
        ("1 lemon, zested", "6 g", "lemon zest", ""),
        ("Juice of 2 lemons", "96 g", "lemon juice", ""),
        ("1 large onion peeled and cut into wedges", "1 large", "onion", "peeled and cut into wedges"),
        ("2 sprigs thyme", "2 sprigs", "thyme, fresh", ""),
        ("1 tsp thyme", "1 tsp", "thyme, dried", ""),
        ("2 cups dried penne pasta", "2 cups", "pasta, dried", ""),
        ("1 cup orzo", "1 cup", "pasta, dried", ""),
        ("2 peppers, cut into strips", "2", "pepper, red", "cut into strips"),
        ("1 tsp pepper", "1 tsp", "pepper, black", ""),
        ("1/3 cup neutral oil or melted butter", "1/3 cup", "vegetable oil", ""),
        ("1 cup heavy cream or half and half", "1 cup", "cream, whipping", ""),
        ("zest of 4 oranges (about 2 tsp)", "2 tsp", "orange zest", ""),
        ("Juice of 1 lemon (about 2 tablespoons)", "2 tbsp", "lemon juice", ""),
        ("Paprika, a sprinkle", "1 pinch", "paprika", ""),
        ("2 teasoons vanilla extract", "2 tsp", "vanilla extract", ""),
        ("3 tablesppons olive oil", "3 tbsp", "olive oil", ""),
        ("12 rusk fingers or savoiardi lady fingers", "12", "sponge fingers", ""),
        ("1 packet (2 1/4 tsp instant dry yeast)", "2 1/4 tsp", "yeast, dried", ""),
        ("3-4 medium to large boneless skinless chicken breasts", "3", "chicken breast, skinless", ""),
        ("~5 – 6 Campari tomatoes, sliced", "5", "tomato", "sliced"),
        ("4 oz brick-style cream cheese", "4 oz", "cream cheese", ""),
        ("1/2 cup shredded white cheddar cheese", "1/2 cup", "cheddar", "shredded"),
        ("1 (15 to 16-ounce) container full-fat ricotta cheese", "15 oz", "ricotta", ""),
        ("3 pineapple slices (tinned or canned)", "3 slices", "pineapple, canned in juice", ""),
        ("2 cups gluten-free flour", "2 cups", "flour blend, gluten-free", ""),
        ("200 g vegan butter", "200 g", "plant-based butter", ""),
        ("1 tbsp gochujang", "1 tbsp", "gochujang", ""),
        ("1/2 tsp almond extract", "1/2 tsp", "flavouring extract", ""),
        ("1 can (10.75 oz) cream of chicken soup", "10 3/4 oz", "cream of chicken soup, condensed", ""),
        ("1 cup chicken broth (I use a boxed one, but yours is better)", "1 cup", "chicken stock, ready-made", ""),
    ],
)  # fmt: skip
def test_what_a_line_means(line: str, amount: str, food: str, prep: str) -> None:
    found = read(line)
    assert (found.amount, food_of(found), found.prep) == (amount, food, prep)
    assert found.known
    assert not found.to_confirm, found


@pytest.mark.parametrize(
    ("line", "name"),
    [
        ("4 cream crackers of the quay", "cream crackers of the quay"),
        ("200 g vegan cheese", "vegan cheese"),
        ("2 cups gluten-free oatcakes", "gluten-free oatcakes"),
        ("1 tbsp plant-based cream", "plant-based cream"),
        ("3 tbsp tomato soup", "tomato soup"),
        ("50 g popping candy", "popping candy"),
        ("1 pizza dough", "pizza dough"),
        ("2 cups crushed corn chips", "corn chips"),
        ("5 g rennet", "rennet"),
        ("1 tsp qqqqzzzz", "qqqqzzzz"),
    ],
)
def test_unknown_is_better_than_wrong(line: str, name: str) -> None:
    found = read(line)
    assert (found.known, found.food, found.name, found.food_sure) == (False, "", name, 0.0)
    assert found.to_confirm
    assert len(found.candidates) <= 3


@pytest.mark.parametrize(
    ("line", "food"),
    [
        ("1 lb ground beef", "beef mince, 20% fat"),
        ("1 cup cheese", "cheddar"),
        ("100 g smoked tofu, firm", "tofu, firm"),
        ("1 tbsp low-salt tamari", "tamari"),
        ("3 oz garlic herb cream cheese", "cream cheese"),
    ],
)
def test_a_likely_food_waits_to_be_confirmed(line: str, food: str) -> None:
    found = read(line)
    assert food_of(found) == food
    assert 0.3 <= found.food_sure < SURE
    assert found.to_confirm


@pytest.mark.parametrize(
    ("line", "food"),
    [
        ("1 lb 90/10 ground beef", "beef mince, 10% fat"), ("1 lb ground beef (90% lean)", "beef mince, 10% fat"),
        ("3 tbsp low-sodium soy sauce", "soy sauce, reduced-salt"), ("4 cups cooked rice", "rice, white, cooked"),
        ("100 g dried cranberries", "cranberries, dried"), ("2 cups unsweetened almond milk", "almond milk, unsweetened"),
        ("6 oz canned pumpkin", "pumpkin, canned"), ("1 cup non-fat plain Greek yogurt", "yoghurt, greek, fat-free"),
        ("8 bone-in chicken thighs", "chicken thigh, skin-on"), ("2 cups hot water", "water"),
    ],
)  # fmt: skip
def test_words_of_state_decide(line: str, food: str) -> None:
    found = read(line)
    assert (food_of(found), found.food_sure >= SURE) == (food, True)


@pytest.mark.parametrize(
    ("words", "head"),
    [
        ("salmon fillet", "salmon"), ("garlic clove", "garlic"), ("cream of mushroom soup", "soup"), ("tuna in olive oil", "tuna"),
        ("clove", "clove"), ("freshly chopped parsley", "parsley"), ("", ""),
    ],
)  # fmt: skip
def test_the_head_is_what_it_is_and_no_form(words: str, head: str) -> None:
    assert head_of(words.split()) == head


@pytest.mark.parametrize(
    ("line", "amount", "between"),
    [
        ("2-3 carrots, diced", "2", ("2", "3")), ("1 to 2 tbsp olive oil", "1 tbsp", ("1 tbsp", "2 tbsp")),
        ("about 200-250 g spinach", "200 g", ("200 g", "250 g")), ("2 carrots", "2", ()), ("2-3 carrots (250 g)", "250 g", ()),
        ("1 can (400 g) chickpeas, drained", "240 g", ("220 g", "260 g")), ("1 can (400 g) chickpeas", "400 g", ()),
    ],
)  # fmt: skip
def test_a_range_and_a_drained_can_are_data(line: str, amount: str, between: tuple[str, ...]) -> None:
    found = read(line)
    assert (found.amount, found.between, found.to_confirm) == (amount, between, False)


@pytest.mark.parametrize(
    ("line", "said"),
    [
        ("2-3 carrots", "the recipe says 2-3"),
        ("1 tbsp olive oil or sunflower oil", "the recipe also allows sunflower oil"),
        ("Juice of 1 lemon", "1 lemon taken as 48 g of juice"),
        ("butter the size of an egg", "the size of an egg, about 2 oz"),
        ("2 cups (240 g) plain flour", "the recipe also says 2 cups"),
        ("1 can (15 oz) chickpeas, drained", "drained: 60% of the can"),
    ],
)
def test_how_a_line_was_read_is_said(line: str, said: str) -> None:
    assert any(said in remark for remark in read(line).remarks), read(line).remarks


@pytest.mark.parametrize(
    ("line", "amount"),
    [
        ("1 package rennet", "250 g"),
        ("1 cup vegan cheese", "150 g"),
        ("2 bunches sorrel", "400 g"),
        ("1 can squid", "400 g"),
    ],
)
def test_a_weight_that_nothing_tells_is_a_guess_to_confirm(line: str, amount: str) -> None:
    found = read(line)
    assert found.amount == amount
    assert found.amount_sure < 0.5
    assert found.to_confirm


def test_notes_are_no_prep() -> None:
    assert read("100 g feta (my favourite is from the market)").prep == ""
    assert read("100 g feta, crumbled (or use goat cheese)").prep == "crumbled"
    assert read("2 potatoes (Russet, Yukon Gold or similar)").prep == ""
    assert read("300 g butter (cold, cubed)").prep == "cold, cubed"


@pytest.mark.parametrize(
    ("note", "amount", "each"),
    [
        ("about 8 oz", "8 oz", False), ("6 oz each", "6 oz", True), ("14 oz./400 g", "400 g", False), ("1/4 pound", "¼ lb", False),
        ("3 1/2 pounds", "3 ½ lb", False), ("see note 2", "", False), ("2 sticks", "", False), ("1 oz cheese shreds well", "", False),
    ],
)  # fmt: skip
def test_an_amount_in_brackets(note: str, amount: str, each: bool) -> None:
    found = noted_amount(note)
    assert (str(found.amount) if found else "", found.each if found else False) == (amount, each)


def test_what_is_plain_needs_no_remark() -> None:
    for line in ("30 g leek", "1 tsp salt", "Salt, to taste", "2 medium carrots"):
        assert read(line).remarks == (), line


def test_to_taste() -> None:
    for line in ("Salt, to taste", "oil for frying", "chives, to garnish", "a little nutmeg", "Few grains cayenne"):
        assert read(line).amount == TO_TASTE, line


@pytest.mark.parametrize("line", ["1/4 tsp salt & pepper", "Salt Pepper", "salt and freshly ground black pepper"])
def test_salt_and_pepper_are_two(line: str) -> None:
    salt, pepper = READER.read(line)
    assert [food_of(salt), food_of(pepper)] == ["salt", "pepper, black"] and salt.amount == pepper.amount


@pytest.mark.parametrize(
    "line", ["Meringue mushrooms", "2 sprigs fresh savory", "1 cup quinoa flour", "2 tbsp ginger-garlic paste"]
)
def test_a_word_that_no_name_has_leaves_a_question(line: str) -> None:
    """A capital at the start of a line makes no brand; fresh is no dried herb."""
    (found,) = READER.read(line)
    assert found.food_sure < 0.9


@pytest.mark.parametrize(
    "line",
    [
        "For the dressing:",
        "For the leeks",
        "Dressing:",
        "",
        "***",
        "oz.",
        "4 wooden skewers",
        "Parchment paper",
        "Reduce oats by 1/4 cup",
    ],
)
def test_a_heading_or_a_thing_among_the_ingredients_is_none(line: str) -> None:
    assert READER.read(line) == []


def test_one_matcher_for_the_embedded_pantry() -> None:
    assert usual_matcher() is usual_matcher()


@settings(max_examples=60)
@given(st.text(max_size=120))
def test_any_line_is_read_into_something_that_a_dish_file_takes(line: str) -> None:
    for found in READER.read(line):
        assert found.name.strip()
        assert 0 <= found.food_sure <= 1
        assert 0 <= found.amount_sure <= 1
        if found.amount != TO_TASTE:
            parse_amount(found.amount)


@settings(max_examples=60)
@given(
    st.sampled_from(["1", "2-3", "½", "1 1/2", "a", "0.25", "3,5", "one and a half", "2 x 100", "(1)"]),
    st.sampled_from(["", "g", "cups", "tbsp", "T", "oz", "pint", "heaped tsp", "dozen", "large", "knob", "lb."]),
    st.sampled_from(["butter", "chopped leek", "of flour, sifted", "eggs (beaten)", "salt", "milk or cream", "x"]),
)
def test_amounts_in_any_dress_can_be_read(number: str, unit: str, rest: str) -> None:
    for found in READER.read(f"{number} {unit} {rest}"):
        if found.amount != TO_TASTE:
            assert parse_amount(found.amount).value > 0


@pytest.mark.parametrize("line", ["1/0 - 2 cups whole milk", "1 and 1/0 cups whole milk", "2 x 1/0 cups whole milk"])
def test_a_number_that_is_none_is_no_amount(line: str) -> None:
    found = READER.read(line)
    assert [f.amount for f in found] == [TO_TASTE]
    assert "the line gives no amount" in found[0].remarks
