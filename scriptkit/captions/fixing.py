"""Repair what is safe in a caption file: order, empties, overlaps, repeats, line breaks, slivers, frames, characters; never the
words."""

from __future__ import annotations

import html
import io
import itertools
import math
import re
from collections import defaultdict
from collections.abc import Callable, Iterable
from dataclasses import replace

from scriptkit.captions.breaking import clinging
from scriptkit.captions.profiles import Profile
from scriptkit.captions.proof import Sheet, flickers, least_gap_ms, readable_ms, repeated
from scriptkit.captions.text import fit, fits
from scriptkit.captions.vtt_rules import escaped
from scriptkit.measure.timecode import FrameRate, frames_to_ms, ms_to_frames
from scriptkit.timed_text.markup import MARKUP, plain_lines
from scriptkit.timed_text.markup import without_markup as plain
from scriptkit.timed_text.reading import CaptionFile, ReadCue
from scriptkit.timed_text.webvtt import clock

Cues = list[ReadCue]

_TAG = re.compile(r"<(/?)([a-zA-Z]\w*)")
_MARKUP_OR_LINE_END = re.compile(rf"{MARKUP.pattern}|\n")
_LETTER = re.compile(r"&#?\w+;|.", re.DOTALL)
"""Of a WebVTT cue: a reference is one."""
_SPEAKERS = ("-", "–", "—", ">>")
"""What a line begins with where each speaker has one of their own."""
_MOST_LETTERS = 10_000
"""More cannot fit the lines of any cue, however it is written."""
_ROUNDS = 6
"""One repair can uncover another: a line repeated three times is found twice."""


def fixed(sheet: Sheet) -> CaptionFile:
    """The file with every safe repair made; what is left is what proofing it again finds."""
    cues = list(sheet.cues)
    for _ in range(_ROUNDS):
        before = cues
        for repair in REPAIRS:
            cues = repair(cues, sheet)
        if cues == before:
            break
    return replace(sheet.file, cues=tuple(cues), repairs=())


def clean_text(cues: Cues, _: Sheet) -> Cues:
    """Without control, zero-width and broken characters, and without blank lines inside a cue. A vertical tab or a form feed
    parts words: it becomes a line end."""
    cleaned = []
    for cue in cues:
        text = re.sub(r"[\x00-\x08\x0e-\x1f\u200b\u2060\ufeff\ufffd]", "", cue.text.replace("-->", "→"))
        lines = [line.rstrip() for line in text.splitlines() if line.strip()]
        cleaned.append(replace(cue, text="\n".join(lines)))
    return cleaned


def escape_again(cues: Cues, sheet: Sheet) -> Cues:
    """What WebVTT would take for markup written as text."""
    if sheet.file.kind != "vtt":
        return cues
    return [replace(c, text=escaped(c.text)) if "&" in c.text or "<" in c.text else c for c in cues]


def drop_empty(cues: Cues, _: Sheet) -> Cues:
    """Without cues that have no text, or lie before the beginning: neither is ever seen. Reversed times stay as they are, for
    what they should be is a guess."""
    seen = [c for c in cues if plain(c.text).strip() and (c.end_ms > 0 or c.start_ms >= 0)]
    return [replace(c, start_ms=max(c.start_ms, 0), end_ms=max(c.end_ms, 0)) for c in seen]


def sort(cues: Cues, _: Sheet) -> Cues:
    """By their starts; of those that begin together, the one that ends first comes first."""
    return sorted(cues, key=lambda c: (c.start_ms, c.end_ms))


def join_repeats(cues: Cues, sheet: Sheet) -> Cues:
    """Each line of rolling captions once: a cue loses the lines that the one before it has just shown, as a viewer reads them."""
    kept: Cues = []
    last: list[str] = []
    for cue in cues:
        lines = sheet.lines(cue)
        close = bool(kept) and cue.start_ms - kept[-1].end_ms <= 100
        count = repeated(last, lines) if close else 0
        last = lines
        if count and count == len(lines):
            kept[-1] = replace(kept[-1], end_ms=max(kept[-1].end_ms, cue.end_ms))
        else:
            kept.append(replace(cue, text=_without_first(count, cue.text, sheet.file.kind)) if count else cue)
    return kept


def _without_first(count: int, text: str, kind: str) -> str:
    """The text without so many of its lines that are seen; where they do not end with a line of the file, nothing goes. A tag
    that is open where they end stays, and so does a code in braces, which is of the whole cue."""
    seen = begins = 0
    stays: list[str] = []
    opened: defaultdict[str, list[int]] = defaultdict(list)  # where among those the tags of a name stand
    for found in _MARKUP_OR_LINE_END.finditer(text):
        written = found.group()
        if written == "\n":
            seen += len(plain_lines(text[begins : found.start()], kind))
            begins = found.end()
            if seen >= count:
                break
        elif written.startswith("{"):
            stays.append(written)
        elif tag := _TAG.match(written):
            name = tag.group(2).casefold()
            if not tag.group(1) and name != "br" and not written.endswith("/>"):
                opened[name].append(len(stays))
                stays.append(written)
            elif tag.group(1) and opened[name]:
                stays[opened[name].pop()] = ""
    return "".join(stays) + text[begins:] if seen == count else text


