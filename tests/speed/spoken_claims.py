"""How well spoken figures are given to their owners and judged, on real talks whose dishes are written as said.

    python -m tests.speed.spoken_claims CLAIMS SRT [FOLDS] [-v]

CLAIMS holds `dishes/ID.yaml` and `key.json` (see claim_training.py; of its `edits`, `[[kind, old text, new text, "@FROM-TO"]]`, each changes one
amount, time or temperature of the dish file), SRT the talks. Both lie outside the repository and are never committed: what is printed
are figures, kinds and places in the talk, counted in its tokens, and no word of it.

Measured: of the figures that are said rightly how many are verified, how many are told to be wrong and how many are only *listen*;
of single changes of the dish how many are noticed; and of figures that are all said twice or half as large (degrees 50 more or less) how many are
told, given to listen to, accepted as right, or met with silence. With FOLDS each talk is judged with weights learned from the others.
The twenty worst of those that remain follow, one kind of fault after the other. Asserts nothing.
"""

from __future__ import annotations

import itertools
import json
import re
import sys
from collections import Counter
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass, replace
from fractions import Fraction
from pathlib import Path

import numpy as np

from scriptkit.cut.claims import owner_weights as shipped
from scriptkit.cut.claims.all_claims import claims_in
from scriptkit.cut.claims.claim import AMOUNT, DIFFERS, LISTEN, TEMPERATURE, TIME, VERIFIED, Claim
from scriptkit.cut.placement import Cut
from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.measure.figures import figures_in
from scriptkit.measure.words import ONES, TENS, number_words
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source, read_source_text
from tests.speed import claim_training as training
from tests.speed.measured import Measured, show

TOKEN = re.compile(r"[a-z0-9]+")
KINDS = (AMOUNT, TIME, TEMPERATURE)
MISSED, OF_ANOTHER = "missed", "verified of another"
_NUMBERS = {*ONES, *TENS, "hundred", "and", "to", "or", "a", "an", "the", "of", "couple", "few", "half", "quarter", "quarters", "third",
            "thirds", "fourth", "fourths", "eighth", "eighths", "heaping", "another"}  # fmt: skip
"""Words of a figure that are not its unit."""
_PARTS = {
    Fraction(1, 6): "a sixth",
    Fraction(1, 8): "an eighth",
    Fraction(3, 8): "three eighths",
    Fraction(1, 16): "a sixteenth",
}
_FACTORS = (Fraction(2), Fraction(1, 2))


@dataclass(frozen=True, slots=True)
class Due:
    """A figure of the key: its kind, the tokens ``first`` to ``end`` of the talk, and what it is of."""

    kind: str
    first: int
    end: int
    of: str


@dataclass(frozen=True, slots=True)
class Found:
    """What became of a figure of the key; ``fault``: how the talk was changed, empty where nothing was."""

    talk: str
    due: Due
    state: str
    changed: str = ""


def span_of(text: str) -> tuple[int, int]:
    first, end = map(int, text[1:].split("-"))
    return first, end


class Tokens:
    """The tokens of a transcript, each with its line."""

    def __init__(self, lines: Sequence[SpokenLine]) -> None:
        self.text: list[str] = []
        self.line: list[int] = []
        self.at: list[tuple[int, int]] = []
        for n, line in enumerate(lines):
            for found in TOKEN.finditer(line.text.lower()):
                self.text.append(found.group())
                self.line.append(n)
                self.at.append(found.span())

    def span(self, claim: Claim, lines: Sequence[SpokenLine]) -> tuple[int, int] | None:
        """Where the words of a claim stand: in its line, as near its moment as they are found."""
        words = TOKEN.findall(claim.words.lower())
        here = next(n for n, line in enumerate(lines) if line == claim.line)
        hits = [k for k in range(len(self.text)) if self.text[k : k + len(words)] == words]
        hits = [k for k in hits if self.line[k] == here] or hits
        if not hits:
            return None

        def moment(k: int) -> float:
            line = lines[self.line[k]]
            return line.start_ms + (line.end_ms - line.start_ms) * self.at[k][0] / max(1, len(line.text))

        first = min(hits, key=lambda k: abs(moment(k) - claim.time_ms))
        return first, first + len(words)


