"""The fonts of the package, made from the released ones of Atkinson Hyperlegible Next 2.001 (SIL Open Font License 1.1).

    npm pack @expo-google-fonts/atkinson-hyperlegible-next@0.4.1 && tar xzf *.tgz
    python -m tests.outside.shipped_font package scriptkit/fonts

Kept are Latin-1, Latin Extended-A, the punctuation and signs that pages print, with kerning and tabular figures. What the
released fonts lack of it is put together here from their own outlines (thirds, eighths, letters with a mark), and the
shapes and arrows are drawn. So that nobody takes the result for the released font, it has another name. The files are the same
bytes in every run.
"""

from __future__ import annotations

import sys
from collections.abc import Callable, Iterable
from pathlib import Path
from typing import Any

NAME = "Scriptkit Sans"
WEIGHTS = {"regular": ("400Regular", "600SemiBold"), "bold": ("700Bold", "800ExtraBold")}
"""Of each: the font, and a heavier one whose figures, made small, have the strokes of its own small figures."""
KEPT = (
    *range(0x20, 0x7F), *range(0xA0, 0x180), 0x218, 0x219, 0x21A, 0x21B, 0x1E9E,
    *map(ord, "\u2007\u2009\u202f\u2011–—‘’‚“”„†•…‹›⁄€™−≈≠≤≥⅓⅔⅛⅜⅝⅞←↑→↓✓●◐○■□▲△◆◇"),
)  # fmt: skip
_FEATURES = ["kern", "mark", "mkmk", "ccmp", "locl", "tnum"]
_MARKED = {  # the letters that the released fonts lack: the letter, the mark, a letter that shows how high it stands
    **{upper: (upper_base, mark, ref) for upper, upper_base, mark, ref in (
        ("Ĉ", "C", "uni0302", "Ecircumflex"), ("Ĝ", "G", "uni0302", "Ecircumflex"), ("Ĥ", "H", "uni0302", "Ecircumflex"),
        ("Ĵ", "J", "uni0302", "Ecircumflex"), ("Ŝ", "S", "uni0302", "Ecircumflex"), ("Ĕ", "E", "uni0306", "Abreve"),
        ("Ĭ", "I", "uni0306", "Abreve"), ("Ŏ", "O", "uni0306", "Abreve"), ("Ŭ", "U", "uni0306", "Abreve"),
        ("Ĩ", "I", "tildecomb", "Ntilde"), ("Ũ", "U", "tildecomb", "Ntilde"), ("Ō", "O", "uni0304", "Amacron"),
        ("Ŗ", "R", "uni0326", "uni0136"),
    )},
    **{lower: (lower_base, mark, ref) for lower, lower_base, mark, ref in (
        ("ĉ", "c", "uni0302", "ecircumflex"), ("ĝ", "g", "uni0302", "ecircumflex"), ("ĥ", "h", "uni0302", "Ecircumflex"),
        ("ĵ", "uni0237", "uni0302", "ecircumflex"), ("ŝ", "s", "uni0302", "ecircumflex"), ("ĕ", "e", "uni0306", "abreve"),
        ("ĭ", "dotlessi", "uni0306", "abreve"), ("ŏ", "o", "uni0306", "abreve"), ("ŭ", "u", "uni0306", "abreve"),
        ("ĩ", "dotlessi", "tildecomb", "ntilde"), ("ũ", "u", "tildecomb", "ntilde"), ("ō", "o", "uni0304", "amacron"),
        ("ŗ", "r", "uni0326", "uni0136"),
    )},
}  # fmt: skip
_SAME = {"\u00ad": "hyphen", "\u2011": "hyphen", "µ": "uni03BC", "\u202f": "uni2009", "⁄": "fraction"}
Place = tuple[float, float, float, float, float, float]
"""x and y scale of an outline with what slants it (0), and where it stands."""


def made(folder: Path, regular: str, heavier: str, weight: str) -> Any:
    """The font of a weight, subset and completed."""
    from fontTools import subset
    from fontTools.ttLib import TTFont

    def opened(name: str) -> Any:
        (path,) = (folder / name).glob("*.ttf")
        return TTFont(path, recalcTimestamp=False)

    font, heavy = opened(regular), opened(heavier)
    _complete(font, heavy)
    options = subset.Options(
        layout_features=_FEATURES, hinting=False, name_IDs=["*"], notdef_outline=True, glyph_names=False
    )
    cut = subset.Subsetter(options)
    cut.populate(unicodes=KEPT)
    cut.subset(font)
    _rename(font, weight)
    return font


