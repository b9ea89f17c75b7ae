"""Drafts of a folder of saved pages: how many need nothing, how far their energy is from what the page prints, how long they take.

    python -m tests.speed.drafting FOLDER [PATTERN]

FOLDER holds saved recipe pages (PATTERN, usually *.html), which belong to others and stay outside the repository. A page's own nutrition is
often rough (another yield, fat that is poured away), so medians and shares tell, not a single page. Asserts nothing.
"""

from __future__ import annotations

import re
import statistics
import sys
import time
from collections.abc import Sequence
from pathlib import Path

from scriptkit.drafting.draft import draft
from scriptkit.drafting.raw_recipe import NoRecipe
from scriptkit.drafting.source import recipe_of
from scriptkit.problems import Severity
from scriptkit.production import read_text
from tests.speed.measured import Measured, show


def lines(folder: Path, pattern: str = "*.html") -> list[Measured]:
    """The figures of all pages that hold a recipe."""
    times_ms: list[float] = []
    errors, questions = [], []
    off: list[float] = []
    for page in sorted(folder.rglob(pattern)):
        raw = page.read_bytes()
        began = time.process_time()
        try:
            found = recipe_of(raw, page.name)
            made = draft(found)
        except NoRecipe:
            continue
        times_ms.append((time.process_time() - began) * 1000)
        production = read_text(made.text, "draft.yaml")
        errors.append(sum(p.severity is Severity.ERROR for p in production.problems))
        if not production.is_usable:
            continue
        macros = production.macros.dishes[0]
        questions.append(len(macros.unconfirmed))
        printed, ours = re.search(r"\d+(?:\.\d+)?", found.energy.replace(",", "")), macros.serving.figure("energy_kcal")
        if printed and float(printed.group()) and ours is not None and not macros.unconfirmed:
            off.append(abs(ours / float(printed.group()) - 1))
    if not times_ms:
        return []
    drafted = len(times_ms)
    share = 100 / drafted
    return [
        Measured(
            f"drafts of {drafted} pages without an error", sum(not e for e in errors) * share, "%", 85, at_least=True
        ),
        Measured("drafts with nothing to confirm", sum(not q for q in questions) * share, "%", 45, at_least=True),
        Measured("questions a draft, median", statistics.median(questions or [0]), "questions", 4),
        Measured(f"energy of those off the page's ({len(off)}), median", statistics.median(off or [0]) * 100, "%", 7),
        Measured(
            "energy within 15 % of the page's",
            100 * sum(o <= 0.15 for o in off) / max(len(off), 1),
            "%",
            75,
            at_least=True,
        ),
        Measured("a draft, within the process, median", statistics.median(times_ms), "ms", 30),
    ]


def main(arguments: Sequence[str]) -> None:
    show("drafts of saved pages", lines(Path(arguments[0]), *arguments[1:2]))


if __name__ == "__main__":
    main(sys.argv[1:])
