"""Linked data held against schema.org's own list of properties, and read by a JSON-LD processor.

``schema_org.csv``: every property of the types we write, with the types that it expects and what supersedes it, from
``data/releases/30.0/schemaorg-current-https-types.csv`` and ``-properties.csv`` of github.com/schemaorg/schemaorg.
"""

from __future__ import annotations

import csv
import datetime
import itertools
import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from conftest import EXAMPLES, Table, absent

from scriptkit.cut.placement import Cut, Placement
from scriptkit.papers.files import publish_files
from scriptkit.publish.chapters import chapters_of_cut, chapters_of_plan
from scriptkit.publish.publication import publication_of
from scriptkit.recipe.dish import Dish, Meal
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import plan_of

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))

with (Path(__file__).parent / "schema_org.csv").open(encoding="utf-8", newline="") as _file:
    PROPERTIES = {
        (row["type"], row["property"]): (row["expects"].split(";"), row["superseded_by"])
        for row in csv.DictReader(_file)
    }

# What a value that is no node may be, by the type that schema.org expects.
_TEXT = {"Text", "URL", "Date", "DateTime", "Duration", "Number", "Integer", "Energy", "Mass"}
_ISO_DURATION = re.compile(r"PT(?=\d)(?:\d+H)?(?:\d+M)?(?:\d+S)?")


def data_of(source: Dish | Meal, servings: float | None = None) -> dict[str, Any]:
    publication = publication_of(source, chapters_of_plan(plan_of(source)), servings)
    found: dict[str, Any] = json.loads(publish_files(publication)[0]["files/recipe.jsonld"])
    return found


def nodes(value: Any) -> Iterator[dict[str, Any]]:
    if isinstance(value, list):
        for one in value:
            yield from nodes(one)
    elif isinstance(value, dict):
        yield value
        for one in value.values():
            yield from nodes(one)


def must_be_of_schema_org(data: dict[str, Any]) -> None:
    for node in nodes(data):
        kind = node["@type"]
        for name, value in node.items():
            if name.startswith("@"):
                continue
            assert (kind, name) in PROPERTIES, f"{kind} has no property {name}"
            expects, superseded = PROPERTIES[kind, name]
            assert not superseded, f"{name} is superseded by {superseded}"
            for one in value if isinstance(value, list) else [value]:
                must_fit(one, expects, f"{kind}.{name}")


def must_fit(value: Any, expects: list[str], where: str) -> None:
    if isinstance(value, dict):
        parents = {"HowToStep": {"ListItem", "CreativeWork"}, "HowToSection": {"ListItem", "CreativeWork"}, "Clip": {"CreativeWork"}}  # fmt: skip
        assert ({value["@type"], "Thing"} | parents.get(value["@type"], set())) & set(expects), where
        return
    assert value not in ("", None), where
    assert set(expects) & _TEXT, where
    if expects == ["Duration"]:
        assert _ISO_DURATION.fullmatch(value), where
    if "HyperTocEntry" in expects:  # startOffset, endOffset: seconds
        assert isinstance(value, int) and value >= 0, where
    elif set(expects) == {"Integer", "Text"}:
        assert isinstance(value, int | str), where
    else:
        assert isinstance(value, str), where
    if expects == ["Energy"]:
        assert re.fullmatch(r"\d+ kcal", value), where
    if expects == ["Mass"]:
        assert re.fullmatch(r"\d+(?:\.\d+)? m?g", value), where


def test_the_table_holds_the_types_that_are_written() -> None:
    assert {t for t, _ in PROPERTIES} == {
        "Recipe", "NutritionInformation", "HowToSection", "HowToStep", "VideoObject", "Clip", "Person"
    }  # fmt: skip
    assert ("NutritionInformation", "netCarbs") not in PROPERTIES


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_every_property_is_schema_orgs_own(path: Path) -> None:
    must_be_of_schema_org(data_of(read_source(str(path)).usable()))


