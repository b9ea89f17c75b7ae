"""A script that is read aloud as it is printed is proven whole: no addition that a line names is missed, and no figure of it differs."""

from __future__ import annotations

import re
import shlex
from pathlib import Path

import pytest
from conftest import EXAMPLES, Table

from scriptkit.cut.claims.claim import DIFFERS, LISTEN, VERIFIED
from scriptkit.cut.transcript.timestamps import clock_text
from scriptkit.english.stems import stem, words_in
from scriptkit.papers.coverage import coverage_report
from scriptkit.papers.coverage_text import coverage_text
from scriptkit.production import Production
from scriptkit.recipe.reader import read_source

PORK_AND_SALAD = """
    dish: Pork with fennel seed
    short: pork
    servings: 4
    ingredients:
      pork: {amount: 900 g, food: "pork loin, boneless"}
      fennel seed: 2 tsp
      olive oil: 1 tbsp
      salt: 2 tsp
    steps:
      - {id: rub, stage: prep, do: "Rub the pork with the oil, the fennel seed and the salt.", vessel: tray, hands: 4 min, screen: 20 s,
         add: {olive oil: all, fennel seed: all, salt: all, pork: all},
         say: "{olive oil} of oil, {fennel seed} of fennel seed, {salt} of salt, and rub it all over the pork."}
      - {id: roast, stage: cook, do: Roast the pork until the middle is done., vessel: tin, heat: oven 190 °C, core: 63 °C, hands: 3 min,
         wait: 55 min, screen: 12 s, say: "Into the oven at a hundred and ninety degrees, for fifty-five minutes."}
      - {id: carve, stage: cook, do: Carve the pork., vessel: plates, hands: 4 min, screen: 8 s, say: Carve it across the grain.}
"""
SALAD = """
    dish: Celery salad
    short: salad
    servings: 4
    ingredients:
      celery: 150 g
      oil: {amount: 2 tbsp, food: olive oil}
      olives: {amount: 1 oz, food: "olives, green"}
      salt: 1/4 tsp
    steps:
      - {id: dress, stage: cook, do: "Dress the celery with the oil, the olives and the salt.", vessel: bowl, hands: 3 min, screen: 16 s,
         add: {celery: all, oil: all, olives: all, salt: all},
         say: "{celery} of celery, {oil} of olive oil, the olives, and {salt} of salt."}
"""


def read_aloud(path: str, folder: Path) -> Production:
    """The production of a file, with its own script as the talk of the cut: each line where it is planned, or after the one before."""
    lines: list[str] = []
    at = 0
    for passage in Production(read_source(path)).script.passages:
        text = re.sub(r"\[[^\]]*\]", " ", passage.text).strip()
        at = max(at, passage.segment.start_ms)
        for sentence in re.split(r"(?<=[.!?])\s+", text) if text else []:
            until = at + max(400, round(passage.spoken_ms * len(sentence) / len(text)))
            lines.append(f"{len(lines) + 1}\n{_srt(at)} --> {_srt(until)}\n{sentence}\n")
            at = until
    talk = folder / "aloud.srt"
    talk.write_text("\n".join(lines), encoding="utf-8")
    return Production(read_source(path), cut=str(talk))


def _srt(ms: int) -> str:
    return f"00:{ms // 60_000:02}:{ms // 1000 % 60:02},{ms % 1000:03}"


def assert_proven(production: Production) -> None:
    coverage = production.coverage
    for row in coverage.rows:
        said = {stem(w) for w in words_in(row.step.say)}
        if said & {stem(w) for w in words_in(row.name)}:
            assert row.spoken_ms is not None, (row.where, row.name)
    opening = production.plan.segments[0].end_ms
    told = [c for c in coverage.claims if c.verdict == DIFFERS or (c.verdict == LISTEN and c.time_ms >= opening)]
    assert not told, [(clock_text(c.time_ms), c.words, c.subject) for c in told]
    assert any(c.verdict == VERIFIED for c in coverage.claims)


@pytest.mark.parametrize("name", ["harbour-supper", "oven-lunch", "quay-dinner", "seeded-loaf"])
def test_a_script_read_aloud_is_proven(name: str, tmp_path: Path) -> None:
    assert_proven(read_aloud(str(EXAMPLES / f"{name}.yaml"), tmp_path))


def test_a_short_name_in_a_line_of_the_script_is_proven_beside_the_full_one_elsewhere(table: Table) -> None:
    table.write("pork.yaml", PORK_AND_SALAD)
    table.write("salad.yaml", SALAD)
    meal = table.write(
        "meal.yaml",
        "meal: Pork and salad\nplates: 4\ndishes:\n  - {dish: pork.yaml, portion: 1 serving}\n  - {dish: salad.yaml, portion: 1 serving}\n",
    )
    production = read_aloud(meal, table.folder)
    assert_proven(production)
    verified = {
        (c.subject, c.step.id) for c in production.coverage.claims if c.verdict == VERIFIED and c.step is not None
    }
    assert {("olive oil", "rub"), ("oil", "dress")} <= verified


def test_what_is_printed_for_accept_can_be_copied(table: Table) -> None:
    path = table.write("pork.yaml", PORK_AND_SALAD)
    read_aloud(path, table.folder)
    talk = table.folder / "aloud.srt"
    aloud = talk.read_text(encoding="utf-8")
    talk.write_text(aloud.replace("One tablespoon of oil, ", "").replace("fennel seed", "it"), encoding="utf-8")
    production = Production(read_source(path), cut=str(talk))
    text = coverage_text("Pork", coverage_report(production.coverage, production.rescues))
    told = [line.split("--accept", 1)[1] for line in text.splitlines() if line.startswith("    --accept ")]
    assert [shlex.split(one) for one in told] == [["olive oil"], ["fennel seed"]]


def test_a_figure_that_differs_beside_a_short_name_is_told(table: Table) -> None:
    path = table.write("pork.yaml", PORK_AND_SALAD)
    talk = Path(table.write("cut.srt", ""))
    read_aloud(path, table.folder)
    aloud = (table.folder / "aloud.srt").read_text(encoding="utf-8")
    talk.write_text(aloud.replace("One tablespoon of oil", "Two tablespoons of oil"), encoding="utf-8")
    claims = Production(read_source(path), cut=str(talk)).coverage.claims
    assert [(c.words, c.subject) for c in claims if c.verdict == DIFFERS] == [("Two tablespoons", "olive oil")]
