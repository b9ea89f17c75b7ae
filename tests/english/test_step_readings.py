"""What steps say, a row a step: test_step_readings.csv is read and worked by hand.

`keys` are those of the file, `;` between them, and `prep`. `expected` names what must hold: `method`, `acts` (methods in order, `-`
for none), `heat` (what gives it, or off), `source`, `level`, `celsius`, `burner`, `vessel`, `kind`, `plates`, `until`, `felt`, `not` (said not to be
done), `gone` (how=what), `temp` (of what, °C). What is not named is not looked at.
"""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from scriptkit.english.step_reading import StepReading

ROWS = list(csv.DictReader(Path(__file__).with_suffix(".csv").read_text(encoding="utf-8").splitlines()))


def reading_of(words: str, keys: str) -> StepReading:
    written = dict(part.strip().partition(": ")[::2] for part in keys.split(";") if part.strip())
    return StepReading(
        sentence=words,
        cooks="prep" not in written,
        written_method=written.get("method", ""),
        written_vessel=written.get("vessel", ""),
        written_heat=written.get("heat", ""),
        tools=tuple(written["tools"].split(", ")) if "tools" in written else (),
        core_c=float(written["core"]) if "core" in written else None,
    )


def _yes(holds: bool) -> str:
    return "yes" if holds else "no"


ASKED: dict[str, Callable[[StepReading], str]] = {
    "method": lambda r: r.method or "none",
    "acts": lambda r: " ".join(a.method for a in r.acts if a.method) or "-",
    "heat": lambda r: r.heat.source if r.heat.on else "off",
    "source": lambda r: r.heat.source,
    "level": lambda r: r.heat.level,
    "celsius": lambda r: f"{r.heat.celsius:.0f}" if r.heat.celsius is not None else "",
    "burner": lambda r: _yes(r.takes_a_burner),
    "vessel": lambda r: r.vessel.name or "-",
    "kind": lambda r: r.vessel.kind,
    "plates": lambda r: _yes(r.plates_up),
    "until": lambda r: r.until.cue if r.until else "-",
    "felt": lambda r: _yes(r.until is not None and r.until.felt),
}
SEVERAL: dict[str, Callable[[StepReading], list[str]]] = {
    "not": lambda r: list(r.not_done),
    "gone": lambda r: [f"{d.how}={d.what or d.words}" for d in r.disposed],
    "temp": lambda r: [f"{t.of} {t.low_c:.0f}" for t in r.temperatures],
}


@pytest.mark.parametrize("row", ROWS, ids=lambda row: f"{row['words']} [{row['keys']}]")
def test_what_a_step_says(row: dict[str, str]) -> None:
    reading = reading_of(row["words"], row["keys"])
    for part in row["expected"].split(";"):
        name, _, value = part.strip().partition(": ")
        if name in SEVERAL:
            found = SEVERAL[name](reading)
            assert found == [] if value == "-" else value in found, name
        else:
            assert ASKED[name](reading) == value, name


def test_the_table_is_long_and_no_row_stands_twice() -> None:
    assert len(ROWS) >= 150
    asked = [(row["words"], row["keys"]) for row in ROWS]
    assert len(set(asked)) == len(asked)
