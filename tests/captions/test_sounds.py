"""Sounds for the deaf and hard of hearing: from the steps that make them, where nothing else is to be read."""

from __future__ import annotations

import itertools
import re
import subprocess
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from conftest import EXAMPLES, Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.captions.composing.cue_limits import CueLimits
from scriptkit.captions.composing.sounds import (
    SHORTEST_MS,
    Sound,
    placed_sounds,
    rows,
    sound_of,
    sounds_of,
    with_sounds,
)
from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.measure.timecode import RATES
from scriptkit.problems import Place
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import addition_windows, plan_of
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.reading import parse_captions

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))


@pytest.mark.parametrize(
    ("step", "sound"),
    [
        ("do: Blend the soup until smooth.", "blender running"),
        ("do: Blend it., tools: [stick blender]", "hand blender running"),
        ("do: Sear the hake., heat: high", "sizzling"),
        ("do: Fry the onions., heat: medium", "sizzling"),
        ("do: Soften the leek., heat: low", "gentle sizzling"),
        ("do: Deep-fry the whiting.", "oil bubbling loudly"),
        ("do: Simmer for an hour.", "gentle bubbling"),
        ("do: Boil the potatoes.", "water boiling"),
        ("do: Chop the parsley.", "chopping"),
        ("do: Rinse the leek.", "water running"),
        ("do: Whisk the eggs.", "whisking"),
        ("do: Grate the nutmeg.", "grating"),
        ("do: Work it to crumbs., vessel: food processor", "food processor running"),
        ("do: Let it rest.", None),
        ("do: Ladle it into bowls.", None),
    ],
)
def test_the_sound_of_a_step(table: Table, step: str, sound: str | None) -> None:
    dish = table.dish(f"""
        dish: Noise
        servings: 2
        ingredients: {{butter: {{amount: 20 g, food: "butter, unsalted"}}}}
        steps: [{{stage: cook, {step}, add: butter, screen: 10 s}}]
    """)
    found = sound_of(dish.steps[0])
    assert (found.sound if found else None) == sound


def test_every_row_has_its_source_and_place_in_time() -> None:
    assert all(row.source and row.begins in ("additions", "action") for row in rows())
    assert len({row.sound for row in rows()}) == len(rows())


spans = st.lists(st.tuples(st.integers(0, 6_000), st.integers(500, 6_000)), max_size=8)


@settings(max_examples=60)
@given(spans, st.lists(st.tuples(st.integers(0, 40_000), st.integers(1_000, 20_000)), max_size=6))
def test_a_sound_stands_alone_or_is_told(gaps: list[tuple[int, int]], heard: list[tuple[int, int]]) -> None:
    cues, now = [], 0
    for gap, length in gaps:
        cues.append(Cue(start_ms=now + gap, end_ms=now + gap + length, lines=("x",), track="addition"))
        now += gap + length + 1
    sounds = [
        Sound(text=f"[{n}]", start_ms=at, end_ms=at + length, name="s", place=Place("d"), silent=False)
        for n, (at, length) in enumerate(heard)
    ]
    shown, problems = with_sounds(cues, sounds, CueLimits())
    new = [c for c in shown if c.track == "sound"]
    assert len(problems) <= 1  # all that find no room in one note
    assert len(new) + sum(p.message.count("[") for p in problems) == len(sounds)
    assert all(a.end_ms <= b.start_ms for a, b in itertools.pairwise(shown))
    for cue in new:
        sound = next(s for s in sounds if s.text == cue.text)
        assert sound.start_ms <= cue.start_ms
        assert cue.end_ms <= sound.end_ms
        assert cue.end_ms - cue.start_ms >= SHORTEST_MS
    assert [c for c in shown if c.track != "sound"] == cues


def test_a_step_shot_without_sound_is_told() -> None:
    plan = plan_of(read_source(str(EXAMPLES / "fennel-bisque.yaml")).usable())
    cues, problems = placed_sounds([], sounds_of(plan), CueLimits())
    assert "[blender running]" in [c.text for c in cues]
    assert [p.code for p in problems] == ["sound-of-mos"]


@pytest.mark.parametrize("profile", sorted(profiles()))
@pytest.mark.parametrize("name", ["harbour-supper", "quay-dinner"])
def test_the_command_keeps_the_profile(
    run: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path, name: str, profile: str
) -> None:
    meal = str(EXAMPLES / f"{name}.yaml")
    done = run("captions", meal, "--sounds", "--profile", profile, "--fps", "24", "-o", "o.vtt")
    assert done.returncode == 0, done.stderr
    read = parse_captions((tmp_path / "o.vtt").read_text(encoding="utf-8"), "o.vtt")
    assert "[chopping]" in [c.text for c in read.cues]
    assert proof(Sheet(read, profiles()[profile], RATES["24"])) == []


def heard(start_ms: int, end_ms: int, *, silent: bool = False) -> Sound:
    place = Place("dish.yaml", 9, 5)
    return Sound(text="[sizzling]", start_ms=start_ms, end_ms=end_ms, name="step 2 (sear)", place=place, silent=silent)


