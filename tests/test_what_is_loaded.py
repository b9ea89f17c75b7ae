"""Heavy libraries are loaded only by the commands that need them."""

from __future__ import annotations

import subprocess
import sys

import pytest
from conftest import EXAMPLES, Table
from meal_files import BISQUE, SUPPER

PROBE = """
import sys
from scriptkit import cli
sys.argv = ["scriptkit", *{arguments}]
try:
    cli.main()
except SystemExit:
    pass
print([m for m in ("numpy", "highspy", "scriptkit.shoot.day.sequencing", "scriptkit.nutrition.portioning") if m in sys.modules])
"""


@pytest.mark.parametrize(
    ("arguments", "loaded"),
    [
        (["--help"], "[]"),
        (["food", "butter"], "[]"),
        (["macros", SUPPER], "['scriptkit.nutrition.portioning']"),
        (["check", "plain.yaml"], "['scriptkit.nutrition.portioning']"),
        (
            ["pair", BISQUE, "--with", str(EXAMPLES), "--at-most", "net_carbs_g=20", "--central"],
            "['scriptkit.nutrition.portioning']",
        ),
        (["schedule", SUPPER], "['numpy', 'scriptkit.shoot.day.sequencing']"),
        (["portion", SUPPER], "['numpy', 'highspy', 'scriptkit.nutrition.portioning']"),
    ],
)
def test_the_solver_is_loaded_only_by_what_needs_it(arguments: list[str], loaded: str, table: Table) -> None:
    """numpy, which takes longer to load than most commands take to run, comes with the schedule and the solver only."""
    table.write("plain.yaml", "dish: Butter\nservings: 1\ncooked_weight: 30 g\ningredients: {salmon: 30 g}\n")
    done = subprocess.run(
        [sys.executable, "-c", PROBE.format(arguments=arguments)],
        capture_output=True, encoding="utf-8", check=False, cwd=table.folder,
    )  # fmt: skip
    assert done.stdout.splitlines()[-1] == loaded, done.stderr
