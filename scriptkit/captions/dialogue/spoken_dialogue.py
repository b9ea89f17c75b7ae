"""Dialogue captions from three witnesses: the script says what was to be said, the recogniser what is heard and when, the recipe
how it is spelt."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace

from scriptkit.captions.composing.cue_limits import CueLimits
from scriptkit.captions.dialogue.dialogue_cues import dialogue_cues
from scriptkit.captions.dialogue.figures_written import figures_written
from scriptkit.captions.dialogue.follow_script import CaptionWord, WordChange, following
from scriptkit.captions.dialogue.recipe_witness import corrected
from scriptkit.captions.dialogue.sentence_marks import with_marks
from scriptkit.captions.dialogue.timed_words import TimedWord
from scriptkit.captions.dialogue.word_changes import changed, marks_changed
from scriptkit.captions.proofing.due_terms import DueTerms
from scriptkit.cut.transcript.transcript import SpokenLine
from scriptkit.problems import Place, Problem, note, warning
from scriptkit.shoot.script.script import Script
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.reading import CaptionFile, ReadCue

NO_WORDS = "a mark, not something said: left out (`--sounds` writes the sounds of the steps)"
WHO_SPEAKS = "a mark of who speaks, not something said: left out"
NOT_MADE_OUT = "something is said that the recogniser did not make out: left out; listen there"
_NOT_MADE_OUT = re.compile(r"inaudible|unintelligible|indistinct|unclear|cross-?talk|\?\?", re.IGNORECASE)
_LITTLE_FOLLOWED = 0.25
"""Of the words; less is a talk of something else, or one that goes its own way."""


@dataclass(frozen=True, slots=True, kw_only=True)
class SpokenDialogue:
    """``cues`` in order, each beginning in the line of the transcript at the same place of ``lines``; ``changes``: every word that is
    another than the recogniser wrote, in the order of time; ``marks``: every place where only commas, stops or capitals are others;
    ``scripted``: the share of words that are the script's."""

    cues: tuple[Cue, ...]
    lines: tuple[int, ...]
    changes: tuple[WordChange, ...]
    keep_words: bool
    scripted: float
    hurried: int
    """Cues that stand shorter than the profile wants, for the talk is faster."""
    marks: tuple[WordChange, ...] = ()

    def as_captions(self, file: str, first_ms: int = 0) -> CaptionFile:
        """As if they were read from ``file``, which is the transcript: SubRip cues, moved by ``first_ms``."""
        cues = (
            ReadCue(c.start_ms + first_ms, c.end_ms + first_ms, "\n".join(c.lines), line)
            for c, line in zip(self.cues, self.lines, strict=True)
        )
        return CaptionFile(file=file, kind="srt", cues=tuple(cues), repairs=())

    def problems(self, file: str, profile: str) -> list[Problem]:
        """What must be told of them; ``profile`` by its name."""
        found: list[Problem] = []
        if not self.keep_words and self.scripted < _LITTLE_FOLLOWED:
            message = f"the talk follows the script in {self.scripted:.0%} of its words: the rest is as the recogniser wrote it"
            hint = "check that this is the transcript of this video, and that the steps have their `say:`"
            found.append(warning(Place(file), "script-not-followed", message, hint))
        if self.hurried:
            cues = "1 cue stands" if self.hurried == 1 else f"{self.hurried} cues stand"
            message = f"{cues} shorter than {profile} wants: the talk is faster than it can be read"
            found.append(note(Place(file), "fast-talk", message))
        return found


def dialogue_of(
    script: Script,
    heard: Sequence[TimedWord],
    room: CueLimits,
    *,
    due: DueTerms | None = None,
    keep_words: bool = False,
    not_said: Sequence[SpokenLine] = (),
    end_ms: int | None = None,
) -> SpokenDialogue:
    """The talk of the cut as cues within the ``room``. ``heard``: its words (``timed_words`` of a transcript); ``due``: what the
    recipe may correct; ``keep_words``: all stay as they are; ``not_said``: marks of the transcript that are no words, which are listed;
    ``end_ms``: where the cut ends."""
    not_words = [WordChange(mark.start_ms, mark.text, "", _why_left_out(mark.text), mark.line) for mark in not_said]
    if keep_words:
        words = [CaptionWord(w.text, w.start_ms, w.end_ms, w.line, None, False) for w in heard]
        return _composed(words, not_words, room, keep_words=True, end_ms=end_ms)
    words = following(script.passages, heard)
    if due is not None:
        words = corrected(words, due)
    written, _ = figures_written(with_marks(words))
    changes = [*not_words, *changed(written, heard)]
    made = _composed(written, changes, room, keep_words=False, end_ms=end_ms)
    return replace(made, marks=tuple(marks_changed(written, heard)))


def _why_left_out(mark: str) -> str:
    if not any(c.isalnum() or c in "♪♫♬?" for c in mark):
        return WHO_SPEAKS
    return NOT_MADE_OUT if _NOT_MADE_OUT.search(mark) else NO_WORDS


def dialogue_of_script(
    words: Sequence[CaptionWord], room: CueLimits, *, told: Sequence[WordChange] = (), keep_words: bool = False
) -> SpokenDialogue:
    """The script's own words, at the times at which a voice reads them. ``told``: words that seem to be read otherwise, which are listed
    and stay the script's; ``keep_words``: figures stay in words."""
    no_figures: list[WordChange] = []
    written, figures = (list(words), no_figures) if keep_words else figures_written(words)
    return _composed(written, [*told, *figures], room, keep_words=keep_words)


def _composed(
    written: Sequence[CaptionWord],
    changes: Sequence[WordChange],
    room: CueLimits,
    *,
    keep_words: bool,
    end_ms: int | None = None,
) -> SpokenDialogue:
    found = dialogue_cues(written, room, end_ms)
    return SpokenDialogue(
        cues=tuple(cue for cue, _ in found),
        lines=tuple(line for _, line in found),
        changes=tuple(sorted(changes, key=lambda c: c.time_ms)),
        keep_words=keep_words,
        hurried=sum(c.end_ms - c.start_ms < room.least_ms(" ".join(c.lines)) - room.slack_ms for c, _ in found),
        scripted=sum(w.scripted for w in written) / max(1, len(written)),
    )
