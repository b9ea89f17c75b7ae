"""Misheard words where something is due, in lines of our own: seventy that are misheard and a hundred and fifty that are right. Every
third line was not looked at while the finder was made."""

from __future__ import annotations

import csv
import functools
import subprocess
from collections.abc import Callable, Sequence
from pathlib import Path

import pytest
from conftest import EXAMPLES, Table
from messages import kinds

from scriptkit.captions.proofing.due_terms import DueTerms, folded_words
from scriptkit.captions.proofing.misheard import due_in, mended, misheard, misheard_places, words_of_dishes
from scriptkit.english.stems import stem
from scriptkit.production import read
from scriptkit.timed_text.reading import CaptionFile, ReadCue

Run = Callable[..., subprocess.CompletedProcess[str]]
HERE = Path(__file__).parent
LINES = list(csv.DictReader((HERE / "misheard_lines.csv").read_text(encoding="utf-8").splitlines()))
CLEAN = [x for x in (HERE / "clean_lines.txt").read_text(encoding="utf-8").splitlines() if not x.startswith("#")]
RECIPES = ("seared-hake", "fennel-bisque", "mussel-chowder", "pork-chops", "seeded-loaf")


@functools.cache
def vocabulary(recipe: str) -> tuple[frozenset[str], DueTerms]:
    dishes = read(str(EXAMPLES / f"{recipe}.yaml")).dishes
    return words_of_dishes(dishes), due_in(dishes)


def captions(*texts: str) -> CaptionFile:
    cues = tuple(ReadCue(2_000 * n, 2_000 * n + 1_900, text, 4 * n + 2) for n, text in enumerate(texts))
    return CaptionFile(file="f.srt", kind="srt", cues=cues, repairs=())


def found(recipe: str, *texts: str) -> list[tuple[str, str]]:
    return [(p.heard, p.meant) for p in misheard_places(captions(*texts), *vocabulary(recipe))]


def stems(words: str) -> set[str]:
    return {stem(w) for w in folded_words(words)[0]}


def rightly_named(rows: Sequence[dict[str, str]]) -> float:
    right = sum(
        any(stems(meant) & stems(row["meant"]) for _, meant in found(row["recipe"], row["line"])) for row in rows
    )
    return right / len(rows)


def test_three_in_four_misheard_lines_are_named_rightly() -> None:
    assert len(LINES) >= 60
    assert rightly_named([row for n, row in enumerate(LINES) if n % 3 != 2]) >= 0.75
    assert rightly_named(LINES[2::3]) >= 0.75  # those that were held back


def test_hardly_anything_is_found_in_clean_lines() -> None:
    assert len(CLEAN) >= 150
    tried = [(recipe, line) for line in CLEAN for recipe in RECIPES]
    false = [one for one in tried if found(*one)]
    assert len(false) <= len(tried) / 100, false


@pytest.mark.parametrize("line", ["slice it in rings of five millimetres", "cut pieces of 2 centimetres and rinse"])
def test_a_length_after_a_figure_is_no_food(line: str, table: Table) -> None:
    dish = table.dish("""
        dish: Warm tomatoes
        servings: 2
        ingredients: {tomatoes: 300 g, leek: 100 g}
        steps: [{stage: cook, do: Soften the leek and the tomatoes., add: [leek, tomatoes], vessel: pan}]
    """)
    found = misheard_places(captions(line), words_of_dishes([dish]), due_in([dish]))
    assert not [(p.heard, p.meant) for p in found]


MORE = HERE / "misheard_recipes"
"""Recipes, and of each forty lines of a recogniser's kind and a hundred clean ones, written before the finder was changed for any of
them. The first time it named 30, 31, 35, 35, 34, 26, 32 and 34 of 40, and found 7, 2 and 8 of 200 clean ones wrong, 12 of 609, 2 of 200, 13 of 400, 6
and 5 of 300; in the third of which are words on purpose that sound like one of the recipe's (*finders keepers*). Of the last 41 of 61, and 2
of 292 wrong, each in its own recipe. Two sets more that are not kept here: 41 of 56, and 8 of 191 wrong; then, with what those taught, 48 of 57
and 1 of 144."""


