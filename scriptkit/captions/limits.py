"""The limits that a profile may set: of each its keys, how a cue is held against it and in which words, what it leaves room for
in composing, and how a file is repaired to keep it. A new limit is an entry of LIMITS."""

from __future__ import annotations

import functools
import itertools
import math
import re
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace

from scriptkit.captions.composing.line_breaking import clinging
from scriptkit.captions.composing.text_fitting import fit, fits
from scriptkit.captions.composing.text_width import FONT, columns, graphemes, surely_within, thousandths
from scriptkit.captions.gaps import closed_gaps, narrow_gaps
from scriptkit.captions.profile import Profile
from scriptkit.captions.proofing.sheet import Sheet, as_read, seconds_text
from scriptkit.problems import Problem, warning
from scriptkit.timed_text.markup import MARKUP, unescaped
from scriptkit.timed_text.markup import without_markup as plain
from scriptkit.timed_text.reading import ReadCue

Cues = list[ReadCue]

_LETTER = re.compile(r"&#?\w+;|.", re.DOTALL)
"""Of a WebVTT cue: a reference is one."""
_SPACES = re.compile(r"[ \t\n]+")
_SPEAKERS = ("-", "–", "—", ">>")
"""What a line begins with where each speaker has one of their own."""
_MOST_LETTERS = 10_000
"""More cannot fit the lines of any cue, however it is written."""


@dataclass(frozen=True, slots=True)
class Key:
    """A figure that a profile may write under this name. ``whole``: no part of one; ``percent``: at most 100."""

    name: str
    whole: bool = True
    percent: bool = False


def _any_lines(_: Sequence[str], __: Profile) -> bool:
    return True


def _no_time(_: str, __: Profile) -> float:
    return 0.0


@dataclass(frozen=True, slots=True, kw_only=True)
class CaptionLimit:
    """One limit. ``check``: what of a file does not keep it; ``holds``: whether a cue of these lines can keep it, however long
    it stands; ``least_ms``: the time that it asks for a text; ``mend_text`` and ``mend_times``: the cues of a sheet repaired,
    as far as that is safe, before and after overlaps are taken away. A profile without its keys must pass them all."""

    keys: tuple[Key, ...]
    check: Callable[[Sheet], Iterator[Problem]]
    holds: Callable[[Sequence[str], Profile], bool] = _any_lines
    least_ms: Callable[[str, Profile], float] = _no_time
    mend_text: Callable[[Cues, Sheet], Cues] | None = None
    mend_times: Callable[[Cues, Sheet], Cues] | None = None


# --- what a profile asks of any text ----------------------------------------------------------------------------------


def reading_ms(text: str, profile: Profile) -> int:
    """The least time that the profile gives a text to be read, its shortest cue apart."""
    return math.ceil(max(least(text, profile) for least in _asking_for_time()))


@functools.cache
def _asking_for_time() -> tuple[Callable[[str, Profile], float], ...]:
    return tuple(limit.least_ms for limit in LIMITS if limit.least_ms is not _no_time)


def least_ms(text: str, profile: Profile) -> int:
    """The least time that a cue with this text stands."""
    return max(reading_ms(text, profile), profile.shortest_ms or 0)


def can_stand(lines: Sequence[str], profile: Profile) -> bool:
    """Whether one cue may show these lines."""
    return all(limit.holds(lines, profile) for limit in LIMITS)


# --- how long a cue stands --------------------------------------------------------------------------------------------


def too_short(sheet: Sheet) -> Iterator[Problem]:
    """Cues that stand for less than the profile's shortest time, where it has one."""
    least = sheet.profile.shortest_ms
    if least is None:
        return
    for n, cue in enumerate(sheet.cues):
        if 0 < cue.end_ms - cue.start_ms < least:
            yield warning(
                sheet.place(cue),
                "too-short",
                f"stands {seconds_text(cue.end_ms - cue.start_ms)}, at least {seconds_text(least)} ({sheet.profile.name})",
                _longer(n, sheet) or "join it with its neighbour: there is no room to let it stand longer",
            )


def too_long(sheet: Sheet) -> Iterator[Problem]:
    """Cues that stand for more than the profile's longest time, where it has one."""
    most = sheet.profile.longest_ms
    if most is None:
        return
    for cue in sheet.cues:
        if cue.end_ms - cue.start_ms > most:
            yield warning(
                sheet.place(cue),
                "too-long",
                f"stands {seconds_text(cue.end_ms - cue.start_ms)}, at most {seconds_text(most)} ({sheet.profile.name})",
                f"end it at {sheet.clock(cue.start_ms + most)}, or split it"
                if readable_ms(cue, sheet.profile, sheet.file.kind) <= most
                else "split it",
            )


def _reading_time(text: str, profile: Profile) -> float:
    """By its characters, spaces counted, and by its words."""
    words, limits = text.split(), profile.limits
    needs = [0.0]
    if speed := limits.get("characters_a_second"):
        needs.append(graphemes(" ".join(words)) / speed * 1000)
    if speed := limits.get("words_a_minute"):
        needs.append(len(words) / speed * 60_000)
    needs.append(limits.get("ms_a_word", 0) * len(words))
    return max(needs)


