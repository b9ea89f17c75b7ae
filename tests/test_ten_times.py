"""Ten times the input takes about ten times as long, and nowhere near a hundred times: of everything that reads what a stranger wrote.

Processor time of this process, the least of three runs; a quadratic part would show as a ratio near 100.
"""

from __future__ import annotations

import json
import time
from collections.abc import Callable

import pytest

from scriptkit.captions.profiles import profile_of
from scriptkit.captions.proofing.proof import proof
from scriptkit.captions.proofing.sheet import Sheet
from scriptkit.drafting import page
from scriptkit.drafting.source import recipe_of
from scriptkit.english.disposal import disposals_in
from scriptkit.english.kitchen_facts import kitchen_facts
from scriptkit.english.negation import negations
from scriptkit.shoot.log.log_cells import names_in
from scriptkit.timed_text.markup import unescaped
from scriptkit.timed_text.reading import parse_captions

MOST = 40.0
PAGE = '<div itemscope itemtype="https://schema.org/Recipe"><b itemprop=name>x</b>'


def cues(n: int, words: str) -> str:
    return "WEBVTT\n\n" + "".join(
        f"{k // 60:02d}:{k % 60:02d}.000 --> {k // 60:02d}:{k % 60:02d}.900\n{words}\n\n" for k in range(n)
    )


def facts_of(text: str) -> None:
    for fact in kitchen_facts().values():
        fact.pattern.search(text)


CASES: dict[str, tuple[Callable[[str], object], Callable[[int], str], int]] = {
    **{
        f"a page of {unit!r}": (page.items_of, lambda n, unit=unit: PAGE + unit * n, 2_000)  # type: ignore[misc]
        for unit in ("<a ", "<?", "<![", "</", "<!-- ", "<b>", "<b itemprop=name>x", "<a b='", "&#", "&amp;")
    },
    "recipe data": (
        lambda text: recipe_of(text.encode(), "page.json"),
        lambda n: json.dumps({"@type": "Recipe", "name": "x", "recipeIngredient": ["100 g butter"] * n}), 200,
    ),
    "tags of a cue": (lambda text: parse_captions(text, "a.vtt"), lambda n: cues(1, "<c>" * n + "x"), 2_000),
    "begun tags of a cue": (lambda text: parse_captions(text, "a.vtt"), lambda n: cues(1, "<" * n + "x"), 2_000),
    "times inside a cue": (lambda text: parse_captions(text, "a.vtt"), lambda n: cues(1, "<00:01.000>x " * n), 500),
    "cues": (lambda text: proof(Sheet(parse_captions(text, "a.vtt"), profile_of("education"), None)), lambda n: cues(n, "<i>one</i> two"), 60),
    "references": (unescaped, lambda n: "&#1" * n, 5_000),
    "a cell of a log": (lambda text: names_in(text, ["olive oil", "salt, smoked"]), lambda n: "; olive oil, thing" * n, 200),
    "facts of a sentence": (facts_of, lambda n: "Stir the oil, not the lid, with a wet board and lift it over the hot pan " * n, 20),
    "facts of coals": (facts_of, lambda n: "bring the barbecue, coals on " * n, 50),
    "what is not done": (negations, lambda n: "do not let it, not in the pan or nor the lid, " * n, 100),
    "what is poured off": (disposals_in, lambda n: "pour off the fat and set aside the juices drain it " * n, 60),
}  # fmt: skip


def least_s(work: Callable[[str], object], text: str) -> float:
    """The least of three runs, each of new bytes, as results are kept by the text."""
    found = []
    for n in range(3):
        given = text + " " * n
        start = time.process_time()
        work(given)
        found.append(time.process_time() - start)
    return min(found)


@pytest.mark.parametrize("name", CASES, ids=lambda name: name)
def test_ten_times_the_input_is_no_hundred_times_the_work(name: str) -> None:
    work, made, n = CASES[name]
    work(made(1))  # tables and patterns are read
    once, ten = least_s(work, made(n)), least_s(work, made(10 * n))
    assert ten < MOST * max(once, 0.002), (once, ten)
