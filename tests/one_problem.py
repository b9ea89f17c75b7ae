"""What a test asks of a refusal that tells one problem."""

from __future__ import annotations

import pytest

from scriptkit.problems import CannotDo


def problem(wrong: pytest.ExceptionInfo[CannotDo]) -> tuple[str, str, str]:
    """Its file, its code, its message."""
    (one,) = wrong.value.problems
    return one.place.file, one.code, one.message
