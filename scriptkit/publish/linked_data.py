"""The recipe as schema.org linked data (JSON-LD), for search engines.

Only what the file says: a property whose fact is not known is left out. There is no property for net carbs, so they are not in
it. Names of types and properties: schema.org, release 30.0; ``tests/outside/schema_org.csv`` holds its properties of these types.
"""

from __future__ import annotations

import json
from typing import Any

from scriptkit.measure.amounts import format_grams
from scriptkit.nutrition.rounding import print_one
from scriptkit.problems import printable
from scriptkit.publish.chapter_names import step_name
from scriptkit.publish.chapters import Chapters
from scriptkit.publish.method_words import method_words
from scriptkit.publish.publication import Part, Publication
from scriptkit.publish.times import iso_duration
from scriptkit.recipe.dish import Step

CONTEXT = "https://schema.org"

# Our figure → NutritionInformation's property. Energy is a number and its unit, mass likewise.
_NUTRITION = {
    "energy_kcal": "calories",
    "fat_g": "fatContent",
    "saturated_g": "saturatedFatContent",
    "carbohydrate_g": "carbohydrateContent",
    "sugars_g": "sugarContent",
    "fibre_g": "fiberContent",
    "protein_g": "proteinContent",
    "sodium_mg": "sodiumContent",
}

_OUT_OF_SCRIPT = {c: f"\\u{ord(c):04x}" for c in "<>&\u2028\u2029"}
"""Characters that could end a script element are written as JSON's escapes."""

Data = dict[str, Any]


def linked_data(publication: Publication) -> Data:
    """The dish as a Recipe; of a meal, one Recipe with a section for each stage of each dish, and the plate's nutrition."""
    source, said, times = publication.source, publication.source.published, publication.times
    return _known(
        {
            "@context": CONTEXT,
            "@type": "Recipe",
            "name": _text(source.name),
            "description": _text(source.promise),
            "author": {"@type": "Person", "name": _text(said.author)} if said.author else None,
            "image": said.picture,
            "recipeYield": publication.serves_words,
            "prepTime": _duration(times.prep_ms),
            "cookTime": _duration(times.cook_ms),
            "totalTime": _duration(times.total_ms),
            "recipeIngredient": [
                _text(line.words)
                for lines in (*(part.lines for part in publication.parts), publication.on_plates)
                for line in lines
            ],
            "recipeInstructions": _sections(publication),
            "nutrition": _nutrition(publication),
            "video": _video(publication),
        }
    )


def as_json(data: Data) -> str:
    """As a file of its own, and safe inside a script element as well."""
    text = json.dumps(data, ensure_ascii=False, indent=1, allow_nan=False)
    for character, escape in _OUT_OF_SCRIPT.items():
        text = text.replace(character, escape)
    return text


def _known(data: Data) -> Data:
    """Without what is not known."""
    return {name: value for name, value in data.items() if value not in (None, "", [], {})}


def _text(text: str) -> str:
    return " ".join(printable(text.replace("\n", " ")).split())


def _duration(ms: int | None) -> str | None:
    return None if ms is None else iso_duration(ms)


def _sections(publication: Publication) -> list[Data]:
    """Steps alone where there is one stage of one dish, else a section for each."""
    groups = [
        (part, stage, [s for s in part.steps if (s.stage == "prep") is (stage == "Prep")])
        for part in publication.parts
        for stage in ("Prep", "Cook")
    ]
    groups = [group for group in groups if group[2]]
    if len(groups) == 1:
        return [_step(step, groups[0][0], n) for n, step in enumerate(groups[0][2], 1)]
    several = len(publication.parts) > 1
    return [
        {
            "@type": "HowToSection",
            "name": _text(f"{part.dish.name}: {stage.lower()}" if several else stage),
            "position": number,
            "itemListElement": [_step(step, part, n) for n, step in enumerate(steps, 1)],
        }
        for number, (part, stage, steps) in enumerate(groups, 1)
    ]


def _step(step: Step, part: Part, position: int) -> Data:
    return _known(
        {
            "@type": "HowToStep",
            "name": _text(step_name(step, part.dish)),
            "text": _text(method_words(step)),
            "position": position,
        }
    )


def _nutrition(publication: Publication) -> Data:
    """Of a serving or the plate, the figures that the card prints; what is not known wholly is left out. So is sodium where
    something is salted to taste."""
    eaten = publication.eaten
    if not eaten.weight_g:
        return {}
    row = print_one(eaten)
    lacking = {"sodium_mg"} if publication.to_taste else set()
    figures = {
        name: f"{row.text(nutrient)} {nutrient.rsplit('_', 1)[1]}"
        for nutrient, name in _NUTRITION.items()
        if row.figures[nutrient] is not None and nutrient not in lacking
    }
    about = "about " if publication.estimated else ""
    size = f"{about}{format_grams(eaten.weight_g)}"
    return {"@type": "NutritionInformation", "servingSize": size, **figures} if figures else {}


def _video(publication: Publication) -> Data:
    """The video and its chapters as clips; its address, day and picture only as the file gives them."""
    source, said, chapters = publication.source, publication.source.published, publication.chapters
    clips = _clips(chapters, said.video_url)
    if not clips and not said.video_url:
        return {}
    return _known(
        {
            "@type": "VideoObject",
            "name": _text(source.name),
            "description": _text(source.promise),
            "url": said.video_url,
            "thumbnailUrl": said.picture,
            "uploadDate": said.uploaded,
            "duration": None if chapters.planned or not _end_known(chapters) else iso_duration(chapters.end_ms),
            "hasPart": clips,
        }
    )


def _clips(chapters: Chapters, address: str) -> list[Data]:
    """Offsets in whole seconds; an address of its own only where it has a fragment's place (W3C Media Fragments: ``#t=``)."""
    return [
        _known(
            {
                "@type": "Clip",
                "name": _text(one.name),
                "startOffset": one.start_ms // 1000,
                "endOffset": None if one.end_ms is None else one.end_ms // 1000,
                "url": f"{address}#t={one.start_ms // 1000}" if address and "#" not in address else "",
            }
        )
        for one in chapters.chapters
    ]


def _end_known(chapters: Chapters) -> bool:
    return bool(chapters.chapters) and chapters.chapters[-1].end_ms is not None
