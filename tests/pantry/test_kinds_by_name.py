"""What the name of a label tells of it, for cautions: never for figures, and never over what the label states."""

from __future__ import annotations

import dataclasses

import pytest

from scriptkit.pantry.kinds_by_name import category_of, kind_named, raw_class_of
from scriptkit.pantry.table import food


@pytest.mark.parametrize(
    ("name", "category", "raw_class"),
    [
        ("Minced beef", "beef", "ground-meat"), ("farm chicken thighs", "poultry", "poultry"), ("Chicken stock", "stock", ""),
        ("roast chicken", "poultry", ""), ("native oysters", "shellfish", "shellfish"), ("oyster sauce", "sauce", ""),
        ("Dark rum", "wine or spirit", ""), ("rum extract", "", ""), ("Plain flour", "grain", ""), ("butternut squash", "vegetable", ""),
        ("vegan sausages", "", ""), ("dried kidney beans", "pulse", ""), ("calf's liver", "offal", "ground-meat"), ("egg noodles", "pasta", ""),
        ("smoked mackerel", "fish", ""), ("goose fat", "fat or oil", ""), ("duck eggs", "egg", "egg"), ("beef curry", "dish", ""),
        ("beef tomatoes", "vegetable", ""), ("beef gravy granules", "", ""), ("pork seasoning", "", ""), ("pork pie", "dish", ""),
        ("Minced beef with seasoning", "beef", "ground-meat"), ("Chicken thighs, in curry sauce", "poultry", "poultry"),
    ],
)  # fmt: skip
def test_the_last_words_of_a_name_tell_what_it_is(name: str, category: str, raw_class: str) -> None:
    kind = kind_named(name)
    assert (kind.category, kind.raw_class) == (category, raw_class)


def test_what_a_label_states_goes_before_its_name() -> None:
    chicken = food("chicken breast, skinless")
    label = dataclasses.replace(chicken, name="Farm chicken breast", category="own", safety="")
    assert (category_of(label), raw_class_of(label)) == ("poultry", "poultry")
    ready = dataclasses.replace(label, category="poultry")
    assert (category_of(ready), raw_class_of(ready)) == ("poultry", "")
