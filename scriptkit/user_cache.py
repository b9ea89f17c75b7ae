"""A folder of the user's cache that is the user's alone, and files in it that are whole."""

from __future__ import annotations

import contextlib
import os
import secrets
import stat
from pathlib import Path


def own_folder(name: str) -> Path | None:
    """The folder of this name in the user's cache, made where it is not there yet. None where the user has no home, where it cannot
    be written to, and where somebody else could write to it."""
    from platformdirs import user_cache_path

    folder = user_cache_path("scriptkit", appauthor=False) / name
    try:
        if not folder.is_absolute() or (folder.is_relative_to(home := Path.home()) and not home.is_dir()):
            return None
        nearest = next(p for p in (folder, *folder.parents) if p.exists())
        if not is_mine(
            nearest
        ):  # with somebody else's HOME, as under sudo: leave nothing there that they cannot remove
            return None
        folder.mkdir(mode=0o700, parents=True, exist_ok=True)
        return folder if is_mine(folder) and not is_open_to_others(folder) else None
    except (OSError, ValueError, RuntimeError):  # of Path.home(), where it is known to nobody
        return None


def is_mine(path: Path) -> bool:
    """Whether it belongs to the user; OSError where there is none."""
    return os.name == "nt" or path.stat().st_uid == os.geteuid()


def is_open_to_others(path: Path) -> bool:
    """Whether others may write to it, or it is a link to somewhere else; OSError where there is none."""
    return os.name != "nt" and bool(path.lstat().st_mode & (stat.S_IWGRP | stat.S_IWOTH) or path.is_symlink())


def keep_whole(target: Path, content: bytes) -> None:
    """Write the file whole, or not at all; a full disk is told by what else is written."""
    part = target.with_name(f"{target.name}.{secrets.token_hex(8)}")
    with contextlib.suppress(OSError):
        try:
            part.write_bytes(content)
            part.replace(target)
        finally:
            part.unlink(missing_ok=True)
