"""The typeface of pages, cards and burnt overlays, which travels in the package: two weights, told apart at a glance.

Both are WOFF files (W3C Recommendation, 2012): browsers take them in a page, and FreeType, which draws burnt captions, reads them as
they are, so that one pair serves both. How they were made is said in DEVELOPERS.md, their terms in LICENCES.md.
"""

from __future__ import annotations

import base64
import functools
from pathlib import Path

FAMILY = "Scriptkit Sans"
"""The name inside the font files."""
STACK = f'"{FAMILY}", system-ui, "DejaVu Sans", sans-serif'
"""The value of font-family in CSS and SVG: what the typeface lacks (another script) comes from the system."""
WEIGHTS = {"regular": 400, "bold": 700}


def font_folder() -> Path:
    """The folder with the font files and nothing else: what a renderer that takes a folder of fonts is given."""
    return Path(__file__).parent / "fonts"


@functools.cache
def font_face() -> str:
    """Two @font-face rules of CSS with the fonts inside (54 kB): a page that has them is one file and asks nothing of a network."""
    return "\n".join(
        f'@font-face {{ font-family: "{FAMILY}"; font-weight: {css}; font-display: block; '
        f"src: url(data:font/woff;base64,{_base64(weight)}) format('woff'); }}"
        for weight, css in WEIGHTS.items()
    )


def _base64(weight: str) -> str:
    return base64.b64encode((font_folder() / f"{weight}.woff").read_bytes()).decode("ascii")
