"""The package's own data files: a misspelt column or key, or a value that nothing can be made of, is told with file and line."""

from __future__ import annotations

import csv
import functools
import itertools
import sys
from collections.abc import Callable, Iterator
from fractions import Fraction
from pathlib import Path
from typing import Any

import pytest
import yaml
from conftest import EXAMPLES, ROOT

from scriptkit import data_files
from scriptkit.captions import profiles
from scriptkit.captions.composing import sounds, text_width
from scriptkit.captions.proofing import confusions
from scriptkit.captions.voice import pronunciation
from scriptkit.cli.exit_codes import leave_with
from scriptkit.cut.claims import owner_weights, vague_measures
from scriptkit.cut.placing import common_words, weights
from scriptkit.data_files import BadDataFile, Shape, made_of_entries, made_of_groups, made_of_rows, rows_of
from scriptkit.drafting import food_matching, languages, line_weights, old_measures
from scriptkit.english import (
    clause_lexicon,
    effect_weights,
    effect_words,
    kitchen_facts,
    kitchen_words,
    small_words,
    spoken_effects,
    us_words,
    vessels,
)
from scriptkit.measure import further_units, unit_table
from scriptkit.measure.amounts import Amount
from scriptkit.pantry import (
    allergens,
    borrowing,
    cooked_rows,
    eaten_parts,
    food_forms,
    kinds_by_name,
    plant_yields,
    spreads,
    table,
)
from scriptkit.pantry.lookup import Pantry
from scriptkit.recipe.reader import read_source
from scriptkit.recipe.schema import json_schema
from scriptkit.safety import doneness, free_from, health_claims, rules

PACKAGE = ROOT / "scriptkit"
LOADERS: dict[str, Callable[[], object]] = {
    "captions/composing/advance_widths.csv": lambda: text_width.thousandths("il"),
    "captions/composing/script_widths.csv": lambda: text_width.thousandths("ไข่"),
    "captions/proofing/misheard.csv": confusions.confusions,
    "captions/voice/letter_to_sound.csv": lambda: pronunciation.by_letters("leek"),
    "captions/voice/pronunciations.csv": lambda: pronunciation.pronunciations("celeriac"),
    "captions/profiles.yaml": profiles.profiles,
    "captions/composing/sounds.yaml": sounds.rows,
    "cut/placing/common_words.csv": common_words.common,
    "english/clause_words.csv": clause_lexicon.lexicon,
    "english/effect_weights.csv": effect_weights.effect_weights,
    "english/effect_phrases.csv": spoken_effects.phrases,
    "english/effect_words.csv": lambda: effect_words.classes_of("forgot"),
    "english/kitchen_classes.yaml": kitchen_facts.word_classes,
    "english/kitchen_facts.yaml": kitchen_facts.kitchen_facts,
    "english/kitchen_facts_near.yaml": kitchen_facts.kitchen_facts,
    "english/kitchen_words.csv": kitchen_words.verbs,
    "english/us_words.csv": us_words.us_words,
    "english/vessels.csv": lambda: vessels.kind_of("frying pan"),
    "measure/further_units.csv": further_units.further_units,
    "cut/claims/owner_weights.csv": owner_weights.owner_weights,
    "cut/claims/vague_measures.csv": vague_measures.vague_measures,
    "cut/placing/weights.csv": weights.weights,
    "drafting/languages.csv": lambda: languages.in_our_units("2 EL Butter", "German"),
    "drafting/guessed_weights.csv": lambda: line_weights.weight_of(None, Amount(Fraction(1), "bunch"), ""),
    "drafting/ingredient_words.csv": food_matching.kinds_of_words,
    "drafting/old_measures.csv": old_measures.old_measures,
    "drafting/usual_foods.csv": lambda: food_matching.FoodMatcher(Pantry()),
    "measure/units.csv": unit_table.unit_words,
    "pantry/allergen_lists.csv": allergens.allergens,
    "pantry/allergens.csv": allergens.held,
    "pantry/borrowed_weights.csv": borrowing.borrowed_rows,
    "pantry/cooked_rows.csv": cooked_rows.cooked_rows,
    "pantry/kinds_by_name.csv": lambda: kinds_by_name.kind_named("leek"),
    "pantry/pieces_with_bones.csv": lambda: table.food("onion"),
    "pantry/plant_yields.csv": lambda: plant_yields.plant_yield(table.food("leek"), "fry"),
    "pantry/spreads.csv": lambda: spreads.spread_of(table.food("leek"), "net_carbs_g"),
    "pantry/eaten_parts.csv": eaten_parts.wholes,
    "pantry/food_forms.csv": lambda: food_forms.forms_of("pepper"),
    "pantry/foods.csv": table.food_rows,
    "pantry/weights.csv": lambda: table.food("onion"),
    "recipe/schema_notes.yaml": lambda: json_schema("dish"),
    "safety/doneness.yaml": lambda: doneness.rise_of([]),
    "safety/free_from.yaml": free_from.free_from,
    "safety/health_claims.yaml": health_claims.claims,
    **{f"safety/{name}": rules.rules for name in rules.FILES},
}
TABLES = sorted(name for name in LOADERS if name.endswith(".csv"))
ENTRIES = sorted(name for name in LOADERS if name.endswith(".yaml"))
FREE = {"captions/profiles.yaml": 1, "recipe/schema_notes.yaml": 0}
"""Files whose keys down to this depth are names of their own."""
DEEPEST = {"recipe/schema_notes.yaml": 3}
"""Below it stands whatever a cook may write."""

