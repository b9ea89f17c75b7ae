"""The contact sheet: three pictures about each addition, so that a person sees at a glance what is on screen."""

from __future__ import annotations

import base64
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from scriptkit.cut.coverage.gap_names import gap_names
from scriptkit.cut.coverage.statuses import AdditionStatus
from scriptkit.measure.durations import format_clock
from scriptkit.shoot.mise_en_place import grams_text

BEFORE_MS, AFTER_MS = 1_500, 1_500
"""The first and the last picture about the moment: an addition is on screen for 2 to 4 s (common practice, no source)."""


def moments_of(row: AdditionStatus) -> tuple[int, ...]:
    """The three moments about an addition that is placed, in milliseconds of the cut; none where it is not."""
    at = row.shown_ms
    return () if at is None else (max(0, at - BEFORE_MS), at, at + AFTER_MS)


@dataclass(frozen=True, slots=True, kw_only=True)
class StripPicture:
    """``data`` is the picture as an address; where it is empty, ``why`` says why there is none."""

    time: str
    data: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Strip:
    """An addition and its three pictures; ``gap``: what it is called where it is answered."""

    gap: str
    name: str
    amount: str
    where: str
    status: str
    known_from: str
    pictures: tuple[StripPicture, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ContactSheet:
    """The values of contact-sheet.html."""

    length: str
    strips: tuple[Strip, ...]
    unplaced: tuple[str, ...]


def contact_sheet_of(
    rows: Sequence[AdditionStatus], pictures: Mapping[int, bytes | None], length_ms: int | None
) -> ContactSheet:
    """``pictures`` by their moments in milliseconds."""
    names = gap_names(rows)
    return ContactSheet(
        length="" if length_ms is None else format_clock(length_ms),
        strips=tuple(
            _strip(row, names[row.addition.place], pictures, length_ms) for row in rows if row.shown_ms is not None
        ),
        unplaced=tuple(f"{row.name}, {row.dish.short}, {row.where}" for row in rows if row.shown_ms is None),
    )


def _strip(row: AdditionStatus, gap: str, pictures: Mapping[int, bytes | None], length_ms: int | None) -> Strip:
    return Strip(
        gap=gap,
        name=row.name,
        amount=grams_text(row.addition),
        where=f"{row.dish.short}, {row.where}",
        status=row.status.value + (", the overlay says it" if row.accepted else ""),
        known_from="where it is named" if row.named_there else "where its step stands",
        pictures=pictures_at(moments_of(row), pictures, length_ms),
    )


def pictures_at(
    moments_ms: Sequence[int], pictures: Mapping[int, bytes | None], length_ms: int | None
) -> tuple[StripPicture, ...]:
    """The pictures of these moments, each with why there is none."""
    return tuple(
        StripPicture(
            time=f"{format_clock(ms)}.{ms % 1000 // 100}", data=_data(pictures.get(ms)), why=_why_not(ms, length_ms)
        )
        for ms in moments_ms
    )


def _data(jpeg: bytes | None) -> str:
    return "" if jpeg is None else "data:image/jpeg;base64," + base64.b64encode(jpeg).decode("ascii")


def _why_not(ms: int, length_ms: int | None) -> str:
    if length_ms is not None and ms >= length_ms:
        return f"after the end of the video ({format_clock(length_ms)})"
    return "no picture there"
