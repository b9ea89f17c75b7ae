"""Open a file of captions, a transcript or a log: a person's own, which may be gone, a folder, or far too large."""

from __future__ import annotations

from pathlib import Path

from scriptkit.problems import CannotDo, Place, error

LARGEST_FILE = 50_000_000
"""Bytes: more than a day of captions."""


def bytes_of(path: str) -> bytes:
    """Raises CannotDo where the file cannot be opened, or is larger than any transcript."""
    place_ = Path(path)
    try:
        if place_.is_dir():
            raise CannotDo([error(Place(path), "folder", "this is a folder", "name the file in it")])
        with place_.open("rb") as opened:
            raw = opened.read(LARGEST_FILE + 1)
    except (OSError, ValueError) as wrong:
        why = wrong.strerror if isinstance(wrong, OSError) and wrong.strerror else str(wrong)
        raise CannotDo(
            [error(Place(path), "no-such-file", f"the file cannot be opened: {why}", "check the name and the folder")]
        ) from None
    if len(raw) > LARGEST_FILE:
        raise CannotDo([error(Place(path), "too-large", "more than 50 MB", "check which file this is")])
    return raw
