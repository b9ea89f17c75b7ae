"""What the tests of the meal's commands share: the files of a supper of soup and fish, and the examples' paths."""

from __future__ import annotations

import subprocess
import textwrap
from collections.abc import Callable

from conftest import EXAMPLES, Table

Run = Callable[..., subprocess.CompletedProcess[str]]
SUPPER = str(EXAMPLES / "harbour-supper.yaml")
BISQUE = str(EXAMPLES / "fennel-bisque.yaml")
SOUP = """
    dish: Leek soup
    servings: 4
    serving: 300 g
    cooked_weight: 1.2 kg
    ingredients:
      leek: 500 g
      butter: {amount: 60 g, food: "butter, unsalted"}
      potato: 300 g
    steps:
      - {id: slice, stage: prep, do: Slice the leek., uses: leek, hands: 4 min}
      - {id: soften, stage: cook, do: Soften the leek., add: [leek, butter], vessel: stock pot, heat: low, hands: 1 min, wait: 8 min}
      - {id: simmer, stage: cook, do: Simmer the potato in it., add: potato, vessel: stock pot, heat: low, hands: 1 min, wait: 20 min}
      - {id: ladle, stage: cook, do: Ladle it into bowls., vessel: soup bowls, hands: 2 min}
"""
FISH = """
    dish: Fried salmon
    servings: 4
    serving: 150 g
    cooked_weight: 600 g
    ingredients:
      salmon: 720 g
      olive oil: 30 g
    steps:
      - {id: dry, stage: prep, do: Pat it dry., uses: salmon, hands: 2 min}
      - {id: fry, stage: cook, do: Fry it., add: all-of-it, vessel: frying pan, heat: high, hands: 6 min}
      - {id: plate, stage: cook, do: Plate it., vessel: plates, hands: 2 min}
""".replace("add: all-of-it", "add: [salmon, olive oil]")
MEAL = """
    meal: Supper
    plates: 4
    dishes:
      - {dish: soup.yaml}
      - {dish: fish.yaml}
"""


def supper_files(table: Table) -> Callable[[str], str]:
    """Writes the supper's files, with more of the meal's own; the meal's file. A fixture by ``pytest.fixture(supper_files)``."""

    def write(more: str = "") -> str:
        table.write("soup.yaml", SOUP)
        table.write("fish.yaml", FISH)
        return table.write("meal.yaml", textwrap.dedent(MEAL) + textwrap.dedent(more))

    return write


PICKLE = "foods: {pickle: {per: 100 g, basis: eu, fat_g: 1, protein_g: 1, energy_kcal: 30}}\n"
"""Nobody knows its carbohydrate."""
