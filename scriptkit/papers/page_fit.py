"""How large the card's type may be for it to fit on one page, of A4 and of letter alike.

The layout of ``templates/recipe-card.html`` is laid out here on paper, in a wide font, so that what fits here fits there. The
figures below are the template's; ``tests/outside/test_recipe_card.py`` prints cards and counts pages.
"""

from __future__ import annotations

import functools
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scriptkit.captions.composing.text_width import thousandths
from scriptkit.papers.page import MADE_BY
from scriptkit.papers.recipe_card import Card, CardPart, card_of, with_short_cautions
from scriptkit.problems import Problem, note
from scriptkit.publish.publication import Publication, in_order_of_need

if TYPE_CHECKING:
    from markupsafe import Markup

SMALLEST_PT = 8.0
"""Smaller type is not read in a kitchen (common practice, no source)."""
FULL_PT = 8.5
"""Down to this size of type the cautions stand in full; before it is smaller, they are worded shorter."""
SIZES_PT = (11.0, 10.5, 10.0, 9.5, 9.0, 8.5, SMALLEST_PT)

_MARGIN_MM = 10.0
_PT_PER_MM = 72 / 25.4
"""A point is 1/72 inch (CSS Values and Units 3, 6.2)."""
PAPERS_PT = tuple(
    ((wide - 2 * _MARGIN_MM) * _PT_PER_MM, (high - 2 * _MARGIN_MM) * _PT_PER_MM)
    for wide, high in ((210.0, 297.0), (215.9, 279.4))
)
"""Width and height inside the margins of A4 (ISO 216) and of letter (8.5 by 11 inches)."""

LEFT_SHARE = 0.47
"""What the left column takes of the width; between the columns lies ``_GAP_EM``."""
_GAP_EM = 1.6
_LINE_EM = 1.3
_ROW_EM = 0.255
"""A table row's padding, and its rule of a pixel where type is smallest."""
_TABLE_HEAD_EM = 0.5
"""The same of a table's head, beyond its lines."""
_STEP_EM = 0.25
_NUMBER_EM = 1.7
_FIGURE_EM = 5.2
"""A column of the nutrition table; of more than two, each has ``_FIGURE_SHARE`` of the table."""
_FIGURE_SHARE = 0.17
_HERO_EM = 7.05
"""The card's first figure and the bar of the plate; ``_LIMIT_EM`` more with the words of a limit."""
_LIMIT_EM = 1.3
_HEAD_EM = 1.9
"""A heading with the space around it."""
_FOOT_EM = 2.3
"""The rule above the last lines, the space around them, and who made it."""


@dataclass(frozen=True, slots=True)
class Fit:
    """The largest type, in points, with which the card fits, and on how many pages."""

    size_pt: float
    pages: int
    """1, or 2 where even the smallest type is too large."""
    parted: bool = False
    """Of two pages: whether the second begins with the nutrition, and each fits on its own."""


def fit(card: Card, smallest_pt: float = SMALLEST_PT) -> Fit:
    """The largest type with which the card fits on a page; ``smallest_pt``, and two pages, where none does."""
    for size in SIZES_PT:
        if size >= smallest_pt and fit_at(card, size):
            return Fit(size, 1)
    return Fit(smallest_pt, 2)


def fit_at(card: Card, size_pt: float) -> bool:
    """Whether the card fits on a page of either paper with type of this size."""
    return all(height_em(card, wide / size_pt) * size_pt <= high for wide, high in PAPERS_PT)


def fit_on_two(card: Card) -> Fit:
    """Two pages: what goes in and how on the first, nutrition and cautions on the second, in the largest type that both allow; where the
    first alone is too long, as the pages come."""
    for size in SIZES_PT:
        if size >= FULL_PT and all(
            max(front_em(card, wide / size), back_em(card, wide / size)) * size <= high for wide, high in PAPERS_PT
        ):
            return Fit(size, 2, parted=True)
    return Fit(FULL_PT, 2)


def height_em(card: Card, width_em: float) -> float:
    """Height of the printed card, in sizes of its type."""
    return front_em(card, width_em) + back_em(card, width_em)


def front_em(card: Card, width_em: float) -> float:
    """The same of its head, its ingredients and its methods, and of what goes on the plates."""
    left, right = _columns(width_em)
    height = 1.6 * 1.2 * _lines(card.title, width_em / 1.6 * 0.92) + 0.5
    height += _LINE_EM * (_lines(card.promise, width_em) + _lines(" · ".join(card.facts), width_em)) + 0.4
    height += _HERO_EM + (_LIMIT_EM if card.plate.bars[0].tick_words else 0.0)
    height += sum(
        _name(part, width_em) + max(_quantities(part, left, card.amount_widths), _method(part, right))
        for part in card.parts
    )
    return height + _text_block(card.on_plates, width_em)


def back_em(card: Card, width_em: float) -> float:
    """The same of nutrition, cautions, allergens and the last lines."""
    height = min(_last_row(card, *_columns(width_em)))
    return height + _text_block(card.deferring, width_em) - _HEAD_EM + _FOOT_EM


