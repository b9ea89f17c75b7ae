"""A preview, a contact sheet and the server, ended at any moment and in any way: no ffmpeg goes on, each file is the old or a whole new
one, and no tap that was answered is lost.

A few moments with `pytest -m slow`; `pytest -m long` takes KILLS of them (100) for each.
"""

from __future__ import annotations

import contextlib
import json
import os
import random
import re
import shutil
import signal
import subprocess
import sys
import threading
import time
import urllib.error
import urllib.request
from pathlib import Path
from typing import Any

import pytest

from scriptkit.shoot.log.take_log import COLUMNS

MANY = int(os.environ.get("KILLS", "100"))
FEW = 3
GO_S = 30
"""How long what a command started may take to end after it; a slow machine takes a part of a second."""
ENDINGS = (signal.SIGKILL, signal.SIGTERM, signal.SIGINT, signal.SIGHUP) if os.name != "nt" else ()
pytestmark = pytest.mark.skipif(
    not Path("/proc/self/cwd").exists(), reason="looks for processes where Linux lists them"
)

DISH = """dish: Leeks on toast
servings: 2
film: {opening: 2 s, closing: 4 s}
ingredients: {leek: 300 g, butter: {amount: 30 g, food: "butter, unsalted"}}
steps:
  - {id: soften, stage: cook, do: Soften the leek., add: {butter: all, leek: all}, vessel: wide pan, screen: 14 s, sound: mos}
"""
CUT = 'cut: Leeks on toast\nlength: "0:20"\nsteps: [{step: soften, time: "0:02", by: hand}]\n'
MAKES = {
    "preview": (("preview", "dish.yaml", "--size", "540p", "-o", "out.mp4"), "out.mp4"),
    "contact sheet": (("coverage", "dish.yaml", "--cut", "dish.cut.yaml", "--video", "film.mp4", "-o", "out"), "out/contact-sheet.html"),
}  # fmt: skip


def working_in(folder: Path) -> list[str]:
    """Commands of the processes whose folder it is."""
    found = []
    for process in Path("/proc").iterdir():
        with contextlib.suppress(OSError):
            if process.name.isdigit() and (process / "cwd").readlink() == folder:
                state = (process / "stat").read_text(encoding="utf-8").rpartition(")")[2].split()[0]
                if state != "Z":  # ended, and its parent has not asked yet
                    found.append((process / "cmdline").read_text(encoding="utf-8").replace("\0", " "))
    return found


def start(folder: Path, *arguments: str) -> subprocess.Popen[bytes]:
    """The command, which hears Ctrl-C: tests that were started in the background have it ignored, and hand that down."""
    quiet: dict[str, Any] = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL}
    quiet["preexec_fn"] = lambda: signal.signal(signal.SIGINT, signal.SIG_DFL)
    return subprocess.Popen([sys.executable, "-m", "scriptkit", *arguments], cwd=folder, **quiet)


def end(process: subprocess.Popen[bytes], how: int, folder: Path) -> bool:
    """End the command alone, as a person or the system does, and not what it started. Whether it was still at work."""
    at_work = process.poll() is None
    process.send_signal(how)
    process.wait(GO_S)
    until = time.monotonic() + GO_S
    while left := working_in(folder):
        assert time.monotonic() < until, f"{signal.Signals(how).name}: {left}"
        time.sleep(0.02)
    return at_work


def whole(place: Path, ffmpeg: str) -> bool:
    """Whether it is a video that can be read to its end, or a page that ends."""
    if place.suffix == ".html":
        return place.read_text(encoding="utf-8").rstrip().endswith("</html>")
    read = [ffmpeg, "-v", "error", "-xerror", "-i", str(place), "-f", "null", "-"]
    done = subprocess.run(read, capture_output=True, check=False)
    return done.returncode == 0 and not done.stderr


def set_out(folder: Path, ffmpeg: str) -> None:
    (folder / "dish.yaml").write_text(DISH, encoding="utf-8")
    (folder / "dish.cut.yaml").write_text(CUT, encoding="utf-8")
    film = ["-f", "lavfi", "-i", "testsrc2=s=640x360:r=10:d=20", "-c:v", "mpeg4", str(folder / "film.mp4")]
    subprocess.run([ffmpeg, "-loglevel", "error", *film], check=True)