def _rename(font: Any, weight: str) -> None:
    style = weight.capitalize()
    said = {
        1: NAME, 2: style, 3: f"2.001;{NAME} {style}", 4: f"{NAME} {style}", 6: f"{NAME.replace(' ', '')}-{style}",
        10: "Atkinson Hyperlegible Next 2.001, subset; thirds, eighths, some letters and the shapes added.",
    }  # fmt: skip
    names = font["name"]
    names.names = [record for record in names.names if record.nameID in (0, 5, 13, 14)]
    for number, text in said.items():
        names.setName(text, number, 3, 1, 0x409)


def _complete(font: Any, heavy: Any) -> None:
    """Adds the characters of KEPT that the font lacks."""
    cmap = font.getBestCmap()
    for character, glyph in _SAME.items():
        _point(font, character, glyph)
    width = font["hmtx"]["zero.tf"][0]
    _add(font, "\u2007", width, lambda _: None)
    for character, (letter, mark, ref) in _MARKED.items():
        _add_marked(font, character, letter, mark, ref)
    _add_fractions(font, heavy)
    _add_rare_letters(font)
    for character, contours in _shapes().items():
        _add_drawn(font, character, contours)
    lacking = [chr(c) for c in KEPT if c not in font.getBestCmap()]
    assert not lacking, (lacking, len(cmap))


def _point(font: Any, character: str, glyph: str) -> None:
    for table in font["cmap"].tables:
        if table.isUnicode():
            table.cmap[ord(character)] = glyph


def _add(font: Any, character: str, width: float, drawn: Callable[[Any], None]) -> None:
    from fontTools.pens.ttGlyphPen import TTGlyphPen

    pen = TTGlyphPen(None)
    drawn(pen)
    name = f"uni{ord(character):04X}"
    glyph = pen.glyph()
    font.setGlyphOrder([*font.getGlyphOrder(), name])
    font["glyf"].glyphs[name] = glyph
    font["glyf"].glyphOrder = font.getGlyphOrder()
    glyph.recalcBounds(font["glyf"])
    font["hmtx"].metrics[name] = (round(width), getattr(glyph, "xMin", 0))
    _point(font, character, name)


def _outline(font: Any, glyph: str, pen: Any, place: Place = (1, 0, 0, 1, 0, 0)) -> None:
    """Draws a glyph's outline, moved and scaled, without components."""
    from fontTools.pens.recordingPen import DecomposingRecordingPen
    from fontTools.pens.roundingPen import RoundingPen
    from fontTools.pens.transformPen import TransformPen

    recorded = DecomposingRecordingPen(font.getGlyphSet())
    font.getGlyphSet()[glyph].draw(recorded)
    recorded.replay(TransformPen(RoundingPen(pen), place))


def _box(font: Any, glyph: str) -> tuple[float, float, float, float]:
    from fontTools.pens.boundsPen import BoundsPen

    pen = BoundsPen(font.getGlyphSet())
    font.getGlyphSet()[glyph].draw(pen)
    return pen.bounds or (0, 0, 0, 0)


def _add_marked(font: Any, character: str, letter: str, mark: str, ref: str) -> None:
    """The letter with the mark over (or under) its middle, as high as it stands on the letter of reference."""
    high = next(c.y for c in font["glyf"][ref].components if c.glyphName == mark)
    left, _, right, _ = _box(font, letter)
    mark_left, _, mark_right, _ = _box(font, mark)
    x = (left + right - mark_left - mark_right) / 2

    def drawn(pen: Any) -> None:
        _outline(font, letter, pen)
        _outline(font, mark, pen, (1, 0, 0, 1, x, high))

    _add(font, character, font["hmtx"][letter][0], drawn)


