"""What was published and no longer holds: a changed recipe, other servings, another table, and what only looks like a change."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess
from typing import Any

import pytest
from conftest import Table

from scriptkit.publish.published_record import StaleFigure, record_in, stale_figures

Run = Callable[..., CompletedProcess[str]]

DISH = """\
dish: Quay greens
servings: 2
cooked_weight: 380 g
ingredients:
  greens: {amount: 300 g, food: spring greens}
  leek: 100 g
  butter: {amount: 30 g, food: "butter, unsalted"}
  salt: 4 g
steps:
  - {id: wilt, stage: cook, do: Wilt the greens in the butter., add: {butter: all, greens: all, leek: all}, vessel: pan, heat: medium, screen: 12 s, wait: 5 min}
  - {id: finish, stage: cook, do: Stir in the salt., add: {salt: all}, screen: 12 s}
"""


@pytest.fixture
def published(run: Run, table: Table) -> Path:
    """The folder with the dish, as it was when it was published."""
    table.write("greens.yaml", DISH)
    assert run("publish", "greens.yaml", "-o", "out").returncode == 0
    return table.folder


def now(run: Run, folder: Path, text: str) -> dict[str, Any]:
    (folder / "greens.yaml").write_text(text, encoding="utf-8")
    done = run("check", ".", "--json")
    (recipe,) = json.loads(done.stdout)["recipes"]
    assert done.returncode == int(bool(recipe["stale"] or recipe["replace"] or recipe["stale_allergens"]))
    return dict(recipe)


def replaced(recipe: dict[str, Any], where: str) -> dict[str, str]:
    return {line["line"]: line["with"] for line in recipe["replace"] if line["where"] == where}


def test_a_recipe_written_for_more_servings_still_holds(run: Run, published: Path) -> None:
    assert run("macros", "greens.yaml", "--servings", "6", "--write").returncode in (0, 1)
    text = (published / "greens.yaml").read_text(encoding="utf-8")
    found = now(run, published, text)
    assert "servings: 6" in text and (found["stale"], found["replace"]) == ([], [])
    corrected = now(run, published, text.replace("90 g", "120 g"))  # the butter, as a third of it is now
    description = replaced(corrected, "description")
    assert description["30 g (about 2 tbsp) unsalted butter"] == "40 g (about 3 tbsp) unsalted butter"
    assert not any("greens" in line for line in description), description
    assert replaced(corrected, "captions")["Butter 30 g, greens 300 g, leek 100 g"] == "Butter 40 g, greens 300 g, leek 100 g"  # fmt: skip


def test_a_yield_that_was_wrong_is_told_with_the_amounts_left_alone(run: Run, published: Path) -> None:
    found = now(run, published, DISH.replace("servings: 2", "servings: 4").replace("30 g", "45 g"))
    description = replaced(found, "description")
    assert description["INGREDIENTS for 2 servings"] == "INGREDIENTS for 4 servings"
    assert description["Makes 2 servings, 190 g a serving."] == "Makes 4 servings, 95 g a serving."
    assert description["30 g (about 2 tbsp) unsalted butter"] == "45 g (about 3 tbsp) unsalted butter"
    assert not any("greens" in line for line in description)
    assert {"of": "serving of Quay greens", "nutrient": "weight_g", "was": 190, "now": 95} in found["stale"]
    assert "weighs 95 g, not 190 g; has " in found["correction"]


def test_an_amount_without_calories_is_a_published_figure_too(run: Run, published: Path) -> None:
    found = now(run, published, DISH.replace("salt: 4 g", "salt: 9 g"))
    assert not [s for s in found["stale"] if s["nutrient"] == "energy_kcal"]
    assert any(line.startswith("4 g") and becomes.startswith("9 g") for line, becomes in replaced(found, "description").items())  # fmt: skip
    assert "published lines no longer hold: the recipe was changed" in run("check", ".").stdout


def test_a_comment_or_a_published_count_of_servings_changes_nothing(run: Run, published: Path) -> None:
    found = now(run, published, f"# from the barrow\n{DISH}")
    assert (found["stale"], found["replace"]) == ([], [])
    assert run("publish", "greens.yaml", "-o", "out", "--servings", "6").returncode == 0
    assert now(run, published, DISH)["replace"] == []


def test_another_version_of_the_tables(run: Run, published: Path) -> None:
    record = published / "greens.published.json"
    fields = json.loads(record.read_text(encoding="utf-8"))
    energy = fields["figures"]["serving of Quay greens"]["energy_kcal"]
    older = record.read_text(encoding="utf-8").replace(f"{energy:.0f} kcal", f"{energy + 30:.0f} kcal")
    fields = json.loads(older)
    fields["figures"]["serving of Quay greens"]["energy_kcal"] = energy + 30
    record.write_text(json.dumps({**fields, "tables": "0" * 16, "scriptkit": "0.0.1"}), encoding="utf-8")
    found = now(run, published, DISH)
    assert [s["nutrient"] for s in found["stale"]] == ["energy_kcal"]
    assert found["why"].startswith("the food tables were changed; published with scriptkit 0.0.1")
    lines = [line for where in ("description", "pinned comment", "captions") for line in replaced(found, where).items()]
    assert lines and all(f"{energy + 30:.0f} kcal" in was and f"{energy:.0f} kcal" in is_ for was, is_ in lines)


def test_allergens_are_held_against_what_was_said(run: Run, published: Path) -> None:
    label = "\nfoods:\n  quay butter: {per: 100 g, energy_kcal: 717, fat_g: 81.11, protein_g: 0.85, carbohydrate_g: 0.06, fibre_g: 0, basis: us, allergens: [milk, soya]}\n"
    found = now(run, published, DISH.replace("butter, unsalted", "quay butter") + label)
    assert found["stale_allergens"][0].startswith("allergens, US list: was milk, is milk, soy")
    assert any(line.startswith("Allergens, US list:") for line in replaced(found, "description"))


def test_an_older_record_says_nothing_of_allergens(run: Run, published: Path) -> None:
    record = published / "greens.published.json"
    fields = json.loads(record.read_text(encoding="utf-8"))
    del fields["allergens"], fields["own_templates"]
    record.write_text(json.dumps(fields), encoding="utf-8")
    assert now(run, published, DISH)["stale_allergens"] == []


def test_a_dish_that_is_called_otherwise_is_still_the_dish(run: Run, published: Path) -> None:
    found = now(run, published, DISH.replace("Quay greens", "Barrow greens").replace("30 g", "45 g"))
    assert {s["nutrient"] for s in found["stale"]} >= {"energy_kcal", "fat_g"}


@pytest.mark.parametrize(
    ("was", "is_", "told"),
    [(1003, 1004, False), (1000, 1010, True), (0.4, 0.5, True), (0, 0.1, True), (None, 3, True), (3, None, True), (None, None, False)],
)  # fmt: skip
def test_what_differs_by_nothing_that_is_printed_holds(
    was: float | None, is_: float | None, told: bool, monkeypatch: pytest.MonkeyPatch
) -> None:
    def figures_of(_: object) -> dict[str, dict[str, float | None]]:
        return {"plate": {"fat_g": is_}}

    monkeypatch.setattr("scriptkit.publish.published_record.figures_of", figures_of)
    text = {"title": "T", "servings": 2, "figures": {"plate": {"fat_g": was}}, "portions_g": {}, "description": "", "pinned_comment": "",
            "captions": [], "recipe": "", "tables": "", "scriptkit": ""}  # fmt: skip
    record = record_in(json.dumps(text))
    assert record is not None
    found = list(stale_figures(record, object(), {}))  # type: ignore[arg-type]
    assert found == ([StaleFigure(of="plate", nutrient="fat_g", was=was, now=is_)] if told else [])


def test_texts_of_own_templates_name_only_lines_that_are_known_again(run: Run, published: Path) -> None:
    own = published / "own"
    own.mkdir()
    (own / "description.txt").write_text("Mine: {{ description.title }}\nSalt 4 g, says the cook.\n", encoding="utf-8")
    done = run("publish", "greens.yaml", "-o", "out", "--templates", "own")
    assert done.returncode == 0, done.stderr
    found = now(run, published, DISH.replace("30 g", "45 g"))
    assert replaced(found, "description") == {}
    assert "published with your own templates" in run("check", ".").stdout


TALK = """1
00:00:01,000 --> 00:00:09,000
In with the butter, thirty grams, the greens and the leek. Wilt them for five minutes.

2
00:00:14,000 --> 00:00:22,000
Stir in the salt, four grams of it.
"""


def test_what_was_made_of_a_cut_is_held_against_the_cut(run: Run, table: Table) -> None:
    folder = table.folder
    table.write("greens.yaml", DISH)
    table.write("talk.srt", TALK)
    assert run("publish", "greens.yaml", "--cut", "talk.srt", "-o", "out").returncode in (0, 1)
    assert now(run, folder, DISH)["replace"] == []
    found = now(run, folder, DISH.replace("butter: {amount: 30 g", "butter: {amount: 40 g"))
    assert any("Butter 40 g" in line for line in replaced(found, "captions").values())
    (folder / "talk.srt").unlink()  # nothing is left to hold it against but the plan
    assert now(run, folder, DISH)["replace"] == []
