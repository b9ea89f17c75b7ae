"""Each kind of file that a person gives: good ones to begin with, the ending, and what a cook would do with it."""

from __future__ import annotations

import json
from collections.abc import Sequence

from conftest import EXAMPLES, ROOT

SRT = b"1\n00:00:01,000 --> 00:00:03,500\nButter 28 g (2 tbsp)\n\n2\n00:00:03,600 --> 00:00:06,000\n<i>Fennel</i> 468 g\nsliced\n\n3\n00:01:10,120 --> 00:01:15,720\nStock 1.2 l & leek\n\n"
VTT = b"WEBVTT\n\nNOTE Harbour supper\n\nSTYLE\n::cue { color: white }\n\nadd-1\n00:00:01.000 --> 00:00:03.500 line:84% align:center\nButter 28 g\n\n00:03.600 --> 00:06.000\n<v Cook>In goes the fennel\n\n"
ASS = rb"""[Script Info]
Title: Leeks
ScriptType: v4.00+
PlayResX: 1920

[V4+ Styles]
Format: Name, Fontname, Fontsize, PrimaryColour, Alignment, MarginL, MarginR, MarginV
Style: Default,Arial,48,&H00FFFFFF,2,10,10,40

[Events]
Format: Layer, Start, End, Style, Name, MarginL, MarginR, MarginV, Effect, Text
Comment: 0,0:00:00.00,0:00:01.00,Default,,0,0,0,,check this
Dialogue: 0,0:00:01.00,0:00:03.00,Default,,0,0,0,,{\i1}Soften{\i0} the leeks in the\Nbutter.
Dialogue: 0,0:00:03.04,0:00:04.00,Default,,0,0,0,,{\pos(960,900)}2 < 3 & salt
Dialogue: 0,0:00:04.00,0:00:06.00,Default,,0,0,0,,{\p1}m 0 0 l 9 9{\p0}
"""
TTML = b"""<?xml version="1.0" encoding="UTF-8"?>
<tt xmlns="http://www.w3.org/ns/ttml" xmlns:ttp="http://www.w3.org/ns/ttml#parameter" ttp:frameRate="24" ttp:frameRateMultiplier="1000 1001" xml:lang="en">
  <head><layout><region xml:id="low"/></layout></head>
  <body><div begin="00:00:01.000">
    <p begin="00:00:01:12" end="00:00:03.000" region="low">Soften the <span>leeks</span> in the<br/>butter &amp; wait.</p>
    <p begin="72f" dur="1.5s">Pile it high.</p>
    <p><span begin="6s" end="7s">On hot</span> <span begin="7s" end="8s">toast.</span></p>
  </div></body>
</tt>
"""
TALK = b"[0:04] Welcome to the harbour kitchen.\n[0:12] First the butter, two tablespoons of it.\n[0:20] In goes the fennel, four hundred and sixty eight grams.\n[1:40] Now blend it in four batches, lid vented.\n"
MARKERS = b"Name;Time;Length\nsoften-fennel;00:00:12:10;2\nsimmer;00:01:03:00;\nblend;75.5;1\n"
CUT = b"""# Where each step stands in the cut.
cut: "Harbour supper"
length: 4:16.840
confidence: 1.00
steps:
  - {dish: "Fennel and celeriac bisque", step: dice-celeriac, time: 0:17, confidence: 0.95}
  - {dish: "Fennel and celeriac bisque", step: soften-fennel, time: 1:15, by: hand}
  - {dish: "Fennel and celeriac bisque", step: blend, time: not placed, confidence: 0.00}
  - {dish: "Seared hake with brown butter and capers", step: sear-hake, time: 3:07.5, by: marker}
"""
MAP = b"old,new\n0:00,0:10\n0:30,cut\n0:45,0:40\n1:10,1:00\n"
PROFILE = b'like: streaming\nline_length: 37\nlines: 2\nwords_a_minute: 180\ngap_ms: 80\naspect: "9:16"\nsafe_percent: 85\nsource: the kitchen\'s own\n'
PANTRY = b"""cups: metric
foods:
  quay mustard:
    per: 100 g
    basis: eu
    energy_kcal: 146
    fat_g: 8.5
    carbohydrate_g: 7.5
    fibre_g: 5
    protein_g: 7.5
    salt_g: 4.2
    household: {tbsp: 16 g}
    allergens: [mustard]
"""
WITH_PANTRY = b"dish: Leeks\nservings: 2\ningredients:\n  leeks: 300 g\n  mustard: {amount: 2 tbsp, food: quay mustard}\nsteps:\n  - {stage: cook, do: Soften the leeks in the mustard., add: {leeks: all, mustard: all}, hands: 9 min, screen: 9 s}\n"
PROSE = b"Harbour leeks\n\nServes 4\n\nIngredients\n- 300 g leeks, sliced\n- 2 tbsp butter\n- 1/2 cup cream\n- a pinch of salt\n\nMethod\n1. Slice the leeks.\n2. Soften them in the butter for 10 minutes.\n3. Add the cream and simmer for 5 min at 90 C.\n"


