"""Arguments and options that several commands share, with their help."""

from __future__ import annotations

from typing import Annotated

import typer

Source = Annotated[
    str, typer.Argument(metavar="SOURCE", help="A dish or a meal (YAML); - reads it from standard input.")
]
SourceOrFolder = Annotated[
    str, typer.Argument(metavar="SOURCE", help="A dish or a meal (YAML), or a folder of them; - reads standard input.")
]
Quiet = Annotated[bool, typer.Option("--quiet", help="Only problems; no progress and no summary.")]
Json = Annotated[bool, typer.Option("--json", help="Print JSON, with units in the key names.")]
Folder = Annotated[
    str, typer.Option("-o", "--output", metavar="DIR", help="Folder to write to; made where there is none.")
]
Templates = Annotated[str, typer.Option(metavar="DIR", help="Own templates that replace those of the same name.")]
AtMost = Annotated[
    list[str] | None,
    typer.Option(
        "--at-most", metavar="NAME=FIGURE", help="A limit of one plate, such as net_carbs_g=12; may be repeated."
    ),
]
AtLeast = Annotated[
    list[str] | None,
    typer.Option(
        "--at-least", metavar="NAME=FIGURE", help="A limit of one plate, such as protein_g=40; may be repeated."
    ),
]
