"""What runs out of a roast and into the sauce of another dish: it is the sauce's, and the meal counts it once."""

from __future__ import annotations

from dataclasses import replace

import pytest
from conftest import Table

from scriptkit.cut.placement import Cut, Placement
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.cut.word_clock import juices_heard
from scriptkit.nutrition.dish_meal_macros import AllMacros, DishMacros
from scriptkit.pack import make_pack
from scriptkit.preproduction import Preproduction
from scriptkit.problems import Problem
from scriptkit.production import Production
from scriptkit.recipe.dish import Meal
from scriptkit.shoot.mise_en_place import trays_of

ROAST = """
    dish: Roast pork
    short: pork
    servings: 4
    ingredients: {pork: {amount: 900 g, food: "pork loin, boneless"JUICES}, salt: 2 tsp}
    steps:
      - {id: rub, stage: prep, do: Rub the pork with the salt., add: [salt, pork], vessel: tray, hands: 4 min}
      - {id: roast, stage: cook, do: Roast the pork., from: rub, vessel: roasting tin, heat: oven 190 °C, hands: 3 min, wait: 55 min}
      - {id: rest, stage: cook, do: Lift the pork onto a board and let it rest., vessel: board, hands: 2 min, wait: 15 min}
      - {id: carve, stage: cook, do: Carve the pork., vessel: plates, hands: 4 min}
"""
SAUCE = """
    dish: Cider sauce
    short: sauce
    servings: 4
    ingredients: {cider: {amount: 200 ml, food: "cider, dry"}, cream: {amount: 60 ml, food: double cream}}
    steps:
      - {id: deglaze, stage: cook, do: Pour the cider into the saucepan and boil it down by half., TAKES add: cider, vessel: small saucepan, heat: high, hands: 2 min, wait: 5 min}
      - {id: finish, stage: cook, do: Whisk in the cream., add: cream, vessel: small saucepan, heat: low, hands: 3 min}
"""
MEAL = """
    meal: Pier roast
    plates: 4
    dishes: [{dish: roast.yaml, portion: 1 serving}, {dish: sauce.yaml, portion: 1 serving}]
    kitchen: {landing: 1 h}
"""


def supper(table: Table, takes: str, juices: str = "") -> Meal:
    table.write("roast.yaml", ROAST.replace("JUICES", juices))
    table.write("sauce.yaml", SAUCE.replace("TAKES", f"from: {{{takes}}}," if takes else ""))
    return table.meal(MEAL)


def macros(table: Table, takes: str, juices: str = "") -> AllMacros:
    return Preproduction(supper(table, takes, juices)).macros


def of(found: AllMacros, nutrient: str) -> list[float]:
    return [one.batch.at_least(nutrient) for one in found.dishes]


@pytest.mark.parametrize("takes", ["Roast pork/roast: juices", "pork/rest: juices"])
def test_what_runs_out_of_the_roast_is_counted_in_the_sauce(table: Table, takes: str) -> None:
    apart, kept, taken = macros(table, ""), macros(table, "", ", juices: kept"), macros(table, takes)
    for nutrient in ("fat_g", "protein_g", "energy_kcal"):
        ran_out = max(of(kept, nutrient)[0] - of(apart, nutrient)[0], 0)  # of protein, hardly any
        assert of(taken, nutrient)[0] == pytest.approx(of(apart, nutrient)[0])
        assert of(taken, nutrient)[1] == pytest.approx(of(apart, nutrient)[1] + ran_out, rel=0.01)
    assert of(taken, "fat_g")[1] > of(apart, "fat_g")[1] + 5
    pork, sauce = taken.dishes
    assert sauce.dish.cooked_g > apart.dishes[1].dish.cooked_g + 5
    assert pork.dish.cooked_g == pytest.approx(apart.dishes[0].dish.cooked_g)
    assert any("runs out and goes into Cider sauce" in words for words in pork.estimated)
    assert not any("left behind" in words or "juices: kept" in words for words in pork.estimated)


def test_juices_that_the_file_keeps_move_too_and_are_counted_once(table: Table) -> None:
    kept, taken = macros(table, "", ", juices: kept"), macros(table, "pork/rest: juices", ", juices: kept")
    assert sum(of(taken, "fat_g")) == pytest.approx(sum(of(kept, "fat_g")), rel=0.01)
    assert of(taken, "fat_g")[0] < of(kept, "fat_g")[0] - 5


def test_the_doubt_of_what_runs_out_is_none_of_the_plate(table: Table) -> None:
    """What does not run out of the pork is not in the sauce: together they are as sure as a roast whose juices are kept."""

    def wide(one: DishMacros) -> float:
        low, high = one.serving.ranges["fat_g"]
        return high - low

    def plate(found: AllMacros) -> float:
        assert found.meal is not None
        low, high = found.meal.plate.ranges["fat_g"]
        return high - low

    taken, kept = macros(table, "pork/rest: juices"), macros(table, "", ", juices: kept")
    assert wide(taken.dishes[1]) > wide(kept.dishes[1])
    assert plate(taken) == pytest.approx(plate(kept), rel=0.05)


