"""What a cook's hand slips on in a recipe's file: each is told at its line, and the fix, copied as it is printed, lets the file go on."""

from __future__ import annotations

import re

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from scriptkit.problems import CannotDo, Problem, Severity
from scriptkit.recipe.reader import read_source_text
from scriptkit.recipe.yaml_slips import quoted, slip_in
from scriptkit.recipe.yamltree import parse_tree

GOOD = """dish: Braised lentils
servings: 4
ingredients:
  lentils: {amount: 250 g, food: "lentils, dried"}
  carrot: {amount: 2 medium, prep: "diced, 8 mm"}
  leek: 150 g
  olive oil: 2 tbsp
  vinegar: {amount: 1 tbsp, food: wine vinegar}
steps:
  - id: sweat
    stage: cook
    do: Sweat the leek and the carrot in the oil.
    add: {olive oil: all, leek: all, carrot: all}
    vessel: wide pan
    heat: medium-low
    wait: 8 min
  - id: braise
    stage: cook
    do: Add the lentils and braise until tender.
    add: {lentils: all}
    vessel: wide pan
    wait: 30 min
  - {id: dress, stage: cook, do: Dress with the vinegar., add: {vinegar: all}, vessel: wide pan, hands: 1 min}
"""
SWEAT, BRAISE, DRESS = (
    "do: Sweat the leek and the carrot in the oil.",
    "do: Add the lentils and braise until tender.",
    "do: Dress with the vinegar.",
)
SLIPS = [  # what stands in the good file, what is written in its place, the line that is told
    (SWEAT, "do: Sweat the leek: skin down, 3 min", 12),
    (SWEAT, "do: Sweat the leek: don't let it colour", 12),
    (SWEAT, 'do: Say "now": then sweat the leek', 12),
    (DRESS, "do: Dress it: vinegar first", 23),
    (DRESS, "do: Dress with the vinegar, and serve.", 23),
    (DRESS, "do: Toss, dress, serve.", 23),
    ("leek: 150 g", "leek: 30,5 g", 6),
    ("amount: 250 g", "amount: 250,5 g", 4),
    ("    stage: cook\n    do: Sweat", "\tstage: cook\n    do: Sweat", 11),
    ("  leek: 150 g", "\tleek: 150 g", 6),
    ("leek: 150 g", "leek:150 g", 6),
    ("vessel: wide pan\n    heat", "vessel:wide pan\n    heat", 14),
    ("{amount: 250 g,", "{amount:250 g,", 4),
    (SWEAT, "do: Sweat leek #1 and the carrot.", 12),
    (SWEAT, "do: Sweat the leek #slowly", 12),
    ("leek: 150 g", "leek: 50% of 300 g", 6),
    (SWEAT, "do: %50 of the leek goes in first.", 12),
    (SWEAT, "do: @ low heat, sweat the leek.", 12),
    (SWEAT, "do: *Slowly* sweat the leek.", 12),
    (SWEAT, "do: & now sweat the leek.", 12),
    (SWEAT, "do: !Sweat the leek slowly.", 12),
    (SWEAT, "do: `Sweat` the leek.", 12),
    (SWEAT, "do: [optional] Sweat the leek.", 12),
    (SWEAT, f"{SWEAT}\n    say: {{leek}} goes in with the carrot.", 13),
    ("  - id: braise", "    - id: braise", 17),
    ("  - id: braise", "- id: braise", 17),
    ("  - id: braise", "  -id: braise", 17),
    ("  - id: braise", "  • id: braise", 17),
    ("  - id: braise", "  – id: braise", 17),
    ("  - id: braise", "    id: braise", 17),
    ("  leek: 150 g", "  - leek: 150 g", 6),
    ("  leek: 150 g", "   leek: 150 g", 6),
    (SWEAT, "do: “Sweat the leek: slowly”", 12),
    ('food: "lentils, dried"', "food: “lentils, dried”", 4),
    ('prep: "diced, 8 mm"', "prep: ‘diced, 8 mm’", 5),
    ('prep: "diced, 8 mm"', 'prep: "diced, 8 mm', 5),
    (BRAISE, 'do: "Add the lentils and braise.', 19),
    (BRAISE, "do: 'Add the lentils and braise.", 19),
    (BRAISE, "do: 'Add the cook's lentils.'", 19),
    (BRAISE, 'do: "Add" the lentils.', 19),
    ("carrot: all}", "carrot: all", 13),
    ("food: wine vinegar}", "food: wine vinegar", 8),
    ("    stage: cook\n    do: Sweat", "   stage: cook\n    do: Sweat", 11),
    ("    stage: cook\n    do: Sweat", "     stage: cook\n    do: Sweat", 11),
    (SWEAT, "do: Sweat the leek.\n  Stir now and then.", 13),
    ("leek: 150 g", "leek:\u00a0150 g", 6),
    ("leek: 150 g", "leek = 150 g", 6),
    ("leek: 150 g", "leek 150 g", 6),
    ("leek: 150 g", "leek:", 6),
    ("leek: 150 g", "leek: about 150 g", 6),
    ("leek: 150 g", "leek: ~150 g", 6),
    ("leek: 150 g", "leek: half a leek", 6),
    ("leek: 150 g", "leek: 150 Gramm", 6),
    ("leek: 150 g", "leek: 150 g (about 1)", 6),
    ("leek: 150 g", "leek: 150 g sliced", 6),
    ("leek: 150 g", "leek: 150 g, 5 mm", 6),
    ("amount: 2 medium", "amount: two medium", 5),
    ("amount: 2 medium", "amount: 2 x 60 g", 5),
    ("olive oil: 2 tbsp", "olive oil: 1-2 tbsp", 7),
    ("olive oil: 2 tbsp", "olive oil: 1 to 2 tbsp", 7),
    ("olive oil: 2 tbsp", "olive oil: 1 tbsp + 1 tsp", 7),
    ("olive oil: 2 tbsp", "olive oil: a tablespoon", 7),
    ("wait: 30 min", "wait: 1:30", 22),
    ("wait: 30 min", "wait: 0:30", 22),
    ("wait: 30 min", "wait: 30", 22),
    ("wait: 30 min", "wait: half an hour", 22),
    ("wait: 30 min", "wait: 25-30 min", 22),
    ("wait: 30 min", "wait: 30 min\n    core: 63", 23),
    ("dish: Braised", "title: Braised", 1),
    ("servings: 4", "servings: 6 people", 2),
    ("servings: 4", "servings: 4-6", 2),
    ("servings: 4", "servings: four", 2),
    ("    stage: cook\n    do: Sweat", "    stage: cooking\n    do: Sweat", 11),
    ("servings: 4", "serves: 4", 2),
    ("amount: 250 g", "quantity: 250 g", 4),
    ("wait: 8 min", "time: 8 min", 16),
    ("vessel: wide pan\n    heat", "Vessel: wide pan\n    heat", 14),
    ("  leek: 150 g", "  leek: 150 g\n  leek: 50 g", 7),
]  # fmt: skip