def _add_fractions(font: Any, heavy: Any) -> None:
    """Thirds and eighths with the stroke and the small figures of the font's own half; it has no small 5, 7 and 8."""
    own = {"one": "uni00B9", "two": "uni00B2", "three": "uni00B3"}
    top, foot = -111, -404
    small = 0.561
    parts = {"⅓": ("one", "three"), "⅔": ("two", "three"), "⅛": ("one", "eight"), "⅜": ("three", "eight"),
             "⅝": ("five", "eight"), "⅞": ("seven", "eight")}  # fmt: skip

    def figure(name: str, pen: Any, x: float, y: float) -> float:
        """Draws it with its left edge at x; returns its right edge."""
        source, glyph, scale, up = (
            (font, own[name], 1.0, y)
            if name in own
            else (heavy, name, small, y + 404)  # a figure of full size stands on 0
        )
        left, _, right, _ = _box(source, glyph)
        _outline(source, glyph, pen, (scale, 0, 0, scale, x - left * scale, up))
        return x + (right - left) * scale

    for character, (upper, lower) in parts.items():
        edges: list[float] = []

        def drawn(pen: Any, upper: str = upper, lower: str = lower, edges: list[float] = edges) -> None:
            right = figure(upper, pen, 53, top)
            bar = right - 88 if upper == "one" else right - 164
            _outline(font, "fraction", pen, (1, 0, 0, 1, bar - 15, 0))
            edges.append(figure(lower, pen, bar + 377, foot))

        from fontTools.pens.recordingPen import RecordingPen

        drawn(RecordingPen())
        _add(font, character, edges[0] + 53, drawn)


def _add_rare_letters(font: Any) -> None:
    """Letters of Latin Extended-A that are put together from others: Ŀ ŀ ŉ Ŋ ŋ ĸ Ŧ ŧ ſ."""
    widths = font["hmtx"]

    def together(character: str, width: float, *parts: tuple[str, Place]) -> None:
        _add(font, character, width, lambda pen: [_outline(font, glyph, pen, place) for glyph, place in parts] and None)

    as_it_is: Place = (1, 0, 0, 1, 0, 0)
    for character, letter, dot in (("Ŀ", "L", "periodcentered.loclCAT.case"), ("ŀ", "l", "periodcentered.loclCAT")):
        at = widths[letter][0] - (200 if letter == "L" else 0)
        wide = max(widths[letter][0], at + widths[dot][0])
        together(character, wide, (letter, as_it_is), (dot, (1, 0, 0, 1, at, 0)))
    quote = widths["quoteright"][0]
    together("ŉ", quote + widths["n"][0], ("quoteright", as_it_is), ("n", (1, 0, 0, 1, quote, 0)))
    left, _, right, _ = _box(font, "hyphen")
    for character, letter, y in (("Ŧ", "T", 100), ("ŧ", "t", 0)):
        one, _, other, _ = _box(font, letter)
        scale = min((other - one) * 0.75 / (right - left), 1.0)
        x = (one + other) / 2 - (left + right) / 2 * scale
        together(character, widths[letter][0], (letter, as_it_is), ("hyphen", (scale, 0, 0, 1, x, y)))
    ratio = _box(font, "x")[3] / _box(font, "H")[3]
    together("ĸ", widths["K"][0] * 0.85, ("K", (0.85, 0, 0, ratio, 0, 0)))
    hook = _box(font, "uni0237")
    turned: Place = (-1, 0, 0, -1, hook[2] + 68, _box(font, "d")[3] + hook[1])  # a j without its dot, turned round
    _add(font, "ſ", widths["f"][0], lambda pen: _outline(font, "uni0237", _Bounded(pen, 0, above=True), turned))
    for character, letter in (("Ŋ", "N"), ("ŋ", "n")):
        _add_hooked(font, character, letter, hook)


def _add_hooked(font: Any, character: str, letter: str, hook: tuple[float, float, float, float]) -> None:
    """The letter with the tail of a j under its right stem."""
    x = _box(font, letter)[2] - hook[2]

    def drawn(pen: Any) -> None:
        _outline(font, letter, pen)
        _outline(font, "uni0237", _Bounded(pen, 200), (1, 0, 0, 1, x, 0))

    _add(font, character, font["hmtx"][letter][0], drawn)