def ended_at_moments(which: str, times: int, folder: Path, ffmpeg: str) -> None:
    arguments, name = MAKES[which]
    set_out(folder, ffmpeg)
    place, began = folder / name, time.perf_counter()
    assert start(folder, *arguments).wait() in (0, 1)
    took, old = time.perf_counter() - began, place.read_bytes()
    assert whole(place, ffmpeg)
    (folder / "dish.yaml").write_text(DISH.replace("Leeks", "Quay leeks"), encoding="utf-8")
    (folder / "dish.cut.yaml").write_text(CUT.replace("Leeks", "Quay leeks"), encoding="utf-8")
    given = {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file() and p.name != name}
    chance, stopped = random.Random(times), 0
    for n in range(times):
        process = start(folder, *arguments)
        time.sleep(took * chance.uniform(0.2, 1.05))
        stopped += end(process, ENDINGS[n % len(ENDINGS)], folder)
        assert place.read_bytes() == old or whole(place, ffmpeg)
        left = {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file() and p.name != name}
        litter = [p for p in left if p not in given]
        assert all(p.startswith(".") for p in litter), litter
        assert {p: left[p] for p in given} == given
    assert stopped
    for left_behind in folder.rglob(".writing-*"):
        for path in (*left_behind.rglob("*"), left_behind):
            os.utime(path, (0, 0))
    assert start(folder, *arguments).wait() in (0, 1)
    assert whole(place, ffmpeg)
    assert [p.name for p in folder.rglob(".writing-*")] == []  # what was half-written is swept


@pytest.mark.parametrize("which", MAKES)
def test_a_film_that_is_ended_at_a_few_moments(which: str, tmp_path: Path, drawing_ffmpeg: str) -> None:
    ended_at_moments(which, FEW, tmp_path, drawing_ffmpeg)


@pytest.mark.long
@pytest.mark.parametrize("which", MAKES)
def test_a_film_that_is_ended_at_any_moment(which: str, tmp_path: Path, drawing_ffmpeg: str) -> None:
    ended_at_moments(which, MANY, tmp_path, drawing_ffmpeg)


# --- the server -------------------------------------------------------------------------------------------------------


def tap(n: int) -> dict[str, Any]:
    """A roll and its judgement, in turn."""
    of = {"id": f"phone-{n}", "n": n, "d": "phone", "t": 1_791_193_276_000 + 1000 * n, "z": 0, "l": "2A"}
    of |= {"s": "Leeks on toast\tsoften\t+butter", "a": ["butter"]}
    return of | (
        {"k": "roll"} if n % 2 else {"k": "judge", "v": "circled", "of": f"phone-{n - 1}", "card": "1", "clip": str(n)}
    )


def taps_until_it_dies(link: str, first: int, answered: set[str]) -> int:
    """One tap after another; those that the server has answered are kept. The next tap's number."""
    n = first
    while True:
        body = json.dumps({"run": "", "since": 0, "events": [tap(n)]}).encode()
        try:
            with urllib.request.urlopen(urllib.request.Request(link + "taps", body), timeout=GO_S) as answer:
                assert answer.status == 200
        except (urllib.error.URLError, ConnectionError, OSError):
            return n + 1
        answered.add(f"phone-{n}")
        n += 1


def served(folder: Path) -> tuple[subprocess.Popen[str], str]:
    arguments = ("serve", "dish.yaml", "-o", "day", "--address", "127.0.0.1")
    process = subprocess.Popen(
        [sys.executable, "-m", "scriptkit", *arguments], cwd=folder, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL, encoding="utf-8",
    )  # fmt: skip
    assert process.stdout
    for line in process.stdout:
        if found := re.search(r"open (http://\S+)", line):
            return process, found[1]
    raise AssertionError("it does not serve")


def killed_while_it_serves(times: int, folder: Path) -> None:
    (folder / "dish.yaml").write_text(DISH, encoding="utf-8")
    answered: set[str] = set()
    chance, n = random.Random(times), 1
    for _ in range(times):
        process, link = served(folder)
        with process:
            killer = threading.Timer(chance.uniform(0.05, 0.5), process.kill)
            killer.start()
            n = taps_until_it_dies(link, n, answered)
            killer.join()
        until = time.monotonic() + GO_S
        while working_in(folder):
            assert time.monotonic() < until
            time.sleep(0.02)
        lines = (folder / "day" / "leeks-on-toast-taps.jsonl").read_text(encoding="utf-8").split("\n")
        kept = set()
        for line in lines:
            with contextlib.suppress(ValueError):
                kept.add(json.loads(line)["id"])
        assert answered <= kept
        log = folder / "day" / "leeks-on-toast-takes.csv"
        assert not log.exists() or log.read_text(encoding="utf-8-sig").startswith(",".join(COLUMNS))
    assert answered
    shutil.rmtree(folder / "day")


def test_a_server_that_is_killed_keeps_what_it_has_answered(tmp_path: Path) -> None:
    killed_while_it_serves(2, tmp_path)


@pytest.mark.long
def test_a_server_that_is_killed_often_keeps_what_it_has_answered(tmp_path: Path) -> None:
    killed_while_it_serves(MANY, tmp_path)
