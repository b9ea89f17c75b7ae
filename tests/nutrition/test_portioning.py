"""Portions that keep every limit, held against an enumeration of every portion there is."""

from __future__ import annotations

import itertools
import random
from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.amounts import parse_amount
from scriptkit.nutrition import pairing
from scriptkit.nutrition.intervals import Source, Uncertainty
from scriptkit.nutrition.limits import figure_of
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.pairing import rank_partners
from scriptkit.nutrition.portion_choice import Bound, Choice, plate_of, weights_of
from scriptkit.nutrition.portioning import portions
from scriptkit.nutrition.ratios import RATIOS
from scriptkit.nutrition.rounding import print_one
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


def test_where_no_one_figure_does_the_figures_that_do_together_are_named() -> None:
    """Neither can be had at all, so that the other kept is no way out: both must give."""
    few, much = Bound(name="net_carbs_g", at_most=True, figure=1), Bound(name="protein_g", at_most=False, figure=900)
    kept = Bound(name="energy_kcal", at_most=True, figure=2000)
    found = portions([SOUP, FISH], [kept, few, much])
    assert found.grams is None and [b for b, _ in found.ways] == [few, much]
    for first, way in found.ways:
        figures = dict(way)
        assert set(figures) <= {few, much} and figures[first] is not None
        asked = [kept, *(replace(b, figure=figures.get(b, b.figure)) for b in (few, much))]
        assert portions([SOUP, FISH], asked).grams is not None
    # a twin: where one of them can be had, its figure is named as before
    assert portions([SOUP, FISH], [kept, few]).ways == ()


def test_the_usual_portion_is_as_sure_as_it_is_served() -> None:
    """A share of a pot that nobody weighed is surer than as many grams of it."""
    doubt = Source(
        lambda: [
            Uncertainty("batch", "the cooked weight", dict.fromkeys(("net_carbs_g", "carbohydrate_g"), (-6.0, 6.0)))
        ]
    )
    share = per_gram(net_carbs_g=0.05, carbohydrate_g=0.05).times(300)
    weighed = replace(share, parts=((1.0, doubt),)).times(1 / 300)
    limit = Bound(name="net_carbs_g", at_most=True, figure=18)
    soup = replace(SOUP, usual_g=300, per_gram=weighed)
    assert portions([soup], [limit], sure=True).grams != (300,)
    assert portions([replace(soup, usual=share)], [limit], sure=True).grams == (300,)


def test_a_limit_is_kept_in_the_printed_figure_too() -> None:
    """260 g has 10.0 g in all, and of 9.96 g, which no printed figure shows, the viewer reads 10.0: 250 g it is."""
    soup = replace(SOUP, usual_g=320, per_gram=per_gram(net_carbs_g=9.96 / 260, carbohydrate_g=9.96 / 260))
    limit = Bound(name="net_carbs_g", at_most=True, figure=9.96)
    assert portions([soup], [limit]).grams == (250,)
    nothing = replace(soup, per_gram=per_gram(energy_kcal=1.0))
    assert [p.main_g for p in rank_partners(soup, [nothing], [limit])] == [250]
    heavy = replace(soup, least_g=260)
    (_, would_do), *_ = portions([heavy], [limit]).conflict
    assert would_do == 10.0


@pytest.mark.parametrize(
    ("has", "at_most", "figure", "grams"),
    [
        (9.96, True, 9.98, 250),  # 260 g has 9.96, which the viewer reads as 10.0: more than 9.98
        (10.04, False, 10.04, 270),  # 260 g has just enough, and reads as 10.0: less than 10.04
        (10.04, False, 10.02, 270),
    ],
)
def test_the_next_portion_is_taken_where_the_nearest_breaks_the_limit_as_printed(
    has: float, at_most: bool, figure: float, grams: float
) -> None:
    soup = replace(SOUP, usual_g=260, per_gram=per_gram(net_carbs_g=has / 260, carbohydrate_g=has / 260))
    assert portions([soup], [Bound(name="net_carbs_g", at_most=at_most, figure=figure)]).grams == (grams,)


@pytest.mark.parametrize(
    ("grams", "said"), [(50, "¼ cup"), (100, "½ cup"), (100.5, ""), (99.99, ""), (24, ""), (0, "")]
)
def test_only_whole_steps_are_said_by_their_measure(grams: float, said: str) -> None:
    stepped = replace(SOUP, step_g=50.0, step=parse_amount("1/4 cup"))
    assert stepped.said(grams) == said
    assert stepped.words(grams).endswith(f" ({said})" if said else " g")


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
PRINT_STEP = {"energy_kcal": 1.0, "weight_g": 1.0}
"""What a figure is printed to; 0.1 where it is not named."""


def exactly(bound: Bound, plate: Macros, margin: float = 0.0) -> bool:
    """Whether the plate's figure, computed anew, keeps the bound with room to spare."""
    figure = figure_of(plate, bound.name)
    if figure is None:  # a ratio to nothing: kept as its fraction is, and of nothing at all it is
        left, right = weights_of(bound, plate)
        return left <= right + SLACK
    return figure <= bound.figure + SLACK - margin if bound.at_most else figure >= bound.figure - SLACK + margin