class _Bounded:
    """A pen that keeps every point under a height (or over one), and so cuts a straight stem to its length."""

    def __init__(self, pen: Any, height: float, *, above: bool = False) -> None:
        self.pen, self.height, self.above = pen, height, above

    def _kept(self, points: Iterable[tuple[float, float]]) -> list[tuple[float, float]]:
        bound = max if self.above else min
        return [(x, bound(y, self.height)) for x, y in points]

    def __getattr__(self, name: str) -> Callable[..., None]:
        def passed(*points: tuple[float, float]) -> None:
            getattr(self.pen, name)(*self._kept(points))

        return passed


Contour = list[tuple[float, float]]


def _shapes() -> dict[str, tuple[float, list[Contour], bool]]:
    """Advance width, straight contours and whether they are round, of each drawn sign. A second contour is its inside."""

    def ring(half: float, middle: float = 334) -> Contour:
        x = 390.0
        return [
            (x - half, middle - half),
            (x - half, middle + half),
            (x + half, middle + half),
            (x + half, middle - half),
        ]

    def diamond(half: float) -> Contour:
        return [(390 - half, 334), (390, 334 + half), (390 + half, 334), (390, 334 - half)]

    def triangle(inset: float) -> Contour:
        return [(60 + 1.75 * inset, 20 + inset), (390, 660 - 2.2 * inset), (720 - 1.75 * inset, 20 + inset)]

    arrow: Contour = [
        (60, 290),
        (60, 378),
        (540, 378),
        (370, 548),
        (432, 610),
        (708, 334),
        (432, 58),
        (370, 120),
        (540, 290),
    ]
    tick: Contour = [(60, 300), (130, 370), (300, 200), (650, 640), (722, 582), (308, 64)]

    def turned(quarter: int) -> Contour:
        points = arrow
        for _ in range(quarter):
            points = [(390 - (y - 334), 334 + (x - 390)) for x, y in points]
        return points

    return {
        "●": (780, [ring(330)], True), "○": (780, [ring(330), ring(258)], True), "◐": (780, [ring(330), ring(258)], True),
        "■": (780, [ring(300)], False), "□": (780, [ring(300), ring(228)], False),
        "▲": (780, [triangle(0)], False), "△": (780, [triangle(0), triangle(72)], False),
        "◆": (780, [diamond(380)], False), "◇": (780, [diamond(380), diamond(282)], False),
        "→": (780, [turned(0)], False), "↑": (780, [turned(1)], False), "←": (780, [turned(2)], False),
        "↓": (780, [turned(3)], False), "✓": (780, [tick], False),
    }  # fmt: skip


def _add_drawn(font: Any, character: str, shape: tuple[float, list[Contour], bool]) -> None:
    width, contours, round_ = shape

    def drawn(pen: Any) -> None:
        for n, points in enumerate(contours):
            (_circle if round_ else _polygon)(pen, points if n == 0 else points[::-1], inner=n > 0)
        if character == "◐":
            _polygon(pen, [(390 - 266, 334), (390 - 188, 522), (390, 600), (390, 68), (390 - 188, 146)], inner=False)

    _add(font, character, width, drawn)


def _polygon(pen: Any, points: Contour, *, inner: bool) -> None:
    del inner
    pen.moveTo((round(points[0][0]), round(points[0][1])))
    for x, y in points[1:]:
        pen.lineTo((round(x), round(y)))
    pen.closePath()


def _circle(pen: Any, corners: Contour, *, inner: bool) -> None:
    """A circle in a square, of eight quadratic curves."""
    import math

    xs = [x for x, _ in corners]
    ys = [y for _, y in corners]
    x0, y0, half = (min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2, (max(xs) - min(xs)) / 2
    steps = [n * math.pi / 4 for n in range(9)]
    outer = half / math.cos(math.pi / 8)
    turn = 1 if inner else -1  # an inside runs the other way round

    def at(angle: float, far: float) -> tuple[int, int]:
        return round(x0 + far * math.cos(turn * angle)), round(y0 + far * math.sin(turn * angle))

    pen.moveTo(at(0, half))
    for angle in steps[1:]:
        pen.qCurveTo(at(angle - math.pi / 8, outer), at(angle, half))
    pen.closePath()


def main(source: Path, target: Path) -> None:
    """Writes the two files."""
    for weight, (regular, heavier) in WEIGHTS.items():
        font = made(source, regular, heavier, weight)
        font.flavor = "woff"
        font.save(target / f"{weight}.woff")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]))
