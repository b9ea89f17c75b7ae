"""Makes scriptkit/pantry/cooked_rows.csv: ``python -m tests.outside.cooked_rows SR28_FOLDER > scriptkit/pantry/cooked_rows.csv``.

SR28_FOLDER holds ``foods.csv`` of USDA SR28 (2016), per 100 g of edible portion. Two kinds of pairs come into the table: those of
yields.csv beside this file, whose raw and cooked weights SR28 prints, and those whose rows have one name, raw and cooked, and no weights. The
yield of the second kind is raw protein ÷ cooked protein, as meat loses hardly any, and dry pulses, grains and pasta little.
"""

from __future__ import annotations

import csv
import re
import sys
from collections.abc import Iterator
from pathlib import Path

from scriptkit.pantry.cooked_rows import COLUMNS, FIGURES

HERE = Path(__file__).parent
PANTRY = Path(__file__).resolve().parents[2] / "scriptkit" / "pantry"
METHODS = (
    (r"broiled|grilled", "grill"), (r"roasted", "roast"), (r"braised", "braise"), (r"pan-fried|pan-broiled|pan-browned", "fry"),
    (r"simmered|stewed", "simmer"), (r"dry heat|baked", "bake"), (r"boiled", "boil"), (r"moist heat", "steam"),
)  # fmt: skip
SAME_PIECE = re.compile(
    r"(?:, (?:patty|crumbles|loaf|mature seeds|regular|unenriched|enriched|without added salt))*", re.IGNORECASE
)
"""What may stand in the cooked row's name and not in the raw one's."""
RAW = re.compile(r", (?:raw|unprepared|dry|uncooked|unenriched|enriched|regular|mature seeds)\b", re.IGNORECASE)
SKIPPED = re.compile(
    r"batter|flour|bread|acid|chopped or|microwaved|with salt|from frozen|rotisserie|canned", re.IGNORECASE
)
ANIMALS = frozenset("whole-cut ground-meat poultry fish shellfish".split())  # noqa: SIM905
BY_HAND = {
    "bacon, streaky": (("fry", "10862"), ("bake", "10860")),
    "sausage, breakfast, pork": (("fry", "07064"),),
    "sausage, italian, pork": (("fry", "07089"),),
    "sausage, turkey, fresh": (("fry", "07958"),),
    "pork mince": (("fry", "10220"),),
    "chicken liver": (("fry", "05661"), ("simmer", "05028")),
    "prawns, raw": (("steam", "15271"),),
    "split peas": (("boil", "16086"),),
    "amaranth": (("boil", "20002"),), "barley, pearl": (("boil", "20006"),), "buckwheat, roasted": (("boil", "20010"),),
    "bulgur": (("boil", "20013"),), "couscous": (("boil", "20029"),), "millet": (("boil", "20032"),), "quinoa": (("boil", "20137"),),
    "rice, brown": (("boil", "20037"),), "rice, glutinous": (("boil", "20055"),), "rice, long-grain white": (("boil", "20445"),),
    "rice, parboiled": (("boil", "20447"),), "rice, risotto": (("boil", "20051"),), "rice, short-grain": (("boil", "20053"),),
    "rice, wild": (("boil", "20089"),), "spelt": (("boil", "20141"),), "teff": (("boil", "20143"),),
    "noodles, egg": (("boil", "20410"),), "noodles, rice": (("boil", "20134"),), "noodles, soba": (("boil", "20115"),),
    "noodles, somen": (("boil", "20117"),), "pasta, dried": (("boil", "20421"),), "pasta, fresh": (("boil", "20094"),),
    "pasta, wholewheat": (("boil", "20125"),),
}  # fmt: skip
"""Pairs whose names differ by more than the cooking, read in SR28."""


def main(folder: str) -> None:
    """Writes the table to standard output, rows by food and method."""
    with (Path(folder) / "foods.csv").open(encoding="utf-8", newline="") as file:
        published = {row["ndb"]: row for row in csv.DictReader(file)}
    rows = {(r[0], r[1]): r for r in (*_by_protein(published), *_weighed(published))}
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(COLUMNS)
    out.writerows(rows[key] for key in sorted(rows))


def _weighed(published: dict[str, dict[str, str]]) -> Iterator[list[str]]:
    for row in _csv(HERE, "yields.csv"):
        yield [row["food"], row["method"], row["yield"], "weighed", row["row"], *_figures(published[row["row"][-5:]])]


def _by_protein(published: dict[str, dict[str, str]]) -> Iterator[list[str]]:
    for food in _csv(PANTRY, "foods.csv"):
        raw = published.get(food["row"]) if food["table"] == "sr28" else None
        if raw is None or not (food["safety"] in ANIMALS or food["category"] in ("pulse", "grain", "pasta")):
            continue
        for method, ndb in (*BY_HAND.get(food["name"], ()), *_same_name(raw, published)):
            cooked = published[ndb]
            protein = float(raw["protein_g"]), float(cooked["protein_g"])
            share = protein[0] / protein[1]
            if 0.3 <= share <= (0.98 if food["safety"] in ANIMALS else 4.0):
                yield [food["name"], method, f"{share:.3f}", "protein", f"{raw['ndb']}+{ndb}", *_figures(cooked)]


def _same_name(raw: dict[str, str], published: dict[str, dict[str, str]]) -> Iterator[tuple[str, str]]:
    """Rows with the raw row's name and a method."""
    base = RAW.sub("", raw["description"])
    if base == raw["description"]:
        return
    for ndb, row in published.items():
        name = row["description"]
        head, cooked, how = name.partition(", cooked")
        if (
            not cooked
            or SKIPPED.search(name)
            or (RAW.sub("", head) != base and not (head.startswith(base) and SAME_PIECE.fullmatch(head[len(base) :])))
        ):
            continue
        method = next((method for words, method in METHODS if re.search(words, how)), "")
        if method:
            yield method, ndb


def _figures(row: dict[str, str]) -> list[str]:
    return [_plain(row["kcal" if figure == "energy_kcal" else figure]) for figure in FIGURES]


def _plain(figure: str) -> str:
    return f"{float(figure):g}" if figure else ""


def _csv(folder: Path, name: str) -> list[dict[str, str]]:
    with (folder / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


if __name__ == "__main__":
    main(sys.argv[1])
