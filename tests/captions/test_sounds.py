"""Sounds for the deaf and hard of hearing: from the steps that make them, where nothing else is to be read."""

from __future__ import annotations

import itertools
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES, Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.captions.profiles import profiles
from scriptkit.captions.proof import Sheet, proof
from scriptkit.captions.room import Room
from scriptkit.captions.sounds import SHORTEST_MS, Sound, placed_sounds, rows, sound_of, sounds_of, with_sounds
from scriptkit.measure.timecode import RATES
from scriptkit.problems import Place
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import plan_of
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
    shown, problems = with_sounds(cues, sounds, Room())
    new = [c for c in shown if c.track == "sound"]
    assert len(new) + len(problems) == len(sounds)
    assert all(a.end_ms <= b.start_ms for a, b in itertools.pairwise(shown))
    for cue in new:
        sound = next(s for s in sounds if s.text == cue.text)
        assert sound.start_ms <= cue.start_ms
        assert cue.end_ms <= sound.end_ms
        assert cue.end_ms - cue.start_ms >= SHORTEST_MS
    assert [c for c in shown if c.track != "sound"] == cues


def test_a_step_shot_without_sound_is_told() -> None:
    plan = plan_of(read_source(str(EXAMPLES / "fennel-bisque.yaml")).usable())
    cues, problems = placed_sounds([], sounds_of(plan), Room())
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
