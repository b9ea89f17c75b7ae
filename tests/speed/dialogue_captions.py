"""Are dialogue captions in the words that were said? Invented talks, the script read with slips and recognised with errors.

    python -m tests.speed.dialogue_captions [TALKS] [-v]

Of each talk it is known what was truly said and when. Counted are the words as they were said (one less the word error rate),
the starts of cues within 0.3 s of where the recogniser heard their first word, and words that no witness has: neither heard nor said
nor in the script within two seconds. With -v what is wrong is printed.
"""

from __future__ import annotations

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path

from rapidfuzz.distance import Levenshtein

from scriptkit.captions.dialogue.spoken_dialogue import SpokenDialogue, dialogue_of
from scriptkit.captions.dialogue.timed_words import timed_words
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.production import Production, read
from tests.captions.invented_talk import SaidWord, Talk, invented, keys
from tests.speed.measured import Measured, show

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
SOURCES = ("harbour-supper.yaml", "mussel-chowder.yaml", "seeded-loaf.yaml", "pork-chops.yaml")
NEAR_MS, START_MS = 2_000, 300


@dataclass(frozen=True, slots=True, kw_only=True)
class Score:
    """``words`` that were said and ``wrong`` ones; ``raw_wrong`` of what was recognised; ``cues`` and ``late`` ones; ``nowhere``: words
    that no witness has."""

    words: int
    wrong: int
    raw_wrong: int
    cues: int
    late: int
    nowhere: int


def score(talk: Talk, made: SpokenDialogue, production: Production) -> Score:
    """The captions held against what was truly said."""
    said = [w.text for w in talk.said]
    written = [k for cue in made.cues for k in keys(" ".join(cue.lines))]
    script = {k for p in production.script.passages for k in keys(p.text)}
    return Score(
        words=len(said),
        wrong=Levenshtein.distance(said, written),
        raw_wrong=Levenshtein.distance(said, [k for w in talk.heard for k in keys(w.text)]),
        cues=len(made.cues),
        late=sum(not _starts_at_its_word(cue.start_ms, cue.lines[0], (*talk.said, *talk.heard)) for cue in made.cues),
        nowhere=sum(
            k not in script and not _near(k, cue.start_ms, cue.end_ms, (*talk.said, *talk.heard))
            for cue in made.cues
            for k in keys(" ".join(cue.lines))
        ),
    )


def _starts_at_its_word(start_ms: int, line: str, said: Sequence[SaidWord]) -> bool:
    first = keys(line)[0]
    return any(keys(w.text)[:1] == [first] and abs(w.start_ms - start_ms) <= START_MS for w in said)


def _near(key: str, start_ms: int, end_ms: int, words: Sequence[SaidWord]) -> bool:
    return any(key in keys(w.text) for w in words if start_ms - NEAR_MS <= w.start_ms <= end_ms + NEAR_MS)


def scores(talks: int, verbose: bool = False) -> Iterator[tuple[str, Score]]:
    """Each talk's name and score."""
    productions = [read(str(EXAMPLES / name)) for name in SOURCES]
    for seed in range(talks):
        production = productions[seed % len(productions)]
        talk = invented(production, seed)
        made = dialogue_of(
            production.script, timed_words(read_transcript(talk.srt.encode(), "talk.srt").lines), production.room
        )
        if verbose:
            _show(talk, made)
        yield f"{SOURCES[seed % len(SOURCES)]} {seed}", score(talk, made, production)


def _show(talk: Talk, made: SpokenDialogue) -> None:
    said = [w.text for w in talk.said]
    written = [k for cue in made.cues for k in keys(" ".join(cue.lines))]
    for tag, a, b, c, d in Levenshtein.opcodes(said, written):
        if tag != "equal":
            print(
                f"    {' '.join(said[max(0, a - 2) : a])} [{' '.join(said[a:b])} → {' '.join(written[c:d])}] {' '.join(said[b : b + 2])}"
            )


def lines(talks: int = 40, verbose: bool = False) -> Iterator[Measured]:
    """The figures of all talks together."""
    found = []
    for name, one in scores(talks, verbose):
        found.append(one)
        if verbose:
            print(
                f"{name:28} {100 - 100 * one.wrong / one.words:6.2f} % of {one.words}, heard {100 - 100 * one.raw_wrong / one.words:6.2f} %"
            )
    words = sum(s.words for s in found)
    yield Measured("words as recognised, of those said", 100 - 100 * sum(s.raw_wrong for s in found) / words, "%")
    yield Measured(
        "words as captioned, of those said", 100 - 100 * sum(s.wrong for s in found) / words, "%", 97, at_least=True
    )
    cues = sum(s.cues for s in found)
    yield Measured(
        "cues that start at a word heard", 100 - 100 * sum(s.late for s in found) / cues, "%", 99.5, at_least=True
    )
    yield Measured("words from nowhere", sum(s.nowhere for s in found), "", 0.5)


if __name__ == "__main__":
    numbers = [int(a) for a in sys.argv[1:] if a.isdigit()]
    show("dialogue captions of invented talks", lines(numbers[0] if numbers else 40, "-v" in sys.argv))
