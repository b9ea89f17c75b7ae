"""Portions that keep a limit with the whole interval: against trying every portion (the interval by intervals.py)."""

from __future__ import annotations

import itertools
import json
from collections.abc import Callable
from subprocess import CompletedProcess

import pytest
from conftest import EXAMPLES
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.nutrition.intervals import BOUNDED, Source, Uncertainty
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.portion_choice import Bound, Choice, plate_of
from scriptkit.nutrition.portioning import keeps, portions
from scriptkit.nutrition.sure_limits import surely_keeps
from scriptkit.pantry.food import NUTRIENTS

Run = Callable[..., CompletedProcess[str]]


def food(name: str, per_100_g: float, low: float, high: float, shared: bool) -> Choice:
    """100 g usual; so much of every figure, and by how much it may be off, of a doubt of its own or one that all share."""
    doubt = Uncertainty("shared" if shared else name, name, dict.fromkeys(BOUNDED, (-low / 100, high / 100)))
    per_gram = Macros(1.0, tuple(per_100_g / 100 for _ in NUTRIENTS), parts=((1.0, Source(lambda: [doubt])),))
    return Choice(name=name, per_gram=per_gram, usual_g=100, step_g=20, least_g=20, most_g=240)


foods = st.builds(
    food, st.sampled_from("abc"), st.integers(1, 60), st.integers(0, 20), st.integers(0, 20), st.booleans()
)


@settings(max_examples=60)
@given(
    choices=st.lists(foods, min_size=1, max_size=3, unique_by=lambda c: c.name),
    limit=st.integers(5, 160),
    at_most=st.booleans(),
    nutrient=st.sampled_from(["fat_g", "protein_g"]),
)
def test_they_are_the_nearest_of_all_that_keep_it(
    choices: list[Choice], limit: int, at_most: bool, nutrient: str
) -> None:
    bound = Bound(name=nutrient, at_most=at_most, figure=float(limit))

    def far(grams: tuple[float, ...]) -> float:
        return sum(((g - c.usual_g) / c.usual_g) ** 2 for g, c in zip(grams, choices, strict=True))

    def kept(grams: tuple[float, ...]) -> bool:
        plate = plate_of(choices, grams)
        return keeps(bound, plate) and surely_keeps(plate, nutrient, bound.figure, at_most=at_most)

    every = [grams for grams in itertools.product(*(c.servings for c in choices)) if kept(grams)]
    found = portions(choices, [bound], sure=True).grams
    assert (found is None) is (not every)
    if found is not None:
        assert kept(found)
        assert far(found) == pytest.approx(min(map(far, every)), abs=1e-6)


def test_where_none_keeps_it_the_nearest_limit_that_would_do_is_named() -> None:
    """10 g a portion of 20 g, and up to 4 g more: 13.9 is too little for the smallest portion, 14 is not."""
    choices = [food("a", 50, 0, 20, shared=False)]
    found = portions(choices, [Bound(name="fat_g", at_most=True, figure=9)], sure=True)
    assert found.grams is None
    ((_, would_do),) = found.conflict
    assert would_do == pytest.approx(14)


def test_the_command_keeps_the_whole_range_and_the_best_estimate_alone_where_asked(run: Run) -> None:
    supper = str(EXAMPLES / "harbour-supper.yaml")
    sure = json.loads(run("portion", supper, "--at-most", "net_carbs_g=10", "--json").stdout)
    central = json.loads(run("portion", supper, "--at-most", "net_carbs_g=10", "--central", "--json").stdout)
    assert sure["plate"]["net_carbs_g_range"][1] <= 10
    assert (
        sure["plate"]["net_carbs_g"] < central["plate"]["net_carbs_g"] <= 10 < central["plate"]["net_carbs_g_range"][1]
    )
    assert sure["portions"][0]["weight_g"] < central["portions"][0]["weight_g"]
    assert "(likely " in run("portion", supper, "--at-most", "net_carbs_g=10").stdout
