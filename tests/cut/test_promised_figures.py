"""Figures that a file promises before it is filmed: kept, likely, in doubt or broken, and what would settle it."""

from __future__ import annotations

import json
from collections.abc import Callable
from subprocess import CompletedProcess
from typing import TYPE_CHECKING

import pytest
from conftest import EXAMPLES
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.cut.claims.promised import BROKEN, IN_DOUBT, KEPT, LIKELY, VERDICTS, exact_verdict, verdict_of
from scriptkit.preproduction import Preproduction

if TYPE_CHECKING:
    from conftest import Table

Run = Callable[..., CompletedProcess[str]]
# A serving of leeks in butter: 200 g of leek. USDA SR28 11246 has 12.35 g net carbs per 100 g, Ciqual 2020 20039 4.9: 24.7 g, 8.8 to 26.9.
SAY = "Soften the leek in the butter until it is soft and sweet, and keep the lid on while you do."
LEEKS = """
dish: Leeks in butter
promise: "{promise}"
servings: 1
cooked_weight: 200 g
ingredients: {{leek: 200 g, butter: {{amount: 20 g, food: "butter, unsalted"}}}}
steps:
  - {{id: cook, stage: cook, do: Soften the leek in the butter., add: [butter, leek], hands: 9 min, screen: 14 s, say: "{say}"}}
"""


def verdicts(table: Table, promise: str = "", say: str = "") -> list[tuple[str, str]]:
    dish = table.dish(LEEKS.format(promise=promise, say=say))
    return [(one.nutrient, one.verdict) for one in Preproduction(dish).promised]


@pytest.mark.parametrize(
    ("promise", "expected"),
    [
        ("Under 30 g net carbs.", [("net_carbs_g", KEPT)]),
        ("Under 26 g net carbs.", [("net_carbs_g", LIKELY)]),
        ("Under 25 g net carbs.", [("net_carbs_g", IN_DOUBT)]),
        ("Under 20 g net carbs.", [("net_carbs_g", BROKEN)]),
        ("At least 2 g protein.", [("protein_g", KEPT)]),
        ("Net carbs below 20 g a serving.", [("net_carbs_g", BROKEN)]),
        ("Less than thirty grams of net carbs and over 5 g protein a bowl.", [("net_carbs_g", KEPT), ("protein_g", BROKEN)]),
        ("At least 2.5 g protein.", [("protein_g", LIKELY)]),
        ("25 g net carbs.", [("net_carbs_g", LIKELY)]),
        ("12 g net carbs.", [("net_carbs_g", IN_DOUBT)]),
        ("5 g net carbs.", [("net_carbs_g", BROKEN)]),
        ("Under 500 kcal.", [("energy_kcal", KEPT)]),
        ("Under 14 g net carbs in 100 g.", [("net_carbs_g", KEPT)]),
        ("It does not have under 5 g net carbs.", []),
        ("Is it under 5 g net carbs?", []),
        ("A bowl for a cold day.", []),
        ("60% of its energy from fat.", []),
    ],
)  # fmt: skip
def test_a_promise_is_held_against_the_interval(table: Table, promise: str, expected: list[tuple[str, str]]) -> None:
    assert verdicts(table, promise) == expected


@pytest.mark.parametrize(
    ("say", "expected"),
    [
        ("A serving has twenty five grams of net carbs.", [("net_carbs_g", LIKELY)]),
        ("A serving has under ten grams of net carbs.", [("net_carbs_g", BROKEN)]),
        ("Melt 20 grams of fat.", []),  # what is done, and not what it has
    ],
)
def test_the_narration_promises_too(table: Table, say: str, expected: list[tuple[str, str]]) -> None:
    assert verdicts(table, say=say) == expected


def test_check_tells_what_is_in_doubt_and_what_would_settle_it(table: Table, run: Run) -> None:
    path = table.write("leeks.yaml", LEEKS.format(promise="Under 25 g net carbs.", say=SAY))
    done = run("check", path)
    assert done.returncode == 1
    assert "[promise-in-doubt]" in done.stderr
    assert "“Under 25 g net carbs.” is in doubt: net carbs 24.7 g, likely 8.8–26.9" in done.stderr
    assert "the figures of leek (USDA SR28 11246) would settle most of it" in done.stderr
    broken = run("check", table.write("leeks.yaml", LEEKS.format(promise="Under 20 g net carbs.", say=SAY)))
    assert broken.returncode == 1
    assert "[promise-broken]" in broken.stderr
    for promise in ("Under 26 g net carbs.", "Under 30 g net carbs."):
        fine = run("check", table.write("leeks.yaml", LEEKS.format(promise=promise, say=SAY)))
        assert (fine.returncode, "promise" in fine.stderr) == (0, False), fine.stderr


def test_json_has_every_promise_with_its_verdict(table: Table, run: Run) -> None:
    path = table.write("leeks.yaml", LEEKS.format(promise="Under 26 g net carbs.", say=SAY))
    (one,) = json.loads(run("check", path, "--json").stdout)["promises"]
    assert (one["text"], one["verdict"], one["line"]) == ("Under 26 g net carbs.", LIKELY, 3)
    assert one["range"] == pytest.approx([8.8, 26.9], abs=0.2)
    meal = json.loads(run("check", str(EXAMPLES / "harbour-supper.yaml"), "--json").stdout)["promises"]
    assert [(p["text"], p["verdict"]) for p in meal] == [
        ("at most 20 g net carbs", KEPT),
        ("at least 30 g protein", KEPT),
    ]


@pytest.mark.parametrize(("limit", "verdict"), [(30, KEPT), (26, LIKELY), (25, IN_DOUBT), (20, BROKEN)])
def test_limits_of_a_meal_are_promises(table: Table, limit: int, verdict: str, run: Run) -> None:
    table.write("leeks.yaml", LEEKS.format(promise="", say=SAY))
    path = table.write("meal.yaml", f"meal: M\ndishes: [{{dish: leeks.yaml}}]\nat_most: {{net_carbs_g: {limit}}}\n")
    done = run("check", path, "--json")
    out = json.loads(done.stdout)
    assert [(p["text"], p["verdict"]) for p in out["promises"]] == [(f"at most {limit} g net carbs", verdict)]
    codes = [p["code"] for p in out["problems"]]
    assert ("limit" in codes) is (verdict == BROKEN)
    assert ("promise-in-doubt" in codes) is (verdict == IN_DOUBT)


@given(
    has=st.floats(0, 100), down=st.floats(0, 50), up=st.floats(0, 50), limit=st.floats(0, 200), at_most=st.booleans()
)
def test_a_looser_limit_is_never_kept_worse(has: float, down: float, up: float, limit: float, at_most: bool) -> None:
    low, high = has - down, has + up
    looser = limit + 5 if at_most else limit - 5
    first, then = (verdict_of(has, low, high, x, at_most=at_most) for x in (limit, looser))
    assert VERDICTS.index(then) <= VERDICTS.index(first)
    assert exact_verdict(has, low, high, has, 0.05) in (KEPT, LIKELY)
