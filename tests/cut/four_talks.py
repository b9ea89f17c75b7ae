"""Talks of four other dishes with a sentence at the end of a step, in cues of five to eight words that run across sentences."""

from __future__ import annotations

import csv
import functools
import random
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from scriptkit.cut.placement import Cut, Placement
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source

HERE = Path(__file__).parent
WORD_MS, CUE_MS, STEP_MS = 350, 60, 1500
"""How long a word takes, and the pauses after a cue and after a step (common sense, no source)."""


@dataclass(frozen=True, slots=True)
class Said:
    """``effect`` is empty for a harmless sentence; ``of``: ingredient, or ingredient@step."""

    dish: str
    place: str
    bare: bool
    effect: str
    of: frozenset[str]
    words: str


def sentences() -> Iterator[Said]:
    """Every row of confessions_four_dishes.csv."""
    text = (HERE / "confessions_four_dishes.csv").read_text(encoding="utf-8")
    for row in csv.DictReader(line for line in text.splitlines() if not line.startswith("#")):
        of = frozenset(name.strip() for name in row["of"].split(";") if name.strip())
        yield Said(row["dish"], row["place"], row["spoken"] == "u", row["effect"].replace("-", ""), of, row["words"])


@functools.cache
def talked_of(name: str) -> Dish:
    """The dish of that file."""
    source = read_source(str(HERE / "confession_talks" / f"{name}.yaml")).usable()
    assert isinstance(source, Dish)
    return source


@functools.cache
def talks() -> dict[str, dict[str, str]]:
    """Dish → place → what is said there."""
    found: dict[str, dict[str, str]] = {}
    here: dict[str, str] = {}
    for line in (HERE / "confession_talks" / "talks.txt").read_text(encoding="utf-8").splitlines():
        if line.startswith("["):
            here = found.setdefault(line.strip("[]"), {})
        elif line:
            place, _, text = line.partition(": ")
            here[place] = text
    return found


def talk(said: Said, seed: int = 1) -> tuple[Transcript, Cut]:
    """The talk with the sentence in it, and where its steps stand."""
    chance = random.Random(seed)
    at, lines, starts = 0, [], {}
    for place, own in talks()[said.dish].items():
        starts[place] = at
        text = f"{own} {said.words}" if place == said.place else own
        words = (re.sub(r"[.,;:!?]", "", text).lower() if said.bare else text).split()
        while words:
            count = chance.randint(5, 8)
            count = len(words) if len(words) - count < 3 else count
            cue, words = words[:count], words[count:]
            lines.append(SpokenLine(at, at + WORD_MS * len(cue), " ".join(cue), len(lines) + 1))
            at += WORD_MS * len(cue) + CUE_MS
        at += STEP_MS
    placed = tuple(
        Placement(dish=talked_of(said.dish), step=step, time_ms=starts[step.id], confidence=0.9)
        for step in talked_of(said.dish).steps
    )
    return Transcript(file="cut.srt", lines=tuple(lines), problems=()), Cut(
        title="cut", length_ms=at, placements=placed, confidence=0.9
    )
