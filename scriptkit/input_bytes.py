"""Open a file of captions, a transcript or a log: a person's own, which may be gone, a folder, or far too large."""

from __future__ import annotations

import errno
import os
import stat
import time
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
        raw = first_bytes(found, largest + 1)
    except (OSError, ValueError) as wrong:
        why = wrong.strerror if isinstance(wrong, OSError) and wrong.strerror else str(wrong)
        raise CannotDo(
            [error(Place(path), "no-such-file", f"the file cannot be opened: {why}", "check the name and the folder")]
        ) from None
    refuse_larger(raw, path, largest)
    return raw


_NOBODY_WRITES_S = 5.0
"""So long a pipe with a name waits for somebody who writes into it."""


def first_bytes(path: Path, count: int) -> bytes:
    """The first ``count`` bytes of a file or a device, or of a pipe that somebody writes into. Raises OSError, and ValueError for a name
    that no file can have."""
    if os.name == "posix" and stat.S_ISFIFO(path.stat().st_mode):
        return _from_pipe(path, count)
    with path.open("rb") as file:
        return file.read(count)


def _from_pipe(path: Path, count: int) -> bytes:
    """A pipe that nobody writes into would be waited for without end."""
    begun = time.monotonic()
    with os.fdopen(os.open(path, os.O_RDONLY | os.O_NONBLOCK), "rb", buffering=0) as pipe:
        first: bytes | None = b""
        while first == b"":  # None: somebody is there, and has not written yet
            first = pipe.read(1)
            if first == b"":
                if time.monotonic() - begun >= _NOBODY_WRITES_S:
                    raise OSError(errno.ETIMEDOUT, "it is a pipe, and nobody writes into it")
                time.sleep(0.02)
        os.set_blocking(pipe.fileno(), True)
        read = [first or b""]
        while (left := count - sum(map(len, read))) > 0 and (more := pipe.read(left)):
            read.append(more)
    return b"".join(read)


def refuse_larger(raw: bytes, path: str, largest: int) -> None:
    """Raises CannotDo where there are more than ``largest`` bytes."""
    if len(raw) > largest:
        megabytes = max(1, round(largest / 1_000_000))
        raise CannotDo([error(Place(path), "too-large", f"more than {megabytes} MB", "check which file this is")])
