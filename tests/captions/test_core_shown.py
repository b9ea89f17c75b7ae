"""The temperature inside the food is shown while it is said, not at the end of the step's picture."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.captions.composing.compose import Group, Wish, compose
from scriptkit.cut.claims.claim import TEMPERATURE, Claim
from scriptkit.cut.transcript.transcript import SpokenLine
from scriptkit.cut.word_clock import word_clock_of
from scriptkit.problems import Place

ROAST = """
    dish: Roast hake
    servings: 2
    ingredients: {hake: 300 g}
    steps: [{id: roast, stage: cook, do: Roast the hake., add: hake, core: 63 °C, wait: 9 min, screen: 30 s}]
"""


@pytest.mark.parametrize(
    ("agrees", "subject", "known"), [(True, "core", True), (False, "core", False), (True, "oven", False)]
)
def test_the_clock_knows_when_the_core_is_said(table: Table, agrees: bool, subject: str, known: bool) -> None:
    dish = table.dish(ROAST)
    step = dish.steps[0]
    line = SpokenLine(12_000, 15_000, "sixty-three in the middle", 1)
    claims = [
        Claim(
            kind=TEMPERATURE, time_ms=ms, line=line, words="sixty-three", subject=f"the {subject} at step 1 (roast)", agrees=agrees,
            dish=dish, step=step,
        )
        for ms in (14_000, 12_500)
    ]  # fmt: skip
    assert word_clock_of([], claims).cores == ({step.place: 12_500} if known else {})


def test_what_is_shown_long_after_it_is_said_is_told() -> None:
    caution = Wish(at_ms=0, text="Hot fat spits: dry the skin well", track="safety")
    core = Wish(at_ms=0, text="Inside: 63 °C (145 °F)", track="time", heard=True)
    wishes = (*(caution for _ in range(3)), core)
    group = Group(at_ms=0, name="step 1 (roast)", place=Place("a.yaml", 1), wishes=wishes, remedy="")
    _, problems = compose([group], 60_000)
    (late,) = [p for p in problems if p.code == "caption-late"]
    assert late.message.startswith("“Inside: 63 °C (145 °F)” is shown ") and "after it is said" in late.message
