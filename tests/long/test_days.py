"""Random days by the hundred: followed shot by shot in every order, and scheduled without a broken rule.

DAYS=300 of each kind, from DAYS_SEED=1000.
"""

from __future__ import annotations

import os
import sys
from pathlib import Path

import pytest

sys.path.insert(0, str(Path(__file__).parent.parent / "shoot"))
from day_rules import broken
from random_kitchens import write_kitchen
from test_gates import follow
from test_random_days import scheduled

from scriptkit.recipe.reader import read_source

pytestmark = pytest.mark.long
DAYS = int(os.environ.get("DAYS", "300"))
FIRST = int(os.environ.get("DAYS_SEED", "1000"))


@pytest.mark.parametrize("seed", range(FIRST, FIRST + DAYS))
def test_a_random_day(tmp_path: Path, seed: int) -> None:
    meal, schedule = scheduled(tmp_path, seed, nodes=400)
    assert schedule is None or list(broken(meal, schedule)) == []
    follow(meal)


@pytest.mark.parametrize("seed", range(FIRST, FIRST + DAYS // 10))
def test_a_usual_kitchen(tmp_path: Path, seed: int) -> None:
    meal = read_source(str(write_kitchen(tmp_path, seed, dishes=3, cooks=2))).usable()
    follow(meal)
