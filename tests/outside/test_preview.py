"""The preview by ffmpeg: captions where and when they belong on the picture, and the same ones as soft subtitles."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from subprocess import CompletedProcess

import pytest
import srt
from conftest import Table

from scriptkit.burning import burn
from scriptkit.problems import CannotDo
from scriptkit.video import Video, length_ms_in

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
    dish: str, run: Run, tmp_path: Path, drawing_ffmpeg: str, frame: Callable[[Path, float], list[int]]
) -> None:
    done = run("preview", dish, "--size", "540p", "-o", "out/preview.mp4")
    assert done.returncode in (0, 1), done.stderr
    assert [p.name for p in (tmp_path / "out").iterdir()] == ["preview.mp4"]  # nothing half-written beside it
    assert run("captions", dish, "-o", "overlays.srt").returncode in (0, 1)
    cues = list(srt.parse((tmp_path / "overlays.srt").read_text(encoding="utf-8")))
    addition = next(c for c in cues if "utter" in c.content)
    video = tmp_path / "out" / "preview.mp4"
    while_on = bright_rows(frame(video, addition.start.total_seconds() + 1))
    assert while_on and min(while_on) > 0.65 * HEIGHT and max(while_on) < 0.95 * HEIGHT  # the title safe area
    assert not bright_rows(frame(video, 0.5))  # the opening has no caption
    read = subprocess.run(
        [drawing_ffmpeg, "-loglevel", "error", "-i", str(video), "-map", "0:s:0", "-f", "srt", "-"],
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
    assert (
        "after the end of the video, at 0:06: not shown there" in done.stderr
    )  # the plan is longer than these six seconds
    assert "time them by this video with --cut" in done.stderr
    told = subprocess.run(
        [ffmpeg, "-hide_banner", "-i", str(tmp_path / "preview.mkv")],
        capture_output=True,
        encoding="utf-8",
        check=False,
    ).stderr
    assert "160x90" in told  # as the video
    assert all(kind in told for kind in ("Video: h264", "Audio: aac", "Subtitle: subrip"))
    assert 5_900 <= (length_ms_in(told) or 0) <= 6_100


def test_markers_make_no_film_longer(dish: str, run: Run, tmp_path: Path, ffmpeg: str) -> None:
    """The last step and its closing end with the film, though a list of markers tells no length."""
    made = ["-f", "lavfi", "-i", "testsrc=s=160x90:r=25:d=13", "-c:v", "libx264", "-preset", "ultrafast", "film.mp4"]
    subprocess.run([ffmpeg, "-loglevel", "error", *made], check=True, cwd=tmp_path)
    (tmp_path / "markers.csv").write_text("step,time\nsoften,0:02\n", encoding="utf-8")
    done = run("preview", dish, "-o", "preview.mp4", "--video", "film.mp4", "--cut", "markers.csv")
    assert "after the end of the video" not in done.stderr
    told = subprocess.run(
        [ffmpeg, "-i", "preview.mp4"], capture_output=True, encoding="utf-8", check=False, cwd=tmp_path
    )
    assert 12_900 <= (length_ms_in(told.stderr) or 0) <= 13_100


@pytest.mark.parametrize(
    ("output", "video", "told"),
    [
        ("preview.avi", "", "end it with .mp4 or .mkv"),
        ("preview.mp4", "none.mp4", "no such file"),
        ("preview.mp4", "dish.yaml", "ffmpeg cannot read this as a video"),
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


@pytest.fixture
def burnt(monkeypatch: pytest.MonkeyPatch, ffmpeg: str) -> list[str]:
    """The caption files that would be burnt in, without ffmpeg's work."""
    assert ffmpeg
    found: list[str] = []

    def burn(ordered: Sequence[str], folder: str, told: Callable[[int], None]) -> None:
        told(1_000)
        found.append((Path(folder) / "all.srt").read_text(encoding="utf-8"))
        (Path(folder) / ordered[-1]).write_bytes(b"video")

    monkeypatch.setattr("scriptkit.burning.burn", burn)
    return found


