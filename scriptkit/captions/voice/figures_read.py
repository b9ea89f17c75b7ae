"""Figures that a recorded voice reads otherwise than the script has them.

A reading is laid on the sound by the script's words, so that a changed figure fits too: each is listened to once more, with any number in
its place, and any unit in its unit's.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from scriptkit.captions.dialogue.follow_script import CaptionWord
from scriptkit.captions.dialogue.timed_words import folded
from scriptkit.measure.words import ONES, TENS

_DIGITS, _TEENS, _TENS = tuple(ONES[1:10]), tuple(ONES[10:20]), tuple(t for t in TENS if t.isalpha())
_NUMBER_WORDS = frozenset((*_DIGITS, *_TEENS, *_TENS, "hundred", "thousand", "half"))
_PARTS = frozenset(("half", "quarter", "third"))
"""Parts of one, which stand after *a* or *and a*; several of them after a number."""
_SEVERAL_PARTS = frozenset(("quarters", "thirds"))
_LINKS = ("of", "a", "an")
"""What may stand between a part and its unit: *half a teaspoon*, *a quarter of a cup*."""
_LIKE_UNITS = (
    ("teaspoon", "teaspoons", "tablespoon", "tablespoons", "cup", "cups"),
    ("gram", "grams", "kilo", "kilos"),
    ("second", "seconds", "minute", "minutes", "hour", "hours"),
)
"""What is said for one another by a slip. Litres are left out: they are in every millilitre, to the ear as well."""
UNITS = {unit: group for group in _LIKE_UNITS for unit in group}
NUMBER, UNIT = "number", "unit"
_BESIDE = 3
"""Words of the script that are listened to on both sides of the figure."""
_PAD_MS = 120
_ONSET_MS = 900
"""How long before a line its first figure is listened for: another figure is laid later than it begins (our own figure)."""
_SURELY, _SURELY_OF_A_STRANGE_VOICE = 25.0, 52.0
"""By how much, as a natural logarithm, the sound must fit the other figure better; and where the recogniser hardly knows such a voice
(our own figures: three voices of espeak-ng, three strengths of noise, eight dishes: 2 of 364 figures that are right are told)."""
_HARDLY_HEARD, _STRANGE = 0.6, 0.25
"""A line of which less is heard is hardly heard; and the share of such lines by which a voice is strange to the recogniser."""


@dataclass(frozen=True, slots=True)
class FigureSlot:
    """A figure of a reading: the folded words ``before`` it, those of the figure, and those ``after``, from when to when all of them are
    said, and when the figure itself is; ``kind``: NUMBER or UNIT; ``reading``: which one it is of."""

    reading: int
    kind: str
    before: tuple[str, ...]
    written: tuple[str, ...]
    after: tuple[str, ...]
    start_ms: int
    end_ms: int
    time_ms: int


@dataclass(frozen=True, slots=True)
class OtherFigure:
    """What a reading seems to say in place of a figure of the script, and when; ``sentence``: the number of its line."""

    sentence: int
    time_ms: int
    written: str
    heard: str


def slots_of(readings: Sequence[Sequence[CaptionWord]]) -> list[FigureSlot]:
    """Every number and its unit, of every reading."""
    found: list[FigureSlot] = []
    free_from = 0
    for number, reading in enumerate(readings):
        keys = [(key, n) for n, word in enumerate(reading) for key in folded(word.text)]
        for first, last, kind in _figures([key for key, _ in keys]):
            low, high = max(0, first - _BESIDE), min(len(keys), last + _BESIDE)
            while low and keys[low - 1][1] == keys[low][1]:
                low -= 1
            while high < len(keys) and keys[high][1] == keys[high - 1][1]:
                high += 1
            found.append(
                FigureSlot(
                    reading=number,
                    kind=kind,
                    before=tuple(key for key, _ in keys[low:first]),
                    written=tuple(key for key, _ in keys[first:last]),
                    after=tuple(key for key, _ in keys[last:high]),
                    start_ms=_from_ms(reading[keys[low][1]].start_ms, free_from, begins=low == first == 0),
                    end_ms=reading[keys[high - 1][1]].end_ms + _PAD_MS,
                    time_ms=reading[keys[first][1]].start_ms,
                )
            )
        free_from = reading[-1].end_ms
    return found


def _from_ms(start_ms: int, free_from: int, *, begins: bool) -> int:
    """From when a figure is listened for whose words begin at ``start_ms``; ``begins``: the line begins with it, and nothing is read from
    ``free_from`` to there."""
    near = max(0, start_ms - _PAD_MS)
    return min(near, max(free_from, start_ms - _ONSET_MS)) if begins else near


def _figures(keys: Sequence[str]) -> Iterator[tuple[int, int, str]]:
    """From which to before which word a number or a unit stands; *two hundred and fifty* is one, *a hundred* too."""
    n = 0
    while n < len(keys):
        if keys[n] not in _NUMBER_WORDS and not (keys[n] in _PARTS and keys[max(0, n - 1)] == "a"):
            n += 1
            continue
        first = n
        n += 1
        while n < len(keys) and (keys[n] in _NUMBER_WORDS or keys[n] in _SEVERAL_PARTS or _joins(keys, n)):
            n += 1
        if keys[n : n + 2] == ["and", "a"] and keys[n + 2 : n + 3] and keys[n + 2] in _PARTS:
            n += 3
        if first and keys[first - 1] == "a" and (keys[first] in {"hundred", "thousand"} or keys[first] in _PARTS):
            first -= 1
        n = _to_its_unit(keys, n) if keys[n - 1] in _PARTS | _SEVERAL_PARTS else n
        yield first, n, NUMBER
        if n < len(keys) and keys[n] in UNITS:
            yield n, n + 1, UNIT


def _to_its_unit(keys: Sequence[str], n: int) -> int:
    """Where the unit of a part stands, past *of a*; ``n`` where none follows."""
    unit = n
    while unit < len(keys) and keys[unit] in _LINKS:
        unit += 1
    return unit if unit < len(keys) and keys[unit] in UNITS else n


def _joins(keys: Sequence[str], n: int) -> bool:
    return keys[n] == "and" and keys[n - 1] in {"hundred", "thousand"} and keys[n + 1 : n + 2] != [] and keys[n + 1] in _NUMBER_WORDS  # fmt: skip


def words_to_know(slots: Sequence[FigureSlot]) -> list[str]:
    """Every word that a grammar of the slots has."""
    own = {w for slot in slots for w in (*slot.before, *slot.written, *slot.after)}
    return sorted(own | _NUMBER_WORDS | _PARTS | _SEVERAL_PARTS | set(UNITS) | {"a", "and", "of"})


def grammar(slot: FigureSlot, figure: Sequence[str] | None = None) -> str:
    """What is listened for, in JSGF: the script's words with ``figure`` in its place, and any where it is None."""
    rules = [
        f"<one> = {' | '.join(_DIGITS)};", f"<tens> = {' | '.join(_TENS)};",
        f"<small> = <one> | {' | '.join(_TEENS)} | <tens> [<one>];",
        "<number> = half | <small> | (a | <one>) hundred [[and] <small>] | <one> thousand [<one> hundred] [[and] <small>];",
        "<part> = half | [a | one] quarter | [a | one] third | three quarters | two thirds | <small> and a (half | quarter);",
        "<fraction> = <part> [of] [a] | <small>;",
        f"<unit> = {' | '.join(UNITS.get(slot.written[0], slot.written))};",
    ]  # fmt: skip
    any_figure = f"<{'fraction' if is_fraction(slot.written) else slot.kind}>"
    rules = rules if figure is None else []
    words = " ".join([*slot.before, *([any_figure] if figure is None else figure), *slot.after])
    return "\n".join(["#JSGF V1.0;", "grammar figures;", *rules, f"public <line> = {words};", ""])


