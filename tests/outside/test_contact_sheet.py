"""The contact sheet of a video that ffmpeg makes, with the second burnt in as digits and as a grey: the right one is shown."""

from __future__ import annotations

import base64
import re
import subprocess
from collections.abc import Callable
from pathlib import Path
from unittest.mock import Mock

import pytest
from conftest import Table

from scriptkit import video
from scriptkit.cli import coverage
from scriptkit.problems import CannotDo
from scriptkit.video import open_video, picture, pictures

LENGTH_S = 70
DISH = """
    dish: Leeks on toast
    servings: 2
    ingredients:
      leek: {amount: 300 g, prep: "sliced, 5 mm"}
      butter: {amount: 30 g, food: "butter, unsalted"}
      mustard: {amount: 10 g, food: "mustard, wholegrain"}
    steps:
      - {id: soften, stage: cook, do: Soften the leek., add: {butter: all, leek: all}, vessel: wide pan, wait: 8 min, screen: 20 s}
      - {id: finish, stage: cook, do: Stir in the mustard., add: {mustard: all}, vessel: wide pan, screen: 14 s}
"""
CUT = """
    cut: Leeks on toast
    length: "1:10"
    steps:
      - {step: soften, time: "0:20", by: hand}
      - {step: finish, time: "%s", by: hand}
"""
FONTS = (
    "/usr/share/fonts/truetype/dejavu/DejaVuSans.ttf",
    "/usr/share/fonts/dejavu-sans-fonts/DejaVuSans.ttf",
    "/usr/share/fonts/dejavu/DejaVuSans.ttf",
)


def make(ffmpeg: str, *arguments: str) -> None:
    subprocess.run([ffmpeg, "-hide_banner", "-loglevel", "error", "-y", *arguments], check=True, capture_output=True)


@pytest.fixture(scope="module")
def clock(ffmpeg: str, tmp_path_factory: pytest.TempPathFactory) -> str:
    """A video whose left half is as grey as its second, and whose right half tells it in digits; a key picture every 8 s."""
    path = str(tmp_path_factory.mktemp("video") / "cut of leeks: 1.mp4")
    digits = next(
        (
            f",drawtext=fontfile={f}:text='%{{pts\\:hms}}':x=w/2:y=h/3:fontsize=14:fontcolor=white"
            for f in FONTS
            if Path(f).is_file()
        ),
        "",
    )
    grey = f"nullsrc=s=192x108:r=10:d={LENGTH_S},geq=lum='16+3*floor(T)*lt(X,W/2)':cb=128:cr=128"
    make(ffmpeg, "-f", "lavfi", "-i", grey + digits, "-f", "lavfi", "-i", f"sine=d={LENGTH_S}",
         "-c:v", "mpeg4", "-q:v", "3", "-g", "80", "-c:a", "aac", "-shortest", f"file:{path}")  # fmt: skip
    return path


def second_of(ffmpeg: str, jpeg: bytes) -> int:
    """The second that the grey of the left half tells."""
    done = subprocess.run(
        [ffmpeg, "-hide_banner", "-loglevel", "error", "-f", "image2pipe", "-i", "-", "-vf", "crop=iw/4:ih/2:iw/8:ih/4,scale=1:1",
         "-pix_fmt", "gray", "-f", "rawvideo", "-"],
        input=jpeg, capture_output=True, check=True,
    )  # fmt: skip
    return round(done.stdout[0] * 219 / 255 / 3)


@pytest.mark.parametrize("ms", [0, 850, 7_850, 8_000, 41_000, 69_500])
def test_the_picture_is_of_its_second(ffmpeg: str, clock: str, ms: int) -> None:
    found = picture(open_video(clock), ms)
    assert found is not None
    assert second_of(ffmpeg, found) == ms // 1000


def test_there_is_no_picture_before_the_beginning_or_after_the_end(clock: str) -> None:
    opened = open_video(clock)
    assert opened.length_ms is not None
    assert abs(opened.length_ms - LENGTH_S * 1000) < 500
    assert pictures(opened, [-1, 75_000, 3_600_000]) == [None, None, None]


def images(page: str) -> list[bytes]:
    return [base64.b64decode(data) for data in re.findall(r'src="data:image/jpeg;base64,([^"]+)"', page)]


def sheet(table: Table, clock: str, finish_at: str) -> tuple[int, str]:
    dish, cut = table.write("dish.yaml", DISH), table.write("leeks.yaml", CUT % finish_at)
    code = coverage.run(dish, cut=cut, video=clock, output=str(table.folder / "out"))
    return code, (table.folder / "out" / "contact-sheet.html").read_text(encoding="utf-8")


