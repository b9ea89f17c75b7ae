"""The list of changed words says all that the captions say otherwise than the transcript, and nothing else."""

from __future__ import annotations

import re

import pytest
from test_spoken_dialogue import TALKS, captioned, heard_as, production, talk_of

from scriptkit.captions.dialogue.spoken_dialogue import NO_WORDS, NOT_MADE_OUT, WHO_SPEAKS, dialogue_of
from scriptkit.captions.dialogue.timed_words import TimedWord, timed_words
from scriptkit.captions.dialogue.word_changes import OF_SCRIPT, OF_SENTENCES
from scriptkit.cut.transcript.transcript import SpokenLine
from scriptkit.cut.transcript.transcript_reader import read_transcript


def letters(text: str) -> list[str]:
    return re.findall(r"\w+", text.casefold())


@pytest.mark.parametrize(("name", "seed"), TALKS)
def test_the_list_turns_what_was_heard_into_what_is_captioned(name: str, seed: int) -> None:
    """To the letter: *93* for *ninety-three* is a change of words, *glossy,* for *glossy* one of marks, and what is written back is none."""
    talk = talk_of(name, seed)
    heard = timed_words(read_transcript(talk.srt.encode(), "talk.srt").lines)
    made = captioned(talk, name)
    changes = {c.time_ms: c for c in (*made.changes, *made.marks)}
    assert len(changes) == len(made.changes) + len(made.marks)
    assert all(letters(c.was) != letters(c.now) for c in made.changes)
    assert all(letters(c.was) == letters(c.now) and c.was != c.now for c in made.marks)
    told: list[str] = []
    at = 0
    while at < len(heard):
        change = changes.pop(heard[at].start_ms, None)
        if change is None:
            told += heard[at].text.split()
            at += 1
            continue
        assert change.why and change.line == heard[at].line
        told += change.now.split()
        was = letters(change.was)
        while was:
            own = letters(heard[at].text)
            assert was[: len(own)] == own, change
            was, at = was[len(own) :], at + 1
    assert not changes
    assert told == " ".join(line for cue in made.cues for line in cue.lines).split()


@pytest.mark.parametrize(
    ("said", "was", "now", "why"),
    [
        ("the hake goes in skin side down, and away from you.", "down,", "down", OF_SCRIPT),
        ("the rest of the salt and the butter over the top", "salt", "salt,", OF_SCRIPT),
        ("ferries leave from another pier. whenever somebody remembers", "whenever", "Whenever", OF_SENTENCES),
    ],
)
def test_a_changed_mark_is_listed_with_why(said: str, was: str, now: str, why: str) -> None:
    words = [TimedWord(w, 400 * n, 400 * n + 380, 1) for n, w in enumerate(said.split())]
    of = production("seared-hake")
    made = dialogue_of(of.script, words, of.room)
    assert (was, now, why) in [(c.was, c.now, c.why) for c in made.marks]


def test_what_ends_in_the_middle_of_a_sentence_of_the_script_ends_with_a_stop() -> None:
    assert heard_as("the rest of the salt")[0] == "The rest of the salt."  # the script: *the salt, and the butter*
    assert heard_as("Lovely day. The rest of the salt.")[0] == "Lovely day. The rest of the salt."


def test_what_was_not_made_out_is_no_sound() -> None:
    marks = [SpokenLine(n, n + 1, mark, 1) for n, mark in enumerate(["[inaudible]", "[Music]", ">>"])]
    of = production("seared-hake")
    made = dialogue_of(of.script, [], of.room, not_said=marks)
    assert [c.why for c in made.changes] == [NOT_MADE_OUT, NO_WORDS, WHO_SPEAKS]


def test_a_figure_that_is_heard_is_not_taken_for_a_small_word() -> None:
    said = "in the same minute two fennel bulbs halve them and slice them thinly across the grain"
    assert heard_as(said, "fennel-bisque")[1] == []  # the script: *The fennel bulbs*