@functools.cache
def more_vocabulary(recipe: str) -> tuple[frozenset[str], DueTerms]:
    dishes = read(str(MORE / f"{recipe}.yaml")).dishes
    return words_of_dishes(dishes), due_in(dishes)


@pytest.mark.parametrize(
    ("batch", "most_false"),
    [
        ("one", 2),
        ("two", 2),
        ("three", 4),
        ("four", 3),
        ("five", 2),
        ("six", 2),
        ("seven", 4),
        ("eight", 3),
        ("nine", 8),
    ],
)
def test_more_lines_of_other_recipes(batch: str, most_false: int) -> None:
    rows = list(csv.DictReader((MORE / f"{batch}.csv").read_text(encoding="utf-8").splitlines()))
    right = 0
    for row in rows:
        file = captions(*(text.strip() for text in row["line"].split("|")))
        named = [p.meant for p in misheard_places(file, *more_vocabulary(row["recipe"]))]
        right += any(stems(meant) & stems(row["meant"]) for meant in named)
    assert right >= (0.8 if batch in {"seven", "nine"} else 0.85) * len(rows)
    clean = (MORE / f"{batch}-clean.txt").read_text(encoding="utf-8").splitlines()
    tried = [(recipe, line) for recipe in {row["recipe"] for row in rows} for line in clean]
    false = [one for one in tried if misheard_places(captions(one[1]), *more_vocabulary(one[0]))]
    assert len(tried) >= 200 and len(false) <= most_false, false


def test_talk_goes_on_over_the_end_of_a_cue() -> None:
    assert found("fennel-bisque", "Peel the celery", "act and dice it.") == [("celery act", "celeriac")]


def test_nothing_is_read_over_a_stop_or_a_silence() -> None:
    assert found("seared-hake", "Thirty grams of. Papers for the boat.") == []
    cues = (ReadCue(0, 1_000, "thirty grams of", 2), ReadCue(9_000, 9_900, "papers", 6))
    file = CaptionFile(file="f", kind="srt", cues=cues, repairs=())
    assert misheard_places(file, *vocabulary("seared-hake")) == []


@pytest.mark.parametrize(
    ("recipe", "line", "named"),
    [
        ("grainpot", "Fifteen grams of partly, roughly chopped.", ["parsley"]),
        ("grainpot", "And the time, five grams of it.", ["thyme"]),
        ("peartart", "Three pairs, peeled and cored.", ["pears"]),
        ("meatballs", "sixty grams of bread comes to hold it", ["breadcrumbs"]),
        ("flank", "two teaspoons of pepper rica", ["paprika"]),
        ("grainpot", "Sixty grams of partly, roughly chopped.", []),  # nothing is owed of which it has so much
        ("grainpot", "Fifteen grams of it, partly chopped.", []),
        ("grainpot", "Fifteen grams of. Partly chopped.", []),
        ("grainpot", "The parsley now, fifteen grams of it, partly chopped.", []),
        ("peartart", "Three minutes, and three lumps.", []),
        ("grainpot", "Let it summer gently.", ["simmer"]),
        ("grainpot", "Let it settle. Let them rest. Let it sit.", []),
    ],
)
def test_what_is_owed_is_told_by_its_amount(recipe: str, line: str, named: list[str]) -> None:
    assert [p.meant for p in misheard_places(captions(line), *more_vocabulary(recipe))] == named


def test_a_word_that_is_named_nearby_is_likely_another_one() -> None:
    assert found("fennel-bisque", "Chop the hives last of all.") == [("hives", "chives")]
    assert found("fennel-bisque", "The chives are rinsed by now. Chop the hives last of all.") == []


SAID_FIGURES = (
    "Add eighty mils of it and stir.",
    "Add nine mils of it and stir.",
    "For eighty minutes, and wait.",
    "Slice the ninety rounds.",
    "Chop nine of the carrots.",
    "In eighteen minutes it is done.",
    "Soften it, 18 min.",
    "Bake it for 4 minutes more.",
)


