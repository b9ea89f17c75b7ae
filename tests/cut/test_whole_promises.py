"""A promise with several parts is kept only where each of them is."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.cut.claims.whole_promises import as_a_whole
from scriptkit.production import Production

DISH = """
    dish: Lamb
    promise: "{promise}"
    servings: 1
    for: [no alcohol]
    ingredients: {{protein: {{amount: 100 g, food: chicken breast}}, {wet}: 100 g}}
    steps: [{{id: s1, stage: cook, do: Simmer it through., add: [protein, {wet}], vessel: pot, heat: low, wait: 20 min}}]
"""


@pytest.mark.parametrize(
    ("promise", "wet", "verdict", "named"),
    [
        ("No alcohol on the plate, gluten-free, and at least 10 g protein.", "red wine", "broken", "red wine"),
        ("No alcohol on the plate, gluten-free, and at least 10 g protein.", "water", "kept", ""),
        ("Low in histamine, and at least 10 g protein.", "water", "in doubt", "“Low in histamine”"),
        ("At least 10 g protein.", "red wine", "kept", ""),
    ],
)
def test_each_part_is_held(table: Table, promise: str, wet: str, verdict: str, named: str) -> None:
    made = Production(table.read(DISH.format(promise=promise, wet=wet)))
    (one,) = as_a_whole(made.promised, made.problems)
    assert one.verdict == verdict
    assert named in one.settles
    assert named or not one.settles