def test_timed_by_the_cut_and_told_as_json(dish: str, run: Run, tmp_path: Path, table: Table, burnt: list[str]) -> None:
    cut = table.write("cut.yaml", "cut: Leeks on toast\nlength: 1:00\nsteps: [{step: soften, time: 0:20, by: hand}]\n")
    done = run("preview", dish, "-o", "out/preview.mp4", "--cut", cut, "--json")
    told = json.loads(done.stdout)
    run("captions", dish, "-o", "cut.srt", "--cut", cut)
    assert burnt == [(tmp_path / "cut.srt").read_text(encoding="utf-8")]
    assert next(iter(told)) == "format"
    assert (told["title"], told["file"], told["cues"]) == (
        "Leeks on toast",
        "out/preview.mp4",
        len(list(srt.parse(burnt[0]))),
    )
    assert (tmp_path / "out" / "preview.mp4").read_bytes() == b"video"


def test_quiet_says_only_what_is_wrong(dish: str, run: Run, burnt: list[str], monkeypatch: pytest.MonkeyPatch) -> None:
    """A video that is longer than the captions has nothing wrong with it."""
    monkeypatch.setattr("scriptkit.video.open_video", lambda path: Video(path=path, ffmpeg="ffmpeg", length_ms=600_000))
    done = run("preview", dish, "-o", "preview.mp4", "--video", "cut.mp4", "--quiet")
    assert burnt
    assert "after the end of the video" not in done.stderr
    assert "wrote" not in done.stderr + done.stdout
    assert "wrote preview.mp4" in run("preview", dish, "-o", "preview.mp4", "--video", "cut.mp4").stderr


def test_a_folder_that_cannot_be_made(dish: str, run: Run, tmp_path: Path, burnt: list[str]) -> None:
    (tmp_path / "out").write_text("mine", encoding="utf-8")
    done = run("preview", dish, "-o", "out/preview.mp4")
    assert (done.returncode, burnt) == (2, [])
    assert "error: nothing was written" in done.stderr
    assert (tmp_path / "out").read_text(encoding="utf-8") == "mine"


def python(code: str) -> list[str]:
    return [sys.executable, "-c", code]


def test_how_far_it_is_is_heard(tmp_path: Path) -> None:
    heard: list[int] = []
    burn(python("print('frame=1\\nout_time_us=N/A\\nout_time_us=1500000\\nprogress=end')"), str(tmp_path), heard.append)
    assert heard == [1_500]


@pytest.mark.parametrize(
    ("code", "said", "hint"),
    [
        (
            "import sys; sys.exit('one\\nNo such filter: subtitles')",
            "No such filter: subtitles",
            "this ffmpeg lacks a part",
        ),
        ("raise SystemExit(3)", "it gave no reason", "check the video"),
    ],
)
def test_what_ffmpeg_says_where_it_fails_is_told(tmp_path: Path, code: str, said: str, hint: str) -> None:
    with pytest.raises(CannotDo) as wrong:
        burn(python(code), str(tmp_path), lambda _: None)
    (one,) = wrong.value.problems
    assert (one.message, one.hint) == (f"ffmpeg could not make the preview: {said}", hint)


def test_an_ffmpeg_that_cannot_be_run_is_told(tmp_path: Path) -> None:
    with pytest.raises(CannotDo, match="ffmpeg could not make the preview"):
        burn([str(tmp_path / "no-ffmpeg")], str(tmp_path), lambda _: None)


@pytest.mark.skipif(os.name == "nt", reason="asks for a process by a signal")
def test_stopped_midway_ffmpeg_is_stopped_too(tmp_path: Path) -> None:
    running: list[int] = []

    def stop(number: int) -> None:
        running.append(number)
        raise KeyboardInterrupt

    code = (
        "import os, time; print(f'out_time_us={os.getpid() * 1000}', flush=True); time.sleep(3600); open('done', 'w')"
    )
    with pytest.raises(KeyboardInterrupt):
        burn(python(code), str(tmp_path), stop)
    with pytest.raises(ProcessLookupError):
        os.kill(running[0], 0)
    assert list(tmp_path.iterdir()) == []
