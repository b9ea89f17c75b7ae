"""The shot list as CSV, for a spreadsheet."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence

from scriptkit.problems import printable
from scriptkit.shoot.coverage_order import CoverageOrder, order_of
from scriptkit.shoot.mise import household_text
from scriptkit.shoot.shots import Shot

COLUMNS = (
    "shot", "slate", "scene", "setup", "dish", "stage", "step", "step_id", "kind", "size", "angle", "move", "sound",
    "picture", "ingredient", "grams", "household", "planned_s", "irreversible", "swap_out", "camera_setup", "cook_order",
    "grouped_order", "done",
)  # fmt: skip
"""``setup`` is the letter on the slate; ``camera_setup`` is the same number wherever the camera need not move. A shot that
shows several additions has them in one cell, apart by semicolons, and so their amounts."""


_FORMULA = tuple("=+-@＝＋－＠")
"""What a formula may begin with; the wide forms too, which some spreadsheets take for the narrow ones."""


def write_shots(shots: Sequence[Shot], order: CoverageOrder | None = None) -> str:
    """CSV (RFC 4180) with a header; grams to 0.1 and seconds to 0.1, with a point. ``order``: in which to film them; left
    out, as they are cooked without a schedule."""
    order = order or order_of(shots)
    cooked = {shot.number: n for n, shot in enumerate(order.cooked, 1)}
    grouped = {shot.number: n for n, shot in enumerate(order.grouped, 1)}
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for shot in shots:
        cells = [*_cells(shot), str(cooked[shot.number]), str(grouped[shot.number]), ""]
        writer.writerow([harmless(cell) for cell in cells])
    return out.getvalue()


def _cells(shot: Shot) -> list[str]:
    step = shot.step
    return [
        str(shot.number),
        shot.slate,
        str(shot.scene),
        shot.letter,
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
        "; ".join(a.ingredient.name for a in shot.additions),
        "; ".join("to taste" if a.grams is None else f"{a.grams:.1f}" for a in shot.additions),
        "; ".join(household_text(a) for a in shot.additions).strip("; "),
        f"{shot.planned_ms / 1000:.1f}",
        "irreversible" if shot.irreversible else "",
        shot.swap_out,
        str(shot.camera_setup),
    ]


def harmless(cell: str) -> str:
    """A spreadsheet must not run what a name contains: text that it would read as a formula gets an apostrophe before it,
    and control and direction characters are shown as dots."""
    if cell[:1].isalnum() and cell.isprintable():
        return cell
    cell = printable(cell)
    return f"'{cell}" if cell.lstrip(" ·")[:1] in _FORMULA and cell.strip(" ·") else cell
