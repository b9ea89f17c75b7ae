"""Do captions stand at their words? The example meal's cut in its own order and in others, with what is shown beside what is heard.

    python -m tests.speed.word_clock [-v]

An addition's caption counts where it starts no more than 1.5 s before its word and no more than 2 s after it; a card where it starts
within 2 s of the words that say its figures. With -v each is printed.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
from collections.abc import Iterator
from pathlib import Path

from scriptkit.captions.composing.overlay import short_addition_line
from scriptkit.production import Production, read
from tests.cut.arranged import EXAMPLES, WAYS, as_subrip, cut_as
from tests.speed.measured import Measured, show

EARLY_S, LATE_S = 1.5, 2.0


def off_s(production: Production, verbose: bool) -> tuple[list[float], list[float]]:
    """By how many seconds each addition's caption, and each card, starts after its word."""
    clock = production.word_clock
    assert clock is not None
    shown = [(" ".join(c.lines).casefold(), c.start_ms) for c in production.cues]
    additions: list[float] = []
    for dish in production.dishes:
        for a in dish.additions:
            text, said = short_addition_line(a).casefold(), clock.additions.get(a.place)
            starts = [start for words, start in shown if text in words]
            if said is None or not starts:
                continue
            additions.append(min(((start - said) / 1000 for start in starts), key=abs))
            if verbose:
                print(f"    {said / 1000:7.1f} s  {text:24} {additions[-1]:+5.1f} s")
    cards: list[float] = []
    for food, said in clock.figures.items():
        head = "plate" if not food else "serving"
        starts = [start for words, start in shown if head in words.partition(":")[0]]
        cards.append(min(((start - said) / 1000 for start in starts), key=abs, default=999.0))
    return additions, cards


def lines(verbose: bool = False) -> Iterator[Measured]:
    """A row for each order of the cut."""
    meal = str(EXAMPLES / "harbour-supper.yaml")
    with tempfile.TemporaryDirectory() as folder:
        for way, parts in WAYS.items():
            path = Path(folder) / "cut.srt"
            path.write_text(as_subrip(cut_as(parts)[0]), encoding="utf-8")
            if verbose:
                print(way)
            additions, cards = off_s(read(meal, cut=str(path)), verbose)
            right = sum(-EARLY_S <= off <= LATE_S for off in additions)
            yield Measured(
                f"{way}: additions at their word ({len(additions)})",
                100 * right / len(additions),
                "%",
                90,
                at_least=True,
            )
            yield Measured(f"{way}: median distance", statistics.median(map(abs, additions)), "s", LATE_S)
            yield Measured(
                f"{way}: cards at their words, of {len(cards)}", sum(abs(off) <= LATE_S for off in cards), ""
            )


if __name__ == "__main__":
    show("captions at their words", lines("-v" in sys.argv))
