"""A font file read for what drawing asks of it: which characters it has, how wide they are, and how high its lines.

TrueType and OpenType (ISO/IEC 14496-22), as they are or packed as WOFF (W3C, 2012)."""

from __future__ import annotations

import struct
import zlib
from collections.abc import Mapping
from dataclasses import dataclass

_MOST_BYTES = 50_000_000


_EM = 1000


class NotAFont(ValueError):
    """The file is no font that can be read."""


@dataclass(frozen=True, slots=True, kw_only=True)
class FontFile:
    """``advances``: the width of each character that the font has, in thousandths of an em. ``ascent`` and ``descent``: of a line,
    as renderers of subtitles count it, in ems. ``sfnt``: the file, unpacked."""

    family: str
    bold: bool
    advances: Mapping[int, int]
    ascent: float
    descent: float
    sfnt: bytes

    def width(self, text: str) -> float:
        """In ems; kerning, which mostly narrows, is left out, and what the font lacks is as wide as its widest letter, an em at most: a font of
        Arabic has words of eleven ems as one letter."""
        widest = min(max(self.advances.values(), default=_EM), _EM)
        return sum(self.advances.get(ord(c), widest) for c in text if c.isprintable()) / 1000

    def lacks(self, text: str) -> list[str]:
        """The characters of the text that the font has no glyph for, each once."""
        return [c for c in dict.fromkeys(text) if c.isprintable() and not c.isspace() and ord(c) not in self.advances]


def read_font(raw: bytes) -> FontFile:
    """Raises NotAFont."""
    try:
        return _read(raw)
    except (struct.error, zlib.error, KeyError, IndexError, UnicodeDecodeError, ZeroDivisionError) as wrong:
        raise NotAFont("the font file is damaged, or is not TrueType, OpenType or WOFF") from wrong


def _read(raw: bytes) -> FontFile:
    flavour, tables = _woff_tables(raw) if raw[:4] == b"wOFF" else _sfnt_tables(raw)
    em = struct.unpack(">H", tables["head"][18:20])[0]
    count = struct.unpack(">H", tables["hhea"][34:36])[0]
    hmtx = tables["hmtx"]
    wide = [struct.unpack(">H", hmtx[4 * n : 4 * n + 2])[0] for n in range(count)]
    os2 = tables["OS/2"]
    high, low = struct.unpack(">HH", os2[74:78])
    advances = {c: round(wide[min(g, count - 1)] * 1000 / em) for c, g in _characters(tables["cmap"]).items() if g}
    return FontFile(
        family=_family(tables["name"]),
        bold=struct.unpack(">H", os2[4:6])[0] >= 600,
        advances=advances,
        ascent=high / em,
        descent=low / em,
        sfnt=_sfnt(flavour, tables),
    )


def _woff_tables(raw: bytes) -> tuple[bytes, dict[str, bytes]]:
    count = struct.unpack(">H", raw[12:14])[0]
    tables = {}
    for n in range(count):
        tag, at, packed, length, _ = struct.unpack(">4sIIII", raw[44 + 20 * n : 64 + 20 * n])
        data = raw[at : at + packed]
        if length > _MOST_BYTES:
            raise NotAFont("the font file is too large")
        tables[tag.decode("latin-1")] = zlib.decompressobj().decompress(data, length) if packed < length else data
    return raw[4:8], tables


def _sfnt_tables(raw: bytes) -> tuple[bytes, dict[str, bytes]]:
    if raw[:4] not in (b"\x00\x01\x00\x00", b"OTTO", b"true"):
        raise NotAFont("the file is not a TrueType, OpenType or WOFF font")
    tables = {}
    for n in range(struct.unpack(">H", raw[4:6])[0]):
        tag, _, at, length = struct.unpack(">4sIII", raw[12 + 16 * n : 28 + 16 * n])
        tables[tag.decode("latin-1")] = raw[at : at + length]
    return raw[:4], tables


def _characters(cmap: bytes) -> dict[int, int]:
    """The glyph of each character, from the fullest table that there is."""
    found: dict[int, int] = {}
    for n in range(struct.unpack(">H", cmap[2:4])[0]):
        platform, _, at = struct.unpack(">HHI", cmap[4 + 8 * n : 12 + 8 * n])
        if platform not in (0, 3):
            continue
        kind = struct.unpack(">H", cmap[at : at + 2])[0]
        if kind == 12:
            for m in range(struct.unpack(">I", cmap[at + 12 : at + 16])[0]):
                first, last, glyph = struct.unpack(">III", cmap[at + 16 + 12 * m : at + 28 + 12 * m])
                found.update({c: glyph + c - first for c in range(first, min(last, 0x10FFFF) + 1)})
        elif kind == 4:
            found.update(_format_4(cmap[at:]))
    return found


def _format_4(table: bytes) -> dict[int, int]:
    count = struct.unpack(">H", table[6:8])[0] // 2
    row = 2 * count
    ends, starts, deltas, offsets = (
        struct.unpack(f">{count}H", table[at : at + row]) for at in (14, 16 + row, 16 + 2 * row, 16 + 3 * row)
    )
    found = {}
    for n in range(count):
        for c in range(starts[n], min(ends[n], 0xFFFE) + 1):
            glyph = c
            if offsets[n]:
                at = 16 + 3 * row + 2 * n + offsets[n] + 2 * (c - starts[n])
                glyph = struct.unpack(">H", table[at : at + 2])[0]
                if not glyph:
                    continue
            found[c] = (glyph + deltas[n]) & 0xFFFF
    return found


def _family(name: bytes) -> str:
    count, strings = struct.unpack(">HH", name[2:6])
    best = ""
    for n in range(count):
        platform, _, _, kind, length, at = struct.unpack(">6H", name[6 + 12 * n : 18 + 12 * n])
        if kind == 1:
            text = name[strings + at : strings + at + length]
            best = text.decode("utf-16-be" if platform in (0, 3) else "latin-1") if platform == 3 or not best else best
    return best


def _sfnt(flavour: bytes, tables: Mapping[str, bytes]) -> bytes:
    """The tables as a file of their own, as fonts are embedded."""
    count = len(tables)
    power = 1 << (count.bit_length() - 1)
    head = flavour + struct.pack(">HHHH", count, power * 16, power.bit_length() - 1, (count - power) * 16)
    at = 12 + 16 * count
    directory, body = b"", b""
    for tag, data in sorted(tables.items()):
        padded = data + b"\0" * (-len(data) % 4)
        total = sum(struct.unpack(f">{len(padded) // 4}I", padded)) & 0xFFFFFFFF
        directory += struct.pack(">4sIII", tag.encode("latin-1"), total, at + len(body), len(data))
        body += padded
    return head + directory + body
