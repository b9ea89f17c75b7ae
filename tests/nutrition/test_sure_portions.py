"""Portions that keep a limit with the whole interval: against trying every portion (the interval by intervals.py)."""

from __future__ import annotations

import itertools
import json
from collections.abc import Callable
from dataclasses import replace
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


def food(name: str, per_100_g: float, low: float, high: float, shared: bool, surer: bool = False) -> Choice:
    """100 g usual; so much of every figure, and by how much it may be off, of a doubt of its own or one that all share. ``surer``:
    the usual portion is a share of the pot, and what the pot weighs, which adds as much doubt to any other, is none of it."""
    own = Uncertainty("shared" if shared else name, name, dict.fromkeys(BOUNDED, (-low / 100, high / 100)))
    pot = Uncertainty(f"pot of {name}", name, dict.fromkeys(BOUNDED, (-per_100_g / 500, per_100_g / 500)))

    def of(grams: float, *doubts: Uncertainty) -> Macros:
        figures = tuple(grams * per_100_g / 100 for _ in NUTRIENTS)
        return Macros(grams, figures, parts=((grams, Source(lambda: list(doubts))),))

    per_gram = of(1.0, own, pot) if surer else of(1.0, own)
    usual = of(100, own) if surer else None
    return Choice(name=name, per_gram=per_gram, usual_g=100, step_g=20, least_g=20, most_g=240, usual=usual)


foods = st.builds(
    food,
    st.sampled_from("abc"),
    st.integers(1, 60),
    st.integers(0, 20),
    st.integers(0, 20),
    st.booleans(),
    st.booleans(),
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


def test_a_usual_portion_that_is_surer_than_as_many_grams_is_not_cut_off_with_its_neighbours() -> None:
    """120 g of the first with 100 g of the other have 70 g too, but the first 60 g of it are then doubted by 12 g; the usual 50 g are sure."""
    choices = [food("a", 50, 0, 0, shared=False, surer=True), food("b", 10, 0, 0, shared=False)]
    between = [Bound(name="fat_g", at_most=True, figure=70.1), Bound(name="fat_g", at_most=False, figure=69.9)]
    assert portions(choices, between, sure=True).grams == (100, 200)


limits = st.builds(
    lambda name, at_most, figure: Bound(name=name, at_most=at_most, figure=float(figure)),
    st.sampled_from(["fat_g", "protein_g", "net_carbs_g"]),
    st.booleans(),
    st.integers(5, 160),
)


@settings(max_examples=60, deadline=None)
@given(
    choices=st.lists(foods, min_size=1, max_size=3, unique_by=lambda c: c.name),
    bounds=st.lists(limits, min_size=1, max_size=3, unique_by=lambda b: (b.name, b.at_most)),
)
def test_every_way_out_is_taken_when_it_is_copied(choices: list[Choice], bounds: list[Bound]) -> None:
    """What is asked for is then kept, by the end of each interval too."""
    found = portions(choices, bounds, sure=True)
    ways = [{b: figure} for b, figure in found.conflict] if not found.ways else [dict(way) for _, way in found.ways]
    for way in ways:
        if None in way.values():
            continue
        core = [b for b, _ in found.conflict] if not found.ways else bounds
        copied = [replace(b, figure=way[b]) if b in way else b for b in core]
        assert portions(choices, copied, sure=True).grams is not None


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
