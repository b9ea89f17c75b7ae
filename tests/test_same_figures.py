"""The macros of a meal read back from every file of its pack and from the commands: one set of figures, and what of it does not add up."""

from __future__ import annotations

import json
import re
import shutil
from collections.abc import Callable
from fractions import Fraction
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from subprocess import CompletedProcess

import pytest
from conftest import EXAMPLES

from scriptkit.measure.words import number_words
from scriptkit.papers.recipe_card import MOST_COLUMNS

Run = Callable[..., CompletedProcess[str]]
Figures = tuple[str, ...]
"""Energy, fat, protein, carbohydrate, fibre, net carbs, as printed."""

BOTH = "dishes:\n  - {dish: fennel-bisque.yaml, portion: 1 serving}\n  - {dish: seared-hake.yaml, portion: 1 serving}\n"
MEALS = {
    "harbour-supper": "",
    "quay-dinner": "",
    "oven-lunch": "",
    # Small servings of both: their protein, fibre and net carbs are 0.1 g off the plate's.
    "odd-servings": f"meal: Odd servings\nplates: 1\n{BOTH}film: {{opening: 12 s, closing: 22 s}}\n",
}
LINE = re.compile(r"([\d.]+) kcal,? fat ([\d.]+) g, protein ([\d.]+) g,? carbs ([\d.]+) g − fib(?:er|re) ([\d.]+) g = net carbs ([\d.]+) g", re.I)  # fmt: skip


