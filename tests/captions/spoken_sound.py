"""A voice-over made by espeak-ng: lines read with pauses and noise, and when each of them begins."""

from __future__ import annotations

import io
import random
import shutil
import subprocess
import wave
from array import array
from collections.abc import Sequence
from pathlib import Path

from conftest import absent

_QUIET = 300
"""Of 32,767: less is the silence around a line."""


def spoken(
    path: Path,
    lines: Sequence[str],
    *,
    voice: str = "en-gb",
    noise: float = 150.0,
    seed: int = 3,
    pauses: tuple[float, float] = (0.4, 1.8),
) -> list[int]:
    """Write the lines as a WAV file, and return when each begins, in milliseconds. The same for the same seed; ``noise``: the
    standard deviation of white noise, of 32,767. Skips the test where there is no espeak-ng."""
    espeak = shutil.which("espeak-ng")
    if espeak is None:
        absent("espeak-ng")
    dice = random.Random(seed)
    sound, starts, rate = array("h"), [], 22_050
    for line in lines:
        made = subprocess.run(
            [espeak, "-v", voice, "-s", "150", "--stdout", line], capture_output=True, check=True
        ).stdout
        with wave.open(io.BytesIO(made)) as read:
            rate, samples = read.getframerate(), array("h", read.readframes(read.getnframes()))
        first = next(n for n, v in enumerate(samples) if abs(v) > _QUIET)
        last = len(samples) - next(n for n, v in enumerate(reversed(samples)) if abs(v) > _QUIET)
        sound.extend([0] * int(rate * dice.uniform(*pauses)))
        starts.append(len(sound) * 1000 // rate)
        sound.extend(samples[first:last])
    sound.extend([0] * rate)
    write_wav(path, [v + int(dice.gauss(0, noise)) for v in sound] if noise else sound, rate)
    return starts


def write_wav(path: Path, samples: Sequence[int], rate: int) -> None:
    """One channel, 16 bits."""
    with wave.open(str(path), "wb") as out:
        out.setnchannels(1)
        out.setsampwidth(2)
        out.setframerate(rate)
        out.writeframes(array("h", (max(-32_768, min(32_767, v)) for v in samples)).tobytes())
