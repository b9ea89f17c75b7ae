"""A meal, a log, a transcript and a cut with hostile text in every field, and what every command made of them."""

from __future__ import annotations

import csv
import io
import json
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

import pytest

from scriptkit.cli import captions, contact_sheet, coverage, paper_edit, publish
from scriptkit.cli import pack as pack_command
from scriptkit.problems import printable
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.log.take_log import COLUMNS
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.shots.shots import Shot, shots_of
from scriptkit.video import Video

PAYLOADS = [
    "</script><script>alert('ran')</script>",
    "<img src=x onerror=alert('ran')>",
    "\" onmouseover=alert('ran') x=\"' onclick=alert('ran') '",
    "<svg/onload=alert('ran')><a xlink:href=javascript:alert('ran')>x</a></svg>",
    "<a href=javascript:alert('ran')>a</a><a href=data:text/html,<script>alert('ran')</script>>b</a>",
    "</title></textarea><iframe src=http://in.invalid/1></iframe><object data=http://in.invalid/2>",
    "</style><style>*{background:url(http://in.invalid/3)}</style>",
    "<meta http-equiv=refresh content='0;url=http://in.invalid/4'><base href=http://in.invalid/>",
    "<embed src=http://in.invalid/5><link rel=stylesheet href=http://in.invalid/6><!-- --> ]]> -->",
    "&lt;script&gt;alert('ran')&lt;/script&gt;&#60;img src=x onerror=alert('ran')&#62;&amp;",
    "{{ 7*7 }}{% raw %}${7*7}`${alert('ran')}`{# x #}",
    "a\u2028b\u202ec\u2066d\u00a0e\ufeffg<b onclick=alert('ran')>\u0085",
    "\0\x01\x08\x1b[31m\x7f\ufffe<i>",
    "=HYPERLINK(\"http://in.invalid/7\")", "+1+cmd|' /C calc'!A0", "-2+3", "@SUM(1)", "\t=1+1", "\r=1+1", "\uff1d1+1",
]  # fmt: skip
LINKS = ("https://in.invalid/?a='b'&c=(d)", "https://in.invalid/v?a=1&b='2'", "https://in.invalid/p.jpg?'x'")


@dataclass
class Texts:
    """Every text that was given out, by its number: ``h7`` stands in it, so that it is found again on a page."""

    given: dict[int, str] = field(default_factory=dict)
    fields: set[str] = field(default_factory=set)
    spoken: set[int] = field(default_factory=set)
    """Of a transcript, of which brackets and what is in them are not spoken."""

    def __call__(self, where: str, *, most: int = 120, payload: int | None = None) -> str:
        """A text for the field. One that begins with what a spreadsheet runs, has its number behind."""
        self.fields.add(where)
        n = len(self.given) + 1
        evil = PAYLOADS[n % len(PAYLOADS) if payload is None else payload]
        text = f"{evil} h{n}q" if evil[0] in "=+-@\t\r\uff1d" else f"h{n}q {evil} q{n}h"
        assert len(text) <= most, (where, len(text))
        self.given[n] = text
        if where in ("speaker", "spoken"):
            self.spoken.add(n)
        return text


# Text that is measured, or that must name something there is: a rule, a step, a pantry's food, a file, a web address, a date.
MEASURED = {
    "amount", "each", "between", "pack", "left_in_pan", "strained_out", "core", "hands", "wait", "wait_at_most", "screen", "per", "jug", "preheat",
    "landing", "filming", "opening", "closing", "longest_silence", "swap_out_over", "handles", "battery", "daylight",
    "beauty_within", "serving", "cooked_weight", "cooked_volume", "keeps", "portion", "raw", "step", "least", "most",
    "measured_as", "allergens", "may_contain", "uploaded", "at", "to", "url", "picture of video", "dish of a portion", "dish of an ingredient",
    "category", "measures", "weighed",
}  # fmt: skip


