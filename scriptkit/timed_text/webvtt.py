"""Cues as WebVTT (W3C): settings by track, chapters, and what its text must escape."""

from __future__ import annotations

from collections.abc import Sequence

from scriptkit.timed_text.cue import Cue, must_be_in_order

# Where a track stands: over the lower third, safety in the upper, cards in the middle (title safe: SMPTE ST 2046-1, 90 %).
SETTINGS = {
    "addition": "line:84% position:50% size:90% align:center",
    "time": "line:84% position:50% size:90% align:center",
    "safety": "line:8% position:50% size:90% align:center",
    "macros": "line:70% position:50% size:90% align:center",
}


def write_vtt(cues: Sequence[Cue], title: str) -> str:
    """WebVTT text. Cues must be in order, not overlap and not be empty: ValueError otherwise."""
    must_be_in_order(cues)
    blocks = ["WEBVTT", f"NOTE {escape(title)}"]
    for number, cue in enumerate(cues, 1):
        settings = SETTINGS.get(cue.track, "")
        lines = "\n".join(escape(line) for line in cue.lines)
        blocks.append(
            f"{cue.track}-{number}\n{clock(cue.start_ms)} --> {clock(cue.end_ms)} {settings}".rstrip() + f"\n{lines}"
        )
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


def escape(text: str) -> str:
    """Text that no reader takes for markup, a time line or the end of the cue."""
    shown = "".join(c if c.isprintable() else " " for c in text.replace("-->", "→"))  # nothing that turns the direction
    one_line = " ".join(shown.split())
    return one_line.replace("&", "&amp;").replace("<", "&lt;").replace(">", "&gt;")
