"""Learn the weights of step placement from the benchmark's 160 videos, and write them as scriptkit/cut/placing/weights.csv.

    python -m tests.speed.step_training DATA [FOLDS]

DATA is the folder that the benchmark's build.py wrote; it lies outside the repository and is never committed. Only numbers come
out. With FOLDS, each video is placed with weights learned from the others, and the figures are printed instead.

The chain of scriptkit/cut/placing/forward_backward.py is a conditional random field (Lafferty, McCallum and Pereira 2001): its weights are those
with which the true way through each cut is likeliest among all ways, with a ridge; the gradient is the difference of two
forward-backward sums, one of them held to the true way (give or take a stretch at each border). Needs numpy.
"""

from __future__ import annotations

import json
import math
import random
import sys
from dataclasses import dataclass
from pathlib import Path
from typing import Any

import numpy as np

from scriptkit.cut.placing.evidence import FEATURES, LENGTHS, lengths_of, query, rows_for
from scriptkit.cut.placing.place_steps import ABOUT_MS, Work, likeliest, sureness
from scriptkit.cut.placing.planned_places import FIRST_STEP, STEPS_SHARE
from scriptkit.cut.placing.speech import MOOD_NAMES, Speech, speech_of
from scriptkit.cut.placing.video_match import signs
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.english.stems import stems_in
from scriptkit.english.step_reading import StepReading

Array = Any  # numpy's own types say no more here
WEIGHTS = Path(__file__).parent.parent.parent / "scriptkit" / "cut" / "placing" / "weights.csv"
SECONDS = 2.0
ROUNDS, RIDGE, RATE = 80, 1.0, 0.08
WITHIN_S = 5.0
"""A placement is right that is so near to its step."""
DIRECT, LEFT_OUT = -4.0, -12.0
SURE_OF_CUTS = 0.7367, 0.4759
"""By what confidences are multiplied, as logarithms of odds, and what is added, so that they hold in cuts of one dish and of two alike:
fitted to what `python -m tests.speed.order_of_cut DATA 40` places with the weights of one dish."""
OTHER_DISH = {"other dish": 0.0, "other dish in the middle": -2.0, "after a later step": -3.0}
"""Not learned: in the benchmark no step follows without a pause, and none is left out."""


@dataclass
class Video:
    name: str
    speech: Speech
    queries: list[Any]
    rows: list[Any]
    figures: Array
    moods: Array
    lengths: Array
    truth: list[tuple[float, float]]
    way: Array


def videos(data: Path) -> list[Video]:
    found = []
    for gold in sorted((data / "gold").glob("*.json")):
        recipe = json.loads((data / "recipe" / gold.name).read_text(encoding="utf-8"))
        truth = [(s["start"], s["end"]) for s in json.loads(gold.read_text(encoding="utf-8"))["steps"]]
        found.append(video(gold.stem, recipe, (data / "srt" / f"{gold.stem}.srt").read_bytes(), truth))
    return found


def video(name: str, recipe: dict[str, Any], srt: bytes, truth: list[tuple[float, float]]) -> Video:
    steps = recipe["steps"]
    ingredients = frozenset(s for one in recipe["ingredients"] or () for s in stems_in(one))
    queries = [
        query(StepReading(sentence=do), (), "", FIRST_STEP + STEPS_SHARE * (n + 0.5) / len(steps))
        for n, do in enumerate(steps)
    ]
    speech = speech_of(read_transcript(srt, name), ingredients, 2 * len(steps) + 2)
    rows = rows_for(queries, speech, ingredients)
    figures = np.zeros((len(steps), speech.bins, len(FEATURES) + 1))
    for i, of_step in enumerate(rows):
        for k, row in enumerate(of_step):
            for t, value in row.items():
                figures[i, t, k] = value
        figures[i, :, -1] = -10 * ((np.arange(speech.bins) + 0.5) / speech.bins - queries[i].planned) ** 2
    way = np.zeros(speech.bins, int)
    for t in range(speech.bins):
        for i, (start, end) in enumerate(truth):
            now = (t + 0.5) * speech.bin_ms / 1000
            if start <= now <= end:
                way[t] = 2 * i + 1
                break
            if now > end:
                way[t] = 2 * i + 2
    lengths = np.array([lengths_of(q) for q in queries])
    return Video(name, speech, queries, rows, figures, np.array(speech.moods), lengths, truth, way)


