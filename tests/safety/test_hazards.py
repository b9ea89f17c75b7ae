"""Hazards by facts: the table of dangerous steps and their harmless twins, doses, eaters, and the deadly few that stop `publish`."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES, Table
from hazard_table import HELD, TUNED, dish_of, false_ones, fitting, rows, score, told

from scriptkit.english.eaters import eaters_in, is_for_children
from scriptkit.english.kitchen_facts import kitchen_facts
from scriptkit.english.temperatures_said import degrees_in
from scriptkit.papers.cautions import caution_text, printed_cautions
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source, read_source_text
from scriptkit.safety.rule_matching import cautions_in, cautions_of, deadly_of
from scriptkit.safety.rules import rule_ids, rules
from scriptkit.safety.state_conditions import MINIMUM_C
from scriptkit.safety.step_facts import DishFacts

SAFETY = Path(__file__).resolve().parents[2] / "scriptkit" / "safety"


@pytest.mark.parametrize(
    ("columns", "least", "most_false"), [(TUNED, 0.98, 0), (HELD, 0.95, 1)], ids=["tuned", "held back"]
)
def test_dangerous_steps_get_a_caution_that_fits_and_harmless_twins_none(
    columns: tuple[str, ...], least: float, most_false: int
) -> None:
    table = list(score(columns))
    danger, caught, false = (sum(line[n] for line in table) for n in (1, 2, 4))
    assert caught >= least * danger
    assert false <= most_false


def test_the_table_has_a_twin_for_every_class_and_a_class_for_every_row() -> None:
    assert len([r for r in rows() if r.danger]) >= 120
    assert len([r for r in rows() if not r.danger]) >= 120
    for hazard, rules_of_it in fitting().items():
        here = [r for r in rows() if r.hazard == hazard]
        assert {r.danger for r in here} == {True, False}, hazard
        assert rules_of_it <= set(rule_ids()), hazard
    assert {r.hazard for r in rows()} == set(fitting())


ALCOHOL = """dish: Rum cream
servings: 4
ingredients: {cream: {amount: 400 g, food: "cream, double"}, rum: {amount: RUM, food: rum}}
steps: [{id: it, stage: cook, DO, add: [cream, rum]}]
"""


@pytest.mark.parametrize(
    ("rum", "do", "told"),
    [("100 g", 'do: "Whip it."', "about 8.4 g a serving stays"), ("100 g", 'do: "Simmer it.", heat: low, wait: 15 min', "about 3.3 g a serving stays")],
)  # fmt: skip
def test_the_alcohol_that_stays_is_told_in_grams_of_this_recipe(rum: str, do: str, told: str) -> None:
    dish = read_source_text(ALCOHOL.replace("RUM", rum).replace("DO", do), "dish.yaml").source
    assert isinstance(dish, Dish)
    texts = [c.printed for c in cautions_of(dish) if c.rule.id == "alcohol"]
    assert len(texts) == 1 and told in texts[0], texts


@pytest.mark.parametrize(("grams", "is_told"), [(800, True), (400, False)])
def test_liver_is_told_by_the_serving(grams: int, is_told: bool) -> None:
    text = f"""dish: Liver
