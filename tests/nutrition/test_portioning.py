"""Portions that keep every limit, held against an enumeration of every portion there is."""

from __future__ import annotations

import itertools
from dataclasses import replace

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.nutrition.limits import RATIOS
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.pairing import rank_partners
from scriptkit.nutrition.portioning import Bound, Choice, plate_of, portions, weights_of
from scriptkit.pantry.food import NUTRIENTS


def per_gram(**figures: float) -> Macros:
    return Macros(1.0, tuple(figures.get(n, 0.0) for n in NUTRIENTS))


SOUP = Choice(
    name="soup", per_gram=per_gram(fat_g=0.04, protein_g=0.02, net_carbs_g=0.036, energy_kcal=0.6),
    usual_g=320, step_g=10, least_g=80, most_g=800,
)  # fmt: skip
FISH = Choice(
    name="fish", per_gram=per_gram(fat_g=0.12, protein_g=0.18, net_carbs_g=0.004, energy_kcal=1.8),
    usual_g=165, step_g=10, least_g=50, most_g=400,
)  # fmt: skip


def test_a_plate_inside_its_limits_stays_as_it_is() -> None:
    found = portions([SOUP, replace(FISH, usual_g=160)], [Bound(name="net_carbs_g", at_most=True, figure=20)])
    assert found.grams == (320, 160)


def test_the_portion_that_costs_least_gives() -> None:
    found = portions([SOUP, replace(FISH, usual_g=160)], [Bound(name="net_carbs_g", at_most=True, figure=10)])
    assert found.grams == (260, 160)  # 260 x 0.036 + 160 x 0.004 = 10.0; 270 would be 10.36


def test_limits_that_contradict_one_another_are_named_with_what_would_do() -> None:
    few, much = Bound(name="net_carbs_g", at_most=True, figure=4), Bound(name="protein_g", at_most=False, figure=80)
    innocent = Bound(name="energy_kcal", at_most=True, figure=2000)
    found = portions([SOUP, FISH], [innocent, few, much])
    assert found.grams is None
    assert [b for b, _ in found.conflict] == [few, much]
    (_, carbs), (_, protein) = found.conflict
    assert carbs is not None and portions([SOUP, FISH], [replace(few, figure=carbs + 1e-6), much]).grams
    assert protein is not None and portions([SOUP, FISH], [few, replace(much, figure=protein - 1e-6)]).grams
    assert portions([SOUP, FISH], [replace(few, figure=carbs - 0.01), much]).grams is None


def test_garnish_counts() -> None:
    bound = Bound(name="net_carbs_g", at_most=True, figure=12)
    plain = portions([SOUP], [bound]).grams
    with_bread = portions([SOUP], [bound], Macros(30.0, per_gram(net_carbs_g=3.6).known)).grams
    assert (plain, with_bread) == ((320,), (230,))


def test_nothing_is_printed(capfd: pytest.CaptureFixture[str]) -> None:
    """Standard output is for data; the solver's own banner must not stand in it."""
    portions([SOUP, FISH], [Bound(name="net_carbs_g", at_most=True, figure=10)])
    assert capfd.readouterr() == ("", "")


def test_an_unknown_figure_is_refused() -> None:
    lacking = replace(SOUP, per_gram=Macros(1.0, SOUP.per_gram.known, frozenset({"net_carbs_g"})))
    with pytest.raises(ValueError, match="net_carbs_g"):
        portions([lacking], [Bound(name="net_carbs_g", at_most=True, figure=10)])


shares = st.integers(0, 300).map(lambda n: n / 1000)
choices = st.builds(
    lambda f, p, c, e, usual, step, most: Choice(
        name="x", per_gram=per_gram(fat_g=f, protein_g=p, net_carbs_g=c, energy_kcal=e), usual_g=usual, step_g=step,
        least_g=50, most_g=most,
    ),
    shares, shares, shares, st.integers(3, 30).map(lambda n: n / 10), st.sampled_from([150, 205, 320]),
    st.sampled_from([20, 25, 60]), st.sampled_from([260, 420]),
)  # fmt: skip
bounds = st.one_of(
    st.builds(Bound, name=st.sampled_from(["net_carbs_g", "fat_g", "protein_g"]), at_most=st.booleans(), figure=st.integers(3, 90).map(float)),
    st.builds(Bound, name=st.just("energy_kcal"), at_most=st.booleans(), figure=st.integers(200, 1200).map(float)),
    st.builds(Bound, name=st.just("weight_g"), at_most=st.booleans(), figure=st.integers(100, 900).map(float)),
    st.builds(Bound, name=st.sampled_from(["fat_to_protein_and_net_carbs", "fat_to_net_carbs"]), at_most=st.booleans(), figure=st.integers(2, 30).map(lambda n: n / 10)),
    st.builds(Bound, name=st.sampled_from([r for r in RATIOS if r.endswith("percent")]), at_most=st.booleans(), figure=st.integers(5, 90).map(float)),
)  # fmt: skip

SLACK = 1e-6


def keeps(bound: Bound, plate: Macros) -> bool:
    left, right = weights_of(bound, plate)
    return left <= right + SLACK


def distance(some: list[Choice], grams: tuple[float, ...]) -> float:
    return sum(abs(g - c.usual_g) / c.usual_g for g, c in zip(grams, some, strict=True))


def enumerated(some: list[Choice], limits: list[Bound]) -> float | None:
    """The least distance from the usual portions, over every plate there is."""
    every = itertools.product(*([n * c.step_g for n in c.steps] for c in some))
    return min((distance(some, g) for g in every if all(keeps(b, plate_of(some, g)) for b in limits)), default=None)


@settings(max_examples=200, deadline=None)
@given(st.lists(choices, min_size=1, max_size=3), st.lists(bounds, min_size=1, max_size=3))
def test_portions_agree_with_enumeration(some: list[Choice], limits: list[Bound]) -> None:
    best = enumerated(some, limits)
    found = portions(some, limits)
    if best is None:
        assert found.grams is None
        assert found.conflict
    else:
        assert found.grams is not None
        assert distance(some, found.grams) == pytest.approx(best, abs=1e-6)
        assert all(keeps(b, plate_of(some, found.grams)) for b in limits)
        for grams, choice in zip(found.grams, some, strict=True):
            assert grams / choice.step_g == pytest.approx(round(grams / choice.step_g))


@settings(max_examples=100, deadline=None)
@given(choices, choices, st.lists(bounds, min_size=1, max_size=3))
def test_pairing_finds_the_same_optimum(main: Choice, partner: Choice, limits: list[Bound]) -> None:
    best = enumerated([main, partner], limits)
    ranked = rank_partners(main, [partner], limits)
    assert (best is None) is (not ranked)
    if best is not None:
        assert ranked[0].distance == pytest.approx(best, abs=1e-6)
        assert all(keeps(b, ranked[0].plate) for b in limits)


def test_partners_are_ranked_by_how_little_must_give() -> None:
    bread = replace(
        FISH, name="bread", per_gram=per_gram(fat_g=0.02, protein_g=0.09, net_carbs_g=0.45, energy_kcal=2.4)
    )
    ranked = rank_partners(SOUP, [bread, FISH], [Bound(name="net_carbs_g", at_most=True, figure=13)])
    assert [p.partner.name for p in ranked] == ["fish"]
    ranked = rank_partners(SOUP, [bread, FISH], [Bound(name="net_carbs_g", at_most=True, figure=40)])
    assert [p.partner.name for p in ranked] == ["fish", "bread"]
    assert ranked[0].distance < ranked[1].distance
