"""Ordinary suppers of one dish, written by somebody who had not read the rules: few cautions on the papers, fewer on screen."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.papers.cautions import printed_cautions
from scriptkit.safety.rule_matching import cautions_in

SUPPERS = {
    "Fish pie": """
dish: Fish pie
servings: 4
ingredients: {haddock: 600 g, milk: {amount: 500 ml, food: whole milk}, potato: 900 g, butter: {amount: 70 g, food: "butter, unsalted"}, flour: {amount: 40 g, food: plain flour}, peas: {amount: 150 g, food: "peas, frozen"}, egg: 110 g}
steps:
  - {id: peel, stage: prep, do: Peel and quarter the potatoes., uses: potato, hands: 8 min}
  - {id: boil, stage: cook, do: "Boil the potatoes for 15 minutes, drain and mash with half the butter.", add: {potato: all, butter: half}, vessel: big pot, heat: high, wait: 15 min, hands: 5 min}
  - {id: poach, stage: cook, do: "Poach the haddock in the milk for 8 minutes until it flakes; lift it out.", add: {haddock: all, milk: all}, from: [], vessel: wide pan, heat: low, wait: 8 min, hands: 4 min}
  - {id: eggs, stage: cook, do: "Hard-boil the eggs for 10 minutes, cool and shell them.", add: egg, from: [], vessel: small pan, heat: high, wait: 10 min, hands: 3 min}
  - {id: sauce, stage: cook, do: "Melt the rest of the butter, stir in the flour, whisk in the milk and simmer for 5 minutes.", add: {butter: rest, flour: all}, from: poach, vessel: saucepan, heat: medium, hands: 6 min}
  - {id: bake, stage: cook, do: "Fold in the fish, eggs and peas, spread the mash on top and bake at 200 °C for 30 minutes until bubbling.", add: peas, from: [sauce, eggs, boil], vessel: oven dish, heat: oven 200 °C, wait: 30 min, hands: 5 min}
""",
    "Chicken and lentil stew": """
dish: Chicken and lentil stew
servings: 4
ingredients: {chicken: {amount: 600 g, food: "chicken thigh, skin-on"}, onion: 200 g, carrot: 200 g, lentils: {amount: 250 g, food: "lentils, green"}, stock: {amount: 800 ml, food: vegetable stock}, oil: {amount: 15 g, food: olive oil}, mustard: {amount: 20 g, food: dijon mustard}}
steps:
  - {id: chop, stage: prep, do: Chop the onion and the carrot., uses: [onion, carrot], hands: 6 min}
  - {id: brown, stage: cook, do: Brown the chicken in the oil., add: [chicken, oil], vessel: casserole, heat: medium, hands: 8 min}
  - {id: sweat, stage: cook, do: Add the onion and carrot and sweat for 8 minutes., add: [onion, carrot], vessel: casserole, heat: low, hands: 8 min}
  - {id: stew, stage: cook, do: "Stir in the lentils and stock and simmer for 35 minutes.", add: [lentils, stock], vessel: casserole, heat: low, core: 74 °C, wait: 35 min, hands: 2 min}
  - {id: finish, stage: cook, do: "Stir in the mustard and serve in bowls.", add: mustard, hands: 2 min}
""",
    "Vegetable curry with rice": """
dish: Vegetable curry with rice
servings: 4
ingredients: {cauliflower: 600 g, chickpeas: {amount: 400 g, food: "chickpeas, canned"}, onion: 200 g, garlic: 15 g, ginger: {amount: 20 g, food: "ginger, fresh"}, chilli: {amount: 10 g, food: "chilli, green"}, coconut milk: 400 ml, oil: {amount: 20 g, food: sunflower oil}, rice: {amount: 300 g, food: "rice, long-grain white"}, water: 600 g}
steps:
  - {id: cut, stage: prep, do: "Break up the cauliflower; chop the onion, garlic, ginger and chilli.", uses: [cauliflower, onion, garlic, ginger, chilli], hands: 10 min}
  - {id: fry, stage: cook, do: "Fry the onion, garlic, ginger and chilli in the oil until golden.", add: [onion, garlic, ginger, chilli, oil], vessel: wide pan, heat: medium, hands: 8 min}
  - {id: simmer, stage: cook, do: "Add the cauliflower, chickpeas and coconut milk and simmer for 20 minutes.", add: [cauliflower, chickpeas, coconut milk], vessel: wide pan, heat: low, wait: 20 min, hands: 3 min}
  - {id: rice, stage: cook, do: "Boil the rice in the water, covered, for 12 minutes.", add: [rice, water], from: [], vessel: saucepan, heat: low, wait: 12 min, hands: 2 min}
  - {id: plate, stage: cook, do: "Spoon the curry over the rice.", from: [simmer, rice], hands: 3 min}
""",
    "Steak, chips and salad": """
