"""One spoken line against the macros, their ratios and their sums."""

from __future__ import annotations

import pytest
from conftest import Table
from spoken import SUPPER, claims_of_talk, leeks_in_butter, said, wrong

from scriptkit.cut.claims.claim import MACROS, SERVING, SUM
from scriptkit.cut.claims.dish_mentions import called

leeks = pytest.fixture(leeks_in_butter)


@pytest.mark.parametrize(
    ("line", "agrees"),
    [
        ("the bisque's fat to net carb ratio is one point one to one", True),
        ("the bisque's fat to net carb ratio is two point six to one", False),
        ("the bisque is one point one to one fat to protein and net carbs", False),  # that is fat to net carbs alone
        ("the bisque is zero point six to one fat to protein and net carbs", True),
        ("the bisque's fat to protein ratio is 0.6 to 1", True),
        ("the bisque's fat to net carb ratio is 0.6:1", False),
        ("of the bisque fifty-eight percent of energy is from fat", True),
        ("the bisque is seventy percent fat", False),
        ("per hundred grams the bisque has three point six net carbs", True),
        ("per hundred grams the bisque has eleven point four net carbs", False),
        ("the bisque has fat 12 grams protein 7.9 grams net carbs 11.4 grams", True),
        ("the bisque has 12 grams fat 7.9 grams protein 11.4 grams net carbs", True),
        ("the bisque has net carbs eleven point four, fibre four point four, protein seven point nine", True),
        ("a serving of bisque has nearly eight grams of protein", True),
        ("a serving of bisque has less than twenty grams of net carbs", True),
        ("a serving of bisque has less than ten grams of net carbs", False),
        ("a serving of bisque has over five grams of protein", True),
        ("a serving of bisque has 11 g of net carbs", True),
        ("a serving of bisque has 12 g of net carbs", None),
        ("a serving of bisque has 16 g of net carbs", False),
        ("a bowl of bisque has 190 calories", True),
        ("a bowl of bisque has 210 calories", None),
        ("a bowl of bisque has 410 calories", False),
        ("a bowl of bisque has about 200 calories", True),
        ("a bowl of bisque has about 380 calories", False),
    ],
)
def test_a_line_against_the_macros(line: str, agrees: bool | None) -> None:
    """Verified only as the card prints it; elsewhere in the range that the tables leave open it is to be listened to."""
    claims = [c for c in said(SUPPER, "plate-bisque", line) if c.kind == MACROS]
    assert claims
    assert {c.agrees for c in claims} == {agrees}


@pytest.mark.parametrize(
    ("line", "agrees"),
    [
        ("three of the crackers and one spoon of the bisque are eighty calories", None),
        ("the croutons themselves are only eight calories", None),
        ("a serving of bisque has eighty calories", False),
        ("a serving of bisque has twenty grams of protein, and it has eighty calories", False),
    ],
)
def test_the_macros_of_some_pieces_or_of_a_part_are_given_to_listen_to(line: str, agrees: bool | None) -> None:
    found = [c.agrees for c in said(SUPPER, "plate-bisque", line) if c.subject == "energy"]
    assert found == [agrees]


@pytest.mark.parametrize(
    ("line", "agrees"),
    [
        ("a serving of the bisque is three hundred and twenty grams", [True]),
        ("a serving of the bisque weighs a hundred and sixty-five grams", [False]),  # which is the hake's
        ("a serving of hake is a hundred and sixty-five grams", [True]),
        ("a portion of the porridge is two hundred grams", []),
    ],
)
def test_the_weight_of_a_serving_is_that_of_the_dish_that_is_named(line: str, agrees: list[bool]) -> None:
    assert [c.agrees for c in said(SUPPER, "plate-bisque", line) if c.kind == SERVING] == agrees


@pytest.mark.parametrize(
    "line",
    [
        "this cream has five grams of carbs in it",
        "celeriac has nine grams of carbs and two of fibre",
        "the fennel brings three grams of fibre",
    ],
)
def test_the_macros_of_an_ingredient_are_no_claim_about_the_dish(line: str) -> None:
    assert wrong(said(SUPPER, "finish", line)) == []


@pytest.mark.parametrize(
    ("line", "agrees"),
    [
        ("total carbs sixteen minus fibre four gives net carbs twelve", True),
        ("Carbs 15.8 g − fibre 4.4 g = net carbs 11.4 g", True),
        ("Carbs 15.8 g − fibre 4.4 g = net carbs 12.4 g", False),
        ("total carbs sixteen minus fibre four gives net carbs eleven", False),
        ("15.8 grams of carbs, minus 4.4 grams of fibre, that's 11.4 net", True),
        ("15.8 grams of carbs, minus 4.4 grams of fibre, that's 11.6 net", False),
        ("about sixteen grams of carbs less four of fibre, so eleven net", True),
    ],
)
def test_total_less_fibre_is_net(line: str, agrees: bool) -> None:
    sums = [c for c in said(SUPPER, "plate-bisque", line) if c.kind == SUM]
    assert [c.agrees for c in sums] == [agrees]


