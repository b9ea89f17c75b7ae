"""A recorded voice laid on the script: when each line of it is read, and which lines are missing, read twice or changed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from textwrap import shorten

from scriptkit.captions.dialogue.follow_script import CaptionWord, WordChange, following, plain_line
from scriptkit.captions.dialogue.timed_words import TimedWord, folded, pieces_of, shared_out
from scriptkit.captions.voice.figures_read import OtherFigure, other_figures, slots_of
from scriptkit.captions.voice.recogniser import (
    Window,
    figures_heard,
    model_is_there,
    recognised,
    times_of_words,
    with_room_tone,
)
from scriptkit.captions.voice.sound_file import Recording, read_sound
from scriptkit.captions.voice.unclear_lines import from_their_onset, unclear_lines
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.english.stems import STOP
from scriptkit.measure.durations import format_clock, format_duration
from scriptkit.problems import CannotDo, Place, Problem, note, warning
from scriptkit.safety.rule_matching import Caution
from scriptkit.shoot.script.narration import sentences
from scriptkit.shoot.script.script import Passage, Script
from scriptkit.shoot.script.spoken_cautions import OfferedPassage, with_cautions

READ_OTHERWISE = "the script has it, and the voice seems to say something else: listen there"
INSTALL = "pip install pocketsphinx"
_LONGEST_MS, _TIMES_THE_SCRIPT = 20 * 60_000, 5
"""How long a voice may be: that, or so many times what the script takes to say."""
_LITTLE_HEARD = 0.3
"""The share of the script's words that must be heard for it to be a reading of it (our own figure: another script has 0.13 at most)."""
_LINE_HEARD, _LINE_UNCHANGED = 0.34, 0.6
"""The share of a line's words that must be heard for it to be read, and for it to be read as it is written (our own figures)."""
_LINE_CAPTIONED = 0.1
"""Of less, another line may be read in its place (our own figure)."""
_SILENT_PEAK = 200
"""Of 32,767: nothing louder is in the sound."""
_LOW_HZ, _NAMED = 16_000, 60
_REACH_MS = 1_500
"""How far before and after the words that are recognised the rest of a line may be."""
_STRAY_MS = 500
_GROUP_MS, _LONGEST_GROUP_MS, _APART_MS, _PAUSE_MS = 15_000, 60_000, 2_500, 300
"""How long readings are that are aligned together, at most as well; and the pauses over which they are not, and at which they may be
parted."""
_WORD_MS = 400
_BESIDE_WORDS = 5
_SMALL_WORD_MS, _TAIL_MS = 320, 300
"""A small word that begins a line takes no longer; and what is listened to after its last word."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ReadLine:
    """A sentence of the script, the number of its passage, and the words of each reading of it with their times; ``heard``: the share of
    its words that the recogniser heard as they are written; ``own``: it is the passage's, and no caution that is read with it."""

    passage: int
    text: str
    readings: tuple[tuple[CaptionWord, ...], ...]
    heard: float
    own: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class VoiceOver:
    """``lines``: every sentence of the script and of the cautions that it offers; ``passages``: from when to when each passage is read first, None of one that is not;
    ``beside``: from when to when something is said that is not the script's; ``figures``: that seem to be read otherwise than they are
    written. Milliseconds."""

    file: str
    length_ms: int
    lines: tuple[ReadLine, ...]
    passages: tuple[tuple[int, int] | None, ...]
    beside: tuple[tuple[int, int], ...]
    figures: tuple[OtherFigure, ...] = ()

    @property
    def readings(self) -> list[tuple[CaptionWord, ...]]:
        """Every reading of every line, in the order of time."""
        return sorted((r for line in self.lines for r in line.readings), key=lambda r: r[0].start_ms)

    @property
    def words(self) -> list[CaptionWord]:
        """Every word that has a caption, in the order of time."""
        return [word for reading in self.captioned for word in reading]

    @property
    def captioned(self) -> list[tuple[CaptionWord, ...]]:
        """The readings of lines of which more than nearly nothing is heard."""
        shown = [line for line in self.lines if line.heard >= _LINE_CAPTIONED]
        return sorted((r for line in shown for r in line.readings), key=lambda r: r[0].start_ms)

    @property
    def read_otherwise(self) -> list[WordChange]:
        """The figures that seem to be read otherwise, as rows for the list of changed words: the captions keep the script's."""
        return [WordChange(f.time_ms, f.heard, f.written, READ_OTHERWISE, 1) for f in self.figures]

    @property
    def transcript(self) -> Transcript:
        """What is read, a line a sentence."""
        lines = (
            SpokenLine(
                words[0].start_ms, max(words[-1].end_ms, words[0].start_ms + 1), " ".join(w.text for w in words), n
            )
            for n, words in enumerate(self.captioned, 1)
        )
        return Transcript(file=self.file, lines=tuple(lines), problems=())


