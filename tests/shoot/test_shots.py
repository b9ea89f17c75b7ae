"""The shot list: one row a shot, and the usual coverage chosen from the step."""

from __future__ import annotations

import csv
import io
import itertools
import string

import pytest
from conftest import EXAMPLES, Table
from hypothesis import given, settings
from hypothesis import strategies as st
from seared_hake import SEAR

from scriptkit.papers.shoot_list import write_shots
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.shots.framing import LOOKS, doneness_shot
from scriptkit.shoot.shots.shots import SIZES, Shot, shots_of
from scriptkit.shoot.shots.slates import setup_letter

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))
GETTING_READY = "Before it goes in: the food is dry, the frying pan heats, a lid lies ready"


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
    assert [(s.slate, s.look.kind, s.look.size, s.what, s.sound, s.irreversible) for s in shots] == [
        ("1A", "beauty", "CU", "Hake, finished: the promise", "VO", False),
        ("2A", "hands", "CU", "Pat the hake dry.", "MOS", False),
        ("3A", "hands and pans", "MCU", GETTING_READY, "VO", False),
        ("3B", "hands and pans, pour", "CU", "Pour the olive oil into the frying pan", "VO", True),
        ("3C", "overhead", "OH", "Add the hake (fillets) to the frying pan", "VO", True),
        ("3D", "sizzle", "ECU", "Sear the hake.", "VO", True),
        ("4A", "hands and pans, pour", "CU", "Pour the stock", "SYNC", True),
        ("4B", "overhead", "OH", "Add the salt", "SYNC", True),
        ("4C", "piece to camera", "MS", "Pour in the stock and simmer.", "SYNC", False),
        ("5A", "hands and pans", "MCU", "Whisk.", "VO", True),
        ("6A", "beauty", "CU", "Hake on the plate, for the card with its figures", "VO", False),
        ("6B", "first bite", "MCU", "Hake: first bite", "VO", False),
    ]
    assert [f"{s.scene}{s.letter}" for s in shots] == [s.slate for s in shots]
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


def of_one_step(table: Table, step: str, film: str = "") -> list[Shot]:
    dish = table.dish(f"""
        dish: D
        servings: 1
        ingredients: {{hake: 200 g, olive oil: 2 tbsp, salt: to taste}}
        steps: [{{id: s, {step}}}]
        film: {{opening: 0 s, closing: 0 s{film}}}
    """)
    return list(shots_of(plan_of(dish)))


@pytest.mark.parametrize(
    ("step", "kinds"),
    [
        ("stage: cook, do: Add it., add: hake, vessel: pan, heat: low, screen: 4 s", ["overhead OH"]),
        ("stage: cook, do: Add it., add: olive oil, vessel: pan, screen: 4 s", ["hands and pans, pour CU"]),
        ("stage: cook, do: Stir it., vessel: pan, screen: 8 s", ["hands and pans MCU"]),
        ("stage: cook, do: Blend it., vessel: jug, screen: 8 s", ["blend CU"]),
        ("stage: cook, do: Sear it., vessel: pan, screen: 8 s", ["sizzle ECU"]),
        ("stage: cook, do: Sear it., vessel: pan, screen: 8 s, sound: sync", ["sizzle ECU"]),
        ("stage: cook, do: Stir it., screen: 8 s, sound: sync", ["piece to camera MS"]),
        ("stage: cook, do: Stir it until it is thick., screen: 8 s", ["hands and pans MCU", "texture test ECU"]),
        ("stage: cook, do: Stir it until golden., screen: 8 s", ["hands and pans MCU", "close-up CU"]),
        ("stage: cook, do: Fry it., core: 63 °C, screen: 8 s", ["sizzle ECU", "insert CU"]),
        ("stage: cook, do: Stir it until golden., screen: 3.9 s", ["close-up CU"]),
        ("stage: prep, do: Chop it., screen: 8 s", ["hands CU"]),
        ("stage: cook, do: Plate it., vessel: plates, screen: 8 s", ["plating MCU"]),
    ],
)
def test_the_coverage_is_chosen_from_the_step(table: Table, step: str, kinds: list[str]) -> None:
    assert [f"{s.look.kind} {s.look.size}" for s in of_one_step(table, step)] == kinds


@pytest.mark.parametrize(
    ("words", "cue"),
    [
        ("Simmer until a knife slides in.", "a knife slides in"),
        ("Simmer it until it is completely smooth, then season.", "completely smooth"),
        ("Rest it till cold, or it will not slice.", "cold"),
        ("Stir until thick and glossy; taste.", "thick and glossy"),
        ("Do not open the oven until it has set.", None),
        ("Don't stir. Cook until the edges set.", "the edges set"),
        ("Chill it until needed.", None),
        ("Keep it warm until serving.", None),
        ("Soak until the next day.", None),
        ("Simmer until 20 minutes have passed.", None),
        ("Stir it.", None),
    ],
)
def test_a_doneness_cue_is_an_until_that_is_seen(table: Table, words: str, cue: str | None) -> None:
    dish = table.dish(f'dish: D\nservings: 1\ningredients: {{salt: 1 g}}\nsteps: [{{stage: cook, do: "{words}"}}]')
    found = doneness_shot(dish.steps[0])
    assert (found.words if found else None) == cue


