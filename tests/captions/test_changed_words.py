"""The list of changed words says all that the captions say otherwise than the transcript, and nothing else."""

from __future__ import annotations

import re

import pytest
from invented_talk import invented
from test_spoken_dialogue import TALKS, captioned, production

from scriptkit.captions.dialogue.timed_words import timed_words
from scriptkit.cut.transcript.transcript_reader import read_transcript


def letters(text: str) -> list[str]:
    return re.findall(r"\w+", text.casefold())


@pytest.mark.parametrize(("name", "seed"), TALKS)
def test_the_list_turns_what_was_heard_into_what_is_captioned(name: str, seed: int) -> None:
    """As the words are written, case and marks apart: *93* for *ninety-three* is a change, and what is written back is none."""
    talk = invented(production(name), seed)
    heard = timed_words(read_transcript(talk.srt.encode(), "talk.srt").lines)
    made = captioned(talk, name)
    changes = {c.time_ms: c for c in made.changes}
    assert len(changes) == len(made.changes)
    told: list[str] = []
    at = 0
    while at < len(heard):
        change = changes.pop(heard[at].start_ms, None)
        if change is None:
            told += letters(heard[at].text)
            at += 1
            continue
        assert letters(change.was) != letters(change.now) and change.why
        told += letters(change.now)
        was = letters(change.was)
        while was:
            own = letters(heard[at].text)
            assert was[: len(own)] == own, change
            was, at = was[len(own) :], at + 1
    assert not changes
    assert told == letters(" ".join(line for cue in made.cues for line in cue.lines))
