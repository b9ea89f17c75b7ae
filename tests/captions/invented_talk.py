"""Invented talks: a recipe's script read aloud with slips, and what a poor recogniser makes of it; the same for the same seed.

What is truly said is known to the word and the millisecond, so that captions made from what was recognised can be held against it.
"""

from __future__ import annotations

import random
import re
from collections.abc import Sequence
from dataclasses import dataclass

from scriptkit.measure.words import spoken_words
from scriptkit.production import Production

_CONFUSED = {
    "celeriac": "sell a rack|celery act|sell area", "fennel": "fen all|funnel|final", "capers": "papers|keepers|capes",
    "hake": "hate|hay", "mussels": "muscles", "leeks": "leaks|leagues", "leek": "leak", "chives": "hives|chimes",
    "parsley": "pass lee|parcel e", "thyme": "time", "butter": "batter|but a", "mustard": "must heard|mustered",
    "flour": "flower", "stock": "stalk|stuck", "cream": "cram|dream", "salt": "sort|assault", "dice": "dies|days",
    "simmer": "summer|zimmer", "sear": "seer|sea", "whisk": "risk|wisp", "peel": "peal|pill", "pan": "pen|pam",
    "hazelnuts": "hazel nuts|has all nuts", "shimmers": "summers|shivers", "grams": "gram's|graham's", "celery": "salary",
    "lemon": "lemming|le mans", "juice": "deuce|use", "onion": "union", "garlic": "gar lick", "bay": "bae|pay",
    "oil": "all|oiled", "dry": "drive|try", "glossy": "glassy", "wholegrain": "whole grain|hole green",
    "tablespoons": "table spoons", "teaspoon": "tea spoon", "fillets": "fill it's|fillet's", "skin": "skim",
    "carrots": "carats|parrots", "yeast": "east|used", "seeds": "seats|cedes", "dough": "doe|toe", "knead": "need",
    "pork": "port|fork", "sage": "stage|cage", "apple": "a pull", "cider": "side a|sider", "steam": "stem|team",
    "degrees": "the grease", "minutes": "minute's", "litres": "leaders|leaders'", "two": "to|too", "four": "for",
    "eight": "ate", "for": "four", "bowl": "bold|ball", "plate": "late", "it": "at", "is": "his", "a": "the", "the": "a",
}  # fmt: skip
"""What a recogniser may make of a word: of our own making."""
_OFTEN = frozenset({"two", "four", "eight", "for", "it", "is", "a", "the"})
"""Common words, which are misheard far less often."""
_ASIDES = (
    "Lovely smell in here already", "I burnt this twice before I got it right", "You can hear the gulls outside today",
    "Um, where did I put the spoon", "My gran did this in an iron pot", "If you are late for the ferry, do this part at home",
    "That is what we want", "Careful with your fingers there", "Well, that went everywhere", "Do not worry about the mess",
    "The window is open, so excuse the harbour bell", "I always taste it once more than I should",
    "Somebody has moved my towel again", "This is my favourite part of the evening",
)  # fmt: skip
_SWAPPED = {"so": "and", "and": "then", "then": "and", "all": "most", "until": "till", "goes": "went", "just": "only"}
_MS_A_SYLLABLE = 190


@dataclass(frozen=True, slots=True)
class SaidWord:
    """A word and from when to when it is said, in milliseconds."""

    text: str
    start_ms: int
    end_ms: int


@dataclass(frozen=True, slots=True, kw_only=True)
class Talk:
    """``said``: what is truly spoken; ``heard``: what the recogniser makes of it; ``srt``: that as a file of captions."""

    said: tuple[SaidWord, ...]
    heard: tuple[SaidWord, ...]
    srt: str


def invented(production: Production, seed: int, *, errors: float = 0.07) -> Talk:
    """The script of a production read aloud by somebody who slips, and recognised by something that mishears: every seventh
    talk in any order of its passages. ``errors``: the share of words that are not recognised as they are said."""
    dice = random.Random(seed)
    said = _timed(_read(production, dice, shuffled=seed % 7 == 6), dice)
    figures = seed % 2 == 1
    heard = _recognised(said, dice, errors)
    return Talk(said=tuple(said), heard=tuple(heard), srt=_captions(heard, dice, figures=figures, bare=seed % 3 == 2))


