"""Sentences in which the maker admits that something was not filmed."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit.cut.coverage.addition_effects import gaps_said
from scriptkit.cut.placement import Cut
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.recipe.dish import Addition, Dish, Meal, Step


@dataclass(frozen=True, slots=True, kw_only=True)
class Admission:
    """``addition`` is None where nothing tells what was not filmed; then ``step`` and ``dish`` are too. ``words`` are the sentence."""

    time_ms: int
    line: SpokenLine
    words: str
    dish: Dish | None
    step: Step | None
    addition: Addition | None


def admissions_in(source: Dish | Meal, transcript: Transcript, cut: Cut | None = None) -> tuple[Admission, ...]:
    """Every admitted gap, one for each addition that it is about; of an addition that goes in at several steps, the step that stands
    nearest, without a cut the one whose words do."""
    found = []
    for gap in gaps_said(source, transcript, cut):
        for dish, step, addition in gap.additions or ((None, None, None),):
            found.append(
                Admission(time_ms=gap.ms, line=gap.line, words=gap.words, dish=dish, step=step, addition=addition)
            )
    return tuple(found)
