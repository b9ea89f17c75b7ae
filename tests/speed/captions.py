"""Measure `proof` and `conform` on a generated file of 100,000 cues against other libraries' reading and writing of it.

    python -m tests.speed.captions [CUES]

Ratios within one run, the best of five; asserts nothing, for a busy machine is no defect.
"""

from __future__ import annotations

import random
import re
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from pathlib import Path

import pysubs2
import srt

from scriptkit.captions.profiles import profiles
from scriptkit.captions.proofing.conform import drained, offset
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.repair import write_captions
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.measure.timecode import RATES
from scriptkit.timed_text.encodings import decode
from scriptkit.timed_text.reading import CaptionFile, parse_captions
from scriptkit.timed_text.webvtt import clock
from tests.speed.measured import Measured, peak_mb, show

WORDS = re.findall(
    r"\w+",
    """butter fennel celeriac stock soft glossy colour minutes medium heat knife slides gently season salt pepper lemon juice hake
skin crisp spoon warm bowl ladle blend smooth cream chives parsley capers mustard simmer lazy steam""",
)


def write_cues(path: Path, count: int) -> None:
    """SubRip with two lines a cue, on frames at 25, one cue in fifty with a fault."""
    picks = random.Random(count)
    now, blocks = 0, []
    for number in range(1, count + 1):
        upper, lower = (" ".join(picks.choices(WORDS, k=picks.randint(3, 5))) for _ in range(2))
        start = now + (40 if picks.random() < 0.02 else 80)
        now = start + 40 * picks.randint(75, 110)
        times = f"{clock(start)} --> {clock(now)}".replace(".", ",")
        blocks.append(f"{number}\n{times}\n{upper},\n{lower}.\n")
    path.write_text("\n".join(blocks), encoding="utf-8")


def read(path: Path) -> CaptionFile:
    text, told = decode(path.read_bytes(), path.name)
    return parse_captions(text, path.name, told)


def run_proof(path: Path) -> None:
    proof(Sheet(read(path), profiles()["streaming"], RATES["25"]))


def run_conform(path: Path) -> None:
    file = read(path)
    cues = list(file.cues)
    file = replace(file, cues=())
    moved = offset(drained(cues), 1_500)
    path.with_suffix(".out").write_bytes(write_captions(file, drained(moved)).encode())


def run_srt(path: Path) -> None:
    path.with_suffix(".out").write_text(srt.compose(srt.parse(path.read_text(encoding="utf-8"))), encoding="utf-8")


def run_pysubs2(path: Path) -> None:
    pysubs2.load(str(path), encoding="utf-8", format_="srt").save(str(path.with_suffix(".out")), format_="srt")


def seconds(work: Callable[[Path], None], path: Path) -> float:
    """Of the processor: others at work on the machine are no fault."""
    start = time.process_time()
    work(path)
    return time.process_time() - start


def lines(count: int = 100_000) -> Iterator[Measured]:
    """Processor time, the best of five; memory of whole processes."""
    with tempfile.TemporaryDirectory() as name:
        big, tenth, tiny = (Path(name) / f"{n}.srt" for n in ("big", "tenth", "tiny"))
        for path, cues in ((big, count), (tenth, count // 10), (tiny, 2)):
            write_cues(path, cues)
        took: dict[str, list[float]] = {}
        for _ in range(5):
            for work in (run_srt, run_pysubs2, run_proof, run_conform):
                took.setdefault(work.__name__, []).append(seconds(work, big))
                took.setdefault(f"{work.__name__} tenth", []).append(seconds(work, tenth))
        best = {name: min(values) for name, values in took.items()}
        for command in ("proof", "conform"):
            ours = best[f"run_{command}"]
            yield Measured(f"{command}, to srt's parse and compose", ours / best["run_srt"], "×", 1.5)
            yield Measured(f"{command}, to pysubs2's load and save", ours / best["run_pysubs2"], "×", 1)
            yield Measured(f"{command}, 10 times the cues", ours / best[f"run_{command} tenth"], "×", 11)
        size = big.stat().st_size / 1e6
        for command in (("proof",), ("conform", "--offset", "1.5", "-o", str(big.with_suffix(".out")))):
            more = peak_mb(command[0], str(big), *command[1:]) - peak_mb(command[0], str(tiny), *command[1:])
            yield Measured(f"{command[0]}, memory more than for 2 cues, in file sizes", more / size, "×", 6)


if __name__ == "__main__":
    show("captions", lines(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000))