def said_wrongly(words: str, kind: str, factor: Fraction) -> str:
    """The words of a figure with another value: twice or half of it; of an oven's degrees 50 more or less."""
    bare = {"couple": "two", "few": "four"}.get(words, words)
    figure = next(
        iter(figures_in(bare) or figures_in(f"a {bare.removeprefix('another ')}")), None
    )  # a unit alone is one
    if figure is None:
        return words
    rest = " ".join(w for w in words.split() if w not in _NUMBERS)
    scale = Fraction(1)
    if kind == TIME:  # figures carry milliseconds
        scale = next(
            (
                Fraction(ms)
                for name, ms in (("hour", 3_600_000), ("minute", 60_000), ("second", 1_000))
                if name in words
            ),
            Fraction(1),
        )
    ends = [Fraction(x) / scale for x in (figure.low, figure.high)]
    if kind == TEMPERATURE:
        ends = [x + (50 if factor > 1 else -50) if x > 100 else x * factor for x in ends]
    else:
        ends = [x * factor for x in ends]
    said = [_said(x, bare=not rest) for x in dict.fromkeys(ends)]
    return f"{' to '.join(said)} {rest}".strip()


def _said(value: Fraction, *, bare: bool) -> str:
    words = _PARTS.get(value) or number_words(value)
    return words if bare or value >= 1 else "half a" if words == "half" else f"{words} of a"


def changed(transcript: Transcript, due: Sequence[Due], factor: Fraction) -> tuple[Transcript, list[Due]]:
    """The talk with every figure of the key said wrongly, and where each stands then."""
    lines = [one.text for one in transcript.lines]
    tokens = Tokens(transcript.lines)
    moved: dict[int, tuple[int, int]] = {}
    for number in sorted(range(len(due)), key=lambda n: -due[n].first):
        one = due[number]
        a, b = one.first, one.end - 1
        first, last = tokens.line[a], tokens.line[b]
        words = " ".join(tokens.text[a : b + 1])
        new = said_wrongly(words, one.kind, factor)
        if first == last:
            lines[first] = lines[first][: tokens.at[a][0]] + new + lines[first][tokens.at[b][1] :]
        else:
            lines[first] = lines[first][: tokens.at[a][0]] + new
            for between in range(first + 1, last):
                lines[between] = ""
            lines[last] = lines[last][tokens.at[b][1] :]
        moved[number] = (one.end - one.first, len(TOKEN.findall(new.lower())))
    found: list[Due] = []
    shift = 0
    for number in sorted(range(len(due)), key=lambda n: due[n].first):
        old, new_length = moved[number]
        first = due[number].first + shift
        found.append(replace(due[number], first=first, end=first + new_length))
        shift += new_length - old
    kept = tuple(replace(one, text=text) for one, text in zip(transcript.lines, lines, strict=True) if text.strip())
    return replace(transcript, lines=kept), found


def judged(
    dish: Dish, transcript: Transcript, due: Sequence[Due], cut: Cut | None = None
) -> list[tuple[Due, str, list[Claim]]]:
    """Of each figure of the key its state, and the claims that overlap it."""
    claims = claims_in(dish, transcript, cut or place(dish, transcript))
    tokens = Tokens(transcript.lines)
    spans = [(one, tokens.span(one, transcript.lines)) for one in claims]
    found = []
    for one in due:
        mine = [c for c, span in spans if span and span[0] < one.end and one.first < span[1]]
        found.append((one, _state(one, mine), mine))
    return found


def _state(due: Due, mine: Sequence[Claim]) -> str:
    if any(c.verdict == DIFFERS for c in mine):
        return DIFFERS
    if right := [c for c in mine if c.verdict == VERIFIED]:
        return VERIFIED if any(_is_of(due, c) for c in right) else OF_ANOTHER
    return LISTEN if mine else MISSED


