"""Two dishes in one cut, put together from real cooking videos in every usual way: are their steps found as well as in each alone?

    python -m tests.speed.order_of_cut DATA [PAIRS]

DATA is the folder of the step-alignment benchmark, outside the repository. Of each pair of videos the talk and the gold times are
cut and joined: one whole after the other, the other way round, the second inside the first, and the preparing of both before the
cooking of both. A step counts as found within 5 s of its gold time.
"""

from __future__ import annotations

import json
import random
import sys
import tempfile
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.english.methods import HOT, method_of
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from tests.speed.measured import Measured, show

NEAR_MS = 5_000
FALSE = frozenset({"out-of-order"})


@dataclass(frozen=True, slots=True)
class Video:
    name: str
    recipe: dict[str, Any]
    gold: list[tuple[int, int]]
    length_ms: int
    lines: tuple[SpokenLine, ...]
    cooks_from: int
    """The first step on the heat; those before it are prep."""


def video_of(data: Path, name: str) -> Video:
    recipe = json.loads((data / "recipe" / f"{name}.json").read_text(encoding="utf-8"))
    gold = json.loads((data / "gold" / f"{name}.json").read_text(encoding="utf-8"))
    spans = [(round(s["start"] * 1000), round(s["end"] * 1000)) for s in gold["steps"]]
    lines = read_transcript((data / "srt" / f"{name}.srt").read_bytes(), name).lines
    hot = [n for n, do in enumerate(recipe["steps"]) if method_of(do) in HOT]
    return Video(name, recipe, spans, round(gold["duration"] * 1000), lines, hot[0] if hot else 0)


def dish_text(video: Video) -> str:
    names = video.recipe["ingredients"] or ["salt"]
    steps = [
        {"id": f"s{n}", "stage": "prep" if n < video.cooks_from else "cook", "do": do}
        for n, do in enumerate(video.recipe["steps"])
    ]
    return json.dumps(
        {
            "dish": video.name,
            "servings": 2,
            "cooked_weight": "10 g",
            "ingredients": {
                name: {"amount": "10 g", "food": "water"} for name in names
            },  # what it is weighs nothing here
            "steps": steps,
        }
    )


Part = tuple[Video, int, int]
"""A video, from when to when of it, in milliseconds."""


def joined(parts: list[Part]) -> tuple[Transcript, dict[tuple[str, int], tuple[int, int]]]:
    lines: list[SpokenLine] = []
    gold: dict[tuple[str, int], tuple[int, int]] = {}
    now = 0
    for video, first, last in parts:
        for line in video.lines:
            if first <= line.start_ms < last:
                lines.append(
                    SpokenLine(line.start_ms - first + now, min(line.end_ms, last) - first + now, line.text, len(lines))
                )
        for n, (start, end) in enumerate(video.gold):
            if first <= start < last:
                gold[video.name, n] = (start - first + now, end - first + now)
        now += min(last, video.length_ms) - first
    return Transcript(file="cut.srt", lines=tuple(lines), problems=()), gold


def ways(a: Video, b: Video) -> dict[str, list[Part]]:
    whole_a, whole_b = (a, 0, a.length_ms), (b, 0, b.length_ms)
    half = a.length_ms // 2
    at_a, at_b = (max(v.gold[v.cooks_from][0] - 3_000, 0) for v in (a, b))
    return {
        "A then B": [whole_a, whole_b],
        "B then A": [whole_b, whole_a],
        "B inside A": [(a, 0, half), whole_b, (a, half, a.length_ms)],
        "prep and cook apart": [(a, 0, at_a), (b, 0, at_b), (a, at_a, a.length_ms), (b, at_b, b.length_ms)],
    }


Rows = list[tuple[float, bool]]
"""Of each placed step how sure it is, and whether it is right."""


def judged(
    source: Dish | Meal, transcript: Transcript, gold: dict[tuple[str, int], tuple[int, int]], rows: Rows
) -> Counter[str]:
    cut = place(source, transcript)
    found: Counter[str] = Counter()
    for p in cut.placements:
        span = gold.get((p.dish.name, int(p.step.id[1:])))
        if span is not None:
            if p.time_ms is not None:
                rows.append((p.confidence, span[0] - NEAR_MS <= p.time_ms <= span[1] + NEAR_MS))
            found["of"] += 1
            found["right"] += p.time_ms is not None and span[0] - NEAR_MS <= p.time_ms <= span[1] + NEAR_MS
            found["sure and wrong"] += (
                p.time_ms is not None
                and p.confidence > 0.5
                and not (span[0] - NEAR_MS <= p.time_ms <= span[1] + NEAR_MS)
            )
    found["false"] = sum(p.code in FALSE for p in cut.problems)
    return found


def calibration(rows: Rows) -> float:
    """The largest difference, in points, of the share that is right and the mean confidence, among the tenths of confidence that hold
    50 steps or more."""
    tenths: dict[int, Rows] = {}
    for sure, right in rows:
        tenths.setdefault(min(int(sure * 10), 9), []).append((sure, right))
    return max((100 * abs(sum(r - s for s, r in of)) / len(of) for of in tenths.values() if len(of) >= 50), default=0.0)


def lines(data: Path, pairs: int = 16) -> Iterator[Measured]:
    names = sorted(p.stem for p in (data / "recipe").glob("*.json"))
    random.Random(11).shuffle(names)
    found: dict[str, Counter[str]] = {}
    rows: Rows = []
    with tempfile.TemporaryDirectory() as folder:
        for n in range(pairs):
            a, b = (video_of(data, name) for name in names[2 * n : 2 * n + 2])
            for name, video in (("a", a), ("b", b)):
                path = Path(folder) / f"{name}{n}.yaml"
                path.write_text(dish_text(video), encoding="utf-8")
                one, gold = joined([(video, 0, video.length_ms)])
                found.setdefault("alone", Counter()).update(judged(read_source(str(path)).usable(), one, gold, rows))
            meal = Path(folder) / f"meal{n}.yaml"
            meal.write_text(
                f"meal: Two\nplates: 2\ndishes:\n  - {{dish: a{n}.yaml, portion: 1 serving}}\n  - {{dish: b{n}.yaml, portion: 1 serving}}\n",
                encoding="utf-8",
            )
            source = read_source(str(meal)).usable()
            for way, parts in ways(a, b).items():
                found.setdefault(way, Counter()).update(judged(source, *joined(parts), rows))
    for way, of in found.items():
        yield Measured(f"{way}: steps within 5 s ({of['of']})", 100 * of["right"] / of["of"], "%", 86, at_least=True)
    yield Measured("false warnings of order", sum(of["false"] for of in found.values()), "", 3)
    yield Measured("confidence and share right, most apart in a tenth", calibration(rows), "points", 10)
    yield Measured("sure and wrong", sum(of["sure and wrong"] for of in found.values()), "", None)


if __name__ == "__main__":
    show("two dishes in one cut", lines(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 16))
