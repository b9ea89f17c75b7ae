"""What is heard of the additions: by name, by what is meant, misheard, and at which of several steps."""

from __future__ import annotations

import pytest
from conftest import EXAMPLES, Table

from scriptkit.cut.coverage.spoken_additions import heard, not_heard
from scriptkit.cut.placing.mention_matcher import EXACT, MEANT, MISHEARD, MentionMatcher
from scriptkit.cut.placing.place_steps import place
from scriptkit.cut.transcript.timestamps import clock_text
from scriptkit.cut.transcript.transcript import Transcript
from scriptkit.cut.transcript.transcript_reader import read_transcript
from scriptkit.input_bytes import bytes_of
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source

SUPPER = read_source(str(EXAMPLES / "harbour-supper.yaml")).usable()
FAULTLESS, ROUGH = str(EXAMPLES / "harbour-supper-cut.srt"), str(EXAMPLES / "harbour-supper-rough-cut.srt")


def of(path: str) -> Transcript:
    return read_transcript(bytes_of(path), path)


def told(path: str) -> dict[tuple[str, str], tuple[str | None, str]]:
    transcript = of(path)
    found = heard(SUPPER, transcript, place(SUPPER, transcript))
    return {
        (h.step.id, h.addition.ingredient.name): (
            None if h.time_ms is None else clock_text(h.time_ms // 1000 * 1000),
            h.how,
        )
        for h in found
    }


def test_every_addition_of_the_faultless_cut_is_heard_at_its_step() -> None:
    found = told(FAULTLESS)
    assert {how for _, how in found.values()} == {EXACT}
    # as written in the example's cut
    assert found["soften-fennel", "butter"][0] == "1:07"
    assert found["finish", "butter"][0] == "2:06"
    assert found["brown-butter", "butter"][0] == "3:34"
    assert found["dry-hake", "salt"][0] == "0:46"
    assert found["plate-hake", "salt"][0] == "3:52"
    assert found["finish", "mustard"][0] == "2:08"
    transcript = of(FAULTLESS)
    assert not_heard(SUPPER, transcript, place(SUPPER, transcript)) == ()


def test_the_rough_cut_lacks_the_capers_and_mishears_the_fennel() -> None:
    found = told(ROUGH)
    assert [key for key, (at, _) in found.items() if at is None] == [("brown-butter", "capers")]
    assert found["soften-fennel", "fennel"] == ("1:10", MISHEARD)
    transcript = of(ROUGH)
    assert [i.name for i in not_heard(SUPPER, transcript, place(SUPPER, transcript))] == ["capers"]


def ear(words: str) -> MentionMatcher:
    return MentionMatcher(read_transcript(f"[0:05] {words}\n".encode(), "x"))


@pytest.mark.parametrize(
    ("name", "words", "how"),
    [
        ("celeriac", "dice the celeriac", EXACT),
        ("mustard, wholegrain", "a spoon of mustard", EXACT),
        ("green onions", "slice the scallions and the onion", EXACT),
        ("spring onion", "two onions go in", EXACT),
        ("prawns", "the shrimp go in", EXACT),
        ("breadcrumbs", "then the bread crumbs", EXACT),
        ("corn starch", "a spoon of cornstarch", EXACT),
        ("salt", "and season it well", MEANT),
        ("flour", "sift the flower in", EXACT),
        ("mirin", "a splash of mirren goes in", MISHEARD),
        ("spinach", "wilt the spanish in it", MISHEARD),
        ("bok choy", "add the bock choi now", MISHEARD),
        ("mustard", "stir in the cream", ""),
        ("cream", "no colour at all, it must not brown", ""),
        ("soy sauce", "the sauce is ready", ""),
        ("black pepper", "it is black by now", ""),
        ("mint", "wait a minute for it", ""),
        ("butter", "that looks much better", ""),
    ],
)
def test_names_as_they_are_said(name: str, words: str, how: str) -> None:
    found = ear(words).mentions(name)
    assert (found[0].how if found else "") == how


def test_an_ingredient_that_no_step_names_must_be_heard_by_its_whole_name() -> None:
    one = ear("an onion and some vinegar")
    assert one.mentions("rice wine vinegar")
    assert not one.mentions("rice wine vinegar", whole=True)
    assert one.mentions("onion", whole=True)
    assert not ear("the spanish one").mentions("spinach", whole=True)


STEW = """
    dish: Stew
    servings: 2
    ingredients: {fish sauce: to taste, parmesan: to taste, salt: to taste, water: to taste}
    steps:
      - {id: boil, stage: cook, do: Boil the noodles for three minutes., add: {water: to taste}}
      - {id: pour, stage: cook, do: Pour the fish sauce over it., add: {fish sauce: to taste}}
      - {id: top, stage: cook, do: Grate the parmesan over it and serve., add: {parmesan: to taste, salt: to taste}}
"""


@pytest.fixture
def stew(table: Table) -> Dish:
    return table.dish(STEW)


def unheard(dish: Dish, text: str) -> list[str]:
    transcript = read_transcript(text.encode("utf-8"), "x")
    return [i.name for i in not_heard(dish, transcript, place(dish, transcript))]


def test_near_its_step_a_part_of_the_name_or_its_kind_will_do(stew: Dish) -> None:
    near = (
        "[0:10] boil the noodles for three minutes and then drain them\n"
        "[1:00] now pour the sauce over it, all of it\n"
        "[2:00] grate the cheese over it, season, and serve it\n"
    )
    assert unheard(stew, near) == []
    far = near.replace("grate the cheese", "grate it").replace("pour the sauce", "pour it")
    assert unheard(stew, far) == ["fish sauce", "parmesan"]


def test_of_two_steps_a_mention_belongs_to_the_nearer_one(table: Table) -> None:
    dish = table.dish("""
        dish: Leeks
        servings: 2
        ingredients: {butter: to taste, leek: to taste}
        steps:
          - {id: soften, stage: cook, do: Soften the leek in half of the butter with the lid on., add: {butter: to taste, leek: to taste}}
          - {id: finish, stage: cook, do: Beat the rest of the butter in off the heat and plate., add: {butter: to taste}}
    """)
    once = read_transcript(
        b"[0:05] soften the leek in half of the butter, with the lid on, slowly\n"
        b"[2:05] now it is off the heat. beat the rest in, and plate it\n",
        "x",
    )
    found = {
        h.step.id: h.time_ms for h in heard(dish, once, place(dish, once)) if h.addition.ingredient.name == "butter"
    }
    assert found["soften"] is not None
    assert found["finish"] is None


def test_what_is_never_said_is_not_heard(stew: Dish) -> None:
    text = (
        "[0:10] boil the noodles for three minutes and then drain them\n[2:00] then serve it, season it, and enjoy it\n"
    )
    assert unheard(stew, text) == ["fish sauce", "parmesan"]


@pytest.mark.parametrize(("word", "is_heard"), [("kippers", True), ("peppers", False), ("keys", False)])
def test_near_its_step_a_word_that_sounds_like_the_name_will_do(table: Table, word: str, is_heard: bool) -> None:
    dish = table.dish("""
        dish: Noodles
        servings: 2
        ingredients: {capers: to taste, water: to taste}
        steps:
          - {id: boil, stage: cook, do: Boil the noodles for three minutes., add: {water: to taste}}
          - {id: scatter, stage: cook, do: Scatter the capers over the noodles and serve., add: {capers: to taste}}
    """)
    text = f"[0:10] boil the noodles in water for three minutes\n[2:00] scatter the {word} over the noodles and serve\n"
    transcript = read_transcript(text.encode(), "x")
    (found,) = [h for h in heard(dish, transcript, place(dish, transcript)) if h.addition.ingredient.name == "capers"]
    assert (found.time_ms is not None, found.how) == ((True, MISHEARD) if is_heard else (False, ""))


TWO_OILS = """
    dish: Leeks
    servings: 2
    ingredients:
      leek: 400 g
      olive oil: 2 tbsp
      salt: 1 tsp
      {second}
    steps:
      - {{id: rub, stage: cook, do: Rub the leek with the oil., add: {{leek: all, {oils}}}, vessel: tray, hands: 2 min, screen: 9 s}}
      - {{id: roast, stage: cook, do: Roast it., vessel: tray, heat: oven 200 °C, hands: 1 min, wait: 20 min, screen: 9 s}}
      - {{id: dress, stage: cook, do: Pour the rest of the olive oil over it with the salt., add: {{olive oil: rest, salt: all}}, vessel: bowl, hands: 1 min, screen: 9 s}}
"""


@pytest.mark.parametrize(
    ("oils", "how"),
    [
        ("olive oil: half, pepper: all", [EXACT, EXACT]),
        ("olive oil: half, sesame oil: all", ["", EXACT]),  # which of the two, nobody says
    ],
)
def test_a_short_name_is_that_of_the_steps_only_food_of_it(table: Table, oils: str, how: list[str]) -> None:
    dish = table.dish(TWO_OILS.format(second="sesame oil: 1 tbsp" if "sesame" in oils else "pepper: 1 tsp", oils=oils))
    words = "[0:05] One tablespoon of oil, and rub it all over the leek.\n[0:20] Twenty minutes in the oven, roast it.\n[1:10] The rest of the olive oil over it, and the salt.\n"
    transcript = read_transcript(words.encode(), "cut.txt")
    found = [h for h in heard(dish, transcript, place(dish, transcript)) if h.addition.ingredient.name == "olive oil"]
    assert [h.how for h in found] == how
