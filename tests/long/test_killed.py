"""Killed without warning, the disk full, the folder gone: every file is the old one or the new one, whole.

The ordinary tests kill before a chosen step with a file; `pytest -m long` kills KILLS times (200) by the clock for each command.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
import subprocess
import sys
import time
from pathlib import Path

import pytest
from conftest import EXAMPLES, ROOT
from messages import kinds

from scriptkit import writing
from scriptkit.problems import CannotDo

BAD_CAPTIONS = "".join(
    f"{n}\n00:{n // 60:02d}:{n % 60:02d},000 --> 00:{n // 60:02d}:{n % 60:02d},{'000' if n % 3 else '900'}\nWords <i>of {n}\n\n"
    for n in range(1, 2_000)
)


def command(*arguments: str) -> list[str]:
    return [sys.executable, "-m", "scriptkit", *arguments]


def state(folder: Path) -> dict[str, bytes]:
    """The files that a person sees; what was being written beside them when the process died is hidden, as the record is."""
    return {p.name: p.read_bytes() for p in folder.iterdir() if p.is_file() and not p.name.startswith(".")}


def killed_at(seconds: float, *arguments: str, cwd: Path) -> bool:
    """Whether the process was killed before it ended."""
    process = subprocess.Popen(
        command(*arguments), cwd=cwd, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, start_new_session=True
    )
    time.sleep(seconds)
    if process.poll() is not None:
        return False
    os.killpg(process.pid, signal.SIGKILL)
    process.wait()
    return True


def moments(times: int, whole: float, seed: int) -> list[float]:
    """Most of them near the end, where files are put in place."""
    chance = random.Random(seed)
    return [whole * (chance.uniform(0.6, 1.05) if n % 4 else chance.uniform(0, 0.6)) for n in range(times)]


def run_whole(*arguments: str, cwd: Path) -> float:
    start = time.perf_counter()
    subprocess.run(command(*arguments), cwd=cwd, capture_output=True, check=False)
    return time.perf_counter() - start


LONG = int(os.environ.get("KILLS", "200"))
"""Kills by the clock of each command; `pytest -m long`."""

AT_STEP = """
import os, signal, sys
from pathlib import Path
left = int(sys.argv[1])
sys.dont_write_bytecode = True  # a compiled module put in place is no step of the command
def step(event, arguments):
    global left
    if event in ("os.rename", "os.link", "os.remove") or (event == "open" and ".writing-" in str(arguments[0])):
        left -= 1
        if left == 0:
            os.kill(os.getpid(), signal.SIGKILL)
from scriptkit.cli import main
sys.argv[1:] = sys.argv[2:]
sys.addaudithook(step)
try:
    main()
finally:
    Path("steps").write_text(str(-left), encoding="utf-8")
