"""A recorded voice, made by espeak-ng, laid on the script by pocketsphinx: lines where they are read, and finished captions from one
command. In other rooms nothing is recognised: there the parts are tested alone."""

from __future__ import annotations

import json
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import absent

sys.path.insert(0, str(Path(__file__).parent.parent / "captions"))
from spoken_sound import spoken, write_wav

from scriptkit.captions.dialogue.spoken_dialogue import dialogue_of_script
from scriptkit.production import Production, read
from scriptkit.shoot.script.narration import sentences
from scriptkit.shoot.script.spoken_cautions import with_cautions
from scriptkit.video import ffmpeg_path

Run = Callable[..., subprocess.CompletedProcess[str]]
DISH = """\
dish: Buttered leeks on toast
servings: 2
serving: 180 g
ingredients:
  leek: 300 g
  butter: {amount: 40 g, food: "butter, unsalted"}
  celeriac: {amount: 200 g, prep: grated}
  sourdough bread: 120 g
steps:
  - {id: slice, stage: prep, do: Slice the leeks thinly., uses: leek, vessel: board, hands: 4 min, screen: 8 s, say: Slice the leeks as thin as you dare.}
  - {id: rinse, stage: prep, do: Rinse them., uses: leek, vessel: sieve, hands: 1 min, screen: 6 s}
  - {id: soften, stage: cook, do: Soften the leeks and the celeriac in the butter., add: {butter: all, leek: all, celeriac: all}, vessel: frying pan, heat: low, hands: 12 min, screen: 14 s, say: "In goes {butter} of butter, and then the leeks. Grate the celeriac straight into the pan, and stir it well."}
  - {id: pile, stage: cook, do: Pile them on toast., add: {sourdough bread: all}, vessel: plate, hands: 2 min, screen: 7 s, say: Pile it high on hot toast and eat it at once.}
promise: Soft leeks on toast in a quarter of an hour.
goodbye: See you at the quay on Friday.
film: {opening: 5 s, closing: 12 s}
"""
LINES = (
    "Soft leeks on toast in a quarter of an hour.",
    "Slice the leeks as thin as you dare.",
    "In goes forty grams of butter, and then the leeks.",
    "Grate the celeriac straight into the pan, and stir it well.",
    "Pile it high on hot toast and eat it at once.",
    "See you at the quay on Friday.",
)


@pytest.fixture
def dish(tmp_path: Path) -> Path:
    pytest.importorskip("pocketsphinx")
    try:
        ffmpeg_path()
    except Exception:
        absent("ffmpeg")
    path = tmp_path / "leeks.yaml"
    path.write_text(DISH, encoding="utf-8")
    return path


def with_voice(dish: Path, lines: tuple[str, ...] = LINES, **how: object) -> tuple[Production, list[int]]:
    sound = dish.with_name("voice.wav")
    starts = spoken(sound, lines, **how)  # type: ignore[arg-type]
    return read(dish, voice=sound), starts


@pytest.mark.parametrize(("voice", "noise"), [("en-gb", 0.0), ("en-us", 150.0), ("en-gb-scotland+f3", 300.0)])
def test_each_line_is_found_within_a_tenth_of_a_second(dish: Path, voice: str, noise: float) -> None:
    production, starts = with_voice(dish, voice=voice, noise=noise)
    assert production.voice is not None
    found = [line.readings[0][0].start_ms for line in production.voice.lines]
    assert [abs(a - b) <= 100 for a, b in zip(found, starts, strict=True)] == [True] * len(LINES), (found, starts)
    unsure = (
        {"voice-line-changed"} if noise == 300.0 else set()
    )  # one line of that voice cannot be made out, and is told
    assert {p.code for p in production.voice_problems if p.severity == "warning"} <= unsure


def test_measured_seconds_replace_planned_ones(dish: Path) -> None:
    production, starts = with_voice(dish)
    segments = {s.step.id if s.step else s.kind: s for s in production.plan.segments}
    assert abs(segments["slice"].start_ms - starts[1]) <= 100
    assert abs(segments["soften"].start_ms - starts[2]) <= 100
    assert segments["rinse"].end_ms == segments["soften"].start_ms  # it has no line: it takes the pause
    assert next(s.shot.start_ms for s in production.script.passages[1].rows) == segments["slice"].start_ms
    passage = next(p for p in production.script.passages if p.segment.step and p.segment.step.id == "pile")
    assert abs(passage.spoken_ms - (passage.segment.spoken_ms or 0)) <= 5
    assert production.shots[-1].end_ms == production.plan.length_ms


def test_what_is_not_read_and_what_is_read_twice_is_told(dish: Path) -> None:
    lines = (LINES[0], LINES[1], LINES[2], LINES[2], LINES[4], LINES[5])
    production, _ = with_voice(dish, lines)
    told = {p.code: p for p in production.voice_problems}
    assert {"voice-line-missing", "voice-line-twice"} <= set(told)
    assert "Grate the celeriac" in told["voice-line-missing"].message
    assert "In goes forty grams" in told["voice-line-twice"].message
    assert told["voice-line-missing"].place.line == 12


