"""A recorded voice without a recogniser: how words are said, what is expected of a talk, and the plan on the time of a voice."""

from __future__ import annotations

import itertools
import json
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest
from conftest import EXAMPLES
from messages import kinds

from scriptkit.captions.dialogue.follow_script import CaptionWord, following
from scriptkit.captions.dialogue.timed_words import TimedWord
from scriptkit.captions.voice import voice_over
from scriptkit.captions.voice.pronunciation import by_letters, pronunciations
from scriptkit.captions.voice.recogniser import language_model, with_room_tone
from scriptkit.captions.voice.unclear_lines import unclear_lines
from scriptkit.captions.voice.voice_over import ReadLine, VoiceOver, line_problems
from scriptkit.cut.plan_to_voice import cut_to_voice, plan_to_voice
from scriptkit.problems import CannotDo, Place, error
from scriptkit.production import read, read_text
from scriptkit.shoot.script.narration import sentences
from scriptkit.shoot.script.spoken_cautions import OfferedPassage, with_cautions

Run = Callable[..., subprocess.CompletedProcess[str]]
HAKE = str(EXAMPLES / "seared-hake.yaml")


@pytest.mark.parametrize(
    ("word", "phones"),
    [
        ("celeriac", "S AH L EH R IY AE K"),
        ("thyme", "T AY M"),
        ("roux", "R UW"),
        ("crème", "K R EH M"),
        ("litres", "L IY T ER Z"),
        ("courgette's", "K AO R ZH EH T S"),
        ("leek", "L IY K"),
        ("chopping", "CH AA P IH NG"),
        ("knife", "N AY F"),
        ("simmer", "S IH M ER"),
        ("whisk", "W IH S K"),
    ],
)
def test_how_a_word_is_said(word: str, phones: str) -> None:
    assert " ".join(pronunciations(word)[0]) == phones


def test_any_word_can_be_said() -> None:
    for word in ("qxzt", "'", "ñandú", "a", "strč", "aeiou" * 9):
        for phones in (*pronunciations(word), by_letters(word)):
            assert phones and all(p.isascii() and p.isupper() for p in phones), word


def test_the_language_model_knows_the_script_s_pairs_and_other_words() -> None:
    text = language_model([["in", "goes", "butter"], ["stir", "it"]], ["hello"])
    assert "ngram 1=8" in text  # six words and the two ends
    for row in ("in goes", "goes butter", "butter stir", "<s> stir", "it </s>"):
        assert any(line.endswith(f" {row}") for line in text.splitlines()), row
    alone = {
        r.split()[1]: 10 ** float(r.split()[0]) for r in text.split("\\1-grams:\n")[1].split("\n\n")[0].splitlines()
    }
    assert sum(p for w, p in alone.items() if w != "<s>") == pytest.approx(1, abs=1e-3)


# --- the plan on the time of a voice ----------------------------------------------------------------------------------


def test_steps_stand_where_their_lines_are_read_and_silent_ones_in_the_pause() -> None:
    plan = read(HAKE).plan
    spans: list[tuple[int, int] | None] = []
    now = 1_000
    for segment in plan.segments:
        spans.append((now, now + 2_000) if segment.step is None or segment.step.id != "turn-hake" else None)
        now += 2_500 if spans[-1] else 4_000
    voiced = plan_to_voice(plan, spans, now)
    assert [s.kind for s in voiced.segments] == [s.kind for s in plan.segments]
    assert voiced.segments[0].start_ms == 0
    for n, segment in enumerate(voiced.segments):
        span = spans[n]
        assert segment.spoken_ms == (None if span is None else 2_000)
        if n and span is not None:
            assert segment.start_ms == span[0]
        assert segment.end_ms == (voiced.segments[n + 1].start_ms if n + 1 < len(voiced.segments) else now)
    silent = next(n for n, s in enumerate(spans) if s is None)
    assert voiced.segments[silent].length_ms >= 3_000
    cut = cut_to_voice(read(HAKE).source, voiced, now)
    assert all(p.time_ms is not None and p.confidence == 1.0 for p in cut.placements)


def test_without_a_line_that_is_read_the_plan_stays() -> None:
    plan = read(HAKE).plan
    assert plan_to_voice(plan, [None] * len(plan.segments), 60_000) == plan


def test_lines_that_are_read_in_another_order_are_shown_in_it() -> None:
    plan = read(HAKE).plan
    count = len(plan.segments)
    spans = [((count - n) * 3_000, (count - n) * 3_000 + 2_000) for n in range(count)]
    voiced = plan_to_voice(plan, spans, (count + 1) * 3_000)
    assert [s.kind for s in voiced.segments] == [s.kind for s in plan.segments][::-1]
    assert [s.scene for s in voiced.segments] == list(range(1, count + 1))


