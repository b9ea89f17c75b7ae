"""The two-column script: what is said over which shot, and its papers."""

from __future__ import annotations

import itertools
import re
from fractions import Fraction

import pytest
from conftest import EXAMPLES, Table
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.measure.words import number_words
from scriptkit.nutrition.dish_meal_macros import dish_macros
from scriptkit.nutrition.rounding import print_one
from scriptkit.papers.script import WIDEST, reading_text, two_columns
from scriptkit.preproduction import Preproduction
from scriptkit.recipe.reader import read_source
from scriptkit.safety.rule_matching import cautions_in
from scriptkit.shoot.plan import plan_of
from scriptkit.shoot.script import script
from scriptkit.shoot.script.narration import line_ms
from scriptkit.shoot.script.script import macro_words
from scriptkit.shoot.shots.shots import shots_of

GOOD = sorted(p for p in EXAMPLES.glob("*.yaml") if not p.name.startswith(("faulty", "pantry")))

SUPPER = """
    dish: Buttered leeks
    promise: Supper in ten minutes.
    servings: 2
    cooked_weight: 300 g
    film: {opening: 8 s, closing: 20 s}
    ingredients:
      butter: {amount: 2 tbsp, food: "butter, unsalted"}
      leek: {amount: 300 g}
      pumpkin seeds: 20 g
      sunflower seeds: 20 g
      salt: to taste
    steps:
      - stage: cook
        do: Soften it.
        add: [butter, leek, salt]
        vessel: pan
        wait: 8 min
        screen: 20 s
        say: "In goes {butter}, and the leek. Soft, no colour. Salt it now."
      - {stage: cook, do: Blend it., method: blend, screen: 6 s, sound: mos}
      - {stage: cook, do: Scatter the seeds., add: [pumpkin seeds, sunflower seeds], hands: 1 min, screen: 12 s, say: "{sunflower seeds} first, {pumpkin seeds} after."}
      - {stage: cook, do: Taste it., hands: 1 min, screen: 6 s, sound: sync, say: "That is it."}
"""


def rows(table: Table, text: str = SUPPER) -> list[tuple[str, str, str]]:
    script = Preproduction(table.dish(text)).script
    return [(r.shot.what, r.shot.sound, r.text) for p in script.passages for r in p.rows]


def test_each_part_of_a_line_stands_beside_the_shot_it_speaks_of(table: Table) -> None:
    found = {what: (sound, text) for what, sound, text in rows(table)}
    assert found["Buttered leeks, finished: the promise"] == ("VO", "Supper in ten minutes.")
    assert found["Add the butter to the pan"] == ("VO", "In goes two tablespoons of butter,")
    assert found["Add the leek to the pan"][1].startswith("and the leek. Soft,")
    assert found["Add the salt to the pan"][1] == "Salt it now."
    assert found["Blend it."] == ("MOS", "")
    assert found["Taste it."] == ("SYNC", "That is it.")


def test_of_two_seeds_the_word_that_tells_them_apart_counts(table: Table) -> None:
    found = {what: text for what, _, text in rows(table)}
    assert found["Add the sunflower seeds"].startswith("Twenty grams of sunflower seeds first,")


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_every_shot_has_a_row_and_every_word_is_in_one(path: object) -> None:
    source = read_source(str(path)).usable()
    script = Preproduction(source).script
    shots = [row.shot for p in script.passages for row in p.rows]
    assert sorted(s.slate for s in shots) == sorted(s.slate for s in shots_of(plan_of(source)))
    for passage in script.passages:
        assert " ".join(r.text for r in passage.rows if r.text) == passage.text
        assert passage.spoken_ms == line_ms(passage.text, passage.rate)
        said = [(r.said_from_ms, r.said_to_ms) for r in passage.rows if r.text]
        assert all(a[1] <= b[0] for a, b in itertools.pairwise(said))
        assert all(r.said_from_ms >= r.shot.start_ms for r in passage.rows)
        assert "{" not in passage.text


WORDS = ["butter", "the leek,", "salt.", "seeds!", "and", "wait,", "[pause 2 s]", "320 g."]


@settings(max_examples=50, deadline=None)
@given(st.lists(st.sampled_from(WORDS), max_size=40))
def test_no_word_is_lost_whatever_is_said(tmp_path_factory: pytest.TempPathFactory, words: list[str]) -> None:
    text = SUPPER.replace("In goes {butter}, and the leek. Soft, no colour. Salt it now.", " ".join(words))
    script = Preproduction(Table(tmp_path_factory.mktemp("said")).dish(text)).script
    passage = script.passages[1]
    assert [w for r in passage.rows for w in r.text.split()] == " ".join(words).split()


def test_shifting_the_cut_shifts_the_script(table: Table) -> None:
    early, late = (Preproduction(table.dish(SUPPER.replace("opening: 8 s", f"opening: {s} s"))).script for s in (8, 11))
    for one, other in zip(early.passages[1:], late.passages[1:], strict=True):
        assert [(r.text, r.said_from_ms + 3000) for r in one.rows] == [(r.text, r.said_from_ms) for r in other.rows]


def test_the_presenters_own_rate(table: Table) -> None:
    slow = Preproduction(table.dish(SUPPER.replace("opening: 8 s, closing: 20 s", "reading_rate: 75, opening: 8 s, closing: 40 s"))).script  # fmt: skip
    assert slow.spoken_ms == pytest.approx(2 * Preproduction(table.dish(SUPPER)).script.spoken_ms, abs=20)


