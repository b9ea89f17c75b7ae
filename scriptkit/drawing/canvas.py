"""Pictures that the overlay is drawn on: their size, where anything may stand, and the four sizes of type.

A viewer holds a phone on which the film is 390 px wide: nothing is smaller than 12 px there, which is 60 px in a frame of 1,920.
Everything stands 5 % of the frame from its edges (title safe area, SMPTE ST 2046-1:2009); on vertical video clear of the lower fifth and
the right 15 %, where players draw their own controls (common practice, no source)."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True, kw_only=True)
class Canvas:
    """Pixels. ``small`` to ``huge``: sizes of type, from one scale."""

    width: int
    height: int
    left: float
    right: float
    top: float
    foot: float
    small: float
    medium: float
    large: float
    huge: float

    @property
    def vertical(self) -> bool:
        """Whether it is higher than wide."""
        return self.height > self.width

    @property
    def pad(self) -> float:
        """Between a panel's edge and what stands in it."""
        return round(self.small * 0.5)


SIZES = {
    "1080p": (1920, 1080),
    "4k": (3840, 2160),
    "720p": (1280, 720),
    "540p": (960, 540),
    "9x16": (1080, 1920),
    "9x16-4k": (2160, 3840),
}
"""By the names that a person may ask for."""


def canvas_of(width: int, height: int) -> Canvas:
    """The canvas of a picture of this many pixels."""
    if height > width:
        unit = width / 1080
        right, top, foot = width * 0.85, height * 0.1, height * 0.8
        sizes = (48, 58, 84, 150)
    else:
        unit = min(width / 1920, height / 1080 * 1.2)
        right, top, foot = width * 0.95, height * 0.05, height * 0.95
        sizes = (62, 74, 104, 176)
    small, medium, large, huge = (round(size * unit, 1) for size in sizes)
    return Canvas(
        width=width, height=height, left=width * 0.05, right=right, top=top, foot=foot,
        small=small, medium=medium, large=large, huge=huge,
    )  # fmt: skip
