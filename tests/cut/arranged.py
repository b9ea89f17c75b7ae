"""The example meal's cut put together in other orders: the talk of each part, and from when to when each step is on screen."""

from __future__ import annotations

from pathlib import Path

from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.recipe.reader import read_source

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
SUPPER = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
LINES = read_transcript((EXAMPLES / "harbour-supper-cut.srt").read_bytes(), "cut.srt").lines
# From when to when of the example's cut each dish is got ready and cooked, in seconds, and which steps that shows.
PARTS = {
    "hello": (0, 9, ()),
    "bisque prep": (9, 42, ("dice-celeriac", "slice-fennel", "chop-chives")),
    "hake prep": (42, 64, ("dry-hake", "chop-parsley")),
    "bisque": (64, 101, ("soften-fennel", "simmer")),
    "bisque after": (101, 175, ("blend", "finish", "plate-bisque")),
    "hake": (175, 212, ("sear-hake", "turn-hake")),
    "hake after": (212, 248, ("brown-butter", "plate-hake")),
    "plate": (248, 260, ()),
}
STARTS = {
    "dice-celeriac": 9, "slice-fennel": 24, "chop-chives": 33, "dry-hake": 42, "chop-parsley": 54, "soften-fennel": 64, "simmer": 82,
    "blend": 101, "finish": 118, "plate-bisque": 139, "sear-hake": 175, "turn-hake": 201, "brown-butter": 212, "plate-hake": 229,
}  # fmt: skip
WAYS = {
    "dish after dish": ("hello", "bisque prep", "bisque", "bisque after", "hake prep", "hake", "hake after", "plate"),
    "reversed": ("hello", "hake prep", "hake", "hake after", "bisque prep", "bisque", "bisque after", "plate"),
    "one inside the other": (
        "hello",
        "bisque prep",
        "bisque",
        "hake prep",
        "hake",
        "hake after",
        "bisque after",
        "plate",
    ),
    "interleaved": ("hello", "hake prep", "bisque prep", "bisque", "hake", "bisque after", "hake after", "plate"),
    "prep late": ("hello", "bisque prep", "bisque", "bisque after", "hake", "hake prep", "hake after", "plate"),
}


def cut_as(parts: tuple[str, ...]) -> tuple[Transcript, dict[str, tuple[int, int]]]:
    """The talk of the parts one after another, and from when to when each step is on screen, in seconds."""
    lines: list[SpokenLine] = []
    seen: dict[str, tuple[int, int]] = {}
    now = 0
    for name in parts:
        first, last, steps = PARTS[name]
        for line in LINES:
            if first * 1000 <= line.start_ms < last * 1000:
                moved = (now - first) * 1000
                lines.append(SpokenLine(line.start_ms + moved, line.end_ms + moved, line.text, len(lines) + 1))
        starts = [STARTS[s] + now - first for s in steps]
        ends = [*starts[1:], now + last - first][: len(steps)]
        seen |= {s: (a, b) for s, a, b in zip(steps, starts, ends, strict=True)}
        now += last - first
    return Transcript(file="cut.srt", lines=tuple(lines), problems=()), seen


def as_subrip(transcript: Transcript) -> str:
    """The transcript as a file."""
    rows = [
        f"{n}\n{_stamp(one.start_ms)} --> {_stamp(one.end_ms)}\n{one.text}\n"
        for n, one in enumerate(transcript.lines, 1)
    ]
    return "\n".join(rows)


def _stamp(ms: int) -> str:
    return f"{ms // 3_600_000:02}:{ms // 60_000 % 60:02}:{ms // 1000 % 60:02},{ms % 1000:03}"
