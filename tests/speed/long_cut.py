"""Whole commands over long transcripts against the same command without one: seconds, megabytes, and how they grow.

    python -m tests.speed.long_cut [RUNS]

The transcripts are made up: words of the kitchen and of small talk, by a fixed seed. Asserts nothing, for a busy machine is no defect.
"""

from __future__ import annotations

import json
import os
import random
import statistics
import subprocess
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from tests.speed.measured import Measured, peak_mb, show

DO = ("add", "stir in", "chop", "simmer", "soften", "whisk", "slice", "fold in", "roast", "drain", "season", "blend")
THINGS = (
    "celeriac", "fennel", "butter", "stock", "cream", "mustard", "chives", "hake", "capers", "lemon", "parsley", "leek", "potato",
    "carrot", "onion", "garlic", "flour", "milk", "egg", "cheddar", "spinach", "mussels", "wine", "thyme", "bacon", "barley",
)  # fmt: skip
TALK = (
    "so now we are going to", "and that is how it should look when you see it", "my mother always did it this way", "have a taste",
    "it will take a little while but it is worth it", "let me show you", "you can see how it goes", "be careful with the heat",
)  # fmt: skip


def dish_text(steps: int, seed: int = 1, name: str = "Long one", each: object = "to taste") -> str:
    chance = random.Random(seed)
    rows = []
    for n in range(1, steps + 1):
        first, second = chance.sample(THINGS, 2)
        do = f"{chance.choice(DO).capitalize()} the {first} and the {second}."
        rows.append({"id": f"s{n}", "stage": "cook", "do": do, "uses": [first, second]})
    return json.dumps({"dish": name, "servings": 4, "ingredients": dict.fromkeys(THINGS, each), "steps": rows})


def transcript_text(cues: int, seconds: int, seed: int = 2) -> str:
    chance = random.Random(seed)
    rows = []
    for n in range(cues):
        at = n * seconds * 1000 // cues
        words = [chance.choice(TALK), chance.choice(DO), "the", chance.choice(THINGS)]
        words += [
            f"{chance.choice('bdfgklmnprst')}{chance.choice('aeiou')}{chance.choice('bdgklmnprst')}{n % 700}".rstrip(
                "0123456789"
            )
            + "ish"
        ]
        start, end = stamp(at), stamp(at + seconds * 900 // cues)
        rows.append(f"{n + 1}\n{start} --> {end}\n{' '.join(words)}\n")
    return "\n".join(rows)


def stamp(ms: int) -> str:
    seconds, ms = divmod(ms, 1000)
    return f"{seconds // 3600:02d}:{seconds // 60 % 60:02d}:{seconds % 60:02d},{ms:03d}"


def whole(*arguments: str) -> float:
    """Seconds of the processor of the command as a process of its own. Raises ValueError where it could not do its work."""
    process = subprocess.Popen(
        [sys.executable, "-m", "scriptkit", *arguments], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL
    )
    _, status, used = os.wait4(process.pid, 0)
    if os.waitstatus_to_exitcode(status) not in (0, 1):
        raise ValueError(f"{' '.join(arguments)} ended with {os.waitstatus_to_exitcode(status)}")
    return used.ru_utime + used.ru_stime


def lines(runs: int) -> Iterator[Measured]:
    """Processor time and memory of whole commands; how much longer they take for a longer cut."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        more: dict[int, float] = {}
        for words, steps, cues, length_s in (
            ("10 min, 250 cues, 12 steps", 12, 250, 600),
            ("2 h, 3,000 cues, 60 steps", 60, 3000, 7200),
            ("4 h, 6,000 cues, 60 steps", 60, 6000, 14400),
        ):
            dish, srt = folder / "dish.yaml", folder / "cut.srt"
            dish.write_text(dish_text(steps), encoding="utf-8")
            srt.write_text(transcript_text(cues, length_s), encoding="utf-8")
            bare = statistics.median(whole("coverage", str(dish), "--json") for _ in range(runs))
            took = [whole("coverage", str(dish), "--transcript", str(srt), "--json") for _ in range(runs)]
            median = statistics.median(took)
            more[cues] = median - bare
            yield Measured(f"{words}, more than without", more[cues], "s", 0.15 if cues == 250 else None)
            if cues == 3000:
                yield Measured(f"{words}, whole process", median, "s", 1)
                memory = peak_mb("coverage", str(dish), "--transcript", str(srt), "--json")
                yield Measured(f"{words}, memory", memory, "MB", 150)
        yield Measured("twice the cues, more than without", more[6000] / more[3000], "×", 2)
        yield Measured("two dishes of 15 steps, 30 min, more than without", of_two_dishes(folder, runs), "s", 0.6)


def of_two_dishes(folder: Path, runs: int) -> float:
    """Seconds of the processor more, where the steps of two dishes may follow one another in any order."""
    for n, dish in enumerate(("One", "Other")):
        text = dish_text(15, seed=n + 3, name=dish, each={"amount": "10 g", "food": "water"})
        (folder / f"{dish}.yaml").write_text(text, encoding="utf-8")
    dishes = [{"dish": f"{dish}.yaml", "portion": "1 serving"} for dish in ("One", "Other")]
    meal, srt = folder / "meal.yaml", folder / "half-hour.srt"
    meal.write_text(json.dumps({"meal": "Both", "plates": 2, "dishes": dishes}), encoding="utf-8")
    srt.write_text(transcript_text(750, 1800), encoding="utf-8")
    asked = [
        statistics.median(whole("coverage", str(meal), *with_talk, "--json") for _ in range(runs))
        for with_talk in (("--transcript", str(srt)), ())
    ]
    return asked[0] - asked[1]


if __name__ == "__main__":
    show("long transcripts", lines(int(sys.argv[1]) if len(sys.argv) > 1 else 5))