class Batch:
    """Videos side by side, padded; states are talk, step, talk, step, …, talk."""

    def __init__(self, videos: list[Video]) -> None:
        self.videos = videos
        self.count = len(videos)
        self.bins = max(v.speech.bins for v in videos) + 1  # every cut ends in talk
        self.steps = max(len(v.queries) for v in videos)
        self.states = 2 * self.steps + 1
        self.figures = np.zeros((self.count, self.steps, self.bins, len(FEATURES) + 1))
        self.moods = np.zeros((self.count, self.bins, len(MOOD_NAMES)))
        self.lengths = np.zeros((self.count, self.steps, len(LENGTHS)))
        self.open = np.zeros((self.count, self.bins, self.states))
        self.held = np.zeros((self.count, self.bins, self.states))
        self.last = np.zeros((self.count, self.states))
        self.longer = np.zeros(self.count)
        self.odd = np.arange(self.states) % 2 == 1
        for n, v in enumerate(videos):
            steps, bins = len(v.queries), v.speech.bins
            self.figures[n, :steps, :bins] = v.figures
            self.moods[n, :bins] = v.moods
            self.lengths[n, :steps] = v.lengths
            self.open[n, :bins, : 2 * steps + 1] = 1
            self.open[n, bins:, 2 * steps] = 1
            self.last[n, 2 * steps] = 1
            self.longer[n] = math.log(bins * SECONDS / steps / 40)
            for t in range(bins):
                first, after = max(t - 1, 0), min(t + 1, bins - 1)
                self.held[n, t, min(v.way[first], v.way[t]) : max(v.way[t], v.way[after]) + 1] = 1
            self.held[n, bins:, 2 * steps] = 1
        self.ends = np.array([2 * len(v.queries) for v in videos])

    def start(self) -> dict[str, Array]:
        moods = np.zeros(len(MOOD_NAMES))
        return {
            "figures": np.zeros(len(FEATURES) + 1), "any": np.zeros(1), "opening": moods, "between": moods.copy(),
            "closing": moods.copy(), "lengths": np.zeros(len(LENGTHS)), "goes on": np.array([2.3, 2.8, 2.3, 0.0, 2.8, -0.3]),
        }  # fmt: skip

    def fit(self, p: dict[str, Array]) -> Array:
        fit = np.zeros((self.count, self.bins, self.states))
        fit[:, :, 1::2] = np.transpose(self.figures @ p["figures"], (0, 2, 1)) + p["any"][0]
        fit[:, :, 2::2] += (self.moods @ p["between"])[:, :, None]
        fit[:, :, 0] += self.moods @ p["opening"]
        fit[np.arange(self.count), :, self.ends] += self.moods @ p["closing"] - self.moods @ p["between"]
        for n, v in enumerate(self.videos):
            fit[n, v.speech.bins :] = 0
        return fit

    def follow(self, p: dict[str, Array]) -> tuple[Array, Array, Array]:
        between, opening, step, longer, closing, ends = p["goes on"]
        stay = np.zeros((self.count, self.states))
        stay[:, ~self.odd] = between
        stay[:, 0] = opening
        stay[:, 1::2] = step + (longer * self.longer)[:, None] + self.lengths @ p["lengths"]
        stay = np.where(self.last > 0, closing, stay)
        on = np.where(self.odd, ends, 0.0) * np.ones((self.count, 1))
        return np.exp(stay), np.exp(on), np.exp(DIRECT) * self.odd

    def sums(self, fit: Array, follow: tuple[Array, Array, Array], mask: Array) -> tuple[Array, Array, Array, Array]:
        """Log of the sum over all ways, the share of each state, and expected counts of staying and going on."""
        stay, on, over = follow
        top = fit.max(2, keepdims=True)
        x = np.exp(fit - top) * mask
        a = np.empty_like(x)
        scale = np.empty(x.shape[:2])
        now = np.zeros_like(stay)
        now[:, :2] = 1
        now = now * x[:, 0]
        for t in range(self.bins):
            if t:
                before = a[:, t - 1]
                now = before * stay
                now[:, 1:] += (before * on)[:, :-1]
                now[:, 2:] += (before * over)[:, :-2]
                now = now * x[:, t]
            scale[:, t] = np.maximum(now.sum(1), 1e-300)
            a[:, t] = now / scale[:, t][:, None]
        b = np.empty_like(x)
        now = self.last.copy()
        now[:, :-1] += self.last[:, 1:]
        b[:, -1] = now
        whole = np.maximum((a[:, -1] * now).sum(1), 1e-300)
        stays, ons = np.zeros_like(stay), np.zeros_like(stay)
        for t in range(self.bins - 2, -1, -1):
            e = x[:, t + 1] * now / scale[:, t + 1][:, None]
            stays += a[:, t] * stay * e
            now = stay * e
            step = on[:, :-1] * e[:, 1:]
            ons[:, :-1] += a[:, t, :-1] * step
            now[:, :-1] += step
            now[:, :-2] += over[:-2] * e[:, 2:]
            b[:, t] = now
        log = np.log(scale).sum(1) + top[:, :, 0].sum(1) + np.log(whole)
        return log, a * b / whole[:, None, None], stays / whole[:, None], ons / whole[:, None]

    def gradient(self, p: dict[str, Array]) -> dict[str, Array]:
        fit, follow = self.fit(p), self.follow(p)
        free, shares, stays, ons = self.sums(fit, follow, self.open)
        true, t_shares, t_stays, t_ons = self.sums(fit, follow, self.open * self.held)
        ok = (true - free > -1e4)[:, None]
        d = (t_shares - shares) * ok[:, :, None]
        for n, v in enumerate(self.videos):
            d[n, v.speech.bins :] = 0
        closing = d[np.arange(self.count), :, self.ends]
        between = d[:, :, 2::2].sum(2) - closing
        ds, do = (t_stays - stays) * ok, (t_ons - ons) * ok
        last, first = (ds * self.last).sum(), ds[:, 0].sum()
        return {
            "figures": np.einsum("bti,bitk->k", d[:, :, 1::2], self.figures, optimize=True),
            "any": np.array([d[:, :, 1::2].sum()]),
            "opening": np.einsum("bt,btm->m", d[:, :, 0], self.moods),
            "between": np.einsum("bt,btm->m", between, self.moods),
            "closing": np.einsum("bt,btm->m", closing, self.moods),
            "lengths": np.einsum("bi,biq->q", ds[:, 1::2], self.lengths),
            "goes on": np.array(
                [
                    ds[:, ~self.odd].sum() - first - last, first, ds[:, 1::2].sum(),
                    (ds[:, 1::2] * self.longer[:, None]).sum(), last, do[:, 1::2].sum(),
                ]
            ),
        }  # fmt: skip

    def shares(self, p: dict[str, Array]) -> list[list[list[float]]]:
        _, found, _, _ = self.sums(self.fit(p), self.follow(p), self.open)
        return [found[n, : v.speech.bins, 1 : 2 * len(v.queries) : 2].T.tolist() for n, v in enumerate(self.videos)]


