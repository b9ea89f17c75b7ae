"""What a camera's file tells of itself: its name, its clock and its length; and what its names count."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import PurePosixPath

DAY_MS = 86_400_000

_RUN = re.compile(r"([a-z]*)(\d+)")
_COUNTER_DIGITS = 4
"""Digits of the counter at the end of a longer run: ``010012`` is chapter 1 of clip 12 (common practice, no source)."""


@dataclass(frozen=True, slots=True, kw_only=True)
class CameraClip:
    """A film of the camera. ``file`` is its path below the folder. ``timecode_ms`` and ``created_ms`` are the time of day at which it
    begins, by its time code and by the moment that the camera wrote into it; ``date`` is that moment's, year-month-day. None and empty
    where the file does not tell."""

    file: str
    length_ms: int | None = None
    timecode_ms: int | None = None
    created_ms: int | None = None
    date: str = ""

    @property
    def stem(self) -> str:
        """Its name without folder and ending."""
        return PurePosixPath(self.file).stem

    @property
    def folder(self) -> str:
        """The first folder that it lies in, below the one that was named: a card or a camera; empty where it lies in none."""
        return self.file.partition("/")[0] if "/" in self.file else ""


def cameras_of(clips: Iterable[CameraClip]) -> dict[str, tuple[CameraClip, ...]]:
    """The clips by camera: by the folder that they lie in, where there is none by the letters before the number of their names; those
    without a number together. The key is what a person calls it."""
    found: dict[str, list[CameraClip]] = {}
    for clip in clips:
        letters = re.match(r"([^\W\d_]*)[_ -]?\d", clip.stem)
        found.setdefault(clip.folder or (letters[1] if letters else ""), []).append(clip)
    return {name: tuple(sorted(own, key=lambda c: c.file)) for name, own in sorted(found.items())}


def clip_counters(clips: Sequence[CameraClip]) -> Mapping[str, int]:
    """The number of each clip of a camera, by its file: of the numbers in its names the one that differs most from clip to clip.

    >>> names = ("A001C012_251005.mov", "A001C013_251005.mov", "notes.mov")
    >>> dict(clip_counters([CameraClip(file=name) for name in names]))
    {'A001C012_251005.mov': 12, 'A001C013_251005.mov': 13}
    """
    shapes: dict[tuple[str, ...], list[tuple[str, list[int]]]] = {}
    for clip in clips:
        runs = _RUN.findall(clip.stem.casefold())
        if runs:
            shapes.setdefault(tuple(letters for letters, _ in runs), []).append(
                (clip.file, [int(digits[-_COUNTER_DIGITS:]) for _, digits in runs])
            )
    counters: dict[str, int] = {}
    for letters, rows in shapes.items():
        values = [len({row[1][n] for row in rows}) for n in range(len(letters))]
        most = max(values)
        best = [n for n, count in enumerate(values) if count == most]
        called = [n for n in best if letters[n].endswith(("c", "clip"))]
        counters |= {file: row[(called or best)[-1]] for file, row in rows}
    return counters


def named_by(name: str, clip: CameraClip, counter: int | None) -> bool:
    """Whether the clip of the log is this file: by its whole name, by a word of it with its number, or by the number alone.

    >>> clip = CameraClip(file="A001C012_251005.mov")
    >>> [named_by(name, clip, 12) for name in ("a001c012_251005", "C012", "c12", "12", "0012", "251005", "13", "")]
    [True, True, True, True, True, False, False, False]
    """
    wanted, stem = name.strip().casefold(), clip.stem.casefold()
    if not wanted:
        return False
    if wanted in (stem, PurePosixPath(clip.file).name.casefold()):
        return True
    if wanted.isdecimal():
        return counter is not None and int(wanted[-_COUNTER_DIGITS:]) == counter
    asked = [(letters, int(digits)) for letters, digits in _RUN.findall(wanted)]
    there = [(letters, int(digits)) for letters, digits in _RUN.findall(stem)]
    if not asked:
        return False
    return any(there[n : n + len(asked)] == asked for n in range(len(there)))


def on_card(card: str, clip: CameraClip) -> bool:
    """Whether the path names the card: ``1`` is ``CARD1/…`` and ``A001C012``, ``B`` a folder ``B``.

    >>> clip = CameraClip(file="card 1/A002C012.mov")
    >>> [on_card(card, clip) for card in ("1", "card 1", "a002", "3", "")]
    [True, True, True, False, False]
    """
    wanted = card.strip().casefold()
    if not wanted:
        return False
    parts = [part.casefold() for part in PurePosixPath(clip.file).parts[:-1]]
    if wanted.isdecimal():
        runs = [int(digits) for part in parts for _, digits in _RUN.findall(part)]
        first = _RUN.match(clip.stem.casefold())
        return int(wanted) in (runs or ([int(first[2])] if first else []))
    words = {word for part in (*parts, clip.stem.casefold()) for word in re.findall(r"[a-z]+\d+|[a-z]+|\d+", part)}
    return wanted in parts or wanted in words
