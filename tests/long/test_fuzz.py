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
from kinds import ALL_KINDS, FILES, WITH_PANTRY, commands, seeds
from mutations import mutated

Run = Callable[..., CompletedProcess[str]]

REGRESSIONS = ROOT / "tests" / "regressions"
MANY = int(os.environ.get("FUZZ", "7200"))
FEW = 12
BEGIN = int(os.environ.get("FUZZ_SEED", "0"))
HANG_S = 2


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
    name = FILES[kind]
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
    for path in (*EXAMPLES.glob("*.yaml"), *EXAMPLES.glob("*.srt")):
        shutil.copy(path, tmp_path)
    (tmp_path / "with-pantry.yaml").write_bytes(WITH_PANTRY)
    return tmp_path


def hunt(kind: str, count: int, folder: Path, run: Run) -> list[str]:
    """Seeds that break it, each with why, and each kept as a file."""
    of, broken = seeds(kind), []
    for n in range(BEGIN, BEGIN + count):
        data = mutated(of, random.Random(f"{kind} {n}"))
        if why := held(kind, data, n, folder, run):
            broken.append(f"{kind} {n}: {why}")
            (folder / f"broken-{n}-{FILES[kind]}").write_bytes(data)
            if os.environ.get("FUZZ_KEEP"):
                REGRESSIONS.mkdir(exist_ok=True)
                (REGRESSIONS / f"{kind}-{n % len(commands(kind, ''))}-{n}{Path(FILES[kind]).suffix}").write_bytes(data)
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