def data() -> dict[str, object]:
    """A recipe as a saved page holds it, by schema.org."""
    return {
        "@context": "https://schema.org",
        "@type": "Recipe",
        "name": "Harbour leeks",
        "recipeYield": ["4", "4 servings"],
        "prepTime": "PT10M",
        "recipeIngredient": ["300 g leeks, sliced", "2 tbsp butter", "1 \u00bd cups cream"],
        "recipeInstructions": [{"@type": "HowToStep", "text": "Slice."}, {"@type": "HowToStep", "text": "Soften for 10 min."}],
        "nutrition": {"@type": "NutritionInformation", "calories": "120 kcal"},
    }  # fmt: skip


def marker_list(rows: Sequence[tuple[str, float]]) -> dict[str, object]:
    """An editor's timeline of two clips of ten seconds; the first marker stands on the track, the others on the second clip."""

    def time(seconds: float) -> dict[str, object]:
        return {"OTIO_SCHEMA": "RationalTime.1", "rate": 25.0, "value": seconds * 25}

    def span(start: float, seconds: float) -> dict[str, object]:
        return {"OTIO_SCHEMA": "TimeRange.1", "start_time": time(start), "duration": time(seconds)}

    def item(schema: str, name: str, **more: object) -> dict[str, object]:
        return {
            "OTIO_SCHEMA": schema,
            "name": name,
            "metadata": {},
            "effects": [],
            "enabled": True,
            "source_range": None,
            "markers": [],
        } | more

    marks = [
        {
            "OTIO_SCHEMA": "Marker.2",
            "name": name,
            "color": "RED",
            "comment": "",
            "metadata": {},
            "marked_range": span(at, 0),
        }
        for name, at in rows
    ]
    clips = [
        item("Clip.1", "one", media_reference=None, source_range=span(0, 10)),
        item("Clip.1", "two", media_reference=None, source_range=span(100, 10), markers=marks[1:]),
    ]
    stack = item("Stack.1", "tracks", children=[item("Track.1", "V1", kind="Video", markers=marks[:1], children=clips)])
    return {"OTIO_SCHEMA": "Timeline.1", "name": "supper", "metadata": {}, "global_start_time": None, "tracks": stack}


ALL_KINDS = (
    "dish",
    "meal",
    "pantry",
    "log",
    "srt",
    "vtt",
    "ass",
    "ttml",
    "talk",
    "markers",
    "timeline",
    "cut",
    "profile",
    "map",
    "prose",
    "page",
)


