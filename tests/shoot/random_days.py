"""Random meals as cooks write them: steps that take over from one another wholly or in part, prep in a bowl, branches that join."""

from __future__ import annotations

import random
from pathlib import Path

FOODS = (
    "onion",
    "carrot",
    "celery",
    "leek",
    "parsley",
    "olive oil",
    "thyme, fresh",
    "garlic",
    "cabbage",
    "celeriac",
    "butter, unsalted",
)
PREP = ("Slice it.", "Mix it in a bowl.", "Marinate it.", "Chop it.")
COOK = ("Fry it.", "Simmer it.", "Stir it.", "Blend it smooth.", "Sear it.", "Rest it.")
VESSELS = ("pot", "pan", "bowl", "", "tray", "blender jug")


def write_day(folder: Path, seed: int, *, dishes: int = 2) -> Path:
    """A meal of dishes with up to seven steps each, written into the folder; the meal's file."""
    rand = random.Random(seed)
    for number in range(dishes):
        (folder / f"d{number}.yaml").write_text(_dish(number, rand), encoding="utf-8")
    listed = "\n".join(f"  - {{dish: d{n}.yaml, portion: 100 g}}" for n in range(dishes))
    kitchen = f"{{cooks: {rand.choice([1, 2, 3])}, burners: 4, landing: 3 h, vessels: {{pot: 3, pan: 3, blender jug: 2, bowl: 9, tray: 9}}}}"
    path = folder / "meal.yaml"
    path.write_text(f"meal: Random\nplates: 1\ndishes:\n{listed}\nkitchen: {kitchen}\n", encoding="utf-8")
    return path


def _dish(number: int, rand: random.Random) -> str:
    count = rand.randint(2, 7)
    foods = rand.sample(FOODS, rand.randint(2, 6))
    lines = [f"dish: Dish {number}", "servings: 1", "cooked_weight: 300 g", "keeps: 3 h", "ingredients:"]
    lines += [f"  f{n}: {{amount: 50 g, food: {food!r}}}" for n, food in enumerate(foods)]
    into = [rand.randrange(count) for _ in foods]
    prep = rand.randint(0, count - 1)
    uses_from = rand.random() < 0.7
    left: dict[int, str] = {}
    lines.append("steps:")
    for n in range(count):
        stage = "prep" if n < prep else "cook"
        lines += [f"  - id: s{n}", f"    stage: {stage}", f"    do: {rand.choice(PREP if stage == 'prep' else COOK)}"]
        lines += [
            f"    hands: {rand.randint(1, 5)} min",
            f"    wait: {rand.choice([0, 0, 3, 20])} min",
        ]
        if stands := rand.choice(["wait_at_most: 3 h", "wait_at_most: 40 min", "keeps: 1 h", "keeps: 3 h"]):
            lines.append(f"    {stands}")
        if vessel := rand.choice(VESSELS):
            lines.append(f"    vessel: {vessel}")
        added = [f"f{k}" for k, at in enumerate(into) if at == n]
        if added:
            lines.append(f"    add: [{', '.join(added)}]")
        if stage == "prep" and rand.random() < 0.4:
            lines.append(f"    uses: [f{rand.randrange(len(foods))}]")
        taken = _taken(left, rand) if uses_from else {}
        if taken:
            lines.append("    from: {" + ", ".join(f"{step}: {words}" for step, words in taken.items()) + "}")
        elif n > 1 and rand.random() < 0.15:
            lines.append(f"    after: [s{rand.randrange(n)}]")
        left[n] = "all"
    return "\n".join(lines) + "\n"


def _taken(left: dict[int, str], rand: random.Random) -> dict[str, str]:
    """What a step takes over of those before it, never more than there is."""
    found: dict[str, str] = {}
    for m in rand.sample(sorted(left), min(len(left), rand.choice([0, 1, 1, 2]))):
        if left[m] == "all" and rand.random() < 0.3:
            found[f"s{m}"], left[m] = "half", "rest"
        else:
            found[f"s{m}"] = left.pop(m)
    return found
