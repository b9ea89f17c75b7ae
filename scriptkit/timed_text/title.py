"""A title: what an overlay shows as figures, each with what it is of; for who draws it, beside the cue's lines."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace


@dataclass(frozen=True, slots=True)
class TitleFigure:
    """``28 g`` of ``Butter``, with ``2 tbsp`` beside it; ``amount`` may be words: ``to taste``, ``1 pinch``."""

    amount: str
    name: str
    detail: str = ""


@dataclass(frozen=True, slots=True)
class Share:
    """A part of the plate's energy: its name and its kcal."""

    name: str
    kcal: float


@dataclass(frozen=True, slots=True)
class Title:
    """``figures`` in the order in which they are read. A card has a ``heading``, the figure it is there for first, and the
    plate's energy by ``shares``."""

    figures: tuple[TitleFigure, ...]
    heading: str = ""
    weight: str = ""
    shares: tuple[Share, ...] = ()
    notes: tuple[str, ...] = ()
    """Small print at the foot of a card."""


def together(titles: Iterable[Title | None]) -> Title | None:
    """One title with all figures of several, none of which is a card; None where one of them is none."""
    found = list(titles)
    if not found or any(t is None or t.heading for t in found):
        return None
    first, *others = [t for t in found if t is not None]
    return replace(first, figures=sum((t.figures for t in others), first.figures))
