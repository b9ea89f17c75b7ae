"""The overlay burnt into a picture by ffmpeg: what it is asked, its progress, and its soft subtitles."""

from __future__ import annotations

import subprocess
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from scriptkit.measure.timecode import FrameRate
from scriptkit.problems import CannotDo, Place, error
from scriptkit.process_limits import for_a_helper

_SLATE = "0x24323a"
SLATE_INK = "a8b8c0"
"""Of what the plain slate says will be seen there."""
CONTAINERS = {".mp4": ("mp4", "mov_text"), ".mkv": ("matroska", "srt")}
"""What a file of this ending holds, and its soft subtitles."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Picture:
    """Under the overlay: a video, or a plain slate where ``path`` is empty; in pixels."""

    path: str
    length_ms: int
    rate: FrameRate
    width: int = 1920
    height: int = 1080
    ends: bool = True
    """Whether ``length_ms`` is the video's own, or the slate's: after it nothing is shown."""

    @property
    def shape(self) -> float:
        """Width ÷ height."""
        return self.width / self.height


def command(ffmpeg: str, picture: Picture, drawn: str, soft: str, target: Path) -> list[str]:
    """ffmpeg's command line. ``drawn``: the ASS file that is burnt in, with its fonts in the folder ``fonts``; ``soft``: the SubRip
    file with all cues, muxed in."""
    container, codec = CONTAINERS[target.suffix.casefold()]
    even = ["scale=trunc(iw/2)*2:trunc(ih/2)*2"] if picture.path else []
    filters = [*even, f"subtitles=filename={drawn}:fontsdir=fonts"]
    rate = f"{picture.rate.exact.numerator}/{picture.rate.exact.denominator}"
    slate = f"color=c={_SLATE}:s={picture.width}x{picture.height}:r={rate}:d={picture.length_ms / 1000:.3f}"
    under = (
        ["-protocol_whitelist", "file", "-i", f"file:{picture.path}"] if picture.path else ["-f", "lavfi", "-i", slate]
    )
    return [
        ffmpeg, "-hide_banner", "-loglevel", "error", "-nostdin", "-y", "-progress", "pipe:1", *under,
        "-i", soft, "-map", "0:v:0", "-map", "0:a?", "-map", "1:s", "-vf", ",".join(filters),
        *(["-t", f"{picture.length_ms / 1000:.3f}"] if picture.ends else []),  # subtitles make no film longer
        "-c:v", "libx264", "-preset", "ultrafast", "-crf", "23", "-pix_fmt", "yuv420p", "-c:a", "copy", "-c:s", codec,
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
        raise _failed((errors.strip().splitlines() or ["it gave no reason"])[-1])


def _failed(why: str) -> CannotDo:
    hint = "this ffmpeg lacks a part" if "No such filter" in why or "Unknown encoder" in why else "check the video"
    return CannotDo([error(Place("--video"), "ffmpeg", f"ffmpeg could not make the preview: {why}", hint)])
