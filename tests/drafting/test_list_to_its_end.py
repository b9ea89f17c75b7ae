"""Where a pasted list ends, what is no title, and for how many it is where only the talk says so."""

from __future__ import annotations

import pytest

from scriptkit.drafting.plain_recipe import recipe_in_text
from scriptkit.drafting.step_mentions import Named
from scriptkit.drafting.steps import draft_steps

STEPS = "1. Boil the barley for 30 minutes.\n2. Scatter with parsley and serve.\n"
ABOVE = ("150 g pearl barley", "a good pinch of sea salt")


@pytest.mark.parametrize(
    "last",
    [
        ("small bunch flat-leaf parsley, roughly chopped, to serve",),
        ("crusty bread, to serve (optional)",),
        ("small bunch flat-leaf parsley, roughly chopped, to serve", "crusty bread, to serve (optional)"),
        ("the best rye bread that your baker has, cut into thick slices", "butter"),
    ],
)
@pytest.mark.parametrize("method", ["Method\n", "## Method\n"])
@pytest.mark.parametrize("gap", ["", "\n"])
def test_all_above_the_method_is_the_list(last: tuple[str, ...], method: str, gap: str) -> None:
    told = "\n".join(["Barley bowl", "Serves 2", "", *ABOVE]) + "\n" + gap + "\n".join(last) + f"\n\n{method}{STEPS}"
    found = recipe_in_text(told)
    assert found.ingredients == (*ABOVE, *last)
    assert len(found.steps) == 2


def test_without_a_heading_what_is_to_serve_is_of_the_list_too() -> None:
    last = (
        "small bunch flat-leaf parsley, roughly chopped, to serve",
        "crusty bread from the quay bakery, to serve (optional)",
    )
    found = recipe_in_text("\n".join(["Barley bowl", "", *ABOVE, *last, "", STEPS]))
    assert (found.ingredients, len(found.steps)) == ((*ABOVE, *last), 2)


@pytest.mark.parametrize("line", ["Rinse the barley well before you start.", "1. Rinse the barley", "Notes"])
def test_a_sentence_above_the_method_is_none_of_the_list(line: str) -> None:
    found = recipe_in_text("\n".join(["Barley bowl", "", *ABOVE, "", line, "", "Method", STEPS]))
    assert found.ingredients == ABOVE


LETTER = """From: Nell
Subject: Re: the leek thing

Hi love,

So glad you liked the stew, and sorry it took me 3 days to find it. {talk}

{heading}

1 kg leeks, sliced
50 g butter

Melt the butter and soften the leeks in it for 20 minutes.
"""


@pytest.mark.parametrize("heading", ["You will need:", "Here's what you need:", "What goes in it:", "Ingredients"])
def test_the_heading_of_a_list_is_no_title(heading: str) -> None:
    found = recipe_in_text(LETTER.format(talk="", heading=heading))
    assert (found.name, found.ingredients) == ("the leek thing", ("1 kg leeks, sliced", "50 g butter"))


def test_a_title_before_a_colon_is_one() -> None:
    assert recipe_in_text("Leek pan:\n\n1 kg leeks\n50 g butter\n\nSoften them.\n").name == "Leek pan"


@pytest.mark.parametrize(
    ("talk", "serves"),
    [
        ("There were 12 of us last time so I doubled it, but this is for 6.", "for 6"),
        ("It's for 4 to 6, I think.", "for 4 to 6"),
        ("The recipe serves 8.", "8"),
        ("There were 12 of us last time.", ""),
        ("I kept it for 3 days.", ""),
        ("This is for 2 loaves.", ""),
    ],
)
def test_for_how_many_only_the_talk_says(talk: str, serves: str) -> None:
    assert recipe_in_text(LETTER.format(talk=talk, heading="You will need:")).serves.casefold() == serves


@pytest.mark.parametrize("said", ["orange zest and juice", "orange juice and zest", "orange's zest and its juice", "orange rind & juice"])  # fmt: skip
def test_zest_and_juice_are_both(said: str) -> None:
    names = ("pearl barley", "orange rind" if "rind" in said else "orange zest", "orange juice")
    (step,), unnamed = draft_steps([f"Tip in the barley, stock, {said}."], [Named(n) for n in names])
    assert {n for n, _ in step.add} == set(names)
    assert unnamed == ()


def test_the_zest_alone_is_not_the_juice() -> None:
    names = [Named(n) for n in ("pearl barley", "orange zest", "orange juice", "lemon juice")]
    steps, unnamed = draft_steps(["Tip in the barley and the orange zest and lemon juice."], names)
    assert unnamed == ("orange juice",)
    assert {n for n, _ in steps[-1].add} == {"pearl barley", "orange zest", "lemon juice"}
