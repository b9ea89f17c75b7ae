"""A fault of ours, as it can be sent to the maintainers: where in the program, in which versions, and nothing of a person's files."""

from __future__ import annotations

import importlib.metadata
import platform
import sys
import traceback
from pathlib import Path

VARIABLE = "SCRIPTKIT_REPORT"
"""A variable of the environment: the file to write the report to."""
_LIBRARIES = ("typer", "jinja2", "pint", "srt", "pydantic", "PyYAML", "rapidfuzz", "numpy", "highspy")


def write_report(wrong: BaseException, path: str) -> tuple[str, str]:
    """Where the fault lies (``TypeError at recipe/build.py:120``), and what to do: the report is written to ``path`` where one is
    given; an existing file is never written over."""
    where = _where(wrong)
    if not path:
        return (
            where,
            f"run it again with {VARIABLE}=report.txt before the command, and send report.txt: it holds none of your text",
        )
    try:
        with Path(path).open("x", encoding="utf-8") as file:
            file.write(report_of(wrong))
    except OSError as refused:
        return where, f"the report could not be written to {path} ({refused.strerror}): choose a new file"
    return where, f"send {path} to the maintainers: it holds none of your text"


def report_of(wrong: BaseException) -> str:
    """Versions, the command with its options and without their values, and each place in the program; no text of a file, no name
    of one, and not the exception's own words, which may quote them."""
    from scriptkit import __version__

    options = [a.split("=", 1)[0] for a in sys.argv[2:] if a.startswith("-") and a != "-"]
    lines = [
        f"scriptkit {__version__}, Python {platform.python_version()}, {platform.system()} {platform.machine()}",
        ", ".join(f"{name} {_version(name)}" for name in _LIBRARIES),
        f"command: {' '.join([*sys.argv[1:2], *options])}",
        f"fault: {_where(wrong)}",
    ]
    lines += [f"  {_short(f.filename)}:{f.lineno} {f.name}" for f in traceback.extract_tb(wrong.__traceback__)]
    return "\n".join(lines) + "\n"


def _where(wrong: BaseException) -> str:
    ours = [f for f in traceback.extract_tb(wrong.__traceback__) if "scriptkit" in Path(f.filename).parts]
    last = ours[-1] if ours else None
    return type(wrong).__name__ + (f" at {_short(last.filename)}:{last.lineno}" if last else "")


def _short(path: str) -> str:
    """The path from the package on, without the folders of a person's machine."""
    parts = Path(path).parts
    for root in ("scriptkit", "site-packages"):
        if root in parts:
            at = len(parts) - 1 - parts[::-1].index(root)
            return "/".join(parts[at + (root == "site-packages") :])
    return parts[-1]


def _version(library: str) -> str:
    try:
        return importlib.metadata.version(library)
    except importlib.metadata.PackageNotFoundError:
        return "absent"
