"""Times of another step that are said in passing: *stir it, and later the fennel gets its six minutes*."""

from __future__ import annotations

from collections.abc import Callable, Sequence

from scriptkit.cut.claims.claim import Near
from scriptkit.cut.placement import Placement
from scriptkit.cut.transcript.running_text import words_in
from scriptkit.pantry.names import words_of
from scriptkit.recipe.dish import Step


def said_in_passing(at: Placement, beside: Sequence[str], near: Near, fits: Callable[[Step], bool]) -> Placement | None:
    """The one other step whose time it is, and of which a food is named ``beside`` it that the step ``at`` does not have; None where there
    is none, or more than one. ``beside``: the texts of its sentence before and after the time."""
    said = _words_said(beside)
    if said & _foods(at.step):
        return None
    found = [p for p in near.all if p.step is not at.step and said & _foods(p.step) and fits(p.step)]
    return found[0] if len(found) == 1 else None


def told_beforehand(at: Placement, beside: Sequence[str], near: Near) -> Placement | None:
    """The one later step of the dish whose food is named ``beside`` the time, and nothing that is in the dish by the step ``at``: *the
    fennel takes twenty minutes later*; None where there is none, or more than one."""
    said = _words_said(beside)
    of_dish = [p for p in near.all if p.dish is at.dish]
    if any(said & _foods(p.step) for p in of_dish if p.step.number <= at.step.number):
        return None
    found = [p for p in of_dish if p.step.number > at.step.number and said & _foods(p.step)]
    return found[0] if len(found) == 1 else None


def _words_said(texts: Sequence[str]) -> set[str]:
    return {w for text in texts for word in words_in(text) for w in words_of(word)}


def _foods(step: Step) -> set[str]:
    names = [*(a.ingredient.name for a in step.additions), *(i.name for i in step.uses)]
    return {w for name in names for w in words_of(name)}