"""
"""The command, killed by itself before it takes its n-th step with a file; with 0 it goes through, and counts them."""


def steps_of(*arguments: str, cwd: Path) -> int:
    """How many steps with files the command takes."""
    subprocess.run([sys.executable, "-c", AT_STEP, "0", *arguments], cwd=cwd, capture_output=True, check=False)
    counted = cwd / "steps"
    count = int(counted.read_text(encoding="utf-8"))
    counted.unlink()
    assert count > 1, "the steps are not seen"
    return count


def killed_before_step(step: int, *arguments: str, cwd: Path) -> None:
    """Raises AssertionError where it was not killed."""
    done = subprocess.run(
        [sys.executable, "-c", AT_STEP, str(step), *arguments], cwd=cwd, capture_output=True, check=False
    )
    assert done.returncode == -signal.SIGKILL, done.stderr


OF_A_FOLDER = {
    "pack": ("pack", "harbour-supper.yaml", "-o", "out"),
    "a log read for the edit": ("paper-edit", "harbour-supper.yaml", "--log", "harbour-supper-takes.csv", "-o", "out"),
    "a log read for coverage": ("coverage", "harbour-supper.yaml", "--log", "harbour-supper-takes.csv", "-o", "out"),
}


def between(folder: Path, arguments: tuple[str, ...]) -> tuple[dict[str, bytes], dict[str, bytes]]:
    """The example meal and its log in the folder; what the command makes of them before and after they are changed, in out."""
    for name in ("harbour-supper.yaml", "fennel-bisque.yaml", "seared-hake.yaml", "harbour-supper-takes.csv"):
        shutil.copy(EXAMPLES / name, folder)
    run_whole(*arguments, cwd=folder)
    old = state(folder / "out")
    for changed in (folder / "harbour-supper.yaml", folder / "harbour-supper-takes.csv"):
        text = changed.read_text(encoding="utf-8").replace("Harbour supper", "Quay supper")
        changed.write_text(text.replace("wiped, better", "wiped"), encoding="utf-8")
    run_whole(*arguments, cwd=folder)
    new = state(folder / "out")
    assert old and old.keys() == new.keys() and old != new
    return old, new


def put(folder: Path, files: dict[str, bytes]) -> None:
    for name, content in files.items():
        (folder / name).write_bytes(content)


def torn(found: dict[str, bytes], old: dict[str, bytes], new: dict[str, bytes]) -> list[str]:
    """Files that are neither the old nor the new ones."""
    assert found.keys() == old.keys()
    return [name for name, content in found.items() if content not in (old[name], new[name])]


@pytest.mark.skipif(os.name == "nt", reason="kills a process")
@pytest.mark.parametrize("arguments", OF_A_FOLDER.values(), ids=OF_A_FOLDER)
def test_what_is_killed_between_two_steps_leaves_old_or_new_files(arguments: tuple[str, ...], tmp_path: Path) -> None:
    old, new = between(tmp_path, arguments)
    given = state(tmp_path)
    put(tmp_path / "out", old)
    steps = steps_of(*arguments, cwd=tmp_path)
    for step in (steps * 2 // 3, steps):
        put(tmp_path / "out", old)
        killed_before_step(step, *arguments, cwd=tmp_path)
        assert torn(state(tmp_path / "out"), old, new) == []
    assert state(tmp_path) == given


@pytest.mark.long
@pytest.mark.skipif(os.name == "nt", reason="kills a process group")
@pytest.mark.parametrize("arguments", OF_A_FOLDER.values(), ids=OF_A_FOLDER)
def test_what_is_killed_at_any_moment_leaves_old_or_new_files(arguments: tuple[str, ...], tmp_path: Path) -> None:
    old, new = between(tmp_path, arguments)
    whole, given = run_whole(*arguments, cwd=tmp_path), state(tmp_path)
    seen = set()
    for moment in moments(LONG, whole, LONG):
        put(tmp_path / "out", old)
        seen.add(killed_at(moment, *arguments, cwd=tmp_path))
        assert torn(state(tmp_path / "out"), old, new) == []
    assert True in seen
    assert state(tmp_path) == given


FIX = ("proof", "cut.srt", "--fix", "cut.srt")


@pytest.mark.skipif(os.name == "nt", reason="kills a process")
def test_captions_that_are_being_mended_are_whole_when_the_process_is_killed_between_two_steps(tmp_path: Path) -> None:
    captions = tmp_path / "cut.srt"
    old = BAD_CAPTIONS.encode("utf-8")
    captions.write_bytes(old)
    steps = steps_of(*FIX, cwd=tmp_path)
    new = captions.read_bytes()
    assert new != old
    for step in (steps // 2, steps):
        captions.write_bytes(old)
        killed_before_step(step, *FIX, cwd=tmp_path)
        assert captions.read_bytes() in (old, new)


@pytest.mark.long
@pytest.mark.skipif(os.name == "nt", reason="kills a process group")
def test_captions_that_are_being_mended_are_whole_at_any_moment(tmp_path: Path) -> None:
    captions = tmp_path / "cut.srt"
    captions.write_text(BAD_CAPTIONS, encoding="utf-8")
    old = captions.read_bytes()
    whole = run_whole(*FIX, cwd=tmp_path)
    new = captions.read_bytes()
    assert new != old
    for moment in moments(LONG, whole, LONG):
        captions.write_bytes(old)
        killed_at(moment, *FIX, cwd=tmp_path)
        assert captions.read_bytes() in (old, new)


DRAFT = """dish: Harbour pie
servings: 4
unsure: {servings: 0.4, read_from: "Makes 1 pie"}
ingredients: {butter: {amount: 30 g, food: "butter, unsalted"}}
steps: [{stage: cook, do: Melt it., add: butter}]
"""
MADE = {
    "new": (("new", "Quay soup", "-o", "soup.yaml"), None),
    "a draft": (("new", "--from", "page.txt", "-o", "soup.yaml"), None),
    "confirm": (("confirm", "soup.yaml", "--answers", "answers.json"), DRAFT),
}
"""Commands that make soup.yaml or change it, and what is in it before."""


def made(folder: Path, which: str) -> tuple[tuple[str, ...], bytes | None, Path]:
    """The command with what it reads, what is in its file before, and the file."""
    arguments, text = MADE[which]
    (folder / "page.txt").write_text("Soup\n\nServes 4\n\n100 g butter\n\nMelt the butter.\n", encoding="utf-8")
    (folder / "answers.json").write_text('{"servings": 6}', encoding="utf-8")
    return arguments, None if text is None else text.encode("utf-8"), folder / "soup.yaml"


def back_to(place: Path, before: bytes | None) -> None:
    for path in (place, place.parent / "dish.schema.json", *place.parent.glob(".writing-*")):
        path.unlink(missing_ok=True)
    if before is not None:
        place.write_bytes(before)


@pytest.mark.skipif(os.name == "nt", reason="kills a process")
@pytest.mark.parametrize("which", MADE)
def test_a_recipe_that_is_made_or_answered_is_whole_or_as_before(which: str, tmp_path: Path) -> None:
    arguments, before, place = made(tmp_path, which)
    back_to(place, before)
    steps = steps_of(*arguments, cwd=tmp_path)
    after = place.read_bytes()
    assert after != before
    for step in range(max(1, steps - 5), steps + 1):
        back_to(place, before)
        killed_before_step(step, *arguments, cwd=tmp_path)
        assert (place.read_bytes() if place.exists() else None) in (before, after)


@pytest.mark.long
@pytest.mark.skipif(os.name == "nt", reason="kills a process group")
@pytest.mark.parametrize("which", MADE)
def test_a_recipe_is_whole_or_as_before_at_any_moment(which: str, tmp_path: Path) -> None:
    arguments, before, place = made(tmp_path, which)
    back_to(place, before)
    whole = run_whole(*arguments, cwd=tmp_path)
    after = place.read_bytes()
    for moment in moments(LONG, whole, LONG):
        back_to(place, before)
        killed_at(moment, *arguments, cwd=tmp_path)
        assert (place.read_bytes() if place.exists() else None) in (before, after)


def test_what_a_killed_run_left_half_written_does_not_stop_the_next(tmp_path: Path) -> None:
    (tmp_path / "pack").mkdir()
    (tmp_path / "pack" / ".writing-abc.part").write_text("half", encoding="utf-8")
    done = subprocess.run(
        command("pack", str(EXAMPLES / "seared-hake.yaml"), "-o", "pack"),
        cwd=tmp_path,
        capture_output=True,
        check=False,
    )
    assert done.returncode in (0, 1)
    assert (tmp_path / "pack" / "report.txt").stat().st_size > 0


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="needs a device that is always full")
@pytest.mark.skipif(shutil.which("mount") is None, reason="no mount")
def test_a_full_disk_is_told_and_nothing_is_lost(tmp_path: Path) -> None:
    """Of a disk of 64 kB, where the system lets one be made; told either way by the same message."""
    disk = tmp_path / "disk"
    disk.mkdir()
    made = subprocess.run(
        ["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", str(disk)], capture_output=True, check=False
    )
    if made.returncode:
        pytest.skip("no small disk can be made here")
    try:
        (disk / "report.txt").write_text("old", encoding="utf-8")
        done = subprocess.run(
            command("pack", str(EXAMPLES / "harbour-supper.yaml"), "-o", str(disk)),
            cwd=ROOT, capture_output=True, encoding="utf-8", check=False,
        )  # fmt: skip
        assert done.returncode == 2
        assert "error cannot-write" in kinds(done.stderr) and "space" in done.stderr
        assert "Traceback" not in done.stderr
        assert state(disk) == {"report.txt": b"old"}
        assert [p.name for p in disk.iterdir()] == ["report.txt"]
    finally:
        subprocess.run(["umount", str(disk)], check=False)


@pytest.mark.skipif(shutil.which("mount") is None, reason="no mount")
def test_a_folder_that_may_only_be_read_is_told_and_stays_as_it_is(tmp_path: Path) -> None:
    """Mounted so, for what a superuser may not do; by its permissions where nothing can be mounted."""
    folder = tmp_path / "pack"
    folder.mkdir()
    (folder / "report.txt").write_text("old", encoding="utf-8")
    mounted = (
        os.name != "nt"
        and not subprocess.run(
            ["mount", "--bind", str(folder), str(folder)], capture_output=True, check=False
        ).returncode
    )
    try:
        if mounted:
            subprocess.run(["mount", "-o", "remount,ro,bind", str(folder)], check=True)
        elif os.name == "nt" or os.geteuid() == 0:
            pytest.skip("no folder that may only be read can be made here")
        else:
            folder.chmod(0o500)
        done = subprocess.run(
            command("pack", str(EXAMPLES / "seared-hake.yaml"), "-o", str(folder)),
            cwd=ROOT, capture_output=True, encoding="utf-8", check=False,
        )  # fmt: skip
        assert (done.returncode, done.stdout) == (2, "")
        assert "error cannot-write" in kinds(done.stderr)
        assert "check the folder, its permissions and the free space" in done.stderr
        assert state(folder) == {"report.txt": b"old"}
    finally:
        if mounted:
            subprocess.run(["umount", str(folder)], check=False)
        else:
            folder.chmod(0o700)


@pytest.mark.parametrize("after", range(4))
def test_a_folder_that_vanishes_midway_is_told(after: int, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A stick that is pulled out: after so many files have been written beside their places."""
    real, calls = writing._stage, iter(range(100))

    def stage(target: Path, text: str) -> Path:
        if next(calls) == after:
            shutil.rmtree(target)
        return real(target, text)

    monkeypatch.setattr(writing, "_stage", stage)
    with pytest.raises(CannotDo) as told:
        writing.write_all(str(tmp_path / "stick" / "pack"), {f"{n}.txt": "new" for n in range(4)})
    assert [p.code for p in told.value.problems] == ["cannot-write"]
    assert "nothing was written" in told.value.problems[0].message and not (tmp_path / "stick").exists()


def test_two_runs_at_once_into_one_folder_leave_whole_files(tmp_path: Path) -> None:
    both = [
        subprocess.Popen(
            command("pack", str(EXAMPLES / name), "-o", "pack"),
            cwd=tmp_path,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
        )
        for name in ("seared-hake.yaml", "fennel-bisque.yaml")
    ]
    told = [process.communicate()[1].decode("utf-8") for process in both]
    assert all("Traceback" not in text for text in told)
    alone = {}
    for name in ("seared-hake.yaml", "fennel-bisque.yaml"):
        run_whole("pack", str(EXAMPLES / name), "-o", name, cwd=tmp_path)
        alone[name] = state(tmp_path / name)
    found = state(tmp_path / "pack")
    assert found
    assert all(content in [pack.get(name) for pack in alone.values()] for name, content in found.items())
