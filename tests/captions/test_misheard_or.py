"""Mishearings that may be one of two foods, and those that the recipe writes with accents: what is mended, and what is only told."""

from __future__ import annotations

import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

from scriptkit.captions.proofing.due_terms import DueTerms
from scriptkit.captions.proofing.misheard import due_in, mended, misheard, misheard_places, words_of_dishes
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import dishes_of
from scriptkit.timed_text.reading import CaptionFile, ReadCue

DISH = """dish: Crushed minted peas
servings: 4
ingredients:
  peas: {amount: 500 g, food: "peas, frozen"}
  butter: {amount: 30 g, food: "butter, unsalted"}
  crème fraîche: 100 g
  feta: 80 g
steps:
  - {id: crush, stage: cook, do: Crush the peas with the butter., add: {peas: all, butter: all}, vessel: small pot, hands: 2 min}
  - {id: green, stage: cook, do: Stir in the crème fraîche and crumble the feta over., add: {crème fraîche: all, feta: all}, vessel: small pot, hands: 2 min}
"""


@pytest.fixture(scope="module")
def words(tmp_path_factory: pytest.TempPathFactory) -> tuple[frozenset[str], DueTerms]:
    path = tmp_path_factory.mktemp("dish") / "peas.yaml"
    path.write_text(DISH, encoding="utf-8")
    dishes = dishes_of(read_source(str(path)).usable())
    return words_of_dishes(dishes), due_in(dishes)


def captions(text: str) -> CaptionFile:
    return CaptionFile(file="f", kind="srt", cues=(ReadCue(0, 5_000, text, 2),), repairs=())


@pytest.mark.parametrize(
    ("said", "written"),
    [
        (
            "Crumble the feather over the peas.",
            "Crumble the feather over the peas.",
        ),  # butter by its sound, feta by the step
        ("Now crumble the fetter.", "Now crumble the feta."),
        ("Stir in the creme fresh.", "Stir in the crème fraîche."),
        ("Stir in the crème fraîche.", "Stir in the crème fraîche."),
    ],
)
def test_what_is_mended(said: str, written: str, words: tuple[frozenset[str], DueTerms]) -> None:
    file = captions(said)
    assert mended(file, misheard_places(file, *words))[0].cues[0].text == written


def test_the_food_of_the_step_with_this_verb_comes_first(words: tuple[frozenset[str], DueTerms]) -> None:
    (told,) = misheard(captions("Crumble the feather over the peas."), *words)
    assert "“feta” or “butter”" in told.message and "“feta” or “butter”" in told.hint


def test_a_word_in_lines_taken_out_was_not_mended(
    run: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path
) -> None:
    (tmp_path / "peas.yaml").write_text(DISH, encoding="utf-8")
    line, tail = (
        "crumble<00:00:01.500><c> the</c><00:00:01.700><c> fet</c><00:00:01.900><c> her</c>",
        "crumble the fet her",
    )
    (tmp_path / "roll.vtt").write_text(
        f"WEBVTT\n\n00:00:01.000 --> 00:00:03.000\n{line}\n\n00:00:03.000 --> 00:00:03.010\n{tail}\n\n"
        f"00:00:03.010 --> 00:00:06.000\n{tail}\nand<00:00:03.500><c> wait</c>\n",
        encoding="utf-8",
    )
    done = run("proof", "roll.vtt", "--recipe", "peas.yaml", "--fix", "mended.vtt")
    assert "repaired:" in done.stderr and "misheard 1" not in done.stderr and "misheard 2" not in done.stderr