def test_a_comma_in_a_name_makes_no_two_foods_of_it(table: Table) -> None:
    dish = table.dish("""
        dish: D
        servings: 1
        ingredients: {"pears, firm": {amount: 200 g, food: pear}, salt: 3 g}
        steps: [{stage: cook, do: Add it., add: {"pears, firm": all, salt: all}, vessel: pan, screen: 4 s, shots: [{of: ["pears, firm", salt]}]}]
    """)
    assert [s.what for s in shots_of(plan_of(dish)) if s.additions] == ["Add the pears, firm and salt to the pan"]
    shots = of_one_step(table, "stage: cook, do: Add it., add: hake, vessel: pan, screen: 4 s")
    assert [s.what for s in shots if s.additions] == ["Add the hake to the pan"]


def test_a_temperature_inside_is_on_the_thermometer_in_both_scales(table: Table) -> None:
    shot = of_one_step(table, "stage: cook, do: Fry it until it flakes., core: 63 °C, screen: 9 s")[-1]
    assert (shot.what, shot.look) == ("Show that it is done: it flakes, 63 °C (145 °F) inside", LOOKS["probe"])


def test_under_a_hood_nothing_is_planned_from_above_on_the_hob(table: Table) -> None:
    step = "stage: cook, do: Add it., add: hake, vessel: pan, heat: low, screen: 4 s"
    assert [s.look.size for s in of_one_step(table, step, ", hood: true")] == ["MCU"]
    off = "stage: cook, do: Add it., add: hake, vessel: bowl, screen: 4 s"
    assert [s.look.size for s in of_one_step(table, off, ", hood: true")] == ["OH"]


def test_one_size_angle_and_vessel_of_a_dish_is_one_setup(table: Table) -> None:
    dish = table.dish("""
        dish: D
        servings: 1
        ingredients: {hake: 200 g, leek: 100 g, salt: 3 g}
        steps:
          - {id: a, stage: prep, do: Chop the leek., uses: leek, screen: 5 s}
          - {id: b, stage: cook, do: Stir., add: leek, vessel: Pan, hands: 1 min, screen: 9 s}
          - {id: c, stage: cook, do: Stir., add: hake, vessel: pan, hands: 1 min, screen: 9 s}
          - {id: d, stage: cook, do: Stir., add: salt, vessel: bowl, hands: 1 min, screen: 9 s}
        film: {opening: 4 s}
    """)
    setups = [(s.slate, s.camera_setup) for s in shots_of(plan_of(dish))]
    assert setups == [
        ("1A", 1), ("2A", 2), ("3A", 3), ("3B", 4), ("4A", 3), ("4B", 4), ("5A", 5), ("5B", 6), ("6A", 1), ("6B", 7),
    ]  # fmt: skip


def test_what_can_be_filmed_at_any_other_time(table: Table) -> None:
    dish = table.dish("""
        dish: D
        servings: 1
        ingredients: {hake: 200 g, leek: 100 g, salt: 6 g}
        steps:
          - {id: knife, stage: prep, do: Chop the leek., uses: leek, screen: 5 s}
          - {id: cure, stage: prep, do: Salt the hake., uses: hake, add: {salt: half}, screen: 9 s, hands: 1 min}
          - {id: slice, stage: prep, do: Slice the cured hake., uses: hake, screen: 5 s}
          - {id: talk, stage: cook, do: Why leeks., screen: 5 s, sound: sync}
          - {id: cook, stage: cook, do: Stir and talk., add: {leek: all, hake: all, salt: rest}, vessel: pan, screen: 15 s, sound: sync, hands: 1 min}
          - {id: stir, stage: cook, do: Stir it., vessel: pan, screen: 5 s}
    """)
    shots = shots_of(plan_of(dish))
    assert [s.slate for s in shots if s.repeatable] == ["2A", "5A"]
    assert [s.slate for s in shots if s.repeatable and s.irreversible] == []


def test_the_beauty_of_a_hero_can_be_filmed_at_any_time_and_a_twin_is_named(table: Table) -> None:
    text = """
        dish: D
        servings: 1
        ingredients: {hake: 200 g}
        steps: [{id: s, stage: cook, do: Simmer until it flakes., add: hake, vessel: pan, wait: %s, screen: 15 s}]
        film: {opening: 4 s, heroes: %s, swap_out_over: 15 min}
    """
    shots = shots_of(plan_of(table.dish(text % ("16 min", "1"))))
    assert [(s.slate, s.swap_out, s.repeatable) for s in shots if s.swap_out] == [
        ("1A", "hero", True), ("2C", "twin", False), ("3A", "hero", True),
    ]  # fmt: skip
    assert not [s for s in shots_of(plan_of(table.dish(text % ("15 min", "0")))) if s.swap_out or s.repeatable]


@pytest.mark.parametrize(
    ("listed", "step", "said"),
    [
        ('leek: {amount: 200 g, prep: "sliced, 5 mm"}', "vessel: wide pan", "Add the leek (sliced, 5 mm) to the wide pan"),
        ("leek: {amount: 200 g, prep: sliced}", "hands: 1 min", "Add the leek (sliced)"),
        ("leek: 200 g", "vessel: wide pan", "Add the leek to the wide pan"),
        ('olive oil: 2 tbsp', "vessel: wide pan", "Pour the olive oil into the wide pan"),
        ('leek: {amount: 200 g, prep: "washed in three changes of water, then sliced as thinly as you can"}', "vessel: pan", "Add the leek to the pan"),
    ],
)  # fmt: skip
def test_a_shot_says_what_is_done_and_how_the_food_was_made_ready(
    table: Table, listed: str, step: str, said: str
) -> None:
    name = listed.partition(":")[0]
    dish = table.dish(f"""
        dish: D
        servings: 1
        ingredients:
          {listed}
        steps: [{{stage: cook, do: Soften it., add: {{{name}: all}}, {step}, screen: 9 s}}]
    """)
    assert next(s.what for s in shots_of(plan_of(dish)) if s.additions) == said
