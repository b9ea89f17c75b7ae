"""Any sound file by ffmpeg, as the samples that the recogniser hears."""

from __future__ import annotations

import re
import subprocess
from dataclasses import dataclass
from pathlib import Path

from scriptkit.problems import CannotDo, Place, error
from scriptkit.process_limits import for_a_helper
from scriptkit.video import ffmpeg_path, file_input

RATE = 16_000
"""Samples a second, which the acoustic model was trained on."""
_AT_MOST_S = 600
_HZ = re.compile(r"Audio: .*?(\d+) Hz")


@dataclass(frozen=True, slots=True)
class Recording:
    """``pcm``: 16-bit samples, one channel, RATE a second; ``hertz``: samples a second of the file itself, 0 where it does not tell;
    ``whole``: whether that is all of it."""

    file: str
    pcm: bytes
    hertz: int
    whole: bool

    @property
    def length_ms(self) -> int:
        """Of what was read."""
        return len(self.pcm) * 500 // RATE


def read_sound(path: str, at_most_ms: int) -> Recording:
    """The first ``at_most_ms`` of the file. Raises CannotDo where there is no such file, no ffmpeg, or no sound in it."""
    if not Path(path).is_file():
        hint = "check the name and the folder"
        raise CannotDo([error(Place(path), "cannot-read", "the voice cannot be read: there is no such file", hint)])
    command = [
        ffmpeg_path(), "-hide_banner", "-nostdin", "-t", f"{(at_most_ms + 1_000) / 1000:.3f}", *file_input(path),
        "-map", "0:a:0", "-ac", "1", "-ar", str(RATE), "-f", "s16le", "-",
    ]  # fmt: skip
    try:
        done = subprocess.run(command, capture_output=True, check=False, timeout=_AT_MOST_S, preexec_fn=for_a_helper())
    except (subprocess.TimeoutExpired, OSError) as wrong:
        raise CannotDo(
            [error(Place(path), "no-sound", f"ffmpeg did not read it: {wrong}", "export it as WAV")]
        ) from None
    told = done.stderr.decode("utf-8", "replace")
    if len(done.stdout) < RATE // 10:
        raise CannotDo(
            [
                error(
                    Place(path),
                    "no-sound",
                    "there is no sound in this file that ffmpeg can read",
                    "export the voice as WAV",
                )
            ]
        )
    found = _HZ.search(told)
    most = at_most_ms * RATE // 500
    return Recording(path, done.stdout[: most - most % 2], int(found[1]) if found else 0, len(done.stdout) <= most)
