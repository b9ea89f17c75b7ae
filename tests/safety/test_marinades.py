"""A marinade that held raw meat: the caution fits what becomes of it."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.safety.rule_matching import cautions_of

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