def _bound_of_time(profile: Profile) -> Callable[[str], float]:
    """How long a text takes at most, by all that is written in it: for nearly all cues that is soon told, and little enough."""
    limits = profile.limits
    a_letter = 1000 / limits["characters_a_second"] if limits.get("characters_a_second") else 0.0
    a_word = float(limits.get("ms_a_word", 0))
    if speed := limits.get("words_a_minute"):
        a_word = max(a_word, 60_000 / speed)

    def bound(text: str) -> float:
        if "&" in text:
            return math.inf  # a reference may be a space
        letters = len(text) * a_letter
        return max(letters, len(text.split()) * a_word) if a_word else letters

    return bound


def too_fast(sheet: Sheet) -> Iterator[Problem]:
    """Faster than the profile's readers: by characters, by words, or by the least time for each word."""
    longest = sheet.profile.longest_ms
    takes_at_most = _bound_of_time(sheet.profile)
    for n, cue in enumerate(sheet.cues):
        if takes_at_most(cue.text) <= cue.end_ms - cue.start_ms:
            continue
        needs = readable_ms(cue, sheet.profile, sheet.file.kind)
        stands = cue.end_ms - cue.start_ms
        if 0 < stands < needs - 1:
            yield warning(
                sheet.place(cue),
                "too-fast",
                f"takes {seconds_text(needs)} to read and stands {seconds_text(stands)} ({sheet.profile.name})",
                f"use fewer words, or split it: no cue stands longer than {seconds_text(longest)}"
                if longest and needs > longest
                else _longer(n, sheet)
                or f"give it {seconds_text(needs - stands)} more by letting the next begin later, or fewer words",
            )


def _longer(n: int, sheet: Sheet) -> str:
    """The hint that a cue may stand longer, where the next one leaves room for it; empty where it does not."""
    cue = sheet.cues[n]
    end = _readable_end(cue, sheet)
    free = n + 1 == len(sheet.cues) or end <= sheet.cues[n + 1].start_ms
    return f"end it at {sheet.clock(end)}: `--fix` does" if free and cue.start_ms >= 0 else ""


