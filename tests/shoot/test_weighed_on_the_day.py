"""What was weighed on the day counts in place of amounts and estimates, in every figure that is printed."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import Table

from scriptkit import read

Run = Callable[..., "CompletedProcess[str]"]

DISH = """\
dish: Buttered leeks
servings: 2
ingredients:
  leeks: 400 g
  butter: {food: "butter, unsalted", amount: 2 tbsp}
  salt: to taste
steps:
  - {id: sweat, stage: cook, do: Sweat the leeks in the butter., vessel: pan, heat: low, add: {butter: half, leeks: all}, wait: 10 min}
  - {id: finish, stage: cook, do: Stir in the rest of the butter and season., vessel: pan, heat: low, add: {butter: rest, salt: to taste}, hands: 1 min}
"""
HEAD = "title,dish,card,clip,scene,setup,take,step,additions,in,out,recorded,verdict,remark,weighed\n"


def log(table: Table, *rows: tuple[str, str, str]) -> str:
    """Step, addition and what the scale said, a row each."""
    lines = [f"Buttered leeks,,,,,,,{step},{name},,,,,,{grams}\n" for step, name, grams in rows]
    return table.write("log.csv", HEAD + "".join(lines))


def test_a_weight_as_it_went_in_takes_the_place_of_the_amount(table: Table) -> None:
    dish = table.write("dish.yaml", DISH)
    written = read(dish).macros.dishes[0]
    weighed = read(dish, log=log(table, ("sweat", "butter", "30 g"))).macros.dishes[0]
    butter = {i.key: i for i, _ in weighed.ingredients}["butter"]
    planned = {i.key: i for i, _ in written.ingredients}["butter"]
    assert planned.grams is not None
    assert butter.grams == pytest.approx(planned.grams / 2 + 30, abs=0.01)  # the other half is as the recipe has it
    assert weighed.serving.at_least("fat_g") > written.serving.at_least("fat_g")


def test_seasoning_that_was_weighed_is_counted(table: Table) -> None:
    dish = table.write("dish.yaml", DISH)
    assert "salt" in read(dish).macros.dishes[0].to_taste
    weighed = read(dish, log=log(table, ("finish", "salt", "3 g"))).macros.dishes[0]
    assert weighed.to_taste == ()
    assert weighed.batch.at_least("sodium_mg") > 1100  # 388 mg a gram of salt: 40 % of it is sodium


def test_the_weight_of_the_batch_ends_its_estimate(table: Table) -> None:
    dish = table.write("dish.yaml", DISH)
    assert read(dish).macros.dishes[0].dish.cooked_estimated
    weighed = read(dish, log=log(table, ("", "", "365 g"))).macros.dishes[0]
    assert (weighed.batch.weight_g, weighed.dish.cooked_estimated) == (365, False)
    assert not any("cooked weight" in words for words in weighed.estimated)
    assert weighed.serving.weight_g == pytest.approx(182.5)


def test_seasoning_weighed_in_part_is_told_and_not_counted(table: Table) -> None:
    dish = table.write("dish.yaml", DISH.replace("leeks: all}", "leeks: all, salt: to taste}"))
    production = read(dish, log=log(table, ("finish", "salt", "3 g")))
    assert "salt" in production.macros.dishes[0].to_taste
    told = [(p.place.file[-7:], p.place.line, p.code) for p in production.log_problems]
    assert told == [("log.csv", 2, "part-weighed")]


@pytest.mark.parametrize(
    ("step", "name", "grams", "code"), [("sweat", "butter", "4 kg", "weighed"), ("", "", "9 g", "cooked-weight")]
)
def test_a_weight_that_cannot_be_is_told_where_it_stands_and_counts_for_nothing(
    table: Table, step: str, name: str, grams: str, code: str
) -> None:
    dish = table.write("dish.yaml", DISH)
    production = read(dish, log=log(table, (step, name, grams)))
    assert production.macros.dishes[0].batch == read(dish).macros.dishes[0].batch
    [told] = [p for p in production.log_problems if p.severity == "error"]
    assert (told.place.line, told.place.file[-7:], told.code) == (2, "log.csv", code)


def test_every_command_that_takes_the_log_prints_the_same_figure(run: Run, table: Table, tmp_path: Path) -> None:
    dish, weighed = table.write("dish.yaml", DISH), log(table, ("sweat", "butter", "40 g"), ("", "", "365 g"))
    macros = run("macros", dish, "--log", weighed, "--json")
    kcal = round(json.loads(macros.stdout)["serving"]["energy_kcal"])
    assert kcal != round(json.loads(run("macros", dish, "--json").stdout)["serving"]["energy_kcal"])
    run("publish", dish, "--log", weighed, "-o", "out")
    run("captions", dish, "--log", weighed, "-o", "over.srt")
    run("pack", dish, "--log", weighed, "-o", "pack")
    for paper in ("out/description.txt", "over.srt", "pack/recipe-card.html"):
        assert f"{kcal} kcal" in (tmp_path / paper).read_text(encoding="utf-8"), paper
    assert "(weighed)" in run("macros", dish, "--log", weighed).stdout


def test_a_row_that_names_nothing_is_told_by_macros_too(run: Run, table: Table) -> None:
    dish = table.write("dish.yaml", DISH)
    done = run("macros", dish, "--log", log(table, ("sweat", "butter", "30 g"), ("finish", "buttr", "9 g")))
    assert done.returncode == 1 and "buttr" in done.stderr


def test_what_was_weighed_need_not_be_weighed_again(run: Run, table: Table) -> None:
    dish = table.write(
        "dish.yaml",
        DISH.replace("salt: to taste\nsteps", "salt: to taste\n  basil: 1 handful\nsteps").replace(
            "butter: rest,", "butter: rest, basil: all,"
        ),
    )
    assert "[estimated-weight]" in run("macros", dish).stderr
    assert "[estimated-weight]" not in run("macros", dish, "--log", log(table, ("finish", "basil", "12 g"))).stderr
