"""The comment pinned under the video: what it gets wrong, and every weight, for those who cook along on a scale."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit.english.us_words import in_kitchen_words
from scriptkit.nutrition.basis import Basis
from scriptkit.papers.description import correction_lines, macro_words
from scriptkit.publish.publication import Publication
from scriptkit.recipe.dish import Dish


@dataclass(frozen=True, slots=True, kw_only=True)
class PinnedComment:
    """Every part already in words; ``macros`` of one serving or plate."""

    title: str
    corrections: tuple[str, ...]
    """What the cook corrects, and what goes in and is not in the picture."""
    serving: str
    macros: str
    of: str
    """What the macros are of."""
    basis: str
    weights: tuple[tuple[str, tuple[str, ...]], ...]
    """The name of each dish, empty where there is one only, and its ingredients with their grams."""


def serves_words(dish: Dish) -> str:
    """``6 servings``: what its weights make."""
    return f"{dish.servings:g} serving{'' if dish.servings == 1 else 's'}"


def _on_plates(publication: Publication) -> tuple[tuple[str, tuple[str, ...]], ...]:
    lines = tuple(line.named_with_weight for line in publication.on_plates)
    return ((f"On the plates, {publication.serves_words}", lines),) if lines else ()


def pinned_comment_of(publication: Publication) -> PinnedComment:
    """The corrections that the file gives, then additions that were not filmed; every dish's ingredients in order of use."""
    several = len(publication.parts) > 1
    return PinnedComment(
        title=publication.source.name,
        corrections=(
            *correction_lines(publication.source),
            *publication.not_shown,
        ),
        serving=f"{publication.serves_words}, {publication.serving_words}",
        macros=macro_words(publication.eaten, publication.source.units),
        of="The plate" if publication.of_meal is not None else "A serving",
        basis=in_kitchen_words(Basis.US.meaning, publication.source.units),
        weights=tuple(
            (
                f"{part.dish.name}, the whole recipe, {serves_words(part.dish)}" if several else "",
                tuple(line.named_with_weight for line in part.lines),
            )
            for part in publication.parts
        )
        + _on_plates(publication),
    )
