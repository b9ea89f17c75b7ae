"""Templates to text, with everything escaped for its target; and all files of a pack written, or none."""

from __future__ import annotations

import contextlib
import functools
import os
import tempfile
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from scriptkit.problems import CannotDo, Place, error


def template_folder() -> Path:
    """The templates beside the package in a wheel, at the top of a checkout."""
    inside = Path(__file__).parent / "templates"
    return inside if inside.is_dir() else Path(__file__).parent.parent / "templates"


@functools.cache
def _environment(own: str) -> Any:
    from jinja2 import FileSystemLoader, StrictUndefined
    from jinja2.sandbox import SandboxedEnvironment

    folders = [own, str(template_folder())] if own else [str(template_folder())]
    return SandboxedEnvironment(
        loader=FileSystemLoader(folders),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        keep_trailing_newline=True,
        auto_reload=False,
    )


def render(template: str, own_folder: str = "", **values: Any) -> str:
    """The template filled in. A template of the same name in ``own_folder`` comes first.

    Raises CannotDo where an own template has an error or asks for a value that there is not.
    """
    import jinja2
    from jinja2.exceptions import SecurityError

    try:
        return str(_environment(own_folder).get_template(template).render(**values))
    except jinja2.TemplateSyntaxError as wrong:
        place = Place(wrong.filename or template, wrong.lineno)
        raise CannotDo(
            [
                error(
                    place,
                    "template",
                    f"the template cannot be read: {wrong.message}",
                    "compare it with the one it replaces",
                )
            ]
        ) from None
    except (jinja2.UndefinedError, SecurityError, jinja2.TemplateNotFound) as wrong:
        place = Place(str(Path(own_folder or ".") / template))
        raise CannotDo(
            [
                error(
                    place,
                    "template",
                    f"the template cannot be filled in: {wrong}",
                    "compare it with the one it replaces",
                )
            ]
        ) from None


def write_all(folder: str, files: Mapping[str, str]) -> None:
    """Write every file into the folder, whole, or leave what was there before.

    Everything is written beside its place first and then put into place; if that fails midway, what was replaced is put
    back. Other files in the folder are not touched. Raises CannotDo where the folder cannot be written.
    """
    target = Path(folder)
    made = _make_folder(target)
    staged: dict[str, Path] = {}
    try:
        for name, text in files.items():
            staged[name] = _stage(target, name, text)
        _put_in_place(target, staged)
    except OSError as wrong:
        raise CannotDo(
            [
                error(
                    Place(folder),
                    "cannot-write",
                    f"nothing was written: {wrong.strerror or wrong}",
                    "check the folder, its permissions and the free space",
                )
            ]
        ) from None
    finally:
        for path in staged.values():
            path.unlink(missing_ok=True)
        for made_folder in made:
            with contextlib.suppress(OSError):
                made_folder.rmdir()  # only where it stayed empty


def _make_folder(target: Path) -> list[Path]:
    """Make the folder and its parents; those that were made, innermost first."""
    missing = [p for p in (target, *target.parents) if not p.exists()]
    try:
        target.mkdir(parents=True, exist_ok=True)
    except OSError as wrong:
        for folder in missing:
            with contextlib.suppress(OSError):
                folder.rmdir()
        why = (
            "a file has this name"
            if isinstance(wrong, FileExistsError | NotADirectoryError)
            else wrong.strerror or str(wrong)
        )
        raise CannotDo(
            [
                error(
                    Place(str(target)),
                    "cannot-write",
                    f"the folder cannot be made: {why}",
                    "choose another folder with -o",
                )
            ]
        ) from None
    return missing


def _stage(target: Path, name: str, text: str) -> Path:
    handle, path = tempfile.mkstemp(prefix=f".{name}.", suffix=".part", dir=target)
    with os.fdopen(handle, "w", encoding="utf-8", newline="") as file:
        file.write(text)
        file.flush()
        os.fsync(file.fileno())
    umask = os.umask(0)
    os.umask(umask)
    Path(path).chmod(0o666 & ~umask)  # mkstemp makes files private; a pack is for the helper too
    return Path(path)


def _put_in_place(target: Path, staged: Mapping[str, Path]) -> None:
    saved: dict[Path, Path] = {}
    done: list[Path] = []
    try:
        for name, path in staged.items():
            place = target / name
            if place.is_file():
                saved[place] = path.with_suffix(".old")
                os.link(place, saved[place])
            path.replace(place)
            done.append(place)
    except OSError:
        for place in done:
            if place in saved:
                saved[place].replace(place)
            else:
                place.unlink(missing_ok=True)
        raise
    finally:
        for old in saved.values():
            old.unlink(missing_ok=True)
