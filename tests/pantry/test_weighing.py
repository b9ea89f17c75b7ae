"""From cups, counts and pinches to grams: the right household weight, or a question with the weights in it; never a guess."""

from __future__ import annotations

from fractions import Fraction

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.amounts import Amount, Cups, Kind, parse_amount
from scriptkit.pantry import table
from scriptkit.pantry.food import Composition, Food, HouseholdWeight
from scriptkit.pantry.lookup import Pantry
from scriptkit.pantry.weighing import CannotWeigh, grams_per_ml, states_in, volume_weights, weigh

PANTRY = Pantry()


def kelp(*weights: tuple[float, str, str, float]) -> Food:
    """An invented food with these household weights: amount, unit, state, grams."""
    made = tuple(HouseholdWeight(a, unit, state, g, f"{a:g} {unit} {state}".strip()) for a, unit, state, g in weights)
    return Food(name="kelp", category="own", source="invented", composition=Composition(), weights=made)


def grams(food: Food | str, amount: str, state: str = "", cups: Cups = Cups.US) -> float:
    return weigh(PANTRY.find(food) if isinstance(food, str) else food, parse_amount(amount, cups=cups), state).grams


# Household weights of USDA SR28, file WEIGHT: butter 01145 and garlic 11215, onion 11282, salt 02047, egg 01123,
# olive oil 04053, fennel bulb 11957.
@pytest.mark.parametrize(
    ("amount", "food", "state", "expected"),
    [
        ("1 stick", "butter, unsalted", "", 113),
        ("1/2 stick", "butter, unsalted", "", 56.5),
        ("1 clove", "garlic", "", 3),
        ("4 cloves", "garlic", "finely chopped", 12),
        ("1 cup", "onion", "chopped", 160),
        ("1 cup", "onion", "sliced, 5 mm", 115),
        ("1 cup", "onion", "thinly sliced", 115),
        ("2 medium", "onion", "", 220),
        ("1 tsp", "salt", "", 6),
        ("1 pinch", "salt", "", 6 / 16),
        ("3 large", "egg", "", 150),
        ("2 tbsp", "olive oil", "", 27),
        ("2 bulbs", "fennel bulb", "sliced, 5 mm", 468),
        ("250 g", "onion", "any way at all", 250),
        ("1 lb", "onion", "", 453.59237),
    ],
)
def test_published_household_weights(amount: str, food: str, state: str, expected: float) -> None:
    assert grams(food, amount, state) == pytest.approx(expected, rel=1e-9)


def test_the_measure_that_was_used_is_told_in_the_sources_words() -> None:
    assert weigh(PANTRY.find("onion"), parse_amount("2 cups"), "chopped").printed == "cup, chopped"
    assert weigh(PANTRY.find("onion"), parse_amount("200 g"), "chopped").printed == ""


def test_a_cup_chopped_is_not_a_cup_sliced_and_which_is_asked_with_grams() -> None:
    with pytest.raises(CannotWeigh, match="1 cup of onion could mean several weights") as question:
        grams("onion", "1 cup")
    assert "1 cup, chopped = 160 g; 1 cup, sliced = 115 g" in question.value.hint
    assert [w.grams for w in question.value.candidates] == [160, 115]


def test_a_state_that_is_not_weighed_is_asked_not_taken_for_another() -> None:
    with pytest.raises(CannotWeigh, match="the pantry has no weight for 1 cup of kelp, diced") as question:
        grams(kelp((1, "cup", "chopped", 160), (1, "cup", "sliced", 115)), "1 cup", "diced")
    assert "1 cup, chopped = 160 g" in question.value.hint


def test_a_bare_count_takes_the_one_size_there_is_and_asks_where_there_are_several() -> None:
    assert grams(kelp((1, "medium", "", 40)), "3") == 120
    with pytest.raises(CannotWeigh, match="3 × egg could mean several weights") as question:
        grams("egg", "3")
    assert "1 large = 50 g" in question.value.hint and "1 small = 38 g" in question.value.hint


def test_a_bare_count_is_a_piece_where_a_piece_is_weighed() -> None:
    assert grams(kelp((1, "piece", "", 12), (1, "large", "", 20)), "2") == 24
    assert grams(kelp((1, "piece", "cherry", 17), (1, "large", "", 182)), "2", "cherry") == 34
    assert grams(kelp((1, "piece", "cherry", 17), (1, "large", "", 182)), "2") == 364


