"""What the publishing templates print: the card with the size of its type, the description, the pinned comment."""

from __future__ import annotations

from typing import Any

from scriptkit import __version__
from scriptkit.nutrition.basis import Basis
from scriptkit.problems import Problem, note
from scriptkit.publish.description import Description
from scriptkit.publish.linked_data import as_json, linked_data
from scriptkit.publish.one_page import SMALLEST_PT, Fit, allergens_left, fit, fit_at
from scriptkit.publish.pinned_comment import pinned_comment_of
from scriptkit.publish.publication import Publication, in_order_of_need
from scriptkit.publish.recipe_card import Card, card_of, with_short_cautions


def card(publication: Publication, data: str) -> tuple[dict[str, Any], list[Problem]]:
    """The values of recipe-card.html, and what is to be told where it does not fit on one page. ``data`` is JSON-LD that is
    safe in a script element."""
    from markupsafe import Markup

    of, size = _fitting(publication)
    values = {
        "card": of,
        "size": f"{size.size_pt:g}",
        "allergens_left": allergens_left(of, size.size_pt),
        "linked_data": Markup(data),
        "made_by": f"scriptkit {__version__}",
    }
    if size.pages == 1:
        return values, []
    told = note(
        publication.source.place, "card", f"the recipe card does not fit on one page, even with {SMALLEST_PT:g} pt type: it takes two",
        "print it on both sides, or shorten the steps",
    )  # fmt: skip
    return values, [told]


FULL_PT = 8.5
"""Down to this size of type the cautions stand in full; before it is smaller, they are worded shorter."""


def _fitting(publication: Publication) -> tuple[Card, Fit]:
    """The card with as many cautions in full as fit on a page, what has a published figure first; in full on two pages where
    not even the shortest wording fits on one."""
    whole = card_of(publication)
    size = fit(whole, FULL_PT)
    if size.pages == 1:
        return whole, size
    rules = in_order_of_need(publication.cautions)
    short = set(rules)
    card = with_short_cautions(whole, publication, short)
    size = fit(card)
    if size.pages > 1:
        return whole, Fit(FULL_PT, 2)
    floor = min(size.size_pt, FULL_PT)
    for rule in rules:
        fuller = with_short_cautions(whole, publication, short - {rule})
        if fit_at(fuller, floor):
            short.discard(rule)
            card = fuller
    return card, Fit(floor, 1)


def json_ld(publication: Publication) -> str:
    """The text of recipe.jsonld."""
    return as_json(linked_data(publication))


def description(of: Description) -> dict[str, Any]:
    """The values of description.txt."""
    return {"description": of}


def pinned_comment(publication: Publication) -> dict[str, Any]:
    """The values of pinned-comment.txt."""
    of = pinned_comment_of(publication)
    what = "The plate" if publication.of_meal is not None else "A serving"
    comment = {
        "title": of.title,
        "corrections": of.corrections,
        "serving": of.serving,
        "macros": of.macros,
        "weights": of.weights,
        "of": what,
        "basis": Basis.US.meaning,
    }
    return {"comment": comment}