def test_the_sheet_shows_three_pictures_about_each_addition(
    ffmpeg: str, clock: str, table: Table, capsys: pytest.CaptureFixture[str]
) -> None:
    code, page = sheet(table, clock, "0:45")
    assert code == 0, capsys.readouterr().err
    assert [second_of(ffmpeg, jpeg) for jpeg in images(page)] == [18, 20, 21, 18, 20, 21, 43, 45, 46]
    assert re.findall(r"<figcaption>([^<]+)<", page)[-3:] == ["0:43.5", "0:45.0", "0:46.5"]
    assert page.count("<script") == 1  # which saves the answers
    assert len(page) < 200_000  # nine pictures


def test_what_stands_after_the_end_is_told(clock: str, table: Table, capsys: pytest.CaptureFixture[str]) -> None:
    code, page = sheet(table, clock, "1:09.9")
    assert code == 0
    assert len(images(page)) == 8
    assert "after the end of the video (1:10)" in page
    capsys.readouterr()
    cut = table.write("late.yaml", (CUT % "1:40").replace('length: "1:10"', 'length: "2:00"'))
    code = coverage.run(str(table.folder / "dish.yaml"), cut=cut, video=clock, output=str(table.folder / "out"))
    said = capsys.readouterr().err
    assert code == 1
    assert "warning: 1 of 3 additions stand after the end of the video, 1:10: mustard at 1:40 is the first" in said


@pytest.mark.parametrize(
    ("arguments", "code", "message"),
    [
        (["-f", "lavfi", "-i", "sine=d=2", "sound.mp4"], "no-picture", "the file has sound and no picture"),
        (None, "no-video", "ffmpeg cannot read this as a video"),
    ],
    ids=["only sound", "text"],
)
def test_a_file_without_a_picture_is_refused(
    ffmpeg: str, tmp_path: Path, arguments: list[str] | None, code: str, message: str
) -> None:
    path = tmp_path / "sound.mp4"
    if arguments:
        make(ffmpeg, *arguments[:-1], str(path))
    else:
        path.write_text("this is a shopping list\n", encoding="utf-8")
    with pytest.raises(CannotDo) as told:
        open_video(str(path))
    (problem,) = told.value.problems
    assert problem.code == code
    assert problem.message.startswith(message)


def test_a_file_that_is_not_there_is_said_so(tmp_path: Path) -> None:
    with pytest.raises(CannotDo, match="no such file"):
        open_video(str(tmp_path / "gone.mp4"))


def test_without_any_ffmpeg_it_says_how_to_get_one(clock: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(video.shutil, "which", lambda _: None)
    monkeypatch.setitem(__import__("sys").modules, "imageio_ffmpeg", None)
    with pytest.raises(CannotDo) as told:
        open_video(clock)
    assert told.value.problems[0].hint == "install ffmpeg, or `pip install imageio-ffmpeg`"


def test_where_ffmpeg_is_not_on_the_path_that_of_imageio_ffmpeg_is_used(
    ffmpeg: str, clock: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    import imageio_ffmpeg

    monkeypatch.setattr(video.shutil, "which", lambda _: None)
    opened = open_video(clock)
    assert opened.ffmpeg == imageio_ffmpeg.get_ffmpeg_exe()
    found = picture(opened, 30_000)
    assert found is not None
    assert second_of(ffmpeg, found) == 30


def test_a_video_needs_a_folder_and_times(run: Callable[..., subprocess.CompletedProcess[str]], table: Table) -> None:
    table.write("dish.yaml", DISH)
    for arguments, words in (
        (["-o", "out"], "nothing tells where in the video"),
        (["--transcript", "t.srt"], "has nowhere to go"),
    ):
        done = run("coverage", "dish.yaml", "--video", "cut.mp4", *arguments)
        assert (done.returncode, done.stdout) == (2, "")
        assert words in done.stderr
    assert not (table.folder / "out").exists()


def test_of_a_video_that_does_not_say_how_long_it_is_nothing_is_called_late(
    ffmpeg: str, table: Table, capsys: pytest.CaptureFixture[str]
) -> None:
    """A raw stream has no head that tells its length."""
    path = table.folder / "cut.h264"
    make(ffmpeg, "-f", "lavfi", "-i", "testsrc=s=96x54:r=5:d=2", "-c:v", "libx264", "-f", "h264", str(path))
    assert open_video(str(path)).length_ms is None
    code, page = sheet(table, str(path), "0:45")
    assert code == 0
    assert "beyond-the-end" not in capsys.readouterr().err
    assert images(page) == []


def test_an_ffmpeg_that_cannot_be_run_or_does_not_end_is_told(clock: str, monkeypatch: pytest.MonkeyPatch) -> None:
    opened = open_video(clock)
    monkeypatch.setattr(video.subprocess, "run", Mock(side_effect=subprocess.TimeoutExpired("ffmpeg", 60)))
    assert picture(opened, 30_000) is None
    with pytest.raises(CannotDo, match="it took too long"):
        open_video(clock)
    monkeypatch.undo()
    monkeypatch.setattr(video, "ffmpeg_path", lambda: "/no/such/ffmpeg")
    with pytest.raises(CannotDo, match="ffmpeg cannot be run"):
        open_video(clock)
