"""The shot list, and its CSV."""

from __future__ import annotations

import csv
import io
import itertools
import string

import pytest
from conftest import EXAMPLES, Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.recipe.reader import read_source
from scriptkit.shoot.mise import grams_text
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.shot_csv import COLUMNS, harmless, write_shots
from scriptkit.shoot.shots import SIZES, setup_letter, shots_of

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))

SEAR = """
    dish: Hake
    servings: 2
    ingredients:
      hake: {amount: 300 g, prep: fillets}
      olive oil: 2 tbsp
      stock: {amount: 200 ml, food: "fish stock, homemade"}
      salt: to taste
    steps:
      - {id: dry, stage: prep, do: Pat the hake dry., uses: hake, screen: 5 s, sound: mos}
      - {id: sear, stage: cook, do: Sear the hake., add: [olive oil, hake], vessel: frying pan, hands: 4 min, screen: 30 s}
      - {id: pour, stage: cook, do: Pour in the stock and simmer., add: [stock, salt], wait: 5 min, screen: 20 s, sound: sync}
      - {id: whisk, stage: cook, do: Whisk., hands: 1 min, screen: 5 s, irreversible: true}
"""


def test_letters_of_setups_skip_i_and_o() -> None:
    # US practice: on a slate I and O read as 1 and 0. 24 letters are left, then AA.
    single = [setup_letter(n) for n in range(1, 25)]
    assert single == [c for c in string.ascii_uppercase if c not in "IO"]
    assert [setup_letter(n) for n in (25, 26, 33, 48, 49, 600, 601)] == ["AA", "AB", "AJ", "AZ", "BA", "ZZ", "AAA"]


def test_letters_are_never_the_same_twice() -> None:
    letters = [setup_letter(n) for n in range(1, 3000)]
    assert len(set(letters)) == len(letters)
    assert not any(set("IO") & set(word) for word in letters)


def test_one_row_a_shot_in_shoot_order(table: Table) -> None:
    shots = shots_of(plan_of(table.dish(SEAR)))
    assert [(s.slate, s.look.kind, s.what, s.sound, s.irreversible) for s in shots] == [
        ("1A", "beauty", "Hake, finished: the promise", "VO", False),
        ("2A", "hands", "Pat the hake dry.", "MOS", False),
        (
            "3A",
            "hands and pans",
            "Before it goes in: the food is dry, the frying pan heats, a lid lies ready",
            "VO",
            False,
        ),
        ("3B", "pour", "Olive oil into the frying pan", "VO", True),
        ("3C", "insert", "Hake into the frying pan", "VO", True),
        ("3D", "sizzle", "Sear the hake.", "VO", True),
        ("4A", "pour", "Stock", "SYNC", True),
        ("4B", "insert", "Salt", "SYNC", True),
        ("4C", "steam", "Pour in the stock and simmer.", "SYNC", False),
        ("5A", "hands and pans", "Whisk.", "VO", True),
        ("6A", "beauty", "Hake, plated: beauty, macro card over it", "VO", False),
        ("6B", "first bite", "Hake: first bite", "VO", False),
    ]
    assert [s.number for s in shots] == list(range(1, len(shots) + 1))


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_shots_fill_the_plan_and_use_standard_sizes(path: object) -> None:
    plan = plan_of(read_source(str(path)).usable())
    shots = shots_of(plan)
    assert all(a.end_ms == b.start_ms for a, b in itertools.pairwise(shots))
    assert (shots[0].start_ms, shots[-1].end_ms) == (0, plan.length_ms)
    assert all(s.look.size in SIZES and s.planned_ms > 0 for s in shots)
    assert len({s.slate for s in shots}) == len(shots)


NAMES = ["salt", "olive oil", "capers", "hake", "ghee", "thyme, fresh"]


@st.composite
def dishes(draw: st.DrawFn) -> str:
    """A dish of random steps that add random parts of random ingredients."""
    names = draw(st.lists(st.sampled_from(NAMES), min_size=1, max_size=6, unique=True))
    out = ["dish: Random", "servings: 2", "ingredients:"]
    out += [f"  {json_name(n)}: {draw(st.sampled_from(['30 g', '5 g', 'to taste']))}" for n in names]
    out.append("steps:")
    for n in range(draw(st.integers(1, 6))):
        adds = draw(st.lists(st.sampled_from(names), max_size=6, unique=True))
        does = draw(st.sampled_from(["Sear it.", "Stir it.", "Simmer it.", "Blend it.", "Chop it.", "Deep-fry it."]))
        stage = draw(st.sampled_from(["prep", "cook"]))
        screen = draw(st.sampled_from(["", ", screen: 1 s", ", screen: 9 s", ", screen: 90 s"]))
        add = ", ".join(f"{json_name(a)}: {draw(st.sampled_from(['all', 'half', 'rest']))}" for a in adds)
        out.append(f"  - {{id: s{n}, stage: {stage}, do: {does}, add: {{{add}}}{screen}}}")
    return "\n".join(out)


def json_name(name: str) -> str:
    return f'"{name}"'


@settings(max_examples=60, deadline=None)
@given(dishes())
def test_every_addition_has_a_shot_of_its_own_and_a_row_of_the_csv(
    tmp_path_factory: pytest.TempPathFactory, text: str
) -> None:
    reading = Table(tmp_path_factory.mktemp("random")).read(text)
    assert reading.source is not None
    dish = reading.usable()
    plan = plan_of(dish)
    shots = shots_of(plan)
    of_dish = [a.number for step in plan.dishes[0].in_shoot_order for a in step.additions]
    filmed = [a.number for s in shots for a in s.additions]
    assert filmed == of_dish
    assert all(len(s.additions) <= 1 for s in shots)
    assert all(s.irreversible and s.planned_ms > 0 for s in shots if s.additions)
    rows = list(csv.DictReader(io.StringIO(write_shots(shots), newline="")))
    assert [r["ingredient"] for r in rows if r["ingredient"]] == [
        a.ingredient.name for step in plan.dishes[0].in_shoot_order for a in step.additions
    ]


def test_csv_columns_and_cells(table: Table) -> None:
    text = write_shots(shots_of(plan_of(table.dish(SEAR))))
    assert text.splitlines()[0] == (
        "shot,slate,dish,stage,step,step_id,kind,size,angle,move,sound,picture,ingredient,grams,household,planned_s,"
        "irreversible,done"
    )
    assert text.count("\r\n") == text.count("\n")  # RFC 4180
    row = next(r for r in csv.DictReader(io.StringIO(text, newline="")) if r["slate"] == "3B")
    assert row == dict(
        zip(
            COLUMNS,
            ["4", "3B", "Hake", "cook", "2", "sear", "pour", "CU", "three-quarter", "static", "VO",
             "Olive oil into the frying pan", "olive oil", "27.0", "2 tbsp", "4.0", "irreversible", ""],
            strict=True,
        )
    )  # fmt: skip


def test_csv_read_back_gives_the_shots(table: Table) -> None:
    dish = table.dish(SEAR.replace("do: Whisk.", 'do: "Whisk, \\"gently\\",\\nthen stop."'))
    shots = shots_of(plan_of(dish))
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
