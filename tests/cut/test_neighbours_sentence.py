"""What is changed in one sentence of a talk moves no other step surely: a sentence of a neighbour is taken out, or says something else."""

from __future__ import annotations

from dataclasses import replace

import pytest
from arranged import SUPPER, WAYS, cut_as
from loose_talks import cut_of, scene, written

from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.recipe.dish import Dish, Meal

SURE, FAR_MS, ITS_OWN_MS = 0.6, 10_000, 8_000
"""A step that is surer than this moves no further than that, where the sentence is not about its own moment (our own figures)."""
SAID_INSTEAD = "and this is the part that I like best of all"
SCENES = ("rub", "mix", "marinate", "peel", "pickle", "stew", "fill", "bake", "wipe", "sear", "rest", "sauce", "plate")


def moved(source: Dish | Meal, talk: Transcript, every: int, first: int) -> list[str]:
    """The sure steps that stand elsewhere once a line is gone or says something else; of each so many lines one is tried."""
    alone = place(source, talk).placements
    found = []
    for n in range(first, len(talk.lines), every):
        line = talk.lines[n]
        changed: tuple[SpokenLine, ...] = () if n % 2 else (replace(line, text=SAID_INSTEAD),)
        other = replace(talk, lines=(*talk.lines[:n], *changed, *talk.lines[n + 1 :]))
        middle = (line.start_ms + line.end_ms) // 2
        for before, after in zip(alone, place(source, other).placements, strict=True):
            if before.time_ms is None or after.time_ms is None or abs(before.time_ms - middle) <= ITS_OWN_MS:
                continue
            if after.confidence > SURE and abs(after.time_ms - before.time_ms) > FAR_MS:
                found.append(f"{line.text}: {after.step.id} {before.time_ms} → {after.time_ms} ({after.confidence})")
    return found


@pytest.mark.parametrize("way", ["interleaved", "reversed"])
def test_of_the_example_in_another_order(way: str) -> None:
    assert moved(SUPPER, cut_as(WAYS[way])[0], every=7, first=2) == []


def test_of_two_dishes_that_take_turns(tmp_path_factory: pytest.TempPathFactory) -> None:
    meal = written(tmp_path_factory.mktemp("scenes"))[2]
    talk, _ = cut_of([scene(name) for name in ("hello", *SCENES, "whip", "serve", "bye")])
    assert moved(meal, talk, every=5, first=1) == []
