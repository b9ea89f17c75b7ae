"""Which letters no font of this computer has, asked of the ffmpeg that will draw them."""

from __future__ import annotations

import re
import subprocess
import tempfile
from collections.abc import Iterable
from pathlib import Path

from scriptkit.drawing.ass import Timed, write_ass
from scriptkit.drawing.canvas import canvas_of
from scriptkit.drawing.layout import DrawnText, Fonts, Graphic
from scriptkit.overlay_clips import put_fonts
from scriptkit.process_limits import for_a_helper

_NOT_FOUND = re.compile(r"failed to find any fallback with glyph 0x([0-9A-Fa-f]+)")
"""What libass says of a letter that it draws as a box."""


def nowhere_to_be_found(ffmpeg: str, letters: Iterable[str], fonts: Fonts) -> frozenset[str]:
    """Of the letters those that ffmpeg would draw as boxes, in these fonts and all others that it finds; none where it cannot be
    asked, which drawing itself will tell."""
    asked = list(letters)
    if not asked:
        return frozenset()
    canvas = canvas_of(320, 180)
    texts = tuple(DrawnText(10, 90, 20, c, bold=bold) for c in asked for bold in (False, True))
    with tempfile.TemporaryDirectory() as folder:
        put_fonts(fonts, Path(folder) / "fonts")
        one = Timed(0, 1_000, "letters", Graphic((), (), texts))
        ass = write_ass([one], "letters", canvas, fonts, fade=False, embed=False)
        (Path(folder) / "one.ass").write_text(ass, encoding="utf-8", newline="\n")
        source = "color=c=black:s=320x180:r=25:d=0.04,subtitles=filename=one.ass:fontsdir=fonts"
        ordered = [ffmpeg, "-hide_banner", "-loglevel", "warning", "-nostdin", "-f", "lavfi", "-i", source]
        try:
            done = subprocess.run(
                [*ordered, "-frames:v", "1", "-f", "null", "-"],
                cwd=folder,
                capture_output=True,
                check=False,
                preexec_fn=for_a_helper(),
            )
        except OSError:
            return frozenset()
    said = done.stderr.decode("utf-8", "replace")
    return frozenset(chr(int(found, 16)) for found in _NOT_FOUND.findall(said)) & frozenset(asked)
