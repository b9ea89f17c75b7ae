"""Files made from their shape (made_files.py), not from a good one: done or told.

`pytest -m long tests/long/test_made_files.py`; MADE=N sets how many of each kind.
"""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from holding import Run, held, set_out
from hypothesis import HealthCheck, Phase, given, settings
from hypothesis import strategies as st
from made_files import MADE

MANY = int(os.environ.get("MADE", "2000"))
EASY = {"suppress_health_check": list(HealthCheck), "deadline": None}


@pytest.mark.parametrize("kind", MADE)
def test_a_few_made_files(kind: str, tmp_path: Path, run: Run) -> None:
    _hold(kind, 5, tmp_path, run)


@pytest.mark.long
@pytest.mark.parametrize("kind", MADE)
def test_many_made_files(kind: str, tmp_path: Path, run: Run) -> None:
    _hold(kind, MANY, tmp_path, run)


def _hold(kind: str, count: int, folder: Path, run: Run) -> None:
    set_out(folder)

    @settings(max_examples=count, phases=[Phase.generate, Phase.shrink], **EASY)
    @given(MADE[kind], st.integers(0, 3))
    def hold(data: bytes, which: int) -> None:
        assert held(kind, data, which, folder, run) == "", data.decode("utf-8", "replace")

    hold()
