"""The overlay as ASS subtitles (the format of libass, and of the editors that read it): each overlay drawn where it stands, its
font inside."""

from __future__ import annotations

import base64
import math
from collections.abc import Iterable
from dataclasses import dataclass, replace

from scriptkit.drawing.canvas import Canvas
from scriptkit.drawing.layout import Box, DrawnText, Fonts, Graphic, Sign
from scriptkit.timed_text.cleaning import clean

FADE_MS = 200
"""In and out, by opacity alone."""

_HEAD = """\
[Script Info]
Title: {title}
ScriptType: v4.00+
WrapStyle: 2
ScaledBorderAndShadow: yes
YCbCr Matrix: TV.709
PlayResX: {width}
PlayResY: {height}

[V4+ Styles]
Format: Name, Fontname, Fontsize, PrimaryColour, SecondaryColour, OutlineColour, BackColour, Bold, Italic, Underline, StrikeOut, ScaleX, ScaleY, Spacing, Angle, BorderStyle, Outline, Shadow, Alignment, MarginL, MarginR, MarginV, Encoding
Style: Overlay,{font},{size},&H00FFFFFF,&H00FFFFFF,&H00000000,&H00000000,0,0,0,0,100,100,0,0,1,0,0,7,0,0,0,1
"""
_EVENTS = """
[Events]
Format: Layer, Start, End, Style, Name, MarginL, MarginR, MarginV, Effect, Text
"""


@dataclass(frozen=True, slots=True)
class Timed:
    """A graphic from … to, in milliseconds; ``name``: what it is, for whoever opens the file."""

    start_ms: int
    end_ms: int
    name: str
    graphic: Graphic


def write_ass(
    shown: Iterable[Timed],
    title: str,
    canvas: Canvas,
    fonts: Fonts,
    *,
    fade: bool = True,
    embed: bool = True,
    on_nothing: bool = False,
) -> str:
    """ASS text with a line for each box, sign and text; times to a hundredth of a second, on which the frame begins or just before.
    ``embed``: the font files inside. ``on_nothing``: to be drawn on a clear background by ffmpeg, which takes how opaque a panel is twice
    there: it is given its root."""
    head = _HEAD.format(
        title=clean(title),
        width=canvas.width,
        height=canvas.height,
        font=fonts.regular.family,
        size=round(canvas.small),
    )
    parts = [head, _embedded(fonts) if embed else "", _EVENTS]
    for one in shown:
        graphic = _on_nothing(one.graphic) if on_nothing else one.graphic
        parts += [_event(one, layer, code, fade) for layer, code in _codes(graphic, fonts)]
    return "".join(parts)


def _on_nothing(graphic: Graphic) -> Graphic:
    boxes = tuple(replace(box, opacity=math.sqrt(box.opacity)) for box in graphic.boxes)
    return replace(graphic, boxes=boxes)


def ass_clock(ms: int) -> str:
    """``0:01:05.12``; the hundredth that has begun."""
    hundredths = max(ms, 0) // 10
    seconds, part = divmod(hundredths, 100)
    return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}.{part:02d}"


def _event(one: Timed, layer: int, code: str, fade: bool) -> str:
    fading = f"{{\\fad({FADE_MS},{FADE_MS})}}" if fade else ""
    name = clean(one.name).replace(",", " ")
    return f"Dialogue: {layer},{ass_clock(one.start_ms)},{ass_clock(one.end_ms)},Overlay,{name},0,0,0,,{fading}{code}\n"


def _codes(graphic: Graphic, fonts: Fonts) -> Iterable[tuple[int, str]]:
    for n, box in enumerate(graphic.boxes):
        yield min(n, 1), _box(box)
    for sign in graphic.signs:
        yield from ((2, code) for code in _sign(sign))
    for text in graphic.texts:
        yield 3, _text(text, fonts)


