"""Publish: the texts to paste, ready to copy, and the files to upload."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

_FILES = {
    "recipe-card.html": "Recipe card, for viewers: to print or to link to",
    "files/chapters.vtt": "Chapters",
    "files/overlays.srt": "Captions over the picture, SubRip",
    "files/overlays.vtt": "Captions over the picture, WebVTT",
    "files/recipe.jsonld": "The recipe as linked data, for a web page",
    "description.txt": "The description alone",
    "pinned-comment.txt": "The note to pin alone",
}


@dataclass(frozen=True, slots=True, kw_only=True)
class PublishPage:
    """The values of publish.html: the texts as they are pasted, and path and words of each file."""

    description: str
    description_lines: int
    pinned: str
    pinned_lines: int
    files: tuple[tuple[str, str], ...]


def publish_page_of(description: str, pinned: str, present: Iterable[str]) -> PublishPage:
    """``present``: the files of the pack."""
    there = frozenset(present)
    return PublishPage(
        description=description,
        description_lines=min(_lines(description), 30),
        pinned=pinned,
        pinned_lines=min(_lines(pinned), 16),
        files=tuple((path, words) for path, words in _FILES.items() if path in there),
    )


def _lines(text: str) -> int:
    """Of a column of 80 characters."""
    return sum(1 + len(line) // 80 for line in text.splitlines()) + 1
