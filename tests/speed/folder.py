"""Measure `pack FOLDER` in one warm process: processor time of a pack, and memory after 50 dishes and after 500.

    python -m tests.speed.folder [DISHES]

The dishes are those of the examples, each with a name and amounts of its own. Prints figures beside their targets; asserts nothing.
"""

from __future__ import annotations

import multiprocessing
import random
import re
import sys
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

from tests.speed.measured import Measured, own_peak_mb, show

ROOT = Path(__file__).parent.parent.parent
DISHES = 500
FEW = 50
TARGET_MS = 25
WARM = 12
"""Packs before the clock starts: templates, tables and rules are read once in a process."""
_AMOUNT = re.compile(r"(amount: )(\d+)( g)\b")


def write_dishes(folder: Path, count: int) -> list[Path]:
    """So many dishes, no two alike; the same ones in every run."""
    chance = random.Random(7)
    texts = {p.name: p.read_text(encoding="utf-8") for p in sorted((ROOT / "examples").glob("*.yaml"))}
    for name, text in texts.items():
        if name.startswith("fish-stock"):  # a part of other dishes
            (folder / name).write_text(text, encoding="utf-8")
    dishes = [t for n, t in texts.items() if re.search(r"^dish:", t, re.M) and not n.startswith("faulty")]
    made = []
    for number in range(count):
        text = dishes[number % len(dishes)]
        text = re.sub(r"^dish: ", f"dish: Plate {number} of ", text, count=1, flags=re.M)
        text = _AMOUNT.sub(lambda found: f"{found[1]}{int(found[2]) + chance.randrange(12)}{found[3]}", text)
        path = folder / f"plate-{number:03}.yaml"
        path.write_text(text, encoding="utf-8")
        made.append(path)
    return made


def lines(count: int = DISHES) -> Iterator[Measured]:
    """In a new process, so that its memory is its own."""
    context = multiprocessing.get_context("spawn")
    with context.Pool(1) as pool:
        few_ms, all_ms, few_mb, all_mb = pool.apply(_measured, (count,))
    yield Measured(f"a pack, processor time, of {FEW} dishes", few_ms, "ms", TARGET_MS)
    yield Measured(f"a pack, processor time, of {count} dishes", all_ms, "ms", TARGET_MS)
    yield Measured(f"memory after {FEW} dishes", few_mb, "MB")
    yield Measured(f"memory after {count} dishes", all_mb, "MB", round(few_mb * 1.05, 1))


def _measured(count: int) -> tuple[float, float, float, float]:
    from scriptkit.cli.pack_folder import _pack
    from scriptkit.process_limits import collect_seldom

    collect_seldom()
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        sources = write_dishes(folder, count)
        jobs = [(str(p), str(folder / "packs" / p.stem), "", False) for p in sources]
        for job in jobs[:WARM]:
            _pack(job)
        start = time.process_time()
        few_ms, few_mb = 0.0, 0.0
        for done, job in enumerate(jobs, 1):
            packed = _pack(job)
            assert packed.files, packed
            if done == min(FEW, count):
                few_ms, few_mb = (time.process_time() - start) * 1000 / done, own_peak_mb()
        return few_ms, (time.process_time() - start) * 1000 / count, few_mb, own_peak_mb()


if __name__ == "__main__":
    show("a folder of dishes", lines(int(sys.argv[1]) if len(sys.argv) > 1 else DISHES))
