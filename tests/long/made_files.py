"""Files of every kind, made from their shape and not from a good one: hypothesis strategies. A recipe follows its JSON Schema, so a
key that is added is made as soon as it is there."""

from __future__ import annotations

import csv
import io
import json
from functools import cache
from typing import Any

import yaml
from hypothesis import strategies as st
from kinds import MAP, marker_list

from scriptkit.recipe.schema import json_schema
from scriptkit.shoot.log.take_log import COLUMNS

FOODS = (
    "leek",
    "butter",
    "fish stock, homemade",
    "cream, single",
    "hake",
    "salt",
    "eggs",
    "flour",
    "olive oil",
    "white wine",
)
STEPS = ("soften-fennel", "simmer", "blend", "finish", "sear-hake", "plate-bisque")
ODD = (
    "",
    " ",
    "~",
    "=1+1",
    "<b>x</b>",
    "{{7*7}}",
    "{butter}",
    "{",
    "½",
    "1/0",
    "-1",
    "1e309",
    "x" * 130,
    "\u202egnol",
    "🐟",
    "\x07",
    "#",
    "- a: b",
)
AMOUNTS = (
    "2 tbsp",
    "300 g",
    "1.2 l",
    "1 1/2 cups",
    "3",
    "all",
    "half",
    "rest",
    "to taste",
    "1 bulb",
    "2 serving",
    "0 g",
    "1 kg",
)
TIMES = ("4 min", "90 s", "1 h", "0 s", "8 s", "1:30")
SAID = ("First the butter, two tablespoons of it.", "In goes the fennel.", "Oh no, we did not film the mustard.", "Twelve grams of carbs a bowl.",
        "Simmer for eighteen minutes at ninety degrees.", "a hundred and a half", "", "and", "— ok —")  # fmt: skip


def odd_or(usual: st.SearchStrategy[Any], times: int = 40) -> st.SearchStrategy[Any]:
    """Mostly what is usual; once in a while what nobody would write."""
    return st.integers(0, times).flatmap(lambda n: st.sampled_from(ODD) if n == 7 else usual)


def _of(schema: dict[str, Any], defs: dict[str, Any]) -> st.SearchStrategy[Any]:
    """Values by a JSON Schema: mostly its own examples."""
    if "$ref" in schema:
        return _of(defs[schema["$ref"].rsplit("/", 1)[-1]], defs)
    examples = [st.sampled_from(schema["examples"])] * 3 if schema.get("examples") else []
    if "enum" in schema:
        return odd_or(st.sampled_from(schema["enum"]))
    if "const" in schema:
        return st.just(schema["const"])
    if "anyOf" in schema:
        return st.one_of(*examples, *(_of(one, defs) for one in schema["anyOf"]))
    kinds = schema.get("type", "string")
    return odd_or(
        st.one_of(*examples, *(_typed(kind, schema, defs) for kind in ([kinds] if isinstance(kinds, str) else kinds)))
    )


def _typed(kind: str, schema: dict[str, Any], defs: dict[str, Any]) -> st.SearchStrategy[Any]:
    if kind == "object":
        return _group(schema, defs)
    if kind == "array":
        return st.lists(_of(schema.get("items", {}), defs), max_size=3)
    plain: dict[str, st.SearchStrategy[Any]] = {
        "number": st.one_of(st.integers(0, 12), st.sampled_from((0.5, -1, 1e12, 1e-9))),
        "integer": st.integers(-1, 12),
        "boolean": st.booleans(),
        "null": st.none(),
    }
    return plain.get(kind, st.sampled_from((*AMOUNTS, *TIMES, *FOODS, *STEPS)))


def _group(schema: dict[str, Any], defs: dict[str, Any]) -> st.SearchStrategy[Any]:
    if "properties" not in schema:
        inside = schema.get("additionalProperties")
        return st.dictionaries(
            st.sampled_from(FOODS), _of(inside if isinstance(inside, dict) else {}, defs), max_size=3
        )
    parts = {key: _of(value, defs) for key, value in schema["properties"].items()}
    needed = {key: parts.pop(key) for key in sorted(schema.get("required", ()))}
    return st.fixed_dictionaries(needed, optional=parts)


@cache
def _schema(name: str) -> tuple[dict[str, Any], dict[str, Any]]:
    schema = json_schema(name)
    return schema, schema.get("$defs", {})


def _yaml(value: object) -> bytes:
    return yaml.safe_dump(value, allow_unicode=True, sort_keys=False).encode("utf-8", "replace")


