"""Where everything of one overlay stands: lower thirds with the amount first, cautions with their sign, cards with the figure that
they are there for, and the bar of the plate's energy."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Sequence
from dataclasses import dataclass, replace

from scriptkit.drawing.canvas import Canvas
from scriptkit.drawing.font_file import FontFile
from scriptkit.timed_text.cleaning import clean
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.direction import isolated
from scriptkit.timed_text.title import Share, Title, TitleFigure

PANEL, PANEL_OPACITY = "101418", 0.86
"""Dark enough that every colour of text has 4.5:1 (WCAG 2.2, 1.4.3) whatever picture shows through."""
WHITE, QUIET, BRIGHT, ALARM, DARK = "ffffff", "ccd4d8", "ffd75e", "ff7a66", "101418"
SHARE_COLOURS = {"fat": "f3ecdc", "protein": "7fa99b", "net carbs": BRIGHT}
"""Told apart by lightness; protein is striped too."""
_JOINER = "\N{ZERO WIDTH JOINER}"
_LINE = 1.22
"""Height of a line, in sizes of its type."""


@dataclass(frozen=True, slots=True)
class Fonts:
    """The two weights that everything is set in."""

    regular: FontFile
    bold: FontFile

    def of(self, bold: bool) -> FontFile:
        """The font of a weight."""
        return self.bold if bold else self.regular


@dataclass(frozen=True, slots=True)
class Box:
    """A filled rectangle, in pixels."""

    x: float
    y: float
    width: float
    height: float
    colour: str
    opacity: float = 1.0
    radius: float = 0.0


@dataclass(frozen=True, slots=True)
class Sign:
    """A triangle with its point up, of this height: the sign of a caution."""

    x: float
    y: float
    height: float
    colour: str


@dataclass(frozen=True, slots=True)
class DrawnText:
    """A line of text; ``y`` is its baseline, ``size`` that of the em."""

    x: float
    y: float
    size: float
    text: str
    colour: str = WHITE
    bold: bool = False


@dataclass(frozen=True, slots=True)
class Graphic:
    """One overlay, from the back to the front."""

    boxes: tuple[Box, ...]
    signs: tuple[Sign, ...]
    texts: tuple[DrawnText, ...]


@dataclass(frozen=True, slots=True)
class _Row:
    """A row of a panel: texts on one baseline, x from the panel's inner edge; ``high``: of the row."""

    texts: tuple[DrawnText, ...]
    high: float
    boxes: tuple[Box, ...] = ()
    """y from the row's top."""


def graphic_of(cue: Cue, canvas: Canvas, fonts: Fonts) -> Graphic:
    """The overlay of a cue on a canvas."""
    inner = canvas.right - canvas.left - 2 * canvas.pad
    if cue.title is None:
        return _text_panel(cue, canvas, fonts, inner)
    if cue.title.heading:
        return _panel(_card_rows(cue.title, canvas, fonts, inner), canvas, fonts, card=True)
    return _panel(_figure_rows(cue.title.figures, canvas, fonts, inner), canvas, fonts)


def card_of_titles(titles: Sequence[Title], canvas: Canvas, fonts: Fonts, *, at_foot: bool = False) -> Graphic:
    """A card with several titles one under another; ``at_foot``: of the picture, where a card of figures is in the middle."""
    inner = canvas.right - canvas.left - 2 * canvas.pad
    rows = [row for title in titles for row in _card_rows(title, canvas, fonts, inner)]
    return _panel(rows, canvas, fonts, card=not at_foot)


_NARROWER, _NOT_ALONE = (0.9, 0.8, 0.7, 0.6), 0.5
"""Which shares of the width are tried, and which share of the longest line the last one has where it is no lone word."""


def wrapped(text: str, font: FontFile, size: float, width: float) -> list[str]:
    """The text in as many lines as it needs, none of them a lone word where another parting of as many lines has more in the last; a
    word that is wider than a line is parted between its letters."""
    lines = _filled(text, font, size, width)
    for share in _NARROWER if len(lines) > 1 else ():
        if font.width(lines[-1]) >= _NOT_ALONE * max(map(font.width, lines)):
            break
        narrower = _filled(text, font, size, width * share)
        if len(narrower) > len(lines) or any(font.width(w) * size > width * share for w in text.split()):
            break
        lines = narrower
    return lines


def _filled(text: str, font: FontFile, size: float, width: float) -> list[str]:
    lines = [""]
    for word in (part for whole in text.split() for part in _narrow(whole, font, width / size)):
        longer = f"{lines[-1]} {word}".strip()
        if lines[-1] and font.width(longer) * size > width:
            lines.append(word)
        else:
            lines[-1] = longer
    return lines


