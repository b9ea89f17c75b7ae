"""Learn who owns a spoken figure from talks whose dishes are written as said: scriptkit/cut/claims/owner_weights.csv.

    python -m tests.speed.claim_training CLAIMS SRT [FOLDS]

CLAIMS holds `dishes/ID.yaml` and `key.json`: `{ID: {"claims": [[kind, "@FROM-TO", of, flags]]}}`, places counted in the talk's tokens
(`[a-z0-9]+`, lower case, from 0, the end not included); SRT holds the talks. Both lie outside the repository and are never committed;
only numbers come out. With FOLDS, each talk is judged with weights learned from the others, and how many owners are right is printed.

The chain is a conditional random field (Lafferty, McCallum and Pereira 2001): its weights are those with which the true owners of
each talk are likeliest among all, with a ridge; the gradient is the difference of two forward-backward sums, one of them held to the
truth. Needs numpy.
"""

from __future__ import annotations

import json
import re
import sys
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from scriptkit.cut.claims.amount_owners import amount_row
from scriptkit.cut.claims.claim import near_of
from scriptkit.cut.claims.name_mentions import mentions_in, words_of_talk
from scriptkit.cut.claims.owner_weights import owner_weights
from scriptkit.cut.claims.time_owners import time_row
from scriptkit.cut.claims.times import beginnings, doing
from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.transcript.running_text import talk_of
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.measure.amounts import canonical_unit
from scriptkit.measure.figures import MS, figures_in
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source

TOKEN = re.compile(r"[a-z0-9]+")
RIDGE, ROUNDS, RATE = 0.2, 100, 0.12
BY_HAND = {"join: said again in another way": 0.3, "named before: of it": 4.0, "named before: which is": 1.0, "step: over: nothing waits": -3.0, "no time: another food": 3.0,
           "named before: another food between": -1.5, "named after: another food between": -1.0}  # fmt: skip
"""What the talks have no example of."""
Array = np.ndarray[Any, np.dtype[Any]]


@dataclass(frozen=True, slots=True)
class Example:
    """A row of figures of one talk: of each the features of its choices and what each choice is, and the joins; ``true`` is what
    each figure is of, empty for nothing."""

    choices: list[list[tuple[str, Mapping[str, float]]]]
    joins: list[list[list[Iterable[str]]]]
    true: list[str]


def examples_of(claims: Path, srt: Path) -> dict[str, list[Example]]:
    key = json.loads((claims / "key.json").read_text(encoding="utf-8"))
    found: dict[str, list[Example]] = {}
    for name, of_talk in key.items():
        dish = read_source(str(claims / "dishes" / f"{name}.yaml")).usable()
        assert isinstance(dish, Dish)
        transcript = read_transcript((srt / f"{name}.srt").read_bytes(), name)
        talk, near = talk_of(transcript), near_of(place(dish, transcript))
        figures = figures_in(talk.text)
        tokens = [(m.start(), m.end()) for m in TOKEN.finditer(talk.text.lower())]
        told: list[tuple[str, int, int, str]] = []
        for kind, span, of, _ in of_talk["claims"]:
            first, end = map(int, span[1:].split("-"))
            told.append((kind, tokens[first][0], tokens[end - 1][1], of.casefold()))

        def true(number: int, kind: str, told: Sequence[tuple[str, int, int, str]] = told) -> str:
            f = figures[number]  # noqa: B023
            return next((of for k, a, b, of in told if k == kind and a < f.end and f.start < b), "")

        amounts = [
            n for n, f in enumerate(figures) if not (f.unit and canonical_unit(f.unit) is None) and not f.of_a_thing
        ]
        words = words_of_talk(talk.text)
        row = amount_row(talk, figures, amounts, near, [dish], words, mentions_in(words, [dish]))
        names = [i.name.casefold() for i in dish.ingredients]
        choices: list[list[tuple[str, Mapping[str, float]]]] = [
            [("" if c.owner is None else names[c.owner.ingredient], c.features) for c in of] for of in row.choices
        ]
        times = [n for n, f in enumerate(figures) if f.unit == MS]
        of_times = time_row(talk, figures, times, near, doing, beginnings)
        steps: list[list[tuple[str, Mapping[str, float]]]] = [
            [("" if c.at is None else c.at.step.id.casefold(), c.features) for c in of] for of in of_times.choices
        ]
        found[name] = [
            Example(choices, [list(map(list, j)) for j in row.joins], [true(n, "amount") for n in amounts]),
            Example(steps, [list(map(list, j)) for j in of_times.joins], [true(n, "time") for n in times]),
        ]
    return found


@dataclass(frozen=True, slots=True)
class Tensors:
    nodes: list[Array]
    joins: list[Array]
    held: list[Array]
    """Which choices are true; all of them where none is."""


def tensors(example: Example, columns: Mapping[str, int]) -> Tensors:
    nodes, held = [], []
    for choices, true in zip(example.choices, example.true, strict=True):
        values = np.zeros((len(choices), len(columns)))
        for n, (_, features) in enumerate(choices):
            for name, value in features.items():
                values[n, columns[name]] = value
        right = np.array([what == true for what, _ in choices])
        nodes.append(values)
        held.append(right if right.any() else np.ones(len(choices), bool))
    joins = []
    for of in example.joins:
        values = np.zeros((len(of), len(of[0]), len(columns)))
        for b, to in enumerate(of):
            for c, names in enumerate(to):
                for name in names:
                    values[b, c, columns[name]] += 1
        joins.append(values)
    return Tensors(nodes, joins, held)


