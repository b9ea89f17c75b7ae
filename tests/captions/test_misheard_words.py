"""Which words are held against which terms, and where the line runs between a mishearing and plain speech."""

from __future__ import annotations

import re

import pytest
from conftest import Table

from scriptkit.captions.proofing.misheard import known, misheard, words_of_dishes
from scriptkit.problems import Problem
from scriptkit.timed_text.reading import CaptionFile, ReadCue


def problems(text: str, *own: str) -> list[Problem]:
    """What is told of a cue whose first line is line 3, where the recipe has these words."""
    file = CaptionFile(file="cut.srt", kind="srt", cues=(ReadCue(0, 3_000, text, 2),), repairs=())
    return misheard(file, frozenset(own))


def told(text: str, *own: str) -> list[tuple[str, str]]:
    """What was heard, and what is said to have been meant."""
    return [(m[1], m[2]) for p in problems(text, *own) if (m := re.match("“(.+?)” may be .*?“(.+?)”", p.message))]


def test_the_words_of_a_meal_are_names_foods_vessels_and_tools_of_every_dish(table: Table) -> None:
    hake = table.dish("""
        dish: Hake on a bed of leeks
        short: No. 9
        servings: 2
        ingredients:
          hake: {amount: 300 g}
          stock: {amount: 200 ml, food: "fish stock, homemade"}
          smooth_dijon_mustard: {amount: 20 g, food: "mustard, dijon"}
        steps:
          - {stage: cook, do: Simmer it., add: [hake, stock, smooth dijon mustard], vessel: 24 cm pan, tools: [long thin fish slice]}
    """)
    eggs = table.dish("""
        dish: Quay eggs
        servings: 2
        ingredients: {egg: {amount: 200 g}, oil: {amount: 9 g, food: olive oil}}
        steps: [{stage: cook, do: Fry it., add: [oil, egg]}]
    """)
    one = {
        "hake", "bed", "leeks", "stock", "fish", "smooth", "dijon", "mustard", "pan", "long", "thin", "slice",
    }  # fmt: skip
    # Terms of two or three words too, not of four; no little word, and none of two letters, is a term by itself.
    assert words_of_dishes([hake]) == one | {"fish stock", "smooth dijon mustard", "cm pan"}
    assert words_of_dishes([hake, eggs]) == words_of_dishes([hake]) | {
        "quay", "eggs", "quay eggs", "egg", "oil", "olive", "olive oil",
    }  # fmt: skip


@pytest.mark.parametrize(
    ("term", "form"),
    [
        ("purge", "purged"),
        ("purge", "purging"),
        ("flip", "flipped"),
        ("flip", "flipping"),
        ("tayberry", "tayberries"),
        ("tidy", "tidied"),
        ("tidy", "tidying"),
        ("kernels", "kernel"),
    ],
)
def test_a_term_is_known_as_it_may_stand_in_a_sentence(term: str, form: str) -> None:
    assert form in known(frozenset({term})).words
    assert form not in known(frozenset()).words  # so it is by the term


@pytest.mark.parametrize(
    ("text", "own", "heard", "meant"),
    [
        # by several words that sound like one
        ("Peel the sell a rack.", "fennel", "sell a rack", "celeriac"),  # a little word inside says nothing
        ("Slice the and if thinly.", "endive", "and if", "endive"),  # little words alone: only the recipe's own
        ("Stir in the at meal.", "oatmeal", "at meal", "oatmeal"),  # four consonants, just alike enough
        # by one of them that is right, before or after the one that is not
        ("Double creem goes in.", "hake", "Double creem", "double cream"),
        ("Now the dubble cream.", "hake", "dubble cream", "double cream"),
        ("In with the goat’s cheez.", "hake", "goat’s cheez", "goat's cheese"),
        ("In with the goat's cheez.", "hake", "goat's cheez", "goat's cheese"),
        # by one word, where the recipe has it
        ("Keepers", "capers", "Keepers", "capers"),
        ("The mustered is whisked in.", "mustard", "mustered", "mustard"),  # just alike enough
        ("Whisk the ilks.", "yolks", "ilks", "yolks"),  # no word of four letters is too short
        ("A spoon of sample.", "sambal", "sample", "sambal"),
        ("In the old skilled.", "skillet", "skilled", "skillet"),  # the glossary's *scald* sounds so too
        # by the table, whichever apostrophe
        ("Two garlic clove’s.", "hake", "garlic clove’s", "garlic clove"),
        ("Two garlic clove's.", "hake", "garlic clove's", "garlic clove"),
    ],
)
def test_what_is_heard_for_a_term_is_told(text: str, own: str, heard: str, meant: str) -> None:
    assert told(text, own) == [(heard, meant)]