def _readable_end(cue: ReadCue, sheet: Sheet) -> int:
    """When a cue ends that stands as long as it asks for, and a frame more, for its times are then snapped to frames; in ms."""
    frame_ms = 1000 / float(sheet.rate.exact) if sheet.rate else 0.0
    grain = sheet.file.grain_ms
    needs = max(readable_ms(cue, sheet.profile, sheet.file.kind), sheet.profile.shortest_ms or 0)
    end = (
        -(-(cue.start_ms + needs + math.ceil(frame_ms)) // grain) * grain
    )  # to the nearest hundredth it would be too short
    return min(end, cue.start_ms + sheet.profile.longest_ms) if sheet.profile.longest_ms else end


def least_of(cue: ReadCue, sheet: Sheet) -> int:
    """The least time, in ms, that the cue must stand by the profile: to be read, and its shortest time."""
    return max(readable_ms(cue, sheet.profile, sheet.file.kind), sheet.profile.shortest_ms or 1)


def readable_ms(cue: ReadCue, profile: Profile, kind: str) -> int:
    """The least time that the profile gives the text, its shortest cue apart; ``kind``: of its file."""
    return reading_ms(as_read(cue.text, kind), profile)


def let_stand(cues: Cues, sheet: Sheet) -> Cues:
    """A cue that is too short to be read stands longer, as far as the time after it is free."""
    mended = list(cues)
    for n, cue in enumerate(cues):
        end = _readable_end(cue, sheet)
        free_to = cues[n + 1].start_ms if n + 1 < len(cues) else end
        if cue.start_ms < cue.end_ms < end <= free_to:
            mended[n] = replace(cue, end_ms=end)
    return mended


# --- how wide and how high it is --------------------------------------------------------------------------------------


def too_wide(sheet: Sheet) -> Iterator[Problem]:
    """Wider than the profile's line: in characters, or as it is rendered in the stated font."""
    most, ems = sheet.profile.line_length, sheet.profile.line_ems
    short = min(most, ems or most)
    for cue in sheet.cues:
        text = cue.text
        if text.isascii() and "<" not in text and _surely_fits(text, most, short, ems):
            continue  # no reference or code is shorter than what it stands for
        for n, line in enumerate(sheet.lines(cue)):
            if len(line) <= most and line.isascii() and (ems is None or len(line) <= ems):
                continue  # no letter of ASCII is wider than an em
            if (width := columns(line)) > most:
                told = f"{width} characters, at most {most} ({sheet.profile.name})"
            elif ems is not None and (width := thousandths(line)) > ems * 1000:
                size = f"type of {sheet.profile.font_percent} % of the picture's height"
                percent = max(101, round(width / ems / 10))  # 100 % would tell nothing
                told = f"{percent} % of the room it has ({sheet.profile.name}: {FONT}, {size})"
            else:
                continue
            yield warning(sheet.place_of_line(cue, n), "too-wide", told, "break the line, or use fewer words")


def _surely_fits(text: str, most: int, short: float, ems: float | None) -> bool:
    """Whether no row of this ASCII is too wide, as it is written: no letter of it is wider than an em."""
    for row in text.splitlines():
        length = len(row)
        if length > short and (length > most or "&" in row or ems is None or not surely_within(row, ems)):
            return False
    return True


def too_many_lines(sheet: Sheet) -> Iterator[Problem]:
    """Cues with more lines than the profile allows; blank lines, and those of markup alone, do not count."""
    most = sheet.profile.lines
    for cue in sheet.cues:
        rows = len(cue.text.splitlines())
        if (rows > most or "&" in cue.text) and (lines := len(sheet.lines(cue))) > most:
            yield warning(
                sheet.place(cue), "lines", f"{lines} lines, at most {most} ({sheet.profile.name})", "split the cue"
            )


def break_again(cues: Cues, sheet: Sheet) -> Cues:
    """Lines that are too wide as they are read, or end in what belongs to the next, broken again; the words stay. Not what two
    people say, nor what has markup within it."""
    of = sheet.profile
    mended = []
    for cue in cues:
        lines = sheet.lines(cue) if len(cue.text) <= _MOST_LETTERS else []
        wrong = any(not fits(line, of.line_length, of.line_ems) for line in lines) or any(
            clinging(a, b) for a, b in itertools.pairwise(lines)
        )
        again = None
        before, text, after = _inside_tags(cue.text) if wrong else ("", "", "")
        if wrong and plain(text) == text and not any(line.startswith(_SPEAKERS) for line in lines):
            again = _broken_again(_SPACES.sub(" ", text).strip(" "), of, sheet.file.kind)
        mended.append(cue if again is None else replace(cue, text=f"{before}{again}{after}"))
    return mended


def _inside_tags(text: str) -> tuple[str, str, str]:
    """The tags that the text begins with, what is between, and the tags that it ends with.

    >>> _inside_tags("<i>Soften <b>them</b>.</i>")
    ('<i>', 'Soften <b>them</b>.', '</i>')
    """
    begins = 0
    tags = list(MARKUP.finditer(text))
    for tag in tags:
        if tag.start() != begins:
            break
        begins = tag.end()
    ends = len(text)
    for tag in reversed(tags):
        if tag.end() != ends or tag.start() < begins:
            break
        ends = tag.start()
    return text[:begins], text[begins:ends], text[ends:]


def _broken_again(text: str, of: Profile, kind: str) -> str | None:
    """The text in lines that fit as they are read, each reference as it is written; None where every break would part what
    belongs together, or a reference is not one letter."""
    written = list(text) if kind == "srt" else _LETTER.findall(text)
    letters = [unescaped(one) if len(one) > 1 else one for one in written]
    if any(len(one) != 1 for one in letters):
        return None
    lines = fit("".join(letters), width=of.line_length, lines=of.lines, ems=of.line_ems)
    if lines is None or any(clinging(a, b) for a, b in itertools.pairwise(lines)):
        return None
    rows: list[str] = []
    at = 0
    for line in lines:
        at += bool(rows) and letters[at] == " "  # the space that the line end stands for
        rows.append("".join(written[at : at + len(line)]))
        at += len(line)
    return "\n".join(rows)


def flickering_gaps(sheet: Sheet) -> Iterator[Problem]:
    """Gaps that would flicker, and slivers."""
    return narrow_gaps(sheet, lambda cue: least_of(cue, sheet))


def close_slivers(cues: Cues, sheet: Sheet) -> Cues:
    """Gaps that would flicker, and slivers, closed as far as the cues can still be read."""
    return closed_gaps(cues, sheet, lambda cue: least_of(cue, sheet))


LIMITS: tuple[CaptionLimit, ...] = (
    CaptionLimit(keys=(Key("shortest_ms"),), check=too_short),
    CaptionLimit(keys=(Key("longest_ms"),), check=too_long),
    CaptionLimit(
        keys=(Key("characters_a_second", whole=False), Key("words_a_minute", whole=False), Key("ms_a_word")),
        check=too_fast,
        least_ms=_reading_time,
        mend_times=let_stand,
    ),
    CaptionLimit(
        keys=(
            Key("line_length"),
            Key("safe_percent", whole=False, percent=True),
            Key("font_percent", whole=False, percent=True),
        ),
        check=too_wide,
        mend_text=break_again,
    ),
    CaptionLimit(keys=(Key("lines"),), check=too_many_lines),
    CaptionLimit(
        keys=(Key("gap_frames"), Key("gap_ms"), Key("sliver_ms")), check=flickering_gaps, mend_times=close_slivers
    ),
)
"""In the order in which they are proofed and repaired."""