# --- what is told -----------------------------------------------------------------------------------------------------


def reading(text: str, start_ms: int) -> tuple[CaptionWord, ...]:
    return tuple(
        CaptionWord(w, start_ms + 300 * n, start_ms + 300 * n + 280, 1, 0, True) for n, w in enumerate(text.split())
    )


def test_lines_that_are_missing_doubled_or_changed_are_told_at_their_place() -> None:
    passages = read(HAKE).script.passages
    said = "Dry skin is crisp skin."
    lines = (
        ReadLine(passage=1, text=said, readings=(), heard=0.0),
        ReadLine(passage=2, text=said, readings=(reading(said, 0), reading(said, 9_000)), heard=1.0),
        ReadLine(passage=3, text=said, readings=(reading(said, 20_000),), heard=0.5),
    )
    voice = VoiceOver(file="v.wav", length_ms=60_000, lines=lines, passages=(), beside=((30_000, 34_000),))
    told = line_problems(voice, passages)
    assert [p.code for p in told] == [
        "voice-line-missing",
        "voice-line-twice",
        "voice-line-changed",
        "voice-beside-script",
    ]
    assert told[0].place == passages[1].place
    assert "0:00 and 0:09" in told[1].message
    assert [line.text for line in voice.transcript.lines] == [said] * 3


def test_a_line_of_which_nearly_nothing_is_heard_has_no_caption_and_one_message() -> None:
    said = "Dry skin is crisp skin."
    lines = tuple(
        ReadLine(passage=1, text=said, readings=(reading(said, at),), heard=h) for at, h in ((0, 0.05), (9_000, 0.2))
    )
    voice = VoiceOver(file="v.wav", length_ms=60_000, lines=lines, passages=(), beside=())
    assert voice.words[0].start_ms == 9_000 and len(voice.transcript.lines) == 1
    told = line_problems(voice, read(HAKE).script.passages)
    assert [p.message.endswith("so it has no caption") for p in told] == [True, False]


