"""Templates to text, with everything escaped for its target; and all files of a pack written, or none."""

from __future__ import annotations

import contextlib
import errno
import functools
import os
import re
import secrets
import shutil
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from scriptkit.problems import CannotDo, Place, Problem, any_of, error, warning
from scriptkit.publish.limits import taken


def template_folder() -> Path:
    """The templates beside the package in a wheel, at the top of a checkout."""
    inside = Path(__file__).parent / "templates"
    return inside if inside.is_dir() else Path(__file__).parent.parent / "templates"


_TURNING = re.compile("[\u061c\u200e\u200f\u202a-\u202e\u2066-\u2069]")
"""Characters that turn the direction of the text after them: a name must not turn the rest of the page around."""


def _harmless(value: Any) -> Any:
    if not isinstance(value, str) or value.isascii() or not _TURNING.search(value):
        return value
    return type(value)(_TURNING.sub("", value))


def _plain(value: Any) -> Any:
    """For a plain text that is pasted into a platform's form: one line, and no character that it refuses."""
    return taken(_harmless(value)) if isinstance(value, str) else value


@functools.cache
def _environment(own: str, text: bool = False) -> Any:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined
    from jinja2.sandbox import SandboxedEnvironment

    ours: dict[str, Any] = {
        "autoescape": not text,
        "undefined": StrictUndefined,
        "finalize": _plain if text else _harmless,
        "trim_blocks": True,
        "lstrip_blocks": True,
        "keep_trailing_newline": True,
    }
    if own:
        from scriptkit.own_templates import OwnTemplates

        return OwnTemplates([own, str(template_folder())], **ours)  # reloaded: one may be at work in an editor

    class Ours(SandboxedEnvironment):
        """Our own templates ask for nothing forbidden, so what they ask for is not examined each time."""

        getattr = Environment.getattr
        getitem = Environment.getitem

    return Ours(
        loader=FileSystemLoader(str(template_folder())),
        bytecode_cache=_compiled_beside(template_folder()),
        auto_reload=False,
        **ours,
    )


def _compiled_beside(folder: Path) -> Any:
    """Compiled templates kept beside them, as Python keeps its modules: compiling takes longer than filling them in. None
    where that folder cannot be written to."""
    from jinja2 import FileSystemBytecodeCache

    kept = folder / "__pycache__"
    try:
        kept.mkdir(exist_ok=True)
    except OSError:
        return None
    if not os.access(kept, os.W_OK):
        return None

    class Kept(FileSystemBytecodeCache):
        def dump_bytecode(self, bucket: Any) -> None:
            with contextlib.suppress(OSError):  # a full disk is told by the pack's own files
                super().dump_bytecode(bucket)

    return Kept(str(kept))


def render(template: str, own_folder: str = "", **values: Any) -> str:
    """The template filled in: HTML, or plain text where its name ends in .txt. A template of the same name in
    ``own_folder`` comes first.

    Raises CannotDo where a template has an error or asks for a value that there is not.
    """
    import jinja2

    environment = _environment(own_folder, template.endswith(".txt"))
    try:
        with _bounds(environment, own_folder):
            return str(environment.get_template(template).render(**values))
    except jinja2.TemplateSyntaxError as wrong:
        place = Place(wrong.filename or template, wrong.lineno)
        raise _bad_template(place, f"the template cannot be read: {wrong.message}") from None
    except UnicodeDecodeError:
        place = Place(str(Path(own_folder) / template))
        raise _bad_template(place, "the template cannot be read: it is not UTF-8 text") from None
    except Exception as wrong:  # what an own template computes may go wrong in any way Python knows
        if not own_folder and not isinstance(wrong, jinja2.TemplateError):
            raise
        place = Place(str(Path(own_folder or template_folder()) / template))
        raise _bad_template(place, f"the template cannot be filled in: {wrong}") from None


def _bounds(environment: Any, own_folder: str) -> Any:
    if not own_folder:
        return contextlib.nullcontext()
    from scriptkit.own_templates import bounded

    return bounded(environment)


def template_text(name: str, own_folder: str = "") -> str:
    """A file of the templates as it stands, for what a page holds whole; one of the same name in ``own_folder`` comes
    first. Raises CannotDo where it cannot be read."""
    path = Path(own_folder) / name
    if not own_folder or not os.path.lexists(path):
        path = template_folder() / name
    elif why := _why_not(path, own_folder):
        raise _bad_template(Place(str(path)), f"the template cannot be read: {why}")
    try:
        return path.read_bytes().decode("utf-8").replace("\r\n", "\n")
    except (OSError, UnicodeDecodeError) as wrong:
        raise _bad_template(Place(str(path)), f"the template cannot be read: {wrong}") from None