def as_printed(bound: Bound, plate: Macros) -> bool:
    """Whether the figure that a viewer reads keeps the bound."""
    if bound.name in RATIOS:
        figure = figure_of(plate, bound.name)
        shown = None if figure is None else round(figure, 1)
    else:
        row = print_one(plate)
        shown = row.weight_g if bound.name == "weight_g" else row.figures[bound.name]
    return shown is None or (shown <= bound.figure + 1e-9 if bound.at_most else shown >= bound.figure - 1e-9)


def distance(some: list[Choice], grams: Sequence[float]) -> float:
    return sum(((g - c.usual_g) / max(c.usual_g, c.step_g)) ** 2 for g, c in zip(grams, some, strict=True))


def served(choice: Choice) -> list[float]:
    """Every portion from the least to the most, in steps; and the usual one."""
    steps = [n * choice.step_g for n in range(1000) if choice.least_g <= n * choice.step_g <= choice.most_g]
    return [*steps, choice.usual_g] if choice.least_g <= choice.usual_g <= choice.most_g else steps


def enumerated(some: list[Choice], limits: list[Bound], margins: bool = False) -> float | None:
    """The least distance from the usual portions, over every plate there is. ``margins``: only plates that lie a printed
    step or two inside every limit, so that they keep it however they are rounded."""
    best = None
    for grams in sorted(itertools.product(*map(served, some)), key=lambda g: distance(some, g)):
        plate = plate_of(some, grams)
        if all(exactly(b, plate, 2 * PRINT_STEP.get(b.name, 0.1) if margins else 0.0) for b in limits):
            best = distance(some, grams)
            break
    return best


def check_portions(some: list[Choice], limits: list[Bound], grams: Sequence[float] | None) -> None:
    """Kept exactly and as printed; no further from usual than any plate that keeps the limits with room for rounding."""
    best, roomy = enumerated(some, limits), enumerated(some, limits, margins=True)
    if grams is None:
        assert roomy is None
        return
    plate = plate_of(some, grams)
    assert all(exactly(b, plate) and as_printed(b, plate) for b in limits)
    assert all(g in served(c) for g, c in zip(grams, some, strict=True))
    assert best is not None
    assert distance(some, grams) >= best - SLACK
    if roomy is not None:
        assert distance(some, grams) <= roomy + SLACK


@settings(max_examples=100, deadline=None)
@given(st.lists(choices, min_size=1, max_size=3), st.lists(bounds, min_size=1, max_size=3))
def test_portions_agree_with_enumeration(some: list[Choice], limits: list[Bound]) -> None:
    found = portions(some, limits)
    check_portions(some, limits, found.grams)
    assert (found.grams is None) is bool(found.conflict)


@settings(max_examples=40, deadline=None)
@given(st.lists(choices, min_size=1, max_size=2), st.lists(bounds, min_size=1, max_size=3))
def test_the_nearest_figure_that_would_do_really_does(some: list[Choice], limits: list[Bound]) -> None:
    """And without any one of the limits that are named, the others can be kept."""
    found = portions(some, limits)
    core = [b for b, _ in found.conflict]
    for bound, figure in found.conflict:
        others = [b for b in core if b is not bound]
        if figure is None:
            assert len(core) == 1 or portions(some, others).grams is None
            continue
        relaxed = replace(bound, figure=figure)
        grams = portions(some, [relaxed, *others]).grams
        assert grams is not None
        assert as_printed(relaxed, plate_of(some, grams))
        assert figure > bound.figure if bound.at_most else figure < bound.figure


@settings(max_examples=10, deadline=None)
@given(st.lists(choices, min_size=2, max_size=3), st.lists(bounds, min_size=1, max_size=3), st.randoms())
def test_equally_near_portions_are_told_apart_the_same_way(some: list[Choice], limits: list[Bound], rand: Any) -> None:
    """Neither how often it is asked nor the order of the limits changes the answer."""
    shuffled = list(limits)
    rand.shuffle(shuffled)
    assert portions(some, limits).grams == portions(some, shuffled).grams == portions(some, limits).grams


def test_of_equally_near_portions_the_first_dish_keeps_its_own() -> None:
    """Two helpings of the same share what must give, 50 g: either could give the odd step."""
    limit = [Bound(name="net_carbs_g", at_most=True, figure=20)]
    twice = [replace(SOUP, usual_g=300, name="one"), replace(SOUP, usual_g=300, name="other")]
    assert portions(twice, limit).grams == (280, 270)  # 550 x 0.036 = 19.8


@settings(max_examples=25, deadline=None)
@given(choices, choices, st.lists(bounds, min_size=1, max_size=3))
def test_pairing_finds_the_same_portions(main: Choice, partner: Choice, limits: list[Bound]) -> None:
    grams = portions([main, partner], limits).grams
    ranked = rank_partners(main, [partner], limits)
    assert [(p.main_g, p.partner_g) for p in ranked] == ([] if grams is None else [pytest.approx(grams)])
    check_portions([main, partner], limits, grams)