class Cells(HTMLParser):
    """The rows of the card's tables, as text."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.rows: list[list[str]] = []
        self._in = False
        self.feed(html)

    def handle_starttag(self, tag: str, _: list[tuple[str, str | None]]) -> None:
        if tag == "tr":
            self.rows.append([])
        self._in = tag in ("td", "th") or self._in
        if tag in ("td", "th") and self.rows:
            self.rows[-1].append("")

    def handle_endtag(self, tag: str) -> None:
        self._in = self._in and tag not in ("td", "th")

    def handle_data(self, data: str) -> None:
        if self._in and self.rows and self.rows[-1]:
            self.rows[-1][-1] += data.strip()


@pytest.fixture(params=list(MEALS))
def meal(request: pytest.FixtureRequest, tmp_path: Path) -> Path:
    for file in EXAMPLES.glob("*.yaml"):
        shutil.copy(file, tmp_path)
    path = tmp_path / f"{request.param}.yaml"
    if MEALS[request.param]:
        soup = tmp_path / "fennel-bisque.yaml"
        tenth = (
            soup.read_text(encoding="utf-8")
            .replace("servings: 6", "servings: 10")
            .replace("serving: 320 g", "serving: 192 g")
        )
        soup.write_text(tenth, encoding="utf-8")
        path.write_text(MEALS[request.param], encoding="utf-8")
    return path


def dishes_in(meal: Path) -> list[Path]:
    """The files of its dishes, in its order."""
    return [meal.parent / file for file in re.findall(r"\{?dish: ([a-z-]+\.yaml)", meal.read_text(encoding="utf-8"))]


def of_table(text: str) -> list[tuple[str, Figures]]:
    """The rows of the first table of `macros`: parts, then the plate."""
    block = text.split("\n\n")[1].splitlines()
    rows = [re.split(r"\s{2,}", line) for line in block[1:] if set(line) != {"-"}]
    return [(cells[0], tuple(cells[2:8])) for cells in rows]


def test_every_paper_of_a_meal_prints_the_same_figures_and_they_add_up(meal: Path, run: Run) -> None:
    out = meal.parent / "pack"
    assert run("pack", str(meal), "-o", str(out)).returncode in (0, 1)
    table = of_table(run("macros", str(meal)).stdout)
    plate_at = [name for name, _ in table].index("the plate")
    parts, plate = table[:plate_at], table[plate_at][1]

    # They add up to the last digit of each part; where they miss the plate by it, that is said wherever they stand, and else nowhere.
    missed = [round(sum(float(figures[n].replace("−", "-")) for _, figures in parts) - float(plate[n]), 1) for n in range(6)]  # fmt: skip
    most = 0.5 * (len(parts) + 1) + 0.4  # of a step: carbohydrate, fibre and net carbs of a line are rounded together
    assert all(abs(off) <= (most if n == 0 else most / 10) for n, off in enumerate(missed)), missed
    for name in ("report.txt", "description.txt"):
        assert ("rounded by itself" in (out / name).read_text(encoding="utf-8")) == any(missed), name

    # A serving has the figures that it has alone, in the papers of its own dish.
    for file, (name, figures) in zip(dishes_in(meal), parts, strict=False):
        if name.endswith(", 1 serving"):
            of_dish = run("macros", str(file)).stdout
            (own,) = [
                re.split(r"\s{2,}", line)[2:8] for line in of_dish.splitlines() if line.startswith("serving (1 of")
            ]
            assert tuple(own) == figures, name

    # The report has the same table, and the description a line for each of its rows.
    report = (out / "report.txt").read_text(encoding="utf-8")
    assert (
        of_table(report[report.index("Macros\n------") :].replace("------\n", "------\n\n", 1).partition("\n\n")[2])
        == table
    )
    described = [(line.rsplit(": ", 1)[0], found.groups()) for line in (out / "description.txt").read_text(encoding="utf-8").splitlines() if not line.startswith("As the only meal") and (found := LINE.search(line))]  # fmt: skip
    assert described == [*parts, ("The plate", plate)]
    pinned = LINE.search((out / "pinned-comment.txt").read_text(encoding="utf-8"))
    assert pinned and pinned.groups() == plate

    # The overlay: the plate's card, and a dish's where just its serving lies on the plate.
    cues = [
        c.split("\n", 2)[2] for c in (out / "files" / "overlays.srt").read_text(encoding="utf-8").strip().split("\n\n")
    ]
    cards = [f.groups() for one, two in pairwise(cues) if (f := LINE.search(f"{one} {two}".replace("\n", " ")))]  # fmt: skip
    assert cards[-1] == plate
    servings = [figures for name, figures in parts if name.endswith(", 1 serving")]
    assert [card for card in cards[:-1] if card in servings] == servings

    # Each dish's own table in the report has its serving as it stands on the plate.
    own = [tuple(re.split(r"\s{2,}", line)[2:8]) for line in report.splitlines() if line.startswith("serving (1 of")]
    assert [row for row in own if row in servings] == servings

    # The script says them in words, and the pictures of the cards show them.
    said = " ".join((out / "script.txt").read_text(encoding="utf-8").split())
    for figures in [*servings, plate]:
        assert all(number_words(Fraction(figures[n])) in said for n in (0, 1, 2, 5))
    assert run("captions", str(meal), "--cards", str(out / "cards"), "-o", str(out / "a.vtt")).returncode in (0, 1)
    drawn = (out / "cards" / "plate-1080p.svg").read_text(encoding="utf-8")
    assert all(f">{plate[n]} g<" in drawn for n in (1, 2))  # the others are in doubt, and stand as ranges
    low, high = (float(end) for end in re.findall(r">(\d+)–(\d+) kcal<", drawn)[0])
    assert low <= float(plate[0]) <= high

    # The card in a table of its own, a column for each part.
    rows = {
        cells[0]: cells[1:] for cells in Cells((out / "recipe-card.html").read_text(encoding="utf-8")).rows if cells
    }
    fibre = "less fiber" if "less fiber" in rows else "less fibre"  # in the words of its kitchen
    of_card = [rows[name] for name in ("Energy, kcal", "Fat", "Protein", "Carbohydrate", fibre, "Net carbs")]
    columns = [*zip(*of_card, strict=True)]
    several = [figures for _, figures in parts] if len(parts) < MOST_COLUMNS else []
    assert columns[:-1] == [*several, plate]

    # Machines: the linked data as the card prints it, the JSON ten times finer.
    data = json.loads((out / "files" / "recipe.jsonld").read_text(encoding="utf-8"))["nutrition"]
    linked = [data[k].split()[0] for k in ("calories", "fatContent", "proteinContent", "carbohydrateContent", "fiberContent")]  # fmt: skip
    assert [float(f) for f in linked] == [float(f) for f in plate[:5]]
    exact = json.loads(run("macros", str(meal), "--json").stdout)["plate"]
    keys = ("energy_kcal", "fat_g", "protein_g", "carbohydrate_g", "fibre_g", "net_carbs_g")
    for key, printed in zip(keys, plate, strict=True):
        assert exact[key] == pytest.approx(float(printed), abs=1.0 if key == "energy_kcal" else 0.1)
