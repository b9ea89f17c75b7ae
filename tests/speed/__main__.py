"""Measure the whole commands against a bare start of their libraries, in the same run.

    python -m tests.speed [RUNS]

Prints the median of each ratio beside its target; asserts nothing, for a busy machine is no defect.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from scriptkit.nutrition.pairing import rank_partners
from scriptkit.nutrition.plates import dish_macros
from scriptkit.nutrition.portioning import Bound
from scriptkit.nutrition.servings import choice_of
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT / "tests" / "shoot"))
from random_kitchens import write_kitchen  # noqa: E402  beside its tests

from tests.speed import captions  # noqa: E402
from tests.speed import folder as folders  # noqa: E402

MEAL = str(ROOT / "examples" / "harbour-supper.yaml")
INSTALLED = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
"""As on a cook's machine, where nothing is compiled anew at each start."""
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


def seconds(command: Sequence[str], *, check: bool = True) -> float:
    start = time.perf_counter()
    subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=check, cwd=ROOT, env=INSTALLED)
    return time.perf_counter() - start


def whole(runs: int, *arguments: str) -> float:
    """Median seconds of the whole command, as a process of its own; whatever it finds."""
    command = (sys.executable, "-m", "scriptkit", *arguments)
    return statistics.median(seconds(command, check=False) for _ in range(runs))


def meals(runs: int) -> Iterator[tuple[str, float, str]]:
    """What is promised of meals: a name, median seconds, the target."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        one, four = folder / "soup.yaml", folder / "four.yaml"
        write_kitchen(folder, 1, dishes=4).rename(four)
        one = next(p for p in sorted(folder.glob("*.yaml")) if p != four)
        pairs = [(whole(1, "macros", str(four)), whole(1, "macros", str(one))) for _ in range(runs)]
        yield "macros of 4 dishes, more than of one of them", statistics.median(a - b for a, b in pairs), "0.020"
        three = folder / "three.yaml"
        write_kitchen(folder, 2, dishes=3).rename(three)
        yield "shoot of 3 dishes, whole process", whole(runs, "shoot", str(three), "-o", str(folder / "papers")), "0.6"
        yield "portion, whole process", whole(runs, "portion", MEAL, "--at-most", "net_carbs_g=10"), "0.3"
    for dishes, target in ((2, "1"), (3, "2")):
        with tempfile.TemporaryDirectory() as name:
            took = [whole(1, "schedule", str(write_kitchen(Path(name), seed, dishes=dishes))) for seed in range(12)]
            yield f"schedule {dishes} x 10 steps, whole process", statistics.median(took), target
            yield f"schedule {dishes} x 10 steps, slowest of {len(took)}", max(took), target
    yield from _pairs()


def _pairs() -> Iterator[tuple[str, float, str]]:
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        dish = (ROOT / "examples" / "seared-hake.yaml").read_text(encoding="utf-8")
        for n in range(1000):
            text = dish.replace("dish: Seared", f"dish: {n} Seared").replace("{amount: 680 g", f"{{amount: {600 + n} g")
            (folder / f"d{n}.yaml").write_text(text, encoding="utf-8")
        start = time.perf_counter()
        read = [dish_macros(d) for p in sorted(folder.iterdir()) if isinstance(d := read_source(str(p)).source, Dish)]
        choices = [choice_of(m, m.dish.serving_g) for m in read]
        yield "pair: reading 1,000 dishes", time.perf_counter() - start, ""
        bounds = [
            Bound(name="net_carbs_g", at_most=True, figure=2.0),
            Bound(name="protein_g", at_most=False, figure=50.0),
        ]
        start = time.perf_counter()
        rank_partners(choices[0], choices[1:], bounds)
        yield "pair: 1,000 dishes ranked", time.perf_counter() - start, "2"


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
    print(f"\n{'of a meal':44} {'median s':>9} {'target':>9}")
    for name, took, target in meals(runs):
        print(f"{name:44} {took:9.3f} {target:>9}")
    peak = resource.getrusage(resource.RUSAGE_CHILDREN).ru_maxrss / 1024  # kilobytes on Linux
    print(f"{'largest process':28} {peak:6.0f} MB {'':6} {'120 MB':>7}")
    print(f"\n{'a folder of dishes':52} {'figure':>6} {'target':>6}")
    for name, figure, target in folders.lines():
        print(f"{name:52} {figure:6.1f} {target:>6}")
    print(f"\n{'of 100,000 cues':52} {'figure':>6} {'target':>6}")
    for name, figure, target in captions.lines():
        print(f"{name:52} {figure:6.2f} {target:>6}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)
