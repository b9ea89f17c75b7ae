"""What is composed for a profile passes proof with that profile, at any rate, and drops nothing in silence."""

from __future__ import annotations

import functools
import subprocess
from collections.abc import Callable
from dataclasses import replace
from pathlib import Path

import pytest
from conftest import EXAMPLES
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.captions.composing.cue_limits import GAP_MS, CueLimits, cue_limits_for
from scriptkit.captions.composing.overlay import overlay, short_addition_line
from scriptkit.captions.profile import Profile
from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.measure.timecode import RATES, FrameRate
from scriptkit.nutrition.dish_meal_macros import dish_macros, meal_macros
from scriptkit.nutrition.servings import suggestion_for
from scriptkit.problems import Problem
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.safety.rule_matching import cautions_in
from scriptkit.shoot.plan import dishes_of, plan_of
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.frames import on_frames
from scriptkit.timed_text.reading import parse_captions
from scriptkit.timed_text.subrip import write_srt

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))


@functools.cache
def read(path: Path) -> Dish | Meal:
    return read_source(str(path)).usable()


def composed(path: Path, profile: Profile, rate: FrameRate) -> tuple[list[Cue], list[Problem]]:
    source = read(path)
    meal = meal_macros(source) if isinstance(source, Meal) else None
    cues, problems = overlay(
        plan_of(source),
        cautions_in(source),
        [dish_macros(d) for d in dishes_of(source)],
        meal,
        suggestion_for(meal) if meal else None,
        cue_limits_for(profile, rate),
    )
    return on_frames(cues, rate), problems


def proofed(cues: list[Cue], profile: Profile, rate: FrameRate) -> list[Problem]:
    return proof(Sheet(parse_captions(write_srt(cues), "o.srt"), profile, rate))


@pytest.mark.parametrize("name", sorted(profiles()))
@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_each_example_keeps_each_profile_and_shows_everything(path: Path, name: str) -> None:
    profile = profiles()[name]
    for rate in (RATES["23.976"], RATES["60"]):
        cues, problems = composed(path, profile, rate)
        assert proofed(cues, profile, rate) == []
        assert problems == []


OWN = st.fixed_dictionaries(
    {
        "line_length": st.integers(18, 60),
        "lines": st.integers(1, 4),
        "characters_a_second": st.none() | st.integers(8, 25),
        "words_a_minute": st.none() | st.integers(60, 240),
        "shortest_ms": st.none() | st.integers(500, 4_000),
        "longest_ms": st.none() | st.integers(4_500, 12_000),
        "gap_frames": st.none() | st.integers(1, 12),
        "gap_ms": st.none() | st.integers(40, 1_500),
        "font_percent": st.none() | st.integers(4, 8),
    }
).map(lambda figures: Profile(name="own", source="").with_limits(**figures))


@settings(max_examples=30)
@given(st.sampled_from(GOOD), st.sampled_from(sorted(RATES)), OWN)
def test_any_profile_is_kept_and_what_it_leaves_no_room_for_is_told(path: Path, at: str, own: Profile) -> None:
    cues, problems = composed(path, own, RATES[at])
    found = proofed(cues, own, RATES[at])
    assert {p.code for p in found} <= {"break"}  # a break where no other would do
    shown = " ".join(" ".join(c.lines) for c in cues).casefold()
    told = " ".join(p.message for p in problems).casefold()
    for dish in dishes_of(read(path)):
        for addition in dish.additions:
            label = short_addition_line(addition).casefold()
            assert label in shown or label[:40] in told


