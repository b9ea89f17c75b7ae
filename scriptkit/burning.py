"""The overlay burnt into a picture by ffmpeg: what it is asked, its progress, and its soft subtitles."""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

from scriptkit.measure.timecode import FrameRate
from scriptkit.problems import CannotDo, Place, error
from scriptkit.process_limits import for_a_helper
from scriptkit.timed_text.cue import Cue
from scriptkit.timed_text.places import LOWER, MIDDLE, RAISED, UPPER, place_of

HEIGHT = 540
"""Lines of the preview: enough to judge by, quick to make."""
_SLATE = "0x24323a"
_BOX = "Fontname=DejaVu Sans,Fontsize=15,PrimaryColour=&H00FFFFFF,OutlineColour=&H26101010,BorderStyle=3,Outline=3,Shadow=0"
# Of a picture that the renderer counts as 288 lines. Alignment: 2 is the foot, 6 the top, 10 the middle of the picture,
# all centred. Margins: timed_text/places.py.
_STYLES = {
    LOWER: f"{_BOX},Alignment=2,MarginV=15",
    RAISED: f"{_BOX},Alignment=2,MarginV=72",
    MIDDLE: f"{_BOX},Alignment=2,MarginV=55",
    UPPER: f"{_BOX},Alignment=6,MarginV=23",
    "slate": "Fontname=DejaVu Sans,Fontsize=13,PrimaryColour=&H00A8B8C0,BorderStyle=1,Outline=0,Shadow=0,Alignment=10",
}
SLATE = "slate"
"""Where the plain slate says what will be seen there."""
CONTAINERS = {".mp4": ("mp4", "mov_text"), ".mkv": ("matroska", "srt")}
"""What a file of this ending holds, and its soft subtitles."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Under the overlay: a video, or a plain slate where ``path`` is empty. ``shape`` is width ÷ height of the slate."""

    path: str
    length_ms: int
    rate: FrameRate
    shape: float = 16 / 9


def by_place(cues: Sequence[Cue]) -> dict[str, list[Cue]]:
    """The cues of each place on the picture; they overlap in none."""
    places: dict[str, list[Cue]] = {}
    for cue in cues:
        places.setdefault(place_of(cue), []).append(cue)
    return places


def command(ffmpeg: str, picture: Picture, drawn: Mapping[str, str], soft: str, target: Path) -> list[str]:
    """ffmpeg's command line. ``drawn``: SubRip files by place; ``soft``: the one with all cues, muxed in."""
    container, codec = CONTAINERS[target.suffix.casefold()]
    filters = [] if not picture.path else [f"scale=-2:{HEIGHT}"]
    filters += [f"subtitles=filename={name}:force_style='{_STYLES[place]}'" for place, name in drawn.items()]
    width = round(HEIGHT * picture.shape / 2) * 2
    rate = f"{picture.rate.exact.numerator}/{picture.rate.exact.denominator}"
    slate = f"color=c={_SLATE}:s={width}x{HEIGHT}:r={rate}:d={picture.length_ms / 1000:.3f}"
    under = (
        ["-protocol_whitelist", "file", "-i", f"file:{picture.path}"] if picture.path else ["-f", "lavfi", "-i", slate]
    )
    return [
        ffmpeg, "-hide_banner", "-loglevel", "error", "-nostdin", "-y", "-progress", "pipe:1", *under,
        "-i", soft, "-map", "0:v:0", "-map", "0:a?", "-map", "1:s", "-vf", ",".join(filters) or "null",
        "-c:v", "libx264", "-preset", "ultrafast", "-crf", "27", "-pix_fmt", "yuv420p", "-c:a", "copy", "-c:s", codec,
        "-metadata:s:s:0", "language=eng", "-f", container, str(target),
    ]  # fmt: skip


def burn(ordered: Sequence[str], folder: str, told: Callable[[int], None]) -> None:
    """Run ffmpeg in the folder of its files; ``told`` hears the milliseconds that are done. Raises CannotDo with what ffmpeg
    says where it fails."""
    try:
        process = subprocess.Popen(
            ordered,
            cwd=folder,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            encoding="utf-8",
            errors="replace",
            preexec_fn=for_a_helper(),  # noqa: PLW1509  # one thread
        )
    except OSError as wrong:
        raise _failed(wrong.strerror or str(wrong)) from None
    with process:
        try:
            assert process.stdout is not None
            for line in process.stdout:
                name, _, value = line.strip().partition("=")
                if name == "out_time_us" and value.lstrip("-").isdigit():
                    told(int(value) // 1000)
            errors = process.communicate()[1]
        except BaseException:
            process.kill()
            process.wait()
            raise
    if process.returncode:
        raise _failed((errors.strip().splitlines() or ["it stopped without a word"])[-1])


def _failed(why: str) -> CannotDo:
    hint = "this ffmpeg lacks a part" if "No such filter" in why or "Unknown encoder" in why else "check the video"
    return CannotDo([error(Place("--video"), "ffmpeg", f"ffmpeg could not make the preview: {why}", hint)])