def end_earlier(cues: Cues, sheet: Sheet) -> Cues:
    """A cue that overlaps the next ends where that begins, if it can still be read; else both stay as they are."""
    mended = list(cues)
    for n, (cue, after) in enumerate(itertools.pairwise(cues)):
        least = max(readable_ms(cue, sheet.profile, sheet.file.kind), sheet.profile.shortest_ms or 1)
        if cue.end_ms > after.start_ms and after.start_ms - cue.start_ms >= least:
            mended[n] = replace(mended[n], end_ms=after.start_ms)
    return mended


def close_slivers(cues: Cues, sheet: Sheet) -> Cues:
    """A gap that would flicker is closed: the earlier cue stands until the next."""
    least, longest = least_gap_ms(sheet), sheet.profile.longest_ms or math.inf
    mended = list(cues)
    for n, (cue, after) in enumerate(itertools.pairwise(cues)):
        if flickers(cue, after, least) and after.start_ms - cue.start_ms <= longest:
            mended[n] = replace(cue, end_ms=after.start_ms)
    return mended


def break_again(cues: Cues, sheet: Sheet) -> Cues:
    """Lines that are too wide as they are read, or end in what belongs to the next, broken anew; the words stay. Not what two
    people say, nor what has markup."""
    of = sheet.profile
    mended = []
    for cue in cues:
        lines = sheet.lines(cue) if len(cue.text) <= _MOST_LETTERS else []
        wrong = any(not fits(line, of.line_length, of.line_ems) for line in lines) or any(
            clinging(a, b) for a, b in itertools.pairwise(lines)
        )
        again = None
        if wrong and plain(cue.text) == cue.text and not any(line.startswith(_SPEAKERS) for line in lines):
            again = _broken_anew(cue.text.replace("\n", " "), of, sheet.file.kind)
        mended.append(cue if again is None else replace(cue, text=again))
    return mended


def _broken_anew(text: str, of: Profile, kind: str) -> str | None:
    """The text in lines that fit as they are read, each reference as it is written; None where every break would part what
    belongs together, or a reference is not one letter."""
    written = _LETTER.findall(text) if kind == "vtt" else list(text)
    letters = [html.unescape(one) if len(one) > 1 else one for one in written]
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


def let_stand(cues: Cues, sheet: Sheet) -> Cues:
    """A cue that is too short to be read stands longer, as far as the time after it is free."""
    of = sheet.profile
    frame_ms = 1000 / float(sheet.rate.exact) if sheet.rate else 0.0
    mended = list(cues)
    for n, cue in enumerate(cues):
        end = cue.start_ms + max(readable_ms(cue, of, sheet.file.kind), of.shortest_ms or 0) + math.ceil(frame_ms)
        end = min(end, cue.start_ms + of.longest_ms) if of.longest_ms else end
        free_to = cues[n + 1].start_ms if n + 1 < len(cues) else end
        if cue.start_ms < cue.end_ms < end <= free_to:
            mended[n] = replace(cue, end_ms=end)
    return mended


def snap(cues: Cues, sheet: Sheet) -> Cues:
    """Times on the nearest frame, and no cue shorter than one."""
    rate = sheet.rate
    if rate is None:
        return cues
    return [_snapped(cue, rate) if cue.start_ms < cue.end_ms else cue for cue in cues]


def _snapped(cue: ReadCue, rate: FrameRate) -> ReadCue:
    first = ms_to_frames(cue.start_ms, rate)
    last = max(ms_to_frames(cue.end_ms, rate), first + 1)
    return replace(cue, start_ms=frames_to_ms(first, rate), end_ms=frames_to_ms(last, rate))


REPAIRS: tuple[Callable[[Cues, Sheet], Cues], ...] = (
    clean_text, escape_again, drop_empty, sort, join_repeats, drop_empty, break_again, end_earlier, let_stand, close_slivers, snap,
)  # fmt: skip
"""In this order: an empty cue cannot overlap, and frames come last."""


def write_captions(file: CaptionFile, cues: Iterable[ReadCue] | None = None) -> str:
    """The file's own kind again, numbered from 1; SubRip's line ends as they were. ``cues``: others in place of its own, each
    let go as it is written."""
    out = io.StringIO(newline="")
    if file.kind == "vtt":
        out.write("\n\n".join([f"WEBVTT {file.title}".rstrip(), *file.head]) + "\n")
    for number, cue in enumerate(file.cues if cues is None else cues, 1):
        out.write(_vtt_block(cue) if file.kind == "vtt" else _srt_block(number, cue))
    if file.kind == "vtt" and file.tail:
        out.write(f"\n{file.tail}\n")
    text = out.getvalue() if file.kind == "vtt" else out.getvalue().removesuffix("\n")
    return text.replace("\n", "\r\n") if file.crlf and file.kind != "vtt" else text


def _vtt_block(cue: ReadCue) -> str:
    times = f"{clock(cue.start_ms)} --> {clock(cue.end_ms)} {cue.settings}".rstrip()
    note = f"\n{cue.note}\n" if cue.note else ""
    name = f"{cue.name}\n" if cue.name else ""
    return f"{note}\n{name}{times}\n{cue.text}\n"


def _srt_block(number: int, cue: ReadCue) -> str:
    start, end = (clock(ms).replace(".", ",") for ms in (cue.start_ms, cue.end_ms))
    text = cue.text.lstrip("\n")  # to some players an empty line under the times ends the cue
    return f"{number}\n{start} --> {end}\n{text}\n\n"
