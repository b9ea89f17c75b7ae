"""What a sentence does to an addition, in running talk: how many confessions are bound rightly, and how many harmless sentences
are taken for one.

    python -m tests.speed.confessions [DATA] [-v]

Each sentence of tests/cut/confessions.csv and confessions_clauses.csv (and of confessions_apart.csv, which were set apart until they were read, confessions_plain.csv, confessions_many_voices.csv and confessions_terse.csv) is put into the example meal's
talk. DATA is the folder of the step-alignment benchmark, outside the repository: what its real talks, which confess hardly anything,
are taken to confess is counted, and printed with -v to be read. Asserts nothing.
"""

from __future__ import annotations

import csv
import json
import re
import sys
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from scriptkit.cut.coverage.addition_effects import NONE, SHOWN, AdditionEffect, effects_of
from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.transcript.transcript import SpokenLine, Transcript
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.english.effect_kinds import GOES_IN
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from tests.speed.measured import Measured, show

EXAMPLES = Path(__file__).parent.parent.parent / "examples"
TABLES = Path(__file__).parent.parent / "cut"
STARTS = {
    "dice-celeriac": 9, "slice-fennel": 24, "chop-chives": 33, "dry-hake": 42, "chop-parsley": 54, "soften-fennel": 64, "simmer": 82,
    "blend": 101, "finish": 118, "plate-bisque": 139, "sear-hake": 175, "turn-hake": 201, "brown-butter": 212, "plate-hake": 229,
    "closing": 248,
}  # fmt: skip
"""Seconds at which each step of the example's cut begins."""
SETS = {
    "confessions.csv": "sentences read and tuned on",
    "confessions_clauses.csv": "sentences of other speakers",
    "confessions_apart.csv": "sentences apart",
    "confessions_plain.csv": "sentences of a plain speaker",
    "confessions_many_voices.csv": "sentences of many voices",
    "confessions_terse.csv": "sentences short and long",
}


@dataclass(frozen=True, slots=True)
class Case:
    """``effect`` is empty for a harmless sentence; ``of``: ingredient, or ingredient@step."""

    place: str
    effect: str
    of: frozenset[str]
    words: str


def cases(file: str) -> list[Case]:
    rows = [r for r in (TABLES / file).read_text(encoding="utf-8").splitlines() if not r.startswith("#")]
    return [
        Case(r["place"], r["effect"].replace("-", ""), frozenset(n.strip() for n in r["of"].split(";") if n.strip()), r["words"])
        for r in csv.DictReader(rows)
    ]  # fmt: skip


def supper() -> tuple[Meal, tuple[SpokenLine, ...]]:
    source = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
    assert isinstance(source, Meal)
    raw = (EXAMPLES / "harbour-supper-cut.srt").read_bytes()
    return source, read_transcript(raw, "cut.srt").lines


def talk_with(case: Case, lines: tuple[SpokenLine, ...]) -> Transcript:
    """The example's talk with the sentence at the end of the step; without stops where the sentence has none."""
    bare = case.words[0].islower() and not case.words.endswith(".")
    ids = list(STARTS)
    until = 10**9 if case.place in ("end", ids[-1]) else STARTS[ids[ids.index(case.place) + 1]] * 1000
    before = [one for one in lines if one.start_ms < until]
    after = [one for one in lines if one.start_ms >= until]
    at = before[-1].end_ms + 300
    long = 350 * len(case.words.split())
    said = SpokenLine(at, at + long, case.words, 0)
    moved = [SpokenLine(o.start_ms + long + 300, o.end_ms + long + 300, o.text, 0) for o in after]
    texts = [
        SpokenLine(o.start_ms, o.end_ms, re.sub(r"[.,;:!?]", "", o.text).lower() if bare else o.text, n)
        for n, o in enumerate([*before, said, *moved], 1)
    ]
    return Transcript(file="cut.srt", lines=tuple(texts), problems=())


def told(effects: tuple[AdditionEffect, ...]) -> dict[str, str]:
    """Addition → what was said of it, where that is more than that it goes in."""
    several = [e.addition.ingredient.name for e in effects]
    found = {}
    for e in effects:
        what = "unfilmed" if e.unfilmed and e.effect == GOES_IN else e.effect
        if what not in (GOES_IN, SHOWN, NONE):
            name = e.addition.ingredient.name
            found[f"{name}@{e.step.id}" if several.count(name) > 1 else name] = what
    return found


def judged(file: str) -> Iterator[tuple[Case, dict[str, str], bool]]:
    source, lines = supper()
    for case in cases(file):
        transcript = talk_with(case, lines)
        found = told(effects_of(source, transcript, place(source, transcript)))
        yield case, found, found == dict.fromkeys(case.of, case.effect)


def of_a_set(file: str, what: str, *, verbose: bool) -> Iterator[Measured]:
    rows = list(judged(file))
    for case, found, right in rows:
        if verbose and not right:
            print(f"  {case.effect or 'harmless':9} {', '.join(sorted(case.of)):12} {found}  “{case.words}”")
    real = [right for case, _, right in rows if case.effect]
    harmless = [right for case, _, right in rows if not case.effect]
    yield Measured(f"{what}: bound rightly, of {len(real)}", 100 * sum(real) / len(real), "%", 90, at_least=True)
    yield Measured(f"{what}: harmless and taken for one, of {len(harmless)}", len(harmless) - sum(harmless), "", 2)


def real_talks(data: Path) -> Iterator[tuple[str, Dish, Transcript]]:
    """The talks of the benchmark, each with a dish that has its ingredients at the steps that name them."""
    from tests.speed.step_alignment import dish_of

    with tempfile.TemporaryDirectory() as folder:
        for file in sorted((data / "srt").glob("*.srt")):
            recipe = json.loads((data / "recipe" / f"{file.stem}.json").read_text(encoding="utf-8"))
            names = recipe["ingredients"] or []
            dish_of(recipe, [], Path(folder))
            text = (Path(folder) / "dish.yaml").read_text(encoding="utf-8")
            whole = json.loads(text)
            stems = [(n, next((s for s in whole["steps"] if n.split()[-1] in s["do"]), None)) for n in names]
            for name, step in stems:
                if step is not None:
                    step.setdefault("add", {})[name] = "to taste"
            (Path(folder) / "dish.yaml").write_text(json.dumps(whole), encoding="utf-8")
            source = read_source(str(Path(folder) / "dish.yaml")).usable()
            assert isinstance(source, Dish)
            yield file.stem, source, read_transcript(file.read_bytes(), file.stem)


def of_real_talks(data: Path, *, verbose: bool) -> Iterator[Measured]:
    count = talks = 0
    for stem, source, transcript in real_talks(data):
        talks += 1
        for e in effects_of(source, transcript, place(source, transcript)):
            if e.effect not in (GOES_IN, SHOWN, NONE) or e.unfilmed:
                count += 1
                if verbose:
                    unfilmed = " unfilmed" if e.unfilmed else ""
                    print(f"  {stem} {e.effect}{unfilmed} {e.addition.ingredient.name}: {e.words}")
    yield Measured(f"taken for confessions in {talks} real talks", count, "", 40)


def main() -> None:
    verbose = "-v" in sys.argv
    data = [Path(a) for a in sys.argv[1:] if a != "-v"]
    for file, what in SETS.items():
        show(what, of_a_set(file, what, verbose=verbose and file != "confessions_apart.csv"))
    if data:
        show("real talks", of_real_talks(data[0], verbose=verbose))


if __name__ == "__main__":
    main()
