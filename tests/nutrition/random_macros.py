"""Made-up foods and tables for property tests. Figures are per nutrient; a dish's own tables add up by construction."""

from __future__ import annotations

from hypothesis import strategies as st

from scriptkit.nutrition.macros import Macros, macros_of, total
from scriptkit.pantry.food import NUTRIENTS, Composition

# Grams as tables print them (steps of 0.01), as a sum of many leaves them (any float), and exact halves of a printed step.
grams = st.one_of(
    st.just(0.0),
    st.integers(0, 500_000).map(lambda n: n / 100),
    st.floats(0, 5000, allow_subnormal=False),
    st.floats(0, 1, allow_subnormal=False),
    st.integers(0, 2000).map(lambda n: n / 20),
)
maybe = st.none() | grams


@st.composite
def row(draw: st.DrawFn, known: bool = True, polyols: bool = True) -> Macros:
    """A row whose parts of carbohydrate make its total, as those of every food of the house do."""
    figures = {n: draw(grams) for n in ("energy_kcal", "fat_g", "protein_g", "fibre_g", "net_carbs_g", "alcohol_g")}
    figures["deducted_sweeteners_g"] = draw(grams) if polyols and draw(st.booleans()) else 0.0
    figures["polyols_g"] = 2 * figures["deducted_sweeteners_g"]  # by half: none of it erythritol
    figures["carbohydrate_g"] = figures["fibre_g"] + figures["deducted_sweeteners_g"] + figures["net_carbs_g"]
    unknown = frozenset() if known else draw(st.frozensets(st.sampled_from(sorted(figures))))
    return Macros(
        draw(st.floats(0.1, 5000, allow_subnormal=False)),
        tuple(0.0 if n in unknown else figures.get(n, 0.0) for n in NUTRIENTS),
        unknown,
    )


def rows(*, known: bool = True, polyols: bool = True, most: int = 40) -> st.SearchStrategy[list[Macros]]:
    return st.lists(row(known=known, polyols=polyols), max_size=most)


@st.composite
def composition(draw: st.DrawFn) -> Composition:
    """Per 100 g; some figures unknown."""
    fat, protein, fibre, net = (draw(st.none() | st.floats(0, 25, allow_subnormal=False)) for _ in range(4))
    both = None if fibre is None or net is None else fibre + net
    return Composition(
        energy_kcal=draw(st.none() | st.floats(0, 900, allow_subnormal=False)), fat_g=fat, protein_g=protein, carbohydrate_g=both, fibre_g=fibre,
        net_carbs_g=net, alcohol_g=draw(st.none() | st.floats(0, 40, allow_subnormal=False)),
    )  # fmt: skip


foods_in_grams = st.lists(
    st.tuples(composition(), st.just(0.0) | st.floats(0.001, 2000, allow_subnormal=False)), max_size=12
)


def whole_of(parts: list[Macros]) -> Macros:
    return total(parts)


def of(composition: Composition, weight_g: float) -> Macros:
    return macros_of(composition, weight_g)
