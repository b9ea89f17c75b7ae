"""What every page has, and how a view becomes the values of its template."""

from __future__ import annotations

from dataclasses import dataclass, fields
from typing import TYPE_CHECKING

from scriptkit import __version__
from scriptkit.papers.binder import NO_NAV, Nav
from scriptkit.papers.cautions import PrintedCaution

if TYPE_CHECKING:
    from _typeshed import DataclassInstance
    from markupsafe import Markup

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
    deferring: str = ""
    """The line that defers to local codes, for a page without the cautions."""
    nav: Nav = NO_NAV
    """The tabs of the binder; none where the page stands alone."""

    @property
    def margin_title(self) -> Markup:
        """The title as a string of CSS, for the margin of a printed sheet; whatever is no letter or figure is escaped."""
        from markupsafe import Markup

        return Markup("".join(c if c.isalnum() or c == " " else f"\\{ord(c):x} " for c in self.title[:120]))


def values_of(view: DataclassInstance) -> dict[str, object]:
    """The fields of a view by their names, as its template asks for them."""
    return {field.name: getattr(view, field.name) for field in fields(view)}
