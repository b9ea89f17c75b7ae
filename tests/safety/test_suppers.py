"""The cautions of a dinner of three dishes: few enough to be read, each hazard once, and each part with its own dishes and steps."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.papers.cautions import printed_cautions
from scriptkit.safety.rule_matching import cautions_in

DISHES = {
    "d1a": """
dish: Roast chicken thighs with potatoes
short: chicken
servings: 4
ingredients:
  chicken: {amount: 900 g, food: "chicken thigh, skin-on"}
  potato: 800 g
  oil: {amount: 3 tbsp, food: olive oil}
  salt: {amount: 8 g}
  lemon: {amount: 100 g}
steps:
  - {id: cut, stage: prep, do: Peel the potatoes and cut them into chunks., uses: potato, hands: 8 min, screen: 10 s}
  - {id: season, stage: prep, do: Rub the chicken with the salt., add: {chicken: all, salt: all}, vessel: bowl, hands: 3 min, screen: 10 s}
  - {id: brown, stage: cook, from: season, do: Brown the chicken in the oil over a high heat., add: {oil: all}, vessel: ovenproof frying pan, heat: high, hands: 8 min, screen: 20 s}
  - {id: roast, stage: cook, do: Tuck in the potatoes and the lemon and roast until the chicken is cooked through., add: {potato: all, lemon: all}, vessel: ovenproof frying pan, heat: oven 200 °C, core: 74 °C, wait: 35 min, hands: 3 min, screen: 12 s}
""",
    "d1b": """
dish: Buttered beans and leeks
short: beans
servings: 4
ingredients:
  beans: {amount: 400 g, food: green beans}
  leek: 200 g
  butter: {amount: 30 g, food: "butter, unsalted"}
  water: 1 l
steps:
  - {id: trim, stage: prep, do: Top the beans and slice the leek., uses: [beans, leek], hands: 6 min, screen: 10 s}
  - {id: boil, stage: cook, do: Boil the beans for 5 minutes and drain the vegetables., add: {beans: all, water: all}, vessel: saucepan, heat: high, wait: 5 min, hands: 2 min, screen: 10 s}
  - {id: fry, stage: cook, do: Fry the leek in the butter until soft and toss with the beans., add: {leek: all, butter: all}, vessel: saucepan, heat: medium, hands: 5 min, screen: 12 s}
""",
    "d1c": """
dish: Lemon posset
short: posset
servings: 4
ingredients:
  cream: {amount: 600 ml, food: "cream, double"}
  sugar: 150 g
  lemon: {amount: 90 ml, food: lemon juice}
steps:
  - {id: boil, stage: cook, do: Boil the cream and sugar for three minutes., add: {cream: all, sugar: all}, vessel: saucepan, heat: medium, wait: 3 min, hands: 3 min, screen: 12 s}
  - {id: chill, stage: cook, do: "Whisk in the lemon juice, pour into glasses and chill until set.", add: {lemon: all}, vessel: glasses, wait: 3 h, hands: 4 min, screen: 12 s}
""",
    "d2a": """
dish: Tomato and red pepper soup
short: soup
servings: 4
ingredients:
  tomato: 1 kg
  pepper: {amount: 300 g, food: "pepper, red"}
  onion: 150 g
  stock: {amount: 500 ml, food: vegetable stock}
  oil: {amount: 2 tbsp, food: olive oil}
steps:
  - {id: chop, stage: prep, do: "Chop the onion, pepper and tomatoes.", uses: [onion, pepper, tomato], hands: 8 min, screen: 10 s}
  - {id: soften, stage: cook, do: Fry the onion and pepper in the oil., add: {onion: all, pepper: all, oil: all}, vessel: stock pot, heat: medium, hands: 8 min, screen: 12 s}
  - {id: simmer, stage: cook, do: "Add the tomatoes and the stock, cover and simmer.", add: {tomato: all, stock: all}, vessel: stock pot, heat: low, wait: 20 min, hands: 2 min, screen: 8 s}
  - {id: blend, stage: cook, do: Blend it smooth with a stick blender., vessel: stock pot, hands: 3 min, screen: 12 s}
""",
    "d2b": """
dish: Pan-fried salmon with prawns
short: salmon
servings: 4
ingredients:
  salmon: {amount: 600 g, food: salmon}
  prawn: {amount: 200 g, food: "prawns, raw"}
  butter: {amount: 40 g, food: "butter, unsalted"}
  wine: {amount: 100 ml, food: "wine, white"}
  parmesan: {amount: 30 g, food: "parmesan, hard"}
