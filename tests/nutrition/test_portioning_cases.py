"""Portions worked out by hand: each kind of limit at the gram where it is reached, what would do, and who gives first."""

from __future__ import annotations

from dataclasses import replace

import pytest

from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.portion_choice import Bound, Choice
from scriptkit.nutrition.portion_programme import FEWEST_CHANGES, MOST_PROTEIN
from scriptkit.nutrition.portioning import keeps, other_portions, portions
from scriptkit.pantry.food import NUTRIENTS


def macros(weight_g: float = 1.0, **figures: float) -> Macros:
    return Macros(weight_g, tuple(figures.get(n, 0.0) for n in NUTRIENTS))


GARNISH = macros(20.0, protein_g=10.0, net_carbs_g=5.0)
"""On the plate whatever the portions: 60 kcal of protein and net carbs."""
SAUCE = Choice(
    name="sauce", per_gram=macros(fat_g=0.1, energy_kcal=0.9), usual_g=100, step_g=50, least_g=100, most_g=400
)
STOCK = Choice(
    name="stock", per_gram=macros(protein_g=0.02, net_carbs_g=0.036), usual_g=300, step_g=50, least_g=50, most_g=400
)


def most(name: str, figure: float) -> Bound:
    return Bound(name=name, at_most=True, figure=figure)


def least(name: str, figure: float) -> Bound:
    return Bound(name=name, at_most=False, figure=figure)


@pytest.mark.parametrize(
    ("usual", "bound", "grams"),
    [
        (400, most("fat_to_protein_and_net_carbs", 2.0), 300),  # 30 g of fat to 10 + 5 g
        (100, least("fat_to_protein_and_net_carbs", 1.0), 150),  # 15 to 15
        (400, most("fat_to_net_carbs", 4.0), 200),  # 20 to 5
        (400, most("fat_energy_percent", 75.0), 200),  # 180 kcal of 240
        (400, least("protein_energy_percent", 20.0), 150),  # 40 kcal of 195; of 240 it is 16.7
        (100, most("net_carbs_energy_percent", 10.0), 200),  # 20 kcal of 240; of 195 it is 10.3
        (400, most("weight_g", 270.0), 250),  # and 20 g of garnish
        (100, least("energy_kcal", 135.0), 150),  # as the sauce's own figure has it
        (400, least("fat_g", 12.5), 400),
    ],
)
def test_a_limit_is_kept_to_the_step(usual: float, bound: Bound, grams: float) -> None:
    assert portions([replace(SAUCE, usual_g=usual)], [bound], GARNISH).grams == (grams,)


@pytest.mark.parametrize(
    ("bound", "would_do"),
    [
        (least("fat_g", 60.0), 40.0),  # 400 g is the most
        (most("fat_g", 3.0), 10.0),  # 100 g is the least
        (least("energy_kcal", 500.0), 360.0),
        (most("fat_to_protein_and_net_carbs", 0.5), 0.7),  # 10 to 15, upwards
        (least("fat_to_protein_and_net_carbs", 5.0), 2.6),  # 40 to 15, downwards
        (most("fat_energy_percent", 30.0), 60.0),  # 90 kcal of 150
        (least("protein_energy_percent", 40.0), 26.6),  # 40 of 150, downwards
        (least("weight_g", 500.0), 420.0),
        (most("weight_g", 90.0), 120.0),
    ],
)
def test_where_a_limit_cannot_be_kept_the_nearest_that_can_is_named(bound: Bound, would_do: float) -> None:
    found = portions([SAUCE], [bound], GARNISH)
    assert found.grams is None
    assert found.conflict == ((bound, would_do),)


def test_of_a_ratio_below_one_too() -> None:
    """10 g of fat to 10 + 5 g are the most."""
    bound = least("fat_to_protein_and_net_carbs", 5.0)
    assert portions([replace(SAUCE, most_g=100)], [bound], GARNISH).conflict == ((bound, 0.6),)


def test_a_figure_between_tenths_is_named_on_the_side_that_can_be_kept() -> None:
    """400 g have 13.32 g of protein, 100 g 3.33: of at least 13.3, of at most 3.4 is the nearest tenth."""
    dish = replace(SAUCE, per_gram=macros(protein_g=0.0333))
    assert portions([dish], [least("protein_g", 20.0)]).conflict[0][1] == 13.3
    assert portions([dish], [most("protein_g", 2.0)]).conflict[0][1] == 3.4


@pytest.mark.parametrize(
    ("bound", "net", "kept"),
    [
        (most("net_carbs_g", 10.0), 10.0, True),
        (most("net_carbs_g", 10.0), 10.04, False),  # printed 10.0
        (most("net_carbs_g", 9.96), 9.96, False),  # printed 10.0
        (least("net_carbs_g", 10.0), 10.0, True),
        (least("net_carbs_g", 10.0), 9.96, False),
        (least("net_carbs_g", 10.04), 10.04, False),
    ],
)
def test_a_limit_is_kept_exactly_and_as_it_is_printed(bound: Bound, net: float, kept: bool) -> None:
    assert keeps(bound, macros(300.0, net_carbs_g=net)) is kept


def test_what_would_do_keeps_the_others_as_printed_too() -> None:
    """300 g have 9.96 g of net carbs, which a viewer reads as 10.0: 250 g it is, with 5 g of protein."""
    dish = replace(STOCK, per_gram=macros(protein_g=0.02, net_carbs_g=0.0332, carbohydrate_g=0.0332))
    few, much = most("net_carbs_g", 9.96), least("protein_g", 7.5)
    assert portions([dish], [few, much]).conflict == ((few, 13.3), (much, 5.0))  # 400 g have 13.28


