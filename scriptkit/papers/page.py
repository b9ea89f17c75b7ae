"""What every page has, and how a view becomes the values of its template."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

from scriptkit import __version__
from scriptkit.papers.cautions import PrintedCaution

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

MADE_BY = f"scriptkit {__version__}"


@dataclass(frozen=True, slots=True)
class Page:
    """What every page has: its title, who made it, and the cautions that leave the house with it."""

    title: str
    made_by: str = MADE_BY
    cautions: tuple[PrintedCaution, ...] = ()
    allergens: tuple[str, ...] = ()
    """Lines of the pages that food is bought, laid out and served from."""
    unconfirmed: tuple[str, ...] = ()
    """Ingredients that are a guess which nobody has confirmed."""

    @property
    def deferring(self) -> str:
        """The line that defers to local codes, for a page without room for the cautions."""
        return self.cautions[-1].text if self.cautions else ""


def values_of(view: DataclassInstance) -> dict[str, object]:
    """The fields of a view by their names, as its template asks for them."""
    return {field.name: getattr(view, field.name) for field in fields(view)}
