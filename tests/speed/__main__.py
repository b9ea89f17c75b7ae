"""Every figure that was promised, measured in one run, as one table; then where the command spends its time that is nearest its limit.

    python -m tests.speed [RUNS] [DATA]

DATA is the folder of the step-alignment benchmark, which lies outside the repository; without it that part is left out. Asserts
nothing, for a busy machine is no defect: ratios to other libraries in the same run travel between machines, seconds do not.
"""

from __future__ import annotations

import sys
from pathlib import Path

from tests.speed import (
    captions,
    commands,
    dialogue_captions,
    folder,
    imports,
    long_cut,
    order_of_cut,
    stage,
    step_alignment,
    word_clock,
)
from tests.speed.measured import Measured, show
from tests.speed.profile import profile


def main(runs: int, data: Path | None) -> None:
    seen: list[Measured] = []
    seen += show("whole commands", commands.lines(runs))
    seen += show("imports of a command that it does not need", imports.lines())
    seen += show("the stage page, a processor 4 times slower", stage.lines(runs))
    seen += show("captions of 100,000 cues", captions.lines())
    seen += show("coverage of long transcripts", long_cut.lines(runs))
    seen += show("a folder of 500 dishes, one warm process", folder.lines())
    seen += show("captions at their words", word_clock.lines())
    seen += show("dialogue captions of invented talks", dialogue_captions.lines())
    if data is not None:
        seen += show("steps placed in 160 real videos", step_alignment.lines(data))
        seen += show("two dishes in one cut", order_of_cut.lines(data))
    missed = [one.what for one in seen if one.ratio is not None and one.ratio > 1]
    kept = sum(one.ratio is not None for one in seen) - len(missed)
    print(f"\n{kept} targets met; missed: {', '.join(missed) or 'none'}")
    profiled = [one for one in seen if one.command and one.ratio is not None]
    profile(max(profiled, key=lambda one: one.ratio or 0).command)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7, Path(sys.argv[2]) if len(sys.argv) > 2 else None)