def test_the_same_unit_goes_first_and_else_the_nearest_in_size() -> None:
    food = kelp((1, "cup", "", 240), (1, "tablespoon", "", 12), (1, "teaspoon", "", 5))
    assert grams(food, "1 tbsp") == 12  # not a sixteenth of a cup, 15
    assert grams(food, "2 cups") == pytest.approx(480)
    assert grams(food, "1 gallon") == pytest.approx(16 * 240)
    assert grams(food, "1 ml") == pytest.approx(5 / 4.92892159375)
    assert grams(food, "0.5 l") == pytest.approx(500 * 240 / 236.5882365)


@pytest.mark.parametrize(
    "spoons", ["1 tsp", "4 tsp", "12 tsp", "48 tsp", "2 fl oz", "16 fl oz", "59 ml", "4 tbsp", "100 ml"]
)
def test_a_volume_between_two_measures_takes_one_of_them(spoons: str) -> None:
    """12 tsp are four tablespoons or a quarter of a cup: as near to the one as to the other, and no question."""
    butter = PANTRY.find("butter, unsalted")  # 1 tablespoon 14.2 g, 1 cup 227 g: 0.96 g/ml both
    assert weigh(butter, parse_amount(spoons)).grams == pytest.approx(
        parse_amount(spoons).millilitres * 0.96, rel=0.001
    )


def test_of_two_measures_as_near_the_one_like_the_cooks_own_counts() -> None:
    food = kelp((1, "cup", "", 240), (1, "tablespoon", "", 12), (1, "quart", "", 1000))
    assert grams(food, "12 tsp") == grams(food, "2 fl oz") == pytest.approx(48)  # four tablespoons
    assert grams(food, "16 fl oz") == pytest.approx(480)  # two cups


AMOUNTS = [
    parse_amount(f"{n} {unit}")
    for n in ("1/2", "1", "4", "12", "24", "100")
    for unit in ("tsp", "tbsp", "fl oz", "cup", "ml")
]


def test_how_much_of_it_there_is_raises_no_question_in_the_whole_table() -> None:
    """Where a cup and a tablespoon in the same words weigh one thing each, every volume can be weighed."""
    asked = []
    for name in sorted(table.food_rows()):
        food = table.food(name)
        for state in {w.state for w in volume_weights(food)}:
            same = [w for w in volume_weights(food) if w.state == state]
            if len({w.unit for w in same}) < len(same):
                continue  # the table has the same words twice
            for amount in AMOUNTS:
                try:
                    weigh(food, amount, state)
                except CannotWeigh:
                    asked.append((str(amount), name, state))
    assert asked == []


def test_two_weights_as_near_as_a_level_spoon_are_one_answer() -> None:
    assert grams(kelp((1, "cup", "", 100), (1, "cup", "", 102)), "1 cup") == 100
    with pytest.raises(CannotWeigh, match="could mean several") as question:
        grams(kelp((1, "cup", "", 100), (1, "cup", "", 110)), "1 cup")
    assert "100 g (1 cup); 110 g (1 cup)" in question.value.hint


@pytest.mark.parametrize(
    ("amount", "state", "expected"),
    [
        ("1 head", "small", 265),
        ("1 head", "", 588),
        ("2 stalks", "large", 128),
        ("2 stalks", "large dice", 80),  # the dice is large, the stalk is not
        ("1", "peeled, dice 15 mm", 458),
        ("1 piece", "peeled", 458),
        ("1", "", 548),
        ("1 cup", "cherry", 149),
        ("1 cup", "cherry, washed", 149),
        ("1 cup", "sifted", 100),
        ("1 cup", "unsifted", 120),
        ("1 tbsp", "chopped or diced", 9),
        ("1 tbsp", "diced", 9),
    ],
)
def test_the_state_is_chosen_by_the_cooks_words(amount: str, state: str, expected: float) -> None:
    food = kelp(
        (1, "head", "", 588), (1, "head", "small", 265), (1, "stalk", "", 40), (1, "stalk", "large", 64),
        (1, "piece", "", 548), (1, "piece", "peeled", 458), (1, "cup", "cherry", 149), (1, "cup", "sliced", 180),
        (1, "cup", "sifted", 100), (1, "cup", "unsifted", 120), (1, "tablespoon", "chopped or diced", 9),
    )  # fmt: skip
    assert grams(food, amount, state) == pytest.approx(expected)