def test_without_the_extra_the_overlay_is_written_and_the_line_to_install_is_told(
    run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(voice_over, "model_is_there", lambda: False)
    (tmp_path / "voice.wav").write_bytes(b"RIFF")
    done = run("captions", HAKE, "--voice", "voice.wav", "-o", "overlays.vtt")
    assert done.returncode == 1
    assert "warning voice-not-installed" in kinds(done.stderr)
    assert "pip install pocketsphinx" in done.stderr
    assert [p.name for p in tmp_path.glob("*.vtt")] == ["overlays.vtt"]


def test_without_ffmpeg_the_overlay_is_written(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    def none(*_: object) -> object:
        raise CannotDo([error(Place("--voice"), "no-ffmpeg", "there is no ffmpeg", "install ffmpeg")])

    monkeypatch.setattr(voice_over, "model_is_there", lambda: True)
    monkeypatch.setattr(voice_over, "read_sound", none)
    (tmp_path / "voice.wav").write_bytes(b"RIFF")
    done = run("captions", HAKE, "--voice", "voice.wav", "-o", "overlays.vtt", "--json")
    told = json.loads(done.stdout)
    assert (done.returncode, told["files"]) == (1, ["overlays.vtt"])
    assert ("no-ffmpeg", "warning") in {(p["code"], p["severity"]) for p in told["problems"]}


def test_a_voice_that_is_not_there_is_an_error(run: Run, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(voice_over, "model_is_there", lambda: True)
    done = run("captions", HAKE, "--voice", "none.wav", "-o", "overlays.vtt")
    assert (done.returncode, kinds(done.stderr)) == (2, ["error cannot-read"])
    assert list(tmp_path.iterdir()) == []


def test_a_long_line_is_named_by_whole_words() -> None:
    text = "A serving is about three hundred and twenty grams: three hundred kilocalories."
    line = ReadLine(passage=1, text=text, readings=(), heard=0.0)
    voice = VoiceOver(file="v.wav", length_ms=60_000, lines=(line,), passages=(), beside=())
    (told,) = line_problems(voice, read(HAKE).script.passages)
    assert "“A serving is about three hundred and twenty grams: three …” is not heard" in told.message


def test_a_sound_without_its_upper_half_gets_more_room_tone() -> None:
    """On three readings made of 8,000 samples a second 46, 62 and 39 % of the script's words were heard so, 23, 40 and 30 % else."""

    def loud(pcm: bytes) -> float:
        values = memoryview(pcm).cast("h")
        return float((sum(v * v for v in values) / len(values)) ** 0.5)

    silence = bytes(2 * 4_000)
    assert loud(with_room_tone(silence, 8_000)) > 3 * loud(with_room_tone(silence, 48_000)) > 60
    assert with_room_tone(silence) == with_room_tone(silence, 16_000) == with_room_tone(silence, 0)


# --- what a voice may leave out ---------------------------------------------------------------------------------------

MACKEREL = """\
dish: Mackerel
servings: 2
serving: 200 g
ingredients: {mackerel: 320 g, olive oil: 3 tbsp, potatoes: 400 g, lemon juice: 1 tbsp}
steps:
  - {id: sauce, stage: prep, do: Stir the lemon juice., uses: lemon juice, screen: 8 s, say: "Stir one tablespoon of lemon juice, a little of its zest and all of the soft herbs into the yoghurt in the blue bowl and leave it there."}
  - {id: roast, stage: cook, do: Fry the potatoes in the oil., add: {potatoes: all, olive oil: 2 tbsp}, vessel: wide pan, heat: medium, screen: 16 s, say: "Two tablespoons of olive oil in the wide pan, then four hundred grams of potatoes. Eighteen minutes, turned now and then, until golden."}
  - {id: sear, stage: cook, do: Sear the mackerel skin side down in the rest of the oil., from: [], add: {mackerel: all, olive oil: rest}, vessel: frying pan, heat: high, screen: 14 s, say: "Now the mackerel, skin side down, in one tablespoon of oil. Press it with the back of a wide spoon for ten seconds so that all of its skin lies flat on the hot metal. Four minutes, to sixty-three degrees."}
"""


def told_words(text: str) -> list[TimedWord]:
    return [TimedWord(w, 400 * n, 400 * n + 380, 1) for n, w in enumerate(text.split())]


def test_a_sentence_that_is_left_out_takes_no_other_with_it() -> None:
    """In words as a poor recogniser has them: the fry is read before the sauce, and *Press it* by nobody."""
    said = """on tablespoons on really lean the wide pan then four hundred grams on potatoes eighteen minutes to now and then until golden
        stir one tablespoon on lemon juice a little of its zest and all on the soft herbs into the yoghurt in the blue bowl and leave it there
        now the mackerel skin side now the in one tablespoon or you'll full minutes to sixty three degrees"""
    found = following(read_text(MACKEREL).script.passages, told_words(said))
    written = " ".join(w.text for w in found if w.scripted)
    assert "Now the mackerel, skin side" in written and "minutes, to sixty-three degrees." in written
    assert "Press" not in written and "flat" not in written


def test_the_cautions_that_the_script_offers_may_be_read_and_left_out() -> None:
    of = read_text(MACKEREL)
    offered = with_cautions(of.script.passages, of.cautions)
    assert [one.passage for one in offered if one.own] == list(of.script.passages)
    sear = [one for one in offered if one.passage.segment.step and one.passage.segment.step.id == "sear"]
    assert not sear[0].own and sum(one.own for one in sear) == 1
    assert {one.passage.text for one in offered if not one.own} <= {c.spoken for c in of.cautions}
    lines = tuple(ReadLine(passage=1, text="Dry it.", readings=(), heard=0.0, own=own) for own in (True, False))
    voice = VoiceOver(file="v.wav", length_ms=60_000, lines=lines, passages=(), beside=())
    assert [p.code for p in line_problems(voice, of.script.passages)] == ["voice-line-missing"]


def test_of_lines_that_are_hardly_made_out_those_are_read_that_sound_like_it() -> None:
    """*Press it* is left out, and in between too little is made out of the line before it."""
    of = read_text(MACKEREL)
    texts = [(one, s) for one in with_cautions(of.script.passages, ()) for s in sentences(one.passage.text)]
    number = {text.split()[0]: n for n, (_, text) in enumerate(texts)}
    said = told_words(
        "until golden now the potatoes and the skin it so that hot little in one tablespoon or you'll four minutes"
    )
    ends, begins = (
        [CaptionWord(w.text, w.start_ms, w.end_ms, 1, 0, True, number=at, sentence=number[of_line])]
        for w, of_line, at in (
            (said[1], "Eighteen", word_of(texts, "Eighteen") + 7),
            (said[-2], "Four", word_of(texts, "Four")),
        )
    )
    found = unclear_lines([ends, begins], said, texts)
    assert [take[0].sentence for take in found] == [number["Now"]]


def word_of(texts: list[tuple[OfferedPassage, str]], first: str) -> int:
    """How many words stand before the sentence with this first word."""
    return sum(len(text.split()) for _, text in itertools.takewhile(lambda one: not one[1].startswith(first), texts))
