"""The commands that mend a caption file, as a hint names them: ready to copy, and never over the file itself."""

from __future__ import annotations

import shlex
from pathlib import PurePath


def beside(file: str, ending: str = "utf8") -> str:
    """The name of a file beside this one, with this ending of its stem.

    >>> beside("cut.srt"), beside("shoot/cut.vtt", "mended"), beside("")
    ('cut-utf8.srt', 'shoot/cut-mended.vtt', 'captions-utf8.srt')
    """
    path = PurePath(file)
    return str(path.with_name(f"{path.stem}-{ending}{path.suffix}")) if path.name else f"captions-{ending}.srt"


def fix_command(file: str, *more: str) -> str:
    """The command that writes a mended copy of the file; ``more``: options that it needs.

    >>> fix_command("my cut.srt")
    "scriptkit proof 'my cut.srt' --fix 'my cut-mended.srt'"
    """
    return shlex.join(["scriptkit", "proof", file, *more, "--fix", beside(file, "mended")])


def shift_command(file: str, seconds: int) -> str:
    """The command that writes a copy in which every cue is so many seconds later.

    >>> shift_command("cut.srt", 2)
    'scriptkit conform cut.srt --offset 2 -o cut-moved.srt'
    """
    return shlex.join(["scriptkit", "conform", file, "--offset", str(seconds), "-o", beside(file, "moved")])
