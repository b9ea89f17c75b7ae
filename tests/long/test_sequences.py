"""Commands in any order in one folder, with a person working beside them: what a person made or changed is there afterwards, byte for
byte, unless the command names it.

`pytest -m long tests/long/test_sequences.py`; SEQUENCES=N sets how many of them.
"""

from __future__ import annotations

import hashlib
import os
import random
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES

MANY = int(os.environ.get("SEQUENCES", "1000"))
BEGIN = int(os.environ.get("SEQUENCES_SEED", "0"))
FEW, STEPS = 2, 6
Run = Callable[..., "subprocess.CompletedProcess[str]"]
GIVEN = (
    "harbour-supper.yaml", "fennel-bisque.yaml", "seared-hake.yaml", "harbour-supper-takes.csv", "harbour-supper-cut.srt",
)  # fmt: skip
OWN = {
    "notes.txt": "mine\n",
    "transcript.srt": "1\n00:00:01,000 --> 00:00:02,000\nMy own words.\n",
    "out/report.txt": "mine\n",
    "out/list.md": "- leeks\n",
}
DISHES = ("harbour-supper.yaml", "fennel-bisque.yaml", "seared-hake.yaml", "no-such.yaml", "notes.txt", ".")
FILES = (
    "overlays.vtt",
    "transcript.srt",
    "notes.txt",
    "out/report.txt",
    "new.srt",
    "harbour-supper-cut.srt",
    "x/y.srt",
    "seared-hake.yaml",
)
FOLDERS = ("out", "out/inner", "papers", "notes.txt", ".", "x")


def a_command(chance: random.Random) -> list[str]:
    """One that a person may give, sensible or not."""
    pick = chance.choice
    dish, captions = pick(DISHES), pick(["harbour-supper-cut.srt", "transcript.srt", "new.srt", "notes.txt"])
    made = pick(
        [
            ["check", dish], ["macros", dish], ["schedule", dish], ["food", "butter"],
            ["shoot", dish, "-o", pick(FOLDERS)], ["publish", dish, "-o", pick(FOLDERS)],
            ["captions", dish, "-o", pick(FILES)], ["captions", dish, "-o", pick(FILES), "--cards", pick(FOLDERS)],
            ["conform", captions, "--offset", "1", "-o", pick(FILES)], ["proof", captions, "--fix", pick(FILES)],
            ["paper-edit", dish, "--log", "harbour-supper-takes.csv", "-o", pick(FOLDERS)],
            ["coverage", dish, "--cut", "harbour-supper-cut.srt", "-o", pick(FOLDERS)],
            ["new", "Quay soup", "-o", pick([*FILES, "quay-soup.yaml"])],
            ["new", "--from", pick(["notes.txt", "transcript.srt", "harbour-supper.yaml"]), "-o", pick([*FILES, "draft.yaml"])],
            ["new", "--example", "list"], ["schema", "dish"], ["nonsense"],
        ]
    )  # fmt: skip
    return [*made, "--json"] if chance.random() < 0.1 else made


def files_of(folder: Path) -> dict[str, str]:
    """Path → hash of every file."""
    found = {}
    for path in sorted(folder.rglob("*")):
        if path.is_file():
            found[path.relative_to(folder).as_posix()] = hashlib.sha256(path.read_bytes()).hexdigest()
    return found


def a_person_works(chance: random.Random, folder: Path) -> None:
    """Changes a file that is there, or makes one."""
    there = [name for name in files_of(folder) if not Path(name).name.startswith(".")]
    name = chance.choice([*there, "out/shoot-list.html", "papers/index.html", "overlays.vtt"])
    place = folder / name
    if place.parent.is_dir() or not any(p.is_file() for p in place.parents):
        place.parent.mkdir(parents=True, exist_ok=True)
        with place.open("ab") as file:
            file.write(b"# mine\n")


def mended_in_its_place(command: list[str]) -> set[str]:
    """What the command names twice: it is mended where it lies."""
    return {command[1]} if command[0] == "proof" and command[1] == command[3] else set()


def hunt(number: int, folder: Path, run: Run) -> list[str]:
    """What went wrong in the sequence of the number."""
    chance = random.Random(f"sequence {number}")
    for name in GIVEN:
        shutil.copy(EXAMPLES / name, folder)
    for name, text in OWN.items():
        (folder / name).parent.mkdir(exist_ok=True)
        (folder / name).write_text(text, encoding="utf-8")
    written: dict[str, set[str]] = {}
    wrong = []
    for _ in range(STEPS):
        if chance.random() < 0.4:
            a_person_works(chance, folder)
        before, command = files_of(folder), a_command(chance)
        done = run(*command)
        after = files_of(folder)
        told = f"{number}: {' '.join(command)}"
        if "Traceback" in done.stderr or done.returncode not in (0, 1, 2):
            wrong.append(f"{told}: exit {done.returncode}: {done.stderr[-300:]}")
        if done.returncode == 2 and before != after:
            wrong.append(f"{told}: exit 2, and {sorted(set(before.items()) ^ set(after.items()))}")
        named = mended_in_its_place(command)
        for name, was in before.items():
            mine = was not in written.get(name, set()) and not Path(name).name.startswith(".")
            if mine and name not in named and after.get(name) != was:
                wrong.append(f"{told}: {name} was {'lost' if name not in after else 'written over'}")
        for name, now in after.items():
            if before.get(name) != now:
                written.setdefault(name, set()).add(now)
        if stray := [n for n in after if Path(n).name.startswith(".writing-")]:
            wrong.append(f"{told}: left {stray}")
    return wrong


@pytest.mark.parametrize("number", range(FEW))
def test_a_few_sequences(number: int, tmp_path: Path, run: Run) -> None:
    assert hunt(number, tmp_path, run) == []


@pytest.mark.long
def test_many_sequences(run: Run, tmp_path: Path) -> None:
    wrong = []
    for number in range(BEGIN, BEGIN + MANY):
        for path in tmp_path.iterdir():
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        wrong += hunt(number, tmp_path, run)
    assert wrong == []
