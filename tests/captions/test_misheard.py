"""Mishearings planted in what the kitchen says, each with a faultless twin in which nothing is found."""

from __future__ import annotations

import csv
import functools
import re
import subprocess
from collections.abc import Callable
from importlib import resources
from pathlib import Path

import pytest
from conftest import EXAMPLES
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.captions.proofing.confusions import confusions, signs_of
from scriptkit.captions.proofing.misheard import glossary, misheard, words_of_dishes
from scriptkit.english.phonetics import joined, skeleton, sound
from scriptkit.recipe.reader import read_source
from scriptkit.shoot.plan import dishes_of
from scriptkit.timed_text.reading import CaptionFile, ReadCue

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))


@functools.cache
def own_words() -> frozenset[str]:
    """Of every example: bisque, chowder, hake, chops, loaf, stock."""
    return frozenset().union(*(words_of_dishes(dishes_of(read_source(str(p)).usable())) for p in GOOD))


def found(text: str) -> list[tuple[int, str]]:
    file = CaptionFile(file="f", kind="srt", cues=(ReadCue(0, 3_000, text, 2),), repairs=())
    return [(p.place.line, p.message.split("”")[0][1:]) for p in misheard(file, own_words())]


# What a recogniser made of it, what it took, and what was said. The sentences are ours.
PLANTED = [
    ("Peel the sell a rack and dice it.", "sell a rack", "Peel the celeriac and dice it."),
    ("In with the bay leave.", "bay leave", "In with the bay leaf."),
    ("Three sprigs of time on top.", "sprigs of time", "Three sprigs of thyme on top."),
    ("Parsley, rosemary and time.", "rosemary and time", "Parsley, rosemary and thyme."),
    ("Soften the fen all in butter.", "fen all", "Soften the fennel in butter."),
    ("Soften the leaks gently.", "the leaks", "Soften the leeks gently."),
    ("Chop the pars lee last.", "pars lee", "Chop the parsley last."),
    ("A spoon of mustered goes in.", "mustered", "A spoon of mustard goes in."),
    ("Rinse the keepers first.", "keepers", "Rinse the capers first."),
    ("Two cups of flower, sifted.", "cups of flower", "Two cups of flour, sifted."),
    ("The muscles open in the steam.", "The muscles", "The mussels open in the steam."),
    ("Pour over the source, thick and hot.", "the source", "Pour over the sauce, thick and hot."),
    ("Strain the fish stalk.", "fish stalk", "Strain the fish stock."),
    ("A lazy summer for twenty minutes.", "lazy summer", "A lazy simmer for twenty minutes."),
    ("Saute an our, no more.", "Saute an our", "Sauté an hour, no more."),
    ("Saw tay the onions.", "Saw tay", "Sauté the onions."),
    ("Salt the hate, skin side up.", "Salt the hate", "Salt the hake, skin side up."),
    ("A spoon of cream fresh.", "cream fresh", "A spoon of crème fraîche."),
    ("Core jet ribbons go on last.", "Core jet", "Courgette ribbons go on last."),
    ("Sam fire for the salt of it.", "Sam fire", "Samphire for the salt of it."),
    ("Melt the unsalted batter.", "unsalted batter", "Melt the unsalted butter."),
    ("Stir in the hole grain mustard.", "hole grain mustard", "Stir in the wholegrain mustard."),
    ("Finish with white whine vinegar.", "white whine", "Finish with white wine vinegar."),
    ("Rest the meet on a board.", "Rest the meet", "Rest the meat on a board."),
    ("Sear the rump stake.", "rump stake", "Sear the rump steak."),
    ("Beat the yokes.", "Beat the yokes", "Beat the yolks."),
    ("Grate the lemon peal.", "lemon peal", "Grate the lemon peel."),
]


@pytest.mark.parametrize(("heard", "taken", "said"), PLANTED)
def test_a_planted_mishearing_is_found_and_its_twin_is_quiet(heard: str, taken: str, said: str) -> None:
    assert [text for _, text in found(heard)] == [taken]
    assert found(said) == []


QUIET = [
    "This time I add the parsley.",
    "Take your time with the leek.",
    "By the time the fennel is soft, the stock is hot.",
    "The flowers on the table are for later.",
    "It must be read twice before it goes.",
    "There is a leak in the boat, not in the pan.",
    "Wait for the summer, when the peas are in.",
    "Muscles in your arm get tired from whisking.",
    "At the end of the day it is only soup.",
    "All of it goes in, and all of the oil.",
    "Stir it in, turn it over, and let it rest.",
    "The source of the recipe is my own notebook.",
    "We meet at the quay at six.",
    "He sells a rack of lamb on Friday.",
]


