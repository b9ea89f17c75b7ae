"""What is said in a sound, by pocketsphinx and its English model: listened to with the script in mind, but not only."""

from __future__ import annotations

import functools
import itertools
import math
import re
import tempfile
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from scriptkit.captions.dialogue.timed_words import TimedWord
from scriptkit.captions.voice.figures_read import FigureSlot, figure_in, grammar, is_another, words_to_know
from scriptkit.captions.voice.pronunciation import pronunciations
from scriptkit.captions.voice.sound_file import RATE, Recording
from scriptkit.english.small_words import KINDS, small_words
from scriptkit.english.stems import STOP, kitchen_words
from scriptkit.measure.words import ONES, TENS

_OTHER_WORDS = 0.12
"""The share of words that are expected to be none of the script's (our own figure)."""
_KNOWN_PAIR = 0.9
"""The share of words that are expected to follow on the one before as they do in the script."""
_ANYWHERE, _STOPS = 0.05, 0.2
"""How often, of once as written, a stretch of speech is expected to begin and to end at any word."""
_LONGEST_MS, _SHORTEST_MS = 40_000, 15_000
"""Of what is listened to at once: it ends in the quietest moment between."""
_FRAME_MS, _QUIET_MS = 10, 200
_LISTENING = {"beam": 1e-60, "wbeam": 1e-40, "pbeam": 1e-60, "maxhmmpf": -1}
_ALIGNING = {"beam": 1e-120, "wbeam": 1e-100, "pbeam": 1e-120, "maxhmmpf": -1}
"""Wide beams: the library's own lose the line after a pause."""
_OF_A_FIGURE = {"beam": 1e-80, "wbeam": 1e-60, "pbeam": 1e-80, "maxhmmpf": -1, "lw": 1.0}
"""Any figure is as likely as any other."""
_SCALE = 1_024
"""Of the library's scores, which are logarithms shifted by ten bits."""
_ROOM_TONE, _TONE_ABOVE = 25, 100
"""Of 32,767, the standard deviation; and of a sound that has nothing in the upper half of what the model hears, as of 8,000 samples a second:
there it knows silence least (tried on three voices)."""
_SHORTEST_WINDOW_MS = 100


def model_is_there() -> bool:
    """Whether pocketsphinx is installed."""
    import importlib.util

    return importlib.util.find_spec("pocketsphinx") is not None


def recognised(sound: Recording, sentences: Iterable[Sequence[str]]) -> list[TimedWord]:
    """The words that are heard, with their times, in order. ``sentences``: the script's, as folded words; what is said beside
    them is heard as common words. ``line`` counts the stretches, from 1."""
    import pocketsphinx

    wanted = [list(sentence) for sentence in sentences if sentence]
    words = sorted({w for sentence in wanted for w in sentence})
    others = sorted(w for w in _common_words() if w not in set(words))
    model = Path(str(pocketsphinx.get_model_path())) / "en-us"
    with tempfile.TemporaryDirectory() as folder:
        dictionary, grammar = Path(folder) / "words.dict", Path(folder) / "script.lm"
        said = _said([*words, *others], str(model / "cmudict-en-us.dict"))
        dictionary.write_text("".join(f"{w} {p}\n" for w, p in said), encoding="utf-8")
        grammar.write_text(language_model(wanted, others), encoding="utf-8")
        decoder = pocketsphinx.Decoder(
            hmm=str(model / "en-us"),
            lm=str(grammar),
            dict=str(dictionary),
            loglevel="FATAL",
            bestpath=False,
            **_LISTENING,
        )
        found: list[TimedWord] = []
        for number, (start_ms, pcm) in enumerate(_stretches(sound.pcm), 1):
            decoder.start_utt()
            decoder.process_raw(pcm, full_utt=True)
            decoder.end_utt()
            for part in decoder.seg() or ():
                if part.word[:1] not in "<[":
                    word = re.sub(r"\(\d+\)$", "", part.word)
                    found.append(
                        TimedWord(word, start_ms + part.start_frame * 10, start_ms + part.end_frame * 10 + 10, number)
                    )
        return found


@dataclass(frozen=True, slots=True)
class Window:
    """From when to when words are said, in milliseconds; the words are folded."""

    start_ms: int
    end_ms: int
    words: tuple[str, ...]


