"""What only the method says: foods that the list lacks, an oven that is turned, a night's wait, what may be left out, and no method at all."""

from __future__ import annotations

import json
import time
from collections.abc import Callable
from subprocess import CompletedProcess
from typing import Any

import pytest
from conftest import Table

from scriptkit.drafting.draft import draft
from scriptkit.drafting.raw_recipe import RawRecipe
from scriptkit.english.oven_changes import parted_by_the_oven
from scriptkit.english.written_method import wait_ms_in
from scriptkit.recipe.yamltree import parse_tree

Run = Callable[..., CompletedProcess[str]]
LIST = ("400 ml coconut milk", "200 g red lentils", "1 onion", "2 tbsp cornflour", "1 tbsp oil")


def made(*steps: str, lines: tuple[str, ...] = LIST) -> dict[str, Any]:
    found = draft(RawRecipe(name="Harbour pot", ingredients=lines, steps=steps, serves="4"))
    data = parse_tree(found.text, "pot.yaml").data
    assert isinstance(data, dict)
    return data


def gone_in(data: dict[str, Any], name: str) -> list[int]:
    return [int(step["id"].removeprefix("step-")) for step in data["steps"] if name in (step.get("add") or {})]


@pytest.mark.parametrize(
    ("step", "name", "amount"),
    [
        ("Add the lentils, coconut milk plus 1 cup water and simmer.", "water", "1 cup"),
        ("Tip in the lentils and stir in 500 ml boiling water.", "boiling water", "500 ml"),
        ("Mix the cornflour with 2 tbsp cold water and add to the pot.", "cold water", "2 tbsp"),
        ("Pour in the milk and 60 ml (1/4 cup) of water, then simmer.", "water", "60 ml"),
        ("Fry the onion, then add 200 g spinach.", "spinach", "200 g"),
    ],
)  # fmt: skip
def test_a_food_that_only_the_method_measures_is_in_the_dish(step: str, name: str, amount: str) -> None:
    data = made("Fry the onion in the oil.", step)
    entry = data["ingredients"][name]
    assert (entry if isinstance(entry, str) else entry["amount"]) == amount
    assert gone_in(data, name) == [2]
    assert (isinstance(entry, dict) and "unsure" in entry) == (name == "spinach"), "water is no doubt, a food is"


@pytest.mark.parametrize(
    "step",
    [
        "Add more water if needed, up to 1 cup water.", "Bring 2 litres of water to the boil and cook the lentils.", "Add 1 cup of the reserved pasta water to thin it.",
        "Stir 2 tbsp of the marinade into the lentils.", "Add 100 ml of the coconut milk and 1 tbsp oil.", "Put 2 cups of water under the trivet and steam the lentils.",
        "Add the lentils for 20 minutes, and 2 tbsp of the cornflour mixture.", "Stir in the onions and cook for 5 minutes.",
    ],
)  # fmt: skip
def test_what_does_not_go_in_or_is_of_the_list_is_no_new_food(step: str) -> None:
    assert len(made("Fry the onion in the oil.", step)["ingredients"]) == len(LIST)


@pytest.mark.parametrize(
    ("step", "heats"),
    [
        ("Roast the onion at Gas 4 for 20 minutes, then turn up to 200 C for 10 minutes.", ["oven gas mark 4", "oven 200 °C"]),
        ("Bake the lentils at 230C for 15 minutes. Reduce heat to 190C and bake for a further 25 minutes until golden.", ["oven 230 °C", "oven 190 °C"]),
        ("Bake the onion at 425°F for 5 minutes; lower the oven temperature to 350°F and bake for an additional 18 minutes.", ["oven 425 °F", "oven 350 °F"]),
        ("Roast the onion at 200 C for 20 minutes, then turn the onions and reduce the sauce.", ["oven 200 °C"]),
    ],
)  # fmt: skip
def test_an_oven_that_is_turned_is_two_steps(step: str, heats: list[str]) -> None:
    steps = made(step)["steps"]
    assert [s.get("heat") for s in steps if "where" not in s["id"]] == heats
    assert all(s.get("wait") for s in steps if s.get("heat"))


@pytest.mark.parametrize(
    "text", ["Place the loaf into the oven and then reduce the oven temperature to 400F. Bake for 45 minutes.", "Simmer for 10 minutes, then reduce the heat to low for 20 minutes.",
             "Cook for 10 minutes, then reduce the sauce to 200 ml."]
)  # fmt: skip
def test_one_heat_is_one_step(text: str) -> None:
    assert parted_by_the_oven(text) == [text]


