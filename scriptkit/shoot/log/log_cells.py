"""What stands in one cell of a take log, in the words of a camera, of a cook, or of what a spreadsheet made of them."""

from __future__ import annotations

import datetime
import re
from collections.abc import Sequence
from fractions import Fraction

from scriptkit.csv_text import harmless
from scriptkit.measure.amounts import Kind, NotAnAmount, parse_amount
from scriptkit.measure.timecode import FrameRate, NotATimecode, frames_of
from scriptkit.problems import any_of, nearest, printable

CIRCLED, HOLD, NG, FALSE_START = "circled", "hold", "NG", "false start"
VERDICTS = (CIRCLED, HOLD, NG, FALSE_START)
STOPPED_S = 10
"""A take that is no good and shorter than this was stopped before anything was done in it (common practice, no source)."""
WEIGHED = "weighed"
"""In the place of a verdict: the row is no take, but what the scale said."""
_VERDICT_WORDS = {
    "circled": CIRCLED, "circle": CIRCLED, "good": CIRCLED, "ok": CIRCLED, "hold": HOLD, "held": HOLD, "ng": NG,
    "n.g.": NG, "no good": NG, "false start": FALSE_START, "fs": FALSE_START,
}  # fmt: skip

DAY_S = 86_400
LAST_SERIAL = 2_958_466
"""The day after 9999-12-31 as spreadsheets count days, from 1899-12-30."""


class NotACell(ValueError):
    """What a cell holds cannot be understood; ``hint`` says what to write instead."""

    def __init__(self, message: str, hint: str, code: str) -> None:
        super().__init__(message)
        self.hint = hint
        self.code = code


def guarded(text: str) -> str:
    """The cell as it is written: what a spreadsheet would take for a formula gets an apostrophe before it, and so does
    what already has one, so that :func:`unguarded` gives back the same text."""
    text = printable(text)
    return f"'{text}" if _formula(text) else text


def unguarded(cell: str) -> str:
    """The cell as it was meant, without the apostrophe of :func:`guarded`."""
    cell = printable(cell.strip())
    return cell[1:] if cell[:1] == "'" and _formula(cell[1:]) else cell


def _formula(text: str) -> bool:
    core = text.lstrip(" ·'")
    return harmless(core) != core


def folded(text: str) -> str:
    """A name as it is compared: without case, and with one kind of space."""
    return " ".join(unguarded(text).replace("_", " ").split()).casefold()


def verdict(text: str) -> str:
    """One of VERDICTS. Raises NotACell."""
    word = " ".join(text.split()).casefold()
    if word in _VERDICT_WORDS:
        return _VERDICT_WORDS[word]
    if not word:
        raise NotACell("the take has no verdict", f"write {any_of(VERDICTS)}", "no-verdict")
    meant = nearest(word, VERDICTS, most=1)
    hint = f"did you mean {meant[0]}?" if meant else f"write {any_of(VERDICTS)}"
    raise NotACell(f"“{text.strip()}” is not a verdict", hint, "unknown-verdict")


def whole_number(text: str, what: str) -> int | None:
    """A scene or take number from 1; a spreadsheet may have made ``2.0`` or ``2,0`` of it. None where there is none.
    Raises NotACell where it is anything else."""
    text = text.strip()
    if not text:
        return None
    found = re.fullmatch(r"([0-9]{1,6})(?:[.,]0+)?", text)
    if not found or int(found[1]) < 1:
        raise NotACell(f"“{text}” is not a {what} number", f"write the {what} as 1, 2, 3 …", "bad-number")
    return int(found[1])


def weight_g(text: str) -> float:
    """Grams of a weight as a cook writes it: ``28 g``, ``1,9 kg``; a figure alone is grams. Raises NotACell.

    >>> [weight_g(t) for t in ("28 g", "1,9 kg", "30")]
    [28.0, 1900.0, 30.0]
    """
    words = text.strip().replace(",", ".")
    try:
        amount = parse_amount(f"{words} g" if re.fullmatch(r"[0-9.]+", words) else words)
    except NotAnAmount as wrong:
        raise NotACell(f"“{text.strip()}” is not a weight", wrong.hint or "write it as 28 g", "bad-weight") from None
    if amount.kind is not Kind.MASS:
        raise NotACell(f"“{text.strip()}” is not a weight", "write g, kg, oz or lb", "bad-weight")
    return float(amount.grams)