def problems_of(text: str) -> list[Problem]:
    try:
        found = read_source_text(text, "lentils.yaml").problems
    except CannotDo as wrong:
        found = wrong.problems
    return [p for p in found if p.severity is not Severity.NOTE]


def copied(text: str, problem: Problem) -> str:
    """The text with what the fix gives between backticks in the place of what stands there, as a cook would copy it."""
    lines = text.split("\n")
    n, line = problem.place.line - 1, lines[problem.place.line - 1]
    found = re.search(r"(?:write|mean|use|out|too)[^`]*`(.+?)`(?=[,; ?)]|$| or )", problem.hint + " ")
    if problem.code in ("yaml", "hash"):  # the whole line, which may have backticks of its own
        found = re.fullmatch(r"write `(.+)`", problem.hint)
    if problem.code == "duplicate-key" and not found:
        return "\n".join([*lines[:n], *lines[n + 1 :]])
    if not found:
        return text
    written = found[1]
    if problem.code == "unknown-key":
        lines[n] = line.replace(re.search(r"“(.+?)”", problem.message)[1], written, 1)  # type: ignore[index]
        return "\n".join(lines)
    indent, dash = re.match(r"(\s*)([-•–] ?)?", line).groups()  # type: ignore[union-attr]
    key, colon, _ = written.partition(":")
    if line[len(indent) :].startswith("- {") and colon:  # one entry between braces
        lines[n] = re.sub(rf"\b{re.escape(key)}:.*?(?=, [a-z]+: |\}}$)", lambda _: written, line, count=1)
    elif (
        "{" in line
        and colon
        and not written.startswith((" ", line.strip()[:5]))
        and not line.strip().startswith(f"{key}:")
    ):
        lines[n] = re.sub(rf"\b{re.escape(key)}: ?.*?(?=, [a-z]+:|\}}$)", lambda _: written, line, count=1)
    elif written.startswith((" ", "- ")) or (colon and (dash or "").strip() and "- " in line):
        lines[n] = (
            (indent[2:] if written.startswith("- ") else "") + written
            if not dash or written.startswith(" ")
            else indent + written
        )
    elif colon or problem.code == "yaml":
        lines[n] = indent + written
    else:  # the value alone
        at = problem.place.column - 1
        end = re.search(r"(?=, [a-z]+: |\}?$)", line[at:])
        lines[n] = line[:at] + written + line[at + end.start() :]  # type: ignore[union-attr]
    return "\n".join(lines)


@pytest.mark.parametrize(("good", "slip", "line"), SLIPS)
def test_a_slip_is_told_at_its_line_and_its_fix_can_be_copied(good: str, slip: str, line: int) -> None:
    assert problems_of(GOOD) == []
    assert good in GOOD
    text = GOOD.replace(good, slip, 1)
    found = problems_of(text)
    assert line in {p.place.line for p in found}, found
    told = next(p for p in found if p.place.line == line)
    mended = copied(text, told)
    assert mended != text, told
    left = [p for p in problems_of(mended) if (p.code, p.place.line) == (told.code, line) or p.code == "yaml"]
    assert left == [], (told, mended)


