"""Times that are spoken of a step: ranges, heats that stand beside them, and the times of other steps."""

from __future__ import annotations

import pytest
from conftest import Table
from spoken import said

from scriptkit.cut.claims.all_claims import claims_in
from scriptkit.cut.claims.claim import DIFFERS, LISTEN, VERIFIED
from scriptkit.cut.placement import Cut, Placement
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
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


@pytest.mark.parametrize(
    ("line", "subject", "verdict"),
    [
        ("turn it, and the capers only get their two minutes", "step 3 (glaze)", VERIFIED),
        ("turn it, the capers take twenty minutes later", "step 3 (glaze)", LISTEN),
        ("turn it, and the capers will want fifteen minutes later on", "step 3 (glaze)", LISTEN),
        ("braise it, and the leek takes two minutes", "step 2 (braise)", DIFFERS),
        ("braise it for two minutes", "step 2 (braise)", DIFFERS),
    ],
)
def test_the_time_of_another_step_is_said_in_passing_where_its_food_is_named(
    pan: Dish, line: str, subject: str, verdict: str
) -> None:
    (claim,) = said(pan, "braise", line)
    assert (claim.subject, claim.verdict) == (subject, verdict)


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


BOILED = """
    dish: Mashed potatoes
    servings: 4
    ingredients: {potato: 800 g, butter: {amount: 50 g, food: "butter, unsalted"}, garlic: 2 cloves, cream: {amount: 100 ml, food: double cream}}
    steps:
      - {id: boil, stage: cook, do: Boil the potato., add: [potato], vessel: pot, wait: 25 min, screen: 9 s}
      - {id: melt, stage: cook, do: Melt the butter with the garlic., from: [], add: [butter, garlic], vessel: small pan, wait: 2 min, screen: 9 s}
      - {id: warm, stage: cook, do: Pour the cream into the butter., add: [cream], vessel: small pan, hands: 1 min, screen: 9 s}
      - {id: drain, stage: cook, do: Drain the potato., from: [boil], vessel: colander, hands: 1 min, screen: 9 s}
      - {id: mash, stage: cook, do: Mash the potato., vessel: pot, hands: 3 min, screen: 9 s}
      - {id: fold, stage: cook, do: Fold it all together., from: [mash, warm], vessel: pot, hands: 1 min, screen: 9 s}
      - {id: serve, stage: cook, do: Serve it., vessel: bowl, hands: 1 min, screen: 9 s}
"""


@pytest.mark.parametrize(
    ("step", "line", "of", "verdict"),
    [
        ("mash", "they have been boiling for twenty five minutes", "step 1 (boil)", VERIFIED),
        ("drain", "after twenty five minutes of boiling the potatoes are cooked", "step 1 (boil)", VERIFIED),
        ("melt", "press in two cloves of garlic and leave it for two minutes", "step 2 (melt)", VERIFIED),
        ("boil", "boil the potato for at least fifteen to twenty minutes", "step 1 (boil)", DIFFERS),
        ("boil", "boil the potato for at least twenty to thirty minutes", "step 1 (boil)", VERIFIED),
    ],
)
def test_a_time_that_has_gone_by_is_of_a_step_in_which_something_waits(
    table: Table, step: str, line: str, of: str, verdict: str
) -> None:
    assert [(c.subject, c.verdict) for c in said(table.dish(BOILED), step, line) if c.kind == "time"] == [(of, verdict)]


def test_a_clove_of_garlic_is_no_spice(table: Table) -> None:
    """*Clove* alone is a food of the pantry, and none of the dish."""
    (_, claim) = said(table.dish(BOILED), "melt", "two cloves of garlic in there, and leave it seven minutes")
    assert claim.verdict == DIFFERS


def between_two(pan: Dish, *lines: str) -> list[tuple[str, str]]:
    """Step and verdict of each time that is said where the braise and the glaze are as near."""
    at = {"sear": 400_000, "braise": 588_000, "glaze": 614_000}
    placements = tuple(Placement(dish=pan, step=step, time_ms=at[step.id], confidence=0.4) for step in pan.steps)
    spoken = tuple(SpokenLine(600_000 + 4000 * n, 603_500 + 4000 * n, text, n + 1) for n, text in enumerate(lines))
    transcript = Transcript(file="cut.txt", lines=spoken, problems=())
    cut = Cut(title="pan", length_ms=900_000, placements=placements, confidence=0.9)
    return [(c.subject, c.verdict) for c in claims_in(pan, transcript, cut)]


@pytest.mark.parametrize(
    ("line", "verdict"),
    [
        ("leave it for twenty five minutes", DIFFERS),  # whichever is meant
        ("leave it for two minutes", VERIFIED),
        ("give that about twenty five minutes", DIFFERS),
        ("check it again in twenty five minutes", LISTEN),
    ],
)
def test_a_time_that_is_none_of_the_likely_steps_differs(pan: Dish, line: str, verdict: str) -> None:
    assert [v for _, v in between_two(pan, line)] == [verdict]


def test_a_step_whose_time_is_said_leaves_the_next_one(pan: Dish) -> None:
    assert between_two(pan, "ten minutes on low", "then the lid, then twenty minutes with the capers") == [
        ("step 2 (braise)", VERIFIED),
        ("step 3 (glaze)", DIFFERS),
    ]
