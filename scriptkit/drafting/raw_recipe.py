"""A recipe as it was found, in its own words: nothing is understood yet."""

from __future__ import annotations

from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True, kw_only=True)
class RawRecipe:
    """Texts as they stand in the source, plain and in one line each; empty where it says nothing. Durations are milliseconds."""

    name: str
    promise: str = ""
    serves: str = ""
    ingredients: tuple[str, ...] = ()
    steps: tuple[str, ...] = ()
    prep_ms: int | None = None
    cook_ms: int | None = None
    total_ms: int | None = None
    author: str = ""
    address: str = ""
    energy: str = ""
    """What the source says of the energy of a serving."""
    others: tuple[str, ...] = field(default=())
    """Names of the recipes of the same file that were not taken."""
    nutrition: tuple[tuple[str, float], ...] = field(default=())
    """What it prints of a serving: our name of a figure, and the figure."""


class NoRecipe(ValueError):
    """The file holds no recipe that can be read; ``hint`` says what would do."""

    def __init__(self, message: str, hint: str) -> None:
        super().__init__(message)
        self.hint = hint