def test_cautions_that_the_script_offers_are_captioned_where_they_are_read(dish: Path) -> None:
    """Every line of script.txt, to the letter: no warning, no figure that is another, and no word alone in a cue."""
    dish.write_text(DISH.replace("heat: low", "heat: high").replace("Soften the", "Sear the"), encoding="utf-8")
    planned = read(dish)
    offered = with_cautions(planned.script.passages, planned.cautions)
    assert not all(one.own for one in offered)
    lines = tuple(s for one in offered for s in sentences(one.passage.text))
    production, starts = with_voice(dish, lines, noise=0.0)
    assert production.voice is not None and all(p.severity == "note" for p in production.voice_problems)
    found = [line.readings[0][0].start_ms for line in production.voice.lines]
    assert [abs(a - b) <= 150 for a, b in zip(found, starts, strict=True)] == [True] * len(lines), (found, starts)
    made = dialogue_of_script(production.voice.words, production.room)
    assert all(len(" ".join(c.lines).split()) > 1 for c in made.cues)


@pytest.mark.parametrize("voice", ["en-gb", "en-us"])
def test_a_figure_that_is_read_otherwise_is_told_and_a_right_one_is_not(dish: Path, voice: str) -> None:
    production, _ = with_voice(dish, voice=voice)
    assert "voice-other-figure" not in {p.code for p in production.voice_problems}
    wrong = (*LINES[:2], "In goes sixty grams of butter, and then the leeks.", *LINES[3:])
    production, starts = with_voice(dish, wrong, voice=voice)
    (told,) = [p for p in production.voice_problems if p.code == "voice-other-figure"]
    assert "“sixty” seems to be read at" in told.message and "“forty”" in told.message
    assert production.voice is not None
    (row,) = production.voice.read_otherwise
    assert (row.was, row.now) == ("sixty", "forty")
    assert starts[2] <= row.time_ms <= starts[2] + 1_500


def test_one_command_makes_finished_captions(run: Run, dish: Path, tmp_path: Path) -> None:
    starts = spoken(tmp_path / "voice.wav", LINES)
    done = run("captions", dish.name, "--voice", "voice.wav", "-o", "overlays.vtt", "--json")
    told = json.loads(done.stdout)
    assert told["files"] == ["overlays.vtt", "dialogue.vtt", "changed-words.csv"]
    text = (tmp_path / "dialogue.vtt").read_text(encoding="utf-8")
    for line in ("Slice the leeks as thin as you dare.", "In goes 40 grams of butter, and then the leeks."):
        assert line in text.replace("\n", " ")
    assert run("proof", "dialogue.vtt").returncode == 0
    begins = [_ms(row.split(" --> ")[0]) for row in text.splitlines() if "-->" in row]
    near = [s for s in starts if min(abs(b - s) for b in begins) <= 100]
    assert len(near) >= len(starts) - 1  # a short line may share the cue of the one before it
    assert run("shoot", dish.name, "--voice", "voice.wav", "-o", "papers").returncode in (0, 1)
    assert (tmp_path / "papers" / "script.html").is_file()


def _ms(clock: str) -> int:
    minutes, seconds = clock.split(":")[-2:]
    return int(minutes) * 60_000 + round(float(seconds) * 1000)


@pytest.mark.parametrize(
    ("sound", "code"),
    [
        ("silence", "voice-silent"),
        ("noise", "voice-not-followed"),
        ("another script", "voice-not-followed"),
        ("text", "no-sound"),
    ],
)
def test_a_voice_that_cannot_be_used_is_told_and_the_rest_is_written(
    run: Run, dish: Path, tmp_path: Path, sound: str, code: str
) -> None:
    voice = tmp_path / "voice.wav"
    if sound == "another script":
        spoken(
            voice,
            (
                "The ferry leaves from the second pier at nine.",
                "Bring a coat, for the wind is cold out there.",
                "We will be back before it is dark.",
            ),
        )
    elif sound == "text":
        voice.write_text("no sound at all", encoding="utf-8")
    else:
        import random

        dice = random.Random(1)
        write_wav(voice, [0 if sound == "silence" else int(dice.gauss(0, 3_000)) for _ in range(16_000 * 6)], 16_000)
    done = run("captions", dish.name, "--voice", "voice.wav", "-o", "overlays.vtt", "--json")
    told = json.loads(done.stdout)
    assert (done.returncode, told["files"]) == (1, ["overlays.vtt"])
    assert code in {p["code"] for p in told["problems"]}


def test_a_telephone_s_sound_is_enough_and_told(dish: Path) -> None:
    spoken(dish.with_name("high.wav"), LINES)
    voice = dish.with_name("low.wav")
    subprocess.run(
        [ffmpeg_path(), "-v", "error", "-i", str(dish.with_name("high.wav")), "-ar", "8000", str(voice)], check=True
    )
    production = read(dish, voice=voice)
    assert "voice-low-rate" in {p.code for p in production.voice_problems}
    assert production.voice is not None
    assert sum(bool(line.readings) for line in production.voice.lines) >= 4