def _narrow(word: str, font: FontFile, ems: float) -> list[str]:
    """The word in parts that are no wider than this; a mark stays with its letter."""
    if font.width(word) <= ems:
        return [word]
    parts = [""]
    for c in word:
        joined = unicodedata.combining(c) or not c.isprintable() or parts[-1].endswith(_JOINER)
        if parts[-1] and not joined and font.width(parts[-1] + c) > ems:
            parts.append("")
        parts[-1] += c
    return parts


def at_most(count: int, lines: list[str]) -> list[str]:
    """The lines; where there are more, so many of them, and that there are more."""
    if len(lines) <= count:
        return lines
    last = lines[count - 1]
    return [*lines[: count - 1], (last.rpartition(" ")[0] or last[:-2]) + " …"]


def _text_panel(cue: Cue, canvas: Canvas, fonts: Fonts, inner: float) -> Graphic:
    caution = cue.track == "safety"
    size = canvas.small if caution or cue.track == "sound" or len(cue.lines) > 1 else canvas.medium
    bold = cue.track in ("time", "safety")
    sign = size * 0.92 if caution else 0.0
    beside = sign * 1.45
    text = " ".join(cue.lines) if any(_wide(x, fonts, bold, size) > inner - beside for x in cue.lines) else ""
    lines = wrapped(text, fonts.of(bold), size, inner - beside) if text else list(cue.lines)
    rows = [_Row((DrawnText(beside, 0, size, isolated(x), WHITE, bold),), size * _LINE) for x in lines]
    made = _panel(rows, canvas, fonts, top=caution)
    if not caution:
        return made
    first = made.texts[0]
    return replace(made, signs=(Sign(first.x - beside, first.y - size * 0.8, sign, ALARM),))


_UNIT = re.compile(r"(.*\d) ?([a-zA-Z]{1,4})")
_UNIT_SIZE = 0.56
"""Of a unit beside its number."""


def _amount(text: str, size: float, fonts: Fonts, least: float) -> list[DrawnText]:
    """An amount, its unit small beside the number, but not under ``least``: ``28 g`` is read as 28 first."""
    found = _UNIT.fullmatch(text)
    if found is None:
        return [DrawnText(0, 0, size, text, BRIGHT, True)]
    number, unit = found.groups()
    after = _wide(number, fonts, True, size) + size * 0.12
    return [
        DrawnText(0, 0, size, number, BRIGHT, True),
        DrawnText(after, 0, max(size * _UNIT_SIZE, least), unit, BRIGHT, True),
    ]


def _end(texts: Sequence[DrawnText], fonts: Fonts) -> float:
    return max(t.x + _wide(t.text, fonts, t.bold, t.size) for t in texts)


def _wide(text: str, fonts: Fonts, bold: bool, size: float) -> float:
    return fonts.of(bold).width(text) * size


def _figure_rows(figures: Sequence[TitleFigure], canvas: Canvas, fonts: Fonts, inner: float) -> list[_Row]:
    """One: the amount large, its measure beside it, the name under it. Several: a row each, amounts in a column."""
    if len(figures) == 1:
        one = figures[0]
        gap = canvas.small * 0.4
        amount = _amount(one.amount, canvas.large, fonts, canvas.small)
        after = _end(amount, fonts) + gap
        beside = [DrawnText(after, 0, canvas.small, one.detail, QUIET)] if one.detail else []
        fits = not beside or after + _wide(one.detail, fonts, False, canvas.small) <= inner
        rows = [_Row((*amount, *(beside if fits else [])), canvas.large * 1.1)]
        if not fits:
            rows += [_Row((DrawnText(0, 0, canvas.small, x, QUIET),), canvas.small * _LINE)
                     for x in wrapped(one.detail, fonts.regular, canvas.small, inner)]  # fmt: skip
        names = wrapped(one.name, fonts.regular, canvas.medium, inner)
        return rows + [_Row((DrawnText(0, 0, canvas.medium, isolated(x)),), canvas.medium * _LINE) for x in names]
    return _list_rows(figures, canvas, fonts, inner, canvas.medium)


def _list_rows(figures: Sequence[TitleFigure], canvas: Canvas, fonts: Fonts, inner: float, size: float) -> list[_Row]:
    column = max(_wide(f.amount, fonts, True, size) for f in figures) + canvas.small * 0.5
    rows = []
    for f in figures:
        amount = DrawnText(0, 0, size, f.amount, BRIGHT, True)
        lines = at_most(2, wrapped(f.name, fonts.regular, canvas.small, max(inner - column, inner * 0.4)))
        for n, line in enumerate(lines):
            name = DrawnText(column, 0, canvas.small, isolated(line))
            rows.append(_Row((amount, name) if n == 0 else (name,), size * _LINE))
    return rows


