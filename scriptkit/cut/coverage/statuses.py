"""How far each addition has come on its way to the viewer: planned, filmed, circled, in the cut, heard."""

from __future__ import annotations

import enum
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scriptkit.recipe.dish import Addition, Dish, Step
from scriptkit.shoot.log.take_log import Take
from scriptkit.shoot.shots.shots import Shot

if TYPE_CHECKING:
    from scriptkit.cut.coverage.spoken_additions import SpokenAddition

NEAR_MS = 20_000
"""A name that is said further from its step is said of something else, such as cutting it up (common practice, no source)."""


class Status(enum.StrEnum):
    """The furthest that is known. ``NOT_HEARD`` says that nobody names it, not that it is not seen."""

    NO_SHOT = "no shot"
    PLANNED = "planned"
    FILMED = "filmed"
    CIRCLED = "circled"
    IN_CUT = "in the cut"
    HEARD = "heard"
    NOT_HEARD = "not heard"


@dataclass(frozen=True, slots=True, kw_only=True)
class AdditionStatus:
    """An addition, the shots that are planned of it, and what became of it. ``takes`` is None without a log; ``heard`` is
    None without a transcript that is of this recipe; ``time_ms`` is where its step stands in the cut, None where that is
    not known."""

    dish: Dish
    step: Step
    addition: Addition
    shots: tuple[Shot, ...]
    takes: tuple[Take, ...] | None = None
    time_ms: int | None = None
    heard: SpokenAddition | None = None
    passed: bool = False
    """Whether the log has takes of shots that come after all of its own."""

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
        """None without a log."""
        return None if self.takes is None else any(take.circled for take in self.takes)

    @property
    def spoken_ms(self) -> int | None:
        """When its name is heard in the cut; None where it is not, or nobody listened."""
        return None if self.heard is None else self.heard.time_ms

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
    def shown_ms(self) -> int | None:
        """Where to look for it in the cut: where it is named there, else where its step is."""
        return self.spoken_ms if self.named_there else self.time_ms

    @property
    def in_cut(self) -> bool:
        """Whether its step stands in the cut."""
        return self.time_ms is not None

    @property
    def still_to_shoot(self) -> bool:
        """Whether it may not have gone in yet: there is no cut, and the log, where there is one, has not come to it."""
        return self.heard is None and self.time_ms is None and not self.takes and not self.passed

    @property
    def accepted(self) -> bool:
        """Whether the cook knows that it was not filmed, and the overlay says it instead."""
        return self.addition.ingredient.key in self.step.unfilmed

    @property
    def status(self) -> Status:
        """The furthest that is known: what is heard goes before the cut, the cut before the log, the log before the plan."""
        if self.heard is not None:
            return Status.NOT_HEARD if self.heard.time_ms is None else Status.HEARD
        if self.in_cut:
            return Status.IN_CUT
        if self.circled:
            return Status.CIRCLED
        if self.takes:
            return Status.FILMED
        return Status.PLANNED if self.shots else Status.NO_SHOT