def _is_of(due: Due, claim: Claim) -> bool:
    if due.kind == AMOUNT:
        return claim.subject.casefold() == due.of.casefold()
    return f"({due.of})" in claim.subject


@dataclass(slots=True)
class Score:
    """All that was found in some talks."""

    rightly: list[Found]
    wrongly: list[Found]
    edits: list[Found]
    false: list[tuple[str, str, tuple[int, int]]]
    """Talk, kind and tokens of each claim that is told to differ though nothing is wrong."""
    talks: int = 0
    other: int = 0
    """Claims of figures that are none of the key's and are only to be listened to."""


def scored(
    claims: Path,
    srt: Path,
    names: Sequence[str],
    key: Mapping[str, Mapping[str, list[list[str]]]],
    *,
    edits: bool = True,
) -> Score:
    score = Score([], [], [], [], len(names))
    for name in names:
        file = claims / "dishes" / f"{name}.yaml"
        dish = read_source(str(file)).usable()
        assert isinstance(dish, Dish)
        transcript = read_transcript((srt / f"{name}.srt").read_bytes(), name)
        due = [Due(kind, *span_of(span), of) for kind, span, of, *_ in key[name]["claims"]]
        cut = place(dish, transcript)
        rows = judged(dish, transcript, due, cut)
        score.rightly += [Found(name, one, state) for one, state, _ in rows]
        tokens = Tokens(transcript.lines)
        for claim in claims_in(dish, transcript, cut):
            span = tokens.span(claim, transcript.lines) or (0, 0)
            if claim.verdict == DIFFERS:
                score.false.append((name, claim.kind, span))
            score.other += claim.verdict == LISTEN and not any(d.first < span[1] and span[0] < d.end for d in due)
        for factor in _FACTORS:
            wrong, moved = changed(transcript, due, factor)
            score.wrongly += [
                Found(name, replace(one, first=was.first, end=was.end), state, f"×{factor}")
                for (one, state, _), was in zip(
                    judged(dish, wrong, moved), sorted(due, key=lambda d: d.first), strict=True
                )
            ]
        if edits:
            text = file.read_text(encoding="utf-8")
            states = {one.first: state for one, state, _ in rows}
            for kind, old, new, place_of in key[name]["edits"]:
                first, end = span_of(place_of)
                other = read_source_text(text.replace(old, new), str(file)).usable()
                assert isinstance(other, Dish)
                of_other = {s.id: s for s in other.steps}
                same = replace(
                    cut, placements=tuple(replace(p, dish=other, step=of_other[p.step.id]) for p in cut.placements)
                )
                (_, state, _), *_ = judged(other, transcript, [Due(kind, first, end, "")], same)
                noticed = state if states.get(first) != DIFFERS else MISSED
                score.edits.append(Found(name, Due(kind, first, end, ""), noticed, "dish"))
    return score


@contextmanager
def weights(of: Mapping[str, float] | None) -> Iterator[None]:
    """Judge with these weights instead of the shipped ones."""
    kept = shipped.owner_weights
    if of is not None:
        shipped.owner_weights = lambda: of  # type: ignore[assignment]
    try:
        yield
    finally:
        shipped.owner_weights = kept


def learned_without(names: Sequence[str], examples: Mapping[str, Sequence[training.Example]]) -> dict[str, float]:
    """The weights from all other talks."""
    found = dict(shipped.owner_weights())
    for kind in (0, 1):
        of = {i: e[kind] for i, e in examples.items() if e[kind].choices}
        features = {f for e in of.values() for c in e.choices for _, given in c for f in given}
        features |= {f for e in of.values() for j in e.joins for to in j for one in to for f in one}
        columns = {f: n for n, f in enumerate(sorted(features))}
        others = [training.tensors(e, columns) for i, e in of.items() if i not in names]
        figures = training.learned(others, np.zeros(len(columns)))
        found |= {f: float(figures[n]) for f, n in columns.items() if f not in training.BY_HAND}
    return found


