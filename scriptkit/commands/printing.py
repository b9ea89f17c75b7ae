"""Problems to standard error, data to standard output."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from typing import Any

from scriptkit.problems import Problem, Severity, format_problem, in_order, needs_a_person


def print_json(value: Any) -> None:
    import json

    print(json.dumps(value, ensure_ascii=False, indent=2, allow_nan=False))


def print_problems(problems: Sequence[Problem], texts: Mapping[str, Sequence[str]] | None = None) -> None:
    for problem in in_order(problems):
        print(format_problem(problem, texts), file=sys.stderr)


def count_words(problems: Sequence[Problem]) -> str:
    """``2 errors, 1 warning``."""
    words = []
    for severity in Severity:
        count = sum(p.severity is severity for p in problems)
        if count:
            words.append(f"{count} {severity.value}{'' if count == 1 else 's'}")
    return ", ".join(words) or "nothing to see to"


def exit_code(problems: Sequence[Problem]) -> int:
    """1 where a person must see to something, else 0."""
    return 1 if needs_a_person(problems) else 0