def read_voice(file: str, script: Script, cautions: Sequence[Caution] = ()) -> tuple[VoiceOver | None, list[Problem]]:
    """The voice of a sound file; None where it cannot be used, with a warning that says why and what to do. ``cautions``: what the script
    offers to say of them may be read too. Raises CannotDo only where there is no such file."""
    passages, offered = script.passages, with_cautions(script.passages, cautions)
    if not any(p.text for p in passages):
        hint = "write `say:` in the steps"
        return None, [
            warning(Place(file), "voice-no-script", "the script has no lines to compare the voice with", hint)
        ]
    if not model_is_there():
        message = "the extra `voice` is not installed: the planned times are kept"
        return None, [warning(Place("--voice"), "voice-not-installed", message, f"{INSTALL} (Python before 3.14)")]
    at_most = max(_LONGEST_MS, _TIMES_THE_SCRIPT * script.spoken_ms)
    try:
        sound = read_sound(file, at_most)
    except CannotDo as wrong:
        if any(p.code == "cannot-read" for p in wrong.problems):
            raise
        return None, [
            warning(p.place, p.code, f"{p.message}: the planned times are kept", p.hint) for p in wrong.problems
        ]
    if told := _unusable(sound, at_most, script):
        return None, [told]
    said = [folded(sentence) for one in offered for sentence in sentences(one.passage.text)]
    sound = replace(sound, pcm=with_room_tone(sound.pcm, sound.hertz))
    voice = voice_over(sound, recognised(sound, said), offered)
    share = _share_heard(voice)
    if share < _LITTLE_HEARD:
        message = f"{share:.0%} of the script's words are heard in this voice: the planned times are kept"
        hint = "check that it is a reading of this script"
        return None, [*_low_sound(sound), warning(Place(file), "voice-not-followed", message, hint)]
    return voice, [*_low_sound(sound), *line_problems(voice, passages)]


def _unusable(sound: Recording, at_most_ms: int, script: Script) -> Problem | None:
    if not sound.whole:
        message = (
            f"the sound is longer than {format_duration(at_most_ms)}, and the script takes {format_duration(script.spoken_ms)}: "
            "the planned times are kept"
        )
        return warning(Place(sound.file), "voice-too-long", message, "export the voice-over alone")
    import numpy

    if int(numpy.abs(numpy.frombuffer(sound.pcm, dtype=numpy.int16).astype(numpy.int32)).max(initial=0)) < _SILENT_PEAK:
        message = "nothing is heard in this sound: the planned times are kept"
        return warning(Place(sound.file), "voice-silent", message, "check which track was exported")
    return None


def _low_sound(sound: Recording) -> list[Problem]:
    if not 0 < sound.hertz < _LOW_HZ:
        return []
    message = f"the sound has {sound.hertz:,} samples a second; lines are found best from {_LOW_HZ:,} up"
    return [note(Place(sound.file), "voice-low-rate", message, "export it at 48,000 if you can")]


def voice_over(sound: Recording, words: Sequence[TimedWord], offered: Sequence[OfferedPassage]) -> VoiceOver:
    """What was recognised laid on the script, and every line that is read timed by the sound itself."""
    found = following([one.passage for one in offered], words)
    texts = [(one, sentence) for one in offered for sentence in sentences(plain_line(one.passage.text))]
    heard: dict[int, list[CaptionWord]] = defaultdict(list)
    for word in found:
        if word.scripted:
            heard[word.sentence].append(word)
    takes = sorted(
        (take for number in heard for take in _takes(heard[number], len(texts[number][1].split()))),
        key=lambda take: take[0].start_ms,
    )
    unclear = unclear_lines(takes, words, texts)
    takes = sorted([*takes, *unclear], key=lambda take: take[0].start_ms)
    timed = from_their_onset(_timed(sound, takes, texts), words, {take[0].sentence for take in unclear})
    lines = []
    for number, (of, text) in enumerate(texts):
        share = len({w.number for w in heard.get(number, ())}) / max(1, len(pieces_of(text)))
        readings = tuple(r for r in timed if r[0].sentence == number)
        heard_share = min(1.0, share)
        lines.append(ReadLine(passage=of.number, text=text, readings=readings, heard=heard_share, own=of.own))
    spans = [(r[0].start_ms, r[-1].end_ms) for r in timed]
    slots = slots_of(timed)
    shares = [line.heard for line in lines if line.readings]
    return VoiceOver(
        file=sound.file,
        length_ms=sound.length_ms,
        lines=tuple(lines),
        passages=tuple(_span([x for x in lines if x.passage == n and x.own]) for n in range(offered[-1].number + 1)),
        beside=tuple(_beside(words, spans)),
        figures=tuple(other_figures(timed, slots, figures_heard(sound, slots), shares)),
    )


