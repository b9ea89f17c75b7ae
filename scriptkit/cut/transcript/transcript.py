"""What is said in the cut, and when."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit.problems import Problem


@dataclass(frozen=True, slots=True)
class SpokenLine:
    """Words that are spoken from ``start_ms`` to ``end_ms`` of the cut; ``line`` is that of the file, from 1. ``moments``: the
    words whose time the file gives (WebVTT may): the number of the word in the line, from 0, and its millisecond."""

    start_ms: int
    end_ms: int
    text: str
    line: int
    moments: tuple[tuple[int, int], ...] = ()


@dataclass(frozen=True, slots=True, kw_only=True)
class Transcript:
    """Lines in the order of time, without the doubled ones of rolling captions, sound marks and empty ones. ``not_said``: the marks that
    were left out of them, such as *[Music]*, each once, in the order of time."""

    file: str
    lines: tuple[SpokenLine, ...]
    problems: tuple[Problem, ...]
    not_said: tuple[SpokenLine, ...] = ()