@pytest.mark.parametrize("text", QUIET)
def test_ordinary_speech_is_quiet(text: str) -> None:
    assert found(text) == []


def test_everything_that_the_examples_say_is_quiet() -> None:
    lines = [
        line
        for path in GOOD
        for dish in dishes_of(read_source(str(path)).usable())
        for step in dish.steps
        for line in (step.do, re.sub(r"\{.*?\}", "it", step.say))
    ]
    assert len(lines) > 60
    assert [hit for line in lines for hit in found(line)] == []


def test_the_line_of_the_file_is_told() -> None:
    assert found("Peel the\nsell a rack")[0][0] == 4
    assert found("Peel <i>the</i>\nsell a\nrack")[0][0] == 4


@settings(max_examples=60)
@given(st.text(max_size=60))
def test_any_text_is_read(text: str) -> None:
    found(text)
    assert isinstance(sound(text) + skeleton(text), str)


def test_words_said_in_one_breath_sound_like_the_word() -> None:
    assert joined(("sell", "a", "rack")) == skeleton("celeriac")
    assert joined(("rose", "marry")) == skeleton("rosemary")
    assert skeleton("celery") != skeleton("celeriac")


def test_the_tables() -> None:
    assert len(glossary()) > 700
    assert all(term == term.strip() and term for term in glossary())
    text = resources.files("scriptkit.captions.proofing").joinpath("misheard.csv").read_text(encoding="utf-8")
    rows = list(csv.DictReader(text.splitlines()))
    assert len(rows) == len(confusions()) > 70
    assert all(row["own"] in ("", "yes") and row["meant"] and None not in row for row in rows)


SIGNS = (
    ("(?:fresh|dried) leaks?(?! in)", (" leak",)),
    ("(?:plum|plumb) (?:pall?|pie)", ("plum", "plumb")),
    ("salt(?:ed)? the (?:hate|ache)", ("salt", " the ")),
    ("(?:see|sea) base(?= and)", (" base",)),
)


@pytest.mark.parametrize(("pattern", "among"), SIGNS)
def test_what_must_stand_where_a_row_fits(pattern: str, among: tuple[str, ...]) -> None:
    assert set(signs_of(pattern)) <= set(among)


def test_a_row_that_anything_may_fit_has_no_signs() -> None:
    with pytest.raises(ValueError, match="nothing must stand"):
        signs_of("(?:the )?(?:salt|a*)")


def test_the_command_says_where_the_word_comes_from(
    run: Callable[..., subprocess.CompletedProcess[str]], tmp_path: Path
) -> None:
    text = "1\n00:00:01,000 --> 00:00:04,000\nPeel the sell a rack,\ntwo sprigs of time.\n"
    (tmp_path / "cut.srt").write_text(text, encoding="utf-8")
    recipe = str(EXAMPLES / "fennel-bisque.yaml")
    done = run("proof", "cut.srt", "--recipe", recipe)
    assert done.returncode == 1
    assert (
        "cut.srt:3:1: warning: “sell a rack” may be a mishearing of “celeriac”, which this recipe has [misheard]"
        in done.stderr
    )
    assert (
        "cut.srt:4:1: warning: “sprigs of time” may be a mishearing of “thyme”, a cooking term [misheard]"
        in done.stderr
    )
    assert run("proof", "cut.srt").returncode == 0
    (tmp_path / "cut.srt").write_text(
        text.replace("sell a rack", "celeriac").replace("time", "thyme"), encoding="utf-8"
    )
    assert run("proof", "cut.srt", "--recipe", recipe).returncode == 0


def test_a_word_of_the_recipe_said_in_two_is_that_word() -> None:
    """“Rose mary” is rosemary, spelt apart; “mary” alone is none of the recipe's."""
    own = frozenset({"rosemary", "buttermilk"})

    def taken(text: str) -> list[str]:
        file = CaptionFile(file="f", kind="srt", cues=(ReadCue(0, 3_000, text, 2),), repairs=())
        return [p.message for p in misheard(file, own)]

    assert taken("Chop the rose mary.") == []
    assert taken("In with the butter milk.") == []


def test_words_said_in_one_breath_share_a_consonant_that_ends_one_and_begins_the_next() -> None:
    assert joined(("carrot", "tin")) == skeleton("carrotin") == "krtn"
    assert joined(("carrot", "leaf")) == skeleton("carrotleaf") == "krtlf"
