"""What is shown of a long wait: that it is over only where the next picture comes after it."""

from __future__ import annotations

import pytest
from conftest import EXAMPLES, Table

from scriptkit.captions.composing.overlay import overlay
from scriptkit.cut.placement import HAND, Cut, Placement
from scriptkit.cut.plan_in_cut import plan_in_cut
from scriptkit.cut.step_names import steps_of
from scriptkit.cut.word_clock import WordClock
from scriptkit.nutrition.dish_meal_macros import dish_macros, meal_macros
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import dishes_of, plan_of

SUPPER = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
BISQUE = ("dice-celeriac", "slice-fennel", "chop-chives", "soften-fennel", "simmer", "blend", "finish", "plate-bisque")
HAKE = ("dry-hake", "chop-parsley", "sear-hake", "turn-hake", "brown-butter", "plate-hake")


def waits(source: Dish | Meal, order: tuple[str, ...]) -> list[str]:
    placed = tuple(
        Placement(dish=d, step=s, time_ms=20_000 + 30_000 * order.index(s.id), confidence=1.0, known_from=HAND)
        for d, s in steps_of(source)
    )
    cut = Cut(title="", length_ms=30_000 * (len(order) + 2), placements=placed, confidence=1.0)
    meal = meal_macros(source) if isinstance(source, Meal) else None
    cues, _ = overlay(plan_in_cut(plan_of(source), cut), [], [dish_macros(d) for d in dishes_of(source)], meal)
    return [
        text for c in cues if (text := " ".join(c.lines)) and (text.endswith("later") or text.startswith("This takes"))
    ]


@pytest.mark.parametrize(
    ("order", "said"),
    [
        ((*BISQUE, *HAKE), ["7 min later", "18 min later"]),
        ((*HAKE, *BISQUE), ["7 min later", "18 min later"]),
        ((*BISQUE[:5], *HAKE, *BISQUE[5:]), ["7 min later", "This takes 18 min"]),  # the hake while it simmers
        ((*BISQUE[:4], HAKE[0], *BISQUE[4:], *HAKE[1:]), ["This takes 7 min", "18 min later"]),
    ],
)
def test_another_dish_that_is_shown_meanwhile_is_not_later(order: tuple[str, ...], said: list[str]) -> None:
    assert waits(SUPPER, order) == said


ROAST = """\
dish: Roast pork
servings: 2
ingredients: {pork: {amount: 500 g, food: pork loin chop}}
steps:
  - {id: roast, stage: cook, do: Roast the pork., add: pork, vessel: tin, heat: oven 180 °C, core: 63 °C, wait: 55 min, screen: 40 s}
  - {id: slice, stage: cook, do: Slice the pork., screen: 10 s}
"""


@pytest.mark.parametrize("core_ms", [20_000, 31_000, 38_000])
def test_time_that_has_passed_is_told_before_the_temperature_inside_is_said(core_ms: int, table: Table) -> None:
    """It is said while the roast is seen, long before the picture of its step ends."""
    dish = table.dish(ROAST)
    clock = WordClock(additions={dish.steps[0].additions[0].place: 12_000}, cores={dish.steps[0].place: core_ms})
    cues, problems = overlay(plan_of(dish), [], [dish_macros(dish)], None, clock=clock)
    starts = {" ".join(c.lines): c.start_ms for c in cues}
    assert starts["55 min later"] < starts["Inside: 63 °C (145 °F)"]
    assert starts["55 min later"] <= core_ms
    assert not [p for p in problems if p.code == "caption-late"]


RICE = """\
dish: Rice
servings: 2
ingredients: {rice: {amount: 200 g, food: celeriac}, peas: {amount: 100 g, food: leek}}
steps:
  - {id: soak, stage: prep, do: Soak the rice., uses: rice, wait: 30 min, screen: 20 s}
  - {id: pod, stage: prep, do: Pod the peas., uses: peas, screen: 20 s}
  - {id: boil, stage: cook, do: Boil the rice and the peas., add: {rice: all, peas: all}, vessel: pot, wait: 12 min, screen: 20 s}
"""


@pytest.mark.parametrize(
    ("order", "said"),
    [
        (("soak", "pod", "boil"), ["This takes 30 min", "12 min later"]),  # the peas are podded while it soaks
        (("pod", "soak", "boil"), ["30 min later", "12 min later"]),
    ],
)
def test_prep_that_is_done_meanwhile_is_not_later(order: tuple[str, ...], said: list[str], table: Table) -> None:
    assert waits(table.dish(RICE), order) == said
