"""Compiled regular expressions kept in the user's cache folder: compiling the hundreds that a talk asks takes longer than asking them.

What lies there drives the engine that searches. So it is read only from a folder that nobody else can write to, and only where the
file is whole and was made by this program on this very interpreter. Where the interpreter is built otherwise than we know, where there is
no such folder, and for an expression that is not there, `re.compile` compiles, silently: a cache never decides what is found.
"""

from __future__ import annotations

import array
import contextlib
import functools
import hashlib
import marshal
import re
import sys
from pathlib import Path
from typing import Any

from scriptkit.pattern_needs import Needs, needs_of

LARGEST_BYTES = 20_000_000
"""Of the file; that of every expression of ours has a fifth of it."""
MOST = 4_000
"""Expressions of one file; with more it is begun again, so that those of earlier versions go."""

_Code = tuple[int, bytes, int, dict[str, int], tuple[str | None, ...]]
"""What the engine is given beside the expression: its flags, its code, how many groups, and which have names."""


class KeptPatterns:
    """The expressions of one run: those that lay in ``file`` and those that were compiled since. None: nothing is kept."""

    def __init__(self, file: Path | None) -> None:
        self._file = file
        self._codes, self._needs = _read(file) if file else ({}, {})
        self._new = False

    def compiled(self, pattern: str, flags: int = 0) -> re.Pattern[str]:
        """What ``re.compile`` gives. Raises re.error where it is no expression."""
        key = pattern, int(flags)
        code = self._codes.get(key)
        if code is None:
            code = _code_of(pattern, flags) if self._file else None
            if code is None:
                return re.compile(pattern, flags)
            self._codes[key] = code
            self._new = True
        made = _made(pattern, code)
        return re.compile(pattern, flags) if made is None else made

    def needs(self, pattern: str) -> Needs:
        """What :func:`needs_of` gives."""
        found = self._needs.get(pattern)
        if found is None:
            found = self._needs[pattern] = needs_of(pattern)
            self._new = True
        return found

    def keep(self) -> None:
        """Write the file, where there is anything new; a full disk is told by what else is written."""
        if not self._new or self._file is None:
            return
        self._new = False
        if len(self._codes) > MOST or len(self._needs) > MOST:
            self._codes, self._needs = {}, {}
        content = marshal.dumps((self._codes, self._needs))
        from scriptkit.user_cache import keep_whole

        keep_whole(self._file, _digest(content) + content)


@functools.cache
def kept_patterns() -> KeptPatterns:
    """Those of this version and interpreter, read when they are first asked for."""
    from scriptkit.user_cache import own_folder

    folder = own_folder("patterns") if _magic() else None
    return KeptPatterns(folder / _name() if folder else None)


def keep_patterns() -> None:
    """Write what this run compiled, as a command ends; nothing where it asked for none."""
    if kept_patterns.cache_info().currsize:
        kept_patterns().keep()


def _name() -> str:
    from scriptkit import __version__

    return f"{__version__}-{sys.implementation.cache_tag}-{_magic()}"


def _magic() -> int:
    """The kind of code of this interpreter's engine; 0 where it is none that we know."""
    with contextlib.suppress(ImportError, AttributeError):
        import _sre  # type: ignore[import-not-found]

        return int(_sre.MAGIC) if sys.implementation.name == "cpython" else 0
    return 0


def _read(file: Path) -> tuple[dict[tuple[str, int], _Code], dict[str, Needs]]:
    with contextlib.suppress(OSError, ValueError, EOFError, TypeError):
        with file.open("rb") as kept:
            found = kept.read(LARGEST_BYTES)
        content = found[32:]
        if found[:32] == _digest(content):  # a damaged one could end the interpreter
            codes, needs = marshal.loads(content)
            return codes, needs
    return {}, {}


def _digest(content: bytes) -> bytes:
    return hashlib.sha256(f"{_name()}:".encode() + content).digest()


def _code_of(pattern: str, flags: int) -> _Code | None:
    """What `re.compile` gives the engine; None on an interpreter whose compiler has no such parts. Raises re.error."""
    try:
        from re import _compiler, _parser  # type: ignore[attr-defined]

        parsed = _parser.parse(pattern, flags)
        code = array.array("I", _compiler._code(parsed, flags)).tobytes()
        names: list[str | None] = [None] * parsed.state.groups
        for name, number in parsed.state.groupdict.items():
            names[number] = name
        own = int(flags) | int(parsed.state.flags)
        return own, code, parsed.state.groups - 1, dict(parsed.state.groupdict), tuple(names)
    except (ImportError, AttributeError, TypeError, ValueError, OverflowError):
        return None


def _made(pattern: str, code: _Code) -> re.Pattern[str] | None:
    """The expression of its code, which the engine checks; None where it refuses it."""
    with contextlib.suppress(ImportError, AttributeError, TypeError, ValueError, RuntimeError, OverflowError):
        import _sre

        flags, words, groups, by_name, names = code
        compile_: Any = _sre.compile
        made: re.Pattern[str] = compile_(pattern, flags, list(memoryview(words).cast("I")), groups, by_name, names)
        return made
    return None
