"""The overlay burnt into a picture by ffmpeg: a caption of each track is really seen where its cue says."""

from __future__ import annotations

import itertools
import subprocess
from pathlib import Path

import pytest
from conftest import EXAMPLES

from scriptkit.captions.composing.cue_limits import cue_limits_for
from scriptkit.captions.composing.overlay import overlay
from scriptkit.captions.composing.sounds import sounds_of, with_sounds
from scriptkit.captions.composing.text_width import FONT, thousandths
from scriptkit.captions.profiles import profiles
from scriptkit.measure.timecode import RATES
from scriptkit.nutrition.dish_meal_macros import dish_macros, meal_macros
from scriptkit.recipe.dish import Meal
from scriptkit.recipe.reader import read_source
from scriptkit.safety.rule_matching import cautions_in
from scriptkit.shoot.plan import dishes_of, plan_of
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.subrip import write_srt

WIDTH, HEIGHT = 640, 360
VERTICAL = (360, 640)


@pytest.fixture(scope="module")
def cues() -> list[Cue]:
    return composed("streaming")


def composed(profile: str) -> list[Cue]:
    """The example meal's overlay with its sounds, composed for a profile."""
    meal = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
    assert isinstance(meal, Meal)
    dishes = [dish_macros(d) for d in dishes_of(meal)]
    plan, room = plan_of(meal), cue_limits_for(profiles()[profile], RATES["25"])
    shown, _ = overlay(plan, cautions_in(meal), dishes, meal_macros(meal), room=room)
    return with_sounds(shown, sounds_of(plan), room)[0]


def frame(
    ffmpeg: str, folder: Path, at_ms: int, *, overlays: bool, size: tuple[int, int] = (WIDTH, HEIGHT), style: str = ""
) -> bytes:
    """The frame at a moment of a plain grey film, as raw grey pixels, with the overlay burnt in or without."""
    # The film starts 2 s before the moment, so that only a few seconds are made; its clock is set to the cut's.
    start_s = max(0.0, at_ms / 1000 - 2)
    clock = f"setpts=PTS+{start_s}/TB"
    back = f"setpts=PTS-{start_s}/TB"
    forced = f":force_style='{style}'" if style else ""
    burnt = f"{clock},subtitles=overlays.srt{forced},{back}" if overlays else "null"
    command = [
        ffmpeg, "-hide_banner", "-loglevel", "error", "-f", "lavfi", "-i", f"color=c=0x707070:s={size[0]}x{size[1]}:r=25:d=4",
        "-vf", burnt, "-ss", f"{at_ms / 1000 - start_s}", "-frames:v", "1", "-pix_fmt", "gray", "-f", "rawvideo", "frame.gray", "-y",
    ]  # fmt: skip
    subprocess.run(command, cwd=folder, check=True, capture_output=True)
    return (folder / "frame.gray").read_bytes()


def changed(one: bytes, other: bytes, width: int = WIDTH) -> list[tuple[int, int]]:
    """Columns and rows of the pixels that differ clearly."""
    return [(n % width, n // width) for n, (a, b) in enumerate(zip(one, other, strict=True)) if abs(a - b) > 40]


@pytest.mark.parametrize("track", ["safety", "addition", "time", "macros", "sound"])
def test_a_cue_of_each_track_is_seen_inside_the_picture(
    drawing_ffmpeg: str, cues: list[Cue], track: str, tmp_path: Path
) -> None:
    (tmp_path / "overlays.srt").write_text(write_srt(cues), encoding="utf-8", newline="")
    longest = max((c for c in cues if c.track == track), key=lambda c: max(map(len, c.lines)))
    middle = (longest.start_ms + longest.end_ms) // 2
    plain = frame(drawing_ffmpeg, tmp_path, middle, overlays=False)
    assert len(plain) == WIDTH * HEIGHT
    seen = changed(frame(drawing_ffmpeg, tmp_path, middle, overlays=True), plain)
    assert len(seen) > 500
    # Nothing of it outside the title-safe area: 90% of width and height (SMPTE ST 2046-1:2009), side to side.
    assert min(x for x, _ in seen) >= WIDTH * 0.05
    assert max(x for x, _ in seen) <= WIDTH * 0.95
    assert min(y for _, y in seen) > HEIGHT / 2  # two lines at the foot, no more


@pytest.mark.parametrize("track", ["safety", "addition", "macros"])
def test_on_vertical_video_the_widest_cue_stays_title_safe(drawing_ffmpeg: str, track: str, tmp_path: Path) -> None:
    """9:16 with the profile's own size of type, 2.8 % of the height, in the stated font: nothing outside 90 % of the width."""
    cues = composed("vertical-short")
    (tmp_path / "overlays.srt").write_text(write_srt(cues), encoding="utf-8", newline="")
    widest = max((c for c in cues if c.track == track), key=lambda c: max(map(thousandths, c.lines)))
    middle = (widest.start_ms + widest.end_ms) // 2
    # libass reads sizes on a picture 288 high, and a size there is a line's height: 1.164 em in this font.
    size = 288 * profiles()["vertical-short"].font_percent / 100 * 1.164  # type: ignore[operator]
    style = f"FontName={FONT},FontSize={size:.2f},MarginL=0,MarginR=0,MarginV=20"
    bare, burnt = (
        frame(drawing_ffmpeg, tmp_path, middle, overlays=o, size=VERTICAL, style=style) for o in (False, True)
    )
    seen = changed(burnt, bare, VERTICAL[0])
    assert len(seen) > 300
    assert min(x for x, _ in seen) >= VERTICAL[0] * 0.05
    assert max(x for x, _ in seen) <= VERTICAL[0] * 0.95
    rows = {y for _, y in seen}
    assert max(rows) - min(rows) < VERTICAL[1] * 0.028 * 1.4 * len(widest.lines)  # no more lines than composed


def test_between_cues_the_picture_is_bare(drawing_ffmpeg: str, cues: list[Cue], tmp_path: Path) -> None:
    (tmp_path / "overlays.srt").write_text(write_srt(cues), encoding="utf-8", newline="")
    gap = next(a.end_ms + 500 for a, b in itertools.pairwise(cues) if b.start_ms - a.end_ms > 2_000)
    assert (
        changed(
            frame(drawing_ffmpeg, tmp_path, gap, overlays=True), frame(drawing_ffmpeg, tmp_path, gap, overlays=False)
        )
        == []
    )
