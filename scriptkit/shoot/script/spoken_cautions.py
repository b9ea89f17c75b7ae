"""The cautions that the script offers to say at a step, and the script with them: as a voice-over may read it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from scriptkit.safety.rule_matching import Caution
from scriptkit.shoot.script.script import Passage


def cautions_to_say(passage: Passage, cautions: Iterable[Caution]) -> dict[str, bool]:
    """Spoken lines of the cautions that apply at the step, each once, and whether it is one that is read when the food is checked."""
    step = passage.segment.step
    return {c.spoken: c.rule.measured for c in cautions if step is not None and c.step is step and c.spoken}


@dataclass(frozen=True, slots=True)
class OfferedPassage:
    """A line of the script, and the number of the passage that it is of; ``own``: it is that passage's, and no caution beside it."""

    passage: Passage
    number: int
    own: bool


def with_cautions(passages: Sequence[Passage], cautions: Sequence[Caution]) -> list[OfferedPassage]:
    """The passages, each with its cautions before and after it, where the script offers them."""
    out: list[OfferedPassage] = []
    for n, passage in enumerate(passages):
        told = cautions_to_say(passage, cautions)
        before, after = (
            [
                OfferedPassage(replace(passage, text=line), n, False)
                for line, at_the_check in told.items()
                if at_the_check is late
            ]
            for late in (False, True)
        )
        out += [*before, OfferedPassage(passage, n, True), *after]
    return out