MYSTERY = """
    dish: Leeks
    servings: 2
    foods: {{pickle: {{per: 100 g, basis: eu, fat_g: 10, energy_kcal: 100}}}}
    ingredients: {{olive oil: 100 g, pickle: {pickle}}}
    steps: [{{id: pour, stage: cook, do: Pour the oil over., add: [olive oil, pickle], vessel: pan, screen: 9 s}}]
"""


@pytest.mark.parametrize(
    ("line", "pickle", "agrees"),
    [
        ("the leeks are ninety percent fat", "50 g", None),  # nobody knows the pickle's protein
        ("the fat to net carb ratio of the leeks is two to one", "50 g", None),
        ("the fat to net carb ratio of the leeks is two to one", "to taste", None),  # oil alone: divided by nothing
        ("the leeks are ninety percent fat", "to taste", False),
        ("forty percent fibre energy", "to taste", None),
    ],
)
def test_a_share_or_ratio_that_the_recipe_does_not_have_is_held_against_nothing(
    table: Table, line: str, pickle: str, agrees: bool | None
) -> None:
    dish = table.dish(MYSTERY.format(pickle=pickle))
    assert [c.agrees for c in said(dish, "pour", line)] == [agrees]


def test_figures_go_on_with_the_plate_that_they_began_with() -> None:
    lines = (
        "[4:05] Add the two up, and the whole plate has four hundred and eighty-two calories.",
        "[4:10] That is twelve point one grams of net carbs.",
        "[4:14] And thirty-seven grams of protein.",
    )
    found = claims_of_talk("\n".join(lines) + "\n")
    assert [(c.subject, c.agrees) for c in found] == [("energy", True), ("net carbs", True), ("protein", True)]
    (again,) = (
        c
        for c in claims_of_talk("\n".join((*lines[:2], "[4:14] The hake has thirty-seven grams of protein.")) + "\n")
        if c.subject == "protein"
    )
    assert again.agrees is False and "hake" in again.recipe


@pytest.mark.parametrize(
    "lines",
    [
        (
            "The bisque has fifteen point eight grams of carbs less four point four of fibre, which is eleven point four net.",
            "The whole plate has twelve point one grams of net carbs.",
        ),
        (
            "The whole plate has twelve point one grams of net carbs.",
            "And the bisque, fifteen point eight carbs, four point four fibre, eleven point four net.",
        ),
    ],
)
def test_a_sum_is_of_the_figure_that_it_makes(lines: tuple[str, ...]) -> None:
    """The plate's net carbs are not what is left of the bisque's carbs."""
    found = said(SUPPER, "plate-bisque", *lines)
    assert not wrong(found)
    assert len([c for c in found if c.kind == SUM]) == 1


@pytest.mark.parametrize(
    "lines",
    [
        ("the bisque is a hundred and ninety three calories and fifteen", "point eight carbs less four point four fibre is eleven point four net", "so the whole plate is twelve point one grams of net carbs"),
        ("the bisque is eleven point four grams of net carbs", "and with the hake on the plate that makes twelve point one"),
        ("a serving of the bisque is a hundred and ninety three calories", "and the plate is four hundred and eighty two"),
    ],
)  # fmt: skip
def test_what_is_said_of_a_dish_is_not_of_the_plate_that_is_named_next(lines: tuple[str, ...]) -> None:
    assert not wrong(said(SUPPER, "plate-bisque", *lines))


def test_a_dish_is_called_by_the_kind_that_it_alone_is(table: Table) -> None:
    dish = "dish: Cauliflower crumbs\npromise: A warm salad of the harbour.\nservings: 2\ningredients: {cauliflower: 400 g}\nsteps: [{stage: cook, do: Warm the cauliflower., add: {cauliflower: all}}]\n"
    table.write("salad.yaml", dish)
    table.write("hake.yaml", "dish: Seared hake\nservings: 2\ningredients: {hake: 300 g}\nsteps: [{stage: cook, do: Sear the hake., add: {hake: all}}]\n")  # fmt: skip
    meal = table.meal("meal: Both\nplates: 2\ndishes: [{dish: salad.yaml, portion: 1 serving}, {dish: hake.yaml, portion: 1 serving}]\n")  # fmt: skip
    salad, hake = meal.dishes
    assert called([salad, hake]) == {"salad": salad, "crumb": salad, "hake": hake}
