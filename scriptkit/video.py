"""Still pictures of a video by ffmpeg: found, asked for what it holds, and read by seeking, never decoded whole."""

from __future__ import annotations

import re
import shutil
import subprocess
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from scriptkit.problems import CannotDo, Place, error
from scriptkit.process_limits import for_a_helper

WIDTH = 320
"""Pixels of a picture: three fit a phone's width, and a sheet of fifty stays under 2 MB."""
_QUALITY = "6"
"""Of 2 (best) to 31, as ffmpeg counts for JPEG."""
AT_ONCE = 2
_LONGEST_S = 60
_DURATION = re.compile(r"Duration: (\d+):(\d\d):(\d\d(?:\.\d+)?)")
_STREAM = re.compile(r"Stream #\S+.*?: (Video|Audio|Subtitle)", re.IGNORECASE)
_PICTURE = re.compile(r"Stream #\S+.*?: Video: .*?\b(\d{2,5})x(\d{2,5})\b(?:(?!Stream #)[\s\S])*")
_TURNED = re.compile(r"rotation of (-?\d+(?:\.\d+)?) degrees")
_STILL = re.compile(r"\(attached pic\)", re.IGNORECASE)


@dataclass(frozen=True, slots=True, kw_only=True)
class Video:
    """A file with a picture. ``length_ms`` is None where the file does not tell; ``width`` and ``height`` of the picture as it is
    shown, in pixels, 0 where the file does not tell."""

    path: str
    ffmpeg: str
    length_ms: int | None
    width: int = 0
    height: int = 0


def ffmpeg_path() -> str:
    """The ffmpeg on PATH, else that of imageio-ffmpeg. Raises CannotDo where there is neither."""
    if found := shutil.which("ffmpeg"):
        return found
    try:
        import imageio_ffmpeg

        return str(imageio_ffmpeg.get_ffmpeg_exe())
    except (ImportError, RuntimeError):
        raise CannotDo(
            [
                error(
                    Place("--video"), "no-ffmpeg", "there is no ffmpeg to read the video with",
                    "install ffmpeg, or `pip install imageio-ffmpeg`",
                )
            ]
        ) from None  # fmt: skip


def open_video(path: str) -> Video:
    """Raises CannotDo where there is no ffmpeg, where the file cannot be read, and where it has no picture."""
    if not Path(path).is_file():
        raise CannotDo(
            [
                error(
                    Place(path),
                    "cannot-read",
                    "the video cannot be read: there is no such file",
                    "check the name and the folder",
                )
            ]
        )
    ffmpeg = ffmpeg_path()
    told = description_of(path, ffmpeg)
    streams = [line for line in told.splitlines() if _STREAM.search(line)]
    if not streams:
        last = told.strip().splitlines()[-1:] or ["nothing is in it"]
        message = f"ffmpeg cannot read this as a video: {last[0].rpartition(': ')[2]}"
        raise CannotDo([error(Place(path), "no-video", message, "export the cut as MP4")])
    if not shows_pictures(told):
        raise CannotDo([error(Place(path), "no-picture", "the file has sound and no picture", "give the edited video")])
    length = length_ms_in(told)
    width, height = _size(told)
    return Video(path=path, ffmpeg=ffmpeg, length_ms=length, width=width, height=height)


def description_of(path: str, ffmpeg: str) -> str:
    """What ffmpeg says of a file: its streams, their length and what is written into them. Raises CannotDo where ffmpeg cannot be
    run."""
    return _run([ffmpeg, "-hide_banner", "-nostdin", *file_input(path)]).stderr.decode("utf-8", "replace")


def length_ms_in(told: str) -> int | None:
    """The length in milliseconds, of :func:`description_of`; None where the file does not tell.

    >>> length_ms_in("  Duration: 00:01:02.50, start: 0.000000"), length_ms_in("  Duration: N/A")
    (62500, None)
    """
    found = _DURATION.search(told)
    return round((int(found[1]) * 3600 + int(found[2]) * 60 + float(found[3])) * 1000) if found else None


def shows_pictures(told: str) -> bool:
    """Whether a stream of :func:`description_of` is a moving picture."""
    return any("Video:" in line and not _STILL.search(line) for line in told.splitlines() if _STREAM.search(line))


def _size(told: str) -> tuple[int, int]:
    """Of the first picture that moves, turned as its file says."""
    for stream in _PICTURE.finditer(told):
        if _STILL.search(stream[0].partition("\n")[0]):
            continue
        width, height = int(stream[1]), int(stream[2])
        turned = _TURNED.search(stream[0])
        return (height, width) if turned and round(abs(float(turned[1]))) % 180 == 90 else (width, height)
    return 0, 0


def file_input(path: str) -> list[str]:
    """``file:``, so that no name is taken for an option or an address, and nothing but files is opened."""
    return ["-protocol_whitelist", "file", "-i", f"file:{path}"]


def pictures(video: Video, moments_ms: Sequence[int], *, width: int = WIDTH) -> list[bytes | None]:
    """A JPEG for each moment; None where the video has no picture there. Raises CannotDo where ffmpeg cannot be run."""
    with ThreadPoolExecutor(AT_ONCE) as pool:
        return list(pool.map(lambda ms: picture(video, ms, width=width), moments_ms))


def picture(video: Video, ms: int, *, width: int = WIDTH) -> bytes | None:
    """The first picture from the moment on, as JPEG: the file is entered at the key picture before it. None where there is
    none. Raises CannotDo where ffmpeg cannot be run."""
    if ms < 0 or (video.length_ms is not None and ms >= video.length_ms):
        return None
    done = _run(
        [
            video.ffmpeg, "-hide_banner", "-loglevel", "error", "-nostdin", "-ss", f"{ms / 1000:.3f}", *file_input(video.path),
            "-map", "0:V:0", "-frames:v", "1", "-vf", f"scale={width}:-2", "-q:v", _QUALITY,
            "-f", "image2pipe", "-c:v", "mjpeg", "-",
        ]
    )  # fmt: skip
    return done.stdout if done.returncode == 0 and done.stdout.startswith(b"\xff\xd8") else None


def _run(command: Sequence[str]) -> subprocess.CompletedProcess[bytes]:
    try:
        return subprocess.run(
            command, capture_output=True, check=False, timeout=_LONGEST_S, preexec_fn=for_a_helper()
        )  # one thread
    except subprocess.TimeoutExpired:
        return subprocess.CompletedProcess(command, 1, b"", b"it took too long")
    except OSError as wrong:
        message = f"ffmpeg cannot be run: {wrong.strerror or wrong}"
        raise CannotDo([error(Place("--video"), "no-ffmpeg", message, "check the ffmpeg on PATH")]) from None