def _takes(words: Sequence[CaptionWord], length: int) -> list[list[CaptionWord]]:
    """Parted where the sentence begins again; a stretch of few of its words is no reading of it."""
    out: list[list[CaptionWord]] = []
    for word in words:
        if not out or word.number <= out[-1][-1].number:
            out.append([])
        out[-1].append(word)
    return [take for take in map(_without_strays, out) if len(take) >= _LINE_HEARD * length]


def _without_strays(take: list[CaptionWord]) -> list[CaptionWord]:
    """Without small words far from the others, which may be anything."""
    while len(take) > 1 and _is_small(take[0].text) and take[1].start_ms - take[0].end_ms > _STRAY_MS:
        take = take[1:]
    while len(take) > 1 and _is_small(take[-1].text) and take[-1].start_ms - take[-2].end_ms > _STRAY_MS:
        take = take[:-1]
    return take


def _is_small(text: str) -> bool:
    return all(key in STOP for key in folded(text))


def _timed(
    sound: Recording, takes: Sequence[Sequence[CaptionWord]], texts: Sequence[tuple[OfferedPassage, str]]
) -> list[tuple[CaptionWord, ...]]:
    """The words of each reading, aligned to the sound: neighbours together, so that each keeps its own."""
    groups = _neighbours(takes, texts)
    windows = []
    for n, group in enumerate(groups):
        start, end = group[0][0].start_ms, group[-1][-1].end_ms
        before, after = (_reach(group[at], texts[group[at][0].sentence][1], at) for at in (0, -1))
        first = max(groups[n - 1][-1][-1].end_ms if n else 0, start - before)
        last = min(groups[n + 1][0][0].start_ms if n + 1 < len(groups) else sound.length_ms, end + after)
        keys = tuple(k for take in group for word in pieces_of(texts[take[0].sentence][1]) for k in folded(word))
        windows.append(Window(min(first, start), max(last, end), keys))
    out = []
    for group, times in zip(groups, times_of_words(sound, windows), strict=True):
        at = 0
        for take in group:
            passage, sentence = texts[take[0].sentence][0].number, take[0].sentence
            words = pieces_of(texts[sentence][1])
            count = sum(len(folded(word)) for word in words)
            here = times[at : at + count] if times else None
            at += count
            spans = (
                _of_whole_words(words, here)
                if here
                else shared_out([len(w) + 1 for w in words], take[0].start_ms, take[-1].end_ms)
            )
            out.append(
                tuple(
                    CaptionWord(word, a, b, 1, passage, True, n == 0, "", n, sentence)
                    for n, (word, (a, b)) in enumerate(zip(words, spans, strict=True))
                )
            )
    return _without_early_words(sound, out)


def _reach(take: Sequence[CaptionWord], text: str, at: int) -> int:
    """How far the line may be from the words of it that are recognised, before them (``at`` 0) or after (-1): by all that it could have
    there, and by no more than a word where the one at its end is made out."""
    words = pieces_of(text)
    return _REACH_MS + (0 if take[at].text == words[at] else _WORD_MS * len(words))


