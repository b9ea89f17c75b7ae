"""The property tests of the ordinary suite with other examples, and ten times as many."""

from __future__ import annotations

import subprocess
import sys

import pytest
from conftest import ROOT


@pytest.mark.long
def test_the_properties_hold_for_other_examples_too() -> None:
    done = subprocess.run(
        [sys.executable, "-m", "pytest", "--hypothesis-profile=explore"],
        cwd=ROOT, capture_output=True, encoding="utf-8", check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout[-20_000:]
