"""The list of slow tests names tests that there are."""

from __future__ import annotations

import re

from conftest import ROOT, slow_tests


def is_there(name: str) -> bool:
    file, _, test = name.partition("::")
    text = (ROOT / file).read_text(encoding="utf-8")
    return not test or re.search(rf"^def {re.escape(test.partition('[')[0])}\(", text, re.MULTILINE) is not None


def test_what_it_names_is_there() -> None:
    assert [name for name in sorted(slow_tests()) if not is_there(name)] == []
