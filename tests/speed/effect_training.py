"""Learn what is said to become of an ingredient: scriptkit/english/effect_weights.csv.

    python -m tests.speed.effect_training [DATA] [FOLDS] [-v]

The lines that it is learned from are invented, of many speakers, and stand in tests/cut/spoken_effects/ (a file a hand) and
tests/cut/confessions*.csv; each is said in the talk of its dish. Names that stand in a line, or the last before it where the line has
only *it*, have the line's effect, all others have none. DATA is the folder of the step-alignment benchmark, outside the repository: names
in its real talks, which confess hardly anything, have none either. With FOLDS, each file of tests/cut/spoken_effects/ is judged with
weights learned from all others, whole files in turn, and nothing is written.

Softmax regression by AdaGrad (Duchi, Hazan and Singer 2011); features that weigh little are left out, and the rest is learned again.
Needs numpy.
"""

from __future__ import annotations

import csv
import random
import re
import sys
from collections import Counter, defaultdict
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from scriptkit.cut.coverage.addition_effects import Scene, effects_of
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.english import effect_weights, learned_effects
from scriptkit.english.effect_features import features_of
from scriptkit.english.effect_weights import BEFOREHAND, COLUMNS, KINDS, NOTHING, SCALE, EffectWeights
from tests.cut.four_talks import Said, sentences, talk, talked_of, talks
from tests.speed.confessions import SETS, cases, real_talks, supper, talk_with, told

HANDS = Path(__file__).parent.parent / "cut" / "spoken_effects"
WEIGHTS = Path(effect_weights.__file__).with_name("effect_weights.csv")
SEEN, ROUNDS, RATE, TOGETHER = 3, 14, 0.3, 96
"""How often a feature must stand to be learned, how often all names are gone through, how fast, and how many at once."""
KEPT = 11_600
HIDDEN = 0.4
"""Share of the features that each round hides, so that no single one is leant on (dropout; Srivastava and others 2014)."""
REAL = 0.3
"""How much a name in a real talk counts, beside one in an invented line."""
AROUND = 200
"""Characters before and after a line in which names are told apart from its own."""
TUNED = "tuned"
"""Lines that the phrases were written for: what phrases say of them is no guide to how far they can be believed."""
Array = np.ndarray[Any, np.dtype[Any]]


@dataclass(frozen=True, slots=True)
class Named:
    """A name in talk: of which hand, its features, what becomes of it, how much it counts."""

    hand: str
    features: frozenset[str]
    effect: str
    counts: float = 1.0


def lines() -> Iterator[tuple[str, Said]]:
    """Every invented line with its hand."""
    for file in sorted(HANDS.glob("*.csv")):
        with file.open(encoding="utf-8", newline="") as rows:
            for r in csv.DictReader(rows):
                of = _at_its_step(r, frozenset(n.strip() for n in r["of"].split(";") if n.strip()))
                yield (
                    file.stem,
                    Said(r["dish"], r["place"], r["spoken"] == "u", r["effect"].replace("-", ""), of, r["words"]),
                )
    yield from ((TUNED, said) for said in sentences())


def _at_its_step(row: dict[str, str], of: frozenset[str]) -> frozenset[str]:
    """Where an ingredient goes in at several steps, and the line is said at one of them, that step is meant."""
    steps = {s.id: {a.ingredient.name for a in s.additions} for s in talked_of(row["dish"]).steps}
    several = Counter(name for names in steps.values() for name in names)
    here = steps.get(row["place"], set())
    return frozenset(f"{n}@{row['place']}" if several[n] > 1 and n in here else n for n in of)


FAR = 0.2
"""The share of the names beside a line, of which nothing is told, that is learned from."""


def named_in(hand: str, said: Said, seed: int) -> Iterator[Named]:
    """The names of the line, and those about it."""
    scene = Scene(talked_of(said.dish), *talk(said, seed))
    yield from _named(hand, scene, said.words, said.bare, said.of, said.effect)


def of_the_supper() -> Iterator[Named]:
    """The same of the lines that are said in the example meal's talk."""
    source, spoken = supper()
    for file in SETS:
        for case in cases(file):
            scene = Scene(source, talk_with(case, spoken), None)
            bare = case.words[0].islower() and not case.words.endswith(".")
            yield from _named(TUNED, scene, case.words, bare, case.of, case.effect)


