"""The rules files: every rule well-formed, in three forms, with a source."""

from __future__ import annotations

import re

import pytest

from scriptkit.captions.composing.text_fitting import WIDEST, fit, readable_ms
from scriptkit.pantry.table import food_rows
from scriptkit.recipe.forms import LabelForm
from scriptkit.safety.conditions import CONDITIONS, OF_A_DISH, OF_A_STEP
from scriptkit.safety.rules import OVERLAY, PRINTED, SPOKEN, Rule, rules

PLACEHOLDERS = {
    "alcohol_left",
    "polyols",
    "food",
    "fill",
    "count",
    "batches",
    "batch_volume",
    "oil",
    "oil_pan",
    "fat_hot",
    "shellfish_done",
    "taken_off",
    "out",
    "dose",
    "salt_percent",
    "step_says",
    "oil_here",
    "pot_here",
    "dose_here",
}
NO_SOURCE = "common practice, no source"
PUBLISHED = (
    r"\b(?:FoodSafety\.gov|FSIS|NFPA|FDA|Regulation|USDA|EFSA|CDC|WHO|CFR|first-aid advice|extension services|health services?'s? advice|"
    r"health services' advice|Scientific Committee)\b"
)
LONGEST_CUE_MS = 9_000

# The hazards that the tool must know, each with the rules for it.
HAZARDS = {
    "hot blending": ["hot-blending-jug", "hot-blending-immersion"],
    "searing and hot fat": ["searing", "hot-pan", "hot-fat"],
    "deep fat": ["deep-frying"],
    "caramel": ["caramel"],
    "pressure": ["pressure-cooking"],
    "knives and mandoline": ["knives", "mandoline"],
    "minimum temperatures": [
        "cook-whole-cut", "cook-ground-meat", "cook-poultry", "cook-fish", "cook-shellfish", "cook-egg", "reheat-ham",
        "cook-casserole", "stuffing", "reheating",
    ],
    "raw egg and flour": ["raw-egg", "raw-flour"],
    "chilling": ["chilling", "leftovers", "standing-out"],
    "thawing": ["thawing"],
    "marinades": ["marinade"],
    "sprouts": ["sprouts"],
    "kidney beans": ["dry-kidney-beans"],
    "garlic in oil": ["garlic-in-oil"],
    "honey": ["honey-infants"],
    "preserves": ["boiling-jam", "jars"],
    "wild food": ["wild-food", "bought-wild-mushrooms"],
    "cross-contamination": ["cross-contamination", "washing-poultry"],
    "twins and heroes": ["stand-ins"],
    "konjac": ["konjac"],
    "polyols": ["polyols", "xylitol-and-dogs"],
    "caffeine and alcohol": ["caffeine", "alcohol"],
    "smoke alarm": ["smoke-alarm"],
    "tripod, cables, lights": ["tripod-and-cables", "mains-lights"],
    "raw fish, meat, shellfish": ["raw-fish", "raw-meat", "raw-shellfish"],
}  # fmt: skip


def filled(text: str) -> str:
    """With the longest words that the usual kitchen puts in."""
    words = {
        "food": "Sea bass",
        "fill": "one quarter full",
        "count": "12 batches",
        "batches": "Blend it in 12 batches",
        "batch_volume": "about 1.95 l in a 1.75 l jug",
        "fat_hot": "Butter foaming",
        "shellfish_done": "until they open; bin shut ones",
    }
    return re.sub(r"\{(\w+)\}", lambda found: words[found.group(1)], text)


def asked(rule: Rule) -> list[str]:
    return [name for one in (*rule.when, rule.unless) for name, _ in one]


def test_ids_are_unique_and_plain() -> None:
    ids = [r.id for r in rules()]
    assert len(set(ids)) == len(ids) > 40
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)*", i) for i in ids)


def test_every_hazard_has_its_rules() -> None:
    assert {i for ids in HAZARDS.values() for i in ids} <= {r.id for r in rules()}