def test_what_would_do_leaves_the_other_limits_as_they_are() -> None:
    """300 g of stock have 6 g of protein and 10.8 of net carbs, 150 g half of each; the sauce has neither."""
    carbs, protein = most("net_carbs_g", 5.4), least("protein_g", 6.0)
    found = portions([SAUCE, STOCK], [most("fat_g", 40.0), carbs, protein])
    assert found.conflict == ((carbs, 10.8), (protein, 3.0))  # 300 g of stock, or 150 g


ONLY_THE_USUAL = Choice(
    name="fillet", per_gram=macros(protein_g=0.02, net_carbs_g=0.036), usual_g=165, step_g=100, least_g=150, most_g=190
)


def test_a_dish_with_no_whole_step_in_its_bounds_is_served_as_usual() -> None:
    assert portions([ONLY_THE_USUAL], [most("net_carbs_g", 20.0)]).grams == (165,)
    few, much = most("net_carbs_g", 3.0), least("protein_g", 9.0)
    assert portions([ONLY_THE_USUAL], [few]).conflict == ((few, 6.0),)  # 5.94 g
    assert portions([ONLY_THE_USUAL], [much]).conflict == ((much, 3.3),)


def test_what_a_dish_served_as_usual_lacks_another_gives() -> None:
    """365 g stand between two steps of 100 g: nothing more of it can be counted on. Of 12 g it has 7.3, and 250 g of stock have 5."""
    fillet = replace(ONLY_THE_USUAL, usual_g=365, least_g=350, most_g=390)
    assert portions([fillet, replace(STOCK, usual_g=100)], [least("protein_g", 12.0)]).grams == (365, 250)
    assert portions([replace(STOCK, usual_g=100), fillet], [least("protein_g", 12.0)]).grams == (250, 365)
    much = least("protein_g", 30.0)
    assert portions([fillet], [much]).conflict == ((much, 7.3),)


def test_a_dish_that_cannot_be_served_at_all_keeps_no_limit() -> None:
    limit = most("net_carbs_g", 20.0)
    found = portions([replace(ONLY_THE_USUAL, usual_g=200)], [limit])
    assert found.grams is None


@pytest.mark.parametrize("dishes", [2, 3, 4])
@pytest.mark.parametrize("steps", [1, 2, 3])
def test_what_must_give_is_shared_and_the_last_give_the_odd_steps(dishes: int, steps: int) -> None:
    """Helpings of the same: each gives as many steps as the others, and the first keep their own where they need not."""
    same = [replace(STOCK, name=str(n)) for n in range(dishes)]
    limit = most("weight_g", 300.0 * dishes - 50 * steps)
    each, odd = divmod(steps, dishes)
    given = [each + (n >= dishes - odd) for n in range(dishes)]
    assert portions(same, [limit]).grams == tuple(300.0 - 50 * n for n in given)
    fewest = other_portions(FEWEST_CHANGES, same, [limit], macros(0.0))
    assert fewest == (*[300.0] * (dishes - 1), 300.0 - 50 * steps)


def test_where_the_last_cannot_give_enough_the_one_before_it_does() -> None:
    same = [replace(STOCK, name=str(n), least_g=least_g) for n, least_g in enumerate((50, 50, 200))]
    assert portions(same, [most("weight_g", 700.0)]).grams == (250, 250, 200)
    assert portions(same, [most("weight_g", 450.0)]).grams == (150, 100, 200)


def test_of_those_after_one_that_must_give_the_first_keeps_its_own() -> None:
    """Of 250 g, 50 can only come from the dish that is served in steps of 50."""
    fine = replace(STOCK, name="fine")
    coarse = [replace(STOCK, name=name, step_g=100) for name in ("one", "other")]
    assert portions([fine, *coarse], [most("weight_g", 650.0)]).grams == (250, 200, 200)
    ample = replace(STOCK, name="ample", step_g=100)
    assert portions([ample, fine, *coarse], [most("weight_g", 950.0)]).grams == (300, 250, 200, 200)


def test_most_protein_is_another_wish() -> None:
    """200 g of stock or less; sauce has no protein, so all of it may be stock."""
    limit = most("weight_g", 350.0)
    assert portions([SAUCE, STOCK], [limit]).grams == (100, 250)
    beside = replace(SAUCE, least_g=50)
    assert portions([beside, STOCK], [limit]).grams == (100, 250)
    assert other_portions(MOST_PROTEIN, [beside, STOCK], [limit], macros(0.0)) == (50, 300)


def test_more_and_less_weigh_the_same() -> None:
    """10 g of fat to 10.8 of net carbs: a third less stock before half as much sauce again, a quarter more sauce before a third less
    stock."""
    bound = least("fat_to_net_carbs", 1.3)
    assert portions([SAUCE, STOCK], [bound]).grams == (100, 200)
    bound = least("fat_to_net_carbs", 1.1)
    assert portions([replace(SAUCE, step_g=25), replace(STOCK, step_g=100)], [bound]).grams == (125, 300)


def test_a_part_of_a_gram_counts() -> None:
    """Half a gram of 10.5 is less of a share than one of 20."""
    small = replace(STOCK, name="small", usual_g=10.5, step_g=1, least_g=5, most_g=20)
    large = replace(STOCK, name="large", usual_g=20, step_g=1, least_g=5, most_g=40)
    assert portions([small, large], [most("weight_g", 30.0)]).grams == (10, 20)
    assert portions([large, small], [most("weight_g", 30.0)]).grams == (20, 10)
