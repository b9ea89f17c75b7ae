"""A measured figure beside its target, and the table that they are printed in."""

from __future__ import annotations

import resource
import subprocess
import sys
from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path

ROOT = Path(__file__).parent.parent.parent
_PEAK = """import sys
sys.argv = {argv!r}
from scriptkit.cli import main
from tests.speed.measured import own_peak_mb
try:
    main()
finally:
    print(own_peak_mb(), file=sys.__stderr__)
"""


def own_peak_mb() -> float:
    """The largest that this process has been, in megabytes of 1,000,000 bytes. (What the system counts of a child begins with the
    size of its parent, so Linux is asked for this process's own.)"""
    status = Path("/proc/self/status")
    if status.is_file():
        kilobytes = next(
            line.split()[1] for line in status.read_text(encoding="utf-8").splitlines() if line.startswith("VmHWM")
        )
        return int(kilobytes) * 1024 / 1e6
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * (1 if sys.platform == "darwin" else 1024) / 1e6


def peak_mb(*arguments: str) -> float:
    """The same of a whole command, in a process of its own."""
    program = _PEAK.format(argv=["scriptkit", *arguments])
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, encoding="utf-8", check=False)
    return float(done.stderr.strip().splitlines()[-1])


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured, in ``unit``; at most ``target``, or at least where ``at_least``; None where nothing was promised.
    ``command``: the arguments that a profile can be made of, in the folder of the examples."""

    what: str
    figure: float
    unit: str
    target: float | None = None
    at_least: bool = False
    command: tuple[str, ...] = ()

    @property
    def ratio(self) -> float | None:
        """Of what is allowed how much was taken; above 1 the target is missed."""
        if self.target is None:
            return None
        return self.target / self.figure if self.at_least else self.figure / self.target


HEAD = f"{'what':58} {'measured':>9} {'target':>8} {'':6} {'ratio':>5}"


def line(one: Measured) -> str:
    """A row of the table."""
    places = 3 if one.unit == "s" else 2 if one.unit == "×" else 1
    target = "" if one.target is None else f"{'≥ ' if one.at_least else ''}{one.target:g}"
    ratio = "" if one.ratio is None else f"{one.ratio:.2f}{'' if one.ratio <= 1 else ' !'}"
    return f"{one.what:58} {one.figure:9.{places}f} {target:>8} {one.unit:6} {ratio:>5}"


def show(title: str, rows: Iterable[Measured]) -> list[Measured]:
    """Print each row as soon as it is measured."""
    print(f"\n{title}\n{HEAD}", flush=True)
    seen = []
    for one in rows:
        print(line(one), flush=True)
        seen.append(one)
    return seen