def _without_early_words(
    sound: Recording, readings: Sequence[tuple[CaptionWord, ...]]
) -> list[tuple[CaptionWord, ...]]:
    """The readings; laid again are those whose first small word was laid before the pause: nobody pauses after *The* or *In*."""
    early = [n for n, reading in enumerate(readings) if _begins_early(reading)]
    windows = [
        Window(
            readings[n][1].start_ms - _SMALL_WORD_MS,
            min(readings[n][-1].end_ms + _TAIL_MS, sound.length_ms),
            tuple(key for word in readings[n] for key in folded(word.text)),
        )
        for n in early
    ]
    out = list(readings)
    for n, times in zip(early, times_of_words(sound, windows), strict=True):
        first, second, *others = readings[n]
        if times:
            spans = _of_whole_words([w.text for w in readings[n]], times)
            out[n] = tuple(replace(w, start_ms=a, end_ms=b) for w, (a, b) in zip(readings[n], spans, strict=True))
        else:
            first = replace(first, start_ms=second.start_ms - _SMALL_WORD_MS // 2, end_ms=second.start_ms)
            out[n] = (first, second, *others)
    return out


def _begins_early(reading: Sequence[CaptionWord]) -> bool:
    if len(reading) < 2 or not _is_small(reading[0].text) or not reading[0].text[-1:].isalnum():
        return False
    return reading[1].start_ms - reading[0].start_ms > _SMALL_WORD_MS


def _neighbours(
    takes: Sequence[Sequence[CaptionWord]], texts: Sequence[tuple[OfferedPassage, str]]
) -> list[list[Sequence[CaptionWord]]]:
    """Readings that follow on one another, a few to a group; parted in a pause between words that are both made out."""
    groups: list[list[Sequence[CaptionWord]]] = []
    for take in takes:
        if groups:
            last = groups[-1][-1]
            pause = take[0].start_ms - last[-1].end_ms
            long = take[-1].end_ms - groups[-1][0][0].start_ms
            edges = (pieces_of(texts[last[0].sentence][1])[-1], pieces_of(texts[take[0].sentence][1])[0])
            sure = (last[-1].text, take[0].text) == edges and pause >= _PAUSE_MS
            if not (sure and (long > _GROUP_MS or pause > _APART_MS)) and long < _LONGEST_GROUP_MS:
                groups[-1].append(take)
                continue
        groups.append([take])
    return groups


def _of_whole_words(words: Sequence[str], times: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """From the times of words as they are spoken those of words as they are written: *320* is four."""
    spans: list[tuple[int, int]] = []
    at = 0
    for word in words:
        count = len(folded(word))
        here = times[at : at + count]
        at += count
        before = spans[-1][1] if spans else times[0][0]
        spans.append((here[0][0], here[-1][1]) if here else (before, before))
    return spans


def _span(lines: Sequence[ReadLine]) -> tuple[int, int] | None:
    """From the first word of a passage to the last of the first reading of its lines."""
    firsts = [line.readings[0] for line in lines if line.readings]
    return (firsts[0][0].start_ms, max(firsts[0][-1].end_ms, firsts[-1][-1].end_ms)) if firsts else None


def _beside(words: Sequence[TimedWord], spans: Sequence[tuple[int, int]]) -> list[tuple[int, int]]:
    """Stretches of speech outside of all readings, long enough to be words of somebody."""
    out: list[tuple[int, int, int]] = []
    for word in words:
        if any(a - _REACH_MS // 3 <= word.start_ms and word.end_ms <= b + _REACH_MS // 3 for a, b in spans):
            continue
        if out and word.start_ms - out[-1][1] < _REACH_MS:
            out[-1] = (out[-1][0], word.end_ms, out[-1][2] + 1)
        else:
            out.append((word.start_ms, word.end_ms, 1))
    return [(a, b) for a, b, count in out if count >= _BESIDE_WORDS]


def _share_heard(voice: VoiceOver) -> float:
    words = sum(len(line.text.split()) for line in voice.lines if line.own or line.readings)
    return sum(line.heard * len(line.text.split()) for line in voice.lines if line.readings) / max(1, words)


def line_problems(voice: VoiceOver, passages: Sequence[Passage]) -> list[Problem]:
    """Lines that were not read, were read twice, and were read in other words, each where the recipe has it; and what is said beside
    the script."""
    found: list[Problem] = []
    for line in voice.lines:
        if not line.own and not line.readings:
            continue  # whoever says no caution shows it
        place, text = passages[line.passage].place, shorten(line.text, _NAMED, placeholder=" …")
        at = " and ".join(format_clock(r[0].start_ms) for r in line.readings)
        if not line.readings:
            hint = "record it, or take it out of the script"
            found.append(warning(place, "voice-line-missing", f"“{text}” is not heard in the voice", hint))
        elif len(line.readings) > 1:
            found.append(
                warning(place, "voice-line-twice", f"“{text}” is read more than once, at {at}", "cut all but one")
            )
        elif line.heard < _LINE_UNCHANGED:
            message = (
                f"“{text}” is read in other words, or cannot be made out, at {at}: {line.heard:.0%} of it is heard"
            )
            if line.heard < _LINE_CAPTIONED:
                message += ", so it has no caption"
            told = warning if line.heard < _LINE_HEARD else note
            found.append(told(place, "voice-line-changed", message, "listen there"))
    for figure in voice.figures:
        line = voice.lines[figure.sentence]
        if line.heard < _LINE_CAPTIONED:
            continue
        text = shorten(line.text, _NAMED, placeholder=" …")
        message = f"“{figure.heard}” seems to be read at {format_clock(figure.time_ms)} where the script has “{figure.written}”: “{text}”"
        hint = f"listen there; if it is “{figure.heard}”, record the line again, or correct the recipe. The caption keeps “{figure.written}”"
        found.append(warning(passages[line.passage].place, "voice-other-figure", message, hint))
    for start, end in voice.beside:
        message = f"from {format_clock(start)} to {format_clock(end)} something is said that is not in the script: it has no caption"
        found.append(
            note(Place(voice.file), "voice-beside-script", message, "write it under `say:` of its step, or cut it")
        )
    return found
