"""Cues as WebVTT (W3C): settings by track, chapters, and what its text must escape."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.timed_text.cleaning import JOINERS
from scriptkit.timed_text.cue import Cue, must_be_in_order
from scriptkit.timed_text.direction import ISOLATE_END, ISOLATES, LEFT_TO_RIGHT, closes_its_isolates
from scriptkit.timed_text.places import WIDE, place_of, top_percent


def settings_of(cue: Cue, shape: float = WIDE) -> str:
    """Where the cue stands, by its track and its lines, on a picture of this width ÷ height."""
    return settings_at(place_of(cue), len(cue.lines), shape)


def settings_at(place: str, lines: int, shape: float = WIDE) -> str:
    """WebVTT cue settings for so many lines: percent of the picture, centred. No `size:`, for browsers begin a line that is wider
    than its box at the box's left edge and cut it off at the right."""
    return f"line:{top_percent(place, lines, shape)}% position:50% align:center"


def write_vtt(cues: Sequence[Cue], title: str, shape: float = WIDE) -> str:
    """WebVTT text for a picture of this width ÷ height; cues are named by their numbers, for some readers take any other name for
    text. Cues must be in order, not overlap and not be empty: ValueError otherwise."""
    must_be_in_order(cues)
    blocks = ["WEBVTT", f"NOTE {escape(title)}"]
    for number, cue in enumerate(cues, 1):
        lines = "\n".join(escape(line) for line in cue.lines)
        blocks.append(f"{number}\n{clock(cue.start_ms)} --> {clock(cue.end_ms)} {settings_of(cue, shape)}\n{lines}")
    return "\n\n".join(blocks) + "\n"


def write_chapters(chapters: Sequence[tuple[int, str]], end_ms: int) -> str:
    """Chapters as WebVTT: each from its start, in milliseconds, to the next one's; the last to the end."""
    ends = [start for start, _ in chapters[1:]] + [end_ms]
    blocks = ["WEBVTT"]
    for number, ((start, name), end) in enumerate(zip(chapters, ends, strict=True), 1):
        blocks.append(f"chapter-{number}\n{clock(start)} --> {clock(end)}\n{escape(name)}")
    return "\n\n".join(blocks) + "\n"


def clock(ms: int) -> str:
    """``HH:MM:SS.mmm``; hours as many figures as they need, two at least."""
    seconds, rest = divmod(ms, 1000)
    minutes, second = divmod(seconds, 60)
    hours, minute = divmod(minutes, 60)
    return f"{hours:02d}:{minute:02d}:{second:02d}.{rest:03d}"


def signed_clock(ms: int, kind: str) -> str:
    """A time as this kind of file writes it, with a comma in SubRip, in hundredths of a second in ASS; one below zero with its sign, as it
    was read: it is told, and not ours to guess.

    >>> signed_clock(3_723_456, "srt"), signed_clock(3_723_456, "ass")
    ('01:02:03,456', '1:02:03.46')
    """
    if kind == "ass":
        seconds, rest = divmod(max(0, (ms + 5) // 10), 100)
        return f"{seconds // 3600}:{seconds // 60 % 60:02d}:{seconds % 60:02d}.{rest:02d}"
    written = f"-{clock(-ms)}" if ms < 0 else clock(ms)
    return written.replace(".", ",") if kind == "srt" else written


def escape(text: str) -> str:
    """Text that no reader takes for markup, a time line or the end of the cue."""
    kept = JOINERS | ISOLATES | {ISOLATE_END, LEFT_TO_RIGHT} if closes_its_isolates(text) else JOINERS
    # nothing that turns the direction of what follows
    shown = "".join(c if c.isprintable() or c in kept else " " for c in text.replace("-->", "→"))
    one_line = " ".join(shown.split())
    return one_line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