@pytest.mark.parametrize("line", SAID_FIGURES)
def test_a_number_that_counts_is_none_that_was_misheard(line: str) -> None:
    for recipe in ("curry", "pie", "salad"):
        assert misheard_places(captions(line), *more_vocabulary(recipe)) == []
    assert found("fennel-bisque", line) == []


def test_a_small_number_that_counts_nothing_may_be_a_word_misheard() -> None:
    places = misheard_places(captions("Line the tart ten with the pastry."), *more_vocabulary("tart"))
    assert [(p.heard, p.meant) for p in places] == [("tart ten", "tart tin")]


RIGHT_AS_HEARD = (
    "Drain it and rinse it well.",  # a verb
    "Reheat it in the oven.",  # a verb, done again
    "It is stiff and shiny.",  # a quality
    "The smell of that reminds me of home.",  # what another word does
    "One bit of shell spoils a plate.",
    "You would rinse the creaminess away.",  # a quality as a noun
    "Pick the leaves off the stalks.",  # what any plant has
    "A pinch of salt.",  # what any kitchen has
    "Add a spoonful of flour.",  # an amount
    "Any wide pan will do.",  # a quality of what is named
    "Get yourself a good knife.",
    "Warm it with a bay leaf in it.",  # the name as a whole, and a word beside it
    "Stir the rice.",  # a food that is named is no tool
    "I have had this pan for twenty years.",  # a number counts
    "Sieve it from up high.",  # a verb, and what it is done to
    "Bash it until it is a rough paste.",
    "Let it sit for ten minutes.",
    "You should hear a gentle hiss.",
    "Pat the skin dry with paper.",
    "Put the radio on and enjoy your morning.",
    "Once it's the colour of a conker, turn the heat up.",
    "The bay leaf's still in my other hand.",  # the name, and what it does
    "I had no time for it and wrote it down.",  # what was done
    "It made the car smell of a pint of vinegar.",
    "Hide the peas from my brother.",  # a verb that any thing has
    "A bit of crunch on top.",
)


@pytest.mark.parametrize("recipe", ["lamb", "curry", "pie", "salad", "risotto", "aubergine"])
def test_what_stands_rightly_is_no_mishearing(recipe: str) -> None:
    assert [line for line in RIGHT_AS_HEARD if misheard_places(captions(line), *more_vocabulary(recipe))] == []


@pytest.mark.parametrize("recipe", RECIPES)
def test_what_stands_rightly_is_none_in_an_example(recipe: str) -> None:
    assert [line for line in RIGHT_AS_HEARD if found(recipe, line)] == []


HEARD_WRONGLY = (
    ("risotto", "Ladle in the fish talk.", "fish talk", "fish stock"),  # an l that is not said
    ("pavlova", "Line it with baking parch mint.", "baking parch mint", "baking parchment"),  # one word as two
    ("pavlova", "Scrape it down with the spat chew la.", "spat chew la", "spatula"),
    ("aubergine", "Salt the oboe jeans.", "oboe jeans", "aubergines"),  # a food as what is done with it
    ("tart", "Four hundred grams of rubber.", "rubber", "rhubarb"),  # nobody eats it
    ("salad", "Tear the meant over it.", "meant", "mint"),  # no thing at all
    (
        "haddock",
        "Now sweat the licks in the butter.",
        "licks",
        "leeks",
    ),  # what the step does so, however common the word
    ("dal", "Skim off the scam as it rises.", "scam", "scum"),
    ("barley", "Drain it in the colonel.", "colonel", "colander"),
    ("haddock", "Thirty grams of bother in the pot.", "bother", "butter"),  # nothing that is weighed
    ("pudding", "A hundred grams of sweat goes in.", "sweat", "suet"),
    ("haddock", "Finish it with the chaves.", "chaves", "chives"),  # it, and what is done with it
    ("barley", "A handful of chopped deal to finish.", "deal", "dill"),
)