def log_sum(values: Array, axis: int) -> Array:
    top = values.max(axis=axis, keepdims=True)
    return np.asarray((top + np.log(np.exp(values - top).sum(axis=axis, keepdims=True))).squeeze(axis))


def sums(nodes: Sequence[Array], joins: Sequence[Array]) -> tuple[list[Array], list[Array]]:
    """How likely each choice is, and each pair of choices beside one another."""
    ahead = [nodes[0]]
    for n in range(1, len(nodes)):
        ahead.append(nodes[n] + log_sum(ahead[-1][:, None] + joins[n - 1], 0))
    back = [np.zeros(len(nodes[-1]))]
    for n in range(len(nodes) - 2, -1, -1):
        back.insert(0, log_sum(joins[n] + (nodes[n + 1] + back[0])[None, :], 1))
    whole = log_sum(ahead[-1], 0)
    one = [np.exp(a + b - whole) for a, b in zip(ahead, back, strict=True)]
    two = [
        np.exp(ahead[n][:, None] + joins[n] + (nodes[n + 1] + back[n + 1])[None, :] - whole)
        for n in range(len(nodes) - 1)
    ]
    return one, two


def learned(rows: Sequence[Tensors], prior: Array) -> Array:
    """The weights, by Adam (Kingma and Ba 2015); the ridge draws them to ``prior``, what other talks have told before."""
    weights, first, second = prior.copy(), np.zeros(len(prior)), np.zeros(len(prior))
    for turn in range(1, ROUNDS + 1):
        slope = -RIDGE * (weights - prior) * len(rows)
        for row in rows:
            nodes, joins = [x @ weights for x in row.nodes], [x @ weights for x in row.joins]
            free_one, free_two = sums(nodes, joins)
            held = [np.where(right, value, value - 30) for value, right in zip(nodes, row.held, strict=True)]
            true_one, true_two = sums(held, joins)
            for x, free, true in zip(row.nodes, free_one, true_one, strict=True):
                slope = slope + x.T @ (true - free)
            for x, free, true in zip(row.joins, free_two, true_two, strict=True):
                slope = slope + np.tensordot(true - free, x, 2)
        first = 0.9 * first + 0.1 * slope
        second = 0.99 * second + 0.01 * slope**2
        rate = RATE * (1 if turn < ROUNDS * 0.7 else 0.3)
        weights = weights + rate * (first / (1 - 0.9**turn)) / (np.sqrt(second / (1 - 0.99**turn)) + 1e-6)
    return weights


def before(columns: Mapping[str, int]) -> Array:
    """The shipped weights: what was learned from earlier talks is kept where the new ones do not tell otherwise."""
    known = owner_weights()
    return np.array([known.get(name, 0.0) for name in columns])


def right(example: Example, row: Tensors, weights: Array) -> tuple[int, int, int, int]:
    """Owners right, owners in all, nothings right, nothings in all."""
    one, _ = sums([x @ weights for x in row.nodes], [x @ weights for x in row.joins])
    found = [0, 0, 0, 0]
    for choices, share, true in zip(example.choices, one, example.true, strict=True):
        by: dict[str, float] = {}
        for (what, _), p in zip(choices, share, strict=True):
            by[what] = by.get(what, 0.0) + float(p)
        at = 0 if true else 2
        found[at] += max(by, key=by.__getitem__) == true
        found[at + 1] += 1
    return found[0], found[1], found[2], found[3]


def main(claims: Path, srt: Path, folds: int, say: Callable[[str], None] = print) -> None:
    data = examples_of(claims, srt)
    for kind, name in ((0, "amounts"), (1, "times")):
        of = {i: e[kind] for i, e in data.items() if e[kind].choices}
        features = {f for e in of.values() for c in e.choices for _, given in c for f in given}
        features |= {f for e in of.values() for j in e.joins for to in j for names in to for f in names}
        columns = {f: n for n, f in enumerate(sorted(features))}
        rows = {i: tensors(e, columns) for i, e in of.items()}
        if folds:
            told = [0, 0, 0, 0]
            for fold in range(folds):
                out = list(of)[fold::folds]
                weights = learned([rows[i] for i in of if i not in out], np.zeros(len(columns)))
                for i in out:
                    told = [a + b for a, b in zip(told, right(of[i], rows[i], weights), strict=True)]
            say(f"{name}: owners {told[0]} of {told[1]}, nothing {told[2]} of {told[3]}")
            continue
        weights = learned(list(rows.values()), before(columns))
        for f in sorted({**columns, **{k: 0 for k in BY_HAND if kind == 0}}):
            say(f"{f},{BY_HAND.get(f, float(weights[columns[f]]) if f in columns else 0.0):.3f}")


if __name__ == "__main__":
    main(Path(sys.argv[1]), Path(sys.argv[2]), int(sys.argv[3]) if len(sys.argv) > 3 else 0)
