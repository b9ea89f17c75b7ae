"""What is ours is in the words of a US kitchen on its papers; what the cook wrote stays."""

from __future__ import annotations

import re

import pytest
from conftest import Table

from scriptkit.english.us_words import in_kitchen_words, us_words
from scriptkit.pack import make_pack
from scriptkit.papers.macros import dish_text
from scriptkit.production import Production

SEARED = """\
dish: Thighs
UNITS
servings: 2
ingredients: {chicken: {amount: 400 g, food: "chicken thigh, skin-on"}, hob glaze: {amount: 20 g, food: maple syrup}, oil: {amount: 2 tbsp, food: canola oil}}
steps:
  - {id: sear, stage: cook, do: Sear the chicken in the smoking hot oil until golden., add: [oil, chicken], vessel: iron pan, heat: high, hands: 3 min, wait: 8 min, core: 74 °C}
  - {id: glaze, stage: cook, do: Brush it with the glaze., add: hob glaze, vessel: iron pan, heat: medium, hands: 2 min}
"""
OURS = re.compile(r"\b(extractor|the hob|one metre|fibre)\b")


@pytest.mark.parametrize(("units", "british"), [("units: us", False), ("units: metric", True)])
def test_cautions_and_the_card_are_in_the_words_of_the_kitchen(table: Table, units: str, british: bool) -> None:
    work = Production(table.read(SEARED.replace("UNITS", units)))
    told = " ".join(f"{c.spoken} {c.printed} {' '.join(c.overlay)}" for c in work.cautions)
    card = make_pack(work).files["recipe-card.html"]
    assert {"extractor", "the hob"} <= set(OURS.findall(told)) if british else not OURS.search(told)
    assert ("exhaust fan" in told and "three feet" in told) is not british
    assert ("less fiber" in card) is not british and ("less fibre" in card) is british
    assert "hob glaze" in card  # the cook's own


def test_no_paper_of_a_us_kitchen_says_fibre(table: Table) -> None:
    work = Production(table.read(SEARED.replace("UNITS", "units: us")))
    papers = {name: str(text) for name, text in make_pack(work).files.items()}
    papers["macros"] = dish_text(work.macros.dishes[0], label=True)
    assert [name for name, text in papers.items() if re.search(r"\bfibre\b", text, re.IGNORECASE)] == []
    assert "fiber" in papers["macros"] and "fiber" in papers["description.txt"]


def test_every_word_is_changed_once() -> None:
    for british, us in us_words().items():
        assert in_kitchen_words(british, "us") == us == in_kitchen_words(us, "us")
