"""Dialogue captions from three witnesses: the script says what was to be said, the recogniser what is heard and when, the recipe
how it is spelt."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.captions.composing.cue_limits import CueLimits
from scriptkit.captions.dialogue.dialogue_cues import dialogue_cues
from scriptkit.captions.dialogue.figures_written import figures_written
from scriptkit.captions.dialogue.follow_script import CaptionWord, WordChange, following
from scriptkit.captions.dialogue.timed_words import timed_words
from scriptkit.cut.transcript.transcript import Transcript
from scriptkit.recipe.dish import Dish
from scriptkit.shoot.script.script import Script
from scriptkit.timed_text.cue import Cue


@dataclass(frozen=True, slots=True, kw_only=True)
class SpokenDialogue:
    """``cues`` in order, each beginning in the line of the transcript at the same place of ``lines``; ``changes``: every word that is
    another than the recogniser wrote, in the order of time; ``scripted``: the share of words that are the script's."""

    cues: tuple[Cue, ...]
    lines: tuple[int, ...]
    changes: tuple[WordChange, ...]
    scripted: float


def dialogue_of(
    script: Script, transcript: Transcript, room: CueLimits, dishes: Sequence[Dish], *, keep_words: bool = False
) -> SpokenDialogue:
    """The talk of the cut as cues within the ``room``. ``keep_words``: the recogniser's words as they are."""
    heard = timed_words(transcript.lines)
    if keep_words:
        words = [CaptionWord(w.text, w.start_ms, w.end_ms, w.line, None, False) for w in heard]
        changes: list[WordChange] = []
    else:
        words, changes = following([p for p in script.passages if p.text], heard)
        words, figures = figures_written(words)
        changes += figures
    found = dialogue_cues(words, room)
    return SpokenDialogue(
        cues=tuple(cue for cue, _ in found),
        lines=tuple(line for _, line in found),
        changes=tuple(sorted(changes, key=lambda c: c.time_ms)),
        scripted=sum(w.scripted for w in words) / max(1, len(words)),
    )