def test_a_rule_is_well_formed() -> None:
    for rule in rules():
        assert rule.severity in {"safety", "caution", "note"}
        assert rule.told in {"step", "dish", "whole"}
        assert set(rule.where) <= {OVERLAY, SPOKEN, PRINTED}
        assert PRINTED in rule.where  # the papers keep everything
        assert all(rule.when)
        assert all(name in CONDITIONS for name in asked(rule))
        assert set(rule.instead_of) <= {r.id for r in rules()} - {rule.id}
        for text in (*rule.short, rule.spoken, rule.printed):
            assert text.strip() == text != ""
            assert set(re.findall(r"\{(\w*)\}", text)) <= PLACEHOLDERS
            assert "{" not in re.sub(r"\{\w+\}", "", text)


def test_a_rule_of_the_whole_dish_asks_nothing_of_a_step_and_is_only_printed() -> None:
    for rule in rules():
        if rule.told == "whole":
            assert not [name for name in asked(rule) if name in OF_A_STEP]
            assert rule.where == (PRINTED,)
        else:
            assert all([name for name, _ in one if name in OF_A_STEP] for one in rule.when)


def test_no_condition_means_two_things_and_each_is_used() -> None:
    assert not set(OF_A_STEP) & set(OF_A_DISH)
    assert {name for r in rules() for name in asked(r)} == set(CONDITIONS)


def test_a_rule_names_its_source_or_says_that_there_is_none() -> None:
    for rule in rules():
        published = re.search(PUBLISHED, rule.source)
        assert published or NO_SOURCE in rule.source
        if rule.severity == "safety":  # a figure must come from somewhere
            assert published
            assert re.search(r"\b20\d\d\b|from memory|USDA FSIS|NFPA", rule.source)


def test_overlay_lines_are_short_enough_to_be_read() -> None:
    for rule in rules():
        assert 1 <= len(rule.short) <= 2
        for line in rule.short:
            assert len(filled(line)) <= WIDEST
            assert fit(filled(line)) == (filled(line),)
            assert readable_ms(filled(line)) <= LONGEST_CUE_MS


def test_what_is_said_is_words_and_short() -> None:
    for rule in rules():
        assert not re.search(r"\d|°|→", rule.spoken)
        assert len(filled(rule.spoken).split()) <= 35


@pytest.mark.parametrize("rule", [r for r in rules() if r.minimum_c is not None], ids=lambda r: r.id)
def test_the_figure_of_a_rule_stands_in_its_texts(rule: Rule) -> None:
    assert rule.minimum_c is not None
    words = f"{rule.minimum_c:.0f} °C"
    fahrenheit = f"{rule.minimum_c * 9 / 5 + 32:.0f} °F"
    assert words in rule.printed
    assert fahrenheit in rule.printed
    assert words in " ".join(rule.short)
    if rule.rest_min is not None:
        assert f"{rule.rest_min:g} min" in rule.printed
        assert f"{rule.rest_min:g} min" in " ".join(rule.short)


def test_every_class_of_food_in_the_pantry_has_a_rule() -> None:
    ruled = {
        wanted
        for r in rules()
        if r.minimum_c is not None or r.id == "cook-shellfish"
        for one in r.when
        for name, value in one
        if name == "class"
        for wanted in ([value] if isinstance(value, str) else value)
    }
    assert {row["safety"] for row in food_rows().values() if row["safety"]} <= ruled
    known = set(LabelForm.model_json_schema()["properties"]["safety"]["enum"]) - {""}
    assert ruled == known


def test_foods_and_categories_that_a_rule_asks_for_are_in_the_pantry() -> None:
    for rule in rules():
        known = {*food_rows(), *(row["category"] for row in food_rows().values()), "dish"}
        for one in (*rule.when, rule.unless):
            for name, value in one:
                if name in ("handles", "has", "mostly"):
                    assert set([value] if isinstance(value, str) else value) <= known


def test_the_line_that_defers_to_local_codes_holds_for_every_dish_and_stands_last() -> None:
    always = [r for r in rules() if (("always", True),) in r.when]
    assert always == [rules()[-1]]
    assert always[0].printed == (
        "Follow your local food code; ask a licensed professional where a rule is a legal or a medical one."
    )