@st.composite
def dishes(draw: st.DrawFn) -> bytes:
    """Every key of a dish, with ingredients that its steps handle; half of them with only what steps need."""
    schema, defs = _schema("dish")
    names = draw(st.lists(st.sampled_from(FOODS), min_size=1, max_size=5, unique=True))
    rare = draw(st.booleans())
    made: dict[str, Any] = draw(_group(schema, defs)) if rare else {}
    made |= {"dish": draw(odd_or(st.just("Harbour pot"))), "servings": draw(odd_or(st.integers(1, 8)))}
    made["ingredients"] = {
        name: draw(st.one_of(odd_or(st.sampled_from(AMOUNTS)), _of(defs["IngredientForm"], defs)))
        if rare
        else draw(st.sampled_from(AMOUNTS))
        for name in names
    }
    made["steps"] = steps = []
    for n, name in enumerate(names):
        step = draw(_of(defs["StepForm"], defs)) if rare else {}
        usual = {"id": f"s{n}", "stage": draw(st.sampled_from(("prep", "cook"))), "do": f"Cook the {name} well.", "hands": draw(st.sampled_from(TIMES)),
                 "screen": draw(st.sampled_from(TIMES)), "add": {name: draw(odd_or(st.sampled_from(AMOUNTS)))}}  # fmt: skip
        steps.append((step if isinstance(step, dict) else {}) | usual)
    return _yaml(made)


@st.composite
def meals(draw: st.DrawFn) -> bytes:
    """Every key of a meal, of dishes that are there and one that is not."""
    made = draw(_group(*_schema("meal")))
    files = st.sampled_from(("fennel-bisque.yaml", "seared-hake.yaml", "seeded-loaf.yaml", "fish-stock.yaml"))
    made["dishes"] = [
        {
            "dish": draw(odd_or(files)),
            "portion": draw(odd_or(st.sampled_from(("1 serving", "180 g", "1 cup", "0.5 serving")))),
        }
        for _ in range(draw(st.integers(1, 3)))
    ]
    return _yaml({"meal": "Harbour supper", "plates": 2} | made)


@st.composite
def pantries(draw: st.DrawFn) -> bytes:
    """A cook's own foods, by the schema; one of them is what with-pantry.yaml asks for."""
    made = draw(_group(*_schema("pantry")))
    foods = given if isinstance(given := made.get("foods"), dict) else {}
    usual = {"per": "100 g", "basis": "eu", "carbohydrate_g": 7.5, "fat_g": 8, "household": {"tbsp": "16 g"}}
    label = draw(_group(_schema("pantry")[1]["LabelForm"], _schema("pantry")[1]))
    mine = {key: value for key, value in label.items() if draw(st.booleans())}
    return _yaml(
        made | {"foods": dict(list(foods.items())[:1] if draw(st.booleans()) else []) | {"quay mustard": usual | mine}}
    )


@st.composite
def logs(draw: st.DrawFn) -> bytes:
    """Take logs: all columns or some, in any order, separated in any way."""
    columns = draw(st.one_of(st.just(list(COLUMNS)), st.lists(st.sampled_from(COLUMNS), min_size=1, unique=True)))
    cells = {
        "title": st.just("Harbour supper"), "step": st.sampled_from(STEPS), "dish": st.sampled_from(("", "Fennel and celeriac bisque", "Seared hake with brown butter and capers")),
        "additions": st.sampled_from(("", "butter", "fennel", "mustard")),
        "verdict": st.sampled_from(("circled", "NG", "hold", "", "perhaps")),
        "recorded": st.sampled_from(("2026-10-05 09:40:20", "", "31/12/26", "2026-13-45")),
        "in": st.sampled_from(("09:40:00:00", "09:40:00;00", "0:04", "")), "out": st.sampled_from(("09:40:20:00", "", "00:00:00:00")),
    }  # fmt: skip
    usual = st.sampled_from(("1", "2", "A", "A001", "C0112", ""))
    out = io.StringIO()
    table = csv.writer(out, delimiter=draw(st.sampled_from(",;\t")))
    table.writerow(columns)
    for _ in range(draw(st.integers(0, 8))):
        table.writerow([draw(odd_or(cells.get(column, usual))) for column in columns])
    return out.getvalue().encode(draw(st.sampled_from(("utf-8", "utf-8-sig", "utf-16", "cp1252"))), "replace")


def _clock(ms: int, mark: str, hours: bool = True) -> str:
    rest, milli = divmod(ms, 1000)
    minutes, seconds = divmod(rest, 60)
    return (
        f"{minutes // 60:02d}:{minutes % 60:02d}:{seconds:02d}{mark}{milli:03d}"
        if hours
        else f"{minutes}:{seconds:02d}"
    )


