"""Portions nearest to the usual ones that keep every limit, in steps that a person can serve."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from scriptkit.nutrition.limits import figure_of, printed_figures
from scriptkit.nutrition.macros import Macros
from scriptkit.nutrition.portion_choice import Bound, Choice, plate_of, weights_of
from scriptkit.nutrition.portion_programme import NEAREST, PortionProgramme, Row
from scriptkit.nutrition.sure_limits import end_of, surely_keeps

_EPSILON = 1e-7
_TRIES = 40
"""How often portions that break a limit only as printed are given up for the next best."""
_STRICTER = 1e-5
_NEAR = 1e-3
"""How near the ends of a figure are found, in its unit."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Portions:
    """Grams by choice, or None with the bounds that contradict one another and the nearest figure for each that would
    do while the others of the contradiction are kept. Where that is no way out, as others cannot be had either, ``ways`` has for each
    bound that cannot be had at all the figures that do together, its own as near as it can be."""

    grams: tuple[float, ...] | None
    conflict: tuple[tuple[Bound, float | None], ...] = ()
    ways: tuple[tuple[Bound, tuple[tuple[Bound, float | None], ...]], ...] = ()


def portions(
    choices: Sequence[Choice], bounds: Sequence[Bound], extra: Macros | None = None, *, sure: bool = False
) -> Portions:
    """Portions nearest to the usual ones (the least sum of `Choice.change`) that keep every bound: exactly, and in the rounded
    figures that are printed. Of equally near ones the plate with most protein, then that whose first dish stays nearest to
    its usual portion.

    ``sure``: by the end of each figure's interval, and not by the best estimate alone.
    ``extra`` is what lies on the plate whatever the portions (garnish). Figures of the bounds must be known of every
    choice and of ``extra``; ValueError otherwise.
    """
    extra = extra or Macros()
    grams = nearest_portions(choices, bounds, extra, sure=sure)
    if grams is not None:
        return Portions(grams=grams)
    core = _core(choices, bounds, extra, sure=sure)
    alone = [(b, _would_do(b, bounds, choices, extra, sure=sure)) for b in core]
    if not core or any(figure is not None for _, figure in alone):
        return Portions(grams=None, conflict=tuple(alone))
    ways = tuple((b, way) for b in bounds if (way := _way_out(b, choices, bounds, extra, sure=sure)))
    within = tuple((b, _would_do(b, core, choices, extra, sure=sure)) for b in core)
    return Portions(grams=None, conflict=within, ways=ways)


def _core(choices: Sequence[Choice], bounds: Sequence[Bound], extra: Macros, *, sure: bool) -> list[Bound]:
    """The fewest, by taking out one after another, that still cannot be kept together."""
    core = list(bounds)
    for bound in bounds:
        rest = [b for b in core if b is not bound]
        if _kept(choices, rest, extra, sure=sure) is None:
            core = rest
    return core


def _way_out(
    first: Bound, choices: Sequence[Choice], bounds: Sequence[Bound], extra: Macros, *, sure: bool
) -> tuple[tuple[Bound, float | None], ...]:
    """Where no one figure does: the figures of several bounds with which all can be kept, the ``first`` as near as it can be had at
    all; empty where it can be had, or none are found."""
    if _kept(choices, [first], extra, sure=sure) is not None:
        return ()
    if (own := _would_do(first, [first], choices, extra, sure=sure)) is None:
        return ()
    now = [replace(b, figure=own) if b is first else b for b in bounds]
    at = next(n for n, b in enumerate(bounds) if b is first)
    for _ in range(2 * len(bounds)):
        if _kept(choices, now, extra, sure=sure) is not None:
            return tuple((b, new.figure) for b, new in zip(bounds, now, strict=True) if new.figure != b.figure)
        core = _core(choices, now, extra, sure=sure)
        figures = [
            (n, _would_do(b, core, choices, extra, sure=sure)) for n, b in enumerate(now) if b in core and n != at
        ]
        found = next(((n, figure) for n, figure in figures if figure is not None), None)
        if found is None:
            return ()
        now[found[0]] = replace(now[found[0]], figure=found[1])
    return ()


def nearest_portions(
    choices: Sequence[Choice], bounds: Sequence[Bound], extra: Macros, *, sure: bool = False
) -> tuple[float, ...] | None:
    """The grams alone of `portions`; None where the bounds contradict one another."""
    return _kept(choices, bounds, extra, wish=NEAREST, sure=sure)