@pytest.mark.parametrize(
    ("words", "states"),
    [
        ("dice, 15 mm", {"diced"}),
        ("chopped or diced", {"chopped", "diced"}),
        ("thinly sliced", {"sliced"}),
        ("grated", {"shredded"}),
        ("julienne 3 mm", {"julienned"}),
        ("washed", set()),
        ("", set()),
    ],
)
def test_words_of_cutting(words: str, states: set[str]) -> None:
    assert states_in(words) == states


def test_what_has_no_such_measure_says_what_it_has() -> None:
    with pytest.raises(CannotWeigh, match="nothing says what 2 bunches of kelp weighs") as wrong:
        grams(kelp((1, "cup", "chopped", 60)), "2 bunches")
    assert wrong.value.hint == "write grams, or a measure it has: 1 cup, chopped = 60 g"
    with pytest.raises(CannotWeigh, match="nothing says what 1 large kelp weighs"):
        grams(kelp((1, "cup", "chopped", 60)), "1 large")
    with pytest.raises(CannotWeigh) as wrong:
        grams(kelp(), "1 cup")
    assert "household:" in wrong.value.hint and wrong.value.candidates == ()


def test_metric_and_australian_spoons_weigh_by_their_volume() -> None:
    food = kelp((1, "tablespoon", "", 14.78676478125))  # 1 g/ml
    assert grams(food, "1 tbsp", cups=Cups.METRIC) == pytest.approx(15)
    assert grams(food, "1 tbsp", cups=Cups.AUSTRALIAN) == pytest.approx(20)
    assert grams(food, "1 cup", cups=Cups.METRIC) == pytest.approx(250)
    assert grams_per_ml(food) == pytest.approx(1)
    assert grams_per_ml(kelp()) is None


WEIGHTS = [(table.food(name), w) for name in sorted(table.food_rows()) for w in table.food(name).weights]


def test_what_a_hint_says_to_write_works_for_the_whole_table() -> None:
    """Each household weight is what its own words choose, unless the table has the same words twice."""
    wrong = []
    for food, weight in WEIGHTS:
        twins = [w for w in food.weights if (w.unit, w.state) == (weight.unit, weight.state)]
        try:
            found = weigh(food, Amount(Fraction(1), weight.unit), weight.state).grams
        except CannotWeigh:
            if len(twins) == 1 and weight.state:
                wrong.append((food.name, str(weight)))
        else:
            if not any(found == pytest.approx(w.grams_each, rel=0.03) for w in twins):
                wrong.append((food.name, str(weight)))
    assert wrong == []


@settings(max_examples=100, deadline=None)
@given(st.sampled_from(WEIGHTS), st.fractions(Fraction(1, 8), 50, max_denominator=8), st.integers(2, 9))
def test_n_times_the_amount_weighs_n_times_as_much(
    chosen: tuple[Food, HouseholdWeight], value: Fraction, times: int
) -> None:
    food, weight = chosen
    amount = Amount(value, weight.unit)
    try:
        one = weigh(food, Amount(Fraction(1), weight.unit), weight.state)
    except CannotWeigh:
        with pytest.raises(CannotWeigh):  # whether it can be weighed does not hang on how much of it there is
            weigh(food, amount, weight.state)
        return
    assert weigh(food, amount, weight.state).grams == pytest.approx(float(value) * one.grams)
    assert weigh(food, amount.times(times), weight.state).grams == pytest.approx(float(value) * times * one.grams)


VOLUMES = ["cup", "tablespoon", "teaspoon", "fluid_ounce", "millilitre", "litre", "quart", "gallon", "metric_cup"]


@settings(max_examples=100, deadline=None)
@given(
    st.sampled_from(VOLUMES), st.sampled_from(VOLUMES), st.fractions(Fraction(1, 8), 20, max_denominator=8),
    st.floats(0.1, 3),
)  # fmt: skip
def test_the_same_volume_in_other_units_weighs_the_same(one: str, other: str, value: Fraction, density: float) -> None:
    food = kelp((1, "cup", "", 236.5882365 * density))
    first = Amount(value, one)
    second = Amount(first.exactly(other), other)
    assert first.kind is second.kind is Kind.VOLUME
    assert weigh(food, first).grams == pytest.approx(weigh(food, second).grams)
    assert weigh(food, first).grams == pytest.approx(first.millilitres * density)
