"""What a line weighs that nobody eats: bones."""

from __future__ import annotations

import pytest

from scriptkit.drafting.food_matching import FoodMatcher
from scriptkit.drafting.ingredient_lines import DraftIngredient, LineReader
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
    ("line", "food", "share"),
    [
        ("2 lb bone-in, skin-on chicken thighs", "chicken thigh, skin-on", 0.77), ("8 bone-in chicken thighs (about 3 lb)", "chicken thigh, skin-on", 0.77),
        ("900 g chicken drumsticks", "chicken drumstick", 0.67), ("3 lb chicken wings", "chicken wing", 0.62), ("800 g pork chops", "pork loin chop", 0.75),
        ("1 whole chicken (1.8 kg)", "chicken, whole", 0.68), ("1 x 1.6 kg chicken", "chicken, whole", 0.68), ("1 (3 lb) chicken, jointed", "chicken, whole", 0.68),
        ("1.2 kg rack of lamb", "rack of lamb, french-trimmed", 0.75), ("1 kg bone-in pork shoulder, cut into chunks", "pork shoulder", 0.75),
        ("1 lb turkey thighs", "turkey thigh, skin-on", 0.81), ("2 lb ham, bone in", "ham, bone-in", 0.82), ("1 kg ham on the bone", "ham, bone-in", 0.82),
        # harmless twins: boned, counted (a table weighs them without the bone), or cut up
        ("2 lb boneless skinless chicken thighs", "chicken thigh, skinless", 1), ("1.5 lb boneless pork chops", "pork loin steak", 1),
        ("500 g chicken breasts", "chicken breast, skinless", 1), ("1 kg boneless short ribs", "beef, short ribs, boneless", 1),
        ("1 kg pork shoulder, cut into chunks", "pork shoulder", 1), ("1.5 kg boned leg of lamb", "lamb leg, bone-in", 1), ("6 chicken drumsticks", "chicken drumstick", 1),
        ("2 lb ham", "ham, cooked", 1), ("2 lb boneless ham", "ham, cooked", 1),
    ],
)  # fmt: skip
def test_meat_with_its_bones_is_counted_without_them(line: str, food: str, share: float) -> None:
    found = read(line)
    assert (food_of(found), found.with_bones) == (food, share < 1), found
    assert not found.to_confirm
    if share < 1:
        assert 1 - (PANTRY.find(food).refuse_share or 0) == pytest.approx(share)


def test_bones_that_no_table_weighs_are_a_question() -> None:
    assert read("2 kg oxtail").amount_sure < 1
    assert read("500 g chicken, diced").food == "chicken meat, skinless"


@pytest.mark.parametrize(
    ("line", "food", "amount"),
    [
        ("1 whole wheat tortilla", "tortilla, wheat", "1"), ("1 whole egg", "egg", "1"), ("2 whole garlic cloves", "garlic", "2 cloves"),
        ("2 whole cloves", "cloves", "0.2 g"), ("1 whole cauliflower", "cauliflower", "1"),
    ],
)  # fmt: skip
def test_whole_is_praise_of_most(line: str, food: str, amount: str) -> None:
    found = read(line)
    assert (food_of(found), found.amount, found.with_bones) == (food, amount, False)


@pytest.mark.parametrize(
    ("line", "amount", "between"),
    [
        ("1 (14-ounce) can artichoke hearts, drained", "238 g", ("198 g", "278 g")), ("1 (400 g) tin sweetcorn, drained and rinsed", "240 g", ("200 g", "280 g")),
        ("1 (145 g) can tuna, drained", "102 g", ("87 g", "116 g")), ("1 (400 g) can chickpeas, drained", "240 g", ("220 g", "260 g")),
        # harmless twins: with its liquid, or out of no can
        ("1 (400 g) tin sweetcorn", "400 g", ()), ("200 g spinach, drained", "200 g", ()),
    ],
)  # fmt: skip
def test_a_drained_can_is_weighed_without_its_liquid(line: str, amount: str, between: tuple[str, ...]) -> None:
    found = read(line)
    assert (found.amount, found.between) == (amount, between)
