"""What leaves the house with the video and stands in no step: how it is served, links, the video's own facts, corrections."""

from __future__ import annotations

import datetime
import re
from dataclasses import dataclass
from typing import TYPE_CHECKING

from scriptkit.measure.durations import parse_moment
from scriptkit.problems import error

if TYPE_CHECKING:
    from scriptkit.recipe.forms import PublishedForm
    from scriptkit.recipe.value_parser import FieldParser
    from scriptkit.recipe.yamltree import Path

_ADDRESS = re.compile(r"https?://[^\s<>\"'\\^`{|}/?#]+(?:[/?#][^\s<>\"\\^`{|}]*)?", re.IGNORECASE)
"""A web address (RFC 3986: the characters that it never holds)."""


@dataclass(frozen=True, slots=True)
class Link:
    """``to`` is a web address, http or https."""

    to: str
    text: str
    """What it leads to; empty where the file does not say."""


@dataclass(frozen=True, slots=True)
class Correction:
    """Something that the video says or shows wrongly. ``at_ms`` is a moment of the cut, None where the file names none; ``only``:
    `overlay` or `description`, where it stands in one of them alone."""

    text: str
    at_ms: int | None
    only: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Published:
    """Empty where the file says nothing: no fact here is ever made up. ``uploaded`` is a date of ISO 8601."""

    served: str = ""
    author: str = ""
    links: tuple[Link, ...] = ()
    video_url: str = ""
    uploaded: str = ""
    picture: str = ""
    corrections: tuple[Correction, ...] = ()
    eaters: tuple[str, ...] = ()
    """Who eats it, as `for:` says: infant, toddler, pregnant, older, no alcohol."""


NOT_PUBLISHED = Published()


def published(bench: FieldParser, form: PublishedForm) -> Published:
    """The form's publishing keys; an address, a date or a moment that cannot be read is reported and skipped."""
    links = [Link(_address(bench, link.to, ("links", n, "to")), link.text) for n, link in enumerate(form.links)]
    return Published(
        served=form.served,
        author=form.author,
        links=tuple(link for link in links if link.to),
        video_url=_address(bench, form.video.url, ("video", "url")),
        uploaded=_date(bench, form.video.uploaded, ("video", "uploaded")),
        picture=_address(bench, form.video.picture, ("video", "picture")),
        corrections=tuple(
            Correction(one.text, _moment(bench, one.at, ("corrections", n, "at")), one.only)
            for n, one in enumerate(form.corrections)
        ),
        eaters=tuple(getattr(form, "for")),
    )


def _address(bench: FieldParser, text: str, at: Path) -> str:
    if text and not _ADDRESS.fullmatch(text):
        bench.problems.append(
            error(bench.tree.place(*at), "link", f"“{text}” is not a web address", "write it whole, such as https://example.org/stock")
        )  # fmt: skip
        return ""
    return text


def _date(bench: FieldParser, text: str, at: Path) -> str:
    try:
        if text:
            datetime.datetime.fromisoformat(text)
    except ValueError:
        bench.problems.append(
            error(bench.tree.place(*at), "date", f"“{text}” is not a date", "write year-month-day, such as 2026-05-01")
        )
        return ""
    return text


def _moment(bench: FieldParser, text: str, at: Path) -> int | None:
    if not text:
        return None
    ms = parse_moment(text)
    if ms is None:
        bench.problems.append(
            error(bench.tree.place(*at), "duration", f"“{text}” is not a moment of the video", "write minutes:seconds, such as 2:05")
        )  # fmt: skip
    return ms