def figure_in(slot: FigureSlot, said: str) -> tuple[str, ...]:
    """What stands in the figure's place of what was heard; empty where nothing does."""
    words = said.split()
    end = len(words) - len(slot.after)
    fits = words[: len(slot.before)] == list(slot.before) and tuple(words[end:]) == slot.after
    return tuple(words[len(slot.before) : end]) if fits and end > len(slot.before) else ()


def is_another(slot: FigureSlot, heard: Sequence[str]) -> bool:
    """Whether it is another figure, and not the same in other words: *a hundred* for *one hundred*, *gram* for *grams*."""
    return bool(heard) and _plain(heard) != _plain(slot.written)


def is_fraction(words: Sequence[str]) -> bool:
    """Whether it is a part of one, or has one: *a quarter of a*, *two and a half*."""
    return any(w in _PARTS or w in _SEVERAL_PARTS for w in words)


def _plain(words: Sequence[str]) -> list[str]:
    if is_fraction(words):
        out = [w for w in words if w not in (*_LINKS, "and")]
        return out[1:] if out[0] == "one" and out[1] in _PARTS and "and" not in words else out
    out = ["one" if w == "a" else w.removesuffix("s") if w in UNITS else w for w in words if w != "and"]
    return ["one", *out] if out[:1] in (["hundred"], ["thousand"]) else out


def other_figures(
    readings: Sequence[Sequence[CaptionWord]],
    slots: Sequence[FigureSlot],
    heard: Sequence[tuple[tuple[str, ...], float]],
    shares: Sequence[float],
) -> list[OtherFigure]:
    """The figures that are surely read otherwise. ``heard``: of each slot what is likeliest, and by how much the sound fits it better than
    the script's; ``shares``: of each line how much of it the recogniser heard."""
    hardly = sum(share < _HARDLY_HEARD for share in shares)
    least = _SURELY_OF_A_STRANGE_VOICE if hardly >= _STRANGE * max(1, len(shares)) else _SURELY
    found = [
        OtherFigure(readings[slot.reading][0].sentence, slot.time_ms, " ".join(slot.written), " ".join(words))
        for slot, (words, better) in zip(slots, heard, strict=True)
        if is_another(slot, words) and better >= least
    ]
    # a unit beside a changed number is told with it
    return [f for n, f in enumerate(found) if not n or f.sentence != found[n - 1].sentence or f.time_ms - found[n - 1].time_ms > _PAD_MS * 5]  # fmt: skip