steps:
  - {id: grate, stage: prep, do: Grate the parmesan., uses: parmesan, hands: 2 min, screen: 6 s}
  - {id: sear, stage: cook, do: Sear the salmon in the butter for 3 minutes a side., add: {salmon: all, butter: all}, vessel: frying pan, heat: high, core: 63 °C, hands: 7 min, screen: 20 s}
  - {id: prawns, stage: cook, do: Fry the prawns in the same pan until pink and opaque., add: {prawn: all}, vessel: frying pan, heat: high, hands: 4 min, screen: 14 s}
  - {id: wine, stage: cook, do: Pour in the wine and let it bubble down., add: {wine: all, parmesan: all}, vessel: frying pan, heat: high, hands: 3 min, screen: 12 s}
""",
    "d2c": """
dish: Honey custards
short: custards
servings: 4
ingredients:
  egg: {amount: 4 medium}
  milk: {amount: 500 ml, food: whole milk}
  honey: 60 g
  nutmeg: 0.2 g
steps:
  - {id: warm, stage: cook, do: Warm the milk., add: {milk: all}, vessel: saucepan, heat: low, hands: 4 min, screen: 8 s}
  - {id: whisk, stage: cook, do: Whisk the eggs with the honey and pour over the milk., add: {egg: all, honey: all, nutmeg: all}, vessel: bowl, hands: 4 min, screen: 14 s}
  - {id: bake, stage: cook, do: Bake in ramekins in a tin of hot water until just set., vessel: ramekins, heat: oven 150 °C, wait: 35 min, hands: 3 min, screen: 10 s}
""",
    "d3a": """
dish: Beef chilli
short: chilli
servings: 6
ingredients:
  beef: {amount: 750 g, food: "ground beef, 20% fat"}
  onion: 200 g
  chilli: {amount: 20 g, food: "chilli, red"}
  beans: {amount: 400 g, food: "kidney beans, canned"}
  tomato: {amount: 800 g, food: "tomatoes, canned"}
  oil: {amount: 2 tbsp, food: rapeseed oil}
steps:
  - {id: chop, stage: prep, do: Chop the onion and deseed and slice the chilli., uses: [onion, chilli], hands: 6 min, screen: 10 s}
  - {id: brown, stage: cook, do: Brown the beef in the oil over a high heat., add: {beef: all, oil: all}, vessel: casserole, heat: high, hands: 9 min, screen: 16 s}
  - {id: simmer, stage: cook, do: "Stir in the onion, chilli, beans and tomatoes and simmer, covered.", add: {onion: all, chilli: all, beans: all, tomato: all}, vessel: casserole, heat: low, wait: 50 min, hands: 3 min, screen: 12 s}
""",
    "d3b": """
dish: Rice
short: rice
servings: 6
ingredients:
  rice: {amount: 400 g, food: "rice, long-grain white"}
  water: 1 l
steps:
  - {id: boil, stage: cook, do: Boil the rice for 11 minutes and drain the rice., add: {rice: all, water: all}, vessel: saucepan, heat: high, wait: 11 min, hands: 3 min, screen: 10 s}
""",
    "d3c": """
dish: Coffee and rum trifle
short: trifle
servings: 6
ingredients:
  sponge: {amount: 250 g, food: sponge fingers}
  coffee: {amount: 200 ml, food: "coffee, brewed"}
  rum: {amount: 50 ml, food: rum}
  mascarpone: 250 g
  cream: {amount: 200 ml, food: "cream, double"}
foods: {sponge fingers: {basis: us, allergens: wheat}}
steps:
  - {id: whip, stage: cook, do: Whip the cream with the mascarpone., add: {cream: all, mascarpone: all}, vessel: large bowl, hands: 4 min, screen: 10 s}
  - {id: soak, stage: cook, do: Dip the sponge in the coffee and rum and layer it up with the cream., add: {sponge: all, coffee: all, rum: all}, vessel: glass bowl, hands: 6 min, screen: 14 s}
  - {id: chill, stage: cook, do: Chill until you are ready., vessel: glass bowl, wait: 2 h, hands: 1 min, screen: 8 s}
