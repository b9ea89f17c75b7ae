"""What is learned of how speakers tell that an ingredient was left out, and the talk that tells nothing of the kind."""

from __future__ import annotations

import pytest

from scriptkit.english.effect_features import Around, features_of
from scriptkit.english.effect_kinds import GOES_IN, LEFT_OUT, LESS, SpokenEffect
from scriptkit.english.effect_weights import COLUMNS, KINDS, NOTHING, chances, effect_weights, sums_of
from scriptkit.english.learned_effects import learned_effects
from scriptkit.english.talk_tokens import talk_tokens


def effect(
    text: str, name: str, *said: SpokenEffect, beside: tuple[str, ...] = ()
) -> list[tuple[str, tuple[int, ...]]]:
    """What becomes of the one name in the text."""
    at = text.index(name)
    tokens = talk_tokens(text, [(at, at + len(name))])
    return [(e.effect, e.names) for e in learned_effects(tokens, said, ["the one"], Around({0: beside}))]


@pytest.mark.parametrize(
    ("text", "kind"),
    [
        ("I've left out the chives today because somebody ate them.", "left out"),
        ("I had no parsley so that's mint in there instead.", "instead"),
        ("We'll add the cream at the end, not now.", "later"),
        ("You didn't see the mustard go in because the camera had stopped.", "unfilmed"),
    ],
)
def test_usual_ways_to_tell_it(text: str, kind: str) -> None:
    name = next(n for n in ("chives", "parsley", "cream", "mustard") if n in text)
    assert effect(text, name) == [(kind, (0,))]


@pytest.mark.parametrize(
    "text",
    [
        "Stir in the chives and give it a moment.",
        "If you have no parsley, use mint instead.",
        "Last week somebody forgot the cream and nobody noticed.",
        "Don't forget the mustard when you make this at home.",
        "Then the garlic, six cloves, sliced, and the other half of the mustard.",
    ],
)
def test_talk_that_changes_nothing(text: str) -> None:
    name = next(n for n in ("chives", "parsley", "cream", "mustard") if n in text)
    assert effect(text, name) == []


def test_a_phrase_that_stands_where_nothing_is_told_is_not_believed() -> None:
    text = "Don't forget the chives when you make this at home."
    assert effect(text, "chives", SpokenEffect(LEFT_OUT, 2, 4, (0,))) == []


def test_who_never_goes_without_it_has_not_gone_without_it() -> None:
    from scriptkit.english.spoken_effects import effects_said

    def told(text: str) -> list[str]:
        at = text.index("parsley")
        return [e.effect for e in effects_said(talk_tokens(text, [(at, at + 7)]))]

    assert told("We went without parsley today.") == [LEFT_OUT]  # else the next line says nothing
    assert told("I never go without parsley.") == []


def test_what_the_camera_missed_is_no_name_that_is_only_beside_it() -> None:
    text = "The battery died there. Lentils next, two hundred and fifty grams, and a litre of stock over the top."
    near = SpokenEffect("unfilmed", 1, 2, (0,))
    assert effect(text, "Lentils", near) == [("unfilmed", ())]
    text = "The battery died just as the lentils went in."
    assert effect(text, "lentils", near) == [("unfilmed", (0,))]


def test_the_plainest_phrase_is_believed_though_little_stands_around_it() -> None:
    for text, first, last in (
        ("I forgot the chives.", 0, 2),
        ("The camera was off. Stir it. I forgot the chives.", 8, 10),
    ):
        assert effect(text, "chives", SpokenEffect(LEFT_OUT, first, last, (0,))) == [(LEFT_OUT, (0,))]


def test_what_is_told_of_nothing_named_and_what_goes_in_stay() -> None:
    going = SpokenEffect(GOES_IN, 0, 3, (0,))
    unnamed = SpokenEffect("unfilmed", 0, 1, ())
    assert effect("In go the chives.", "chives", going, unnamed) == [(GOES_IN, (0,)), ("unfilmed", ())]


def test_a_figure_beside_the_name_speaks_too() -> None:
    """*Two hundred of the shallots* is more or less by what the recipe has."""
    text = "I've put in two hundred of the shallots today."
    tokens = [t.text for t in talk_tokens(text, [(31, 39)])]
    at = tokens.index("@0")
    less, same = (
        chances(features_of(tokens, at, {"@0"}, (), Around({0: (f"before:{one}",)}))) for one in ("less", "same")
    )
    assert less[LESS] > same[LESS]
    assert less[NOTHING] < same[NOTHING]


def test_another_name_for_the_same_thing_is_no_other_thing() -> None:
    tokens = "i forgot the @0 . the @1 is still here .".split()  # noqa: SIM905
    own = features_of(tokens, 3, {"@0", "@1"}, ())
    other = features_of(tokens, 3, {"@0"}, ())
    assert "then @S" in own and "then @O" not in own
    assert "then @O" in other


def test_words_of_one_kind_speak_alike() -> None:
    dog, slugs, sofa = (
        features_of(f"the {who} ate the @0 .".split(), 4, {"@0"}, ()) for who in ("dog", "slugs", "sofa")
    )
    assert "c0 animal" in dog & slugs and "p animal ate" in dog & slugs
    assert "c0 animal" not in sofa


def test_another_name_is_known_by_whether_it_goes_in_later() -> None:
    tokens = "in with the @1 went the @0 .".split()  # noqa: SIM905
    for step, told in ((1, "with @E"), (2, "with @O"), (3, "with @N")):
        around = Around(step_of={0: (0, 2), 1: (0, step)})
        found = features_of(tokens, 6, {"@0"}, (), around)
        assert {f for f in found if f.startswith("with @")} == {told}
    other_dish = Around(step_of={0: (0, 2), 1: (1, 3)})
    assert "with @O" in features_of(tokens, 6, {"@0"}, (), other_dish)


def test_whether_its_step_has_been_stands_with_the_words() -> None:
    tokens = "the @0 goes in now .".split()  # noqa: SIM905
    found = features_of(tokens, 1, {"@0"}, (), Around(when={0: "after"}))
    assert {"when after", "after now"} <= found
    assert not {f for f in features_of(tokens, 1, {"@0"}, ()) if f.startswith(("when", "after "))}


def test_the_chances_are_shares_of_one_also_of_what_was_never_met() -> None:
    for features in ((), ("no such feature",), ("bias",)):
        found = chances(features)
        assert tuple(found) == KINDS and abs(sum(found.values()) - 1) < 1e-9
    assert chances(["bias"])[NOTHING] > 0.5


def test_every_row_has_a_figure_for_each_kind() -> None:
    rows = effect_weights()
    assert len(COLUMNS) == 1 + len(KINDS)
    assert 1000 < len(rows) < 20_000
    cells = {feature: [int(cell) for cell in row.rsplit(",", len(KINDS))[1:]] for feature, row in rows.items()}
    assert {len(row) for row in cells.values()} == {len(KINDS)}
    assert all(sums_of([feature]) == row for feature, row in cells.items())
    for sign in (-1, 1):  # of many features too, none of whose figures is above nought, or below it
        some = {feature: row for feature, row in cells.items() if all(cell * sign >= 0 for cell in row)}
        assert sums_of(some) == [sum(column) for column in zip(*some.values(), strict=True)]
    assert sums_of(cells) == [sum(column) for column in zip(*cells.values(), strict=True)]
