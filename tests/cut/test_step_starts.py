"""A step begins with the sentence that opens it: a few frames before its first word, never after its first act nor inside the step before."""

from __future__ import annotations

import statistics
from pathlib import Path

import pytest
from conftest import Table
from cut.arranged import EXAMPLES, WAYS, as_subrip, cut_as

from scriptkit.cut.step_starts import sentences_of
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.production import Production, read

SLAW = """
dish: Sharp slaw
servings: 2
ingredients: {carrots: 200 g, cider vinegar: 1 tbsp, mustard: {amount: 10 g, food: Dijon mustard}, sunflower seeds: 20 g, salt: 2 g}
steps:
  - {id: shred, stage: prep, do: Shred the carrots., uses: [carrots], screen: 14 s}
  - {id: dressing, stage: prep, do: Shake the vinegar and the mustard in a jar., add: {cider vinegar: all, mustard: all}, vessel: jar, screen: 18 s}
  - {id: toast, stage: cook, do: Toast the seeds in a dry pan., add: {sunflower seeds: all}, vessel: small pan, heat: medium, hands: 3 min, screen: 12 s}
  - {id: toss, stage: cook, do: "Toss the carrots with the dressing and the salt.", add: {carrots: all, salt: all}, vessel: salad bowl, screen: 14 s, from: [dressing, toast]}
"""
TALK = [  # when, which step that opens, what is said
    (0, "", "Hello. Tonight it is a slaw with carrots and toasted seeds."),
    (6, "shred", "So, let's begin."),
    (8, "", "Two hundred grams of carrots, and I shred them as fine as I can."),
    (14, "", "Look at those carrots, all of a length."),
    (20, "dressing", "For the dressing I want a clean jar with a lid."),
    (24, "", "One spoon of cider vinegar, a good teaspoon of mustard."),
    (29, "", "Lid on, and shake it like you mean it."),
    (36, "toast", "One more thing for crunch. A dry pan, nothing in it."),
    (41, "", "Twenty grams of sunflower seeds, and toast them till they pop."),
    (47, "", "Smells like popcorn."),
    (52, "toss", "Now it all comes together."),
    (55, "", "The carrots into the big bowl, the dressing, a bit of salt, and toss."),
    (62, "", "And that is that. Thanks for watching."),
]


def test_each_step_begins_with_the_sentence_that_opens_it(table: Table, tmp_path: Path) -> None:
    lines = [SpokenLine(at * 1000, (at + 2) * 1000, said, n) for n, (at, _, said) in enumerate(TALK, 1)]
    path = tmp_path / "slaw.srt"
    path.write_text(as_subrip(Transcript(file="slaw.srt", lines=tuple(lines), problems=())), encoding="utf-8")
    cut = Production(table.read(SLAW), cut=str(path)).cut
    assert cut is not None
    found = {p.step.id: cut.begins_ms[p.step.place] for p in cut.placements}
    assert found == {step: at * 1000 - 120 for at, step, _ in TALK if step}


@pytest.mark.parametrize("way", ["dish after dish", "interleaved"])
def test_the_steps_of_the_example_begin_where_a_viewer_puts_them(way: str, tmp_path: Path) -> None:
    transcript, seen = cut_as(WAYS[way])
    path = tmp_path / "cut.srt"
    path.write_text(as_subrip(transcript), encoding="utf-8")
    made = read(str(EXAMPLES / "harbour-supper.yaml"), cut=str(path))
    cut, clock = made.cut, made.word_clock
    assert cut is not None and clock is not None
    off = {p.step.id: cut.begins_ms[p.step.place] / 1000 - seen[p.step.id][0] for p in cut.placements}
    assert statistics.median(map(abs, off.values())) <= 0.3 and all(-1 <= one <= 1.6 for one in off.values())
    for p in cut.placements:
        assert all(clock.additions.get(a.place, 10**9) >= cut.begins_ms[p.step.place] for a in p.step.additions)


@pytest.mark.parametrize(
    ("lines", "told"),
    [
        (["Turn it down. Now the", "sauce."], ["Turn it down.", "Now the sauce."]),
        (["leave it alone, it lets go", "Turn the fillets over", "and wait."], ["leave it alone, it lets go", "Turn the fillets over and wait."]),
        (["we chop the leek next we get", "the pan hot"], ["we chop the leek", "next we get", "the pan hot"]),
    ],
)  # fmt: skip
def test_sentences_are_told_apart(lines: list[str], told: list[str]) -> None:
    said = [*lines, *["and so it goes on", "and on it goes"] * 3] if "." in "".join(lines) else lines * 30
    rows = [SpokenLine(n * 2_000, n * 2_000 + 1_900, text, n + 1) for n, text in enumerate(said)]
    found = sentences_of(Transcript(file="t.srt", lines=tuple(rows), problems=()))
    assert [one.text for one in found][: len(told)] == told
