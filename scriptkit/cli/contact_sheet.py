"""The contact sheet of ``scriptkit coverage --video``."""

from __future__ import annotations

from scriptkit.cut.coverage.coverage import Coverage
from scriptkit.documents import render, template_text
from scriptkit.measure.durations import format_clock
from scriptkit.papers.answers_script import ANSWERS_SCRIPT, answers_script
from scriptkit.papers.contact_sheet import contact_sheet_of, moments_of
from scriptkit.papers.gap_cards import Pictures, card_moments
from scriptkit.papers.page import Page, values_of
from scriptkit.problems import Place, Problem, warning
from scriptkit.video import Video, open_video, pictures


def contact_sheet(coverage: Coverage, path: str) -> tuple[str, Pictures, list[Problem]]:
    """The page, the pictures of it and of the coverage report's cards, and what could not be shown. Raises CannotDo where the video
    cannot be read."""
    video = open_video(path)
    moments = sorted({ms for row in coverage.rows for ms in moments_of(row)} | set(card_moments(coverage)))
    found = dict(zip(moments, pictures(video, moments), strict=True))
    view = contact_sheet_of(coverage.rows, found, video.length_ms)
    script = answers_script(template_text(ANSWERS_SCRIPT), asks=bool(view.strips))
    page = render("contact-sheet.html", "", page=Page(coverage.source.name), answers=script, **values_of(view))
    return page, Pictures(found, video.length_ms), _beyond(coverage, video)


def _beyond(coverage: Coverage, video: Video) -> list[Problem]:
    """Additions that stand after the end of the video: it is another export, or the times are of another cut."""
    length = video.length_ms
    if length is None:
        return []
    late = [row for row in coverage.rows if row.shown_ms is not None and row.shown_ms >= length]
    if not late:
        return []
    first = min(late, key=lambda row: row.shown_ms or 0)
    message = (
        f"{len(late)} of {len(coverage.rows)} additions stand after the end of the video, {format_clock(length)}: "
        f"{first.name} at {format_clock(first.shown_ms or 0)} is the first"
    )
    return [
        warning(Place(video.path), "beyond-the-end", message, "check that video and transcript are of the same cut")
    ]