FULL = """\
dish: Broth
promise: Hot in five minutes.
author: The harbour kitchen
servings: 2
cooked_weight: 480 g
video: {url: "https://example.org/v/1", uploaded: "2026-05-01", picture: "https://example.org/p.jpg"}
ingredients: {leek: 500 g}
steps:
  - {stage: prep, do: Slice the leek., uses: leek, hands: 4 min, screen: 12 s}
  - {stage: cook, do: Warm it., add: leek, hands: 1 min, wait: 65 min, screen: 20 s}
"""


def test_everything_that_the_file_gives(table: Table) -> None:
    data = data_of(table.dish(FULL))
    must_be_of_schema_org(data)
    assert data["@context"] == "https://schema.org"
    assert (data["prepTime"], data["cookTime"], data["totalTime"]) == ("PT4M", "PT1H6M", "PT1H10M")
    assert data["author"] == {"@type": "Person", "name": "The harbour kitchen"}
    assert data["image"] == data["video"]["thumbnailUrl"] == "https://example.org/p.jpg"
    assert datetime.date.fromisoformat(data["video"]["uploadDate"])
    assert [c["url"] for c in data["video"]["hasPart"]][:2] == [
        "https://example.org/v/1#t=0",
        "https://example.org/v/1#t=10",
    ]
    assert [s["name"] for s in data["recipeInstructions"]] == ["Prep", "Cook"]
    assert data["recipeYield"] == "2 servings"
    assert data["nutrition"]["servingSize"] == "240 g"
    assert "duration" not in data["video"]  # nobody knows before it is cut


def test_nothing_is_made_up_where_the_file_is_silent(table: Table) -> None:
    data = data_of(
        table.dish(
            "dish: Broth\nservings: 2\ningredients: {leek: 500 g}\nsteps: [{stage: cook, do: Warm it., add: leek}]"
        )
    )
    assert set(data) == {"@context", "@type", "name", "recipeYield", "recipeIngredient", "recipeInstructions", "nutrition", "video"}  # fmt: skip
    assert set(data["video"]) == {"@type", "name", "hasPart"}
    assert [s["@type"] for s in data["recipeInstructions"]] == ["HowToStep"]


def test_an_unknown_figure_is_left_out_and_not_zero(table: Table) -> None:
    data = data_of(
        table.dish(
            """\
            dish: Broth
            servings: 1
            cooked_weight: 500 g
            foods: {harbour stock: {basis: us, energy_kcal: 10, protein_g: 1}}
            ingredients: {harbour stock: 500 g}
            steps: [{stage: cook, do: Warm it., add: harbour stock}]
            """
        )
    )
    assert data["nutrition"] == {
        "@type": "NutritionInformation", "servingSize": "500 g", "calories": "50 kcal", "proteinContent": "5.0 g"
    }  # fmt: skip


@pytest.mark.parametrize("salt", ["to taste", "1 g"])
def test_sodium_of_what_is_salted_to_taste_is_not_known(salt: str, table: Table) -> None:
    text = f"dish: D\nservings: 1\ningredients: {{leek: 300 g, salt: {salt}}}\nsteps: [{{stage: cook, do: Stir., add: [leek, salt]}}]"
    nutrition = data_of(table.dish(text))["nutrition"]
    assert ("sodiumContent" in nutrition) is (salt != "to taste")
    assert nutrition["servingSize"].startswith("about 30")  # nobody weighed it


def test_of_what_weighs_nothing_there_is_no_nutrition(table: Table) -> None:
    data = data_of(
        table.dish("dish: D\nservings: 1\ningredients: {salt: to taste}\nsteps: [{stage: cook, do: Salt., add: salt}]")
    )
    assert "nutrition" not in data