def percent(rows: Sequence[Found], *states: str) -> float:
    return 100 * sum(r.state in states for r in rows) / max(1, len(rows))


def measured(score: Score) -> Iterator[Measured]:
    yield Measured("said rightly: verified", percent(score.rightly, VERIFIED), "%", 82, at_least=True)
    yield Measured("said rightly: only to listen to", percent(score.rightly, LISTEN), "%", 10)
    yield Measured("false alarms a talk", len(score.false) / max(1, score.talks), "", 0.33)
    yield Measured("of other figures: to listen to, a talk", score.other / max(1, score.talks), "")
    if score.edits:
        yield Measured("single changes of the dish: told", percent(score.edits, DIFFERS), "%", 85, at_least=True)
    yield Measured("said ×2 and ×½: differs", percent(score.wrongly, DIFFERS), "%", 65, at_least=True)
    yield Measured("said ×2 and ×½: differs or listen", percent(score.wrongly, DIFFERS, LISTEN), "%", 80, at_least=True)
    yield Measured("said ×2 and ×½: accepted as right", percent(score.wrongly, VERIFIED, OF_ANOTHER), "%", 2)


def by_kind(score: Score) -> Iterator[str]:
    for kind in KINDS:
        for what, rows in (("rightly", score.rightly), ("wrongly", score.wrongly), ("changed", score.edits)):
            states = Counter(r.state for r in rows if r.due.kind == kind)
            if states:
                told = ", ".join(f"{state} {count}" for state, count in states.most_common())
                yield f"  {kind:<12} {what:<8} {sum(states.values()):>4}: {told}"


def worst(score: Score) -> list[str]:
    """What remains, the gravest kind first and the kinds by turns: false alarms, accepted though wrong, missed, silent."""
    kinds = [
        [f"false alarm  {kind:<12} {talk} @{a}-{b}" for talk, kind, (a, b) in score.false],
        _lines("accepted wrong", [r for r in score.wrongly if r.state in (VERIFIED, OF_ANOTHER)]),
        _lines("change untold", [r for r in score.edits if r.state != DIFFERS]),
        _lines("right, unseen", [r for r in score.rightly if r.state in (MISSED, OF_ANOTHER)]),
        _lines("wrong, silent", [r for r in score.wrongly if r.state == MISSED]),
        _lines("right, listen", [r for r in score.rightly if r.state == LISTEN]),
    ]
    return [one for of_all in itertools.zip_longest(*kinds) for one in of_all if one]


def _lines(what: str, rows: Sequence[Found]) -> list[str]:
    return [f"{what}  {r.due.kind:<12} {r.talk} @{r.due.first}-{r.due.end} {r.state} {r.changed}" for r in rows]


def main(claims: Path, srt: Path, folds: int, *, all_of_it: bool) -> None:
    key = json.loads((claims / "key.json").read_text(encoding="utf-8"))
    whole = Score([], [], [], [])
    examples = training.examples_of(claims, srt) if folds else {}
    for fold in range(folds or 1):
        names = list(key)[fold::folds] if folds else list(key)
        with weights(learned_without(names, examples) if folds else None):
            part = scored(claims, srt, names, key)
        for field in ("rightly", "wrongly", "edits", "false"):
            getattr(whole, field).extend(getattr(part, field))
        whole.talks += part.talks
        whole.other += part.other
    show(f"spoken figures of {whole.talks} talks" + (f", {folds} folds" if folds else ""), measured(whole))
    print(*by_kind(whole), sep="\n")
    print(*worst(whole)[: None if all_of_it else 20], sep="\n")


if __name__ == "__main__":
    given = [one for one in sys.argv[1:] if one != "-v"]
    main(Path(given[0]), Path(given[1]), int(given[2]) if len(given) > 2 else 0, all_of_it="-v" in sys.argv)