# --- the figures at the end -------------------------------------------------------------------------------------------


@pytest.mark.parametrize("path", [p for p in GOOD if "supper" not in p.stem], ids=lambda p: p.stem)
def test_the_figures_said_are_those_of_the_card(path: object) -> None:
    source = read_source(str(path)).usable()
    macros = dish_macros(Preproduction(source).script.plan.dishes[0]).serving
    card = print_one(macros)
    words = macro_words(card)
    for nutrient in ("energy_kcal", "fat_g", "protein_g", "net_carbs_g"):
        assert number_words(Fraction(card.text(nutrient).removeprefix("≥ "))) in words


def test_a_goodbye_of_ones_own(table: Table) -> None:
    own = SUPPER.replace("servings: 2", 'goodbye: "Enjoy it. {macros} See you."\n    servings: 2', 1)
    text = Preproduction(table.dish(own)).script.passages[-1].text
    assert re.fullmatch(r"Enjoy it\. A serving is one hundred and fifty grams: .* of net carbs\. See you\.", text)
    plain = SUPPER.replace("servings: 2", "goodbye: Bye now.\n    servings: 2", 1)
    assert Preproduction(table.dish(plain)).script.passages[-1].text == "Bye now."


# --- papers -----------------------------------------------------------------------------------------------------------


def test_times_of_the_page(table: Table) -> None:
    page = two_columns(Preproduction(table.dish(SUPPER)).script)
    found = [row for section in page.sections for row in section.rows]
    assert [section.title for section in page.sections] == [
        "Opening", "Cook: Buttered leeks", "Buttered leeks: plated",
    ]  # fmt: skip
    assert (found[0].said, found[0].planned, found[0].running, found[0].back) == (
        "2 s",
        "8 s",
        "0:08",
        "−1:04",
    )
    assert (found[-1].running, found[-1].back) == ("1:12", "−0:00")
    assert page.length == "1:12"
    assert [row.slate for row in found if row.to_camera] == list(page.to_camera) != []


def test_cautions_are_offered_where_they_apply_and_counted_in_nothing(table: Table) -> None:
    dish = table.dish(SUPPER)
    script, cautions = Preproduction(dish).script, cautions_in(dish)
    offered = {row.slate: row.offered for s in two_columns(script, cautions).sections for row in s.rows if row.offered}
    assert list(offered) == ["3A"]
    assert offered["3A"][0].head.startswith("Caution to say before, ")  # the picture is without sound
    assert two_columns(script).words == two_columns(script, cautions).words


def test_what_can_hurt_is_said_before_the_act_and_what_is_measured_after_it(table: Table) -> None:
    dish = table.dish(
        "dish: Hake\nservings: 2\ningredients: {hake: 300 g}\n"
        "steps: [{stage: cook, do: Sear the hake over a high heat until it is done., say: In it goes., add: hake, screen: 30 s}]\n"
    )
    lines = reading_text(Preproduction(dish).script, cautions_in(dish)).splitlines()
    at = {n: line for n, line in enumerate(lines) if "Caution to say" in line or "In it goes" in line}
    said = [line for _, line in sorted(at.items())]
    goes = next(n for n, line in enumerate(said) if "In it goes" in line)
    assert goes and all("Caution to say first" in line for line in said[:goes])
    assert (
        [line for line in said[goes + 1 :] if "Sixty-three" in line or "Caution to say," in line]
        == said[goes + 1 :]
        != []
    )


def test_a_line_too_long_is_told_beside_it(table: Table) -> None:
    page = two_columns(Preproduction(table.dish(SUPPER.replace("That is it.", " ".join(["word"] * 30)))).script)
    over = [row.over for section in page.sections for row in section.rows if row.over]
    assert over == ["6 s longer than the picture: cut about 15 words"]


@pytest.mark.parametrize("path", GOOD, ids=lambda p: p.stem)
def test_the_text_for_reading_aloud_has_every_line_and_no_wide_one(path: object) -> None:
    source = read_source(str(path)).usable()
    script = Preproduction(source).script
    text = reading_text(script, cautions_in(source))
    read = " ".join(text.split())
    for passage in script.passages:
        assert all(sentence in read for sentence in re.split(r"(?<=[.!?]) ", passage.text))
    assert all(len(line) <= WIDEST + 4 for line in text.splitlines() if line.startswith("  "))


def test_hostile_names_are_harmless_in_the_text(table: Table) -> None:
    text = reading_text(
        Preproduction(table.dish(SUPPER.replace("That is it.", "\\x1b[31m \\u202E red <script>"))).script
    )
    assert not set(text) & {"\x1b", "\u202e"}


def test_a_line_of_far_too_many_parts_begins_over_the_first_shot_and_loses_no_word(
    table: Table, monkeypatch: pytest.MonkeyPatch
) -> None:
    allotted = Preproduction(table.dish(SUPPER)).script.passages
    assert any(row.text for passage in allotted for row in passage.rows[1:])
    monkeypatch.setattr(script, "_MOST_CHOICES", 0)
    first = Preproduction(table.dish(SUPPER)).script.passages
    assert not any(row.text for passage in first for row in passage.rows[1:])
    assert [" ".join(r.text for r in p.rows).split() for p in first] == [
        " ".join(r.text for r in p.rows).split() for p in allotted
    ]
