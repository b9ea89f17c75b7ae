"""Open a file of captions, a transcript or a log: a person's own, which may be gone, a folder, or far too large."""

from __future__ import annotations

from pathlib import Path

from scriptkit import file_in_hand
from scriptkit.problems import CannotDo, Place, error

LARGEST_FILE = 12_000_000
"""Bytes: more than three days of captions without a pause; what is larger only keeps a person waiting."""


def bytes_of(path: str, largest: int | None = None) -> bytes:
    """What is in the file. Raises CannotDo where it cannot be opened, or has more than ``largest`` bytes (left out: than any
    transcript has)."""
    largest = LARGEST_FILE if largest is None else largest
    found = Path(path)
    file_in_hand.take(path)
    try:
        if found.is_dir():
            raise CannotDo([error(Place(path), "folder", "this is a folder", "name the file in it")])
        with found.open("rb") as opened:
            raw = opened.read(largest + 1)
    except (OSError, ValueError) as wrong:
        why = wrong.strerror if isinstance(wrong, OSError) and wrong.strerror else str(wrong)
        raise CannotDo(
            [error(Place(path), "no-such-file", f"the file cannot be opened: {why}", "check the name and the folder")]
        ) from None
    refuse_larger(raw, path, largest)
    return raw


def refuse_larger(raw: bytes, path: str, largest: int) -> None:
    """Raises CannotDo where there are more than ``largest`` bytes."""
    if len(raw) > largest:
        megabytes = max(1, round(largest / 1_000_000))
        raise CannotDo([error(Place(path), "too-large", f"more than {megabytes} MB", "check which file this is")])
