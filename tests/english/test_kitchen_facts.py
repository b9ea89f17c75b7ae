"""What a sentence tells of the things that can hurt, and for how long it lets something go on."""

from __future__ import annotations

import pytest

from scriptkit.english.hours_said import hours_said, less_the_day_before
from scriptkit.english.kitchen_facts import kitchen_facts, tells


@pytest.mark.parametrize(
    ("sentence", "fact", "is_told"),
    [
        ("Lift the lid and have a look.", "opens", True),
        ("Never lift the lid.", "opens", False),
        ("Without wiping the board, chop the salad.", "same-gear", True),  # here the denial is the fact
        ("Leave it out on the counter.", "counter", True),
        ("Stand it in the fridge.", "counter", False),
        ("Carve it while still rosy.", "left-pink", True),
        ("Carve it, and rinse the red lentils.", "left-pink", False),
        ("Cook it till no blush is left inside.", "cooked-through", True),
        ("Cook it till a blush is left inside.", "left-pink", True),
        ("Run the fennel over the blade.", "mandoline", True),
        ("Crush the garlic against the blade of a knife.", "mandoline", False),
        ("Out of their bath, through two tea towels, and in.", "dried-after-the-water", True),
        ("Out of the freezer and their water, pat the frost off with a towel.", "dried-after-the-water", False),
        ("Give them a quick kiss of the griddle.", "left-pink", True),
        ("Set it on the grill with a kiss of butter.", "left-pink", False),
        ("Pack the crumbs into the bird.", "stuffs", True),
        ("Put the potatoes into the duck fat.", "stuffs", False),
        ("They came up on the golf course.", "picked-it-oneself", True),
        ("The list came up to three pages.", "picked-it-oneself", False),
        ("Hold the weight up with a fork.", "pressure", True),
        ("Add a bar of chocolate.", "pressure", False),
        ("Pull the corners apart.", "opens", True),
        ("Set the corners apart on the tray.", "opens", False),
        ("While the fat is spitting carry it to the sink.", "carries-hot-fat", True),
        ("Once the fat is set carry it to the sink.", "carries-hot-fat", False),
        ("Leave it in a bowl by the stove.", "left-beside", True),
        ("Leave it on the stove until it boils.", "left-beside", False),
        ("They have been in the light and turned a little emerald.", "green-or-sprouting", True),
        ("They have been in the cellar and turned a little soft.", "green-or-sprouting", False),
        ("In the light, put them in the pot.", "set-lamp", False),
        ("Hang the light over the pot.", "set-lamp", True),
        ("The heart should be the colour of a plum.", "left-pink", True),
        ("The sauce should be the colour of a plum.", "left-pink", False),
        ("Fill warm jars with it.", "warm-glass", True),
        ("Fill cold jars with it.", "warm-glass", False),
        ("Pour it into jars, which keep a month in the fridge.", "cold-thing", False),
        ("Pour it into jars that stood in the fridge.", "cold-thing", True),
        ("Toss them in the pan for a minute, no more.", "and-no-longer", True),
        ("Toss them in the pan for a minute, then turn.", "and-no-longer", False),
        ("Smash thirty of the stones.", "stone-kernels", True),
        ("Throw the stones out and smash the fruit.", "stone-kernels", False),
        ("Ten seconds on each face in a smoking pan.", "raw-inside", True),
        ("Ten minutes on each face in a warm pan.", "raw-inside", False),
        ("Go over it with the brûlée gun.", "torch", True),
        ("Go over it with the piping bag.", "torch", False),
        ("Mushrooms from the pinewood.", "gathered", True),
        ("Spoons from the boxwood drawer.", "gathered", False),
        ("Leave it for ten days until it fizzes.", "ferments", True),
        ("Leave it for ten minutes until it stands.", "ferments", False),
        ("Drop a crumb in at the edge.", "to-the-brim", False),
        ("Fill it up to the edge.", "to-the-brim", True),
        ("Chop the lychees fine.", "ground-or-cut-small", True),
        ("Chop the lychees in half.", "ground-or-cut-small", False),
        ("Float it in a tub of warm water.", "left-beside", True),
        ("Plunge it into hot water and simmer it.", "left-beside", False),
        ("Take it off when no thread of pink is left.", "cooked-through", True),
        ("Take it off when a thread of pink is left.", "cooked-through", False),
        ("Don't bother to peel off the green.", "leaves-the-green", True),
        ("Don't bother to top the green beans.", "leaves-the-green", False),
        ("Don't bother to peel off the green.", "throws-away", False),
        ("Peel off the green.", "throws-away", True),
        ("By teatime they have come round.", "comes-round", True),
        ("Come and stir it round.", "comes-round", False),
        ("Grill it with the shutters fast.", "enclosed", True),
        ("Grill it fast.", "enclosed", False),
        ("Until blue tongues run round the rim.", "lights-a-spirit", True),
        ("Slice the tongues and the blue cheese.", "lights-a-spirit", False),
        ("Coddle the eggs for a minute.", "soft-yolk", True),
        ("Coddle the eggs until the yolks are firm.", "soft-yolk", False),
    ],
)
def test_what_a_sentence_tells(sentence: str, fact: str, is_told: bool) -> None:
    assert tells(sentence, fact) is is_told


