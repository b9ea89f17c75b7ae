"""The list of slow tests names tests that there are."""

from __future__ import annotations

import re

import pytest
from conftest import ROOT, slow_tests


@pytest.mark.parametrize("name", sorted(slow_tests()))
def test_what_it_names_is_there(name: str) -> None:
    file, _, test = name.partition("::")
    text = (ROOT / file).read_text(encoding="utf-8")
    assert not test or re.search(rf"^def {re.escape(test.partition('[')[0])}\(", text, re.MULTILINE)
