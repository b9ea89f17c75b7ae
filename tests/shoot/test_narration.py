"""Lines: amounts filled in, how long they take, and the amounts they name in their own words."""

from __future__ import annotations

import pytest
from conftest import Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.words import spoken_words
from scriptkit.shoot.script.narration import amounts_named, cups_of, line_ms, narration_of, sentences, words_for


def said(table: Table, say: str, **more: str) -> str:
    dish = table.dish(f"""
        dish: D
        servings: 2
        ingredients:
          butter: {{amount: 3 tbsp, food: "butter, unsalted"}}
          stock: {{amount: 1.2 l, food: "fish stock, homemade"}}
          celeriac: {{amount: 700 g, bought: whole}}
          fennel: {{amount: 2 bulbs, food: fennel bulb}}
          egg: {{amount: 4 large}}
          onion: {{amount: 1 medium}}
          mustard: {{amount: 20 g, food: "mustard, wholegrain"}}
          salt: to taste
          oil: {{amount: 2 tbsp, food: olive oil}}
        steps:
          - {{stage: prep, do: Peel the celeriac., uses: celeriac, say: "{more.get("prep", "")}"}}
          - stage: cook
            do: All in.
            add: {{butter: 2 tbsp, stock: half, celeriac: all, fennel: all, egg: all, onion: half, mustard: all, salt: to taste}}
            say: "{say}"
          - {{stage: cook, do: The rest., add: {{butter: rest, stock: rest, onion: rest, oil: all}}}}
    """)
    return narration_of(dish.steps[0 if "prep" in more else 1], dish)


@pytest.mark.parametrize(
    ("written", "spoken"),
    [
        ("In goes {butter} of butter.", "In goes two tablespoons of butter."),
        ("In goes {butter}.", "In goes two tablespoons of butter."),
        ("{butter}, melted.", "Two tablespoons of butter, melted."),
        ("Wait. {stock}!", "Wait. Nought point six litres of stock!"),
        ("{mustard} of wholegrain mustard", "Twenty grams of wholegrain mustard"),
        ("{egg} large eggs", "Four large eggs"),
        ("{egg} eggs", "Four large eggs"),
        ("{egg} of egg", "Four large eggs"),
        ("and {egg}", "and four large eggs"),
        ("{fennel} bulbs", "Two bulbs"),
        ("then {fennel}", "then two fennel bulbs"),
        ("then {fennel} of fennel", "then two bulbs of fennel"),
        ("juice of {onion}", "juice of half a medium onion"),
        ("{salt}", "Salt to taste"),
        ("and {salt} of salt.", "and salt to taste."),
        ("{celeriac}", "Six hundred and two grams of celeriac"),
        ("{oil} comes later", "Two tablespoons of oil comes later"),
        ("{nothing} known", "{nothing} known"),
        ("  two   spaces ", "two spaces"),
        ("", ""),
    ],
)
def test_the_amount_that_goes_in_is_filled_in(table: Table, written: str, spoken: str) -> None:
    assert said(table, written) == spoken


def test_what_is_only_got_ready_has_the_amount_it_was_bought_with(table: Table) -> None:
    assert said(table, "", prep="{celeriac}, peeled.") == "Seven hundred grams of celeriac, peeled."


# --- how long ---------------------------------------------------------------------------------------------------------


def test_seconds_are_words_at_the_presenters_rate() -> None:
    line = " ".join(["word"] * 30)
    assert [line_ms(line, rate) for rate in (60, 120, 150, 180)] == [30_000, 15_000, 12_000, 10_000]
    assert words_for(12_000, 150) == 30
    assert words_for(1, 150) == 1


@pytest.mark.parametrize(
    ("line", "ms"),
    [
        ("[pause]", 1000),
        ("[beat]", 1000),
        ("[pause 2 s]", 2000),
        ("One. [Pause 1.5 s] Two.", 1500 + 800),
        ("[smile]", 0),
        ("[pause for a laugh]", 1000),
        ("", 0),
    ],
)
def test_pauses_that_are_written(line: str, ms: int) -> None:
    assert line_ms(line, 150) == ms


LINE = st.lists(st.sampled_from(["Stir", "it.", "320 g", "and", "[pause 2 s]", "[smile]", "wait!", "—"]), max_size=20)


@settings(max_examples=100, deadline=None)
@given(LINE, LINE, st.integers(60, 300))
def test_a_line_takes_as_long_as_its_parts(one: list[str], other: list[str], rate: int) -> None:
    parts = [line_ms(" ".join(words), rate) for words in (one, other)]
    assert abs(line_ms(" ".join([*one, *other]), rate) - sum(parts)) <= 1


@settings(max_examples=100, deadline=None)
@given(LINE)
def test_sentences_keep_every_word(words: list[str]) -> None:
    line = " ".join(words)
    assert [w for s in sentences(line) for w in spoken_words(s)] == spoken_words(line)


# --- amounts in its own words -----------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("say", "found"),
    [
        ("Two tablespoons of butter.", [("Two tablespoons", "butter")]),
        ("The butter, two tablespoons.", [("two tablespoons", "butter")]),
        ("600 ml of the fish stock and 20 g mustard", [("600 ml", "stock"), ("20 g", "mustard")]),
        ("Two fat fennel bulbs", [("Two", "fennel")]),
        ("four large eggs", [("four large", "egg")]),
        ("{butter} of butter, 20 g of mustard", [("20 g", "mustard")]),
        ("Three hundred grams a bowl.", []),
        ("Two of the eggs", []),
        ("Butter. Ten minutes, then stir.", []),
        ("two tablespoons of oil", []),  # goes in at another step
        ("Stir for 2 min. The butter melts.", []),
    ],
)
def test_amounts_that_a_line_names(table: Table, say: str, found: list[tuple[str, str]]) -> None:
    dish = table.dish(f"""
        dish: D
        servings: 2
        ingredients:
          butter: {{amount: 2 tbsp, food: "butter, unsalted"}}
          stock: {{amount: 600 ml, food: "fish stock, homemade"}}
          fennel: {{amount: 2 bulbs, food: fennel bulb}}
          egg: {{amount: 4 large}}
          mustard: {{amount: 20 g, food: "mustard, wholegrain"}}
          oil: {{amount: 2 tbsp, food: olive oil}}
        steps:
          - {{stage: cook, do: All in., add: [butter, stock, fennel, egg, mustard], say: "{say}"}}
          - {{stage: cook, do: The rest., add: oil}}
    """)
    assert [(words, a.ingredient.key) for words, _, a in amounts_named(dish.steps[0], cups_of(dish))] == found


@pytest.mark.parametrize(
    ("say", "spoken"),
    [
        ("{chicken} go in.", "Four chicken legs go in."),
        ("{chicken} legs go in.", "Four chicken legs go in."),
        ("Now {chicken} of chicken.", "Now four chicken legs."),
        ("{fennel}, sliced.", "Two fennel bulbs, sliced."),
    ],
)
def test_what_is_counted_is_called_what_it_is(table: Table, say: str, spoken: str) -> None:
    dish = table.dish(f"""
        dish: D
        servings: 4
        ingredients: {{chicken: {{amount: 4 pieces, food: chicken leg}}, fennel: {{amount: 2 bulbs, food: fennel bulb}}}}
        steps: [{{stage: cook, do: All in., add: {{chicken: all, fennel: all}}, say: "{say}"}}]
    """)
    assert narration_of(dish.steps[0], dish) == spoken
