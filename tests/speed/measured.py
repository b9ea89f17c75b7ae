"""A measured figure beside its target, and the table that they are printed in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Measured:
    """What was measured, in ``unit``; at most ``target``, or at least where ``at_least``; None where nothing was promised.
    ``command``: the arguments that a profile can be made of, in the folder of the examples."""

    what: str
    figure: float
    unit: str
    target: float | None = None
    at_least: bool = False
    command: tuple[str, ...] = ()

    @property
    def ratio(self) -> float | None:
        """Of what is allowed how much was taken; above 1 the target is missed."""
        if self.target is None:
            return None
        return self.target / self.figure if self.at_least else self.figure / self.target


HEAD = f"{'what':58} {'measured':>9} {'target':>8} {'':6} {'ratio':>5}"


def line(one: Measured) -> str:
    """A row of the table."""
    places = 3 if one.unit == "s" else 2 if one.unit == "×" else 1
    target = "" if one.target is None else f"{'≥ ' if one.at_least else ''}{one.target:g}"
    ratio = "" if one.ratio is None else f"{one.ratio:.2f}{'' if one.ratio <= 1 else ' !'}"
    return f"{one.what:58} {one.figure:9.{places}f} {target:>8} {one.unit:6} {ratio:>5}"


def show(title: str, rows: Iterable[Measured]) -> list[Measured]:
    """Print each row as soon as it is measured."""
    print(f"\n{title}\n{HEAD}", flush=True)
    seen = []
    for one in rows:
        print(line(one), flush=True)
        seen.append(one)
    return seen