servings: 4
ingredients: {{liver: {{amount: {grams} g, food: "lamb's liver"}}}}
steps: [{{id: it, stage: cook, do: "Fry it through.", add: [liver]}}]
"""
    dish = read_source_text(text, "dish.yaml").source
    assert isinstance(dish, Dish)
    found = [c.printed for c in cautions_of(dish) if c.rule.id == "liver-dose"]
    assert [("200 g a serving" in one) for one in found] == ([True] if is_told else [])


def test_every_fact_is_asked_by_a_rule_or_by_the_state() -> None:
    asking = [
        *(p for p in SAFETY.glob("*.*") if p.suffix in (".py", ".yaml")),
        SAFETY.parent / "english" / "step_reading.py",
    ]
    text = "".join(path.read_text(encoding="utf-8") for path in asking)
    assert [name for name in kitchen_facts() if name not in text] == []


@pytest.mark.parametrize(
    ("text", "eaters"),
    [
        ("Purée for weaning.", {"infant"}), ("Baby spinach with cream.", set()), ("Not for toddlers.", set()),
        ("A lunch for a three-year-old.", {"toddler"}), ("Safe when you are pregnant.", {"pregnant"}), ("We are expecting guests.", set()),
        ("Baby bok choy kimchi.", set()), ("Picnic for when there is a bump on board.", {"pregnant"}), ("Purées from six months up.", {"infant"}),
        ("For Sam who does not touch a drop.", {"no alcohol"}), ("My little lad of three takes it to playgroup.", {"toddler"}),
        ("For guests who do not drink.", {"no alcohol"}), ("A pudding for grandparents.", {"older"}), ("Starting on solids.", {"infant"}), ("Finger food for hikers.", set()), ("For guests who are driving.", {"no alcohol"}), ("For eighteen-month-olds.", {"toddler"}),
    ],
)  # fmt: skip
def test_for_whom_a_text_says_that_it_is(text: str, eaters: set[str]) -> None:
    assert eaters_in(text) == eaters


def test_children_are_not_only_small_ones() -> None:
    assert is_for_children("A stew for the whole family.")
    assert is_for_children("A cake for a seven-year-old.")
    assert not is_for_children("A bottle seven years old.")
    assert not is_for_children("Not for children.")


# --- doses and eaters -------------------------------------------------------------------------------------------------


def told_of(table: Table, foods: str, words: str = "Stir it.", more: str = "") -> set[str]:
    dish = table.dish(
        f"dish: D\nservings: 4\n{more}\nfoods:\n  cure: {{basis: us, allergens: none}}\n  liquorice root: {{basis: us, allergens: none}}\n"
        f"ingredients: {{{foods}}}\nsteps: [{{stage: cook, do: {words}, add: [a, b]}}]\n"
    )
    return {c.rule.id for c in cautions_of(dish)}


@pytest.mark.parametrize(
    ("food", "grams_quiet", "grams_told", "rule"),
    [
        ("nutmeg", 4, 9, "nutmeg"),
        ("liquorice root", 8, 24, "liquorice"),
        ("glucomannan", 3, 5, "konjac"),
        ("erythritol", 30, 48, "polyols"),
    ],
)
def test_a_rule_about_a_dose_is_quiet_below_it(
    table: Table, food: str, grams_quiet: int, grams_told: int, rule: str
) -> None:
    quiet = told_of(table, f'a: {{amount: {grams_quiet} g, food: "{food}"}}, b: {{amount: 500 g, food: water}}')
    loud = told_of(table, f'a: {{amount: {grams_told} g, food: "{food}"}}, b: {{amount: 500 g, food: water}}')
    assert rule not in quiet
    assert rule in loud


@pytest.mark.parametrize(("salt_g", "is_told"), [(5, True), (14, True), (20, False)])
def test_a_ferment_is_asked_for_its_salt(table: Table, salt_g: int, is_told: bool) -> None:
    found = told_of(
        table,
        f"a: {{amount: 1 kg, food: cabbage}}, b: {{amount: {salt_g} g, food: salt}}",
        "Ferment it in the crock for two weeks.",
    )
    assert ("ferment-salt" in found) is is_told


@pytest.mark.parametrize(
    ("written", "rule", "not_told"),
    [
        ("for: [infant]", "honey-under-one", "honey-infants"),
        ("for: toddler", "honey-infants", "honey-under-one"),
        ("promise: A first breakfast for your eight-month-old.", "honey-under-one", "honey-infants"),
        ("promise: Breakfast for two.", "honey-infants", "honey-under-one"),
    ],
)
def test_who_eats_it_is_a_key_or_said(table: Table, written: str, rule: str, not_told: str) -> None:
    found = told_of(table, "a: {amount: 20 g, food: honey}, b: {amount: 100 g, food: oats}", more=written)
    assert rule in found
    assert not_told not in found


def test_a_meals_eaters_are_those_of_its_dishes(tmp_path: Path) -> None:
    (tmp_path / "d.yaml").write_text(
        "dish: D\nservings: 1\ningredients: {honey: 20 g, oats: 50 g}\nsteps: [{stage: cook, do: Stir it., add: [honey, oats]}]\n",
        encoding="utf-8",
    )
    (tmp_path / "m.yaml").write_text("meal: M\nfor: [infant]\ndishes: [{dish: d.yaml}]\n", encoding="utf-8")
    source = read_source(str(tmp_path / "m.yaml")).usable()
    assert "honey-under-one" in {c.rule.id for c in cautions_in(source)}


# --- state ------------------------------------------------------------------------------------------------------------


def test_hours_out_of_the_cold_add_up_over_the_steps_and_end_with_the_heat(table: Table) -> None:
    dish = table.dish("""
        dish: D
        servings: 4
        ingredients: {chicken: {amount: 800 g, food: "chicken, whole"}}
        steps:
          - {id: out, stage: cook, do: Take it out and let it stand on the worktop., add: chicken, wait: 1 h}
          - {id: more, stage: cook, do: Leave it on the side., wait: 90 min}
          - {id: roast, stage: cook, do: Roast it at 200 °C., wait: 1 h}
          - {id: rest, stage: cook, do: Rest it., wait: 15 min}
    """)
    states = DishFacts(dish=dish, kitchen=dish.kitchen, film=dish.film).states
    assert [round(states[n].out_h, 2) for n in (1, 2, 3, 4)] == [1.0, 2.5, 0.0, 0.25]
    assert [states[n].hot_before for n in (1, 2, 3, 4)] == [False, False, False, True]


def test_what_arrives_is_only_what_the_step_goes_on_with(table: Table) -> None:
    dish = table.dish("""
        dish: D
        servings: 4
        ingredients: {oil: {amount: 900 g, food: rapeseed oil}, water: 500 g, potato: 800 g}
        steps:
          - {id: chips, stage: cook, do: Fry the potatoes in the oil., add: [oil, potato], vessel: pot}
          - {id: broth, stage: cook, do: Boil the water., add: water, vessel: saucepan, after: []}
          - {id: serve, stage: cook, do: Drain the chips., from: chips}
    """)
    states = DishFacts(dish=dish, kitchen=dish.kitchen, film=dish.film).states
    assert set(states[3].grams) == {"oil", "potato"}
    assert states[3].oil_g == 900


def told_at(table: Table, foods: str, *steps: str) -> set[str]:
    """The rules told of a dish in which everything goes in at the first step."""
    names = ", ".join(part.partition(":")[0].strip() for part in foods.split(";"))
    first, *later = [f'{{stage: cook, do: "{words}"' for words in steps]
    lines = [f"{first}, add: [{names}]}}", *(f"{one}}}" for one in later)]
    listed = "\n".join(f"  {part.strip()}" for part in foods.split(";"))
    told = "\n".join(f"  - {line}" for line in lines)
    dish = table.dish(f"dish: D\nservings: 4\ningredients:\n{listed}\nsteps:\n{told}\n")
    return {c.rule.id for c in cautions_of(dish)}


@pytest.mark.parametrize(
    ("rule", "foods", "danger", "harmless"),
    [
        ("oil-too-full", "oil: {amount: 1500 g, food: rapeseed oil}", ("Heat the oil in a 2 litre pan.",), ("Heat the oil in a 6 litre pan.",)),
        ("wet-into-hot-fat", "oil: {amount: 900 g, food: rapeseed oil}; potato: 500 g", ("Oil to 180.", "Soak the chips.", "Chips in."), ("Oil to 180.", "Soak the chips, then dry them in a cloth.", "Chips in.")),
        ("egg-in-microwave", "egg: 120 g", ("Boil them 9 minutes.", "Half a minute in the microwave."), ("Beat them.", "Half a minute in the microwave.")),
        ("raw-on-ready", "chicken: {amount: 500 g, food: chicken breast}; cucumber: 200 g", ("Cut the chicken on the board.", "Cut the cucumber on the board."), ("Cut the chicken on the board.", "Wash the board.", "Cut the cucumber on the board.")),
        ("undercooked-poultry", "chicken: {amount: 500 g, food: chicken breast}", ("Poach the chicken at 60 for twenty minutes.",), ("Poach the chicken at 80 for twenty minutes.",)),
        ("undercooked-poultry", "chicken: {amount: 500 g, food: chicken breast}", ("Roast it. Out at 62, rest 5.",), ("Roast it. Out at 76, rest 5.",)),
        ("glass-shock", "leek: 500 g", ("Into the glass dish, overnight in the fridge.", "Oven 200, dish in."), ("Into the steel tin, overnight in the fridge.", "Oven 200, tin in.")),
        ("raw-egg", "egg: 120 g", ("Boil them 6 minutes, peel.",), ("Boil them 11 minutes, peel.",)),
        ("raw-on-ready", "chicken: {amount: 500 g, food: chicken breast}; leek: 90 g", ("Pat out the chicken on a plate.", "Grill it 12 minutes, 76 inside.", "Slide it back on to that plate."), ("Pat out the chicken on a plate.", "Grill it 12 minutes, 76 inside.", "Slide it on to a clean plate.")),
        ("ferment-salt", "cabbage: 1 kg; salt: 8 g", ("Press it down, nine days on the shelf.",), ("Press it down, nine days in the fridge.",)),
        ("oil-infusion-out", "garlic: 50 g; oil: {amount: 300 g, food: olive oil}", ("All together in a cupboard for three weeks.",), ("All together in the freezer for three weeks.",)),
        ("raw-marinade-served", "chicken: {amount: 500 g, food: chicken breast}; soy: {amount: 90 g, food: soy sauce}", ("Turn the chicken in the soy sauce, an hour in the fridge.", "Grill to 76 inside.", "Dress the rice with the soy sauce from the bowl."), ("Turn the chicken in the soy sauce, an hour in the fridge.", "Grill to 76 inside, throw away the soy sauce.", "Dress the rice with new soy sauce from the bottle.")),
        ("undercooked-pork-and-game", "pork: {amount: 800 g, food: pork loin}", ("Into a 160°C oven until the middle reads 55°C.",), ("Into a 160°C oven until the middle reads 68°C.",)),
        ("deep-frying", "oil: {amount: 900 g, food: rapeseed oil}; potato: 500 g", ("Chips into the oil, out when they rustle.",), ("Potatoes and oil into a bowl, in the fridge.",)),
        ("caramel", "sugar: 300 g", ("Cook the sugar in a pan.",), ("Sift the sugar in a bowl.",)),
        ("standing-out", 'rice: {amount: 400 g, food: "rice, long-grain white"}', ("Boil it 12 minutes.", "It sits on the table from lunch till supper."), ("Boil it 12 minutes.", "It sits in the fridge from lunch till supper.")),
    ],
)  # fmt: skip
def test_a_hazard_follows_from_facts_and_not_from_its_words(
    table: Table, rule: str, foods: str, danger: tuple[str, ...], harmless: tuple[str, ...]
) -> None:
    assert rule in told_at(table, foods, *danger)
    assert rule not in told_at(table, foods, *harmless)


def test_degrees_are_read_in_a_sentence_of_any_length() -> None:
    assert set(degrees_in("Hold it at 60 in the bath, " * 3_000)) == {60.0}


def test_a_minimum_is_one_figure() -> None:
    ruled = {
        value: rule.minimum_c
        for rule in rules()
        if rule.id.startswith("cook-") and rule.minimum_c
        for one in rule.when
        for name, value in one
        if name == "class" and isinstance(value, str)
    }
    assert {name: ruled[name] for name in MINIMUM_C} == MINIMUM_C


# --- texts and stops --------------------------------------------------------------------------------------------------


def one(row_id: str, rule: str) -> str:
    row = next(r for r in rows() if r.id == row_id)
    return next(c.printed for c in told(row, "a") if c.rule.id == rule)


def test_the_papers_say_what_this_recipe_does() -> None:
    assert "takes it off at 62 °C; at least 74 °C (165 °F) in the thickest part is published" in one(
        "d038", "undercooked-poultry"
    )
    assert "takes it to 60 °C (140 °F), the cook's choice; 74 °C (165 °F) is published" in one(
        "d036", "undercooked-poultry"
    )
    assert "leaves it pink" in one("d037", "undercooked-poultry")
    assert "leaves it out for about 10 hours" in one("d071", "standing-out")
    assert "3.26 l of oil" in one("d001", "oil-too-full")
    assert "Nutmeg: 7.5 g a serving" in one("d061", "nutmeg")
    assert "the salt is 0.5 %" in one("d069", "ferment-salt")


def test_papers_print_no_source_that_nobody_read() -> None:
    for rule in rules():
        assert "memory" not in rule.published_source
        assert "practice" not in rule.published_source
    row = next(r for r in rows() if r.id == "d025")
    lines = "\n".join(caution_text(told(row, "a")))
    assert "from memory" not in lines
    assert "source: FoodSafety.gov" in lines


def test_a_marinade_that_is_thrown_away_is_not_boiled_and_nothing_keeps_beside_a_raw_twin() -> None:
    row = next(r for r in rows() if r.id == "h080")
    assert not [
        c for c in told(row, "a") if "boil" in c.printed.lower() and c.rule.id.startswith(("marinade", "raw-marinade"))
    ]


def test_what_is_left_over_is_told_of_the_cooked_dish_alone(table: Table) -> None:
    table.write(
        "tartare.yaml",
        "dish: Tartare\nservings: 2\ningredients: {beef: {amount: 200 g, food: 'beef, fillet steak'}, egg: 60 g}\n"
        "steps: [{stage: cook, do: Chop the raw beef and serve it with a raw yolk., add: [beef, egg]}]\n",
    )
    table.write(
        "stew.yaml",
        "dish: Stew\nservings: 2\ningredients: {lamb: {amount: 400 g, food: 'lamb shoulder, boneless'}}\n"
        "steps: [{stage: cook, do: Braise it for two hours., add: lamb, wait: 2 h}]\n",
    )
    found = printed_cautions(cautions_in(table.meal("meal: M\ndishes: [{dish: tartare.yaml}, {dish: stew.yaml}]\n")))
    assert [one.where for one in found if "3 to 4 days" in one.text] == ["Stew"]


@pytest.mark.parametrize("name", ["harbour-supper", "pork-chops", "mussel-chowder", "seared-hake", "fennel-bisque"])
def test_an_ordinary_supper_has_few_cautions(name: str) -> None:
    found = cautions_in(read_source(str(EXAMPLES / f"{name}.yaml")).usable())
    assert len(printed_cautions(found)) < 10
    assert len([line for c in found for line in c.overlay]) < 5


DEADLY = """
dish: Garlic oil
servings: 4
{answer}
ingredients: {{garlic: 100 g, oil: {{amount: 300 g, food: olive oil}}}}
steps:
  - {{id: cover, stage: cook, do: "Cover the garlic with the oil and keep the jar on the kitchen shelf.", add: [garlic, oil]}}
