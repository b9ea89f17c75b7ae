"""Which single files were written by the program, so that what a person wrote is never written over.

Of each file written with ``-o FILE`` the user's cache keeps a hash of its bytes, under a hash of its path. A file that has other
bytes was made or changed by somebody else.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
from collections.abc import Iterable, Mapping
from pathlib import Path

from scriptkit.problems import CannotDo, Place, error
from scriptkit.user_cache import own_folder
from scriptkit.writing import never_over, write_all

FOLDER = "written"


def write_own(folder: Path, files: Mapping[str, str], read: Iterable[str] = (), *, force: bool = False) -> None:
    """The files whole into the folder, or none (writing.write_all), over none that they were made from and none that a person wrote;
    and kept in mind as the program's own. Raises CannotDo."""
    places = {folder / name: text.encode("utf-8", errors="replace") for name, text in files.items()}
    never_over(places, read)
    not_over_own_work(places, force=force)
    write_all(str(folder), files, read)
    record_written(places)


def not_over_own_work(files: Mapping[Path, bytes], *, force: bool = False) -> None:
    """Raises CannotDo, with every file among them that is there already and was not written by the program, or was changed since.
    What has the very bytes that are to be written may be written again, and an empty file has nothing to lose; with ``force``
    everything may."""
    if force:
        return
    own = [path for path, raw in files.items() if _is_somebodys(path, raw)]
    if own:
        raise CannotDo(
            [
                error(Place(str(path)), "own-work", "this file is not one that scriptkit wrote, or it was changed since",
                      "write to another name with -o, or give --force to write over it")
                for path in own
            ]
        )  # fmt: skip


def _is_somebodys(path: Path, raw: bytes) -> bool:
    try:
        if not path.is_file() or not path.stat().st_size:
            return False
        there = path.read_bytes()
    except (OSError, ValueError):  # told where it is written
        return False
    return there != raw and _recorded(path) != _hash(there)


def record_written(paths: Iterable[Path]) -> None:
    """Keep what was just written as the program's own. Where there is no cache nothing is kept, and the file counts as a
    person's."""
    folder = own_folder(FOLDER)
    if folder is None:
        return
    for path in paths:
        with contextlib.suppress(OSError):
            place = folder / _key(path)
            staged = place.with_suffix(f".{os.getpid()}")
            staged.write_text(_hash(path.read_bytes()), encoding="ascii")
            staged.replace(place)


def _recorded(path: Path) -> str:
    folder = own_folder(FOLDER)
    if folder is None:
        return ""
    try:
        return (folder / _key(path)).read_text(encoding="ascii")
    except (OSError, ValueError):
        return ""


def _key(path: Path) -> str:
    return hashlib.sha256(str(path.resolve()).encode("utf-8", errors="surrogatepass")).hexdigest()


def _hash(raw: bytes) -> str:
    return hashlib.sha256(raw).hexdigest()
