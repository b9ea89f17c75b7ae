"""The table of dangerous steps and their harmless twins (hazards.csv): which cautions each gets, and which of them fit. Foods go in
at the first step, those marked @ at the last, which is the one that is asked about, those marked @2 at the second.

Every step is worded three times; the column ``held`` is never tuned on. hazards_new_hand.csv was written when the rules stood: of
its first 80 dangerous wordings 63 got a caution that fits at the first try, before they were tuned on too. Of hazards_first_sight.csv the p and
q rows were written before the rules were read: 55 of 80 got one, and 6 of 80 harmless twins a false one; of r and s, after they were
tuned on, 68 of 80 and 5 of 80; of t and u, after those, 55 of 60 and 3 of 60; of v and w 44 of 50 and 6 of 50. Of m and n, small whole dishes in four hands, 1 to 67: 48 of 67 and 5 of 67; 68 to 107, after those:
21 of 40 and 5 of 40; 108 to 141: 22 of 34 and 7 of 34; 142 to 181: 25 of 40 and 0 of 40; 201 to 240: 29 of 40 and 3 of 40; 241 to 280: 29 of 40
and 4 of 40. Of hazards_whole_dishes.csv the dishes 301 to 376, in the full sentences of cookbooks, were written before these rules were
read: 64 of 76 told, 6 of 76 false; 401 to 470, after those: 62 of 70 and 5 of 70; 501 to 552, in American and terse hands: 31 of 52 and 2 of 52;
601 to 650, after those, much paraphrased: 33 of 50 and 3 of 50; 701 to 738, in Indian hands, for children, for a shift: 29 of 38 and 3 of 38; 801 to 840,
after those: 30 of 40 and 2 of 40; 901 to 934, in figures of speech: 22 of 34 and 1 of 34; 1001 to 1140, a hazard a row: 72 of 80 and 6 of 80;
1201 to 1240, after those, in oblique words: 26 of 40 and 3 of 40; 1301 to 1340: 32 of 40 and 2 of 40; 1401 to 1430: 16 of 30 and 4 of 30;
1501 to 1530: 22 of 30 and 4 of 30; 1601 to 1700, of all hazards and in many voices: 82 of 100 and 2 of 100; 1701 to 1760, written with those and read after
they were tuned on: 55 of 60 and 1 of 60 (52 before). 1801 to 1870, a hazard a row in British and American sentences: 68 of 70 and 2 of 70.
1901 to 1940, a hazard a row by a grandmother, a terse chef, an Indian cook and a smokehouse: 38 of 40 and 2 of 40.
2001 to 2040, worded twice each, a hazard a row by a camp cook, a mother, a terse chef and others: 72 of 80 and 14 of 80; 2101 to 2113,
written by us to trip what clears a caution: 17 of 26 and 0 of 10.
Its k and l rows say each hazard in many ways: 217 of 266 and 7 of 78 at first. ``python tests/safety/hazard_table.py`` prints, for each
class of hazard, how many dangerous wordings get a caution that fits, and how many harmless ones get one that does not.
"""

from __future__ import annotations

import csv
import functools
import re
import sys
from collections import Counter, defaultdict
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

from scriptkit.pantry.table import as_written
from scriptkit.recipe.dish import Dish
from scriptkit.recipe.reader import read_source_text
from scriptkit.safety.rule_matching import Caution, cautions_of
from scriptkit.safety.rules import rules

HERE = Path(__file__).parent
TUNED, HELD = ("a", "b"), ("held",)


@dataclass(frozen=True)
class Row:
    """A step of the table; ``danger``: whether a caution of its class must be told."""

    id: str
    hazard: str
    danger: bool
    cells: dict[str, str]


@functools.cache
def rows() -> tuple[Row, ...]:
    found: list[Row] = []
    for name in ("hazards.csv", "hazards_new_hand.csv", "hazards_first_sight.csv", "hazards_whole_dishes.csv"):
        with (HERE / name).open(encoding="utf-8", newline="") as file:
            found += (
                Row(cells["id"], cells["class"], cells["danger"] == "1", cells)
                for cells in csv.DictReader(file, delimiter="|", quoting=csv.QUOTE_NONE)
            )
    return tuple(found)


@functools.cache
def fitting() -> dict[str, frozenset[str]]:
    """Class of hazard → the rules that fit it (hazard_classes.csv)."""
    with (HERE / "hazard_classes.csv").open(encoding="utf-8", newline="") as file:
        return {cells["class"]: frozenset(cells["rules"].split()) for cells in csv.DictReader(file)}


GENERAL = frozenset(
    [
        "cook-whole-cut",
        "cook-ground-meat",
        "cook-poultry",
        "cook-fish",
        "cook-shellfish",
        "cook-egg",
        "reheat-ham",
        "cross-contamination",
        "hot-fat",
        "searing",
        "smoke-alarm",
        "hot-pan",
        "knives",
        "boiling-over-steam",
        "leftovers",
        "leftovers-cold",
        "local-code",
        "stand-ins",
        "tripod-and-cables",
        "mains-lights",
        "minutes-a-side",
        "alcohol",
        "caffeine",
        "honey-infants",
        "polyols",
        "marinade",
        "reheating",
        "raw-flour",
        "grater",
        "open-steam",
        "cook-casserole",
        "bought-wild-mushrooms",
        "chilling",
        "deep-frying",
        "jars",
        "boiling-jam",
        "xylitol-and-dogs",
    ]
)
"""What may rightly be told of a harmless twin, as it is about something else: what is raw in it, a knife, what is left over. Of the
twin's own class these count as false all the same."""