"""


def test_the_deadly_few_stop_what_is_published_until_they_are_answered(
    tmp_path: Path, run: Callable[..., subprocess.CompletedProcess[str]]
) -> None:
    file = tmp_path / "oil.yaml"
    file.write_text(DEADLY.format(answer=""), encoding="utf-8")
    stopped = run("publish", str(file), "-o", str(tmp_path / "out"))
    assert stopped.returncode == 2
    assert "answered: {oil-infusion-out:" in stopped.stderr
    assert not (tmp_path / "out").exists()
    checked = run("check", str(file), "--json")
    assert checked.returncode == 1
    assert '"rule": "oil-infusion-out"' in checked.stdout
    file.write_text(
        DEADLY.format(answer="answered: {oil-infusion-out: the garlic is acidified by a tested recipe}"),
        encoding="utf-8",
    )
    assert run("publish", str(file), "-o", str(tmp_path / "out")).returncode in (0, 1)
    assert "acidified by a tested recipe" in (tmp_path / "out" / "description.txt").read_text(encoding="utf-8")


def test_no_example_is_among_the_deadly_few() -> None:
    for path in EXAMPLES.glob("*.yaml"):
        if not path.name.startswith(("faulty", "pantry")):
            assert deadly_of(cautions_in(read_source(str(path)).usable())) == []


def test_a_twin_is_quiet_by_a_fact_and_not_by_its_words() -> None:
    quiet = next(r for r in rows() if r.id == "h069")
    assert false_ones(quiet, "a") == set()
    assert dish_of(quiet, "a").steps[0].do == next(r for r in rows() if r.id == "d069").cells["a"]
