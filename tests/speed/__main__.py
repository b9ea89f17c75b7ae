"""Measure the whole commands against a bare start of their libraries, in the same run.

    python -m tests.speed [RUNS]

Prints the median of each ratio beside its target; asserts nothing, for a busy machine is no defect.
"""

from __future__ import annotations

import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
MEAL = str(ROOT / "examples" / "harbour-supper.yaml")
BARE = (sys.executable, "-c", "import typer, jinja2, pint, srt, pydantic, yaml; pint.UnitRegistry()")


@dataclass(frozen=True, slots=True)
class Target:
    """A whole command, and how many times the bare start it may take."""

    name: str
    arguments: tuple[str, ...]
    ratio: float


def targets(folder: str) -> tuple[Target, ...]:
    return (
        Target("scriptkit --help", ("--help",), 1.5),
        Target("scriptkit macros MEAL", ("macros", MEAL), 1.5),
        Target("scriptkit pack MEAL", ("pack", MEAL, "-o", folder), 2.5),
    )


def seconds(command: Sequence[str]) -> float:
    start = time.perf_counter()
    subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=True, cwd=ROOT)
    return time.perf_counter() - start


def main(runs: int) -> None:
    print(f"{'command':28} {'median s':>9} {'ratio':>6} {'target':>7}")
    with tempfile.TemporaryDirectory() as folder:
        for target in targets(folder):
            command = (sys.executable, "-m", "scriptkit", *target.arguments)
            seconds(command), seconds(BARE)  # warm the disk
            pairs = [(seconds(command), seconds(BARE)) for _ in range(runs)]
            ratio = statistics.median(a / b for a, b in pairs)
            took = statistics.median(a for a, _ in pairs)
            print(f"{target.name:28} {took:9.3f} {ratio:6.2f} {target.ratio:6.1f}×")
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024  # kilobytes on Linux
    print(f"{'largest process':28} {peak:6.0f} MB {'':6} {'120 MB':>7}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)
