"""100,000 mutated files: told or done, never a traceback, never a hang, nothing written where it could not be done.

`pytest -m long tests/long/test_fuzz.py`; FUZZ=N sets how many of each kind, FUZZ_SEED where they begin. What breaks is kept in
tests/regressions/, which the ordinary tests read again.
"""

from __future__ import annotations

import os
import random
from collections.abc import Sequence
from pathlib import Path

import pytest
from conftest import ROOT
from holding import Run, held, set_out
from kinds import ALL_KINDS, FILES, commands, seeds
from mutations import mutated

REGRESSIONS = ROOT / "tests" / "regressions"
MANY = int(os.environ.get("FUZZ", "7200"))
FEW = 6
BEGIN = int(os.environ.get("FUZZ_SEED", "0"))


@pytest.fixture
def kitchen(tmp_path: Path) -> Path:
    return set_out(tmp_path)


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