def _card_rows(title: Title, canvas: Canvas, fonts: Fonts, inner: float) -> list[_Row]:
    """The heading, the figure that the card is there for and larger than all, the others in their order, the bar."""
    inner = min(inner, canvas.width * (0.5 if not canvas.vertical else 1.0))
    small, medium, huge = canvas.small, canvas.medium, canvas.huge
    rows = [_Row((DrawnText(0, 0, medium, isolated(x), WHITE, True),), medium * _LINE)
            for x in at_most(2, wrapped(title.heading, fonts.bold, medium, inner))]  # fmt: skip
    rows += _small_rows([title.weight] if title.weight else [], QUIET, canvas, fonts, inner)
    notes = _small_rows(title.notes, BRIGHT, canvas, fonts, inner)
    if not title.shares:
        return [*rows, *_list_rows(title.figures, canvas, fonts, inner, medium), *notes]
    first, *others = title.figures
    size = huge
    while _end(amount := _amount(first.amount, size, fonts, small), fonts) > inner:
        size *= 0.9
    after = _end(amount, fonts) + small * 0.4
    beside = DrawnText(after, 0, medium, first.name)
    fits = after + _wide(first.name, fonts, False, medium) <= inner
    rows.append(_Row((*amount, beside) if fits else tuple(amount), size * 1.02))
    if not fits:
        rows.append(_Row((replace(beside, x=0),), medium * _LINE))
    column = max(_wide(f.amount, fonts, True, small) for f in others) + small * 0.5
    swatch = small * 0.5
    for f in others:
        colour = SHARE_COLOURS.get(f.name)
        at = column + (swatch * 1.6 if colour else 0)
        boxes = _part(column, small * 0.36, swatch, swatch, f.name, small) if colour else ()
        rows.append(
            _Row(
                (DrawnText(0, 0, small, f.amount, WHITE, True), DrawnText(at, 0, small, f.name)),
                small * _LINE,
                tuple(boxes),
            )
        )
    rows.append(_Row((), small * 1.1, _bar(title.shares, inner, small)))
    return [*rows, *notes]


def _small_rows(texts: Sequence[str], colour: str, canvas: Canvas, fonts: Fonts, inner: float) -> list[_Row]:
    """Each text in two lines at most."""
    size = canvas.small
    lines = (line for text in texts for line in at_most(2, wrapped(text, fonts.regular, size, inner)))
    return [_Row((DrawnText(0, 0, size, isolated(line), colour),), size * _LINE) for line in lines]


def _bar(shares: Sequence[Share], width: float, small: float) -> tuple[Box, ...]:
    """The plate's energy by its parts, in their fixed order."""
    whole = sum(s.kcal for s in shares)
    boxes: list[Box] = []
    x = 0.0
    for share in shares:
        wide = width * share.kcal / whole
        if wide >= 1:
            boxes += _part(x, small * 0.45, wide, small * 0.55, share.name, small)
        x += wide
    return tuple(boxes)


def _part(x: float, y: float, width: float, height: float, name: str, small: float) -> list[Box]:
    boxes = [Box(x, y, width, height, SHARE_COLOURS[name])]
    if name == "protein":
        stripe = small * 0.06
        at = x + 3 * stripe
        while at + stripe < x + width:
            boxes.append(Box(at, y, stripe, height, DARK))
            at += 4 * stripe
    return boxes


def _panel(rows: Sequence[_Row], canvas: Canvas, fonts: Fonts, *, top: bool = False, card: bool = False) -> Graphic:
    """The rows one under another in a panel at the left: at the foot, at the top, or, of a card on a wide picture, in the middle."""
    pad = canvas.pad
    right = max(
        [t.x + _wide(t.text, fonts, t.bold, t.size) for row in rows for t in row.texts]
        + [b.x + b.width for row in rows for b in row.boxes]
    )
    high = sum(row.high for row in rows) + 1.6 * pad
    if top:
        y = canvas.top
    elif card and not canvas.vertical:
        y = (canvas.height - high) / 2
    else:
        y = canvas.foot - high
    x = canvas.left + pad
    panel = Box(canvas.left, y, right + 2 * pad, high, PANEL, PANEL_OPACITY, canvas.small * 0.18)
    boxes, texts = [panel], []
    at = y + 0.8 * pad
    for row in rows:
        boxes += [replace(b, x=x + b.x, y=at + b.y) for b in row.boxes]
        size = max((t.size for t in row.texts), default=0.0)
        base = at + row.high / 2 + 0.34 * size  # the middle of capitals on the middle of the row
        texts += [replace(t, x=x + t.x, y=base, text=clean_title(t.text)) for t in row.texts]
        at += row.high
    return Graphic(tuple(boxes), (), tuple(texts))


def clean_title(text: str) -> str:
    """The text without what a renderer could take for a code; the marks that keep directions apart stay."""
    kept = "\u200e\u2066\u2067\u2068\u2069"
    return text if all(c in kept or clean(c) == c or c == " " for c in text) else clean(text)
