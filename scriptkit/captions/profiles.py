"""Caption profiles: published limits by name, and a user's own file of them."""

from __future__ import annotations

import functools
import math
import re
from dataclasses import dataclass, fields
from importlib import resources
from pathlib import Path
from typing import Any

from scriptkit.problems import CannotDo, Place, error, nearest


@dataclass(frozen=True, slots=True, kw_only=True)
class Profile:
    """Limits of a cue; None is a limit that the source does not give, and that is not held against a cue."""

    name: str
    source: str
    line_length: int
    lines: int
    characters_a_second: float | None = None
    words_a_minute: float | None = None
    ms_a_word: int | None = None
    shortest_ms: int | None = None
    longest_ms: int | None = None
    gap_frames: int | None = None
    gap_ms: int | None = None
    aspect: str = "16:9"
    safe_percent: float = 90.0
    font_percent: float | None = None

    @property
    def line_ems(self) -> float | None:
        """How many times its font's size a line may be wide: the safe part of the picture's width; None where no size is
        stated."""
        if self.font_percent is None:
            return None
        width, _, height = self.aspect.partition(":")
        return float(width) / float(height) * self.safe_percent / self.font_percent

    def least_ms(self, text: str) -> int:
        """The least time that a cue with this text stands."""
        return max(self.reading_ms(text), self.shortest_ms or 0)

    def reading_ms(self, text: str) -> int:
        """The least time that the profile gives a text: by its characters, spaces counted, and by its words."""
        words = text.split()
        needs = [0.0]
        if self.characters_a_second:
            needs.append(len(" ".join(words)) / self.characters_a_second * 1000)
        if self.words_a_minute:
            needs.append(len(words) / self.words_a_minute * 60_000)
        if self.ms_a_word:
            needs.append(float(len(words) * self.ms_a_word))
        return math.ceil(max(needs))


@functools.cache
def profiles() -> dict[str, Profile]:
    """The published profiles of profiles.yaml."""
    text = resources.files("scriptkit.captions").joinpath("profiles.yaml").read_text(encoding="utf-8")
    return {name: Profile(name=name, **row) for name, row in _yaml(text).items()}


def _yaml(text: str) -> Any:
    import yaml

    return yaml.load(text, Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader))


_KEYS = {f.name for f in fields(Profile)} - {"name"}
_ASPECT = re.compile(r"^[1-9]\d{0,2}:[1-9]\d{0,2}$")
_WHOLE = {"line_length", "lines", "ms_a_word", "shortest_ms", "longest_ms", "gap_frames", "gap_ms"}


def profile_of(name: str) -> Profile:
    """The profile of this name, or the one in a user's own YAML file. Raises CannotDo where there is none."""
    if name in profiles():
        return profiles()[name]
    if Path(name).suffix in (".yaml", ".yml"):
        return _own(name)
    meant = nearest(name, profiles(), most=1)
    hint = f"did you mean {meant[0]}?" if meant else f"one of {', '.join(profiles())}, or your own file (.yaml)"
    raise CannotDo([error(Place("--profile"), "option", f"there is no profile called “{name}”", hint)])


def _own(path: str) -> Profile:
    """A file with one profile's keys: those of profiles.yaml, with ``like:`` a published one that fills the rest."""
    import yaml

    place = Place(path)
    try:
        row = _yaml(Path(path).read_text(encoding="utf-8"))
    except (OSError, UnicodeDecodeError, yaml.YAMLError):
        raise CannotDo(
            [
                error(
                    place,
                    "profile",
                    "the profile cannot be read",
                    "start it with `like: streaming`, then a `key: value` a line",
                )
            ]
        ) from None
    if not isinstance(row, dict):
        raise CannotDo(
            [error(place, "profile", "a profile is a group of `key: value` lines", "start with `like: streaming`")]
        )
    like = row.pop("like", "streaming")
    if like not in profiles():
        raise CannotDo(
            [error(place, "profile", f"there is no profile called “{like}”", f"like: {', '.join(profiles())}")]
        )
    base = {key: getattr(profiles()[like], key) for key in _KEYS}
    problems = []
    for key, value in row.items():
        if key not in _KEYS:
            meant = nearest(str(key), _KEYS, most=1)
            problems.append(
                error(
                    place,
                    "unknown-key",
                    f"“{key}” is not a key of a profile",
                    f"did you mean `{meant[0]}`?" if meant else "",
                )
            )
        elif key == "source":
            base[key] = str(value)
        elif key == "aspect":
            base[key] = str(value)
            if not _ASPECT.match(str(value)):
                problems.append(error(place, "wrong-value", "`aspect` is width:height", 'write "16:9" or "9:16"'))
        elif isinstance(value, bool) or not isinstance(value, int | float) or not 0 < value < 1_000_000:
            problems.append(
                error(place, "wrong-value", f"`{key}` must be a figure above zero", f"write `{key}: 2`, say")
            )
        elif key in ("safe_percent", "font_percent") and value > 100:
            problems.append(error(place, "wrong-value", f"`{key}` is a share of the picture", "write 100 or less"))
        else:
            base[key] = int(value) if key in _WHOLE else value
    if problems:
        raise CannotDo(problems)
    return Profile(name=Path(path).stem, **base)