def _columns(width_em: float) -> tuple[float, float]:
    """Widths of the two columns."""
    left = (width_em - _GAP_EM) * LEFT_SHARE
    return left, width_em - _GAP_EM - left


def allergens_left(card: Card, size_pt: float) -> bool:
    """Whether the allergens stand better under the nutrition table than under the cautions."""
    under_cautions, under_nutrition = _last_row(card, *_columns(PAPERS_PT[0][0] / size_pt))
    return under_nutrition < under_cautions


def _last_row(card: Card, left: float, right: float) -> tuple[float, float]:
    """Heights of nutrition beside cautions, with the allergens under the cautions, and with them under the nutrition."""
    nutrition, cautions = _nutrition(card, left), _text_block(card.cautions, right)
    return (
        max(nutrition, cautions + _text_block(card.allergens, right)),
        max(nutrition + _text_block(card.allergens, left), cautions),
    )


def _name(part: CardPart, width: float) -> float:
    return 1.45 * _lines(f"{part.name} for {part.serves}", width / 1.25) + 0.7 if part.name else 0.0


def _quantities(part: CardPart, width: float, columns: Sequence[float]) -> float:
    height = _HEAD_EM + _LINE_EM + _TABLE_HEAD_EM
    for row in part.quantities:
        text = f"{row.name}, {row.more}" if row.more else row.name
        units = max(
            _lines(row.lead[1], columns[1] - 0.35) if row.lead[0] else 1, _lines(row.beside[1], columns[3] - 0.35)
        )
        height += _LINE_EM * max(_lines(text, (width - sum(columns) - 0.3) / 1.06), units) + _ROW_EM
    return height


def _method(part: CardPart, width: float) -> float:
    return _HEAD_EM + sum(_LINE_EM * _lines(step, width - _NUMBER_EM) + _STEP_EM for step in part.steps)


def _nutrition(card: Card, width: float) -> float:
    figure = _FIGURE_EM if len(card.heads) <= 2 else width / len(card.heads) if card.stacked else width * _FIGURE_SHARE
    heads = max((_lines(head, figure - 0.6) for head in card.heads), default=1)
    names = width if card.stacked else width - figure * len(card.heads)
    height = _HEAD_EM + _LINE_EM * heads + _TABLE_HEAD_EM
    for row in card.nutrition:
        height += _LINE_EM * (_lines(row.name, max(names - 1.0, 3.0)) + card.stacked) + _ROW_EM
    return height + sum(_LINE_EM * _lines(note, width) + 0.2 for note in card.nutrition_notes)


def _text_block(lines: Sequence[str], width: float) -> float:
    return _HEAD_EM + sum(_LINE_EM * _lines(line, width - 1.2) + 0.25 for line in lines) if lines else 0.0


@functools.lru_cache(maxsize=1024)
def _lines(text: str, width_em: float) -> int:
    """How many lines the text is broken into, word by word; a word that is too long is broken."""
    room = max(width_em * 1000, 1500)
    lines, at = 0, room + 1
    for word in text.split(" "):
        wide = round(thousandths(word) * _FACE)
        if at + _SPACE + wide <= room:
            at += _SPACE + wide
            continue
        lines += max(1, -(-wide // int(room)))
        at = wide % room if wide > room else wide
    return lines


_FACE = 0.91
"""The card's typeface beside the one whose widths are known: of the examples' lines the widest is 0.90 as wide, the mean 0.87."""
_SPACE = thousandths(" ")


# --- the card as large as it fits -----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True, kw_only=True)
class CardPage:
    """The values of recipe-card.html: ``size`` of its type in points, and JSON-LD that is safe in a script element."""

    card: Card
    size: str
    parted: bool
    allergens_left: bool
    linked_data: Markup
    made_by: str


def card_page_of(publication: Publication, data: str) -> tuple[CardPage, list[Problem]]:
    """The page, and what is to be told where it does not fit on one sheet. ``data`` is JSON-LD that is safe in a script
    element."""
    from markupsafe import Markup

    card, size = _fitting(publication)
    page = CardPage(
        card=card,
        size=f"{size.size_pt:g}",
        parted=size.parted,
        allergens_left=allergens_left(card, size.size_pt),
        linked_data=Markup(data),
        made_by=MADE_BY,
    )
    if size.pages == 1:
        return page, []
    laid = "the method on the first, nutrition and cautions on the second" if size.parted else "even in small type"
    words = f"the recipe card takes two pages, {laid}"
    return page, [note(publication.source.place, "card", words, "print it on both sides, or shorten the steps")]


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
        return whole, fit_on_two(whole)
    floor = min(size.size_pt, FULL_PT)
    for rule in rules:
        fuller = with_short_cautions(whole, publication, short - {rule})
        if fit_at(fuller, floor):
            short.discard(rule)
            card = fuller
    return card, Fit(floor, 1)