def _why_not(path: Path, own_folder: str) -> str:
    """Why a file of the folder is no template; nothing where it may be one."""
    from scriptkit.own_templates import Refused, inside

    try:
        inside(path, Path(own_folder))
    except Refused as wrong:
        return str(wrong)
    return ""


def own_templates_told(folder: str) -> list[Problem]:
    """A warning for each file of a cook's folder that replaces none of ours, though its name is nearly one's: a slip that would
    pass in silence. Other files are parts that templates include. Raises CannotDo where there is no such folder; empty: none."""
    if not folder:
        return []
    if not Path(folder).is_dir():
        raise CannotDo(
            [error(Place(folder), "no-such-folder", "there is no such folder of templates", "check --templates")]
        )
    ours = {p.name: p.stem for p in template_folder().iterdir() if p.is_file()}
    told = []
    for path in sorted(p for p in Path(folder).iterdir() if p.is_file() and p.name not in ours):
        same = [name for name, stem in ours.items() if _letters(stem) == _letters(path.stem)]
        if same:
            message, hint = f"{path.name} replaces none of our templates", f"call it {any_of(same)}"
            told.append(warning(Place(str(path)), "template-name", message, hint))
    return told


def own_template_files(folder: str) -> list[str]:
    """Paths of all that lies in a cook's folder of templates; empty: none."""
    return [str(path) for path in Path(folder).iterdir()] if folder else []


def _letters(name: str) -> str:
    return "".join(c for c in name.casefold() if c.isalnum())


def _bad_template(place: Place, message: str) -> CannotDo:
    return CannotDo([error(place, "template", message, "compare it with the one it replaces")])


def write_all(folder: str, files: Mapping[str, str], read: Iterable[str] = ()) -> None:
    """Write every file into the folder, whole, or leave what was there before.

    Everything is written beside its place first and then put into place; if that fails midway, what was replaced is put
    back. Other files in the folder are not touched. ``read``: paths that these files were made from, which are never
    written over. Raises CannotDo where one would be, and where the folder cannot be written.
    """
    target = Path(folder)
    never_over([target / name for name in files], read)
    made = make_folder(target)
    staged: dict[str, Path] = {}
    try:
        for name, text in files.items():
            staged[name] = _stage(target, text)
        _put_in_place(target, staged)
        staged.clear()
    except OSError as wrong:
        hint = "check the folder, its permissions and the free space"
        if wrong.errno == errno.EEXIST:
            hint = "write to another name or folder with -o"
        raise _cannot_write(folder, f"nothing was written: {wrong.strerror or wrong}", hint) from None
    finally:
        for path in staged.values():
            path.unlink(missing_ok=True)
        for made_folder in made:
            with contextlib.suppress(OSError):
                made_folder.rmdir()  # only where it stayed empty


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
        raise _cannot_write(str(target), f"the folder cannot be made: {why}", "choose another folder with -o") from None
    return missing


def _stage(target: Path, text: str) -> Path:
    """The text in a file of its own beside its place, readable as any file that is made here: a pack is for the helper too.
    Raises OSError, and leaves nothing, where it cannot be written."""
    path = f"{target}/.writing-{secrets.token_hex(6)}.part"
    handle = os.open(
        path, os.O_WRONLY | os.O_CREAT | os.O_EXCL | getattr(os, "O_CLOEXEC", 0) | getattr(os, "O_BINARY", 0), 0o666
    )
    try:
        try:
            left = memoryview(
                text.encode("utf-8", errors="replace")
            )  # half a character, as YAML can name one, is no reason to stop
            while left:
                left = left[os.write(handle, left) :]
            os.fsync(handle)
        finally:
            os.close(handle)
    except BaseException:
        Path(path).unlink(missing_ok=True)
        raise
    return Path(path)


def _put_in_place(target: Path, staged: Mapping[str, Path]) -> None:
    """Each staged file to its name; on any failure, an interruption too, what was there before comes back."""
    saved: dict[Path, Path] = {}
    done: list[Path] = []
    try:
        there = frozenset(p.name for p in target.iterdir())
        for name in there & staged.keys():
            must_be_a_file(target / name)
        for name, path in staged.items():
            place = target / name
            if name in there and place.is_file():
                saved[place] = path.with_suffix(".old")
                _keep(place, saved[place])
            path.replace(place)
            done.append(place)
    except BaseException:
        for place in done:
            with contextlib.suppress(OSError):  # the other files are still put back
                _put_back(place, saved.pop(place, None))
        raise
    finally:
        for old in saved.values():
            old.unlink(missing_ok=True)


def must_be_a_file(place: Path) -> None:
    """Or not be there yet, or be a folder, which the system refuses. A device or a pipe is not put out of the way for a file, though the system would let it. Raises OSError."""
    if place.exists() and not place.is_file() and not place.is_dir():
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