def learn(batch: Batch) -> dict[str, Array]:
    """Gradient ascent with running means (Kingma and Ba 2015)."""
    p = batch.start()
    mean = {k: 0 * v for k, v in p.items()}
    square = {k: 0 * v for k, v in p.items()}
    for n in range(1, ROUNDS + 1):
        rate = RATE * (1 if n < ROUNDS * 0.6 else 0.3 if n < ROUNDS * 0.85 else 0.1)
        for k, raw in batch.gradient(p).items():
            g = (raw - (RIDGE * p[k] if k != "goes on" else 0)) / batch.count
            mean[k] = 0.9 * mean[k] + 0.1 * g
            square[k] = 0.98 * square[k] + 0.02 * g * g
            p[k] = p[k] + rate * (mean[k] / (1 - 0.9**n)) / (np.sqrt(square[k] / (1 - 0.98**n)) + 1e-8)
    return p


def logistic(x: Array, y: Array, ridge: float = 3.0) -> Array:
    """Weights of a logistic regression, the constant last (Newton's method)."""
    x = np.c_[x, np.ones(len(x))]
    w = np.zeros(x.shape[1])
    held = ridge * np.r_[np.ones(x.shape[1] - 1), 0]
    for _ in range(40):
        q = 1 / (1 + np.exp(-x @ w))
        w += np.linalg.solve((x * (q * (1 - q))[:, None]).T @ x + np.diag(held + 1e-9), x.T @ (y - q) - held * w)
    return w


def folds(videos: list[Video], count: int) -> list[tuple[list[int], list[int]]]:
    order = list(range(len(videos)))
    random.Random(7).shuffle(order)
    return [(sorted(set(order) - set(order[f::count])), sorted(order[f::count])) for f in range(count)]


def out_of_fold(videos: list[Video], count: int) -> list[list[list[float]]]:
    """Shares for every video, by weights that were learned without it."""
    found: list[Any] = [None] * len(videos)
    for train, test in folds(videos, count):
        p = learn(Batch([videos[n] for n in train]))
        for n, shares in zip(test, Batch([videos[n] for n in test]).shares(p), strict=True):
            found[n] = shares
    return found


