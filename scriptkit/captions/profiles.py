"""Caption profiles: published limits by name, and a user's own file of them."""

from __future__ import annotations

import functools
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

from scriptkit.captions.limits import LIMITS, Key
from scriptkit.captions.profile import Profile
from scriptkit.data_files import Shape, made_of_groups
from scriptkit.input_bytes import bytes_of
from scriptkit.problems import CannotDo, Place, Severity, any_of, error, in_order, nearest
from scriptkit.recipe.yamltree import Tree, lines_of, parse_tree

MOST_BYTES = 100_000
"""Of a cook's own profile, which has twelve lines."""
LONGEST_SOURCE = 400
USUAL_PROFILE = "streaming"
"""What the pack is composed for, and what `captions` and `proof` take where nothing else is said."""


@functools.cache
def profiles() -> dict[str, Profile]:
    """The published profiles of profiles.yaml. Raises BadDataFile."""
    needed = frozenset({"source", "aspect", "line_length", "lines"})
    shape = Shape(each=Shape(required=needed, optional=frozenset(_keys()) - needed))
    return made_of_groups("scriptkit.captions", "profiles.yaml", shape, _profile)


def _figures() -> dict[str, Key]:
    return {key.name: key for limit in LIMITS for key in limit.keys}


def _keys() -> list[str]:
    return ["source", "aspect", *_figures()]


_ASPECT = re.compile(r"[1-9][0-9]{0,2}:[1-9][0-9]{0,2}\Z")
_FIGURE = re.compile(r"[0-9]{1,6}(?:\.[0-9]{1,6})?\Z")


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
    """A file with one profile's keys: those of profiles.yaml, with ``like:`` a published one that fills the rest. Raises
    CannotDo with everything that is wrong with it."""
    tree, lines = _tree(path)
    row = dict(tree.data)
    like = row.pop("like", "streaming")
    problems = list(tree.problems)
    if not isinstance(like, str) or like not in profiles():
        called = f"called “{like}”" if isinstance(like, str) else "of that name"
        problems.append(
            error(
                tree.place("like"),
                "profile",
                f"there is no profile {called}",
                f"write {any_of([f'`like: {name}`' for name in profiles()])}",
            )
        )
        like = "streaming"
    base = {"source": profiles()[like].source, "aspect": profiles()[like].aspect, **profiles()[like].limits}
    for key, value in row.items():
        try:
            base[key] = _value_of(key, value)
        except _Wrong as wrong:
            place = tree.place(key, key=wrong.code == "unknown-key")
            problems.append(error(place, wrong.code, str(wrong), wrong.hint))
    if not any(p.severity is Severity.ERROR for p in problems):
        problems += [
            error(tree.place(k if k in row else "longest_ms"), "impossible-profile", m, h)
            for k, m, h in _impossible(base)
        ]
    if any(p.severity is Severity.ERROR for p in problems):
        raise CannotDo(in_order(problems), {path: lines})
    return _profile(Path(path).stem, base)


def _impossible(row: Mapping[str, Any]) -> Iterator[tuple[str, str, str]]:
    """Pairs of limits that no cue keeps: the key, what is wrong, and what to write."""
    longest, shortest = row.get("longest_ms"), row.get("shortest_ms")
    if longest is None:
        return
    for key, least in (("shortest_ms", shortest), ("ms_a_word", row.get("ms_a_word"))):
        if least is not None and least > longest:
            message = f"no cue can last at least {least:g} ms (`{key}`) and at most {longest:g} ms (`longest_ms`)"
            yield key, message, f"write a `{key}` of {longest:g} or less, or a larger `longest_ms`"
    slowest = 1000 / row["characters_a_second"] if "characters_a_second" in row else 0
    if slowest > longest:
        yield (
            "characters_a_second",
            f"one character needs {slowest:g} ms, and a cue lasts at most {longest:g} ms",
            "write a larger `characters_a_second`, or a larger `longest_ms`",
        )


def _tree(path: str) -> tuple[Tree, list[str]]:
    """What stands in the file, as text, with its places; and its lines, for messages."""
    raw = bytes_of(path)
    if len(raw) > MOST_BYTES:
        raise CannotDo([error(Place(path), "too-large", "a profile has a few lines", "check which file this is")])
    try:
        text = raw.decode("utf-8-sig")
    except UnicodeDecodeError:
        message, hint = "the profile cannot be read: it is not UTF-8 text", "save it as UTF-8 in your editor"
        raise CannotDo([error(Place(path), "profile", message, hint)]) from None
    tree, lines = parse_tree(text, path), lines_of(text)
    if isinstance(tree.data, dict):
        return tree, lines
    message, hint = "a profile is a group of `key: value` lines", "start with `like: streaming`"
    raise CannotDo(in_order(tree.problems or [error(tree.place(), "profile", message, hint)]), {path: lines})


class _Wrong(ValueError):
    """A key or a value that cannot stand in a profile."""

    def __init__(self, code: str, message: str, hint: str) -> None:
        super().__init__(message)
        self.code, self.hint = code, hint


def _profile(name: str, row: Mapping[str, Any]) -> Profile:
    limits = {key: value for key, value in row.items() if key in _figures()}
    return Profile(name=name, source=row["source"], aspect=row["aspect"], limits=limits)


def _value_of(key: str, value: Any) -> str | int | float:
    """The value of a profile's key. Raises _Wrong."""
    if key not in _keys():
        meant = nearest(key, _keys(), most=1)
        hint = f"did you mean `{meant[0]}`?" if meant else f"one of {', '.join(sorted(_keys()))}"
        raise _Wrong("unknown-key", f"“{key}” is not a key of a profile", hint)
    if key == "source":
        if not isinstance(value, str) or len(value) > LONGEST_SOURCE:
            raise _Wrong("wrong-value", "`source` is a line of text", f"write at most {LONGEST_SOURCE} characters")
        return value
    if key == "aspect":
        if not isinstance(value, str) or not _ASPECT.match(value):
            raise _Wrong("wrong-value", "`aspect` is width:height", 'write "16:9" or "9:16"')
        return value
    figure = float(value) if isinstance(value, str) and _FIGURE.match(value) else 0.0
    if figure <= 0:
        raise _Wrong("wrong-value", f"`{key}` must be a figure above zero", f"write `{key}: 2`, say")
    if _figures()[key].percent and figure > 100:
        raise _Wrong("wrong-value", f"`{key}` is a share of the picture", "write 100 or less")
    if _figures()[key].whole and figure != int(figure):
        raise _Wrong("wrong-value", f"`{key}` is a whole figure", f"write `{key}: {max(1, round(figure))}`")
    return int(figure) if _figures()[key].whole else figure