def seeds(kind: str) -> list[bytes]:
    """Good files of the kind, and bad ones that are told."""
    dishes = [p.read_bytes() for p in sorted(EXAMPLES.glob("*.yaml"))]
    cases = [p.read_bytes() for p in sorted((ROOT / "tests" / "recipe").glob("*valid/*.yaml"))]
    return {
        "dish": [d for d in dishes if b"\ningredients:" in d or d.startswith(b"ingredients:")] + cases,
        "meal": [d for d in dishes if b"\nmeal:" in d or d.startswith(b"meal:")],
        "log": [p.read_bytes() for p in sorted(EXAMPLES.glob("*takes.csv"))],
        "srt": [SRT, *(p.read_bytes() for p in sorted(EXAMPLES.glob("*.srt")))],
        "vtt": [VTT],
        "ass": [ASS],
        "ttml": [TTML],
        "talk": [TALK, SRT, *(p.read_bytes() for p in sorted(EXAMPLES.glob("*.srt")))],
        "markers": [MARKERS],
        "pantry": [PANTRY],
        "timeline": [json.dumps(marker_list([("finish", 15), ("blend", 103)]), indent=1).encode()],
        "profile": [PROFILE],
        "map": [MAP],
        "prose": [PROSE, *(p.read_bytes() for p in sorted((ROOT / "tests" / "outside" / "old_recipes").glob("*.txt")))],
        "page": [
            b'<!doctype html><html><head><script type="application/ld+json">%s</script></head></html>'
            % json.dumps(data(), indent=1).encode()
        ],
        "cut": [CUT],
    }[kind]


def commands(kind: str, name: str) -> list[tuple[str, ...]]:
    """What a cook would do with such a file, the written one last."""
    supper = "harbour-supper.yaml"
    return {
        "dish": [("macros", name), ("schedule", name), ("pack", name, "-o", "out"), ("check", name, "--json")],
        "meal": [("portion", name, "--at-most", "net_carbs_g=10"), ("pack", name, "-o", "out")],
        "log": [("coverage", supper, "--log", name), ("paper-edit", supper, "--log", name, "-o", "out")],
        "srt": [("proof", name, "--fix", "out/fixed.srt"), ("conform", name, "--offset", "1 s", "-o", "out/moved.srt")],
        "vtt": [("proof", name, "--fix", "out/fixed.vtt"), ("conform", name, "--offset", "1 s", "-o", "out/moved.vtt")],
        "ass": [("proof", name, "--fix", "out/fixed.ass"), ("conform", name, "--offset", "1 s", "-o", "out/moved.ass")],
        "ttml": [("proof", name, "--fix", "out/fixed.ttml"), ("conform", name, "--offset", "1 s", "-o", "out/moved.ttml")],
        "talk": [("coverage", supper, "--transcript", name, "-o", "out")],
        "pantry": [("macros", "with-pantry.yaml")],
        "timeline": [("captions", supper, "--cut", name, "-o", "out/overlays.vtt")],
        "profile": [("proof", "harbour-supper-cut.srt", "--profile", name), ("captions", supper, "--profile", name, "-o", "out/overlays.vtt")],
        "map": [("conform", "harbour-supper-cut.srt", "--map", name, "-o", "out/moved.srt")],
        "prose": [("new", "--from", name, "-o", "out/draft.yaml")],
        "page": [("new", "--from", name, "-o", "out/draft.yaml")],
        "markers": [("captions", supper, "--cut", name, "-o", "out/overlays.vtt")],
        "cut": [("captions", supper, "--cut", name, "-o", "out/overlays.srt"), ("publish", supper, "--cut", name, "-o", "out")],
    }[kind]  # fmt: skip


FILES = {
    "dish": "fuzzed.yaml", "meal": "fuzzed.yaml", "pantry": "pantry.yaml", "log": "fuzzed.csv", "srt": "fuzzed.srt", "vtt": "fuzzed.vtt",
    "ass": "fuzzed.ass", "ttml": "fuzzed.ttml",
    "talk": "fuzzed.txt", "markers": "fuzzed.csv", "timeline": "fuzzed.otio", "cut": "fuzzed.yaml", "profile": "fuzzed.yaml",
    "map": "fuzzed.csv", "prose": "fuzzed.txt", "page": "fuzzed.html",
}  # fmt: skip
