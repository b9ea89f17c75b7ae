"""All files of a pack written whole, or none, and never over what they were made from; one file replaced in its place."""

from __future__ import annotations

import contextlib
import errno
import os
import secrets
import shutil
import stat
import tempfile
import time
from collections.abc import Callable, Iterable, Iterator, Mapping
from pathlib import Path

from scriptkit.problems import CannotDo, Place, error


def write_all(
    folder: str, files: Mapping[str, str], read: Iterable[str] = (), then: Callable[[], None] = lambda: None
) -> None:
    """Write every file into the folder, whole, or leave what was there before. A name may be of one folder within (``a/b.csv``).

    Everything is written beside its place first and then put into place; if that fails midway, what was replaced is put
    back. Other files in the folder are not touched. ``read``: paths that these files were made from, which are never
    written over. ``then``: what else must be done, or nothing is; it may write elsewhere. Raises CannotDo where one would be, and where the folder cannot be written.
    """
    target = Path(folder)
    never_over([target / name for name in files], read)
    made = make_folder(target)
    for inner in dict.fromkeys((target / name).parent for name in files):
        if inner.parent == target:
            made += make_folder(inner)
    _sweep(target)
    staged: dict[str, Path] = {}
    try:
        for name, text in files.items():
            # half a character, as YAML can name one, is no reason to stop
            staged[name] = _stage(target, text.encode("utf-8", errors="replace"))
        _put_in_place(target, staged, then)
        staged.clear()
    except (OSError, ValueError) as wrong:  # ValueError: a name that no file system can hold
        hint = "check the folder, its permissions and the free space"
        if isinstance(wrong, ValueError) or wrong.errno == errno.EEXIST:
            hint = "write to another name or folder with -o"
        raise _cannot_write(folder, f"nothing was written: {getattr(wrong, 'strerror', None) or wrong}", hint) from None
    finally:
        for path in staged.values():
            path.unlink(missing_ok=True)
        for made_folder in sorted(made, key=lambda folder: -len(folder.parts)):
            with contextlib.suppress(OSError):
                made_folder.rmdir()  # only where it stayed empty


_LEFT_AFTER_S = 600
"""Nothing is on its way to its place for so long: it was left by a run that was killed."""


def _sweep(target: Path) -> None:
    """Take away what a killed run left half-way to its place: files, and folders that a film was made in."""
    with contextlib.suppress(OSError):
        for path in target.glob(".writing-*"):
            if path.is_symlink() or time.time() - _last_changed(path) <= _LEFT_AFTER_S:
                continue
            if path.is_dir():
                shutil.rmtree(path, ignore_errors=True)
            elif path.suffix in (".part", ".old"):
                path.unlink(missing_ok=True)


def _last_changed(path: Path) -> float:
    """Of a folder: of the newest thing in it, for a film that grows does not touch its folder."""
    return max(one.stat().st_mtime for one in (path, *path.rglob("*")))


@contextlib.contextmanager
def folder_beside(target: Path) -> Iterator[Path]:
    """A hidden folder in ``target``, which must be there, for what takes long to make and is then put in its place with a rename. It
    goes at the end; what a killed run left is swept by a later one."""
    _sweep(target)
    with tempfile.TemporaryDirectory(prefix=".writing-", dir=target) as folder:
        yield Path(folder)


def create_files(files: Mapping[Path, str]) -> None:
    """Write files that are not there yet, all of one folder, whole; all of them, or none. Raises CannotDo where one is there
    already, and where the folder cannot be written."""
    folder = next(iter(files)).parent
    made = make_folder(folder)
    staged: dict[Path, Path] = {}
    done: list[Path] = []
    try:
        for place, text in files.items():
            staged[place] = _stage(folder, text.encode("utf-8", errors="replace"))
        for place, path in staged.items():
            _put_where_nothing_is(place, path)
            done.append(place)
    except BaseException as wrong:
        for place in done:
            place.unlink(missing_ok=True)
        if isinstance(wrong, FileExistsError):
            there = error(Place(str(place)), "exists", "this file exists already", "choose another with -o")
            raise CannotDo([there]) from None
        if isinstance(wrong, OSError | ValueError):
            why = getattr(wrong, "strerror", None) or str(wrong)
            hint = "choose another with -o, or make room"
            raise _cannot_write(str(next(iter(files))), f"nothing was written: {why}", hint) from None
        raise
    finally:
        for path in staged.values():
            path.unlink(missing_ok=True)
        for made_folder in made:
            with contextlib.suppress(OSError):
                made_folder.rmdir()  # only where it stayed empty


def _put_where_nothing_is(place: Path, staged: Path) -> None:
    """A second name for what is staged, which the system gives only where there is no file; where a disk knows no second names
    (memory cards), a rename after a look. Raises OSError."""
    try:
        os.link(staged, place)
    except FileExistsError:
        raise
    except OSError:
        if os.path.lexists(place):
            raise FileExistsError(str(place)) from None
        staged.replace(place)


