"""Times that are spoken of a step: ranges, heats that stand beside them, and the times of other steps."""

from __future__ import annotations

import pytest
from conftest import Table
from spoken import said

from scriptkit.cut.claims.claim import DIFFERS, LISTEN, VERIFIED
from scriptkit.recipe.dish import Dish

PAN = """
    dish: Leeks in a pan
    servings: 2
    ingredients: {leek: 400 g, capers: 10 g}
    steps:
      - {id: sear, stage: cook, do: Sear the leek., add: [leek], vessel: pan, heat: high, wait: 15 s, wait_at_most: 30 s, screen: 9 s}
      - {id: braise, stage: cook, do: Braise the leek., vessel: pan, heat: low, wait: 10 min, screen: 9 s}
      - {id: glaze, stage: cook, do: Glaze it with the capers., add: [capers], vessel: pan, wait: 2 min, wait_at_most: 4 min, screen: 9 s}
"""


@pytest.fixture
def pan(table: Table) -> Dish:
    return table.dish(PAN)


@pytest.mark.parametrize(
    ("step", "line", "verdict"),
    [
        ("sear", "sear the leek for fifteen to thirty seconds", VERIFIED),
        ("sear", "sear the leek for twenty to forty seconds", VERIFIED),
        ("sear", "sear the leek for thirty to sixty seconds", LISTEN),
        ("braise", "braise it for five to ten minutes", VERIFIED),
        ("braise", "braise it for ten to fifteen minutes", VERIFIED),
        ("braise", "braise it for ten to twenty minutes", LISTEN),
        ("braise", "braise it for twenty to thirty minutes", DIFFERS),
    ],
)
def test_a_range_that_only_touches_the_recipes_is_given_to_listen_to(
    pan: Dish, step: str, line: str, verdict: str
) -> None:
    assert [c.verdict for c in said(pan, step, line)] == [verdict]


def test_the_time_of_another_step_is_no_excuse(pan: Dish) -> None:
    """The glaze may stand for four minutes; that the leek braises for four is wrong all the same."""
    (claim,) = said(pan, "braise", "braise the leek on low for four minutes")
    assert (claim.subject, claim.verdict) == ("step 2 (braise)", DIFFERS)


SLOW = """
    dish: Slow fennel
    servings: 4
    ingredients: {fennel: 400 g}
    steps:
      - {id: cook, stage: cook, do: Cook the fennel until it is soft., add: [fennel], vessel: slow cooker, heat: high, wait: 4 h, screen: 9 s}
"""


@pytest.mark.parametrize(
    ("line", "verdicts"),
    [
        ("cook them on low for eight hours, or on high for four hours", [LISTEN, VERIFIED]),
        ("cook them on low for eight hours, or on high for six hours", [LISTEN, DIFFERS]),
        ("cook them on high for eight hours", [DIFFERS]),
    ],
)
def test_a_time_at_another_heat_is_of_another_way(table: Table, line: str, verdicts: list[str]) -> None:
    dish = table.dish(SLOW)
    assert [c.verdict for c in said(dish, "cook", line)] == verdicts


@pytest.mark.parametrize("line", ["cover it with a tea towel and braise it for four minutes"])
def test_a_tea_towel_is_no_food(pan: Dish, line: str) -> None:
    assert [c.verdict for c in said(pan, "braise", line)] == [DIFFERS]
