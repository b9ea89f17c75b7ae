"""How near the lines of a recorded voice are found, and how long it takes: voices of espeak-ng with noise and pauses, and a real one.

    python -m tests.speed.voice [FOLDER]

FOLDER holds a real voice as .wav files with what each says in a .txt of the same name (as test/data/librivox of pocketsphinx's source
package does, read from a book that nobody owns). Asserts nothing.
"""

from __future__ import annotations

import itertools
import json
import sys
import tempfile
import time
import wave
from array import array
from collections.abc import Iterator, Sequence
from pathlib import Path

ROOT = Path(__file__).parents[2]
sys.path[:0] = [str(ROOT / "tests"), str(ROOT / "tests" / "captions")]
from spoken_sound import spoken, write_wav  # noqa: E402

from scriptkit.captions.voice.voice_over import VoiceOver, read_voice  # noqa: E402
from scriptkit.production import read  # noqa: E402
from scriptkit.shoot.script.narration import sentences  # noqa: E402
from tests.speed.measured import Measured, show  # noqa: E402

VOICES = ("en-gb", "en-us", "en-gb-scotland+f3")
NOISES = (0.0, 150.0, 300.0)
DISHES = ("seared-hake", "fennel-bisque", "seeded-loaf")


def lines_of(dish: Path) -> list[str]:
    """The sentences of a dish's script, as they are read aloud."""
    from scriptkit.captions.dialogue.follow_script import plain_line

    return [s for p in read(str(dish)).script.passages for s in sentences(plain_line(p.text))]


def heard(dish: Path, sound: Path) -> tuple[VoiceOver | None, float]:
    """The voice laid on the script, and the processor's seconds."""
    script = read(str(dish)).script
    start = time.process_time()
    voice, _ = read_voice(str(sound), script)
    return voice, time.process_time() - start


def errors(voice: VoiceOver | None, starts: Sequence[int]) -> list[int]:
    """Of each line, how far its first word is from where it begins, in ms; 9,999 of one that is not found."""
    if voice is None:
        return [9_999] * len(starts)
    return [
        min((abs(r[0].start_ms - at) for r in line.readings), default=9_999)
        for line, at in zip(voice.lines, starts, strict=True)
    ]


def of_espeak() -> Iterator[Measured]:
    """Every voice with every noise, each dish three times: the worst line, the share within a tenth of a second, processor time."""
    took = length = 0.0
    found: list[int] = []
    with tempfile.TemporaryDirectory() as folder:
        sound = Path(folder) / "voice.wav"
        for seed, (voice, noise) in enumerate(itertools.product(VOICES, NOISES)):
            name = DISHES[(seed + seed // 3) % 3]
            dish = ROOT / "examples" / f"{name}.yaml"
            starts = spoken(sound, lines_of(dish), voice=voice, noise=noise, seed=seed)
            over, seconds = heard(dish, sound)
            here = errors(over, starts)
            print(
                f"    {name} {voice} {noise:g}: {max(here)} ms, {sum(e > 100 for e in here)} of {len(here)} off",
                flush=True,
            )
            if max(here) > 100:
                print("      ", [(n, e) for n, e in enumerate(here) if e > 100])
            found += here
            took += seconds
            length += over.length_ms / 1000 if over else 0
    yield Measured("voice: worst line of all voices and noises", max(found), "ms", 100)
    yield Measured("voice: lines within 0.1 s", 100 * sum(e <= 100 for e in found) / len(found), "%", None)
    yield Measured("voice: processor to real time", took / length, "×", 0.3)


SAY = """\
dish: A reading
servings: 1
serving: 100 g
ingredients: {{water: 100 g}}
steps:
{steps}
film: {{opening: 5 s, closing: 5 s}}
"""


def of_a_real_voice(folder: Path) -> Iterator[Measured]:
    """The recordings one after the other with pauses: each is a line, whose first word its aligned words tell."""
    texts, starts = [], []
    samples = array("h")
    for n, path in enumerate(sorted(folder.glob("*.wav"))):
        aligned = json.loads(path.with_suffix(".json").read_text(encoding="utf-8").splitlines()[0])
        first = next(w for w in aligned["w"] if w["t"][0] not in "<[")
        samples.extend([0] * (8_000 + 4_000 * (n % 3)))
        starts.append(len(samples) // 16 + round(first["b"] * 1000))
        with wave.open(str(path)) as opened:
            samples.extend(array("h", opened.readframes(opened.getnframes())))
        texts.append(path.with_suffix(".txt").read_text(encoding="utf-8").strip())
    with tempfile.TemporaryDirectory() as name:
        steps = (
            f"  - {{id: s{n}, stage: cook, do: Stir the water., {'add: {water: all}, ' if n == 0 else ''}vessel: pan, hands: 1 min, screen: 20 s, say: {json.dumps(text.capitalize() + '.')}}}"
            for n, text in enumerate(texts)
        )
        dish, sound = Path(name) / "reading.yaml", Path(name) / "voice.wav"
        dish.write_text(SAY.format(steps="\n".join(steps)), encoding="utf-8")
        write_wav(sound, samples, 16_000)
        over, seconds = heard(dish, sound)
        said = (
            [line for line in over.lines if line.text.rstrip(".").casefold() in {t.casefold() for t in texts}]
            if over
            else []
        )
        found = [
            abs(line.readings[0][0].start_ms - at) if line.readings else 9_999
            for line, at in zip(said, starts, strict=False)
        ]
        print("   ", found, [round(line.heard, 2) for line in said])
        yield Measured(f"a real voice, worst of {len(texts)} lines", max(found, default=9_999), "ms", 100)
        yield Measured("a real voice: processor to real time", seconds / (len(samples) / 16_000), "×", 0.3)


if __name__ == "__main__":
    if len(sys.argv) > 1:
        show("a real voice", of_a_real_voice(Path(sys.argv[1])))
    else:
        show("a voice of espeak-ng", of_espeak())
