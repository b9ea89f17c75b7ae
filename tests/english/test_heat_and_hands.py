"""Steps in the words of recipe writers, each with what a cook says of it: on what heat, how long it goes by itself, how long it keeps the
cook. Every set was written before the readings were changed for it."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest
from conftest import Table
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.english.step_reading import StepReading
from scriptkit.english.step_times import step_times
from scriptkit.shoot.day.schedule import schedule_of
from scriptkit.shoot.day.step_lengths import hands_ms, wait_ms

ROWS = [
    *csv.DictReader(
        Path(__file__).with_name("heat_and_hands.csv").read_text(encoding="utf-8").splitlines(), delimiter="|"
    )
]
MISSED = 3
"""So many of them are not read as a cook reads them."""


def read(row: dict[str, str]) -> tuple[str, float, float]:
    reading = StepReading(sentence=row["words"])
    return reading.heat.source if reading.heat.on else "off", reading.own_time_ms / 60_000, reading.tended_ms / 60_000


def test_heat_and_hands_are_those_that_a_cook_says() -> None:
    assert len(ROWS) >= 140
    heat = [r["words"] for r in ROWS if read(r)[0] != r["heat"]]
    timed = [r for r in ROWS if r["free"] or r["busy"]]
    hands = [
        r["words"]
        for r in timed
        if read(r)[1:] != pytest.approx((float(r["free"] or 0), float(r["busy"] or 0)), abs=0.01)
    ]
    assert len(timed) > 90
    assert len(heat) <= MISSED and len(hands) <= MISSED, (heat, hands)


@pytest.mark.parametrize(
    ("words", "heat"),
    [
        ("Tip the chickpeas into a sieve and drain.", "off"),
        ("Put the cucumber in a bowl with the salt, leave for 20 minutes and drain.", "off"),
        ("Add the beans to cold water, soak overnight and drain.", "off"),
        ("Crisp the lettuce in iced water.", "off"),
        ("Add brown sugar and mix.", "off"),
        ("Put it back in the fridge for 10 minutes.", "off"),
        ("While the soup simmers, stir in the cream.", "hob"),
        ("As it simmers, skim off the foam.", "hob"),
        ("Preheat the oven to 180 °C and melt the butter.", "hob"),
    ],
)
def test_what_only_sounds_like_it(words: str, heat: str) -> None:
    reading = StepReading(sentence=words)
    assert (reading.heat.source if reading.heat.on else "off") == heat


@given(st.text(max_size=120), st.integers(1, 90))
def test_a_time_is_counted_once_for_one_of_the_two(words: str, minutes: int) -> None:
    own, tended = step_times(f"Simmer for {minutes} minutes.")
    assert own + tended == minutes * 60_000
    assert all(ms >= 0 for ms in step_times(words))


UNSTATED = """
    dish: Cod and potatoes
    servings: 2
    ingredients: {potato: 400 g, cod: 300 g}
    steps:
      - {id: boil, stage: cook, do: Boil the potatoes for 20 minutes., add: potato, vessel: pot}
      - {id: bake, stage: cook, do: Bake the cod for 15 minutes., add: cod, vessel: tray, heat: oven 200 °C, from: []}
      - {id: plate, stage: cook, do: Plate both., vessel: plates, from: [boil, bake]}
    kitchen: {filming: 0 s}
"""


def test_a_schedule_takes_the_times_that_only_the_words_say(table: Table) -> None:
    """And the cook bakes while the potatoes boil."""
    tasks = {t.step.id: t for t in schedule_of(table.dish(UNSTATED)).tasks}
    assert tasks["boil"].end_min - tasks["boil"].start_min == 21
    assert tasks["boil"].hands_end_min - tasks["boil"].start_min == 1
    assert tasks["bake"].start_min < tasks["boil"].end_min
    written = UNSTATED.replace("vessel: pot}", "vessel: pot, hands: 2 min, wait: 10 min}")
    assert {t.step.id: t.end_min - t.start_min for t in schedule_of(table.dish(written)).tasks}["boil"] == 12


def test_a_step_that_keeps_the_cook_leaves_no_hand_for_another(table: Table) -> None:
    stirred = UNSTATED.replace(
        "Boil the potatoes for 20 minutes.", "Stir the potatoes constantly for 20 minutes over a low heat."
    )
    dish = table.dish(stirred)
    assert [hands_ms(s, dish.kitchen) // 60_000 for s in dish.steps] == [20, 1, 1]
    assert [wait_ms(s) // 60_000 for s in dish.steps] == [0, 15, 0]