@pytest.mark.parametrize(
    ("sentence", "fact", "is_told"),
    [
        ("Slice it on the mandoline.", "mandoline", True),
        ("If you don't own a mandoline, slice it with a knife.", "mandoline", False),
        ("The pretzels go into lye.", "lye", True),
        ("Baking soda will do. No lye needed.", "lye", False),
        ("No lye on bare skin.", "lye", True),  # it is there, and a caution is due
        ("Take the lye out of the shed.", "lye", True),
    ],
)
def test_what_is_not_used_is_not_told(sentence: str, fact: str, *, is_told: bool) -> None:
    assert tells(sentence, fact) is is_told


@pytest.mark.parametrize(
    ("sentence", "fact", "is_told"),
    [
        ("Oven's been on at 190 since six: slide it in.", "pan-into-oven", False),
        ("The oven has done its work: slide it out.", "pan-into-oven", True),
    ],
)
def test_what_is_slid_in_is_not_taken_out(sentence: str, fact: str, *, is_told: bool) -> None:
    assert tells(sentence, fact) is is_told


@pytest.mark.parametrize(
    ("sentence", "hours"),
    [
        ("Leave it until tomorrow.", 10.0), ("Rest it for 90 minutes.", 1.5), ("Keep it three days.", 72.0), ("Stir it in.", None),
        ("Do not leave it overnight.", None), ("Eat it once a week.", None), ("He had two dozen a week.", None), ("For a baby at seven months.", None),
        ("Cure it for about two months.", 1440.0), ("Keep it for over three months.", 2160.0), ("Leave it a week.", 168.0), ("Turn it every day for a week.", 168.0),
         ("Leave it 5 hours on the side.", 5.0), ("Hold it all afternoon.", 5.0),
        ("Lid on, and go to bed.", 10.0), ("Do not touch it until tomorrow.", 10.0), ("Set it out at teatime, clear it at nine.", 4.0), ("Keep it a few days.", 24.0),
        ("Out of the freezer at 07:00, ready at noon.", 5.0), ("Roast it in the morning.", None), ("Friday's chilli goes in the pan on Saturday.", None),
        ("They eat it on the bus home.", 5.0), ("Wait for the bus.", None),
        ("Forget about it till after breakfast.", 10.0), ("From the morning on until the middle of the afternoon.", 7.0),
        (less_the_day_before("Next day, rinse it."), None), (less_the_day_before("Leave it until the next day."), 10.0),
    ],
)  # fmt: skip
def test_how_long_a_sentence_lets_it_go_on(sentence: str, hours: float | None) -> None:
    assert hours_said(sentence) == hours


def test_the_words_of_every_fact_are_an_expression_that_asks_for_words() -> None:
    # patterns are compiled when they are first asked, so here
    assert [name for name, fact in kitchen_facts().items() if fact.pattern.compiled.search("") is not None] == []