@pytest.mark.parametrize(
    ("taken", "begins"),
    # A sound of 10-14 s, which takes 2 s, with 120 ms between cues.
    [
        ([], 10_000),
        ([(8_000, 9_880)], 10_000),  # a gap just wide enough before it
        ([(8_000, 9_881)], 10_001),
        ([(12_120, 13_000)], 10_000),  # and after it
        ([(12_119, 13_000)], None),
        ([(9_000, 11_880)], 12_000),  # it ends with its time
        ([(9_000, 11_881)], None),
        ([(9_000, 10_500), (12_740, 13_000)], 10_620),  # between two
        ([(12_740, 13_000), (9_000, 10_500)], 10_620),  # in whatever order they come
        ([(9_000, 10_500), (12_739, 13_000)], None),
    ],
)
def test_a_sound_begins_in_the_first_gap_that_is_wide_enough(taken: list[tuple[int, int]], begins: int | None) -> None:
    cues, problems = placed_sounds(taken, [heard(10_000, 14_000)], CueLimits())
    assert [(c.start_ms, c.end_ms) for c in cues] == ([] if begins is None else [(begins, begins + SHORTEST_MS)])
    assert bool(problems) is (begins is None)


def test_two_sounds_do_not_stand_together() -> None:
    cues, _ = placed_sounds([], [heard(10_000, 14_120), heard(10_000, 14_120)], CueLimits())
    assert [(c.start_ms, c.end_ms) for c in cues] == [(10_000, 12_000), (12_120, 14_120)]


def test_what_is_told_of_sounds() -> None:
    _, problems = placed_sounds([(0, 99_000)], [heard(10_000, 14_000, silent=True)], CueLimits())
    _, more = placed_sounds([], [heard(10_000, 14_000, silent=True)], CueLimits())
    assert [(p.place, p.severity, p.code, p.message, p.hint) for p in (*problems, *more)] == [
        (
            Place("dish.yaml", 9, 5), "note", "sound-no-room",
            "not shown: [sizzling] at step 2 (sear); something is to be read there all the time",
            "give the step more `screen:`, or write the sound into the dialogue captions",
        ),
        (
            Place("dish.yaml", 9, 5), "note", "sound-of-mos",
            "[sizzling] is shown at step 2 (sear), which is shot without sound (mos)",
            "lay the sound under the picture, or take the cue out",
        ),
    ]  # fmt: skip
    both = [heard(10_000, 14_000), replace(heard(20_000, 24_000), text="[chopping]", name="step 3 (herbs)")]
    (once,) = placed_sounds([(0, 99_000)], both, CueLimits(), "dialogue.vtt")[1]
    assert "[sizzling] at step 2 (sear), [chopping] at step 3 (herbs)" in once.message
    assert (
        once.hint == "write such a sound into a cue of dialogue.vtt by hand, before what is said"
    )  # no `screen:` gives a talk more time
    _, wide = placed_sounds([], [replace(heard(0, 9_000), text=f"[{'x' * 42}]")], CueLimits())
    assert [p.code for p in wide] == ["sound-no-room"]


def test_a_sound_begins_with_the_food_or_with_the_action(table: Table) -> None:
    """Sizzling, when the first addition goes in; a whisk, after the last; over a step too short for it, 2 s from its end."""
    dish = table.dish("""
        dish: Noise
        servings: 2
        ingredients:
          butter: {amount: 20 g, food: "butter, unsalted"}
          cream: {amount: 40 g, food: "cream, heavy"}
          cold butter: {amount: 20 g, food: "butter, unsalted"}
          cold cream: {amount: 40 g, food: "cream, heavy"}
        steps:
        - {id: fry, stage: cook, do: Fry it., heat: high, add: [butter, cream], screen: 20 s}
        - {id: still, stage: cook, do: Let it rest., screen: 5 s}
        - {id: beat, stage: cook, do: Whisk it., add: [cold butter, cold cream], screen: 20 s}
        - {id: again, stage: cook, do: Whisk it once more., screen: 1 s}
        - {id: rinse, stage: cook, do: Rinse the pan., screen: 1 s}
    """)
    plan = plan_of(dish)
    fry, beat, rinse = sounds_of(plan)  # that the whisk goes on is not told again
    segment = {s.step.id: s for s in plan.segments if s.step is not None}
    windows = {name: addition_windows(s) for name, s in segment.items()}
    assert [s.text for s in (fry, beat, rinse)] == ["[sizzling]", "[whisking]", "[water running]"]
    assert fry.start_ms == windows["fry"][0][1] < windows["fry"][1][1]
    assert beat.start_ms == windows["beat"][-1][2] > windows["beat"][0][2]
    assert rinse.start_ms == segment["rinse"].start_ms
    assert [(s.name, s.end_ms) for s in (fry, beat, rinse)] == [
        ("step 1 (fry) of Noise", segment["fry"].end_ms),
        ("step 3 (beat) of Noise", segment["beat"].end_ms),
        ("step 5 (rinse) of Noise", segment["rinse"].end_ms),
    ]


def test_a_sound_of_a_meal_names_its_dish() -> None:
    plan = plan_of(read_source(str(EXAMPLES / "harbour-supper.yaml")).usable())
    names = [s.name for s in sounds_of(plan)]
    assert names
    assert all(re.fullmatch(r"step \d+ \([\w-]+\) of \S.*", name) for name in names)