def evenly(rand: random.Random, name: str) -> Choice:
    """A dish of which every portion has whole tenths of every figure, so that what is printed is what there is."""
    net, protein, fat = (rand.choice([0, 1, 2, 4, 10]) / 100 for _ in range(3))
    step = rand.choice([20.0, 30.0, 50.0])
    return Choice(
        name=name, per_gram=per_gram(net_carbs_g=net, carbohydrate_g=net, protein_g=protein, fat_g=fat),
        usual_g=rand.choice([100.0, 150.0, 170.0, 240.0]), step_g=step, least_g=40, most_g=rand.choice([140, 320]),
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(40))
def test_a_pair_is_the_nearest_of_all_its_portions_and_takes_no_solver(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The nearest of all plates that keep the limits; of equally near ones, that with the first dish nearest to usual, then
    that with less on the plate."""
    monkeypatch.delattr(pairing, "portions")
    rand = random.Random(seed)
    main, partner = evenly(rand, "main"), evenly(rand, "partner")
    limits = [
        Bound(name=n, at_most=m, figure=float(rand.choice(f)))
        for n, m, f in rand.sample(
            [
                ("net_carbs_g", True, [3, 6, 10, 18]), ("net_carbs_g", False, [4, 8, 12]), ("protein_g", False, [5, 12, 20]),
                ("protein_g", True, [6, 9]), ("fat_g", True, [4, 9, 20]), ("weight_g", True, [200, 330, 420]),
                ("weight_g", False, [230, 450]), ("fat_to_net_carbs", False, [0.5, 1.5]), ("fat_to_net_carbs", True, [1, 2]),
            ],
            rand.choice([1, 2, 2, 3]),
        )
    ]  # fmt: skip
    kept = [
        grams
        for grams in itertools.product(served(main), served(partner))
        if all(exactly(b, plate_of([main, partner], grams)) for b in limits)
    ]
    ranked = rank_partners(main, [partner], limits)
    if not kept:
        assert ranked == []
        return
    best = min(kept, key=lambda g: (round(distance([main, partner], g), 6), abs(g[0] - main.usual_g), *g))
    (pair,) = ranked
    assert (pair.main_g, pair.partner_g) == best
    assert pair.distance == pytest.approx(distance([main, partner], best))
    assert pair.plate == plate_of([main, partner], best)


def test_the_plate_of_a_pair_that_the_solver_found_is_that_of_its_portions() -> None:
    soup = replace(SOUP, per_gram=per_gram(net_carbs_g=9.96 / 260, carbohydrate_g=9.96 / 260))
    beside = replace(FISH, usual_g=160, per_gram=per_gram(fat_g=0.1))
    (pair,) = rank_partners(soup, [beside], [Bound(name="net_carbs_g", at_most=True, figure=9.96)])
    assert (pair.main_g, pair.partner_g) == (250, 160)
    assert pair.plate == plate_of([soup, beside], (250, 160))


@pytest.mark.parametrize("figure", [6.0, 9.3])
def test_a_limit_that_is_reached_to_the_gram_is_kept(figure: float) -> None:
    """All of 6 g by the first dish, beside one that has none; and 3.3 g more by one in its usual 165 g."""
    main = Choice(name="m", per_gram=per_gram(net_carbs_g=0.04), usual_g=150, step_g=50, least_g=50, most_g=300)
    net = (figure - 6.0) / 165
    beside = Choice(name="b", per_gram=per_gram(net_carbs_g=net), usual_g=165, step_g=20, least_g=40, most_g=400)
    (pair,) = rank_partners(main, [beside], [Bound(name="net_carbs_g", at_most=True, figure=figure)])
    assert (pair.main_g, pair.partner_g) == (150, 165)


def test_partners_that_give_as_little_are_ranked_by_name_others_by_what_must_give() -> None:
    limits = [Bound(name="weight_g", at_most=True, figure=480)]
    names = [replace(FISH, name=name, usual_g=160) for name in ("plaice", "brill")]
    small = replace(FISH, name="zander", usual_g=150)
    more = replace(FISH, name="angler", usual_g=200)  # 40 g of it must give: as printed in whole numbers, as little
    ranked = rank_partners(SOUP, [more, *names, small], limits)
    assert [p.partner.name for p in ranked] == ["brill", "plaice", "zander", "angler"]


def test_partners_are_ranked_by_how_little_must_give() -> None:
    bread = replace(
        FISH, name="bread", per_gram=per_gram(fat_g=0.02, protein_g=0.09, net_carbs_g=0.45, energy_kcal=2.4)
    )
    ranked = rank_partners(SOUP, [bread, FISH], [Bound(name="net_carbs_g", at_most=True, figure=13)])
    assert [p.partner.name for p in ranked] == ["fish"]
    ranked = rank_partners(SOUP, [bread, FISH], [Bound(name="net_carbs_g", at_most=True, figure=40)])
    assert [p.partner.name for p in ranked] == ["fish", "bread"]
    assert ranked[0].distance < ranked[1].distance
