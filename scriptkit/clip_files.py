"""The camera's films in a folder, as ffmpeg describes them: when each begins, by which clock, and how long it is."""

from __future__ import annotations

import math
import os
import re
from collections.abc import Iterator
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from scriptkit.problems import CannotDo, Place, Problem, error, printable, warning
from scriptkit.shoot.log.camera_clips import DAY_MS, CameraClip
from scriptkit.video import AT_ONCE, description_of, ffmpeg_path, length_ms_in, shows_pictures

FILM_ENDINGS = frozenset(
    ".mp4 .mov .mxf .mts .m2ts .m4v .avi .mkv .webm .mpg .mpeg .wmv .3gp .r3d .braw .insv".split()  # noqa: SIM905
)
"""What cameras call their films. They put other files beside them, which are none of ours."""
MOST_CLIPS = 5_000

_TIMECODE = re.compile(r"^\s*timecode\s*: *(\d\d):(\d\d):(\d\d)([:;.])(\d\d)", re.MULTILINE)
_FPS = re.compile(r" (\d+(?:\.\d+)?) fps\b")
_CREATED = re.compile(r"^\s*creation_time\s*: *(\d{4}-\d\d-\d\d)[T ](\d\d):(\d\d):(\d\d(?:\.\d+)?)", re.MULTILINE)


def read_clips(folder: str) -> tuple[tuple[CameraClip, ...], list[Problem]]:
    """The films of the folder and of those in it, by their paths; with a warning for each that cannot be read. Raises CannotDo where
    there is no such folder, no film in it, or no ffmpeg."""
    place = Place(folder)
    if not Path(folder).is_dir():
        what = "it is a file" if Path(folder).exists() else "there is no such folder"
        raise CannotDo([error(place, "no-folder", f"the clips cannot be read: {what}", "name the folder they lie in")])
    files = sorted(_films(folder))
    if not files:
        message = "no film of a camera lies in this folder or in one below it"
        raise CannotDo(
            [error(place, "no-clips", message, f"copy the clips there ({', '.join(sorted(FILM_ENDINGS)[:6])} …)")]
        )
    if len(files) > MOST_CLIPS:
        message = f"{len(files):,} films lie in this folder, and at most {MOST_CLIPS:,} are looked at"
        raise CannotDo([error(place, "too-many-clips", message, "name the folder of one shoot")])
    ffmpeg = ffmpeg_path()
    with ThreadPoolExecutor(AT_ONCE) as pool:
        told = pool.map(lambda file: description_of(str(Path(folder, file)), ffmpeg), files)
        found = [(file, clip_in(file, text)) for file, text in zip(files, told, strict=True)]
    problems = [
        warning(
            Place(f"{folder.rstrip('/')}/{printable(file)}"), "no-video", "this is no film that ffmpeg can read",
            "copy it from the card again",
        )
        for file, clip in found
        if clip is None
    ]  # fmt: skip
    clips = tuple(clip for _, clip in found if clip is not None)
    if not clips:
        raise CannotDo(
            [
                error(
                    place, "no-clips", "none of the films in this folder can be read", "copy them from the card again"
                ),
                *problems,
            ]
        )
    return clips, problems


def _films(folder: str) -> Iterator[str]:
    """The paths below the folder of what is called like a film; nothing that is hidden, no folder that is only linked to."""
    for at, folders, names in os.walk(folder):
        folders[:] = [name for name in folders if not name.startswith(".")]
        for name in names:
            if not name.startswith(".") and Path(name).suffix.casefold() in FILM_ENDINGS:
                yield Path(at, name).relative_to(folder).as_posix()


def clip_in(file: str, told: str) -> CameraClip | None:
    """The clip by what ffmpeg says of its file; None where it is no film.

    Time code is read as the time of day that it shows, also where drop-frame leaves labels out.
    """
    if not shows_pictures(told):
        return None
    code, made = _TIMECODE.search(told), _CREATED.search(told)
    timecode_ms = created_ms = None
    if code:
        frames_a_second = math.ceil(float(fps[1])) if (fps := _FPS.search(told)) else 30
        hours, minutes, seconds, frame = (int(code[n]) for n in (1, 2, 3, 5))
        timecode_ms = ((hours * 60 + minutes) * 60 + seconds) * 1000 + 1000 * frame // max(1, frames_a_second)
        timecode_ms = timecode_ms if timecode_ms < DAY_MS else None
    if made:
        created_ms = (int(made[2]) * 60 + int(made[3])) * 60_000 + round(float(made[4]) * 1000)
        created_ms = created_ms if created_ms < DAY_MS else None
    return CameraClip(
        file=file,
        length_ms=length_ms_in(told),
        timecode_ms=timecode_ms,
        created_ms=created_ms,
        date=made[1] if made else "",
    )