def test_oil_in_a_dutch_oven_is_in_no_oven() -> None:
    step = "Pour 2 inches of oil into a Dutch oven. Heat the oil to 350 degrees."
    assert not any("oven" in str(s.get("heat")) for s in made(step)["steps"])
    assert made("Put the onion into the oven at 350 degrees F.")["steps"][-1]["heat"] == "oven 350 °F"


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("Marinate overnight in the fridge.", 8), ("Cover and refrigerate overnight.", 8), ("Soak the peas overnight, then simmer for 1 hour.", 9),
        ("Chill for 4 hours or overnight.", 4), ("Chill for 2 hours, preferably overnight.", 2), ("Cover for 1 hour and up to overnight.", 1),
        ("Drain the beans that soaked overnight.", 0), ("Spoon the overnight oats into bowls and leave.", 0), ("It can be left overnight.", 0),
    ],
)  # fmt: skip
def test_a_night_is_a_wait(text: str, hours: float) -> None:
    assert wait_ms_in(text) == hours * 3_600_000


@pytest.mark.parametrize(
    ("lines", "optional"),
    [
        (("20 g walnuts (optional)", "200 g leeks"), ["walnuts"]), (("20 g walnuts, if using", "200 g leeks"), ["walnuts"]),
        (("200 g leeks", "Optional toppings:", "20 g walnuts", "To serve:", "2 rolls"), ["walnuts"]), (("200 g leeks", "20 g walnuts"), []),
    ],
)  # fmt: skip
def test_what_may_be_left_out_is_data(lines: tuple[str, ...], optional: list[str]) -> None:
    found = made("Fry all of it.", lines=lines)["ingredients"]
    assert [k for k, v in found.items() if isinstance(v, dict) and v.get("optional")] == optional


def test_what_may_be_left_out_is_said_in_the_papers(run: Run, table: Table) -> None:
    dish = "dish: Leeks\nservings: 2\ningredients:\n  leek: 200 g\n  walnuts: {amount: 20 g, prep: chopped, optional: true}\nsteps:\n  - {stage: cook, do: Fry it all., add: {leek: all, walnuts: all}, screen: 9 s}\n"
    table.write("leeks.yaml", dish)
    assert run("pack", "leeks.yaml", "-o", "pack", "--quiet").returncode in (0, 1)
    for name in ("description.txt", "recipe-card.html", "mise-en-place.html"):
        text = (table.folder / "pack" / name).read_text(encoding="utf-8")
        assert "chopped, optional" in text, name
    assert json.loads(run("macros", "leeks.yaml", "--json").stdout)["serving"]["fat_g"] > 5, "it is counted"


def test_a_recipe_without_a_method_says_so_as_data(run: Run, table: Table) -> None:
    table.write("leeks.txt", "Harbour leeks\n\nServes 2\n\nIngredients\n200 g leeks\n30 g butter\n")
    done = run("new", "--from", "leeks.txt")
    text = (table.folder / "harbour-leeks.yaml").read_text(encoding="utf-8")
    assert "# check:" not in text and "its source gives no method: write the steps" in text
    assert "1 guess to confirm" in done.stdout
    (question,) = json.loads(run("confirm", "harbour-leeks.yaml", "--json").stdout)["questions"]
    assert question["question"].startswith("There is no step of cooking") and question["choices"] == []
    refused = run("publish", "harbour-leeks.yaml", "-o", "out")
    assert refused.returncode == 2 and "not published" in refused.stderr
    assert "gives no method" in run("check", "harbour-leeks.yaml").stderr
    written = text[: text.index("steps:")] + "steps:\n  - {stage: cook, do: Fry the leeks in the butter., add: {leeks: all, butter: all}}\n"  # fmt: skip
    table.write("harbour-leeks.yaml", written)
    assert run("confirm", "harbour-leeks.yaml", "--json").returncode == 0


@pytest.mark.parametrize(
    "text", ["add " * 900, "add 1 cup water and " * 190, "turn to 200 C " * 250, "Roast 20 minutes" + " and then" * 400, "add 1 cup (" * 350, "marinate overnight or " * 170]
)  # fmt: skip
def test_a_long_step_costs_no_more_than_its_length(text: str) -> None:
    """Twice as long takes about twice the time; a search of each word from each word would take four times."""

    def cpu_s(step: str) -> float:
        began = time.process_time()
        made(*[step] * 8)
        return time.process_time() - began

    cpu_s(text[:200])
    assert min(cpu_s(text) for _ in range(2)) < 3 * min(cpu_s(text[: len(text) // 2]) for _ in range(2)) + 0.1