def keys(text: str) -> list[str]:
    """Words as they are compared: spoken, folded, hyphens open."""
    return [w for word in spoken_words(text) for w in word.casefold().replace("’", "'").split("-")]


def _read(production: Production, dice: random.Random, *, shuffled: bool) -> list[tuple[str, bool]]:
    """Words in the order they are said, each with whether a pause follows."""
    passages = [p.text for p in production.script.passages if p.text]
    if shuffled:
        dice.shuffle(passages)
    out: list[tuple[str, bool]] = []
    for passage in passages:
        for sentence in re.split(r"(?<=[.!?])\s+", re.sub(r"\[[^\]]*\]", " ", passage)):
            if dice.random() < 0.04:
                continue  # not read at all
            once = _slipped(sentence, dice)
            out += once
            if dice.random() < 0.04:
                out += _slipped(sentence, dice)  # read twice
            if dice.random() < 0.15:
                words = keys(dice.choice(_ASIDES))
                out += [(w, n == len(words) - 1) for n, w in enumerate(words)]
    return out


def _slipped(sentence: str, dice: random.Random) -> list[tuple[str, bool]]:
    out: list[tuple[str, bool]] = []
    for piece in sentence.split():
        pause = piece[-1] in ",.;:!?"
        for n, word in enumerate(words := keys(piece)):
            chance = dice.random()
            last = pause and n == len(words) - 1
            if chance < 0.006:
                continue
            if chance < 0.012:
                out.append((word, False))
            elif chance < 0.02:
                out.append(("um", False))
            out.append((_SWAPPED.get(word, word) if dice.random() < 0.04 else word, last))
    if out:
        out[-1] = (out[-1][0], True)
    return out


def syllables(word: str) -> int:
    """About how many, at least one."""
    return max(1, len(re.findall(r"[aeiouy]+", word.casefold().removesuffix("e"))))


def _timed(words: Sequence[tuple[str, bool]], dice: random.Random) -> list[SaidWord]:
    now, out = 800, []
    for word, pause in words:
        length = round((60 + _MS_A_SYLLABLE * syllables(word)) * dice.uniform(0.75, 1.25))
        out.append(SaidWord(word, now, now + length))
        now += length + (dice.randint(250, 900) if pause else 0)
    return out


def _recognised(said: Sequence[SaidWord], dice: random.Random, errors: float) -> list[SaidWord]:
    out: list[SaidWord] = []
    for one in said:
        chance = dice.random()
        confused = _CONFUSED.get(one.text)
        if confused and chance < errors * (0.5 if one.text in _OFTEN else 4):
            parts = dice.choice(confused.split("|")).split()
            step = (one.end_ms - one.start_ms) / len(parts)
            out += [
                SaidWord(part, round(one.start_ms + n * step), round(one.start_ms + (n + 1) * step))
                for n, part in enumerate(parts)
            ]
        elif len(one.text) <= 3 and chance > 1 - errors / 6:
            continue  # small words are lost
        else:
            out.append(one)
    return out


def _captions(heard: Sequence[SaidWord], dice: random.Random, *, figures: bool, bare: bool) -> str:
    """As SubRip: five to nine words a cue, a new one after a pause."""
    rows: list[list[SaidWord]] = [[]]
    most = dice.randint(5, 9)
    for one in heard:
        if rows[-1] and (len(rows[-1]) >= most or one.start_ms - rows[-1][-1].end_ms > 240):
            rows.append([])
            most = dice.randint(5, 9)
        rows[-1].append(one)
    blocks = []
    for n, row in enumerate(rows, 1):
        text = " ".join(w.text for w in row)
        text = _in_figures(text) if figures else text
        text = text if bare else text[:1].upper() + text[1:] + ("." if n % 3 == 0 else "")
        blocks.append(f"{n}\n{stamp(row[0].start_ms)} --> {stamp(row[-1].end_ms)}\n{text}\n")
    return "\n".join(blocks)


_NUMBERS = {"sixty three": "63", "fifty grams": "50 g", "twenty grams": "20 grams", "three hundred and twenty": "320"}


def _in_figures(text: str) -> str:
    for words, figure in _NUMBERS.items():
        text = re.sub(rf"\b{words}\b", figure, text)
    return text


def stamp(ms: int) -> str:
    """As SubRip writes a time."""
    return f"{ms // 3_600_000:02}:{ms // 60_000 % 60:02}:{ms // 1000 % 60:02},{ms % 1000:03}"
