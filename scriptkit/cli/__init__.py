"""The command line: a module a command, each with its options, help, examples and what it does.

Exit 0: done, nothing wrong. 1: done, and something needs your attention. 2: could not be done.
"""

from __future__ import annotations

import functools
import os
from collections.abc import Callable
from importlib import import_module
from pathlib import Path
from typing import Annotated, NoReturn

import typer
from typer.main import get_command

from scriptkit import __version__
from scriptkit.cli.command import PAGES, app
from scriptkit.cli.exit_codes import leave_with
from scriptkit.cli.where_next import overview
from scriptkit.process_limits import collect_seldom

__all__ = ["PAGES", "app", "main", "supervised_main"]

COMMANDS = (
    "new",
    "confirm",
    "check",
    "macros",
    "portion",
    "pair",
    "schedule",
    "buying",
    "food",
    "schema",
    "pack",
    "serve",
    "paper_edit",
    "coverage",
    "captions",
    "overlays",
    "preview",
    "proof",
    "conform",
    "publish",
)
"""The modules in the order in which `--help` lists their commands: as a cook works."""

for _name in COMMANDS:
    import_module(f"scriptkit.cli.{_name}")


def _version(wanted: bool) -> None:
    if wanted:
        typer.echo(f"scriptkit {__version__}")
        raise typer.Exit


@app.callback(invoke_without_command=True)
def options(
    ctx: typer.Context,
    version: Annotated[  # noqa: ARG001  its callback has printed it
        bool, typer.Option("--version", callback=_version, is_eager=True, help="Print the version.")
    ] = False,
) -> None:
    """What stands before any command. Without one: what to do next with the recipes of this folder, or the help."""
    if ctx.invoked_subcommand is None:
        typer.echo(overview(Path()) or f'{ctx.get_help()}\n\nnext: scriptkit new "Cod with leeks"')


def main() -> NoReturn:
    """Run the command line and leave with its exit code."""
    # other packages' plug-ins of pydantic, numpy on every core: neither is wanted, and both take time
    os.environ.setdefault("PYDANTIC_DISABLE_PLUGINS", "__all__")
    os.environ.setdefault("OPENBLAS_NUM_THREADS", "1")
    collect_seldom()
    leave_with(lambda: _built()(prog_name="scriptkit"))


@functools.cache
def _built() -> Callable[..., object]:
    """The commands with their options, which take a while to make of their functions."""
    return get_command(app)


def supervised_main() -> NoReturn:
    """The same in a process of its own, with an end to its time and memory: what the installed command is."""
    from scriptkit.cli.supervisor import supervised

    supervised(main)