def placed(videos: list[Video], shares: list[Any]) -> list[tuple[int, int, bool, float, dict[str, float]]]:
    """For each step: its video, its number, whether it is hit, by how many seconds it is missed, and what tells how sure."""
    rows = []
    for n, (v, of_video) in enumerate(zip(videos, shares, strict=True)):
        work = Work(pairs=(), queries=v.queries, speech=v.speech, rows=v.rows, shares=of_video)
        for i, (start, end) in enumerate(v.truth):
            at = likeliest(of_video[i], round(ABOUT_MS / v.speech.bin_ms))
            now = (at + 0.5) * v.speech.bin_ms / 1000
            off = max(start - now, now - end, 0)
            rows.append((n, i, off <= 0, off, sureness(work, i, at)))
    return rows


def report(videos: list[Video], count: int) -> None:
    rows = placed(videos, out_of_fold(videos, count))
    x, y = np.array([list(r[4].values()) for r in rows]), np.array([r[2] for r in rows], float)
    sure = np.zeros(len(rows))
    group = np.zeros(len(videos), int)
    for f, (_, test) in enumerate(folds(videos, count)):
        group[test] = f
    of = group[[r[0] for r in rows]]
    for f in range(count):
        w = logistic(x[of != f], y[of != f])
        sure[of == f] = np.c_[x[of == f], np.ones((of == f).sum())] @ w
    kept = np.argsort(sure)[len(rows) // 5 :]
    off = np.array([r[3] for r in rows])
    print(
        f"{count} folds: hit {100 * y.mean():.1f} %, within 5 s {100 * (off <= 5).mean():.1f} %, within 10 s "
        f"{100 * (off <= 10).mean():.1f} %, without the least sure fifth {100 * y[kept].mean():.1f} %"
    )


def written(videos: list[Video], p: dict[str, Array], rows: list[Any]) -> dict[str, float]:
    """Every figure of weights.csv by its name."""
    between = float(p["goes on"][0])
    found = dict(zip((*FEATURES, "planned place"), p["figures"].tolist(), strict=True))
    found["any step"] = float(p["any"][0])
    for when in ("opening", "between", "closing"):
        found |= {f"{when}: {name}": x for name, x in zip(MOOD_NAMES, p[when].tolist(), strict=True)}
    found |= {
        "opening goes on": float(p["goes on"][1]) - between,
        "closing goes on": float(p["goes on"][4]) - between,
        "step goes on": float(p["goes on"][2]) - between,
        "step goes on: fewer steps": float(p["goes on"][3]),
    }
    found |= {f"step goes on: {name}": x for name, x in zip(LENGTHS, p["lengths"].tolist(), strict=True)}
    found |= {
        "step begins": -between, "step ends": float(p["goes on"][5]) - between, "step to step": DIRECT - between,
        "step left out": LEFT_OUT,
        **OTHER_DISH,
    }  # fmt: skip
    names = list(rows[0][4])
    w = logistic(np.array([list(r[4].values()) for r in rows]), np.array([r[3] <= WITHIN_S for r in rows], float))
    scale, more = SURE_OF_CUTS
    found |= {f"sure: {name}": scale * float(x) for name, x in zip(names, w, strict=False)} | {
        "sure": scale * float(w[-1]) + more
    }
    return found | this_or_another(videos)


def this_or_another(videos: list[Video]) -> dict[str, float]:
    """What tells a video's own transcript from that of another one, each recipe held against seven others."""
    x, y = [], []
    for n, v in enumerate(videos):
        for k in (0, 3, 11, 23, 47, 71, 97, 131):
            told = signs(v.queries, videos[(n + k) % len(videos)].speech)
            x.append(list(told.values()))
            y.append(float(k == 0))
            names = list(told)
    w = logistic(np.array(x), np.array(y), ridge=0.5)
    return {f"this video: {name}": float(f) for name, f in zip(names, w, strict=False)} | {"this video": float(w[-1])}


def main(data: Path, count: int) -> None:
    every = videos(data)
    if count:
        report(every, count)
        return
    p = learn(Batch(every))
    found = written(every, p, placed(every, out_of_fold(every, 5)))
    lines = [
        "name,figure",
        "# Learned by `python -m tests.speed.step_training` from the times of 160 cooking videos of a public research set, which",
        "# are not part of this project; `step to step` and `step left out` are set. Logarithms for a stretch of 2 s.",
        *(f"{name},{figure:.4f}" for name, figure in found.items()),
    ]
    WEIGHTS.write_text("\n".join(lines) + "\n", encoding="utf-8")
    print(f"wrote {WEIGHTS}: {len(found)} figures")


if __name__ == "__main__":
    main(Path(sys.argv[1]), int(sys.argv[2]) if len(sys.argv) > 2 else 0)