Altered = Callable[[str, str], None]


CACHES: dict[str, list[Any]] = {}
"""Of each module of the package that was loaded so far, what it keeps in a cache."""


def forget() -> None:
    """What was read of the data files before."""
    for name in [name for name in list(sys.modules) if name.startswith("scriptkit") and name not in CACHES]:
        CACHES[name] = [one for one in vars(sys.modules[name]).values() if hasattr(one, "cache_clear")]
    for one in itertools.chain.from_iterable(CACHES.values()):
        one.cache_clear()


@pytest.fixture
def altered(monkeypatch: pytest.MonkeyPatch) -> Iterator[Altered]:
    """Let one data file have another text."""
    real = data_files.text_of

    def alter(path: str, text: str) -> None:
        def text_of(package: str, name: str) -> str:
            here = f"{package.removeprefix('scriptkit.').replace('.', '/')}/{name}"
            return text if here == path else real(package, name)

        monkeypatch.setattr(data_files, "text_of", text_of)
        for module in list(sys.modules.values()):
            if getattr(module, "text_of", None) is real and module is not data_files:
                monkeypatch.setattr(module, "text_of", text_of)
        forget()

    yield alter
    monkeypatch.undo()
    forget()


def told(path: str) -> BadDataFile:
    with pytest.raises(BadDataFile) as wrong:
        LOADERS[path]()
    return wrong.value


def text_of(path: str) -> str:
    return (PACKAGE / path).read_text(encoding="utf-8")


def test_every_data_file_has_its_loader() -> None:
    found = {p.relative_to(PACKAGE).as_posix() for p in PACKAGE.rglob("*") if p.suffix in (".csv", ".yaml")}
    assert found == set(LOADERS)


@pytest.mark.parametrize("path", sorted(LOADERS))
def test_every_data_file_is_as_it_must_be(path: str) -> None:
    forget()
    assert LOADERS[path]()


@pytest.mark.parametrize("path", TABLES)
def test_misspelt_columns_are_told_with_the_right_ones(path: str, altered: Altered) -> None:
    head, rest = text_of(path).split("\n", 1)
    columns = head.split(",")
    for misspelt in ({columns[0]}, set(columns)):
        altered(path, f"{','.join(f'{c}x' if c in misspelt else c for c in columns)}\n{rest}")
        problems = told(path).problems
        assert {(p.place.file, p.place.line) for p in problems} == {(f"scriptkit/{path}", 1)}
        assert [(p.message, p.hint) for p in problems] == [
            (f"“{c}x” is not a column here", f"did you mean `{c}`?") for c in columns if c in misspelt
        ]


@pytest.mark.parametrize("path", TABLES)
def test_columns_that_lack_or_stand_elsewhere_are_told(path: str, altered: Altered) -> None:
    head, rest = text_of(path).split("\n", 1)
    columns = head.split(",")
    altered(path, f"{','.join(columns[:-1])}\n{rest}")
    assert f"no column `{columns[-1]}`" in told(path).problems[0].message
    altered(path, f"{','.join(reversed(columns))}\n{rest}")
    assert "another order" in told(path).problems[0].message
    altered(path, "")
    assert len(told(path).problems) == len(columns)


@pytest.mark.parametrize("path", TABLES)
def test_a_row_with_a_cell_too_many_is_told_with_its_line(path: str, altered: Altered) -> None:
    lines = text_of(path).splitlines()
    n = next(n for n, line in enumerate(lines) if n > 3 and not line.startswith("#"))
    lines[n] += ",one more"
    altered(path, "\n".join(lines) + "\n")
    (problem,) = told(path).problems
    assert (problem.place.file, problem.place.line) == (f"scriptkit/{path}", n + 1)
    assert "cells" in problem.message


