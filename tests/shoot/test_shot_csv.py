"""The shot list's CSV: its columns, read back the same, and nothing in it that a spreadsheet runs."""

from __future__ import annotations

import csv
import io

import pytest
from conftest import Table
from seared_hake import SEAR

from scriptkit.csv_text import harmless
from scriptkit.pack import make_pack
from scriptkit.papers import shoot_list
from scriptkit.papers.shoot_list import COLUMNS, ShotRow, shoot_list_of, write_shots
from scriptkit.papers.tables import Column
from scriptkit.production import Production
from scriptkit.shoot.day.shooting_order import order_of
from scriptkit.shoot.mise_en_place import grams_text
from scriptkit.shoot.plan import OPENING, plan_of
from scriptkit.shoot.shots.shots import shots_of


def test_csv_columns_and_cells(table: Table) -> None:
    text = write_shots(shots_of(plan_of(table.dish(SEAR))))
    assert text.splitlines()[0] == (
        "shot,slate,scene,setup,dish,stage,step,step_id,kind,size,angle,move,sound,picture,ingredient,grams,household,"
        "planned_s,irreversible,swap_out,camera_setup,cook_order,grouped_order,done"
    )
    assert text.count("\r\n") == text.count("\n")  # RFC 4180
    row = next(r for r in csv.DictReader(io.StringIO(text, newline="")) if r["slate"] == "3B")
    assert row == dict(
        zip(
            [c.name for c in COLUMNS if c.name],
            ["4", "3B", "3", "B", "Hake", "cook", "2", "sear", "hands and pans, pour", "CU", "three-quarter", "static", "VO",
             "Pour the olive oil into the frying pan", "olive oil", "27.0", "2 tbsp", "4.0", "irreversible", "", "4", "3", "3", ""],
            strict=True,
        )
    )  # fmt: skip


def test_the_household_measure_is_in_the_cooks_units(table: Table) -> None:
    """Grams have a column of their own, and nobody measures ten cups of kale."""
    dish = table.dish("""
        dish: Kale
        units: us
        servings: 4
        ingredients:
          kale: {amount: 8 oz, bought: whole}
          feta: 4 oz
          oil: {amount: 1 tbsp, food: canola oil}
          chicken: {amount: 2 lb, food: "bone-in chicken thigh", bought: whole}
          pepper: {amount: to taste, food: "pepper, black"}
        steps: [{id: bake, stage: cook, do: Bake it., add: [kale, feta, oil, chicken, pepper], vessel: tin, screen: 30 s}]
    """)
    rows = csv.DictReader(io.StringIO(write_shots(shots_of(plan_of(dish))), newline=""))
    assert {r["ingredient"]: r["household"] for r in rows if r["ingredient"]} == {
        "kale": "5 ¾ oz", "feta": "4 oz", "oil": "1 tbsp", "chicken": "2 lb with bones", "pepper": "",
    }  # fmt: skip


def test_csv_read_back_gives_the_shots(table: Table) -> None:
    dish = table.dish(SEAR.replace("do: Whisk.", 'do: "Whisk, \\"gently\\",\\nthen stop."'))
    shots = order_of(shots_of(plan_of(dish))).listed
    assert shots[-2].stage == OPENING  # it shows the finished dish, before it is bitten into
    rows = list(csv.DictReader(io.StringIO(write_shots(shots), newline="")))
    assert [r["slate"] for r in rows] == [s.slate for s in shots]
    assert sum(float(r["planned_s"]) for r in rows) == pytest.approx(sum(s.planned_ms for s in shots) / 1000)
    for row, shot in zip(rows, shots, strict=True):
        if shot.additions and row["grams"] != "to taste":
            grams = shot.additions[0].grams
            assert grams is not None
            assert float(row["grams"]) == pytest.approx(grams, abs=0.05)
            assert grams_text(shot.additions[0])


@pytest.mark.parametrize(
    ("cell", "written"),
    [
        ("=1+1", "'=1+1"),
        ("+39 butter", "'+39 butter"),
        ("-2 °C", "'-2 °C"),
        ("@SUM(A1)", "'@SUM(A1)"),
        ("  =1+1", "'  =1+1"),
        ("\t=1+1", "' =1+1"),
        ("\r\n=1+1", "'··=1+1"),
        ("\u202e=1+1", "'·=1+1"),
        ("＝1+1", "'＝1+1"),
        ("butter = fat", "butter = fat"),
        ("", ""),
        ("28.4", "28.4"),
        ("½ tsp", "½ tsp"),
    ],
)
def test_a_spreadsheet_runs_nothing_that_a_name_contains(cell: str, written: str) -> None:
    assert harmless(cell) == written


def test_names_that_look_like_formulas_are_neutral_in_the_file(table: Table) -> None:
    dish = table.dish("""
        dish: "=HYPERLINK(1)"
        servings: 1
        ingredients: {"@salt": {amount: 3 g, food: salt}}
        steps: [{id: s, stage: cook, do: "+stir", add: "@salt", vessel: "=pan", screen: 9 s}]
    """)
    rows = csv.DictReader(io.StringIO(write_shots(shots_of(plan_of(dish))), newline=""))
    assert not [cell for row in rows for cell in row.values() if cell[:1] in ("=", "+", "-", "@")]


@pytest.mark.parametrize(
    ("heat", "printed"),
    [
        ("medium", "step 1, medium heat"),
        ("oven 180 °C", "step 1, oven 180 °C"),
        ("off", "step 1, off the heat"),
        ("none", "step 1"),
    ],
)
def test_the_page_says_the_heat_as_a_cook_does(heat: str, printed: str, table: Table) -> None:
    dish = table.dish(f"""
        dish: Leeks
        servings: 1
        ingredients: {{leek: 100 g}}
        steps: [{{id: s, stage: cook, do: Warm them., add: leek, vessel: wide pan, heat: {heat}, screen: 20 s}}]
    """)
    plan = plan_of(dish)
    rows = [row for section in shoot_list_of(plan, shots_of(plan)).sections for row in section.rows]
    told = [span.text for row in rows if not row.ingredient for cell in row.cells for span in cell.spans]
    assert [text for text in told if text.startswith("step")] == [printed.replace(" ", "\N{NO-BREAK SPACE}", 1)]


def test_a_column_is_one_entry_of_page_and_file(table: Table, monkeypatch: pytest.MonkeyPatch) -> None:
    def of_scene(row: ShotRow) -> str:
        return f"scene {row.shot.scene}"

    one = Column(name="scene_name", heading="Scene", cls="scene", value=of_scene)
    monkeypatch.setattr(shoot_list, "COLUMNS", (*COLUMNS, one))
    files = make_pack(Production(table.read(SEAR))).files
    rows = list(csv.DictReader(io.StringIO(files["files/shoot-list.csv"], newline="")))
    assert {row["scene_name"] for row in rows} >= {"scene 1", "scene 2"}
    assert files["shoot-list.html"].count("<td class=scene>scene ") == len(rows)
    assert "<th>Scene</th>" in files["shoot-list.html"]
