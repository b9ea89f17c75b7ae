"""Measure whole commands: against a bare start of their libraries in the same run, or in seconds where those are promised.

python -m tests.speed.commands [RUNS]
"""

from __future__ import annotations

import os
import shutil
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator, Sequence
from pathlib import Path

from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.nutrition.pairing import rank_partners
from scriptkit.nutrition.portion_choice import Bound
from scriptkit.nutrition.servings import choice_of
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source
from tests.speed.measured import Measured, peak_mb, show

ROOT = Path(__file__).parent.parent.parent
sys.path.insert(0, str(ROOT / "tests" / "shoot"))
from random_kitchens import write_kitchen  # noqa: E402  beside its tests

MEAL = str(ROOT / "examples" / "harbour-supper.yaml")
INSTALLED = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
"""As on a cook's machine, where nothing is compiled anew at each start."""
BARE = (sys.executable, "-c", "import typer, jinja2, pint, srt, pydantic, yaml; pint.UnitRegistry()")


def seconds(command: Sequence[str], *, check: bool = True) -> float:
    start = time.perf_counter()
    subprocess.run(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, check=check, cwd=ROOT, env=INSTALLED)
    return time.perf_counter() - start


def whole(runs: int, *arguments: str) -> float:
    """Median seconds of the whole command, as a process of its own; whatever it finds."""
    command = (sys.executable, "-m", "scriptkit", *arguments)
    return statistics.median(seconds(command, check=False) for _ in range(runs))


def to_a_bare_start(runs: int) -> Iterator[Measured]:
    """Medians of the ratios to a bare start, measured in turns."""
    with tempfile.TemporaryDirectory() as folder:
        for name, arguments, target in (
            ("scriptkit --help, to a bare start", ("--help",), 1.5),
            ("scriptkit macros MEAL, to a bare start", ("macros", MEAL), 1.5),
            ("scriptkit pack MEAL, to a bare start", ("pack", MEAL, "-o", folder), 2.5),
        ):
            command = (sys.executable, "-m", "scriptkit", *arguments)
            seconds(command), seconds(BARE)  # warm the disk
            pairs = [(seconds(command), seconds(BARE)) for _ in range(runs)]
            yield Measured(name, statistics.median(a / b for a, b in pairs), "×", target, command=arguments)


def sizes() -> Iterator[Measured]:
    """The largest process, and the wheel."""
    with tempfile.TemporaryDirectory() as folder:
        yield Measured("pack of the example meal, memory", peak_mb("pack", MEAL, "-o", folder), "MB", 120)
        tree = Path(folder) / "tree"
        shutil.copytree(ROOT, tree, ignore=shutil.ignore_patterns(".*", "tests", "__pycache__"))
        built = Path(folder) / "dist"
        build = [sys.executable, "-m", "hatchling", "build", "-t", "wheel", "-d", str(built)]
        subprocess.run(build, cwd=tree, check=True, capture_output=True)
        yield Measured("wheel", next(built.glob("*.whl")).stat().st_size / 1e6, "MB", 1)


def meals(runs: int) -> Iterator[Measured]:
    """What is promised of meals."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        four = folder / "four.yaml"
        write_kitchen(folder, 1, dishes=4).rename(four)
        one = next(p for p in sorted(folder.glob("*.yaml")) if p != four)
        pairs = [(whole(1, "macros", str(four)), whole(1, "macros", str(one))) for _ in range(runs)]
        yield Measured("macros of 4 dishes, more than of one", statistics.median(a - b for a, b in pairs), "s", 0.02)
        three = folder / "three.yaml"
        write_kitchen(folder, 2, dishes=3).rename(three)
        took = whole(runs, "shoot", str(three), "-o", str(folder / "papers"))
        yield Measured("shoot of 3 dishes, whole process", took, "s", 0.6)
    portion = ("portion", MEAL, "--at-most", "net_carbs_g=10")
    yield Measured("portion, whole process", whole(runs, *portion), "s", 0.3, command=portion)
    for dishes, target in ((2, 1.0), (3, 2.0)):
        with tempfile.TemporaryDirectory() as name:
            times = [whole(1, "schedule", str(write_kitchen(Path(name), seed, dishes=dishes))) for seed in range(12)]
            yield Measured(f"schedule {dishes} × 10 steps, slowest of {len(times)} kitchens", max(times), "s", target)
    yield from pairs_of(1000)


def pairs_of(count: int) -> Iterator[Measured]:
    """Partners ranked, once the dishes are read."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        dish = (ROOT / "examples" / "seared-hake.yaml").read_text(encoding="utf-8")
        for n in range(count):
            text = dish.replace("dish: Seared", f"dish: {n} Seared").replace("{amount: 680 g", f"{{amount: {600 + n} g")
            (folder / f"d{n}.yaml").write_text(text, encoding="utf-8")
        start = time.perf_counter()
        read = [dish_macros(d) for p in sorted(folder.iterdir()) if isinstance(d := read_source(str(p)).source, Dish)]
        choices = [choice_of(m, m.dish.serving_g) for m in read]
        yield Measured(f"pair: {count} dishes read", time.perf_counter() - start, "s")
        bounds = [
            Bound(name="net_carbs_g", at_most=True, figure=2.0),
            Bound(name="protein_g", at_most=False, figure=50.0),
        ]
        start = time.perf_counter()
        rank_partners(choices[0], choices[1:], bounds)
        yield Measured(f"pair: {count} dishes ranked", time.perf_counter() - start, "s", 2)


def lines(runs: int) -> Iterator[Measured]:
    yield from to_a_bare_start(runs)
    yield from sizes()
    yield from meals(runs)


if __name__ == "__main__":
    show("whole commands", lines(int(sys.argv[1]) if len(sys.argv) > 1 else 7))
