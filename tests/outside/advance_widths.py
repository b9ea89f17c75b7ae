"""The table of advance widths, made from a font file.

    python -m tests.outside.advance_widths DejaVuSans.ttf > scriptkit/captions/composing/advance_widths.csv

A row is a width in thousandths of an em and the code points that have it. Read from the font's own tables (OpenType:
head, hhea, hmtx, and the format 4 part of cmap), so that no font library is needed.
"""

from __future__ import annotations

import itertools
import struct
import sys
from collections.abc import Iterable
from pathlib import Path

KEPT = (
    (0x20, 0x7E), (0xA0, 0x24F), (0x300, 0x36F), (0x370, 0x3FF), (0x400, 0x52F), (0x5D0, 0x5F4), (0x621, 0x6D3),
    (0x1E00, 0x1EFF), (0x2010, 0x2027), (0x2030, 0x205E), (0x20A0, 0x20BF), (0x2100, 0x218B), (0x2190, 0x21FF),
    (0x2200, 0x22FF), (0x25A0, 0x25FF), (0x2600, 0x266F),
)  # fmt: skip
"""Latin, Greek, Cyrillic, Hebrew, Arabic letters, punctuation, fractions, arrows, signs."""


def widths_of(font: bytes) -> dict[int, int]:
    """Code point → advance in thousandths of an em, rounded up, for the characters of KEPT that the font has."""
    tables = _tables(font)
    units = struct.unpack_from(">H", font, tables["head"] + 18)[0]
    metrics = struct.unpack_from(">H", font, tables["hhea"] + 34)[0]

    def advance(glyph: int) -> int:
        return int(struct.unpack_from(">H", font, tables["hmtx"] + 4 * min(glyph, metrics - 1))[0])

    glyphs = _glyphs(font, tables["cmap"])
    kept = (c for first, last in KEPT for c in range(first, last + 1) if c in glyphs)
    return {c: -(-advance(glyphs[c]) * 1000 // units) for c in kept}


def _tables(font: bytes) -> dict[str, int]:
    count = struct.unpack_from(">H", font, 4)[0]
    rows = (struct.unpack_from(">4sIII", font, 12 + 16 * n) for n in range(count))
    return {name.decode(): offset for name, _, offset, _ in rows}


def _glyphs(font: bytes, cmap: int) -> dict[int, int]:
    """Code point → glyph of the format 4 part."""
    count = struct.unpack_from(">H", font, cmap + 2)[0]
    offsets = [cmap + struct.unpack_from(">HHI", font, cmap + 4 + 8 * n)[2] for n in range(count)]
    at = next(o for o in offsets if struct.unpack_from(">H", font, o)[0] == 4)
    size = struct.unpack_from(">H", font, at + 6)[0]  # twice the number of stretches
    ends, starts = at + 14, at + 16 + size
    deltas, ranges = starts + size, starts + 2 * size
    glyphs: dict[int, int] = {}
    for n in range(0, size, 2):
        end, start, delta, reach = (struct.unpack_from(">H", font, o + n)[0] for o in (ends, starts, deltas, ranges))
        for c in range(start, min(end, 0xFFFE) + 1):
            glyph = c if not reach else struct.unpack_from(">H", font, ranges + n + reach + 2 * (c - start))[0]
            if glyph and (found := (glyph + delta) % 0x10000):
                glyphs[c] = found
    return glyphs


def written(widths: dict[int, int]) -> str:
    """The table's file."""
    rows = ["width,code_points"]
    for width in sorted(set(widths.values())):
        rows.append(f"{width},{' '.join(_ranges(c for c, w in widths.items() if w == width))}")
    return "\n".join(rows) + "\n"


def _ranges(points: Iterable[int]) -> Iterable[str]:
    for _, group in itertools.groupby(enumerate(sorted(points)), lambda pair: pair[1] - pair[0]):
        run = [point for _, point in group]
        yield f"{run[0]:04X}" if len(run) == 1 else f"{run[0]:04X}-{run[-1]:04X}"


if __name__ == "__main__":
    sys.stdout.write(written(widths_of(Path(sys.argv[1]).read_bytes())))
