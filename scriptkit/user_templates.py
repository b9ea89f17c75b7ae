"""A cook's own templates are another person's program as often as not: kept from the machine, its files, its memory and its time.

Jinja's sandbox keeps them from Python itself. Here are the bounds that it leaves open: which files are read, how long a
template works, and how much it may ask for at once.
"""

from __future__ import annotations

import contextlib
import functools
import os
import re
import signal
import threading
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from jinja2 import FileSystemLoader, nodes
from jinja2.loaders import split_template_path
from jinja2.sandbox import SandboxedEnvironment

MOST_SECONDS = 10.0
"""The largest page of ours takes a hundredth of it."""
MOST_BYTES = 1_000_000
"""Of a template: ours have at most a twentieth of it."""
LARGEST_NUMBER = 100_000
"""That a filter or a call is given: a width, a count, the end of a range."""
LONGEST_TEXT = 1_000_000
"""Characters, or items of a list, that one operation makes."""
MOST_MEMORY = 512 * 2**20
"""Bytes beyond what is in use when a template begins."""

_WIDE = re.compile(r"\d{6}")
"""A width in a format, of more than LARGEST_NUMBER."""


class TemplateRefused(Exception):
    """Ends the work of a template; says why."""


def inside(path: Path, folder: Path) -> Path:
    """The path, where it is a file of the folder that a template can be. Raises Refused where it lies elsewhere, by a
    symbolic link too, is no file, or is far too large."""
    if not path.resolve().is_relative_to(folder.resolve()):
        raise TemplateRefused(f"{path.name} lies outside {folder}: a link may not lead out of the folder")
    if not path.is_file():
        raise TemplateRefused(f"{path.name} in {folder} is not a file")
    if path.stat().st_size > MOST_BYTES:
        raise TemplateRefused(f"{path.name} in {folder} is larger than 1 MB")
    return path


class _Folders(FileSystemLoader):
    """Files of a cook's folder, then of ours; one of the first that may not be read is told, and not passed over."""

    def get_source(self, environment: Any, template: str) -> tuple[str, str, Callable[[], bool]]:
        path = Path(self.searchpath[0], *split_template_path(template))
        if os.path.lexists(path):
            inside(path, Path(self.searchpath[0]))
        return super().get_source(environment, template)


class OwnTemplates(SandboxedEnvironment):
    """Jinja's sandbox with an end to everything."""

    intercepted_binops = frozenset({"*", "**", "%", "+"})

    def __init__(self, folders: list[str], **options: Any) -> None:
        super().__init__(loader=_Folders(folders), **options)
        self.ends = 0.0
        self.filters = {name: _bounded(of) for name, of in self.filters.items()}
        del self.globals["lipsum"]  # filler text by the million words

    def go_on(self) -> bool:
        """Asked at every turn of a loop and at the beginning of everything that can name itself. Raises Refused once its time
        is up."""
        if time.monotonic() > self.ends:
            raise TemplateRefused(f"it takes more than {MOST_SECONDS:.0f} seconds")
        return True

    def _parse(self, source: str, name: str | None, filename: str | None) -> nodes.Template:
        tree = super()._parse(source, name, filename)
        for loop in tree.find_all(nodes.For):
            if loop.test is not None:  # a loop that takes nothing has no turns
                loop.test = nodes.And(self._asked(), loop.test)
        kinds: tuple[type[Any], ...] = (nodes.For, nodes.Macro, nodes.CallBlock, nodes.Block)
        for node in [tree, *tree.find_all(kinds)]:
            node.body.insert(0, nodes.ExprStmt(self._asked()))
        tree.set_environment(self)
        return tree

    @staticmethod
    def _asked() -> nodes.Expr:
        return nodes.Call(nodes.EnvironmentAttribute("go_on"), [], [], None, None)

    def call(self, context: Any, function: Any, /, *args: Any, **kwargs: Any) -> Any:
        """Jinja's call of a function. Raises Refused where its arguments ask for too much at once."""
        of = getattr(getattr(function, "__wrapped__", function), "__self__", None)  # the sandbox wraps `format`
        if isinstance(of, str) and getattr(function, "__name__", "") in ("format", "format_map") and _WIDE.search(of):
            raise TemplateRefused(f"a width of more than {LARGEST_NUMBER}")
        _bound(args, kwargs)
        return super().call(context, function, *args, **kwargs)

    def call_binop(self, context: Any, operator: str, left: Any, right: Any) -> Any:
        """Jinja's arithmetic. Raises Refused where its result would be too large."""
        if operator == "%" and isinstance(left, str) and (_WIDE.search(left) or "*" in left):
            raise TemplateRefused(f"a width of more than {LARGEST_NUMBER}")
        if operator == "**" and (abs(right) > 64 or abs(left) > LARGEST_NUMBER):
            raise TemplateRefused("a power too high")
        if operator == "*":
            _bound_product(left, right)
        if operator == "+" and _length(left) + _length(right) > LONGEST_TEXT:
            raise TemplateRefused(f"more than {LONGEST_TEXT} characters or items at once")
        return super().call_binop(context, operator, left, right)