def times_of_words(sound: Recording, windows: Sequence[Window]) -> list[list[tuple[int, int]] | None]:
    """For each window from when to when each of its words is said; None where they cannot be laid on the sound."""
    if not windows:
        return []
    import pocketsphinx

    model = Path(str(pocketsphinx.get_model_path())) / "en-us"
    words = sorted({w for window in windows for w in window.words})
    with tempfile.TemporaryDirectory() as folder:
        dictionary = Path(folder) / "words.dict"
        said = _said(words, str(model / "cmudict-en-us.dict"))
        dictionary.write_text("".join(f"{w} {p}\n" for w, p in said), encoding="utf-8")
        decoder = pocketsphinx.Decoder(
            hmm=str(model / "en-us"), lm=None, dict=str(dictionary), loglevel="FATAL", **_ALIGNING
        )
        return [_aligned(decoder, sound.pcm, window) for window in windows]


def figures_heard(sound: Recording, slots: Sequence[FigureSlot]) -> list[tuple[tuple[str, ...], float]]:
    """Of each slot the figure that is likeliest, and by how much (a natural logarithm) the sound fits it better than the script's; empty
    and 0 where nothing is made out."""
    if not slots:
        return []
    import pocketsphinx

    model = Path(str(pocketsphinx.get_model_path())) / "en-us"
    with tempfile.TemporaryDirectory() as folder:
        dictionary = Path(folder) / "words.dict"
        said = _said(words_to_know(slots), str(model / "cmudict-en-us.dict"))
        dictionary.write_text("".join(f"{w} {p}\n" for w, p in said), encoding="utf-8")
        decoder = pocketsphinx.Decoder(
            hmm=str(model / "en-us"), lm=None, dict=str(dictionary), loglevel="FATAL", bestpath=False, **_OF_A_FIGURE
        )
        return [_figure_heard(decoder, sound.pcm, slot) for slot in slots]


