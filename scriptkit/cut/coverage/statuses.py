"""How far each addition has come on its way to the viewer: planned, filmed, circled, in the cut, heard."""

from __future__ import annotations

import enum
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scriptkit.recipe.dish import Addition, Dish, Step
from scriptkit.shoot.log.take_log import Take
from scriptkit.shoot.shots.shots import Shot

if TYPE_CHECKING:
    from scriptkit.cut.coverage.addition_effects import AdditionEffect
    from scriptkit.cut.coverage.spoken_additions import SpokenAddition

NEAR_MS = 20_000
"""A name that is said further from its step is said of something else, such as cutting it up (common practice, no source)."""


class Status(enum.StrEnum):
    """The furthest that is known. ``NOT_HEARD`` says that nobody names it as it goes in, not that it is not seen; ``NOT_NAMED``, that
    only its kind is spoken of; the last three, that it is said not to be in the dish."""

    NO_SHOT = "no shot"
    PLANNED = "planned"
    FILMED = "filmed"
    CIRCLED = "circled"
    IN_CUT = "in the cut"
    HEARD = "heard"
    NOT_HEARD = "not heard"
    NOT_NAMED = "not named"
    LEFT_OUT = "left out"
    LATER = "said to come later"
    REPLACED = "replaced"


_KIND = "its kind"  # mention_matcher.KIND, which is loaded only where somebody listened
_STATUS_OF_EFFECT = {"left out": Status.LEFT_OUT, "later": Status.LATER, "instead": Status.REPLACED}


@dataclass(frozen=True, slots=True, kw_only=True)
class AdditionStatus:
    """An addition, the shots that are planned of it, and what became of it. ``takes`` is None without a log; ``heard`` is
    None without a transcript that is of this recipe; ``time_ms`` is a moment inside its step in the cut, None where that is
    not known, and ``begins_ms`` where that step begins, as its chapter and its captions have it."""

    dish: Dish
    step: Step
    addition: Addition
    shots: tuple[Shot, ...]
    takes: tuple[Take, ...] | None = None
    time_ms: int | None = None
    begins_ms: int | None = None
    heard: SpokenAddition | None = None
    effect: AdditionEffect | None = None
    """What is said to become of it; None without a transcript that is of this recipe."""
    corrected: bool = False
    """Whether the file corrects what is said of it there (`corrections:`)."""
    seen: bool | None = None
    """Whether a person has looked and seen it go in; None where nobody answered."""
    too_late: bool = False
    """Whether the log says that it cannot be filmed as it goes in any more (gates.py)."""
    begun: bool = False
    """Whether anything of its step is filmed, so that it may be in already."""

    @property
    def name(self) -> str:
        """The ingredient, as the cook calls it."""
        return self.addition.ingredient.name

    @property
    def where(self) -> str:
        """``step 3 (sear)``."""
        return f"step {self.step.number} ({self.step.id})"

    @property
    def circled(self) -> bool | None:
        """Whether a take of it is circled, and its clip is there where the camera's files were looked at; None without a log."""
        return None if self.takes is None else any(take.proven for take in self.takes)

    @property
    def clip_missing(self) -> bool:
        """Whether takes of it are circled, and the camera's files have none of them."""
        return not self.circled and any(take.circled for take in self.takes or ())

    @property
    def spoken_ms(self) -> int | None:
        """When it is named in the cut; None where it is not, where it is said not to be in the dish, and where nobody listened."""
        if self.heard is None or self.not_there or self.heard.how == _KIND:
            return None
        return self.heard.time_ms

    @property
    def not_there(self) -> bool:
        """Whether it is said to be left out, replaced, or to come later, and nothing after that says that it went in."""
        return self.effect is not None and self.effect.effect in _STATUS_OF_EFFECT

    @property
    def said(self) -> str:
        """What is said to become of it (``left out``, ``later`` …); empty where nobody listened."""
        return "" if self.effect is None else self.effect.effect

    @property
    def stand_in(self) -> str:
        """What is said to have gone in instead; empty where that is not said."""
        return "" if self.effect is None else self.effect.stand_in

    @property
    def not_named(self) -> bool:
        """Whether only its kind is spoken of: *a bit of green*."""
        return self.heard is not None and self.heard.how == _KIND and not self.not_there

    @property
    def told_ms(self) -> int | None:
        """When that is said which tells what became of it: a confession, else its name."""
        return self.effect.time_ms if self.effect is not None and self.not_there else self.spoken_ms

    @property
    def heard_as(self) -> str:
        """The word that stands for its name in the transcript, where that is another."""
        if self.heard is None:
            return ""
        from scriptkit.cut.placing.mention_matcher import MISHEARD

        return self.heard.word if self.heard.how == MISHEARD else ""

    @property
    def named_there(self) -> bool:
        """Whether it is named about where its step stands, so that the words tell its moment."""
        spoken = self.spoken_ms
        return spoken is not None and (self.time_ms is None or abs(spoken - self.time_ms) <= NEAR_MS)

    @property
    def at_ms(self) -> int | None:
        """When it is shown, as captions have it: where it is named there, else where its step begins; None where it is not in the dish."""
        return None if self.not_there else self.spoken_ms if self.named_there else self.begins_ms

    @property
    def shown_ms(self) -> int | None:
        """Where to look for it in the cut: where it is named there, else where its step is."""
        return self.spoken_ms if self.named_there else self.time_ms

    @property
    def in_cut(self) -> bool:
        """Whether its step stands in the cut."""
        return self.time_ms is not None

    @property
    def still_to_shoot(self) -> bool:
        """Whether it can be filmed as it goes in, as the stage page asks: there is no cut, and by the log it is not too late."""
        return self.heard is None and self.time_ms is None and not self.circled and not self.too_late

    @property
    def accepted(self) -> bool:
        """Whether the cook knows that it was not filmed, and the overlay says it instead."""
        return self.addition.ingredient.key in self.step.unfilmed

    @property
    def status(self) -> Status:
        """The furthest that is known: what is heard goes before the cut, the cut before the log, the log before the plan."""
        if self.effect is not None and self.not_there:
            return _STATUS_OF_EFFECT[self.effect.effect]
        if self.heard is not None:
            return Status.NOT_NAMED if self.not_named else Status.NOT_HEARD if self.spoken_ms is None else Status.HEARD
        if self.in_cut:
            return Status.IN_CUT
        if self.circled:
            return Status.CIRCLED
        if self.takes:
            return Status.FILMED
        return Status.PLANNED if self.shots else Status.NO_SHOT
