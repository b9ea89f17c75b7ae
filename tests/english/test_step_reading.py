"""Properties of what is read from a step: any words do, what is not done is not done, and keys beat words."""

from __future__ import annotations

import time
from collections.abc import Callable

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.english import heat as heats
from scriptkit.english.disposal import disposals_in
from scriptkit.english.heat import level_in
from scriptkit.english.methods import METHODS
from scriptkit.english.negation import affirmed, negations
from scriptkit.english.step_reading import StepReading
from scriptkit.english.vessels import kind_of, vessel_in

KITCHEN = st.sampled_from(
    [
        "do",
        "not",
        "don't",
        "never",
        "without",
        "let",
        "it",
        "the",
        "a",
        "boil",
        "simmer",
        "or",
        "nor",
        "and",
        "then",
        "until",
        "hot",
        "180",
        "°C",
        "oven",
        "gas",
        "4",
        "pan",
        "in",
        "into",
        "off",
        "heat",
        ".",
        ";",
        ",",
        "drain",
        "pour",
        "away",
        "discard",
        "set",
        "aside",
        "rather",
        "than",
        "instead",
        "of",
        "no",
        "brown",
        "colour",
        "over",
        "medium",
        "grill",
        "sieve",
        "half",
        "½",
        "é’",
        "\n",
    ]
)
SENTENCES = st.one_of(st.text(max_size=200), st.lists(KITCHEN, max_size=40).map(" ".join))
DENIALS = {
    "boil": "boil", "simmer": "simmer", "blend": "blend", "roast": "roast", "bake": "bake", "steam": "steam", "poach": "poach",
    "chill": "chill", "fry": "fry", "sear": "sear",
}  # fmt: skip


def all_of(reading: StepReading) -> list[object]:
    names = [n for n in dir(StepReading) if isinstance(getattr(StepReading, n), property)]
    return [getattr(reading, name) for name in names]


@settings(max_examples=300)
@given(SENTENCES, SENTENCES, SENTENCES, st.booleans())
def test_any_words_are_read(words: str, vessel: str, heat: str, cooks: bool) -> None:
    reading = StepReading(sentence=words, written_vessel=vessel, written_heat=heat, cooks=cooks)
    assert len(all_of(reading)) > 20
    assert all_of(reading) == all_of(StepReading(sentence=words, written_vessel=vessel, written_heat=heat, cooks=cooks))
    assert set(reading.methods) <= set(METHODS)


@given(SENTENCES)
def test_what_is_not_done_leaves_every_other_word_in_its_place(words: str) -> None:
    told = affirmed(words)
    assert len(told) == len(words)
    denied = {n for one in negations(words) for n in range(one.start, one.end)}
    assert all(told[n] == (" " if n in denied else words[n]) for n in range(len(words)))


@given(
    st.sampled_from(
        ["Do not {}", "Don't {} it", "Never {}", "Do not let it {}", "No need to {}", "Do not let the soup {}"]
    ),
    st.sampled_from(sorted(DENIALS)),
    st.sampled_from(["", "Season it. ", "Weigh the salt; "]),
)
def test_a_denied_act_is_never_among_the_acts(denial: str, verb: str, before: str) -> None:
    reading = StepReading(sentence=before + denial.format(verb) + ".")
    assert DENIALS[verb] not in {act.method for act in reading.acts}
    assert reading.method != DENIALS[verb]
    assert not reading.heat.on
    assert reading.not_done


@given(SENTENCES, st.sampled_from(METHODS), st.sampled_from(["stock pot", "tray"]))
def test_written_keys_win(words: str, method: str, vessel: str) -> None:
    reading = StepReading(sentence=words, written_method=method, written_vessel=vessel, core_c=63.0)
    assert (reading.method, reading.vessel.name) == (method, vessel)
    assert reading.temperatures[0].of == "core"
    off = StepReading(sentence=words, written_method=method, written_vessel=vessel, written_heat="off")
    assert not off.heat.on
    assert not off.takes_a_burner
    low = StepReading(sentence=words, written_heat="low")
    assert (low.heat.on, low.heat.level) == (True, "low")


@given(SENTENCES, st.sampled_from(["none", "no heat", "cold", "off", "Off, covered", "switched off", "off the heat"]))
def test_no_heat_takes_no_burner(words: str, heat: str) -> None:
    assert not StepReading(sentence=words, written_vessel="pan", written_heat=heat).takes_a_burner


@pytest.mark.parametrize(
    ("heat", "source"),
    [
        ("oven 180 °C", heats.OVEN), ("gas 4", heats.OVEN), ("grill, high", heats.GRILL), ("air fryer 190 °C", heats.AIR_FRYER),
        ("microwave", heats.MICROWAVE), ("slow cooker, low", heats.SLOW_COOKER), ("sous vide 60 °C", heats.SOUS_VIDE),
        ("barbecue", heats.BARBECUE), ("toaster", heats.APPLIANCE),
    ],
)  # fmt: skip
@given(words=SENTENCES)
def test_only_the_hob_takes_a_burner(heat: str, source: str, words: str) -> None:
    reading = StepReading(sentence=words, written_vessel="pan", written_heat=heat)
    assert (reading.heat.source, reading.takes_a_burner) == (source, False)


# British gas marks as cookers and cookbooks commonly print them (from memory): 1 is 140 °C, 4 is 180 °C, 9 is 240 °C.
@pytest.mark.parametrize(("mark", "celsius"), [("gas 1", 140), ("gas mark 4", 180), ("mark 9", 240), ("gas 1/2", 120)])
def test_gas_marks(mark: str, celsius: float) -> None:
    assert StepReading(sentence="Bake.", written_heat=mark).heat.celsius == celsius


LONG: list[tuple[str, Callable[[str], object]]] = [
    ("do not let the ", negations), ("not ", negations), ("do not stir or ", negations), ("pour off the fat and ", disposals_in),
    ("drain the big white soft ", disposals_in), ("in a large heavy wide ", vessel_in), ("pan ", kind_of), ("medium to ", level_in),
    ("until ", lambda text: StepReading(sentence=text).until), ("preheat the oven ", lambda text: StepReading(sentence=text).heat),
    ("simmer, ", lambda text: StepReading(sentence=text).acts), ("180 °C ", lambda text: StepReading(sentence=text).temperatures),
]  # fmt: skip


@pytest.mark.long
@pytest.mark.parametrize(("words", "ask"), LONG, ids=[words for words, _ in LONG])
def test_four_times_the_words_take_no_more_than_some_times_as_long(words: str, ask: Callable[[str], object]) -> None:
    def took(count: int) -> float:
        best = 9.0
        for n in range(3):
            text = f"{n} " + words * count
            began = time.perf_counter()
            ask(text)
            best = min(best, time.perf_counter() - began)
        return best

    few, many = took(500), took(2000)
    assert many < 12 * few + 0.05
