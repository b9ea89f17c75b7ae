"""A caption file that is changed in its places: what of it is no cue, or no repair, stays to the letter."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from fractions import Fraction
from typing import Protocol

from scriptkit.timed_text.reading import ReadCue

KEPT = "!"
"""What the place of a cue begins with that is animated, drawn or only a remark: it is moved with the others, and not proofed."""


class PlacedSource(Protocol):
    """The file that the cues were read from; a cue is known by its name there."""

    def with_cues(self, cues: Iterable[ReadCue], scale: Fraction = Fraction(1)) -> str:
        """The file's text with these cues in place of its own; those that are missing are taken out. ``scale``: by how much times
        inside a cue are stretched. Raises CannotDo where a time cannot be written there."""
        ...


_CODE = re.compile(r"\{\\#(\d+)\}")


@dataclass(slots=True)
class Tokens:
    """What inside a cue's text is neither a word nor a line end, each as a short code in braces that counts as markup."""

    numbers: dict[str, int] = field(default_factory=dict)

    def code(self, written: str) -> str:
        """A code for what is written; the same for the same."""
        return rf"{{\#{self.numbers.setdefault(written, len(self.numbers))}}}"

    def restored(self, text: str) -> str:
        """The text with what each code stands for."""
        written = list(self.numbers)
        return _CODE.sub(lambda found: written[int(found.group(1))], text)


def replaced(raw: bytes, edits: Sequence[tuple[int, int, bytes]]) -> bytes:
    """The bytes with each stretch, from … to, replaced; none may overlap.

    >>> replaced(b"soft leeks", [(0, 4, b"hot"), (10, 10, b"!")])
    b'hot leeks!'
    """
    parts, at = [], 0
    for first, last, new in sorted(edits):
        parts += [raw[at:first], new]
        at = last
    return b"".join([*parts, raw[at:]])