def dish_of(row: Row, column: str) -> Dish:
    cells = row.cells
    marks = [re.match(r"\s*@?(\d?)", part) for part in cells["foods"].split(";")]
    foods = [re.sub(r"^\s*@?\d?", "", part).partition("=") for part in cells["foods"].split(";")]
    here = {
        f"f{n}"
        for n, part in enumerate(cells["foods"].split(";"))
        if re.match(r"\s*@(?!\d)", part) or not cells["before"]
    }
    own = [name for name, _, _ in foods if name not in as_written()]
    lines = ["dish: A dish", cells["dish"] if "servings" in cells["dish"] else f"servings: 4\n{cells['dish']}"]
    if own:
        lines += ["foods:", *(f'  "{name}": {{basis: us, allergens: none}}' for name in own)]
    lines += ["ingredients:"]
    lines += [f'  f{n}: {{amount: {grams or 100} g, food: "{name}"}}' for n, (name, _, grams) in enumerate(foods)]
    lines += ["steps:"]
    added = ", ".join(f"f{n}" for n in range(len(foods)) if f"f{n}" in here)
    at = {f"f{n}": int(mark[1] or 1) - 1 for n, mark in enumerate(marks) if mark and f"f{n}" not in here}
    before = [one.strip() for one in cells["before"].split(" / ") if one.strip()]
    for n, words in enumerate(before):
        goes_in = ", ".join(key for key, step in at.items() if step == n)
        more = f", add: [{goes_in}]" if goes_in else ""
        said, _, own_keys = words.partition(" {")
        lines.append(
            f'  - {{id: before{n}, stage: cook, do: "{said}"{more}{", " + own_keys.rstrip("}") if own_keys else ""}}}'
        )
    words = cells[column].replace('"', "'")
    keys = "".join(f", {one.strip()}" for one in cells["more"].split(";") if one.strip())
    lines.append(f'  - {{id: it, stage: cook, do: "{words}"{f", add: [{added}]" if added else ""}{keys}}}')
    reading = read_source_text("\n".join(lines), "dish.yaml")
    assert isinstance(reading.source, Dish), (row.id, reading.problems)
    return reading.source


def told(row: Row, column: str) -> tuple[Caution, ...]:
    return cautions_of(dish_of(row, column))


def _is_here(caution: Caution) -> bool:
    """Whether it is told of the step itself, or of the whole dish; what came before it is not asked."""
    return caution.step is None or caution.step.id == "it"


def caught(row: Row, column: str) -> bool:
    """Whether a caution fits the danger: one of the rules of its class, told at the step or before it."""
    return bool({c.rule.id for c in told(row, column)} & fitting()[row.hazard])


def false_ones(row: Row, column: str) -> set[str]:
    """The rules told of a harmless twin that are of its class or about nothing that is in it. A plain minimum temperature, which
    every raw food gets, is no false caution where the twin keeps it."""
    found = {c.rule.id for c in told(row, column) if _is_here(c) and not (c.doneness and not c.doneness.below)}
    own = fitting()[row.hazard] - {r.id for r in rules() if r.id.startswith("cook-")}
    return (found & own) | (found - GENERAL)


def score(columns: tuple[str, ...]) -> Iterator[tuple[str, int, int, int, int]]:
    """Class, dangerous wordings, those caught, harmless wordings, those with a false caution."""
    figures: dict[str, Counter[str]] = defaultdict(Counter)
    for row in rows():
        for column in (c for c in columns if c in row.cells):
            here = figures[row.hazard]
            here["danger" if row.danger else "harmless"] += 1
            here["caught"] += row.danger and caught(row, column)
            here["false"] += not row.danger and bool(false_ones(row, column))
    for hazard, one in figures.items():
        yield hazard, one["danger"], one["caught"], one["harmless"], one["false"]


def main(arguments: list[str]) -> None:
    tuned, held = list(score(TUNED)), list(score(HELD))
    print(f"{'class':22} {'tuned: caught':>15} {'false':>8} {'held back: caught':>20} {'false':>8}")
    for one, other in zip(tuned, held, strict=True):
        print(
            f"{one[0]:22} {one[2]:>9} of {one[1]:<3} {one[4]:>4} of {one[3]:<2} {other[2]:>11} of {other[1]:<3} {other[4]:>6} of {other[3]:<2}"
        )
    for name, table in (("tuned", tuned), ("held back", held)):
        total = [sum(line[n] for line in table) for n in range(1, 5)]
        print(f"{name}: {total[1]} of {total[0]} caught, {total[3]} of {total[2]} false")
    if "--missed" in arguments:
        for row in rows():
            for column in (c for c in TUNED if c in row.cells):
                if row.danger and not caught(row, column):
                    print(
                        f"missed {row.id}{column} {row.hazard}: {row.cells[column]} — {sorted({c.rule.id for c in told(row, column)} - GENERAL)}"
                    )
                if not row.danger and (wrong := false_ones(row, column)):
                    print(f"false {row.id}{column} {row.hazard}: {row.cells[column]} — {sorted(wrong)}")


if __name__ == "__main__":
    main(sys.argv[1:])
