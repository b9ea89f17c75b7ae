"""The rules file: every rule well-formed, with a source."""

from __future__ import annotations

import re

import pytest

from scriptkit.captions.text import WIDEST, fit, readable_ms
from scriptkit.pantry.table import food_rows
from scriptkit.recipe.forms import LabelForm
from scriptkit.safety.apply import TRIGGERS
from scriptkit.safety.rules import Rule, rules

PLACEHOLDERS = {"food", "fill", "batches", "batch_volume"}
NO_SOURCE = "common practice, no source"
LONGEST_CUE_MS = 9_000


def filled(text: str) -> str:
    """With the longest words that the usual kitchen puts in."""
    words = {
        "food": "Sea bass",
        "fill": "one quarter full",
        "batches": "Blend it in 12 batches",
        "batch_volume": "about 1.95 l in a 1.75 l jug",
    }
    return re.sub(r"\{(\w+)\}", lambda found: words[found.group(1)], text)


def test_ids_are_unique_and_plain() -> None:
    ids = [r.id for r in rules()]
    assert len(set(ids)) == len(ids) > 0
    assert all(re.fullmatch(r"[a-z]+(-[a-z]+)*", i) for i in ids)


@pytest.mark.parametrize("rule", rules(), ids=lambda r: r.id)
def test_a_rule_is_well_formed(rule: Rule) -> None:
    assert rule.severity in {"safety", "caution", "note"}
    assert rule.when
    assert all(name == "always" or name in TRIGGERS for name, _ in rule.when)
    assert rule.printed.strip()
    for text in (*rule.overlay, rule.spoken, rule.printed):
        assert set(re.findall(r"\{(\w*)\}", text)) <= PLACEHOLDERS
        assert "{" not in re.sub(r"\{\w+\}", "", text)


@pytest.mark.parametrize("rule", rules(), ids=lambda r: r.id)
def test_a_rule_names_its_source_or_says_that_there_is_none(rule: Rule) -> None:
    published = re.search(r"\b(?:FoodSafety\.gov|FSIS|NFPA|FDA|Regulation)\b", rule.source)
    assert published or NO_SOURCE in rule.source
    if rule.severity == "safety":  # a figure must come from somewhere
        assert published
        assert re.search(r"\b20\d\d\b", rule.source)


@pytest.mark.parametrize("rule", rules(), ids=lambda r: r.id)
def test_overlay_lines_are_short_enough_to_be_read(rule: Rule) -> None:
    for line in rule.overlay:
        assert len(filled(line)) <= WIDEST
        assert fit(filled(line)) == (filled(line),)
        assert readable_ms(filled(line)) <= LONGEST_CUE_MS


@pytest.mark.parametrize("rule", [r for r in rules() if r.minimum_c is not None], ids=lambda r: r.id)
def test_the_figure_of_a_rule_stands_in_its_texts(rule: Rule) -> None:
    assert rule.minimum_c is not None
    words = f"{rule.minimum_c:.0f} °C"
    fahrenheit = f"{rule.minimum_c * 9 / 5 + 32:.0f} °F"
    assert words in rule.printed
    assert fahrenheit in rule.printed
    assert words in " ".join(rule.overlay)
    if rule.rest_min is not None:
        assert f"{rule.rest_min:g} min" in rule.printed
        assert f"{rule.rest_min:g} min" in " ".join(rule.overlay)


def test_every_class_of_food_in_the_pantry_has_a_rule() -> None:
    ruled = {wanted for r in rules() for name, wanted in r.when if name == "class"}
    assert {row["safety"] for row in food_rows().values() if row["safety"]} <= ruled
    known = set(LabelForm.model_json_schema()["properties"]["safety"]["enum"]) - {""}
    assert ruled == known


def test_a_line_of_the_rules_that_defers_to_local_codes_holds_for_every_dish() -> None:
    always = [r for r in rules() if ("always", True) in r.when]
    assert [r.printed for r in always] == [
        "Follow your local food code; ask a licensed professional where a rule is a legal or a medical one."
    ]