_DATE = r"(?:\d{1,4}[-/.]\d{1,2}[-/.]\d{1,4}[ T]+)?"
_TIME = re.compile(
    rf"{_DATE}(\d{{1,2}}):(\d{{2}})(?::(\d{{2}})(?:,(\d{{1,9}})|\.(\d{{3,9}}))?)?\s*([ap])?\.?m?\.?", re.I
)
_LABEL = re.compile(rf"{_DATE}(\d{{1,2}}:\d\d:\d\d[:;.]\d\d)")
_FIGURE = re.compile(r"\d{1,7}(?:[.,]\d{1,20})?(?:e-?\d{1,2})?", re.I)


def time_code(text: str, rate: FrameRate) -> int | None:
    """Frames since midnight's label, of time code, of a time of day, or of a part of a day as spreadsheets hold times.

    >>> from scriptkit.measure.timecode import RATES
    >>> [time_code(t, RATES["25"]) for t in ("10:00:00:12", "10:00:00", "0,5", "45987.5", "")]
    [900012, 900000, 1080000, 1080000, None]

    Raises NotACell, for a label too that drop-frame code does not have.
    """
    text = text.strip()
    if not text:
        return None
    if found := _LABEL.fullmatch(text):
        label = found[1].rjust(11, "0")
        if int(label[:2]) > 23:
            raise NotACell(f"“{text}” is later than a day", "time code goes to 23:59:59", "bad-timecode")
        try:
            return frames_of(label, rate)
        except NotATimecode as wrong:
            raise NotACell(str(wrong), wrong.hint, "bad-timecode") from None
    return _frames_at(_seconds(text), rate)


def _seconds(text: str) -> Fraction:
    """Seconds of the day. Raises NotACell."""
    hint = "write hours:minutes:seconds:frames, such as 10:15:30:12, and keep the column as text in the spreadsheet"
    if found := _TIME.fullmatch(text):
        hours, minutes, seconds = int(found[1]), int(found[2]), int(found[3] or 0)
        if half := (found[6] or "").casefold():
            hours = hours % 12 + 12 * (half == "p") if 1 <= hours <= 12 else 99
        if hours > 23 or minutes > 59 or seconds > 59:
            raise NotACell(f"“{text}” is not a time of day", hint, "bad-timecode")
        return hours * 3600 + minutes * 60 + seconds + Fraction(f"0.{found[4] or found[5] or 0}")
    if _FIGURE.fullmatch(text):
        days = Fraction(text.replace(",", "."))
        if (days < 1 or days.denominator > 1) and days < LAST_SERIAL:
            return (days % 1) * DAY_S
    raise NotACell(f"“{text}” is not time code", hint, "bad-timecode")


def _frames_at(seconds: Fraction, rate: FrameRate) -> int:
    """The frame whose label is nearest; where drop-frame lacks it, the first that is there."""
    labels = min(round(seconds * rate.nominal), DAY_S * rate.nominal - 1)
    whole, frame = divmod(labels, rate.nominal)
    minutes, second = divmod(whole, 60)
    if second == 0 and minutes % 10:
        frame = max(frame, rate.dropped)
    return frames_of(f"{minutes // 60:02d}:{minutes % 60:02d}:{second:02d}:{frame:02d}", rate)


def recorded_at(text: str) -> str:
    """Date and time as they stand; days counted by a spreadsheet become a date again.

    >>> recorded_at("45987,5")
    '2025-11-26 12:00:00'
    """
    text = unguarded(text)
    if not _FIGURE.fullmatch(text) or not 1 <= (days := Fraction(text.replace(",", "."))) < LAST_SERIAL:
        return text
    moment = datetime.datetime(1899, 12, 30) + datetime.timedelta(seconds=round(days * DAY_S))  # noqa: DTZ001
    return moment.isoformat(sep=" ")


_BETWEEN = re.compile(r"([;,+/])")


def names_in(text: str, known: Sequence[str]) -> tuple[list[int], list[str]]:
    """Which of the ``known`` names a cell lists, as places in ``known``, and what in it is none of them.

    Names stand with ; , + or / between them; a name may itself have such a character, so the longest one wins.
    """
    places = {folded(name): n for n, name in reversed(list(enumerate(known)))}
    parts = _BETWEEN.split(unguarded(text))
    longest = max((len(_BETWEEN.split(name)) for name in known), default=1)
    found: list[int] = []
    strange: list[str] = []
    at = 0
    while at < len(parts):
        for end in range(min(len(parts), at + longest), at, -2):
            name = folded("".join(parts[at:end]))
            if name in places:
                found.append(places[name])
                at = end + 1
                break
        else:
            if parts[at].strip():
                strange.append(parts[at].strip())
            at += 2
    return list(dict.fromkeys(found)), strange