def _colour(colour: str, opacity: float = 1.0) -> str:
    blue_first = (colour[4:6] + colour[2:4] + colour[0:2]).upper()
    return f"\\1c&H{blue_first}&\\1a&H{round((1 - opacity) * 255):02X}&"


def _drawn(x: float, y: float, path: str, colour: str, opacity: float = 1.0) -> str:
    return f"{{\\an7\\pos({x:.1f},{y:.1f}){_colour(colour, opacity)}\\p1}}{path}{{\\p0}}"


def _box(box: Box) -> str:
    wide, high, r = round(box.width), round(box.height), round(box.radius)
    if r:
        path = (
            f"m {r} 0 l {wide - r} 0 b {wide} 0 {wide} 0 {wide} {r} l {wide} {high - r} b {wide} {high} {wide} {high} "
            f"{wide - r} {high} l {r} {high} b 0 {high} 0 {high} 0 {high - r} l 0 {r} b 0 0 0 0 {r} 0"
        )
    else:
        path = f"m 0 0 l {max(wide, 1)} 0 l {max(wide, 1)} {high} l 0 {high}"
    return _drawn(box.x, box.y, path, box.colour, box.opacity)


def _sign(sign: Sign) -> list[str]:
    """A triangle, with a stroke and a point in it."""
    high = sign.height
    wide = round(high * 1.1)
    triangle = f"m {wide / 2:.0f} 0 l {wide} {high:.0f} l 0 {high:.0f}"
    stroke, point = _at_least_one(high * 0.06), _at_least_one(high * 0.065)
    middle = wide / 2
    inside = (
        f"m {middle - stroke:.0f} {high * 0.34:.0f} l {middle + stroke:.0f} {high * 0.34:.0f} "
        f"l {middle + stroke * 0.7:.0f} {high * 0.68:.0f} l {middle - stroke * 0.7:.0f} {high * 0.68:.0f} "
        f"m {middle - point:.0f} {high * 0.76:.0f} l {middle + point:.0f} {high * 0.76:.0f} "
        f"l {middle + point:.0f} {high * 0.76 + 2 * point:.0f} l {middle - point:.0f} {high * 0.76 + 2 * point:.0f}"
    )
    return [_drawn(sign.x, sign.y, triangle, sign.colour), _drawn(sign.x, sign.y, inside, "101418")]


def _at_least_one(length: float) -> float:
    return max(length, 1.0)


def _text(text: DrawnText, fonts: Fonts) -> str:
    """libass counts a font's size as the height of its line, and sets its top."""
    font = fonts.of(text.bold)
    size = text.size * (font.ascent + font.descent)
    top = text.y - text.size * font.ascent
    weight = "\\b1" if text.bold else "\\b0"
    family = f"\\fn{font.family}" if font.family != fonts.regular.family else ""
    words = text.text.replace("\\", "/").replace("{", "(").replace("}", ")")
    return f"{{\\an7\\pos({text.x:.1f},{top:.1f}){family}\\fs{size:.1f}{weight}{_colour(text.colour)}}}{words}"


def _embedded(fonts: Fonts) -> str:
    """The font files as the format embeds them: three bytes as four letters, lines of eighty."""
    parts = ["\n[Fonts]\n"]
    files = {f"{fonts.regular.family} regular": fonts.regular, f"{fonts.bold.family} bold": fonts.bold}
    for name, font in files.items():
        parts.append(f"fontname: {name.replace(' ', '-').lower()}_0.ttf\n{_as_letters(font.sfnt)}\n")
    return "".join(parts)


_LETTERS = bytes.maketrans(
    b"ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789+/", bytes(range(33, 33 + 64))
)
"""Six bits are the letter that stands so far after the first one, where base64 has its own."""


def _as_letters(raw: bytes) -> str:
    text = base64.b64encode(raw).rstrip(b"=").translate(_LETTERS).decode("ascii")
    return "\n".join(text[n : n + 80] for n in range(0, len(text), 80))