@pytest.mark.parametrize(
    ("text", "own"),
    [
        ("Blend our bisque.", "blender"),  # words of the kitchen and little ones, each good by itself
        ("Serve the lemon grouse.", "lemongrass"),
        ("And if you wish, more.", "hake"),
        ("Have a taste of the sample.", "hake"),  # sambal, but not in this recipe
        ("I take off my ring.", "meringue"),  # less alike than words with a little one at the edge must be
        ("We like soup here.", "leek soup"),  # a little word beside a right one
        ("You saw sauce run off it.", "soy sauce"),  # a word of three letters beside a right one
        ("Lay the fish steak in.", "fish stock"),  # a word of the kitchen beside a right one
        ("Grill the kippers.", "capers"),
        ("It makes a grand lunch.", "granita"),  # an ordinary word
        ("Whisk the batter.", "butter"),  # a term of three consonants is too short to be told by one word
        ("My secret is patience.", "skirt"),  # the same consonants, but not alike
        ("Unclip the springform.", "spring form"),  # the term, spelt together
        ("Chop the sundried tomato.", "sun-dried tomato"),
        ("A rich seafood stew pot.", "sea-food stew pot"),
    ],
)
def test_what_only_sounds_a_little_like_a_term_is_quiet(text: str, own: str) -> None:
    assert told(text, own) == []


def test_a_place_is_told_once_and_all_others_after_it() -> None:
    """The table finds mustered and our, and then the ear finds mustered again."""
    places = [("mustered", "mustard"), ("half an our", "hour"), ("sell a rack", "celeriac")]
    assert told("The mustered goes on for half an our, with the sell a rack.", "mustard") == places


def test_several_mishearings_in_one_breath_are_all_told() -> None:
    rack = ("sell a rack", "celeriac")
    assert told("Peel the sell a rack and the fen all", "fennel") == [rack, ("fen all", "fennel")]
    assert told("Double creem on the sell a rack") == [("Double creem", "double cream"), rack]


def test_a_comma_ends_a_breath() -> None:
    assert told("Double, creem.") == []
    assert told("Sell, a rack.") == []


def test_what_is_told_says_what_to_write() -> None:
    (one,) = problems("Soften\nthe fen\nall in butter.", "fennel")
    assert (one.place.file, one.place.line, one.severity, one.code) == ("cut.srt", 4, "warning", "misheard")
    assert one.message == "“fen all” may be a mishearing of “fennel”, which this recipe has"
    assert one.hint == "write “fennel” if that is what is said"


@pytest.mark.parametrize(
    ("text", "own", "whose"),
    [
        ("Rinse the sheep peas.", "chickpeas", "which this recipe has"),
        ("Rinse the sheep peas.", "chickpea", "which this recipe has"),
        ("Rinse the sheep peas.", "hake", "a cooking term"),
        ("Soften the leaks gently.", "leeks", "which this recipe has"),
        ("Slice the grilled leaks.", "hake", "a cooking term"),
        ("Now the bay leafs.", "bay", "which this recipe has"),  # a part of the term
    ],
)
def test_a_term_is_the_recipes_where_it_lists_one_or_several_or_a_part(text: str, own: str, whose: str) -> None:
    assert [p.message.rsplit("”, ")[-1] for p in problems(text, own)] == [whose]


@pytest.mark.parametrize(("own", "found"), [("mussels", True), ("mussel", True), ("hake", False)])
def test_muscles_are_mussels_only_where_the_recipe_has_them(own: str, found: bool) -> None:
    """The pantry calls them mussels, the table mussel."""
    assert told("The muscles open in the steam.", own) == ([("The muscles", "mussel")] if found else [])


@pytest.mark.parametrize(
    ("text", "own"),
    [
        ("Turn up the heat.", "turnip"),
        ("Turn our fillets once.", "turner"),
        ("So bring it to a simmer.", "spring"),
        ("Go round the edge with a knife.", "ground"),
        ("Boil them in salted water.", "unsalted"),  # *in* is little, and a word of the kitchen too: rub in
        ("Lay a mussel in the bowl.", "muslin"),
        ("Drain it well.", "drained"),  # the term is a form of what is said
        ("Crush it in your hand.", "crushed"),
    ],
)
def test_what_a_cook_says_of_the_work_is_no_word_of_the_list(text: str, own: str) -> None:
    """Of turnips, a fish turner, spring onions, ground almonds, unsalted butter, muslin, drained capers, crushed tomatoes."""
    assert told(text, own) == []
