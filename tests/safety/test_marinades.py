"""A marinade that held raw meat: the caution fits what becomes of it."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.safety.rule_matching import cautions_of, doneness_problems

DISH = """
    dish: Chicken
    servings: 2
    ingredients:
      chicken: {{amount: 400 g, food: "chicken thigh, skinless"}}
      yoghurt: {{amount: 200 g, food: "yoghurt, plain"}}
    steps:
      - {{id: marinate, stage: prep, do: Marinate the chicken in the yoghurt., add: [yoghurt, chicken], vessel: bowl, wait: 2 h}}
{rest}
"""


@pytest.mark.parametrize(
    ("rest", "said", "unsaid"),
    [
        ("      - {id: fry, stage: cook, do: Fry the chicken., uses: chicken, vessel: pan}", "boiled before it becomes", "bin"),
        ("      - {id: wipe, stage: prep, do: Wipe it., from: marinate, left_behind: {yoghurt: 60 %}}", "goes in the bin", "boil"),
        ("      - {id: wipe, stage: prep, do: Lift it out and discard the marinade., from: marinate}", "goes in the bin", "boil"),
        ("      - {id: stew, stage: cook, do: Simmer it., from: marinate, vessel: pot}", "boils right through", "bin"),
        ("      - {id: fry, stage: cook, do: Fry the chicken., uses: chicken, vessel: pan}\n"
         "      - {id: sauce, stage: cook, do: Simmer the marinade to a sauce., from: [marinate], vessel: pot}", "boils right through", "bin"),
    ],
)  # fmt: skip
def test_thrown_away_means_washing_up_and_served_means_boiling(table: Table, rest: str, said: str, unsaid: str) -> None:
    (found,) = [c for c in cautions_of(table.dish(DISH.format(rest=rest))) if c.rule.id == "marinade"]
    assert said in found.spoken
    assert unsaid not in found.spoken
    assert found.answer is None


def test_an_answer_to_the_caution_still_takes_it_out(table: Table) -> None:
    rest = "      - {id: wipe, stage: prep, do: Wipe it., from: marinate, left_behind: {yoghurt: 60 %}}"
    text = DISH.format(rest=rest).replace("servings: 2", "servings: 2\n    answered: {marinade: said in the narration}")
    (found,) = [c for c in cautions_of(table.dish(text)) if c.rule.id == "marinade"]
    assert (found.overlay, found.spoken) == ((), "")


ROAST = """
    dish: Thighs
    servings: 4
    ingredients: {{chicken: {{amount: 800 g, food: "chicken thigh, skin-on"}}, salt: 6 g}}
    steps:
      - {{id: rub, stage: {stage}, do: Rub the thighs with the salt., add: [chicken, salt], vessel: {bowl}}}
      - {{id: roast, stage: cook, do: Roast the thighs., {on}vessel: tin, heat: oven 200 °C, wait: 35 min{core}}}
"""


@pytest.mark.parametrize(("bowl", "on"), [("bowl", "from: rub, "), ("tin", "")])
@pytest.mark.parametrize("stage", ["prep", "cook"])
def test_meat_that_is_got_ready_first_is_cooked_all_the_same(table: Table, stage: str, bowl: str, on: str) -> None:
    """74 °C for poultry (FoodSafety.gov, Safe Minimum Internal Temperature Chart), and what runs out of it in the oven."""
    dish = table.dish(ROAST.format(stage=stage, bowl=bowl, on=on, core=", core: 60 °C"))
    assert "below-minimum" in [p.code for p in doneness_problems(cautions_of(dish))]
    assert [(c.key, c.way, c.kept) for c in dish.cooking] == [("chicken", "roast", False)]
    told = cautions_of(table.dish(ROAST.format(stage=stage, bowl=bowl, on=on, core="")))
    assert [(c.step.id if c.step else "", c.rule.minimum_c) for c in told if c.rule.minimum_c] == [("roast", 74)]


def test_what_is_mixed_in_a_bowl_of_its_own_is_not_cooked_in_the_pan_after_it(table: Table) -> None:
    dish = table.dish("""
        dish: Hake with a dressing
        servings: 2
        ingredients: {bacon: {amount: 50 g, food: "bacon, streaky"}, oil: {amount: 20 g, food: olive oil}, hake: 300 g}
        steps:
          - {id: mix, stage: prep, do: Mix the bacon with the oil., add: [bacon, oil], vessel: small bowl}
          - {id: sear, stage: cook, do: Sear the hake., add: hake, vessel: frying pan, heat: high, wait: 5 min}
    """)
    assert "bacon" not in [c.key for c in dish.cooking]


LAID = """
    dish: Lamb
    servings: 6
    ingredients: {{lamb: {{amount: 2 kg, food: lamb shoulder}}, red wine: 300 g, garlic: 10 g, oil: {{amount: 10 g, food: olive oil}}}}
    steps:
      - {{id: soak, stage: prep, do: "{soak}", add: [lamb, red wine, garlic], vessel: tub}}
      - {{id: roast, stage: cook, from: soak, do: "{roast}", add: oil, vessel: casserole, heat: oven 150 °C, wait: 4 h}}
"""
OVERNIGHT = "Lay the lamb in the wine with the garlic, cover it and chill it overnight in the fridge."


@pytest.mark.parametrize(
    ("soak", "roast", "left"),
    [
        (OVERNIGHT, "Drain the lamb and pour the wine marinade away. Rub it with oil and roast it.", ["garlic", "red wine"]),
        (OVERNIGHT, "Drain the lamb, discard the marinade, and roast it with the oil.", ["garlic", "red wine"]),
        (OVERNIGHT, "Pour the wine away and roast the lamb with the oil.", ["garlic", "red wine"]),
        (OVERNIGHT, "Drain the lamb, rub it with oil and roast it.", ["garlic", "red wine"]),
        (OVERNIGHT, "Rub it with oil and roast it in the wine.", []),
        (OVERNIGHT, "Drain the lamb, keep the wine aside, and roast it with the oil.", []),
        (OVERNIGHT, "Braise it with the oil, then drain the lamb.", []),
        ("Lay the lamb in the wine with the garlic.", "Braise it with the oil, then drain the lamb.", []),
    ],
)  # fmt: skip
def test_what_raw_meat_lay_in_and_goes_down_the_sink_is_a_marinade(
    table: Table, soak: str, roast: str, left: list[str]
) -> None:
    dish = table.dish(LAID.format(soak=soak, roast=roast))
    assert sorted(i.key for i in dish.ingredients if i.behind_share) == left
    told = [(c.step.id if c.step else "", c.short) for c in cautions_of(dish) if c.rule.id == "marinade"]
    assert bool(left) is (told == [("soak", ("Raw marinade: throw it away, wash up",))])
    assert not left or "boil" not in str(told)
