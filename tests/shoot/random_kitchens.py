"""Kitchens that a cook would recognise, at random: dishes of ten steps with their usual orders, times and vessels."""

from __future__ import annotations

import random
from pathlib import Path

FOODS = ("onion", "carrot", "celery", "leek", "parsley", "olive oil", "thyme", "garlic", "cabbage", "celeriac")
"""Any: the schedule does not ask what it is."""

# stage, what is done, hands in minutes, wait in minutes, vessel, heat; {n} makes the vessel the dish's own
DISHES: dict[str, tuple[tuple[str, str, tuple[int, int], tuple[int, int], str, str], ...]] = {
    "soup": (
        ("prep", "Dice the roots.", (3, 8), (0, 0), "", ""),
        ("prep", "Slice the leeks.", (2, 5), (0, 0), "", ""),
        ("prep", "Chop the herbs.", (1, 3), (0, 0), "", ""),
        ("cook", "Sweat the leeks.", (1, 2), (6, 10), "stock pot", "medium"),
        ("cook", "Add the roots and stir.", (2, 3), (2, 4), "stock pot", "medium"),
        ("cook", "Simmer in the stock.", (1, 2), (15, 25), "stock pot", "low"),
        ("cook", "Blend until smooth.", (4, 8), (0, 0), "blender jug", ""),
        ("cook", "Season and warm through.", (2, 3), (0, 0), "stock pot", "low"),
        ("cook", "Warm the bowls.", (1, 1), (2, 3), "soup bowls", ""),
        ("cook", "Ladle out.", (2, 3), (0, 0), "soup bowls", ""),
    ),
    "fish": (
        ("prep", "Pat the fillets dry.", (2, 3), (0, 0), "tray", ""),
        ("prep", "Chop the parsley.", (1, 3), (0, 0), "", ""),
        ("prep", "Squeeze the lemon.", (1, 2), (0, 0), "", ""),
        ("prep", "Measure the capers.", (1, 1), (0, 0), "", ""),
        ("cook", "Heat the pan.", (1, 1), (1, 2), "frying pan", "high"),
        ("cook", "Sear the fillets.", (4, 6), (0, 0), "frying pan", "high"),
        ("cook", "Turn the fillets and fry them.", (2, 3), (0, 0), "frying pan", "medium"),
        ("cook", "Brown the butter.", (2, 4), (0, 0), "frying pan", "medium"),
        ("cook", "Stir in the capers.", (1, 1), (0, 0), "frying pan", "off"),
        ("cook", "Plate the fillets.", (2, 3), (0, 0), "plates", ""),
    ),
    "roast": (
        ("prep", "Trim the joint.", (4, 8), (0, 0), "", ""),
        ("prep", "Crush the garlic.", (1, 2), (0, 0), "", ""),
        ("prep", "Rub the joint with salt.", (2, 4), (0, 0), "", ""),
        ("cook", "Brown the joint.", (6, 10), (0, 0), "roasting tin", "high"),
        ("cook", "Roast it.", (1, 1), (35, 60), "roasting tin", "oven 200 °C"),
        ("cook", "Baste it and roast on.", (2, 2), (15, 25), "roasting tin", "oven 200 °C"),
        ("cook", "Rest the joint.", (1, 1), (10, 15), "board", ""),
        ("cook", "Carve it.", (4, 6), (0, 0), "board", ""),
        ("cook", "Warm the gravy.", (2, 3), (0, 2), "small pan", "medium"),
        ("cook", "Plate the slices.", (2, 3), (0, 0), "plates", ""),
    ),
    "braise": (
        ("prep", "Cut the meat.", (5, 9), (0, 0), "", ""),
        ("prep", "Slice the onions.", (3, 5), (0, 0), "", ""),
        ("prep", "Dice the carrots.", (3, 5), (0, 0), "", ""),
        ("prep", "Tie the herbs.", (1, 2), (0, 0), "", ""),
        ("cook", "Brown the meat.", (6, 9), (0, 0), "casserole", "high"),
        ("cook", "Soften the onions.", (2, 3), (6, 9), "casserole", "medium"),
        ("cook", "Braise it all.", (2, 3), (60, 90), "casserole", "low"),
        ("cook", "Skim and season.", (2, 4), (0, 0), "casserole", "low"),
        ("cook", "Reduce the sauce.", (2, 2), (5, 8), "casserole", "high"),
        ("cook", "Plate it.", (2, 3), (0, 0), "plates", ""),
    ),
    "gratin": (
        ("prep", "Slice the celeriac.", (4, 7), (0, 0), "", ""),
        ("prep", "Grate the cheese.", (2, 3), (0, 0), "", ""),
        ("prep", "Butter the dish.", (1, 1), (0, 0), "", ""),
        ("cook", "Simmer the cream with the garlic.", (1, 2), (4, 6), "saucepan {n}", "medium"),
        ("cook", "Stir in the celeriac.", (1, 2), (5, 8), "saucepan {n}", "medium"),
        ("cook", "Layer it in the dish.", (3, 5), (0, 0), "gratin dish", ""),
        ("cook", "Bake it.", (1, 1), (25, 35), "gratin dish", "oven {oven} °C"),
        ("cook", "Scatter the cheese and bake on.", (1, 1), (8, 12), "gratin dish", "oven {oven} °C"),
        ("cook", "Rest it.", (1, 1), (5, 8), "gratin dish", ""),
        ("cook", "Portion it.", (2, 3), (0, 0), "plates", ""),
    ),
    "greens": (
        ("prep", "Trim the beans.", (3, 6), (0, 0), "", ""),
        ("prep", "Slice the garlic.", (1, 2), (0, 0), "", ""),
        ("prep", "Toast the nuts.", (2, 3), (0, 0), "", ""),
        ("prep", "Zest the lemon.", (1, 2), (0, 0), "", ""),
        ("cook", "Boil the water.", (1, 1), (6, 9), "saucepan {n}", "high"),
        ("cook", "Boil the beans.", (1, 1), (3, 4), "saucepan {n}", "high"),
        ("cook", "Drain them.", (1, 1), (0, 0), "colander", ""),
        ("cook", "Fry the garlic.", (1, 2), (0, 0), "wide pan", "medium"),
        ("cook", "Toss the beans in it.", (2, 3), (0, 0), "wide pan", "medium"),
        ("cook", "Dish up.", (1, 2), (0, 0), "plates", ""),
    ),
    "hollandaise": (
        ("prep", "Separate the eggs.", (2, 3), (0, 0), "", ""),
        ("prep", "Cube the butter.", (1, 2), (0, 0), "", ""),
        ("prep", "Squeeze the lemon.", (1, 1), (0, 0), "", ""),
        ("cook", "Reduce the vinegar.", (1, 1), (3, 5), "small pan", "medium"),
        ("cook", "Cool the reduction.", (1, 1), (3, 5), "bowl {n}", ""),
        ("cook", "Heat the water bath.", (1, 1), (4, 6), "bath", "low"),
        ("cook", "Whisk the yolks over it.", (4, 6), (0, 0), "bath", "low"),
        ("cook", "Whisk in the butter.", (5, 7), (0, 0), "bath", "low"),
        ("cook", "Season it.", (1, 1), (0, 0), "bath", "low"),
        ("cook", "Spoon it over.", (1, 2), (0, 0), "plates", ""),
    ),
    "stir-fry": (
        ("prep", "Slice the pork.", (4, 6), (0, 0), "", ""),
        ("prep", "Slice the pepper.", (2, 4), (0, 0), "", ""),
        ("prep", "Chop the ginger.", (2, 3), (0, 0), "", ""),
        ("prep", "Shred the cabbage.", (3, 5), (0, 0), "", ""),
        ("prep", "Mix the sauce.", (1, 2), (0, 0), "bowl {n}", ""),
        ("cook", "Fry the pork.", (3, 4), (0, 0), "wok", "high"),
        ("cook", "Fry the pepper.", (2, 3), (0, 0), "wok", "high"),
        ("cook", "Fry the cabbage.", (2, 3), (0, 0), "wok", "high"),
        ("cook", "Pour in the sauce.", (1, 1), (1, 2), "wok", "high"),
        ("cook", "Plate it.", (1, 2), (0, 0), "plates", ""),
    ),
}  # fmt: skip