def replace_file(path: Path, raw: bytes, found: os.stat_result, before: bytes) -> None:
    """Put other bytes into a file, whole, or leave it as it is; with the mode and the owner that it was ``found`` with.

    ``before`` is what was read from it. Raises CannotDo where that is no longer in it, and where it cannot be written.
    """
    staged: Path | None = None
    try:
        staged = _stage(path.parent, raw)
        made = staged.stat()
        if hasattr(os, "chown") and (made.st_uid, made.st_gid) != (found.st_uid, found.st_gid):
            os.chown(staged, found.st_uid, found.st_gid)
        staged.chmod(stat.S_IMODE(found.st_mode))
        if path.read_bytes() != before:
            raise changed_meanwhile(str(path))
        staged.replace(path)
        staged = None
    except OSError as wrong:
        why = f"nothing was written: {wrong.strerror or wrong}"
        raise _cannot_write(str(path), why, "check the folder, its permissions and the free space") from None
    finally:
        if staged is not None:
            staged.unlink(missing_ok=True)


def changed_meanwhile(path: str) -> CannotDo:
    """What is raised where a file is not what was read any more."""
    message = "the file has changed since it was read; nothing was written"
    return CannotDo([error(Place(path), "changed-meanwhile", message, "run the command again")])


def never_over(places: Iterable[Path], read: Iterable[str]) -> None:
    """A take log, a cut or a video is written once; what is made from it never takes its place, by whatever name or link.
    Raises CannotDo."""
    sources = {_identity(Path(path)) for path in read if path} - {None}
    for place in places if sources else ():
        if _identity(place) in sources:
            message = "it is read here, and would be written over"
            raise CannotDo(
                [error(Place(str(place)), "written-over", message, "write to another name or folder with -o")]
            )


def _identity(path: Path) -> tuple[int, int] | None:
    """Which file it is, by whatever name; None where there is none."""
    try:
        found = path.stat()
    except (OSError, ValueError):
        return None
    return found.st_dev, found.st_ino


def _cannot_write(folder: str, message: str, hint: str) -> CannotDo:
    return CannotDo([error(Place(folder), "cannot-write", message, hint)])


_NO_ROOM = {getattr(errno, name) for name in ("EROFS", "ENOSPC", "EDQUOT") if hasattr(errno, name)}


def make_folder(target: Path) -> list[Path]:
    """Make the folder and its parents; those that were made, innermost first."""
    missing: list[Path] = []
    try:
        missing = [p for p in (target, *target.parents) if not p.exists()]
        target.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as wrong:  # ValueError: a name that no file system can hold
        for folder in missing:
            with contextlib.suppress(OSError, ValueError):
                folder.rmdir()
        taken = isinstance(wrong, FileExistsError | NotADirectoryError)
        why = "a file has this name" if taken else getattr(wrong, "strerror", None) or str(wrong)
        hint = "choose another folder with -o"
        if isinstance(wrong, PermissionError) or getattr(wrong, "errno", None) in _NO_ROOM:
            hint = f"check the folder, its permissions and the free space, or {hint}"
        raise _cannot_write(str(target), f"the folder cannot be made: {why}", hint) from None
    return missing


def _stage(target: Path, raw: bytes) -> Path:
    """The bytes in a file of its own beside its place, readable as any file that is made here: a pack is for the helper too.
    Raises OSError, and leaves nothing, where it cannot be written."""
    path = f"{target}/.writing-{secrets.token_hex(6)}.part"
    handle = os.open(
        path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0), 0o666
    )
    try:
        try:
            left = memoryview(raw)
            while left:
                left = left[os.write(handle, left) :]
            os.fsync(handle)
        finally:
            os.close(handle)
    except BaseException:
        Path(path).unlink(missing_ok=True)
        raise
    return Path(path)


def _put_in_place(target: Path, staged: Mapping[str, Path], then: Callable[[], None]) -> None:
    """Each staged file to its name, and what must be done ``then``; on any failure, an interruption too, what was there before comes back."""
    saved: dict[Path, Path] = {}
    done: list[Path] = []
    try:
        folders = {(target / name).parent for name in staged}
        listed = (p.relative_to(target).as_posix() for folder in folders for p in folder.iterdir())
        there = frozenset(name.casefold() for name in listed)  # a disk may hold it in other cases
        for name in (n for n in staged if n.casefold() in there):
            must_be_a_file(target / name)
        for name, path in staged.items():
            place = target / name
            if name.casefold() in there and place.is_file():
                saved[place] = path.with_suffix(".old")
                _keep(place, saved[place])
            path.replace(place)
            done.append(place)
        then()
    except BaseException:
        for place in done:
            with contextlib.suppress(OSError):  # the other files are still put back
                _put_back(place, saved.pop(place, None))
        raise
    finally:
        for old in saved.values():
            old.unlink(missing_ok=True)


def must_be_a_file(place: Path) -> None:
    """A folder, a device or a pipe is not put out of the way for a file. What is not there yet passes. Raises OSError."""
    if place.is_dir():
        raise OSError(errno.EEXIST, f"{place} is a folder, not a file")
    if place.exists() and not place.is_file():
        raise OSError(errno.EEXIST, f"{place} is a device or a pipe, not a file")


def _keep(place: Path, old: Path) -> None:
    """A second name for the file, or a copy where the disk knows no second names (memory cards)."""
    try:
        os.link(place, old)
    except OSError:
        shutil.copy2(place, old)


def _put_back(place: Path, old: Path | None) -> None:
    if old is None:
        place.unlink(missing_ok=True)
    else:
        old.replace(place)
