"""The written method of somebody else's recipe: numbers of steps, waits, *both flours*, and what the oven is set to."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from scriptkit.english.heat import heat_of, oven_degrees_in, oven_set_in
from scriptkit.english.vessels import Vessel
from scriptkit.english.written_method import all_of_a_kind, wait_ms_in, without_number
from scriptkit.measure.durations import format_duration


@pytest.mark.parametrize(
    ("text", "wait"),
    [
        ("Simmer for 20 to 25 minutes.", "20 min"), ("Fry 3 minutes per side.", "6 min"), ("Bake 30 minutes, turning every 10 minutes.", "30 min"),
        ("Cook 5 minutes, then another 10 minutes.", "15 min"), ("Chill for 2 hours or 30 minutes in the freezer.", "2 h"),
        ("Bake for 1 hr 15.", "1 h 15 min"), ("Bake for 1 hour 20 mins.", "1 h 20 min"), ("Cook for 2 and a half hours.", "2 h 30 min"),
        ("Braise for two and a half hours.", "2 h 30 min"), ("Simmer for an hour and a half.", "1 h 30 min"), ("Roast for 1h30.", "1 h 30 min"),
        ("Rest it for half an hour.", "30 min"), ("Cook on low for 8 hours or on high for 4 hours.", "8 h"), ("Leave 10 mins or until soft, then 5 more minutes.", "15 min"),
        ("Toast 1 minute 30 seconds.", "1 min 30 s"), ("Bake 1-1/2 hours.", "1 h 30 min"), ("Fry for a couple of minutes.", "2 min"),
        # times of something else, and none
        ("Uncover for the last 5 minutes.", "0 s"), ("Serve at once.", "0 s"), ("Stir every 2 minutes.", "0 s"), ("Eat within 3 hours.", "0 s"),
        ("Cook the pasta in 2 minutes less.", "0 s"), ("Melt it in 30-second bursts.", "0 s"),
    ],
)  # fmt: skip
def test_how_long_a_step_takes(text: str, wait: str) -> None:
    assert format_duration(wait_ms_in(text)) == wait


@given(st.integers(1, 23), st.integers(10, 59), st.sampled_from(["{} hr {}", "{} hours {} minutes", "{} h {} min", "{}h{:02}", "{} hours and {} minutes"]))  # fmt: skip
def test_hours_and_minutes_in_any_form(hours: int, minutes: int, form: str) -> None:
    assert wait_ms_in(f"Bake for {form.format(hours, minutes)}.") == (hours * 60 + minutes) * 60_000


@pytest.mark.parametrize(
    ("text", "heat", "celsius", "fan"),
    [
        ("Bake in a 150C oven for 1 hour.", "oven 150 °C", 150, False), ("Bake at gas mark 4 for 30 minutes.", "oven gas mark 4", 180, False),
        ("Preheat the oven to 200C/180C fan/gas 6.", "oven 200 °C", 200, False), ("Heat the oven to 200 °C (fan 180 °C).", "oven 200 °C", 200, False),
        ("Heat oven to 350°F.", "oven 350 °F", 176.7, False), ("Put it in a 400-degree oven.", "oven 400 °F", 204.4, False),
        ("Heat the fan oven to 160C.", "oven 160 °C", 160, False), ("Set the oven at 160 fan.", "oven 160 °C fan", 160, True),
        ("Oven to 180.", "oven 180 °C", 180, False),
    ],
)  # fmt: skip
def test_what_an_oven_is_set_to(text: str, heat: str, celsius: float, fan: bool) -> None:
    assert oven_set_in(text) == heat
    read = heat_of(heat, "", "bake", (), Vessel("", ""))
    assert (read.source, round(read.celsius or 0, 1), read.fan) == ("oven", celsius, fan)


@pytest.mark.parametrize("text", ["Bake 200 g of it.", "Roast 350 g of carrots.", "Bake 12 scones.", "Roast it until it reaches 165 °F inside.", "Bake for 120 minutes."])  # fmt: skip
def test_what_is_no_oven_s(text: str) -> None:
    assert oven_degrees_in(text) == ""


def test_numbers_of_steps_and_all_of_a_kind() -> None:
    told = [
        "1. Chop.",
        "Step 2: Fry.",
        "(3) Boil.",
        "4) Serve.",
        "2 eggs go in.",
        "1.5 litres go in.",
        "10:30 is too late.",
    ]
    assert [without_number(t) for t in told] == ["Chop.", "Fry.", "Boil.", "Serve.", *told[4:]]
    assert all_of_a_kind("Add both cheeses, then all the two kinds of beans.") == ("cheeses", "beans")
    assert all_of_a_kind("Sift in both kinds of flours.") == ("flours",)