def _length(value: Any) -> int:
    return len(value) if isinstance(value, str | list | tuple) else 0


def _bound_product(left: Any, right: Any) -> None:
    for many, times in ((left, right), (right, left)):
        if _length(many) and isinstance(times, int) and _length(many) * times > LONGEST_TEXT:
            raise TemplateRefused(f"more than {LONGEST_TEXT} characters or items at once")
    if isinstance(left, int) and isinstance(right, int) and left.bit_length() + right.bit_length() > 4096:
        raise TemplateRefused("a number too large")


def _bound(args: tuple[Any, ...], kwargs: dict[str, Any]) -> None:
    if any(isinstance(a, int) and abs(a) > LARGEST_NUMBER for a in (*args, *kwargs.values())):
        raise TemplateRefused(f"a number of more than {LARGEST_NUMBER} in a call or a filter")


def _bounded(of: Callable[..., Any]) -> Callable[..., Any]:
    """The filter; what it is given besides its value is bounded, and so is the width that it formats to. (``wraps`` keeps
    Jinja's own marks on it.)"""
    first = 2 if hasattr(of, "jinja_pass_arg") else 1

    @functools.wraps(of)
    def asked(*args: Any, **kwargs: Any) -> Any:
        value = args[first - 1] if len(args) >= first else ""
        if of.__name__ == "do_format" and (_WIDE.search(str(value)) or "*" in str(value)):
            raise TemplateRefused(f"a width of more than {LARGEST_NUMBER}")
        _bound(args[first:], kwargs)
        return of(*args, **kwargs)

    return asked


@contextlib.contextmanager
def bounded(environment: Any) -> Iterator[None]:
    """What is read and filled in inside has its time, and where the system can hold it to that, its memory; an ``environment``
    that is not of own templates has no bounds. Raises Refused where its memory or its depth is used up."""
    if not isinstance(environment, OwnTemplates):
        yield
        return
    environment.ends = time.monotonic() + MOST_SECONDS
    try:
        with _little_memory(), _little_time():
            yield
    except MemoryError:
        raise TemplateRefused("it asks for too much memory") from None
    except RecursionError:
        raise TemplateRefused("it goes too deep: something names itself, or brackets have no end") from None


_AGAIN_S = 0.2
"""After so long it is interrupted once more: what is raised while Python collects garbage is lost."""


@contextlib.contextmanager
def _little_time() -> Iterator[None]:
    """Interrupts what no turn of a template's loop does: a filter that goes through a long list. Where the system has no such timer
    (Windows), or this is not the main thread, the command's own budget ends it."""
    if not hasattr(signal, "setitimer") or threading.current_thread() is not threading.main_thread():
        yield
        return
    before = signal.signal(signal.SIGVTALRM, _time_is_up)
    signal.setitimer(signal.ITIMER_VIRTUAL, MOST_SECONDS, _AGAIN_S)
    try:
        yield
    finally:
        signal.setitimer(signal.ITIMER_VIRTUAL, 0)
        signal.signal(signal.SIGVTALRM, before)


def _time_is_up(*_: object) -> None:
    raise TemplateRefused(f"it takes more than {MOST_SECONDS:.0f} seconds")


@contextlib.contextmanager
def _little_memory() -> Iterator[None]:
    """A bound that the system keeps, where it tells how much is in use (Linux)."""
    try:
        import resource

        pages = int(Path("/proc/self/statm").read_text(encoding="ascii").split()[0])
        before = resource.getrlimit(resource.RLIMIT_AS)
        most = pages * resource.getpagesize() + MOST_MEMORY
        if before[0] == resource.RLIM_INFINITY or most < before[0]:
            resource.setrlimit(resource.RLIMIT_AS, (most, before[1]))
    except (ImportError, OSError, ValueError):
        yield
        return
    try:
        yield
    finally:
        resource.setrlimit(resource.RLIMIT_AS, before)
