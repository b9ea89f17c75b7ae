"""Change a cook's own file: whole or not at all, and only where it is still what was read."""

from __future__ import annotations

import os
import stat
from collections.abc import Sequence
from pathlib import Path

from scriptkit.problems import CannotDo, Place, error
from scriptkit.recipe.file_edit import Edit, edited
from scriptkit.recipe.yamltree import lines_of
from scriptkit.writing import changed_meanwhile, replace_file


def write_edit(path: str, edits: Sequence[Edit], *, as_read: Sequence[str] | None = None) -> bool:
    """Make the changes in the file; whether anything changed. Its mode, its owner and a symbolic link to it stay.

    ``as_read``: the lines that the changes were decided on (``Reading.texts``). Raises CannotDo, and leaves the file as it is,
    where they are not its lines any more, where a change cannot be made, and where the file may not be written.
    """
    place = Place(path)
    try:
        target = Path(os.path.realpath(path))
        before = target.stat()
        raw = target.read_bytes()
        text = raw.decode("utf-8")
    except UnicodeDecodeError:
        raise CannotDo(
            [error(place, "not-utf-8", "the file is not UTF-8 text", "save it as UTF-8 in your editor")]
        ) from None
    except (OSError, ValueError) as wrong:
        why = wrong.strerror if isinstance(wrong, OSError) and wrong.strerror else str(wrong)
        raise CannotDo([error(place, "unreadable", f"the file cannot be opened: {why}", "check its name")]) from None
    if as_read is not None and lines_of(text.removeprefix("\ufeff")) != list(as_read):
        raise changed_meanwhile(path)
    changed = edited(text, edits, path)
    if changed == text:
        return False
    _may_be_changed(place, target, before)
    replace_file(target, changed.encode("utf-8"), before, raw)
    return True


def write_in_place(path: str, raw: bytes) -> bool:
    """Other bytes in a file that is there, whole or not at all; whether anything changed. Its mode, its owner and a symbolic link
    to it stay. Raises CannotDo as :func:`write_edit` does."""
    target = Path(os.path.realpath(path))
    before, was = target.stat(), target.read_bytes()
    if raw == was:
        return False
    _may_be_changed(Place(path), target, before)
    replace_file(target, raw, before, was)
    return True


def _may_be_changed(place: Place, target: Path, found: os.stat_result) -> None:
    if not stat.S_ISREG(found.st_mode):
        raise CannotDo([error(place, "cannot-write", "this is a device or a pipe, not a file", "name the file itself")])
    if not found.st_mode & 0o222 or not os.access(target, os.W_OK):
        raise CannotDo(
            [error(place, "cannot-write", "the file is read-only", f"allow writing: chmod u+w {place.file}")]
        )
    if found.st_nlink > 1:
        message = "the file has a second name (a hard link), which would keep the old text"
        raise CannotDo([error(place, "cannot-write", message, "change it by hand, or delete the other name")])