def write_kitchen(folder: Path, seed: int, *, dishes: int = 3, cooks: int = 1) -> Path:
    """A meal of ``dishes`` different dishes with ten steps each, written into the folder; the meal's file."""
    rand = random.Random(seed)
    names = rand.sample(sorted(DISHES), dishes)
    for number, name in enumerate(names):
        (folder / f"{name}.yaml").write_text(_dish(name, number, rand), encoding="utf-8")
    listed = "\n".join(f"  - {{dish: {name}.yaml, portion: 200 g}}" for name in names)
    kitchen = f"{{cooks: {cooks}, burners: {rand.choice([2, 3, 4])}, landing: {rand.choice([5, 8, 10])} min}}"
    text = f"meal: {', '.join(names)}\nplates: 4\ndishes:\n{listed}\nkitchen: {kitchen}\n"
    path = folder / "meal.yaml"
    path.write_text(text, encoding="utf-8")
    return path


def _dish(name: str, number: int, rand: random.Random) -> str:
    steps = DISHES[name]
    lines = [f"dish: {name}", "servings: 4", "serving: 200 g", "cooked_weight: 800 g", "keeps: 15 min", "ingredients:"]
    lines += [f"  {food}: 100 g" for food in FOODS[: sum(s[0] == "prep" for s in steps)]]
    lines.append("steps:")
    prep = [f for f, s in zip(FOODS, steps, strict=False) if s[0] == "prep"]
    cook = [n for n, s in enumerate(steps) if s[0] == "cook"]
    into: dict[int, list[str]] = {}
    oven = rand.choice([180, 200])
    for food in prep:  # what is cut goes in at one of the first cook steps, as in most recipes
        into.setdefault(rand.choice(cook[:4]), []).append(food)
    for n, (stage, do, hands, wait, vessel, heat) in enumerate(steps):
        lines += [
            f"  - id: {name}-{n}",
            f"    stage: {stage}",
            f"    do: {do}",
            f"    hands: {rand.randint(*hands)} min",
        ]
        if wait[1]:
            lines.append(f"    wait: {rand.randint(*wait)} min")
        if vessel:
            lines.append(f"    vessel: {vessel.format(n=number)}")
        if heat:
            lines.append(f"    heat: {heat.format(oven=oven)}")
        if stage == "prep":
            lines.append(f"    uses: {FOODS[n]}")
        if n in into:
            lines.append("    add: {" + ", ".join(f"{food}: all" for food in into[n]) + "}")
    return "\n".join(lines) + "\n"
