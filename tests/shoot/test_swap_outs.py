"""Twins made ahead: which stage, what each needs, and the chill clock."""

from __future__ import annotations

import pytest
from conftest import EXAMPLES, Table

from scriptkit.recipe.reader import read_source
from scriptkit.shoot.day.schedule import schedule_of
from scriptkit.shoot.day.swap_outs import (
    HOT_ROOM_C,
    KEEPS_DAYS,
    OUT_AT_MOST_HOT_MIN,
    OUT_AT_MOST_MIN,
    chill_clocks,
    steps_up_to,
    swap_outs_of,
)

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))

STEW = """
    dish: Stew
    servings: 2
    ingredients: {hake: 300 g, leek: 200 g, butter: {amount: 60 g, food: "butter, unsalted"}, salt: to taste, lemon juice: 20 g}
    steps:
      - {id: slice, stage: prep, do: Slice the leek., uses: leek, hands: 3 min}
      - {id: cure, stage: prep, do: Salt the hake., uses: hake, add: {salt: half}, vessel: tray, hands: 2 min, wait: 1 h}
      - {id: squeeze, stage: prep, do: Squeeze the lemon., uses: lemon juice, hands: 1 min}
      - {id: soften, stage: cook, do: Soften the leek., add: {butter: 20 g, leek: all}, vessel: Stock pot, hands: 2 min, wait: 10 min}
      - {id: simmer, stage: cook, do: Simmer it., add: hake, vessel: stock pot, hands: 1 min, wait: %s}
      - {id: sauce, stage: cook, do: Melt the butter., add: {butter: 10 g, lemon juice: all}, vessel: small pan, after: squeeze, hands: 2 min, wait: 16 min}
      - {id: join, stage: cook, do: Stir in the rest., add: {butter: rest, salt: rest}, vessel: stock pot, after: [simmer, sauce], hands: 1 min}
    film: {swap_out_over: %s}
"""


def twins(
    table: Table, wait: str = "20 min", limit: str = "15 min", **changed: str
) -> dict[str, list[tuple[str, float | None]]]:
    text = STEW % (wait, limit)
    for old, new in changed.items():
        text = text.replace(f"id: {old},", f"id: {old}, {new},")
    return {
        t.step.id: [(n.ingredient.name, None if n.grams is None else round(n.grams, 1)) for n in t.needs]
        for t in swap_outs_of(table.dish(text))
    }


def test_a_wait_longer_than_the_limit_gets_a_twin_with_all_that_is_in_it_by_then(table: Table) -> None:
    assert twins(table) == {
        "cure": [("hake", 300), ("salt", None)],
        "simmer": [("hake", 300), ("leek", 200), ("butter", 20), ("salt", None)],
        "sauce": [("butter", 10), ("lemon juice", 20)],  # what another branch of the recipe does is not in it
    }


@pytest.mark.parametrize(
    ("wait", "limit", "expected"),
    [("15 min", "15 min", False), ("15 min 1 s", "15 min", True), ("20 min", "20 min", False), ("2 h", "3 h", False)],
)
def test_the_limit_itself_is_waited_for(table: Table, wait: str, limit: str, expected: bool) -> None:
    assert ("simmer" in twins(table, wait, limit)) is expected


def test_the_file_has_the_last_word(table: Table) -> None:
    assert list(twins(table, simmer="swap_out: false", sauce="swap_out: false", cure="swap_out: false")) == []
    found = twins(table, limit="3 h", soften="swap_out: true")
    assert found == {"soften": [("leek", 200), ("butter", 20)]}


def test_steps_of_a_twin_their_vessels_and_how_long_it_takes(table: Table) -> None:
    dish = table.dish(STEW % ("20 min", "15 min"))
    by_id = {t.step.id: t for t in swap_outs_of(dish)}
    assert [s.id for s in by_id["simmer"].steps] == ["slice", "cure", "soften", "simmer"]
    assert by_id["simmer"].vessels == ("tray", "Stock pot")
    assert by_id["simmer"].takes_ms == (3 + 62 + 12 + 21) * 60_000
    assert [s.id for s in steps_up_to(dish, dish.steps[-1])] == [s.id for s in dish.steps]


def test_a_meal_says_the_limit_where_it_says_one_and_the_dish_does_otherwise(table: Table) -> None:
    table.write("stew.yaml", STEW % ("20 min", "30 min"))
    plain = "meal: M\ndishes: [{dish: stew.yaml, portion: 100 g}]\nfilm: {%s}"
    assert [t.step.id for t in swap_outs_of(table.meal(plain % "opening: 5 s"))] == ["cure"]
    assert [t.step.id for t in swap_outs_of(table.meal(plain % "swap_out_over: 19 min"))] == ["cure", "simmer"]


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_no_twin_holds_more_than_the_recipe(path: object) -> None:
    for twin in swap_outs_of(read_source(str(path)).usable()):
        assert twin.needs
        assert twin.step in twin.steps
        for need in twin.needs:
            assert need.grams is None or need.grams <= (need.ingredient.grams or 0) + 1e-6


# --- the chill clock -------------------------------------------------------------------------------------------------


def test_the_published_limits() -> None:
    # USDA: out of the fridge at most 2 h, 1 h above 90 °F; fridge within 2 h, 3 to 4 days.
    assert (OUT_AT_MOST_MIN, OUT_AT_MOST_HOT_MIN, KEEPS_DAYS) == (120, 60, (3, 4))
    assert round(HOT_ROOM_C * 9 / 5 + 32) == 90


def test_every_twin_and_hero_has_its_clock(table: Table) -> None:
    text = (STEW % ("2 h 30 min", "15 min")).replace("film: {", "film: {heroes: 2, ")
    dish = table.dish(text)
    assert [(c.step.id if c.step else "hero", c.count, c.out_at_min) for c in chill_clocks(dish)] == [
        ("cure", 1, None), ("simmer", 1, None), ("sauce", 1, None), ("hero", 2, None),
    ]  # fmt: skip
    schedule = schedule_of(dish)
    clocks = {c.step.id if c.step else "hero": c for c in chill_clocks(dish, schedule)}
    task = next(t for t in schedule.tasks if t.step.id == "simmer")
    assert clocks["simmer"].out_at_min == task.hands_end_min
    assert clocks["simmer"].back_by_min == task.hands_end_min + 120
    assert clocks["simmer"].back_by_hot_min == task.hands_end_min + 60
    assert clocks["simmer"].outstays  # the live pot simmers for two and a half hours more
    assert clocks["hero"].out_at_min == schedule.length_min
    assert not clocks["hero"].outstays
