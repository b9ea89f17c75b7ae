"""Read the small texts of a file (amounts, durations, temperatures), and collect what was wrong with them at its place."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TypeVar

from scriptkit.measure.amounts import TOLD, Amount, Cups, Kind, NotAnAmount, OwnMeasures, parse_amount
from scriptkit.measure.durations import NotADuration, parse_duration
from scriptkit.measure.temperatures import NotATemperature, parse_temperature
from scriptkit.problems import Problem, error
from scriptkit.recipe.yamltree import Tree

T = TypeVar("T")


class FieldParser:
    """Reads the small texts of one file and collects what was wrong with them."""

    def __init__(
        self,
        tree: Tree,
        cups: Cups = Cups.US,
        measures: OwnMeasures | None = None,
        pantry_measures: OwnMeasures | None = None,
        units: str = "",
    ) -> None:
        self.tree = tree
        self.cups = cups
        self.measures = measures or {}
        around = pantry_measures or {}
        self.written_measures = {w: one for w, one in self.measures.items() if w not in around or around[w] is not one}
        """Those that the file itself defines, and not the pantry beside it."""
        self.units = units
        """Which the cook states, for what is told to write."""
        self.problems: list[Problem] = []

    def read(self, reader: Callable[[str], T], text: str | None, *path: str | int) -> T | None:
        """What ``reader`` makes of the text at the path; None where there is no text or it is wrong, which is then told."""
        if text is None:
            return None
        try:
            return reader(text)
        except NotAnAmount as wrong:
            if wrong.code != TOLD:
                self.problems.append(error(self.tree.place(*path), wrong.code, str(wrong), wrong.hint))
        except (NotADuration, NotATemperature) as wrong:
            code = "duration" if isinstance(wrong, NotADuration) else "temperature"
            self.problems.append(error(self.tree.place(*path), code, str(wrong), wrong.hint))
        return None

    def amount(self, text: str | None, *path: str | int) -> Amount | None:
        """None where there is no text, or it is no amount, which is then told."""
        return self.read(lambda t: parse_amount(t, cups=self.cups, own=self.measures), text, *path)

    def between(self, texts: Sequence[str] | None, *path: str | int) -> tuple[Amount, ...]:
        """The ends of a range of amounts; empty where there is none, or one of them is no amount, which is then told."""
        ends = tuple(self.amount(text, *path, n) for n, text in enumerate(texts or ()))
        return tuple(end for end in ends if end is not None) if None not in ends else ()

    def duration(self, text: str | None, *path: str | int) -> int | None:
        """Milliseconds; None where there is no text, or it is no duration, which is then told."""
        return self.read(parse_duration, text, *path)

    def temperature(self, text: str | None, *path: str | int) -> float | None:
        """Degrees Celsius; None where there is no text, or it is no temperature, which is then told."""
        return self.read(parse_temperature, text, *path)

    def grams(self, text: str | None, *path: str | int) -> float | None:
        """A text that must be a weight."""
        amount = self.amount(text, *path)
        if amount is not None and amount.kind is not Kind.MASS:
            self.problems.append(
                error(self.tree.place(*path), "amount", f"“{text}” is not a weight", "weigh it: write g, kg, oz or lb")
            )
            return None
        return None if amount is None else amount.grams

    def millilitres(self, text: str | None, *path: str | int) -> float | None:
        """A text that must be a volume."""
        amount = self.amount(text, *path)
        if amount is not None and amount.kind is not Kind.VOLUME:
            self.problems.append(
                error(self.tree.place(*path), "amount", f"“{text}” is not a volume", "write ml, l or cups")
            )
            return None
        return None if amount is None else amount.millilitres