def other_portions(
    wish: str,
    choices: Sequence[Choice],
    bounds: Sequence[Bound],
    extra: Macros,
    *,
    about: Sequence[Bound] = (),
    sure: bool = False,
) -> tuple[float, ...] | None:
    """Portions that keep every bound and are best in another way: FEWEST_CHANGES or MOST_PROTEIN; None where there are none. The
    bounds of ``about`` are kept by the best estimate, however sure the others must be."""
    return _kept(choices, bounds, extra, about=about, wish=wish, sure=sure)


def keeps(bound: Bound, plate: Macros) -> bool:
    """Whether the plate keeps the bound, exactly and as it is printed."""
    left, right = weights_of(bound, plate)
    if left > right + _EPSILON * max(1.0, abs(right)):
        return False
    return all(
        printed is None or (printed <= bound.figure + _EPSILON if bound.at_most else printed >= bound.figure - _EPSILON)
        for printed in printed_figures(plate, bound.name)
    )


def _kept(
    choices: Sequence[Choice],
    bounds: Sequence[Bound],
    extra: Macros,
    *,
    about: Sequence[Bound] = (),
    wish: str = "",
    sure: bool = False,
) -> tuple[float, ...] | None:
    """The best portions that keep the bounds, also as printed; None where there are none. Without a ``wish``, any."""
    every = [*bounds, *about]
    asked = list(every)
    cuts: list[Row] = []
    for _ in range(_TRIES):
        problem = PortionProgramme(choices, asked, extra)
        grams = problem.best(asked, wish=wish, cuts=cuts) if wish else problem.any(asked, cuts)
        if grams is None:
            return None
        plate = plate_of(choices, grams) + extra
        broken = [n for n, bound in enumerate(every) if not keeps(bound, plate)]
        unsure = [b for b in bounds if sure and not surely_keeps(plate, b.name, b.figure, at_most=b.at_most)]
        if not broken and not unsure:
            return grams
        cuts += [problem.cut(bound, grams) for bound in unsure]
        for n in broken:  # printed, it breaks what it keeps: ask for a little less of it
            asked[n] = _stricter(asked[n], plate)
    return None


def _stricter(bound: Bound, plate: Macros) -> Bound:
    """A bound that this plate, and any that has as much, no longer keeps."""
    has = figure_of(plate, bound.name)
    figure = bound.figure if has is None else min(has, bound.figure) if bound.at_most else max(has, bound.figure)
    off = _STRICTER * max(1.0, abs(figure))
    return replace(bound, figure=figure - off if bound.at_most else figure + off)


def _would_do(
    bound: Bound, core: Sequence[Bound], choices: Sequence[Choice], extra: Macros, *, sure: bool = False
) -> float | None:
    """The nearest figure of the bound, to 0.1, that can be kept together with the others, also as printed; None where they
    cannot be kept without it."""
    others = [b for b in core if b is not bound]
    if sure and end_of(extra, bound.name, at_most=bound.at_most) is not None:
        reached = _least_sure(bound, others, choices, extra)
    else:
        reached = PortionProgramme(choices, core, extra).best_for(bound, others)
    if reached is None:
        return None
    tenths = math.ceil(reached * 10 - 1e-6) if bound.at_most else math.floor(reached * 10 + 1e-6)

    def works(off: int) -> bool:
        figure = (tenths + off if bound.at_most else tenths - off) / 10
        return figure >= 0 and _kept(choices, [replace(bound, figure=figure), *others], extra, sure=sure) is not None

    off = next((n for n in range(_TRIES) if works(n)), None)
    return None if off is None else (tenths + off if bound.at_most else tenths - off) / 10


def _least_sure(bound: Bound, others: Sequence[Bound], choices: Sequence[Choice], extra: Macros) -> float | None:
    """The nearest figure of the bound that whole intervals keep, together with the others: plane after plane, until the plate that
    the planes call nearest is as near as they say. None where the others cannot be kept."""
    sign = 1.0 if bound.at_most else -1.0
    asked = list(others)
    cuts: list[Row] = []
    planes: list[Row] = []
    grams = tuple(c.usual_g for c in choices)
    for _ in range(_TRIES):
        problem = PortionProgramme(choices, [bound, *asked], extra)
        planes.append(problem.cut(bound, grams))
        nearest = problem.least_end(asked, cuts, planes)
        if nearest is None:
            return None
        grams, beyond = nearest
        plate = plate_of(choices, grams) + extra
        unsure = [b for b in others if not surely_keeps(plate, b.name, b.figure, at_most=b.at_most)]
        cuts += [problem.cut(b, grams) for b in unsure]
        broken = [n for n, other in enumerate(others) if not keeps(other, plate)]
        for n in broken:
            asked[n] = _stricter(asked[n], plate)
        end = end_of(plate, bound.name, at_most=bound.at_most)
        if end is None or (not unsure and not broken and sign * (end - bound.figure) <= beyond + _NEAR):
            return end
    return None
