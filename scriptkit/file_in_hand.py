"""Which of a person's files is being read: what a run that breaks can name, also where its process died."""

from __future__ import annotations

import mmap

_LONGEST = 4096
_last = ""
_shared: mmap.mmap | None = None


def share() -> None:
    """From now on a process that is forked from this one tells this one what it reads."""
    global _shared  # noqa: PLW0603  # one for the process, as the file itself is
    _shared = mmap.mmap(-1, _LONGEST)


def take(path: str) -> None:
    """This file is being read now."""
    global _last  # noqa: PLW0603
    _last = path
    if _shared is not None:
        raw = path.encode("utf-8", errors="replace")[: _LONGEST - 1]
        _shared[: len(raw) + 1] = raw + b"\0"


def last() -> str:
    """The file that was read last, here or in the process that was forked; empty where none was."""
    if _shared is not None:
        return _shared[:_LONGEST].split(b"\0", 1)[0].decode("utf-8", errors="replace")
    return _last