@pytest.mark.parametrize(
    ("path", "column"),
    [
        ("captions/composing/advance_widths.csv", 0),
        ("captions/proofing/misheard.csv", 2),
        ("cut/placing/common_words.csv", 1),
        ("english/effect_phrases.csv", 0),
        ("english/kitchen_words.csv", 0),
        ("cut/claims/vague_measures.csv", 3),
        ("cut/placing/weights.csv", 1),
        ("pantry/weights.csv", 4),
        ("pantry/cooked_rows.csv", 2),
        ("pantry/plant_yields.csv", 2),
        ("pantry/spreads.csv", 3),
    ],
)
def test_a_cell_that_nothing_can_be_made_of_is_told_with_its_line(path: str, column: int, altered: Altered) -> None:
    lines = text_of(path).splitlines()
    n = next(n for n, line in enumerate(lines) if n > 1 and not line.startswith(("#", '"')))
    cells = lines[n].split(",")  # before its first quoted cell
    cells[column] = "(banana"
    lines[n] = ",".join(cells)
    altered(path, "\n".join(lines) + "\n")
    (problem,) = told(path).problems
    assert (problem.place.file, problem.place.line) == (f"scriptkit/{path}", n + 1)
    assert "this row cannot be used" in problem.message
    assert "banana" in problem.message


@pytest.mark.parametrize("column", ["refuse_percent", "fat_g", "water_g", "spread_percent"])
def test_a_figure_of_a_food_that_is_none_is_told_with_its_line(column: str, altered: Altered) -> None:
    lines = text_of("pantry/foods.csv").splitlines()
    n = next(n for n, line in enumerate(lines) if line.startswith("onion,"))
    cells = next(csv.reader([lines[n]]))
    cells[lines[0].split(",").index(column)] = "banana"
    lines[n] = ",".join(f'"{c}"' if "," in c else c for c in cells)
    altered("pantry/foods.csv", "\n".join(lines) + "\n")
    with pytest.raises(BadDataFile) as wrong:
        table.food("onion")
    (problem,) = wrong.value.problems
    assert (problem.place.file, problem.place.line) == ("scriptkit/pantry/foods.csv", n + 1)
    assert "this row cannot be used" in problem.message and "banana" in problem.message


@functools.cache
def keys_of(path: str) -> list[tuple[int, str, int, int]]:
    """Every key of the file that the package gives a meaning, each once for where it stands: its depth, words, index and line."""
    found: dict[tuple[str, ...], tuple[int, str, int, int]] = {}

    def walk(node: yaml.Node, at: tuple[str, ...]) -> None:
        if isinstance(node, yaml.SequenceNode):
            for one in node.value:
                walk(one, at)
        if isinstance(node, yaml.MappingNode):
            for key, value in node.value:
                if len(at) >= FREE.get(path, 0):
                    found.setdefault(
                        (*at, key.value), (len(at), key.value, key.end_mark.index, key.start_mark.line + 1)
                    )
                if len(at) + 1 < DEEPEST.get(path, 9):
                    walk(value, ("*" if len(at) < FREE.get(path, 0) else key.value, *at))

    walk(yaml.compose(text_of(path), Loader=getattr(yaml, "CSafeLoader", yaml.SafeLoader)), ())
    return list(found.values())


def test_the_keys_are_found() -> None:
    assert sum(len(keys_of(path)) for path in ENTRIES) > 150


@pytest.mark.parametrize("path", ENTRIES)
def test_every_misspelt_key_is_told_with_its_line(path: str, altered: Altered) -> None:
    keys = keys_of(path)
    assert keys
    for depth in {key[0] for key in keys}:
        text, here = text_of(path), [key for key in keys if key[0] == depth]
        for _, _, index, _ in sorted(here, key=lambda key: -key[2]):
            text = f"{text[:index]}x{text[index:]}"
        altered(path, text)
        problems = told(path).problems
        assert {p.place.file for p in problems} == {f"scriptkit/{path}"}
        assert sorted((p.place.line, p.message) for p in problems) == sorted(
            (line, f"“{key}x” is not a key here") for _, key, _, line in here
        )
        assert all(p.hint for p in problems)


def test_all_slips_of_a_file_are_told_at_once(altered: Altered) -> None:
    text = text_of("safety/rules.yaml")
    altered("safety/rules.yaml", text.replace("severity:", "severty:").replace("  told:", "  tolled:"))
    problems = told("safety/rules.yaml").problems
    assert len(problems) == text.count("\n  severity:") + text.count("\n  told:")
    assert len({p.place.line for p in problems}) == len(problems)


