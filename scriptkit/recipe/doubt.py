"""What of an ingredient is a guess that nobody has confirmed (`unsure:`)."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit.problems import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Doubt:
    """What of an ingredient is a guess that nobody has confirmed. ``food``, ``amount`` and ``form`` are confidences from 0 to 1;
    None: not in doubt."""

    food: float | None
    amount: float | None
    form: float | None
    read_from: str
    """The words that it was read from; empty: not stated."""
    candidates: tuple[str, ...]
    """Other foods that may be meant, likeliest first."""
    place: Place