def test_figures_are_those_of_the_card_and_net_carbs_are_none_of_them() -> None:
    publication_files = publish_files(
        publication_of(
            supper := read_source(str(EXAMPLES / "harbour-supper.yaml")).usable(), chapters_of_plan(plan_of(supper))
        )
    )[0]
    nutrition = json.loads(publication_files["files/recipe.jsonld"])["nutrition"]
    assert not [name for name in nutrition if "net" in name.casefold()]
    for name, row in (("fatContent", "Fat"), ("carbohydrateContent", "Carbohydrate"), ("fiberContent", "less fibre"), ("proteinContent", "Protein")):  # fmt: skip
        cells = re.search(rf">{row}</th>(.*)</tr>", publication_files["recipe-card.html"])
        assert cells is not None
        assert nutrition[name].removesuffix(" g") in re.findall(r">([\d.]+)<", cells.group(1))


def test_clips_follow_one_another_in_whole_seconds() -> None:
    clips = data_of(read_source(str(EXAMPLES / "harbour-supper.yaml")).usable())["video"]["hasPart"]
    assert clips[0]["startOffset"] == 0
    for one, other in itertools.pairwise(clips):
        assert one["endOffset"] == other["startOffset"] > one["startOffset"]


def test_a_cut_gives_the_videos_length_and_an_open_end_none() -> None:
    dish = read_source(str(EXAMPLES / "fennel-bisque.yaml")).usable()
    assert isinstance(dish, Dish)
    placements = tuple(
        Placement(dish=dish, step=s, time_ms=20_000 * n, confidence=1) for n, s in enumerate(dish.in_shoot_order, 1)
    )
    for length, duration in ((200_500, "PT3M20S"), (0, None)):
        cut = Cut(title="", length_ms=length, placements=placements, confidence=1)
        publication = publication_of(dish, chapters_of_cut(cut, dish.place))
        video = json.loads(publish_files(publication)[0]["files/recipe.jsonld"])["video"]
        assert video.get("duration") == duration
        assert ("endOffset" in video["hasPart"][-1]) is bool(length)
        must_be_of_schema_org(video)


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_a_json_ld_processor_expands_all_of_it(path: Path) -> None:
    """With a local context in schema.org's place: every term becomes an address of the vocabulary, none falls away."""
    try:
        from pyld import jsonld
    except ImportError:
        absent("pyld")
    data = data_of(read_source(str(path)).usable())
    context = {"@vocab": "https://schema.org/", "url": {"@type": "@id"}}
    (expanded,) = jsonld.expand({**data, "@context": context})

    def count(value: Any) -> int:
        if isinstance(value, list):
            return sum(map(count, value))
        if isinstance(value, dict):
            return sum(1 + count(v) for k, v in value.items() if not k.startswith("@"))
        return 0

    assert count(expanded) == count(data)
    assert expanded["@type"] == ["https://schema.org/Recipe"]
    source = read_source(str(path)).usable()  # what goes into a dish is an ingredient there, with a recipe of its own
    steps = sum(
        len(dish.steps) for dish in ([source] if isinstance(source, Dish) else [p.dish for p in source.portions])
    )
    listed = json.dumps(expanded).count("https://schema.org/HowToStep")
    assert listed == steps


def test_the_card_holds_the_same_data() -> None:
    source = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
    files = publish_files(publication_of(source, chapters_of_plan(plan_of(source))))[0]
    inside = re.search(r'<script type="application/ld\+json">(.*?)</script>', files["recipe-card.html"], re.DOTALL)
    assert inside is not None
    assert json.loads(inside.group(1)) == json.loads(files["files/recipe.jsonld"])


def test_a_step_has_the_oven_the_temperature_inside_and_the_time_as_the_card_has_them() -> None:
    data = data_of(read_source(str(EXAMPLES / "oven-lunch.yaml")).usable())
    texts = [node["text"] for node in nodes(data) if node["@type"] == "HowToStep"]
    (roast,) = [text for text in texts if "roast it" in text]
    assert roast.endswith("until the skin is crisp (oven 425 °F (220 °C), 165 °F (74 °C) inside, 40 min).")
