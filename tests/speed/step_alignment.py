"""Place the steps of real cooking videos by their transcripts, with the functions that the command uses, and score that.

    python -m tests.speed.step_alignment DATA [--cli N]

DATA is the folder that the benchmark's build.py wrote: recipe/, srt/, gold/ and decoys.json; it lies outside the repository and is
never committed. Predictions are written to DATA/pred. ``--cli N``: the first N videos also go through the installed command, which
must say the same. Asserts nothing of the figures; what they were stands in DEVELOPERS.md.
"""

from __future__ import annotations

import argparse
import json
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from scriptkit.cut.coverage.spoken_additions import not_heard
from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.placing.video_match import OTHER_VIDEO
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source
from tests.speed.measured import Measured, show


def dish_text(recipe: dict[str, Any], more: list[str]) -> str:
    """A dish file (JSON is YAML) with ingredient names and steps of which only the sentence is known."""
    names = [*(recipe["ingredients"] or []), *more]
    return json.dumps(
        {
            "dish": f"Dish {recipe['dish']}",
            "servings": 2,
            "ingredients": dict.fromkeys(names, "to taste") or {"salt": "to taste"},
            "steps": [{"id": f"s{n}", "stage": "cook", "do": do} for n, do in enumerate(recipe["steps"], 1)],
        }
    )


def dish_of(recipe: dict[str, Any], more: list[str], folder: Path) -> Dish:
    path = folder / "dish.yaml"
    path.write_text(dish_text(recipe, more), encoding="utf-8")
    source = read_source(str(path)).usable()
    assert isinstance(source, Dish)
    return source


def predict(data: Path, name: str, decoys: list[str], folder: Path) -> dict[str, Any]:
    recipe = json.loads((data / "recipe" / f"{name}.json").read_text(encoding="utf-8"))
    dish = dish_of(recipe, decoys, folder)
    transcript = read_transcript((data / "srt" / f"{name}.srt").read_bytes(), name)
    cut = place(dish, transcript)
    at = {p.step.id: p for p in cut.placements}
    steps = [at[f"s{n}"] for n in range(1, len(recipe["steps"]) + 1)]
    missing = {i.key for i in not_heard(dish, transcript, cut)}
    return {
        "steps": [None if p.time_ms is None else p.time_ms / 1000 for p in steps],
        "sure": [p.confidence for p in steps],
        "confidence": cut.confidence,
        "not_heard": [n for n in recipe["ingredients"] or [] if n in missing],
        "decoys_not_heard": [n for n in decoys if n in missing],
    }


def by_command(data: Path, name: str, decoys: list[str], folder: Path) -> dict[str, Any]:
    """The same as :func:`predict`, from what the installed command prints."""
    recipe = json.loads((data / "recipe" / f"{name}.json").read_text(encoding="utf-8"))
    path = folder / "dish.yaml"
    path.write_text(dish_text(recipe, decoys), encoding="utf-8")
    command = [
        sys.executable,
        "-m",
        "scriptkit",
        "coverage",
        str(path),
        "--transcript",
        str(data / "srt" / f"{name}.srt"),
        "--json",
    ]
    told = json.loads(subprocess.run(command, capture_output=True, encoding="utf-8", check=False).stdout)
    at = {s["id"]: s for s in told["steps"]}
    steps = [at[f"s{n}"] for n in range(1, len(recipe["steps"]) + 1)]
    return {
        "steps": [s["time_s"] for s in steps],
        "sure": [s["confidence"] for s in steps],
        "confidence": told["confidence"],
        "not_heard": [n for n in recipe["ingredients"] or [] if n in told["not_heard"]],
        "decoys_not_heard": [n for n in decoys if n in told["not_heard"]],
    }


def scores(data: Path, found: dict[str, dict[str, Any]], decoys: dict[str, list[str]]) -> Iterator[Measured]:
    """The figures of the benchmark's score.py, and what leaving out the least sure fifth brings."""
    rows = []
    real = alarms = caught = 0
    for name, told in found.items():
        gold = json.loads((data / "gold" / f"{name}.json").read_text(encoding="utf-8"))["steps"]
        for g, time_s, sure in zip(gold, told["steps"], told["sure"], strict=True):
            off = 1e9 if time_s is None else max(g["start"] - time_s, time_s - g["end"], 0)
            rows.append((sure, off))
        names = json.loads((data / "recipe" / f"{name}.json").read_text(encoding="utf-8"))["ingredients"] or []
        real += len(names)
        alarms += len(told["not_heard"])
        caught += len(told["decoys_not_heard"])
    rows.sort(key=lambda r: r[0])
    kept = rows[len(rows) // 5 :]

    def within(some: list[tuple[float, float]], seconds: float) -> float:
        return 100 * sum(off <= seconds for _, off in some) / len(some)

    hit = within(rows, 0)
    yield Measured(f"a moment inside the step ({len(found)} videos, {len(rows)} steps)", hit, "%", 64, at_least=True)
    yield Measured("within 5 s of it", within(rows, 5), "%", 78, at_least=True)
    yield Measured("within 10 s of it", within(rows, 10), "%", 84, at_least=True)
    yield Measured("more inside, the least sure fifth left out", within(kept, 0) - hit, "points", 6, at_least=True)
    yield Measured(f"not heard, of {real} ingredients of the recipe", 100 * alarms / real, "%", 9)
    strange = 100 * caught / sum(map(len, decoys.values()))
    yield Measured("not heard, of ingredients of other dishes", strange, "%", 95, at_least=True)


def lines(data: Path) -> Iterator[Measured]:
    """All videos; predictions are written to DATA/pred."""
    decoys, names = _decoys(data), _names(data)
    with tempfile.TemporaryDirectory() as folder:
        found = {name: predict(data, name, decoys.get(name, []), Path(folder)) for name in names}
        (data / "pred").mkdir(exist_ok=True)
        for name, told in found.items():
            (data / "pred" / f"{name}.json").write_text(json.dumps(told), encoding="utf-8")
        yield from scores(data, found, decoys)
        yield strangers(data, names, Path(folder))


def _decoys(data: Path) -> dict[str, list[str]]:
    found: dict[str, list[str]] = json.loads((data / "decoys.json").read_text(encoding="utf-8"))
    return found


def _names(data: Path) -> list[str]:
    return sorted(p.stem for p in (data / "gold").glob("*.json"))


def strangers(data: Path, names: list[str], folder: Path) -> Measured:
    """How many recipes know the transcripts of three other videos for those of another."""
    sure = []
    for n, name in enumerate(names):
        recipe = json.loads((data / "recipe" / f"{name}.json").read_text(encoding="utf-8"))
        dish = dish_of(recipe, [], folder)
        for k in (17, 41, 83):
            other = names[(n + k) % len(names)]
            sure.append(place(dish, read_transcript((data / "srt" / f"{other}.srt").read_bytes(), other)).confidence)
    told = sum(one < OTHER_VIDEO for one in sure)
    return Measured(f"not aligned, of {len(sure)} transcripts of another video", 100 * told / len(sure), "%")


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("data", type=Path)
    parser.add_argument("--cli", type=int, default=0)
    given = parser.parse_args()
    show("steps placed by transcripts alone", lines(given.data))
    decoys = _decoys(given.data)
    with tempfile.TemporaryDirectory() as folder:
        same = [
            by_command(given.data, n, decoys.get(n, []), Path(folder))
            == predict(given.data, n, decoys.get(n, []), Path(folder))
            for n in _names(given.data)[: given.cli]
        ]
    if same:
        print(f"by the installed command: {sum(same)} of {len(same)} the same")


if __name__ == "__main__":
    main()