def _figure_heard(decoder: Any, pcm: bytes, slot: FigureSlot) -> tuple[tuple[str, ...], float]:
    part = pcm[slot.start_ms * RATE // 1000 * 2 : slot.end_ms * RATE // 1000 * 2]
    figure = figure_in(slot, _score(decoder, part, grammar(slot))[0])
    if not is_another(slot, figure):
        return figure, 0.0
    as_written, as_heard = (_score(decoder, part, grammar(slot, words))[1] for words in (slot.written, figure))
    return figure, (as_heard - as_written) * _SCALE if as_written and as_heard else 0.0


def _score(decoder: Any, pcm: bytes, of: str) -> tuple[str, float]:
    """What is heard by a grammar, and the logarithm of how well; empty and 0 where nothing fits."""
    decoder.add_jsgf_string("figures", of)
    decoder.activate_search("figures")
    decoder.start_utt()
    decoder.process_raw(pcm, full_utt=True)
    decoder.end_utt()
    found = decoder.hyp()
    return (found.hypstr, math.log(found.score)) if found is not None and found.score > 0 else ("", 0.0)


def _aligned(decoder: Any, pcm: bytes, window: Window) -> list[tuple[int, int]] | None:
    if not window.words or window.end_ms - window.start_ms < _SHORTEST_WINDOW_MS:
        return None
    decoder.set_align_text(" ".join(window.words))
    decoder.start_utt()
    decoder.process_raw(pcm[window.start_ms * RATE // 1000 * 2 : window.end_ms * RATE // 1000 * 2], full_utt=True)
    decoder.end_utt()
    if decoder.hyp() is None:
        return None
    found = [
        (window.start_ms + part.start_frame * 10, window.start_ms + part.end_frame * 10 + 10)
        for part in decoder.seg()
        if part.word[:1] not in "<[("
    ]
    return found if len(found) == len(window.words) else None


def with_room_tone(pcm: bytes, hertz: int = RATE) -> bytes:
    """The sound with a little noise, always the same, 30 dB and more below a voice: models know no digital silence. ``hertz``: samples
    a second of the file that it comes from."""
    import numpy

    samples = numpy.frombuffer(pcm, dtype=numpy.int16)
    tone = _TONE_ABOVE if 0 < hertz < RATE else _ROOM_TONE
    noise = numpy.random.default_rng(1).normal(0, tone, len(samples))
    return (samples + noise).clip(-32_768, 32_767).astype(numpy.int16).tobytes()


def _said(words: Sequence[str], table: str) -> Iterator[tuple[str, str]]:
    """Every way in which each word is said: by the model's own dictionary, else by ours."""
    known = _dictionary(table)
    for word in words:
        ways = known.get(word) or [" ".join(p) for p in pronunciations(word)]
        for n, phones in enumerate(dict.fromkeys(ways), 1):
            yield (word if n == 1 else f"{word}({n})"), phones


@functools.lru_cache(maxsize=1)
def _dictionary(table: str) -> Mapping[str, list[str]]:
    found: dict[str, list[str]] = {}
    for line in Path(table).read_text(encoding="utf-8").splitlines():
        word, _, phones = line.partition(" ")
        found.setdefault(word.partition("(")[0], []).append(phones.strip())
    return found


@functools.cache
def _common_words() -> frozenset[str]:
    words = set(STOP) | {*ONES, *(t for t in TENS if t.isalpha()), "hundred", "and"}
    for kind in KINDS:
        words |= small_words(kind)
    for kind in ("verb", "action", "weak", "mood"):
        words |= {w for group in kitchen_words(kind).values() for w in group}
    return frozenset(w for w in words if w in ("a", "i") or (_PLAIN.fullmatch(w) and len(w.replace("'", "")) > 1))


_PLAIN = re.compile(r"[a-z]+(?:'[a-z]+)?")


def language_model(sentences: Sequence[Sequence[str]], others: Sequence[str]) -> str:
    """Pairs of words as the script has them, and every word after every other, in the ARPA form (a text): a stretch may begin and end
    anywhere, and holds other words too."""
    alone: Counter[str] = Counter()
    pairs: dict[str, dict[str, float]] = defaultdict(lambda: defaultdict(float))
    for n, sentence in enumerate(sentences):
        after = sentences[n + 1][0] if n + 1 < len(sentences) else "</s>"
        for one, other in itertools.pairwise(["<s>", *sentence, "</s>"]):
            pairs[one][other] += 1
        pairs[sentence[-1]][after] += 1  # read on without a pause
        for word in sentence:
            alone[word] += 1
            pairs["<s>"][word] += _ANYWHERE
            pairs[word]["</s>"] += _STOPS
    total = sum(alone.values()) + len(sentences)
    share = {w: (1 - _OTHER_WORDS) * count / total for w, count in alone.items()}
    share |= dict.fromkeys(others, _OTHER_WORDS / max(1, len(others)))
    share["</s>"] = (1 - _OTHER_WORDS) * len(sentences) / total
    back = f"{math.log10(1 - _KNOWN_PAIR):.4f}"
    lines = [
        "\\data\\",
        f"ngram 1={len(share) + 1}",
        f"ngram 2={sum(map(len, pairs.values()))}",
        "",
        "\\1-grams:",
        f"-99 <s> {back}",
    ]
    lines += [f"{math.log10(p):.4f} {w} {back if w in pairs else '0.0000'}" for w, p in share.items()]
    lines += ["", "\\2-grams:"]
    for one, followers in pairs.items():
        count = sum(followers.values())
        lines += [f"{math.log10(_KNOWN_PAIR * n / count):.4f} {one} {other}" for other, n in followers.items()]
    return "\n".join([*lines, "", "\\end\\", ""])


def _stretches(pcm: bytes) -> Iterator[tuple[int, bytes]]:
    """The sound in parts, each with the millisecond at which it begins: cut in the quietest moment where it is long."""
    import numpy

    samples = numpy.frombuffer(pcm, dtype=numpy.int16).astype(numpy.float32)
    frame = RATE * _FRAME_MS // 1000
    count = len(samples) // frame
    loud = numpy.log(numpy.square(samples[: count * frame]).reshape(count, frame).mean(axis=1) + 1)
    wide = _QUIET_MS // _FRAME_MS
    smooth = numpy.convolve(loud, numpy.ones(wide) / wide, mode="same")
    start = 0
    while count - start > _LONGEST_MS // _FRAME_MS:
        first, last = start + _SHORTEST_MS // _FRAME_MS, start + _LONGEST_MS // _FRAME_MS
        end = first + int(smooth[first:last].argmin())
        yield start * _FRAME_MS, pcm[start * frame * 2 : end * frame * 2]
        start = end
    yield start * _FRAME_MS, pcm[start * frame * 2 :]