OWN_FILES = [
    ("like: streaming\nline_length: 30\ncharacters_a_second: 12\nshortest_ms: 1500\n", 0, ""),
    ("like: education\ngap_frames: 4\nlines: 3\naspect: '9:16'\nfont_percent: 3\n", 0, ""),
    ("line_lenght: 30\n", 2, "did you mean `line_length`?"),
    ("lines: none\n", 2, "`lines` must be a figure above zero"),
    ("like: streeming\n", 2, "there is no profile called “streeming”"),
    ("aspect: 9:16\n", 0, ""),
    ("aspect: tall\n", 2, 'write "16:9" or "9:16"'),
    ("safe_percent: 110\n", 2, "write 100 or less"),
    ("- a list\n", 2, "a profile is a group"),
    ("a: [\n", 2, "error: a [ is opened and not closed"),
]


@pytest.mark.parametrize(("text", "code", "told"), OWN_FILES)
def test_an_own_profile_is_composed_to_and_proofed_against(
    run: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path, text: str, code: int, told: str
) -> None:
    (tmp_path / "quay.yaml").write_text(text, encoding="utf-8")
    done = run("captions", str(EXAMPLES / "seared-hake.yaml"), "--profile", "quay.yaml", "--fps", "24", "-o", "o.vtt")
    assert done.returncode == code, done.stderr
    assert told in done.stderr
    if not code:
        assert run("proof", "o.vtt", "--profile", "quay.yaml", "--fps", "24").returncode == 0


def test_what_is_wrong_with_a_profile_is_shown_where_it_stands(
    run: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path
) -> None:
    (tmp_path / "quay.yaml").write_text("like: streaming\nlines: none\n", encoding="utf-8")
    done = run("proof", str(EXAMPLES / "harbour-supper-cut.srt"), "--profile", "quay.yaml")
    assert done.stderr.splitlines()[:3] == [
        "quay.yaml:2:8: error: `lines` must be a figure above zero [wrong-value]", "    lines: none", "           ^",
    ]  # fmt: skip


def test_why_a_text_is_too_long_is_told() -> None:
    path = next(p for p in GOOD if p.stem == "seared-hake")
    short = Profile(
        name="own", source="", limits={"line_length": 42, "lines": 2, "shortest_ms": 3_000, "longest_ms": 2_000}
    )
    _, problems = composed(path, short, RATES["25"])
    assert {p.code for p in problems} == {"caption-too-long"}
    assert "cannot be read in the 2.0 s that a cue may stay on screen" in problems[0].message


def test_the_room_of_a_profile_in_milliseconds() -> None:
    """25 frames a second: a frame is 40 ms, which a cue may lose or win at either end when it is put on frames."""
    room = cue_limits_for(profiles()["streaming"], RATES["25"])
    assert (room.slack_ms, room.gap_ms, room.least_gap_ms, room.longest_ms) == (40, 120, 80 + 40, 7_000 - 40)
    assert room.least_ms("Soft.") == 833 + 40
    room = cue_limits_for(profiles()["public-broadcaster"], RATES["25"])
    assert (room.gap_ms, room.least_gap_ms, room.longest_ms) == (GAP_MS, 1_000 + 40, None)
    room = cue_limits_for(profiles()["education"], RATES["25"])  # it gives no gap: none is too narrow
    assert (room.gap_ms, room.least_gap_ms) == (GAP_MS, 0)
    assert CueLimits().least_ms("Soft.") == 0


def test_a_text_that_is_read_in_just_the_longest_time_is_shown() -> None:
    profile = profiles()["streaming"].with_limits(line_length=20, characters_a_second=10, longest_ms=3_040)
    room = cue_limits_for(profile, RATES["25"])  # 3000 ms, of which 40 are for the frames: 29 characters in 2900 ms
    assert room.least_ms("x" * 14 + " " + "y" * 14) == 2_940
    assert room.fit("x" * 14 + " " + "y" * 14) == ("x" * 14, "y" * 14)
    assert replace(room, longest_ms=2_940).fit("x" * 14 + " " + "y" * 14) is not None
    assert replace(room, longest_ms=2_939).fit("x" * 14 + " " + "y" * 14) is None
    assert replace(room, longest_ms=2_940).as_written("x" * 14 + "\n" + "y" * 14) == ("x" * 14, "y" * 14)