def dish_of(t: Texts, food: str) -> dict[str, Any]:
    """A dish with a hostile text in every field that takes any."""
    names = {n: t("ingredients", payload=n) for n in range(len(PAYLOADS)) if not PAYLOADS[n][0].isspace()}
    first, second = names[0], names[1]
    shots = [
        {"of": [first], "picture": t("picture", most=400), "kind": t("kind", most=400), "angle": t("angle", most=400), "move": t("move", most=400)},
        {"of": [second], "picture": t("picture", most=400)},
    ]  # fmt: skip
    prep = t("id")
    return {
        "dish": t("dish"),
        "short": t("short"),
        "promise": t("promise", most=4000),
        "goodbye": t("goodbye", payload=0) + " {macros}",
        "served": t("served"),
        "author": t("author"),
        "links": [{"to": LINKS[0], "text": t("text", payload=n)} for n in range(3)],
        "video": {"url": LINKS[1], "uploaded": "2026-05-01", "picture": LINKS[2]},
        "corrections": [{"text": t("text"), "at": "0:05"}],
        "servings": 2,
        "answered": {"searing": t("answered")},
        "kitchen": {"vessels": {t("vessels"): 2}},
        "ingredients": {
            n: {"amount": "60 g", "food": food, "prep": t("prep"), "measured_as": ""}
            | ({"unsure": {"food": "0.5", "read_from": t("read_from"), "candidates": [t("candidates")]}} if n == first else {})
            for n in names.values()
        },
        "left_in_pan": {t("left_in_pan", payload=17): {"amount": "2 g", "food": food, "prep": t("prep")}},
        "foods": {
            food: {
                "basis": "us", "energy_kcal": 200, "fat_g": 20, "protein_g": 2, "carbohydrate_g": 3, "fibre_g": 1, "household": {"cup, " + t("household", payload=n): "90 g" for n in (1, 3)},
                "synonyms": [t("synonyms")], "category": t("category"), "allergens": ["milk"], "may_contain": ["mustard"],
            }
        },
        "steps": [
            {"id": prep, "stage": "prep", "do": t("do"), "uses": list(names.values()), "tools": [t("tools")], "screen": "9 s",
             "say": t("say", payload=1), "vessel": t("vessel"), "chapter": t("chapter"), "hands": "2 min"},
            {"id": t("id", payload=2), "stage": "cook", "do": t("do", payload=0), "add": [first, second], "tools": [t("tools")], "screen": "20 s", "method": "sear",
             "heat": t("heat"), "vessel": t("vessel", payload=1), "chapter": t("chapter"), "hands": "1 min", "wait": "5 min",
             "say": t("say", payload=5), "shots": shots, "unfilmed": [second], "answered": {"searing": t("answered")}},
            {"id": t("id"), "stage": "cook", "do": t("do", payload=7), "add": list(names.values())[2:], "after": [], "screen": "150 s",
             "heat": t("heat"), "vessel": t("vessel", payload=6), "chapter": t("chapter", payload=3), "hands": "1 min", "say": t("say", payload=8)},
        ],
    }  # fmt: skip


def yaml_of(data: Mapping[str, Any]) -> str:
    """YAML reads JSON; what it takes only as an escape, is written as one."""
    return json.dumps(data, ensure_ascii=True)


@dataclass
class Hostile:
    """What the commands wrote, and of which texts."""

    folder: Path
    texts: Texts
    source: Any
    shots: list[Shot]

    def files(self, ending: str) -> list[Path]:
        return sorted(self.folder.glob(f"out*/**/*{ending}"))


TALK = "and now it is time for us to put all of that in the pan, and then we let it go for a while until it is done, forty grams"
PICTURE = bytes.fromhex("ffd8ffe000104a46494600010100000100010000ffd9")


_WRITTEN: list[Hostile] = []


def hostile_files(tmp_path_factory: pytest.TempPathFactory) -> Hostile:
    """What was written; once, however many test files ask for it. A fixture by ``pytest.fixture(hostile_files, scope="module")``."""
    if not _WRITTEN:
        _WRITTEN.append(_write(tmp_path_factory.mktemp("hostile")))
    return _WRITTEN[0]