def test_juices_of_a_step_after_the_roast_are_kept_in_their_own_dish(table: Table) -> None:
    """As they are where `from:` names the step that roasts it."""
    dishes = [
        table.dish(
            ROAST.replace("JUICES", "")
            + f"      - {{id: sauce, stage: cook, do: Boil them down., from: {{{step}: juices}}, vessel: small saucepan, heat: high, hands: 4 min}}\n"
        )
        for step in ("roast", "rest")
    ]
    assert [one.kept for dish in dishes for one in dish.cooking if one.key == "pork"] == [True, True]


def test_the_juices_are_filmed_shown_and_ready_for_the_sauce(table: Table) -> None:
    supper(table, "pork/rest: juices")
    work = Production(table.read(MEAL, "meal.yaml"))
    shots = [s for s in work.shots if s.step is not None and s.step.id == "deglaze"]
    assert [s.what for s in shots][:2] == [
        "Pour the juices of the pork loin into the small saucepan.",
        "Pour the cider into the small saucepan",
    ]
    assert shots[0].irreversible
    assert shots[-1].what == "Pour the cider into the saucepan and boil it down by half."
    at = {line: cue.start_ms for cue in work.cues for line in cue.lines}
    assert at["Juices of the pork loin"] < next(at[line] for line in at if line.startswith("Cider"))
    sauce = next(t for t in trays_of(work.source, work.schedule) if t.dish.short == "sauce")
    assert [(r.name, [s.id for s in r.steps]) for r in sauce.taken] == [
        ("juices of the pork loin, from step 3 of pork", ["deglaze"])
    ]
    files = make_pack(work).files
    assert 'juices of the pork loin, from step 3 of pork <span class="small">step 1' in files["mise-en-place.html"]
    assert "\nthe juices of the pork loin\n" in files["description.txt"]


def test_the_juices_of_its_own_roast_are_filmed_too(table: Table) -> None:
    dish = table.dish(
        ROAST.replace("JUICES", "").replace(
            "salt: 2 tsp", "salt: 2 tsp, stock: {amount: 200 ml, food: 'chicken stock, ready-made'}"
        )
        + "      - {id: sauce, stage: cook, do: Boil them down with the stock., from: {rest: juices}, add: stock, vessel: small saucepan, heat: high, hands: 4 min}\n"
    )
    shots = [s.what for s in Preproduction(dish).shots if s.step is not None and s.step.id == "sauce"]
    assert shots[0] == "Pour the juices into the small saucepan."
    (tray,) = trays_of(dish)
    assert [r.name for r in tray.taken] == ["juices, from step 3"]


@pytest.mark.parametrize(
    "words", ["Pour the juices and the cider into the saucepan", "Boil the cider with the roasting juices"]
)
def test_juices_that_nothing_connects_are_told_and_the_line_mends_it(table: Table, words: str) -> None:
    def problems(takes: str) -> list[Problem]:
        table.write("roast.yaml", ROAST.replace("JUICES", ""))
        sauce = SAUCE.replace("Pour the cider into the saucepan", words).replace("TAKES", takes and f"{takes},")
        table.write("sauce.yaml", sauce)
        work = Production(table.read(MEAL, "meal.yaml"))
        return [p for p in work.problems if p.code == "juices-not-connected"]

    (told,) = problems("")
    line = "from: {Roast pork/rest: juices}"
    assert (told.place.file.rpartition("/")[2], told.hint) == ("sauce.yaml", f"write `{line}` at step 1 (deglaze)")
    assert problems(line) == []


def test_in_a_cut_the_juices_are_shown_where_they_are_named(table: Table) -> None:
    """Neither in the step before, whose words are of the roast, nor in the one after."""
    pork, sauce = supper(table, "pork/rest: juices").dishes
    steps = [(pork, pork.steps[2], 10_000), (sauce, sauce.steps[0], 40_000), (sauce, sauce.steps[1], 70_000)]
    placed = tuple(Placement(dish=d, step=s, time_ms=ms, start_ms=ms, confidence=1.0) for d, s, ms in steps)
    cut = Cut(title="", length_ms=100_000, placements=placed, confidence=1.0)
    said = [(12, "Keep the juices."), (45, "juices and cider"), (50, "All of the juices."), (75, "The juices boil.")]
    lines = tuple(SpokenLine(start_ms=at * 1000, end_ms=at * 1000 + 2000, text=text, line=1) for at, text in said)
    talk = Transcript(file="", lines=lines, problems=())
    assert juices_heard(cut, talk) == {sauce.steps[0].place: 45_000}
    assert juices_heard(cut, replace(talk, lines=lines[:1])) == {}


@pytest.mark.parametrize("off", [True, False])
def test_juices_that_are_poured_off_go_into_no_sauce(table: Table, off: bool) -> None:
    roast = ROAST.replace("JUICES", "").replace(
        "hands: 3 min,", "hands: 3 min, juices: poured off," if off else "hands: 3 min,"
    )
    table.write("roast.yaml", roast)
    table.write("sauce.yaml", SAUCE.replace("TAKES", "from: {pork/roast: juices},"))
    told = [p for p in table.read(MEAL, "meal.yaml").problems if p.code == "juices"]
    assert [p.hint for p in told] == (["delete `juices: poured off` at step 2 (roast)"] if off else [])
