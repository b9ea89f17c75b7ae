"""A text as people paste it: talk is no promise and no step, facts stand anywhere, and a list goes on behind a heading."""

from __future__ import annotations

from typing import Any

import pytest
import yaml

from scriptkit.drafting.draft import draft
from scriptkit.drafting.raw_recipe import RawRecipe
from scriptkit.drafting.source import recipe_of
from scriptkit.drafting.steps import steps_of
from scriptkit.english.written_method import is_of_people, tells_no_step

LETTER = """From: Nell Harrow
Subject: Fwd: that leek thing you liked

Hi love,

So glad you all came on Saturday, it was a joy!! Here's the leek recipe, I promise it's dead easy.

Feeds 4 greedy people, or 6 if you do plenty of bread.

1 kg leeks, sliced
50 g butter
2 tsp caraway

Oven to 160C. Toss the leeks with the butter and the caraway. Dad had thirds!
Put them into the oven for 1 hr 15.

Let me know how it goes and don't forget to bring back my blue dish :)

Lots of love
Nell xx
"""
STEW = """# Harbour stew

Serves: 6 · Prep: 10 mins · Cook: 2 hrs

- 1 kg braising steak
- 2 tbsp plain flour
- 400 ml beef stock
- few sprigs of thyme

**For the dumplings**

- 150 g self-raising flour
- 75 g suet

**Method**

Heat the oven to 160C/140C fan/gas 3. Toss the beef in the flour. Pour in the stock with the thyme and cook in the oven for 2 hrs.

For the dumplings, mix the flour with the suet. Sit them on top and bake for 25 mins.

Makes 6 portions. Will keep in an airtight container for 3-4 days, or freeze for up to 1 month.
"""


def dish_of(text: str, name: str = "x.txt") -> dict[str, Any]:
    made: dict[str, Any] = yaml.safe_load(draft(recipe_of(text.encode(), name)).text)
    return made


def test_a_letter_is_no_promise_and_no_step() -> None:
    dish = dish_of(LETTER)
    assert dish["dish"] == "that leek thing you liked"
    assert "promise" not in dish
    assert (dish["servings"], dish["unsure"]["servings"]) == (4, 0.4)
    assert [s["do"] for s in dish["steps"]] == [
        "Oven to 160C. Toss the leeks with the butter and the caraway.",
        "Put them into the oven for 1 hr 15.",
    ]
    assert [(s.get("heat"), s.get("wait")) for s in dish["steps"]] == [(None, None), ("oven 160 °C", "1 h 15 min")], (
        "it is put in at the second"
    )


def test_a_list_goes_on_behind_a_heading_and_two_of_a_name_go_in_where_the_words_come_back() -> None:
    dish = dish_of(STEW, "x.md")
    assert (dish["servings"], "unsure" in dish, "promise" in dish) == (6, False, False)
    assert list(dish["ingredients"]) == [
        "braising steak",
        "plain flour",
        "beef stock",
        "thyme",
        "self-raising flour",
        "suet",
    ]
    assert [list(s["add"]) for s in dish["steps"]] == [
        ["braising steak", "plain flour", "beef stock", "thyme"],
        ["self-raising flour", "suet"],
    ]
    assert [s["heat"] for s in dish["steps"]] == ["oven 160 °C", "oven 160 °C"]


def test_a_name_may_hold_how_many_it_serves_and_facts_are_no_name() -> None:
    assert (dish_of("Leek dal - for 3-4\n\n2 leeks\n30 g butter\n\nFry them.")["dish"]) == "Leek dal"
    found = recipe_of(
        b"Subject: Leek tacos\n\nServes: 4\nTime: 30 min\n\n2 leeks\n30 g butter\n\n1. Fry them.\n", "x.txt"
    )
    assert (found.name, found.serves, found.total_ms) == ("Leek tacos", "Serves: 4", 1_800_000)


@pytest.mark.parametrize(
    "text",
    ["Let me know how it goes!", "Dad had thirds!", "see you tues x", "Enjoy!", "We usually have it with rice.", "Keeps for 2 days in the fridge.", "Serves 4.", "Makes 10 slices.",
     "It will keep in an airtight container for a week.", "The soup freezes well."],
)  # fmt: skip
def test_what_is_no_step(text: str) -> None:
    assert steps_of([f"Fry the leeks. {text}"]) == ["Fry the leeks."]


@pytest.mark.parametrize(
    "text",
    ["I like to add a squeeze of lemon.", "Serve at once.", "Keep it warm in the oven.", "Make a well in the flour.", "Keep stirring for 10 minutes.", "Freeze for 2 hours.", "We fry them in butter first."],
)  # fmt: skip
def test_what_is_done_stays_a_step_whoever_says_it(text: str) -> None:
    assert steps_of([f"Fry the leeks. {text}"]) == [f"Fry the leeks. {text}"]


def test_a_promise_tells_of_the_dish() -> None:
    assert not is_of_people("A thick soup of leeks, ready in half an hour.")
    assert is_of_people("We had it every Sunday at my gran's.")
    assert not tells_no_step("Serve it with the pickles.", does_something=False)
    assert (
        draft(
            RawRecipe(name="X", serves="2", promise="My gran's soup.", ingredients=("2 leeks",), steps=("Fry.",))
        ).text.count("My gran's soup.")
        == 1
    )


@pytest.mark.parametrize(
    ("line", "promise"), [("SAUCE", ""), ("FOR THE SAUCE", ""), ("Sauce and chops.", "Sauce and chops.")]
)
def test_a_heading_in_capitals_is_no_promise(line: str, promise: str) -> None:
    text = f"Quay chops\nServes 4\n\n{line}\n20 g butter\n4 pork chops\n\nMethod\nFry the chops in the butter.\n"
    assert recipe_of(text.encode(), "chops.txt").promise == promise
