"""Careless pages, RDFa, Markdown and tables, each read as far as it goes."""

from __future__ import annotations

import json

import pytest

from scriptkit.drafting.raw_recipe import RawRecipe
from scriptkit.drafting.source import recipe_of


def found(text: str, name: str) -> RawRecipe:
    return recipe_of(text.encode(), name)


def test_types_and_keys_in_any_case() -> None:
    text = json.dumps(
        {
            "@type": "RECIPE",
            "Name": "Quay pie",
            "recipeingredient": ["300 g leeks"],
            "nutrition": {"Calories": "1674 kJ", "fatcontent": "3,000 g"},
        }
    )
    raw = found(text, "r.json")
    assert (raw.name, raw.ingredients) == ("Quay pie", ("300 g leeks",))
    assert raw.nutrition == (("energy_kcal", pytest.approx(400.1, abs=0.1)), ("fat_g", 3000.0))


def test_microdata_with_stray_and_missing_end_tags() -> None:
    page = """<html><body></div></span><div itemscope itemtype="https://schema.org/Recipe"><h1 itemprop="name">Quay pie</h1></b></p>
    <ul><li itemprop="recipeIngredient">300 g leeks<li itemprop="recipeIngredient">30 g butter</i></ul></section>
    <p itemprop="recipeInstructions">Soften the leeks.</p></div></body></html>"""
    raw = found(page, "p.html")
    assert (raw.name, raw.ingredients, raw.steps) == (
        "Quay pie",
        ("300 g leeks", "30 g butter"),
        ("Soften the leeks.",),
    )


def test_properties_behind_a_stray_end_tag_are_still_the_recipes() -> None:
    page = """<html><body><div><div itemscope itemtype="https://schema.org/Recipe"><b itemprop="name">Quay pie</b></div></div></div>
    <meta itemprop="recipeYield" content="4"><ul><li itemprop="ingredients">300 g leeks</li></ul><p itemprop="name">Other</p></body></html>"""
    raw = found(page, "p.html")
    assert (raw.name, raw.serves, raw.ingredients) == ("Quay pie", "4", ("300 g leeks",))


@pytest.mark.parametrize("kind", ["Recipe", "schema:Recipe", "http://schema.org/Recipe"])
def test_rdfa(kind: str) -> None:
    page = f"""<html><head><meta property="og:title" content="a page"></head><body><article vocab="https://schema.org/" typeof="{kind}">
    <h1 property="name">Quay pie</h1><span property="schema:recipeYield">4</span><i property="recipeIngredient">300 g leeks</i>
    <p property="recipeInstructions">Soften the leeks.</p></article></body></html>"""
    raw = found(page, "p.html")
    assert (raw.name, raw.serves, raw.ingredients) == ("Quay pie", "4", ("300 g leeks",))


def test_markdown() -> None:
    text = """# Quay pie

*Serves 4*

---

## Ingredients

### For the base
- [ ] **300 g** [leeks](leeks.md), sliced
* 30 g `butter`
+ salt

## Method

1. Soften the **leeks** in the butter.
2. Season and serve.
"""
    raw = found(text, "pie.md")
    assert (raw.name, raw.serves) == ("Quay pie", "Serves 4")
    assert raw.ingredients == ("300 g leeks, sliced", "30 g butter", "salt")
    assert raw.steps == ("Soften the leeks in the butter.", "Season and serve.")


@pytest.mark.parametrize("mark", [",", ";", "\t"])
def test_a_table_of_ingredients(mark: str) -> None:
    rows = [
        ["Amount", "Unit", "Ingredient", "Notes"],
        ["300", "g", "leeks", "sliced"],
        ["30", "g", "butter", ""],
        ["", "", "salt", ""],
        ["1"],
    ]
    raw = found("\n".join(mark.join(row) for row in rows), "quay-pie.csv")
    assert (raw.name, raw.ingredients, raw.steps) == ("Quay pie", ("300 g leeks, sliced", "30 g butter", "salt"), ())


def test_a_page_without_end_takes_time_in_step_with_its_length() -> None:
    """Of twice as many elements the parser does no more than about twice the work, counted in calls."""
    import cProfile
    import pstats

    def calls(times: int) -> int:
        page = (
            '<div itemscope itemtype="https://schema.org/Recipe">'
            + '<b><li itemprop="recipeIngredient">1 leek</x></b>' * times
        )
        profile = cProfile.Profile()
        profile.runcall(found, page, "p.html")
        return int(pstats.Stats(profile).total_calls)  # type: ignore[attr-defined]

    assert calls(800) < 2.5 * calls(400)
