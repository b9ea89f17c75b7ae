"""The names and the pictures that a step's text has."""

from __future__ import annotations

from dataclasses import dataclass

from scriptkit.problems import Place


@dataclass(frozen=True, slots=True, kw_only=True)
class WrittenShot:
    """A picture that the file asks for; an empty text or None leaves it to the usual."""

    of: tuple[str, ...]
    picture: str
    kind: str
    size: str
    angle: str
    move: str
    sound: str
    screen_ms: int | None
    irreversible: bool | None
    place: Place


@dataclass(frozen=True, slots=True, kw_only=True)
class Mention:
    """A name in `add:` or `uses:`, as written, whether it is listed or not."""

    key: str
    where: str
    place: Place
