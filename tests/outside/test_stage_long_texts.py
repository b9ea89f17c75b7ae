"""The stage page with long steps and long names: only the line to say scrolls, on the smallest phone too."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from stage_phone import make_set, phone
from test_stage_page import LAYOUT, SEEN

LONG_STEP = """
    dish: Potted shrimps of the boathouse
    servings: 2
    ingredients: {"brown shrimps from the quay, peeled and picked over twice": {amount: 200 g, food: prawns}, "clarified, unsalted butter of the upper farm": {amount: 100 g, food: ghee}}
    steps:
      - {id: spread, stage: cook, do: "Spread the leek with the oil and the rest of the salt in the tin, lay the wiped chicken on it, skin side up, and roast it until the skin is crisp.", vessel: roasting tin, heat: oven 425 °F, core: 165 °F, hands: 4 min, screen: 20 s, say: "The chicken goes on top, skin side up, the marinade wiped off. Forty minutes, and the skin crackles."}
      - {id: pot, stage: cook, do: "Warm the butter, stir the shrimps in it with the mace, the cayenne and the lemon for as long as it takes to coat them, press them into the little pots with the back of a spoon, pour the last of the butter over so that nothing stands out of it, and put them into the fridge until the butter has set hard.", add: ["brown shrimps from the quay, peeled and picked over twice", "clarified, unsalted butter of the upper farm"], vessel: heavy saucepan with a glass lid, heat: low, hands: 6 min, screen: 30 s, say: "Butter first, then the shrimps, and into the pots."}
"""


@pytest.mark.parametrize(("width", "height"), [(320, 568), (360, 640), (568, 320), (390, 844)])
def test_a_long_step_and_long_names_scroll_nothing_but_the_line(
    browser: Any, tmp_path: Path, width: int, height: int
) -> None:
    stage = make_set(LONG_STEP, tmp_path)
    with phone(browser, stage.path) as on:
        on.page.set_viewport_size({"width": width, "height": height})
        for shot in stage.shots:
            on.go(shot.slate)
            found = on.page.evaluate(LAYOUT)
            assert (found["scrolls"], found["out"]) == ([], []), (shot.slate, on.text("#what"))
            assert not shot.additions or on.page.evaluate(SEEN), shot.slate