def _write(folder: Path) -> Hostile:
    """Every command that writes a file, once, over a meal of two hostile dishes, with a hostile log, transcript and cut."""
    t = Texts()
    pantry_food = t("foods", payload=1)
    for n in (1, 2):
        dish = dish_of(t, t("food", payload=n))
        if n == 1:  # the same with a doubt, of which nothing is published
            (folder / "doubted.yaml").write_text(yaml_of(dish), encoding="utf-8")
        for ingredient in dish["ingredients"].values():
            ingredient.pop("unsure", None)
        (folder / f"d{n}.yaml").write_text(yaml_of(dish), encoding="utf-8")
    (folder / "pantry.yaml").write_text(
        yaml_of({"foods": {pantry_food: {"basis": "eu", "fat_g": 3, "protein_g": 2, "carbohydrate_g": 3, "synonyms": [t("synonyms")]}}}), encoding="utf-8"
    )  # fmt: skip
    meal = {
        "meal": t("meal", payload=0),
        "promise": t("promise"), "goodbye": t("goodbye", payload=1), "served": t("served"), "author": t("author"),
        "links": [{"to": LINKS[0], "text": t("text", payload=4)}], "corrections": [t("text", payload=0)],
        "dishes": [{"dish": "d1.yaml", "poured_over": {t("poured_over"): {"amount": "3 g", "food": pantry_food, "prep": t("prep")}}}, {"dish": "d2.yaml"}],
        "at_table": {t("at_table", payload=18): {"amount": "5 g", "food": pantry_food, "prep": t("prep")}},
        "kitchen": {"vessels": {t("vessels"): 2}},
    }  # fmt: skip
    (folder / "meal.yaml").write_text(yaml_of(meal), encoding="utf-8")
    path = str(folder / "meal.yaml")
    source = read_source(path).usable()
    shots = list(shots_of(plan_of(source)))
    (folder / "log.csv").write_text(log_of(t, shots), encoding="utf-8", newline="")
    steps = [p.dish.steps[1] for p in source.portions]  # type: ignore[union-attr]
    (folder / "talk.srt").write_text(
        "".join(
            f"{n}\n00:00:{2 * n:02d},000 --> 00:00:{2 * n + 1:02d},900\n{line(t('speaker'))}: {line(t('spoken', payload=n % 13))}\n{TALK}\n\n"
            for n in range(1, 14)
        ),
        encoding="utf-8",
    )
    rows = [
        ("0:04", steps[0].id),
        ("0:20", steps[1].id),
        ("0:30", t("marker", payload=0)),
        ("0:31", t("marker", payload=13)),
    ]
    buffer = io.StringIO()
    csv.writer(buffer).writerows([("time", "name"), *rows])
    (folder / "markers.csv").write_text(buffer.getvalue(), encoding="utf-8", newline="")
    log, talk, markers = (str(folder / name) for name in ("log.csv", "talk.srt", "markers.csv"))
    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(contact_sheet, "open_video", lambda path: Video(path=path, ffmpeg="", length_ms=25_000))
        patched.setattr(
            contact_sheet, "pictures", lambda _, moments: [PICTURE if n % 2 else None for n, _ in enumerate(moments)]
        )
        pack_command.run(path, str(folder / "out-meal"), cut=markers, log=log, quiet=True)
        pack_command.run(str(folder / "d1.yaml"), str(folder / "out-dish"), quiet=True)
        pack_command.run(str(folder / "doubted.yaml"), str(folder / "out-doubted"), quiet=True)
        publish.run(path, str(folder / "out-publish"), cut=talk)
        coverage.run(path, log=log, transcript=talk, cut=markers, video="x.mp4", output=str(folder / "out-coverage"))
        paper_edit.run(path, log, str(folder / "out-edit"))
        for kind in (".vtt", ".srt", ".ttml"):
            captions.run(
                captions.Wanted(
                    source=path, output=str(folder / f"out-captions{kind[1:]}" / f"overlay{kind}"), profile="streaming", rate="", start="", crlf=False,
                    bom=False, cut="", dialogue=talk, spoken="", voice="", keep_words=False, sounds=True, cards=str(folder / "out-cards") if kind == ".vtt" else "", as_json=False,
                )
            )  # fmt: skip
    return Hostile(folder, t, source, shots)


def line(text: str) -> str:
    """One line of a file of captions or a log, in which nothing ends what it stands in."""
    return " ".join(text.replace("-->", "").replace("\0", "").split())


def log_of(t: Texts, shots: list[Shot]) -> str:
    """A take log with a hostile text in each column that takes any, a take for every shot; typed by no page of ours."""
    out = io.StringIO()
    writer = csv.writer(out)
    writer.writerow(COLUMNS)
    for n, shot in enumerate(shots):
        text = {
            c: line(t(f"log: {c}", payload=(n + k) % 12)).replace(";", ",")
            for k, c in enumerate(("card", "clip", "remark"))
        }
        row = {
            "title": "", "dish": shot.dish.name if shot.dish else "", "card": text["card"][:40], "clip": text["clip"][:40],
            "scene": str(shot.scene), "setup": shot.letter, "take": "1", "step": shot.step.id if shot.step else "",
            "additions": "; ".join(a.ingredient.key for a in shot.additions if ";" not in a.ingredient.key),
            "in": f"00:{n:02d}:00:00", "out": f"00:{n:02d}:09:00", "recorded": "2026-10-05 09:41:16", "verdict": "circled" if n % 3 else "hold",
            "remark": text["remark"], "weighed": "",
        }  # fmt: skip
        writer.writerow([printable(row[c]) for c in COLUMNS])
    return out.getvalue()
