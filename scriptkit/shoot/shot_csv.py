"""The shot list as CSV, for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Iterable

from scriptkit.problems import printable
from scriptkit.shoot.mise import household_text
from scriptkit.shoot.shots import Shot

COLUMNS = (
    "shot", "slate", "dish", "stage", "step", "step_id", "kind", "size", "angle", "move", "sound", "picture",
    "ingredient", "grams", "household", "planned_s", "irreversible", "done",
)  # fmt: skip


_FORMULA = tuple("=+-@＝＋－＠")
"""What a formula may begin with; the wide forms too, which some spreadsheets take for the narrow ones."""


def write_shots(shots: Iterable[Shot]) -> str:
    """CSV (RFC 4180) with a header; grams to 0.1 and seconds to 0.1, with a point."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for shot in shots:
        writer.writerow([harmless(cell) for cell in _cells(shot)])
    return out.getvalue()


def _cells(shot: Shot) -> list[str]:
    addition = shot.additions[0] if shot.additions else None
    step = shot.step
    return [
        str(shot.number),
        shot.slate,
        shot.dish.name if shot.dish else "",
        shot.stage,
        str(step.number) if step else "",
        step.id if step else "",
        shot.look.kind,
        shot.look.size,
        shot.look.angle,
        shot.look.move,
        shot.sound,
        shot.what,
        addition.ingredient.name if addition else "",
        ("to taste" if addition.grams is None else f"{addition.grams:.1f}") if addition else "",
        household_text(addition) if addition else "",
        f"{shot.planned_ms / 1000:.1f}",
        "irreversible" if shot.irreversible else "",
        "",
    ]


def harmless(cell: str) -> str:
    """A spreadsheet must not run what a name contains: text that it would read as a formula gets an apostrophe before it,
    and control and direction characters are shown as dots."""
    cell = printable(cell)
    return f"'{cell}" if cell.lstrip(" ·")[:1] in _FORMULA and cell.strip(" ·") else cell