def admitted() -> Iterator[Named]:
    """The same of single sentences of the camera (tests/cut/admitted.txt), where they name something or admit nothing."""
    source, _ = supper()
    for row in (HANDS.parent / "admitted.txt").read_text(encoding="utf-8").splitlines():
        text, _, of = row.partition("\t")
        if not row.startswith("#") and of != "?":
            line = SpokenLine(0, 4000, text, 1)
            scene = Scene(source, Transcript(file="cut.srt", lines=(line,), problems=()), None)
            yield from _named(TUNED, scene, text, False, [of], "unfilmed" if of != "-" else "")


def of_the_talks() -> Iterator[Named]:
    """The names of the talks themselves, in which all goes in as it is written: in the whole talk, and each sentence alone."""
    for dish, places in talks().items():
        for place, text in places.items():
            for bare in (False, True):
                scene = Scene(talked_of(dish), talk(Said(dish, place, bare, "", frozenset(), ""))[0], None)
                for sentence in re.findall(r"[^.!?]+[.!?]", text):
                    line = SpokenLine(
                        0, 4000, re.sub(r"[.,;:!?]", "", sentence).lower() if bare else sentence.strip(), 1
                    )
                    alone = Scene(talked_of(dish), Transcript(file="cut.srt", lines=(line,), problems=()), None)
                    yield from (
                        Named("talks", _features(alone, n, rules=True), NOTHING) for n in range(len(alone.mentions))
                    )
            if bare:
                yield from (
                    Named("talks", _features(scene, n, rules=True), NOTHING, 0.1) for n in range(len(scene.mentions))
                )


def _named(hand: str, scene: Scene, text: str, bare: bool, of: Iterable[str], effect: str) -> Iterator[Named]:
    words = (re.sub(r"[.,;:!?]", "", text).lower() if bare else text).split()
    first = scene.talk.text.find(" ".join(words[:4]))
    last = first + len(" ".join(words))
    of = {n.partition("@")[0] for n in of}
    chance = random.Random(len(text))
    meant = [n for n in range(len(scene.mentions)) if of & _names(scene, n)]
    inside = [n for n in meant if first <= scene.spans[n][0] <= last]
    gold = inside or [n for n in meant if scene.spans[n][0] < first][-1:]
    for name, (start, _) in enumerate(scene.spans):
        about = first - AROUND <= start <= last + AROUND and chance.random() < FAR
        if first <= start <= last or name in gold or about:
            yield Named(hand, _features(scene, name, rules=hand != TUNED), (name in gold and effect) or NOTHING)


def _names(scene: Scene, name: int) -> set[str]:
    return {scene.dishes[o.dish].ingredients[o.ingredient].name for o in scene.mentions[name].owners}


def _features(scene: Scene, name: int, *, rules: bool) -> frozenset[str]:
    texts = [t.text for t in scene.tokens]
    same = {f"@{n}" for n, of in enumerate(scene.ingredient_of) if of == scene.ingredient_of[name]}
    found = features_of(texts, texts.index(f"@{name}"), same, scene.phrases, scene.around)
    return found if rules else frozenset(f for f in found if not f.startswith(("told ", "nothing told")))


def names_of_real_talks(data: Path) -> Iterator[Named]:
    for _, source, transcript in real_talks(data):
        scene = Scene(source, transcript, None)
        for name in range(len(scene.mentions)):
            yield Named("real", _features(scene, name, rules=True), NOTHING, REAL)


def learned(rows: Sequence[Named], kept: int = KEPT) -> dict[str, Array]:
    """Feature → its figures, of those that weigh most."""
    counts = Counter(f for row in rows for f in row.features)
    first = _fitted(rows, sorted(f for f, n in counts.items() if n >= SEEN))
    heaviest = sorted(first, key=lambda f: (-float(np.abs(first[f]).max()) * counts[f] ** 0.5, f))[:kept]
    return _fitted(rows, sorted(heaviest))


