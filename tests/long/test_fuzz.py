"""100,000 mutated files: told or done, never a traceback, never a hang, nothing written where it could not be done.

`pytest -m long tests/long/test_fuzz.py`; FUZZ=N sets how many of each kind, FUZZ_SEED where they begin. What breaks is kept in
tests/regressions/, which the ordinary tests read again.
"""

from __future__ import annotations

import os
import random
import shutil
import signal
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import EXAMPLES, ROOT
from mutations import mutated

Run = Callable[..., CompletedProcess[str]]

REGRESSIONS = ROOT / "tests" / "regressions"
MANY = int(os.environ.get("FUZZ", "17000"))
FEW = 12
BEGIN = int(os.environ.get("FUZZ_SEED", "0"))
HANG_S = 2

SRT = b"1\n00:00:01,000 --> 00:00:03,500\nButter 28 g (2 tbsp)\n\n2\n00:00:03,600 --> 00:00:06,000\n<i>Fennel</i> 468 g\nsliced\n\n3\n00:01:10,120 --> 00:01:15,720\nStock 1.2 l & leek\n\n"
VTT = b"WEBVTT\n\nNOTE Harbour supper\n\nSTYLE\n::cue { color: white }\n\nadd-1\n00:00:01.000 --> 00:00:03.500 line:84% align:center\nButter 28 g\n\n00:03.600 --> 00:06.000\n<v Cook>In goes the fennel\n\n"
TALK = b"[0:04] Welcome to the harbour kitchen.\n[0:12] First the butter, two tablespoons of it.\n[0:20] In goes the fennel, four hundred and sixty eight grams.\n[1:40] Now blend it in four batches, lid vented.\n"
MARKERS = b"Name;Time;Length\nsoften-fennel;00:00:12:10;2\nsimmer;00:01:03:00;\nblend;75.5;1\n"
CUT = b"cut: Harbour supper\nsteps:\n  soften-fennel: {time: 0:12}\n  simmer: {time: 1:03, by: hand}\n"
ALL_KINDS = ("dish", "meal", "log", "srt", "vtt", "talk", "markers", "cut")


def seeds(kind: str) -> list[bytes]:
    """Good files of the kind, and bad ones that are told."""
    dishes = [p.read_bytes() for p in sorted(EXAMPLES.glob("*.yaml"))]
    cases = [p.read_bytes() for p in sorted((ROOT / "tests" / "recipe").glob("*valid/*.yaml"))]
    return {
        "dish": [d for d in dishes if b"\ningredients:" in d or d.startswith(b"ingredients:")] + cases,
        "meal": [d for d in dishes if b"\nmeal:" in d or d.startswith(b"meal:")],
        "log": [p.read_bytes() for p in sorted(EXAMPLES.glob("*takes.csv"))],
        "srt": [SRT, *(p.read_bytes() for p in sorted(EXAMPLES.glob("*.srt")))],
        "vtt": [VTT],
        "talk": [TALK, SRT, *(p.read_bytes() for p in sorted(EXAMPLES.glob("*.srt")))],
        "markers": [MARKERS],
        "cut": [CUT, *(p.read_bytes() for p in sorted(EXAMPLES.glob("*cut*.yaml")))],
    }[kind]


def commands(kind: str, name: str) -> list[tuple[str, ...]]:
    """What a cook would do with such a file, the written one last."""
    supper = "harbour-supper.yaml"
    return {
        "dish": [("macros", name), ("schedule", name), ("pack", name, "-o", "out")],
        "meal": [("portion", name, "--at-most", "net_carbs_g=10"), ("pack", name, "-o", "out")],
        "log": [("coverage", supper, "--log", name), ("paper-edit", supper, "--log", name, "-o", "out")],
        "srt": [("proof", name, "--fix", "out/fixed.srt"), ("conform", name, "--offset", "1 s", "-o", "out/moved.srt")],
        "vtt": [("proof", name, "--fix", "out/fixed.vtt"), ("conform", name, "--offset", "1 s", "-o", "out/moved.vtt")],
        "talk": [("coverage", supper, "--transcript", name, "-o", "out")],
        "markers": [("captions", supper, "--cut", name, "-o", "out/overlays.vtt")],
        "cut": [("captions", supper, "--cut", name, "-o", "out/overlays.srt"), ("publish", supper, "--cut", name, "-o", "out")],
    }[kind]  # fmt: skip


