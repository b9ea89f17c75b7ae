"""Whether a name is said at its own step, before or after it; and the figures that stand further from it."""

from __future__ import annotations

import pytest

from scriptkit.cut.coverage.addition_effects import Scene, effects_of
from tests.cut.four_talks import Said, talk, talked_of
from tests.speed.confessions import told


def scene(place: str, words: str) -> Scene:
    return Scene(talked_of("lentils"), *talk(Said("lentils", place, False, "", frozenset(), words)))


def last_named(of: Scene, name: str) -> int:
    return [n for n, m in enumerate(of.mentions) if of.dishes[0].ingredients[m.owners[0].ingredient].name == name][-1]


@pytest.mark.parametrize(("place", "when"), [("sweat", "before"), ("spice", "own"), ("greens", "after")])
def test_a_name_is_before_at_or_after_its_own_step(place: str, when: str) -> None:
    seen = scene(place, "Where is the cumin?")
    names = [
        n for n, m in enumerate(seen.mentions) if seen.dishes[0].ingredients[m.owners[0].ingredient].name == "cumin"
    ]
    at = {seen.around.when[n] for n in names}
    assert at == {when, "own"}


def test_a_figure_of_the_next_sentence_is_still_said_of_it() -> None:
    near, far = "Three hundred grams of lentils.", "The lentils, well. That was three hundred grams of them."
    assert [scene("simmer", words).around.beside[last_named(scene("simmer", words), "lentils")][0] for words in (near, far)] == [
        "before:more", "far:more"
    ]  # fmt: skip


def test_each_name_has_the_first_step_at_which_it_goes_in() -> None:
    seen = scene("simmer", "Lovely.")
    steps = {s.id: s.number for s in seen.dishes[0].steps}
    assert seen.around.step_of[last_named(seen, "cumin")] == (0, steps["spice"])
    assert seen.around.step_of[last_named(seen, "stock")] == (0, steps["simmer"])


@pytest.mark.parametrize(
    ("words", "what"),
    [
        ("We went without parsley today.", {"parsley": "left out"}),
        ("I never go without parsley.", {}),
        ("I had parsley somewhere, but it stayed in the cupboard.", {"parsley": "left out"}),
        ("The shop was out of parsley.", {"parsley": "left out"}),
    ],
)
def test_plain_words_at_the_end_of_a_step(words: str, what: dict[str, str]) -> None:
    said = Said("frittata", "finish", False, "", frozenset(), words)
    assert told(effects_of(talked_of("frittata"), *talk(said))) == what
