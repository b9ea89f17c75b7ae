"""``coverage --clips``: films that ffmpeg makes as cameras do, with time code or a moment in them, held against the log."""

from __future__ import annotations

import json
import subprocess
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from conftest import Table

from scriptkit.cli import coverage
from scriptkit.clip_files import read_clips
from scriptkit.problems import CannotDo

DISH = """
    dish: Leeks on toast
    servings: 2
    film: {frame_rate: "29.97 drop"}
    ingredients:
      leek: {amount: 300 g, prep: "sliced, 5 mm"}
      butter: {amount: 30 g, food: "butter, unsalted"}
      mustard: {amount: 10 g, food: "mustard, wholegrain"}
    steps:
      - {id: soften, stage: cook, do: Soften the leek., add: {butter: all, leek: all}, vessel: wide pan, wait: 8 min, screen: 20 s}
      - {id: finish, stage: cook, do: Stir in the mustard., add: {mustard: all}, vessel: wide pan, screen: 14 s}
"""
LOG = """\
title,card,clip,step,additions,take,in,out,recorded,verdict
Leeks on toast,1,,soften,butter,1,23:58:10;00,23:58:14;00,2026-10-05 23:58:14,circled
Leeks on toast,1,,soften,leek,1,23:59:58;10,00:00:02;10,2026-10-06 00:00:02,circled
Leeks on toast,1,,finish,mustard,1,00:09:30;00,00:09:34;00,2026-10-06 00:09:34,circled
"""
TAKES = (
    ("23:58:09;20", "2026-10-05T23:58:09Z"),
    ("23:59:58;04", "2026-10-05T23:59:58Z"),
    ("00:09:29;12", "2026-10-06T00:09:29Z"),
)


def film(ffmpeg: str, path: Path, seconds: float, *, code: str = "", made: str = "") -> None:
    path.parent.mkdir(parents=True, exist_ok=True)
    told = [*(("-timecode", code) if code else ()), *(("-metadata", f"creation_time={made}") if made else ())]
    picture = f"color=c=gray:size=64x36:rate=30000/1001:duration={seconds}"
    subprocess.run(
        [ffmpeg, "-hide_banner", "-loglevel", "error", "-y", "-f", "lavfi", "-i", picture, *told, "-c:v", "mpeg4", str(path)],
        check=True, capture_output=True,
    )  # fmt: skip


@pytest.fixture
def told(table: Table, capsys: pytest.CaptureFixture[str]) -> Callable[..., tuple[int, dict[str, Any]]]:
    dish, log = table.write("dish.yaml", DISH), table.write("takes.csv", LOG)

    def call(**more: str) -> tuple[int, dict[str, Any]]:
        capsys.readouterr()
        code = coverage.run(dish, log=log, clips=str(table.folder / "clips"), as_json=True, **more)
        return code, json.loads(capsys.readouterr().out)

    return call


def problems(found: dict[str, Any]) -> list[str]:
    return [p["code"] for p in found["problems"]]


def test_drop_frame_time_code_over_midnight_finds_each_clip(ffmpeg: str, table: Table, told: Any) -> None:
    for n, (code, _) in enumerate(TAKES):
        film(ffmpeg, table.folder / "clips" / f"C{n + 41:04d}.MP4", 5, code=code)
    (table.folder / "clips" / "._C0041.MP4").write_bytes(b"what a copy left")
    (table.folder / "clips" / "C0041.XML").write_text("<made/>", encoding="utf-8")
    exit_code, found = told()
    assert (exit_code, problems(found)) == (0, [])
    assert [one["file"] for one in found["clips"]["takes"]] == ["C0041.MP4", "C0042.MP4", "C0043.MP4"]
    assert {a["circled"] for a in found["additions"]} == {True}


def test_a_circled_take_without_its_clip_is_no_proof_and_a_clip_without_a_take_is_told(
    ffmpeg: str, table: Table, told: Any
) -> None:
    film(ffmpeg, table.folder / "clips" / "a.mov", 5, made=TAKES[0][1])
    film(ffmpeg, table.folder / "clips" / "b.mov", 5, made=TAKES[2][1])
    film(ffmpeg, table.folder / "clips" / "harbour.mov", 5, made="2026-10-06T00:04:00Z")
    (table.folder / "clips" / "broken.mov").write_bytes(b"\x00" * 99)
    exit_code, found = told()
    assert exit_code == 1
    assert sorted(problems(found)) == ["clip-without-take", "no-circled-take", "no-clip", "no-video"]
    assert [(a["ingredient"], a["circled"]) for a in found["additions"]] == [
        ("butter", True),
        ("leek", False),
        ("mustard", True),
    ]
    assert [(r["ingredient"], r["why"]) for r in found["rescue"]] == [("leek", ["circled, but its clip is not there"])]
    assert found["clips"]["clips_without_take"] == ["harbour.mov"]


def test_clocks_minutes_apart_are_offered_as_one_shift_with_the_line_that_applies_it(
    ffmpeg: str, table: Table, told: Any
) -> None:
    for n, made in enumerate(("23:54:07", "23:55:56", "00:05:27")):  # 4 min 2 s behind
        date = "2026-10-06" if made < "12" else "2026-10-05"
        film(ffmpeg, table.folder / "clips" / f"{n}.mov", 5, made=f"{date}T{made}Z")
    exit_code, found = told()
    assert exit_code == 1 and found["clips"]["takes"] == []
    assert problems(found) == ["clocks-apart"]  # a take whose clip hangs on a clock is not called missing
    (clock,) = found["clips"]["clocks"]
    assert abs(clock["apart_s"] - 242) < 3 and clock["applied"] is False
    hint = next(p["hint"] for p in found["problems"] if p["code"] == "clocks-apart")
    assert "--clips" in hint and "--log" in hint
    exit_code, found = told(clip_shift=hint.rpartition(" ")[2])
    assert (exit_code, problems(found), len(found["clips"]["takes"])) == (0, [], 3)


@pytest.mark.usefixtures("ffmpeg")
def test_a_folder_without_a_film_cannot_be_done(tmp_path: Path) -> None:
    with pytest.raises(CannotDo, match="no film"):
        read_clips(str(tmp_path))
    (tmp_path / "notes.mp4").write_text("a shopping list", encoding="utf-8")
    with pytest.raises(CannotDo, match="none of the films"):
        read_clips(str(tmp_path))
    with pytest.raises(CannotDo, match="no such folder"):
        read_clips(str(tmp_path / "gone"))


def test_clips_need_a_log_and_a_shift_needs_clips(table: Table) -> None:
    dish = table.write("dish.yaml", DISH)
    with pytest.raises(CannotDo, match="nothing tells which takes"):
        coverage.run(dish, clips=str(table.folder))
    with pytest.raises(CannotDo, match="no clips to shift"):
        coverage.run(dish, clip_shift="1:00")
