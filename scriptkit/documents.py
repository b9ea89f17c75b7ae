"""Templates to text, with everything escaped for its target."""

from __future__ import annotations

import contextlib
import functools
import os
import re
from pathlib import Path
from typing import Any

from scriptkit.problems import CannotDo, Place, Problem, any_of, error, warning
from scriptkit.publish.platform_text import platform_safe
from scriptkit.typeface import STACK, font_face


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
    return platform_safe(_harmless(value)) if isinstance(value, str) else value


@functools.cache
def _environment(own: str, text: bool = False) -> Any:
    from jinja2 import Environment, FileSystemLoader, StrictUndefined
    from jinja2.sandbox import SandboxedEnvironment

    from scriptkit.template_cache import kept_templates

    ours: dict[str, Any] = {
        "autoescape": not text,
        "undefined": StrictUndefined,
        "finalize": _plain if text else _harmless,
        "trim_blocks": True,
        "lstrip_blocks": True,
        "keep_trailing_newline": True,
    }
    if own:
        from scriptkit.user_templates import OwnTemplates

        return _with_fonts(
            OwnTemplates([own, str(template_folder())], **ours)
        )  # reloaded: one may be at work in an editor

    class Ours(SandboxedEnvironment):
        """Our own templates ask for nothing forbidden, so what they ask for is not examined each time."""

        getattr = Environment.getattr
        getitem = Environment.getitem

    made = Ours(
        loader=FileSystemLoader(str(template_folder())),
        bytecode_cache=kept_templates("text" if text else "page"),
        auto_reload=False,
        **ours,
    )
    return _with_fonts(made)


def _with_fonts(environment: Any) -> Any:
    """The environment, whose templates may ask for the package's typeface as CSS."""
    from markupsafe import Markup

    environment.globals |= {"font_face": lambda: Markup(font_face()), "font_stack": Markup(STACK)}
    return environment


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
    from scriptkit.user_templates import bounded

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
    from scriptkit.user_templates import TemplateRefused, inside

    try:
        inside(path, Path(own_folder))
    except TemplateRefused as wrong:
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
