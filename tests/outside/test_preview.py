"""The preview by ffmpeg: captions where and when they belong on the picture, and the same ones as soft subtitles."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path
from subprocess import CompletedProcess

import pytest
import srt
from conftest import Table

Run = Callable[..., CompletedProcess[str]]

DISH = """
    dish: Leeks on toast
    servings: 2
    cooked_weight: 300 g
    film: {opening: 2 s, closing: 14 s}
    ingredients: {leek: 300 g, butter: {amount: 30 g, food: "butter, unsalted"}}
    steps:
      - {id: soften, stage: cook, do: Soften the leek., add: {butter: all, leek: all}, vessel: wide pan, screen: 14 s, sound: mos}
"""
WIDTH, HEIGHT = 480, 270


@pytest.fixture(scope="module")
def frame(ffmpeg: str) -> Callable[[Path, float], list[int]]:
    """Brightness of a small picture of the video at a second, row by row."""

    def read(video: Path, second: float) -> list[int]:
        done = subprocess.run(
            [
                ffmpeg, "-loglevel", "error", "-ss", str(second), "-i", str(video), "-frames:v", "1",
                "-vf", f"scale={WIDTH}:{HEIGHT}:flags=area", "-pix_fmt", "gray", "-f", "rawvideo", "-",
            ],
            capture_output=True, check=True,
        )  # fmt: skip
        return list(done.stdout)

    return read


def bright_rows(pixels: list[int]) -> set[int]:
    rows = [pixels[n * WIDTH : (n + 1) * WIDTH] for n in range(HEIGHT)]
    return {n for n, row in enumerate(rows) if max(row) > 200}


@pytest.fixture
def dish(table: Table) -> str:
    return table.write("dish.yaml", DISH)


def test_on_a_plain_slate(
    dish: str, run: Run, tmp_path: Path, ffmpeg: str, frame: Callable[[Path, float], list[int]]
) -> None:
    done = run("preview", dish, "-o", "out/preview.mp4")
    assert done.returncode in (0, 1), done.stderr
    assert [p.name for p in (tmp_path / "out").iterdir()] == ["preview.mp4"]  # nothing half-written beside it
    assert run("captions", dish, "-o", "overlays.srt").returncode in (0, 1)
    cues = list(srt.parse((tmp_path / "overlays.srt").read_text(encoding="utf-8")))
    addition = next(c for c in cues if "utter" in c.content)
    video = tmp_path / "out" / "preview.mp4"
    while_on = bright_rows(frame(video, addition.start.total_seconds() + 1))
    assert while_on and min(while_on) > 0.8 * HEIGHT and max(while_on) < 0.95 * HEIGHT  # the title safe area
    assert not bright_rows(frame(video, 0.5))  # the opening has no caption
    read = subprocess.run(
        [ffmpeg, "-loglevel", "error", "-i", str(video), "-map", "0:s:0", "-f", "srt", "-"],
        capture_output=True, encoding="utf-8", check=True,
    ).stdout  # fmt: skip
    assert [(c.start, c.content) for c in srt.parse(read)] == [(c.start, c.content) for c in cues]


def test_on_a_video_its_sound_stays(dish: str, run: Run, tmp_path: Path, ffmpeg: str) -> None:
    subprocess.run(
        [
            ffmpeg, "-loglevel", "error", "-f", "lavfi", "-i", "testsrc=s=160x90:r=25:d=6", "-f", "lavfi", "-i",
            "sine=d=6", "-c:v", "libx264", "-preset", "ultrafast", "-c:a", "aac", "-shortest", str(tmp_path / "it's a cut.mp4"),
        ],
        check=True,
    )  # fmt: skip
    done = run("preview", dish, "-o", "preview.mkv", "--video", "it's a cut.mp4")
    assert "after the end of the video" in done.stderr  # the plan is longer than these six seconds
    told = subprocess.run(
        [ffmpeg, "-hide_banner", "-i", str(tmp_path / "preview.mkv")],
        capture_output=True,
        encoding="utf-8",
        check=False,
    ).stderr
    assert "960x540" in told
    assert all(kind in told for kind in ("Video: h264", "Audio: aac", "Subtitle: subrip"))


@pytest.mark.parametrize(
    ("output", "video", "told"),
    [
        ("preview.avi", "", "end it with .mp4 or .mkv"),
        ("preview.mp4", "none.mp4", "no such file"),
        ("preview.mp4", "dish.yaml", "no video that ffmpeg can read"),
    ],
)
def test_what_cannot_be_made_leaves_nothing(
    dish: str, run: Run, tmp_path: Path, ffmpeg: str, output: str, video: str, told: str
) -> None:
    assert ffmpeg
    done = run("preview", dish, "-o", output, "--video", video)
    assert done.returncode == 2
    assert told in done.stderr
    assert [p.name for p in tmp_path.iterdir()] == ["dish.yaml"]