@st.composite
def captions(draw: st.DrawFn, kind: str) -> bytes:
    """SubRip or WebVTT whose cues may overlap, run backwards, be empty, or stand for a day."""
    mark, head = (
        (",", "")
        if kind == "srt"
        else (".", draw(st.sampled_from(("WEBVTT\n\n", "WEBVTT - cut\nKind: captions\n\n", "\n"))))
    )
    blocks = [head]
    at = 0
    for n in range(draw(st.integers(0, 8))):
        at += draw(st.sampled_from((0, 40, 900, 4_000, -500, 86_400_000)))
        end = at + draw(st.sampled_from((0, 400, 1_500, 7_000, 90_000, -200)))
        settings = (
            draw(st.sampled_from(("", " line:84%", " align:start position:10%", " X1:1 X2:2"))) if kind == "vtt" else ""
        )
        words = "\n".join(
            draw(
                st.lists(
                    odd_or(st.sampled_from((*SAID, "<i>Butter</i> 28 g", "[sizzling]", "- So.\n- Yes."))),
                    min_size=0,
                    max_size=4,
                )
            )
        )
        number = draw(st.sampled_from((f"{n + 1}\n", "", "x\n")))
        blocks.append(f"{number}{_clock(max(at, 0), mark)} --> {_clock(max(end, 0), mark)}{settings}\n{words}\n\n")
    return "".join(blocks).encode(draw(st.sampled_from(("utf-8", "utf-8-sig", "utf-16", "cp1252"))), "replace")


@st.composite
def transcripts(draw: st.DrawFn) -> bytes:
    """Lines of talk with their times, in order or not."""
    at, lines = 0, []
    for _ in range(draw(st.integers(0, 12))):
        at += draw(st.sampled_from((0, 2_000, 9_000, 61_000, -4_000)))
        lines.append(f"[{_clock(max(at, 0), '.', hours=draw(st.booleans()))}] {draw(odd_or(st.sampled_from(SAID)))}")
    return "\n".join(lines).encode("utf-8", "replace")


@st.composite
def markers(draw: st.DrawFn) -> list[tuple[str, float]]:
    """Names and seconds of an editor's markers."""
    return draw(
        st.lists(st.tuples(odd_or(st.sampled_from(STEPS)), st.sampled_from((0.0, 12.4, 75.0, -3.0, 1e9))), max_size=6)
    )


def marker_lists() -> st.SearchStrategy[bytes]:
    """Markers as CSV."""
    heads = st.sampled_from(("Name,Time", "Marker Name;In", "step\ttime", ""))

    def written(made: tuple[str, list[tuple[str, float]]]) -> bytes:
        head, rows = made
        mark = next((m for m in ";\t" if m in head), ",")
        return "\n".join([head, *(f"{name}{mark}{seconds}" for name, seconds in rows)]).encode("utf-8", "replace")

    return st.tuples(heads, markers()).map(written)


def timelines() -> st.SearchStrategy[bytes]:
    """Markers as a timeline."""
    return markers().map(lambda rows: json.dumps(marker_list(rows)).encode())


@st.composite
def cuts(draw: st.DrawFn) -> bytes:
    """Cut files: steps with their times, by hand or found."""
    row = {
        "step": odd_or(st.sampled_from(STEPS)),
        "time": odd_or(st.sampled_from(("0:12", "1:03", "75.5", "not placed", "4:02"))),
    }
    dish = {"dish": st.sampled_from(("Fennel and celeriac bisque", "Seared hake with brown butter and capers"))}
    how = {
        "by": st.sampled_from(("hand", "marker", "transcript")),
        "confidence": st.sampled_from((0, 0.5, 1)),
    }
    rows = draw(st.lists(st.fixed_dictionaries(row, optional=dish | how), max_size=5))
    return _yaml(
        {"cut": "Harbour supper", "steps": rows}
        | draw(st.fixed_dictionaries({}, optional={"length": st.sampled_from(("4:16", "x"))}))
    )


def profiles() -> st.SearchStrategy[bytes]:
    """A house's own caption rules."""
    figures = odd_or(st.one_of(st.integers(1, 60), st.sampled_from((0.5, 1e5))), 20)
    keys = ("line_length", "lines", "characters_a_second", "words_a_minute", "ms_a_word", "shortest_ms", "longest_ms", "gap_frames", "gap_ms",
            "safe_percent", "font_percent")  # fmt: skip
    words = {
        "aspect": odd_or(st.sampled_from(("16:9", "9:16")), 9),
        "like": odd_or(st.sampled_from(("education", "streaming")), 9),
        "column": figures,
    }
    return st.fixed_dictionaries({}, optional=dict.fromkeys(keys, figures) | words).map(_yaml)


def maps() -> st.SearchStrategy[bytes]:
    """Stretches of an old cut and where they stand in the new one."""
    old, new = (
        odd_or(st.sampled_from(("0:00", "0:30", "1:10", "75.5"))),
        odd_or(st.sampled_from(("0:00", "0:41", "cut", "-"))),
    )
    return st.lists(st.tuples(old, new), max_size=4).map(
        lambda rows: MAP[:8] + "\n".join(",".join(row) for row in rows).encode("utf-8", "replace")
    )


MADE: dict[str, st.SearchStrategy[bytes]] = {
    "dish": dishes(), "meal": meals(), "pantry": pantries(), "log": logs(), "srt": captions("srt"), "vtt": captions("vtt"),
    "talk": transcripts(), "markers": marker_lists(), "timeline": timelines(), "cut": cuts(), "profile": profiles(), "map": maps(),
}  # fmt: skip
