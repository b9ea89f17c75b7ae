"""Which files were written by the program, so that what a person wrote is never written over.

Of each file written with ``-o FILE`` the user's cache keeps a hash of its bytes, under a hash of its path; of the files of a folder,
RECORD in the folder does. A file that has other bytes was made or changed by somebody else.
"""

from __future__ import annotations

import contextlib
import hashlib
import itertools
import json
import os
from collections.abc import Callable, Collection, Iterable, Iterator, Mapping
from dataclasses import dataclass
from pathlib import Path

from scriptkit.problems import CannotDo, Place, Problem, error, note, warning
from scriptkit.user_cache import own_folder
from scriptkit.writing import never_over, write_all

FOLDER = "written"
RECORD = ".scriptkit-written.json"
"""In a folder that was written: the hash of each file as the program wrote it."""
_LARGEST_RECORD = 1_000_000
_ANOTHER_OR_FORCE = "write to another name with -o, or give --force to write over it"


@dataclass(frozen=True, slots=True, kw_only=True)
class FolderWritten:
    """The ``names`` that were written into a folder, and what is told of each that was ``kept`` as a person made it."""

    names: tuple[str, ...]
    kept: tuple[Problem, ...]


Holds = Callable[[str, str], bool]
"""Whether the first text has all that a person wrote in the second."""


def write_folder(
    folder: str,
    files: Mapping[str, str],
    read: Iterable[str] = (),
    *,
    force: bool = False,
    corrected: Mapping[str, Holds] | None = None,
) -> FolderWritten:
    """The files whole into the folder, or none (writing.write_all). What is there and was not written by the program, or was changed
    since, is kept and told; with ``force`` it is written over. ``corrected``: names whose corrections by a person are read into
    the new text; where that does not hold all of them, the file before is kept under another name. Raises CannotDo."""
    target = Path(folder)
    corrected = corrected or {}
    never_over((target / name for name in files), read)
    recorded = _record_of(target)
    raw = {name: text.encode("utf-8", errors="replace") for name, text in files.items()}
    changed = {n for n in files if not force and _is_changed(target / n, raw[n], recorded.get(n, ()))}
    own = {n for n in changed if n not in corrected}
    copies = {n: name_beside(target / n) for n in changed - own if not corrected[n](files[n], _text_of(target / n))}
    kept = tuple(
        warning(Place(str(target / name)), "own-work", f"{_whose(target / name)}; it was kept as it is",
                "write to another folder with -o, or give --force to write over it")
        for name in files if name in own
    )  # fmt: skip
    kept += tuple(
        note(Place(str(target / name)), "kept-copy", f"this file was made or changed by hand, and not all of that is in the new one; it is kept as {copy.name}")
        for name, copy in copies.items()
    )  # fmt: skip
    written = {name: text for name, text in files.items() if name not in own}
    if written:
        # the hash before stays too: killed half-way, some files are the old ones
        hashes = recorded | {
            name: list(dict.fromkeys([_hash(raw[name]), *recorded.get(name, ())]))[:2] for name in written
        }
        record = json.dumps({"format": 1, "files": dict(sorted(hashes.items()))}, indent=1, ensure_ascii=False)
        with _copied({target / name: copy for name, copy in copies.items()}):
            write_all(folder, {RECORD: f"{record}\n", **written}, read)
    return FolderWritten(names=tuple(written), kept=kept)


def name_beside(path: Path) -> Path:
    """A name for what was there before, beside it, which no file has."""
    names = (path.with_name(f"{path.stem}-kept{n}{path.suffix}") for n in itertools.count(1))
    return next(name for name in names if not os.path.lexists(name))


def _text_of(path: Path) -> str:
    return path.read_text(encoding="utf-8", errors="replace")


@contextlib.contextmanager
def _copied(copies: Mapping[Path, Path]) -> Iterator[None]:
    """Each file under its other name too, unless what is done meanwhile fails. Raises CannotDo where one cannot be copied."""
    made: list[Path] = []
    try:
        for path, copy in copies.items():
            with copy.open("xb") as file:
                made.append(copy)
                file.write(path.read_bytes())
        yield
    except BaseException as wrong:
        for copy in made:
            copy.unlink(missing_ok=True)
        if isinstance(wrong, OSError):
            message, hint = (
                f"nothing was written: {wrong.strerror or wrong}",
                "check the folder, its permissions and the free space",
            )
            raise CannotDo([error(Place(str(next(iter(copies)).parent)), "cannot-write", message, hint)]) from None
        raise


def _record_of(folder: Path) -> dict[str, list[str]]:
    """Name → hashes of what was last written and of what was before, as the record of the folder says; nothing where there is none
    that can be read."""
    try:
        with (folder / RECORD).open("rb") as file:
            found = json.loads(file.read(_LARGEST_RECORD))["files"]
    except (OSError, ValueError, KeyError, TypeError, RecursionError):
        return {}
    if not isinstance(found, dict):
        return {}
    return {n: [h for h in hashes if isinstance(h, str)] for n, hashes in found.items() if isinstance(hashes, list)}


def write_own(
    folder: Path,
    files: Mapping[str, str],
    read: Iterable[str] = (),
    *,
    force: bool = False,
    fix: str = _ANOTHER_OR_FORCE,
    then: Callable[[], None] = lambda: None,
) -> None:
    """The files whole into the folder, or none (writing.write_all), over none that they were made from and none that a person wrote;
    and kept in mind as the program's own. ``fix``: what to do where one is a person's; ``then``: what else must be done, or none is
    written. Raises CannotDo."""
    places = {folder / name: text.encode("utf-8", errors="replace") for name, text in files.items()}
    never_over(places, read)
    not_over_own_work(places, force=force, fix=fix)
    write_all(str(folder), files, read, then)
    record_written(places)


def not_over_own_work(files: Mapping[Path, bytes | None], *, force: bool = False, fix: str = _ANOTHER_OR_FORCE) -> None:
    """Raises CannotDo, with every file among them that is there already and was not written by the program, or was changed since.
    What has the very bytes that are to be written (None: not known before) may be written again, and an empty file has nothing to
    lose; with ``force`` everything may."""
    if force:
        return
    own = [path for path, raw in files.items() if _is_changed(path, raw, None)]
    if own:
        raise CannotDo(
            [
                error(Place(str(path)), "own-work", _whose(path), fix)
                for path in own
            ]
        )  # fmt: skip


def _whose(path: Path) -> str:
    """Why it is not written over."""
    if path.is_symlink():
        return "this is a link, and scriptkit makes none; what it leads to may be anywhere"
    return "this file is not one that scriptkit wrote, or it was changed since"


def _is_changed(path: Path, raw: bytes | None, recorded: Collection[str] | None) -> bool:
    """Whether something else is there than what is to be written and what was ``recorded`` of it (None: in the cache). A link is a
    person's, wherever it leads; one to a device or a pipe is told where it is written."""
    try:
        if path.is_symlink() and (path.is_file() or not path.exists()):
            return True
        if not path.is_file() or not path.stat().st_size:
            return False
        there = _hash_of(path)
    except (OSError, ValueError):  # told where it is written
        return False
    known = (_recorded(path),) if recorded is None else recorded
    return there not in known and (raw is None or there != _hash(raw))


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
            staged.write_text(_hash_of(path), encoding="ascii")
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


def _hash_of(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()


def _hash(raw: bytes) -> str:
    return hashlib.sha256(raw).hexdigest()