@pytest.mark.parametrize(
    ("path", "old", "new", "message"),
    [
        ("safety/rules.yaml", "  told: step\n", "", "the entry has no `told`"),
        ("safety/rules.yaml", "when: {method: blend, hot: true, immersion: true}", "when: blend", "this must be `key: value`"),
        ("safety/free_from.yaml", "nouns: [lactose]", "nouns: 3", "this entry cannot be used"),
        ("safety/health_claims.yaml", "at_most: 40}", "at_most: 40, below: 9}", "this entry cannot be used"),
        ("safety/health_claims.yaml", "per: 100 g, at_most: 40", "per: 100 g, at_most: little", "this entry cannot be used"),
        ("safety/doneness.yaml", "rise_c: [1, 2]", "rise_c: [1]", "this entry cannot be used"),
        ("captions/composing/sounds.yaml", '"food processor"', '"(food processor"', "this entry cannot be used"),
        ("captions/profiles.yaml", "streaming:\n", "streaming: none\nother:\n", "this must be `key: value`"),
        ("safety/doneness.yaml", "[1, 2]}", "[1, 2]", "this is not YAML"),
        ("safety/doneness.yaml", "- {", "x: {", "the file must be a list"),
    ],
)  # fmt: skip
def test_what_an_entry_lacks_or_cannot_be_is_told(
    path: str, old: str, new: str, message: str, altered: Altered
) -> None:
    text = text_of(path)
    assert old in text
    changed = text.split(old)[0] + new if new == "x: {" else text.replace(old, new, 1)
    altered(path, changed + "a: 1}\n" if new == "x: {" else changed)
    (problem,) = told(path).problems
    assert problem.place.file == f"scriptkit/{path}"
    assert problem.place.line >= 1
    assert message in problem.message


def test_a_kind_of_small_words_that_there_is_not_is_told(altered: Altered) -> None:
    path = "english/small_words.txt"
    text = text_of(path)
    altered(path, text.replace("subjects:", "subjcts:", 1))
    with pytest.raises(BadDataFile, match="“subjcts” is not a kind") as wrong:
        small_words.small_words("subjects")
    line = next(n for n, line in enumerate(text.splitlines(), 1) if line.startswith("subjects:"))
    assert wrong.value.problems[0].place.line == line


def test_a_learned_figure_that_lacks_is_told(altered: Altered) -> None:
    altered("cut/placing/weights.csv", text_of("cut/placing/weights.csv").replace("\nverbs,", "\nverb,", 1))
    with pytest.raises(BadDataFile, match="no row `verbs`"):
        _ = weights.weights()["verbs"]


@pytest.mark.parametrize("shape", [Shape(), Shape(each=Shape())])
def test_a_list_is_no_groups_and_groups_are_no_list(shape: Shape, altered: Altered) -> None:
    altered("safety/doneness.yaml", "- {a: 1}\n")
    with pytest.raises(BadDataFile, match="must be groups"):
        made_of_groups("scriptkit.safety", "doneness.yaml", shape, lambda _, row: row)
    altered("safety/doneness.yaml", "a: {}\n")
    with pytest.raises(BadDataFile, match="must be a list"):
        made_of_entries("scriptkit.safety", "doneness.yaml", shape, lambda row: row)


def test_comments_and_empty_lines_keep_the_lines_their_numbers(altered: Altered) -> None:
    altered("cut/placing/weights.csv", "name,figure\n# learned\n\na,1\n# more\nb,two\n")
    assert rows_of("scriptkit.cut.placing", "weights.csv", ("name", "figure")) == [["a", "1"], ["b", "two"]]
    with pytest.raises(BadDataFile, match="could not convert") as wrong:
        made_of_rows(
            "scriptkit.cut.placing", "weights.csv", ("name", "figure"), lambda name, figure: (name, float(figure))
        )
    assert wrong.value.problems[0].place.line == 6


def test_a_command_tells_it_and_leaves_with_2(altered: Altered, capsys: pytest.CaptureFixture[str]) -> None:
    altered("pantry/foods.csv", text_of("pantry/foods.csv").replace("refuse_percent", "refuse_percnt", 1))
    with pytest.raises(SystemExit) as left:
        leave_with(lambda: read_source(str(Path(EXAMPLES) / "seared-hake.yaml")))
    assert left.value.code == 2
    assert "scriptkit/pantry/foods.csv:1:1: error: “refuse_percnt” is not a column" in capsys.readouterr().err