""",
}  # fmt: skip


def supper(table: Table, number: int) -> list[str]:
    names = [f"d{number}{letter}" for letter in "abc"]
    for name in names:
        table.write(f"{name}.yaml", DISHES[name].lstrip())
    return names


@pytest.mark.parametrize("number", [1, 2, 3])
def test_a_supper_of_three_dishes_has_few_cautions(table: Table, number: int) -> None:
    names = supper(table, number)
    listed = ", ".join(f"{{dish: {name}.yaml}}" for name in names)
    found = cautions_in(table.meal(f"meal: Supper\ndishes: [{listed}]\nfilm: {{lights: mains}}\n"))
    assert len(printed_cautions(found)) < 10
    assert len([line for c in found for line in c.overlay]) < 5


def test_what_is_about_one_thing_stands_in_one_caution_each_part_with_its_steps(table: Table) -> None:
    supper(table, 2)
    meal = "meal: Supper\ndishes: [{dish: d2a.yaml}, {dish: d2b.yaml}, {dish: d2c.yaml}]\n"
    printed = printed_cautions(cautions_in(table.meal(meal)))
    (hot,) = [p for p in printed if "published minimum" in p.text or "at least 63 °C" in p.text]
    assert hot.where == "salmon, step 2"
    assert "Salmon, step 3: Prawn: cook until" in hot.text
    assert "Custards, step 3: Eggs: cook until" in hot.text
    (fat,) = [p for p in printed if p.text.startswith(("Searing", "Hot fat"))]
    assert fat.where == "soup, step 2; salmon, step 2"
    assert [p.where for p in printed if "Honey: not for children" in p.text] == ["salmon"]
    assert [p for p in printed if "Custards: Honey: not for children" in p.text]


def test_a_single_dish_keeps_its_own_words(table: Table) -> None:
    printed = printed_cautions(cautions_in(table.dish(DISHES["d2b"])))
    assert [p for p in printed if p.text.startswith("Hot fat")] == []  # searing says it too
    assert [p.where for p in printed if p.text.startswith("Searing")] == ["salmon, step 2"]


PASTA = """
dish: Spaghetti with meat sauce
servings: 4
ingredients: {mince: {amount: 500 g, food: "beef, mince, 15 % fat"}, onion: 150 g, oil: {amount: 2 tbsp, food: olive oil}, tomato: {amount: 400 g, food: "tomatoes, canned"}, spaghetti: 400 g}
steps:
  - {id: soften, stage: cook, do: Soften the onion in the oil., add: {onion: all, oil: all}, vessel: pan, heat: medium, wait: 8 min}
  - {id: brown, stage: cook, do: Add the mince and brown it well., add: {mince: all}, vessel: pan, heat: high, wait: 8 min}
  - {id: simmer, stage: cook, do: Pour in the tomatoes and simmer for 40 minutes., add: {tomato: all}, vessel: pan, heat: low, wait: 40 min}
  - {id: pasta, stage: cook, after: [], do: Boil the spaghetti and drain it., add: {spaghetti: all}, vessel: pot, heat: high, wait: 10 min}
  - {id: serve, stage: cook, from: [simmer, pasta], do: Toss together.}
"""
STIR_FRY = """
dish: Pork and broccoli stir-fry
servings: 2
ingredients: {pork: {amount: 300 g, food: pork tenderloin}, broccoli: 250 g, soy: {amount: 2 tbsp, food: soy sauce}, honey: 1 tbsp, oil: {amount: 2 tbsp, food: sunflower oil}, noodles: {amount: 150 g, food: "egg noodles, dried"}, garlic: 10 g}
steps:
  - {id: cut, stage: prep, do: Slice the pork into thin strips and marinate in the soy sauce and honey for 30 minutes in the fridge., add: {pork: all, soy: all, honey: all}, vessel: bowl, wait: 30 min}
  - {id: noodles, stage: cook, after: [], do: Boil the noodles and drain., add: {noodles: all}, vessel: pot, wait: 5 min}
  - {id: fry, stage: cook, from: cut, do: Stir-fry the pork in the hot oil over a high heat until cooked through., add: {oil: all}, vessel: wok, heat: high, wait: 5 min}
  - {id: veg, stage: cook, do: Add the broccoli and garlic and stir-fry., add: {broccoli: all, garlic: all}, vessel: wok, heat: high, wait: 4 min}
  - {id: serve, stage: cook, from: [veg, noodles], do: Toss in the noodles and serve.}
"""


def test_another_pot_on_the_heat_cooks_nothing_of_this_one(table: Table) -> None:
    """The mince is done where it simmers and not where the pasta boils; the marinated pork is still raw when the noodles have boiled."""
    told = {(c.rule.id, c.step.id) for c in cautions_in(table.dish(PASTA)) if c.step}
    assert ("cook-ground-meat", "simmer") in told and ("cook-ground-meat", "pasta") not in told
    found = cautions_in(table.dish(STIR_FRY))
    assert ("hot-pan", "fry") in {(c.rule.id, c.step.id) for c in found if c.step}
    assert not {"hot-fat", "smoke-alarm"} & {c.rule.id for c in found}
    assert len(printed_cautions(found)) < 10
    assert len([line for c in found for line in c.overlay]) < 5
