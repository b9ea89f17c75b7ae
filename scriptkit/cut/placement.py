"""Where the steps stand in the cut."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit.problems import Problem
from scriptkit.recipe.dish import Dish, Step

HAND, MARKER, TRANSCRIPT = "hand", "marker", "transcript"
"""What a placement is known from, the surest first."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Placement:
    """A step of a dish in the cut. ``time_ms`` is a moment inside the step, None where it could not be placed;
    ``confidence`` runs from 0 to 1."""

    dish: Dish
    step: Step
    time_ms: int | None
    confidence: float
    known_from: str = TRANSCRIPT
    elsewhere_ms: int | None = None
    """Where it seems to be spoken of instead, before a step that it comes after or after one that it comes before."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Cut:
    """The placements of all steps of a dish or meal, in the order in which the recipe cooks them. ``length_ms`` is the
    cut's, 0 where it is not known; ``confidence`` is that of the whole: low where the transcript is of another video."""

    title: str
    length_ms: int
    placements: tuple[Placement, ...]
    confidence: float
    problems: tuple[Problem, ...] = ()
    """What a person must be told of how the steps were placed."""
