"""What every command is made with: the program, and the page that `--help` shows below the options of each."""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Any

import typer
from typer.core import TyperGroup

SUPPER = "examples/harbour-supper.yaml"
EXITS = "0 done, nothing wrong; 1 done, and something needs attention; 2 could not be done, and nothing was written."


@dataclass(frozen=True, slots=True, kw_only=True)
class HelpPage:
    """``short`` fits the list of commands (56 characters). ``exits`` is what the codes mean here, where it is more than usual.
    ``examples`` run in a checkout as they stand, and in any folder after LAY_OUT."""

    short: str
    reads: str
    writes: str
    examples: tuple[str, ...]
    exits: str = EXITS


def epilog(page: HelpPage) -> str:
    """The page under the options. A line with \\b alone keeps the lines after it as they are, so that they can be copied."""
    told = [f"Reads: {page.reads}", f"Writes: {page.writes}", f"Exit codes: {page.exits}"]
    shown = "\n".join(f"  {line}" for line in page.examples)
    files = f" (`{LAY_OUT}` writes their files)" if re.search(r"\bexamples\b", shown) else ""
    return "\n\n".join([*told, f"\b\nExample{'s' if len(page.examples) > 1 else ''}{files}:\n{shown}"])


LAY_OUT = "scriptkit new --example all"
TIMES = "Times of the cut come from a cut file (.yaml), a marker list (.csv, .otio), a transcript (.srt, .vtt, .txt), or with the take log the edit (.otio, .edl)."


PHASES = {
    "Before the shoot": ("new", "confirm", "check", "macros", "portion", "pair", "schedule", "food", "schema", "pack", "shoot", "buying"),
    "During the shoot": ("serve",),
    "After the shoot": ("paper-edit", "coverage", "captions", "overlays", "preview", "proof", "conform", "publish"),
}  # fmt: skip
"""Under which heading `--help` lists each command, in the order in which a cook works."""


class PhasedGroup(TyperGroup):
    """The commands under the headings of PHASES."""

    def format_commands(self, ctx: Any, formatter: Any) -> None:  # noqa: ARG002
        """Writes the list of commands into the help."""
        width = max(map(len, self.commands))
        for phase, names in PHASES.items():
            rows = [(f"{name:{width}}", PAGES[name].short) for name in names if name in self.commands]
            with formatter.section(phase):
                formatter.write_dl(rows)


app = typer.Typer(
    cls=PhasedGroup,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
    help="One recipe file in; the shoot's papers, true macros and overlay captions out.",
    epilog="Exit codes: 0 done, nothing wrong; 1 done, and something needs attention; 2 could not be done, and nothing was "
    "written. Problems go to standard error as FILE:LINE:COLUMN: severity: message [code], data to standard output.\n\n"
    f"\b\nExamples:\n  {LAY_OUT}\n  scriptkit pack {SUPPER} -o pack\n  scriptkit COMMAND --help",
)

PAGES: dict[str, HelpPage] = {}
"""The page of each command by its name."""


def command(name: str, page: HelpPage) -> Callable[[Callable[..., None]], Callable[..., None]]:
    """A command with its page, in the place that its module has in the list of ``scriptkit.cli``."""
    PAGES[name] = page
    made: Any = app.command(name, short_help=page.short, epilog=epilog(page))
    return made  # type: ignore[no-any-return]
