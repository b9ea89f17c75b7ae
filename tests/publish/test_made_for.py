"""Whom a dish is made for is said where it is read, and defers to a health service."""

from __future__ import annotations

import re

import pytest
from conftest import Table

from scriptkit.pack import make_pack
from scriptkit.production import Production
from scriptkit.publish.made_for import ASK

DISH = """
    dish: Leek soup
    FOR
    servings: 2
    served: SERVED
    ingredients: {leek: 300 g, stock: {amount: 500 ml, food: "chicken stock, homemade"}}
    steps:
      - {stage: cook, do: Simmer the leek in the stock., add: {leek: all, stock: all}, vessel: pot, heat: low, wait: 20 min, screen: 12 s}
"""


def pages(table: Table, whom: str = "", served: str = "hot") -> dict[str, str]:
    text = DISH.replace("FOR", f"for: {whom}" if whom else "promise: A soup.").replace("SERVED", served)
    return make_pack(Production(table.read(text))).files


@pytest.mark.parametrize(
    ("whom", "said"),
    [
        ("[pregnant]", f"Made for someone who is pregnant. {ASK}"),
        ("[toddler, older]", f"Made for a child under five and an older person. {ASK}"),
        ("[no alcohol]", "Made for people who drink no alcohol."),
    ],
)
def test_the_papers_say_for_whom_it_is(table: Table, whom: str, said: str) -> None:
    files = pages(table, whom)
    for name in ("index.html", "recipe-card.html", "description.txt"):
        words = " ".join(re.sub(r"<[^>]+>", " ", files[name]).split())
        assert said in words and ("health service" in words) is (ASK in said), name


def test_nobody_is_named_where_the_file_names_nobody(table: Table) -> None:
    assert not [n for n, text in pages(table).items() if "Made for" in text]


@pytest.mark.parametrize(
    ("served", "said"),
    [("hot", "Serve it hot."), ("the soup hot, the bread cold", "Serve the soup hot, the bread cold.")],
)
def test_how_it_is_served_reads_as_a_sentence(table: Table, served: str, said: str) -> None:
    assert said in pages(table, served=f'"{served}"')["description.txt"]