@pytest.mark.parametrize(
    ("good", "slip", "says"),
    [
        ("leek: 150 g", "butter: 30 g", '`butter: {amount: 30 g, food: "butter, salted"}`, or `food: "butter, unsalted"`'),
        ("food: wine vinegar", "food: vinegr", "write `food: "),
        ("food: wine vinegar", "food: butter", 'write `food: "butter, salted"`, `food: "butter, unsalted"`'),
    ],
)  # fmt: skip
def test_a_food_of_another_name_is_given_to_copy(good: str, slip: str, says: str) -> None:
    (told,) = [p for p in problems_of(GOOD.replace(good, slip, 1)) if p.code == "unknown-food"]
    assert says in told.hint


@pytest.mark.parametrize(
    ("good", "other"),
    [
        (SWEAT, 'do: "Sweat the leek: skin down"'),
        (SWEAT, "do: Sweat the leek   # slowly"),
        (SWEAT, "do: Sweat the leek #"),
        (SWEAT, "do: Sweat 50% of the leek @ low heat, and *stir*."),
        (SWEAT, "do: Sweat the leek at 8:30 and don't stir."),
        ("leek: 150 g", "leek: 150 g  #from the market"),
        ("leek: 150 g", "leek: ½"),
        ("olive oil: 2 tbsp", "olive oil: 1 1/2 tbsp"),
        ("add: {lentils: all}", "add: lentils"),
        ("add: {olive oil: all, leek: all, carrot: all}", "add: olive oil, leek and carrot"),
        ("add: {olive oil: all, leek: all, carrot: all}", "add: oil, leek, carrot"),
    ],
)  # fmt: skip
def test_what_is_written_right_is_left_alone(good: str, other: str) -> None:
    assert problems_of(GOOD.replace(good, other, 1)) == []


def test_nothing_is_looked_for_in_a_file_that_is_no_recipe() -> None:
    assert slip_in("a: b: c\n" + "x" * 100_000, 1) is None
    assert slip_in("[" * 50_000, 1) is None


@settings(max_examples=60, deadline=None)
@given(st.text(st.characters(blacklist_categories=("Cs", "Cc"), max_codepoint=0x2FFF), min_size=1, max_size=40))
def test_whatever_stands_in_quotes_is_read_as_it_stands(text: str) -> None:
    bare = text.strip()
    if bare and bare[0] not in "“„‘‚" and not re.search("[\u2028\u2029\x85]", bare):
        assert parse_tree(f"do: {quoted(bare)}", "t.yaml").data == {"do": bare}


NUMBERS = [
    ("at_least: {protein: 40g}", "at_least: {protein_g: 40}", 4),
    ("at_most: {net carbs: 20 g}", "at_most: {net_carbs_g: 20}", 4),
    ("at_most: {kcal: 600 kcal}", "at_most: {energy_kcal: 600}", 4),
    ("kitchen: {cooks: one}", "kitchen: {cooks: 1}", 4),
    ("kitchen: {burners: 4 burners}", "kitchen: {burners: 4}", 4),
    ("plates: four", "plates: 4", 4),
]


@pytest.mark.parametrize(("slip", "right", "line"), NUMBERS)
def test_a_number_in_words_or_with_its_unit_is_told_with_the_number(slip: str, right: str, line: int) -> None:
    head = "meal: M\ndishes:\n  - {dish: lentils.yaml, portion: 1 serving}\n"
    told = [p for p in problems_of_meal(f"{head}{slip}\n") if p.code == "wrong-value"]
    [one] = told
    fix = re.fullmatch(r"write `(.+)`", one.hint)
    assert fix is not None and one.place.line == line and fix[1] in right
    assert not [p for p in problems_of_meal(f"{head}{right}\n") if p.code in ("wrong-value", "unknown-key")]


def problems_of_meal(text: str) -> list[Problem]:
    try:
        return read_source_text(text, "meal.yaml").problems
    except CannotDo as wrong:
        return wrong.problems


@pytest.mark.parametrize("name", ["mussels.yaml", "quay kitchen/it's: two.yaml", '"quoted".yaml'])
def test_a_dish_of_a_meal_that_is_only_a_file_is_told_with_its_line(name: str) -> None:
    told = problems_of_meal(f"meal: M\ndishes:\n  - {quoted(name)}\n")
    [fix] = [re.fullmatch(r"write `(- .+)`", p.hint) for p in told if p.code == "wrong-value"]
    assert fix is not None
    after = problems_of_meal(f"meal: M\ndishes:\n  {fix[1]}\n")
    assert [p.code for p in after if p.severity is Severity.ERROR] == ["dish-file"] and name in after[0].message + str(
        parse_tree(fix[1], "t.yaml").data
    )