def _fitted(rows: Sequence[Named], features: Sequence[str]) -> dict[str, Array]:
    number = {f: n for n, f in enumerate(features)}
    each = [np.array(sorted(number[f] for f in row.features if f in number), dtype=np.int64) for row in rows]
    effects = np.array([KINDS.index(row.effect) for row in rows])
    counts = np.array([row.counts for row in rows])
    weights, squares = np.zeros((len(features), len(KINDS))), np.full(len(features), 0.5)
    draw = np.random.default_rng(1)
    for _ in range(ROUNDS):
        order = draw.permutation(len(rows))
        for start in range(0, len(rows), TOGETHER):
            some = order[start : start + TOGETHER]
            at = np.concatenate([each[n] for n in some])
            of = np.repeat(np.arange(len(some)), [len(each[n]) for n in some])
            seen = draw.random(len(at)) >= HIDDEN
            at, of = at[seen], of[seen]
            sums = np.zeros((len(some), len(KINDS)))
            np.add.at(sums, of, weights[at])
            sums[:, 0] += BEFOREHAND
            slope = np.exp(sums - sums.max(1, keepdims=True))
            slope /= slope.sum(1, keepdims=True)
            slope[np.arange(len(some)), effects[some]] -= 1
            slope *= counts[some, None]
            own, back = np.unique(at, return_inverse=True)
            step = np.zeros((len(own), len(KINDS)))
            np.add.at(step, back, slope[of])
            squares[own] += (step * step).sum(1)
            weights[own] -= RATE / np.sqrt(squares[own])[:, None] * step
    return {f: weights[n] * (1 - HIDDEN) for f, n in number.items()}


def as_rows(weights: dict[str, Array]) -> dict[str, tuple[int, ...]]:
    found = {f: tuple(round(float(one) * SCALE) for one in weights[f]) for f in sorted(weights)}
    return {f: row for f, row in found.items() if any(row)}


def judge(hand: str, verbose: bool) -> tuple[int, int, int, int]:
    """Of the hand's lines: bound rightly, of how many; harmless ones taken for one, of how many."""
    right = real = false = harmless = 0
    for n, (own, said) in enumerate(lines()):
        if own != hand:
            continue
        found = told(effects_of(talked_of(said.dish), *talk(said, n)))
        good = found == (dict.fromkeys(said.of, said.effect) if said.effect else {})
        if said.effect:
            real, right = real + 1, right + good
        else:
            harmless, false = harmless + 1, false + (not good)
        if verbose and not good:
            print(f"  {said.effect or 'harmless':9} {', '.join(said.of):14} {found}  “{said.words}”")
    return right, real, false, harmless


def main() -> None:
    args = [a for a in sys.argv[1:] if a != "-v"]
    data = [Path(a) for a in args if not a.isdigit()]
    rows = [row for n, (hand, said) in enumerate(lines()) for row in named_in(hand, said, n)]
    rows += [*of_the_supper(), *admitted(), *of_the_talks()]
    rows += [row for folder in data for row in names_of_real_talks(folder)]
    hands = sorted({row.hand for row in rows} - {TUNED, "real", "talks"})
    if folds := next((int(a) for a in args if a.isdigit()), 0):
        totals: dict[int, int] = defaultdict(int)
        for k in range(folds):
            held = hands[k::folds]
            figures = as_rows(learned([row for row in rows if row.hand not in held]))
            weights = EffectWeights({f: ",".join(map(str, (f, *row))) for f, row in figures.items()})
            for module in (effect_weights, learned_effects):
                module.effect_weights = lambda weights=weights: weights  # type: ignore[attr-defined]
            for hand in held:
                counts = judge(hand, verbose="-v" in sys.argv)
                print(
                    f"{hand:28} {counts[0]:3} of {counts[1]:3} bound rightly, {counts[2]:2} of {counts[3]:3} harmless ones taken for one",
                    flush=True,
                )
                for n, count in enumerate(counts):
                    totals[n] += count
        print(
            f"{'all':28} {totals[0]} of {totals[1]} ({100 * totals[0] / totals[1]:.1f} %), {totals[2]} of {totals[3]} false"
        )
        return
    found = as_rows(learned(rows))
    with WEIGHTS.open("w", encoding="utf-8", newline="") as file:
        file.write(
            ",".join(COLUMNS) + "\n# Learned by `python -m tests.speed.effect_training`; 16 times logarithms of odds.\n"
        )
        csv.writer(file, lineterminator="\n").writerows([f, *row] for f, row in found.items())
    print(len(found), "features,", WEIGHTS.stat().st_size // 1000, "kB, from", len(rows), "names")


if __name__ == "__main__":
    main()