dish: Steak, chips and salad
servings: 2
ingredients: {steak: {amount: 500 g, food: beef rump steak}, potato: 600 g, oil: {amount: 40 g, food: rapeseed oil}, lettuce: {amount: 150 g, food: romaine lettuce}, tomato: 150 g, vinegar: {amount: 15 g, food: white wine vinegar}, salt: 6 g}
steps:
  - {id: cut, stage: prep, do: "Cut the potatoes into thick chips.", uses: potato, hands: 6 min}
  - {id: chips, stage: cook, do: "Toss the chips in half the oil and roast at 220 °C for 35 minutes until crisp.", add: {potato: all, oil: half}, vessel: oven tray, heat: oven 220 °C, wait: 35 min, hands: 3 min}
  - {id: sear, stage: cook, do: "Salt the steak and sear it in a hot pan for 3 minutes a side.", add: {steak: all, salt: all}, from: [], vessel: frying pan, heat: high, core: 63 °C, hands: 6 min}
  - {id: rest, stage: cook, do: "Rest the steak.", wait: 5 min, hands: 1 min}
  - {id: salad, stage: prep, do: "Tear the lettuce, slice the tomato and dress with the rest of the oil and the vinegar.", add: {lettuce: all, tomato: all, oil: rest, vinegar: all}, vessel: bowl, hands: 5 min}
  - {id: plate, stage: cook, do: "Carve the steak and plate it with the chips and the salad.", from: [rest, chips, salad], hands: 4 min}
""",
    "Mushroom risotto": """
dish: Mushroom risotto
servings: 4
ingredients: {mushrooms: {amount: 400 g, food: button mushrooms}, onion: 120 g, butter: {amount: 60 g, food: "butter, unsalted"}, rice: {amount: 320 g, food: "rice, risotto"}, wine: {amount: 150 ml, food: white wine}, stock: {amount: 1.2 l, food: vegetable stock}, parmesan: 80 g}
steps:
  - {id: cut, stage: prep, do: Slice the mushrooms and chop the onion., uses: [mushrooms, onion], hands: 8 min}
  - {id: fry, stage: cook, do: Fry the mushrooms in half the butter., add: {mushrooms: all, butter: half}, vessel: frying pan, heat: high, hands: 6 min}
  - {id: sweat, stage: cook, do: Sweat the onion in the rest of the butter., add: {onion: all, butter: rest}, from: [], vessel: wide pan, heat: low, hands: 6 min}
  - {id: rice, stage: cook, do: "Stir in the rice, then the wine, and let it boil away.", add: [rice, wine], vessel: wide pan, heat: medium, hands: 5 min}
  - {id: stir, stage: cook, do: "Add the hot stock a ladle at a time, stirring, for 18 minutes.", add: stock, vessel: wide pan, heat: low, hands: 18 min}
  - {id: end, stage: cook, do: "Off the heat, beat in the parmesan and fold in the mushrooms.", add: parmesan, from: [stir, fry], hands: 3 min}
""",
    "Turkey meatballs in tomato sauce": """
dish: Turkey meatballs in tomato sauce
servings: 4
ingredients: {turkey: {amount: 500 g, food: "turkey, minced"}, breadcrumbs: {amount: 60 g, food: "breadcrumbs, dry"}, egg: 55 g, onion: 120 g, garlic: 8 g, oil: {amount: 25 g, food: olive oil}, tomato: {amount: 800 g, food: "tomatoes, canned"}, spaghetti: 400 g, water: 4 kg}
steps:
  - {id: mix, stage: prep, do: "Mix the turkey, breadcrumbs and egg and roll into balls.", add: [turkey, breadcrumbs, egg], vessel: bowl, hands: 10 min}
  - {id: chop, stage: prep, do: Chop the onion and garlic., uses: [onion, garlic], hands: 4 min}
  - {id: sauce, stage: cook, do: "Soften the onion and garlic in the oil, add the tomatoes and simmer for 15 minutes.", add: [onion, garlic, oil, tomato], vessel: wide pan, heat: low, wait: 15 min, hands: 6 min}
  - {id: poach, stage: cook, do: "Drop in the meatballs and simmer for 15 minutes until cooked through, 74 °C.", from: [sauce, mix], vessel: wide pan, heat: low, core: 74 °C, wait: 15 min, hands: 3 min}
  - {id: pasta, stage: cook, do: "Boil the spaghetti in the water for 10 minutes and drain it.", add: [spaghetti, water], from: [], vessel: big pot, heat: high, wait: 10 min, hands: 3 min}
  - {id: plate, stage: cook, do: "Toss the spaghetti in the sauce.", from: [poach, pasta], hands: 3 min}
""",
}


@pytest.mark.parametrize("name", SUPPERS)
def test_an_ordinary_supper_of_one_dish_has_few_cautions(name: str, table: Table) -> None:
    found = cautions_in(table.dish(SUPPERS[name]))
    printed = printed_cautions(found)
    assert 3 < len(printed) < 10, [c.text for c in printed]
    assert len([line for c in found for line in c.overlay]) < 5