@pytest.mark.parametrize(("recipe", "line", "heard", "meant"), HEARD_WRONGLY)
def test_what_cannot_stand_there_is_one(recipe: str, line: str, heard: str, meant: str) -> None:
    places = misheard_places(captions(line), *more_vocabulary(recipe))
    assert [(p.heard, p.meant) for p in places] == [(heard, meant)]


def test_the_reason_is_told() -> None:
    own, due = vocabulary("seared-hake")
    (problem,) = misheard(captions("Thirty grams of papers."), own, due)
    assert problem.hint.endswith("it sounds alike, and a food follows an amount")


def test_what_is_mended_keeps_markup_and_capitals_and_is_listed() -> None:
    file = captions("<i>Papers go</i> in.", "Thirty grams of <b>papers</b>.", "Peel the celery", "act.")
    own, due = vocabulary("seared-hake")
    made, told = mended(file, misheard_places(file, own, due))
    assert made.cues[1].text == "Thirty grams of <b>capers</b>."
    assert made.cues[0] == file.cues[0]
    assert [p.code for p in told] == ["misheard-mended"]
    bisque = captions("Peel the celery", "act.")
    assert (
        mended(bisque, misheard_places(bisque, *vocabulary("fennel-bisque")))[0] == bisque
    )  # in two cues: told, and left


@pytest.mark.parametrize(
    ("line", "mended_line"),
    [
        ("No newspapers: thirty grams of papers, and read the papers.", "No newspapers: thirty grams of capers, and read the papers."),
        (
            "Thirty grams of papers, read papers, ten grams of papers, or papers.",
            "Thirty grams of capers, read papers, ten grams of capers, or papers.",
        ),
    ],
)  # fmt: skip
def test_the_word_that_was_misheard_is_mended_and_not_another_like_it(line: str, mended_line: str) -> None:
    file = captions(line)
    own, due = vocabulary("seared-hake")
    made, told = mended(file, misheard_places(file, own, due))
    assert made.cues[0].text == mended_line
    assert len(told) == mended_line.count("capers")


def test_the_command_mends_on_request_alone(run: Run, tmp_path: Path) -> None:
    text = "1\n00:00:01,000 --> 00:00:04,000\nThirty grams of papers.\n"
    (tmp_path / "cut.srt").write_text(text, encoding="utf-8")
    recipe = str(EXAMPLES / "seared-hake.yaml")
    assert run("proof", "cut.srt", "--recipe", recipe, "--fix", "same.srt").returncode == 1
    assert "papers" in (tmp_path / "same.srt").read_text(encoding="utf-8")
    done = run("proof", "cut.srt", "--recipe", recipe, "--mend", "--fix", "mended.srt")
    assert (done.returncode, kinds(done.stderr)) == (0, ["note misheard-mended"])
    assert "Thirty grams of capers." in (tmp_path / "mended.srt").read_text(encoding="utf-8")
    assert (tmp_path / "cut.srt").read_text(encoding="utf-8") == text


def test_words_are_mended_into_a_file_alone(run: Run, tmp_path: Path) -> None:
    (tmp_path / "cut.srt").write_text("1\n00:00:01,000 --> 00:00:04,000\nHello.\n", encoding="utf-8")
    done = run("proof", "cut.srt", "--mend")
    assert (done.returncode, done.stderr.split(":")[0]) == (2, "--mend")


@pytest.mark.parametrize(
    ("recipe", "line", "named"),
    [
        ("tart", "Half a tea soon of sugar.", ["teaspoon"]),  # a measure, before a food of the recipe
        ("tart", "Half a tea soon after.", []),
        ("lamb", "Crush two gloves of garlic.", ["cloves"]),
        ("lamb", "Put on two gloves of leather.", []),
        ("lamb", "Season with salt and papers.", []),
    ],
)
def test_measures_are_due_before_a_food(recipe: str, line: str, named: list[str]) -> None:
    own, due = more_vocabulary(recipe)
    found = [p.meant for p in misheard_places(captions(line), own, due)]
    assert [w for w in found if w in {"teaspoon", "cloves"}] == named