ENDINGS = {
    "dish": "yaml",
    "meal": "yaml",
    "log": "csv",
    "srt": "srt",
    "vtt": "vtt",
    "talk": "txt",
    "markers": "csv",
    "cut": "yaml",
}


@contextmanager
def no_longer_than(seconds: int) -> Iterator[None]:
    """Stops what hangs, where the system can: seconds of the processor, for a busy machine is no defect."""

    def stop(*_: object) -> None:
        raise TimeoutError(f"longer than {seconds} s")

    if not hasattr(signal, "SIGPROF"):
        yield
        return
    before = signal.signal(signal.SIGPROF, stop)
    signal.setitimer(signal.ITIMER_PROF, seconds)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_PROF, 0)
        signal.signal(signal.SIGPROF, before)


def held(kind: str, data: bytes, which: int, folder: Path, run: Run, seconds: int = HANG_S) -> str:
    """What went wrong with the file; empty where it was done or told."""
    name = f"fuzzed.{ENDINGS[kind]}"
    (folder / name).write_bytes(data)
    out = folder / "out"
    shutil.rmtree(out, ignore_errors=True)
    choice = commands(kind, name)
    arguments = choice[which % len(choice)]
    try:
        with no_longer_than(seconds):
            done = run(*arguments)
    except Exception as wrong:
        return f"{arguments[0]}: {type(wrong).__name__}: {wrong}"
    if done.returncode not in (0, 1, 2):
        return f"{arguments[0]}: exit {done.returncode}"
    if "Traceback" in done.stderr:
        return f"{arguments[0]}: a traceback"
    if done.returncode == 2 and not done.stderr.strip():
        return f"{arguments[0]}: exit 2 without a word"
    if done.returncode == 2 and out.exists() and any(out.iterdir()):
        return f"{arguments[0]}: exit 2, and a file was written"
    return ""


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    for path in EXAMPLES.glob("*.yaml"):
        shutil.copy(path, tmp_path)
    return tmp_path


def hunt(kind: str, count: int, folder: Path, run: Run) -> list[str]:
    """Seeds that break it, each with why, and each kept as a file."""
    of, broken = seeds(kind), []
    for n in range(BEGIN, BEGIN + count):
        data = mutated(of, random.Random(f"{kind} {n}"))
        if why := held(kind, data, n, folder, run):
            broken.append(f"{kind} {n}: {why}")
            (folder / f"broken-{n}.{ENDINGS[kind]}").write_bytes(data)
            if os.environ.get("FUZZ_KEEP"):
                REGRESSIONS.mkdir(exist_ok=True)
                (REGRESSIONS / f"{kind}-{n % len(commands(kind, ''))}-{n}.{ENDINGS[kind]}").write_bytes(data)
    return broken


@pytest.mark.parametrize("kind", ALL_KINDS)
def test_a_few_mutated_files(kind: str, kitchen: Path, run: Run) -> None:
    assert hunt(kind, FEW, kitchen, run) == []


@pytest.mark.long
@pytest.mark.parametrize("kind", ALL_KINDS)
def test_many_mutated_files(kind: str, kitchen: Path, run: Run) -> None:
    assert hunt(kind, MANY, kitchen, run) == []


def kept() -> Sequence[Path]:
    return sorted(p for p in REGRESSIONS.glob("*-*-*.*") if p.is_file())


@pytest.mark.parametrize("path", kept(), ids=lambda p: p.name)
def test_what_broke_once_is_held_now(path: Path, kitchen: Path, run: Run) -> None:
    """Named by kind, by which of its commands broke, and by seed."""
    kind, which, _ = path.stem.split("-")
    assert held(kind, path.read_bytes(), int(which), kitchen, run, seconds=20) == ""
