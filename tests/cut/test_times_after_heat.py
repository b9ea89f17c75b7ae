"""A time that is said straight after the oven's degrees: two figures, though a recogniser writes them as one."""

from __future__ import annotations

import pytest
from conftest import Table

from scriptkit.cut.claims.all_claims import claims_in
from scriptkit.cut.claims.claim import TIME
from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.transcript.transcript_reader import read_transcript

LOAF = """\
dish: Loaf
servings: 4
ingredients: {{leek: 300 g, butter: {{amount: 50 g, food: "butter, unsalted"}}}}
steps:
  - {{id: chop, stage: prep, do: Chop the leek., uses: leek}}
  - {{id: bake, stage: cook, do: Bake the leek with the butter., add: {{leek: all, butter: all}}, vessel: tin, heat: {heat}, wait: {wait}}}
"""


@pytest.mark.parametrize(
    ("said", "heat", "wait", "agrees"),
    [
        ("at two hundred, forty minutes", "oven 200 °C", "40 min", [True]),
        ("at two hundred forty minutes", "oven 200 °C", "40 min", [True]),
        ("at four hundred, forty minutes", "oven 400 °F", "40 min", [True]),
        ("at two hundred, fifteen minutes", "oven 200 °C", "40 min", [False]),  # the time is wrong all the same
        ("for two hundred and forty minutes", "oven 200 °C", "40 min", [False]),
        ("for two hundred forty minutes", "oven 140 °C", "240 min", [True]),
        ("for two hundred, forty minutes", "oven 200 °C", "240 min", [True]),
    ],
)
def test_degrees_before_a_time_are_no_part_of_it(
    said: str, heat: str, wait: str, agrees: list[bool], table: Table
) -> None:
    dish = table.dish(LOAF.format(heat=heat, wait=wait))
    talk = f"[0:00] I chop the leek.\n[0:20] Bake the leek with the butter in the oven {said}, the leek is soft then.\n[0:40] There it is."
    transcript = read_transcript(talk.encode(), "cut.txt")
    times = [c for c in claims_in(dish, transcript, place(dish, transcript)) if c.kind == TIME]
    assert [c.agrees for c in times] == agrees
